"""What each type of system needs, and the layout lacks.

The type is read from the room's ``system``; without one, from the kit that is there (an unvented store brings its
own needs). What is missing is named.

>>> from geometry.samples import round_kit, piece, sample_scene
>>> store = round_kit("cylinder", traits=["unvented-store", "wet"])
>>> scene = sample_scene([store], [piece(store, 1200, 900)], system="unvented + sealed heating")
>>> [f.topic for f in find(scene) if f.verdict == "put-right"]
['tundish', 'inlet valve group', 'expansion vessel', 'filling loop']
"""

from collections.abc import Iterator
from typing import Any

from geometry.check import Check, Finding
from geometry.rules import rule_pack
from geometry.scene import Placed, Scene
from geometry.words import start

ID = "kit-list"


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each thing that the system needs."""
    if only is not None:
        return
    pack = scene.pack
    system = scene.room.system.lower()
    needs = [need for need in pack.figure("kit-list").value if _applies(scene, need, system)]
    if not system and scene.placed:
        yield Finding(
            ID, "not-checked", "The type of system is not given.", topic="system",
            question="What is the system: combination, system or heat-only boiler, heat pump, unvented or vented?",
        )  # fmt: skip
    for need in needs:
        there = [placed for placed in scene.placed if _is(placed, need)]
        thing = need["thing"]
        if there:
            text = f"{start(there[0].name)} is on the plan."
            yield Finding(ID, "no-fault", text, tuple(p.id for p in there), topic=thing, source=pack.source("kit-list"))
        else:
            verdict = "put-right" if need["need"] == "must" else "look-again"
            yield Finding(
                ID, verdict, f"No {thing} is on the plan: {need['why']}.", topic=thing,
                title=f"The {thing} is missing", source=pack.source("kit-list"),
            )  # fmt: skip


def _applies(scene: Scene, need: dict[str, Any], system: str) -> bool:
    said = any(word in system for word in need["system"])
    return said or any(placed.kit.has(trait) for placed in scene.placed for trait in need["with"])


def _is(placed: Placed, need: dict[str, Any]) -> bool:
    return any(placed.kit.has(word) or word in placed.kit.key for word in need["is"])


CHECK = Check(
    id=ID,
    title="Nothing that the system needs is forgotten",
    failing_title="Something that the system needs is missing",
    reason="What is forgotten on the plan is squeezed in on the day.",
    source=rule_pack("england").source("kit-list"),
    find=find,
)
