"""The distance on the label of a piece, where its space runs out through a doorway."""

from typing import Any

import pytest

from geometry.checking import check_scene
from geometry.room import DoorLeaf
from geometry.samples import box_kit, piece, sample_scene
from geometry.scene import Scene
from server.label import rows_of
from server.to_the_door import to_the_door_mm

BOILER = box_kit("boiler", 600, 400, space=[{"side": "front", "mm": 600, "why": "somebody kneels there"}])
BEYOND = [[0, -1100], [2400, -1100], [2400, -100], [0, -100]]


def before_the_door(y: float = 675, **door: Any) -> Scene:
    """A boiler whose front, 200 from its middle, looks at the doorway: at y = 675 it is 475 mm to the door line."""
    opening = {"id": "d1", "edge": 0, "from_mm": 800, "clear_mm": 800, "beyond_mm": BEYOND, **door}
    return sample_scene([BOILER], [piece(BOILER, 1200, y)], doors=[opening])


def in_front(scene: Scene) -> str:
    (row,) = [row for row in rows_of(scene, scene.placed[0], check_scene(scene)) if row.name == "In front"]
    return row.value


def test_the_label_measures_to_the_door_as_a_tape_does_and_says_what_is_through_it() -> None:
    told = in_front(before_the_door())

    assert told.startswith("475 mm to the door, ") or told.startswith("475 to the door, ")
    assert "through it, needs 600" in told


def test_a_space_that_ends_before_the_door_names_no_door() -> None:
    assert "door" not in in_front(before_the_door(1400, from_mm=100, clear_mm=500))


@pytest.mark.parametrize(("turn", "side"), [(0, "front"), (90, "left"), (180, "behind"), (270, "right")])
def test_whichever_side_looks_at_the_door_is_measured(turn: float, side: str) -> None:
    door = {"id": "d1", "edge": 0, "from_mm": 800, "clear_mm": 800, "leaf": DoorLeaf().model_dump()}
    scene = sample_scene([BOILER], [piece(BOILER, 1200, 900, turn)], doors=[door])
    half = 200 if turn % 180 == 0 else 300

    assert to_the_door_mm(scene, scene.placed[0], side) == pytest.approx(900 - half)
