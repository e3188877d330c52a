"""What a picked note says to do where no move of kit can cure it."""

import re
from typing import Any

from starlette.testclient import TestClient

from geometry.check import Finding
from geometry.checking import check_scene
from geometry.checks import CHECKS, discharge
from geometry.remedies import a_move_may_cure
from geometry.room import Room
from geometry.samples import piece, round_kit, sample_room
from geometry.scene import build
from geometry.tundish_place import tundish_place
from server.checked import find, key_of
from server.cures import NO_MOVE_FOUND, NOT_ALL_TRIED, Press, cure_words, press_for
from server.store import Store
from tests.checks.discharge_room import outlet, room

THIN = {"id": "x1", "medium": "hot-discharge", "from": {"piece": "s1", "port": "relief"}, "to": "o1", "size_mm": 15}


def wrong(room_: Room, check: str, topic: str = "") -> Finding:
    every = check_scene(build(room_))
    return next(f for f in every if f.check == check and f.topic == topic and f.verdict == "put-right")


def pressed(room_: Room, finding: Finding) -> Press:
    press = press_for(build(room_), finding)
    assert press is not None
    return press


def sealed(litres: float) -> Room:
    vessel = round_kit("v", 280, 410, name="Expansion vessel", water_l=litres, traits=["vessel"])
    return sample_room([vessel], [piece(vessel, 1200, 900)], system="sealed heating", heating={"system_l": 150})


def test_only_what_a_move_could_cure_is_said_to_have_no_move() -> None:
    assert cure_words(Finding("reach", "put-right", "", ("a",), short=40.0)) == NO_MOVE_FOUND
    assert cure_words(Finding("reach", "put-right", "", ("a",), short=40.0, given_up=True)) == NOT_ALL_TRIED
    for check in CHECKS:
        without_measure = Finding(check.id, "put-right", "", ("a",))
        assert not a_move_may_cure(without_measure)
        assert cure_words(without_measure) != NO_MOVE_FOUND


def test_board_that_does_not_carry_is_backed() -> None:
    finding = Finding("wall-load", "put-right", "", ("boiler",), needed=25, found=41, short=16, unit="kg")

    assert cure_words(finding) == "Put ply or noggins behind it."


def test_a_missing_tundish_is_put_in_where_one_is_suggested(client: TestClient, store_of_app: Store) -> None:
    data = room(outlets=[outlet(at_mm=[1400, 3000])], system="unvented")
    data["pieces"] = [data["pieces"][0] | {"at_mm": [600, 2700]}]
    layout = store_of_app.create(Room.model_validate(data))
    press = pressed(layout.room, wrong(layout.room, "kit-list", "tundish"))
    place = tundish_place(build(layout.room), "s1")

    client.post(f"/rooms/{layout.room_id}/layouts", data={"layout": 1, **press.fields}, headers={"HX-Request": "true"})

    there = store_of_app.layout(layout.room_id, 2).room.pieces[-1]
    assert place is not None
    assert (there.kit, there.at_mm, there.base_mm) == ("tundish", place.at_mm, place.base_mm)
    assert not any(f.verdict == "put-right" for f in discharge.find(build(store_of_app.layout(layout.room_id, 2).room)))


def test_a_missing_part_is_put_in_from_the_shelf(client: TestClient, store_of_app: Store) -> None:
    layout = store_of_app.create(sealed(50))
    missing = wrong(layout.room, "kit-list", "filling loop")

    note = client.get(f"/rooms/{layout.room_id}/note?key={key_of(missing)}&layout=1", headers={"HX-Request": "true"})
    press = pressed(layout.room, missing)
    client.post(f"/rooms/{layout.room_id}/layouts", data={"layout": 1, **press.fields}, headers={"HX-Request": "true"})

    assert press.text in note.text and NO_MOVE_FOUND not in note.text
    now = store_of_app.latest(layout.room_id)
    assert find(check_scene(build(now.room)), key_of(missing)) is None


def test_a_discharge_pipe_that_is_too_thin_is_made_as_large_as_the_table_asks(
    client: TestClient, store_of_app: Store
) -> None:
    data: dict[str, Any] = room(pipes=[THIN], outlets=[outlet()])
    layout = store_of_app.create(Room.model_validate(data))
    press = pressed(layout.room, wrong(layout.room, "discharge", "size"))

    client.post(f"/rooms/{layout.room_id}/layouts", data={"layout": 1, **press.fields}, headers={"HX-Request": "true"})

    assert press.text == "Make it 22 mm"
    after = check_scene(build(store_of_app.latest(layout.room_id).room))
    assert [f.verdict for f in after if (f.check, f.topic) == ("discharge", "size")] == ["no-fault"]


def test_a_vessel_that_is_too_small_is_changed_for_one_that_is_enough(client: TestClient, store_of_app: Store) -> None:
    layout = store_of_app.create(sealed(8))
    press = pressed(layout.room, wrong(layout.room, "vessel"))

    client.post(f"/rooms/{layout.room_id}/layouts", data={"layout": 1, **press.fields}, headers={"HX-Request": "true"})

    assert re.fullmatch(r"Change it for one of \d+ L", press.text)
    after = check_scene(build(store_of_app.latest(layout.room_id).room))
    assert [f.verdict for f in after if f.check == "vessel"] == ["no-fault"]
