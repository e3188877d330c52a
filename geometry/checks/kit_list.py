"""What each type of system needs, and the layout lacks.

The type is read from the room's ``system``, in whole words; without one, from the kit that is there (an unvented
store brings its own needs). A vessel of the heat source's own counts where its size is given. What is missing is
named. Where fewer of a thing are there than the system needs, which one it is gets asked.

>>> from geometry.samples import round_kit, piece, sample_scene
>>> store = round_kit("cylinder", traits=["unvented-store", "wet"])
>>> scene = sample_scene([store], [piece(store, 1200, 900)], system="unvented + sealed heating")
>>> [f.topic for f in find(scene) if f.verdict == "put-right"]
['tundish', 'inlet valve group', 'filling loop']
"""

import re
from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

from geometry.check import Check, Finding
from geometry.rules import rule_pack
from geometry.scene import Placed, Scene
from geometry.words import listed, within

ID = "kit-list"
_PLANS = ("s plan", "y plan")
_SAID_HOW = ("sealed", "vented", "open vented", "open", "system boiler")
Need = dict[str, Any]


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each thing that the system needs; where things stand changes nothing."""
    if only is not None or not (scene.placed or scene.room.system):
        return
    needs = scene.pack.rows("kit-list")
    if not any(_said(scene, need) for need in needs):
        yield _unknown_system(scene)
    elif _has(scene, _PLANS) and not _has(scene, _SAID_HOW):
        yield _sealed_or_open(scene)
    every = [need for need in needs if _applies(scene, need)]
    yield from (_of_its_own(scene, need) for need in every if _brought(scene, need))
    wanted = [need for need in every if not _brought(scene, need)]
    for _, same in groupby(wanted, key=lambda need: need["is"]):
        yield from _found(scene, list(same))


def _said(scene: Scene, need: Need) -> bool:
    return _has(scene, need["system"])


def _has(scene: Scene, words: Sequence[str]) -> bool:
    system = scene.room.system.lower().replace("-", " ")
    return any(re.search(rf"\b{re.escape(word)}\b", system) for word in words)


def _applies(scene: Scene, need: Need) -> bool:
    return _said(scene, need) or any(placed.kit.has(trait) for placed in scene.placed for trait in need["with"])


def _brought(scene: Scene, need: Need) -> bool:
    """Whether the heat source brings it: its own vessel, where the room file says how large that is."""
    return need.get("brought") == "own_vessel_l" and scene.room.heating.own_vessel_l > 0


def _of_its_own(scene: Scene, need: Need) -> Finding:
    text = f"The heat source has a vessel of its own: {scene.room.heating.own_vessel_l:g} litres."
    return Finding(ID, "no-fault", text, topic=need["thing"], source=scene.pack.source("kit-list"))


def _unknown_system(scene: Scene) -> Finding:
    given = scene.room.system
    told = f"What such a system needs is not known here: {given}." if given else "The type of system is not given."
    return Finding(
        ID, "not-checked", told, topic="system", source=scene.pack.source("kit-list"),
        question="What is the system: combination, system or heat-only boiler, heat pump, unvented or vented?",
    )  # fmt: skip


def _sealed_or_open(scene: Scene) -> Finding:
    told = f"Whether the heating is sealed or open vented is not given: {scene.room.system}."
    return Finding(
        ID, "not-checked", told, topic="sealed or open", source=scene.pack.source("kit-list"),
        question="Is the heating sealed or open vented?",
    )  # fmt: skip


def _found(scene: Scene, needs: list[Need]) -> Iterator[Finding]:
    """The things of one kind that the system needs, against those that are on the plan."""
    there = [placed for placed in scene.placed if _is(placed, needs[0])]
    if there and len(there) < len(needs):
        yield _which(scene, needs, there)
        return
    for need in needs:
        yield _there(scene, need, there) if there else _missing(scene, need)


def _is(placed: Placed, need: Need) -> bool:
    return any(placed.kit.has(word) or word in placed.kit.key for word in need["is"])


def _there(scene: Scene, need: Need, there: list[Placed]) -> Finding:
    text = f"On the plan: {listed(within(placed.name) for placed in there)}."
    return Finding(
        ID, "no-fault", text, tuple(placed.id for placed in there), topic=need["thing"],
        source=scene.pack.source("kit-list"),
    )  # fmt: skip


def _missing(scene: Scene, need: Need) -> Finding:
    thing, own = need["thing"], need.get("own", "")
    text = f"No {thing} is on the plan: {need['why']}"
    must = need["need"] == "must" and not own
    return Finding(
        ID, "put-right" if must else "look-again", f"{text}; {own}." if own else f"{text}.", topic=thing,
        title=f"The {thing} is missing", source=scene.pack.source(need.get("figure", "kit-list")),
    )  # fmt: skip


def _which(scene: Scene, needs: list[Need], there: list[Placed]) -> Finding:
    things = listed(f"the {need['thing']}" for need in needs)
    names = listed(within(placed.name) for placed in there)
    return Finding(
        ID, "not-checked", f"On the plan: {names}. The system needs {things}.",
        tuple(placed.id for placed in there), topic=needs[0]["thing"], source=scene.pack.source("kit-list"),
        question=f"Which is there, and where is the other: {things}?",
    )  # fmt: skip


CHECK = Check(
    id=ID,
    title="Nothing that the system needs is forgotten",
    failing_title="Something that the system needs is missing",
    reason="What is forgotten on the plan is squeezed in on the day.",
    source=rule_pack("england").source("kit-list"),
    find=find,
)
