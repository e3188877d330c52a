"""What is shut off in a hurry, from the door."""

from typing import Any

import pytest

from geometry.check import Finding
from geometry.samples import box_kit, piece
from tests.checks.found import findings, only

HANDLE = {"name": "handle", "at_mm": [0, -35, 65], "faces": "front", "tool": "hand", "emergency": True}
TAP = box_kit("tap", 80, 70, 130, name="Stop tap", stands_on="wall", base_mm=200, access=[HANDLE])
DOOR = {"id": "d1", "edge": 0, "from_mm": 100, "clear_mm": 700}
LOW = {"height_mm": 2400, "beams": [
    {"name": "soffit", "area_mm": [[0, 0], [2400, 0], [2400, 1800], [0, 1800]], "soffit_mm": 1300},
]}  # fmt: skip


def tap_at(x: float, y: float, **room: Any) -> Finding:
    """The handle is at (x, y)."""
    return only(findings("emergency-reach", [TAP], [piece(TAP, x, y + 35)], **{"doors": [DOOR], **room}))


def test_a_tap_that_can_be_walked_to_is_no_fault() -> None:
    assert tap_at(2200, 1700).verdict == "no-fault"


@pytest.mark.parametrize(
    ("along", "verdict"), [(689, "no-fault"), (691, "look-again"), (700, "look-again"), (701, "put-right")]
)
def test_under_a_soffit_it_is_measured_from_the_edge_of_the_opening(along: float, verdict: str) -> None:
    """Straight along the wall from the opening's edge at x = 800; 700 can be reached."""
    finding = tap_at(800 + along, 0, ceiling=LOW)

    assert finding.verdict == verdict
    assert finding.found == pytest.approx(along)
    assert finding.short == pytest.approx(max(0.0, along - 700))


def test_out_of_reach_says_how_high_it_is_there() -> None:
    finding = tap_at(1900, 900, ceiling=LOW)

    assert finding.message.endswith("The headroom there is 1,300 mm.")
    assert finding.found == pytest.approx((1100**2 + 900**2) ** 0.5)


def test_a_straight_line_does_not_start_outside_beside_the_door() -> None:
    """A person outside, beside the opening, is nearer to the tap through the wall than the door's edge is."""
    assert tap_at(1800, 20, ceiling=LOW).found == pytest.approx((1000**2 + 20**2) ** 0.5)


def test_what_is_no_emergency_is_not_asked_about() -> None:
    plain = {**TAP, "access": [{**HANDLE, "emergency": False}]}

    assert findings("emergency-reach", [plain], [piece(plain, 1200, 1735)], doors=[DOOR]) == []


def test_without_a_door_it_is_asked_for() -> None:
    finding = tap_at(1200, 1700, doors=[])

    assert finding.verdict == "not-checked"
    assert finding.question
