"""Two layouts side by side."""

import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from geometry.editing import moved
from geometry.samples import box_kit, piece, sample_room
from server.store import Layout, Store

TANK = box_kit("tank", space=[{"side": "front", "mm": 500}])
ROOM = sample_room([TANK], [piece(TANK, 300, 1600)], name="Boot room, Harbour Row")


@pytest.fixture
def layout(store_of_app: Store) -> Layout:
    first = store_of_app.create(ROOM)
    store_of_app.save(first.room_id, 1, moved(ROOM, "tank", (900, 500)), "Tank moved")
    return first


def said(html: str) -> str:
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", html)))


def test_both_plans_stand_side_by_side_to_one_scale(client: TestClient, layout: Layout) -> None:
    html = client.get(f"/rooms/{layout.room_id}/compare?from=1&to=2").text

    assert len(set(re.findall(r'data-scale="(\d+)"', html))) == 1
    assert html.count('class="to-scale"') == 2


def test_what_moved_and_what_changed_in_the_findings_is_told(client: TestClient, layout: Layout) -> None:
    """The tank is 400 deep: its front is at 1,400 before and at 300 after, 200 less than the 500 it needs."""
    text = said(client.get(f"/rooms/{layout.room_id}/compare?from=1&to=2").text)

    assert "Tank has moved 600 mm to the right, 1,100 mm towards the front." in text
    assert "put right : Tank needs 500 mm in front" in text
    assert "Before, no fault found:" in text


def test_without_numbers_the_latest_is_held_against_the_one_before_it(client: TestClient, layout: Layout) -> None:
    text = said(client.get(f"/rooms/{layout.room_id}/compare").text)

    assert "Layout 1 and layout 2, side by side" in text


def test_a_layout_against_itself_differs_in_nothing(client: TestClient, layout: Layout) -> None:
    text = said(client.get(f"/rooms/{layout.room_id}/compare?from=2&to=2").text)

    assert "What stands otherwise Nothing." in text
    assert "0 new, 0 gone, 0 changed" in text


@pytest.mark.parametrize("query", ["from=7&to=1", "from=1&to=9", "from=0"])
def test_a_layout_that_is_not_there_is_not_found(client: TestClient, layout: Layout, query: str) -> None:
    assert client.get(f"/rooms/{layout.room_id}/compare?{query}").status_code == 404


def test_who_agreed_stands_by_its_layout(client: TestClient, store_of_app: Store, layout: Layout) -> None:
    store_of_app.shares.agree(layout.room_id, 1, "Jo Field")

    text = said(client.get(f"/rooms/{layout.room_id}/compare?from=1&to=2").text)

    assert "Jo Field agreed to layout 1 on" in text


def test_the_list_of_layouts_leads_to_the_comparison(client: TestClient, layout: Layout) -> None:
    html = client.get(f"/rooms/{layout.room_id}/layouts").text

    assert f"/rooms/{layout.room_id}/compare?from=1&amp;to=2" in html
