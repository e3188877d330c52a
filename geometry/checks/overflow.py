"""The overflow or warning pipe of every cistern and tank: an outlet, a constant fall, its size, one pipe each.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> over = {"name": "overflow", "medium": "overflow", "size_mm": 22, "at_mm": [300, 0, 700], "faces": "right"}
>>> tank = box_kit("tank", traits=["cistern"], port=[over])
>>> outlet = {"id": "o1", "name": "warning outlet", "at_mm": [2400, 900], "level_mm": 720, "takes": ["overflow"]}
>>> scene = sample_scene([tank], [piece(tank, 600, 1500)], outlets=[outlet])
>>> [(f.topic, f.verdict, f.short) for f in find(scene)]
[('overflow, fall', 'put-right', 20.0), ('overflow, size', 'no-fault', 0.0)]
"""

from collections import Counter
from collections.abc import Iterator

from geometry.check import Check, Finding
from geometry.pipes.waste import bore_finding, falls, wastes
from geometry.rules import rule_pack
from geometry.scene import Scene
from geometry.words import listed, named, within

ID = "overflow"
LEAST_FALL_MM_M = 5.0
"""A constant fall is asked for without a figure; this much is the discharge pipe's (common practice, no source)."""


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """Findings about each overflow port, and about tanks that share one pipe's outlet."""
    pack = scene.pack
    every = wastes(scene, ID, "overflow", only)
    for waste in every:
        figure = pack.figure("overflow-bore")
        yield from falls(waste, figure, LEAST_FALL_MM_M, max(waste.port.size_mm, 15.0))
        yield bore_finding(waste, figure, "for a tank under 1,000 litres")
    drawn = [waste for waste in every if waste.pipe is not None]
    for outlet, count in Counter(waste.pipe.to for waste in drawn if waste.pipe).items():
        if count > 1:
            names = listed(within(w.placed.name) for w in drawn if w.pipe and w.pipe.to == outlet)
            yield Finding(
                ID, "look-again", f"The overflows of the {names} end at {named(scene, outlet)}: each needs its own pipe.",
                tuple(w.placed.id for w in drawn if w.pipe and w.pipe.to == outlet), (outlet,), topic="own pipe",
                title="Each tank needs an overflow of its own", source=pack.source("overflow-bore"),
            )  # fmt: skip


CHECK = Check(
    id=ID,
    title="Every tank can overflow where it is seen",
    failing_title="An overflow cannot run away",
    reason="When a float valve sticks, the overflow is what keeps the water out of the house, and what is noticed.",
    source=rule_pack("england").source("overflow-bore"),
    find=find,
)
