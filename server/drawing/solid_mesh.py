"""Closed surfaces of triangles: upright prisms, and whatever lies between two copies of one flat outline.

Room millimetres, z up. Every triangle runs anticlockwise as seen from outside, and neighbours share their corners
exactly, so a surface has no gaps. Round bodies become prisms of 48 sides whose corners lie on the circle, with normals
that follow the circle.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import atan2, ceil, cos, floor, hypot, pi, radians, sin, sqrt

import shapely
from shapely.geometry import Polygon
from shapely.geometry.polygon import orient

from geometry.shapes import Footprint
from geometry.units import Point, Point3

STEP_DEG = 7.5
"""Turn from one side of a round body to the next."""
_SAME_MM = 1e-6

Lift = Callable[[Point], Point3]


@dataclass(frozen=True)
class Mesh:
    """A closed surface: corners (place in mm, unit normal outwards) and triangles of three corner numbers each."""

    corners: tuple[tuple[Point3, Point3], ...]
    triangles: tuple[tuple[int, int, int], ...]


def prism(plan: Footprint, from_mm: float, to_mm: float) -> Mesh:
    """An upright solid over a convex plan.

    >>> from geometry.shapes import box
    >>> len(prism(box(0, 0, 600, 400), 0, 850).triangles)
    12
    """
    if plan.radius_mm == 0:
        return upright(Polygon(plan.points), from_mm, to_mm)
    normals = _rounded(plan)
    return between(Polygon(list(normals)), _level(to_mm), _level(from_mm), normals)


def upright(plan: Polygon, from_mm: float, to_mm: float) -> Mesh:
    """An upright solid over any plan, holes among it."""
    return between(plan, _level(to_mm), _level(from_mm))


def between(outline: Polygon, near: Lift, far: Lift, normals: Mapping[Point, Point] | None = None) -> Mesh:
    """What lies between two copies of an outline: ``near``, from where it is seen anticlockwise, and ``far``.

    ``normals`` gives the level direction outwards at each point of a round plan. Where the copies meet is no side.
    """
    surface = _Surface()
    turned = orient(outline)
    for p, q, r in _triangles(turned):
        surface.flat([near(p), near(q), near(r)])
        surface.flat([far(r), far(q), far(p)])
    for ring in (turned.exterior, *turned.interiors):
        points = [(float(x), float(y)) for x, y in ring.coords[:-1]]
        for p, q in zip(points, points[1:] + points[:1], strict=True):
            corners = [far(p), far(q), near(q), near(p)]
            if normals is None:
                surface.flat(corners)
            else:
                ends = [(*normals[end], 0.0) for end in (p, q, q, p)]
                surface.add(corners, ends)
    return surface.mesh()


class _Surface:
    """A surface as it grows; corners of one place and normal are kept once."""

    def __init__(self) -> None:
        self._corners: dict[tuple[Point3, Point3], int] = {}
        self._triangles: list[tuple[int, int, int]] = []

    def flat(self, ring: Sequence[Point3]) -> None:
        """A flat part with three or four corners; nothing where they lie in one line."""
        a, b, c, d = ring[0], ring[1], ring[2], ring[-1]
        across = _cross(_less(c, a), _less(d, b)) if len(ring) == 4 else _cross(_less(b, a), _less(c, a))
        length = sqrt(sum(v * v for v in across))
        if length > _SAME_MM:
            x, y, z = (v / length for v in across)
            self.add(ring, [(x, y, z)] * len(ring))

    def add(self, ring: Sequence[Point3], normals: Sequence[Point3]) -> None:
        """A part with three or four corners; those that fall together are one."""
        kept = [i for i, at in enumerate(ring) if not _same(at, ring[i - 1])]
        numbers = [self._number(ring[i], normals[i]) for i in kept]
        self._triangles += [(numbers[0], numbers[i], numbers[i + 1]) for i in range(1, len(numbers) - 1)]

    def _number(self, at: Point3, normal: Point3) -> int:
        x, y, z = (round(v, 6) + 0.0 for v in normal)
        return self._corners.setdefault((at, (x, y, z)), len(self._corners))

    def mesh(self) -> Mesh:
        """The surface as it is."""
        return Mesh(tuple(self._corners), tuple(self._triangles))


def _level(z_mm: float) -> Lift:
    return lambda point: (point[0], point[1], z_mm)


def _triangles(outline: Polygon) -> Iterable[tuple[Point, Point, Point]]:
    for triangle in shapely.get_parts(shapely.constrained_delaunay_triangles(outline)):
        p, q, r = ((float(x), float(y)) for x, y in orient(Polygon(triangle)).exterior.coords[:-1])
        yield p, q, r


def _rounded(plan: Footprint) -> dict[Point, Point]:
    """A round plan as a ring of points, each with its direction outwards."""
    n, r = len(plan.points), plan.radius_mm
    found: dict[Point, Point] = {}
    for i, (x, y) in enumerate(plan.points):
        start, stop = (0.0, 360.0) if n == 1 else _arc(plan.points[i - 1], (x, y), plan.points[(i + 1) % n])
        for turn in _turns(start, stop):
            nx, ny = cos(radians(turn)), sin(radians(turn))
            found[(x + r * nx, y + r * ny)] = (nx, ny)
    return found


def _turns(start: float, stop: float) -> list[float]:
    """The turns of the corners on an arc: both ends, and every whole step between; of a full circle one end."""
    steps = [STEP_DEG * k for k in range(floor(start / STEP_DEG) + 1, ceil(stop / STEP_DEG))]
    return [
        start,
        *(turn for turn in steps if start + 0.1 < turn < stop - 0.1),
        *([stop] if stop - start < 360 else []),
    ]


def _arc(before: Point, here: Point, after: Point) -> tuple[float, float]:
    """Degrees between which the outline of a grown polygon turns round one of its points."""
    first, last = (atan2(p[0] - q[0], q[1] - p[1]) * 180 / pi for p, q in ((before, here), (here, after)))
    return first, first + (last - first) % 360


def _same(a: Point3, b: Point3) -> bool:
    return hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]) < _SAME_MM


def _less(a: Point3, b: Point3) -> Point3:
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def _cross(a: Point3, b: Point3) -> Point3:
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])
