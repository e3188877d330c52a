"""What hangs and is turned goes to another wall of the sample room: 2,400 by 1,800, anticlockwise from the front."""

import pytest

from geometry.errors import RoomError
from geometry.next_wall import turned_on_wall
from geometry.samples import box_kit, piece, sample_scene
from geometry.scene import Scene

BOILER = box_kit("boiler", 400, 300, 700, stands_on="wall", base_mm=1200, dry_kg=35)
TANK = box_kit("tank", 400, 300, 2000)


def where(scene: Scene, turn_deg: float) -> tuple[float, float, float]:
    placed = scene.piece("boiler")
    assert placed is not None
    (x, y), turn = turned_on_wall(scene, placed, turn_deg)
    return x, y, turn


def test_it_goes_to_the_next_wall_as_far_from_the_left_corner_as_before() -> None:
    scene = sample_scene([BOILER], [piece(BOILER, 700, 1650)])  # body 500 from the left corner of the back wall

    assert where(scene, 90) == (150, 700, 90)  # the left wall, whose left corner is at the front
    assert where(scene, -90) == (2250, 1100, 270)  # the right wall, whose left corner is at the back


def test_where_that_place_is_taken_it_hangs_in_the_middle_of_the_wall() -> None:
    scene = sample_scene([BOILER, TANK], [piece(BOILER, 400, 1650), piece(TANK, 150, 300, 90)])

    assert where(scene, 90) == (150, 900, 90)


def test_one_that_is_against_no_wall_turns_where_it_is() -> None:
    scene = sample_scene([BOILER], [piece(BOILER, 1200, 900)])

    assert where(scene, 90) == (1200, 900, 90)


def test_where_no_other_wall_takes_it_it_stays_and_the_reason_is_told() -> None:
    wide = box_kit("boiler", 2300, 300, 700, stands_on="wall", base_mm=100, dry_kg=35)
    shelf = box_kit("tank", 2300, 300, 900)
    scene = sample_scene([wide, shelf], [piece(wide, 1200, 1650), piece(shelf, 1200, 150, 180)])

    with pytest.raises(RoomError, match="stays where it is: no other wall has 2,300 mm free"):
        where(scene, 90)
