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
from geometry.units import SAME_MM
from geometry.words import start, the

ID = "lifting"


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each piece that does not simply slide out."""
    for placed in scene.placed:
        if not placed.movable and (only is None or placed.id in only):
            yield _judged(scene.pack, placed)


def team_lifts_kg(pack: RulePack, people: int) -> float:
    """What that many people lift together: the first so much, each further one a share of it.

    >>> [team_lifts_kg(rule_pack("england"), n) for n in (1, 2, 3, 4)]
    [20.0, 35.0, 50.0, 65.0]
    """
    return pack.number("lift-one-person") * (1 + pack.number("lift-each-further-person") * (people - 1))


def _judged(pack: RulePack, placed: Placed) -> Finding:
    carried = placed.kit.carry
    mass = carried.kg if carried and carried.kg is not None else placed.kit.dry_kg
    name = the(placed.name)
    if mass is None:
        return Finding(
            ID, "not-checked", f"The weight of {name} is not known.", (placed.id,), unit="kg",
            question=f"What does the heaviest part of {name} weigh, drained?", source=pack.source("lift-two"),
        )  # fmt: skip
    high = placed.kit.stands_on == "wall" and placed.base_mm > pack.number("shoulder-height")
    alone = "lift-alone-high" if high else "lift-alone"
    if mass <= pack.number(alone) + SAME_MM:
        return _lifted(pack, placed, mass, alone, "one person lifts it.")
    if mass <= pack.number("lift-two") + SAME_MM:
        more = " Above the shoulder nobody lifts it alone." if high and mass <= pack.number("lift-alone") else ""
        return _lifted(pack, placed, mass, "lift-two", f"two people lift it.{more}")
    return _heavy(pack, placed, mass)


def _lifted(pack: RulePack, placed: Placed, mass: float, key: str, text: str) -> Finding:
    return Finding(
        ID, "no-fault", f"{start(placed.name)} weighs {mass:g} kg dry: {text}", (placed.id,), needed=pack.number(key),
        found=mass, short=0.0, unit="kg", basis=placed.kit.basis, source=pack.source(key),
    )  # fmt: skip


def _heavy(pack: RulePack, placed: Placed, mass: float) -> Finding:
    two = pack.number("lift-two")
    who = "three people or an aid"
    if mass > team_lifts_kg(pack, int(pack.number("lift-team"))) + SAME_MM:
        who = "three people and an aid"
    return Finding(
        ID, "look-again",
        f"{start(placed.name)} weighs {mass:g} kg dry: {who} lift it. Plan the lift, and take off what comes off.",
        (placed.id,), title=f"{start(placed.name)} needs {who}", needed=two, found=mass, short=mass - two, unit="kg",
        basis=placed.kit.basis, source=pack.source("lift-two"),
    )  # fmt: skip


CHECK = Check(
    id=ID,
    title="Everything can be lifted by two people",
    failing_title="Something needs more than two people",
    reason="A back is hurt once. No weight is harmless; reach, twisting and stairs make each one heavier.",
    source=rule_pack("england").source("lift-two"),
    find=find,
)
