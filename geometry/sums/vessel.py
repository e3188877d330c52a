"""How large an expansion vessel a sealed system needs.

The table of the older British standards, as reprinted by makers, is a factor for each setting of valve and charge.
Between its settings the formula behind it serves: vessel = e × system / (1 − P1 / P2), with P1 the charge and P2 the
valve's setting less an allowance, both absolute. It gives the printed factors to 0.3 %.

>>> from geometry.rules import rule_pack
>>> round(vessel_litres(100, 1.0, 3.0, rule_pack("england")), 1)
10.9
"""

from geometry.errors import SumError
from geometry.rules import RulePack

ATMOSPHERE_BAR = 1.0
TABLE = "vessel-table"


def vessel_factor(charge_bar: float, valve_bar: float, pack: RulePack) -> float:
    """Litres of vessel for each litre in the system: the printed factor where there is one, else the formula."""
    if charge_bar < 0 or valve_bar <= 0:
        raise SumError("Charge and valve setting are in bar on the gauge: 0 or more, and more than 0.")
    for row in pack.rows(TABLE):
        if (row["valve_bar"], row["charge_bar"]) == (valve_bar, charge_bar):
            return float(row["factor"])
    low, high = charge_bar + ATMOSPHERE_BAR, valve_bar - pack.number("vessel-valve-less") + ATMOSPHERE_BAR
    if low >= high:
        raise SumError(
            f"A charge of {charge_bar:g} bar leaves nothing under a {valve_bar:g} bar valve. Lower the charge."
        )
    return pack.number("vessel-growth") / (1 - low / high)


def in_table(charge_bar: float, valve_bar: float, pack: RulePack) -> bool:
    """Whether the printed table has these settings."""
    return any((row["valve_bar"], row["charge_bar"]) == (valve_bar, charge_bar) for row in pack.rows(TABLE))


def vessel_litres(system_l: float, charge_bar: float, valve_bar: float, pack: RulePack) -> float:
    """Litres of vessel, to 0.001."""
    if system_l <= 0:
        raise SumError(
            "The system holds more than 0 litres. Measure it, or add it up from boiler, pipes and radiators."
        )
    return round(system_l * vessel_factor(charge_bar, valve_bar, pack), 3)
