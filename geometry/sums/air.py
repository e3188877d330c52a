"""Free area of the openings that appliances with a flame need: high and low in a compartment, one in a room.

Rates in cm² for each kW of net heat input, by flue and by where the air comes from.

>>> from geometry.rules import rule_pack
>>> compartment_air(24, "room-sealed", "room", rule_pack("england"))
(240.0, 240.0)
>>> compartment_air(15, "open", "outside", rule_pack("england"))
(75.0, 150.0)
"""

from collections.abc import Iterable

from geometry.errors import SumError
from geometry.rules import RulePack

FLUES = ("room-sealed", "open")
TO = ("room", "outside")


def compartment_air(kw: float, flue: str, to: str, pack: RulePack) -> tuple[float, float]:
    """(high, low) free area in cm² for a heat input in kW, a kind of flue, and where the openings lead."""
    if kw <= 0:
        raise SumError("A heat input is more than 0 kW. It is on the data plate.")
    high, low = air_rates(flue, to, pack)
    return kw * high, kw * low


def air_rates(flue: str, to: str, pack: RulePack) -> tuple[float, float]:
    """(high, low) free area in cm² for each kW."""
    for row in pack.rows("compartment-air"):
        if (row["flue"], row["to"]) == (flue, to):
            return float(row["high_cm2_kw"]), float(row["low_cm2_kw"])
    raise SumError(f"There is no figure for a {flue} flue with openings to {to}.")


def room_air_cm2(open_flued_kw: Iterable[float], pack: RulePack) -> float:
    """Free area in cm² of the opening of a room with open-flued appliances: what a room leaks is taken off once.

    >>> from geometry.rules import rule_pack
    >>> room_air_cm2([17], rule_pack("england")), room_air_cm2([25, 8], rule_pack("england"))
    (50.0, 130.0)
    """
    return max(0.0, sum(open_flued_kw) - pack.number("open-flue-air-above")) * pack.number("open-flue-air")
