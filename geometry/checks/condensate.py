"""The condensate pipe of everything that condenses: an outlet, a way that falls, its bore inside and outside.

Fall is measured along the pipe's run in plan, as a whole and for each stretch. What lies outside, or in a room that
is not heated, is wider inside and short. A pump takes condensate like an outlet; what it lifts is not judged.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> drip = {"name": "condensate", "medium": "condensate", "size_mm": 22, "at_mm": [100, 0, 0], "faces": "below"}
>>> boiler = box_kit("boiler", 440, 360, 720, stands_on="wall", base_mm=1150, traits=["condensing"], port=[drip])
>>> scene = sample_scene([boiler], [piece(boiler, 1200, 1620)])
>>> [f.question for f in find(scene) if f.verdict == "not-checked"]
['Where does the condensate pipe of the boiler go?']
"""

from collections.abc import Iterator

from geometry.check import TIGHT, Check, Finding, judge, mm
from geometry.pipes.drain import Drain, Run, drains
from geometry.pipes.topics import at_outlet
from geometry.pipes.waste import falls, say, wide_enough
from geometry.room import Outlet
from geometry.rules import rule_pack
from geometry.scene import Scene
from geometry.words import named, start

ID = "condensate"


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """Findings about each condensate port."""
    fall = scene.pack.figure("condensate-fall")
    for drain in drains(scene, "condensate", float(fall.value), only):
        yield from falls(ID, drain, fall)
        cold = scene.room.heated is False
        bore = "condensate-bore-outside" if cold else "condensate-bore-inside"
        place = "in a room that is not heated" if cold else "in the house"
        yield wide_enough(
            ID, drain, scene.pack.figure(bore), place, "size", bore_mm=drain.bore_mm, size_mm=drain.size_mm
        )
        if drain.run is not None and drain.run.outlet in scene.room.outlets:
            yield from _outside(drain, drain.run)
            yield _end(drain, drain.run.outlet)


def _outside(drain: Drain, run: Run) -> Iterator[Finding]:
    """The part that can freeze: how long it is, and how wide it is out there."""
    pack, outlet, room = drain.scene.pack, run.outlet, drain.scene.room
    limit, figure = pack.number("condensate-run-outside"), pack.figure("condensate-run-outside")
    cold = run.run_mm if room.heated is False else 0.0
    outside = outlet.outside_run_mm
    if cold + outside > 0:
        verdict = judge(limit - cold - outside, room.tolerance_mm)
        where = f"{mm(outside)} outside" if not cold else f"{mm(cold + outside)} in the cold"
        text = f"{start(drain.called)} runs {where} to {named(drain.scene, outlet.id)}; at most {mm(limit)}."
        yield say(
            ID, drain, "outside", verdict, text + (f" {TIGHT}" if verdict == "look-again" else ""), needed=limit,
            found=cold + outside, short=max(0.0, cold + outside - limit), source=figure.source, where=at_outlet(outlet),
        )  # fmt: skip
    if outside > 0:
        wide = pack.figure("condensate-bore-outside")
        bore, inside = outlet.outside_bore_mm, drain.bore_mm
        if bore is None and inside is not None and inside >= float(wide.value):
            bore = inside
        place = "outside, from before the wall on"
        yield wide_enough(ID, drain, wide, place, "size outside", bore_mm=bore, size_mm=None)


def _end(drain: Drain, outlet: Outlet) -> Finding:
    """Where it ends: places that take acid water, places that do not, and those where a condition is to be asked."""
    pack, ends, out = drain.scene.pack, outlet.ends, named(drain.scene, outlet.id)
    text = f"{start(drain.called)} ends at {out}"
    source = pack.source("condensate-run-outside")
    if ends in ("gully", "stack"):
        place = "a gully, below its grating and above its water" if ends == "gully" else "a soil stack"
        return say(ID, drain, "end place", "no-fault", f"{text}: {place}.", source=source)
    if ends == "soakaway":
        least = pack.number("condensate-soakaway")
        far = outlet.outside_run_mm
        verdict = judge(far - least, drain.scene.room.tolerance_mm, "should")
        return say(
            ID, drain, "end place", verdict, f"{text}, a soakaway {mm(far)} out; at least {mm(least)} from the house.",
            needed=least, found=far, short=max(0.0, least - far), source=pack.source("condensate-soakaway"),
        )  # fmt: skip
    if ends in ("roof", "low-level"):
        place = "on a roof" if ends == "roof" else "on the ground"
        told = f"{text}, {place}: it is acid and freezes. A gully, a stack or a soakaway takes it."
        return say(
            ID, drain, "end place", "look-again", told, against=(outlet.id,), source=source, where=at_outlet(outlet)
        )
    foot = mm(pack.number("condensate-above-stack-foot"))
    asked = {
        "internal-stack": f"Does {drain.called} join the stack at least {foot} above the bend at its foot?",
        "hopper": f"Does the rainwater pipe of {drain.called} carry foul water too, with an air break outside?",
    }.get(ends, f"What does {drain.called} end in: a gully, a stack, a soakaway?")
    key = "condensate-above-stack-foot" if ends == "internal-stack" else "condensate-run-outside"
    told = f"{text}; whether that takes it is not known."
    return say(ID, drain, "end place", "not-checked", told, source=pack.source(key), question=asked)


CHECK = Check(
    id=ID,
    title="Condensate can run away",
    failing_title="Condensate cannot run away",
    reason="A pipe that does not fall, or is too thin outside, freezes, and the boiler stops on the coldest day.",
    source=rule_pack("england").source("condensate-fall"),
    find=find,
    slow=True,
)
