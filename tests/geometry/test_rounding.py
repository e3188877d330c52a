"""Needed, found and short as people read them."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.rounding import PLACES, agreeing, rounded

measures = st.floats(min_value=0, max_value=20_000, allow_nan=False)
units = st.sampled_from(sorted(PLACES))
step = {unit: Decimal(1).scaleb(-places) for unit, places in PLACES.items()}


@given(measures, measures, units)
def test_what_is_short_is_the_difference_of_the_two_that_are_shown(one: float, other: float, unit: str) -> None:
    low, high = sorted((one, other))

    needed, found, short = agreeing(high, low, high - low, unit)

    assert needed is not None
    assert found is not None
    assert needed - found == short


@given(measures, measures, units)
def test_a_measure_that_is_too_much_agrees_as_well(one: float, other: float, unit: str) -> None:
    low, high = sorted((one, other))

    needed, found, short = agreeing(low, high, high - low, unit)

    assert needed is not None
    assert found is not None
    assert found - needed == short


@given(measures, st.floats(min_value=0.002, max_value=5000), units)
def test_nothing_that_is_short_is_rounded_away(found: float, short: float, unit: str) -> None:
    shown = agreeing(found + short, found, short, unit)[2]

    assert shown is not None
    assert shown > 0


@given(measures, measures, units)
def test_no_figure_is_shown_more_than_one_step_from_what_it_is(needed: float, found: float, unit: str) -> None:
    shown = agreeing(needed, found, max(0.0, needed - found), unit)

    assert abs(shown[0] - Decimal(repr(needed))) <= step[unit]  # type: ignore[operator]
    assert abs(shown[1] - Decimal(repr(found))) <= step[unit]  # type: ignore[operator]


@given(measures, st.floats(min_value=0.01, max_value=180))
def test_an_angle_that_falls_short_is_never_rounded_up(found: float, short: float) -> None:
    shown = agreeing(found + short, found, short, "deg")[1]

    assert shown is not None
    assert shown <= Decimal(repr(found)) + Decimal("0.000001")


@pytest.mark.parametrize(("unit", "places"), [("deg", 0), ("kN/m2", -1)])
def test_no_parts_of_a_degree_and_no_hundredths_of_a_pressure_are_shown(unit: str, places: int) -> None:
    shown = agreeing(90.123, 61.987, 28.136, unit)

    assert [value.as_tuple().exponent for value in shown if value] == [places] * 3


def test_an_overlap_keeps_its_depth() -> None:
    assert agreeing(0.0, -50.4, 50.4, "mm") == (0, -50, 50)


def test_a_shortage_that_is_not_the_difference_is_rounded_by_itself() -> None:
    assert agreeing(600, 400.4, 12.6, "mm") == (600, 400, 13)


def test_what_has_no_figure_stays_without_one() -> None:
    assert agreeing(None, float("inf"), None, "mm") == (None, None, None)
    assert rounded(-0.3, "mm") == 0
