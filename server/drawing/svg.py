"""Small helpers for SVG made of strings: numbers, plane matrices, paths, text, patterns."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape
from math import hypot
from typing import NamedTuple

from markupsafe import Markup

from geometry.units import Point, whole_mm

Box = tuple[float, float, float, float]
"""Left, top, right, bottom in page units."""


@dataclass(frozen=True)
class Grain:
    """How fine a drawing is: the smallest detail worth a line, decimals of a coordinate, size of its text."""

    finest: float
    digits: int
    text: float
    dim: float
    line: float


SCREEN = Grain(finest=1.1, digits=1, text=12.0, dim=11.5, line=1.0)
PRINT = Grain(finest=0.22, digits=3, text=3.3, dim=3.18, line=0.25)


class Matrix(NamedTuple):
    """A flat map (x, y) -> (a x + c y + e, b x + d y + f), as SVG writes it. Always a similarity here."""

    a: float
    b: float
    c: float
    d: float
    e: float
    f: float

    def to_px(self, point: Point) -> Point:
        """A point in page units."""
        x, y = point
        return (self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f)

    def vector(self, dx: float, dy: float) -> Point:
        """A move in page units."""
        return (self.a * dx + self.c * dy, self.b * dx + self.d * dy)

    @property
    def scale(self) -> float:
        """Page units for one millimetre."""
        return hypot(self.a, self.b)

    @property
    def linear(self) -> "Matrix":
        """The same without its shift: for things that are drawn about their own origin."""
        return Matrix(self.a, self.b, self.c, self.d, 0.0, 0.0)

    def after(self, turn: Point) -> "Matrix":
        """This map after a turn of the plane given by the image of (1, 0)."""
        c, s = turn
        return Matrix(
            self.a * c + self.c * s, self.b * c + self.d * s, self.c * c - self.a * s, self.d * c - self.b * s,
            self.e, self.f,
        )  # fmt: skip


def num(value: float, digits: int = 1) -> str:
    """A number as short as it can be written.

    >>> num(12.0), num(0.25, 2), num(-0.04), num(3.14159, 3)
    ('12', '0.25', '0', '3.142')
    """
    text = f"{value:.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def pair(x: float, y: float, digits: int = 1) -> str:
    """A point of path data."""
    if digits == 1:
        return f"{x:.1f},{y:.1f}"
    return f"{x:.{digits}f},{y:.{digits}f}"


def mm_text(value_mm: float) -> str:
    """A length as it is written on the drawing: whole, with a comma in thousands.

    >>> mm_text(2600), mm_text(84.6)
    ('2,600', '85')
    """
    return f"{whole_mm(value_mm):,}"


def ring(points: Iterable[Point], digits: int = 1) -> str:
    """Path data of a closed ring."""
    return line(points, digits) + "Z"


def line(points: Iterable[Point], digits: int = 1) -> str:
    """Path data of an open line.

    >>> line([(0, 0), (1.25, 2)])
    'M0.0,0.0L1.2,2.0'
    """
    return "M" + "L".join([pair(x, y, digits) for x, y in points])


def box_path(box: Box, digits: int = 1) -> str:
    """Path data of an upright rectangle."""
    x0, y0, x1, y1 = (num(v, digits) for v in box)
    return f"M{x0},{y0}H{x1}V{y1}H{x0}Z"


def path(cls: str, data: str, more: str = "") -> str:
    """A path element; nothing where there is no data."""
    return f'<path class="{cls}"{more} d="{data}"/>' if data else ""


def circle(cls: str, at: Point, radius: float, digits: int = 1) -> str:
    """A circle element."""
    return f'<circle class="{cls}" cx="{num(at[0], digits)}" cy="{num(at[1], digits)}" r="{num(radius, digits)}"/>'


def text(cls: str, at: Point, words: str, anchor: str = "start", digits: int = 1) -> str:
    """A level text element. The words are escaped here and nowhere else."""
    where = f'x="{num(at[0], digits)}" y="{num(at[1], digits)}"'
    place = "" if anchor == "start" else f' text-anchor="{anchor}"'
    return f'<text class="{cls}" {where}{place}>{escape(words)}</text>'


def attribute(value: str) -> str:
    """A value made fit to stand between double quotes."""
    return escape(value, quote=True)


def bounds(points: Sequence[Point]) -> Box:
    """The upright box round some points."""
    xs = [x for x, _ in points]
    ys = [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def overlap(a: Box, b: Box) -> float:
    """Area that two boxes share."""
    if a[0] >= b[2] or b[0] >= a[2] or a[1] >= b[3] or b[1] >= a[3]:
        return 0.0
    return (min(a[2], b[2]) - max(a[0], b[0])) * (min(a[3], b[3]) - max(a[1], b[1]))


def patterns() -> Markup:
    """The hatch of put right and the dots of keep free, once for each page. Goes inside ``<defs>``."""
    return Markup(
        '<pattern id="hatch" width="5.2" height="5.2" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
        '<rect class="hatch-ground" width="5.2" height="5.2"/><path class="hatch-line" d="M0,0V5.2"/></pattern>'
        '<pattern id="hatch-mm" width="1.38" height="1.38" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
        '<rect class="hatch-ground" width="1.38" height="1.38"/><path class="hatch-line-mm" d="M0,0V1.38"/></pattern>'
        '<pattern id="keep" width="14" height="14" patternUnits="userSpaceOnUse">'
        '<circle class="keep-dot" cx="3" cy="3" r="1"/><circle class="keep-dot" cx="10" cy="10" r="1"/></pattern>'
        '<pattern id="keep-mm" width="3.7" height="3.7" patternUnits="userSpaceOnUse">'
        '<circle class="keep-dot" cx="0.8" cy="0.8" r="0.27"/><circle class="keep-dot" cx="2.65" cy="2.65" r="0.27"/>'
        "</pattern>"
    )
