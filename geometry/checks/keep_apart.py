"""Pairs that must be kept apart, and alarms that must be near: by true distance between bodies, or in plan.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> gas = box_kit("gas", 300, 200, 400, name="Gas meter", stands_on="wall", base_mm=600, traits=["gas", "meter"])
>>> unit = box_kit("unit", 360, 115, 240, name="Consumer unit", stands_on="wall", base_mm=700, traits=["electrical"])
>>> scene = sample_scene([gas, unit], [piece(gas, 500, 1700), piece(unit, 930, 1742)])
>>> [(f.verdict, f.found, f.short) for f in find(scene) if f.short]
[('put-right', 100.0, 50.0)]
"""

from collections.abc import Iterator
from math import hypot
from typing import Any

from geometry.check import Check, Finding, judge, mm
from geometry.rules import Figure, rule_pack
from geometry.scene import Placed, Scene
from geometry.shapes import separation
from geometry.units import whole_mm
from geometry.words import start, within

ID = "keep-apart"


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each pair and each alarm that the rule pack speaks of."""
    pack = scene.pack
    for rule in pack.figure("keep-apart").value:
        yield from _pairs(scene, pack.figure(rule["figure"]), rule, only)
    yield from _alarms(scene, pack.figure("alarm-ring"), only)


def _is(placed: Placed, words: list[str]) -> bool:
    """Whether a piece has all of these traits, or its kind's key holds the word."""
    return all(placed.kit.has(word) or word in placed.kit.key for word in words)


def gap_mm(a: Placed, b: Placed) -> float:
    """True distance between two bodies; 0 where they touch or overlap."""
    plan = min(max(0.0, separation(p, q).gap_mm) for p in a.body for q in b.body)
    height = max(0.0, a.base_mm - b.top_mm, b.base_mm - a.top_mm)
    return hypot(plan, height)


def _pairs(scene: Scene, figure: Figure, rule: dict[str, Any], only: frozenset[str] | None) -> Iterator[Finding]:
    ones = [p for p in scene.placed if _is(p, rule["one"])]
    others = [p for p in scene.placed if _is(p, rule["other"])]
    for a in ones:
        for b in others:
            if a.id != b.id and (only is None or only & {a.id, b.id}):
                yield _apart(scene, figure, a, b)


def _apart(scene: Scene, figure: Figure, a: Placed, b: Placed) -> Finding:
    needed, found = float(figure.value), gap_mm(a, b)
    verdict = judge(found - needed, scene.room.tolerance_mm)
    text = f"The {within(a.name)} and the {within(b.name)} are {mm(found)} apart; {mm(needed)} is needed."
    return Finding(
        ID, verdict, text, (a.id, b.id), topic=figure.key, needed=needed, found=found, short=max(0.0, needed - found),
        title="" if verdict == "no-fault" else f"{start(a.name)} and {within(b.name)} are too close", source=figure.source,
    )  # fmt: skip


def _alarms(scene: Scene, ring: Figure, only: frozenset[str] | None) -> Iterator[Finding]:
    burners = [p for p in scene.placed if (p.kit.has("gas") or p.kit.has("oil")) and p.kit.has("hot")]
    alarms = [p for p in scene.placed if p.kit.has("alarm")]
    for burner in burners:
        if only is not None and not only & {burner.id, *(a.id for a in alarms)}:
            continue
        if not alarms:
            yield Finding(
                ID, "not-checked", f"No alarm is drawn for the {within(burner.name)}.", (burner.id,), topic="alarm-ring",
                source=ring.source, question=f"Where is the carbon monoxide alarm for the {within(burner.name)}?",
            )  # fmt: skip
        else:
            yield _alarm(scene, ring, burner, min(alarms, key=lambda a: _across(burner, a)))


def _across(a: Placed, b: Placed) -> float:
    return min(max(0.0, separation(p, q).gap_mm) for p in a.body for q in b.body)


def _alarm(scene: Scene, ring: Figure, burner: Placed, alarm: Placed) -> Finding:
    near, far = ring.value
    found = _across(burner, alarm)
    over = found - far
    short = max(near - found, over, 0.0)
    verdict = judge(min(found - near, -over), scene.room.tolerance_mm)
    text = (
        f"The {within(alarm.name)} is {mm(found)} from the {within(burner.name)}, measured across; "
        f"{near:,} to {whole_mm(far):,} mm is asked for."
    )
    return Finding(
        ID, verdict, text, (alarm.id, burner.id), topic="alarm-ring", needed=far if over > 0 else near, found=found,
        short=short, title="" if verdict == "no-fault" else f"{start(alarm.name)} is at the wrong distance",
        source=ring.source,
    )  # fmt: skip


CHECK = Check(
    id=ID,
    title="What must be kept apart is apart",
    failing_title="Two things are too close together",
    reason="Gas near a spark, an alarm in the steam or out of earshot: each has its distance.",
    source=rule_pack("england").source("gas-meter-to-electrical"),
    find=find,
)
