"""The parts of the report that may be left out: order of fitting, builder's work, calendar, card, records."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from geometry.builders_work import Work, builders_work
from geometry.check import Finding
from geometry.scene import Scene
from geometry.service_calendar import Calendar, ServiceLine, service_calendar
from geometry.shut_offs import ShutOff, shut_offs
from geometry.walls import Edge
from geometry.words import listed, start, wall_name
from server.commissioning import Record, records
from server.report_lines import NOTHING
from server.web import mm

SECTIONS: dict[str, str] = {
    "walls": "Setting-out of each wall",
    "kit": "Kit list",
    "pipes": "Pipe schedule",
    "order": "Fitting order",
    "builder": "Builder's work",
    "calendar": "Service calendar",
    "card": "Shut-off card",
    "records": "Commissioning sheet",
    "checked": "What was checked",
}
"""Each part that may be left out, and what it is called."""
EVERY_SECTION = frozenset(SECTIONS)
GROUPS = {
    "hole": "Holes", "board": "Boards behind hung kit", "plinth": "Plinths", "supply": "Electrical supplies and spurs",
    "drain": "Drains", "air": "Openings for air", "opening": "Doorways and hatches",
}  # fmt: skip
CARD_HEADS = {"water": "Water", "gas": "Gas", "electricity": "Electricity", "filling": "Filling the heating"}


@dataclass(frozen=True)
class Order:
    """What is brought in, one after another; what then hangs or stands small; and what comes out first."""

    first: list[str]
    then: list[str]
    told: list[str]


@dataclass(frozen=True)
class ServiceRow:
    """One piece of the calendar, as it is printed."""

    name: str
    a_year: str
    visits: str
    replaced: str
    first_for_a_visit: str
    first_for_replacing: str


@dataclass(frozen=True)
class CardLine:
    """One shut-off on the card for the door."""

    head: str
    name: str
    where: str


@dataclass(frozen=True)
class Parts:
    """Everything that may be left out."""

    order: Order
    work: list[tuple[str, list[Work]]]
    calendar: list[ServiceRow]
    years: list[tuple[int, str]]
    visits_a_year: str
    card: list[CardLine]
    records: list[Record]


def parts_of(scene: Scene, findings: Sequence[Finding]) -> Parts:
    """All parts of a checked scene."""
    work, calendar = builders_work(scene), service_calendar(scene, findings)
    grouped = [(head, [line for line in work if line.group == group]) for group, head in GROUPS.items()]
    return Parts(
        order=_order(scene, findings),
        work=grouped, calendar=[_service(scene, line) for line in calendar.lines],
        years=_years(scene, calendar), visits_a_year=f"{calendar.years[0].visits:g}" if calendar.lines else "0",
        card=[_card(scene, line) for line in shut_offs(scene)], records=records(scene.placed),
    )  # fmt: skip


def _name(scene: Scene, ref: str) -> str:
    return scene.names.get(ref, ref)


def _order(scene: Scene, findings: Iterable[Finding]) -> Order:
    about = [finding for finding in findings if finding.check == "fitting-order"]
    carried = next((finding.pieces for finding in about if finding.topic == "order"), ())
    rest = sorted(
        (item for item in scene.placed if item.id not in carried), key=lambda i: (-(i.kit.full_kg or 0.0), i.name, i.id)
    )
    return Order(
        [start(_name(scene, ref)) for ref in carried], [start(item.name) for item in rest],
        [finding.message for finding in about if finding.topic != "order"],
    )  # fmt: skip


def _service(scene: Scene, line: ServiceLine) -> ServiceRow:
    return ServiceRow(
        start(_name(scene, line.piece)), "not known" if line.visits_a_year is None else f"{line.visits_a_year:g}",
        NOTHING if line.visits is None else str(line.visits), _when(line),
        listed(_name(scene, ref) for ref in line.first_for_a_visit) or NOTHING,
        listed(_name(scene, ref) for ref in line.first_for_replacing) or NOTHING,
    )  # fmt: skip


def _when(line: ServiceLine) -> str:
    if line.life_years is None:
        return "life not known"
    years = listed(str(year) for year in line.replaced)
    return f"year {years}" if years else f"after 20 (life {line.life_years:g})"


def _years(scene: Scene, calendar: Calendar) -> list[tuple[int, str]]:
    """The years in which something is replaced, with what."""
    return [
        (year.number, listed(start(_name(scene, ref)) for ref in year.replaced))
        for year in calendar.years
        if year.replaced
    ]


def _card(scene: Scene, found: ShutOff) -> CardLine:
    head = CARD_HEADS[found.what]
    if found.at_mm is None or found.level_mm is None:
        return CardLine(head, "", "Not in this room's layout. Write here where it is:")
    edge = min(scene.edges, key=lambda one: (round(_away(one, found.at_mm or (0, 0)), 1), one.index))
    left = edge.length_mm - edge.measure(found.at_mm)[0]
    far = "" if found.from_door_mm is None else f", {mm(found.from_door_mm)} mm from the door"
    where = f"On {wall_name(scene, edge.index)}, {mm(left)} mm from its left corner, {mm(found.level_mm)} mm up{far}."
    return CardLine(head, start(found.name), where)


def _away(edge: Edge, at: tuple[float, float]) -> float:
    along, inward = edge.measure(at)
    return abs(inward) + max(0.0, -along, along - edge.length_mm)
