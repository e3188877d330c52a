"""The file of the room to be turned, on the page of the app and behind a share link."""

from html import unescape

import pytest
from starlette.testclient import TestClient

from geometry.editing import moved
from geometry.samples import box_kit, piece, sample_room
from server.store import Layout, Store

TANK = box_kit("tank", visits_a_year=1)
ROOM = sample_room([TANK], [piece(TANK, 300, 1600)], name="Boot room, Harbour Row")


@pytest.fixture
def layout(store_of_app: Store) -> Layout:
    return store_of_app.create(ROOM)


@pytest.fixture
def here(layout: Layout) -> str:
    return f"/rooms/{layout.room_id}/customer"


@pytest.fixture
def link(store_of_app: Store, layout: Layout) -> str:
    return f"/s/{store_of_app.shares.make(layout.room_id).token}"


def address_on(page: str) -> str:
    return unescape(page.split('data-solid="')[1].split('"')[0])


def test_the_page_names_the_file_of_the_layout_and_corner_that_it_shows(client: TestClient, here: str) -> None:
    address = address_on(client.get(f"{here}?corner=2").text)

    answer = client.get(address)

    assert address == f"{here}/room.glb?layout=1&corner=2"
    assert (answer.status_code, answer.headers["content-type"]) == (200, "model/gltf-binary")
    assert answer.content[:4] == b"glTF"


def test_a_browser_that_has_the_file_is_told_that_it_is_the_same(
    client: TestClient, store_of_app: Store, layout: Layout, here: str
) -> None:
    first = client.get(f"{here}/room.glb")
    tag = {"If-None-Match": first.headers["etag"]}

    again = client.get(f"{here}/room.glb", headers=tag)
    store_of_app.save(layout.room_id, 1, moved(ROOM, "tank", (900, 1600)), "Tank moved")
    changed = client.get(f"{here}/room.glb", headers=tag)

    assert (again.status_code, again.content, again.headers["etag"]) == (304, b"", first.headers["etag"])
    assert first.headers["cache-control"] == "private, no-cache"
    assert (changed.status_code, changed.headers["etag"] == first.headers["etag"]) == (200, False)


@pytest.mark.parametrize("corner", ["4", "-1", "nine"])
def test_a_corner_that_no_room_has_is_refused(client: TestClient, here: str, corner: str) -> None:
    assert client.get(f"{here}/room.glb?corner={corner}").status_code == 422


def test_there_is_no_file_of_a_room_or_layout_that_is_not_there(client: TestClient, here: str) -> None:
    paths = ["/rooms/nowhere/customer/room.glb", f"{here}/room.glb?layout=2"]

    assert [client.get(path).status_code for path in paths] == [404, 404]


def test_behind_the_link_the_page_names_its_own_file_alone(client: TestClient, layout: Layout, link: str) -> None:
    page = client.get(f"{link}?corner=1").text

    answer = client.get(address_on(page))

    assert address_on(page) == f"{link}/room.glb?layout=1&corner=1"
    assert answer.content == client.get(f"/rooms/{layout.room_id}/customer/room.glb?corner=1").content
    assert (answer.headers["cache-control"], answer.headers["x-robots-tag"]) == ("no-store", "noindex, nofollow")


def test_behind_the_link_there_is_the_latest_layout_and_no_other(
    client: TestClient, store_of_app: Store, layout: Layout, link: str
) -> None:
    store_of_app.save(layout.room_id, 1, moved(ROOM, "tank", (900, 1600)), "Tank moved")

    asked = [client.get(f"{link}/room.glb{query}") for query in ("?layout=1", "?layout=2", "?layout=3", "")]

    assert [answer.status_code for answer in asked] == [409, 200, 409, 409]
    assert "Open the page once more" in asked[0].text


def test_the_file_closes_with_the_link_also_for_a_browser_that_has_it(
    client: TestClient, store_of_app: Store, layout: Layout, link: str
) -> None:
    tag = client.get(f"{link}/room.glb?layout=1").headers["etag"]
    store_of_app.shares.withdraw(layout.room_id)

    answers = [client.get(f"{link}/room.glb?layout=1", headers={"If-None-Match": tag}),
               client.get("/s/nothing/room.glb?layout=1")]  # fmt: skip

    assert [answer.status_code for answer in answers] == [410, 404]


def test_the_file_can_only_be_read(client: TestClient, here: str, link: str) -> None:
    tried = [client.request(verb, f"{path}/room.glb") for verb in ("POST", "PUT", "DELETE") for path in (here, link)]

    assert {answer.status_code for answer in tried} <= {404, 405}
