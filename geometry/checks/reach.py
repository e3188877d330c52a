"""Whether an arm reaches each access point from floor that a person can get to and stand or kneel on.

The depth is measured in plan from the front of the body to the point, from the place that is nearest and has nothing
solid between, at the height of the point. Higher than overhead reach needs a step.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> tap = {"name": "drain cock", "at_mm": [0, -150, 200], "faces": "front", "tool": "hand"}
>>> pump, bench = box_kit("pump", 300, 300, 400, access=[tap]), box_kit("bench", 1200, 800, 900)
>>> door = {"id": "d1", "edge": 0, "from_mm": 1500, "clear_mm": 800}
>>> room = sample_scene([pump, bench], [piece(pump, 1800, 1650), piece(bench, 600, 1400)], doors=[door])
>>> [(f.verdict, f.found) for f in find(room)]
[('no-fault', 0.0)]
"""

from collections.abc import Iterator

from shapely.geometry.base import BaseGeometry

from geometry.check import TIGHT, Check, Finding, Where, judge, mm
from geometry.people import HALF_PERSON_MM, Spot, arm_depth_mm, in_arms_way, spots, standing_floor, standing_places
from geometry.rules import RulePack, rule_pack
from geometry.scene import Scene, Solid
from geometry.shapes import disc
from geometry.units import Point
from geometry.words import named, start, within

ID = "reach"


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each access point that a hand or a tool must get to."""
    wanted = [spot for spot in spots(scene, only) if spot.access.tool != "eye"]
    if not wanted or not scene.room.doors:
        return
    pack = scene.pack
    floor = standing_floor(scene, pack)
    for spot in wanted:
        yield _judged(scene, pack, floor, spot)


def _judged(scene: Scene, pack: RulePack, floor: BaseGeometry, spot: Spot) -> Finding:
    limit = pack.number("reach-depth")
    best, blocked = _best_stand(scene, floor, spot, limit)
    if best is None:
        return _out_of_reach(scene, pack, spot, blocked, floor)
    depth = arm_depth_mm(best, spot.at)
    verdict = judge(limit - depth, scene.room.tolerance_mm)
    high = pack.number("reach-overhead")
    what = f"the {within(spot.access.name)} of the {within(spot.placed.name)}"
    if verdict == "no-fault" and spot.at[2] > high:
        return Finding(
            ID, "look-again", f"{start(what)} is {mm(spot.at[2])} up: a step is needed over {mm(high)}.",
            (spot.placed.id,), topic=spot.access.name, title=f"A step is needed to reach {what}", needed=high,
            found=spot.at[2], short=spot.at[2] - high, source=pack.source("reach-overhead"),
        )  # fmt: skip
    text = f"{start(what)} is {mm(depth)} from where a person can stand; {mm(limit)} can be reached."
    return Finding(
        ID, verdict, text + (f" {TIGHT}" if verdict == "look-again" else ""), (spot.placed.id,),
        topic=spot.access.name, needed=limit, found=depth, short=max(0.0, depth - limit),
        source=pack.source("reach-depth"), basis=spot.placed.kit.basis,
    )  # fmt: skip


def _best_stand(scene: Scene, floor: BaseGeometry, spot: Spot, limit: float) -> tuple[Point | None, Solid | None]:
    """The nearest place to stand with nothing in between, or None and the first thing in between."""
    first: Solid | None = None
    for stand in standing_places(floor, spot, limit):
        if arm_depth_mm(stand, spot.at) > limit + 1e-6:
            continue
        solid = in_arms_way(scene, spot, stand)
        if solid is None:
            return stand, None
        first = first or solid
    return None, first


def _out_of_reach(scene: Scene, pack: RulePack, spot: Spot, blocked: Solid | None, floor: BaseGeometry) -> Finding:
    limit = pack.number("reach-depth")
    what = f"the {within(spot.access.name)} of the {within(spot.placed.name)}"
    where = Where(disc((spot.at[0], spot.at[1]), HALF_PERSON_MM / 4), spot.at[2] - 40, spot.at[2] + 40)
    if blocked is not None:
        return Finding(
            ID, "look-again" if blocked.movable else "put-right",
            f"{start(what)} cannot be reached: {named(scene, blocked.owner)} is in the way of the arm.",
            (spot.placed.id,), (blocked.owner,), topic=spot.access.name, title=f"{start(what)} cannot be reached",
            source=pack.source("reach-depth"), basis=spot.placed.kit.basis, where=where,
        )  # fmt: skip
    nearest = min((arm_depth_mm(p, spot.at) for p in standing_places(floor, spot, 4 * limit)), default=None)
    far = f"is {mm(nearest)} from where a person can stand" if nearest is not None else "has no floor in front of it"
    return Finding(
        ID, "put-right", f"{start(what)} {far}; {mm(limit)} can be reached.", (spot.placed.id,),
        topic=spot.access.name, title=f"{start(what)} is out of reach", needed=limit, found=nearest,
        short=None if nearest is None else nearest - limit, source=pack.source("reach-depth"),
        basis=spot.placed.kit.basis, where=where,
    )  # fmt: skip


CHECK = Check(
    id=ID,
    title="Every access point can be reached",
    failing_title="An access point is out of reach",
    reason="A valve, screw or lid that no hand gets to is not serviced until it fails.",
    source=rule_pack("england").source("reach-depth"),
    find=find,
)
