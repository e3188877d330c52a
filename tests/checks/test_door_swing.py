"""Doors that open far enough, that do not, and that nobody can tell about."""

from math import acos, degrees, hypot
from typing import Any

import pytest

from geometry.check import Finding
from geometry.checks.door_swing import find
from geometry.reading import room_from
from geometry.samples import box_kit, piece, sample_scene
from geometry.scene import Scene, build

POST = box_kit("post", 100, 100, 2000)
WIDE = [[0, 0], [4000, 0], [4000, 3000], [0, 3000]]
LOBBY = [[0, -1200], [4000, -1200], [4000, -100], [0, -100]]


def door(door_id: str = "d1", **more: Any) -> dict[str, Any]:
    """A doorway in the front wall, clear from 1,000 to 1,760, with an inward leaf of 826 hung on its left."""
    leaf = {"width_mm": 826, "opens": "in"} | more.pop("leaf", {})
    return {"id": door_id, "edge": 0, "from_mm": 1000, "clear_mm": 760, "leaf": leaf} | more


def scene(*pieces: dict[str, Any], doors: list[dict[str, Any]] | None = None, **more: Any) -> Scene:
    kinds = more.pop("kinds", [POST])
    return sample_scene(kinds, list(pieces), doors=[door()] if doors is None else doors, outline_mm=WIDE, **more)


def only(findings: Any) -> Finding:
    (finding,) = findings
    assert isinstance(finding, Finding)
    return finding


# The lean-to shed: source beside the figure in tests/evidence/doors.json


def shed() -> dict[str, Any]:
    boiler = box_kit("oil-boiler", 600, 620, 860, name="Oil boiler")
    leaf = {"width_mm": 826, "hinge": "start", "opens": "in"}
    return {
        "format": "elbowroom-room", "format_version": 1, "name": "Plant shed", "kit": [boiler],
        "outline_mm": [[0, 0], [3000, 0], [3000, 1700], [0, 1700]],
        "ceiling": {"slopes": [{"area_mm": [[0, 0], [3000, 0], [3000, 1700], [0, 1700]],
                                "through_mm": [[0, 0, 2500], [3000, 0, 2500], [0, 1700, 2050]]}]},
        "doors": [{"id": "d1", "edge": 3, "from_mm": 540, "clear_mm": 760, "head_mm": 1980, "leaf": leaf}],
        "pieces": [piece(boiler, 450, 1390, id="e1")],
    }  # fmt: skip


def test_the_door_of_the_shed_opens_61_9_degrees_and_names_the_boiler() -> None:
    finding = only(find(build(room_from(shed()))))

    assert (finding.verdict, finding.pieces, finding.against, finding.unit) == ("put-right", ("d1",), ("e1",), "deg")
    assert finding.found == pytest.approx(61.9275, abs=1e-4)
    assert finding.short == pytest.approx(90 - 61.9275, abs=1e-4)
    assert finding.message.startswith("Door d1 opens only 61 degrees; the oil boiler stops it (needed 90).")


def test_the_shed_door_rehung_to_open_outwards_asks_what_stands_there() -> None:
    room = shed()
    room["doors"][0]["leaf"]["opens"] = "out"

    finding = only(find(build(room_from(room))))

    assert finding.verdict == "not-checked"
    assert finding.question == "What stands within 826 mm of door d1, on the side it opens to?"


# Passing, failing, touching, tight


def test_a_door_with_nothing_in_its_way_opens_flat() -> None:
    finding = only(find(scene()))

    assert (finding.verdict, finding.found, finding.short) == ("no-fault", 180, 0)
    assert finding.message == "Door d1 opens 180 degrees (needed 90). 725 mm of its 760 mm opening is left."


def test_a_post_that_the_tip_of_the_leaf_only_touches_is_not_in_its_way() -> None:
    off = 826 / hypot(1, 1)
    touching = scene(piece(POST, 1000 + off + 50, off + 50))
    met = scene(piece(POST, 1000 + off + 49, off + 49))

    assert only(find(touching)).verdict == "no-fault"
    assert only(find(met)).found == pytest.approx(45, abs=0.3)


def test_a_post_past_the_needed_angle_is_named_and_no_fault() -> None:
    finding = only(find(scene(piece(POST, 800, 500))))

    assert finding.verdict == "no-fault"
    assert finding.found == pytest.approx(degrees(acos(-150 / hypot(150, 550))), abs=1e-6)
    assert finding.message.startswith("Door d1 opens 105 degrees, as far as the post (needed 90).")


def test_a_wall_within_the_survey_tolerance_at_the_tip_is_looked_at_again() -> None:
    close, far = (only(find(scene(doors=[door(from_mm=gap)]))) for gap in (9.0, 11.0))

    # at the tip of the leaf, 826 from the hinge, 10 mm is 0.69 degrees
    assert (close.verdict, close.against) == ("look-again", ("edge:3",))
    assert close.message.endswith("That is inside the survey tolerance: measure again.")
    assert far.verdict == "no-fault"


def test_a_door_that_something_stands_against_cannot_open_at_all() -> None:
    finding = only(find(scene(piece(POST, 1300, 50))))

    assert (finding.verdict, finding.found, finding.short) == ("put-right", 0, 90)
    assert finding.message.startswith("Door d1 cannot open at all; the post stops it (needed 90). 0 mm of its 760 mm")


def test_a_door_need_only_open_as_far_as_the_room_says() -> None:
    stopped = [piece(POST, 1000, 600)]

    assert only(find(scene(*stopped))).verdict == "put-right"
    assert only(find(scene(*stopped, doors=[door(leaf={"needed_deg": 80})]))).verdict == "no-fault"


# What can be moved


def test_something_movable_is_moved_first() -> None:
    finding = only(find(scene(piece(POST, 1300, 300, hold="movable"))))

    assert (finding.verdict, finding.topic, finding.against) == ("look-again", "move-first", ("post",))
    assert finding.message.endswith("It can be moved: move the post first.")


def test_something_fixed_behind_what_is_movable_is_still_put_right() -> None:
    findings = list(find(scene(piece(POST, 1300, 300, id="near", hold="movable"), piece(POST, 1100, 600, id="far"))))

    assert [(f.verdict, f.against) for f in findings] == [("put-right", ("far",)), ("look-again", ("near",))]
    assert (findings[0].found or 0) > (findings[1].found or 0)


def test_what_takes_effort_to_move_is_as_good_as_fixed() -> None:
    assert only(find(scene(piece(POST, 1300, 300, hold="with-effort")))).verdict == "put-right"


# Outwards


def test_a_door_that_opens_into_a_wide_lobby_has_no_fault() -> None:
    finding = only(find(scene(doors=[door(leaf={"opens": "out"}, beyond_mm=LOBBY)])))

    assert (finding.verdict, finding.found) == ("no-fault", 180)


def test_a_door_that_opens_into_a_narrow_lobby_names_the_wall_beyond() -> None:
    narrow = [[0, -700], [4000, -700], [4000, -100], [0, -100]]

    finding = only(find(scene(doors=[door(leaf={"opens": "out"}, beyond_mm=narrow)])))

    assert finding.verdict == "put-right"
    assert "the wall beyond door d1 stops it" in finding.message


def test_a_double_door_that_opens_out_asks_one_question() -> None:
    finding = only(find(scene(doors=[door(leaf={"kind": "double", "width_mm": 390, "opens": "out"})])))

    assert finding.verdict == "not-checked"


# Other kinds of leaf


def test_a_doorway_without_a_leaf_has_nothing_to_say() -> None:
    assert list(find(scene(doors=[door(leaf={"kind": "none"})]))) == []


def test_each_leaf_of_a_double_door_is_judged_on_its_own_half() -> None:
    doors = [door(leaf={"kind": "double", "width_mm": 390})]

    findings = list(find(scene(piece(POST, 1100, 200), doors=doors)))

    assert [(f.topic, f.verdict) for f in findings] == [("right leaf", "put-right"), ("left leaf", "no-fault")]
    assert findings[1].message.endswith("345 mm of its 380 mm half of the opening is left.")


def test_double_leaves_wider_than_their_opening_are_measured_again() -> None:
    doors = [door(leaf={"kind": "double", "width_mm": 760})]

    finding = next(f for f in find(scene(doors=doors)) if f.topic == "two leaves")

    assert (finding.verdict, finding.found) == ("look-again", pytest.approx(60))  # both stand over half at acos(1/2)


def test_a_bifold_needs_half_its_width() -> None:
    doors = [door(leaf={"kind": "bifold"})]

    fits, stops = (only(find(scene(piece(POST, 1100, y), doors=doors))) for y in (464, 440))

    assert (fits.verdict, fits.found) == ("no-fault", 90)
    assert (stops.verdict, stops.against) == ("put-right", ("post",))


@pytest.mark.parametrize(("more", "verdict"), [
    ({}, "no-fault"),
    ({"from_mm": 826}, "look-again"),
    ({"from_mm": 825}, "not-checked"),
    ({"from_mm": 2200, "leaf": {"hinge": "end"}}, "no-fault"),
    ({"from_mm": 2500, "leaf": {"hinge": "end"}}, "not-checked"),
    ({"leaf": {"opens": "out"}}, "not-checked"),
    ({"leaf": {"opens": "out"}, "beyond_mm": LOBBY}, "no-fault"),
])  # fmt: skip
def test_a_sliding_leaf_needs_wall_beside_its_opening_or_a_question(more: dict[str, Any], verdict: str) -> None:
    sliding = door(**{**more, "leaf": {"kind": "sliding", **more.get("leaf", {})}})

    finding = only(find(scene(doors=[sliding])))

    assert finding.verdict == verdict
    assert bool(finding.question) is (verdict == "not-checked")


def test_something_against_the_wall_beside_a_sliding_door_is_named() -> None:
    finding = only(find(scene(piece(POST, 600, 50), doors=[door(leaf={"kind": "sliding"})])))

    assert (finding.verdict, finding.against, finding.found) == ("not-checked", ("post",), 350)


def test_a_leaf_that_is_not_measured_says_what_was_taken() -> None:
    finding = only(find(scene(doors=[door(leaf={"width_mm": None})])))

    assert finding.basis == "typical"
    assert finding.reason.endswith("800 mm is taken, the opening and 40 mm (common practice).")


# Two leaves


def test_two_doors_that_swing_through_one_corner_are_looked_at_again() -> None:
    corner = [door(from_mm=300), door("d2", edge=3, from_mm=3000 - 300 - 760, leaf={"hinge": "end"})]

    findings = [f for f in find(scene(doors=corner)) if f.topic.startswith("two leaves")]

    finding = only(findings)
    assert (finding.verdict, finding.pieces) == ("look-again", ("d1", "d2"))
    assert "Door d1 and door d2 can meet" in finding.message
    assert finding.where is not None
    assert len(finding.where.area_mm) > 2


def test_two_doors_in_different_walls_far_apart_do_not_meet() -> None:
    apart = [door(from_mm=1500), door("d2", edge=2, leaf={"hinge": "end"})]

    assert [f.verdict for f in find(scene(doors=apart))] == ["no-fault", "no-fault"]


def test_two_leaves_at_different_heights_do_not_meet() -> None:
    hatch = door("d2", edge=3, from_mm=3000 - 300 - 760, leaf={"hinge": "end"}, sill_mm=2000, head_mm=2300)

    assert [f.verdict for f in find(scene(doors=[door(from_mm=300), hatch]))] == ["no-fault", "no-fault"]


def test_the_door_of_a_machine_and_the_door_of_the_room_can_meet() -> None:
    machine = box_kit("machine", 600, 600, 850, name="Washing machine", leaf=[{"width_mm": 500}])

    findings = list(find(scene(piece(machine, 1300, 1500), kinds=[machine])))

    meeting = next(f for f in findings if f.topic == "two leaves")
    assert meeting.pieces == ("d1", "machine")
    assert "the door of the washing machine" in meeting.message


def test_the_door_of_a_machine_is_stopped_by_its_neighbour() -> None:
    machine = box_kit("machine", 600, 600, 850, name="Washing machine", leaf=[{"width_mm": 500}])
    pieces = [piece(machine, 2000, 2600), piece(POST, 2050, 2100)]

    finding = only(f for f in find(scene(*pieces, kinds=[machine, POST], doors=[])))

    assert (finding.verdict, finding.side, finding.basis) == ("put-right", "front", "typical")
    assert finding.message.startswith("The door of the washing machine opens only")
    assert "opening" not in finding.message


# What it must not depend on


def test_the_order_of_the_pieces_changes_nothing() -> None:
    pieces = [
        piece(POST, 1300, 300, id="a", hold="movable"),
        piece(POST, 1100, 600, id="b"),
        piece(POST, 900, 700, id="c"),
    ]

    one, other = list(find(scene(*pieces))), list(find(scene(*reversed(pieces))))

    assert [f.as_json() for f in one] == [f.as_json() for f in other]


@pytest.mark.parametrize("turns", [1, 2, 3])
def test_a_room_turned_by_quarters_gives_the_same_angles(turns: int) -> None:
    room = shed()
    before = only(find(build(room_from(room))))

    for _ in range(turns):
        for place in (room["outline_mm"], room["ceiling"]["slopes"][0]["area_mm"]):
            place[:] = [[-y, x] for x, y in place]
        slope = room["ceiling"]["slopes"][0]
        slope["through_mm"] = [[-y, x, z] for x, y, z in slope["through_mm"]]
        for item in room["pieces"]:
            x, y = item["at_mm"]
            item["at_mm"], item["turn_deg"] = [-y, x], item["turn_deg"] + 90
    after = only(find(build(room_from(room))))

    assert after.found == pytest.approx(before.found)
    assert after.message == before.message


def test_only_the_things_asked_about_are_answered() -> None:
    machine = box_kit("machine", 600, 600, 850, leaf=[{"width_mm": 500}])
    there = scene(piece(machine, 3000, 2600), kinds=[machine])

    assert [f.pieces for f in find(there, frozenset({"machine"}))] == [("machine",)]
    assert [f.pieces for f in find(there, frozenset({"d1"}))] == [("d1",)]


def test_the_place_of_a_stopped_door_is_what_it_sweeps_and_a_line_to_what_stops_it() -> None:
    finding = only(find(build(room_from(shed()))))

    assert finding.where is not None
    hinge, contact = finding.where.line_mm
    assert (hinge[:2], contact[:2]) == ((0, 1160), pytest.approx((150, 1080)))
    assert (0, 1160) in finding.where.area_mm
    assert (finding.where.from_mm, finding.where.to_mm) == (0, 1980)
