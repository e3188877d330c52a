"""Discharge pipes as somebody drew them: above the tundish and below it, each held against the room."""

from typing import Any

import pytest

from geometry import pipe_editing as hand
from geometry.errors import RoomError
from geometry.pipes.line import Route
from geometry.pipes.runs import PipeRun, pipe_runs
from geometry.room import Room
from geometry.scene import build
from tests.checks.discharge_room import Data, findings, found, kit_box, kit_tundish, outlet, room

PORTS = [
    {"name": "inlet", "medium": "hot-discharge", "size_mm": 15, "at_mm": [0, 0, 120], "faces": "above"},
    {"name": "outlet", "medium": "hot-discharge", "size_mm": 22, "at_mm": [0, 0, 0], "faces": "below"},
]
WHOLE = {"id": "q1", "medium": "hot-discharge", "from": {"piece": "s1", "port": "relief"}, "to": "o1"}
D1 = {"id": "q1", "medium": "hot-discharge", "from": {"piece": "s1", "port": "relief"}, "to": "t1", "to_port": "inlet"}
D2 = {"id": "q2", "medium": "hot-discharge", "from": {"piece": "t1", "port": "outlet"}, "to": "o1"}
LOW = [[1200, 2600, 400], [3900, 2600, 380]]
STRAIGHT = [[1200, 2600, 1300]]
"""From the valve at (875, 2600, 1300) along to above the tundish, whose inlet is at 1,020."""


def with_pipes(*pipes: Data, **more: Any) -> Data:
    return room(tundish_kit=kit_tundish(port=PORTS), pipes=list(pipes), **more)


def runs(data: Data) -> dict[str, PipeRun]:
    return {run.name[:2]: run for run in pipe_runs(build(Room.model_validate(data)))}


def topics(data: Data) -> dict[str, str]:
    return {finding.topic: finding.verdict for finding in findings(data)}


# --- a pipe that begins at the tundish --------------------------------------------------------------------------------


def test_a_pipe_drawn_up_from_the_tundish_is_told_to_rise_and_not_to_go_straight_down() -> None:
    data = with_pipes(D2 | {"via_mm": [[1200, 2600, 2300], [2000, 2600, 2300], *LOW]})

    stretch, drop = found(data, "stretch"), found(data, "straight-drop")

    assert (stretch.verdict, stretch.found) == ("put-right", 900 - 2300)  # from the mouth at 900 up to 2,300
    assert (drop.verdict, drop.found) == ("put-right", 0)


def test_the_run_of_a_pipe_from_the_tundish_has_every_point_of_the_file() -> None:
    up = [[1200, 2600, 2300], [2000, 2600, 2300], *LOW]

    d2 = runs(with_pipes(D2 | {"via_mm": up}))["D2"]

    assert isinstance(d2.route, Route)
    assert d2.route.points[1:-1] == tuple(tuple(point) for point in up)


def test_a_point_pinned_above_the_tundish_is_named_and_not_left_out() -> None:
    data = with_pipes(D2 | {"pinned_mm": [[2500, 700, 1500]]})

    message = found(data, "route").message

    assert message.startswith("The point pinned at 1,500 mm is 900 mm too high")  # 600 is the end of the straight drop


def test_the_rest_of_a_pipe_pinned_too_high_is_refused_with_what_to_do() -> None:
    scene = build(Room.model_validate(with_pipes(D2 | {"pinned_mm": [[2500, 700, 1500]]})))

    with pytest.raises(RoomError, match=r"a pinned point is too high\. Move that"):
        hand.rest_found(scene, "q2")


# --- a pipe drawn from the valve to the tundish -----------------------------------------------------------------------


@pytest.mark.parametrize("pipe", [D1 | {"via_mm": STRAIGHT}, WHOLE | {"via_mm": [*STRAIGHT, *LOW]}])
def test_a_drawn_way_to_the_tundish_that_is_clear_and_never_rises_has_no_fault(pipe: Data) -> None:
    said = topics(with_pipes(pipe))

    assert said["valve-falls"] == "no-fault"
    assert "valve-way" not in said


def test_a_way_to_the_tundish_that_was_found_is_not_told_as_drawn() -> None:
    assert not {"valve-falls", "valve-way"} & set(topics(with_pipes(D1)))


@pytest.mark.parametrize("pipe", [D1 | {"via_mm": STRAIGHT}, WHOLE | {"via_mm": [*STRAIGHT, *LOW]}])
def test_a_way_to_the_tundish_drawn_through_a_column_is_put_right(pipe: Data) -> None:
    column = {
        "kit": [kit_box("column", 60, 60, 2000)],
        "pieces": [{"id": "c1", "kit": "column", "at_mm": [1040, 2600]}],
    }

    finding = found(with_pipes(pipe, **column), "valve-way")

    assert (finding.verdict, finding.against) == ("put-right", ("c1",))
    assert finding.message.endswith("to the tundish as drawn goes through the column.")
    assert runs(with_pipes(pipe, **column))["D1"].goes_through == ("c1",)


@pytest.mark.parametrize(("y", "meets"), [(2600 - 30 - 7.5, False), (2600 - 30 - 6.5, True)])
def test_a_way_to_the_tundish_may_touch_a_column(y: float, meets: bool) -> None:
    column = {"kit": [kit_box("column", 60, 60, 2000)], "pieces": [{"id": "c1", "kit": "column", "at_mm": [1040, y]}]}

    assert ("valve-way" in topics(with_pipes(D1 | {"via_mm": STRAIGHT}, **column))) == meets


@pytest.mark.parametrize(("at", "through"), [([1000, 3050, 1300], "edge:2"), ([1000, 2600, 2500], "ceiling")])
def test_a_way_to_the_tundish_stays_in_the_room(at: list[float], through: str) -> None:
    assert through in found(with_pipes(D1 | {"via_mm": [at, *STRAIGHT]}), "valve-way").against


def test_a_way_to_the_tundish_that_makes_a_trap_is_put_right() -> None:
    trap = [[1000, 2600, 1290], [1050, 2600, 1100], [1050, 2600, 1240], [1200, 2600, 1240]]

    finding = found(with_pipes(D1 | {"via_mm": trap}), "valve-falls")

    assert (finding.verdict, finding.found, finding.short) == ("put-right", 140, 140)  # 1,240 - 1,100
    assert finding.message.endswith("as drawn rises 140 mm: it must never rise.")


@pytest.mark.parametrize(("rise", "verdict"), [(0.5, "no-fault"), (0.6, "put-right")])
def test_a_way_to_the_tundish_may_be_level(rise: float, verdict: str) -> None:
    data = with_pipes(D1 | {"via_mm": [[1000, 2600, 1200], [1200, 2600, 1200 + rise]]})

    assert found(data, "valve-falls").verdict == verdict


@pytest.mark.parametrize("below", [(), (D2,), (D2 | {"via_mm": LOW},)])
def test_a_pipe_drawn_to_the_tundish_leaves_the_pipe_below_it_in_its_place(below: tuple[Data, ...]) -> None:
    both = runs(with_pipes(D1 | {"via_mm": STRAIGHT, "size_mm": 22}, *below))

    assert (both["D1"].pipe, both["D1"].size_mm, both["D1"].drawn) == ("q1", 22, True)
    assert (both["D2"].to, both["D2"].pipe) == ("o1", below[0]["id"] if below else "")


def test_a_pipe_to_the_tundish_is_found_again_by_hand() -> None:
    scene = build(Room.model_validate(with_pipes(D1 | {"via_mm": [[900, 2600, 1300], *STRAIGHT]})))

    after = hand.rest_found(scene, "q1")

    (run,) = hand.runs_of(build(after), "q1")
    assert isinstance(run.route, Route)
    assert run.route.length_mm == pytest.approx(605)  # 325 along, 280 down


def test_a_second_pipe_of_one_discharge_is_not_left_out_in_silence() -> None:
    finding = found(with_pipes(WHOLE, D2), "second-pipe")

    assert finding.verdict == "not-checked"
    assert finding.message == ("Pipe q1 carries the discharge of the cylinder too beside q2, and was not looked at.")


def test_a_pipe_above_the_tundish_and_one_below_it_are_no_second_pipe() -> None:
    assert "second-pipe" not in topics(with_pipes(D1, D2, outlets=[outlet()]))


# --- a pipe that comes back along itself ------------------------------------------------------------------------------


@pytest.mark.parametrize(("back", "told"), [([1500, 2600, 398], True), ([2000, 2000, 398], False)])
def test_a_pipe_that_turns_right_round_at_a_point_is_looked_at_again(back: list[float], told: bool) -> None:
    via = [[1200, 2600, 410], [2000, 2600, 402], back, [3900, 2600, 380]]

    said = topics(with_pipes(D2 | {"via_mm": via}))

    assert said.get("turns-back") == ("look-again" if told else None)


def test_pins_in_an_order_that_needs_a_turn_right_round_are_looked_at_again() -> None:
    pins = [[2500, 2600, 500], [1500, 2600, 480]]

    assert topics(with_pipes(D2 | {"pinned_mm": pins}))["turns-back"] == "look-again"
    assert "turns-back" not in topics(with_pipes(D2 | {"pinned_mm": pins[1:]}))
