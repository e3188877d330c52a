"""Free area of the high and low openings that a compartment with a gas appliance needs.

Rates in cm² for each kW of net heat input, by flue and by where the air comes from.

>>> from geometry.rules import rule_pack
>>> compartment_air(24, "room-sealed", "room", rule_pack("england"))
(240.0, 240.0)
>>> compartment_air(15, "open", "outside", rule_pack("england"))
(75.0, 150.0)
"""

from geometry.errors import SumError
from geometry.rules import RulePack

FLUES = ("room-sealed", "open")
TO = ("room", "outside")


def compartment_air(kw: float, flue: str, to: str, pack: RulePack) -> tuple[float, float]:
    """(high, low) free area in cm² for a heat input in kW, a kind of flue, and where the openings lead."""
    if kw <= 0:
        raise SumError("A heat input is more than 0 kW. It is on the data plate.")
    for row in pack.figure("compartment-air").value:
        if (row["flue"], row["to"]) == (flue, to):
            return float(kw * row["high_cm2_kw"]), float(kw * row["low_cm2_kw"])
    raise SumError(f"There is no figure for a {flue} flue with openings to {to}.")
