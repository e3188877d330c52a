"""What is written down when the kit is set to work, by what the kit is. The list is common practice, no source."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from geometry.kit import Kit
from geometry.scene import Placed
from geometry.words import start

BLANK = "……………"


@dataclass(frozen=True)
class Record:
    """One piece on the commissioning sheet, and what is recorded of it."""

    name: str
    kind: str
    lines: tuple[str, ...]


def _is(*traits: str) -> Callable[[Kit], bool]:
    return lambda kit: all(kit.has(trait) for trait in traits)


def _key(*starts: str) -> Callable[[Kit], bool]:
    return lambda kit: kit.key.startswith(starts)


_RECORDS: tuple[tuple[Callable[[Kit], bool], tuple[str, ...]], ...] = (
    (_is("unvented-store"), (
        f"By a person qualified in it: inlet pressure {BLANK} bar",
        "Relief valve lifted: runs clear into the tundish, reseats",
        f"Thermostat set to {BLANK} °C; discharge seen at its end",
    )),
    (_is("gas", "hot"), (
        f"By a registered gas engineer: gas rate {BLANK}, working pressure {BLANK} mbar, flue gas {BLANK}",
        f"Condensate trap filled; flow {BLANK} °C, return {BLANK} °C; system {BLANK} bar",
    )),
    (_is("oil"), (f"By an oil engineer: nozzle {BLANK}, pump {BLANK} bar, smoke {BLANK}, flue gas {BLANK}",)),
    (_is("heat-pump"), (f"Flow {BLANK} °C, return {BLANK} °C, {BLANK} litres a minute; settings written down",)),
    (_is("vessel"), (f"Charge with the water side empty {BLANK} bar; no water at the valve",)),
    (_is("cistern"), (f"Water level {BLANK} mm below the overflow; float valve shuts; lid and screen on",)),
    (_is("pump"), (f"Turns the right way; speed or head set to {BLANK}; air let out",)),
    (_is("filter"), ("Cleaned after flushing, magnet in its place",)),
    (_is("tundish"), ("Seen from where a person stands; drips when the valve is lifted, dry after",)),
    (_is("stop-tap"), ("Shuts fully; label on it",)),
    (_key("two-port", "three-port"), ("Opens and shuts on its motor, and by hand",)),
    (_key("automatic-bypass"), (f"Set to {BLANK}",)),
    (_key("blending-valve"), (f"Outlet {BLANK} °C with hot and cold at their hottest and coldest",)),
    (_key("filling-loop"), (f"Filled to {BLANK} bar; hose off and both ends capped",)),
    (_key("water-softener"), (f"Hardness set to {BLANK}; salt in; by-pass shut; drain runs",)),
    (_key("underfloor-manifold"), (f"Each loop named and set; flow {BLANK} °C",)),
    (_is("alarm"), (f"Test button pressed; end date {BLANK}",)),
    (_is("electrical"), (f"Tested by an electrician; record {BLANK}",)),
    (_is("gas", "valve"), ("Opens and shuts; let-by tested by a registered gas engineer",)),
    (_is("gas", "meter"), ("Not ours to touch; reading and valve seen",)),
)  # fmt: skip
_OTHERS = ("In its place, fixed, labelled; no leak",)


def records(placed: Iterable[Placed]) -> list[Record]:
    """A record for every piece but the customer's own, in the order of the room file."""
    return [
        Record(start(item.name), item.kit.name if item.kit.name != item.name else "", _lines(item.kit))
        for item in placed
        if item.kit.group != "household"
    ]


def _lines(kit: Kit) -> tuple[str, ...]:
    found = [line for fits, lines in _RECORDS if fits(kit) for line in lines]
    return tuple(found) or _OTHERS
