"""Units, and the one rounding allowance of the project.

Lengths are millimetres, angles degrees anticlockwise, masses kilograms, volumes litres.
"""

from typing import Final

DEPTH_TOLERANCE_MM: Final = 0.5
"""Less shared depth than this is rounding, not overlap. It decides; it is never added to a reported figure."""

SAME_MM: Final = 1e-6
"""Two measures closer than this are one measure: the noise of adding fractions, not a length."""

G_M_S2: Final = 9.81
"""Acceleration used to turn kilograms into kilonewtons."""

Point = tuple[float, float]
Point3 = tuple[float, float, float]


def whole_mm(value_mm: float) -> int:
    """Round half away from zero, as a person does with a tape; what is half but for noise is half.

    >>> whole_mm(2.5), whole_mm(-2.5), whole_mm(0.49), whole_mm(2.5 - 1e-12)
    (3, -3, 0, 3)
    """
    rounded = int(abs(value_mm) + 0.5 + SAME_MM)
    return rounded if value_mm >= 0 else -rounded
