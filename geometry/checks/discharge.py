"""The discharge of every unvented store: relief valve to tundish, and the pipe from there to where it ends.

Measured along the pipe: valve to tundish at most 600 mm; 300 mm straight down below the tundish; then a fall of 1 in
200 all the way in the room, as a whole and in each stretch; a size that carries the whole length, straight drop and
the part outside included, with so much straight pipe for every elbow; an end where nobody is scalded and nothing melts.
A pipe that the room file does not draw is found: the shortest along the walls, round the kit and across no doorway.
The table is for copper pipe only.

>>> from geometry.samples import box_kit, piece, round_kit, sample_scene
>>> relief = {"name": "relief", "medium": "hot-discharge", "size_mm": 15, "at_mm": [275, 0, 1300], "faces": "right"}
>>> store = round_kit("cylinder", traits=["unvented-store"], port=[relief])
>>> tundish = box_kit("t1", 60, 60, 120, name="Tundish", traits=["tundish"], stands_on="wall", base_mm=1000)
>>> outlet = {"id": "o1", "name": "gully", "at_mm": [2400, 900], "level_mm": 150, "takes": ["hot-discharge"],
...           "ends": "gully", "outside_run_mm": 400, "outside_bends": 1}
>>> scene = sample_scene([store, tundish], [piece(store, 600, 1500), piece(tundish, 1000, 1760)], outlets=[outlet],
...                      walls=[{"edge": 1, "outside": True}])
>>> for finding in find(scene):  # doctest: +NORMALIZE_WHITESPACE
...     print(finding.message)
The pipe from the relief valve of the cylinder to the tundish is 565 mm; at most 600 mm.
The tundish is 180 mm below the relief valve of the cylinder.
The tundish needs 300 mm free before it to be seen; the front wall leaves 1,730 mm.
The pipe below the tundish has to go 300 mm straight down before it bends; the floor leaves 1,000 mm.
The discharge pipe of the cylinder has a way from the tundish to the gully: 3.1 m and 3 bends in the room.
The discharge pipe of the cylinder needs 11 mm of fall over 2.26 m; 550 mm is there. The part outside is not checked.
The discharge pipe of the cylinder needs 22 mm: 3.5 m + 4 × 0.8 m = 6.7 m, at most 9 m;
    of these 0.40 m and 1 elbow outside, as the outlet says.
The discharge pipe of the cylinder ends at the gully: a trapped gully, below its grating and above its water.
"""

from collections.abc import Iterator
from math import floor

from geometry.check import TIGHT, Check, Finding, Verdict, Where, judge, mm
from geometry.clearing import first_met, side_probe
from geometry.kit import Port
from geometry.pipes.chain import MEDIUM, Chain, chains, inlet, mouth
from geometry.pipes.ends import ending
from geometry.pipes.joined import takes
from geometry.pipes.line import NoRoute, Route
from geometry.pipes.outlet_place import outlet_place
from geometry.pipes.run import Run
from geometry.pipes.sizes import shared_findings, size_finding
from geometry.pipes.support import HANGS, hangs_mm
from geometry.pipes.topics import (
    ID,
    OUTSIDE,
    at_outlet,
    bore,
    called,
    comes_back,
    in_the_way,
    not_said,
    other_outlets,
    out_name,
    past_doorways,
    pipe_where,
    rooms_of,
    say,
    stretch_words,
    the_pipe,
    things,
    wants_brackets,
)
from geometry.rules import rule_pack
from geometry.saved import Side
from geometry.scene import Placed, Scene
from geometry.shapes import disc, swept
from geometry.sums.discharge import metres, shared_size
from geometry.units import DEPTH_TOLERANCE_MM
from geometry.words import named, start, within


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """Findings about each unvented store and its tundish, then about stores that share an outlet."""
    every_chain = chains(scene)
    wanted = [chain for chain in every_chain if only is None or only & chain.pieces]
    every = [finding for chain in wanted for finding in _found(chain)]
    if wanted and len(every_chain) > 1:
        every += shared_findings(every_chain)
    yield from (finding for finding in every if only is None or only & set(finding.pieces))


def _found(chain: Chain) -> Iterator[Finding]:
    the = called(chain)
    if not chain.valves:
        question = f"Where is the relief valve of {the}, and what size is its outlet?"
        yield say(chain, "relief-valve", "not-checked", f"The relief valve of {the} is not shown.", question=question)
        return
    if chain.tundish is None:
        question = f"Where is the tundish of {the}, and how far is it from the relief valve along the pipe?"
        text = f"There is no tundish for {the} in the room."
        if chain.pack.figure("relief-often-piped").value:
            text += " A temperature and pressure valve often comes piped to one."
        yield say(chain, "tundish", "not-checked", text, question=question)
    else:
        yield _valve_to_tundish(chain, chain.tundish, *chain.to_tundish)
        yield from _drawn_to_tundish(chain, chain.tundish)
        if len(chain.valves) > 1:
            yield _valves_joined(chain)
        yield _tundish_below(chain, chain.tundish)
        yield _tundish_seen(chain, chain.tundish)
    yield from _not_taken(chain)
    if not chain.outlets:
        question = f"Where does the discharge pipe of {the} leave the room, and what does it end over?"
        yield say(chain, "outlet", "not-checked", f"No outlet takes the discharge of {the}.", question=question)
    elif chain.run is not None and chain.tundish is not None:
        yield from _below(chain, chain.run, chain.tundish)
    elif len(chain.outlets) == 1:
        yield from ending(chain, chain.outlets[0])


def _valve_to_tundish(chain: Chain, tundish: Placed, port: Port, route: Route | NoRoute) -> Finding:
    pipe = _above_pipe(chain, tundish, port)
    most = chain.pack.number("discharge-valve-to-tundish")
    if isinstance(route, NoRoute):
        stops = in_the_way(chain.scene, route.stops)
        return say(chain, "valve-to-tundish", "put-right", f"{pipe} has no way: {stops}.", route.stops, needed=most)
    long = round(route.length_mm, 3)
    verdict = judge(most - long, chain.scene.room.tolerance_mm)
    return say(
        chain, "valve-to-tundish", verdict, f"{pipe} is {mm(long)}; at most {mm(most)}.{_tight(verdict)}",
        needed=most, found=long, margin=most - long, where=pipe_where(route, chain.d1_mm(port)),
    )  # fmt: skip


def _above_pipe(chain: Chain, tundish: Placed, port: Port) -> str:
    return f"The pipe from the {_valve(port.name)} of {called(chain)} to {_the(tundish)}"


def _drawn_to_tundish(chain: Chain, tundish: Placed) -> Iterator[Finding]:
    """What a drawn way from each valve to the tundish goes through, and whether it rises, which holds water there.

    A valve that faces up is left by a bend of half the pipe's size.
    """
    for port, route in chain.to_tundish_each:
        if isinstance(route, NoRoute) or not chain.valve_drawn(port):
            continue
        pipe, where = _above_pipe(chain, tundish, port), pipe_where(route, chain.d1_mm(port))
        through = chain.valve_meets(port, route)
        if through:
            text = f"{pipe} as drawn goes through {things(chain.scene, through)}."
            yield say(chain, "valve-way", "put-right", text, through, where=where)
        free = chain.d1_mm(port) / 2 if port.faces == "above" else 0.0
        rise = round(max(0.0, route.rise_mm - free), 3)
        rises = rise > DEPTH_TOLERANCE_MM
        text = f"{pipe} as drawn rises {mm(rise)}: it must never rise." if rises else f"{pipe} as drawn never rises."
        yield say(
            chain, "valve-falls", "put-right" if rises else "no-fault", text, needed=0.0, found=rise,
            margin=-rise if rises else None, where=where,
        )  # fmt: skip


def _not_taken(chain: Chain) -> Iterator[Finding]:
    """A pipe of the room file beside the one that was taken, which nobody has looked at."""
    for pipe in chain.not_taken:
        taken = f" beside {chain.pipe.id}" if chain.pipe else ""
        text = f"Pipe {pipe.id} carries the discharge of {called(chain)} too{taken}, and was not looked at."
        ask = f"Which pipe carries the discharge of {called(chain)}? Take pipe {pipe.id} out if it does not."
        yield say(chain, "second-pipe", "not-checked", text, question=ask)


def _valves_joined(chain: Chain) -> Finding:
    """Whether the pipes of several valves join before the tundish is not drawn: what it would ask for is told."""
    largest = int(chain.valves[0].size_mm)
    needed = shared_size([largest], chain.pack) if largest in chain.pack.figure("discharge-sizes").value else None
    size = f"at least {needed} mm, one size larger than {largest} mm" if needed else "a size that is designed"
    text = f"{len(chain.valves)} relief valves of {called(chain)} go to one tundish: where their pipes join, {size}."
    ask = (
        f"Does each relief valve of {called(chain)} have its own pipe to the tundish, and if not, how large is theirs?"
    )
    return say(chain, "valves-joined", "not-checked", text, needed=needed, question=ask)


def _tundish_below(chain: Chain, tundish: Placed) -> Finding:
    port = min(chain.valves, key=lambda p: (chain.store.to_room(p.at_mm)[2], p.name))
    low = chain.store.to_room(port.at_mm)[2] - inlet(tundish)[2]
    verdict = judge(low, chain.scene.room.tolerance_mm)
    valve = f"the {_valve(port.name)} of {called(chain)}"
    place = f"{mm(low)} below" if low > 0 else f"{mm(-low)} above"
    must = ": it must be lower" if low <= 0 else ""
    return say(
        chain, "tundish-below", verdict, f"{start(_the(tundish))} is {place} {valve}{must}.{_tight(verdict)}",
        needed=0.0, found=low, margin=low, where=_body(tundish),
    )  # fmt: skip


def _tundish_seen(chain: Chain, tundish: Placed) -> Finding:
    side: Side = next((a.faces for a in tundish.kit.access if a.must_be_seen), "front")
    probe = side_probe(tundish, side)
    fixed, loose = first_met(chain.scene, [probe])[0]
    needed = chain.pack.number("discharge-tundish-seen")
    met = loose if loose and loose.found_mm < needed - DEPTH_TOLERANCE_MM else fixed
    free = None if met is None else met.found_mm
    verdict: Verdict = "no-fault" if free is None else judge(free - needed, chain.scene.room.tolerance_mm)
    movable = met is not None and met.movable and verdict == "put-right"
    leaves = f"{named(chain.scene, met.owner)} leaves {mm(met.found_mm)}" if met else "nothing stands before it"
    move = f" It can be moved: move {named(chain.scene, met.owner)} away." if met and movable else _tight(verdict)
    return say(
        chain, "tundish-seen", "look-again" if movable else verdict,
        f"{start(_the(tundish))} needs {mm(needed)} free before it to be seen; {leaves}.{move}",
        (met.owner,) if met and verdict != "no-fault" else (), side=side, needed=needed, found=free,
        margin=None if free is None else free - needed,
        where=Where(swept(probe.parts[0], probe.direction, needed), probe.from_mm, probe.to_mm),
    )  # fmt: skip


def _below(chain: Chain, run: Run, tundish: Placed) -> Iterator[Finding]:
    yield _straight_drop(chain, run, tundish)
    fits, out = takes(run.outlet, MEDIUM), out_name(chain, run.outlet)
    if not fits:
        text = f"{start(the_pipe(chain))} goes to {out}, which {not_said(run.outlet, 'hot discharge')}."
        yield say(
            chain, "outlet", "not-checked" if fits is None else "put-right", text, (run.outlet.id,),
            where=at_outlet(run.outlet), question=f"Is {out} for hot discharge?" if fits is None else "",
        )  # fmt: skip
    place = outlet_place(chain.scene, run.outlet, MEDIUM)
    if place:
        yield say(
            chain, place.topic, place.verdict, place.text, place.against, where=place.where, question=place.question,
        )  # fmt: skip
    yield _route(chain, run, tundish)
    if not isinstance(run.route, NoRoute):
        yield from _fall(chain, run)
        yield size_finding(chain, run, run.route)
        yield from _lies_well(chain, run, run.route)
    yield from ending(chain, run.outlet)


def _straight_drop(chain: Chain, run: Run, tundish: Placed) -> Finding:
    needed, drop = chain.pack.number("discharge-straight-drop"), run.drop
    found, why = drop.found_mm, f"{named(chain.scene, drop.owner)} leaves {mm(drop.found_mm)}"
    soon = needed + chain.scene.room.tolerance_mm
    if not isinstance(run.route, NoRoute) and run.drawn and run.route.drop_mm < min(found, soon):
        found, why = run.route.drop_mm, f"it bends after {mm(run.route.drop_mm)}"
    verdict = judge(found - needed, chain.scene.room.tolerance_mm)
    x, y, z = mouth(tundish)
    against = (drop.owner,) if drop.owner not in ("floor",) and verdict != "no-fault" else ()
    return say(
        chain, "straight-drop", verdict,
        f"The pipe below {_the(tundish)} has to go {mm(needed)} straight down before it bends; {why}.{_tight(verdict)}",
        against, needed=needed, found=found, margin=found - needed,
        where=Where(disc((x, y), bore(run) / 2), z - needed, z, ((x, y, z), (x, y, z - min(found, needed)))),
    )  # fmt: skip


def _route(chain: Chain, run: Run, tundish: Placed) -> Finding:
    outlet, route = run.outlet, run.route
    others = other_outlets(chain)
    if isinstance(route, NoRoute):
        return _no_way(chain, run, route, tundish, others)
    where = pipe_where(route, bore(run))
    if run.goes_through:
        text = f"{start(the_pipe(chain))} as drawn goes through {things(chain.scene, run.goes_through)}."
        text += past_doorways(chain.scene, run.goes_through, bore(run))
        return say(chain, "route", "put-right", text, (outlet.id, *run.goes_through), where=where)
    if not run.drawn and hangs_mm(chain.scene, run.unclipped_mm):
        return _no_wall(chain, run, where, out_name(chain, outlet), others)
    inside, bends = metres(round(route.length_mm / 1000, 2)), route.bends
    text = (
        f"{start(the_pipe(chain))} has a way from {_the(tundish)} to {out_name(chain, outlet)}: "
        f"{inside} m and {bends} bend{'s' * (bends != 1)} in the room.{others}"
    )
    return say(chain, "route", "no-fault", text, (outlet.id,), where=where)


def _no_way(chain: Chain, run: Run, route: NoRoute, tundish: Placed, others: str) -> Finding:
    outlet, out = run.outlet, out_name(chain, run.outlet)
    if route.too_high_mm:
        at_mm = outlet.level_mm if route.pin is None else route.pin[2]
        top, what = at_mm - route.too_high_mm, start(out) if route.pin is None else f"The point pinned at {mm(at_mm)}"
        return say(
            chain, "route", "put-right", f"{_too_high(chain, what, at_mm, top)}{others}",
            (outlet.id,), needed=top, found=at_mm, margin=-route.too_high_mm, where=at_outlet(outlet),
        )  # fmt: skip
    stops = in_the_way(chain.scene, route.stops)
    text = f"{start(the_pipe(chain))} has no way from {_the(tundish)} to {out}: {stops}.{others}"
    text += past_doorways(chain.scene, route.stops, bore(run))
    return say(chain, "route", "put-right", text, (outlet.id, *route.stops), where=at_outlet(outlet))


def _lies_well(chain: Chain, run: Run, route: Route) -> Iterator[Finding]:
    """What asks for a second look at a way that is there: working room that it crosses, nothing to clip it to."""
    where, pipe = pipe_where(route, bore(run)), start(the_pipe(chain))
    if run.crosses:
        text = f"{pipe} goes through {rooms_of(chain.scene, run.crosses)}, where somebody has to work."
        yield say(chain, "room-to-work", "look-again", text, (run.outlet.id, *run.crosses), where=where)
    if route.turns_back:
        yield say(chain, "turns-back", "look-again", comes_back(the_pipe(chain)), (run.outlet.id,), where=where)
    if run.drawn and hangs_mm(chain.scene, run.unclipped_mm):
        yield _no_wall(chain, run, where, "", "")


def _no_wall(chain: Chain, run: Run, where: Where, goal: str, others: str) -> Finding:
    """That it goes farther than it may with nothing to be clipped to: as drawn, or as the best way there is."""
    most = chain.pack.number(HANGS)
    text = wants_brackets(chain.scene, the_pipe(chain), goal, run.unclipped_mm)
    return say(
        chain, "clips", "look-again", f"{text}{others}", (run.outlet.id,), needed=most, found=run.unclipped_mm,
        margin=most - run.unclipped_mm, where=where,
    )  # fmt: skip


def _fall(chain: Chain, run: Run) -> Iterator[Finding]:
    """The fall of the whole in the room, then of its worst stretch where that has too little."""
    assert run.fall is not None and not isinstance(run.route, NoRoute)
    fall, outlet, where = run.fall, run.outlet, pipe_where(run.route, bore(run))
    needed, found = fall.needed_mm, fall.found_mm
    verdict = judge(found - needed, chain.scene.room.tolerance_mm)
    over = metres(round(needed * chain.pack.number("discharge-fall") / 1000, 2))
    text = f"{start(the_pipe(chain))} needs {mm(needed)} of fall over {over} m; {mm(found)} is there."
    if found < 0:
        top = floor(outlet.level_mm + found - needed)
        text = _too_high(chain, start(out_name(chain, outlet)), outlet.level_mm, top)
    text += f"{_tight(verdict)} {OUTSIDE}" if outlet.outside_run_mm else _tight(verdict)
    yield say(
        chain, "fall", verdict, text, (outlet.id,), needed=needed, found=found, margin=found - needed, where=where,
    )  # fmt: skip
    if fall.stretch and found >= 0:
        text = f"{start(the_pipe(chain))} {stretch_words(fall.stretch)}"
        yield say(
            chain, "stretch", "put-right", text, (outlet.id,), needed=fall.stretch[0], found=fall.stretch[1],
            margin=-fall.stretch_short_mm, where=where,
        )  # fmt: skip


def _too_high(chain: Chain, what: str, at_mm: float, top_mm: float) -> str:
    return f"{what} is {mm(at_mm - top_mm)} too high for {the_pipe(chain)}: at most {mm(top_mm)} above the floor."


def _valve(name: str) -> str:
    return name if "valve" in name.lower() else f"{name} valve"


def _the(placed: Placed) -> str:
    return f"the {within(placed.name)}"


def _tight(verdict: Verdict) -> str:
    return f" {TIGHT}" if verdict == "look-again" else ""


def _body(placed: Placed) -> Where:
    return Where(placed.body[0], placed.base_mm, placed.top_mm)


CHECK = Check(
    id=ID,
    title="The discharge of unvented hot water is carried away",
    failing_title="The discharge of unvented hot water is not carried away as it should be",
    reason="What comes out of a relief valve can be near boiling: it has to be seen, and to reach a harmless place.",
    source=rule_pack("england").source("discharge-table"),
    find=find,
    slow=True,
)
