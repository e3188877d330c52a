"""A room file brought on to the workbench: what is said of it, what may be done, and what is refused."""

import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from geometry.editing import moved
from geometry.kinds_file import write_kinds
from geometry.kit import Kit
from geometry.reading import write_room
from geometry.room import Room
from geometry.samples import box_kit, piece, sample_room
from server.store import Store
from tests.server.conftest import room_called

HTMX = {"HX-Request": "true", "HX-Request-Type": "partial"}
HERE = room_called("Boot room")
MOVED = moved(HERE, "tank", (900, 1600))
OTHER = sample_room([], [], name="Shed", outline_mm=[[0, 0], [900, 0], [900, 900], [0, 900]])


@pytest.fixture
def room_id(store_of_app: Store) -> str:
    return store_of_app.create(HERE).room_id


def brought(client: TestClient, room_id: str, content: str | bytes) -> str:
    answer = client.post(
        f"/rooms/{room_id}/dropped", data={"layout": "1"}, files={"file": ("a.json", content)}, headers=HTMX
    )
    return unescape(answer.text)


@pytest.mark.parametrize(
    ("room", "sentence", "buttons"),
    [
        (OTHER, "another room: “Shed”, with 0 pieces", ["Open it as a new room", "Save it here as layout 2"]),
        (MOVED, "the walls of this room", ["Open it as a new room", "Save it here as layout 2"]),
        (HERE, "what is on the page already", []),
    ],
)
def test_what_the_file_is_comes_before_anything_is_done(
    client: TestClient, store_of_app: Store, room_id: str, room: Room, sentence: str, buttons: list[str]
) -> None:
    words = brought(client, room_id, write_room(room))

    assert sentence in words
    assert re.findall(r"<button class[^>]*>([^<]+)", words) == [*buttons, "Leave it"]
    assert store_of_app.latest(room_id).number == 1


def test_it_may_become_a_new_room_or_the_next_layout(client: TestClient, store_of_app: Store, room_id: str) -> None:
    new = client.post("/rooms/new", data={"mine": write_room(OTHER)})
    client.post(f"/rooms/{room_id}/keep", data={"base": 1, "step": "Room file brought in", "mine": write_room(MOVED)})

    assert store_of_app.latest(new.headers["location"].removeprefix("/rooms/")).room == OTHER
    latest = store_of_app.latest(room_id)
    assert (latest.number, latest.room, latest.step) == (2, MOVED, "Room file brought in")


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"\x89PNG\r\n\x1a\n\x00\x00", "is not text in UTF-8"),
        (b"name,width\nboiler,600\n", "The file is not JSON"),
        (b'{"type": "drawing"}', "This is not an Elbowroom room"),
        (b"", "The file is empty"),
        (write_kinds([Kit.model_validate(box_kit("tank"))]).encode(), "holds kinds of kit, not a room"),
    ],
)
def test_any_other_file_is_refused_in_a_sentence(
    client: TestClient, store_of_app: Store, room_id: str, content: bytes, sentence: str
) -> None:
    assert sentence in brought(client, room_id, content)
    assert sentence in unescape(client.post("/rooms", files={"file": ("a.json", content)}).text)
    assert len(store_of_app.rooms()) == 7


def test_the_page_tells_the_room_in_words(client: TestClient, store_of_app: Store) -> None:
    boiler = box_kit("boiler", stands_on="wall", base_mm=1200)
    door = {"id": "d1", "edge": 0, "from_mm": 300, "clear_mm": 760}
    window = {"id": "w1", "edge": 2, "from_mm": 200, "width_mm": 600, "sill_mm": 1100, "head_mm": 2000}
    room = sample_room([boiler], [piece(boiler, 1000, 1600)], doors=[door], windows=[window], ceiling={})
    page = client.get(f"/rooms/{store_of_app.create(room).room_id}").text
    words = page[page.index('id="in-words"') : page.index('class="stage"')]

    assert re.findall(r"<p>(.*?)</p>", words)[:8] == [
        "Sample room is 2,400 mm wide and 1,800 mm deep, the ceiling not measured.",
        "Front wall, 2,400 mm long, door d1, nothing by it.",
        "Right wall, 1,800 mm long, nothing by it.",
        "Back wall, 2,400 mm long, a window 600 mm wide, 1,100 to 2,000 mm up, by it Boiler.",
        "Left wall, 1,800 mm long, nothing by it.",
        "Door d1 in the front wall, 1,340 mm from its left corner seen from inside, 760 mm clear and 1,981 mm high,"
        " hinged, opens outwards.",
        "Boiler, 700 mm from the left wall, against the back wall, base 1,200 mm up.",
        re.findall(r"<p>(\d+ put right, \d+ look again, \d+ not checked, \d+ no fault found\.)</p>", words)[0],
    ]
