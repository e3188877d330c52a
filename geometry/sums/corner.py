"""The longest flat rectangle of a width that goes round a right-angle corner between two corridors.

Turning, its length is least, over all angles t, of (a sin t + b cos t − w) / (sin t cos t). It may also slide
through without turning, with its short side ahead in one corridor and its long side ahead in the other: then it may
be as long as one corridor is wide. The better of the two counts.

References
----------
The ladder of width 0 has the closed form (a^(2/3) + b^(2/3))^(3/2).

>>> round(longest_mm(2000, 3000, 0), 4)
7023.4824
>>> round(longest_mm(8000, 3000, 1000), 3)
12856.318
"""

from math import cos, pi, sin

from geometry.errors import SumError


def longest_mm(first_mm: float, second_mm: float, width_mm: float) -> float:
    """Longest rectangle, in mm, for two corridor widths and its own width."""
    if min(first_mm, second_mm) <= 0 or width_mm < 0:
        raise SumError("Corridors are wider than 0 mm, and a width is 0 mm or more.")
    if width_mm > min(first_mm, second_mm):
        raise SumError(
            f"Nothing {width_mm:g} mm wide goes into a corridor of {min(first_mm, second_mm):g} mm, however short."
        )
    return max(_turning(first_mm, second_mm, width_mm), first_mm, second_mm)


def _length(t: float, a: float, b: float, w: float) -> float:
    return (a * sin(t) + b * cos(t) - w) / (sin(t) * cos(t))


def _turning(a: float, b: float, w: float) -> float:
    """Golden-section search: the length has one least value between the two corridors."""
    ratio = (5**0.5 - 1) / 2
    low, high = 1e-6, pi / 2 - 1e-6
    for _ in range(120):
        left, right = high - ratio * (high - low), low + ratio * (high - low)
        if _length(left, a, b, w) < _length(right, a, b, w):
            high = right
        else:
            low = left
    return max(0.0, _length((low + high) / 2, a, b, w))
