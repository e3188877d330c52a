"""Where something round of a given height can go in plan, and where the narrowest place on its way is.

Everything solid is grown by the radius of what passes (its configuration space); what is left of the plan falls into
parts, and two places are joined when one part holds both. The widest that passes is found by halving; where the way
closes, the two things that close it are named, and the gap between them is then measured exactly.

References
----------
T. Lozano-Perez, Spatial planning: a configuration space approach, IEEE Trans. Computers C-32 (1983).
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import hypot, inf

import numpy as np
import shapely
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry import box as shapely_box
from shapely.geometry.base import BaseGeometry

from geometry.ceilings import too_low
from geometry.grown import QUARTER_SIDES, Shapes, grown, sums
from geometry.scene import Scene, Solid
from geometry.shapes import Footprint, convex_parts, disc, separation
from geometry.units import DEPTH_TOLERANCE_MM, Point

PRECISION_MM = 0.1
FINE_SIDES = 32
"""Sides a quarter where a width is measured: then round corners cost at most 0.2 mm."""
MARGIN_MM = 6_000.0
_SLIVER_MM2 = 1.0
_SKIN_MM = 1.0

Parts = tuple[BaseGeometry, ...]
Goal = Callable[[Footprint], BaseGeometry]
"""The place to be reached by the origin of a shape that stands about it."""


@dataclass(frozen=True)
class Obstacle:
    """Something that stands in the way, and whose it is."""

    owner: str
    plan: Footprint


@dataclass(frozen=True)
class Pinch:
    """The narrowest place on the widest way: how wide, where, and between which two things."""

    width_mm: float
    at: Point
    between: tuple[str, str]


@dataclass(frozen=True)
class Ground:
    """The plan as something of one height sees it."""

    obstacles: tuple[Obstacle, ...]

    @cached_property
    def plans(self) -> tuple[Footprint, ...]:
        """The obstacles' shapes."""
        return tuple(obstacle.plan for obstacle in self.obstacles)

    @cached_property
    def frame(self) -> BaseGeometry:
        """A box round everything, wide enough to walk round outside."""
        bounds = [plan.bounds for plan in self.plans] or [(0.0, 0.0, 0.0, 0.0)]
        m = MARGIN_MM
        return shapely_box(
            min(b[0] for b in bounds) - m, min(b[1] for b in bounds) - m,
            max(b[2] for b in bounds) + m, max(b[3] for b in bounds) + m,
        )  # fmt: skip

    @cached_property
    def _made(self) -> dict[tuple[float, int], Parts]:
        return {}

    def free(self, radius_mm: float, sides: int = QUARTER_SIDES) -> Parts:
        """The parts of the plan where the middle of a disc may be: never larger than they are."""
        key = (radius_mm, sides)
        if key not in self._made:
            self._made[key] = self._left(grown(self.plans, radius_mm, sides))
        return self._made[key]

    def free_of(self, corners: Sequence[Point], *, enclosing: bool = True) -> Parts:
        """The parts of the plan where the origin of a convex shape may be, not turning.

        ``enclosing``: never larger than they are; without it never smaller.
        """
        return self._left(sums(self.plans, corners, enclosing=enclosing), 0.0 if not enclosing else _SLIVER_MM2)

    def free_of_square(self, half_mm: float) -> Parts:
        """The parts where the middle of a square may be, square to the room, every obstacle taken as its bounds.

        Never larger than what a disc inside the square has, and sooner worked out.
        """
        x0, y0, x1, y1 = np.array([plan.bounds for plan in self.plans]).reshape(-1, 4).T
        return self._left(np.asarray(shapely.box(x0 - half_mm, y0 - half_mm, x1 + half_mm, y1 + half_mm)))

    def _left(self, taken: Shapes, least_mm2: float = _SLIVER_MM2) -> Parts:
        rest = self.frame.difference(shapely.union_all(taken))
        return tuple(part for part in shapely.get_parts(rest) if part.area > least_mm2)


def ground_for(
    scene: Scene,
    from_mm: float,
    to_mm: float,
    without: frozenset[str] = frozenset(),
    besides: Sequence[Solid] = (),
    *,
    roof: bool = True,
) -> Ground:
    """The plan for something that fills a height band, with some pieces, and single solids besides, taken away.

    Without ``roof`` the ceiling is not in its way.
    """
    found = [
        Obstacle(solid.owner, solid.plan)
        for solid, within in zip(scene.solids, _held_within(scene), strict=True)
        if solid.meets_band(from_mm, to_mm)
        and solid.owner not in without
        and solid not in besides
        and not (within is not None and within.meets_band(from_mm, to_mm))
    ]
    if roof:
        found += [Obstacle(name, area) for name, area in lower_than(scene, to_mm)]
    return Ground(tuple(found))


def _held_within(scene: Scene) -> tuple[Solid | None, ...]:
    """For each solid the body of its own piece that holds it in plan, if one does: where both are, one is enough."""
    if "held within" not in scene.memo:
        bodies = {solid.owner: solid for solid in scene.solids if solid.part == "body"}
        scene.memo["held within"] = tuple(
            body
            if solid.part == "sticks-out" and (body := bodies[solid.owner]) and holds(body.plan, solid.plan)
            else None
            for solid in scene.solids
        )
    found: tuple[Solid | None, ...] = scene.memo["held within"]
    return found


def holds(outer: Footprint, inner: Footprint) -> bool:
    """Whether a plan shape certainly holds another: asked of boxes and discs alone.

    >>> from geometry.shapes import box, disc
    >>> holds(box(0, 0, 9, 9), disc((4, 4), 4)), holds(disc((0, 0), 5), box(-3, -4, 3, 4))
    (True, True)
    >>> holds(disc((0, 0), 5), box(0, 0, 4, 4))
    False
    """
    if outer.is_box:
        a, b = outer.bounds, inner.bounds
        return a[0] <= b[0] and a[1] <= b[1] and b[2] <= a[2] and b[3] <= a[3]
    if len(outer.points) > 1:
        return False
    (x, y), room = outer.points[0], outer.radius_mm - inner.radius_mm
    return all(hypot(px - x, py - y) <= room for px, py in inner.points)


def lower_than(scene: Scene, top_mm: float) -> list[tuple[str, Footprint]]:
    """Where the ceiling is lower than that: slopes and beams, and the whole room under a low flat ceiling."""
    found = too_low(scene.roof, top_mm - DEPTH_TOLERANCE_MM)
    if scene.roof.flat_mm is not None and scene.roof.flat_mm < top_mm - DEPTH_TOLERANCE_MM:
        found += [("ceiling", part) for part in convex_parts(scene.room.outline_mm)]
    return found


def meeting(free: Iterable[BaseGeometry], place: BaseGeometry) -> Parts:
    """The parts that meet a place."""
    return tuple(part for part in free if part.intersects(place))


def joined(free: Iterable[BaseGeometry], start: BaseGeometry, goal: BaseGeometry) -> bool:
    """Whether one part of the free plan meets both places."""
    return any(part.intersects(start) and part.intersects(goal) for part in free)


def passes(ground: Ground, start: BaseGeometry, goal: Goal, width_mm: float, sides: int = QUARTER_SIDES) -> bool:
    """Whether a disc of a diameter can go from one place to another."""
    return joined(ground.free(width_mm / 2, sides), start, goal(round_of(width_mm)))


def round_of(width_mm: float) -> Footprint:
    """A disc of a diameter about the origin."""
    return disc((0.0, 0.0), width_mm / 2)


def pinch(ground: Ground, start: BaseGeometry, goal: Goal, most_mm: float) -> Pinch | None:
    """The narrowest place on the widest way from a place to a goal; None where ``most_mm`` passes.

    The width is good to 0.5 mm, and exact where the way closes between two things.
    """
    if passes(ground, start, goal, most_mm, FINE_SIDES):
        return None
    low, high = 0.0, most_mm
    while high - low > PRECISION_MM:
        middle = (low + high) / 2
        low, high = (middle, high) if passes(ground, start, goal, middle, FINE_SIDES) else (low, middle)
    at = _gate(ground, start, goal, low, high)
    gap, between = _between(ground, at)
    exact = low - DEPTH_TOLERANCE_MM <= gap <= high + DEPTH_TOLERANCE_MM
    return Pinch(gap if exact else low, at, between)


def _gate(ground: Ground, start: BaseGeometry, goal: Goal, low: float, high: float) -> Point:
    """Where the way closes when the width goes from ``low`` to ``high``: between two parts, or at one of its ends."""
    free = ground.free(high / 2, FINE_SIDES)
    near, far = meeting(free, start), meeting(free, goal(round_of(high)))
    still = meeting(meeting(ground.free(low / 2, FINE_SIDES), start), goal(round_of(low)))
    if near and far:
        return _closing(shapely.union_all(near), shapely.union_all(far), still)
    place = goal(round_of(low)) if near else start
    ends = [part.intersection(place) for part in still]
    if ends:
        return _a_point(shapely.union_all(ends))
    return _middle(start, shapely.union_all(far) if far else goal(round_of(low)))


def _closing(near: BaseGeometry, far: BaseGeometry, still: Parts) -> Point:
    """A point of what has just closed between two parts: of what was free, and is now far from both."""
    rest = shapely.union_all(still).difference(shapely.union_all([near.buffer(_SKIN_MM), far.buffer(_SKIN_MM)]))
    strips = [strip for strip in shapely.get_parts(rest) if strip.distance(near) <= 2 * _SKIN_MM]
    if not strips:
        return _middle(near, far)
    return _a_point(min(strips, key=lambda strip: (round(strip.distance(far), 3), strip.bounds)))


def _a_point(shape: BaseGeometry) -> Point:
    point = shape.representative_point()
    return (float(point.x), float(point.y))


def _middle(a: BaseGeometry, b: BaseGeometry) -> Point:
    ends = shapely.get_coordinates(shapely.shortest_line(a, b))
    if not len(ends):
        ends = shapely.get_coordinates(a.representative_point())
    (x0, y0), (x1, y1) = ends[0], ends[-1]
    return (float(x0 + x1) / 2, float(y0 + y1) / 2)


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
        if x * away[0] + y * away[1] < 0.3:
            names = sorted((first.owner, other.owner))
            return separation(first.plan, other.plan).gap_mm, (names[0], names[1])
    return inf, (first.owner, first.owner)


def _toward(at: Point, plan: Footprint) -> Point:
    move = separation(Footprint((at,), 0.0), plan).move_mm
    length = hypot(*move) or 1.0
    return (move[0] / length, move[1] / length)


def spot(at: Point) -> BaseGeometry:
    """A plan point as a place."""
    return ShapelyPoint(at)
