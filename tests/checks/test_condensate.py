"""Condensate: a way that falls 45 mm in each metre, 19 mm inside in the house, 30 mm and 3 m outside, a good end."""

from typing import Any

import pytest

from geometry.samples import box_kit, piece
from tests.checks.drain_room import RUN_M, START_MM, about, drained, hung, outlet, pipe
from tests.checks.found import findings

DRAWN = {"via_mm": []}


@pytest.mark.parametrize(
    ("mm_m", "verdict"), [(44, "put-right"), (44.9, "put-right"), (45, "no-fault"), (46, "no-fault")]
)
@pytest.mark.parametrize("drawn", [True, False])
def test_it_falls_45_mm_in_each_metre_drawn_or_found(mm_m: float, verdict: str, drawn: bool) -> None:
    level = START_MM - mm_m * RUN_M
    pipes = [pipe("condensate", **(DRAWN if drawn else {}))]

    finding = about(drained("condensate", level, pipes=pipes), "fall")

    assert finding.verdict == verdict
    assert finding.needed == pytest.approx(45 * RUN_M)
    assert finding.short == pytest.approx(max(0, 45 - mm_m) * RUN_M)


def test_inside_the_survey_tolerance_the_fall_is_measured_again() -> None:
    kind = hung("condensate")

    found = findings(
        "condensate", [kind], [piece(kind, 1200, 1620)], outlets=[outlet("condensate", START_MM - 45 * RUN_M - 9)]
    )

    assert about(found, "fall").verdict == "look-again"


def test_a_stretch_that_rises_is_put_right_however_low_the_outlet_is() -> None:
    via = [[1300, 1620, 800], [1800, 1620, 830]]

    finding = about(drained("condensate", 500, pipes=[pipe("condensate", via_mm=via)]), "stretch")

    assert finding.verdict == "put-right"
    assert finding.found == -30
    assert "rises 30 mm" in finding.message


def test_a_drawn_pipe_that_goes_through_kit_is_put_right() -> None:
    chest, kind = box_kit("chest", 400, 400, 1400), hung("condensate")

    found = findings(
        "condensate", [chest, kind], [piece(chest, 1900, 1600), piece(kind, 1200, 1620, id="boiler")],
        outlets=[outlet("condensate", 900)], pipes=[pipe("condensate", **DRAWN)],
    )  # fmt: skip

    assert about(found, "way").message == "The condensate pipe of the boiler as drawn goes through the chest."


def test_an_outlet_above_the_port_is_named_with_the_height() -> None:
    finding = about(drained("condensate", START_MM + 120), "fall")

    assert finding.verdict == "put-right"
    assert finding.short == 170  # 1.1 m at 45 mm/m is 49.5 mm, with 120 mm to the port
    assert finding.message == (
        "The condensate pipe of the boiler cannot fall to the gully: that is 170 mm too high. "
        "Lower the outlet, or raise the boiler."
    )


@pytest.mark.parametrize(
    ("bore", "verdict"), [(18, "put-right"), (18.9, "put-right"), (19, "no-fault"), (20, "no-fault")]
)
def test_in_the_house_it_is_19_mm_inside(bore: float, verdict: str) -> None:
    finding = about(drained("condensate", pipes=[pipe("condensate", bore_mm=bore)]), "size")

    assert (finding.verdict, finding.short) == (verdict, pytest.approx(max(0, 19 - bore)))


@pytest.mark.parametrize(
    ("size", "verdict"), [(15, "put-right"), (21.5, "no-fault"), (22, "no-fault"), (32, "no-fault")]
)
def test_without_a_bore_the_size_it_is_sold_as_tells_it(size: float, verdict: str) -> None:
    assert about(drained("condensate", pipes=[pipe("condensate", size_mm=size)]), "size").verdict == verdict


def test_a_size_nobody_sells_is_asked_about_and_one_below_19_is_too_thin_whatever_its_wall() -> None:
    odd, thin = (about(drained("condensate", pipes=[pipe("condensate", size_mm=s)]), "size") for s in (25, 17))

    assert (odd.verdict, thin.verdict) == ("not-checked", "put-right")
    assert odd.question.startswith("What is the inside diameter of the condensate pipe of the boiler")


def outside(**more: Any) -> list[Any]:
    return drained("condensate", end=outlet("condensate", 900, **more), pipes=[pipe("condensate", bore_mm=19)])


@pytest.mark.parametrize(
    ("run", "verdict"), [(2900, "no-fault"), (3000, "no-fault"), (3001, "put-right"), (3100, "put-right")]
)
def test_at_most_3_m_lie_outside(run: float, verdict: str) -> None:
    finding = about(outside(outside_run_mm=run, outside_bore_mm=30), "outside")

    assert (finding.verdict, finding.short) == (verdict, max(0, run - 3000))


@pytest.mark.parametrize(("bore", "verdict"), [(29, "put-right"), (30, "no-fault"), (None, "not-checked")])
def test_outside_it_is_30_mm_inside_and_asked_about_where_that_is_not_known(bore: float | None, verdict: str) -> None:
    more = {} if bore is None else {"outside_bore_mm": bore}

    assert about(outside(outside_run_mm=1000, **more), "size outside").verdict == verdict


def test_a_pipe_that_is_wide_enough_all_the_way_needs_no_other_outside() -> None:
    end = outlet("condensate", 900, outside_run_mm=1000)

    found = drained("condensate", end=end, pipes=[pipe("condensate", bore_mm=30)])

    assert about(found, "size outside").verdict == "no-fault"


def test_a_pipe_that_stays_inside_is_not_asked_about_the_outside() -> None:
    assert [f.topic for f in outside() if "outside" in f.topic] == []


def test_in_a_room_that_is_not_heated_the_whole_pipe_counts_as_outside() -> None:
    end = outlet("condensate", 900, outside_run_mm=2000, outside_bore_mm=30)

    found = drained("condensate", end=end, pipes=[pipe("condensate", bore_mm=19)], heated=False)

    assert about(found, "outside").found == pytest.approx(3100)
    assert about(found, "outside").verdict == "put-right"
    assert (about(found, "size").needed, about(found, "size").verdict) == (30, "put-right")


@pytest.mark.parametrize(("ends", "verdict"), [
    ("gully", "no-fault"), ("stack", "no-fault"), ("roof", "look-again"), ("low-level", "look-again"),
    ("internal-stack", "not-checked"), ("hopper", "not-checked"), ("unknown", "not-checked"),
])  # fmt: skip
def test_where_it_ends_is_judged_or_asked(ends: str, verdict: str) -> None:
    finding = about(outside(ends=ends), "end place")

    assert finding.verdict == verdict
    assert bool(finding.question) == (verdict == "not-checked")


@pytest.mark.parametrize(("away", "verdict"), [(499, "look-again"), (500, "no-fault")])
def test_a_soakaway_is_half_a_metre_from_the_house(away: float, verdict: str) -> None:
    finding = about(outside(ends="soakaway", outside_run_mm=away, outside_bore_mm=30), "end place")

    assert (finding.verdict, finding.short) == (verdict, 500 - away)


def test_an_outlet_that_is_not_for_condensate_is_put_right() -> None:
    end = outlet("condensate", 900, takes=["hot-discharge"])

    found = drained("condensate", end=end, pipes=[pipe("condensate")])

    assert about(found, "outlet").verdict == "put-right"


def test_without_an_outlet_it_is_asked_where_the_pipe_goes() -> None:
    found = drained("condensate", end=outlet("condensate", 900, takes=[]))

    assert about(found, "outlet").question == "Where does the condensate pipe of the boiler go?"


def test_a_pump_below_takes_condensate_like_an_outlet_and_its_own_ports_are_not_judged() -> None:
    kind = hung("condensate")
    into = {"name": "inlet", "medium": "condensate", "size_mm": 28, "at_mm": [0, 0, 180], "faces": "above"}
    pump = box_kit("pump", 230, 130, 180, traits=["pump"], port=[into])

    found = findings("condensate", [kind, pump], [piece(kind, 1200, 1620), piece(pump, 1900, 1700)])

    assert {f.pieces for f in found} == {("boiler",)}
    assert about(found, "fall").verdict == "no-fault"
    assert about(found, "fall").found == START_MM - 180


@pytest.mark.parametrize(("x", "told"), [(1500, True), (2300, False)])
def test_a_pipe_that_turns_right_round_is_looked_at_again(x: float, told: bool) -> None:
    via = [[1300, 1620, 1100], [2000, 1620, 1060], [x, 1620, 1030]]

    topics = {finding.topic for finding in drained("condensate", pipes=[pipe("condensate", via_mm=via)])}

    assert ("condensate, turns back" in topics) == told
