"""Pairs that are kept apart, gas pipes, alarms and batteries; each boundary end to end through a room."""

from math import hypot
from typing import Any

import pytest

from geometry.check import Finding
from geometry.samples import box_kit, piece, round_kit
from tests.checks.found import findings, only

GAS_METER = box_kit("gas", 300, 200, 400, name="Gas meter", stands_on="wall", traits=["gas", "meter"])
ELECTRIC = ["electrical", "sparks"]


def kind(key: str, traits: list[str], width: float = 300, depth: float = 200, height: float = 400,
         **more: Any) -> dict[str, Any]:  # fmt: skip
    return box_kit(key, width, depth, height, traits=traits, stands_on=more.pop("stands_on", "wall"), **more)


def apart(kinds: list[dict[str, Any]], pieces: list[dict[str, Any]], **room: Any) -> list[Finding]:
    return findings("keep-apart", kinds, pieces, **{"tolerance_mm": 0, **room})


def beside(traits: list[str], gap: float, dz: float = 0, **room: Any) -> Finding:
    """The gas meter at x = 500, another box of its size so far to its right, and so much higher."""
    other = kind("other", traits)
    pieces = [piece(GAS_METER, 500, 1700, base_mm=600), piece(other, 800 + gap, 1700, base_mm=600 + dz)]
    return next(f for f in apart([GAS_METER, other], pieces, **room) if f.topic == "gas-meter-to-electrical")


@pytest.mark.parametrize(
    ("gap", "verdict"), [(0, "put-right"), (100, "put-right"), (149, "put-right"), (150, "no-fault"), (151, "no-fault")]
)
@pytest.mark.parametrize("traits", [ELECTRIC, ["electrical", "meter"]])
def test_a_gas_meter_keeps_150_mm_from_electrics_that_spark_and_from_a_meter(
    traits: list[str], gap: float, verdict: str
) -> None:
    finding = beside(traits, gap)

    assert (finding.verdict, finding.found, finding.short) == (verdict, gap, max(0, 150 - gap))


def test_other_electrics_beside_it_are_only_looked_at_again() -> None:
    assert beside(["electrical"], 149).verdict == "look-again"


def test_the_distance_is_the_true_one_over_height_too() -> None:
    """90 across and 520 - 400 = 120 up: 150."""
    assert beside(ELECTRIC, 90, dz=520).found == pytest.approx(hypot(90, 120))
    assert beside(ELECTRIC, 90, dz=520).verdict == "no-fault"
    assert beside(ELECTRIC, 90, dz=519).verdict == "put-right"


def test_inside_the_survey_tolerance_it_is_measured_again() -> None:
    assert beside(ELECTRIC, 155, tolerance_mm=10).verdict == "look-again"


def test_the_room_s_own_distance_counts_and_says_so() -> None:
    own = [{"key": "gas-meter-to-electrical", "value": 100, "note": "supplier's letter"}]

    finding = beside(ELECTRIC, 120, overrides=own)

    assert finding.verdict == "no-fault"
    assert finding.source is not None and finding.source.standing == "own figure"
    assert "100 mm instead of 150 mm" in finding.source.clause


BOILER = kind("boiler", ["gas", "hot"], sticks_out=[{"side": "above", "mm": 300, "what": "flue turret"}])


@pytest.mark.parametrize(("gap", "verdict"), [(299, "put-right"), (300, "no-fault"), (301, "no-fault")])
def test_a_gas_meter_keeps_300_mm_from_a_flue_that_sticks_out(gap: float, verdict: str) -> None:
    """Meter top 1,000; the turret of the boiler beside it, 300 wide, begins there."""
    pieces = [piece(BOILER, 1200, 1700, base_mm=600), piece(GAS_METER, 900 - gap, 1700, base_mm=900)]

    found = apart([GAS_METER, BOILER], pieces)

    (finding,) = [f for f in found if f.topic == "gas-meter-to-flue"]
    assert (finding.verdict, finding.found) == (verdict, gap)


@pytest.mark.parametrize(("gap", "verdict"), [(299, "put-right"), (300, "no-fault")])
def test_the_way_of_a_flue_to_its_terminal_counts(gap: float, verdict: str) -> None:
    """The flue, 100 mm, runs level at 2,000 from over the boiler (x = 600) to the right wall at y = 1,700."""
    port = {"name": "flue", "medium": "flue", "size_mm": 100, "at_mm": [0, 0, 400], "faces": "above"}
    burner = kind("burner", ["gas", "hot"], port=[port])
    flue = {"id": "t1", "piece": "burner", "edge": 1, "along_mm": 1700, "level_mm": 2000}
    pieces = [piece(burner, 600, 1700, base_mm=600), piece(GAS_METER, 1800, 1700, base_mm=1950 - 400 - gap)]

    found = apart([GAS_METER, burner], pieces, flues=[flue])

    (finding,) = [f for f in found if f.topic == "gas-meter-to-flue"]
    assert (finding.verdict, finding.found) == (verdict, pytest.approx(gap))


def piped(other: dict[str, Any], gap: float, **room: Any) -> list[Finding]:
    """A gas pipe of 22 mm, level at 500 along y = 1,000; the other thing so far behind it, at the same height."""
    port = {"name": "gas", "medium": "gas", "size_mm": 22, "at_mm": [0, 0, 0], "faces": "below"}
    burner = kind("burner", ["gas"], port=[port])
    pipe = {"id": "g1", "medium": "gas", "from": {"piece": "burner", "port": "gas"}, "to": "o1",
            "via_mm": [[300, 1000, 500], [2300, 1000, 500]]}  # fmt: skip
    pieces = [piece(burner, 300, 1000, base_mm=1500), piece(other, 1300, 1011 + gap + 100, base_mm=400)]
    ends = [{"id": "o1", "name": "meter box", "at_mm": [2400, 1000], "level_mm": 500},
            {"id": "o2", "name": "cable hole", "at_mm": [2000, 0], "level_mm": 500}]  # fmt: skip
    return apart([burner, other], pieces, pipes=[pipe, *room.pop("pipes", [])], outlets=ends, **room)


@pytest.mark.parametrize(("key", "traits", "needed"), [
    ("my-consumer-unit", ELECTRIC, 150), ("electric-meter", ["electrical", "meter"], 150),
    ("main-switch", ["electrical"], 150), ("socket", ELECTRIC, 25), ("switch", ["electrical"], 25),
])  # fmt: skip
@pytest.mark.parametrize("less", [0, 1])
def test_a_gas_pipe_keeps_its_distance_by_what_the_other_thing_is(
    key: str, traits: list[str], needed: float, less: float
) -> None:
    finding = only(piped(kind(key, traits), needed - less))

    assert finding.verdict == ("put-right" if less else "no-fault")
    assert (finding.needed, finding.found) == (needed, pytest.approx(needed - less))


def test_where_the_older_edition_is_worked_to_switches_keep_150_mm_too() -> None:
    own = [{"key": "gas-pipe-to-switch", "value": 150, "note": "edition of 2005"}]

    assert only(piped(kind("switch", ["electrical"]), 149, overrides=own)).short == pytest.approx(1)


@pytest.mark.parametrize(("gap", "verdict"), [(24, "put-right"), (25, "no-fault")])
def test_a_gas_pipe_keeps_25_mm_from_a_cable(gap: float, verdict: str) -> None:
    """The cable, 10 mm, level at 500 along y = 1,000 - 11 - gap - 5."""
    port = {"name": "tail", "medium": "cable", "size_mm": 10, "at_mm": [0, 0, 0], "faces": "below"}
    unit, y = kind("unit", [], port=[port]), 1000 - 16 - gap
    cable = {"id": "c1", "medium": "cable", "from": {"piece": "unit", "port": "tail"}, "to": "o2",
             "via_mm": [[1300, 600, 500], [1300, y, 500], [2000, y, 500]]}  # fmt: skip

    found = piped(unit, -600, pipes=[cable])

    assert only(found).message.endswith(f"{gap} mm from the cable of the unit; 25 mm is needed.")
    assert only(found).verdict == verdict


def test_gas_pipes_that_are_not_drawn_are_asked_about_where_there_are_electrics() -> None:
    port = {"name": "gas", "medium": "gas", "size_mm": 22, "at_mm": [0, 0, 0], "faces": "below"}
    burner, unit = kind("burner", ["gas"], port=[port]), kind("unit", ELECTRIC)

    alone = apart([burner], [piece(burner, 300, 1000)])
    beside_electrics = apart([burner, unit], [piece(burner, 300, 1000), piece(unit, 1500, 1000)])

    assert alone == []
    assert only(beside_electrics).verdict == "not-checked"


@pytest.mark.parametrize(("trait", "asked"), [
    ("consumer-unit", "Does every gas pipe keep 150 mm from the board, and 25 mm from cables?"),
    ("socket", "Does every gas pipe keep 25 mm from cables?"),
])  # fmt: skip
def test_the_question_of_a_gas_pipe_names_only_what_is_on_the_plan(trait: str, asked: str) -> None:
    port = {"name": "gas", "medium": "gas", "size_mm": 22, "at_mm": [0, 0, 0], "faces": "below"}
    burner, board = kind("burner", ["gas"], port=[port]), kind("board", [*ELECTRIC, trait])

    finding = only(apart([burner, board], [piece(burner, 300, 1000), piece(board, 1500, 1000)]))

    assert finding.question == asked


HOT = kind("boiler", ["gas", "hot"], stands_on="floor")
ALARM = box_kit("alarm", 120, 45, 70, name="CO alarm", stands_on="wall", traits=["alarm"])


def ring(away: float, **room: Any) -> Finding:
    """The middle of the alarm so far in front of the boiler, whose front is at y = 500, in a room 6 m deep."""
    outline = [[0, 0], [2400, 0], [2400, 6000], [0, 6000]]
    pieces = [piece(HOT, 1200, 600), piece(ALARM, 1200, 700 + away, base_mm=2150)]
    found = apart([HOT, ALARM], pieces, outline_mm=outline, **room)
    return next(f for f in found if f.topic == "alarm-ring")


@pytest.mark.parametrize(("away", "verdict", "short"), [
    (750, "put-right", 250), (999, "put-right", 1), (1000, "no-fault", 0), (1350, "no-fault", 0), (3000, "no-fault", 0),
    (3001, "put-right", 1), (3200, "put-right", 200),
])  # fmt: skip
def test_an_alarm_is_1_to_3_m_from_the_boiler_measured_across(away: float, verdict: str, short: float) -> None:
    finding = ring(away)

    assert (finding.verdict, finding.found, finding.short) == (verdict, pytest.approx(away), pytest.approx(short))


def test_of_several_alarms_the_best_placed_counts() -> None:
    pieces = [piece(HOT, 1200, 200), piece(ALARM, 1200, 700, id="near"), piece(ALARM, 1200, 1700, id="good")]

    finding = next(f for f in apart([HOT, ALARM], pieces) if f.topic == "alarm-ring")

    assert finding.pieces == ("good", "boiler")


def test_a_boiler_without_an_alarm_is_asked_about_and_something_that_does_not_burn_is_not() -> None:
    cold = kind("cold", ["hot"])

    assert only(apart([HOT], [piece(HOT, 1200, 600)])).verdict == "not-checked"
    assert apart([cold], [piece(cold, 1200, 600)]) == []


@pytest.mark.parametrize(("below", "verdict"), [(149, "put-right"), (150, "no-fault"), (151, "no-fault")])
def test_on_a_wall_an_alarm_hangs_150_mm_below_the_ceiling(below: float, verdict: str) -> None:
    finding = only(apart([ALARM], [piece(ALARM, 1200, 1777.5, base_mm=2400 - below - 70)]))

    assert (finding.topic, finding.verdict, finding.found) == ("alarm-ceiling", verdict, below)


def test_under_a_slope_the_lowest_place_over_the_alarm_counts() -> None:
    """2,400 at y = 1,000 falling to 1,600 at y = 1,800: over the alarm's back (y = 1,800) 1,600."""
    slope = {"name": "slope", "area_mm": [[0, 1000], [2400, 1000], [2400, 1800], [0, 1800]],
             "through_mm": [[0, 1000, 2400], [2400, 1000, 2400], [0, 1800, 1600]]}  # fmt: skip

    finding = only(apart([ALARM], [piece(ALARM, 1200, 1777.5, base_mm=1400)], ceiling={"slopes": [slope]}))

    assert finding.found == pytest.approx(130)
    assert finding.verdict == "put-right"


def test_without_a_measured_ceiling_its_height_is_asked_for() -> None:
    finding = only(apart([ALARM], [piece(ALARM, 1200, 1777.5, base_mm=2000)], ceiling={}))

    assert finding.verdict == "not-checked"


@pytest.mark.parametrize(("from_wall", "verdict"), [(299, "put-right"), (300, "no-fault"), (301, "no-fault")])
@pytest.mark.parametrize("alarm", [ALARM | {"stands_on": "ceiling"}, round_kit(
    "alarm", 120, 45, stands_on="ceiling", traits=["alarm"])], ids=["box", "round"])  # fmt: skip
def test_on_a_ceiling_an_alarm_is_300_mm_from_every_wall(alarm: dict[str, Any], from_wall: float, verdict: str) -> None:
    finding = only(apart([alarm], [piece(alarm, from_wall + 60, 900, base_mm=2330)]))

    assert (finding.topic, finding.verdict, finding.found) == ("alarm-walls", verdict, pytest.approx(from_wall))


@pytest.mark.parametrize(("storey", "verdict"), [
    ("loft", "put-right"), ("ground", "not-checked"), ("upper", "not-checked"), ("unknown", "not-checked"),
])  # fmt: skip
def test_a_battery_is_barred_from_a_loft_and_asked_about_elsewhere(storey: str, verdict: str) -> None:
    battery = kind("my-battery", ELECTRIC, stands_on="floor")

    finding = only(apart([battery], [piece(battery, 1200, 900)], floor={"storey": storey}))

    assert (finding.topic, finding.verdict) == ("battery", verdict)
