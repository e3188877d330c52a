"""Own kinds of kit: what the papers give, what stays typical, and what nobody knows."""

from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.checking import check_room
from geometry.editing import added, with_kind
from geometry.errors import RoomError
from geometry.kinds_file import read_kinds, write_kinds
from geometry.kit import Kit, Plan
from geometry.own_kind import AccessPoint, Figure, Papers, Part, on_side, own_kind, seen_on_side
from geometry.reading import read_room, write_room
from geometry.samples import box_kit, piece, sample_room
from geometry.saved import SIDES, Side
from geometry.shelf import shelf

LIKE = shelf()["unvented-cylinder-210"]
SIZES = {"width_mm": Figure(500, "manual p. 3"), "depth_mm": Figure(400), "height_mm": Figure(900)}


def papers(**more: object) -> Papers:
    told = {"key": "own-tank", "name": "Tank", "group": "cold water", "round_body": False, "figures": SIZES}
    return Papers(**{**told, **more})  # type: ignore[arg-type]


def cylinder(**figures: Figure) -> Kit:
    return own_kind(papers(round_body=True, figures=figures), LIKE)


def test_a_figure_of_the_papers_is_from_the_manual_with_its_page_and_the_rest_stays_typical() -> None:
    kit = cylinder(round_mm=Figure(520, "manual p. 9"))

    told = kit.told("round_mm")
    assert told is not None
    assert (kit.plan.round_mm, told.basis, told.note) == (520, "manual", "manual p. 9")
    assert (kit.height_mm, kit.basis_of("height_mm"), kit.like) == (LIKE.height_mm, "typical", LIKE.key)
    assert (kit.space, kit.port[0].name, kit.traits) == (LIKE.space, LIKE.port[0].name, LIKE.traits)


def test_like_no_other_kind_what_is_not_written_is_unknown_and_its_space_is_a_question() -> None:
    kit = own_kind(papers(figures={**SIZES, "space_front_mm": Figure(600)}))
    room = added(with_kind(sample_room([], []), kit), kit.key, (1000, 1000))

    asked = [f for f in check_room(room).findings if f.check == "service-space" and f.verdict == "not-checked"]

    assert (kit.dry_kg, kit.water_l, kit.access) == (None, None, ())
    assert [f.question for f in asked] == [
        "What free space does the tank need on its left, on its right, behind, above and below?"
    ]


def test_the_pieces_own_figures_settle_the_space_that_was_unknown() -> None:
    kit = own_kind(papers(figures={**SIZES, **{f"space_{side}_mm": Figure(0) for side in SIDES if side != "left"}}))
    changes = {"space_left_mm": {"value": 100, "basis": "measured"}}
    room = sample_room([kit.model_dump(mode="json")], [piece(box_kit("own-tank"), 1000, 1000, changes=changes)])

    found = [f for f in check_room(room).findings if f.check == "service-space"]

    assert [(f.verdict, f.side, f.basis) for f in found] == [("no-fault", "left", "measured")]


def test_a_space_of_the_papers_is_judged_as_one_from_the_manual() -> None:
    kit = own_kind(papers(figures={**SIZES, "space_front_mm": Figure(2000, "p. 4")}))
    room = added(with_kind(sample_room([], []), kit), kit.key, (1000, 1000))

    (short,) = [f for f in check_room(room).findings if f.check == "service-space" and f.verdict == "put-right"]

    assert (short.needed, short.basis) == (2000, "manual")


def test_what_has_to_pass_the_door_is_the_own_body() -> None:
    carry = cylinder(round_mm=Figure(520), height_mm=Figure(1400)).carry

    assert carry is not None
    assert (carry.round_mm, carry.height_mm, carry.ways) == (520, 1400, ("upright", "tip"))


def test_a_point_of_the_same_name_takes_the_place_of_the_typical_one() -> None:
    mine = AccessPoint("immersion heater", "front", 0, 400, "boss-spanner", 300, 450)

    kit = own_kind(papers(round_body=True, figures={}, access=(mine,), page="p. 7"), LIKE)

    (heater,) = [one for one in kit.access if one.name == "immersion heater"]
    assert heater.at_mm == pytest.approx((0, -LIKE.plan.width_mm / 2, 400))
    assert heater.draw_out is not None and heater.draw_out.length_mm == 450
    assert len(kit.access) == len(LIKE.access)
    assert kit.basis_of("draw_out:immersion heater") == "manual"
    assert kit.basis_of("level:drain cock") == "typical"


def test_the_typical_points_and_parts_can_be_left_out() -> None:
    kit = own_kind(papers(round_body=True, figures={}, alone=True), LIKE)

    assert (kit.access, kit.sticks_out) == ((), ())


def test_what_sticks_out_lies_about_its_own_middle() -> None:
    part = Part("overflow", "left", 60, 50, 700, 40, 100)

    (stick,) = own_kind(papers(sticks_out=(part,))).sticks_out

    assert (stick.mm, stick.across_mm, stick.from_mm, stick.to_mm) == (60, (30, 70), 650, 750)


@given(
    side=st.sampled_from(SIDES), across=st.floats(-250, 250), up=st.floats(0, 400), round_body=st.booleans()
)  # fmt: skip
def test_a_place_on_a_side_is_seen_where_it_was_put(side: Side, across: float, up: float, round_body: bool) -> None:
    plan = Plan(round_mm=500.0) if round_body else Plan(box_mm=(600.0, 500.0))

    at_mm = on_side(plan, 900.0, side, across, up)

    assert seen_on_side(side, at_mm) == pytest.approx((across, up))
    if side not in ("above", "below") and round_body:
        assert hypot(at_mm[0], at_mm[1]) == pytest.approx(250)


@pytest.mark.parametrize(
    ("more", "sentence"),
    [
        ({"figures": {}}, "needs all its sizes"),
        ({"figures": {**SIZES, "height_mm": Figure(0)}}, "A size is a length"),
        ({"name": "  "}, "A name is one line"),
        ({"key": "unvented-cylinder-210"}, "on the shelf already"),
        ({"sticks_out": (Part("cap", "front", 50, 0, 40, 50, -20),)}, "is not above it"),
    ],
)
def test_a_kind_that_cannot_be_is_refused_in_a_sentence(more: dict[str, object], sentence: str) -> None:
    with pytest.raises(RoomError, match=sentence):
        own_kind(papers(**more))


def test_an_own_kind_goes_with_the_room_file_and_comes_back_the_same() -> None:
    kit = cylinder(round_mm=Figure(520, "manual p. 9"))
    room = added(with_kind(sample_room([], []), kit), kit.key, (1000, 1000))

    assert read_room(write_room(room)) == room


def test_a_kind_written_anew_takes_the_place_of_the_old_one_in_a_room() -> None:
    room = with_kind(with_kind(sample_room([], []), cylinder()), cylinder(round_mm=Figure(520)))

    assert [kit.plan.round_mm for kit in room.kit] == [520]


def test_kinds_go_out_as_a_file_and_come_in_again_the_same() -> None:
    kinds = (cylinder(round_mm=Figure(520, "manual p. 9")), Kit.model_validate(box_kit("own-box")))

    assert read_kinds(write_kinds(kinds)) == kinds


def test_the_own_kinds_of_a_room_file_can_be_read_as_kinds() -> None:
    tank = box_kit("tank")

    assert [kit.key for kit in read_kinds(write_room(sample_room([tank], [])))] == ["tank"]


HEAD = '{"format": "elbowroom-shelf", "format_version": 1, "kit": '
TANK = '{"key": "tank", "name": "Tank", "plan": {"round_mm": 400}, "height_mm": 900'


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "The file is empty"),
        ("not json", "The file is not JSON"),
        ("[]", "holds no kinds of kit"),
        ('{"format": "drawing"}', "holds no kinds of kit"),
        (write_room(sample_room([], [])), "a room file without own kinds"),
        (HEAD + "[]}", "needs at least 1"),
        (HEAD + "[" + TANK + ', "colour": 1}]}', 'kit, "tank", colour: '),
        (HEAD + "[" + TANK + "}, " + TANK + "}]}", 'Kit "tank" is described twice'),
        (
            HEAD + '[{"key": "buffer-50", "name": "B", "plan": {"round_mm": 9}, "height_mm": 9}]}',
            "on the shelf already",
        ),
        (HEAD + "[" + TANK + ', "figures": [{"figure": "colour", "basis": "manual"}]}]}', '"colour" is not a figure'),
    ],
)
def test_a_file_without_usable_kinds_is_refused_in_a_sentence(text: str, sentence: str) -> None:
    with pytest.raises(RoomError, match=sentence):
        read_kinds(text)


def test_a_file_of_kinds_is_no_room_and_says_where_it_goes() -> None:
    with pytest.raises(RoomError, match="holds kinds of kit, not a room"):
        read_room(write_kinds([cylinder()]))
