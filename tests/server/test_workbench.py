import json
import re
from html import unescape
from typing import Any

import pytest
from starlette.testclient import TestClient

from geometry.room import Room
from geometry.samples import box_kit, piece, sample_room
from server.store import Store

BOILER = box_kit(
    "boiler", 600, 400, 800, dry_kg=40, space=[{"side": "front", "mm": 600, "why": "the case comes off forwards"}]
)
SHELVING = box_kit("shelf-unit", 600, 300, 400, name="Shelving")
HTMX = {"HX-Request": "true", "HX-Request-Type": "partial"}
IN_FRONT = "service-space||front|boiler|/|shelf-unit"


def crowded_room(**more: Any) -> Room:
    """The boiler needs 600 mm in front and has 500: put right. Below and beside it all is well."""
    pieces = [piece(BOILER, 1000, 1600), piece(SHELVING, 1000, 750)]
    return sample_room([BOILER, SHELVING], pieces, name="Boot room, Harbour Row", **more)


@pytest.fixture
def room_id(store_of_app: Store) -> str:
    return store_of_app.create(crowded_room()).room_id


def changed(client: TestClient, room_id: str, do: str, layout: int = 1, **fields: Any) -> Any:
    form = {"do": do, "layout": layout, **fields}
    return client.post(f"/rooms/{room_id}/layouts", data=form, headers=HTMX)


def tried(client: TestClient, room_id: str, **fields: Any) -> Any:
    form = {"layout": 1, "piece": "shelf-unit", "x": 1000, "y": 750, "turn": 0, "base_mm": 0, "page": "a", "seq": 1}
    return client.post(f"/rooms/{room_id}/try", data={**form, **fields}, headers=HTMX)


def notes(page: str) -> list[str]:
    """Check and verdict of each note, in reading order."""
    found = re.findall(r'data-finding="([\w-]+)" data-verdict="([\w-]+)"', page)
    return [f"{check} {verdict}" for check, verdict in found]


def test_the_page_shows_title_layout_plan_faces_notes_counts_and_shelf(client: TestClient, room_id: str) -> None:
    page = client.get(f"/rooms/{room_id}").text

    assert "<h1>Boot room</h1>" in page
    assert "layout 1" in page
    assert 'data-piece="boiler"' in page
    assert 'data-face-piece="shelf-unit"' in page
    assert "service-space put-right" in notes(page)
    assert [words in page for words in ("put right", "look again", "not checked", "no fault found")] == [True] * 4
    assert 'data-kit="unvented-cylinder-210"' in page
    assert 'data-kit="boiler"' in page  # the room's own kinds stand on the shelf too


def test_every_note_says_what_is_short_by_how_much(client: TestClient, room_id: str) -> None:
    page = client.get(f"/rooms/{room_id}").text

    assert "Boiler needs 600 mm in front; the shelving leaves 500 mm." in page
    assert "Short by 100 mm." in page


def test_without_a_size_from_the_browser_the_page_is_drawn_for_a_laptop(client: TestClient, room_id: str) -> None:
    assert 'class="bench wide' in client.get(f"/rooms/{room_id}").text


@pytest.mark.parametrize(("area", "mode"), [("1024x768", "medium"), ("390x844", "phone"), ("1920x1080", "wide")])
def test_the_page_is_set_out_for_the_size_that_the_browser_says(
    client: TestClient, room_id: str, area: str, mode: str
) -> None:
    client.cookies.set("area", area)

    assert f'class="bench {mode}' in client.get(f"/rooms/{room_id}").text


def test_a_phone_walks_round_the_room_one_wall_at_a_time(client: TestClient, room_id: str) -> None:
    client.cookies.set("area", "390x844")

    page = client.get(f"/rooms/{room_id}?wall=2").text

    assert "Back wall" in page
    assert 'data-face-piece="boiler"' in page
    assert 'data-piece="boiler"' not in page


def test_the_page_knows_how_high_each_wall_is_and_that_an_unmeasured_ceiling_is_not_known(
    client: TestClient, store_of_app: Store
) -> None:
    def tops(**more: Any) -> list[Any]:
        room_id = store_of_app.create(sample_room([], [], **more)).room_id
        handles = re.search(r'data-handles="([^"]*)"', client.get(f"/rooms/{room_id}").text)
        assert handles is not None
        return [face["tops"] for face in json.loads(unescape(handles[1]))["faces"] if face["edge"] == 2]

    # a room of 2,400 with a ceiling at 2,400
    assert tops() == [[[[0, 2400], [2400, 2400]]]]
    assert tops(ceiling={}) == [[]]


def test_turning_the_page_turns_the_plan_by_a_quarter(client: TestClient, room_id: str) -> None:
    def plan(address: str) -> list[float]:
        handles = re.search(r'data-handles="([^"]*)"', client.get(address).text)
        assert handles is not None
        matrix: list[float] = json.loads(unescape(handles[1]))["plan"]
        return matrix

    upright, turned = plan(f"/rooms/{room_id}"), plan(f"/rooms/{room_id}?turn=1")

    assert upright[0] > 0 and upright[1] == 0
    assert abs(turned[0]) < 1e-9 and turned[1] > 0


def test_a_try_shows_what_would_be_found_and_saves_nothing(
    client: TestClient, room_id: str, store_of_app: Store
) -> None:
    away = tried(client, room_id, y=200)

    assert away.status_code == 200
    assert "service-space put-right" not in notes(away.text)
    assert re.findall(r'hx-target="(#[\w-]+)"', away.text)[:3] == ["#marks", "#findings-list", "#counts"]
    assert store_of_app.latest(room_id).number == 1


def test_svg_in_a_try_is_wrapped_so_that_it_lands_in_the_drawing(client: TestClient, room_id: str) -> None:
    assert 'hx-swap="innerMorph strip:true"><svg>' in tried(client, room_id).text


def test_a_try_that_comes_late_is_not_answered(client: TestClient, room_id: str) -> None:
    assert tried(client, room_id, page="late", seq=2).status_code == 200
    assert tried(client, room_id, page="late", seq=1).status_code == 204
    assert tried(client, room_id, page="another", seq=1).status_code == 200


def test_a_kind_from_the_shelf_can_be_tried_before_it_is_put_down(client: TestClient, room_id: str) -> None:
    answer = tried(client, room_id, piece="", kit="shelf-unit", x=1000, y=1600)

    assert "body-overlap put-right" in notes(answer.text)


def test_trying_a_piece_that_is_gone_says_so_in_the_message_place(client: TestClient, room_id: str) -> None:
    answer = tried(client, room_id, piece="p99")

    assert answer.status_code == 422
    assert answer.headers["HX-Retarget"] == "#message"
    assert "no piece called p99" in answer.text


def test_a_move_is_saved_as_the_next_layout_with_its_step_named(
    client: TestClient, room_id: str, store_of_app: Store
) -> None:
    answer = changed(client, room_id, "move", piece="shelf-unit", x=1000, y=200, turn=0, base_mm=0)

    latest = store_of_app.latest(room_id)
    assert answer.status_code == 200
    assert (latest.number, latest.step) == (2, "Move shelving")
    assert latest.room.pieces[1].at_mm == (1000, 200)
    assert "service-space put-right" not in notes(answer.text)
    assert "Undo: move shelving" in answer.text


def test_a_change_without_script_comes_back_to_the_page(client: TestClient, room_id: str) -> None:
    answer = client.post(f"/rooms/{room_id}/layouts", data={"do": "turn", "layout": 1, "piece": "boiler"})

    assert answer.status_code == 303
    assert answer.headers["location"] == f"/rooms/{room_id}?piece=boiler&note="


def test_a_move_to_where_it_is_saves_no_layout(client: TestClient, room_id: str, store_of_app: Store) -> None:
    changed(client, room_id, "move", piece="shelf-unit", x=1000, y=750, turn=0, base_mm=0)

    assert store_of_app.latest(room_id).number == 1


@pytest.mark.parametrize(("fields", "step"), [
    ({"do": "turn", "piece": "boiler"}, "Turn boiler"),
    ({"do": "move", "piece": "boiler", "x": 1000, "y": 1600, "turn": 90, "base_mm": 0}, "Turn boiler"),
    ({"do": "move", "piece": "boiler", "x": 1000, "y": 1600, "turn": 0, "base_mm": 50}, "Raise boiler"),
    ({"do": "move", "piece": "boiler", "x": 1000, "y": 1600, "turn": 0, "base_mm": -5}, "Lower boiler"),
    ({"do": "remove", "piece": "boiler"}, "Take out boiler"),
    ({"do": "rename", "piece": "boiler", "name": "CH boiler"}, "Rename boiler"),
    ({"do": "pin", "piece": "boiler"}, "Pin boiler"),
    ({"do": "add", "kit": "shelf-unit"}, "Add shelving"),
    ({"do": "add", "kit": "buffer-50", "x": 2000, "y": 600}, "Add buffer, 50 L"),
    ({"do": "stand", "piece": "boiler", "edge": 2, "left_mm": "1,200", "off_mm": "0 mm", "turn": "0", "base_mm": 0},
     "Place boiler"),
])  # fmt: skip
def test_every_deed_has_a_name(
    client: TestClient, room_id: str, store_of_app: Store, fields: dict[str, Any], step: str
) -> None:
    answer = changed(client, room_id, **fields)

    assert answer.status_code == 200
    assert store_of_app.latest(room_id).step == step


def test_exact_figures_put_a_piece_where_they_say(client: TestClient, room_id: str, store_of_app: Store) -> None:
    place = {"edge": 2, "left_mm": "1,200", "off_mm": "30", "turn": "0", "base_mm": "25"}
    changed(client, room_id, "stand", piece="boiler", **place)

    boiler = store_of_app.latest(room_id).room.pieces[0]
    assert (boiler.at_mm, boiler.base_mm) == ((1500, 1570), 25)  # body 600 x 400 in a room 1,800 deep


@pytest.mark.parametrize(("field", "value"), [("left_mm", "wide"), ("base_mm", ""), ("turn", "nan"), ("off_mm", "1e9")])
def test_a_figure_that_cannot_be_is_refused_in_words_and_nothing_is_saved(
    client: TestClient, room_id: str, store_of_app: Store, field: str, value: str
) -> None:
    place = {"edge": 2, "left_mm": "1200", "off_mm": "0", "turn": "0", "base_mm": "0", field: value}
    answer = changed(client, room_id, "stand", piece="boiler", **place)

    assert answer.status_code == 422
    assert answer.headers["HX-Retarget"] == "#message"
    assert store_of_app.latest(room_id).number == 1


def test_own_figures_carry_their_basis_and_can_be_given_back(
    client: TestClient, room_id: str, store_of_app: Store
) -> None:
    changed(client, room_id, "figures", piece="boiler", height_mm="850", height_mm_basis="manual", width_mm="600")
    boiler = store_of_app.latest(room_id).room.pieces[0]

    assert {name: (change.value, change.basis) for name, change in boiler.changes.items()} == {
        "height_mm": (850, "manual")
    }

    changed(client, room_id, "figures", layout=2, piece="boiler", height_mm="")
    assert store_of_app.latest(room_id).room.pieces[0].changes == {}


def test_undo_brings_back_the_layout_before_as_a_new_one_and_redo_brings_back_the_change(
    client: TestClient, room_id: str, store_of_app: Store
) -> None:
    changed(client, room_id, "remove", piece="shelf-unit")
    undone = changed(client, room_id, "undo", layout=2)

    assert store_of_app.latest(room_id).number == 3
    assert store_of_app.latest(room_id).room == store_of_app.layout(room_id, 1).room
    assert "Redo: take out shelving" in undone.text

    changed(client, room_id, "redo", layout=3)
    assert store_of_app.latest(room_id).room == store_of_app.layout(room_id, 2).room


def test_there_is_nothing_to_undo_in_a_room_just_opened(client: TestClient, room_id: str) -> None:
    answer = changed(client, room_id, "undo")

    assert answer.status_code == 422
    assert "nothing to undo" in answer.text


def test_a_stale_change_shows_both_and_overwrites_nothing(
    client: TestClient, room_id: str, store_of_app: Store
) -> None:
    changed(client, room_id, "move", piece="shelf-unit", x=1000, y=200, turn=0, base_mm=0)
    stale = changed(client, room_id, "move", piece="shelf-unit", x=2000, y=200, turn=0, base_mm=0)

    assert stale.status_code == 409
    assert stale.headers["HX-Retarget"] == "#message"
    assert "layout 2" in stale.text and "layout 3" in stale.text
    assert store_of_app.latest(room_id).room.pieces[1].at_mm == (1000, 200)


def test_a_picked_note_opens_with_its_measures_reason_source_and_the_smallest_move(
    client: TestClient, room_id: str
) -> None:
    sheet = client.get(f"/rooms/{room_id}/note", params={"key": IN_FRONT, "move": "1"}, headers=HTMX).text

    measures = re.findall(r"<dt>(\w+)</dt><dd><b[^>]*>([^<]+)</b>", sheet)
    assert measures == [("needed", "600"), ("found", "500"), ("short", "100 mm")]
    assert "The case comes off forwards" in sheet or "the case comes off forwards" in sheet
    assert re.search(r'<button class="do">Move the [^<]*mm[^<]*<span>This note then closes and no other opens', sheet)
    assert "(typical)" in sheet or "guidance" in sheet


def test_a_sheet_opens_at_once_and_asks_for_the_smallest_move_afterwards(client: TestClient, room_id: str) -> None:
    sheet = client.get(f"/rooms/{room_id}/note", params={"key": IN_FRONT}, headers=HTMX).text

    assert "Looking for the smallest move" in sheet
    assert "move=1" in sheet
    assert 'class="do">Move' not in sheet


def test_the_remedy_makes_the_move_and_closes_the_note(client: TestClient, room_id: str, store_of_app: Store) -> None:
    answer = changed(client, room_id, "cure", key=IN_FRONT)

    assert answer.status_code == 200
    assert "service-space put-right" not in notes(answer.text)
    assert store_of_app.latest(room_id).step.startswith("Move the ")


def test_a_remedy_of_a_note_that_is_gone_is_refused(client: TestClient, room_id: str) -> None:
    assert changed(client, room_id, "cure", key="service-space||left|boiler|/|shelf-unit").status_code == 422


def test_an_acceptance_needs_a_name_and_a_reason_and_carries_the_date_of_the_server(
    client: TestClient, room_id: str, store_of_app: Store
) -> None:
    unsigned = changed(client, room_id, "accept", key=IN_FRONT, by=" ", reason="moved by hand")
    assert unsigned.status_code == 422

    answer = changed(client, room_id, "accept", key=IN_FRONT, by="A. Fitter", reason="moved by hand", note=IN_FRONT)
    (accepted,) = store_of_app.latest(room_id).room.pieces[0].accepted
    assert (accepted.by, accepted.reason, accepted.about) == ("A. Fitter", "moved by hand", ("boiler", "shelf-unit"))
    assert re.fullmatch(r"\d{4}-\d\d-\d\d", accepted.on)
    assert "service-space put-right" in notes(answer.text)  # it stays visible
    assert "Accepted by A. Fitter" in answer.text

    changed(client, room_id, "withdraw", layout=2, key=IN_FRONT)
    assert store_of_app.latest(room_id).room.pieces[0].accepted == ()


def test_the_label_of_a_picked_piece_says_body_base_weight_and_its_worst_space(
    client: TestClient, room_id: str
) -> None:
    label = client.get(f"/rooms/{room_id}/card", params={"pick": "boiler"}, headers=HTMX).text

    rows = re.findall(r'<th scope="row">([^<]+)</th><td>(?:<b[^>]*>)?([^<]+)<', label)
    assert rows == [("Body", "600 × 400 × 800"), ("Base", "on the floor, 40 kg full"), ("In front", "500, needs 600")]
    assert [verb in label for verb in ("Turn", "Pin it", "Take out", "More")] == [True] * 4


def test_an_unknown_piece_has_no_label(client: TestClient, room_id: str) -> None:
    answer = client.get(f"/rooms/{room_id}/card", params={"pick": "p99"}, headers=HTMX)

    assert answer.status_code == 200
    assert "data-card" not in answer.text


def test_what_was_not_checked_is_asked_with_its_count(client: TestClient, room_id: str) -> None:
    page = client.get(f"/rooms/{room_id}").text

    (count,) = re.findall(r'id="questions-count">(\d+)<', page)
    questions = re.search(r'<ul id="questions-list">(.*?)</ul>', page, re.DOTALL)
    assert questions is not None
    asked = questions[1].count("<li")
    assert int(count) >= asked > 0
    assert f"{asked} questions" in page


def test_an_earlier_layout_says_so_and_offers_the_way_back(client: TestClient, room_id: str) -> None:
    changed(client, room_id, "remove", piece="shelf-unit")

    page = client.get(f"/rooms/{room_id}?layout=1").text

    assert "an earlier one" in page
    assert "Go back to this one" in page


def test_text_of_a_room_file_is_never_markup(client: TestClient, store_of_app: Store) -> None:
    kind = box_kit("boiler", name='<b onclick="x">&"')
    room = sample_room([kind], [piece(kind, 1000, 1600, name="<script>alert(1)</script>")], name="<img src=x>, <i>")
    room_id = store_of_app.create(room).room_id

    page = client.get(f"/rooms/{room_id}?piece=boiler").text

    assert re.findall(r"<(?:img|script>|i>|b onclick)", page) == []


def test_a_deed_that_nobody_knows_is_refused(client: TestClient, room_id: str) -> None:
    assert changed(client, room_id, "explode").status_code == 422


def test_while_a_piece_is_tried_the_questions_come_with_the_counts(client: TestClient, room_id: str) -> None:
    answer = tried(client, room_id).text

    (count,) = re.findall(r'id="questions-count">(\d+)<', answer)
    assert f'<span class="no nc">{count}</span> not checked' in answer
    assert 0 < answer.count('class="ask"') <= int(count)


def test_questions_that_the_page_shows_already_are_not_sent_again(client: TestClient, room_id: str) -> None:
    first = tried(client, room_id).text
    asked = first.partition('data-asked="')[2].partition('"')[0]

    again = tried(client, room_id, asked=asked).text

    assert asked
    assert "questions-list" in first
    assert "questions-list" not in again
    assert "findings-list" in again


def test_a_page_that_shows_the_same_marks_and_notes_does_not_get_them_again(client: TestClient, room_id: str) -> None:
    first = tried(client, room_id)
    shown = first.headers["Written"]

    again = tried(client, room_id, seq=2, written=shown).text
    elsewhere = tried(client, room_id, seq=3, y=200, written=shown).text

    sent = [["#marks" in text, "#findings-list" in text, "#counts" in text] for text in (first.text, again, elsewhere)]
    assert sent == [[True, True, True], [False, False, True], [True, True, True]]
