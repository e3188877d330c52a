"""Whether what is shut off in a hurry can be got at from the door: stop tap, gas valve, main switch.

Measured in plan from the nearest floor that a person can walk to upright, or from the edge of the door's opening.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> tap = box_kit("tap", 80, 70, 130, name="Stop tap", stands_on="wall", base_mm=200, access=[
...     {"name": "handle", "at_mm": [0, -35, 65], "faces": "front", "tool": "hand", "emergency": True}])
>>> door = {"id": "d1", "edge": 0, "from_mm": 100, "clear_mm": 700}
>>> [f.verdict for f in find(sample_scene([tap], [piece(tap, 1200, 1765)], doors=[door]))]
['no-fault']
"""

from collections.abc import Iterator

from shapely.geometry import LineString
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry.base import BaseGeometry

from geometry.ceilings import lowest_over
from geometry.check import Check, Finding, Where, judge, mm
from geometry.people import HALF_PERSON_MM, Spot, spots
from geometry.rules import RulePack, rule_pack
from geometry.scene import Scene
from geometry.shapes import disc
from geometry.ways import walk
from geometry.words import start, within

ID = "emergency-reach"


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each point marked as an emergency."""
    wanted = [spot for spot in spots(scene, only) if spot.access.emergency]
    if not wanted:
        return
    if not scene.room.doors:
        yield Finding(ID, "not-checked", "The room has no door.", question="Where is the door to the shut-offs?")
        return
    pack = scene.pack
    floor = walk(scene, pack.number("walkway-headroom"), pack.number("step-over")).reached(pack.number("walkway-least"))
    edges = [
        LineString([scene.edges[d.edge].at(d.from_mm), scene.edges[d.edge].at(d.from_mm + d.clear_mm)])
        for d in scene.room.doors
    ]
    for spot in wanted:
        yield _judged(scene, pack, floor, edges, spot)


def _judged(scene: Scene, pack: RulePack, floor: BaseGeometry, edges: list[LineString], spot: Spot) -> Finding:
    limit = pack.number("emergency-reach")
    point = ShapelyPoint(spot.at[0], spot.at[1])
    far = min(edge.distance(point) for edge in edges)
    if not floor.is_empty:
        far = min(far, max(0.0, floor.distance(point) - HALF_PERSON_MM))
    verdict = judge(limit - far, scene.room.tolerance_mm)
    what = f"the {within(spot.access.name)} of the {within(spot.placed.name)}"
    text = f"{start(what)} is {mm(far)} from the door or from floor that can be walked to; {mm(limit)} can be reached."
    low = lowest_over(scene.roof, disc((spot.at[0], spot.at[1]), 1.0))
    if low is not None and low.height_mm < pack.number("stoop-height"):
        text += f" The headroom there is {mm(low.height_mm)}."
    return Finding(
        ID, verdict, text, (spot.placed.id,), topic=spot.access.name, needed=limit, found=far,
        short=max(0.0, far - limit), source=pack.source("emergency-reach"), basis=spot.placed.kit.basis,
        title="" if verdict == "no-fault" else f"{start(what)} is hard to get at in a hurry",
        where=Where(disc((spot.at[0], spot.at[1]), 60), spot.at[2] - 60, spot.at[2] + 60),
    )  # fmt: skip


CHECK = Check(
    id=ID,
    title="What is shut off in a hurry can be got at",
    failing_title="Something that is shut off in a hurry is out of reach",
    reason="Water runs and gas escapes while somebody looks for the tap.",
    source=rule_pack("england").source("emergency-reach"),
    find=find,
)
