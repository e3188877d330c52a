from math import sqrt

import pytest

from geometry.check import Finding
from geometry.samples import box_kit, piece, round_kit
from tests.checks.found import Data, findings, only, wrong

TANK = box_kit("tank", 600, 400, 800)
PUMP = box_kit("pump", 300, 300, 500)
DRUM = round_kit("drum", 500, 1000)
CORNER: Data = {
    "key": "corner", "name": "Corner", "height_mm": 700,
    "plan": {"outline_mm": [[0, 0], [600, 0], [600, 300], [300, 300], [300, 600], [0, 600]]},
}  # fmt: skip


def overlaps(kinds: list[Data], pieces: list[Data]) -> list[Finding]:
    return findings("body-overlap", kinds, pieces)


def pair(gap: float, turn_deg: float = 0, base_mm: float = 0) -> list[Data]:
    """A tank, and a pump to its right with a gap between them (negative: an overlap)."""
    return [piece(TANK, 600, 900), piece(PUMP, 900 + gap + 150, 900, turn_deg, base_mm=base_mm)]


def test_pieces_apart_share_no_space() -> None:
    found = overlaps([TANK, PUMP], pair(100))

    assert [(f.verdict, f.pieces) for f in found] == [("no-fault", ("pump",)), ("no-fault", ("tank",))]
    assert found[0].message == "Pump shares no space with other kit."


def test_pieces_that_touch_share_no_space() -> None:
    assert wrong(overlaps([TANK, PUMP], pair(0))) == []


@pytest.mark.parametrize(("gap", "faults"), [(-0.4, 0), (-0.5, 0), (-0.6, 1)])
def test_rounding_is_no_overlap_and_more_is(gap: float, faults: int) -> None:
    assert len(wrong(overlaps([TANK, PUMP], pair(gap)))) == faults


def test_the_depth_is_reported_without_allowance() -> None:
    finding = only(wrong(overlaps([TANK, PUMP], pair(-50.25))))

    assert (finding.verdict, finding.needed, finding.found, finding.short) == ("put-right", 0, -50.25, 50.25)
    assert finding.message == "The pump and the tank stand in the same place: 50 mm deep in plan, 500 mm in height."
    assert (finding.pieces, finding.unit) == (("pump", "tank"), "mm")


def test_pieces_over_each_other_share_plan_but_no_height() -> None:
    assert wrong(overlaps([TANK, PUMP], pair(-200, base_mm=800))) == []
    assert wrong(overlaps([TANK, PUMP], pair(-200, base_mm=799.6))) == []


def test_the_shared_height_is_given_too() -> None:
    finding = only(wrong(overlaps([TANK, PUMP], pair(-200, base_mm=750))))

    assert finding.message.endswith("200 mm deep in plan, 50 mm in height.")
    assert finding.where is not None
    assert (finding.where.from_mm, finding.where.to_mm) == (750, 800)


def test_the_place_drawn_is_the_shared_plan() -> None:
    finding = only(wrong(overlaps([TANK, PUMP], pair(-50))))

    assert finding.where is not None
    assert sorted(finding.where.area_mm) == [(850, 750), (850, 1050), (900, 750), (900, 1050)]


def test_round_bodies_are_true_circles() -> None:
    apart = [piece(DRUM, 600, 900, id="a"), piece(DRUM, 600 + 353.6, 900 + 353.6, id="b")]
    near = [piece(DRUM, 600, 900, id="a"), piece(DRUM, 950, 1250, id="b")]

    assert wrong(overlaps([DRUM], apart)) == []
    assert only(wrong(overlaps([DRUM], near))).short == pytest.approx(500 - 350 * sqrt(2))


def test_a_turned_box_meets_with_its_corner() -> None:
    # a box of 300 turned by 45 degrees reaches 150 sqrt(2) from its middle
    assert wrong(overlaps([TANK, PUMP], pair(63, 45))) == []
    assert only(wrong(overlaps([TANK, PUMP], pair(50, 45)))).short == pytest.approx(150 * sqrt(2) - 200)


def test_what_sticks_out_is_as_solid_as_the_body() -> None:
    tailed = {**PUMP, "sticks_out": [{"side": "left", "mm": 90, "from_mm": 100, "to_mm": 200, "what": "tail"}]}
    finding = only(wrong(overlaps([TANK, tailed], pair(50))))

    assert finding.short == 40
    assert (
        finding.message == "The pump's tail and the tank stand in the same place: 40 mm deep in plan, 100 mm in height."
    )


def test_one_pair_is_one_finding_with_its_deepest_overlap() -> None:
    tailed = {**PUMP, "sticks_out": [{"side": "left", "mm": 90, "what": "tail"}]}
    finding = only(wrong(overlaps([TANK, tailed], pair(-30))))

    assert finding.short == 120


def test_three_in_one_place_are_three_findings() -> None:
    pieces = [piece(TANK, 1200, 900, id=name) for name in "abc"]

    assert [f.pieces for f in wrong(overlaps([TANK], pieces))] == [("a", "b"), ("a", "c"), ("b", "c")]


def test_a_piece_in_the_hollow_of_a_corner_unit_does_not_overlap_it() -> None:
    inside = [piece(CORNER, 1000, 900), piece(PUMP, 1150, 1050)]

    assert wrong(overlaps([CORNER, PUMP], inside)) == []
    assert only(wrong(overlaps([CORNER, PUMP], [inside[0], piece(PUMP, 1140, 1050)]))).short == pytest.approx(10)


def test_spaces_may_share_floor() -> None:
    spaced = {**TANK, "space": [{"side": "front", "mm": 600}]}
    facing = [piece(spaced, 600, 1500), piece(spaced, 600, 600, 180, id="other")]

    assert wrong(overlaps([spaced], facing)) == []


def test_a_movable_piece_overlaps_like_any_other() -> None:
    movable = [pair(-50)[0], {**pair(-50)[1], "hold": "movable"}]

    assert only(wrong(overlaps([TANK, PUMP], movable))).verdict == "put-right"


def test_kit_in_a_wall_or_a_fixture_is_not_the_affair_of_this_check() -> None:
    fixture = {"id": "f1", "name": "boxing", "area_mm": [[0, 0], [900, 0], [900, 900], [0, 900]], "to_mm": 2000}

    assert wrong(findings("body-overlap", [TANK], [piece(TANK, 100, 500)], fixtures=[fixture])) == []
