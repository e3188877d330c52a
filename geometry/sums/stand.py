"""How high a ceiling has to be to tip a tall thing upright: from corner to corner of its side.

>>> round(diagonal_mm(1800, 550), 3)
1882.153
"""

from math import hypot

from geometry.errors import SumError


def diagonal_mm(height_mm: float, base_mm: float) -> float:
    """Length from the top corner to the opposite bottom one, in mm."""
    if height_mm <= 0 or base_mm <= 0:
        raise SumError("A height and a base are more than 0 mm.")
    return hypot(height_mm, base_mm)
