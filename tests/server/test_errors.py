import pytest
from fastapi import FastAPI
from starlette.testclient import TestClient

from server.store import Stale, Store
from tests.server.conftest import room_called

PART = {"HX-Request": "true", "HX-Request-Type": "partial"}


@pytest.mark.parametrize(
    "path",
    ["/nowhere", "/rooms/nowhere/file", "/rooms/nowhere/layouts", "/rooms/nowhere/file?layout=3", "/static/nothing"],
)
def test_what_is_not_there_gets_a_page_that_leads_back(client: TestClient, path: str) -> None:
    answer = client.get(path)

    assert answer.status_code == 404
    assert "Not in this book" in answer.text
    assert '<a href="/">' in answer.text


def test_a_layout_number_that_is_no_number_is_told_in_words(client: TestClient) -> None:
    answer = client.get("/rooms/any/file?layout=first")

    assert answer.status_code == 422
    assert "could not read what was sent for layout" in answer.text


def test_the_wrong_way_to_ask_is_told_in_words(client: TestClient) -> None:
    answer = client.post("/help")

    assert answer.status_code == 405
    assert "Go back and use the button on the page." in answer.text


def test_a_fault_of_our_own_says_that_nothing_is_lost(app: FastAPI, client: TestClient) -> None:
    @app.get("/fault")
    def fault() -> None:
        raise RuntimeError

    answer = client.get("/fault")

    assert answer.status_code == 500
    assert "The fault is in Elbowroom, not in your room." in answer.text


def test_a_part_of_a_page_gets_a_fragment_for_the_message_place(client: TestClient) -> None:
    answer = client.get("/rooms/nowhere/file", headers=PART)

    assert answer.status_code == 404
    assert "<html" not in answer.text
    assert "There is no such room here." in answer.text
    assert (answer.headers["HX-Retarget"], answer.headers["HX-Reswap"]) == ("#message", "innerHTML")
    assert answer.headers["Vary"] == "HX-Request-Type"


def test_every_plain_page_has_the_place_for_messages(client: TestClient) -> None:
    for path in ("/", "/help", "/measure", "/nowhere"):
        assert 'id="message" role="alert"' in client.get(path).text


def test_two_saves_that_meet_get_both_ways_out_as_a_fragment_too(
    app: FastAPI, client: TestClient, store_of_app: Store
) -> None:
    latest = store_of_app.create(room_called("Boot room"))

    @app.get("/meet")
    def meet() -> None:
        raise Stale(latest, room_called("Boot room, mine"), "Tank moved")

    answer = client.get("/meet", headers=PART)

    assert answer.status_code == 409
    assert "Two people, one room" in answer.text
    assert "See layout 1" in answer.text
    assert "Save mine as layout 2" in answer.text
    assert "Boot room, mine" in answer.text
