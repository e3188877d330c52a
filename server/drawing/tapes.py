"""Running dimensions as a drawn tape: a ring at zero, cuts every 100 mm, a pointer at each mark, figures on one side.

Figures always stand level. Where they would touch they are spread along the tape, each with a thin line to its mark;
where even that is too tight along a level tape, every second one steps back, and its line passes between the others.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import inf

from geometry.units import Point
from server.drawing.labels import text_width
from server.drawing.svg import Grain, circle, line, mm_text, num, path, text

_WIDE = 7.6
_CUTS = ((1000.0, 1.0), (500.0, 0.62), (100.0, 0.32))
_CLOSE_MM = 0.5
_ROWS = 2
_OVER = 0.6
"""How far a figure may stand past an end of its tape, in heights of its text."""
_LEAD = 0.75
_PAD = 0.28
BAR_MM = 50.0
"""How long the check bar is on paper."""


@dataclass(frozen=True)
class Tape:
    """Where a tape lies: page place of its zero, page units for a millimetre, and how the figures stand.

    ``upright`` tapes run up the page with their figures before (left of) or after them; level ones run to the right
    with their figures over or under them. ``back`` is -1 for figures to the left or above, 1 for right or below.
    """

    zero: Point
    scale: float
    length_mm: float
    upright: bool
    back: int
    grain: Grain

    @property
    def wide(self) -> float:
        """How wide the tape is."""
        return _WIDE * self.grain.line

    def at(self, mark_mm: float, off: float = 0.0) -> Point:
        """The page place of a mark, so far off the tape's near edge towards the figures."""
        x, y = self.zero
        if self.upright:
            return (x + self.back * off, y - mark_mm * self.scale)
        return (x + mark_mm * self.scale, y + self.back * off)


def distinct(values: Iterable[float]) -> list[float]:
    """Marks in order, those within half a millimetre of each other once.

    >>> distinct([600, 150, 150.2, 0])
    [0, 150, 600]
    """
    found: list[float] = []
    for value in sorted(values):
        if not found or value - found[-1] > _CLOSE_MM:
            found.append(value)
    return found


def draw_tape(tape: Tape, marks: Sequence[float]) -> str:
    """A tape with its marks in mm from its zero."""
    grain, wide = tape.grain, tape.wide
    corners = (tape.at(0.0), tape.at(tape.length_mm), tape.at(tape.length_mm, wide), tape.at(0.0, wide))
    parts = [path("tape", line(corners, grain.digits) + "Z"), path("tk", _ticks(tape))]
    kept = [value for value in distinct(marks) if -_CLOSE_MM <= value <= tape.length_mm + _CLOSE_MM]
    parts.append(path("mk1", "".join(_pointer(tape, value) for value in kept if value > _CLOSE_MM)))
    figures = spread(tape, kept)
    parts.append(path("tk", "".join(_thread(tape, figure) for figure in figures)))
    parts += [_figure(tape, figure) for figure in figures]
    parts.append(circle("zero0", tape.at(0.0, wide / 2), 0.62 * wide, grain.digits))
    return "".join(parts)


def _ticks(tape: Tape) -> str:
    found = []
    step = 100.0 if 100.0 * tape.scale >= 3 * tape.grain.line else 500.0
    at = step
    while at < tape.length_mm - 1.0:
        long = next(share for every, share in _CUTS if at % every == 0)
        found.append(line((tape.at(at), tape.at(at, long * tape.wide)), tape.grain.digits))
        at += step
    return "".join(found)


def _pointer(tape: Tape, value: float) -> str:
    """A small black triangle on the side of what is measured, its tip on the tape."""
    size = 0.9 * tape.wide
    half = 0.42 * size / tape.scale
    tip, a, b = tape.at(value), tape.at(value - half, -size), tape.at(value + half, -size)
    return line((tip, a, b), tape.grain.digits) + "Z"


@dataclass(frozen=True)
class Figure:
    """A mark, where along the tape its figure stands (mm of the room), and in which row."""

    mark_mm: float
    stands_mm: float
    row: int


def spread(tape: Tape, marks: Sequence[float]) -> list[Figure]:
    """Figures moved along the tape no more than they must so that none touches another or leaves the sheet."""
    sizes = [_size(tape, value) / tape.scale for value in marks]
    rows = _ROWS if not tape.upright and sum(sizes) > 0.95 * tape.length_mm else 1
    if rows > 1:  # all keep half the widest from the next, so that the lines of one row pass between the other's
        sizes = [max(sizes) / rows] * len(sizes)
    over = _OVER * tape.grain.text / tape.scale
    stands = _apart(list(marks), sizes, (-over, tape.length_mm + over))
    return [Figure(mark, at, i % rows) for i, (mark, at) in enumerate(zip(marks, stands, strict=True))]


def has_room(tape: Tape, marks: Sequence[float]) -> bool:
    """Whether all figures of a tape find a place beside it.

    >>> from server.drawing.svg import PRINT
    >>> tape = Tape((0.0, 0.0), 1 / 50, 2000.0, False, 1, PRINT)
    >>> has_room(tape, [0, 500, 1500]), has_room(tape, [float(mark) for mark in range(0, 2000, 60)])
    (True, False)
    """
    sizes = [_size(tape, value) / tape.scale for value in distinct(marks)]
    if not sizes:
        return True
    room = tape.length_mm + 2 * _OVER * tape.grain.text / tape.scale
    needed = sum(sizes) if tape.upright else max(sizes) * (len(sizes) + 1) / _ROWS
    return needed <= room


def _apart(wanted: list[float], sizes: list[float], within: tuple[float, float] = (-inf, inf)) -> list[float]:
    """Places nearest to those wanted, in order, not overlapping, between two ends: isotonic regression, then clipped.

    >>> _apart([0, 10, 100], [30, 30, 30])
    [-10.0, 20.0, 100.0]
    >>> _apart([0, 10, 100], [30, 30, 30], (0, 100))
    [0.0, 30.0, 100.0]
    """
    steps = [0.0]
    for before, after in pairwise(sizes):
        steps.append(steps[-1] + (before + after) / 2)
    pools: list[tuple[float, int]] = []
    for want, step in zip(wanted, steps, strict=False):
        mean, count = want - step, 1
        while pools and pools[-1][0] > mean:
            other, others = pools.pop()
            mean, count = (mean * count + other * others) / (count + others), count + others
        pools.append((mean, count))
    low, high = within[0], max(within[0], within[1] - steps[-1])
    means = [min(max(float(mean), low), high) for mean, count in pools for _ in range(count)]
    return [mean + step for mean, step in zip(means, steps, strict=False)]


def _size(tape: Tape, value: float) -> float:
    """Room that a figure takes along its tape, in page units."""
    text_mm = tape.grain.text
    return (1.08 if tape.upright else _PAD) * text_mm + (0.0 if tape.upright else text_width(mm_text(value), text_mm))


def deepest(tape: Tape, marks: Sequence[float]) -> float:
    """How much room a tape takes with its figures, across itself."""
    kept = distinct(marks)
    rows = max((figure.row for figure in spread(tape, kept)), default=0) + 1
    widest = max((text_width(mm_text(value), tape.grain.text) for value in kept), default=0.0)
    return tape.wide + _LEAD * tape.grain.text + (widest if tape.upright else 1.12 * rows * tape.grain.text)


def _thread(tape: Tape, figure: Figure) -> str:
    """From a mark to its figure, where that has moved."""
    grain = tape.grain
    if figure.row == 0 and abs(figure.stands_mm - figure.mark_mm) * tape.scale < 0.3 * grain.text:
        return ""
    near = tape.wide + (_LEAD - 0.15) * grain.text
    bend = tape.wide + 0.2 * grain.text
    turns = [tape.at(figure.mark_mm, tape.wide), tape.at(figure.mark_mm, bend), tape.at(figure.stands_mm, near)]
    if figure.row:
        turns.append(tape.at(figure.stands_mm, near + 1.12 * figure.row * grain.text))
    return line(turns, grain.digits)


def _figure(tape: Tape, figure: Figure) -> str:
    grain, words = tape.grain, mm_text(figure.mark_mm)
    if tape.upright:
        x, y = tape.at(figure.stands_mm, tape.wide + _LEAD * grain.text)
        return text("dd halo", (x, y + 0.34 * grain.text), words, "end" if tape.back < 0 else "start", grain.digits)
    x, y = tape.at(figure.stands_mm, tape.wide + (_LEAD + 1.12 * figure.row) * grain.text)
    return text("dd halo", (x, y + (0.72 * grain.text if tape.back > 0 else 0.0)), words, "middle", grain.digits)


def check_bar(x: float, y: float, scale: int, grain: Grain) -> str:
    """A bar of exactly 50 mm on paper, in ten parts, with what it stands for in the room."""
    d, part = grain.digits, BAR_MM / 10
    dark = "".join(f"M{num(x + part * i, d)},{num(y, d)}h{part:g}v2h-{part:g}Z" for i in range(0, 10, 2))
    edge = f"M{num(x, d)},{num(y, d)}h{BAR_MM:g}v2h-{BAR_MM:g}Z"
    words = f"{BAR_MM:g} mm on paper, {mm_text(BAR_MM * scale)} in the room"
    return (
        path("bar-edge", edge, f' data-check-bar="{BAR_MM:g}"') + path("wall", dark)
        + text("dd", (x, y + 6.2), words, "start", d)
    )  # fmt: skip
