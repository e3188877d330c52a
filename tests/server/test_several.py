from typing import Any

import pytest
from starlette.testclient import TestClient

from geometry.samples import box_kit, piece, sample_room
from server.store import Store

TANK = box_kit("tank", 300, 300)
PUMP = box_kit("pump", 200, 200, 300)


@pytest.fixture
def room_id(store_of_app: Store) -> str:
    pieces = [piece(TANK, 200, 300), piece(PUMP, 700, 500), piece(TANK, 2000, 900, id="far")]
    return store_of_app.create(sample_room([TANK, PUMP], pieces)).room_id


def after(client: TestClient, store: Store, room_id: str, do: str, **fields: Any) -> dict[str, tuple[float, float]]:
    form = {"do": do, "layout": 1, "piece": "tank", "pieces": "pump far", **fields}
    client.post(f"/rooms/{room_id}/layouts", data=form)
    assert [line.number for line in store.layouts(room_id)] == [2, 1]
    return {one.id: one.at_mm for one in store.latest(room_id).room.pieces}


def test_several_pieces_move_as_one_and_make_one_layout(client: TestClient, store_of_app: Store, room_id: str) -> None:
    places = after(client, store_of_app, room_id, "move", x=210, y=320, turn=0, base_mm=0)

    assert places == {"tank": (210, 320), "pump": (710, 520), "far": (2010, 920)}
    assert store_of_app.layouts(room_id)[0].step == "Move tank 2, pump and tank 1"


def test_fronts_are_lined_up_with_the_first_piece(client: TestClient, store_of_app: Store, room_id: str) -> None:
    places = after(client, store_of_app, room_id, "line-up", line="fronts")

    # front of the tank: 300 - 150; the pump is 200 deep
    assert places == {"tank": (200, 300), "pump": (700, 250), "far": (2000, 300)}


def test_the_same_gap_is_left_between_all_and_the_outer_two_stay(
    client: TestClient, store_of_app: Store, room_id: str
) -> None:
    places = after(client, store_of_app, room_id, "space")

    # from 350 to 1,850 less the pump's 200 leaves 650 on either side
    assert places == {"tank": (200, 300), "pump": (1100, 500), "far": (2000, 900)}


def test_several_are_taken_out_together(client: TestClient, store_of_app: Store, room_id: str) -> None:
    assert after(client, store_of_app, room_id, "remove", pieces="pump").keys() == {"far"}


def test_another_one_like_it_stands_right_beside_it(client: TestClient, store_of_app: Store, room_id: str) -> None:
    # on its right there is no room: the wall is at 2,400
    assert after(client, store_of_app, room_id, "another", piece="far", pieces="")["p1"] == (1700, 900)
