"""Swapping a piece for another kind on the workbench: what there is to choose, what changed, and the way back."""

import re
from html import unescape
from typing import Any

import pytest
from starlette.testclient import TestClient

from geometry.comparing import compared
from geometry.room import Room
from geometry.samples import box_kit, piece, sample_room
from server.checked import findings_of
from server.store import Store

HTMX = {"HX-Request": "true", "HX-Request-Type": "partial"}
FRONT = [{"side": "front", "mm": 600, "why": "the case comes off forwards"}]
SMALL = box_kit("tank-small", 600, 400, 800, dry_kg=40, group="tanks", space=FRONT)
DEEP = box_kit("tank-deep", 600, 700, 900, dry_kg=45, group="tanks", space=FRONT)
SHELVING = box_kit("shelf-unit", 600, 300, 400, name="Shelving")


def room(**more: Any) -> Room:
    """The small tank has exactly the 600 mm in front that it needs and more: 300 mm more depth takes them."""
    pieces = [piece(SMALL, 1000, 1600, id="p1", **more), piece(SHELVING, 1000, 500, id="p2")]
    return sample_room([SMALL, DEEP, SHELVING], pieces, name="Boot room, Harbour Row")


@pytest.fixture
def room_id(store_of_app: Store) -> str:
    return store_of_app.create(room()).room_id


def changed(client: TestClient, room_id: str, do: str, layout: int = 1, script: bool = True, **fields: Any) -> Any:
    form = {"do": do, "layout": layout, **fields}
    return client.post(f"/rooms/{room_id}/layouts", data=form, headers=HTMX if script else {})


def swapped_part(page: str) -> str:
    found = re.search(r'<section class="swapped".*?</section>', page, re.DOTALL)
    assert found is not None
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", found[0])).split())


def test_kinds_of_the_same_work_stand_first_with_size_and_difference(client: TestClient, room_id: str) -> None:
    part = client.get(f"/rooms/{room_id}/kinds", params={"piece": "p1"}, headers=HTMX).text

    assert re.findall(r'name="kit" value="([\w-]+)"', part) == ["tank-deep"]
    assert "600 × 700 × 900" in part
    assert "300 deeper, 100 higher" in part


def test_any_other_kind_is_found_by_its_words(client: TestClient, room_id: str) -> None:
    found = client.get(f"/rooms/{room_id}/kinds/found", params={"piece": "p1", "typed": "cylinder 210"}, headers=HTMX)

    keys = re.findall(r'name="kit" value="([\w-]+)"', found.text)
    assert "unvented-cylinder-210" in keys
    assert "unvented-cylinder-300" not in keys


def test_a_word_that_nothing_has_says_so(client: TestClient, room_id: str) -> None:
    found = client.get(f"/rooms/{room_id}/kinds/found", params={"piece": "p1", "typed": "<b>zz"}, headers=HTMX).text

    assert "Nothing on the shelf has “&lt;b&gt;zz” in its name" in found


def test_without_script_the_kinds_are_a_page_of_their_own(client: TestClient, room_id: str) -> None:
    page = client.get(f"/rooms/{room_id}/kinds?piece=p1&typed=boiler").text

    assert "<h1>Swap Tank-small</h1>" in page
    assert 'value="wall-boiler-combination"' in page


def test_a_swap_is_one_step_and_tells_only_what_changed(client: TestClient, room_id: str, store_of_app: Store) -> None:
    page = changed(client, room_id, "swap", piece="p1", kit="tank-deep").text
    before, after = store_of_app.layout(room_id, 1), store_of_app.latest(room_id)

    assert after.step == "Swap tank-small for tank-deep"
    assert (after.room.pieces[0].kit, after.room.pieces[0].at_mm) == ("tank-deep", (1000, 1450))
    told = swapped_part(page)
    assert "Tank-deep in place of Tank-small" in told
    assert "Opened: 1" in told
    assert "Tank-deep needs 600 mm in front; the shelving leaves 450 mm." in told
    same = compared(findings_of(before), findings_of(after))
    asks = sum(finding.verdict != "no-fault" for finding in findings_of(after))
    differ = sum("no-fault" not in (pair.before.verdict, pair.after.verdict) for pair in same.changed)
    assert f"Same: {asks - 1 - differ} note" in told


def test_put_the_old_one_back_gives_the_old_room_and_the_new_one_closes_the_note_again(
    client: TestClient, room_id: str, store_of_app: Store
) -> None:
    page = changed(client, room_id, "swap", piece="p1", kit="tank-deep").text
    assert "Put the old one back" in page

    back = changed(client, room_id, "undo", layout=2, piece="p1").text
    assert store_of_app.latest(room_id).room == store_of_app.layout(room_id, 1).room
    assert 'class="swapped"' not in back

    again = changed(client, room_id, "swap", layout=3, piece="p1", kit="tank-deep").text
    there = changed(client, room_id, "swap", layout=4, piece="p1", kit="tank-small").text
    assert "Opened: 1" in swapped_part(again)
    assert "Closed: 1" in swapped_part(there)
    assert store_of_app.latest(room_id).room == store_of_app.layout(room_id, 1).room


def test_what_went_with_the_old_kind_is_said(client: TestClient, store_of_app: Store) -> None:
    own = {"height_mm": {"value": 790, "basis": "manual", "note": "p. 9"}}
    room_id = store_of_app.create(room(changes=own)).room_id

    told = swapped_part(changed(client, room_id, "swap", piece="p1", kit="tank-deep").text)

    assert "Gone with the old one: 1 figure of its own (height)." in told


def test_the_next_change_shows_it_no_more_and_the_address_shows_it_again(client: TestClient, room_id: str) -> None:
    changed(client, room_id, "swap", piece="p1", kit="tank-deep")
    moved = changed(client, room_id, "turn", layout=2, piece="p1").text

    assert 'class="swapped"' not in moved
    assert 'class="swapped"' in client.get(f"/rooms/{room_id}?piece=p1&layout=2&since=1").text


@pytest.mark.parametrize("since", ["0", "2", "99", "-1", "x", ""])
def test_an_address_with_no_earlier_layout_shows_the_room_alone(client: TestClient, room_id: str, since: str) -> None:
    answer = client.get(f"/rooms/{room_id}?piece=p1&since={since}")

    assert answer.status_code == 200
    assert 'class="swapped"' not in answer.text


def test_without_script_a_swap_comes_back_to_the_page_that_tells_it(client: TestClient, room_id: str) -> None:
    answer = changed(client, room_id, "swap", script=False, piece="p1", kit="tank-deep")

    assert answer.status_code == 303
    assert answer.headers["location"] == f"/rooms/{room_id}?piece=p1&note=&since=1"
    assert "Opened: 1" in swapped_part(client.get(answer.headers["location"]).text)


@pytest.mark.parametrize(("fields", "words"), [
    ({"piece": "p1", "kit": "no-such-kind"}, "no kind of kit called"),
    ({"piece": "p9", "kit": "tank-deep"}, "no piece called p9"),
])  # fmt: skip
def test_a_swap_that_cannot_be_is_refused_in_words(
    client: TestClient, room_id: str, store_of_app: Store, fields: dict[str, str], words: str
) -> None:
    answer = changed(client, room_id, "swap", **fields)

    assert answer.status_code == 422
    assert words in unescape(answer.text)
    assert store_of_app.latest(room_id).number == 1


def test_a_stale_swap_overwrites_nothing(client: TestClient, room_id: str, store_of_app: Store) -> None:
    changed(client, room_id, "turn", piece="p2")

    assert changed(client, room_id, "swap", piece="p1", kit="tank-deep").status_code == 409
    assert store_of_app.latest(room_id).room.pieces[0].kit == "tank-small"


def test_a_swap_for_the_same_kind_saves_no_layout(client: TestClient, room_id: str, store_of_app: Store) -> None:
    changed(client, room_id, "swap", piece="p1", kit="tank-small")

    assert store_of_app.latest(room_id).number == 1
