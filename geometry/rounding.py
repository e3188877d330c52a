"""Needed, found and short as people read them: rounded so that the three still agree.

Rounded one by one, 450.4 needed and 365.6 found would read 450 and 366, and 84.8 short 85. Here what is short is the
difference of the two that are shown. Nothing that is short is rounded away: where whole millimetres would hide it, a
finer step is taken. Degrees that are there are never rounded up.
"""

from collections.abc import Callable
from decimal import ROUND_FLOOR, ROUND_HALF_UP, Decimal
from math import isfinite

from geometry.units import SAME_MM

PLACES = {"mm": 0, "deg": 0, "m": 2, "kg": 1, "kN/m2": 1, "cm2": 0, "l": 1}
"""Decimals for each unit."""

_FINEST = 3
Triple = tuple[Decimal | None, Decimal | None, Decimal | None]


def rounded(value: float, unit: str, finer: int = 0) -> Decimal:
    """One measure as it is shown, with so many more decimals than usual.

    >>> [str(rounded(*given)) for given in ((1400.5, "mm"), (61.9275, "deg"), (10.6428, "kN/m2"), (-0.2, "mm"))]
    ['1401', '62', '10.6', '0']
    """
    return _to(value, PLACES[unit] + finer, ROUND_HALF_UP)


def agreeing(needed: float | None, found: float | None, short: float | None, unit: str) -> Triple:
    """Needed, found and short of a finding as they are shown; None for what has no figure.

    >>> [str(value) for value in agreeing(450.4, 365.6, 84.8, "mm")]
    ['450', '366', '84']
    >>> [str(value) for value in agreeing(450, 449.7, 0.3, "mm")]
    ['450.0', '449.7', '0.3']
    >>> [str(value) for value in agreeing(90, 80.5377, 9.4623, "deg")]
    ['90', '80', '10']
    """
    n, f, s = (value if value is not None and isfinite(value) else None for value in (needed, found, short))
    for finer in range(_FINEST + 1):
        shown = _at(n, f, s, unit, finer)
        if not s or (shown[2] or 0) > 0:
            break
    return shown


def _at(n: float | None, f: float | None, s: float | None, unit: str, finer: int) -> Triple:
    places = PLACES[unit] + finer
    least = s is not None and s > 0 and n is not None and f is not None and abs(n - f - s) < SAME_MM
    down = least and (unit == "deg" or finer > 0)
    needed = _each(n, lambda value: _to(value, places, ROUND_HALF_UP))
    found = _each(f, lambda value: _to(value, places, ROUND_FLOOR if down else ROUND_HALF_UP))
    if needed is None or found is None or not s:
        return needed, found, _each(s, lambda value: _to(value, places, ROUND_HALF_UP))
    if least:
        return needed, found, needed - found
    if n is not None and f is not None and abs(f - n - s) < SAME_MM:
        return needed, found, found - needed
    return needed, found, _to(s, places, ROUND_HALF_UP)


def _each(value: float | None, how: Callable[[float], Decimal]) -> Decimal | None:
    return None if value is None else how(value)


def _to(value: float, places: int, how: str) -> Decimal:
    """A number at so many decimals, first freed from the dust of its sum; never minus nought."""
    clean = Decimal(repr(round(value, 6)))
    return clean.quantize(Decimal(1).scaleb(-places), how) + 0
