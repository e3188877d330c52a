"""Rule packs: dated figures for one country, each with its document, clause, edition and standing."""

import tomllib
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources
from typing import Any, Literal

Standing = Literal["law", "guidance", "typical", "common practice", "from memory"]


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


@dataclass(frozen=True)
class RulePack:
    """All figures for one country."""

    key: str
    name: str
    edition: str
    figures: dict[str, Figure]

    def figure(self, key: str) -> Figure:
        """The figure of that key, with its source."""
        return self.figures[key]

    def number(self, key: str) -> float:
        """The value of a single-number figure."""
        return float(self.figures[key].value)

    def source(self, key: str) -> Source:
        """The source of a figure."""
        return self.figures[key].source


@cache
def rule_pack(key: str) -> RulePack:
    """A rule pack by key. A pack that ``extends`` another holds only what differs.

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
