"""Overflow and warning pipes of cisterns: a constant fall, the bore, the size it is sold in, a pipe for each tank."""

from typing import Any

import pytest

from geometry.check import Finding
from geometry.samples import box_kit, piece
from tests.checks.drain_room import RUN_M, START_MM, about, drained, hung, outlet, pipe
from tests.checks.found import findings

TANK: dict[str, Any] = {"traits": ["cistern"], "water_l": 230}


def of_tank(level_mm: float = 900, litres: float | None = 230, size_mm: float = 22, **more: Any) -> list[Finding]:
    return drained("overflow", level_mm, kit=hung("overflow", size_mm, traits=["cistern"], water_l=litres), **more)


@pytest.mark.parametrize(("mm_m", "verdict"), [(4, "put-right"), (4.9, "put-right"), (5, "no-fault"), (6, "no-fault")])
def test_it_falls_all_the_way_as_a_discharge_pipe_does(mm_m: float, verdict: str) -> None:
    """Fall 1 in 200, 5 mm a metre."""
    finding = about(of_tank(START_MM - mm_m * RUN_M), "fall")

    assert finding.verdict == verdict
    assert finding.short == pytest.approx(max(0, 5 - mm_m) * RUN_M)


@pytest.mark.parametrize(("bore", "verdict"), [(18, "put-right"), (19, "no-fault"), (20, "no-fault")])
def test_a_small_tank_wants_19_mm_inside(bore: float, verdict: str) -> None:
    assert about(of_tank(pipes=[pipe("overflow", bore_mm=bore)]), "size").verdict == verdict


@pytest.mark.parametrize(("litres", "needed"), [(999, 19), (1000, 25), (None, 19)])
def test_from_1000_litres_on_it_is_25_mm_inside(litres: float | None, needed: float) -> None:
    assert about(of_tank(litres=litres, size_mm=40), "size").needed == needed


@pytest.mark.parametrize(("rules", "size", "verdict"), [
    ("england", 21.5, "look-again"), ("england", 22, "no-fault"), ("scotland", 32, "look-again"),
    ("scotland", 38, "no-fault"), ("scotland", 40, "no-fault"),
])  # fmt: skip
def test_scotland_has_a_larger_overflow_kit(rules: str, size: float, verdict: str) -> None:
    """38 mm under the Scottish byelaws, 22 mm in England and Wales."""
    finding = about(of_tank(size_mm=size, rules=rules), "kit")

    assert finding.verdict == verdict


def test_the_level_of_the_water_is_asked_for() -> None:
    finding = about(of_tank(), "water level")

    assert finding.verdict == "not-checked"
    assert "25 mm below the overflow" in finding.question


@pytest.mark.parametrize(("level", "verdict", "found"), [
    (714, "no-fault", 75), (764, "no-fault", 25), (764.5, "put-right", 24.5), (800, "put-right", -11),
])  # fmt: skip
def test_water_stands_25_mm_below_the_lowest_part_of_the_overflow(level: float, verdict: str, found: float) -> None:
    """25 mm: Water Supply (Water Fittings) guidance for cisterns under 1,000 litres. Overflow middle 800, bore 22."""
    over = {"name": "overflow", "medium": "overflow", "size_mm": 22, "at_mm": [100, 0, 800], "faces": "right"}
    tank = box_kit("boiler", 440, 360, 900, port=[over], water_level_mm=level, **TANK)
    room = {"outlets": [outlet("overflow", 300)], "pipes": [pipe("overflow", bore_mm=22)], "tolerance_mm": 0}
    finding = about(findings("overflow", [tank], [piece(tank, 1200, 1500, id="boiler")], **room), "water level")

    assert finding.verdict == verdict
    assert finding.found == pytest.approx(found)


def test_the_hose_of_something_that_is_no_cistern_only_has_to_fall() -> None:
    found = drained("overflow", kit=hung("overflow", 13))

    assert [finding.topic for finding in found] == ["overflow, fall"]


def test_two_tanks_on_one_pipe_are_told_to_have_two() -> None:
    one, other = (hung("overflow", **TANK) | {"key": key, "name": key} for key in ("tank-a", "tank-b"))
    pipes = [pipe("overflow", **{"id": f"x{key}", "from": {"piece": key, "port": "overflow"}}) for key in ("a", "b")]

    found = findings(
        "overflow", [one, other], [piece(one, 700, 1620, id="a"), piece(other, 1300, 1620, id="b")], pipes=pipes,
        outlets=[outlet("overflow", 900)],
    )  # fmt: skip

    (shared,) = [finding for finding in found if finding.topic == "own pipe"]
    assert (shared.verdict, shared.pieces, shared.against) == ("look-again", ("a", "b"), ("o1",))


def test_a_tank_without_an_outlet_is_asked_about_and_one_without_an_overflow_says_nothing() -> None:
    dry = box_kit("dry", traits=["cistern"])

    assert about(of_tank(end=outlet("overflow", 900, takes=[])), "outlet").verdict == "not-checked"
    assert findings("overflow", [dry], [piece(dry, 600, 1500)]) == []
