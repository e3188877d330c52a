"""A room while it is being walked: what is written so far, in plan, with the letters of its corners."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

from markupsafe import Markup

from geometry.retaking import Straight
from geometry.traverse import corner_letter
from geometry.units import Point
from geometry.walls import Edge
from server.drawing.svg import Matrix, bounds, circle, line, mm_text, path, ring, text

WIDTH_PX, HEIGHT_PX = 460.0, 380.0
MARGIN_PX = 46.0
LETTER_PX, LENGTH_PX = 21.0, 15.0
SHORTEST_NAMED_PX = 34.0
LARGEST_PX_MM = 0.22


@dataclass(frozen=True)
class Gap:
    """A door, window or outlet on its wall: what it is, its edge of the outline, from where to where along it (mm)."""

    kind: str
    edge: int
    from_mm: float
    to_mm: float


@dataclass(frozen=True)
class Sketch:
    """What is drawn: ``path_mm`` is open while the walk is; ``unmeasured`` walls, by number, are told by the others."""

    path_mm: tuple[Point, ...]
    closed: bool
    to_the_left: bool
    count: int
    unmeasured: frozenset[int] = frozenset()
    closing_mm: float = 0.0
    walls: tuple[Edge, ...] = ()
    gaps: tuple[Gap, ...] = ()
    straights: tuple[Straight, ...] = ()


def draw_walk(sketch: Sketch) -> Markup:
    """The sketch, WIDTH_PX by HEIGHT_PX."""
    if len(sketch.path_mm) < 2:
        return Markup(_nothing_yet())
    to_px = _fitted(sketch.path_mm)
    points = [to_px.to_px(point) for point in sketch.path_mm]
    parts = [path("floor", ring(points[:-1]))] if sketch.closed else []
    parts += [_wall(points, i, i in sketch.unmeasured) for i in range(len(points) - 1)]
    parts += [_gap(to_px, sketch, gap) for gap in sketch.gaps]
    parts += [_diagonal(points, straight) for straight in sketch.straights] if sketch.closed else []
    parts += [_length(points, sketch, i) for i in range(len(points) - 1)]
    if not sketch.closed and len(points) > sketch.count:
        parts.append(_miss(points, sketch.closing_mm))
    parts += _corners(points, sketch)
    return Markup("".join(parts))


def _fitted(points: Sequence[Point]) -> Matrix:
    """All of it, as large as it goes, in the middle; y upwards."""
    x0, y0, x1, y1 = bounds(points)
    wide, high = WIDTH_PX - 2 * MARGIN_PX, HEIGHT_PX - 2 * MARGIN_PX
    scale = min(wide / max(x1 - x0, 1.0), high / max(y1 - y0, 1.0), LARGEST_PX_MM)
    return Matrix(
        scale, 0.0, 0.0, -scale, WIDTH_PX / 2 - scale * (x0 + x1) / 2, HEIGHT_PX / 2 + scale * (y0 + y1) / 2
    )  # fmt: skip


def _nothing_yet() -> str:
    box = [(MARGIN_PX, MARGIN_PX), (WIDTH_PX - MARGIN_PX, MARGIN_PX)]
    box += [(x, HEIGHT_PX - MARGIN_PX) for x, _ in reversed(box)]
    start = box[3]
    return path("dotted", ring(box)) + circle("zero0", start, 4.3) + _letter(start, (-1.0, 1.0), corner_letter(0))


def _wall(points: Sequence[Point], index: int, unmeasured: bool) -> str:
    return path("walked-guess" if unmeasured else "walked", line(points[index : index + 2]))


def _outward(points: Sequence[Point], index: int, to_the_left: bool) -> Point:
    """Away from the room, square to a wall, in page units: y is downwards there."""
    (x0, y0), (x1, y1) = points[index], points[index + 1]
    length = hypot(x1 - x0, y1 - y0) or 1.0
    side = 1.0 if to_the_left else -1.0
    return (-(y1 - y0) / length * side, (x1 - x0) / length * side)


def _length(points: Sequence[Point], sketch: Sketch, index: int) -> str:
    (x0, y0), (x1, y1) = points[index], points[index + 1]
    if hypot(x1 - x0, y1 - y0) < SHORTEST_NAMED_PX:
        return ""
    (a, b), (c, d) = sketch.path_mm[index], sketch.path_mm[index + 1]
    nx, ny = _outward(points, index, sketch.to_the_left)
    reach = LENGTH_PX + (9.0 * abs(nx))
    words = mm_text(hypot(c - a, d - b)) + (" ?" if index in sketch.unmeasured else "")
    at = ((x0 + x1) / 2 - nx * reach, (y0 + y1) / 2 - ny * reach + 4.0)
    return text("dd halo", at, words, "middle")


def _corners(points: Sequence[Point], sketch: Sketch) -> list[str]:
    """Letters outside their corners, and a ring where the walk starts."""
    corners = points[:-1] if sketch.closed else points[: sketch.count]
    found = []
    for i, at in enumerate(corners):
        sides = [j for j in (i - 1, i) if sketch.closed or 0 <= j < len(points) - 1]
        ways = [_outward(points, j % (len(points) - 1), sketch.to_the_left) for j in sides]
        found.append(_letter(at, (sum(x for x, _ in ways), sum(y for _, y in ways)), corner_letter(i)))
    return [*found, circle("zero0", points[0], 4.3)]


def _letter(at: Point, way: Point, letter: str) -> str:
    length = hypot(*way) or 1.0
    return text(
        "letter halo", (at[0] + way[0] / length * LETTER_PX, at[1] + way[1] / length * LETTER_PX + 6), letter, "middle"
    )


def _miss(points: Sequence[Point], closing_mm: float) -> str:
    """How far the end of the walk is from its start, in red."""
    (x0, y0), (x1, y1) = points[0], points[-1]
    middle = ((x0 + x1) / 2, (y0 + y1) / 2 - 8)
    told = text("m halo", middle, f"{mm_text(closing_mm)} apart", "middle")
    return path("meas", line((points[0], points[-1]))) + circle("again", points[-1], 6.0) + told


def _diagonal(points: Sequence[Point], straight: Straight) -> str:
    a, b = points[straight.diagonal.start], points[straight.diagonal.end]
    at = (a[0] + (b[0] - a[0]) * 0.36, a[1] + (b[1] - a[1]) * 0.36)
    cls = "dd halo" if straight.agrees else "m halo"
    return path("dimline" if straight.agrees else "meas", line((a, b))) + text(
        cls, at, mm_text(straight.diagonal.length_mm), "middle"
    )


def _gap(to_px: Matrix, sketch: Sketch, gap: Gap) -> str:
    edge = sketch.walls[gap.edge]
    shift = _shift(sketch)
    a, b = (to_px.to_px(_moved(edge.at(along), shift)) for along in (gap.from_mm, gap.to_mm))
    if gap.kind == "outlet":
        return circle("zero0", a, 5.0)
    inner = path("walked-window" if gap.kind == "window" else "walked-door", line((a, b)))
    return path("walked-gap", line((a, b))) + inner


def _shift(sketch: Sketch) -> Point:
    """From the room file, whose lower left is (0, 0), to the walk, which starts there."""
    x0, y0, _, _ = bounds(sketch.path_mm)
    return (x0, y0)


def _moved(point: Point, by: Point) -> Point:
    return (point[0] + by[0], point[1] + by[1])
