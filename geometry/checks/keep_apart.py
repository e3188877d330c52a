"""Pairs that must be kept apart, alarms that must be near but not too near, and kit barred from a place.

Distances are true ones between bodies: gas meter and electrics, gas meter and flue, gas pipe and electrics. An alarm
is measured across, from its middle to the appliance's body; on a wall from its top to the ceiling, on a ceiling from
its edge to the walls.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> gas = box_kit("gas", 300, 200, 400, name="Gas meter", stands_on="wall", base_mm=600, traits=["gas", "meter"])
>>> unit = box_kit("unit", 360, 115, 240, stands_on="wall", base_mm=700, traits=["electrical", "sparks"])
>>> scene = sample_scene([gas, unit], [piece(gas, 500, 1700), piece(unit, 930, 1742, name="Consumer unit")])
>>> [(f.verdict, f.found, f.message) for f in find(scene) if f.short]
[('put-right', 100.0, 'The gas meter and the consumer unit are 100 mm apart; 150 mm is needed.')]
"""

from collections.abc import Iterator, Sequence
from typing import Literal

from geometry.alarm_places import alarms
from geometry.apart import body, drawn_pipe, flue, gap_mm
from geometry.check import TIGHT, Check, Finding, Where, judge, mm
from geometry.room import Pipe
from geometry.rules import Figure, rule_pack
from geometry.scene import Placed, Scene, Solid
from geometry.words import listed, start, the

ID = "keep-apart"
Need = Literal["must", "should"]


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each pair, each pipe and each alarm that the rule pack speaks of."""
    every = [*_pairs(scene), *_meters_and_flues(scene), *_gas_pipes(scene), *alarms(scene, ID), *_batteries(scene)]
    yield from (finding for finding in every if only is None or not only.isdisjoint(finding.pieces))


def _is(placed: Placed, words: Sequence[str]) -> bool:
    """Whether a piece has all of these traits, or its kind's key holds the word."""
    return all(placed.kit.has(word) or word in placed.kit.key for word in words)


def _pairs(scene: Scene) -> Iterator[Finding]:
    every = scene.pack.rows("keep-apart")
    for one in (placed for placed in scene.placed if any(_is(placed, rule["one"]) for rule in every)):
        mine = [rule for rule in every if _is(one, rule["one"])]
        for other in scene.placed:
            rule = next((rule for rule in mine if _is(other, rule["other"])), None)
            if rule is not None and one.id != other.id:
                found = gap_mm(body(one), body(other))
                figure = scene.pack.figure(rule["figure"])
                yield _apart(scene, figure, one, other, found, need=rule["need"])


def _apart(
    scene: Scene, figure: Figure, one: Placed, other: Placed, found: float, *, what: str = "", need: Need = "must"
) -> Finding:
    needed = float(figure.value)
    verdict = judge(found - needed, scene.room.tolerance_mm, need)
    a, b = the(one.name), what or the(other.name)
    wanted = "is needed" if need == "must" else "is better"
    text = f"{start(a)} and {b} are {mm(found)} apart; {mm(needed)} {wanted}."
    tight = f" {TIGHT}" if verdict == "look-again" and found >= needed else ""
    (ax, ay), (bx, by) = one.body[0].centre, other.body[0].centre
    return Finding(
        ID, verdict, text + tight, (one.id, other.id), topic=figure.key, needed=needed, found=found,
        short=max(0.0, needed - found), source=figure.source, basis=other.kit.basis,
        title="" if verdict == "no-fault" else f"{start(a)} and {b} are too close",
        where=Where(other.body[0], other.base_mm, other.top_mm, ((ax, ay, one.base_mm), (bx, by, other.base_mm))),
    )  # fmt: skip


def _meters_and_flues(scene: Scene) -> Iterator[Finding]:
    figure = scene.pack.figure("gas-meter-to-flue")
    for meter in (placed for placed in scene.placed if placed.kit.has("gas") and placed.kit.has("meter")):
        for placed in scene.placed:
            solids = flue(scene, placed)
            if solids and placed.id != meter.id:
                found = gap_mm(body(meter), solids)
                yield _apart(scene, figure, meter, placed, found, what=f"the flue of {the(placed.name)}")


def _gas_pipes(scene: Scene) -> Iterator[Finding]:
    """Each gas pipe that is drawn, against electrics and cables: what is too near, or the nearest without fault."""
    gas = [pipe for pipe in scene.room.pipes if pipe.medium == "gas"]
    electrical = [placed for placed in scene.placed if placed.kit.has("electrical")]
    drawn = [(pipe, solids) for pipe in gas if (solids := drawn_pipe(scene, pipe))]
    for pipe, solids in drawn:
        near = [_from_pipe(scene, pipe, solids, placed) for placed in electrical]
        near += [_from_cable(scene, pipe, solids, cable) for cable in scene.room.pipes if cable.medium == "cable"]
        told = [finding for finding in near if finding is not None]
        wrong = [finding for finding in told if finding.verdict != "no-fault"]
        yield from wrong or sorted(told, key=lambda f: (f.found or 0.0, f.pieces))[:1]
    burners = [placed for placed in scene.placed if any(port.medium == "gas" for port in placed.kit.port)]
    if electrical and len(drawn) < len(burners):
        yield _not_drawn(scene, burners)


def _not_drawn(scene: Scene, burners: list[Placed]) -> Finding:
    names, boards = listed(the(placed.name) for placed in burners), _far_from_gas(scene)
    text = f"The gas pipe of {names} is not drawn." if len(burners) == 1 else f"Not every gas pipe of {names} is drawn."
    figure = scene.pack.figure("gas-pipe-to-meter" if boards else "gas-pipe-to-cable")
    cables = f"{mm(scene.pack.number('gas-pipe-to-cable'))} from cables"
    kept = f"{mm(float(figure.value))} from {listed(boards)}, and {cables}" if boards else cables
    return Finding(
        ID, "not-checked", text, tuple(p.id for p in burners), topic="gas-pipe",
        source=figure.source, needed=float(figure.value), question=f"Does every gas pipe keep {kept}?",
    )  # fmt: skip


def _far_from_gas(scene: Scene) -> list[str]:
    """What is on the plan that a gas pipe keeps as far from as from an electricity meter."""
    rules = [rule for rule in scene.pack.rows("gas-pipe-apart") if rule["figure"] == "gas-pipe-to-meter"]
    found = [placed for placed in scene.placed if any(_is(placed, rule["other"]) for rule in rules)]
    return list(dict.fromkeys(the(placed.name) for placed in found))


def _from_pipe(scene: Scene, pipe: Pipe, solids: list[Solid], placed: Placed) -> Finding | None:
    rule = next((rule for rule in scene.pack.rows("gas-pipe-apart") if _is(placed, rule["other"])), None)
    if rule is None:
        return None
    found, what = gap_mm(solids, body(placed)), the(placed.name)
    return _piped(scene, pipe, scene.pack.figure(rule["figure"]), found, what, (placed.id,))


def _from_cable(scene: Scene, pipe: Pipe, solids: list[Solid], cable: Pipe) -> Finding | None:
    laid = drawn_pipe(scene, cable)
    if not laid:
        return None
    what = f"the cable of {the(scene.names[cable.from_.piece])}"
    figure = scene.pack.figure("gas-pipe-to-cable")
    return _piped(scene, pipe, figure, gap_mm(solids, laid), what, (cable.from_.piece,), cable.id)


def _piped(
    scene: Scene, pipe: Pipe, figure: Figure, found: float, what: str, others: tuple[str, ...], topic: str = ""
) -> Finding:
    needed = float(figure.value)
    verdict = judge(found - needed, scene.room.tolerance_mm)
    of = f"the gas pipe of {the(scene.names[pipe.from_.piece])}"
    text = f"{start(of)} is {mm(found)} from {what}; {mm(needed)} is needed."
    tight = f" {TIGHT}" if verdict == "look-again" else ""
    return Finding(
        ID, verdict, text + tight, (pipe.from_.piece, *others), topic=f"{pipe.id}, {topic or figure.key}",
        needed=needed, found=found, short=max(0.0, needed - found), source=figure.source,
        title="" if verdict == "no-fault" else f"{start(of)} is too near {what}",
    )  # fmt: skip


def _batteries(scene: Scene) -> Iterator[Finding]:
    """A battery in a room of a storey that is barred; what else bars it is asked."""
    figure, storey = scene.pack.figure("battery-barred"), scene.room.floor.storey
    for placed in (placed for placed in scene.placed if _is(placed, ["battery"])):
        name = the(placed.name)
        if storey in figure.value:
            yield Finding(
                ID, "put-right", f"{start(name)} is in a {storey}, where none may stand: put it somewhere else.",
                (placed.id,), topic="battery", title=f"{start(name)} is in a barred place", source=figure.source,
            )  # fmt: skip
        else:
            yield Finding(
                ID, "not-checked", f"Whether {name} may stand in this room is not known.", (placed.id,),
                topic="battery", source=figure.source,
                question=f"Does anybody sleep where {name} is, is it on the way out of the house, or in a cupboard "
                "or a loft that opens to a bedroom? None may stand there.",
            )  # fmt: skip


CHECK = Check(
    id=ID,
    title="What must be kept apart is apart",
    failing_title="Two things are too close together",
    reason="Gas near a spark, an alarm in the steam or out of earshot: each has its distance.",
    source=rule_pack("england").source("gas-meter-to-electrical"),
    find=find,
)
