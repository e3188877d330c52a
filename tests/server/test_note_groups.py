"""Notes and questions in groups, and everything shown at once."""

import re
from xml.etree import ElementTree

import pytest
from starlette.testclient import TestClient

from geometry.samples import box_kit, piece, sample_room
from server.store import Store

FRONT = [{"side": "front", "mm": 600, "why": "the case comes off forwards"}]
BOILER = box_kit("boiler", 600, 400, 800, dry_kg=40, space=FRONT)
TANK = box_kit("tank", 500, 400, 900, space=FRONT)
DIAL = {"name": "dial", "at_mm": [0, -200, 1400], "faces": "front", "tool": "eye", "must_be_seen": True}
TALL = box_kit("tall", 300, 400, 1500, dry_kg=60, access=[DIAL])
SHELVING = box_kit("shelf-unit", 600, 300, 400, name="Shelving")
DOOR = {"id": "d1", "edge": 0, "from_mm": 1500, "clear_mm": 800}


@pytest.fixture
def room_id(store_of_app: Store) -> str:
    """Boiler and tank lack room in front because of the shelving, and the boiler stands on the tank's toes."""
    pieces = [piece(BOILER, 1000, 1600), piece(TANK, 500, 1600), piece(SHELVING, 800, 950), piece(TALL, 2100, 1600)]
    return store_of_app.create(sample_room([BOILER, TANK, SHELVING, TALL], pieces, doors=[DOOR])).room_id


def parts(client: TestClient, room_id: str, by: str) -> list[str]:
    """Headings and numbers of the notes in reading order."""
    client.cookies.set("grouped", by)
    page = client.get(f"/rooms/{room_id}").text
    notes = page[page.index('<ol class="notes') : page.index("</ol>")]
    return re.findall(r'(?:note-group"[^>]*><h3>|data-number=")([^<"]+)', notes)


def test_notes_stand_worst_first_until_somebody_groups_them(client: TestClient, room_id: str) -> None:
    numbers = parts(client, room_id, "")

    assert numbers == [str(i) for i in range(1, len(numbers) + 1)]
    assert len(numbers) >= 3


def test_under_each_piece_notes_keep_their_numbers_and_the_worst_piece_comes_first(
    client: TestClient, room_id: str
) -> None:
    plain, grouped = parts(client, room_id, ""), parts(client, room_id, "piece")
    numbers = [part for part in grouped if part.isdecimal()]

    assert [part for part in grouped if not part.isdecimal()][:2] == ["Boiler", "Tank"]
    assert sorted(numbers, key=int) == plain
    assert grouped[1] == "1"


def test_under_each_check_stands_what_it_found(client: TestClient, room_id: str) -> None:
    grouped = parts(client, room_id, "check")

    assert "Not enough room to work" in grouped
    assert grouped.index("Two pieces stand in the same place") < grouped.index("Not enough room to work")


def test_questions_are_grouped_the_same_way(client: TestClient, room_id: str) -> None:
    client.cookies.set("grouped", "piece")
    page = client.get(f"/rooms/{room_id}").text

    assert 'id="ask-group-piece-"><h3>The room</h3>' in page


def test_a_way_that_nobody_knows_is_worst_first(client: TestClient, room_id: str) -> None:
    assert parts(client, room_id, "colour") == parts(client, room_id, "")


@pytest.mark.parametrize("wall", ["plan", "2"])
def test_everything_at_once_is_one_drawing_of_spaces_ways_and_lines_of_sight(
    client: TestClient, room_id: str, wall: str
) -> None:
    client.cookies.set("area", "390x844")
    answer = client.get(f"/rooms/{room_id}/everything?layout=1&wall={wall}")
    classes = {part.get("class") for part in ElementTree.fromstring(answer.text).iter()}

    assert answer.headers["content-type"] == "image/svg+xml"
    assert ({"space", "way", "sightline", "eye"} <= classes) == (wall == "plan")
