"""What is said of a pipe in the room file that needs no fall: has it room, and something to be clipped to.

A pumped cold supply is asked a few things more, as the trade does it.
"""

from collections.abc import Iterator
from typing import Any

from geometry.check import Finding, Verdict, Where, mm, tidy
from geometry.pipes.joined import takes
from geometry.pipes.line import NoRoute, Route
from geometry.pipes.outlet_place import outlet_place
from geometry.pipes.pressed import Pressed, pressed
from geometry.pipes.support import HANGS, hangs_mm
from geometry.pipes.topics import (
    at_outlet,
    comes_back,
    not_said,
    past_doorways,
    pipe_where,
    rooms_of,
    things,
    wants_brackets,
    why_not,
)
from geometry.room import Fitting
from geometry.scene import Scene
from geometry.sums.discharge import metres
from geometry.words import named, start, the

PUMPED = "boosted-cold"
FITTING_OFF_MM = 100.0
"""A fitting farther than this from the line of its pipe is not in it (common practice): its body is smaller."""
_NO_WAY = "Without a way the pipe cannot be made as the room stands."
_SOLID = "A pipe cannot go through kit or the fabric where there is no hole for it."
_DOORWAY = "A pipe across a doorway is tripped over, or stops the door."
_ROOM = "A pipe across the place where somebody kneels is stepped on, or taken off and not put back."
_CLIPS = "A pipe with nothing to be clipped to sags and pulls at its joints."


def drawn_findings(check: str, scene: Scene, only: frozenset[str] | None) -> Iterator[Finding]:
    """Findings about each such pipe; those of the pieces in ``only`` where that is given."""
    wanted = [pipe for pipe in pressed(scene) if only is None or only & set(_joins(pipe))]
    for pipe in wanted:
        yield from _outlet(check, pipe)
        yield from _way(check, pipe)
        yield from _usual_size(check, pipe)
        yield from _fittings(check, pipe)
    pumped = [pipe for pipe in wanted if pipe.pipe.medium == PUMPED]
    if pumped:
        yield from _asked(check, pumped[0])


def _say(check: str, pipe: Pressed, topic: str, verdict: Verdict, message: str, **more: Any) -> Finding:
    more = {"source": pipe.scene.pack.source(HANGS)} | more
    title = f"{start(called(pipe))}: {topic}" if verdict in ("put-right", "look-again") else ""
    return Finding(check, verdict, message, _joins(pipe), topic=f"{pipe.pipe.id}, {topic}", title=title, **more)


def _joins(pipe: Pressed) -> tuple[str, ...]:
    ends = (pipe.pipe.from_.piece, pipe.pipe.to) if pipe.pipe.to_port is not None else (pipe.pipe.from_.piece,)
    return tuple(dict.fromkeys(ends))


def called(pipe: Pressed) -> str:
    """How a sentence names it: "the boosted cold pipe of the pump"."""
    return f"the {pipe.pipe.medium.replace('-', ' ')} pipe of {the(pipe.scene.names[pipe.pipe.from_.piece])}"


def _outlet(check: str, pipe: Pressed) -> Iterator[Finding]:
    """Whether the outlet that it goes to is in a good place and for what it carries, or asked where it is not said."""
    outlet = next((o for o in pipe.scene.room.outlets if o.id == pipe.pipe.to), None)
    place = outlet_place(pipe.scene, outlet, pipe.pipe.medium) if outlet else None
    if place:
        yield _say(
            check, pipe, place.topic, place.verdict, place.text, against=place.against, where=place.where,
            question=place.question,
        )  # fmt: skip
    fits = takes(outlet, pipe.pipe.medium) if outlet else True
    if outlet is None or fits:
        return
    where, words, medium = at_outlet(outlet), start(called(pipe)), pipe.pipe.medium.replace("-", " ")
    text = f"{words} goes to {named(pipe.scene, outlet.id)}, which {not_said(outlet, medium)}."
    if fits is None:
        ask = f"Is {named(pipe.scene, outlet.id)} for {medium}?"
        yield _say(check, pipe, "outlet", "not-checked", text, against=(outlet.id,), where=where, question=ask)
    else:
        yield _say(check, pipe, "outlet", "put-right", text, against=(outlet.id,), where=where)


def _way(check: str, pipe: Pressed) -> Iterator[Finding]:
    route, scene, name = pipe.route, pipe.scene, start(called(pipe))
    if isinstance(route, NoRoute):
        text = f"{name} has no way: {why_not(scene, route)}.{past_doorways(scene, route.stops, pipe.size_mm)}"
        yield _say(check, pipe, "no way", "put-right", text, against=route.stops, reason=_NO_WAY)
        return
    where = pipe_where(route, pipe.size_mm)
    if pipe.goes_through:
        yield _through(check, pipe, where)
    yield from _lies(check, pipe, where)
    if not pipe.goes_through:
        yield _say(check, pipe, "way", "no-fault", f"{name} has room: {_length(route)}.", where=where)


def _through(check: str, pipe: Pressed, where: Where) -> Finding:
    """A line as drawn that goes through something: a doorway that it crosses has its own figure and advice."""
    scene, met = pipe.scene, pipe.goes_through
    doors = [door for door in scene.room.doors if door.id in met]
    text = f"{start(called(pipe))} as drawn goes through {things(scene, met)}."
    if len(doors) < len(met):
        reason, topic, source = _SOLID, "goes through something", scene.pack.source("pipe-clip")
    else:
        reason, topic, source = _DOORWAY, "crosses a doorway", scene.pack.source("doorway-strip")
    text += past_doorways(scene, met, pipe.size_mm)
    return _say(check, pipe, topic, "put-right", text, against=met, where=where, reason=reason, source=source)


def _lies(check: str, pipe: Pressed, where: Where) -> Iterator[Finding]:
    scene, name, most = pipe.scene, start(called(pipe)), pipe.scene.pack.number(HANGS)
    if pipe.crosses:
        text = f"{name} goes through {rooms_of(scene, pipe.crosses)}, where somebody has to work."
        yield _say(check, pipe, "room to work", "look-again", text, against=pipe.crosses, where=where, reason=_ROOM)
    if isinstance(pipe.route, Route) and pipe.route.turns_back:
        yield _say(check, pipe, "turns back", "look-again", comes_back(name), where=where)
    over = hangs_mm(scene, pipe.unclipped_mm)
    if over:
        goal = "" if pipe.pipe.via_mm is not None else named(scene, pipe.pipe.to)
        text = wants_brackets(scene, called(pipe), goal, pipe.unclipped_mm)
        yield _say(
            check, pipe, "clips", "look-again", text, needed=most, found=pipe.unclipped_mm,
            short=over, where=where, reason=_CLIPS,
        )  # fmt: skip


def _length(route: Route) -> str:
    bends = route.bends
    return f"{metres(round(route.length_mm / 1000, 2))} m and {bends} bend{'s' * (bends != 1)}"


def _usual_size(check: str, pipe: Pressed) -> Iterator[Finding]:
    """A fill or a pump's outlet that is smaller than is usual."""
    placed = pipe.scene.piece(pipe.pipe.from_.piece)
    assert placed is not None
    key = ""
    if placed.kit.key.startswith("break-tank") and pipe.pipe.from_.port == "fill":
        key = "tank-fill"
    elif placed.kit.has("pump") and pipe.pipe.medium == PUMPED:
        key = "pump-outlet"
    if key:
        usual = pipe.scene.pack.number(key)
        short = max(0.0, usual - pipe.size_mm)
        text = f"{start(called(pipe))} is {tidy(pipe.size_mm)} mm; {tidy(usual)} mm is usual."
        yield _say(
            check, pipe, "size", "look-again" if short else "no-fault", text, needed=usual, found=pipe.size_mm,
            short=short, source=pipe.scene.pack.source(key),
        )  # fmt: skip


def _off_mm(pipe: Pressed, fitting: Fitting) -> float:
    """How far a fitting is from the line of its pipe; nothing where the pipe has no way."""
    return pipe.route.away_mm(fitting.at_mm) if isinstance(pipe.route, Route) else 0.0


def _fittings(check: str, pipe: Pressed) -> Iterator[Finding]:
    """Fittings that are too far from the line of their pipe to be in it."""
    for k, fitting in enumerate(pipe.pipe.fittings):
        off = round(_off_mm(pipe, fitting), 3)
        if off > FITTING_OFF_MM:
            text = f"The {fitting.kind.replace('-', ' ')} of {called(pipe)} is {mm(off)} from its pipe."
            yield _say(
                check, pipe, f"fitting {k + 1}", "look-again", text, needed=FITTING_OFF_MM, found=off,
                short=off - FITTING_OFF_MM,
            )  # fmt: skip


def _asked(check: str, pipe: Pressed) -> Iterator[Finding]:
    """What is asked of a pumped supply; of its bypass only where no cold pipe of its pump has a check valve in it."""
    pack, pump = pipe.scene.pack, pipe.pipe.from_.piece
    cold = [other for other in pressed(pipe.scene) if other.pipe.medium in ("cold", PUMPED) and pump in _joins(other)]
    has_bypass = any(
        fitting.kind == "check-valve" and _off_mm(other, fitting) <= FITTING_OFF_MM
        for other in cold
        for fitting in other.pipe.fittings
    )
    for k, question in enumerate(pack.words("pumped-cold-asked")):
        if not (has_bypass and "bypass" in question):
            text = f"{start(called(pipe))}: {question}"
            source = pack.source("pumped-cold-asked")
            yield _say(check, pipe, f"asked {k + 1}", "not-checked", text, question=question, source=source)
    bar = tidy(pack.number("pump-supply"))
    ask = f"What pressure is the pumped supply set at? About {bar} bar is usual."
    text = f"What pressure {called(pipe)} is set at is not known."
    yield _say(check, pipe, "pressure", "not-checked", text, question=ask, source=pack.source("pump-supply"))
