"""Where the ways to the working places are narrow or low, and what has to be moved first to widen them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from geometry.passing import lower_than, meeting, spot
from geometry.people import good_floor, good_width_mm, least_floor
from geometry.pinches import Pinch
from geometry.scene import Placed, Scene
from geometry.units import DEPTH_TOLERANCE_MM, Point
from geometry.ways import floor_of, walk

HEADROOM_STEP_MM = 0.5
_SEAM_MM = 0.5


@dataclass(frozen=True)
class Gate:
    """The narrowest or lowest place on the way to a piece.

    ``pinch`` holds the width there, or for a ``low`` one the headroom; ``first`` is what can be moved away. ``aside``:
    nobody stands square to the piece there, but an arm reaches its front from beside it.
    """

    piece: str
    kind: Literal["narrow", "low", "aside"]
    pinch: Pinch
    first: tuple[str, ...] = ()

    @property
    def key(self) -> tuple[object, ...]:
        """What makes it the same gate for several pieces."""
        return (self.kind, self.pinch.between, self.first)


def place_in_front(scene: Scene, placed: Placed) -> BaseGeometry:
    """Where the middle of a person is who works square to the front of a piece, near enough for an arm.

    Square to it: the width of the person and that of the front lie one within the other. Not behind a wall.
    """
    ahead, floor = _ahead(scene, placed), floor_of(scene)
    if floor.covers(ahead):
        return ahead
    near = LineString(ahead.exterior.coords[:2]).buffer(_SEAM_MM)
    return shapely.union_all(meeting(shapely.get_parts(ahead.intersection(floor)), near))


def straight_to(scene: Scene, asked: Sequence[Placed]) -> list[bool]:
    """For each piece whether a person as wide as is good surely walks to its front: soon asked, of all at once."""
    region, floor = good_floor(scene).region, floor_of(scene)
    if region.is_empty or not asked:
        return [False] * len(asked)
    places = shapely.polygons(np.array([_corners_ahead(scene, placed) for placed in asked]))
    return [bool(one) for one in np.logical_and(shapely.covers(floor, places), shapely.intersects(region, places))]


def _ahead(scene: Scene, placed: Placed) -> Polygon:
    return Polygon(_corners_ahead(scene, placed))


def _corners_ahead(scene: Scene, placed: Placed) -> list[Point]:
    wide = scene.pack.number("walkway-width")
    (ox, oy, _), (x, y), plan = placed.direction("front"), placed.piece.at_mm, placed.kit.plan
    aside, face = max(abs(plan.width_mm - wide) / 2, 1.0), plan.depth_mm / 2
    deep = face + scene.pack.number("reach-depth") + wide / 2
    corners = ((-aside, face), (aside, face), (aside, deep), (-aside, deep))
    return [(x + ox * d - oy * s, y + oy * d + ox * s) for s, d in corners]


def place_beside(scene: Scene, placed: Placed) -> BaseGeometry:
    """Where the middle of a person is whose arm reaches the middle of a piece's front, square to it or not."""
    x, y = shapely.get_coordinates(_ahead(scene, placed).exterior)[:2].mean(axis=0)
    (ox, oy, _), far = (
        placed.direction("front"),
        scene.pack.number("reach-depth") + scene.pack.number("walkway-width") / 2,
    )
    ahead = [(x - oy * s + ox * d, y + ox * s + oy * d) for s, d in ((-far, 0), (far, 0), (far, far), (-far, far))]
    return Polygon(ahead).intersection(spot((float(x), float(y))).buffer(far)).intersection(floor_of(scene))


def gates_to(scene: Scene, placed: Placed) -> Iterator[Gate]:
    """What is in the way of a person who walks to a piece: nothing, a gate, or two where something can be moved."""
    place = place_in_front(scene, placed)
    if place.is_empty:
        yield Gate(placed.id, "narrow", Pinch(0.0, placed.piece.at_mm, ("", "")))
        return
    if good_floor(scene).region.intersects(place):
        return
    upright, good = scene.pack.number("walkway-headroom"), good_width_mm(scene)
    if walk(scene, upright).lets(place, scene.pack.number("walkway-least")) and _beside(scene, placed, narrow=False):
        return
    found = walk(scene, upright).gate(place, good)
    if found is None:
        return
    loose = frozenset(other.id for other in scene.placed if other.movable and other.id != placed.id)
    freed: Pinch | None = found
    if loose and walk(scene, upright, loose).lets(place, found.width_mm + 4 * DEPTH_TOLERANCE_MM):
        freed = walk(scene, upright, loose).gate(place, good)
        yield Gate(placed.id, "narrow", found, _to_move(scene, place, loose, freed))
    if freed is not None:
        yield from _fixed(scene, placed, place, freed, loose)


def _fixed(scene: Scene, placed: Placed, place: BaseGeometry, found: Pinch, loose: frozenset[str]) -> Iterator[Gate]:
    """The gate that is left when what can be moved is gone: low, beside the point, or narrow."""
    narrow = found.width_mm < scene.pack.number("walkway-least") - DEPTH_TOLERANCE_MM
    low = _low(scene, placed, place, loose) if narrow else None
    if low:
        yield low
    elif not _beside(scene, placed, narrow=narrow):
        yield Gate(placed.id, "narrow", found)
    elif narrow:
        bent = walk(scene, scene.pack.number("kneel-height")).gate(place, scene.pack.number("walkway-least"))
        yield Gate(placed.id, "aside", max((found, bent or found), key=lambda pinch: pinch.width_mm))


def _beside(scene: Scene, placed: Placed, *, narrow: bool) -> bool:
    """Whether somebody gets beside the front of something hung as wide as is wanted; what stands is worked on square.

    Bent down and no wider than the least also counts where nobody at all can stand square to it.
    """
    if placed.kit.stands_on == "floor":
        return False
    place = place_beside(scene, placed)
    if good_floor(scene).region.intersects(place):
        return True
    return narrow and bool(least_floor(scene, scene.pack.number("kneel-height")).region.intersects(place))


def _to_move(scene: Scene, place: BaseGeometry, loose: frozenset[str], freed: Pinch | None) -> tuple[str, ...]:
    """The fewest of the movable pieces that do as much as all of them: one, or as few as are found one by one."""
    upright, most = scene.pack.number("walkway-headroom"), good_width_mm(scene)
    wanted = most if freed is None else freed.width_mm - 4 * DEPTH_TOLERANCE_MM

    def enough(some: frozenset[str]) -> bool:
        return walk(scene, upright, some).lets(place, wanted)

    for one in sorted(loose):
        if enough(frozenset((one,))):
            return (one,)
    needed = set(loose)
    for one in sorted(loose):
        if enough(frozenset(needed - {one})):
            needed.remove(one)
    return tuple(sorted(needed))


def _low(scene: Scene, placed: Placed, place: BaseGeometry, loose: frozenset[str]) -> Gate | None:
    """The headroom on the way to a piece, where a person gets there bent down; None where nobody does."""
    least, low, high = (scene.pack.number(key) for key in ("walkway-least", "kneel-height", "walkway-headroom"))
    if not walk(scene, low, loose).lets(place, least):
        return None
    while high - low > HEADROOM_STEP_MM:
        middle = (low + high) / 2
        if walk(scene, middle, loose).reached(least).intersects(place):
            low = middle
        else:
            high = middle
    closed = walk(scene, high, loose).gate(place, least)
    if closed is None:
        return None
    by = _what_is_low(scene, low, high) or [ref for ref in closed.between if ref in _roofs(scene)]
    names = (by[0], by[-1]) if by else ("", "")
    level = [z for z in _undersides_mm(scene) if abs(z - low) <= HEADROOM_STEP_MM + DEPTH_TOLERANCE_MM]
    return Gate(placed.id, "low", replace(closed, width_mm=min(level, default=low), between=names))


def _undersides_mm(scene: Scene) -> list[float]:
    """How high everything level is that people may have to stoop under: ceiling, beams, heads of doors."""
    flat = [] if scene.roof.flat_mm is None else [scene.roof.flat_mm]
    beams = [soffit.lowest_mm for soffit in scene.roof.soffits if not soffit.sloping]
    return [*flat, *beams, *(door.head_mm for door in scene.room.doors)]


def _roofs(scene: Scene) -> list[str]:
    return [*dict.fromkeys(soffit.name for soffit in scene.roof.soffits), "ceiling"]


def _what_is_low(scene: Scene, low: float, high: float) -> list[str]:
    """The ceilings, level beams and doors whose underside is between two heights; else the slopes there are."""
    before, after = ({name for name, _ in lower_than(scene, height)} for height in (low, high))
    level = sorted(after - before) + sorted(door.id for door in scene.room.doors if low <= door.head_mm < high)
    sloping = sorted({soffit.name for soffit in scene.roof.soffits if soffit.sloping} & after)
    return level or (sloping if len(sloping) == 1 else [])
