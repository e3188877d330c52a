"""The service calendar: how often each piece is visited in twenty years, when it is replaced, what is moved first.

Visits are what the kind says a year holds; a kind whose life is 12 years is replaced in years 12 and 24, so within 20
years once. What has to be moved first comes from the findings: for a visit those that say "move first", for a
replacement the order of taking out.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> cylinder = box_kit("cylinder", visits_a_year=1, life_years=10)
>>> calendar = service_calendar(sample_scene([cylinder], [piece(cylinder, 600, 1600)]), ())
>>> [(line.piece, line.visits, line.replaced) for line in calendar.lines]
[('cylinder', 20, (10, 20))]
"""

from collections.abc import Iterable
from dataclasses import dataclass

from geometry.check import Finding
from geometry.scene import Placed, Scene

YEARS = 20
FOR_A_VISIT = frozenset({"service-space", "draw-out", "tool-swing", "reach", "sight", "walkway"})
FOR_TAKING_OUT = frozenset({"way-out", "fitting-order"})


@dataclass(frozen=True)
class ServiceLine:
    """One piece: visits a year and in all, the years in which it is replaced, and what is moved first (ids)."""

    piece: str
    visits_a_year: float | None
    visits: int | None
    life_years: float | None
    replaced: tuple[int, ...]
    first_for_a_visit: tuple[str, ...]
    first_for_replacing: tuple[str, ...]


@dataclass(frozen=True)
class Year:
    """One year: how many visits it holds, and the pieces that are replaced in it (ids)."""

    number: int
    visits: float
    replaced: tuple[str, ...]


@dataclass(frozen=True)
class Calendar:
    """Twenty years of a room, by piece and by year."""

    lines: tuple[ServiceLine, ...]
    years: tuple[Year, ...]


def service_calendar(scene: Scene, findings: Iterable[Finding]) -> Calendar:
    """The calendar of everything that is visited or replaced; those visited most come first."""
    every = list(findings)
    known = [item for item in scene.placed if item.kit.visits_a_year or item.kit.life_years]
    lines = [_line(item, every) for item in known]
    lines.sort(key=lambda line: (-(line.visits or 0), line.replaced or (YEARS + 1,), line.piece))
    a_year = sum(item.kit.visits_a_year or 0.0 for item in known)
    years = (Year(n, a_year, tuple(line.piece for line in lines if n in line.replaced)) for n in range(1, YEARS + 1))
    return Calendar(tuple(lines), tuple(years))


def _line(item: Placed, findings: list[Finding]) -> ServiceLine:
    visits, life = item.kit.visits_a_year, item.kit.life_years
    return ServiceLine(
        item.id, visits, None if visits is None else round(visits * YEARS), life, replaced_in(life),
        _first(item.id, findings, FOR_A_VISIT), _first(item.id, findings, FOR_TAKING_OUT),
    )  # fmt: skip


def replaced_in(life_years: float | None) -> tuple[int, ...]:
    """The years within twenty at whose end a life is over, counted from the first day.

    >>> replaced_in(12), replaced_in(20), replaced_in(22), replaced_in(7.5), replaced_in(None)
    ((12,), (20,), (), (8, 15), ())
    """
    if life_years is None:
        return ()
    ends = (life_years * k for k in range(1, int(YEARS / life_years) + 1))
    return tuple(dict.fromkeys(int(-(-end // 1)) for end in ends))


def _first(piece: str, findings: list[Finding], checks: frozenset[str]) -> tuple[str, ...]:
    """What has to be moved before somebody gets at a piece, or takes it out."""
    moved = [
        ref for f in findings
        if f.check in checks and f.pieces[:1] == (piece,) and ("move-first" in f.topic or f.topic == "first")
        for ref in f.against
    ]  # fmt: skip
    return tuple(dict.fromkeys(moved))
