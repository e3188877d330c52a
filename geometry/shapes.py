"""Plan shapes and what can be measured between them, exactly.

A `Footprint` is a convex polygon grown by a radius: a box has four points and radius 0, a round body one point and
its radius, the sweep of a round body two points and its radius. So circles stay true circles everywhere.

References
----------
Convex sets A and B meet where the origin lies in their Minkowski difference: C. Ericson, Real-Time Collision
Detection (2005), sections 3.11 and 9.5.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import cos, hypot, inf, pi, radians, sin

import numpy as np
import shapely
from shapely.geometry import Polygon

from geometry.units import Point

_CIRCLE_SEGMENTS = 128
Bounds = tuple[float, float, float, float]
_ANGLES = np.arange(_CIRCLE_SEGMENTS) * 2 * pi / _CIRCLE_SEGMENTS
_RING = np.column_stack([np.cos(_ANGLES), np.sin(_ANGLES)]) / cos(pi / _CIRCLE_SEGMENTS)


@dataclass(frozen=True)
class Footprint:
    """A convex polygon, anticlockwise, grown by ``radius_mm``."""

    points: tuple[Point, ...]
    radius_mm: float = 0.0

    @cached_property
    def bounds(self) -> Bounds:
        """(min x, min y, max x, max y) in mm."""
        xs = [x for x, _ in self.points]
        ys = [y for _, y in self.points]
        r = self.radius_mm
        return min(xs) - r, min(ys) - r, max(xs) + r, max(ys) + r

    @cached_property
    def is_box(self) -> bool:
        """Whether it is a rectangle square to the room."""
        if self.radius_mm or len(self.points) != 4:
            return False
        x0, y0, x1, y1 = self.bounds
        return set(self.points) == {(x0, y0), (x1, y0), (x1, y1), (x0, y1)}

    @cached_property
    def core(self) -> Bounds:
        """Bounds of the points alone, without the radius."""
        xs = [x for x, _ in self.points]
        ys = [y for _, y in self.points]
        return min(xs), min(ys), max(xs), max(ys)

    @cached_property
    def is_square(self) -> bool:
        """Whether its core is a point, a line along an axis of the room, or a rectangle square to it."""
        x0, y0, x1, y1 = self.core
        return set(self.points) == {(x0, y0), (x1, y0), (x1, y1), (x0, y1)}

    @cached_property
    def centre(self) -> Point:
        """Middle of the bounds."""
        x0, y0, x1, y1 = self.bounds
        return (x0 + x1) / 2, (y0 + y1) / 2

    @cached_property
    def polygon(self) -> Polygon:
        """A polygon that encloses the shape: round corners stand out by at most 0.03 % of the radius.

        >>> round(disc((0, 0), 275).polygon.bounds[2] - 275, 3)
        0.083
        """
        if self.radius_mm == 0:
            return Polygon(self.points)
        corners = (np.array(self.points)[:, None, :] + self.radius_mm * _RING[None, :, :]).reshape(-1, 2)
        if len(self.points) > 1:
            corners = shapely.get_coordinates(shapely.convex_hull(shapely.multipoints(corners)))
        return Polygon(corners)

    @property
    def area_mm2(self) -> float:
        """True area: core, sides and corners."""
        core, perimeter = _area_and_perimeter(self.points)
        return core + perimeter * self.radius_mm + pi * self.radius_mm**2

    def moved(self, dx_mm: float, dy_mm: float) -> "Footprint":
        """The shape moved by (dx, dy)."""
        return Footprint(tuple((x + dx_mm, y + dy_mm) for x, y in self.points), self.radius_mm)

    def reach(self, direction: Point) -> float:
        """How far the shape extends along a unit direction, in mm from the origin."""
        return max(x * direction[0] + y * direction[1] for x, y in self.points) + self.radius_mm


def _area_and_perimeter(points: Sequence[Point]) -> tuple[float, float]:
    n = len(points)
    if n < 2:
        return 0.0, 0.0
    pairs = [(points[i], points[(i + 1) % n]) for i in range(n)]
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs) / 2
    return area, sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairs)


def disc(centre: Point, radius_mm: float) -> Footprint:
    """A round footprint."""
    return Footprint((centre,), radius_mm)


def box(x0: float, y0: float, x1: float, y1: float) -> Footprint:
    """A rectangle square to the room."""
    return Footprint(((x0, y0), (x1, y0), (x1, y1), (x0, y1)))


def hull(points: Sequence[Point]) -> tuple[Point, ...]:
    """Convex hull, anticlockwise, without points on its edges (Andrew's monotone chain).

    >>> hull([(0, 0), (2, 0), (1, 0), (2, 2), (0, 2), (1, 1)])
    ((0, 0), (2, 0), (2, 2), (0, 2))
    """
    ordered = sorted(set(points))
    if len(ordered) < 3:
        return tuple(ordered)
    lower = _chain(ordered)
    upper = _chain(ordered[::-1])
    return tuple(lower[:-1] + upper[:-1])


def _chain(points: Sequence[Point]) -> list[Point]:
    chain: list[Point] = []
    for p in points:
        while len(chain) > 1 and _cross(chain[-2], chain[-1], p) <= 0:
            chain.pop()
        chain.append(p)
    return chain


def _cross(o: Point, a: Point, b: Point) -> float:
    return (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0])


def convex_parts(outline: Sequence[Point]) -> tuple[Footprint, ...]:
    """A simple outline as convex parts that cover it exactly.

    >>> len(convex_parts([(0, 0), (4, 0), (4, 4), (0, 4)]))
    1
    >>> round(sum(p.area_mm2 for p in convex_parts([(0, 0), (4, 0), (4, 2), (2, 2), (2, 4), (0, 4)])))
    12
    """
    polygon = shapely.orient_polygons(Polygon(outline))
    points = tuple((float(x), float(y)) for x, y in polygon.exterior.coords[:-1])
    if abs(polygon.convex_hull.area - polygon.area) <= 1e-9 * polygon.area:
        return (Footprint(hull(points)),)
    triangles = shapely.constrained_delaunay_triangles(polygon)
    return tuple(Footprint(part) for part in _joined([_ring(t) for t in shapely.get_parts(triangles)]))


def _ring(polygon: Polygon) -> tuple[Point, ...]:
    return tuple((float(x), float(y)) for x, y in shapely.orient_polygons(polygon).exterior.coords[:-1])


def _joined(parts: list[tuple[Point, ...]]) -> list[tuple[Point, ...]]:
    """Join neighbours while the join stays convex (Hertel and Mehlhorn, 1983)."""
    rest, found = list(parts), []
    while rest:
        here = rest.pop(0)
        while (other := next((part for part in rest if _join_is_convex(here, part)), None)) is not None:
            rest.remove(other)
            here = hull(here + other)
        found.append(here)
    return found


def _join_is_convex(a: tuple[Point, ...], b: tuple[Point, ...]) -> bool:
    if len(set(a).intersection(b)) != 2:
        return False
    whole, one, other = (_area_and_perimeter(part)[0] for part in (hull(a + b), a, b))
    return abs(whole - one - other) <= 1e-9 * whole


def swept(part: Footprint, direction: Sequence[float], length_mm: float) -> Footprint:
    """The convex area that a shape covers when it slides that far along a unit direction.

    >>> swept(box(0, 0, 1, 1), (0.0, 1.0, 0.0), 5).bounds
    (0.0, 0.0, 1.0, 6.0)
    """
    dx, dy = direction[0] * length_mm, direction[1] * length_mm
    return Footprint(hull([*part.points, *((x + dx, y + dy) for x, y in part.points)]), part.radius_mm)


@dataclass(frozen=True)
class Sweep:
    """What a shape will cover when it slides: worked out only when somebody wants to see it."""

    part: Footprint
    direction: tuple[float, float, float]
    length_mm: float

    @property
    def footprint(self) -> Footprint:
        """The area covered."""
        return swept(self.part, self.direction, self.length_mm)


def turned(point: Point, turn_deg: float) -> Point:
    """A point turned anticlockwise about the origin; exact at quarter turns.

    >>> turned((0, -1), 90)
    (1, 0)
    """
    quarter = turn_deg % 360
    x, y = point
    if quarter % 90 == 0:
        return [(x, y), (-y, x), (-x, -y), (y, -x)][int(quarter // 90)]
    c, s = cos(radians(quarter)), sin(radians(quarter))
    return (c * x - s * y, s * x + c * y)


@dataclass(frozen=True)
class Separation:
    """Signed distance between two shapes, and the smallest move of the first that makes them touch.

    ``gap_mm`` is negative by the depth when they overlap.
    """

    gap_mm: float
    move_mm: Point


def separation(a: Footprint, b: Footprint) -> Separation:
    """Signed gap between two shapes and the smallest move of ``a`` that brings them to contact.

    >>> separation(box(0, 0, 100, 100), box(90, 20, 200, 80)).move_mm
    (-10.0, 0.0)
    >>> round(separation(disc((0, 0), 275), disc((700, 300), 200)).gap_mm, 6)
    286.577311
    """
    if a.is_box and b.is_box:
        return _between_boxes(a.bounds, b.bounds)
    core = hull([(bx - ax, by - ay) for bx, by in b.points for ax, ay in a.points])
    reach = a.radius_mm + b.radius_mm
    distance, away = _signed_distance(core)
    gap = distance - reach
    return Separation(gap, (-away[0] * gap + 0.0, -away[1] * gap + 0.0))


def _between_boxes(a: Bounds, b: Bounds) -> Separation:
    """The same for two rectangles square to the room, without the general case's work."""
    right, left, back, front = b[0] - a[2], a[0] - b[2], b[1] - a[3], a[1] - b[3]
    dx, dy = max(right, left), max(back, front)
    sx, sy = (1.0 if right >= left else -1.0), (1.0 if back >= front else -1.0)
    if dx > 0 and dy > 0:
        return Separation(hypot(dx, dy), (sx * dx, sy * dy))
    return Separation(dx, (sx * dx, 0.0)) if dx >= dy else Separation(dy, (0.0, sy * dy))


def _signed_distance(core: tuple[Point, ...]) -> tuple[float, Point]:
    """Distance from the origin to a convex polygon (negative inside), and the unit vector from it to the origin."""
    n = len(core)
    best, away, inside = inf, (1.0, 0.0), n > 2
    for i in range(n):
        (px, py), (qx, qy) = core[i], core[(i + 1) % n]
        ex, ey = qx - px, qy - py
        length = hypot(ex, ey)
        if length > 0:
            nx, ny = ey / length, -ex / length
            if -(px * nx + py * ny) > 0:
                inside = False
    for i in range(n):
        (px, py), (qx, qy) = core[i], core[(i + 1) % n]
        ex, ey = qx - px, qy - py
        length = hypot(ex, ey)
        t = 0.0 if length == 0 else min(1.0, max(0.0, -(px * ex + py * ey) / length**2))
        nearest = (px + t * ex, py + t * ey)
        d = hypot(*nearest)
        if d < best - 1e-12:
            best = d
            away = _unit((-nearest[0], -nearest[1]), (ey, -ex), inside)
    return (-best if inside else best), away


def _unit(vector: Point, normal: Point, inside: bool) -> Point:
    length = hypot(*vector)
    if length < 1e-9:
        vector, length = normal, hypot(*normal)
        return (1.0, 0.0) if length == 0 else (vector[0] / length, vector[1] / length)
    sign = -1.0 if inside else 1.0
    return sign * vector[0] / length, sign * vector[1] / length


def overlap_mm(a: Footprint, b: Footprint) -> float:
    """Depth by which two shapes overlap along the smallest move that parts them; 0 where they do not."""
    if not bounds_meet(a.bounds, b.bounds):
        return 0.0
    return max(0.0, -separation(a, b).gap_mm)


def bounds_meet(a: Bounds, b: Bounds) -> bool:
    """Whether two bounds share more than an edge."""
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
