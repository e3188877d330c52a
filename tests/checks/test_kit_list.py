"""What a type of system needs and the layout lacks."""

from typing import Any

import pytest

from geometry.check import Finding
from geometry.samples import box_kit, piece
from tests.checks.found import findings, wrong

PARTS = {
    "tundish": ["tundish"], "inlet-valve-group": [], "vessel-a": ["vessel"], "vessel-b": ["vessel"], "filling-loop": [],
    "filter": ["filter"], "wiring-centre": [], "stop-tap": ["stop-tap"], "bypass": [], "cistern": ["cistern"],
}  # fmt: skip
WHOLE = [key for key in PARTS if key not in ("cistern", "bypass")]


def listed(keys: list[str], system: str = "unvented + sealed heating", **room: Any) -> list[Finding]:
    kinds = [box_kit(f"my-{key}", 100, 100, 100, traits=PARTS[key]) for key in keys]
    return findings("kit-list", kinds, [piece(kind, 100 + 150 * k, 100) for k, kind in enumerate(kinds)], system=system,
                    **room)  # fmt: skip


def test_two_missing_things_are_named_and_with_both_nothing_is_missing() -> None:
    without = listed([key for key in WHOLE if key not in ("tundish", "inlet-valve-group")])

    assert [(f.topic, f.verdict) for f in wrong(without)] == [
        ("tundish", "put-right"), ("inlet valve group", "put-right"),
    ]  # fmt: skip
    assert wrong(listed(WHOLE)) == []


def test_one_vessel_for_two_waters_is_asked_about_and_none_is_looked_at_again() -> None:
    one = [f for f in listed([k for k in WHOLE if k != "vessel-b"]) if "vessel" in f.topic]
    none = [f for f in listed([k for k in WHOLE if "vessel" not in k]) if "vessel" in f.topic]

    assert [f.verdict for f in one] == ["not-checked"]
    assert [f.verdict for f in none] == ["look-again", "look-again"]


def test_the_heat_source_s_own_vessel_is_the_heating_s_where_its_size_is_given() -> None:
    one = listed([k for k in WHOLE if k != "vessel-b"], heating={"own_vessel_l": 8})
    none = listed([k for k in WHOLE if "vessel" not in k], heating={"own_vessel_l": 8})

    assert {f.verdict for f in one if "vessel" in f.topic} == {"no-fault"}
    assert [f.topic for f in wrong(none)] == ["expansion vessel for the hot water"]


@pytest.mark.parametrize(("system", "thing", "wanted"), [
    ("vented", "feed cistern", True), ("unvented", "feed cistern", False), ("unvented", "tundish", True),
    ("heat pump", "magnetic filter", True), ("Heat-pump", "magnetic filter", True), ("sealed", "tundish", False),
])  # fmt: skip
def test_a_type_is_read_in_whole_words(system: str, thing: str, wanted: bool) -> None:
    assert (thing in [f.topic for f in listed(["filter"], system)]) == wanted


def test_an_unvented_store_brings_its_needs_whatever_the_system_is_called() -> None:
    store = box_kit("store", traits=["unvented-store"])

    found = findings("kit-list", [store], [piece(store, 1200, 900)])

    missing = next(f for f in wrong(found) if f.topic == "tundish")
    # Approved Document G, 3.55: the discharge should be visible at the tundish
    assert missing.source is not None
    assert (missing.source.clause[:4], missing.source.standing) == ("3.55", "guidance")
    assert [f.topic for f in found if f.verdict == "not-checked"] == ["system"]


@pytest.mark.parametrize("system", ["", "biogas"])
def test_a_type_that_is_not_given_or_not_known_is_asked_for(system: str) -> None:
    (finding,) = listed(["filter"], system)

    assert finding.verdict == "not-checked"
    assert finding.question.startswith("What is the system")


@pytest.mark.parametrize(("system", "asked"), [
    ("S plan", True), ("Y-plan, heat-only boiler", True), ("S-plan, sealed", False), ("Y plan, open vented", False),
    ("S plan, system boiler", False),
])  # fmt: skip
def test_of_a_plan_of_valves_only_sealed_or_open_is_asked(system: str, asked: bool) -> None:
    """S plan and Y plan: a heat-only or system boiler with motorised valves, sealed or open vented."""
    found = listed(WHOLE, system)

    assert [f.topic for f in found if f.topic in ("system", "sealed or open")] == ["sealed or open"] * asked
    assert {"magnetic filter", "wiring centre"} <= {f.topic for f in found}


def test_an_empty_room_is_asked_nothing_until_its_system_is_given() -> None:
    assert listed([], "") == []
    assert len(wrong(listed([], "unvented"))) == 3
