"""Sums of water and air: vessel, condensate, air gap, compartment; how they answer, grow and refuse."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.errors import SumError
from geometry.rules import rule_pack
from geometry.sums import SUMS
from geometry.sums.air import compartment_air
from geometry.sums.drops import air_gap_mm, condensate_drop_mm
from geometry.sums.vessel import printed_litres, vessel_factor, vessel_litres

ENGLAND = rule_pack("england")
VESSEL = {"system_l": 100, "charge_bar": 1.0, "valve_bar": 3}


def working(name: str, **given: Any) -> list[str]:
    lines: list[str] = SUMS[name].run(given)["working"]
    return lines


def test_the_vessel_is_written_out_with_its_factor_and_the_lesser_one() -> None:
    """BS 5449 table: 10.9 litres for 100 at 1 bar under 3 bar; 0.8 of it under 88 degrees."""
    assert working("vessel", **VESSEL) == [
        "water in the system: 100 litres",
        "charge 1 bar under a 3 bar valve, factor of the table: × 0.109",
        "vessel, as the table prints it: 10.9 litres",
        "where the flow stays under 88 °C, 0.8 of it does: 8.7 litres",
        "Take the next vessel of 10.9 litres or more.",
    ]


def test_between_the_lines_of_the_table_its_factor_is_multiplied_and_between_its_settings_the_formula() -> None:
    between, other = (
        working("vessel", **{**VESSEL, "system_l": 110}),
        working("vessel", **{**VESSEL, "charge_bar": 0.7}),
    )

    assert "vessel, the product: 12.0 litres" in between
    assert any("formula behind the table" in line for line in other)
    assert printed_litres(110, 1.0, 3.0, ENGLAND) is None


@given(st.floats(1, 5000), st.floats(0, 2.4), st.floats(2.9, 6))
def test_more_water_or_more_charge_never_needs_a_smaller_vessel(system: float, charge: float, valve: float) -> None:
    here = system * vessel_factor(charge, valve, ENGLAND)

    assert (system + 1) * vessel_factor(charge, valve, ENGLAND) > here
    assert system * vessel_factor(charge + 0.05, valve, ENGLAND) >= here * 0.993  # printed factors are rounded


def test_the_printed_litres_never_differ_from_the_factor_by_more_than_a_rounding() -> None:
    for row in ENGLAND.rows("vessel-table"):
        for system, litres in zip(ENGLAND.figure("vessel-volumes").value, row["litres"], strict=True):
            assert litres == pytest.approx(system * row["factor"], abs=0.1)


@pytest.mark.parametrize(("changed", "said"), [
    ({"charge_bar": 2.65}, "Lower the charge"), ({"charge_bar": 3}, "Lower the charge"),
    ({"system_l": 0}, "Water in the system is 0.1 or more"), ({"valve_bar": 0}, "Setting of the safety valve is 0.1"),
    ({"charge_bar": -1}, "Charge of the vessel is 0 or more"),
])  # fmt: skip
def test_a_vessel_that_cannot_be_is_refused(changed: dict[str, float], said: str) -> None:
    with pytest.raises(SumError, match=said):
        SUMS["vessel"].run({**VESSEL, **changed})


def test_litres_of_nothing_are_refused_in_code_too() -> None:
    with pytest.raises(SumError, match="more than 0 litres"):
        vessel_litres(0, 1, 3, ENGLAND)


def test_condensate_and_air_gap_are_written_out() -> None:
    assert working("condensate", length_m=3)[:3] == [
        "length of the pipe: 3 m", "fall for each metre, at least: 45 mm", "3 × 45: 135 mm",
    ]  # fmt: skip
    assert working("air-gap", inlet_bore_mm=8) == [
        "bore of the inlet: 8 mm", "2 × 8: 16 mm", "never less than: 20 mm", "the larger of the two: 20 mm",
        "Leave 20 mm or more between the inlet and the highest the water can stand.",
    ]  # fmt: skip


@pytest.mark.parametrize("value", [0, -1])
def test_a_pipe_and_a_bore_of_nothing_are_refused(value: float) -> None:
    with pytest.raises(SumError):
        condensate_drop_mm(value, ENGLAND)
    with pytest.raises(SumError):
        air_gap_mm(value, ENGLAND)


def test_a_compartment_is_written_out_with_both_openings_to_one_place() -> None:
    assert working("compartment-air", kw=15, flue="open", to="outside") == [
        "heat input, net: 15 kW", "high: 15 × 5 cm²: 75 cm²", "low: 15 × 10 cm²: 150 cm²",
        "75 cm² high and 150 cm² low, both to outside, unless its maker asks for something else.",
    ]  # fmt: skip


@pytest.mark.parametrize(("kw", "flue", "to"), [(0, "open", "room"), (24, "none", "room"), (24, "open", "loft")])
def test_air_for_no_heat_or_no_such_flue_is_refused(kw: float, flue: str, to: str) -> None:
    with pytest.raises(SumError):
        compartment_air(kw, flue, to, ENGLAND)


@pytest.mark.parametrize("name", [name for name in SUMS if name != "discharge"])
def test_a_sum_answers_with_its_inputs_read_and_its_source(name: str) -> None:
    fields = [field for field in SUMS[name].fields if field.name != "round_mm"]  # a base is square or round, not both
    given = {field.name: field.example for field in fields}

    answer = SUMS[name].run(given)

    assert list(answer) == ["sum", "inputs", "result", "working", "source"]
    assert answer["sum"] == name
    assert all(type(answer["inputs"][f.name]) is (str if f.kind == "choice" else float) for f in fields)
    assert answer["source"]["document"]
