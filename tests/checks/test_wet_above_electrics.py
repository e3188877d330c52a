"""Electrics under water joints: under wet kit, and how much of it is where the tails are."""

from typing import Any

import pytest

from geometry.check import Finding
from geometry.samples import box_kit, piece
from tests.checks.found import findings, only, wrong


def hung(x: float = 1000, base: float = 1200, wet_base: float = 1600, **wet: Any) -> list[Finding]:
    """A wet box 100 wide at x = 900, a wiring centre 240 wide at x; both on the back wall."""
    drips = box_kit("valve", 100, 80, 130, stands_on="wall", traits=["wet"], **wet)
    centre = box_kit("centre", 240, 55, 140, name="Wiring centre", stands_on="wall", traits=["electrical"])
    pieces = [piece(drips, 900, 1760, base_mm=wet_base), piece(centre, x, 1772, base_mm=base)]
    return findings("wet-above-electrics", [drips, centre], pieces)


@pytest.mark.parametrize(("x", "short"), [(1000, 70), (1069, 1), (1070, None), (1071, None), (731, 1), (730, None)])
def test_it_is_under_as_far_as_it_has_to_move_aside_and_beside_it_is_clear(x: float, short: float | None) -> None:
    finding = only(hung(x))

    assert (finding.verdict, finding.short) == (("put-right", short) if short else ("no-fault", None))


def test_above_the_wet_kit_it_is_clear() -> None:
    assert only(hung(900, base=1800)).verdict == "no-fault"


def test_the_part_in_the_pipe_space_is_told() -> None:
    """Tails for 200 below 1,600; the centre reaches from 1,310 to 1,450: 50 of it."""
    below = [{"side": "below", "mm": 200}]

    finding = only(hung(base=1310, space=below))

    assert finding.message.endswith("50 mm of it is in the pipe space.")


def test_what_sticks_out_of_wet_kit_drips_too() -> None:
    pipe = {"side": "right", "mm": 100, "what": "pipe"}

    assert [f.short for f in wrong(hung(1100, sticks_out=[pipe]))] == [pytest.approx(70)]


def test_two_dry_things_one_over_the_other_say_nothing_against_it() -> None:
    shelf = box_kit("shelf", 600, 300, 40, stands_on="wall")
    centre = box_kit("centre", 240, 55, 140, stands_on="wall", traits=["electrical"])

    found = findings("wet-above-electrics", [shelf, centre], [piece(shelf, 900, 1650, base_mm=1800),
                     piece(centre, 900, 1772, base_mm=1200)])  # fmt: skip

    assert only(found).verdict == "no-fault"
