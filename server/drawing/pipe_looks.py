"""How each medium is drawn: a letter, a pattern that reads in grey, and a short band of its colour.

The bands are the basic identification colours of BS 1710: water green, gas yellow ochre, drainage black.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from markupsafe import Markup

from geometry.kit import Medium
from geometry.pipes.media import medium_words
from geometry.pipes.runs import PipeRun
from server.drawing.svg import path


@dataclass(frozen=True)
class PipeLook:
    """``over`` are the marks that repeat along the line: a class of the style sheet; ``band`` is its colour there."""

    letter: str
    over: str
    band: str


LOOKS: dict[Medium, PipeLook] = {
    "hot-discharge": PipeLook("D", "heavy", "water"),
    "relief": PipeLook("R", "core", "water"),
    "condensate": PipeLook("C", "ticks", "drain"),
    "overflow": PipeLook("O", "pairs", "drain"),
    "gas": PipeLook("G", "blocks", "gas"),
    "cold": PipeLook("CW", "beads", "water"),
    "boosted-cold": PipeLook("BC", "bead-pairs", "water"),
    "hot": PipeLook("HW", "threes", "water"),
    "flow": PipeLook("F", "long-blocks", "water"),
    "return": PipeLook("RT", "short-blocks", "water"),
    "waste": PipeLook("W", "fours", "drain"),
    "drain": PipeLook("DR", "fours", "drain"),
    "oil": PipeLook("OL", "wide-blocks", "oil"),
}
_ELSE = PipeLook("", "plain", "water")
ORDER: tuple[Medium, ...] = tuple(LOOKS)


def look_of_medium(medium: Medium) -> PipeLook:
    """The look of a medium; a plain line for one without a look of its own."""
    return LOOKS.get(medium, _ELSE)


def pipe_letter(run: PipeRun) -> str:
    """What stands beside its size: D1 to the tundish, D2 from it, else the letter of its medium."""
    letter = look_of_medium(run.medium).letter
    return run.name.partition(" ")[0] if letter == "D" else letter


def short_size(run: PipeRun) -> str:
    """Size and letter, as they stand on the drawing.

    >>> from geometry.pipes.line import Route
    >>> way = Route(((0, 0, 9), (0, 0, 0)))
    >>> short_size(PipeRun("Condensate pipe of the boiler", "condensate", "p1", "drip", "o1", way, 21.5, "plastic"))
    '21.5 C'
    """
    size = "" if run.size_mm is None else f"{run.size_mm:g} "
    return f"{size}{pipe_letter(run)}".strip()


@dataclass(frozen=True)
class LegendLine:
    """One medium of a legend: its letter, its name, and a piece of its line, 46 by 22."""

    letter: str
    words: str
    svg: Markup


def pipe_legend(runs: Iterable[PipeRun]) -> tuple[LegendLine, ...]:
    """What the lines of these runs mean, each medium once, and the dashed line where some run has no way."""
    there = list(runs)
    used = {run.medium for run in there}
    ordered = [*(m for m in ORDER if m in used), *sorted(used - set(ORDER))]
    found = [_legend_line(medium) for medium in ordered]
    if any(run.why_not for run in there):
        found.append(LegendLine("", "no way: to what stops it", Markup(path("pipe none", "M2,11H44"))))
    return tuple(found)


def _legend_line(medium: Medium) -> LegendLine:
    look = look_of_medium(medium)
    letter = "D1, D2" if look.letter == "D" else look.letter
    data = "M2,11H44"
    band = path(f"pipe-band {look.band}", "M19,11H27")
    return LegendLine(letter, medium_words(medium), Markup(lines(look, data) + band))


def lines(look: PipeLook, data: str) -> str:
    """The line of a pipe with the marks of its medium on it."""
    return path(f"pipe {look.over}", data) + path(f"pipe-over {look.over}", data)
