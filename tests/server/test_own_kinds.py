"""The user's own shelf: kinds kept beside the rooms, made by a form, used in any room, out as a file and in again."""

import json
import re
from typing import Any

import pytest
from starlette.testclient import TestClient

from geometry.errors import RoomError, UnknownKit
from geometry.kit import Kit
from geometry.samples import box_kit, piece, sample_room
from server.kind_store import KindChanged
from server.store import Store

HTMX = {"HX-Request": "true", "HX-Request-Type": "partial"}
TANK = Kit.model_validate(box_kit("own-tank", 500, 400, 900, name="Our tank"))
BLANKS = {
    "do": "keep", "name": "Our cylinder", "like": "unvented-cylinder-210", "group": "hot water", "shape": "round",
    "stands_on": "floor", "page": "manual p. 9", "round_mm": "520", "space_front_mm": "400",
    "space_front_mm_page": "p. 12", "base": "0",
}  # fmt: skip
COCK = {"a0_side": "left", "a0_name": "drain cock", "a0_left": "200", "a0_up": "100", "a0_tool": "hose"}


def kept(client: TestClient, **blanks: str) -> Any:
    return client.post("/own-kinds/form", data={**BLANKS, **blanks})


@pytest.fixture
def room_id(store_of_app: Store) -> str:
    shelving = box_kit("shelf-unit", 600, 300, 400, name="Shelving")
    return store_of_app.create(sample_room([shelving], [piece(shelving, 1000, 500)])).room_id


def test_a_kept_kind_is_there_and_earlier_versions_stay(store: Store) -> None:
    store.own.keep(TANK, 0)
    higher = TANK.model_copy(update={"height_mm": 950.0})
    store.own.keep(higher, 1)

    assert [(own.number, own.kit.height_mm) for own in store.own.all()] == [(2, 950)]
    assert store.own.number_of(TANK.key) == 2


def test_two_who_write_the_same_kind_lose_nothing(store: Store) -> None:
    store.own.keep(TANK, 0)

    with pytest.raises(KindChanged, match="nothing of theirs is overwritten"):
        store.own.keep(TANK.model_copy(update={"height_mm": 100.0}), 0)

    assert store.own.get(TANK.key).kit == TANK


def test_a_kind_that_is_taken_off_is_gone_from_the_shelf_and_may_come_back(store: Store) -> None:
    store.own.keep(TANK, 0)
    store.own.take_off(TANK.key, 1)
    assert store.own.kinds() == ()
    with pytest.raises(UnknownKit):
        store.own.get(TANK.key)

    store.own.keep(TANK, store.own.number_of(TANK.key))

    assert store.own.kinds() == (TANK,)


def test_the_form_makes_a_kind_of_what_the_manual_says(client: TestClient, store_of_app: Store) -> None:
    answer = kept(client, **COCK)

    (kit,) = store_of_app.own.kinds()
    assert answer.status_code == 303
    assert (kit.name, kit.plan.round_mm, kit.key[:17]) == ("Our cylinder", 520, "own-our-cylinder-")
    assert [(told.figure, told.note) for told in kit.figures] == [
        ("round_mm", "manual p. 9"), ("space_front_mm", "p. 12"), ("level:drain cock", "manual p. 9"),
    ]  # fmt: skip
    (cock,) = [one for one in kit.access if one.name == "drain cock"]
    # 200 from the left edge of a side 520 wide is 60 left of its middle: towards the back, as seen from the left
    assert cock.at_mm == pytest.approx((-((260**2 - 60**2) ** 0.5), 60, 100))


def test_a_kind_opens_again_as_it_was_written(client: TestClient, store_of_app: Store) -> None:
    kept(
        client,
        **COCK,
        s0_what="cap",
        s0_side="front",
        s0_mm="80",
        s0_left="260",
        s0_up="300",
        s0_wide="90",
        s0_high="60",
    )
    (own,) = store_of_app.own.all()
    page = client.get(f"/own-kinds/{own.kit.key}").text
    blanks = dict(re.findall(r'<input[^>]* name="([\w:]+)"[^>]*? value="([^"]*)"', page))
    choices = re.findall(r'<select[^>]* name="(\w+)".*?</select>', page, re.DOTALL)
    chosen = {
        name: re.search(rf'name="{name}".*?value="([^"]*)" selected', page, re.DOTALL) for name in choices
    }  # fmt: skip

    again = {**blanks, **{name: found[1] for name, found in chosen.items() if found}, "do": "keep"}
    again |= {"a0_tool": "hose", "face": "front"}
    answer = client.post("/own-kinds/form", data=again)

    assert answer.status_code == 303
    (now,) = store_of_app.own.all()
    assert (now.number, now.kit) == (2, own.kit)


@pytest.mark.parametrize(
    ("blanks", "sentence"),
    [
        ({"name": " "}, "A kind has a name"),
        ({"round_mm": "wide"}, "is not a number for “Diameter”"),
        ({"like": "", "shape": "box"}, "A body needs this size."),
        ({"space_left_mm": "-4"}, "A figure is 0 or more."),
        ({**COCK, "a0_left": "900"}, "That is not on this side: it is 520 wide"),
        ({**COCK, "a0_up": ""}, "Write it."),
        ({**COCK, "a0_name": ""}, "What is it?"),
        ({"s0_side": "front", "s0_what": "cap", "s0_mm": "0"}, "More than 0"),
        ({"s0_side": "front", "s0_what": "cap", "s0_mm": "50", "s0_high": "40"}, "where its middle is"),
        ({"page": "x" * 200}, "at most 120 characters"),
        ({"round_mm": "0"}, "A size is a length"),
    ],
)
def test_what_cannot_be_used_is_told_beside_its_blank_and_nothing_is_kept(
    client: TestClient, store_of_app: Store, blanks: dict[str, str], sentence: str
) -> None:
    answer = kept(client, **blanks)

    assert answer.status_code == 422
    assert sentence in answer.text
    assert store_of_app.own.kinds() == ()


def test_the_side_is_drawn_as_the_form_stands_and_nothing_is_kept(client: TestClient, store_of_app: Store) -> None:
    answer = client.post("/own-kinds/form", data={**BLANKS, **COCK, "do": "look", "face": "left"}, headers=HTMX)

    assert 'data-row="a0"' in answer.text
    assert 'data-wide="520.0"' in answer.text
    assert store_of_app.own.kinds() == ()


def test_rows_come_and_go_and_the_rest_stays_as_it_was_written(client: TestClient) -> None:
    more = client.post("/own-kinds/form", data={**BLANKS, **COCK, "do": "point"}, headers=HTMX).text
    less = client.post("/own-kinds/form", data={**BLANKS, **COCK, "do": "drop-a0"}, headers=HTMX).text

    assert ('id="a1_name"' in more, 'value="drain cock"' in more) == (True, True)
    assert ('id="a0_name"' in less, 'value="520"' in less) == (False, True)


def test_a_kind_made_from_a_room_goes_into_its_file_and_on_to_the_shelf_of_every_room(
    client: TestClient, store_of_app: Store, room_id: str
) -> None:
    answer = kept(client, room=room_id)
    other = store_of_app.create(sample_room([], [], name="Another room")).room_id

    latest = store_of_app.latest(room_id)
    assert answer.headers["location"] == f"/rooms/{room_id}"
    assert (latest.number, latest.step) == (2, "Own kind: our cylinder")
    assert latest.room.kit[-1].name == "Our cylinder"
    page = client.get(f"/rooms/{other}").text
    assert f'data-kit="{latest.room.kit[-1].key}"' in page
    assert "your own shelf" in page


def test_an_own_kind_put_into_another_room_is_tried_first_and_then_lives_in_its_file(
    client: TestClient, store_of_app: Store, room_id: str
) -> None:
    store_of_app.own.keep(TANK, 0)
    place = {"kit": TANK.key, "x": 1000, "y": 500, "turn": 0, "base_mm": 0}

    tried = client.post(
        f"/rooms/{room_id}/try", data={"layout": 1, "page": "p", "seq": 1, "piece": "", **place}, headers=HTMX
    )
    assert "body-overlap" in tried.text
    put = client.post(f"/rooms/{room_id}/layouts", data={"do": "add", "layout": 1, **place, "y": 1500}, headers=HTMX)

    assert put.status_code == 200
    room = store_of_app.latest(room_id).room
    assert (room.kit[-1], room.pieces[-1].kit) == (TANK, TANK.key)


def test_a_piece_is_swapped_for_an_own_kind(client: TestClient, store_of_app: Store, room_id: str) -> None:
    store_of_app.own.keep(TANK, 0)
    found = client.get(f"/rooms/{room_id}/kinds/found?piece=shelf-unit&typed=our").text
    assert "Our tank" in found

    swap = {"do": "swap", "layout": 1, "piece": "shelf-unit", "kit": TANK.key}
    assert client.post(f"/rooms/{room_id}/layouts", data=swap, headers=HTMX).status_code == 200

    assert store_of_app.latest(room_id).room.pieces[0].kit == TANK.key


def test_a_kind_written_anew_meanwhile_is_not_overwritten(client: TestClient, store_of_app: Store) -> None:
    kept(client)
    (own,) = store_of_app.own.all()
    store_of_app.own.keep(own.kit.model_copy(update={"height_mm": 1500.0}), own.number)

    answer = kept(client, key=own.kit.key, base=str(own.number))

    assert answer.status_code == 422
    assert "nothing of theirs is overwritten" in answer.text
    assert store_of_app.own.get(own.kit.key).kit.height_mm == 1500


def test_the_own_shelf_goes_out_as_a_file_and_comes_in_on_another_machine(
    client: TestClient, store_of_app: Store
) -> None:
    kept(client)
    (own,) = store_of_app.own.all()
    body = client.get("/own-kinds/file")
    assert json.loads(body.text)["format"] == "elbowroom-shelf"
    store_of_app.own.take_off(own.kit.key, own.number)

    for told in ("1 kind read: 1 new.", "1 kind read: 1 here already."):
        answer = client.post("/own-kinds/file", files={"file": ("own-kinds.json", body.content)})
        assert told in client.get(answer.headers["location"]).text
    assert store_of_app.own.kinds() == (own.kit,)


def test_a_file_that_holds_no_kinds_is_refused_in_a_sentence(client: TestClient) -> None:
    answer = client.post("/own-kinds/file", files={"file": ("picture.json", b"[1, 2]")})

    assert answer.status_code == 422
    assert "holds no kinds of kit" in answer.text


def test_an_empty_shelf_makes_no_file(client: TestClient) -> None:
    assert "nothing to put into a file" in client.get("/own-kinds/file").text


def test_a_kind_that_only_a_room_has_is_put_on_the_shelf(client: TestClient, store_of_app: Store, room_id: str) -> None:
    assert "In this room alone" in client.get(f"/own-kinds?room={room_id}").text

    client.post("/own-kinds/from-room", data={"room": room_id, "key": "shelf-unit"})

    assert [kit.key for kit in store_of_app.own.kinds()] == ["shelf-unit"]


def test_a_kind_is_taken_off_the_shelf_and_rooms_keep_it(client: TestClient, store_of_app: Store, room_id: str) -> None:
    kept(client, room=room_id)
    (own,) = store_of_app.own.all()

    answer = client.post("/own-kinds/take-off", data={"key": own.kit.key, "base": own.number})

    assert answer.status_code == 303
    assert store_of_app.own.kinds() == ()
    assert store_of_app.latest(room_id).room.kit[-1] == own.kit


def test_a_shelf_holds_no_more_than_its_file(store_of_app: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("server.kind_store.MOST_KINDS", 1)
    store_of_app.own.keep(TANK, 0)

    with pytest.raises(RoomError, match="at most 1 kinds"):
        store_of_app.own.keep(TANK.model_copy(update={"key": "own-other"}), 0)


def test_the_space_that_nobody_knew_is_asked_for_in_the_room_and_written_there(
    client: TestClient, store_of_app: Store, room_id: str
) -> None:
    sizes = {
        "like": "",
        "shape": "box",
        "width_mm": "500",
        "depth_mm": "400",
        "height_mm": "900",
        "round_mm": "",
        "space_front_mm": "10",
        "name": "Tank",
    }
    kept(client, room=room_id, **sizes)
    key = store_of_app.own.kinds()[0].key
    client.post(f"/rooms/{room_id}/layouts", data={"do": "add", "layout": 2, "kit": key, "x": "1500", "y": "1400"})
    told = {"do": "figures", "layout": 3, "piece": "p1", "page": "p. 4", "space_left_mm": "50"}

    page = client.get(f"/rooms/{room_id}").text
    client.post(f"/rooms/{room_id}/layouts", data={**told, "space_left_mm_basis": "manual"})

    assert "What free space does the tank need on its left, on its right, behind, above and below?" in page
    after = client.get(f"/rooms/{room_id}").text
    assert "What free space does the tank need on its right, behind, above and below?" in after
