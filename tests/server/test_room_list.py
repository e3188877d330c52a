"""Rooms are renamed and taken out of the list on the first page, and nothing is ever deleted."""

import pytest
from starlette.testclient import TestClient

from server.store import Store
from tests.server.conftest import room_called


def test_a_room_is_renamed_as_its_next_layout(client: TestClient, store_of_app: Store) -> None:
    made = store_of_app.create(room_called("Boot room"))

    answer = client.post(f"/rooms/{made.room_id}/name", data={"name": " Plant room,  Quarry Lane "})

    assert answer.status_code == 303
    latest = store_of_app.latest(made.room_id)
    assert (latest.number, latest.room.name, latest.step) == (2, "Plant room, Quarry Lane", "Rename the room")


@pytest.mark.parametrize("name", ["", "   ", "x" * 121])
def test_a_room_keeps_its_name_when_the_new_one_cannot_be(client: TestClient, store_of_app: Store, name: str) -> None:
    made = store_of_app.create(room_called("Boot room"))

    answer = client.post(f"/rooms/{made.room_id}/name", data={"name": name})

    assert answer.status_code == 422
    assert "A room has a name of 1 to 120 characters" in answer.text
    assert store_of_app.latest(made.room_id).number == 1


def test_a_room_is_taken_out_of_the_list_after_a_question_and_put_back(client: TestClient, store_of_app: Store) -> None:
    made = store_of_app.create(room_called("Boot room for one test"))
    assert "Take it out of the list?" in client.get("/").text

    away = client.post(f"/rooms/{made.room_id}/take-out")
    page = client.get(away.headers["location"]).text
    assert f'class="room" href="/rooms/{made.room_id}"' not in page
    assert "Boot room for one test is out of the list. Nothing was deleted." in page
    assert client.get(f"/rooms/{made.room_id}").status_code == 200

    client.post(f"/rooms/{made.room_id}/put-back")
    assert f'class="room" href="/rooms/{made.room_id}"' in client.get("/").text
    assert store_of_app.latest(made.room_id).room == made.room
