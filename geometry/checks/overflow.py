"""The overflow or warning pipe of every cistern and tank: an outlet, a constant fall, its bore, one pipe each.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> over = {"name": "overflow", "medium": "overflow", "size_mm": 22, "at_mm": [300, 0, 700], "faces": "right"}
>>> tank = box_kit("tank", traits=["cistern"], port=[over])
>>> outlet = {"id": "o1", "name": "warning outlet", "at_mm": [2400, 900], "level_mm": 720, "takes": ["overflow"]}
>>> scene = sample_scene([tank], [piece(tank, 600, 1500)], outlets=[outlet])
>>> [(f.topic, f.verdict, f.short) for f in find(scene) if f.verdict != "not-checked"]
[('overflow, fall', 'put-right', 31.0), ('overflow, size', 'no-fault', 0.0), ('overflow, kit', 'no-fault', 0.0)]
"""

from collections import Counter
from collections.abc import Iterator

from geometry.check import TIGHT, Check, Finding, judge, mm, tidy
from geometry.pipes.drain import Drain, drains
from geometry.pipes.waste import falls, say, wide_enough
from geometry.rules import rule_pack
from geometry.scene import Scene
from geometry.words import listed, named, start, the

ID = "overflow"


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """Findings about each overflow port, and about tanks that share one pipe's outlet."""
    fall = scene.pack.figure("drain-fall")
    every = drains(scene, "overflow", float(fall.value), only)
    for drain in every:
        yield from falls(ID, drain, fall)
        if drain.placed.kit.has("cistern"):
            yield from _of_cistern(drain)
    yield from _shared(scene, every)


def _of_cistern(drain: Drain) -> Iterator[Finding]:
    """Its bore by how much the cistern holds, the size its kit is sold in, and the water's level below it."""
    pack, litres = drain.scene.pack, drain.placed.kit.water_l
    most = pack.number("overflow-large-from")
    large = litres is not None and litres >= most
    figure = pack.figure("overflow-bore-large" if large else "overflow-bore")
    of = f"for a tank of {litres:,.0f} litres" if litres is not None else f"for a tank under {most:,.0f} litres"
    yield wide_enough(ID, drain, figure, of, "size", bore_mm=drain.bore_mm, size_mm=drain.size_mm)
    usual = pack.figure("tank-overflow" if drain.placed.kit.key.startswith("break-tank") else "overflow-kit")
    short = max(0.0, float(usual.value) - drain.size_mm)
    sold = tidy(float(usual.value))
    text = f"{start(drain.called)} is {tidy(drain.size_mm)} mm pipe; {sold} mm is usual in {pack.name}."
    yield say(
        ID, drain, "kit", "look-again" if short else "no-fault", text, needed=float(usual.value), found=drain.size_mm,
        short=short, source=usual.source,
    )  # fmt: skip
    yield _water_level(drain)


def _water_level(drain: Drain) -> Finding:
    """How far the water that the float valve lets in stands below the lowest part of the overflow's bore."""
    tank, needed = the(drain.placed.name), drain.scene.pack.number("overflow-above-water")
    source, level = drain.scene.pack.source("overflow-above-water"), drain.placed.kit.water_level_mm
    if level is None:
        return say(
            ID, drain, "water level", "not-checked", f"How high the water of {tank} will stand is not known.",
            source=source, question=f"Is the float valve of {tank} set so that its water stands at least {mm(needed)} "
            "below the overflow?",
        )  # fmt: skip
    found = drain.port.at_mm[2] - (drain.bore_mm or drain.port.size_mm) / 2 - level
    verdict = judge(found - needed, drain.scene.room.tolerance_mm)
    stands = f"{mm(found)} below" if found >= 0 else f"{mm(-found)} above"
    text = f"The water of {tank} stands {stands} its overflow; at least {mm(needed)} below is needed."
    return say(
        ID, drain, "water level", verdict, text + (f" {TIGHT}" if verdict == "look-again" else ""), source=source,
        needed=needed, found=found, short=max(0.0, needed - found),
    )  # fmt: skip


def _shared(scene: Scene, every: list[Drain]) -> Iterator[Finding]:
    tanks = [(drain.placed, drain.pipe.to) for drain in every if drain.pipe and drain.placed.kit.has("cistern")]
    for outlet, count in sorted(Counter(to for _, to in tanks).items()):
        if count > 1:
            mine = [placed for placed, to in tanks if to == outlet]
            names = listed(the(placed.name) for placed in mine)
            text = f"The overflows of {names} end at {named(scene, outlet)}: each needs a pipe of its own."
            yield Finding(
                ID, "look-again", text, tuple(placed.id for placed in mine), (outlet,), topic="own pipe",
                title="Each tank needs an overflow of its own", source=scene.pack.source("overflow-bore"),
            )  # fmt: skip


CHECK = Check(
    id=ID,
    title="Every tank can overflow where it is seen",
    failing_title="An overflow cannot run away",
    reason="When a float valve sticks, the overflow is what keeps the water out of the house, and what is noticed.",
    source=rule_pack("england").source("overflow-bore"),
    find=find,
    slow=True,
)
