"""Heights at which switches and meters are worked."""

from typing import Any

import pytest

from geometry.check import Finding
from geometry.samples import box_kit, piece
from tests.checks.found import findings, only

SWITCH = {"name": "main switch", "at_mm": [0, -60, 100], "faces": "front", "tool": "hand", "emergency": True}


def unit(level: float, trait: str = "consumer-unit", access: Any = (SWITCH,), **room: Any) -> list[Finding]:
    """A unit whose point 100 above its base is at that level."""
    kind = box_kit("unit", 360, 115, 240, stands_on="wall", base_mm=level - 100, access=list(access), traits=[trait])
    return findings("height-band", [kind], [piece(kind, 1200, 1742)], **room)


@pytest.mark.parametrize(
    ("level", "verdict", "short"),
    [
        (1349, "look-again", 1), (1350, "look-again", 0), (1360, "no-fault", 0), (1400, "no-fault", 0),
        (1441, "look-again", 0), (1450, "look-again", 0), (1451, "look-again", 1),
    ],
)  # fmt: skip
def test_the_switches_of_a_consumer_unit_are_from_1350_to_1450(level: float, verdict: str, short: float) -> None:
    """Source: Approved Document M, volume 1, 1.18 b."""
    finding = only(unit(level))

    assert finding.verdict == verdict
    assert finding.short == pytest.approx(short)


def test_on_the_edge_passes_when_the_survey_has_no_tolerance() -> None:
    assert [only(unit(level, tolerance_mm=0)).verdict for level in (1350, 1450)] == ["no-fault", "no-fault"]


def test_too_high_and_too_low_say_by_how_much() -> None:
    high, low = only(unit(1620)), only(unit(900))

    assert (high.needed, high.found, high.short) == pytest.approx((1450, 1620, 170))
    assert (low.needed, low.found, low.short) == pytest.approx((1350, 900, 450))
    assert "170 mm too high: the band for new dwellings is 1,350 to 1,450 mm; elsewhere a custom." in high.message
    assert "450 mm too low" in low.message


def test_two_switches_at_one_height_are_told_together() -> None:
    pair = [SWITCH, {**SWITCH, "name": "circuit switch"}]

    finding = only(unit(1500, access=pair))

    assert finding.message.endswith("So is its main switch.") or finding.message.endswith("So is its circuit switch.")


def test_a_meter_outside_a_standard_that_is_only_typical_is_looked_at_again() -> None:
    """Source: BS 8300:2001, 10.5.2, meters 1,200 to 1,400."""
    found = [only(unit(level, trait="meter-board")).verdict for level in (1199, 1300, 1401)]

    assert found == ["look-again", "no-fault", "look-again"]


def test_where_no_point_is_marked_the_first_counts() -> None:
    plain = {**SWITCH, "name": "cover", "emergency": False}

    assert only(unit(1620, access=[plain])).verdict == "look-again"


def test_a_rooms_own_band_takes_the_place_of_the_packs() -> None:
    own = [{"key": "height-consumer-unit", "value": [1200, 1700], "note": "agreed with the owner"}]

    finding = only(unit(1620, overrides=own))

    assert finding.verdict == "no-fault"
    assert finding.source is not None
    assert finding.source.standing == "own figure"


def test_a_rooms_own_band_is_put_right_and_is_nobodys_custom() -> None:
    own = [{"key": "height-consumer-unit", "value": [1200, 1400], "note": "agreed with the owner"}]

    finding = only(unit(1450, overrides=own))

    assert finding.verdict == "put-right"
    assert finding.message.endswith("50 mm too high: the band is 1,200 to 1,400 mm.")


def test_kit_without_a_band_is_left_alone() -> None:
    assert unit(1620, trait="pump") == []
