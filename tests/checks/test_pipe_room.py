"""Room for the first bend of each pipe."""

from typing import Any

import pytest

from geometry.check import Finding
from geometry.samples import box_kit, piece, round_kit
from tests.checks.found import Data, findings, only, wrong


def port(name: str = "cold", size: float = 22, faces: str = "behind", at: Any = (0, 275, 150), **more: Any) -> Data:
    return {"name": name, "medium": "cold", "size_mm": size, "at_mm": list(at), "faces": faces, **more}


def behind(gap: float, *ports: Data, **more: Any) -> list[Finding]:
    """A cylinder that leaves so much behind it."""
    cylinder = round_kit("cylinder", port=list(ports or (port(),)))
    return findings("pipe-room", [cylinder], [piece(cylinder, 1200, 1525 - gap, **more)])


@pytest.mark.parametrize(
    ("gap", "verdict", "short"),
    [(30, "look-again", 70), (99, "look-again", 1), (100, "look-again", 0), (110, "no-fault", 0)],
)
def test_a_22_elbow_wants_100(gap: float, verdict: str, short: float) -> None:
    """Common practice: 22 wants about 100 behind; 30 there is short 70."""
    finding = only(behind(gap))

    assert finding.verdict == verdict
    assert (finding.short or 0) == pytest.approx(short)


def test_the_message_names_the_pipe_and_what_is_in_its_way() -> None:
    assert only(behind(30)).message == (
        "The cold pipe of the cylinder needs 100 mm for its first bend; the back wall leaves 30 mm."
    )


@pytest.mark.parametrize(("name", "called"), [("in", "inlet"), ("out", "outlet"), ("hot", "hot pipe")])
def test_ends_that_are_named_in_and_out_are_called_inlet_and_outlet(name: str, called: str) -> None:
    assert only(behind(30, port(name))).message.startswith(f"The {called} of the cylinder needs")


@pytest.mark.parametrize("trait", ["appliance", "cupboard"])
def test_pipes_that_bend_inside_what_they_serve_want_no_room_outside_it(trait: str) -> None:
    sink = box_kit("sink", 600, 560, 870, traits=[trait], port=[port(at=(0, 280, 450))])

    assert findings("pipe-room", [sink], [piece(sink, 1200, 1520)]) == []


def test_turning_the_cylinder_cures_it() -> None:
    assert only(behind(30, turn_deg=180)).verdict == "no-fault"


@pytest.mark.parametrize(("size", "needed"), [(15, 70), (28, 120), (35, 150), (54, 200)])
def test_larger_pipes_want_more(size: float, needed: float) -> None:
    assert only(behind(0, port(size=size))).needed == needed


def test_a_port_straight_on_the_wall_has_nothing_left() -> None:
    assert "the back wall leaves nothing" in only(behind(0)).message


def test_pipes_stopped_by_the_same_thing_are_told_together() -> None:
    finding = only(wrong(behind(30, port("cold"), port("hot", at=(60, 270, 900)), port("return", faces="front"))))

    assert finding.message.endswith("The hot pipe has too little there too.")


def test_a_port_under_a_boiler_looks_down() -> None:
    boiler = box_kit("boiler", 440, 340, 740, stands_on="wall", base_mm=900, port=[port(faces="below", at=(0, 0, 0))])
    top = box_kit("counter", 600, 400, 40, stands_on="wall", base_mm=780)
    pieces = [piece(boiler, 1200, 1630), piece(top, 1200, 1600)]

    finding = only(findings("pipe-room", [boiler, top], pieces))

    assert finding.against == ("counter",)
    assert finding.found == pytest.approx(80)


def test_the_floor_and_the_ceiling_count() -> None:
    low = box_kit("box", 300, 300, 300, stands_on="wall", base_mm=60, port=[port(faces="below", at=(0, 0, 0))])
    high = box_kit("box", 300, 300, 300, stands_on="wall", base_mm=2050, port=[port(faces="above", at=(0, 0, 300))])

    down, up = (only(findings("pipe-room", [kind], [piece(kind, 1200, 1650)])) for kind in (low, high))

    assert (down.against, down.found) == (("floor",), pytest.approx(60))
    assert (up.against, up.found) == (("ceiling",), pytest.approx(50))


def test_what_can_be_moved_is_named_as_what_to_move_first() -> None:
    cylinder, bin_ = round_kit("cylinder", port=[port(faces="front", at=(0, -275, 150))]), box_kit("bin", 300, 300)
    pieces = [piece(cylinder, 1200, 1200), piece(bin_, 1200, 735, hold="movable")]

    finding = only(findings("pipe-room", [cylinder, bin_], pieces))

    assert finding.verdict == "look-again"
    assert finding.message.endswith("It can be moved: move the bin first.")


def test_hoses_cables_and_flues_bend_by_themselves() -> None:
    ports = [port("drain hose"), port("flue", medium="flue"), port("cable", medium="cable")]

    assert behind(0, *ports) == []


def test_pipes_with_room_are_told_in_one_line() -> None:
    finding = only(behind(300, port("cold"), port("hot", at=(60, 270, 900))))

    assert finding.message == "Both pipes of the cylinder have room for the first bend."
