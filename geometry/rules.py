"""Rule packs: dated figures for one country, each with its document, clause, edition and standing.

A room file may put its own figure in the place of one of the pack's, with a note: ``pack_of`` gives the pack with
those in it, and that is the pack that every check asks.
"""

import tomllib
from collections.abc import Iterable
from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import cache, lru_cache
from importlib import resources
from typing import Any, Literal

from geometry.errors import shown
from geometry.room import Override, Room

FAR_OFF = 100.0
"""A room's own figure is at most so many times the pack's, and at least its share: beyond that it is a slip."""

Standing = Literal["law", "guidance", "typical", "common practice", "from memory", "own figure"]


@dataclass(frozen=True)
class Source:
    """Where a figure or a rule comes from."""

    document: str
    clause: str = ""
    edition: str = ""
    standing: Standing = "common practice"

    def as_json(self) -> dict[str, str]:
        """Plain values in a fixed order."""
        return {
            "document": self.document, "clause": self.clause, "edition": self.edition, "standing": self.standing,
        }  # fmt: skip


@dataclass(frozen=True)
class Figure:
    """One figure of a rule pack."""

    key: str
    value: Any
    unit: str
    source: Source
    read_on: str
    note: str = ""
    document_key: str = ""

    @property
    def name(self) -> str:
        """Its key in words: "Discharge valve to tundish"."""
        return self.key.replace("-", " ").capitalize()

    @property
    def is_range(self) -> bool:
        """Whether it is a pair of numbers, from the one to the other."""
        return isinstance(self.value, (list, tuple)) and len(self.value) == 2 and all(map(_is_number, self.value))


@dataclass(frozen=True)
class Overridden:
    """One figure that a room file has put its own in the place of: the pack's, the room's own, and why."""

    figure: Figure
    value: float | tuple[float, float]
    note: str

    @property
    def told(self) -> str:
        """The two in one sentence, as the report prints it."""
        return f"{self.figure.name}: {self.instead} ({self.note})"

    @property
    def instead(self) -> str:
        """The two figures: "500 mm instead of 600 mm", a unit of several words said once."""
        unit = self.figure.unit
        one = amount_of(self.value, unit) if " " not in unit else amount_of(self.value, "")
        return f"{one} instead of {amount_of(self.figure.value, unit)}"

    def as_json(self) -> dict[str, Any]:
        """Plain values in a fixed order."""
        value = list(self.value) if isinstance(self.value, tuple) else self.value
        return {
            "key": self.figure.key, "value": value, "instead_of": self.figure.value, "unit": self.figure.unit,
            "note": self.note,
        }  # fmt: skip


@dataclass(frozen=True)
class RulePack:
    """All figures for one country, and those of them that one room has put its own in the place of."""

    key: str
    name: str
    edition: str
    figures: dict[str, Figure]
    overrides: tuple[Overridden, ...] = ()

    def figure(self, key: str) -> Figure:
        """The figure of that key, with its source."""
        return self.figures[key]

    def number(self, key: str) -> float:
        """The value of a single-number figure."""
        return float(self.figures[key].value)

    def range(self, key: str) -> tuple[float, float]:
        """The two ends of a figure that goes from one number to another."""
        low, high = self.figures[key].value
        return float(low), float(high)

    def rows(self, key: str) -> list[dict[str, Any]]:
        """The rows of a figure that is a table."""
        found: list[dict[str, Any]] = self.figures[key].value
        return found

    def words(self, key: str) -> list[str]:
        """The words of a figure that is a list of them."""
        found: list[str] = self.figures[key].value
        return found

    def source(self, key: str) -> Source:
        """The source of a figure."""
        return self.figures[key].source

    def with_overrides(self, overrides: Iterable[Override]) -> "RulePack":
        """The pack with a room's own figures in it, each with a source that says so.

        >>> own = Override(key="discharge-valve-to-tundish", value=500, note="older edition agreed with the inspector")
        >>> pack = rule_pack("england").with_overrides([own])
        >>> pack.number("discharge-valve-to-tundish"), pack.source("discharge-valve-to-tundish").standing
        (500.0, 'own figure')
        >>> pack.overrides[0].told
        'Discharge valve to tundish: 500 mm instead of 600 mm (older edition agreed with the inspector)'
        """
        figures, made = dict(self.figures), []
        for own in overrides:
            was = self.figures[own.key]
            made.append(Overridden(was, own.value, own.note))
            figures[own.key] = replace(was, value=own.value, source=_own_source(was, made[-1]), note=own.note)
        return replace(self, figures=figures, overrides=(*self.overrides, *made))

    def override_fault(self, own: Override) -> str | None:
        """What is wrong with a room's own figure for this pack, in one sentence; None where nothing is.

        >>> rule_pack("england").override_fault(Override(key="discharge-fal", value=100, note="x"))
        'Overrides: the rules of England have no figure "discharge-fal". Is "discharge-fall" meant?'
        """
        figure = self.figures.get(own.key)
        if figure is None:
            near = get_close_matches(own.key, self.figures, 1)
            ask = f'Is "{near[0]}" meant?' if near else "Take it out, or correct its key."
            return f"Overrides: the rules of {self.name} have no figure {shown(own.key)}. {ask}"
        pair = isinstance(own.value, tuple)
        if not figure.is_range and not _is_number(figure.value):
            return (
                f'Overrides: "{own.key}" is not one number or a range, so no other can stand in its place. Take it out.'
            )
        if pair != figure.is_range:
            wanted = "two numbers in [ ], from and to" if figure.is_range else "one number"
            return f'Overrides: "{own.key}" should be {wanted}, as in the pack: {amount_of(figure.value, figure.unit)}.'
        low, high = own.value if isinstance(own.value, tuple) else (own.value, own.value)
        least = figure.value[0] if figure.is_range else figure.value
        if low < 0 or (low == 0 and least != 0) or high < low:
            return f'Overrides: "{own.key}" should be more than 0{", and rise" if pair else ""}. Correct its value.'
        most = figure.value[1] if figure.is_range else figure.value
        slip = least and not (least / FAR_OFF <= low and high <= most * FAR_OFF)
        if slip or (figure.unit == "mm" and 0 < low < 1):
            there = amount_of(figure.value, figure.unit)
            return f'Overrides: "{own.key}" is far from the figure of the pack, {there}. Correct its value.'
        return None


def _is_number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def _own_source(was: Figure, own: Overridden) -> Source:
    named = ", ".join(part for part in (was.source.document, was.source.clause, was.source.edition) if part)
    return Source("This room's own figure", f"{own.instead} ({named}): {own.note}", "", "own figure")


def amount_of(value: Any, unit: str) -> str:
    """A figure as people read it: one number or a range, with its unit.

    >>> amount_of(1600, "mm"), amount_of((1350.0, 1450.0), "mm"), amount_of(0.75, "of one person's lift")
    ('1,600 mm', '1,350 to 1,450 mm', "0.75 of one person's lift")
    """
    ends = value if isinstance(value, (list, tuple)) else (value,)
    return f"{' to '.join(f'{end:,g}' for end in ends)} {unit}".strip()


def pack_of(room: Room) -> RulePack:
    """The rule pack that a room is judged by: that of its country, with its own figures in it."""
    return _pack_of(room.rules, room.overrides)


@lru_cache(maxsize=64)
def _pack_of(key: str, overrides: tuple[Override, ...]) -> RulePack:
    pack = rule_pack(key)
    return pack.with_overrides(overrides) if overrides else pack


@cache
def rule_pack(key: str) -> RulePack:
    """A rule pack by key, as it is published. A pack that ``extends`` another holds only what differs.

    ``[restated.<document>]`` gives every inherited figure of that document the standing and the note it has here.

    >>> rule_pack("england").number("discharge-valve-to-tundish")
    600.0
    >>> rule_pack("england").source("discharge-fall").clause
    '3.56(b)'
    """
    text = (resources.files("geometry.rule_packs") / f"{key}.toml").read_text(encoding="utf-8")
    data = tomllib.loads(text)
    figures = _inherited(data["extends"], data.get("restated", {})) if "extends" in data else {}
    for entry in data["figure"]:
        figures[entry["key"]] = _figure(entry, data["document"])
    return RulePack(key, data["name"], data["edition"], figures)


def _figure(entry: dict[str, Any], documents: dict[str, dict[str, str]]) -> Figure:
    cited = documents[entry["from"]]
    edition = entry.get("edition", cited["edition"])
    source = Source(cited["title"], entry["clause"], edition, entry["standing"])
    note = entry.get("note", "")
    return Figure(entry["key"], entry["value"], entry["unit"], source, entry["read_on"], note, entry["from"])


def _inherited(key: str, restated: dict[str, dict[str, Any]]) -> dict[str, Figure]:
    found = dict(rule_pack(key).figures)
    for name, figure in found.items():
        again = restated.get(figure.document_key)
        if again:
            source = replace(figure.source, standing=again["standing"])
            found[name] = replace(figure, source=source, note=f"{again['note']} {figure.note}".strip())
    return found
