"""Whether what must be seen can be seen from floor that a person can get to: tundish, gauge, display, dial.

Eyes are tried at the heights of a small and a tall person who stand, and of one who kneels, at places in front of the
point up to two metres away; one clear line is enough. What hides it is named.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> gap = {"name": "air gap", "at_mm": [0, -30, 60], "faces": "front", "tool": "eye", "must_be_seen": True}
>>> tundish = box_kit("funnel", 60, 60, 120, stands_on="wall", base_mm=1100, access=[gap], traits=["tundish"])
>>> door = {"id": "d1", "edge": 0, "from_mm": 900, "clear_mm": 800}
>>> [f.verdict for f in find(sample_scene([tundish], [piece(tundish, 1200, 1770)], doors=[door]))]
['no-fault']
"""

from collections.abc import Iterator
from math import cos, radians, sin

from shapely.geometry import Point as ShapelyPoint
from shapely.geometry.base import BaseGeometry

from geometry.check import Check, Finding, Where
from geometry.people import Spot, hidden_by, spots, standing_floor
from geometry.rules import RulePack, rule_pack
from geometry.scene import Scene, Solid
from geometry.shapes import disc
from geometry.units import Point, Point3
from geometry.words import named, start, within

ID = "sight"
_DISTANCES_MM = (500.0, 900.0, 1300.0, 2000.0)
_TURNS_DEG = (0, 20, -20, 40, -40, 60, -60, 75, -75)


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each point that must be seen."""
    wanted = [spot for spot in spots(scene, only) if spot.access.must_be_seen or spot.access.tool == "eye"]
    if not wanted or not scene.room.doors:
        return
    pack = scene.pack
    floor = standing_floor(scene, pack)
    for spot in wanted:
        yield _judged(scene, pack, floor, spot)


def _judged(scene: Scene, pack: RulePack, floor: BaseGeometry, spot: Spot) -> Finding:
    hidden: Solid | None = None
    tried = False
    what = f"the {within(spot.access.name)} of the {within(spot.placed.name)}"
    for eye in _eyes(pack, floor, spot):
        tried = True
        solid = hidden_by(scene, eye, spot.at, spot.placed.id)
        if solid is None:
            return Finding(ID, "no-fault", f"{start(what)} can be seen.", (spot.placed.id,), topic=spot.access.name)
        hidden = hidden or solid
    why = f"{named(scene, hidden.owner)} hides it" if hidden else "there is no floor in front of it to look from"
    x, y, z = spot.at
    return Finding(
        ID, "look-again" if hidden and hidden.movable else "put-right", f"{start(what)} cannot be seen: {why}.",
        (spot.placed.id,), (hidden.owner,) if hidden else (), topic=spot.access.name,
        title=f"{start(what)} cannot be seen",
        where=Where(disc((x, y), 60), z - 60, z + 60) if tried or hidden else None,
    )  # fmt: skip


def _eyes(pack: RulePack, floor: BaseGeometry, spot: Spot) -> Iterator[Point3]:
    for x, y in _places(floor, spot):
        for key in ("eye-small", "eye-tall", "eye-kneeling"):
            yield (x, y, pack.number(key))


def _places(floor: BaseGeometry, spot: Spot) -> Iterator[Point]:
    x, y, _ = spot.at
    headings = [spot.out] if not spot.out[2] else [spot.placed.direction(s) for s in ("front", "left", "right")]
    for distance in _DISTANCES_MM:
        for ox, oy, _z in headings:
            for turn in _TURNS_DEG:
                c, s = cos(radians(turn)), sin(radians(turn))
                point = (x + distance * (ox * c - oy * s), y + distance * (ox * s + oy * c))
                if floor.intersects(ShapelyPoint(point)):
                    yield point


CHECK = Check(
    id=ID,
    title="What must be seen can be seen",
    failing_title="Something that must be seen is hidden",
    reason="A drip in a tundish or a gauge at zero is the only warning there is; nobody looks behind things for it.",
    source=rule_pack("england").source("sight"),
    find=find,
)
