"""Whether what must be seen can be seen from floor that a person can get to: tundish, gauge, display, dial.

Eyes are those of a small and of a tall person who stand, and of one who kneels, anywhere on that floor up to two
metres in front of the point; one clear line is enough. Where there is none, the shadows of everything solid cover
all of that floor, and what hides the point from the place that would be natural is named.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> gap = {"name": "air gap", "at_mm": [0, -30, 60], "faces": "front", "tool": "eye", "must_be_seen": True}
>>> tundish = box_kit("funnel", 60, 60, 120, stands_on="wall", base_mm=300, access=[gap], traits=["tundish"])
>>> tank, door = box_kit("tank", 2400, 500, 1500), {"id": "d1", "edge": 0, "from_mm": 900, "clear_mm": 800}
>>> scene = sample_scene([tundish, tank], [piece(tundish, 1200, 1770), piece(tank, 1200, 1200)], doors=[door])
>>> [f.message for f in find(scene)]
['The air gap of the funnel cannot be seen: the tank hides it. Move the funnel or the tank.']
"""

from collections.abc import Iterable, Iterator
from math import cos, radians, sin

import shapely
from shapely.geometry.base import BaseGeometry

from geometry.ceilings import cut
from geometry.check import Check, Finding, Where
from geometry.doorless import without_a_door
from geometry.passing import spot as place
from geometry.people import Floor, Spot, good_floor, least_floor, spots, wedge
from geometry.rays import eye_shadow, inside_span, meets
from geometry.rules import rule_pack
from geometry.scene import Box6, Scene, Solid
from geometry.shapes import Footprint, disc
from geometry.units import Point, Point3
from geometry.words import named, start, the, within

ID = "sight"
_MARK_MM = 60.0
_NATURAL_MM = 900.0
_GLANCES = ((900.0, 0), (900.0, 25), (900.0, -25), (500.0, 0), (500.0, 45), (500.0, -45), (1400.0, 0))
"""Where people look from first: how far in front of the point, and how far aside."""
_HIGH_MM = 100_000.0


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each point that must be seen."""
    wanted = [spot for spot in spots(scene, only) if spot.access.must_be_seen or spot.access.tool == "eye"]
    if wanted and not scene.room.doors:
        yield without_a_door(ID, "about what has to be seen", [spot.placed.id for spot in wanted] if only else None)
        return
    for spot in wanted:
        yield _judged(scene, spot)


def _judged(scene: Scene, spot: Spot) -> Finding:
    own = _own_and_beams(scene, spot)
    seen = _glanced(scene, spot, own)
    solids = [] if seen else [*_in_the_way(scene, spot), *own]
    seen = seen or _seen(scene, spot, solids)
    what = f"the {within(spot.access.name)} of {the(spot.placed.name)}"
    source = scene.pack.source("sight" if spot.placed.kit.has("tundish") else "sight-far")
    if seen:
        how = " by somebody who kneels" if seen == "eye-kneeling" else ""
        text = f"{start(what)} can be seen{how}."
        return Finding(ID, "no-fault", text, (spot.placed.id,), topic=spot.access.name, source=source)
    hidden = _hider(scene, spot, solids)
    x, y, z = spot.at
    loose = hidden is not None and hidden.movable and _seen(scene, spot, [s for s in solids if not s.movable])
    by = named(scene, hidden.owner) if hidden else ""
    why = f"{by} hides it" if hidden else "there is no floor in front of it that anybody can look from"
    return Finding(
        ID, "look-again" if loose else "put-right",
        f"{start(what)} cannot be seen: {why}." + _what_to_do(scene, spot, hidden, bool(loose)),
        (spot.placed.id,), (hidden.owner,) if hidden else (),
        topic=f"{spot.access.name}, move-first" if loose else spot.access.name, title=f"{start(what)} cannot be seen",
        where=Where(disc((x, y), _MARK_MM), z - _MARK_MM, z + _MARK_MM), source=source,
    )  # fmt: skip


def _what_to_do(scene: Scene, spot: Spot, hidden: Solid | None, loose: bool) -> str:
    if hidden is None or hidden.owner == spot.placed.id or scene.piece(hidden.owner) is None:
        return f" Move {the(spot.placed.name)} to where somebody sees it."
    by = named(scene, hidden.owner)
    return f" It can be moved: move {by} first." if loose else f" Move {the(spot.placed.name)} or {by}."


def _in_the_way(scene: Scene, spot: Spot) -> list[Solid]:
    """Everything of other pieces and of the building that may hide a point from anywhere."""
    (x, y, z), far = spot.at, scene.pack.number("sight-far")
    eyes = [scene.pack.number(key) for key in ("eye-small", "eye-tall", "eye-kneeling")]
    box = (x - far, y - far, min(z, *eyes), x + far, y + far, max(z, *eyes))
    return _others(scene, spot, box)


def _others(scene: Scene, spot: Spot, box: Box6) -> list[Solid]:
    return [solid for solid in scene.near([box])[0] if solid.owner != spot.placed.id]


def _own_and_beams(scene: Scene, spot: Spot) -> list[Solid]:
    """What of its own piece stands out before a point, and beams as far down as they come."""
    mount = scene.pack.number("sight-mount")
    own = [part for solid in spot.placed.solids() if (part := _before(spot, solid, mount))]
    beams = [
        Solid(soffit.name, "fixture", soffit.name, soffit.area, soffit.plane.c, _HIGH_MM)
        for soffit in scene.roof.soffits
        if not soffit.plane.a and not soffit.plane.b
    ]
    return own + beams


def _before(spot: Spot, solid: Solid, mount_mm: float) -> Solid | None:
    """The part of a solid that stands out farther than a point's own mount, the way the point faces."""
    (x, y, z), (ox, oy, oz) = spot.at, spot.out
    low, high = solid.from_mm, solid.to_mm
    if not oz and solid.plan.reach((ox, oy)) <= ox * x + oy * y + mount_mm:
        return None
    if oz:
        low, high = (max(low, z + mount_mm), high) if oz > 0 else (low, min(high, z - mount_mm))
        return Solid(solid.owner, solid.part, solid.what, solid.plan, low, high, solid.movable) if high > low else None
    ring = [(float(a), float(b)) for a, b in shapely.get_coordinates(solid.plan.polygon)[:-1]]
    rest = cut(ring, ox, oy, -(ox * x + oy * y + mount_mm))
    plan = Footprint(tuple(rest)) if len(rest) > 2 else None
    return Solid(solid.owner, solid.part, solid.what, plan, low, high, solid.movable) if plan else None


def _floors(scene: Scene) -> Iterator[tuple[Floor, str]]:
    pack = scene.pack
    upright = least_floor(scene, pack.number("walkway-headroom"))
    yield upright, "eye-small"
    yield upright, "eye-tall"
    yield least_floor(scene, pack.number("kneel-height")), "eye-kneeling"


def seen_from(scene: Scene, spot: Spot) -> Point3 | None:
    """An eye that sees a point, where people look from first; None where it is not seen from there."""
    glance = _glance(scene, spot, _own_and_beams(scene, spot))
    return glance[1] if glance else None


def _glanced(scene: Scene, spot: Spot, own: list[Solid]) -> str:
    """Whose eyes see it from a place that is soon tried: the key of their height, or nothing."""
    glance = _glance(scene, spot, own)
    return glance[0] if glance else ""


def _glance(scene: Scene, spot: Spot, own: list[Solid]) -> tuple[str, Point3] | None:
    floor, pack = good_floor(scene).region, scene.pack
    if spot.out[2]:
        return None
    for far, aside in _GLANCES:
        x, y = _from_front(spot, far, aside)
        if floor.intersects(place((x, y))):
            eyes: dict[str, Point3] = {key: (x, y, pack.number(key)) for key in ("eye-small", "eye-tall")}
            solids = [*own, *_others(scene, spot, _box_of(*eyes.values(), spot.at))]
            for key, eye in eyes.items():
                if not any(meets(s.plan, s.from_mm, s.to_mm, eye, spot.at) for s in solids):
                    return key, eye
    return None


def _box_of(*points: Point3) -> Box6:
    """The box round some points, a millimetre wider."""
    low, high = (
        [min(axis) - 1 for axis in zip(*points, strict=True)],
        [max(axis) + 1 for axis in zip(*points, strict=True)],
    )
    return (low[0], low[1], low[2], high[0], high[1], high[2])


def _from_front(spot: Spot, far_mm: float, aside_deg: float) -> Point:
    c, s = cos(radians(aside_deg)), sin(radians(aside_deg))
    (x, y), (ox, oy, _) = spot.plan, spot.out
    return (x + far_mm * (ox * c - oy * s), y + far_mm * (ox * s + oy * c))


def _seen(scene: Scene, spot: Spot, solids: Iterable[Solid]) -> str:
    """Whose eyes see it from anywhere: the key of their height, or nothing."""
    pack, every = scene.pack, list(solids)
    front = wedge(spot, pack.number("sight-aside"), pack.number("sight-far"))
    for floor, key in _floors(scene):
        eye_mm = pack.number(key)
        if spot.out[2] * (eye_mm - spot.at[2]) < 0:
            continue
        shadows = [eye_shadow(s.plan, s.from_mm, s.to_mm, spot.at, eye_mm) for s in every]
        clear = floor.region.intersection(front).difference(shapely.union_all([s for s in shadows if s is not None]))
        if clear.area > 1.0:
            return key
    return ""


def _hider(scene: Scene, spot: Spot, solids: Iterable[Solid]) -> Solid | None:
    """What hides a point from the natural place to look from: in front of it, with the eyes of a small person."""
    pack = scene.pack
    front = wedge(spot, pack.number("sight-aside"), pack.number("sight-far"))
    for floor, key in _floors(scene):
        zone: BaseGeometry = floor.region.intersection(front)
        if zone.is_empty:
            continue
        near = place(spot.plan if spot.out[2] else _from_front(spot, _NATURAL_MM, 0))
        x, y = (float(v) for v in shapely.get_coordinates(shapely.shortest_line(zone, near))[0])
        eye = (x, y, pack.number(key))
        met = [s for s in solids if meets(s.plan, s.from_mm, s.to_mm, eye, spot.at)]
        if met:
            return min(met, key=lambda s: (inside_span(s.plan, (x, y), spot.plan) or (1.0, 1.0), s.owner))
    return None


CHECK = Check(
    id=ID,
    title="What must be seen can be seen",
    failing_title="Something that must be seen is hidden",
    reason="A drip in a tundish or a gauge at zero is the only warning there is; nobody looks behind things for it.",
    source=rule_pack("england").source("sight"),
    find=find,
    slow=True,
)
