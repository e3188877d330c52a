"""Figures of the parts of a kind that a piece may change: ports, access points, and what sticks out, by name.

A figure is named by what it is and the part's own name: ``port:relief`` is the size of the port called relief. Parts
of one kind that share a name share the figure. Everything here works on plain values, as a kind of kit gives them.
"""

from collections.abc import Mapping
from typing import Any, NamedTuple

from geometry.typed import is_count


class PartFigure(NamedTuple):
    """Where a figure stands in a kind: its list, the key that names a part, the keys down to the figure, its words."""

    group: str
    named_by: str
    keys: tuple[str, ...]
    words: str


PART_FIGURES: Mapping[str, PartFigure] = {
    "port": PartFigure("port", "name", ("size_mm",), "{} pipe"),
    "draw_out": PartFigure("access", "name", ("draw_out", "length_mm"), "{}, draws out"),
    "tool": PartFigure("access", "name", ("swing", "length_mm"), "{}, tool"),
    "level": PartFigure("access", "name", ("at_mm", "2"), "{}, above base"),
    "sticks_out": PartFigure("sticks_out", "what", ("mm",), "{}, sticks out"),
}


def is_part_figure(name: str) -> bool:
    """Whether a name has the shape of a part's figure.

    >>> is_part_figure("port:relief"), is_part_figure("port:"), is_part_figure("height_mm")
    (True, False, False)
    """
    what, _, part = name.partition(":")
    return what in PART_FIGURES and bool(part)


def part_words(name: str) -> str:
    """A part's figure as people call it.

    >>> part_words("port:relief"), part_words("draw_out:immersion heater")
    ('relief pipe', 'immersion heater, draws out')
    """
    what, _, part = name.partition(":")
    return PART_FIGURES[what].words.format(part)


def part_figures(kind: Mapping[str, Any]) -> dict[str, float]:
    """Every figure of every part (mm), by its name, in the order of the kind.

    >>> part_figures({"port": [{"name": "relief", "size_mm": 15.0}]})
    {'port:relief': 15.0}
    """
    found: dict[str, float] = {}
    for what, figure in PART_FIGURES.items():
        for item in kind.get(figure.group, ()):
            value = _value(item, figure.keys)
            if value is not None:
                found.setdefault(f"{what}:{item[figure.named_by]}", value)
    return found


def change_parts(kind: dict[str, Any], figures: Mapping[str, float]) -> None:
    """Put the figures in place of the kind's own; names that it has no part for are left alone."""
    for name, value in figures.items():
        what, _, part = name.partition(":")
        figure = PART_FIGURES[what]
        for item in kind[figure.group]:
            if item[figure.named_by] == part and _value(item, figure.keys) is not None:
                _put(item, figure.keys, value)


def _value(item: Mapping[str, Any], keys: tuple[str, ...]) -> float | None:
    here: Any = item
    for key in keys:
        here = None if here is None else here[int(key)] if is_count(key) else here.get(key)
    return None if here is None else float(here)


def _put(item: dict[str, Any], keys: tuple[str, ...], value: float) -> None:
    first, *rest = keys
    if not rest:
        item[first] = value
    elif is_count(rest[0]):
        axis = int(rest[0])
        item[first] = (*item[first][:axis], value, *item[first][axis + 1 :])
    else:
        item[first] = {**item[first], rest[0]: value}
