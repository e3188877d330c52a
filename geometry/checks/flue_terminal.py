"""Where a flue ends on the outside of its wall, against openings, gutters, eaves, pipes, corners and what faces it.

Distances are measured in the wall's plane, from the terminal's rim to the nearest edge; to what faces the wall, out
from the terminal. Where only the true distance, with what the terminal projects, is enough, that is said: the plane
counts. The room's own windows and doors in that wall are openings, and other flues in it terminals.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> boiler = box_kit("boiler", traits=["gas", "hot"])
>>> flue = {"id": "t1", "piece": "boiler", "edge": 2, "along_mm": 1200, "level_mm": 2000, "round_mm": 100}
>>> window = {"id": "w9", "name": "window above", "kind": "opening", "edge": 2, "from_mm": 900, "to_mm": 1500,
...           "low_mm": 2349, "high_mm": 3000}
>>> scene = sample_scene([boiler], [piece(boiler, 1200, 1600)], flues=[flue], outside=[window])
>>> [(f.needed, f.found, f.short) for f in find(scene)]
[(300.0, 299.0, 1.0)]
"""

from collections.abc import Iterator
from dataclasses import replace

from geometry.check import TIGHT, Check, Finding, Where, judge, mm
from geometry.flues import Gap, gaps
from geometry.room import Flue
from geometry.rules import rule_pack
from geometry.scene import Placed, Scene
from geometry.shapes import disc
from geometry.words import start, the, wall_name

ID = "flue-terminal"
FIGURE = "flue-distances"


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each flue and each thing outside its wall, or a question where the flue is not drawn."""
    for placed in scene.placed:
        flued = any(flue.piece == placed.id for flue in scene.room.flues)
        if (placed.kit.has("hot") or flued) and (only is None or placed.id in only):
            if placed.kit.has("gas"):
                yield from _of_gas(scene, placed)
            elif placed.kit.has("oil") or placed.kit.has("solid-fuel"):
                yield _of_other_fuel(scene, placed)
            elif flued:
                yield _of_no_fuel(scene, placed)


def _of_gas(scene: Scene, placed: Placed) -> Iterator[Finding]:
    name, flues = the(placed.name), [flue for flue in scene.room.flues if flue.piece == placed.id]
    if not flues:
        yield Finding(
            ID, "not-checked", f"Where the flue of {name} ends is not drawn.", (placed.id,),
            source=scene.pack.source(FIGURE),
            question=f"Where does the flue of {name} end, and what is near it outside: openings, gutters, pipes, "
            "corners, walls across?",
        )  # fmt: skip
    for flue in flues:
        yield from _left_behind(scene, placed, flue)
        yield from _into_the_house(scene, placed, flue)
        if not any(outside.edge == flue.edge for outside in scene.room.outside):
            yield Finding(
                ID, "not-checked", f"Nothing outside the wall of the flue of {name} is drawn.", (placed.id,),
                topic=flue.id, source=scene.pack.source(FIGURE),
                question=f"What is outside near the flue of {name}: openings, gutters, pipes, corners?",
            )  # fmt: skip
        yield from (_judged(scene, placed, flue, gap) for gap in gaps(scene, flue, placed.kit.input_kw))


def _left_behind(scene: Scene, placed: Placed, flue: Flue) -> Iterator[Finding]:
    """A flue leaves its boiler straight: one that ends beside the body may be where the boiler was."""
    port = next((port for port in placed.kit.port if port.medium == "flue"), None)
    x, y, _ = placed.to_room(port.at_mm) if port else (*placed.piece.at_mm, 0.0)
    off, plan = abs(scene.edges[flue.edge].measure((x, y))[0] - flue.along_mm), placed.kit.plan
    if off > max(plan.width_mm, plan.depth_mm) / 2:
        name = the(placed.name)
        yield Finding(
            ID, "not-checked", f"{start(name)} is {mm(off)} to one side of its flue as it is drawn.", (placed.id,),
            topic=f"{flue.id}, moved", found=off, source=scene.pack.source(FIGURE),
            question=f"{start(name)} is {mm(off)} from its flue, measured sideways: is the flue still there?",
        )  # fmt: skip


def _into_the_house(scene: Scene, placed: Placed, flue: Flue) -> Iterator[Finding]:
    """A flue that ends at a wall which the room file does not call an outside wall, where it calls others that."""
    outer = {wall.edge for wall in scene.room.walls if wall.outside}
    if outer and flue.edge not in outer:
        name, wall = the(placed.name), wall_name(scene, flue.edge)
        yield Finding(
            ID, "look-again", f"The flue of {name} ends at {wall}, which is not drawn as an outside wall.",
            (placed.id,), (f"edge:{flue.edge}",), topic=f"{flue.id}, wall", source=scene.pack.source(FIGURE),
            title=f"The flue of {name} may end inside the house", basis=placed.kit.basis,
            where=_terminal(scene, flue),
        )  # fmt: skip


def _of_no_fuel(scene: Scene, placed: Placed) -> Finding:
    name = the(placed.name)
    return Finding(
        ID, "not-checked", f"A flue is drawn from {name}, which burns nothing as it is described.", (placed.id,),
        topic="fuel", source=scene.pack.source(FIGURE),
        question=f"What does {name} burn, or whose flue is it that is drawn from {name}?",
    )  # fmt: skip


def _of_other_fuel(scene: Scene, placed: Placed) -> Finding:
    name = the(placed.name)
    return Finding(
        ID, "not-checked", f"The distances here are for gas; those for the flue of {name} are not known.",
        (placed.id,), source=scene.pack.source(FIGURE),
        question=f"What does the maker of {name}, or a registered engineer, say about where its flue ends?",
    )  # fmt: skip


def _judged(scene: Scene, placed: Placed, flue: Flue, gap: Gap) -> Finding:
    needed, found, letter = gap.needed_mm, gap.found_mm, gap.row["letter"]
    verdict, name = judge(found - needed, scene.room.tolerance_mm), the(placed.name)
    text = f"The flue of {name} ends {mm(found)} from {gap.near.called}; {mm(needed)} is needed."
    if verdict == "put-right" and gap.true_mm >= needed:
        text += f" Only with what it projects is it {mm(gap.true_mm)} away; the distance along the wall counts."
    elif verdict == "look-again":
        text += f" {TIGHT}"
    source = scene.pack.source(FIGURE)
    return Finding(
        ID, verdict, text, (placed.id,), (gap.near.id,), topic=f"{flue.id}, {letter}", needed=needed, found=found,
        short=gap.short_mm, source=replace(source, clause=f"{source.clause}: {letter}"), basis=placed.kit.basis,
        title="" if verdict == "no-fault" else f"The flue of {name} is near {gap.near.called}",
        where=_terminal(scene, flue),
    )  # fmt: skip


def _terminal(scene: Scene, flue: Flue) -> Where:
    spot, half = scene.edges[flue.edge].at(flue.along_mm), max(flue.round_mm, 1.0) / 2
    return Where(disc(spot, half), flue.level_mm - half, flue.level_mm + half)


CHECK = Check(
    id=ID,
    title="Every flue ends clear of what is near it outside",
    failing_title="A flue ends too near something outside",
    reason="What leaves a flue must not come back in through a window, or spoil gutters and eaves.",
    source=rule_pack("england").source(FIGURE),
    find=find,
)
