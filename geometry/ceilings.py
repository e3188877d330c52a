"""How high the ceiling is over a plan shape: flat ceiling, sloping soffits and beams together."""

from dataclasses import dataclass
from functools import cached_property
from math import hypot, inf, sqrt

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from geometry.room import Ceiling, Slope
from geometry.shapes import Footprint, convex_parts, overlap_mm
from geometry.units import DEPTH_TOLERANCE_MM, Point


@dataclass(frozen=True)
class Plane:
    """Height z = a x + b y + c."""

    a: float
    b: float
    c: float

    def at(self, x: float, y: float) -> float:
        """Height in mm over a plan point."""
        return self.a * x + self.b * y + self.c


@dataclass(frozen=True)
class Soffit:
    """One part of the ceiling over a convex plan area: a sloping or level underside."""

    name: str
    area: Footprint
    plane: Plane
    sloping: bool

    @cached_property
    def lowest_mm(self) -> float:
        """The lowest it comes over its area."""
        return min(self.plane.at(x, y) for x, y in self.area.points)

    def below(self, top_mm: float) -> Footprint | None:
        """The part of its area where it comes down to a height or lower, or None."""
        a, b, c = self.plane.a, self.plane.b, self.plane.c
        low = cut(list(self.area.points), -a, -b, top_mm - c)
        return Footprint(tuple(low)) if len(low) > 2 and (a or b or c < top_mm) else None


@dataclass(frozen=True)
class Low:
    """The lowest point of the ceiling over a shape: height, where, and whose underside it is."""

    height_mm: float
    at: Point
    name: str


def plane_through(slope: Slope) -> Plane:
    """The plane through a slope's three points.

    >>> s = Slope(area_mm=((0, 0), (1, 0), (0, 1)), through_mm=((0, 0, 2300), (1900, 0, 700), (0, 900, 2300)))
    >>> round(plane_through(s).at(1060, 0))
    1407
    """
    (x0, y0, z0), (x1, y1, z1), (x2, y2, z2) = slope.through_mm
    ux, uy, uz = x1 - x0, y1 - y0, z1 - z0
    vx, vy, vz = x2 - x0, y2 - y0, z2 - z0
    normal = ux * vy - uy * vx
    a = (uz * vy - vz * uy) / normal
    b = (ux * vz - vx * uz) / normal
    return Plane(a, b, z0 - a * x0 - b * y0)


@dataclass(frozen=True)
class Roof:
    """The whole ceiling: the flat part (None: not measured), and every slope and beam in convex parts."""

    flat_mm: float | None
    soffits: tuple[Soffit, ...]

    @cached_property
    def _measured(self) -> BaseGeometry:
        every = shapely.union_all([soffit.area.polygon for soffit in self.soffits])
        return every.buffer(DEPTH_TOLERANCE_MM, join_style="mitre")

    @cached_property
    def lowest_mm(self) -> float:
        """The lowest it comes anywhere; nothing lower can meet it."""
        return min([self.flat_mm if self.flat_mm is not None else inf, *(s.lowest_mm for s in self.soffits)])

    def known_over(self, plan: Polygon) -> bool:
        """Whether the ceiling is measured over the whole of a plan area.

        >>> beam = Soffit("beam", Footprint(((0, 0), (9, 0), (9, 9), (0, 9))), Plane(0, 0, 2000), False)
        >>> roof = Roof(None, (beam,))
        >>> roof.known_over(shapely.box(2, 2, 8, 8)), roof.known_over(shapely.box(2, 2, 8, 20))
        (True, False)
        """
        return self.flat_mm is not None or bool(self._measured.covers(plan))


def roof_of(ceiling: Ceiling) -> Roof:
    """The ceiling of a room file, ready to be measured."""
    found = []
    for slope in ceiling.slopes:
        plane = plane_through(slope)
        found += [Soffit(slope.name, part, plane, True) for part in convex_parts(slope.area_mm)]
    for beam in ceiling.beams:
        level = Plane(0.0, 0.0, beam.soffit_mm)
        found += [Soffit(beam.name, part, level, False) for part in convex_parts(beam.area_mm)]
    return Roof(ceiling.height_mm, tuple(found))


def lowest_over(roof: Roof, shape: Footprint) -> Low | None:
    """The lowest the ceiling comes over a shape, exactly, or None where nothing is known.

    >>> from geometry.shapes import box
    >>> lowest_over(Roof(2400.0, ()), box(0, 0, 1, 1)).height_mm
    2400.0
    >>> lowest_over(Roof(None, ()), box(0, 0, 1, 1)) is None
    True
    """
    lows = [low for soffit in roof.soffits if (low := _lowest_under(soffit, shape))]
    if roof.flat_mm is not None:
        lows.append(Low(roof.flat_mm, shape.centre, "ceiling"))
    return min(lows, key=lambda low: (low.height_mm, low.name), default=None)


def _lowest_under(soffit: Soffit, shape: Footprint) -> Low | None:
    if overlap_mm(shape, soffit.area) <= DEPTH_TOLERANCE_MM:
        return None
    best: Low | None = None
    for x, y in _corners(soffit, shape):
        height = soffit.plane.at(x, y)
        if best is None or height < best.height_mm:
            best = Low(height, (x, y), soffit.name)
    return best


def _corners(soffit: Soffit, shape: Footprint) -> list[Point]:
    """Points among which a plane is lowest over the part of a shape that lies under a soffit."""
    area = soffit.area.points
    x0, y0, x1, y1 = soffit.area.bounds
    a0, b0, a1, b1 = shape.bounds
    if soffit.area.is_box and x0 <= a0 and y0 <= b0 and a1 <= x1 and b1 <= y1:
        steep = hypot(soffit.plane.a, soffit.plane.b) or 1.0
        down = (shape.radius_mm * soffit.plane.a / steep, shape.radius_mm * soffit.plane.b / steep)
        return [(x - down[0], y - down[1]) for x, y in shape.points]
    if shape.radius_mm == 0:
        return clipped(shape.points, area)
    if len(shape.points) > 1:
        ring = shape.polygon.exterior.coords[:-1]
        return clipped([(float(x), float(y)) for x, y in ring][::-1], area)
    return _corners_of_disc(soffit, shape.points[0], shape.radius_mm)


def _corners_of_disc(soffit: Soffit, centre: Point, radius: float) -> list[Point]:
    area, plane = soffit.area.points, soffit.plane
    found = [p for p in area if hypot(p[0] - centre[0], p[1] - centre[1]) <= radius]
    for i, p in enumerate(area):
        found += _circle_crossings(p, area[(i + 1) % len(area)], centre, radius)
    steep = hypot(plane.a, plane.b)
    down = (plane.a / steep, plane.b / steep) if steep else (0.0, 0.0)
    foot = (centre[0] - radius * down[0], centre[1] - radius * down[1])
    return found + [p for p in (foot, centre) if _inside(p, area)]


def _circle_crossings(p: Point, q: Point, centre: Point, radius: float) -> list[Point]:
    dx, dy = q[0] - p[0], q[1] - p[1]
    fx, fy = p[0] - centre[0], p[1] - centre[1]
    a, b, c = dx * dx + dy * dy, fx * dx + fy * dy, fx * fx + fy * fy - radius * radius
    root = b * b - a * c
    if a == 0 or root < 0:
        return []
    ts = [(-b + k * sqrt(root)) / a for k in (1, -1)]
    return [(p[0] + t * dx, p[1] + t * dy) for t in ts if 0 <= t <= 1]


def _inside(point: Point, area: tuple[Point, ...]) -> bool:
    n = len(area)
    return all(
        (area[(i + 1) % n][0] - area[i][0]) * (point[1] - area[i][1])
        - (area[(i + 1) % n][1] - area[i][1]) * (point[0] - area[i][0])
        >= 0
        for i in range(n)
    )


def clipped(polygon: "tuple[Point, ...] | list[Point]", area: tuple[Point, ...]) -> list[Point]:
    """Corners of the part of a convex polygon inside a convex, anticlockwise area (Sutherland and Hodgman, 1974).

    >>> clipped([(0, 0), (4, 0), (4, 4), (0, 4)], ((2, -1), (9, -1), (9, 9), (2, 9)))
    [(2.0, 0.0), (4, 0), (4, 4), (2.0, 4.0)]
    """
    rest = list(polygon)
    n = len(area)
    for i in range(n):
        (px, py), (qx, qy) = area[i], area[(i + 1) % n]
        rest = cut(rest, py - qy, qx - px, (qy - py) * px - (qx - px) * py)
    return rest


def cut(polygon: list[Point], a: float, b: float, c: float) -> list[Point]:
    """The part of a convex polygon where a x + b y + c >= 0."""
    kept: list[Point] = []
    n = len(polygon)
    for i, here in enumerate(polygon):
        before = polygon[i - 1] if n else here
        d0, d1 = a * before[0] + b * before[1] + c, a * here[0] + b * here[1] + c
        if d0 * d1 < 0:
            t = d0 / (d0 - d1)
            kept.append((before[0] + t * (here[0] - before[0]), before[1] + t * (here[1] - before[1])))
        if d1 >= 0:
            kept.append(here)
    return kept


def too_low(roof: Roof, top_mm: float) -> list[tuple[str, Footprint]]:
    """The plan areas where a slope or beam comes below a height, as obstacles for something that tall."""
    return [(soffit.name, low) for soffit in roof.soffits if (low := soffit.below(top_mm))]
