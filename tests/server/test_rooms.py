import json
import re
from html import unescape
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from geometry.reading import read_room, write_room
from server.measured import length_from
from server.paths import DEMO_ROOMS
from server.store import Store
from tests.server.conftest import file_of, room_called

MEASURES = {
    "name": "Boot room, Harbour Row",
    "width_mm": "2,400",
    "depth_mm": "1800 mm",
    "height_mm": "2.4 m",
    "door_width_mm": "700",
    "door_height_mm": "1981",
    "opens": "out",
}


def opened(client: TestClient, name: str = "Boot room, Harbour Row") -> str:
    """The id of a room that was just sent in."""
    answer = client.post("/rooms", files=file_of(room_called(name)))
    assert answer.status_code == 303
    return str(answer.headers["location"]).removeprefix("/rooms/")


def test_the_list_shows_every_room_with_its_name_place_and_layout(client: TestClient) -> None:
    opened(client)

    page = client.get("/").text

    assert "<h2>Boot room</h2>" in page
    assert '<p class="it">Harbour Row</p>' in page
    assert "layout 1, " in page


def test_the_list_shows_all_four_counts_of_each_room_in_one_order(client: TestClient) -> None:
    opened(client)

    page = client.get("/").text
    words = ["put right", "look again", "not checked", "no fault found"]
    (counts,) = re.findall(r'<p class="counts">(.*?)</p>', page, re.DOTALL)[:1]

    assert re.findall("|".join(words), counts) == words


def test_a_list_of_many_rooms_is_leafed_through(client: TestClient, store_of_app: Store) -> None:
    for number in range(13):
        store_of_app.create(room_called(f"Room {number}"))

    first, second = client.get("/").text, client.get("/?page=2").text

    assert "Older rooms" in first
    assert "Room 0<" not in first
    assert "<h2>Room 0</h2>" in second
    assert "Newer rooms" in second


def test_names_are_shown_as_text(client: TestClient) -> None:
    opened(client, "<script>alert(1)</script>")

    assert "<script>alert" not in client.get("/").text


def test_a_room_file_comes_back_as_it_was_sent(client: TestClient) -> None:
    room_id = opened(client)

    answer = client.get(f"/rooms/{room_id}/file")

    assert answer.text == write_room(room_called("Boot room, Harbour Row"))
    assert answer.headers["Content-Disposition"] == f'attachment; filename="{room_id}-layout-1.json"'


@pytest.mark.parametrize(
    ("sent", "told"),
    [
        (b"", "The file is empty"),
        (b"{", "not JSON"),
        (b"\xff\xfe\x00", "not text"),
        (b"[]", "not a room"),
        (b'{"format": "something-else"}', "not an Elbowroom room"),
        (b" " * 10_000_000, "The file is 10.0 MB; a room file is under 2 MB."),
    ],
)
def test_a_file_that_is_no_room_is_refused_in_a_sentence_and_keeps_nothing(
    client: TestClient, store_of_app: Store, sent: bytes, told: str
) -> None:
    before = len(store_of_app.rooms())

    answer = client.post("/rooms", files={"file": ("room.json", sent)})

    assert answer.status_code == 422
    assert told in answer.text
    assert len(store_of_app.rooms()) == before


def test_a_form_without_a_file_says_to_choose_one(client: TestClient) -> None:
    for answer in (client.post("/rooms", files={"file": ("", b"")}), client.post("/rooms")):
        assert answer.status_code == 422
        assert "Choose a room file first" in answer.text


@pytest.mark.parametrize("path", sorted(DEMO_ROOMS.glob("*.json")), ids=lambda path: path.stem)
def test_a_room_can_be_started_from_each_demo_room(client: TestClient, path: Path) -> None:
    answer = client.post(f"/rooms/like/{path.stem}")

    copied = client.get(f"{answer.headers['location']}/file")

    assert read_room(copied.text) == read_room(path.read_bytes())


def test_a_demo_room_that_is_not_there_is_not_looked_for_elsewhere(client: TestClient) -> None:
    assert client.post("/rooms/like/..%2Fpyproject").status_code == 404
    assert client.post("/rooms/like/nothing").status_code == 404


def test_five_numbers_draw_a_room_with_a_door(client: TestClient, store_of_app: Store) -> None:
    answer = client.post("/measure", data=MEASURES)

    assert answer.status_code == 303
    room = store_of_app.latest(answer.headers["location"].removeprefix("/rooms/")).room
    assert room.outline_mm == ((0, 0), (2400, 0), (2400, 1800), (0, 1800))
    assert room.ceiling.height_mm == 2400
    (door,) = room.doors
    assert (door.edge, door.from_mm, door.clear_mm, door.head_mm, door.leaf.opens) == (0, 850, 700, 1981, "out")


def test_the_left_corner_is_on_the_left_of_a_person_who_looks_in(client: TestClient, store_of_app: Store) -> None:
    """As the plan is drawn: the wall of the door is nearest the reader, and its left corner is (0, 0)."""
    answer = client.post("/measure", data={**MEASURES, "door_from_mm": "200"})

    (door,) = store_of_app.latest(answer.headers["location"].removeprefix("/rooms/")).room.doors
    assert door.from_mm == 200


def test_the_drawing_measures_the_door_from_the_same_side_as_the_words(client: TestClient) -> None:
    page = client.get("/measure").text
    left_corner = re.search(r'<rect class="floor" x="(\d+)"', page)
    rings = re.findall(r'<circle class="zero0" cx="(\d+)"', page)

    assert "Stand in the doorway and look in. Left is your left hand." in page
    assert left_corner is not None
    assert rings[-1] == left_corner[1]


@pytest.mark.parametrize(
    ("opens", "leaf"),
    [
        ("out", ("hinged", "out", "start")),
        ("in-left", ("hinged", "in", "start")),
        ("in-right", ("hinged", "in", "end")),
        ("sliding", ("sliding", "out", "start")),
        ("none", ("none", "out", "start")),
    ],
)
def test_the_door_opens_as_it_is_said_to(
    client: TestClient, store_of_app: Store, opens: str, leaf: tuple[str, str, str]
) -> None:
    answer = client.post("/measure", data={**MEASURES, "opens": opens})

    (door,) = store_of_app.latest(answer.headers["location"].removeprefix("/rooms/")).room.doors
    assert (door.leaf.kind, door.leaf.opens, door.leaf.hinge) == leaf


@pytest.mark.parametrize("left", [{}, {"opens": "ask"}])
def test_which_way_the_door_opens_is_asked_and_never_taken_for_granted(
    client: TestClient, left: dict[str, str]
) -> None:
    page = client.get("/measure").text
    answer = client.post("/measure", data={name: text for name, text in MEASURES.items() if name != "opens"} | left)

    assert '<option value="ask">choose which way</option>' in page
    assert "selected" not in page
    assert answer.status_code == 422
    assert "Say which way the door opens" in answer.text


@pytest.mark.parametrize(
    ("slip", "meant"),
    [({"depth_mm": "1.2"}, "Did you mean 1,200 mm?"), ({"width_mm": "240"}, "Did you mean 2,400 mm?"),
     ({"door_width_mm": "0.7"}, "Did you mean 700 mm?")],
)  # fmt: skip
def test_metres_typed_into_a_blank_of_millimetres_are_asked_about(
    client: TestClient, slip: dict[str, str], meant: str
) -> None:
    answer = client.post("/measure", data={**MEASURES, **slip})

    assert answer.status_code == 422
    assert meant in answer.text


@pytest.mark.parametrize(
    ("slip", "told"),
    [
        ({"width_mm": ""}, "Write what the tape says."),
        ({"width_mm": "wide"}, "Write a length in millimetres"),
        ({"width_mm": "-2400"}, "Write a length in millimetres"),
        ({"width_mm": "nan"}, "Write a length in millimetres"),
        ({"width_mm": "24"}, "24 mm is not likely here"),
        ({"width_mm": "24 mm"}, "24 mm is not likely here: between 300 and 30,000 is."),
        ({"door_width_mm": "2500"}, "2,500 mm is wider than its wall, 2,400 mm."),
        ({"door_from_mm": "1800"}, "100 mm past the other corner"),
        ({"door_height_mm": "2500"}, "2,500 mm is above the ceiling, 2,400 mm."),
    ],
)
def test_a_measure_that_cannot_be_is_told_beside_its_blank_and_the_rest_is_kept(
    client: TestClient, slip: dict[str, str], told: str
) -> None:
    answer = client.post("/measure", data={**MEASURES, **slip})

    assert answer.status_code == 422
    assert told in answer.text
    assert 'value="1800 mm"' in answer.text
    (name,) = slip
    assert re.search(rf'id="{name}"[^>]*aria-invalid="true"', answer.text)


@pytest.mark.parametrize(
    ("written", "length_mm"),
    [
        ("2400", 2400),
        ("2,400 mm", 2400),
        ("2.4m", 2400),
        ("240 cm", 2400),
        ("2400.5", 2400.5),
        ("1e3", None),
        ("", None),
    ],
)
def test_lengths_are_read_as_people_write_them(written: str, length_mm: float | None) -> None:
    assert length_from(written) == length_mm


def test_the_list_of_layouts_offers_each_and_brings_one_back(client: TestClient, store_of_app: Store) -> None:
    room_id = opened(client)
    store_of_app.save(room_id, 1, room_called("Boot room, renamed"), "Renamed")

    page = client.get(f"/rooms/{room_id}/layouts").text
    answer = client.post(f"/rooms/{room_id}/back", data={"base": "2", "number": "1"})

    assert page.index("layout 2") < page.index("layout 1")
    assert f'href="/rooms/{room_id}/file?layout=1"' in page
    assert answer.headers["location"] == f"/rooms/{room_id}"
    assert store_of_app.latest(room_id).number == 3
    assert store_of_app.latest(room_id).room.name == "Boot room, Harbour Row"


@pytest.mark.parametrize("number", ["99", "-1", "9" * 30, "9" * 400, "9" * 5000, "1e3", ""])
@pytest.mark.parametrize("field", ["base", "number"])
def test_a_layout_number_that_there_is_not_is_refused_in_a_sentence(
    client: TestClient, store_of_app: Store, field: str, number: str
) -> None:
    room_id = opened(client)

    answer = client.post(f"/rooms/{room_id}/back", data={"base": "1", "number": "1"} | {field: number})

    assert 400 <= answer.status_code < 500
    assert "<h2>" in answer.text or "<h1" in answer.text
    assert "9" * 41 not in answer.text
    assert store_of_app.latest(room_id).number == 1


def test_what_met_another_save_is_offered_again_and_kept_on_top_of_it(client: TestClient, store_of_app: Store) -> None:
    room_id = opened(client)
    store_of_app.save(room_id, 1, room_called("Boot room, theirs"), "Theirs")
    mine = write_room(room_called('Boot room, "mine" & <ours>'))

    refused = client.post(f"/rooms/{room_id}/keep", data={"base": "1", "step": "Mine", "mine": mine})
    base, step, kept = hidden_fields(refused.text)
    answer = client.post(f"/rooms/{room_id}/keep", data={"base": base, "step": step, "mine": kept})

    assert refused.status_code == 409
    assert "Somebody saved layout 2 meanwhile." in refused.text
    assert "See layout 2" in refused.text
    assert "Save mine as layout 3" in refused.text
    assert answer.status_code == 303
    assert [store_of_app.layout(room_id, number).room.name for number in (2, 3)] == [
        "Boot room, theirs",
        'Boot room, "mine" & <ours>',
    ]
    assert json.loads(store_of_app.latest(room_id).body) == json.loads(mine)


def hidden_fields(page: str) -> list[str]:
    return [unescape(value) for value in re.findall(r'<input type="hidden" name="\w+" value="([^"]*)"', page)]
