"""Undo of n steps gives the room file back byte for byte, and redo of n steps gives the last one back."""

import random

import pytest
from starlette.testclient import TestClient

from geometry.reading import write_room
from geometry.room import Room
from server.store import Store

ROOM = "village-hall"
HTMX = {"HX-Request": "true"}
SETTLED = (200, 303)


def a_step(chance: random.Random, room: Room) -> dict[str, object]:
    """What somebody may do next: move, turn, pin, take out or copy a piece, or move two at once."""
    free = [piece for piece in room.pieces if not piece.pinned]
    one, other = chance.sample(free, 2)
    here = {"piece": one.id, "x": one.at_mm[0] + chance.randrange(-200, 201), "y": one.at_mm[1] + 7,
            "turn": one.turn_deg, "base_mm": one.base_mm or 0}  # fmt: skip
    return chance.choice(
        [
            {"do": "move", **here},
            {"do": "move", **here, "pieces": other.id},
            {"do": "pin", "piece": one.id},
            {"do": "remove", "piece": one.id},
            {"do": "another", "piece": one.id},
        ]
    )


@pytest.mark.parametrize("seed", range(3))
def test_undo_of_every_step_gives_the_file_back_byte_for_byte(
    client: TestClient, store_of_app: Store, seed: int
) -> None:
    chance, files = random.Random(seed), [write_room(store_of_app.latest(ROOM).room)]
    for _ in range(12):
        base = store_of_app.latest(ROOM)
        answer = client.post(f"/rooms/{ROOM}/layouts", data={"layout": base.number, **a_step(chance, base.room)})
        if answer.status_code in SETTLED and store_of_app.latest(ROOM).number > base.number:
            files.append(write_room(store_of_app.latest(ROOM).room))
    steps = len(files) - 1

    undone = [_step_back(client, store_of_app, "undo") for _ in range(steps)]
    redone = [_step_back(client, store_of_app, "redo") for _ in range(steps)]

    assert steps >= 6
    assert undone == files[-2::-1]
    assert redone == files[1:]


def _step_back(client: TestClient, store: Store, way: str) -> str:
    answer = client.post(f"/rooms/{ROOM}/layouts", data={"layout": store.latest(ROOM).number, "do": way})
    assert answer.status_code in SETTLED
    return write_room(store.latest(ROOM).room)
