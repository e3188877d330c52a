"""How large an expansion vessel a sealed system needs.

The table of the older British standard, as reprinted by makers: vessel = e × system / (1 − P1 / P2), with P1 the charge
and P2 the valve's setting less 0.35 bar, both absolute, and e = 0.0492. It gives the printed litres to 0.06 L. The
table allows 0.8 of it where the flow stays under 88 °C; that is not taken here.

>>> vessel_litres(100, 1.0, 3.0)
10.9
"""

from geometry.errors import SumError

GROWTH = 0.0492
VALVE_LESS_BAR = 0.35
ATMOSPHERE_BAR = 1.0
FACTORS = {
    (3.0, 0.5): 0.0833, (3.0, 1.0): 0.109, (3.0, 1.5): 0.156, (2.5, 0.5): 0.094, (2.5, 1.0): 0.134,
    (2.5, 1.5): 0.237, (2.0, 0.5): 0.113,
}  # fmt: skip
"""Factors as printed, by valve setting and charge in bar. The printed 0.207 for 2.0 and 1.0 is a misprint."""


def vessel_factor(charge_bar: float, valve_bar: float) -> float:
    """Litres of vessel for each litre in the system: the printed factor where there is one, else the formula."""
    if (valve_bar, charge_bar) in FACTORS:
        return FACTORS[(valve_bar, charge_bar)]
    low, high = charge_bar + ATMOSPHERE_BAR, valve_bar - VALVE_LESS_BAR + ATMOSPHERE_BAR
    if charge_bar < 0 or valve_bar <= 0:
        raise SumError("Charge and valve setting are in bar on the gauge: 0 or more, and more than 0.")
    if low >= high:
        raise SumError(
            f"A charge of {charge_bar:g} bar leaves nothing under a {valve_bar:g} bar valve. Lower the charge."
        )
    return GROWTH / (1 - low / high)


def vessel_litres(system_l: float, charge_bar: float, valve_bar: float) -> float:
    """Litres of vessel, rounded to 0.1 as the table prints them."""
    if system_l <= 0:
        raise SumError(
            "The system holds more than 0 litres. Measure it, or add it up from boiler, pipes and radiators."
        )
    return round(system_l * vessel_factor(charge_bar, valve_bar) + 1e-9, 1)
