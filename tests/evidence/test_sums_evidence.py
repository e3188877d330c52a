"""Sums without a room against published figures and closed forms; each source stands beside its figures."""

import json
from math import atan, degrees, pi, radians, sqrt
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.checks.lifting import team_lifts_kg
from geometry.rules import rule_pack
from geometry.sums import SUMS
from geometry.sums.air import room_air_cm2
from geometry.sums.corner import length_at, longest_mm, turning

DATA: dict[str, Any] = json.loads((Path(__file__).parent / "sums.json").read_text())
PUBLISHED: dict[str, Any] = json.loads((Path(__file__).parent / "discharge.json").read_text())
ENGLAND = rule_pack("england")


def rows(part: str) -> Any:
    return pytest.mark.parametrize("row", DATA[part]["rows"], ids=str)


def result(name: str, **given: Any) -> dict[str, Any]:
    found: dict[str, Any] = SUMS[name].run(given)["result"]
    return found


@pytest.mark.parametrize("part", sorted(DATA))
def test_every_set_of_figures_says_where_it_comes_from(part: str) -> None:
    assert set(DATA[part]["source"]) == {"title", "clause", "standing"}


# --- Round a corner ---------------------------------------------------------------------------------------------------


@rows("ladder")
def test_a_line_without_width_is_the_ladder(row: list[float]) -> None:
    first, second, length = row

    assert longest_mm(first, second, 0) == pytest.approx(length, abs=1e-4)
    assert longest_mm(second, first, 0) == pytest.approx(length, abs=1e-4)


@rows("ladder")
def test_the_sum_gives_the_ladder_in_millimetres(row: list[float]) -> None:
    first, second, length = row

    longest = result("corner", first_mm=first * 1000, second_mm=second * 1000, width_mm=0)["longest_mm"]

    assert longest == pytest.approx(length * 1000, abs=0.1)


def test_the_couch_at_the_published_angle_and_at_its_tightest() -> None:
    couch = DATA["couch"]

    assert degrees(atan(couch["slope"])) == pytest.approx(couch["angle_deg"], abs=1e-2)
    assert length_at(radians(couch["angle_deg"]), 8, 3, 1) == pytest.approx(couch["at_angle"], abs=1e-4)
    length, angle = turning(8, 3, 1)
    assert length == pytest.approx(couch["least"], abs=1e-4)
    assert degrees(angle) == pytest.approx(couch["least_at_deg"], abs=1e-2)


@rows("corner")
def test_a_rectangle_turns_up_to_its_closed_form(row: list[float]) -> None:
    first, second, width, length, at_deg = row

    found, angle = turning(first, second, width)

    assert found == pytest.approx(length, abs=1e-4)
    assert degrees(angle) == pytest.approx(at_deg, abs=1e-2)


@rows("least_corridor")
def test_in_its_least_corridor_a_rectangle_just_passes_and_in_one_less_it_does_not(row: list[float]) -> None:
    length, width, first, second = row

    assert longest_mm(first, second, width) == pytest.approx(length, abs=1e-4)
    assert longest_mm(first, second - 0.001, width) < length


def test_a_square_slides_through_corridors_of_its_own_width_though_it_cannot_turn() -> None:
    """Unit square, unit corridors: the turning formula gives 0.828; it slides through."""
    assert turning(1, 1, 1)[0] == pytest.approx(2 * sqrt(2) - 2, abs=1e-4)
    assert longest_mm(1, 1, 1) == 1


@given(st.floats(0.01, 1.0))
def test_no_rectangle_in_unit_corridors_has_more_area_than_one(width: float) -> None:
    """Best rectangle sqrt 2 by sqrt 0.5, area 1; no shape at all may pass 2.8284271 (moving sofa, upper bound)."""
    assert longest_mm(1, 1, width) * width <= 1 + 1e-6 < 2 * sqrt(2)


# --- Standing up, weight ----------------------------------------------------------------------------------------------


@rows("stand_up")
def test_the_ceiling_to_stand_something_up_is_its_diagonal(row: list[float]) -> None:
    height, base, ceiling = row

    assert result("stand-up", height_mm=height, base_mm=base)["needed_mm"] == pytest.approx(ceiling, abs=5e-4)


@rows("force")
def test_a_mass_presses_with_its_published_force(row: list[float]) -> None:
    dry, litres, full, force = row

    found = result("weight", dry_kg=dry, litres=litres, width_mm=1000, depth_mm=1000)

    assert (found["full_kg"], found["kn"]) == (full, pytest.approx(force, abs=1e-3))
    assert found["kn_m2"] == pytest.approx(force, abs=1e-3)


@rows("filled")
def test_a_kilogram_a_litre_is_never_lighter_than_the_water_and_a_tenth_of_a_percent_heavier_at_most(
    row: list[float],
) -> None:
    litres, water = row

    full = result("weight", dry_kg=0, litres=litres, width_mm=550, depth_mm=550)["full_kg"]

    assert water <= full <= water * 1.001


@rows("water")
def test_water_at_no_temperature_weighs_more_than_a_kilogram_a_litre(row: list[float]) -> None:
    """The weight is taken on the cold side, where it is heaviest."""
    _, density = row

    assert density < result("weight", dry_kg=0, litres=1000, width_mm=1000, depth_mm=1000)["full_kg"]


def test_a_cylinder_on_its_own_round_base_and_on_a_board() -> None:
    """300 litres, 62 kg empty: 362 kg, 14.9 kN/m² on 550 mm round, 5.5 on a board of 800 by 800."""
    across = sqrt(pi / 4) * 550  # the square of the same area
    on_base = result("weight", dry_kg=62, litres=300, width_mm=across, depth_mm=across)
    on_board = result("weight", dry_kg=62, litres=300, width_mm=800, depth_mm=800)

    assert on_base["full_kg"] == 362
    assert (round(on_base["kn_m2"], 1), round(on_board["kn_m2"], 1)) == (14.9, 5.5)


@rows("team")
def test_a_team_lifts_what_the_formula_gives(row: list[float]) -> None:
    people, kg = row

    assert team_lifts_kg(ENGLAND, int(people)) == kg


# --- Water and air ----------------------------------------------------------------------------------------------------

CELLS = [
    (row[0], valve, charge, litres)
    for row in DATA["vessel"]["rows"]
    for (valve, charge), litres in zip(DATA["vessel"]["columns"], row[1:], strict=True)
]


@pytest.mark.parametrize(("system", "valve", "charge", "litres"), [
    *CELLS, *((s, v, c, litres) for s, v, c, litres in DATA["vessel"]["more"]),
])  # fmt: skip
def test_every_cell_of_the_vessel_table_comes_out_as_printed(
    system: float, valve: float, charge: float, litres: float
) -> None:
    found = result("vessel", system_l=system, charge_bar=charge, valve_bar=valve)["litres"]

    assert found == pytest.approx(litres, abs=0.06)


def test_the_misprints_of_the_vessel_table_are_told_and_not_followed() -> None:
    last = [litres / system for system, valve, charge, litres in CELLS if (valve, charge) == (2.0, 1.0)]

    assert set(last) == {0.2}
    assert "0.207" in ENGLAND.figure("vessel-table").note
    assert result("vessel", system_l=325, charge_bar=1.0, valve_bar=3.0)["litres"] == pytest.approx(35.4, abs=0.06)


def test_between_the_printed_settings_the_formula_agrees_with_the_printed_factors() -> None:
    """vessel = e C / (1 - P1/P2), e = 0.0492, P2 = setting - 0.35: 3 bar to 0.3 %, all to 0.7 %."""
    for row in ENGLAND.rows("vessel-table"):
        near = result("vessel", system_l=1000, charge_bar=row["charge_bar"] + 1e-9, valve_bar=row["valve_bar"])
        within = 3e-3 if row["valve_bar"] == 3.0 else 7e-3
        assert near["litres"] == pytest.approx(1000 * row["factor"], rel=within)


@rows("below_88")
def test_under_88_degrees_eight_tenths_of_it_do(row: list[float]) -> None:
    system, litres, less = row

    worked = SUMS["vessel"].run({"system_l": system, "charge_bar": 1.0, "valve_bar": 3.0})

    assert worked["result"]["litres"] == pytest.approx(litres, abs=0.06)
    assert f"where the flow stays under 88 °C, 0.8 of it does: {less} litres" in worked["working"]


@rows("air_gap")
def test_an_air_gap_is_20_mm_or_two_bores(row: list[float]) -> None:
    bore, gap = row

    assert result("air-gap", inlet_bore_mm=bore)["gap_mm"] == pytest.approx(gap)


@rows("condensate")
def test_condensate_falls_45_mm_in_each_metre(row: list[float]) -> None:
    length, drop = row

    assert result("condensate", length_m=length)["drop_mm"] == pytest.approx(drop)


@rows("compartment")
def test_a_compartment_has_the_published_openings(row: list[Any]) -> None:
    kw, flue, to, high, low = row

    assert result("compartment-air", kw=kw, flue=flue, to=to) == {"high_cm2": high, "low_cm2": low}


@rows("room_air")
def test_a_room_with_open_flued_appliances_takes_7_kw_off_once(row: list[Any]) -> None:
    every, area = row

    assert room_air_cm2(every, ENGLAND) == pytest.approx(area)


@pytest.mark.parametrize("row", PUBLISHED["published"]["rows"], ids=str)
def test_the_discharge_sum_tries_the_published_examples_and_ends_as_they_do(row: list[Any]) -> None:
    """Approved Document G 2010, worked example, and City & Guilds Textbook: Plumbing, Book 1, p. 416."""
    outlet, length, bends, size, resistance, limit, carries = row

    worked = SUMS["discharge"].run({"outlet": outlet, "length_m": length, "bends": bends})

    line = next(line for line in worked["working"] if line.startswith(f"{size} mm: "))
    assert f"= {resistance} m" in line
    assert (f"within {limit} m" in line) == carries
    assert (worked["result"]["size_mm"] == size) == carries
