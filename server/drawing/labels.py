"""Where names and figures go: level, whole, and clear of each other as far as there is room."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from math import inf

from geometry.units import Point
from server.drawing.svg import Box, Grain, num, overlap, text

_WIDTHS = {
    " ": 246, "f": 351, "i": 263, "j": 263, "l": 248, "m": 792, "r": 375, "s": 381, "t": 381, "w": 728, "W": 985,
    "M": 916, "I": 314, "J": 317, ",": 278, ".": 256, "-": 375, "'": 263, "(": 382, ")": 382, "/": 388, "c": 439,
}  # fmt: skip
_SMALL, _CAPITAL, _DIGIT = 500, 680, 517
_LINE = 1.03
_WORST_SHARE = 0.45


@lru_cache(maxsize=2048)
def text_width(words: str, size: float) -> float:
    """About how wide words are in the figures' family, in the unit of ``size``.

    >>> round(text_width("2,600", 12))
    28
    """
    total = 0
    for letter in words:
        usual = _DIGIT if letter.isdigit() else _CAPITAL if letter.isupper() else _SMALL
        total += _WIDTHS.get(letter, usual)
    return total * size / 1000


@lru_cache(maxsize=512)
def short_name(name: str) -> str:
    """The part of a name that is worth writing on a drawing.

    >>> short_name("Unvented cylinder, indirect, 210 L"), short_name("Tundish")
    ('Unvented cylinder', 'Tundish')
    """
    return name.split(",")[0].strip()[:40]


@lru_cache(maxsize=512)
def two_lines(words: str) -> tuple[str, ...]:
    """Words on two lines as even as they come, or on one where there is no break.

    >>> two_lines("Washing machine"), two_lines("Boiler")
    (('Washing', 'machine'), ('Boiler',))
    """
    parts = words.split(" ")
    if len(parts) < 2:
        return (words,)
    splits = [(" ".join(parts[:i]), " ".join(parts[i:])) for i in range(1, len(parts))]
    return min(splits, key=lambda s: max(text_width(s[0], 12), text_width(s[1], 12)))


@dataclass(frozen=True)
class Label:
    """Lines of text about a middle point."""

    lines: tuple[str, ...]
    middle: Point
    size: float
    cls: str = "halo"

    @property
    def box(self) -> Box:
        """The upright box that the text fills."""
        x, y = self.middle
        w, h = label_size(self.lines, self.size)
        return x - w / 2, y - h / 2, x + w / 2, y + h / 2

    def svg(self, grain: Grain, origin: Point = (0.0, 0.0)) -> str:
        """Text elements, about an origin; on paper over a white ground, as not every engine paints a halo."""
        x, y = self.middle[0] - origin[0], self.middle[1] - origin[1]
        step = self.size * _LINE
        first = y - step * (len(self.lines) - 1) / 2 + self.size * 0.33
        places = [((x, first + i * step), words) for i, words in enumerate(self.lines)]
        grounds = [_ground(at, words, self.size, grain) for at, words in places] if self._is_over(grain) else []
        return "".join([*grounds, *(text(self.cls, at, words, "middle", grain.digits) for at, words in places)])

    def _is_over(self, grain: Grain) -> bool:
        return grain.line < 1.0 and "halo" in self.cls


def _ground(at: Point, words: str, size: float, grain: Grain) -> str:
    """A box as large as the small letters of some words that stand about ``at``."""
    wide, high, d = text_width(words, size), 0.78 * size, grain.digits
    place = f'x="{num(at[0] - wide / 2, d)}" y="{num(at[1] - 0.74 * size, d)}"'
    return f'<rect class="ground" {place} width="{num(wide, d)}" height="{num(high, d)}"/>'


@lru_cache(maxsize=2048)
def label_size(lines: tuple[str, ...], size: float) -> Point:
    """Width and height of some lines."""
    return max(text_width(words, size) for words in lines), size * _LINE * (len(lines) - 1) + size * 0.86


@dataclass
class Board:
    """What is already taken: ``hard`` boxes hold text, ``soft`` ones hold drawing that text had better leave alone.

    ``air`` is how far text keeps from other text.
    """

    hard: list[Box] = field(default_factory=list)
    soft: list[Box] = field(default_factory=list)
    within: Box | None = None
    air: float = 0.0

    def place(
        self, candidates: Iterable[Label], own: Box | None = None, must: bool = False, worst: float = _WORST_SHARE
    ) -> Label | None:
        """The first label that is free, else the least crowded; None where every one is more crowded than ``worst``.

        ``own`` is the box of the thing that is named, which its name may lie on.
        """
        soft = [other for other in self.soft if other is not own]
        best: Label | None = None
        least = inf
        for label in candidates:
            cost = self._cost(label.box, soft, least)
            if cost < least - 1e-9:
                best, least = label, cost
            if least == 0:
                break
        if best is None or (least > worst and not must):
            return None
        x0, y0, x1, y1 = best.box
        self.hard.append((x0 - self.air, y0 - self.air, x1 + self.air, y1 + self.air))
        return best

    def _cost(self, box: Box, soft: list[Box], enough: float) -> float:
        """How crowded a place is: 0 for free, about 1 where it is all taken by drawing, more where text is hit.

        Counting stops once it is more than ``enough``.
        """
        x0, y0, x1, y1 = box
        area = (x1 - x0) * (y1 - y0) or 1.0
        cost = 0.0 if self.within is None else 3 * (area - overlap(box, self.within))
        for weight, boxes in ((4, self.hard), (1, soft)):
            for a, b, c, d in boxes:
                if a < x1 and x0 < c and b < y1 and y0 < d:
                    cost += weight * (min(x1, c) - max(x0, a)) * (min(y1, d) - max(y0, b))
                    if cost > enough * area:
                        return cost / area
        return cost / area if cost > 0.02 * area else 0.0


def name_candidates(
    name: str, box: Box, whole: Box, size: float, upper: bool = False, outside: bool = False
) -> Iterator[Label]:
    """Places for the name of a thing: on its body where it fits, else beside the whole of it.

    ``upper`` begins in the upper part of a tall thing, ``outside`` beside it.
    """
    one, two = (name,), two_lines(name)
    ways = (one, two) if len(two) > 1 else (one,)
    if outside:
        for lines in ways:
            yield from _beside(lines, whole, size)
    for lines in ways:
        yield from _upon(lines, box, size, upper)
    if not outside:
        for lines in ways:
            yield from _beside(lines, whole, size)


def _upon(lines: tuple[str, ...], box: Box, size: float, upper: bool) -> Iterator[Label]:
    x0, y0, x1, y1 = box
    w, h = label_size(lines, size)
    if w > x1 - x0 + 0.6 * size or h > y1 - y0 - 0.2 * size:
        return
    spare = (y1 - y0 - h) / 2 - 0.3 * size
    steps = (-0.45, 0.0, 0.6, 1.0, -1.0) if upper and spare > 3.5 * size else (0.0, -0.6, 0.6, -1.0, 1.0)
    for step in steps:
        yield Label(lines, ((x0 + x1) / 2, (y0 + y1) / 2 + step * spare), size)


def _beside(lines: tuple[str, ...], box: Box, size: float) -> Iterator[Label]:
    x0, y0, x1, y1 = box
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    w, h = label_size(lines, size)
    gap = 0.35 * size
    places = (
        (x, y1 + gap + h / 2), (x, y0 - gap - h / 2), (x0 - gap - w / 2, y), (x1 + gap + w / 2, y),
        (x0 + w / 2, y1 + gap + h / 2), (x1 - w / 2, y1 + gap + h / 2),
        (x0 + w / 2, y0 - gap - h / 2), (x1 - w / 2, y0 - gap - h / 2),
    )  # fmt: skip
    for at in places:
        yield Label(lines, at, size)
