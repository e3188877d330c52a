"""The figures of a rule pack as the page of the checks shows them: each in words, its table written out."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from geometry.rules import Figure, amount_of, rule_pack
from geometry.words import start
from server.wording import read_in_reprints

Table = tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]

_HEADS = {
    "outlet": "Valve outlet", "d1_mm": "To the tundish, mm", "d2_mm": "From the tundish, mm",
    "limit_m": "Carries up to, m", "elbow_m": "Each bend, m", "size_mm": "Pipe, mm", "room_mm": "Room, mm",
    "bore_mm": "Bore, mm", "of": "Made of", "figure": "Figure", "one": "One", "other": "Other", "need": "Need",
    "flue": "Flue", "to": "Openings to", "high_cm2_kw": "High, cm² a kW", "low_cm2_kw": "Low, cm² a kW",
    "letter": "Letter", "kind": "From what", "place": "The end is", "fanned-balanced": "Fanned, balanced",
    "natural-balanced": "Natural, balanced", "fanned-open": "Fanned, open", "natural-by-kw": "Natural, by input",
    "valve_bar": "Valve, bar", "charge_bar": "Charge, bar", "factor": "Factor", "litres": "Litres, line by line",
    "thing": "Thing", "is": "Known by", "system": "System", "with": "Where there is", "why": "Why", "own": "Unless",
}  # fmt: skip
_LEFT_OUT = frozenset({"is"})
_BY_SIZE = "natural-by-kw"


@dataclass(frozen=True)
class ShownFigure:
    """One figure of a rule pack, in words, with its table where it is one."""

    name: str
    value: str
    table: Table | None
    document: str
    clause: str
    edition: str
    standing: str
    note: str


@dataclass(frozen=True)
class ShownPack:
    """The figures of one country; where it builds on another's, only those that differ."""

    key: str
    name: str
    edition: str
    extends: str
    reprints: str
    figures: list[ShownFigure]


def shown_packs() -> list[ShownPack]:
    """England's figures, and those of Scotland that differ."""
    england, scotland = rule_pack("england"), rule_pack("scotland")
    differ = [figure for key, figure in scotland.figures.items() if not _same(figure, england.figures.get(key))]
    return [
        ShownPack(
            england.key,
            england.name,
            england.edition,
            "",
            read_in_reprints(england),
            [_shown(f) for f in england.figures.values()],
        ),
        ShownPack(scotland.key, scotland.name, scotland.edition, england.name, "", [_shown(f) for f in differ]),
    ]


def edition_words(edition: str) -> str:
    """An edition as people say it: a bare year is that year's.

    >>> edition_words("2010"), edition_words("as printed in makers' manuals"), edition_words("")
    ('edition of 2010', "as printed in makers' manuals", '')
    """
    return f"edition of {edition}" if edition[:4].isdecimal() else edition


def _same(figure: Figure, other: Figure | None) -> bool:
    return other is not None and (figure.value, figure.unit) == (other.value, other.unit)


def _shown(figure: Figure) -> ShownFigure:
    source, table = figure.source, _table(figure.value)
    return ShownFigure(
        name=figure.name, value="" if table else _value(figure), table=table, document=source.document,
        clause=source.clause, edition=edition_words(source.edition), standing=source.standing, note=figure.note,
    )  # fmt: skip


def _value(figure: Figure) -> str:
    """One number or a range with its unit, or words."""
    value = figure.value
    if isinstance(value, bool):
        return "yes"
    if isinstance(value, str):
        return value
    if figure.is_range or not isinstance(value, list):
        return amount_of(value, figure.unit.removesuffix("s") if value == 1 else figure.unit)
    if any(" " in item for item in value if isinstance(item, str)):
        return f"{start('; '.join(value))}."
    return f"{', '.join(map(_cell, value))} ({figure.unit})"


def _table(value: Any) -> Table | None:
    """Heads and rows of a figure that is a table."""
    if not isinstance(value, list) or not value or not isinstance(value[0], Mapping):
        return None
    keys = [key for key in dict.fromkeys(key for row in value for key in row) if key not in _LEFT_OUT]
    rows = tuple(tuple(_in_row(row, key) for key in keys) for row in value)
    return tuple(_HEADS.get(key, key.replace("_", " ").capitalize()) for key in keys), rows


def _in_row(row: Mapping[str, Any], key: str) -> str:
    value = row.get(key, "")
    if key == _BY_SIZE and value:
        return "; ".join(f"to {kw:g} kW {least:g}" for kw, least in value)
    if key == "figure":
        return str(value).replace("-", " ")
    return _cell(value)


def _cell(value: Any) -> str:
    if isinstance(value, Sequence) and not isinstance(value, str):
        return ", ".join(map(_cell, value))
    return f"{value:g}" if isinstance(value, (int, float)) else str(value)
