"""The customer's own space."""

from typing import Any

import pytest

from geometry.check import Finding
from geometry.samples import box_kit, piece, round_kit
from tests.checks.found import findings, only

RACK = {"id": "k1", "name": "boot rack", "area_mm": [[0, 0], [700, 0], [700, 500], [0, 500]], "to_mm": 900}
TANK = box_kit("tank")


def tank_at(x: float, *, kept: Any = RACK, **more: Any) -> Finding:
    """A tank 600 by 400, its left side at x - 300."""
    return only(findings("keep-free", [TANK], [piece(TANK, x, 250, **more)], keep_free=[kept]))


@pytest.mark.parametrize(("x", "depth"), [(1000.6, 0), (1000, 0), (999.6, 0), (999, 1), (900, 100)])
def test_touching_is_free_and_a_millimetre_is_not(x: float, depth: float) -> None:
    finding = tank_at(x)

    assert finding.verdict == ("put-right" if depth else "no-fault")
    assert finding.short == pytest.approx(depth)


def test_the_message_names_both_and_says_how_deep() -> None:
    assert tank_at(900).message == "The tank stands 100 mm into the place for the boot rack."


def test_what_can_be_moved_is_looked_at_again() -> None:
    finding = tank_at(900, hold="movable")

    assert finding.verdict == "look-again"
    assert finding.message.endswith("It can be moved: move the tank first.")


def test_what_hangs_above_the_place_does_not_take_it() -> None:
    assert tank_at(900, base_mm=900).verdict == "no-fault"
    assert tank_at(900, base_mm=899).verdict == "put-right"


def test_what_sticks_out_takes_it_too() -> None:
    kind = box_kit("tank", sticks_out=[{"side": "left", "mm": 90, "what": "overflow"}])

    finding = only(findings("keep-free", [kind], [piece(kind, 1050, 250)], keep_free=[RACK]))

    assert finding.short == pytest.approx(40)


def test_something_built_in_is_a_question_of_measuring_again() -> None:
    stack = {"id": "f1", "name": "boxed stack", "area_mm": [[0, 0], [150, 0], [150, 150], [0, 150]], "to_mm": 2400}

    finding = only(findings("keep-free", [], [], keep_free=[RACK], fixtures=[stack]))

    assert finding.verdict == "look-again"
    assert finding.message.endswith("It is built in: measure the place for the boot rack again.")


def test_a_gangway_is_kept_free_like_any_other_place() -> None:
    """A gangway of 600 with 445 left at a cylinder: it stands 155 into it."""
    gangway = {"id": "g", "name": "gangway", "area_mm": [[0, 660], [2400, 660], [2400, 1260], [0, 1260]], "to_mm": 1900}
    cylinder = round_kit("cylinder", 550, 1500)

    finding = only(findings("keep-free", [cylinder], [piece(cylinder, 1150, 1380)], keep_free=[gangway]))

    assert finding.short == pytest.approx(155)
