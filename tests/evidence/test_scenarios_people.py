"""The two worked scenarios against the checks of people and of ways: walking, reaching, seeing, carrying out.

All data is invented. Expected values are those of the scenarios' own tables, each beside its test.
"""

import pytest

from geometry.check import Finding
from geometry.checking import check_room
from geometry.room import Room
from tests.evidence.test_scenarios import AS_DRAWN, FIXED, cupboard, measures, near, only, piece, shed

Findings = tuple[Finding, ...]


def found(room: Room) -> Findings:
    return check_room(room).findings


def about(findings: Findings, check: str, piece_id: str) -> list[Finding]:
    """What one check says of one piece, alone or with others."""
    return [f for f in findings if f.check == check and piece_id in f.pieces]


def one(findings: Findings, check: str, piece_id: str, topic: str) -> Finding:
    (finding,) = [f for f in about(findings, check, piece_id) if f.topic == topic]
    return finding


# --- The cupboard under the stairs ------------------------------------------------------------------------------------


def with_tap_at(pieces: list[dict[str, object]], x: float, y: float, turn: float) -> Room:
    """The cupboard with the stop tap placed so that its handle, 95 in front of its middle, is at a point."""
    dx, dy = {0: (0, 95), 90: (-95, 0)}[int(turn)]
    tap = piece("D4", "stop-tap", x + dx, y + dy, turn=turn, base=150)
    return cupboard([p for p in pieces if p["id"] != "D4"] + [tap])


def test_the_stop_tap_is_440_too_far_from_the_door_and_the_headroom_there_is_868() -> None:
    """D4 reach from the opening's edge (800, 0) to (1,700, 700): 1,140 of 700, short 440; headroom 868."""
    finding = only(found(with_tap_at(AS_DRAWN, 1700, 700, 0)), "emergency-reach", "D4")

    assert finding.verdict == "put-right"
    assert measures(finding) == near(700, 1140, 440)
    assert "The headroom there is 868 mm." in finding.message


def test_the_mended_stop_tap_is_504_from_the_door() -> None:
    """D4 to (60, 500): 504 from the opening, spare 196."""
    finding = only(found(with_tap_at(FIXED, 60, 500, 90)), "emergency-reach", "D4")

    assert finding.verdict == "no-fault"
    assert measures(finding) == near(700, 504, 0)


@pytest.fixture(scope="module")
def mended() -> Findings:
    return found(cupboard(FIXED))


def test_in_the_mended_cupboard_everything_is_reached(mended: Findings) -> None:
    """All checked, 0 red."""
    assert {f.verdict for f in mended if f.check in ("reach", "emergency-reach")} == {"no-fault"}
    assert [f.message for f in mended if f.verdict == "put-right"] == []


def test_in_the_mended_cupboard_one_bends_down_to_the_kit(mended: Findings) -> None:
    """Soffit 2,300 - 0.8421 x: nowhere beyond x = 475 does a person stand upright, so the way is low, not barred."""
    ways = [f for f in mended if f.check == "walkway" and f.verdict != "no-fault"]

    assert {f.verdict for f in ways} == {"look-again"}
    assert {f.topic for f in ways} == {"headroom", "aside"}


def test_the_hydraulic_box_can_be_carried_out_of_the_cupboard(mended: Findings) -> None:
    """38 kg, 400 x 360 x 720, through 680 by 1,900."""
    assert only(mended, "way-out", "D1").verdict == "no-fault"


def test_the_pipes_of_the_mended_cupboard_have_room_to_bend(mended: Findings) -> None:
    assert {f.verdict for f in mended if f.check == "pipe-room"} == {"no-fault"}


# --- The plant shed ---------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def shed_drawn() -> Findings:
    return found(shed())


@pytest.fixture(scope="module")
def shed_fixed() -> Findings:
    return found(shed(machines="fixed"))


def test_the_gangway_is_445_at_the_cylinder(shed_fixed: Findings) -> None:
    """600 wanted, 445 there, short 155."""
    finding = one(shed_fixed, "walkway", "E2", "")

    assert finding.verdict == "put-right"
    assert measures(finding) == near(600, 445, 155)
    assert set(finding.against) == {"E2", "E5"}


def test_the_gangway_is_365_at_the_first_accumulator(shed_fixed: Findings) -> None:
    """600 wanted, 365 there, short 235; it is the way to everything beyond it as well."""
    finding = one(shed_fixed, "walkway", "E3", "")

    assert finding.verdict == "put-right"
    assert measures(finding) == near(600, 365, 235)
    assert set(finding.against) == {"E3", "E6"}
    assert {"E4", "E7"} <= set(finding.pieces)


def test_machines_marked_movable_make_the_gangway_a_matter_of_moving_them_first(shed_drawn: Findings) -> None:
    cylinder, accumulator = (one(shed_drawn, "walkway", p, "move-first") for p in ("E2", "E3"))

    assert {cylinder.verdict, accumulator.verdict} == {"look-again"}
    assert measures(cylinder) == near(600, 445, 155)
    assert measures(accumulator) == near(600, 365, 235)


def test_the_gangway_drawn_as_the_customers_own_space_is_taken_by_155_and_235() -> None:
    """Wanted 600 before the machines, y 660 to 1,260: the cylinder stands 155 into it, the accumulator 235."""
    data = shed().model_dump(mode="json", by_alias=True)
    gangway = {"id": "g", "name": "gangway", "area_mm": [[0, 660], [3000, 660], [3000, 1260], [0, 1260]], "to_mm": 1900}
    room = Room.model_validate({**data, "keep_free": [gangway]})

    taken = {f.pieces[0]: f.short for f in found(room) if f.check == "keep-free" and f.pieces[0] in ("E2", "E3")}

    assert taken == {"E2": pytest.approx(155), "E3": pytest.approx(235)}


def test_the_cylinder_is_trapped_at_a_gap_of_446_between_machine_and_boiler(shed_fixed: Findings) -> None:
    """E2 way out with E5 in: the gap between E5's corner and E1's corner is 446, the cylinder 550."""
    finding = only(shed_fixed, "way-out", "E2")

    assert finding.verdict == "put-right"
    assert measures(finding) == near(550, 446, 104)
    assert set(finding.against) == {"E1", "E5"}


def test_the_cylinder_is_out_once_the_first_machine_is_pulled(shed_drawn: Findings) -> None:
    finding = only(shed_drawn, "way-out", "E2")

    assert finding.verdict == "look-again"
    assert finding.against == ("E5",)
    assert measures(finding) == near(550, 446, 104)


def test_the_first_accumulator_is_trapped_with_both_machines_in_and_out_with_them_pulled(
    shed_fixed: Findings, shed_drawn: Findings
) -> None:
    """E3: trapped with both in; out with them pulled, the cylinder still in place."""
    assert only(shed_fixed, "way-out", "E3").verdict == "put-right"
    pulled = only(shed_drawn, "way-out", "E3")
    assert pulled.verdict == "look-again"
    assert pulled.against == ("E5", "E6")


def test_the_second_accumulator_is_out_past_the_first_once_the_machines_are_pulled(shed_drawn: Findings) -> None:
    finding = only(shed_drawn, "way-out", "E4")

    assert finding.verdict == "look-again"
    assert finding.against == ("E5", "E6")


def test_the_boiler_is_out(shed_drawn: Findings, shed_fixed: Findings) -> None:
    assert {only(findings, "way-out", "E1").verdict for findings in (shed_drawn, shed_fixed)} == {"no-fault"}


def test_with_the_machines_gone_every_way_out_passes() -> None:
    gone = found(shed(without=("E5", "E6")))

    assert {f.verdict for f in gone if f.check == "way-out"} == {"no-fault"}


def test_every_machine_that_is_moved_first_can_leave_in_its_turn(shed_drawn: Findings) -> None:
    """Nothing has to be moved that cannot leave: the first machine is free, the second once the first is gone."""
    assert only(shed_drawn, "way-out", "E5").verdict == "no-fault"
    assert only(shed_drawn, "way-out", "E6").against == ("E5",)
    assert not [f for f in shed_drawn if f.check == "fitting-order" and f.verdict != "no-fault"]


def test_the_cylinder_can_be_tipped_up_at_its_place(shed_drawn: Findings) -> None:
    """1,911 against a roof of 2,062 at its back, spare 151."""
    finding = only(shed_drawn, "stand-up", "E2")

    assert finding.verdict == "no-fault"
    assert finding.needed == pytest.approx(1911, abs=1)
    assert finding.found == pytest.approx(2062, abs=1)


def test_with_the_first_machine_out_the_way_past_the_cylinder_is_1105() -> None:
    """Take E5 out: the way past E2 becomes 1,105; the 365 at E3 stays."""
    mended = found(shed(opens="out", without=("E5",)))

    assert [f.verdict for f in about(mended, "walkway", "E2")] == ["no-fault"]
    assert only(mended, "service-space", "E2", side="front").found == pytest.approx(1105, abs=1)
    assert measures(one(mended, "walkway", "E3", "move-first")) == near(600, 365, 235)


def test_the_365_is_cured_by_moving_the_second_machine() -> None:
    """Moved towards the door it frees the accumulator; what is left of the way is then the gap between its corner
    (820, 660) and the boiler's (750, 1,080): 425.8."""
    mended = found(shed(opens="out", without=("E5", "E7"), E6={"at_mm": [1120, 360]}))

    assert measures(one(mended, "walkway", "E3", "move-first")) == near(600, 425.8, 174.2)
    assert only(mended, "service-space", "E3", side="front").verdict == "no-fault"


def test_the_inward_door_sweeps_the_place_before_the_boiler_and_the_rehung_one_does_not(shed_drawn: Findings) -> None:
    rehung = found(shed(opens="out"))

    assert one(shed_drawn, "walkway", "E1", "leaf").verdict == "look-again"
    assert not [f for f in rehung if f.check == "walkway" and f.topic == "leaf"]
