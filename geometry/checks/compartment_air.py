"""The air that appliances which burn gas need in a small room: the free area of its openings high and low.

Where openings are drawn, and the heat input and the kind of flue of every such appliance are known, their free areas
are added up: high in the upper half of the room, low in the lower, all to the same place. Without them the figures
are given and the question put: a maker may ask for more or for none.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> boiler = box_kit("boiler", traits=["gas", "hot"], input_kw=24, flue="room-sealed")
>>> vents = [{"id": "v1", "level_mm": 2200, "free_cm2": 240, "to": "room"},
...          {"id": "v2", "level_mm": 150, "free_cm2": 200, "to": "room"}]
>>> scene = sample_scene([boiler], [piece(boiler, 1200, 1600)], vents=vents)
>>> [(f.topic, f.verdict, f.short) for f in find(scene)]
[('high', 'no-fault', 0.0), ('low', 'look-again', 40.0)]
"""

from collections.abc import Iterator, Sequence

from geometry.check import Check, Finding
from geometry.rules import rule_pack
from geometry.scene import Placed, Scene
from geometry.sums.air import air_rates, room_air_cm2
from geometry.units import SAME_MM
from geometry.words import listed, start, the

ID = "compartment-air"


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """Two findings where everything is known, else one question for each appliance."""
    burners = [placed for placed in scene.placed if placed.kit.has("gas") and placed.kit.has("hot")]
    if only is not None and only.isdisjoint(placed.id for placed in burners):
        return
    known = all(placed.kit.input_kw and placed.kit.flue for placed in burners)
    height = scene.room.ceiling.height_mm
    if burners and scene.room.vents and known and height is not None:
        yield from _measured(scene, burners, height)
    else:
        yield from (_asked(scene, placed, burners) for placed in burners)


def _measured(scene: Scene, burners: Sequence[Placed], height_mm: float) -> Iterator[Finding]:
    """Against the openings to one place: that place where the least is missing."""
    areas: dict[str, tuple[float, float]] = {}
    places: set[str] = {vent.to for vent in scene.room.vents}
    for to in sorted(places):
        there = [vent for vent in scene.room.vents if vent.to == to]
        high = sum(vent.free_cm2 for vent in there if vent.level_mm > height_mm / 2)
        areas[to] = (high, sum(vent.free_cm2 for vent in there) - high)
    needs = {to: _needed(scene, burners, to) for to in areas}
    to = min(areas, key=lambda to: (sum(_short(*pair) for pair in zip(needs[to], areas[to], strict=True)), to))
    for topic, needed, found in zip(("high", "low"), needs[to], areas[to], strict=True):
        yield _opening(scene, burners, topic, to, needed, found)


def _needed(scene: Scene, burners: Sequence[Placed], to: str) -> tuple[float, float]:
    rates = [(placed.kit.input_kw or 0.0, *air_rates(placed.kit.flue or "", to, scene.pack)) for placed in burners]
    return sum(kw * high for kw, high, _ in rates), sum(kw * low for kw, _, low in rates)


def _short(needed: float, found: float) -> float:
    return max(0.0, needed - found)


def _opening(scene: Scene, burners: Sequence[Placed], topic: str, to: str, needed: float, found: float) -> Finding:
    names, open_flued = _names(burners), any(placed.kit.flue == "open" for placed in burners)
    short = _short(needed, found)
    where = "another room" if to == "room" else "outside"
    text = f"{start(names)} need {needed:g} cm² of free opening {topic} up" if topic == "high" else ""
    text = text or f"{start(names)} need {needed:g} cm² of free opening low down"
    text = text if len(burners) > 1 else text.replace(" need ", " needs ", 1)
    text = f"{text}, to {where}; {found:g} cm² is there."
    over = short > SAME_MM
    more = " Its maker may ask for less, or for none." if over and not open_flued else ""
    return Finding(
        ID, ("put-right" if open_flued else "look-again") if over else "no-fault", text + more,
        tuple(placed.id for placed in burners), topic=topic, needed=needed, found=found, short=short, unit="cm2",
        title=f"The opening {topic} is too small for {names}" if over else "", basis=burners[0].kit.basis,
        source=scene.pack.source("compartment-air"),
    )  # fmt: skip


def _names(burners: Sequence[Placed]) -> str:
    return listed(the(placed.name) for placed in burners)


def _asked(scene: Scene, placed: Placed, burners: Sequence[Placed]) -> Finding:
    name, floor = the(placed.name), f"{scene.floor.area / 1e6:.1f} m²"
    text = f"{start(name)} is in a room of {floor}. {start(_figures(scene, placed))}."
    if placed.kit.flue == "open" and all(other.kit.input_kw for other in burners):
        every = [other.kit.input_kw or 0.0 for other in burners if other.kit.flue == "open"]
        text += f" A whole room wants {room_air_cm2(every, scene.pack):g} cm² for what is open-flued in it."
    missing = [
        *(["what its heat input is"] if placed.kit.input_kw is None else []),
        *(["whether its flue is room-sealed or open"] if placed.kit.flue is None else []),
        *(["what free area the openings high and low have, and where they lead"] if not scene.room.vents else []),
        *(["how high the ceiling is"] if scene.room.ceiling.height_mm is None else []),
    ]
    text += f" Not known here: {listed(missing)}." if missing else ""
    return Finding(
        ID, "not-checked", text, (placed.id,), source=scene.pack.source("compartment-air"), basis=placed.kit.basis,
        question=f"How much air does the maker of {name} ask for in a room of {floor}?",
    )  # fmt: skip


def _figures(scene: Scene, placed: Placed) -> str:
    """The rates for its flue (room-sealed where that is not known), and the areas where its heat input is known."""
    flue, kw = placed.kit.flue or "room-sealed", placed.kit.input_kw
    told = []
    for to, where in (("room", "to another room"), ("outside", "to the outside")):
        high, low = air_rates(flue, to, scene.pack)
        told.append(f"{high * (kw or 1):g} and {low * (kw or 1):g} cm² {where}")
    per = " for each kW" if kw is None else f" for {kw:g} kW"
    return f"a {flue} appliance in a compartment wants openings high and low of {' or '.join(told)}{per}"


CHECK = Check(
    id=ID,
    title="The air for every appliance has been looked at",
    failing_title="An appliance has too little air",
    reason="A flame without air makes carbon monoxide; a hot cupboard spoils what is in it.",
    source=rule_pack("england").source("compartment-air"),
    find=find,
)
