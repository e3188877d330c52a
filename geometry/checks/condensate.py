"""The condensate pipe of everything that condenses: an outlet, a way that falls, its size inside and outside.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> drip = {"name": "condensate", "medium": "condensate", "size_mm": 22, "at_mm": [100, 0, 0], "faces": "below"}
>>> boiler = box_kit("boiler", 440, 360, 720, stands_on="wall", base_mm=1150, traits=["condensing"], port=[drip])
>>> scene = sample_scene([boiler], [piece(boiler, 1200, 1620)])
>>> [f.question for f in find(scene)]
['Where does the condensate pipe of the boiler go?']
"""

from collections.abc import Iterator

from geometry.check import Check, Finding, mm
from geometry.pipes.waste import Waste, bore_finding, falls, wastes
from geometry.room import Outlet
from geometry.rules import RulePack, rule_pack
from geometry.scene import Scene
from geometry.words import named, start

ID = "condensate"


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """Findings about each condensate port."""
    pack = scene.pack
    for waste in wastes(scene, ID, "condensate", only):
        figure = pack.figure("condensate-fall")
        yield from falls(waste, figure, pack.number("condensate-fall"), max(waste.port.size_mm, 15.0))
        if waste.pipe is not None and waste.pipe.size_mm is not None:
            yield bore_finding(waste, pack.figure("condensate-bore-inside"), "in the house")
        if len(waste.outlets) == 1:
            yield from _outside(pack, waste, waste.outlets[0])


def _outside(pack: RulePack, waste: Waste, outlet: Outlet) -> Iterator[Finding]:
    figure = pack.figure("condensate-run-outside")
    limit, run = pack.number("condensate-run-outside"), outlet.outside_run_mm
    if run <= 0:
        return
    short = max(0.0, run - limit)
    text = f"{start(waste.called)} runs {mm(run)} outside to {named(waste.scene, outlet.id)}; at most {mm(limit)}."
    yield waste.say(
        "outside", "put-right" if short > 1e-6 else "no-fault", text, needed=limit, found=run, short=short,
        source=figure.source,
    )  # fmt: skip
    if waste.pipe is not None and waste.pipe.size_mm is not None:
        yield bore_finding(waste, pack.figure("condensate-bore-outside"), "outside")


CHECK = Check(
    id=ID,
    title="Condensate can run away",
    failing_title="Condensate cannot run away",
    reason="A pipe that does not fall, or is too thin outside, freezes, and the boiler stops on the coldest day.",
    source=rule_pack("england").source("condensate-fall"),
    find=find,
)
