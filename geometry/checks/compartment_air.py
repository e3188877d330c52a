"""The air that a gas appliance in a small room may need: the free area of the openings high and low.

Nothing here passes a room: the heat input, the kind of flue and the maker's own word are not in a room file. The sum
is done for the case that asks for the most, and the question put.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> boiler = box_kit("boiler", traits=["gas", "hot"])
>>> [f.question for f in find(sample_scene([boiler], [piece(boiler, 1200, 1600)]))]
['How much air does the maker of the boiler ask for in a room of 4.3 m²?']
"""

from collections.abc import Iterator

from geometry.check import Check, Finding
from geometry.rules import rule_pack
from geometry.scene import Scene
from geometry.words import within

ID = "compartment-air"


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One question for each appliance that burns gas."""
    pack = scene.pack
    figure = pack.figure("compartment-air")
    sealed = next(row for row in figure.value if row["flue"] == "room-sealed" and row["to"] == "room")
    floor = scene.floor.area / 1e6
    for placed in scene.placed:
        if placed.kit.has("gas") and placed.kit.has("hot") and (only is None or placed.id in only):
            the = within(placed.name)
            rate = sealed["high_cm2_kw"]
            yield Finding(
                ID, "not-checked",
                f"The {the} is in a room of {floor:.1f} m². Room-sealed, with openings to another room, it is "
                f"{rate:g} cm² for each kW, high and low: 240 cm² each for 24 kW.",
                (placed.id,), source=figure.source,
                question=f"How much air does the maker of the {the} ask for in a room of {floor:.1f} m²?",
            )  # fmt: skip


CHECK = Check(
    id=ID,
    title="The air for every appliance has been looked at",
    failing_title="The air for an appliance has not been looked at",
    reason="A flame without air makes carbon monoxide; a hot cupboard spoils what is in it.",
    source=rule_pack("england").source("compartment-air"),
    find=find,
)
