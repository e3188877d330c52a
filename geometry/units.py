"""Units, and the one rounding allowance of the project.

Lengths are millimetres, angles degrees anticlockwise, masses kilograms, volumes litres.
"""

from typing import Final

DEPTH_TOLERANCE_MM: Final = 0.5
"""Less shared depth than this is rounding, not overlap. It decides; it is never added to a reported figure."""

G_M_S2: Final = 9.81
"""Acceleration used to turn kilograms into kilonewtons."""

Point = tuple[float, float]
Point3 = tuple[float, float, float]


def whole_mm(value_mm: float) -> int:
    """Round half away from zero, as a person does with a tape.

    >>> whole_mm(2.5), whole_mm(-2.5), whole_mm(0.49)
    (3, -3, 0)
    """
    return int(value_mm + 0.5) if value_mm >= 0 else -int(-value_mm + 0.5)
