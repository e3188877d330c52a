"""How large an expansion vessel a sealed system needs.

The table of the older British standards, as reprinted by makers, has litres for each setting of valve and charge, and
a factor for systems between its lines. Between its settings the formula behind it serves: vessel = e × system /
(1 − P1 / P2), with P1 the charge and P2 the valve's setting less an allowance, both absolute.

>>> from geometry.rules import rule_pack
>>> vessel_litres(100, 1.0, 3.0, rule_pack("england")), vessel_litres(110, 1.0, 3.0, rule_pack("england"))
(10.9, 11.99)
"""

from typing import Any

from geometry.errors import SumError
from geometry.rules import RulePack
from geometry.sums.plain import plain

ATMOSPHERE_BAR = 1.0
TABLE = "vessel-table"


def vessel_factor(charge_bar: float, valve_bar: float, pack: RulePack) -> float:
    """Litres of vessel for each litre in the system: the printed factor where there is one, else the formula."""
    if charge_bar < 0 or valve_bar <= 0:
        raise SumError("Charge and valve setting are in bar on the gauge: 0 or more, and more than 0.")
    column = _column(charge_bar, valve_bar, pack)
    if column is not None:
        return float(column["factor"])
    low, high = charge_bar + ATMOSPHERE_BAR, valve_bar - pack.number("vessel-valve-less") + ATMOSPHERE_BAR
    if low >= high:
        raise SumError(
            f"A charge of {plain(charge_bar)} bar leaves nothing under a {plain(valve_bar)} bar valve. "
            "Lower the charge."
        )
    return pack.number("vessel-growth") / (1 - low / high)


def in_table(charge_bar: float, valve_bar: float, pack: RulePack) -> bool:
    """Whether the printed table has these settings."""
    return _column(charge_bar, valve_bar, pack) is not None


def _column(charge_bar: float, valve_bar: float, pack: RulePack) -> dict[str, Any] | None:
    settings = (valve_bar, charge_bar)
    return next((row for row in pack.rows(TABLE) if (row["valve_bar"], row["charge_bar"]) == settings), None)


def printed_litres(system_l: float, charge_bar: float, valve_bar: float, pack: RulePack) -> float | None:
    """The litres that the table prints for a system; None between its lines and outside its settings."""
    column, lines = _column(charge_bar, valve_bar, pack), pack.figure("vessel-volumes").value
    return float(column["litres"][lines.index(system_l)]) if column and system_l in lines else None


def vessel_litres(system_l: float, charge_bar: float, valve_bar: float, pack: RulePack) -> float:
    """Litres of vessel, to 0.001."""
    if system_l <= 0:
        raise SumError(
            "The system holds more than 0 litres. Measure it, or add it up from boiler, pipes and radiators."
        )
    printed = printed_litres(system_l, charge_bar, valve_bar, pack)
    return round(system_l * vessel_factor(charge_bar, valve_bar, pack), 3) if printed is None else printed
