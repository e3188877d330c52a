"""Whether the vessels drawn, and the heat source's own, are enough for the water in the system."""

from typing import Any

import pytest

from geometry.check import Finding
from geometry.samples import piece, round_kit
from tests.checks.found import findings, only


def vessel(litres: float, key: str = "v") -> dict[str, Any]:
    return round_kit(key, 280, 410, name="Vessel", water_l=litres, traits=["vessel"])


def found(*litres: float, heating: dict[str, float] | None = None, store: bool = False, **room: Any) -> list[Finding]:
    kinds = [vessel(size, f"v{k}") for k, size in enumerate(litres)]
    if store:
        kinds.append(round_kit("store", traits=["unvented-store"]))
    places = [piece(kind, 300 + 500 * k, 1500) for k, kind in enumerate(kinds)]
    return findings("vessel", kinds, places, heating=heating or {}, **room)


@pytest.mark.parametrize(("litres", "verdict", "short"), [
    (10.8, "put-right", 0.1), (10.9, "no-fault", 0), (12, "no-fault", 0),
])  # fmt: skip
def test_100_litres_at_1_bar_under_3_bar_need_10_9(litres: float, verdict: str, short: float) -> None:
    """BS 5449 table as reprinted by makers: factor 0.109."""
    finding = only(found(litres, heating={"system_l": 100}))

    assert (finding.verdict, finding.short) == (verdict, pytest.approx(short))
    assert finding.needed == pytest.approx(10.9)


def test_the_heat_source_s_own_vessel_counts() -> None:
    assert only(found(heating={"system_l": 100, "own_vessel_l": 12})).verdict == "no-fault"
    assert only(found(heating={"system_l": 200, "own_vessel_l": 12})).short == pytest.approx(21.8 - 12)


def test_what_is_missing_is_told_with_what_makes_it_up() -> None:
    """110 litres at 0.109 are 11.99; the heat source's own 8 leave 3.99 to find."""
    finding = only(found(heating={"system_l": 110, "own_vessel_l": 8}))

    assert finding.message == (
        "The heating holds 110 litres: at 1 bar under a 3 bar valve it needs a vessel of 12.0 litres; "
        "8.0 litres are there. One more of 4 litres makes it up. "
        "About 12 litres on the return, away from the boiler, is usual."
    )


def test_what_is_known_of_the_heat_source_is_not_asked_again() -> None:
    assert "own vessel" in only(found(18)).question
    assert only(found(18, heating={"own_vessel_l": 8})).question == "How many litres does the heating system hold?"


def test_charge_and_valve_of_the_room_file_win_over_the_usual_ones() -> None:
    """0.156 at 1.5 bar under 3 bar."""
    finding = only(found(12, heating={"system_l": 100, "charge_bar": 1.5, "valve_bar": 3}))

    assert (finding.verdict, finding.needed) == ("put-right", pytest.approx(15.6))


def test_a_charge_above_what_the_valve_leaves_is_put_right_in_words() -> None:
    finding = only(found(12, heating={"system_l": 100, "charge_bar": 2.8, "valve_bar": 3}))

    assert finding.verdict == "put-right"
    assert "Lower the charge" in finding.message


@pytest.mark.parametrize(("sizes", "verdict"), [((10,), "put-right"), ((12,), "not-checked"), ((12, 18), "no-fault")])
def test_beside_an_unvented_store_one_of_the_vessels_may_be_the_hot_water_s(
    sizes: tuple[float, ...], verdict: str
) -> None:
    finding = only(found(*sizes, heating={"system_l": 100}, store=True))

    assert finding.verdict == verdict


def test_without_the_system_s_litres_the_most_is_told_and_the_question_put() -> None:
    finding = only(found(18, system="sealed heating"))

    assert finding.verdict == "not-checked"
    assert "about 165 litres" in finding.message
    assert finding.question.startswith("How many litres")


def test_a_sealed_system_without_a_vessel_is_asked_about_and_an_open_one_says_nothing() -> None:
    assert only(found(system="sealed heating")).verdict == "not-checked"
    assert found(system="vented") == []


@pytest.mark.parametrize(("name", "verdict"), [
    ("Vessel 2", "not-checked"), ("Hot water vessel", "put-right"), ("Potable vessel", "put-right"),
])  # fmt: skip
def test_a_vessel_that_is_called_the_hot_water_s_is_left_out_of_the_sum(name: str, verdict: str) -> None:
    """The heating's 200 litres need 21.8; 12 and 18 litres are there, with an unvented store."""
    kinds = [vessel(12, "v0"), vessel(18, "v1"), round_kit("store", traits=["unvented-store"])]
    places = [piece(kinds[0], 300, 1500), piece(kinds[1], 800, 1500, name=name), piece(kinds[2], 1500, 1500)]

    finding = only(findings("vessel", kinds, places, heating={"system_l": 200}))

    assert finding.verdict == verdict
    assert finding.found == (30 if verdict == "not-checked" else 12)


def test_with_the_hot_water_s_vessel_named_the_rest_is_enough_without_a_question() -> None:
    kinds = [vessel(25, "v0"), vessel(18, "v1"), round_kit("store", traits=["unvented-store"])]
    places = [
        piece(kinds[0], 300, 1500),
        piece(kinds[1], 800, 1500, name="Hot water vessel"),
        piece(kinds[2], 1500, 1500),
    ]

    assert only(findings("vessel", kinds, places, heating={"system_l": 200})).verdict == "no-fault"
