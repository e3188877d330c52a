"""Layouts are numbered and named: a name is kept beside the layout, and is told wherever its number is told."""

import pytest
from sqlalchemy import text
from starlette.testclient import TestClient

from geometry.editing import moved
from server.store import Store
from tests.server.conftest import room_called

BOOT_ROOM = room_called("Boot room, Harbour Row")
NAME = "Cheaper <vessel>"
TOLD = "“Cheaper &lt;vessel&gt;”"


@pytest.fixture
def room_id(store_of_app: Store) -> str:
    """A room with two layouts, neither of them named."""
    room_id = store_of_app.create(BOOT_ROOM).room_id
    store_of_app.save(room_id, 1, moved(BOOT_ROOM, "tank", (900, 1600)), "Move tank")
    return room_id


def named(client: TestClient, room_id: str, number: int, name: str) -> int:
    return client.post(f"/rooms/{room_id}/layouts/{number}/name", data={"name": name}).status_code


def names(store: Store, room_id: str) -> list[str]:
    """Names of all layouts, newest first."""
    return [line.name for line in store.layouts(room_id)]


def test_a_name_is_given_changed_and_taken_away_and_the_layout_stays_as_it_is(store: Store) -> None:
    before = store.create(BOOT_ROOM)
    room_id = before.room_id
    seen = []
    for name in ("Cheaper vessel", "  Cylinder  in the corner ", "Cylinder in the corner", ""):
        store.names.give(room_id, 1, name)
        seen.append((names(store, room_id), store.layout(room_id, 1).name, store.latest(room_id).name))

    once, twice = "Cheaper vessel", "Cylinder in the corner"
    assert seen == [([name], name, name) for name in (once, twice, twice, "")]
    after = store.latest(room_id)
    assert (after.number, after.saved, after.step, after.body) == (1, before.saved, before.step, before.body)


def test_a_name_belongs_to_one_layout_of_one_room(store: Store) -> None:
    first, other = store.create(BOOT_ROOM).room_id, store.create(BOOT_ROOM).room_id
    store.save(first, 1, moved(BOOT_ROOM, "tank", (900, 1600)), "Move tank")
    store.names.give(first, 1, "Cheaper vessel")

    assert names(store, first) == ["", "Cheaper vessel"]
    assert names(store, other) == [""]
    assert {layout.room_id: layout.name for layout in store.rooms()} == {first: "", other: ""}


def test_sixty_letters_of_any_writing_are_kept_whole(store: Store) -> None:
    room_id = store.create(BOOT_ROOM).room_id
    store.names.give(room_id, 1, "锅" * 60)

    assert names(store, room_id) == ["锅" * 60]


def test_a_database_from_before_there_were_names_opens_and_takes_them(database_url: str) -> None:
    older = Store(database_url)
    room_id = older.create(BOOT_ROOM).room_id
    with older._engine.begin() as connection:
        connection.execute(text("DROP TABLE layout_names"))
    older.close()

    store = Store(database_url)
    store.names.give(room_id, 1, "Cheaper vessel")
    kept = names(store, room_id)
    store.close()

    assert kept == ["Cheaper vessel"]


@pytest.mark.parametrize(
    "name", ["x" * 61, "up\u202eside", "mark\u200f", "bell\x07", "nul\x00", "soft\u00adhyphen"], ids=ascii
)
def test_a_name_that_cannot_be_used_is_refused_in_one_sentence(
    client: TestClient, store_of_app: Store, room_id: str, name: str
) -> None:
    named(client, room_id, 1, "Cheaper vessel")
    answer = client.post(f"/rooms/{room_id}/layouts/1/name", data={"name": name})

    assert answer.status_code == 422
    assert "A layout has a name of at most 60 characters that can be printed." in answer.text
    assert name not in answer.text
    assert names(store_of_app, room_id) == ["", "Cheaper vessel"]


@pytest.mark.parametrize("number", ["3", "0", "-1", "9" * 30, "one"])
def test_a_layout_that_there_is_not_gets_no_name(
    client: TestClient, store_of_app: Store, room_id: str, number: str
) -> None:
    answer = client.post(f"/rooms/{room_id}/layouts/{number}/name", data={"name": NAME})

    assert 400 <= answer.status_code < 500
    assert names(store_of_app, room_id) == ["", ""]


def test_a_name_makes_no_layout_and_undo_and_redo_go_on_as_before(
    client: TestClient, store_of_app: Store, room_id: str
) -> None:
    for number, name in ((1, "As measured"), (2, NAME)):
        assert named(client, room_id, number, name) == 303
    for base, do in ((2, "undo"), (3, "redo")):
        client.post(f"/rooms/{room_id}/layouts", data={"layout": base, "do": do})

    told = [(line.number, line.step, line.name) for line in store_of_app.layouts(room_id)]
    assert told[:2] == [(4, "Redo: move tank", ""), (3, "Undo: move tank", "")]
    assert told[2:] == [(2, "Move tank", NAME), (1, "Room opened", "As measured")]
    assert store_of_app.layout(room_id, 3).body == store_of_app.layout(room_id, 1).body


@pytest.mark.parametrize(
    ("path", "told"),
    [
        ("", f'layout 2</a> <span class="called">{TOLD}</span>'),
        ("/layouts", TOLD),
        ("/compare?from=1&to=2", f"Layout 1 and layout 2 {TOLD}, side by side"),
        ("/compare?from=1&to=2", f"layout 2 {TOLD}: Move tank</option>"),
        ("/customer", f"Layout 2 {TOLD}, "),
        ("/customer", f"I agree to layout 2 {TOLD}"),
        ("/report", f"Layout 2 {TOLD}, "),
        ("/parts", f"Layout 2 {TOLD}. "),
    ],
)
def test_a_name_is_told_where_the_number_is_told(client: TestClient, room_id: str, path: str, told: str) -> None:
    before = client.get(f"/rooms/{room_id}{path}").text
    named(client, room_id, 2, NAME)
    after = client.get(f"/rooms/{room_id}{path}").text
    named(client, room_id, 2, "Another")
    later = client.get(f"/rooms/{room_id}{path}").text

    assert "“Cheaper" not in before
    assert told in after
    assert told.replace(TOLD, "“Another”") in later


def test_who_agreed_is_told_with_the_name_of_the_layout(client: TestClient, room_id: str) -> None:
    named(client, room_id, 1, NAME)
    client.post(f"/rooms/{room_id}/agree", data={"layout": 1, "name": "M. Hale"})

    assert f"M. Hale agreed to layout 1 {TOLD} on " in client.get(f"/rooms/{room_id}/customer").text
