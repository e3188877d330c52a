"""The relief pipe of a sealed heating system: not thinner than the valve's outlet, falling, to a place of its own.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> blow = {"name": "relief", "medium": "relief", "size_mm": 15, "at_mm": [100, 0, 0], "faces": "below"}
>>> boiler = box_kit("boiler", 440, 360, 720, stands_on="wall", base_mm=1150, port=[blow])
>>> [f.question for f in find(sample_scene([boiler], [piece(boiler, 1200, 1620)]))]
['Where does the relief pipe of the boiler go?']
"""

from collections.abc import Iterator

from geometry.check import Check, Finding
from geometry.pipes.waste import falls, wastes
from geometry.rules import rule_pack
from geometry.scene import Scene
from geometry.units import whole_mm
from geometry.words import start

ID = "relief"
LEAST_FALL_MM_M = 5.0
"""A fall is asked for without a figure; this much is the discharge pipe's (common practice, no source)."""


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """Findings about each relief port of a sealed system."""
    pack = scene.pack
    figure = pack.figure("relief-size")
    for waste in wastes(scene, ID, "relief", only):
        yield from falls(waste, figure, LEAST_FALL_MM_M, waste.port.size_mm)
        if waste.pipe is not None and waste.pipe.size_mm is not None:
            short = max(0.0, waste.port.size_mm - waste.pipe.size_mm)
            text = (
                f"{start(waste.called)} is {whole_mm(waste.pipe.size_mm)} mm; the valve's outlet is "
                f"{whole_mm(waste.port.size_mm)} mm, and it may not be thinner."
            )
            yield waste.say(
                "size", "put-right" if short > 1e-6 else "no-fault", text, needed=waste.port.size_mm,
                found=waste.pipe.size_mm, short=short, source=figure.source,
            )  # fmt: skip


CHECK = Check(
    id=ID,
    title="The heating's relief valve can blow off",
    failing_title="The heating's relief valve cannot blow off",
    reason="It lets out near-boiling water and steam: seen, clear of people, doors, windows and electrics, and not frozen.",
    source=rule_pack("england").source("relief-size"),
    find=find,
)
