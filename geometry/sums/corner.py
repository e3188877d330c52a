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
from geometry.sums.plain import plain


def longest_mm(first_mm: float, second_mm: float, width_mm: float) -> float:
    """Longest rectangle, in mm, for two corridor widths and its own width."""
    if min(first_mm, second_mm) <= 0 or width_mm < 0:
        raise SumError("Corridors are wider than 0 mm, and a width is 0 mm or more.")
    if width_mm > min(first_mm, second_mm):
        raise SumError(
            f"The smaller side, {plain(width_mm)} mm, does not go into a corridor of "
            f"{plain(min(first_mm, second_mm))} mm. Is it the smaller side?"
        )
    return max(turning(first_mm, second_mm, width_mm)[0], first_mm, second_mm)


def length_at(t: float, a: float, b: float, w: float) -> float:
    """The longest that a rectangle of width w may be when it stands at an angle t (radians) in the corner.

    >>> round(length_at(0.5410520681182421, 8, 3, 1), 4)
    12.8927
    """
    return (a * sin(t) + b * cos(t) - w) / (sin(t) * cos(t))


def turning(a: float, b: float, w: float) -> tuple[float, float]:
    """(length, angle in radians) of the longest that turns: a golden-section search, as there is one least value."""
    ratio = (5**0.5 - 1) / 2
    low, high = 1e-6, pi / 2 - 1e-6
    for _ in range(120):
        left, right = high - ratio * (high - low), low + ratio * (high - low)
        if length_at(left, a, b, w) < length_at(right, a, b, w):
            high = right
        else:
            low = left
    angle = (low + high) / 2
    return max(0.0, length_at(angle, a, b, w)), angle
