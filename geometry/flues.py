"""Where a flue ends on the outside of a wall, and how far that is from what is near it.

The plane of the wall counts: from the rim of the terminal to the nearest edge of the thing, in the wall's plane. What
faces the wall is measured out from the terminal. The true distance, with what the terminal projects, is given beside.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot
from typing import Any

from geometry.room import Flue
from geometry.rules import RulePack
from geometry.scene import Scene
from geometry.words import named, the

Row = dict[str, Any]


@dataclass(frozen=True)
class Near:
    """Something outside a wall: along the wall, its levels, how far from the wall, and how a sentence names it."""

    id: str
    called: str
    kind: str
    from_mm: float
    to_mm: float
    low_mm: float
    high_mm: float
    away_mm: float = 0.0


@dataclass(frozen=True)
class Gap:
    """One distance against its row of the table: found in the plane of the wall or straight out, and the true one."""

    near: Near
    row: Row
    needed_mm: float
    found_mm: float
    true_mm: float

    @property
    def short_mm(self) -> float:
        """How much is missing."""
        return max(0.0, self.needed_mm - self.found_mm)


def things_near(scene: Scene, flue: Flue) -> list[Near]:
    """What a room file has outside the wall of a flue, the room's own windows and doors and other flues counted in."""
    on = flue.edge
    found = [
        Near(o.id, the(o.name), o.kind, o.from_mm, o.to_mm, o.low_mm, o.high_mm, o.away_mm)
        for o in scene.room.outside
        if o.edge == on
    ]
    for window in (window for window in scene.room.windows if window.edge == on):
        end = window.from_mm + window.width_mm
        called = named(scene, window.id)
        found.append(Near(window.id, called, "opening", window.from_mm, end, window.sill_mm, window.head_mm))
    for door in (door for door in scene.room.doors if door.edge == on):
        end = door.from_mm + door.clear_mm
        found.append(Near(door.id, named(scene, door.id), "opening", door.from_mm, end, door.sill_mm, door.head_mm))
    for other in (other for other in scene.room.flues if other.edge == on and other.id != flue.id):
        r, at, up = other.round_mm / 2, other.along_mm, other.level_mm
        found.append(Near(other.id, f"flue {other.id}", "terminal", at - r, at + r, up - r, up + r))
    return sorted(found, key=lambda near: near.id)


def gaps(scene: Scene, flue: Flue, kw: float | None) -> Iterator[Gap]:
    """The distance that counts for everything near a flue, and, for an open flue, from its own wall."""
    for near in things_near(scene, flue):
        rows = [row for row in scene.pack.rows("flue-distances") if row["kind"] == near.kind]
        every = [_measured(flue, near, row, needed) for row in rows if (needed := needed_mm(row, flue.kind, kw))]
        places = _places(flue, near)
        counts = [gap for gap in every if gap.row["place"] in (*places, "facing")]
        counts = counts or [gap for gap in every if gap.row["place"] == "any"]
        if counts:  # one flue beside and above another is clear of it when either distance is kept
            yield min(counts, key=lambda gap: (gap.short_mm, gap.row["letter"]))
    yield from _off_own_wall(scene.pack, flue)


def needed_mm(row: Row, kind: str, kw: float | None) -> float | None:
    """What a row asks for a kind of flue; None where it asks nothing. Natural draught goes by heat input, in steps.

    >>> row = {"natural-balanced": 2000, "natural-by-kw": [[7, 300], [14, 600], [32, 1500]]}
    >>> [needed_mm(row, "natural-balanced", kw) for kw in (7, 7.1, 32, 33, None)]
    [300.0, 600.0, 1500.0, 2000.0, 2000.0]
    """
    if kind not in row:
        return None
    steps = row.get("natural-by-kw", []) if kind == "natural-balanced" and kw is not None else []
    return float(next((mm for most, mm in steps if kw is not None and kw <= most), row[kind]))


def _apart(flue: Flue, near: Near) -> tuple[float, float]:
    """How far the middle of a terminal is from a thing, along the wall and up."""
    across = max(near.from_mm - flue.along_mm, flue.along_mm - near.to_mm, 0.0)
    return across, max(near.low_mm - flue.level_mm, flue.level_mm - near.high_mm, 0.0)


def _places(flue: Flue, near: Near) -> tuple[str, ...]:
    across, up = _apart(flue, near)
    if near.kind == "terminal":
        return ("above-or-below", "beside")
    if across >= up:
        return ("beside",)
    return ("below",) if near.low_mm > flue.level_mm else ("above",)


def _measured(flue: Flue, near: Near, row: Row, needed: float) -> Gap:
    across, up = _apart(flue, near)
    r = flue.round_mm / 2
    plane = max(0.0, hypot(across, up) - r)
    if row["place"] == "facing":
        out = hypot(max(0.0, near.away_mm - flue.projects_mm), plane)
        return Gap(near, row, needed, out, out)
    if near.kind == "terminal":
        plane = max(0.0, (across if row["place"] == "beside" else up) - r)
    return Gap(near, row, needed, plane, hypot(plane, flue.projects_mm))


def _off_own_wall(pack: RulePack, flue: Flue) -> Iterator[Gap]:
    for row in (row for row in pack.rows("flue-distances") if row["kind"] == "own-wall"):
        needed = needed_mm(row, flue.kind, None)
        if needed is not None:
            wall = Near(f"edge:{flue.edge}", "its own wall", "own-wall", 0.0, 0.0, 0.0, 0.0)
            yield Gap(wall, row, needed, flue.projects_mm, flue.projects_mm)
