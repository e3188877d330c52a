"""What is said of every pipe that runs by fall alone: has it an outlet, a way, fall enough, and bore enough."""

from collections.abc import Iterator
from math import floor
from typing import Any

from geometry.check import TIGHT, Finding, Verdict, Where, judge, mm, tidy
from geometry.pipes.drain import Drain, Run
from geometry.pipes.joined import takes
from geometry.pipes.line import NoRoute, Route
from geometry.pipes.outlet_place import outlet_place
from geometry.pipes.support import HANGS, hangs_mm
from geometry.pipes.topics import (
    OUTSIDE,
    at_outlet,
    comes_back,
    in_the_way,
    no_wall,
    not_said,
    past_doorways,
    pipe_where,
    rooms_of,
    stretch_words,
    things,
    wants_brackets,
    why_not,
)
from geometry.rules import Figure
from geometry.units import SAME_MM
from geometry.words import listed, named, start, the

_WRONG = {
    "outlet": "goes to an outlet that is not for it", "way": "has no clear way", "fall": "does not fall enough",
    "wall": "does not end outside",
    "doorway": "ends in a doorway",
    "stretch": "has a stretch without fall enough",
    "size": "is too thin", "size outside": "is too thin outside", "outside": "is too long outside",
    "end place": "ends in a poor place", "with condensate": "ends beside a condensate pipe",
    "kit": "is of an unusual size", "water level": "is too near the water",
    "turns back": "turns right round", "room to work": "goes through working room", "clips": "has no wall to follow",
}  # fmt: skip
"""What is wrong with a pipe, by topic."""


def say(check: str, drain: Drain, topic: str, verdict: Verdict, message: str, **more: Any) -> Finding:
    """A finding about one pipe of one piece."""
    title = "" if verdict in ("no-fault", "not-checked") else f"{start(drain.called)} {_WRONG[topic]}"
    if verdict == "no-fault":
        more.pop("where", None)
    return Finding(
        check, verdict, message, (drain.placed.id,), topic=f"{drain.port.name}, {topic}", title=title,
        basis=drain.placed.kit.basis, **more,
    )  # fmt: skip


def falls(check: str, drain: Drain, figure: Figure) -> Iterator[Finding]:
    """Whether there is an outlet, a way and fall enough: the first thing that is not, or the way without fault."""
    run = drain.run
    if run is None:
        yield say(
            check, drain, "outlet", "not-checked", f"No outlet takes {drain.called}.", source=figure.source,
            question=f"Where does {drain.called} go?",
        )  # fmt: skip
        return
    out = named(drain.scene, run.outlet.id)
    fits = takes(run.outlet, drain.port.medium)
    if not fits:
        text = f"{start(drain.called)} goes to {out}, which {not_said(run.outlet, drain.port.medium)}."
        yield say(
            check, drain, "outlet", "not-checked" if fits is None else "put-right", text, source=figure.source,
            against=(run.outlet.id,), where=at_outlet(run.outlet),
            question=f"Is {out} for {drain.port.medium}?" if fits is None else "",
        )  # fmt: skip
    place = outlet_place(drain.scene, run.outlet, drain.port.medium)
    if place:
        yield say(
            check, drain, place.topic, place.verdict, place.text, source=figure.source, against=place.against,
            where=place.where, question=place.question,
        )  # fmt: skip
    if isinstance(run.route, NoRoute):
        yield _no_way(check, drain, run, run.route, out, figure)
        return
    where = pipe_where(run.route, drain.size_mm)
    if run.goes_through:
        text = f"{start(drain.called)} as drawn goes through {things(drain.scene, run.goes_through)}."
        text += past_doorways(drain.scene, run.goes_through, drain.size_mm)
        yield say(
            check, drain, "way", "put-right", text, source=figure.source, where=where,
            against=(run.outlet.id, *run.goes_through),
        )  # fmt: skip
    yield _fall(check, drain, run, figure, where)
    if run.fall.stretch and run.fall.found_mm >= 0:
        text = f"{start(drain.called)} {stretch_words(run.fall.stretch)}"
        yield say(
            check, drain, "stretch", "put-right", text, needed=run.fall.stretch[0], found=run.fall.stretch[1],
            short=run.fall.stretch_short_mm, source=figure.source, against=(run.outlet.id,), where=where,
        )  # fmt: skip
    yield from _lies_well(check, drain, run, where)


def _fall(check: str, drain: Drain, run: Run, figure: Figure, where: Where) -> Finding:
    assert isinstance(run.route, Route)
    needed, found = run.fall.needed_mm, run.fall.found_mm
    verdict = judge(found - needed, drain.scene.room.tolerance_mm)
    if found < 0:
        high = run.outlet.level_mm - floor(run.outlet.level_mm - needed + found)
        text = _cannot_fall(drain, named(drain.scene, run.outlet.id), high, "outlet")
    else:
        over = f"{needed / drain.fall_mm_m:.2f} m"
        text = f"{start(drain.called)} needs {mm(needed)} of fall over {over}; {mm(found)} is there."
    text += f" {TIGHT}" if verdict == "look-again" else ""
    text += f" {OUTSIDE}" if run.outlet.outside_run_mm else ""
    return say(
        check, drain, "fall", verdict, text + other_outlets(drain),
        needed=needed, found=found, short=max(0.0, needed - found), source=figure.source,
        against=(run.outlet.id,) if verdict != "no-fault" else (), where=where,
    )  # fmt: skip


def _cannot_fall(drain: Drain, what: str, high_mm: float, lower: str) -> str:
    text = f"{start(drain.called)} cannot fall to {what}: that is {mm(high_mm)} too high. "
    return text + f"Lower the {lower}, or raise {the(drain.placed.name)}."


def _lies_well(check: str, drain: Drain, run: Run, where: Where) -> Iterator[Finding]:
    """What asks for a second look at a way that is there: working room that it crosses, nothing to clip it to."""
    pipe, scene = start(drain.called), drain.scene
    source = scene.pack.source(HANGS)
    if run.crosses:
        text = f"{pipe} goes through {rooms_of(scene, run.crosses)}, where somebody has to work."
        yield say(check, drain, "room to work", "look-again", text, against=run.crosses, where=where, source=source)
    if isinstance(run.route, Route) and run.route.turns_back:
        yield say(check, drain, "turns back", "look-again", comes_back(pipe), where=where, source=source)
    over = hangs_mm(scene, run.unclipped_mm)
    if over:
        goal = "" if drain.drawn else named(scene, run.outlet.id)
        text = wants_brackets(scene, drain.called, goal, run.unclipped_mm)
        yield say(
            check, drain, "clips", "look-again", text, needed=scene.pack.number(HANGS), found=run.unclipped_mm,
            short=over, source=source, where=where, against=(run.outlet.id,),
        )  # fmt: skip


def other_outlets(drain: Drain) -> str:
    """Why it does not go to the other outlets that would take it; begins with a space where it says any."""
    told = []
    for run in drain.runs[1:]:
        longer = mm(run.run_mm - drain.runs[0].run_mm)
        short = "too little fall" if run.wrong[2] > drain.runs[0].wrong[2] else no_wall(drain.scene, run.unclipped_mm)
        why = why_not(drain.scene, run.route) or short or f"{longer} longer"
        told.append(f"{named(drain.scene, run.outlet.id)} ({why})")
    return f" Not {listed(told)}." if told else ""


def _no_way(check: str, drain: Drain, run: Run, route: NoRoute, out: str, figure: Figure) -> Finding:
    if route.too_high_mm > 0:
        pinned = route.pin is not None
        what = f"the point pinned at {mm(route.pin[2])}" if route.pin else out
        text = _cannot_fall(drain, what, route.too_high_mm, "pin" if pinned else "outlet") + other_outlets(drain)
        return say(
            check, drain, "fall", "put-right", text, needed=0.0, found=-route.too_high_mm, short=route.too_high_mm,
            source=figure.source, against=(run.outlet.id,), where=at_outlet(run.outlet),
        )  # fmt: skip
    text = f"{start(drain.called)} has no way to {out}: {in_the_way(drain.scene, route.stops)}."
    text += past_doorways(drain.scene, route.stops, drain.size_mm) + other_outlets(drain)
    stops = tuple(dict.fromkeys((run.outlet.id, *route.stops)))
    return say(check, drain, "way", "put-right", text, source=figure.source, against=stops)


def wide_enough(
    check: str, drain: Drain, figure: Figure, where: str, topic: str, *, bore_mm: float | None, size_mm: float | None
) -> Finding:
    """Whether a pipe is wide enough inside. Without a bore the size it is sold as can only be too small."""
    needed = float(figure.value)
    asked = f"{tidy(needed)} mm inside is needed {where}"
    if bore_mm is None and (size_mm is None or size_mm >= needed):
        sold = "" if size_mm is None else f" of {tidy(size_mm)} mm"
        text = f"How wide {drain.called} is inside is not known; {asked}."
        ask = f"What is the inside diameter of {drain.called}{sold} {where}? At least {tidy(needed)} mm."
        return say(check, drain, topic, "not-checked", text, needed=needed, source=figure.source, question=ask)
    found = bore_mm if bore_mm is not None else size_mm or 0.0
    short = max(0.0, needed - found)
    text = f"{start(drain.called)} is {tidy(found)} mm inside; {asked}."
    return say(
        check, drain, topic, "put-right" if short > SAME_MM else "no-fault", text, needed=needed, found=found,
        short=short, source=figure.source,
    )  # fmt: skip
