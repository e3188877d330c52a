"""How many people lift each piece: 25 kg one, 50 kg two, more with three or an aid; 10 kg alone above the shoulder."""

from typing import Any

import pytest

from geometry.check import Finding
from geometry.samples import box_kit, piece
from tests.checks.found import findings, only


def lifted(dry_kg: float | None, hold: str = "fixed", base_mm: float = 0, **kit: Any) -> list[Finding]:
    kind = box_kit("boiler", 440, 360, 720, dry_kg=dry_kg, **kit)
    return findings("lifting", [kind], [piece(kind, 1200, 1620, hold=hold, base_mm=base_mm)])


@pytest.mark.parametrize(("kg", "verdict", "who"), [
    (25, "no-fault", "one person lifts it"), (25.1, "no-fault", "two people lift it"),
    (38, "no-fault", "two people lift it"), (50, "no-fault", "two people lift it"),
    (50.1, "look-again", "three people or an aid lift it"), (65, "look-again", "three people or an aid lift it"),
    (65.1, "look-again", "three people and an aid lift it"), (100, "look-again", "three people and an aid lift it"),
])  # fmt: skip
def test_the_weight_says_who_lifts_it(kg: float, verdict: str, who: str) -> None:
    finding = only(lifted(kg))

    assert finding.verdict == verdict
    assert who in finding.message
    assert finding.unit == "kg"


@pytest.mark.parametrize(("base", "kg", "who"), [
    (1400, 25, "one person"), (1401, 10, "one person"), (1401, 10.1, "two people"), (1401, 25, "two people"),
])  # fmt: skip
def test_above_the_shoulder_nobody_lifts_more_than_10_kg_alone(base: float, kg: float, who: str) -> None:
    assert who in only(lifted(kg, base_mm=base, stands_on="wall")).message


def test_the_heaviest_lift_of_something_that_comes_apart_counts() -> None:
    assert only(lifted(105, carry={"ways": ["parts"], "kg": 35})).found == 35


@pytest.mark.parametrize(("carried_kg", "found"), [(62, 49), (35, 35)])
def test_a_weight_read_from_the_manual_is_what_is_lifted_unless_it_comes_apart(carried_kg: float, found: float) -> None:
    kind = box_kit("cylinder", dry_kg=62, carry={"ways": ["upright"], "kg": carried_kg})
    read = {"dry_kg": {"value": 49, "basis": "manual", "note": "page 11"}}

    assert only(findings("lifting", [kind], [piece(kind, 1200, 900, changes=read)])).found == found


def test_an_unknown_weight_is_asked_for() -> None:
    finding = only(lifted(None))

    assert finding.verdict == "not-checked"
    assert finding.question == "What does the heaviest part of the boiler weigh, drained?"


def test_something_that_slides_out_is_not_lifted() -> None:
    assert lifted(70, hold="movable") == []


def test_the_limits_are_the_room_s_own_where_it_has_them() -> None:
    kind = box_kit("boiler", dry_kg=38)
    own = [{"key": "lift-alone", "value": 40, "note": "a strong crew"}]

    finding = only(findings("lifting", [kind], [piece(kind, 1200, 1500)], overrides=own))

    assert "one person lifts it" in finding.message
    assert finding.source is not None and finding.source.standing == "own figure"
