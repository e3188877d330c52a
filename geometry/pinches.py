"""The narrowest place on the widest way from one place to another: how wide, where, and between which two things.

The width is halved roughly first, with everything solid joined and grown at once. Where the way closes then, the two
things that close it are named; the gap between them is measured exactly, and asked again with everything grown one by
one. Where no such gap is the reason (the place itself is too narrow, or three things meet), it is halved finely.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import hypot, inf

import shapely
from shapely.geometry.base import BaseGeometry

from geometry.grown import grown
from geometry.passing import FINE_SIDES, Goal, Ground, Parts, meeting, passes, round_of
from geometry.shapes import Footprint, separation
from geometry.units import DEPTH_TOLERANCE_MM, Point

FINE_MM = 0.1
ROUGH_MM = 0.5
ROUGHNESS = 0.02
"""The rough answer may be off by this share of the width: hollows no deeper than that are taken as filled."""
_SKIN_MM = 2.0
_SIDEWAYS = 0.3
"""Two things are on different sides of a point where the cosine between the ways to them is less than this."""


@dataclass(frozen=True)
class Pinch:
    """The narrowest place on the widest way: how wide, where, and between which two things."""

    width_mm: float
    at: Point
    between: tuple[str, str]


def pinch(ground: Ground, start: BaseGeometry, goal: Goal, most_mm: float) -> Pinch | None:
    """The narrowest place on the widest way from a place to a goal; None where ``most_mm`` passes.

    The width is good to 0.5 mm, and exact where the way closes between two things.
    """
    if passes(ground, start, goal, most_mm, FINE_SIDES):
        return None
    if goal(round_of(0.0)).is_empty:
        return Pinch(0.0, _a_point(start), ("", ""))
    way = _Way(ground, start, goal)
    low, high = _halved(way.roughly, (0.0, most_mm), ROUGH_MM)
    ends = (max(0.0, low * (1 - ROUGHNESS) - ROUGH_MM), min(high * (1 + ROUGHNESS) + ROUGH_MM, most_mm))
    closing = way.closing(low, high)
    if closing is None:
        return _at_its_start(way, low, ends)
    gap, between = _between(ground, closing)
    if ends[0] < gap <= ends[1] and way.closes_at(gap):
        return Pinch(gap, closing, between)
    if way.closes_at((low + high) / 2):
        return Pinch((low + high) / 2, closing, between)
    low, _ = _halved(lambda width: passes(ground, start, goal, width, FINE_SIDES), ends, FINE_MM)
    return _pinch(ground, low, closing)


@dataclass(frozen=True)
class _Way:
    """A way that is asked for: over a ground, from a place, to a goal."""

    ground: Ground
    start: BaseGeometry
    goal: Goal

    def roughly(self, width_mm: float) -> bool:
        """Whether something that wide passes, roughly."""
        return bool(self.open(width_mm))

    def open(self, width_mm: float) -> Parts:
        """The parts, roughly, through which something that wide passes."""
        near = meeting(self.ground.roughly_free(width_mm / 2), self.start)
        return meeting(near, self.goal(round_of(width_mm))) if near else ()

    def closing(self, low: float, high: float) -> Point | None:
        """Where the way closes when the width goes from the one to the other; None where that is at its start."""
        free = self.ground.roughly_free(high / 2)
        near = meeting(free, self.start)
        if not near:
            return None
        far = meeting(free, self.goal(round_of(high)))
        if far:
            return _between_parts(shapely.union_all(near), shapely.union_all(far), self.open(low))
        ends = [part.intersection(self.goal(round_of(low))) for part in self.open(low)]
        return _a_point(shapely.union_all(ends) if ends else self.start)

    def closes_at(self, width_mm: float) -> bool:
        """Whether just less than a width passes and just more does not, with everything grown one by one."""
        wider, narrower = width_mm + DEPTH_TOLERANCE_MM, width_mm - DEPTH_TOLERANCE_MM
        if passes(self.ground, self.start, self.goal, wider, FINE_SIDES):
            return False
        return narrower <= 0 or passes(self.ground, self.start, self.goal, narrower, FINE_SIDES)


def _at_its_start(way: _Way, low: float, ends: tuple[float, float]) -> Pinch:
    """The pinch of a way that closes at its start: only what is near the part of it that is still free counts."""
    still = [part.intersection(way.start) for part in way.open(low)]
    rest = shapely.union_all(still).buffer(_SKIN_MM).intersection(way.start) if still else way.start
    near = shapely.distance(grown(way.ground.plans, 0.0), rest) <= ends[1] / 2 + _SKIN_MM
    local = Ground(tuple(one for one, is_near in zip(way.ground.obstacles, near, strict=True) if is_near))

    def fits(width_mm: float) -> Parts:
        return meeting(local.free(width_mm / 2, FINE_SIDES), rest)

    low, _ = _halved(lambda width: bool(fits(width)), ends, FINE_MM)
    inside = [part.intersection(rest) for part in fits(low)]
    return _pinch(way.ground, low, _a_point(shapely.union_all(inside) if inside else rest))


def _pinch(ground: Ground, width_mm: float, at: Point) -> Pinch:
    gap, between = _between(ground, at)
    return Pinch(gap if abs(gap - width_mm) <= DEPTH_TOLERANCE_MM else width_mm, at, between)


def _halved(holds: Callable[[float], bool], ends: tuple[float, float], until: float) -> tuple[float, float]:
    """The widest that holds and the narrowest that does not, halved until they are that near."""
    low, high = ends
    while high - low > until:
        middle = (low + high) / 2
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low, high


def _between_parts(near: BaseGeometry, far: BaseGeometry, still: Iterable[BaseGeometry]) -> Point:
    """A point of what has just closed between two parts: of what was free, and is now far from both."""
    rest = shapely.union_all(list(still)).difference(shapely.union_all([near.buffer(_SKIN_MM), far.buffer(_SKIN_MM)]))
    strips = [strip for strip in shapely.get_parts(rest) if strip.distance(near) <= 2 * _SKIN_MM]
    if strips:
        return _a_point(min(strips, key=lambda strip: (round(strip.distance(far), 3), strip.bounds)))
    (x0, y0), (x1, y1) = shapely.get_coordinates(shapely.shortest_line(near, far))
    return (float(x0 + x1) / 2, float(y0 + y1) / 2)


def _a_point(shape: BaseGeometry) -> Point:
    point = shape.representative_point()
    return (float(point.x), float(point.y))


def _between(ground: Ground, at: Point) -> tuple[float, tuple[str, str]]:
    """The two nearest things on different sides of a point, and the gap between them."""
    probe = Footprint((at,), 0.0)
    ranked = sorted((separation(probe, plan).gap_mm, i) for i, plan in enumerate(ground.plans))
    if not ranked:
        return inf, ("", "")
    first = ground.obstacles[ranked[0][1]]
    away = _toward(at, first.plan)
    for _, i in ranked[1:]:
        other = ground.obstacles[i]
        x, y = _toward(at, other.plan)
        if x * away[0] + y * away[1] < _SIDEWAYS:
            names = sorted((first.owner, other.owner))
            return separation(first.plan, other.plan).gap_mm, (names[0], names[1])
    return inf, (first.owner, first.owner)


def _toward(at: Point, plan: Footprint) -> Point:
    move = separation(Footprint((at,), 0.0), plan).move_mm
    length = hypot(*move) or 1.0
    return (move[0] / length, move[1] / length)
