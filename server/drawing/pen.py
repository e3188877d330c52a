"""A pen that draws in millimetres and writes in page units.

Everything is put through a matrix at once, so strokes, dashes and hatch are always those of the page: no scaled
groups. Details finer than the grain are left out.
"""

from collections.abc import Sequence

from geometry.shapes import Footprint
from geometry.units import Point
from server.drawing.svg import Grain, Matrix, num, pair


class Pen:
    """Collects marks: (class, path data), in drawing order."""

    def __init__(self, matrix: Matrix, grain: Grain) -> None:
        self.matrix = matrix
        self.grain = grain
        self.scale = matrix.scale
        self._flip = matrix.a * matrix.d - matrix.b * matrix.c < 0
        self._marks: list[tuple[str, str]] = []

    def _at(self, x: float, y: float) -> str:
        m = self.matrix
        return pair(m.a * x + m.c * y + m.e, m.b * x + m.d * y + m.f, self.grain.digits)

    def _arc(self, radius: float, x: float, y: float, anticlockwise: bool = True, large: bool = False) -> str:
        sweep = anticlockwise != self._flip
        r = num(radius * self.scale, self.grain.digits)
        return f"A{r},{r} 0 {int(large)} {int(sweep)} {self._at(x, y)}"

    def add(self, cls: str, data: str) -> None:
        """Add path data that is already in page units."""
        if data:
            self._marks.append((cls, data))

    def line(self, cls: str, *points: Point, closed: bool = False) -> None:
        """A line or ring through points."""
        self.add(cls, "M" + "L".join(self._at(x, y) for x, y in points) + ("Z" if closed else ""))

    def detail(self, *points: Point) -> None:
        """A fine line, left out where it would be a speck."""
        reach = max(abs(points[0][0] - p[0]) + abs(points[0][1] - p[1]) for p in points)
        if reach * self.scale >= 2 * self.grain.finest:
            self.line("kd", *points)

    def rect(self, cls: str, x0: float, y0: float, x1: float, y1: float, round_mm: float = 0.0) -> None:
        """An upright rectangle with round corners."""
        if cls == "kd" and min(x1 - x0, y1 - y0) * self.scale < 1.6 * self.grain.finest:
            return
        r = min(round_mm, (x1 - x0) / 2, (y1 - y0) / 2)
        if r * self.scale < 0.4 * self.grain.finest:
            self.line(cls, (x0, y0), (x1, y0), (x1, y1), (x0, y1), closed=True)
            return
        at, arc = self._at, self._arc
        self.add(
            cls,
            f"M{at(x0 + r, y0)}L{at(x1 - r, y0)}{arc(r, x1, y0 + r)}L{at(x1, y1 - r)}{arc(r, x1 - r, y1)}"
            f"L{at(x0 + r, y1)}{arc(r, x0, y1 - r)}L{at(x0, y0 + r)}{arc(r, x0 + r, y0)}Z",
        )

    def circle(self, cls: str, x: float, y: float, r: float) -> None:
        """A true circle."""
        if cls == "kd" and r * self.scale < self.grain.finest:
            return
        self.add(cls, f"M{self._at(x - r, y)}{self._arc(r, x + r, y)}{self._arc(r, x - r, y)}Z")

    def arc(self, cls: str, start: Point, radius: float, end: Point, anticlockwise: bool = True) -> None:
        """Part of a circle, less than half of it."""
        self.add(cls, f"M{self._at(*start)}{self._arc(radius, *end, anticlockwise)}")

    def curve(self, cls: str, *points: Point, closed: bool = False) -> None:
        """A run of cubic curves: start, then three points for each."""
        start, rest = points[0], points[1:]
        steps = ("C" + " ".join(self._at(*p) for p in rest[i : i + 3]) for i in range(0, len(rest), 3))
        self.add(cls, f"M{self._at(*start)}" + "".join(steps) + ("Z" if closed else ""))

    def shape(self, cls: str, plan: Footprint) -> None:
        """A footprint: polygon, disc, or the outline of a disc swept along a line."""
        self.add(cls, self.shape_data(plan))

    def shape_data(self, plan: Footprint) -> str:
        """Path data of a footprint, with true arcs at its round corners."""
        points, r = plan.points, plan.radius_mm
        if r == 0:
            return "M" + "L".join(self._at(x, y) for x, y in points) + "Z"
        if len(points) == 1:
            x, y = points[0]
            return f"M{self._at(x - r, y)}{self._arc(r, x + r, y)}{self._arc(r, x - r, y)}Z"
        sides = [_offset(points[i], points[(i + 1) % len(points)], r) for i in range(len(points))]
        steps = [
            f"L{self._at(*a)}L{self._at(*b)}{self._arc(r, *sides[(i + 1) % len(sides)][0])}"
            for i, (a, b) in enumerate(sides)
        ]
        return "M" + "".join(steps)[1:] + "Z"

    @property
    def marks(self) -> list[tuple[str, str]]:
        """(class, path data) in drawing order; neighbouring fine lines joined into one path."""
        joined: list[tuple[str, str]] = []
        for cls, data in self._marks:
            if joined and cls in ("kd", "kg") and joined[-1][0] == cls:
                joined[-1] = (cls, joined[-1][1] + data)
            else:
                joined.append((cls, data))
        return joined

    def svg(self) -> str:
        """Everything drawn so far."""
        return "".join(f'<path class="{cls}" d="{data}"/>' for cls, data in self.marks)


def _offset(a: Point, b: Point, r: float) -> tuple[Point, Point]:
    """The side of a ring moved out by r (the ring runs anticlockwise)."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = (dx * dx + dy * dy) ** 0.5 or 1.0
    nx, ny = dy / length * r, -dx / length * r
    return (a[0] + nx, a[1] + ny), (b[0] + nx, b[1] + ny)


def outline_of(parts: Sequence[Footprint]) -> list[Point]:
    """All corner points of some footprints, round ones by the middle of their four sides."""
    found: list[Point] = []
    for part in parts:
        r = part.radius_mm
        if r == 0:
            found += part.points
        else:
            found += [(x + dx, y + dy) for x, y in part.points for dx, dy in ((r, 0), (-r, 0), (0, r), (0, -r))]
    return found
