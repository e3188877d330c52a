"""Whether what is shut off in a hurry can be got at from the door: stop tap, gas valve, main switch.

Measured in plan from the edge of the door's opening, or from the front of a person on floor that can be walked to
upright, whichever is nearer. A straight line, not the way of an arm: that is another check's.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> tap = box_kit("tap", 80, 70, 130, name="Stop tap", stands_on="wall", base_mm=200, access=[
...     {"name": "handle", "at_mm": [0, -35, 65], "faces": "front", "tool": "hand", "emergency": True}])
>>> low = {"height_mm": 2400, "beams": [{"name": "soffit", "area_mm": [[0, 0], [2400, 0], [2400, 1800], [0, 1800]],
...                                      "soffit_mm": 1300}]}
>>> door = {"id": "d1", "edge": 0, "from_mm": 100, "clear_mm": 700}
>>> print(next(find(sample_scene([tap], [piece(tap, 1200, 1765)], doors=[door], ceiling=low))).message)
The handle of the stop tap is 1,776 mm from the door; an arm reaches 700 mm at most. The headroom there is 1,300 mm.
"""

from collections.abc import Iterator
from math import inf

import shapely
from shapely.geometry import LineString
from shapely.geometry.base import BaseGeometry

from geometry.ceilings import lowest_over
from geometry.check import TIGHT, Check, Finding, Where, judge, mm
from geometry.doorless import without_a_door
from geometry.passing import spot as place
from geometry.people import Floor, Spot, good_floor, least_floor, spots
from geometry.rules import rule_pack
from geometry.scene import Scene
from geometry.shapes import disc
from geometry.words import start, the, within

ID = "emergency-reach"
_MARK_MM = 60.0


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each point marked as an emergency."""
    wanted = [spot for spot in spots(scene, only) if spot.access.emergency]
    if not wanted:
        return
    if not scene.room.doors:
        yield without_a_door(
            ID, "on the way to what is shut off in a hurry", [spot.placed.id for spot in wanted] if only else None
        )
        return
    doors = shapely.union_all([
        LineString([scene.edges[d.edge].at(d.from_mm), scene.edges[d.edge].at(d.from_mm + d.clear_mm)])
        for d in scene.room.doors
    ])  # fmt: skip
    for spot in wanted:
        yield _judged(scene, spot, *_nearest(scene, doors, spot))


def _nearest(scene: Scene, doors: BaseGeometry, spot: Spot) -> tuple[float, str]:
    """How far away the nearest place is from which it can be reached, and what that is."""
    here = place(spot.plan)
    best = (float(doors.distance(here)), "the door")
    good = scene.pack.number("emergency-reach") - scene.room.tolerance_mm
    for floor in (good_floor, lambda s: least_floor(s, s.pack.number("walkway-headroom"))):
        if best[0] > good:
            best = min(best, (_from(scene, floor(scene), here), "where a person can walk to upright"))
    return best


def _from(scene: Scene, floor: Floor, here: BaseGeometry) -> float:
    """How far it is from the front of somebody on a floor, inside the room: from outside, the door counts."""
    inside = floor.region.intersection(scene.floor)
    return inf if inside.is_empty else max(0.0, float(inside.distance(here)) - floor.half_mm)


def _judged(scene: Scene, spot: Spot, far: float, from_what: str) -> Finding:
    pack = scene.pack
    limit = pack.number("emergency-reach")
    verdict = judge(limit - far, scene.room.tolerance_mm)
    what = f"the {within(spot.access.name)} of {the(spot.placed.name)}"
    text = f"{start(what)} is {mm(far)} from {from_what}; an arm reaches {mm(limit)} at most."
    low = lowest_over(scene.roof, disc(spot.plan, 1.0))
    if verdict != "no-fault" and low is not None and low.height_mm < pack.number("stoop-height"):
        text += f" The headroom there is {mm(low.height_mm)}."
    x, y, z = spot.at
    return Finding(
        ID, verdict, text + (f" {TIGHT}" if verdict == "look-again" else ""), (spot.placed.id,),
        topic=spot.access.name, needed=limit, found=far, short=max(0.0, far - limit),
        source=pack.source("emergency-reach"), basis=spot.placed.kit.basis,
        title="" if verdict == "no-fault" else f"{start(what)} is hard to get at in a hurry",
        where=Where(disc((x, y), _MARK_MM), z - _MARK_MM, z + _MARK_MM) if verdict != "no-fault" else None,
    )  # fmt: skip


CHECK = Check(
    id=ID,
    title="What is shut off in a hurry can be got at",
    failing_title="Something that is shut off in a hurry is out of reach",
    reason="Water runs and gas escapes while somebody looks for the tap.",
    source=rule_pack("england").source("emergency-reach"),
    find=find,
    slow=True,
)
