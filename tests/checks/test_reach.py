"""Whether an arm reaches each access point from floor that a person can get to."""

from typing import Any

import pytest

from geometry.check import Finding
from geometry.samples import box_kit, piece
from tests.checks.found import Data, findings, only, wrong

DOOR = {"id": "d1", "edge": 0, "from_mm": 1500, "clear_mm": 800}


def tap(name: str = "tap", x: float = 0, z: float = 200, faces: str = "front", tool: str = "hand") -> Data:
    y = {"front": -150, "behind": 150}.get(faces, 0)
    return {"name": name, "at_mm": [x, y, z], "faces": faces, "tool": tool}


def pump(*taps: Data, **more: Any) -> Data:
    return box_kit("pump", 300, 300, 400, access=list(taps or (tap(),)), **more)


def behind_a_bench(deep: float, high: float, *taps: Data, hold: str = "fixed", base: float = 0) -> list[Finding]:
    """A pump on the back wall and a bench right across the room before it."""
    kind, bench = pump(*taps), box_kit("bench", 2400, deep, high)
    pieces = [piece(kind, 1200, 1650), piece(bench, 1200, 1500 - deep / 2, hold=hold, base_mm=base)]
    return findings("reach", [kind, bench], pieces, doors=[DOOR])


def test_a_point_in_front_of_free_floor_is_reached() -> None:
    finding = only(findings("reach", [pump()], [piece(pump(), 1200, 1650)], doors=[DOOR]))

    assert finding.verdict == "no-fault"
    assert finding.message == "The tap of the pump can be reached."
    assert finding.found == 0


@pytest.mark.parametrize(
    ("deep", "verdict"),
    [(624, "no-fault"), (626, "look-again"), (635, "look-again"), (637, "put-right")],
)
def test_a_bench_to_reach_over_may_be_as_deep_as_an_arm_is_long(deep: float, verdict: str) -> None:
    """635 can be reached; 625 to 635 is inside the survey tolerance. The tap is as high as the bench."""
    found = only(behind_a_bench(deep, 200, tap(z=300)))

    assert found.verdict == verdict
    assert found.found == pytest.approx(deep, abs=0.5)


def test_out_of_reach_is_told_with_what_is_missing() -> None:
    finding = only(behind_a_bench(900, 200, tap(z=300)))

    assert (finding.needed, finding.found, finding.short) == pytest.approx((635, 900, 265), abs=0.5)
    assert finding.message == (
        "The tap of the pump is 900 mm from where a person can stand; an arm reaches 635 mm at most."
    )


def test_what_is_solid_at_the_height_of_the_point_is_in_the_way_of_the_arm() -> None:
    finding = only(behind_a_bench(400, 900))

    assert finding.verdict == "put-right"
    assert finding.against == ("bench",)
    assert finding.message == (
        "The tap of the pump cannot be reached: the bench is in the way of the arm. Move the pump or the bench."
    )


def test_what_only_touches_the_line_of_the_arm_is_not_in_its_way() -> None:
    """The bench's top is 40, half a hand, below the tap."""
    assert only(behind_a_bench(400, 160)).verdict == "no-fault"
    assert only(behind_a_bench(400, 162)).verdict == "put-right"


def test_what_can_be_moved_is_named_as_what_to_move_first() -> None:
    finding = only(behind_a_bench(400, 900, hold="movable"))

    assert finding.verdict == "look-again"
    assert finding.against == ("bench",)
    assert finding.message == "The tap of the pump can be reached once the bench is moved: move the bench first."


def test_points_that_fail_for_one_reason_are_told_together_with_the_worst() -> None:
    every = [tap("drain"), tap("valve", x=-140), tap("gauge", x=100), tap("vent", z=390), tap("plug", x=50)]

    finding = only(behind_a_bench(900, 150, *every))

    assert "4 more of its points are out of reach too." in finding.message
    assert finding.title == "5 points of the pump are out of reach"


def test_points_that_fail_for_different_reasons_stay_apart() -> None:
    """The drain is behind the bench, the vent over it is reached, the plug faces the wall."""
    wall_pump = box_kit("pump", 300, 300, 1100, access=[tap("drain"), tap("vent", z=1050), tap("plug", faces="behind")])
    bench = box_kit("bench", 2400, 400, 900)
    pieces = [piece(wall_pump, 1200, 1650), piece(bench, 1200, 1300)]

    told = {f.topic: f for f in findings("reach", [wall_pump, bench], pieces, doors=[DOOR])}

    assert "vent" in told[""].message
    assert told["blocked"].pieces == ("pump",)
    assert {f.verdict for f in told.values()} == {"no-fault", "put-right"}


def test_both_points_of_a_piece_that_are_reached_are_told_in_one_line() -> None:
    kind = pump(tap("left tap", x=-100), tap("right tap", x=100))

    finding = only(findings("reach", [kind], [piece(kind, 1200, 1650)], doors=[DOOR]))

    assert finding.message == "Both points of the pump can be reached."


@pytest.mark.parametrize(("level", "verdict"), [(2000, "no-fault"), (2001, "look-again")])
def test_overhead_a_step_is_needed(level: float, verdict: str) -> None:
    kind = box_kit("vent", 100, 300, 200, stands_on="wall", base_mm=level - 100, access=[tap(z=100)])

    finding = only(findings("reach", [kind], [piece(kind, 1200, 1650)], doors=[DOOR]))

    assert finding.verdict == verdict
    assert finding.topic == ("step" if verdict == "look-again" else "")
    assert finding.title.startswith("Vent: the tap is too high to reach without a step") == (verdict == "look-again")


def test_the_button_of_an_alarm_overhead_is_pressed_with_a_stick() -> None:
    """An alarm belongs high up: nobody is asked to bring it within an arm's reach."""
    button = tap("test button", z=20)
    alarm = box_kit("alarm", 120, 120, 40, stands_on="ceiling", base_mm=2300, access=[button], traits=["alarm"])

    finding = only(findings("reach", [alarm], [piece(alarm, 1200, 900)], doors=[DOOR]))

    assert finding.verdict == "no-fault"
    assert finding.message.endswith("2,320 mm up: an alarm belongs high, and a stick presses it.")


def low_room(level: float, soffit: float) -> Finding:
    """A pump in the far half of a room whose far half is only so high."""
    soffits = [{"name": "soffit", "area_mm": [[0, 600], [2400, 600], [2400, 1800], [0, 1800]], "soffit_mm": soffit}]
    kind = pump(tap(z=level))
    ceiling = {"height_mm": 2400, "beams": soffits}
    return only(findings("reach", [kind], [piece(kind, 1200, 1650)], doors=[DOOR], ceiling=ceiling))


@pytest.mark.parametrize(
    ("level", "soffit", "verdict"),
    [(300, 1400, "no-fault"), (300, 1399, "put-right"), (300, 1950, "no-fault")],
)
def test_a_low_point_is_reached_kneeling_where_there_is_headroom_for_that(
    level: float, soffit: float, verdict: str
) -> None:
    assert low_room(level, soffit).verdict == verdict


def test_a_point_behind_the_body_against_a_wall_is_not_reached() -> None:
    kind = pump(tap(faces="behind"))

    finding = only(findings("reach", [kind], [piece(kind, 1200, 1640)], doors=[DOOR]))

    assert finding.verdict == "put-right"


def test_a_point_on_the_side_is_reached_past_the_front_corner() -> None:
    kind = pump(tap(x=150, faces="right"))

    assert only(findings("reach", [kind], [piece(kind, 1200, 1650)], doors=[DOOR])).verdict == "no-fault"


def test_with_no_floor_at_all_it_says_so() -> None:
    fill = box_kit("fill", 2400, 1500, 1500)
    pieces = [piece(pump(), 1200, 1650), piece(fill, 1200, 750)]
    door = {**DOOR, "head_mm": 1300}

    finding = only(wrong(findings("reach", [pump(), fill], pieces, doors=[door])))

    assert finding.message == "The tap of the pump has no floor in front of it that anybody can get to."
    assert finding.found is None


def test_what_is_only_looked_at_needs_no_arm() -> None:
    kind = pump(tap(tool="eye"))

    assert findings("reach", [kind], [piece(kind, 1200, 1650)], doors=[DOOR]) == []


def test_without_a_door_it_is_asked_for() -> None:
    finding = only(findings("reach", [pump()], [piece(pump(), 1200, 1650)]))

    assert finding.verdict == "not-checked"
    assert finding.question
