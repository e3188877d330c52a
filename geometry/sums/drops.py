"""Small sums of water: how far a condensate pipe has to fall, and how wide an air gap has to be.

>>> from geometry.rules import rule_pack
>>> pack = rule_pack("england")
>>> condensate_drop_mm(3, pack), air_gap_mm(13.6, pack), air_gap_mm(8, pack)
(135.0, 27.2, 20.0)
"""

from geometry.errors import SumError
from geometry.rules import RulePack


def condensate_drop_mm(length_m: float, pack: RulePack) -> float:
    """Fall in mm over a length in metres."""
    if length_m <= 0:
        raise SumError("A pipe is longer than 0 m.")
    return round(length_m * pack.number("condensate-fall"), 6)


def air_gap_mm(inlet_bore_mm: float, pack: RulePack) -> float:
    """Air gap in mm over the critical water level, for the bore of the inlet."""
    if inlet_bore_mm <= 0:
        raise SumError("A bore is more than 0 mm.")
    return max(pack.number("air-gap-least"), round(inlet_bore_mm * pack.number("air-gap-bores"), 6))
