"""The discharge check in whole rooms: each topic right, wrong and unknown; routes measured by other means."""

from collections.abc import Callable
from copy import deepcopy
from itertools import pairwise
from math import inf
from random import Random
from typing import Any

import pytest
from shapely import LineString, Point, Polygon

from geometry.check import Finding
from geometry.checks.discharge import find
from geometry.room import Room
from geometry.scene import Scene, build
from tests.checks.discharge_room import Data, findings, found, kit_box, kit_store, kit_tundish, outlet, room

PIPE = {"id": "q1", "medium": "hot-discharge", "from": {"piece": "s1", "port": "relief"}, "to": "o1"}
FROM_TUNDISH = {"piece": "t1", "port": "outlet"}
ROUND = [[1200, 2600, 400], [1200, 1000, 390], [3900, 1000, 370], [3900, 2600, 360]]


def pipe(**more: Any) -> list[Data]:
    return [PIPE | more]


def topics(data: Data) -> dict[str, str]:
    return {finding.topic: finding.verdict for finding in findings(data)}


# --- what there is ----------------------------------------------------------------------------------------------------


def test_a_room_without_an_unvented_store_has_nothing_to_say() -> None:
    plain = kit_store()
    plain["traits"] = []

    assert findings(room(store_kit=plain)) == []


def test_a_store_that_is_right_has_no_fault_in_any_topic() -> None:
    said = topics(room(tundish={"at_mm": [1100, 2600], "base_mm": 1000}))

    assert said == dict.fromkeys(
        ["valve-to-tundish", "tundish-below", "tundish-seen", "straight-drop", "route", "fall", "size", "end-place"],
        "no-fault",
    )


def test_a_store_whose_relief_valve_is_not_drawn_is_a_question() -> None:
    finding = found(room(store_kit=kit_store() | {"port": []}), "relief-valve")

    assert finding.verdict == "not-checked"
    assert finding.question == "Where is the relief valve of the cylinder, and what size is its outlet?"


def without_tundish(**more: Any) -> Data:
    data = room(**more)
    data["pieces"] = [piece for piece in data["pieces"] if piece["id"] != "t1"]
    return data


def test_a_store_without_a_tundish_is_a_question_and_its_end_is_still_judged() -> None:
    said = topics(without_tundish(outlets=[outlet(ends="low-level", above_ground_mm=200)]))

    assert said == {"tundish": "not-checked", "end-place": "put-right"}


def test_the_question_about_the_tundish_asks_where_it_is_and_how_far_away() -> None:
    finding = found(without_tundish(), "tundish")

    assert finding.question == (
        "Where is the tundish of the cylinder, and how far is it from the relief valve along the pipe?"
    )


def test_a_room_without_an_outlet_is_a_question() -> None:
    finding = found(room(outlets=[]), "outlet")

    assert (finding.verdict, finding.pieces) == ("not-checked", ("s1",))
    assert finding.question == (
        "Where does the discharge pipe of the cylinder leave the room, and what does it end over?"
    )


def test_an_outlet_for_condensate_alone_is_not_used() -> None:
    assert topics(room(outlets=[outlet(takes=["condensate"])]))["outlet"] == "not-checked"


def test_a_pipe_drawn_to_an_outlet_for_condensate_is_put_right() -> None:
    finding = found(room(outlets=[outlet(takes=["condensate"])], pipes=pipe()), "outlet")

    assert finding.verdict == "put-right"
    assert finding.message == (
        "The discharge pipe of the cylinder goes to the gully, which is not marked for hot discharge."
    )


def test_a_kind_of_kit_whose_key_begins_with_tundish_is_one() -> None:
    data = room()
    data["kit"][1] = kit_tundish(key="tundish-own", traits=[])
    data["pieces"][1]["kit"] = "tundish-own"

    assert "valve-to-tundish" in topics(data)


def test_of_two_tundishes_the_nearer_one_is_taken() -> None:
    far = {"id": "a1", "kit": "funnel", "at_mm": [3000, 500], "base_mm": 900}

    assert found(room(pieces=[far]), "valve-to-tundish").pieces == ("s1", "t1")


def test_only_findings_about_the_pieces_asked_for_are_given() -> None:
    scene = build(Room.model_validate(two_stores()))
    every = list(find(scene))

    for asked in ("s1", "s2", "t1", "t2", "nothing"):
        assert list(find(scene, frozenset({asked}))) == [f for f in every if asked in f.pieces]


def test_a_finding_of_the_tundish_is_about_store_and_tundish() -> None:
    said = {finding.topic: finding.pieces for finding in findings(room())}

    assert said["straight-drop"] == ("s1", "t1")
    assert said["end-place"] == ("s1",)


# --- valve and tundish ------------------------------------------------------------------------------------------------


def test_the_pipe_to_the_tundish_is_measured_along_and_down() -> None:
    finding = found(room(), "valve-to-tundish")  # 325 along from (875, 2600), 1,300 - 1,020 down

    assert (finding.verdict, finding.found, finding.short) == ("put-right", 605, 5)
    assert finding.message == (
        "The pipe from the relief valve of the cylinder to the tundish is 605 mm; at most 600 mm."
    )


def test_the_pipe_to_the_tundish_goes_round_what_stands_between() -> None:
    # down to 1,020 + 7.5, where a box of 100 stops it, or at 1,300 round it: 2 x (50 + 7.5) more than straight
    between = kit_box("post", 100, 100, 2000)

    finding = found(
        room(kit=[between], pieces=[{"id": "b1", "kit": "post", "at_mm": [1000, 2600]}]), "valve-to-tundish"
    )

    assert finding.found == pytest.approx(605 + 2 * 57.5)


def test_a_valve_behind_its_own_store_has_to_come_round_it() -> None:
    turned = room()
    turned["pieces"][0]["turn_deg"] = 180  # its valve faces left, at x = 325

    finding = found(turned, "valve-to-tundish")  # round half the body: 275 + 7.5 aside, both ways

    assert finding.found is not None
    assert finding.found > (1200 - 325) + 2 * 282.5 + 280 - 1


def test_the_farther_of_two_relief_valves_counts() -> None:
    store = kit_store()
    store["port"].append(
        {"name": "pressure relief valve", "medium": "hot-discharge", "size_mm": 15, "at_mm": [275, 0, 1450],
         "faces": "right"}
    )  # fmt: skip

    finding = found(room(store_kit=store), "valve-to-tundish")

    assert finding.found == 755
    assert finding.message.startswith("The pipe from the pressure relief valve of the cylinder")


@pytest.mark.parametrize(("faces", "at", "expected"), [
    ("above", [275, 0, 1300], 325 + 280 + 2 * 7.5),  # up by half its size to turn, and down again
    ("below", [275, 0, 1300], 325 + 280),
])  # fmt: skip
def test_a_valve_that_faces_up_or_down_is_left_that_way(faces: str, at: list[float], expected: float) -> None:
    store = kit_store()
    store["port"][0] |= {"faces": faces, "at_mm": at}

    assert found(room(store_kit=store), "valve-to-tundish").found == pytest.approx(expected)


def test_a_valve_walled_in_by_kit_has_no_way_to_its_tundish() -> None:
    walls = [kit_box("side", 40, 3000, 2400, name="Panel")]

    finding = found(room(kit=walls, pieces=[{"id": "b1", "kit": "side", "at_mm": [1000, 1500]}]), "valve-to-tundish")

    assert (finding.verdict, finding.found) == ("put-right", None)
    assert finding.message.endswith("has no way: the panel is in the way.")


@pytest.mark.parametrize(("base", "verdict"), [(1179, "no-fault"), (1181, "put-right"), (1300, "put-right")])
def test_the_tundish_is_lower_than_the_valve(base: float, verdict: str) -> None:
    finding = found(room(tundish={"base_mm": base}), "tundish-below")

    assert (finding.verdict, finding.found) == (verdict, 1300 - base - 120)


def before_tundish(gap_mm: float, hold: str = "fixed") -> Data:
    return room(
        kit=[kit_box("machine", 600, 600, 1500, name="Washing machine")],
        pieces=[{"id": "m1", "kit": "machine", "at_mm": [1200, 2570 - gap_mm - 300], "hold": hold}],
    )


@pytest.mark.parametrize(("gap", "verdict"), [(300, "no-fault"), (299, "put-right"), (0, "put-right")])
def test_the_tundish_is_seen_over_300_mm_free(gap: float, verdict: str) -> None:
    finding = found(before_tundish(gap), "tundish-seen")

    assert (finding.verdict, finding.found, finding.side) == (verdict, gap, "front")


def test_a_movable_machine_before_the_tundish_is_to_be_moved() -> None:
    finding = found(before_tundish(120, "movable"), "tundish-seen")

    assert (finding.verdict, finding.against) == ("look-again", ("m1",))
    assert finding.message.endswith(
        "the washing machine leaves 120 mm. It can be moved: move the washing machine away."
    )


def test_the_side_that_has_to_be_seen_is_that_of_the_air_gap() -> None:
    gap = {"name": "air gap", "at_mm": [30, 0, 60], "faces": "right", "tool": "eye", "must_be_seen": True}

    finding = found(room(tundish_kit=kit_tundish(access=[gap])), "tundish-seen")

    assert (finding.side, finding.found) == ("right", 2770)


# --- below the tundish ------------------------------------------------------------------------------------------------


def test_a_machine_under_the_tundish_stops_the_straight_drop() -> None:
    finding = found(
        room(kit=[kit_box("machine", 600, 600, 650, name="Washing machine")],
             pieces=[{"id": "m1", "kit": "machine", "at_mm": [1200, 2600], "hold": "movable"}]),
        "straight-drop",
    )  # fmt: skip

    assert (finding.verdict, finding.needed, finding.found, finding.against) == ("put-right", 300, 250, ("m1",))


def test_a_box_beside_the_pipe_does_not_stop_the_straight_drop() -> None:
    beside = kit_box("box", 100, 100, 800)  # its side touches the pipe of 22 mm

    finding = found(room(kit=[beside], pieces=[{"id": "b1", "kit": "box", "at_mm": [1261, 2600]}]), "straight-drop")

    assert (finding.verdict, finding.found) == ("no-fault", 900)


def test_an_outlet_above_the_end_of_the_straight_drop_is_too_high_by_the_difference_and_the_fall() -> None:
    finding = found(room(outlets=[outlet(level_mm=720)]), "route")  # 900 - 300 - 2,800 / 200 = 586

    assert (finding.verdict, finding.needed, finding.found, finding.short) == ("put-right", 586, 720, 134)
    assert "is 134 mm too high" in finding.message


@pytest.mark.parametrize(("level", "fault"), [(586, False), (587, True)])
def test_at_the_height_that_is_named_the_pipe_falls_enough_and_a_millimetre_above_it_does_not(
    level: float, fault: bool
) -> None:
    verdict = found(room(outlets=[outlet(level_mm=level)]), "fall").verdict

    assert verdict == ("put-right" if fault else "no-fault")


def test_an_outlet_too_high_for_a_drawn_pipe_is_told_as_for_one_that_is_found() -> None:
    high = [outlet(level_mm=720)]

    finding = found(room(outlets=high, pipes=pipe(via_mm=[[1200, 2600, 400]])), "fall")

    assert finding.message == found(room(outlets=high), "route").message


@pytest.mark.parametrize(("via", "verdict"), [
    ([[1205, 2600, 175]], "no-fault"), ([[1205, 2600, 900], [1205, 2600, 175]], "no-fault"),
    ([[1206, 2600, 900], [1206, 2600, 175]], "put-right"),
])  # fmt: skip
def test_a_pipe_a_hair_out_of_plumb_still_goes_straight_down(via: list[list[float]], verdict: str) -> None:
    said = topics(room(pipes=pipe(via_mm=[*via, [3974, 2600, 160]])))

    assert (said["straight-drop"], said["fall"]) == (verdict, "no-fault")


def test_without_a_way_out_nothing_is_said_of_fall_and_size() -> None:
    assert not {"fall", "size"} & set(topics(room(outlets=[outlet(level_mm=720)])))


def test_a_way_out_is_told_with_its_length_and_its_line() -> None:
    finding = found(room(), "route")

    assert finding.message == (
        "The discharge pipe of the cylinder has a way from the tundish to the gully: 3.54 m and 1 bend in the room."
    )
    assert finding.where is not None
    assert finding.where.line_mm[0] == (1200, 2600, 900)
    assert finding.where.line_mm[-1] == (4000, 2600, 150)


def test_a_tall_machine_from_wall_to_wall_is_named_as_what_stops_the_pipe() -> None:
    data = room(kit=[kit_box("bar", 600, 3000, 800, name="Work bench")],
                pieces=[{"id": "m1", "kit": "bar", "at_mm": [2500, 1500]}])  # fmt: skip

    finding = found(data, "route")

    assert (finding.verdict, finding.short) == ("put-right", None)
    assert finding.message.endswith("the work bench is in the way.")
    assert "m1" in finding.against


def test_a_pipe_runs_above_a_low_machine_and_goes_down_at_the_outlet() -> None:
    data = room(kit=[kit_box("bar", 600, 3000, 500)], pieces=[{"id": "m1", "kit": "bar", "at_mm": [2500, 1500]}])

    finding = found(data, "route")

    assert finding.verdict == "no-fault"
    assert finding.where is not None
    _, begins, ends, *_ = finding.where.line_mm
    assert min(begins[2], ends[2]) >= 500 + 11
    assert finding.message.endswith("3.54 m and 3 bends in the room.")


def test_where_a_machine_keeps_the_pipe_too_high_the_fall_is_short() -> None:
    data = room(kit=[kit_box("bar", 600, 3000, 585)], pieces=[{"id": "m1", "kit": "bar", "at_mm": [2500, 1500]}])

    finding = found(data, "stretch")  # above the bar at 585 + 11, with 600 at the end of the straight drop

    assert (finding.verdict, finding.found) == ("put-right", pytest.approx(4))
    assert found(data, "fall").found == 450


def with_door(**more: Any) -> Data:
    return room(doors=[{"id": "d1", "edge": 2, "from_mm": 1500, "clear_mm": 800} | more], outlets=[
        outlet(at_mm=[3900, 3000])], tundish={"at_mm": [1200, 2960]})  # fmt: skip


def test_no_pipe_lies_across_a_doorway_below_its_head() -> None:
    line = found(with_door(), "route").where
    assert line is not None

    passed = [(a, b) for a, b in pairwise(line.line_mm) if min(a[0], b[0]) < 2500 and max(a[0], b[0]) > 1700]

    assert passed
    assert all(max(a[1], b[1]) <= 3000 - 600 - 11 + 0.5 for a, b in passed)


def test_where_there_is_no_way_round_a_low_doorway_the_pipe_goes_over_its_head() -> None:
    data = with_door(head_mm=400)
    data["kit"].append(kit_box("bar", 400, 2400, 2400))
    data["pieces"].append({"id": "m1", "kit": "bar", "at_mm": [1900, 1200]})

    finding = found(data, "route")

    assert finding.verdict == "no-fault"
    assert finding.where is not None
    heights = [z for x, _, z in finding.where.line_mm[1:-2]]
    assert min(heights) >= 400 + 11


def test_a_doorway_that_cannot_be_passed_is_named() -> None:
    finding = found(room(doors=[{"id": "d1", "edge": 1, "from_mm": 2300, "clear_mm": 600}]), "route")

    assert finding.verdict == "put-right"
    # half of 22 mm pipe and 15 mm for its clip above a head of 1,981
    assert finding.message.endswith(
        "doorway d1 is in the way. A doorway cannot be moved: go over its head, with the middle of the pipe at "
        "2,007 mm or more, or under the floor."
    )


def test_a_pipe_on_the_wall_opposite_a_doorway_is_not_across_it() -> None:
    narrow = room(doors=[{"id": "d1", "edge": 0, "from_mm": 1500, "clear_mm": 1400}],
                  tundish={"at_mm": [1200, 660]}, outlets=[outlet(at_mm=[4000, 600])])  # fmt: skip
    narrow["outline_mm"] = [[0, 0], [4000, 0], [4000, 700], [0, 700]]
    narrow["pieces"][0]["at_mm"] = [600, 350]

    assert found(narrow, "route").verdict == "no-fault"


def test_a_pipe_drawn_across_the_room_is_counted_as_drawn() -> None:
    finding = found(room(pipes=pipe(via_mm=ROUND)), "size")  # 0.5 + 1.6 + 2.7 + 1.6 + 0.1 and a little fall

    assert "6.53 m + 4 × 0.8 m = 9.73 m" not in finding.message
    assert finding.found == pytest.approx(0.5 + 1.6 + 2.7 + 1.6 + 0.233 + 4 * 1.0, abs=0.005)
    assert finding.message.startswith("The discharge pipe of the cylinder needs 28 mm")


def test_a_pipe_drawn_from_the_tundish_is_that_of_the_store_it_serves() -> None:
    said = findings(room(pipes=pipe(**{"from": FROM_TUNDISH}, via_mm=ROUND)))

    assert next(f for f in said if f.topic == "route").message.endswith("6.63 m and 4 bends in the room.")


def test_a_pipe_drawn_above_the_tundish_is_the_one_from_the_valve() -> None:
    via = [[1000, 2600, 1300], [1000, 2000, 1300], [1200, 2000, 1300], [1200, 2600, 1300], *ROUND]

    finding = found(room(pipes=pipe(via_mm=via)), "valve-to-tundish")

    assert finding.found == 125 + 600 + 200 + 600 + 280


def test_a_drawn_pipe_that_bends_too_soon_has_no_straight_drop() -> None:
    via = [[1200, 2600, 650], [3900, 2600, 400]]

    finding = found(room(pipes=pipe(via_mm=via)), "straight-drop")

    assert (finding.verdict, finding.found, finding.short) == ("put-right", 250, 50)
    assert finding.message.endswith("it bends after 250 mm.")


def test_a_drawn_pipe_with_a_stretch_that_rises_has_too_little_fall_there() -> None:
    via = [[1200, 2600, 400], [2000, 2600, 420], [3900, 2600, 380]]

    finding = found(room(pipes=pipe(via_mm=via)), "stretch")

    assert (finding.verdict, finding.found, finding.short) == ("put-right", -20, 24)
    assert finding.message.endswith("has a stretch that rises 20 mm.")


@pytest.mark.parametrize(("end_mm", "faults"), [(396, 0), (396.5, 0), (397, 1)])
def test_a_stretch_is_short_of_its_fall_from_half_a_millimetre_on(end_mm: float, faults: int) -> None:
    via = [[1200, 2600, 400], [2000, 2600, end_mm], [2000, 2600, 180], [3974, 2600, 165]]  # 800 / 200 = 4

    assert list(topics(room(pipes=pipe(via_mm=via)))).count("stretch") == faults


def test_a_drawn_pipe_through_a_machine_and_a_doorway_names_both() -> None:
    data = room(
        pipes=pipe(via_mm=[[1200, 2600, 400], [1200, 400, 380], [3950, 400, 360], [3950, 2600, 350]]),
        kit=[kit_box("machine", 600, 600, 850, name="Washing machine")],
        pieces=[{"id": "m1", "kit": "machine", "at_mm": [1200, 1500]}],
        doors=[{"id": "d1", "edge": 0, "from_mm": 2000, "clear_mm": 800}],
    )

    finding = found(data, "route")

    assert finding.verdict == "put-right"
    assert finding.message.startswith(
        "The discharge pipe of the cylinder as drawn goes through the washing machine and doorway d1. A doorway cannot"
    )


def test_a_drawn_pipe_outside_the_room_goes_through_a_wall() -> None:
    finding = found(room(pipes=pipe(via_mm=[[1200, 2600, 400], [1200, 3050, 395], [4000, 3050, 380]])), "route")

    assert finding.message.endswith("goes through the back wall.")


def test_a_drawn_pipe_is_measured_at_its_own_height_only() -> None:
    data = room(
        pipes=pipe(via_mm=[[1200, 2600, 560], [3990, 2600, 540]]),
        kit=[kit_box("bar", 600, 3000, 530)], pieces=[{"id": "m1", "kit": "bar", "at_mm": [2500, 1500]}],
    )  # fmt: skip

    assert found(data, "route").verdict == "no-fault"


# --- size, material, sharing ------------------------------------------------------------------------------------------


def test_the_part_outside_counts_with_its_bends() -> None:
    finding = found(room(outlets=[outlet(outside_run_mm=3000, outside_bends=2)]), "size")

    assert finding.message == (
        "The discharge pipe of the cylinder needs 22 mm: 6.54 m + 3 × 0.8 m = 8.94 m, at most 9 m; "
        "of these 3.00 m and 2 elbows outside, as the outlet says."
    )


def test_a_size_too_small_is_told_with_the_one_that_would_carry_it() -> None:
    data = room(outlets=[outlet(outside_run_mm=3464.5, outside_bends=3)], pipes=pipe(size_mm=22))

    finding = found(data, "size")

    assert (finding.verdict, finding.needed, finding.unit) == ("put-right", 9, "m")
    assert finding.found == pytest.approx(10.2, abs=0.002)
    assert finding.message.endswith("28 mm would carry it: 11.0 m, at most 18 m.")


@pytest.mark.parametrize(("size", "verdict"), [
    (15, "put-right"), (22, "no-fault"), (28, "no-fault"), (42, "no-fault"), (25, "not-checked"),
])  # fmt: skip
def test_a_size_in_the_room_file_is_judged_against_the_table(size: float, verdict: str) -> None:
    assert found(room(pipes=pipe(size_mm=size)), "size").verdict == verdict


@pytest.mark.parametrize(("valve", "size"), [(15, 22), (22, 28), (28, 35)])
def test_a_larger_valve_needs_a_larger_pipe(valve: float, size: int) -> None:
    assert f"needs {size} mm" in found(room(store_kit=kit_store(valve)), "size").message


def test_a_valve_outlet_outside_the_table_is_a_question() -> None:
    finding = found(room(store_kit=kit_store(20)), "size")

    assert finding.verdict == "not-checked"
    assert "G1/2" in finding.question


def test_a_length_beyond_the_table_has_no_size() -> None:
    finding = found(room(outlets=[outlet(outside_run_mm=25000, outside_bends=3)]), "size")

    assert (finding.verdict, finding.needed) == ("put-right", 27)
    assert finding.message.startswith("No size in the table carries the discharge of the cylinder")


def test_a_pipe_that_is_not_copper_is_a_question_and_its_size_is_not_judged() -> None:
    said = topics(room(pipes=pipe(material="stainless steel", size_mm=15)))

    assert said["material"] == "not-checked"
    assert "size" not in said


def two_stores(*sizes: float | None, first: float = 15, second: float = 22) -> Data:
    pipes = [
        PIPE | {"id": f"q{k}", "from": {"piece": f"s{k}", "port": "relief"}, "size_mm": size}
        for k, size in enumerate(sizes, start=1)
    ]
    return room(
        store_kit=kit_store(first), kit=[kit_store(second, "store-2", "Second cylinder")],
        pieces=[{"id": "s2", "kit": "store-2", "at_mm": [600, 700]},
                {"id": "t2", "kit": "funnel", "at_mm": [1100, 700], "base_mm": 1000}], pipes=pipes,
    )  # fmt: skip


def test_two_stores_on_one_outlet_need_a_shared_pipe_one_size_larger() -> None:
    finding = found(two_stores(), "shared")

    assert (finding.verdict, finding.needed, finding.pieces) == ("not-checked", 35, ("s1", "s2"))
    assert finding.message == (
        "The cylinder and the second cylinder share the gully: where their pipes join, at least 35 mm, "
        "one size larger than 28 mm."
    )


@pytest.mark.parametrize(("sizes", "verdict"), [
    ((22.0, 35.0), "no-fault"), ((22.0, 28.0), "put-right"), ((22.0, None), "not-checked"),
])  # fmt: skip
def test_the_shared_pipe_is_judged_where_its_size_is_drawn(sizes: tuple[float | None, ...], verdict: str) -> None:
    assert found(two_stores(*sizes), "shared").verdict == verdict


def test_two_stores_on_outlets_of_their_own_share_nothing() -> None:
    data = two_stores()
    data["outlets"].append(outlet(id="o2", at_mm=[0, 700], level_mm=100))
    data["pipes"] = [PIPE, PIPE | {"id": "q2", "from": {"piece": "s2", "port": "relief"}, "to": "o2"}]

    assert "shared" not in topics(data)


# --- where it ends ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("place", "verdict"), [
    ({"ends": "gully"}, "no-fault"), ({"ends": "unknown"}, "not-checked"), ({"ends": "stack"}, "look-again"),
    ({"ends": "internal-stack"}, "look-again"), ({"ends": "soakaway"}, "look-again"),
    ({"ends": "low-level"}, "not-checked"), ({"ends": "low-level", "above_ground_mm": 60}, "no-fault"),
    ({"ends": "low-level", "above_ground_mm": 150}, "put-right"), ({"ends": "roof"}, "not-checked"),
    ({"ends": "hopper"}, "not-checked"), ({"ends": "hopper", "plastic_gutter_mm": 4000}, "no-fault"),
    ({"ends": "hopper", "plastic_gutter_mm": 2000}, "look-again"),
])  # fmt: skip
def test_the_end_place_is_judged_by_what_is_known_of_it(place: Data, verdict: str) -> None:
    finding = found(room(outlets=[outlet(**place)]), "end-place")

    assert finding.verdict == verdict
    assert bool(finding.question) == (verdict == "not-checked")


def test_a_soil_stack_is_told_with_all_its_conditions() -> None:
    finding = found(room(outlets=[outlet(ends="stack")]), "end-place")

    assert finding.message.count(";") == 4
    assert finding.source is not None and finding.source.clause == "3.60(a) to (d)"


def test_what_is_not_known_has_a_title_that_claims_nothing() -> None:
    titles = {
        found(room(outlets=[outlet(ends="low-level")]), "end-place").title,
        found(room(store_kit=kit_store(20)), "size").title,
        found(without_tundish(), "tundish").title,
        found(room(outlets=[]), "outlet").title,
    }

    assert titles == {
        "Cylinder: where its discharge ends", "Cylinder: how large its discharge pipe has to be",
        "Cylinder: where its tundish is", "Cylinder: where its discharge pipe leaves the room",
    }  # fmt: skip


def test_every_finding_has_a_title_a_reason_and_a_source() -> None:
    rooms = [room(), two_stores(), without_tundish(), room(outlets=[]), room(pipes=pipe(material="steel")),
             room(outlets=[outlet(level_mm=720, ends="stack")])]  # fmt: skip

    for finding in (f for data in rooms for f in findings(data)):
        assert finding.title.rpartition(": ")[2] and finding.reason and finding.source


def test_of_several_outlets_the_one_that_ends_well_is_taken() -> None:
    worse = outlet(id="a1", ends="low-level", above_ground_mm=400)

    assert found(room(outlets=[worse, outlet()]), "end-place").against == ("o1",)


def test_of_several_outlets_that_end_well_the_shortest_way_is_taken() -> None:
    nearer = outlet(id="o2", at_mm=[1400, 3000])

    assert found(room(outlets=[outlet(), nearer]), "route").against == ("o2",)


def test_an_outlet_that_can_be_reached_is_taken_before_one_that_is_too_high() -> None:
    high = outlet(id="a1", at_mm=[1400, 3000], level_mm=800)

    assert found(room(outlets=[high, outlet()]), "route").against == ("o1",)


def test_an_outlet_in_the_floor_is_reached_from_above() -> None:
    finding = found(room(outlets=[outlet(at_mm=[2000, 1500], level_mm=-50)]), "route")

    assert finding.where is not None
    assert finding.where.line_mm[-1] == (2000, 1500, -50)
    assert finding.where.line_mm[-2][2] == 11


def test_a_stack_in_its_boxing_is_reached_through_the_boxing() -> None:
    boxing = {"id": "f1", "name": "boxed soil stack", "to_mm": 2400,
              "area_mm": [[3600, 2700], [4000, 2700], [4000, 3000], [3600, 3000]]}  # fmt: skip
    stack = outlet(at_mm=[3800, 2850], ends="internal-stack", level_mm=300)

    assert found(room(fixtures=[boxing], outlets=[stack]), "route").verdict == "no-fault"


def test_a_machine_on_top_of_a_floor_outlet_is_in_the_way() -> None:
    data = room(
        outlets=[outlet(at_mm=[3000, 1500], level_mm=0)], kit=[kit_box("machine", 600, 600, 850)],
        pieces=[{"id": "m1", "kit": "machine", "at_mm": [3000, 1500]}],
    )  # fmt: skip

    assert found(data, "route").message.endswith("the machine is in the way.")


def test_an_outlet_drawn_where_the_gully_is_outside_leaves_through_the_nearest_wall() -> None:
    finding = found(room(outlets=[outlet(at_mm=[4400, 2600])]), "route")

    assert finding.where is not None
    assert finding.where.line_mm[-1] == (4000, 2600, 150)


def test_in_scotland_the_figures_stand_as_common_practice() -> None:
    finding = found(room() | {"rules": "scotland"}, "fall")

    assert finding.source is not None and finding.source.standing == "common practice"


# --- by other means, by chance and turned -----------------------------------------------------------------------------


def random_room(seed: int) -> Data:
    """Boxes and drums that do not overlap the store, on the floor and hung, round the store and its tundish."""
    draw = Random(seed)
    kinds, pieces, taken = [], [], [Polygon([(250, 2250), (1300, 2250), (1300, 2950), (250, 2950)])]
    for k in range(draw.randrange(4, 14)):
        w, d, h = draw.uniform(150, 700), draw.uniform(150, 600), draw.uniform(200, 1500)
        x, y = draw.uniform(0, 4000), draw.uniform(0, 3000)
        x, y = draw.choice([(x, d / 2), (x, 3000 - d / 2), (4000 - w / 2, y), (x, y)])
        plan = Polygon([(x - w / 2, y - d / 2), (x + w / 2, y - d / 2), (x + w / 2, y + d / 2), (x - w / 2, y + d / 2)])
        if not any(plan.intersects(other) for other in taken):
            taken.append(plan)
            kind = kit_box(f"k{k}", w, d, h)
            if draw.random() < 0.3:
                kind["plan"] = {"round_mm": min(w, d)}
            kinds.append(kind)
            base, turn = draw.choice([0, 0, 300, 900]), draw.choice([0, 0, 0, 15])
            pieces.append({"id": f"p{k}", "kit": f"k{k}", "at_mm": [x, y], "base_mm": base, "turn_deg": turn})
    if draw.random() < 0.4:
        kinds.append(kit_box("bar", 100, 3000, draw.uniform(100, 900)))
        pieces.append({"id": "bar", "kit": "bar", "at_mm": [draw.uniform(1500, 3800), 1500]})
    doors = [{"id": "d1", "edge": 0, "from_mm": draw.uniform(200, 2500), "clear_mm": 800}]
    ends = [outlet(at_mm=draw.choice([[4000, draw.uniform(100, 2900)], [draw.uniform(1500, 3900), 3000]]),
                   level_mm=draw.uniform(60, 500))]  # fmt: skip
    return room(kit=kinds, pieces=pieces, doors=doors, outlets=ends)


SEEDS = range(60)


def through(scene: Scene, line: tuple[tuple[float, float, float], ...], radius: float) -> list[str]:
    """What a pipe along a line goes through, each stretch as a capsule against polygons, at its highest and lowest."""
    met = []
    for a, b in pairwise(line[:-1]):
        plan = LineString([a[:2], b[:2]]) if a[:2] != b[:2] else Point(a[:2])
        capsule = plan.buffer(radius - 0.6)
        low, high = min(a[2], b[2]) - radius + 0.6, max(a[2], b[2]) + radius - 0.6
        for solid in scene.solids:
            # a stretch falls by less than its radius: its whole band may be held against a thing only where they meet
            near = capsule.intersection(solid.plan.polygon)
            if solid.owner != "t1" and not near.is_empty and solid.from_mm < high and low < solid.to_mm:
                share = [line_height(a, b, x, y) for x, y in corners(near)]
                if any(solid.from_mm < z + radius - 0.6 and z - radius + 0.6 < solid.to_mm for z in share):
                    met.append(solid.owner)
    return met


def corners(shape: Any) -> list[tuple[float, float]]:
    parts = getattr(shape, "geoms", [shape])
    return [(x, y) for part in parts for x, y in getattr(part, "exterior", part).coords]


def line_height(a: tuple[float, ...], b: tuple[float, ...], x: float, y: float) -> float:
    """Height of a stretch beside a plan point; of an upright one the middle of the part it shares with anything."""
    length = (b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2
    t = 0.5 if length == 0 else min(1.0, max(0.0, ((x - a[0]) * (b[0] - a[0]) + (y - a[1]) * (b[1] - a[1])) / length))
    return a[2] + t * (b[2] - a[2])


def said_route(data: Data) -> Finding | None:
    return next((f for f in findings(data) if f.topic == "route"), None)


@pytest.mark.parametrize("seed", SEEDS)
def test_no_route_that_is_found_goes_through_anything(seed: int) -> None:
    data = random_room(seed)
    finding = said_route(data)

    if finding is not None and finding.where is not None and finding.where.line_mm:
        met = through(build(Room.model_validate(data)), finding.where.line_mm, 11)
        assert met == []


@pytest.mark.parametrize("seed", SEEDS)
def test_a_route_that_is_found_falls_all_the_way_by_1_in_200_where_there_is_height(seed: int) -> None:
    data = random_room(seed)
    said = {finding.topic: finding for finding in findings(data)}

    if said["route"].verdict == "no-fault" and said["fall"].verdict == "no-fault" and "stretch" not in said:
        line = said["route"].where.line_mm  # type: ignore[union-attr]
        steps = [(((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5, a[2] - b[2]) for a, b in pairwise(line)]
        along = [(run, fall) for run, fall in steps[:-1] if run > 1]
        assert all(fall >= run / 200 - 1e-6 for run, fall in along)
        assert steps[0] == (0, pytest.approx(said["straight-drop"].found, abs=inf))
        assert steps[0][1] >= 300 - 1e-6


def test_the_random_rooms_hold_ways_out_and_none() -> None:
    verdicts = [said_route(random_room(seed)).verdict for seed in SEEDS]  # type: ignore[union-attr]

    assert 5 <= verdicts.count("put-right") <= 50


def quarter(data: Data, turns: int) -> Data:
    """The whole room turned by quarters about the origin: points, pieces and outlets; wall numbers stay."""
    turn: Callable[[float, float], list[float]] = [
        lambda x, y: [x, y], lambda x, y: [-y, x], lambda x, y: [-x, -y], lambda x, y: [y, -x],
    ][turns]  # fmt: skip
    turned = deepcopy(data)
    turned["outline_mm"] = [turn(*p) for p in data["outline_mm"]]
    for piece in turned["pieces"]:
        piece["at_mm"] = turn(*piece["at_mm"])
        piece["turn_deg"] = (piece.get("turn_deg", 0) + 90 * turns) % 360
    for end in turned["outlets"]:
        end["at_mm"] = turn(*end["at_mm"])
    return turned


def measures(data: Data) -> list[tuple[Any, ...]]:
    return [
        (f.topic, f.verdict, *(None if v is None else round(v, 4) for v in (f.needed, f.found, f.short)))
        for f in findings(data)
    ]


@pytest.mark.parametrize("turns", [1, 2, 3])
@pytest.mark.parametrize("seed", range(0, 60, 6))
def test_a_room_turned_by_quarters_has_the_same_measures(seed: int, turns: int) -> None:
    data = random_room(seed)

    assert measures(quarter(data, turns)) == measures(data)


@pytest.mark.parametrize("seed", range(0, 60, 6))
def test_the_order_of_the_file_changes_nothing(seed: int) -> None:
    data = random_room(seed)
    mixed = deepcopy(data)
    for part in ("pieces", "kit", "outlets"):
        Random(seed).shuffle(mixed[part])

    assert [f.as_json() for f in findings(mixed)] == [f.as_json() for f in findings(data)]
