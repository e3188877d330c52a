"""How many people, or which aid, it takes to lift each piece in and out, dry.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> boiler = box_kit("boiler", dry_kg=38)
>>> [(f.verdict, f.message) for f in find(sample_scene([boiler], [piece(boiler, 1200, 900)]))]
[('no-fault', 'Boiler weighs 38 kg dry: two people lift it.')]
"""

from collections.abc import Iterator

from geometry.check import Check, Finding
from geometry.rules import RulePack, rule_pack
from geometry.scene import Placed, Scene
from geometry.words import start, within

ID = "lifting"
_WORDS = {1: "one person lifts it", 2: "two people lift it"}


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each piece that one person does not simply carry or slide out."""
    pack = scene.pack
    for placed in scene.placed:
        if not placed.movable and (only is None or placed.id in only):
            yield from _judged(pack, placed)


def _judged(pack: RulePack, placed: Placed) -> Iterator[Finding]:
    carried = placed.kit.carry
    mass = carried.kg if carried and carried.kg is not None else placed.kit.dry_kg
    if mass is None:
        yield Finding(
            ID, "not-checked", f"The weight of the {within(placed.name)} is not known.", (placed.id,), unit="kg",
            question=f"What does the heaviest part of the {within(placed.name)} weigh, drained?",
        )  # fmt: skip
        return
    one, two, alone_high = (pack.number(k) for k in ("lift-alone", "lift-two", "lift-alone-high"))
    high = placed.kit.stands_on == "wall" and placed.base_mm > pack.number("shoulder-height")
    people = 1 if mass <= (alone_high if high else one) else 2 if mass <= two else 3
    if people == 1:
        return
    text = f"{start(placed.name)} weighs {mass:g} kg dry: "
    if people == 2:
        where = " Above the shoulder nobody lifts it alone." if high and mass <= one else ""
        yield Finding(
            ID, "no-fault", f"{text}{_WORDS[2]}.{where}", (placed.id,), needed=two, found=mass, unit="kg",
            basis=placed.kit.basis, source=pack.source("lift-two"),
        )  # fmt: skip
        return
    yield Finding(
        ID, "look-again", f"{text}three people or an aid lift it. Plan the lift, and take off what comes off.",
        (placed.id,), title=f"{start(placed.name)} needs three people or an aid", needed=two, found=mass,
        short=mass - two, unit="kg", basis=placed.kit.basis, source=pack.source("lift-two"),
    )  # fmt: skip


CHECK = Check(
    id=ID,
    title="Everything can be lifted by two people",
    failing_title="Something needs three people or an aid",
    reason="A back is hurt once. No weight is harmless; reach, twisting and stairs make each one heavier.",
    source=rule_pack("england").source("lift-two"),
    find=find,
)
