"""Pipes drawn by hand on the workbench: each change one step, refused in words where it cannot be."""

import re
from html import unescape
from typing import Any

import pytest
from starlette.testclient import TestClient

from geometry.checks.discharge import find
from geometry.room import Pipe, Room
from geometry.scene import build
from server.pipe_blanks import pipe_blanks
from server.pipe_cards import pipes_of
from server.store import Layout, Store
from tests.checks.discharge_room import room as discharge_room

HTMX = {"HX-Request": "true", "HX-Request-Type": "partial"}
PORT = {"name": "outlet", "medium": "hot-discharge", "size_mm": 22, "at_mm": [0, 0, 0], "faces": "below"}
VIA = [[1200, 2600, 400], [1200, 1000, 390], [3900, 1000, 370], [3900, 2600, 360]]
PIPE = {"id": "x1", "medium": "hot-discharge", "from": {"piece": "t1", "port": "outlet"}, "to": "o1", "via_mm": VIA}


def the_room(**more: Any) -> Room:
    """A store at the left, its tundish at (1200, 2600, 900), a gully beyond the right wall at 150 mm."""
    data = discharge_room(**more)
    data["kit"][1]["port"] = [PORT]
    return Room.model_validate(data)


@pytest.fixture
def room_id(store_of_app: Store) -> str:
    return store_of_app.create(the_room(pipes=[PIPE])).room_id


@pytest.fixture
def bare_id(store_of_app: Store) -> str:
    return store_of_app.create(the_room()).room_id


def changed(client: TestClient, room_id: str, do: str, layout: int = 1, script: bool = True, **fields: Any) -> Any:
    form = {"do": do, "layout": layout, "piece": "t1", "pipe": "x1", **fields}
    return client.post(f"/rooms/{room_id}/layouts", data=form, headers=HTMX if script else {})


def pipe_in(layout: Layout) -> Pipe:
    (pipe,) = layout.room.pipes
    return pipe


def told(text: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", text)).split())


def held(page: str) -> str:
    """What the label says of the picked pipe."""
    found = re.search(r'<section class="pipe-held".*?</section>', page, re.DOTALL)
    return told(found[0]) if found else ""


def test_the_label_lists_the_pipes_of_a_piece_with_their_figures(client: TestClient, room_id: str) -> None:
    page = told(client.get(f"/rooms/{room_id}?piece=s1").text)

    assert "Pipes, 2 D1 of the cylinder discharge, 15 mm copper, to the tundish" in page
    assert re.search(r"D2 of the cylinder discharge, \S+ mm copper, to the gully, [\d.]+ m, \d+ elbows", page)
    assert re.search(r"Fall \S+ mm, \S+ needed, \S+ (left|short)", page)


def test_the_largest_run_allowed_is_that_of_the_table(client: TestClient, room_id: str) -> None:
    """Approved Document G, table 3.1: a G1/2 valve with a 28 mm pipe has at most 18 m."""
    changed(client, room_id, "pipe-change", size_mm="28", material="copper")

    assert "with elbows, at most 18 m" in held(client.get(f"/rooms/{room_id}?piece=t1&pipe=x1").text)


def test_a_picked_pipe_has_a_ring_for_each_of_its_points_and_other_pieces_have_none_of_it(
    client: TestClient, room_id: str
) -> None:
    card = client.get(f"/rooms/{room_id}/card?pick=t1&pipe=x1", headers=HTMX).text

    assert set(re.findall(r'data-bend="(\d+)"', card)) == {"0", "1", "2", "3"}
    assert 'name="pipe" value="x1"' in card
    assert 'name="pipe" value=""' in client.get(f"/rooms/{room_id}/card?pick=t1&pipe=x7", headers=HTMX).text


def test_a_run_that_is_found_is_drawn_where_it_was_found_and_picked(
    client: TestClient, bare_id: str, store_of_app: Store
) -> None:
    page = changed(client, bare_id, "pipe-draw", pipe="", **{"from": "t1"}, port="outlet", to="o1").text
    after = store_of_app.latest(bare_id)

    assert after.step == "Draw a pipe of tundish"
    assert pipe_in(after).via_mm
    assert [f.message for f in find(build(after.room)) if f.verdict == "put-right" and f.topic == "route"] == []
    assert "D2 of the cylinder" in held(page)


def test_without_a_way_the_pipe_is_drawn_straight_so_that_a_hand_can_bend_it(
    client: TestClient, store_of_app: Store
) -> None:
    high = {"id": "o1", "name": "gully", "at_mm": [4000, 2600], "level_mm": 1900, "takes": ["hot-discharge"]}
    room_id = store_of_app.create(the_room(outlets=[high])).room_id

    changed(client, room_id, "pipe-draw", pipe="", **{"from": "t1"}, port="outlet", to="o1")

    assert pipe_in(store_of_app.latest(room_id)).via_mm == ()


@pytest.mark.parametrize(("do", "fields", "step", "points"), [
    ("pipe-bend", {"index": "1", "x": "1200", "y": "900", "z": "385"}, "Move a bend of", 4),
    ("pipe-point", {"index": "2", "x": "2,000 mm", "y": "1000", "z": "380"}, "Put a bend in", 5),
    ("pipe-point-out", {"index": "1"}, "Take a point out of", 3),
    ("pipe-pin", {"index": "1", "pinned": "yes"}, "Pin a point of", 4),
    ("pipe-change", {"size_mm": "35", "material": "copper"}, "Change", 4),
])  # fmt: skip
def test_each_change_is_one_named_step_that_undo_takes_back(
    client: TestClient, room_id: str, store_of_app: Store, do: str, fields: dict[str, str], step: str, points: int
) -> None:
    page = changed(client, room_id, do, **fields).text
    after = store_of_app.latest(room_id)

    assert after.step == f"{step} D2 of the cylinder"
    assert len(pipe_in(after).via_mm or ()) == points
    assert "D2 of the cylinder" in held(page)

    changed(client, room_id, "undo", layout=2)
    assert store_of_app.latest(room_id).room == store_of_app.layout(room_id, 1).room


def test_the_rest_is_found_through_a_pinned_point_and_all_is_found_without(
    client: TestClient, room_id: str, store_of_app: Store
) -> None:
    changed(client, room_id, "pipe-pin", index="1", pinned="yes")
    changed(client, room_id, "pipe-rest", layout=2)
    rest = pipe_in(store_of_app.latest(room_id))
    assert tuple(VIA[1]) in (rest.via_mm or ())
    assert rest.pinned_mm == (tuple(VIA[1]),)

    page = changed(client, room_id, "pipe-free", layout=3).text
    free = pipe_in(store_of_app.latest(room_id))
    assert (free.via_mm, free.pinned_mm) == (None, ())
    assert "Draw it by hand" in held(page)


def test_a_pin_is_let_go(client: TestClient, room_id: str, store_of_app: Store) -> None:
    changed(client, room_id, "pipe-pin", index="1", pinned="yes")
    changed(client, room_id, "pipe-pin", layout=2, index="1", pinned="no")

    assert store_of_app.latest(room_id).step == "Let go of a point of D2 of the cylinder"
    assert pipe_in(store_of_app.latest(room_id)).pinned_mm == ()


def test_a_pipe_is_taken_out_and_its_piece_stays_picked(client: TestClient, room_id: str, store_of_app: Store) -> None:
    page = changed(client, room_id, "pipe-out").text

    assert store_of_app.latest(room_id).room.pipes == ()
    assert 'data-card="t1"' in page
    assert held(page) == ""


def test_the_tundish_goes_where_nothing_of_it_is_to_put_right(client: TestClient, store_of_app: Store) -> None:
    data = discharge_room(outlets=[{"id": "o1", "name": "gully", "at_mm": [0, 2900], "level_mm": 150,
                                    "takes": ["hot-discharge"], "ends": "gully"}])  # fmt: skip
    data["pieces"] = data["pieces"][:1]
    room_id = store_of_app.create(Room.model_validate(data)).room_id

    changed(client, room_id, "tundish", piece="s1", pipe="")
    after = store_of_app.latest(room_id)

    assert (after.step, after.room.pieces[-1].kit) == ("Put a tundish to cylinder", "tundish")
    wrong = [f for f in find(build(after.room)) if f.topic in ("tundish", "valve-to-tundish")]
    assert [f.message for f in wrong if f.verdict == "put-right"] == []


def test_a_tundish_that_is_there_is_moved(client: TestClient, room_id: str, store_of_app: Store) -> None:
    changed(client, room_id, "tundish", piece="s1")
    after = store_of_app.latest(room_id)

    assert after.step == "Move the tundish of cylinder"
    assert [piece.id for piece in after.room.pieces] == ["s1", "t1"]


@pytest.mark.parametrize(("do", "fields", "words"), [
    ("pipe-bend", {"index": "1", "x": "wide", "y": "900", "z": "385"}, "“wide” is not a number for the place across"),
    ("pipe-bend", {"index": "1", "x": "1200", "y": "900", "z": ""}, "is not a number for the height"),
    ("pipe-bend", {"index": "9", "x": "1", "y": "1", "z": "1"}, "has no point 9"),
    ("pipe-bend", {"index": "-1", "x": "1", "y": "1", "z": "1"}, "has no point “-1”"),
    ("pipe-bend", {"index": "1", "x": "1000000", "y": "1", "z": "1"}, "each within 100 m"),
    ("pipe-point", {"index": "7", "x": "1", "y": "1", "z": "1"}, "another is added at 0 to 4"),
    ("pipe-point-out", {"index": "4"}, "has no point 4"),
    ("pipe-pin", {"index": "", "pinned": "yes"}, "has no point “”"),
    ("pipe-pin", {"index": "9" * 5000, "pinned": "yes"}, "A pipe has no point"),
    ("pipe-pin", {"index": "\u0663", "pinned": "yes"}, "A pipe has no point"),
    ("pipe-rest", {"pipe": "x9"}, "no pipe called x9"),
    ("pipe-free", {"pipe": ""}, "no pipe called"),
    ("pipe-change", {"size_mm": "large", "material": "copper"}, "is not a number for the size of the pipe"),
    ("pipe-change", {"size_mm": "22", "material": " "}, "Write what the pipe is made of"),
    ("pipe-change", {"size_mm": "0", "material": "copper"}, "The size of a pipe is more than 0 mm"),
    ("pipe-change", {"size_mm": "22", "material": "copper" * 30}, "at most 120 plain characters"),
    ("pipe-draw", {"from": "t1", "port": "outlet", "to": "o" * 500}, "Choose where it goes from the list"),
    ("pipe-out", {"pipe": "x9"}, "no pipe called x9"),
    ("pipe-draw", {"from": "t1", "port": "spout", "to": "o1"}, "has no port called “spout”"),
    ("pipe-draw", {"from": "t1", "port": "outlet", "to": ""}, "Choose where it goes"),
    ("pipe-draw", {"from": "s1", "port": "relief", "to": "o7"}, "o7"),
    ("pipe-draw", {"from": "t1", "port": "outlet", "to": "o1"}, "already has pipe x1"),
    ("pipe-draw", {"from": "s1", "port": "relief", "to": "s1|relief"}, "where it starts"),
    ("pipe-draw", {"from": "p9", "port": "outlet", "to": "o1"}, "no piece called p9"),
    ("tundish", {"piece": "t1"}, "No place for a tundish is found"),
])  # fmt: skip
def test_what_cannot_be_is_refused_in_words_and_nothing_is_saved(
    client: TestClient, room_id: str, store_of_app: Store, do: str, fields: dict[str, str], words: str
) -> None:
    answer = changed(client, room_id, do, **fields)

    assert answer.status_code == 422
    assert words in unescape(answer.text)
    assert store_of_app.latest(room_id).number == 1


@pytest.mark.parametrize(("do", "fields"), [
    ("pipe-bend", {"index": "1", "x": "1200", "y": "900", "z": "385"}),
    ("pipe-point", {"index": "1", "x": "1200", "y": "1800", "z": "395"}), ("pipe-point-out", {"index": "1"}),
    ("pipe-pin", {"index": "1", "pinned": "yes"}), ("pipe-rest", {}), ("pipe-free", {}),
    ("pipe-change", {"size_mm": "28", "material": "copper"}), ("pipe-out", {}), ("tundish", {"piece": "s1"}),
    ("pipe-draw", {"from": "s1", "port": "relief", "to": "o1"}),
])  # fmt: skip
def test_a_stale_change_overwrites_nothing(
    client: TestClient, room_id: str, store_of_app: Store, do: str, fields: dict[str, str]
) -> None:
    changed(client, room_id, "turn", piece="t1")

    assert changed(client, room_id, do, **fields).status_code == 409
    assert store_of_app.latest(room_id).number == 2


def tried(client: TestClient, room_id: str, **fields: Any) -> Any:
    form = {"layout": 1, "pipe": "x1", "index": "2", "x": "3900", "y": "1000", "z": "370", **fields}
    return client.post(f"/rooms/{room_id}/pipes/try", data=form, headers=HTMX)


def test_a_bend_under_the_finger_tells_length_elbows_fall_and_size_and_saves_nothing(
    client: TestClient, room_id: str, store_of_app: Store
) -> None:
    """The two stretches across the room grow by what the bend between them is moved away: 400 mm each."""
    before, after = (told(tried(client, room_id, y=y).text) for y in ("1000", "600"))
    metres = [float(found) for text in (before, after) for found in re.findall(r"Length : ([\d.]+) m", text)]

    assert metres[1] - metres[0] == pytest.approx(0.8, abs=0.02)
    assert all(
        re.search(r"Size : \d+ mm copper Length : .* elbows Counts as : .* Fall : .* needed", t)
        for t in (before, after)
    )
    assert "3900.0 600.0 370.0" in after
    assert store_of_app.latest(room_id).number == 1


def test_a_bend_pulled_out_of_a_stretch_is_one_point_more_while_it_is_tried(
    client: TestClient, room_id: str, store_of_app: Store
) -> None:
    answer = told(tried(client, room_id, x="2550", y="600", z="380", adds="yes").text)

    assert "1200.0 1000.0 390.0 2550.0 600.0 380.0 3900.0 1000.0 370.0" in answer
    assert store_of_app.latest(room_id).number == 1


def test_a_fall_that_is_lost_is_said_to_be_short(client: TestClient, room_id: str) -> None:
    assert re.search(r"Fall : \S+ mm, \S+ needed, \S+ short", told(tried(client, room_id, z="800").text))


@pytest.mark.parametrize(("fields", "words"), [
    ({"x": "far"}, "“far” is not a number"), ({"index": "8"}, "has no point 8"), ({"pipe": "x9"}, "no pipe called x9"),
    ({"index": "two"}, "has no point “two”"), ({"index": "9" * 5000}, "has no point"),
])  # fmt: skip
def test_a_try_that_cannot_be_is_refused_in_words(
    client: TestClient, room_id: str, fields: dict[str, str], words: str
) -> None:
    answer = tried(client, room_id, **fields)

    assert answer.status_code == 422
    assert words in unescape(answer.text)


def test_without_script_a_change_comes_back_to_the_picked_pipe(client: TestClient, room_id: str) -> None:
    answer = changed(client, room_id, "pipe-point-out", script=False, index="1")

    assert answer.status_code == 303
    assert answer.headers["location"] == f"/rooms/{room_id}?piece=t1&note=&pipe=x1"
    assert "D2 of the cylinder" in held(client.get(answer.headers["location"]).text)


def test_the_help_page_and_the_label_say_how_a_pipe_is_started_by_hand(client: TestClient, room_id: str) -> None:
    help_page, label = told(client.get("/help").text), told(client.get(f"/rooms/{room_id}?piece=s1").text)

    assert "To start a pipe by hand, pick the piece that it begins at and open Pipes on its label." in help_page
    assert "Press on a stretch to put a bend in" in help_page and "piece of the line" not in help_page
    assert "To draw one by hand: Draw this pipe, or choose its port under Another pipe." in label
    assert "pull at a stretch to make one" in held(client.get(f"/rooms/{room_id}?piece=t1&pipe=x1").text)


def test_ends_are_offered_that_are_for_what_the_piece_carries_or_do_not_say_what_they_are_for() -> None:
    ends = [
        {"id": f"o{k}", "name": name, "at_mm": [4000, 900 + 100 * k], "level_mm": 150, "takes": takes}
        for k, (name, takes) in enumerate([("gully", ["hot-discharge"]), ("gas riser", ["gas"]), ("sleeve", [])])
    ]
    scene = build(the_room(outlets=ends, pipes=[]))
    store = scene.placed[0]

    offered = pipes_of(scene, store.id)
    blanks = list(pipe_blanks(scene, store))

    assert offered is not None
    assert [words for ref, words in offered.goals if "|" not in ref] == ["Gully", "Sleeve"]
    assert [[words for _, words in blank.outlets] for blank in blanks] == [["Gully", "Sleeve"]]
