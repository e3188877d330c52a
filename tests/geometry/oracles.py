"""Slow second opinions on plan shapes, through shapely and bisection, that share no formula with the project."""

from collections.abc import Callable
from math import cos, inf, pi, radians, sin
from random import Random

import shapely
from shapely.affinity import translate
from shapely.geometry import LineString, Polygon
from shapely.geometry import Point as Spot
from shapely.geometry.base import BaseGeometry

from geometry.shapes import Footprint, hull, turned
from geometry.units import Point

SEGMENTS = 256
"""Segments of a quarter circle: inscribed by less than 0.002 mm at a radius of 400 mm."""


def random_shape(draw: Random, reach: float = 600) -> Footprint:
    """A box, turned box, disc, stadium or rounded polygon somewhere about the origin."""
    x, y = draw.uniform(-reach, reach), draw.uniform(-reach, reach)
    kind = draw.choice(["box", "turned", "disc", "stadium", "polygon", "rounded"])
    if kind == "disc":
        return Footprint(((x, y),), draw.uniform(20, 350))
    if kind == "stadium":
        along, turn = draw.uniform(10, 500), draw.uniform(0, 2 * pi)
        return Footprint(((x, y), (x + along * cos(turn), y + along * sin(turn))), draw.uniform(20, 350))
    if kind in ("box", "turned"):
        w, d = draw.uniform(40, 700), draw.uniform(40, 700)
        turn_deg = draw.uniform(0, 360) if kind == "turned" else draw.choice([0, 90, 180, 270])
        corners = ((-w / 2, -d / 2), (w / 2, -d / 2), (w / 2, d / 2), (-w / 2, d / 2))
        return Footprint(tuple((px + x, py + y) for px, py in (turned(p, turn_deg) for p in corners)))
    spots = [(x + draw.uniform(-300, 300), y + draw.uniform(-300, 300)) for _ in range(8)]
    return Footprint(hull(spots), draw.uniform(10, 100) if kind == "rounded" else 0.0)


def framed(shape: Footprint, turn_deg: float, at: Point) -> Footprint:
    """The shape turned about the origin, then moved."""
    points = (turned(p, turn_deg) for p in shape.points)
    return Footprint(tuple((x + at[0], y + at[1]) for x, y in points), shape.radius_mm)


def core(shape: Footprint) -> BaseGeometry:
    """The shape without its radius."""
    if len(shape.points) == 1:
        return Spot(shape.points[0])
    return LineString(shape.points) if len(shape.points) == 2 else Polygon(shape.points)


def solid(shape: Footprint) -> BaseGeometry:
    """The shape as a very fine polygon."""
    return core(shape).buffer(shape.radius_mm, quad_segs=SEGMENTS) if shape.radius_mm else core(shape)


def gap(a: Footprint, b: Footprint) -> float:
    """Distance between two shapes that do not overlap."""
    return float(core(a).distance(core(b))) - a.radius_mm - b.radius_mm


def least_way_out(a: Footprint, b: Footprint) -> float:
    """The shortest straight move of ``a`` that parts two overlapping shapes: tried in every direction, by bisection."""
    best, at, nearest, width = inf, 0.0, 0.0, 180.0
    for tries in (72, 9, 9, 9, 9, 9, 9):
        for k in range(tries):
            heading = at + (2 * k / (tries - 1) - 1) * width
            way = _exit(a, b, (cos(radians(heading)), sin(radians(heading))), best)
            if way < best:
                best, nearest = way, heading
        at, width = nearest, 3 * width / (tries - 1)
    return best


def _exit(a: Footprint, b: Footprint, way: Point, best: float) -> float:
    one, other, reach = core(a), core(b), a.radius_mm + b.radius_mm

    def meets(length: float) -> bool:
        return float(other.distance(translate(one, way[0] * length, way[1] * length))) <= reach

    low, high = 0.0, min(best, 3000.0)
    return inf if meets(high) else _bisected(meets, low, high)


def slide(a: Footprint, b: Footprint, way: Point, farthest: float = 5000) -> float | None:
    """How far ``a`` slides before its sweep meets ``b``, by bisection; None if it does not within ``farthest``."""
    one, other, reach = core(a), core(b), a.radius_mm + b.radius_mm

    def apart(length: float) -> bool:
        moved = translate(one, way[0] * length, way[1] * length)
        return float(other.distance(shapely.union(one, moved).convex_hull)) > reach

    return None if apart(farthest) else _bisected(apart, 0.0, farthest)


def _bisected(holds: Callable[[float], bool], low: float, high: float) -> float:
    """Where something that holds at ``low`` and not at ``high`` stops to hold."""
    while high - low > 1e-4:
        middle = (low + high) / 2
        low, high = (middle, high) if holds(middle) else (low, middle)
    return high


def shared_width(a: Footprint, b: Footprint, way: Point) -> float:
    """How much of their width two shapes share, seen along the slide."""
    across = (-way[1], way[0])
    spans = []
    for shape in (a, b):
        sides = [x * across[0] + y * across[1] for x, y in shape.points]
        spans.append((min(sides) - shape.radius_mm, max(sides) + shape.radius_mm))
    return min(spans[0][1], spans[1][1]) - max(spans[0][0], spans[1][0])
