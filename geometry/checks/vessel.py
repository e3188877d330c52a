"""Whether the expansion vessels of a sealed system are large enough for the water in it.

Where the room file says how much the system holds, the vessels drawn and the heat source's own are added up against
the table. One that is called a hot water or drinking water vessel is not counted. Where there is an unvented store and
none is called so, one of them may be the hot water's: then they are enough only without the largest. Where it does not
say, the most that they are enough for is worked out, and the question put.

>>> from geometry.samples import piece, round_kit, sample_scene
>>> vessel = round_kit("v18", 280, 410, name="Expansion vessel", water_l=18, traits=["vessel"])
>>> [f.message for f in find(sample_scene([vessel], [piece(vessel, 1200, 900)], system="sealed heating"))]
['The vessels hold 18 litres: enough for about 165 litres of system at 1 bar under a 3 bar valve.']
"""

from collections.abc import Iterator, Sequence
from math import ceil, floor

from geometry.check import Check, Finding, tidy
from geometry.errors import SumError
from geometry.rules import rule_pack
from geometry.scene import Placed, Scene
from geometry.sums.vessel import TABLE, vessel_factor, vessel_litres
from geometry.units import SAME_MM

ID = "vessel"
_HOT_WATER = ("hot water", "drinking water", "potable")


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for the vessels together; where they stand changes nothing."""
    vessels = [placed for placed in scene.placed if placed.kit.has("vessel") and not _of_hot_water(placed)]
    heating, system = scene.room.heating, scene.room.system.lower()
    if only is not None or not (vessels or "sealed" in system or heating.system_l):
        return
    charge = heating.charge_bar or scene.pack.number("vessel-charge")
    valve = heating.valve_bar or scene.pack.number("vessel-valve")
    try:
        if heating.system_l:
            yield _judged(scene, vessels, vessel_litres(heating.system_l, charge, valve, scene.pack), charge, valve)
        else:
            yield _asked(scene, vessels, vessel_factor(charge, valve, scene.pack), charge, valve)
    except SumError as error:
        yield Finding(
            ID, "put-right", str(error), tuple(p.id for p in vessels), source=scene.pack.source(TABLE), unit="l",
            title="The charge of the vessel is too high for its valve",
        )  # fmt: skip


def _of_hot_water(placed: Placed) -> bool:
    """Whether a vessel is called one of the hot water's."""
    return any(word in placed.name.lower() for word in _HOT_WATER)


def _judged(scene: Scene, vessels: Sequence[Placed], needed: float, charge: float, valve: float) -> Finding:
    own = scene.room.heating.own_vessel_l
    each = [placed.kit.water_l or 0.0 for placed in vessels]
    found = sum(each) + own
    stores = any(placed.kit.has("unvented-store") for placed in scene.placed)
    told = any(placed.kit.has("vessel") and _of_hot_water(placed) for placed in scene.placed)
    sure = found - max(each, default=0.0) if stores and not told else found
    short = max(0.0, needed - found)
    text = (
        f"The heating holds {scene.room.heating.system_l:,g} litres: at {charge:g} bar under a {valve:g} bar valve it "
        f"needs a vessel of {needed:.1f} litres; {found:.1f} litres are there."
    )
    if short > SAME_MM:
        text += f" One more of {ceil(round(short, 1)):,} litres makes it up."
    ids, source, tight = tuple(placed.id for placed in vessels), scene.pack.source(TABLE), needed - SAME_MM
    if found >= tight > sure:
        return Finding(
            ID, "not-checked", f"{text} One of the vessels may be the hot water's.", ids, needed=needed, found=found,
            unit="l", source=source, question="Which of the vessels is the heating's, and which the hot water's? "
            f'Call the hot water\'s "{_HOT_WATER[0]} vessel" on its card: it is then left out of the sum.',
        )  # fmt: skip
    if found < tight and own:
        usual = tidy(scene.pack.number("remote-vessel"))
        text += f" About {usual} litres on the return, away from the boiler, is usual."
    return Finding(
        ID, "no-fault" if found >= tight else "put-right", text, ids, needed=needed, found=found, short=short, unit="l",
        source=source, basis=vessels[0].kit.basis if vessels else None,
    )  # fmt: skip


def _asked(scene: Scene, vessels: Sequence[Placed], factor: float, charge: float, valve: float) -> Finding:
    own = scene.room.heating.own_vessel_l
    litres = sum(placed.kit.water_l or 0.0 for placed in vessels) + own
    ask = "" if own else ", and how large is the heat source's own vessel"
    text = "No expansion vessel is drawn: the heat source's own may be enough."
    if litres:
        text = (
            f"The vessels hold {tidy(litres)} litres: enough for about {floor(litres / factor):,} litres of system at "
            f"{charge:g} bar under a {valve:g} bar valve."
        )
    return Finding(
        ID, "not-checked", text, tuple(p.id for p in vessels), found=litres or None, unit="l",
        source=scene.pack.source(TABLE),
        question=f"How many litres does the heating system hold{ask}?",
    )  # fmt: skip


CHECK = Check(
    id=ID,
    title="The expansion vessels are enough for the system",
    failing_title="The expansion vessels are too small",
    reason="Heated water grows. With nowhere to go it lifts the safety valve, week after week.",
    source=rule_pack("england").source(TABLE),
    find=find,
)
