"""Doors, windows and outlets of a walked room: from rows of the form to parts of the room file.

Nobody has to measure everything: what is left empty is taken as usual, and the room file says that it was not measured.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from geometry.check import mm
from geometry.traverse import edge_of, wall_letters
from geometry.typed import is_count
from geometry.walls import Edge
from server.measured import length_from
from server.walk_form import BLANKS_OF, OpeningRow

USUAL_MM: dict[str, dict[str, float]] = {
    "door": {"wide": 700.0, "head": 1981.0, "sill": 0.0},
    "window": {"wide": 600.0, "head": 2000.0, "sill": 1000.0},
    "outlet": {"level": 150.0},
}
"""What is drawn until somebody measures. Common practice, no source."""
MAY_BE_EMPTY = {("door", "sill")}
"""Left empty, these are nothing rather than not measured: most doors have no step."""
WORDS = {"wide": "clear width", "head": "head", "sill": "sill", "level": "level", "from": "place along its wall"}
OPENS: dict[str, tuple[str, dict[str, Any]]] = {
    "out": ("out of the room", {"kind": "hinged", "opens": "out"}),
    "in": ("into the room", {"kind": "hinged", "opens": "in"}),
    "double-out": ("two leaves, out", {"kind": "double", "opens": "out"}),
    "double-in": ("two leaves, in", {"kind": "double", "opens": "in"}),
    "sliding": ("it slides", {"kind": "sliding"}),
    "bifold": ("it folds", {"kind": "bifold", "opens": "out"}),
    "none": ("an open doorway", {"kind": "none"}),
}
PREFIX = {"door": "d", "window": "w", "outlet": "o"}


@dataclass
class Openings:
    """Parts of the room file, what was not measured of them, and a sentence for every blank that cannot be used."""

    parts: dict[str, list[dict[str, Any]]] = field(default_factory=lambda: {"door": [], "window": [], "outlet": []})
    not_measured: list[dict[str, Any]] = field(default_factory=list)
    faults: dict[str, str] = field(default_factory=dict)


def openings_of(rows: tuple[OpeningRow, ...], edges: tuple[Edge, ...], clockwise: bool) -> Openings:
    """Every row on its wall; ``clockwise`` as the walls were walked, so that first and second corner are known."""
    found = Openings()
    for i, row in enumerate(rows):
        lengths = _lengths(row, f"o{i}_", found.faults)
        wall = int(row.wall) if is_count(row.wall) and int(row.wall) < len(edges) else 0
        edge = edges[edge_of(wall, len(edges), clockwise)]
        name = f"{PREFIX[row.kind]}{len(found.parts[row.kind]) + 1}"
        usual = USUAL_MM[row.kind]
        taken = {what: usual[what] for what in usual if what not in lengths}
        wide = lengths.get("wide", taken.get("wide", 0.0))
        room_mm = edge.length_mm - wide
        if room_mm < 0:
            letters = wall_letters(wall, len(edges))
            found.faults[f"o{i}_wide1"] = (
                f"{mm(wide)} is wider than wall {letters}, {mm(edge.length_mm)}. Which one is right?"
            )
            continue
        along = lengths.get("from", room_mm / 2)
        if along > room_mm + 0.5:
            found.faults[f"o{i}_from"] = f"It would end {mm(along - room_mm)} past the other corner."
            continue
        from_start = (row.corner == "first") != clockwise
        start = along if from_start else room_mm - along
        hinge_at_start = (row.get("hinge") != "second") != clockwise
        _write(found, row, name, edge, max(start, 0.0), {**taken, **lengths, "wide": wide}, hinge_at_start)
        _note_missing(found, row, name, taken, "from" in lengths, along)
        if row.kind != "outlet":
            _heads(found, row, i, {**taken, **lengths})
    return found


def _lengths(row: OpeningRow, prefix: str, faults: dict[str, str]) -> dict[str, float]:
    """What is written and can be used; of the widths the least."""
    found: dict[str, float] = {}
    for blank in BLANKS_OF[row.kind]:
        text = row.get(blank).strip()
        if not text:
            continue
        length = length_from(text)
        name = blank.rstrip("123")
        if length is None or (length <= 0 and name == "wide"):
            faults[prefix + blank] = "Write a length in millimetres, or leave it empty if it was not measured."
        else:
            found[name] = min(found.get(name, length), length)
    return found


def _heads(found: Openings, row: OpeningRow, index: int, lengths: Mapping[str, float]) -> None:
    if lengths["head"] <= lengths["sill"]:
        found.faults[f"o{index}_head"] = f"Its head, {mm(lengths['head'])}, is not above its sill."


def _note_missing(
    found: Openings, row: OpeningRow, name: str, taken: Mapping[str, float], placed: bool, along: float
) -> None:
    missing = {what: value for what, value in taken.items() if (row.kind, what) not in MAY_BE_EMPTY}
    if not placed:
        missing["from"] = round(along, 1)
    for what, value in missing.items():
        found.not_measured.append({"of": name, "what": WORDS[what], "taken_mm": value})


def _write(
    found: Openings,
    row: OpeningRow,
    name: str,
    edge: Edge,
    start: float,
    lengths: Mapping[str, float],
    hinge_at_start: bool,
) -> None:
    start = round(start, 3)
    if row.kind == "outlet":
        x, y = edge.at(start)
        called = row.get("name").strip()[:120] or "way out for pipes"
        found.parts["outlet"].append(
            {"id": name, "name": called, "at_mm": [round(x, 3), round(y, 3)], "level_mm": lengths["level"]}
        )
        return
    band = {"sill_mm": lengths["sill"], "head_mm": lengths["head"]}
    if row.kind == "window":
        window = {"id": name, "edge": edge.index, "from_mm": start, "width_mm": lengths["wide"], **band}
        found.parts["window"].append(window)
        return
    leaf = dict(OPENS.get(row.get("opens"), OPENS["out"])[1])
    if leaf["kind"] == "hinged":
        leaf["hinge"] = "start" if hinge_at_start else "end"
    door = {"id": name, "edge": edge.index, "from_mm": start, "clear_mm": lengths["wide"], **band, "leaf": leaf}
    found.parts["door"].append({**door, "planned": True} if row.get("planned") else door)
