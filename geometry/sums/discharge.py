"""Which pipe carries the discharge of a relief valve: its length and bends against the table for copper pipe.

The resistance of the pipe is its whole length, from the tundish to its end, straight drop and the part outside
included, and so much straight pipe for each elbow or bend. The first size whose limit is not passed carries it;
"up to 9 m" holds 9 m.

>>> from geometry.rules import rule_pack
>>> found = discharge_size("G1/2", 7, 4, rule_pack("england"))
>>> found.size_mm
28
>>> print(*found.working, sep="\\n")
22 mm: 7.0 m + 4 × 0.8 m = 10.2 m, more than 9 m
28 mm: 7.0 m + 4 × 1.0 m = 11.0 m, within 18 m: 28 mm carries it
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite
from typing import Any

from geometry.errors import SumError
from geometry.rules import RulePack
from geometry.sums.plain import plain

_SAME_M = 1e-6


@dataclass(frozen=True)
class Tried:
    """One size put to the test: resistance with all bends, limit, what one elbow adds, and whether it carries."""

    size_mm: int
    equivalent_m: float
    limit_m: float
    elbow_m: float
    carries: bool


@dataclass(frozen=True)
class DischargeSum:
    """The size that carries a discharge (None: outside the table), and how it was found.

    ``equivalent_m``, ``limit_m`` and ``elbow_m`` are those of the size found; outside the table, those of the largest.
    """

    size_mm: int | None
    equivalent_m: float
    limit_m: float
    elbow_m: float
    working: tuple[str, ...]
    tried: tuple[Tried, ...]


def discharge_size(outlet: str, length_m: float, bends: int, pack: RulePack) -> DischargeSum:
    """The least copper pipe below the tundish for a valve outlet, a length in metres and a number of bends.

    Raises SumError where the outlet is not in the table, or a figure is no length or no count.
    """
    if not isfinite(length_m) or length_m < 0:
        raise SumError(f"A pipe cannot be {plain(length_m)} m long: give its whole length in metres, 0 or more.")
    if bends < 0:
        raise SumError(f"A pipe cannot have {bends} bends: count every elbow and made bend, 0 or more.")
    tried: list[Tried] = []
    for row in rows(outlet, pack):
        tried.append(_tried(row, length_m, bends))
        if tried[-1].carries:
            break
    last = tried[-1]
    working = [_line(t, length_m, bends) for t in tried]
    if not last.carries:
        working.append(
            "No size in the table carries it: a shorter way, fewer bends, or a competent designer's own sum."
        )
    size = last.size_mm if last.carries else None
    return DischargeSum(size, last.equivalent_m, last.limit_m, last.elbow_m, tuple(working), tuple(tried))


def with_size(size_mm: float, outlet: str, length_m: float, bends: int, pack: RulePack) -> Tried | None:
    """One size put to the test for a valve outlet; None where the table has not that size for it.

    >>> from geometry.rules import rule_pack
    >>> with_size(22, "G1/2", 7, 4, rule_pack("england"))
    Tried(size_mm=22, equivalent_m=10.2, limit_m=9, elbow_m=0.8, carries=False)
    """
    row = next((row for row in rows(outlet, pack) if row["d2_mm"] == size_mm), None)
    return _tried(row, length_m, bends) if row else None


def _tried(row: Mapping[str, Any], length_m: float, bends: int) -> Tried:
    equivalent = round(length_m + bends * row["elbow_m"], 6)
    return Tried(row["d2_mm"], equivalent, row["limit_m"], row["elbow_m"], equivalent <= row["limit_m"] + _SAME_M)


def rows(outlet: str, pack: RulePack) -> list[Mapping[str, Any]]:
    """The rows of the table for one valve outlet, smallest pipe first. Raises SumError for an outlet it has not."""
    table = pack.figure("discharge-table").value
    found = [row for row in table if row["outlet"] == outlet]
    if not found:
        known = ", ".join(dict.fromkeys(row["outlet"] for row in table))
        raise SumError(f"The table has no valve outlet {outlet}. It has: {known}.")
    return found


def outlet_of(port_mm: float, pack: RulePack) -> str | None:
    """The thread of a valve outlet that takes a pipe of this size: 15, 22 and 28 mm in the table; None for others.

    >>> from geometry.rules import rule_pack
    >>> [outlet_of(size, rule_pack("england")) for size in (15, 22, 28, 20)]
    ['G1/2', 'G3/4', 'G1', None]
    """
    return next((row["outlet"] for row in pack.figure("discharge-table").value if row["d1_mm"] == port_mm), None)


def shared_size(sizes_mm: list[int], pack: RulePack) -> int | None:
    """The least pipe that may take several discharge pipes at once; None where the sizes of pipe end before it.

    >>> from geometry.rules import rule_pack
    >>> shared_size([22, 28], rule_pack("england"))
    35
    """
    sizes = pack.figure("discharge-sizes").value
    step = sizes.index(max(sizes_mm)) + int(pack.number("discharge-shared-sizes-larger"))
    return int(sizes[step]) if step < len(sizes) else None


def metres(value_m: float) -> str:
    """A length in metres with one place, or as many as it needs, up to four.

    >>> metres(7), metres(5.8), metres(10.25), metres(9.0004)
    ('7.0', '5.8', '10.25', '9.0004')
    """
    whole, places = f"{value_m:.4f}".split(".")
    return f"{whole}.{places.rstrip('0') or '0'}"


def _line(tried: Tried, length_m: float, bends: int) -> str:
    total = f"{metres(tried.equivalent_m)} m"
    ends = (
        f"within {plain(tried.limit_m)} m: {tried.size_mm} mm carries it"
        if tried.carries
        else f"more than {plain(tried.limit_m)} m"
    )
    return f"{tried.size_mm} mm: {metres(length_m)} m + {bends} × {metres(tried.elbow_m)} m = {total}, {ends}"
