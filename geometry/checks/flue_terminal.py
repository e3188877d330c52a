"""Where a flue ends on the outside of its wall, against openings, gutters, eaves, pipes, corners and what faces it.

Distances are measured in the wall's plane, from the terminal to the nearest edge; to what faces the wall, straight
out. Where only the true distance, with what the terminal projects, is enough, that is said: the plane counts.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> boiler = box_kit("boiler", traits=["gas", "hot"])
>>> flue = {"id": "t1", "piece": "boiler", "edge": 2, "along_mm": 1200, "level_mm": 2000}
>>> window = {"id": "w9", "name": "window above", "kind": "opening", "edge": 2, "from_mm": 900, "to_mm": 1500,
...           "low_mm": 2299, "high_mm": 3000}
>>> scene = sample_scene([boiler], [piece(boiler, 1200, 1600)], flues=[flue], outside=[window])
>>> [(f.needed, f.found, f.short) for f in find(scene)]
[(300.0, 299.0, 1.0)]
"""

from collections.abc import Iterator
from math import hypot
from typing import Any

from geometry.check import TIGHT, Check, Finding, judge, mm
from geometry.room import Flue, Outside
from geometry.rules import RulePack, rule_pack
from geometry.scene import Placed, Scene
from geometry.words import start, within

ID = "flue-terminal"


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each flue and each thing outside its wall, or a question where the flue is not drawn."""
    pack = scene.pack
    for placed in scene.placed:
        if not (placed.kit.has("gas") and placed.kit.has("hot")) or (only is not None and placed.id not in only):
            continue
        flues = [flue for flue in scene.room.flues if flue.piece == placed.id]
        for flue in flues:
            yield from _one(scene, pack, placed, flue)
        if not flues:
            the = within(placed.name)
            yield Finding(
                ID, "not-checked", f"Where the flue of the {the} ends is not drawn.", (placed.id,),
                question=f"Where does the flue of the {the} end, and what is within 2 m of it outside?",
            )  # fmt: skip


def _one(scene: Scene, pack: RulePack, placed: Placed, flue: Flue) -> Iterator[Finding]:
    near = [thing for thing in scene.room.outside if thing.edge == flue.edge]
    if not near:
        yield Finding(
            ID, "not-checked", f"Nothing outside the wall of the flue of the {within(placed.name)} is drawn.",
            (placed.id,), topic=flue.id,
            question=f"What is outside near the flue of the {within(placed.name)}: openings, gutters, pipes, corners?",
        )  # fmt: skip
    for thing in near:
        row, found, true = _measured(pack, flue, thing)
        if row is not None:
            yield _judged(scene, pack, placed, flue, thing, row, found, true)


def _measured(pack: RulePack, flue: Flue, thing: Outside) -> tuple[dict[str, Any] | None, float, float]:
    """The row of the table, the distance in the wall's plane, and the true distance."""
    across = max(thing.from_mm - flue.along_mm, flue.along_mm - thing.to_mm, 0.0)
    up = max(thing.low_mm - flue.level_mm, flue.level_mm - thing.high_mm, 0.0)
    rows = [row for row in pack.figure("flue-distances").value if row["kind"] == thing.kind]
    place = _place(flue, thing, across, up)
    row = next((row for row in rows if row["place"] in (place, "any", "facing")), rows[0] if rows else None)
    if row is not None and row["place"] == "facing":
        out = max(0.0, thing.away_mm - flue.projects_mm)
        return (row, out, out) if across == 0 and up == 0 else (None, 0.0, 0.0)
    return row, hypot(across, up), hypot(across, up, flue.projects_mm)


def _place(flue: Flue, thing: Outside, across: float, up: float) -> str:
    if thing.kind == "terminal":
        return "above-or-below" if up >= across else "beside"
    if across >= up:
        return "beside"
    return "below" if thing.low_mm > flue.level_mm else "above"


def _judged(
    scene: Scene, pack: RulePack, placed: Placed, flue: Flue, thing: Outside, row: dict[str, Any], found: float,
    true: float,
) -> Finding:  # fmt: skip
    needed = float(row[flue.kind])
    verdict = judge(found - needed, scene.room.tolerance_mm)
    text = (
        f"The flue of the {within(placed.name)} ends {mm(found)} from the {within(thing.name)}; {mm(needed)} is needed."
    )
    if verdict == "put-right" and true >= needed:
        text += f" Only with what it projects is it {mm(true)} away; the distance along the wall counts."
    elif verdict == "look-again":
        text += f" {TIGHT}"
    return Finding(
        ID, verdict, text, (placed.id,), (thing.id,), topic=f"{flue.id}, {row['letter']}", needed=needed, found=found,
        short=max(0.0, needed - found), source=pack.source("flue-distances"),
        title="" if verdict == "no-fault" else f"The flue of the {within(placed.name)} is near the {within(thing.name)}",
        reason=start(f"letter {row['letter']}: what leaves a flue must not come back in, or spoil what is near it."),
    )  # fmt: skip


CHECK = Check(
    id=ID,
    title="Every flue ends clear of what is near it outside",
    failing_title="A flue ends too near something outside",
    reason="What leaves a flue must not come back in through a window, or spoil gutters and eaves.",
    source=rule_pack("england").source("flue-distances"),
    find=find,
)
