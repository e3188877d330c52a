"""Rule packs: dated figures for one country, each with its document, clause, edition and standing."""

import tomllib
from dataclasses import dataclass
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

    >>> rule_pack("england").key
    'england'
    """
    text = (resources.files("geometry.rule_packs") / f"{key}.toml").read_text(encoding="utf-8")
    data = tomllib.loads(text)
    figures = dict(rule_pack(data["extends"]).figures) if "extends" in data else {}
    documents = data.get("document", {})
    for entry in data["figure"]:
        cited = documents[entry["from"]]
        source = Source(
            document=cited["title"],
            clause=entry.get("clause", ""),
            edition=entry.get("edition", cited.get("edition", "")),
            standing=entry["standing"],
        )
        figures[entry["key"]] = Figure(
            entry["key"], entry["value"], entry["unit"], source, entry["read_on"], entry.get("note", "")
        )
    return RulePack(key, data["name"], data["edition"], figures)
