"""The free area of the openings of a room with appliances that burn gas."""

from typing import Any

import pytest

from geometry.check import Finding
from geometry.samples import box_kit, piece
from tests.checks.found import findings, only


def burner(key: str = "boiler", kw: float | None = 24, flue: str | None = "room-sealed") -> dict[str, Any]:
    return box_kit(key, 440, 340, 740, traits=["gas", "hot"], input_kw=kw, flue=flue)


def vents(high: float, low: float, to: str = "room") -> list[dict[str, Any]]:
    return [
        {"id": f"{to}-high", "level_mm": 2200, "free_cm2": high, "to": to},
        {"id": f"{to}-low", "level_mm": 150, "free_cm2": low, "to": to},
    ]


def aired(vented: list[dict[str, Any]], *burners: dict[str, Any], **room: Any) -> list[Finding]:
    kinds = list(burners) or [burner()]
    return findings("compartment-air", kinds, [piece(k, 300 + 500 * i, 1600) for i, k in enumerate(kinds)],
                    vents=vented, **room)  # fmt: skip


@pytest.mark.parametrize(("high", "low", "verdicts", "short"), [
    (240, 240, ["no-fault", "no-fault"], [0, 0]), (239, 240, ["look-again", "no-fault"], [1, 0]),
    (240, 239, ["no-fault", "look-again"], [0, 1]), (300, 300, ["no-fault", "no-fault"], [0, 0]),
])  # fmt: skip
def test_room_sealed_to_a_room_it_is_10_cm2_for_each_kw_high_and_low(
    high: float, low: float, verdicts: list[str], short: list[float]
) -> None:
    """24 kW: 240 cm² each."""
    found = aired(vents(high, low))

    assert [f.verdict for f in found] == verdicts
    assert [f.short for f in found] == short
    assert {f.unit for f in found} == {"cm2"}


def test_an_open_flue_without_enough_air_is_put_right() -> None:
    """15 kW open-flued to the outside: 75 cm² high, 150 cm² low."""
    found = aired(vents(75, 149, "outside"), burner(kw=15, flue="open"))

    assert [(f.topic, f.verdict, f.needed) for f in found] == [("high", "no-fault", 75), ("low", "put-right", 150)]


def test_several_appliances_need_the_air_of_all_of_them() -> None:
    high, low = aired(vents(500, 500), burner("one"), burner("two", 15))

    assert (high.needed, low.needed) == (390, 390)
    assert high.message.startswith("The one and the two need 390 cm²")


def test_openings_to_two_places_are_not_added_up() -> None:
    high, low = aired([*vents(200, 200), *vents(60, 60, "outside")])

    assert (high.found, low.found) == (200, 200)
    assert {high.verdict, low.verdict} == {"look-again"}


@pytest.mark.parametrize(("appliance", "asks"), [
    (burner(kw=None), "what its heat input is"), (burner(flue=None), "whether its flue is room-sealed or open"),
])  # fmt: skip
def test_what_is_not_known_of_the_appliance_is_asked_for(appliance: dict[str, Any], asks: str) -> None:
    finding = only(aired(vents(240, 240), appliance))

    assert finding.verdict == "not-checked"
    assert asks in finding.message


def test_without_openings_the_areas_are_told_and_the_maker_s_word_is_asked_for() -> None:
    finding = only(aired([]))

    assert finding.verdict == "not-checked"
    assert "240 and 240 cm² to another room or 120 and 120 cm² to the outside for 24 kW" in finding.message
    assert finding.question.startswith("How much air does the maker of the boiler ask for in a room of 4.3 m²?")


def test_without_a_ceiling_high_and_low_are_not_known() -> None:
    assert "how high the ceiling is" in only(aired(vents(240, 240), ceiling={})).message


def test_a_room_with_open_flued_appliances_is_told_what_it_wants_as_a_room() -> None:
    """5 cm² for each kW above 7, taken off once: 17 kW 50 cm², 25 and 8 kW 130 cm²."""
    one = aired([], burner(kw=17, flue="open"))
    two = aired([], burner("a", 25, "open"), burner("b", 8, "open"))

    assert "A whole room wants 50 cm²" in one[0].message
    assert all("A whole room wants 130 cm²" in finding.message for finding in two)


def test_a_heat_input_changed_on_the_piece_counts() -> None:
    kind = burner(kw=None)
    known = piece(kind, 1200, 1600, changes={"input_kw": {"value": 30, "basis": "manual"}})

    found = findings("compartment-air", [kind], [known], vents=vents(300, 300))

    assert [f.needed for f in found] == [300, 300]


def test_something_electric_that_is_hot_asks_for_no_air() -> None:
    hot = box_kit("hot", traits=["hot"])

    assert findings("compartment-air", [hot], [piece(hot, 1200, 1600)], vents=vents(1, 1)) == []
