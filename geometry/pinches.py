"""The narrowest place on the widest way from one place to another: how wide, where, and between which two things.

The width is halved roughly first, with everything solid joined and grown at once. Where the way closes then, the two
things that close it are named; the gap between them is measured exactly, and asked again with everything grown one by
one. Where no such gap is the reason (the place itself is too narrow, or three things meet), it is halved finely.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import combinations
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
_NEAR_MM = 5.0
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
        return Pinch(0.0, _points(start)[0], ("", ""))
    way = _Way(ground, start, goal)
    low, high = way.ends(most_mm)
    ends = (max(0.0, low * (1 - ROUGHNESS) - ROUGH_MM), min(high * (1 + ROUGHNESS) + ROUGH_MM, most_mm))
    closing = way.closing(low, high)
    if closing is None:
        return _at_its_start(way, low, ends)
    told = _told(ground, (low + high) / 2, closing, ends[1] - ends[0])
    if way.closes_at(told.width_mm):
        return told
    low, _ = _halved(lambda width: passes(ground, start, goal, width, FINE_SIDES), ends, FINE_MM)
    return _told(ground, low, closing)


@dataclass(frozen=True)
class _Way:
    """A way that is asked for: over a ground, from a place, to a goal."""

    ground: Ground
    start: BaseGeometry
    goal: Goal

    def roughly(self, width_mm: float) -> bool:
        """Whether something that wide passes, roughly."""
        return bool(self.open(width_mm))

    def ends(self, most_mm: float) -> tuple[float, float]:
        """The widest that passes and the narrowest that does not, roughly; first those of other ways of this ground."""
        known = self.ground.ends_known.setdefault(most_mm, [])
        for low, high in known:
            if (high == most_mm or not self.roughly(high)) and (low == 0.0 or self.roughly(low)):
                return low, high
        known.append(_halved(self.roughly, (0.0, most_mm), ROUGH_MM))
        return known[-1]

    def open(self, width_mm: float) -> Parts:
        """The parts, roughly, through which something that wide passes."""
        near = meeting(self.ground.roughly_free(width_mm / 2), self.start)
        return meeting(near, self.goal(round_of(width_mm))) if near else ()

    def closing(self, low: float, high: float) -> list[Point] | None:
        """Where the way closes when the width goes from the one to the other; None where that is at its start."""
        free = self.ground.roughly_free(high / 2)
        near = meeting(free, self.start)
        if not near:
            return None
        far = meeting(free, self.goal(round_of(high)))
        if far:
            return _between_parts(shapely.union_all(near), shapely.union_all(far), self.open(low))
        ends = [part.intersection(self.goal(round_of(low))) for part in self.open(low)]
        return _points(shapely.union_all(ends) if ends else self.start)

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
    return _told(way.ground, low, _points(shapely.union_all(inside) if inside else rest))


def _told(ground: Ground, width_mm: float, at: Iterable[Point], slack_mm: float = DEPTH_TOLERANCE_MM) -> Pinch:
    """The pinch at one of several places that are as good: that of the first two things by name.

    Their gap is taken for the width where it is that within some slack.
    """
    found = [(*_between(ground, point, width_mm), point) for point in at]
    gap, between, place = min(found, key=lambda one: (one[1], one[2]))
    return Pinch(gap if abs(gap - width_mm) <= slack_mm else width_mm, place, between)


def _halved(holds: Callable[[float], bool], ends: tuple[float, float], until: float) -> tuple[float, float]:
    """The widest that holds and the narrowest that does not, halved until they are that near."""
    low, high = ends
    while high - low > until:
        middle = (low + high) / 2
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low, high


def _between_parts(near: BaseGeometry, far: BaseGeometry, still: Parts) -> list[Point] | None:
    """Points of what has just closed between two parts: of what was free, and is now far from both.

    None where nothing has: then what is left near the start was never on the way.
    """
    rest = shapely.union_all(still).difference(shapely.union_all([near.buffer(_SKIN_MM), far.buffer(_SKIN_MM)]))
    strips = [strip for strip in shapely.get_parts(rest) if strip.distance(near) <= 2 * _SKIN_MM]
    if strips:
        least = min(strip.distance(far) for strip in strips) + _SKIN_MM
        return _points(shapely.union_all([strip for strip in strips if strip.distance(far) <= least]))
    if still and near.distance(far) > 4 * _SKIN_MM:
        return None
    (x0, y0), (x1, y1) = shapely.get_coordinates(shapely.shortest_line(near, far))
    return [(float(x0 + x1) / 2, float(y0 + y1) / 2)]


def _points(shape: BaseGeometry) -> list[Point]:
    """A point well inside each part of a shape, the same one however the shape is turned."""
    found = []
    for part in shapely.get_parts(shape):
        middle = part.centroid
        if not part.intersects(middle) and part.area > 0:
            middle = shapely.get_point(shapely.maximum_inscribed_circle(part, FINE_MM), 0)
        found.append((float(middle.x), float(middle.y)))
    return found


def _between(ground: Ground, at: Point, width_mm: float) -> tuple[float, tuple[str, str]]:
    """The two things on different sides of a point whose gap is nearest to a width, and that gap."""
    away = _away(ground, at, _NEAR_MM + ROUGHNESS * width_mm)
    if not away:
        return inf, ("", "")
    close = min(away.values()) + _NEAR_MM + ROUGHNESS * width_mm
    near = [(i, _toward(at, ground.plans[i])) for i, gap in away.items() if gap <= close]
    pairs: list[tuple[float, str, str, float]] = [
        (abs(round(gap - width_mm, 2)), *_in_order(ground.obstacles[i].owner, ground.obstacles[j].owner), gap)
        for (i, a), (j, b) in combinations(near, 2)
        if a[0] * b[0] + a[1] * b[1] < _SIDEWAYS
        for gap in (separation(ground.plans[i], ground.plans[j]).gap_mm,)
    ]
    if pairs:
        _, one, other, gap = min(pairs)
        return gap, (one, other)
    first = min((round(gap, 2), ground.obstacles[i].owner) for i, gap in away.items())[1]
    return inf, (first, first)


def _away(ground: Ground, at: Point, more_mm: float) -> dict[int, float]:
    """How far everything is from a point, by its place, that is not surely so much farther than the nearest."""
    probe, (x, y) = Footprint((at,), 0.0), at
    bounds = [plan.bounds for plan in ground.plans]
    least = [hypot(max(x0 - x, x - x1, 0.0), max(y0 - y, y - y1, 0.0)) for x0, y0, x1, y1 in bounds]
    found: dict[int, float] = {}
    nearest = inf
    for i in sorted(range(len(least)), key=least.__getitem__):
        if least[i] > nearest + more_mm:
            break
        found[i] = separation(probe, ground.plans[i]).gap_mm
        nearest = min(nearest, found[i])
    return dict(sorted(found.items()))


def _in_order(one: str, other: str) -> tuple[str, str]:
    return (one, other) if one <= other else (other, one)


def _toward(at: Point, plan: Footprint) -> Point:
    move = separation(Footprint((at,), 0.0), plan).move_mm
    length = hypot(*move) or 1.0
    return (move[0] / length, move[1] / length)
