"""What is told of the building goes into the room file, valid, and nothing else of it changes."""

import pytest

from geometry import telling
from geometry.editing import free_ref
from geometry.errors import RoomError
from geometry.reading import read_room, write_room
from geometry.room import Floor, Heating, Room, Wall
from geometry.samples import sample_room

L_SHAPE = [[0, 0], [3000, 0], [3000, 1000], [1500, 1000], [1500, 2000], [0, 2000]]


def room() -> Room:
    return sample_room([], [], walls=[{"edge": 1, "build": "brick", "thick_mm": 215, "outside": True}])


def test_a_wall_keeps_its_thickness_when_it_is_told_what_it_is_made_of() -> None:
    told = telling.wall_told(telling.wall_told(room(), 1, "block"), 0, "studs")

    assert told.walls == (Wall(edge=0, build="studs"), Wall(edge=1, build="block", thick_mm=215, outside=True))


def test_what_is_told_of_floor_and_heating_leaves_what_was_known() -> None:
    told = telling.floor_told(telling.floor_told(room(), build="timber"), allow_kn_m2=1.5)
    warm = telling.heating_told(telling.heating_told(room(), charge_bar=1.5), system_l=120.0)

    assert told.floor == Floor(build="timber", allow_kn_m2=1.5)
    assert warm.heating == Heating(system_l=120, charge_bar=1.5)


@pytest.mark.parametrize(("edge", "left", "at"), [
    (0, 200, (2800, 0)), (1, 200, (3000, 800)), (4, 200, (200, 2000)), (5, 200, (0, 200)),
])  # fmt: skip
def test_an_outlet_lies_so_far_from_the_left_corner_of_its_wall_as_seen_from_inside(
    edge: int, left: float, at: tuple[float, float]
) -> None:
    """A person inside who faces wall 0 (the near one) has x = 3,000 on the left, and so on round the room."""
    plan = sample_room([], [], outline_mm=L_SHAPE)
    told = telling.outlet_added(plan, "relief", edge=edge, left_mm=left, level_mm=100, name="hole")

    assert told.outlets[0].at_mm == at


def test_openings_told_again_take_the_place_of_those_told_before_and_leave_others() -> None:
    own = sample_room([], [], vents=[{"id": "v1", "level_mm": 900, "free_cm2": 50, "to": "room"}])
    once = telling.vents_told(own, "room", (2200, 200), (100, 200))
    twice = telling.vents_told(once, "outside", (2200, 300), None)

    assert [(vent.name, vent.free_cm2, vent.to) for vent in twice.vents] == [
        ("vent", 50, "room"), (telling.OPENING_HIGH, 300, "outside"),
    ]  # fmt: skip
    assert len({vent.id for vent in once.vents}) == 3


def test_what_is_told_can_be_read_again() -> None:
    told = telling.outlet_added(room(), "overflow", edge=2, left_mm=100, level_mm=300, name="overflow hole")
    told = telling.vents_told(telling.system_told(told, "heat pump"), "room", (2200, 200), (100, 200))

    assert read_room(write_room(told)) == told


def test_more_openings_than_a_file_holds_are_refused() -> None:
    vents = [{"id": f"v{k}", "level_mm": 100, "free_cm2": 5, "to": "room"} for k in range(40)]

    with pytest.raises(RoomError, match="at most 40 vents"):
        telling.vents_told(sample_room([], [], vents=vents), "room", (2200, 200), None)


@pytest.mark.parametrize("left", [-1, 2401])
def test_an_outlet_beyond_the_corner_is_refused(left: float) -> None:
    with pytest.raises(RoomError, match="2,400 mm long"):
        telling.outlet_added(room(), "relief", edge=0, left_mm=left, level_mm=0, name="hole")


def test_a_free_id_is_that_of_no_other_thing() -> None:
    doors = [{"id": "v1", "edge": 0, "from_mm": 100, "clear_mm": 700}]

    assert free_ref(sample_room([], [], doors=doors), "v") == "v2"
