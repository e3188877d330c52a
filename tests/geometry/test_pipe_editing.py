"""Drawing a pipe by hand: points added, dragged, pinned and taken out, and the rest found."""

from collections.abc import Callable
from pathlib import Path

import pytest

from geometry import pipe_editing as hand
from geometry.errors import RoomError, UnknownThing
from geometry.pipes.line import NoRoute, Route
from geometry.pipes.runs import pipe_runs
from geometry.reading import read_room, write_room
from geometry.room import Room
from geometry.scene import build
from tests.checks.discharge_room import outlet, room
from tests.checks.test_pipe_ways import BAR

DEMO_ROOMS = sorted((Path(__file__).parents[2] / "demo_rooms").glob("*.json"))
VIA = [[1200, 2600, 400], [1200, 1000, 390], [3900, 1000, 370], [3900, 2600, 360]]
PIPE = {"id": "x1", "medium": "hot-discharge", "from": {"piece": "t1", "port": "outlet"}, "to": "o1"}
PORT = {"name": "outlet", "medium": "hot-discharge", "size_mm": 22, "at_mm": [0, 0, 0], "faces": "below"}


def drawn(**more: object) -> Room:
    data = room()
    data["kit"][1]["port"] = [PORT]
    return Room.model_validate(data | {"pipes": [PIPE | {"via_mm": VIA} | more]})


def via(after: Room) -> tuple[tuple[float, float, float], ...]:
    found = after.pipes[0].via_mm
    assert found is not None
    return found


def test_an_added_point_lies_between_its_neighbours_and_nothing_else_changes() -> None:
    before = drawn()

    after = hand.point_added(before, "x1", 2, (2000, 1000, 385))

    assert via(after) == (*via(before)[:2], (2000, 1000, 385), *via(before)[2:])
    assert after.model_copy(update={"pipes": before.pipes}) == before


def moved(before: Room, index: int, at_mm: tuple[float, float, float]) -> Room:
    return hand.bend_moved(build(before), "x1", index, at_mm)


def test_only_as_many_points_follow_a_moved_bend_as_keep_its_stretches_square() -> None:
    """The tundish's port is at (1200, 2600): what stands straight below it cannot go along without going askew."""
    after = moved(drawn(via_mm=[[1200, 2600, 400], [1200, 1000, 400], [3900, 1000, 400], [3900, 2600, 400]]), 2, (
        3800, 900, 400,
    ))  # fmt: skip

    assert via(after) == ((1200, 2600, 400), (1200, 900, 400), (3800, 900, 400), (3800, 2600, 400))


def test_what_would_push_the_next_stretch_askew_stays() -> None:
    after = moved(drawn(via_mm=[[1200, 2600, 400], [1200, 1000, 400], [3900, 1000, 400]]), 1, (1300, 1000, 400))

    assert via(after) == ((1200, 2600, 400), (1300, 1000, 400), (3900, 1000, 400))


def test_a_point_in_line_with_its_neighbours_follows_with_them() -> None:
    level = [[1200, 2600, 400], [1200, 1000, 400], [2000, 1000, 400], [3900, 1000, 400], [3900, 2600, 400]]

    after = moved(drawn(via_mm=level), 3, (3900, 800, 400))

    assert [y for _, y, _ in via(after)] == [2600, 800, 800, 800, 2600]


def test_no_neighbour_follows_to_where_the_stretch_between_them_is_square_already() -> None:
    """Typed in on site: 2400, 20, 1000 into the point below a drop; the point above stays and there is no empty leg."""
    drop = [[1800, 20, 1000], [1800, 20, 400], [3900, 20, 390], [3900, 2600, 360]]

    after = moved(drawn(via_mm=drop), 1, (2400, 20, 1000))

    assert via(after) == ((1800, 20, 1000), (2400, 20, 1000), (3900, 20, 390), (3900, 2600, 360))


def test_two_points_that_come_to_one_place_are_one() -> None:
    after = moved(drawn(), 1, (3900, 1000, 370))

    assert via(after) == ((1200, 2600, 400), (3900, 1000, 370), (3900, 2600, 360))


def test_a_falling_stretch_stays_square_on_the_plan_and_keeps_the_height_of_its_other_end() -> None:
    after = moved(drawn(), 2, (3900, 600, 370))

    assert via(after) == ((1200, 2600, 400), (1200, 600, 390), (3900, 600, 370), (3900, 2600, 360))


def test_a_pinned_neighbour_stays_when_a_bend_is_dragged() -> None:
    level = [[1200, 2600, 400], [1200, 1000, 400], [3900, 1000, 400]]
    before = drawn(via_mm=level, pinned_mm=[level[2]])

    after = moved(before, 1, (1200, 900, 400))

    assert via(after) == ((1200, 2600, 400), (1200, 900, 400), (3900, 1000, 400))


def test_a_pinned_point_is_not_moved_and_says_what_to_do() -> None:
    with pytest.raises(RoomError, match="Point 2 is pinned: take the pin out first"):
        moved(drawn(pinned_mm=[VIA[1]]), 1, (1200, 900, 390))


def test_points_are_pinned_in_the_order_of_the_route_and_let_go() -> None:
    both = hand.point_pinned(hand.point_pinned(drawn(), "x1", 2), "x1", 1)

    one = hand.point_pinned(both, "x1", 2, False)

    assert both.pipes[0].pinned_mm == (tuple(VIA[1]), tuple(VIA[2]))
    assert one.pipes[0].pinned_mm == (tuple(VIA[1]),)


def test_a_point_taken_out_takes_its_pin_with_it() -> None:
    after = hand.point_removed(drawn(pinned_mm=[VIA[1]]), "x1", 1)

    assert (len(via(after)), after.pipes[0].pinned_mm) == (3, ())


def test_the_rest_is_found_through_the_pinned_points() -> None:
    before = drawn(pinned_mm=[VIA[1]])

    after = hand.rest_found(build(before), "x1")

    assert tuple(VIA[1]) in via(after)
    assert after.pipes[0].pinned_mm == (tuple(VIA[1]),)
    assert len(via(after)) > 1


def test_a_route_found_and_then_drawn_has_the_measures_of_the_route_found() -> None:
    free = hand.route_let_go(drawn(), "x1")
    (found,) = hand.runs_of(build(free), "x1")

    (kept,) = hand.runs_of(build(hand.rest_found(build(free), "x1")), "x1")

    assert isinstance(found.route, Route) and isinstance(kept.route, Route)
    assert kept.route.length_mm == pytest.approx(found.route.length_mm, abs=1)
    assert (kept.route.bends, kept.size_mm, kept.goes_through) == (found.route.bends, found.size_mm, ())
    assert (kept.needed_mm, kept.spare_mm) == (found.needed_mm, found.spare_mm)
    assert found.spare_mm == pytest.approx(900 - 300 - 150 - 14)  # 2.8 m at 1 in 200


def test_finding_the_rest_changes_nothing_the_second_time() -> None:
    once = hand.rest_found(build(drawn(pinned_mm=[VIA[1]])), "x1")

    assert hand.rest_found(build(once), "x1") == once


def test_where_there_is_no_way_the_error_names_what_stops_it() -> None:
    data = room(**BAR)
    data["kit"][1]["port"] = [PORT]
    scene = build(Room.model_validate(data | {"pipes": [PIPE]}))

    with pytest.raises(RoomError, match="the work bench is in the way"):
        hand.rest_found(scene, "x1")

    assert isinstance(hand.completed(scene, "x1"), NoRoute)


def test_a_room_with_pins_and_fittings_is_written_and_read_again_the_same() -> None:
    before = drawn(pinned_mm=[VIA[1]], fittings=[{"kind": "stop-valve", "at_mm": [1200, 1500, 395]}])

    assert read_room(write_room(before)) == before


def test_an_added_pipe_has_an_id_of_its_own_and_no_route_yet() -> None:
    after = hand.pipe_added(drawn(), "hot-discharge", "s1", "relief", "o1")

    assert (after.pipes[1].id, after.pipes[1].via_mm) == ("x2", None)
    assert hand.pipe_removed(after, "x2") == drawn()


def test_a_changed_size_and_material_are_kept() -> None:
    after = hand.pipe_changed(drawn(), "x1", size_mm=28.0, material="steel")

    assert (after.pipes[0].size_mm, after.pipes[0].material) == (28, "steel")


Change = Callable[[Room], object]


@pytest.mark.parametrize("change", [
    lambda r: hand.point_removed(r, "x9", 0), lambda r: hand.point_removed(r, "x1", 4),
    lambda r: moved(r, -1, (0, 0, 0)), lambda r: hand.point_added(r, "x1", 5, (0, 0, 0)),
])  # fmt: skip
def test_a_pipe_or_point_that_is_not_there_is_told(change: Change) -> None:
    with pytest.raises(UnknownThing):
        change(drawn())


@pytest.mark.parametrize("change", [
    lambda r: hand.pipe_changed(r, "x1", size_mm=-1.0), lambda r: hand.pipe_added(r, "cold", "s1", "nothing", "o1"),
    lambda r: hand.pipe_added(r, "cold", "s1", "relief", "o7"), lambda r: moved(r, 0, (1e9, 0, 0)),
    lambda r: hand.point_added(hand.route_let_go(r, "x1"), "x1", 0, (0, 0, 0)),
    lambda r: hand.pipe_added(r, "cold", "s1", "relief", "t1", to_port="nothing"),
])  # fmt: skip
def test_what_cannot_be_is_refused_in_words(change: Change) -> None:
    with pytest.raises(RoomError) as refused:
        change(drawn())

    assert str(refused.value).endswith(".") and "validation" not in str(refused.value)


def test_a_second_pipe_of_a_port_is_refused_with_the_one_that_is_there() -> None:
    with pytest.raises(RoomError, match=r"Port “outlet” of t1 already has pipe x1\. Change that one, or take it out"):
        hand.pipe_added(drawn(), "hot-discharge", "t1", "outlet", "o1")


def test_a_pipe_from_a_port_to_the_same_port_is_refused() -> None:
    with pytest.raises(RoomError, match=r"cannot end at port “relief” of s1, where it starts"):
        hand.pipe_added(drawn(), "hot-discharge", "s1", "relief", "s1", to_port="relief")


def test_a_pin_off_the_drawn_route_is_refused() -> None:
    data = room(pipes=[PIPE | {"from": {"piece": "s1", "port": "relief"}, "via_mm": VIA, "pinned_mm": [[1, 2, 3]]}])

    with pytest.raises(RoomError, match="a pinned point is not on its route"):
        hand.pipe_changed(Room.model_validate(data), "x1", size_mm=22.0)


def test_an_outlet_that_takes_nothing_is_no_place_for_a_found_pipe() -> None:
    data = room(outlets=[outlet(takes=[])])

    assert hand.runs_of(build(Room.model_validate(data)), "x1") == ()


@pytest.mark.parametrize("path", DEMO_ROOMS, ids=lambda path: path.stem)
def test_a_pipe_measured_alone_is_as_in_the_list_of_all(path: Path) -> None:
    scene = build(read_room(path.read_bytes()))
    listed = pipe_runs(scene)

    for pipe in scene.room.pipes:
        alone = hand.runs_of(build(scene.room), pipe.id)
        assert alone == tuple(run for run in listed if run.pipe == pipe.id) != ()


@pytest.mark.parametrize(("size_mm", "limit_m"), [(22, 9), (28, 18), (35, 27)])
def test_the_longest_run_allowed_is_that_of_the_table(size_mm: float, limit_m: float) -> None:
    """Approved Document G, table 3.1, valve outlet G1/2."""
    (run,) = hand.runs_of(build(drawn(size_mm=size_mm)), "x1")

    assert run.limit_m == limit_m
    assert isinstance(run.route, Route) and run.counts_m is not None
    assert run.counts_m > run.route.length_mm / 1000
