"""The relief pipe of a sealed heating system: not thinner than the valve's outlet, falling, to a place of its own.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> blow = {"name": "relief", "medium": "relief", "size_mm": 15, "at_mm": [100, 0, 0], "faces": "below"}
>>> boiler = box_kit("boiler", 440, 360, 720, stands_on="wall", base_mm=1150, port=[blow])
>>> [f.question for f in find(sample_scene([boiler], [piece(boiler, 1200, 1620)]))]
['Where does the relief pipe of the boiler go?']
"""

from collections.abc import Iterator

from geometry.check import Check, Finding, tidy
from geometry.pipes.drain import Drain, drains
from geometry.pipes.falling import end_of
from geometry.pipes.topics import at_outlet
from geometry.pipes.waste import falls, say
from geometry.room import Outlet
from geometry.rules import rule_pack
from geometry.scene import Scene
from geometry.units import SAME_MM
from geometry.words import listed, named, start, the

ID = "relief"


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """Findings about each relief port of a sealed system."""
    for drain in drains(scene, "relief", scene.pack.number("drain-fall"), only):
        yield from falls(ID, drain, scene.pack.figure("drain-fall"))
        if drain.pipe is not None and drain.pipe.size_mm is not None:
            yield _size(drain, drain.pipe.size_mm)
        if drain.run is not None:
            yield _end(drain, drain.run.outlet)
            yield from _with_condensate(drain, drain.run.outlet)


def _size(drain: Drain, size_mm: float) -> Finding:
    valve = drain.port.size_mm
    short = max(0.0, valve - size_mm)
    text = f"{start(drain.called)} is {tidy(size_mm)} mm; the valve's outlet is {tidy(valve)} mm and wants no less."
    return say(
        ID, drain, "size", "put-right" if short > SAME_MM else "no-fault", text, needed=valve, found=size_mm,
        short=short, source=drain.scene.pack.source("relief-size"),
    )  # fmt: skip


def _end(drain: Drain, outlet: Outlet) -> Finding:
    """Where it ends: seen, and not over a window or a way in."""
    out, source = named(drain.scene, outlet.id), drain.scene.pack.source("relief-end")
    text = f"{start(drain.called)} ends at {out}"
    over = _openings_below(drain.scene, outlet)
    if over:
        told = f"{text}, over {listed(over)}: what comes out can be near boiling. End it to one side."
        return say(
            ID, drain, "end place", "look-again", told, against=(outlet.id,), source=source, where=at_outlet(outlet)
        )
    if outlet.ends in drain.scene.pack.words("relief-end"):
        return say(ID, drain, "end place", "no-fault", f"{text}, low down where it is seen.", source=source)
    if outlet.ends == "unknown":
        ask = f"Where does {drain.called} end: seen, clear of people and electrics, and where it cannot freeze?"
        told = f"Where {drain.called} ends beyond {out} is not known."
        return say(ID, drain, "end place", "not-checked", told, source=source, question=ask)
    told = f"{text}: a leak is not seen there. A gully or a low end is usual."
    return say(ID, drain, "end place", "look-again", told, against=(outlet.id,), source=source, where=at_outlet(outlet))


def _openings_below(scene: Scene, outlet: Outlet) -> list[str]:
    """Windows and doors of the wall that an outlet is in, under it."""
    wall = end_of(scene, outlet).wall
    if not wall:
        return []
    edge = scene.edges[int(wall.removeprefix("edge:"))]
    along = edge.measure(outlet.at_mm)[0]
    spans = [(named(scene, d.id), d.edge, d.from_mm, d.from_mm + d.clear_mm, d.head_mm) for d in scene.room.doors]
    spans += [(named(scene, w.id), w.edge, w.from_mm, w.from_mm + w.width_mm, w.head_mm) for w in scene.room.windows]
    spans += [(the(o.name), o.edge, o.from_mm, o.to_mm, o.high_mm) for o in scene.room.outside if o.kind == "opening"]
    return [
        called
        for called, on, low, high, head in spans
        if on == edge.index and low <= along <= high and head <= outlet.level_mm
    ]


def _with_condensate(drain: Drain, outlet: Outlet) -> Iterator[Finding]:
    same = [pipe for pipe in drain.scene.room.pipes if pipe.medium == "condensate" and pipe.to == outlet.id]
    if drain.pipe is not None and same:
        text = (
            f"{start(drain.called)} and a condensate pipe both end at {named(drain.scene, outlet.id)}: "
            "each has to be seen by itself, so that a leaking valve is noticed."
        )
        yield say(
            ID, drain, "with condensate", "look-again", text, against=(outlet.id,), where=at_outlet(outlet),
            source=drain.scene.pack.source("condensate-bore-inside"),
        )  # fmt: skip


CHECK = Check(
    id=ID,
    title="The heating's relief valve can blow off",
    failing_title="The heating's relief valve cannot blow off",
    reason="It lets out near-boiling water: it ends seen, away from people, doors, windows and electrics.",
    source=rule_pack("england").source("relief-size"),
    find=find,
    slow=True,
)
