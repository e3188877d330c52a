"""Straight lines of sight and of an arm against what is solid: which solid a line meets, and whose shadow lies where.

The shadow of a solid, seen from a point, is where the point cannot be seen from: every place behind the solid. For a
plan shape it is the union of the shape drawn larger and larger about the point, which is convex when the shape is;
how much larger follows from the heights of the point, the eye and the solid. So hidden and seen are told exactly for
every place at once, and not only for the places somebody thought of trying.
"""

from collections.abc import Iterable
from math import hypot, inf

import numpy as np
import shapely
from shapely.geometry import LineString
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry.base import BaseGeometry

from geometry.grown import grown
from geometry.shapes import Footprint
from geometry.units import DEPTH_TOLERANCE_MM, SAME_MM, Point, Point3

_FAR_MM = 6_000.0
_ORIGIN = ShapelyPoint(0.0, 0.0)


def shadow(plan: Footprint, target: Point, nearest: float = 1.0, farthest: float = inf) -> BaseGeometry:
    """Where a plan shape lies between a target and an eye: the shape drawn larger about the target.

    ``nearest`` and ``farthest`` are the scales between which it counts; what lies farther than 6 m is left out.

    >>> from geometry.shapes import box
    >>> shadow(box(100, -50, 200, 50), (0, 0), 1, 2).bounds
    (100.0, -100.0, 400.0, 100.0)
    """
    ring = shapely.get_coordinates(grown([plan], 0.0)[0]) if plan.radius_mm else np.array(plan.points)
    ring = ring - target
    reach = max(float(LineString(np.vstack([ring, ring[:1]])).distance(_ORIGIN)), 1.0)
    scales = (nearest, min(farthest, max(_FAR_MM / reach, nearest)))
    return LineString(np.vstack([ring * scale + target for scale in scales])).convex_hull


def eye_shadow(plan: Footprint, from_mm: float, to_mm: float, target: Point3, eye_mm: float) -> BaseGeometry | None:
    """Where eyes of a height do not see a target for a solid of a height band; None where it hides nothing.

    >>> from geometry.shapes import box
    >>> eye_shadow(box(100, -50, 200, 50), 0, 500, (0, 0, 1000), 1500) is None
    True
    """
    span = _span_in_band(from_mm, to_mm, target[2], eye_mm)
    if span is None:
        return None
    return shadow(plan, (target[0], target[1]), 1 / span[1], 1 / span[0] if span[0] > 0 else inf)


def _span_in_band(from_mm: float, to_mm: float, start_mm: float, end_mm: float) -> tuple[float, float] | None:
    """The part of a line, as fractions, whose height lies in a band; None where none of it does."""
    rise = end_mm - start_mm
    if abs(rise) < SAME_MM:
        return (0.0, 1.0) if from_mm < start_mm < to_mm else None
    ends = sorted(((from_mm - start_mm) / rise, (to_mm - start_mm) / rise))
    low, high = max(0.0, ends[0]), min(1.0, ends[1])
    return (low, high) if high - low > SAME_MM else None


def meets(plan: Footprint, from_mm: float, to_mm: float, start: Point3, end: Point3) -> bool:
    """Whether a straight line goes through a solid by more than rounding.

    >>> from geometry.shapes import box
    >>> [meets(box(40, -10, 60, 10), 0, top, (0, 0, 400), (100, 0, 400)) for top in (500, 400)]
    [True, False]
    """
    level = _span_in_band(from_mm, to_mm, start[2], end[2])
    inside = inside_span(plan, (start[0], start[1]), (end[0], end[1]))
    if level is None or inside is None:
        return False
    length = hypot(end[0] - start[0], end[1] - start[1], end[2] - start[2])
    return (min(level[1], inside[1]) - max(level[0], inside[0])) * length > DEPTH_TOLERANCE_MM


def inside_span(plan: Footprint, a: Point, b: Point) -> tuple[float, float] | None:
    """The part of the line a-b, as fractions, that lies inside a shape; None where it misses it.

    >>> from geometry.shapes import box, disc
    >>> inside_span(box(2, -1, 4, 1), (0, 0), (10, 0))
    (0.2, 0.4)
    >>> inside_span(disc((5, 0), 1), (0, 0), (10, 0))
    (0.4, 0.6)
    """
    dx, dy = b[0] - a[0], b[1] - a[1]
    spans = [*_in_sides(plan, a, dx, dy), *_in_rounds(plan, a, dx, dy)]
    if not spans:
        return None
    return min(s for s, _ in spans), max(e for _, e in spans)


def _in_sides(plan: Footprint, a: Point, dx: float, dy: float) -> Iterable[tuple[float, float]]:
    """Where the line is inside the polygon itself, and inside the strips by which its sides are grown."""
    if len(plan.points) > 2:
        yield from _in_polygon(plan.points, a, dx, dy)
    if plan.radius_mm and len(plan.points) > 1:
        for p, q in zip(plan.points, (*plan.points[1:], plan.points[0]), strict=True):
            yield from _in_polygon(_strip(p, q, plan.radius_mm), a, dx, dy)


def _strip(p: Point, q: Point, radius: float) -> tuple[Point, ...]:
    length = hypot(q[0] - p[0], q[1] - p[1])
    nx, ny = radius * (q[1] - p[1]) / length, -radius * (q[0] - p[0]) / length
    return ((p[0] - nx, p[1] - ny), (p[0] + nx, p[1] + ny), (q[0] + nx, q[1] + ny), (q[0] - nx, q[1] - ny))


def _in_polygon(points: tuple[Point, ...], a: Point, dx: float, dy: float) -> list[tuple[float, float]]:
    low, high = 0.0, 1.0
    for (px, py), (qx, qy) in zip(points, (*points[1:], points[0]), strict=True):
        nx, ny = qy - py, px - qx
        depth, slope = nx * (a[0] - px) + ny * (a[1] - py), nx * dx + ny * dy
        if slope == 0:
            if depth >= 0:
                return []
        elif slope > 0:
            high = min(high, -depth / slope)
        else:
            low = max(low, -depth / slope)
    return [(low, high)] if low < high else []


def _in_rounds(plan: Footprint, a: Point, dx: float, dy: float) -> list[tuple[float, float]]:
    if plan.radius_mm == 0:
        return []
    found = []
    square = dx * dx + dy * dy
    for px, py in plan.points:
        fx, fy = a[0] - px, a[1] - py
        half, rest = fx * dx + fy * dy, fx * fx + fy * fy - plan.radius_mm**2
        root = half * half - square * rest
        if square > 0 and root > 0:
            low, high = (-half - root**0.5) / square, (-half + root**0.5) / square
            if high > 0 and low < 1:
                found.append((max(0.0, low), min(1.0, high)))
    return found
