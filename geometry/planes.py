"""The plane that a tool turns in, and what is solid in it: the plan at one height, or an upright plane.

In the upright plane plan shapes become rectangles (where the plane cuts them, times their height band), the floor is
what lies below 0, and the ceiling, its slopes and its beams are what lies above them. A solid that the plane only
brushes, by less than rounding, is not cut.
"""

from dataclasses import dataclass
from math import cos, inf, sin, sqrt

from geometry.ceilings import Roof, Soffit
from geometry.scene import Box6, Solid
from geometry.shapes import Footprint
from geometry.units import DEPTH_TOLERANCE_MM, Point, Point3


@dataclass(frozen=True)
class Cut:
    """What the plane cuts out of something solid: a convex polygon grown by a radius, the pivot at the origin."""

    points: tuple[Point, ...]
    radius_mm: float = 0.0


@dataclass(frozen=True)
class TurnPlane:
    """A plane through a point: level where ``along`` is None, else upright along that direction of the plan.

    Points in it are (x, y) from the point where it is level, and (along, up) where it is upright.
    """

    at: Point3
    along: Point | None = None

    def bounds(self, reach_mm: float) -> Box6:
        """The box round everything within reach in the plane."""
        x, y, z = self.at
        dx, dy = (reach_mm, reach_mm) if self.along is None else (abs(v) * reach_mm for v in self.along)
        dz = 0.0 if self.along is None else reach_mm
        return (x - dx, y - dy, z - dz, x + dx, y + dy, z + dz)

    def inside(self, point: Point3) -> Point:
        """A point of the room, dropped square on to the plane."""
        x, y, z = (a - b for a, b in zip(point, self.at, strict=True))
        return (x, y) if self.along is None else (x * self.along[0] + y * self.along[1], z)

    def room(self, angle_rad: float, far_mm: float) -> Point3:
        """The point of the room at an angle and a distance from the pivot, in the plane."""
        x, y, z = self.at
        across, up = far_mm * cos(angle_rad), far_mm * sin(angle_rad)
        if self.along is None:
            return (x + across, y + up, z)
        return (x + across * self.along[0], y + across * self.along[1], z + up)

    def cut(self, solid: Solid, reach_mm: float) -> Cut | None:
        """What the plane cuts out of a solid, as far as twice the reach; None where it misses it."""
        x, y, z = self.at
        plan = solid.plan
        if self.along is None:
            return Cut(tuple((px - x, py - y) for px, py in plan.points), plan.radius_mm)
        span = _span(plan, self.at, self.along)
        if span is None:
            return None
        low, high = max(solid.from_mm - z, -2 * reach_mm), min(solid.to_mm - z, 2 * reach_mm)
        return _rectangle(max(span[0], -2 * reach_mm), low, min(span[1], 2 * reach_mm), high)

    def overhead(self, roof: Roof, reach_mm: float) -> list[tuple[str, Cut]]:
        """What of the ceiling the plane cuts within reach: name and shape of each part."""
        x, y, z = self.at
        if self.along is None:
            return [(name, Cut(tuple((px - x, py - y) for px, py in low.points))) for name, low in lower_than(roof, z)]
        found = []
        if roof.flat_mm is not None and roof.flat_mm - z < reach_mm:
            found.append(("ceiling", _rectangle(-2 * reach_mm, roof.flat_mm - z, 2 * reach_mm, 2 * reach_mm)))
        for soffit in roof.soffits:
            under = _over_line(soffit, self.at, self.along, reach_mm)
            if under:
                found.append((soffit.name, under))
        return found

    def underfoot(self, reach_mm: float) -> Cut | None:
        """The floor, where it is within reach of an upright plane."""
        if self.along is None or self.at[2] >= reach_mm:
            return None
        return _rectangle(-2 * reach_mm, -2 * reach_mm - abs(self.at[2]), 2 * reach_mm, -self.at[2])


def lower_than(roof: Roof, top_mm: float) -> list[tuple[str, Footprint]]:
    """The plan areas where a slope or beam comes below a height; one that does by less than rounding is left out."""
    return [
        (soffit.name, low)
        for soffit in roof.soffits
        if soffit.below(top_mm - DEPTH_TOLERANCE_MM) and (low := soffit.below(top_mm))
    ]


def _rectangle(x0: float, y0: float, x1: float, y1: float) -> Cut:
    return Cut(((x0, y0), (x1, y0), (x1, y1), (x0, y1)))


def _span(plan: Footprint, at: Point3, along: Point) -> tuple[float, float] | None:
    """From and to where the line through a point runs inside a plan shape; None where it misses or brushes it."""
    x, y, _ = at
    ux, uy = along
    if plan.is_box and ux * uy == 0:
        return _span_of_box(plan.bounds, at, along)
    placed = [((px - x) * ux + (py - y) * uy, (py - y) * ux - (px - x) * uy) for px, py in plan.points]
    r = plan.radius_mm
    sides = [side for _, side in placed]
    if min(sides) - r > -DEPTH_TOLERANCE_MM or max(sides) + r < DEPTH_TOLERANCE_MM:
        return None
    near, far = inf, -inf
    s0, side0 = placed[-1]
    for s, side in placed:
        if abs(side) <= r:
            half = sqrt(r * r - side * side)
            near, far = min(near, s - half), max(far, s + half)
        for at_s in _crossings((s0, side0), (s, side), r):
            near, far = min(near, at_s), max(far, at_s)
        s0, side0 = s, side
    return (near, far)


def _span_of_box(bounds: tuple[float, float, float, float], at: Point3, along: Point) -> tuple[float, float] | None:
    """The same for a rectangle square to the room and to the plane."""
    x0, y0, x1, y1 = bounds
    x, y, _ = at
    low, high, near, far = (y0 - y, y1 - y, x0 - x, x1 - x) if along[1] == 0 else (x0 - x, x1 - x, y0 - y, y1 - y)
    if low > -DEPTH_TOLERANCE_MM or high < DEPTH_TOLERANCE_MM:
        return None
    return (near, far) if sum(along) > 0 else (-far, -near)


def _crossings(a: Point, b: Point, radius: float) -> list[float]:
    """Where an edge, or its two sides grown by a radius, crosses the line."""
    ds, dl = b[0] - a[0], b[1] - a[1]
    length = sqrt(ds * ds + dl * dl)
    if length == 0:
        return []
    found = []
    for sign in (1, -1) if radius else (0,):
        s, side = a[0] + sign * radius * dl / length, a[1] - sign * radius * ds / length
        if side * (side + dl) < 0:
            found.append(s - side * ds / dl)
    return found


def _over_line(soffit: Soffit, at: Point3, along: Point, reach: float) -> Cut | None:
    """What the upright plane cuts out of a slope or beam, from its underside up, as far as twice the reach."""
    span = _span(soffit.area, at, along)
    if span is None:
        return None
    ends = []
    for s in (max(span[0], -2 * reach), min(span[1], 2 * reach)):
        ends.append((s, soffit.plane.at(at[0] + s * along[0], at[1] + s * along[1]) - at[2]))
    (s0, z0), (s1, z1) = ends
    top = 2 * reach + max(0.0, z0, z1)
    if s1 <= s0 or min(z0, z1) >= reach:
        return None
    return Cut(((s0, z0), (s1, z1), (s1, top), (s0, top)))
