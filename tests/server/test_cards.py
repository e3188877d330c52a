import json
import re

import pytest
from sqlalchemy import insert
from starlette.testclient import TestClient

from geometry.reading import room_from
from geometry.room import Room
from geometry.samples import CUPBOARD, box_kit, piece, sample_room
from server.cards import MOST_COUNTED, WIDTH_PX, Card, cards
from server.store import Store, layouts
from tests.server.conftest import room_called


def bare(width_mm: float, depth_mm: float) -> Room:
    outline = [[0, 0], [width_mm, 0], [width_mm, depth_mm], [0, depth_mm]]
    return room_from({**CUPBOARD, "outline_mm": outline})


def drawn_width_px(card: Card) -> float:
    """How wide the floor of a card is drawn."""
    (path,) = re.findall(r'class="floor" d="([^"]+)"', card.drawing)
    shrunk = re.search(r"matrix\(([\d.]+),", card.drawing)
    x = [float(x) for x in re.findall(r"(-?[\d.]+),-?[\d.]+", path)]
    return (max(x) - min(x)) * (float(shrunk[1]) if shrunk else 1.0)


def test_rooms_of_one_list_are_drawn_to_one_scale(store_of_app: Store) -> None:
    small, large = cards([store_of_app.create(bare(1500, 1500)), store_of_app.create(bare(4500, 1500))])

    assert drawn_width_px(large) == pytest.approx(3 * drawn_width_px(small), rel=0.01)


def test_a_drawing_is_cut_to_the_height_it_uses_and_keeps_its_width(store_of_app: Store) -> None:
    small, large = cards([store_of_app.create(bare(1500, 1500)), store_of_app.create(bare(4500, 1500))])

    assert small.height_px == pytest.approx(large.height_px, abs=2)
    assert small.view_box.split()[2:] == [str(WIDTH_PX), str(small.height_px)]


def test_a_room_alone_is_drawn_as_large_as_it_can_be(store_of_app: Store) -> None:
    layout, other = store_of_app.create(bare(1500, 1500)), store_of_app.create(bare(4500, 1500))

    assert drawn_width_px(cards([layout])[0]) > drawn_width_px(cards([layout, other])[0])


def test_a_kept_file_that_can_no_longer_be_used_can_still_be_downloaded(
    client: TestClient, store_of_app: Store
) -> None:
    store_of_app.create(room_called("Boot room"))
    values = {"room_id": "from-later", "number": 1, "saved_us": 1, "step": "Room opened", "body": '{"format": "later"}'}
    with store_of_app._engine.begin() as connection:
        connection.execute(insert(layouts).values(values))

    page = client.get("/").text

    assert "<h2>Boot room</h2>" in page
    assert "not an Elbowroom room" in page
    assert '<a href="/rooms/from-later/file">' in page
    assert client.get("/rooms/from-later/file").text == '{"format": "later"}'
    assert client.get("/rooms/from-later/layouts").status_code == 200


def test_a_room_of_very_many_pieces_is_drawn_and_not_counted_in_the_list(
    client: TestClient, store_of_app: Store
) -> None:
    box = box_kit("box")
    pieces = [piece(box, 1200, 1200) | {"id": f"p{n}"} for n in range(MOST_COUNTED + 1)]
    layout = store_of_app.create(sample_room([box], pieces))

    assert cards([layout])[0].counts == {}
    assert "Not counted here: open the room" in client.get("/").text


def test_a_room_that_breaks_a_check_is_told_on_its_card_and_the_list_stays(
    client: TestClient, store_of_app: Store
) -> None:
    tiny = {"key": "walkway-least", "value": 1e-6, "note": "kept before it was refused"}
    store_of_app.create(room_called("Boot room"))
    body = json.loads(store_of_app.create(room_called("Broken room")).body) | {"overrides": [tiny]}
    values = {"room_id": "broken", "number": 1, "saved_us": 1, "step": "Room opened", "body": json.dumps(body)}
    with store_of_app._engine.begin() as connection:
        connection.execute(insert(layouts).values(values))

    page = client.get("/")

    assert page.status_code == 200
    assert "<h2>Boot room</h2>" in page.text
    assert "is far from the figure of the pack" in page.text
