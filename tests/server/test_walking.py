"""Walking the walls in the browser's form, and kit that is ticked at the start."""

import re
from html import unescape
from math import dist

import pytest
from starlette.testclient import TestClient

from geometry.room import Room
from server.store import Store

Fields = dict[str, str]
SQUARE: Fields = {
    "name": "Boot room, Harbour Row", "tolerance": "10", "height1": "2,400", "height2": "2.39 m", "height3": "",
    **{f"w{i}_length": length for i, length in enumerate(("2400", "1800", "2404", "1803"))},
    **{f"w{i}_turn": "left" for i in range(4)},
    **{f"w{i}_angle": "" for i in range(4)},
    "o0_kind": "door", "o0_wall": "0", "o0_corner": "first", "o0_from": "300", "o0_wide1": "720", "o0_wide2": "715",
    "o0_wide3": "722", "o0_head": "1981", "o0_sill": "", "o0_opens": "in", "o0_hinge": "first",
}  # fmt: skip


def drawn(client: TestClient, store: Store, fields: Fields) -> Room:
    answer = client.post("/measure/walls", data=fields)
    assert answer.status_code == 303, answer.text
    return store.latest(answer.headers["location"].split("/")[2]).room


def looked_at(client: TestClient, fields: Fields) -> str:
    return unescape(client.post("/measure/walls/look", data=fields).text)


def test_the_blank_form_asks_for_four_walls_and_a_door(client: TestClient) -> None:
    page = client.get("/measure/walls").text

    assert len(re.findall(r'name="w\d_length"', page)) == 4
    assert 'name="o0_wide3"' in page
    assert "Write the first wall" in page


def test_what_was_walked_is_drawn_with_its_error_spread(client: TestClient, store_of_app: Store) -> None:
    """The whole walk is 8,407; it misses its start by -4 and -3. B moves by 4 x 2,400 / 8,407 and 3 x 2,400 / 8,407."""
    room = drawn(client, store_of_app, SQUARE)

    (ax, ay), (bx, by) = room.outline_mm[:2]
    assert (bx - ax, by - ay) == pytest.approx((2400 + 4 * 2400 / 8407, 3 * 2400 / 8407), abs=0.01)
    assert room.ceiling.height_mm == 2390
    assert room.name == "Boot room, Harbour Row"


def test_of_three_door_widths_the_least_is_used_and_it_stands_where_it_was_measured(
    client: TestClient, store_of_app: Store
) -> None:
    (door,) = drawn(client, store_of_app, SQUARE).doors

    assert (door.edge, door.from_mm, door.clear_mm, door.head_mm) == (0, 300, 715, 1981)
    assert (door.leaf.opens, door.leaf.hinge) == ("in", "start")


def test_a_place_from_the_second_corner_is_counted_from_there(client: TestClient, store_of_app: Store) -> None:
    room = drawn(client, store_of_app, {**SQUARE, "o0_corner": "second", "o0_hinge": "second"})

    (door,) = room.doors
    length = dist(room.outline_mm[0], room.outline_mm[1])
    assert door.from_mm == pytest.approx(length - 300 - 715, abs=0.1)
    assert door.leaf.hinge == "end"


def test_walking_the_other_way_round_gives_the_room_in_the_mirror_of_its_turns(
    client: TestClient, store_of_app: Store
) -> None:
    """To the right, the first wall runs from right to left in plan, and so does what is measured along it."""
    right = {f"w{i}_turn": "right" for i in range(4)}
    (door,) = drawn(client, store_of_app, {**SQUARE, **right}).doors

    assert door.edge == 0
    assert door.from_mm == pytest.approx(2400 - 300 - 715, abs=3)
    assert door.leaf.hinge == "end"


def test_what_is_left_empty_is_drawn_as_usual_and_kept_as_not_measured(client: TestClient, store_of_app: Store) -> None:
    empty = {
        "w2_length": "",
        "o0_wide1": "",
        "o0_wide2": "",
        "o0_wide3": "",
        "o0_from": "",
        "height1": "",
        "height2": "",
    }
    room = drawn(client, store_of_app, {**SQUARE, **empty})

    assert room.ceiling.height_mm is None
    assert [(item.of, item.what, item.taken_mm) for item in room.not_measured] == [
        ("edge:2", "length", 2400),
        ("d1", "clear width", 700),
        ("d1", "place along its wall", 850),
    ]


def test_a_window_an_outlet_and_a_door_still_to_come_are_drawn(client: TestClient, store_of_app: Store) -> None:
    more = {
        "o1_kind": "window", "o1_wall": "2", "o1_corner": "first", "o1_from": "500", "o1_wide1": "900",
        "o1_sill": "1000", "o1_head": "2100",
        "o2_kind": "outlet", "o2_wall": "1", "o2_corner": "first", "o2_from": "400", "o2_level": "150",
        "o2_name": "gully", "o0_planned": "on",
    }  # fmt: skip
    room = drawn(client, store_of_app, {**SQUARE, **more})

    (window,), (outlet,) = room.windows, room.outlets
    assert (window.edge, window.from_mm, window.width_mm, window.sill_mm, window.head_mm) == (2, 500, 900, 1000, 2100)
    assert (outlet.name, outlet.level_mm) == ("gully", 150)
    assert outlet.at_mm == pytest.approx((2401, 401), abs=1.5)
    assert room.doors[0].planned


def test_the_closing_error_is_told_while_typing(client: TestClient) -> None:
    told = looked_at(client, SQUARE)

    assert "5.0 mm apart where the walk ends" in told
    assert "4.0 mm along the first wall and 3.0 mm away from it" in told
    assert "spread over the walls" in told


def test_a_walk_that_misses_by_more_says_which_wall_to_take_again_and_is_not_drawn(client: TestClient) -> None:
    fields = {**SQUARE, "w2_length": "2300", "w3_length": "1800"}

    answer = client.post("/measure/walls", data=fields)

    assert answer.status_code == 422
    assert "Take again wall AB (2,400 mm written; 2,300 mm would close it) or wall CD" in unescape(answer.text)
    assert 'value="2300"' in answer.text


def test_a_half_written_walk_is_drawn_as_far_as_it_goes(client: TestClient) -> None:
    told = looked_at(client, {**SQUARE, "w1_length": "", "w2_length": "", "w3_length": ""})

    assert "Walls BC and CD and DA are not measured" in told
    assert told.count('class="walked"') == 1


def test_walls_that_the_others_tell_are_dotted_and_named(client: TestClient) -> None:
    told = looked_at(client, {**SQUARE, "w2_length": "", "w3_length": ""})

    assert "Nothing left to check it by" in told
    assert "CD 2,400 mm, DA 1,800 mm" in told
    assert told.count('class="walked-guess"') == 2


def test_a_diagonal_draws_four_walls_out_of_square(client: TestClient, store_of_app: Store) -> None:
    """Sides 2,400 and 1,800 and a diagonal of 3,060: by the law of cosines the angle at B is 92.40 degrees."""
    fields = {**SQUARE, "w2_length": "2400", "w3_length": "1800", "by_diagonal": "on"}
    fields |= {"x0_start": "0", "x0_end": "2", "x0_length": "3060"}

    room = drawn(client, store_of_app, fields)

    (ax, ay), _, (cx, cy), _ = room.outline_mm
    assert ((cx - ax) ** 2 + (cy - ay) ** 2) ** 0.5 == pytest.approx(3060, abs=0.1)


def test_an_angle_that_was_measured_inside_is_used(client: TestClient, store_of_app: Store) -> None:
    """A right triangle, 3, 4 and 5: angles of 90, 53.13 and 36.87 degrees inside."""
    fields = {name: text for name, text in SQUARE.items() if not name.startswith("w3")}
    fields |= {"w0_length": "3000", "w1_length": "4000", "w2_length": "5000", "tolerance": "2"}
    fields |= {"w1_turn": "angle", "w1_angle": "36.87", "w2_turn": "angle", "w2_angle": "53,13"}

    room = drawn(client, store_of_app, fields)

    assert room.outline_mm[2] == pytest.approx((3000, 4000), abs=1)


@pytest.mark.parametrize(
    ("slip", "told"),
    [
        ({"w1_length": "wide"}, "Write a length in millimetres"),
        ({"w1_length": "1.8"}, "Did you mean 1,800 mm?"),
        ({"o0_wide1": "9000", "o0_wide2": "", "o0_wide3": ""}, "9,000 mm is wider than wall AB"),
        ({"o0_from": "2000"}, "past the other corner"),
        ({"o0_head": "100", "o0_sill": "200"}, "is not above its sill"),
        ({"w0_turn": "angle", "w0_angle": "square"}, "Write the angle at B inside the room"),
    ],
)
def test_a_blank_that_cannot_be_used_says_so_beside_it_and_everything_is_kept(
    client: TestClient, slip: Fields, told: str
) -> None:
    fields = {**SQUARE, **slip}

    answer = client.post("/measure/walls", data=fields)

    page = unescape(answer.text)
    assert answer.status_code == 422
    assert told in page
    assert "Everything is kept" in page or "The rest is kept as you wrote it." in page
    for name in ("name", "height2", "w0_length", "o0_head", *slip):
        if "turn" not in name:
            assert re.search(rf'name="{name}" value="{re.escape(fields[name])}"', page), name


@pytest.mark.parametrize(
    ("do", "there", "count"),
    [
        ("wall", r'name="w\d_length"', 5),
        ("drop-w1", r'name="w\d_length"', 3),
        ("diagonal", r'name="x\d_length"', 1),
        ("window", r'name="o\d_kind"', 2),
        ("drop-o0", r'name="o\d_kind"', 0),
        ("look", r'name="w\d_length"', 4),
    ],
)
def test_rows_are_added_and_taken_out_without_script_and_nothing_is_lost(
    client: TestClient, do: str, there: str, count: int
) -> None:
    page = client.post("/measure/walls", data={**SQUARE, "do": do}).text

    assert len(re.findall(there, page)) == count
    assert 'value="Boot room, Harbour Row"' in page
    assert 'value="2400"' in page


def test_kit_that_is_ticked_is_put_in_and_the_page_says_whether_it_fits(
    client: TestClient, store_of_app: Store
) -> None:
    answer = client.post("/measure/walls", data={**SQUARE, "kit-wall-boiler-system": "on", "kit-nothing": "on"})

    page = client.get(answer.headers["location"]).text
    room = store_of_app.latest(answer.headers["location"].split("/")[2]).room
    assert [piece.kit for piece in room.pieces] == ["wall-boiler-system"]
    assert "It has a place." in page
    assert "no fault found in these checks" in page


def test_five_numbers_and_kit_that_is_too_much_say_what_is_short(client: TestClient) -> None:
    measures = {"width_mm": "1150", "depth_mm": "700", "height_mm": "2400", "door_width_mm": "700"}
    measures |= {
        "door_height_mm": "1981",
        "opens": "out",
        "kit-wall-boiler-system": "on",
        "kit-unvented-cylinder-150": "on",
    }

    answer = client.post("/measure", data=measures)

    page = client.get(answer.headers["location"]).text
    assert "Both in this room: no place together yet." in page
    assert "Short by" in page


def test_ticks_stay_when_a_measure_cannot_be(client: TestClient) -> None:
    page = client.post("/measure", data={"width_mm": "wide", "kit-washing-machine": "on"}).text

    assert re.search(r'name="kit-washing-machine" checked', page)
