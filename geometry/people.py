"""Where people can stand, and what is between them and what they reach for or look at."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import cos, hypot, radians, sin

import shapely
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry.base import BaseGeometry

from geometry.kit import Access
from geometry.rules import RulePack
from geometry.scene import Box6, Placed, Scene, Solid
from geometry.shapes import Footprint, overlap_mm
from geometry.units import DEPTH_TOLERANCE_MM, Point, Point3
from geometry.ways import walk

HALF_PERSON_MM = 250.0
"""Half the least walkway: a person's middle is this far from what they lean against."""
HALF_HAND_MM = 40.0
"""Half a hand with a tool in it (MIL-STD-1472, hand holding a thin item 95 mm, from memory)."""
_RING_STEP_DEG = 15


@dataclass(frozen=True)
class Spot:
    """An access point of a placed piece, in room coordinates, and the way it faces."""

    placed: Placed
    access: Access
    at: Point3
    out: Point3


def spots(scene: Scene, only: frozenset[str] | None) -> list[Spot]:
    """Every access point of the pieces asked for."""
    return [
        Spot(placed, access, placed.to_room(access.at_mm), placed.direction(access.faces))
        for placed in scene.placed
        if only is None or placed.id in only
        for access in placed.kit.access
    ]


def standing_floor(scene: Scene, pack: RulePack) -> BaseGeometry:
    """Where the middle of a person can be: upright where there is headroom, kneeling elsewhere, coming from a door."""
    least = pack.number("walkway-least")
    heights = ("walkway-headroom", "kneel-height")
    floors = [walk(scene, pack.number(key), pack.number("step-over")).reached(least) for key in heights]
    return shapely.union_all(floors)


def standing_places(floor: BaseGeometry, spot: Spot, reach_mm: float) -> Iterator[Point]:
    """Places to stand for an access point, nearest first: the nearest of all, then rings round it in front."""
    x, y, _ = spot.at
    here = ShapelyPoint(x, y)
    nearest = shapely.get_coordinates(shapely.shortest_line(floor, here))
    if len(nearest):
        first = (float(nearest[0][0]), float(nearest[0][1]))
        if _in_front(spot, first):
            yield first
    for ring in (0.35, 0.6, 0.8, 1.0):
        radius = HALF_PERSON_MM + ring * reach_mm
        turns = range(0, 360, _RING_STEP_DEG)
        around = [(x + radius * cos(radians(t)), y + radius * sin(radians(t))) for t in turns]
        for point in around:
            if _in_front(spot, point) and floor.intersects(ShapelyPoint(point)):
                yield point


def _in_front(spot: Spot, point: Point) -> bool:
    """Whether a point is on the side an access point faces; one that faces up or down is come at from any side."""
    dx, dy = point[0] - spot.at[0], point[1] - spot.at[1]
    return bool(spot.out[2]) or dx * spot.out[0] + dy * spot.out[1] > -DEPTH_TOLERANCE_MM


def arm_depth_mm(stand: Point, at: Point3) -> float:
    """How far a person who stands there reaches in, from the front of the body."""
    return max(0.0, hypot(at[0] - stand[0], at[1] - stand[1]) - HALF_PERSON_MM)


def in_arms_way(scene: Scene, spot: Spot, stand: Point) -> Solid | None:
    """The first solid that an arm to an access point meets at its height; the piece's own body left out."""
    x, y, z = spot.at
    arm = Footprint(((stand[0], stand[1]), (x, y)), HALF_HAND_MM)
    x0, y0, x1, y1 = arm.bounds
    (near,) = scene.near([(x0, y0, z - HALF_HAND_MM, x1, y1, z + HALF_HAND_MM)])
    for solid in near:
        if solid.owner != spot.placed.id and overlap_mm(arm, solid.plan) > HALF_HAND_MM:
            return solid
    return None


def hidden_by(scene: Scene, eye: Point3, target: Point3, own: str) -> Solid | None:
    """The first solid between an eye and what it looks at, or None.

    ``own`` is the piece that is looked at: its body hides its own far side only past the last 60 mm, where covers,
    handles and the target's own mount are.
    """
    box: Box6 = (
        min(eye[0], target[0]), min(eye[1], target[1]), min(eye[2], target[2]),
        max(eye[0], target[0]), max(eye[1], target[1]), max(eye[2], target[2]),
    )  # fmt: skip
    (near,) = scene.near([_thick(box)])
    for solid in near:
        end = 1.0 if solid.owner != own else max(0.0, 1 - 60.0 / (_length(eye, target) or 1.0))
        if _crosses(solid, eye, target, end):
            return solid
    return None


def _thick(box: Box6) -> Box6:
    return (box[0] - 1, box[1] - 1, box[2] - 1, box[3] + 1, box[4] + 1, box[5] + 1)


def _length(a: Point3, b: Point3) -> float:
    return hypot(b[0] - a[0], b[1] - a[1], b[2] - a[2])


def _crosses(solid: Solid, eye: Point3, target: Point3, end: float) -> bool:
    span = inside_span(solid.plan, (eye[0], eye[1]), (target[0], target[1]))
    if span is None:
        return False
    first, last = max(0.0, span[0]), min(end, span[1])
    if (last - first) * _length(eye, target) <= DEPTH_TOLERANCE_MM:
        return False
    heights = [eye[2] + t * (target[2] - eye[2]) for t in (first, last)]
    return min(max(heights), solid.to_mm) - max(min(heights), solid.from_mm) > -1e-9 and (
        solid.from_mm < max(heights) and solid.to_mm > min(heights)
    )


def inside_span(plan: Footprint, a: Point, b: Point) -> tuple[float, float] | None:
    """The part of the segment a-b, as fractions, that lies inside a shape; None where it misses it.

    >>> from geometry.shapes import box, disc
    >>> inside_span(box(2, -1, 4, 1), (0, 0), (10, 0))
    (0.2, 0.4)
    >>> inside_span(disc((5, 0), 1), (0, 0), (10, 0))
    (0.4, 0.6)
    """
    dx, dy = b[0] - a[0], b[1] - a[1]
    spans = [*_in_core(plan, a, dx, dy), *_in_round(plan, a, dx, dy)]
    if not spans:
        return None
    return min(s for s, _ in spans), max(e for _, e in spans)


def _in_core(plan: Footprint, a: Point, dx: float, dy: float) -> Iterable[tuple[float, float]]:
    """Where the line is inside the polygon grown by its radius, corners left out."""
    n = len(plan.points)
    if n < 3:
        return []
    low, high = 0.0, 1.0
    for i in range(n):
        (px, py), (qx, qy) = plan.points[i], plan.points[(i + 1) % n]
        nx, ny = qy - py, px - qx
        offset = plan.radius_mm * hypot(nx, ny)
        depth, slope = nx * (a[0] - px) + ny * (a[1] - py) - offset, nx * dx + ny * dy
        if slope == 0:
            if depth > 0:
                return []
        elif slope > 0:
            high = min(high, -depth / slope)
        else:
            low = max(low, -depth / slope)
    return [(low, high)] if low < high else []


def _in_round(plan: Footprint, a: Point, dx: float, dy: float) -> Iterable[tuple[float, float]]:
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
