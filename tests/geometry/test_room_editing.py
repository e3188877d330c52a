"""Parts of the room added, changed and taken out by number. The sample room is 2,400 by 1,800 by 2,400 high."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon

from geometry import room_editing as editing
from geometry.alcoves import with_alcove, with_corner
from geometry.ceilings import lowest_over
from geometry.errors import RoomError
from geometry.reading import read_room, write_room
from geometry.room import Room
from geometry.samples import box_kit, piece, sample_room
from geometry.scene import build
from geometry.shapes import disc
from geometry.strips import Strip, corners_of, strip_of
from geometry.walls import edges

BACK = 2
NEW_WALL_LEFT = 4
"""Of the five walls that one becomes, the last is the one on the left of a person inside: a wall line ends there."""
TANK = box_kit("tank")
DOOR = {"edge": 0, "from_mm": 100.0, "clear_mm": 700.0}


def a_room(**more: object) -> Room:
    return sample_room([TANK], [piece(TANK, 1200, 900)], **more)


@given(st.integers(0, 3), st.integers(0, 900), st.integers(50, 800), st.integers(0, 400), st.integers(50, 900))
def test_a_strip_is_the_same_four_figures_after_it_was_drawn(
    edge: int, left: int, width: int, off: int, depth: int
) -> None:
    room = a_room()
    corners = corners_of(room, Strip(edge, left, width, off, depth))

    found = strip_of(room, corners)

    assert found is not None
    assert set(corners_of(room, found)) == set(corners)
    assert Polygon(corners).area == pytest.approx(width * depth)


def test_left_is_that_of_a_person_inside_who_faces_the_wall() -> None:
    """Facing the back wall, left in plan is left; facing the front wall, it is right."""
    back, front = (corners_of(a_room(), Strip(edge, 0, 500, 0, 300)) for edge in (BACK, 0))

    assert {x for x, _ in back} == {0, 500}
    assert {x for x, _ in front} == {1900, 2400}


def test_an_area_with_slanted_sides_is_no_strip() -> None:
    assert strip_of(a_room(), [(0, 0), (500, 0), (400, 300), (0, 300)]) is None


def test_the_ceiling_may_be_measured_or_not() -> None:
    room = editing.with_height(a_room(), None)

    assert room.ceiling.height_mm is None
    assert editing.with_height(room, 2310).ceiling.height_mm == 2310


def test_a_slope_is_as_high_as_written_at_both_its_sides() -> None:
    room = a_room()
    figures = editing.slope_over(room, Strip(BACK, 0, 2400, 0, 900), 1500, 2400)
    sloped, _ = editing.with_overhead(room, "slopes", None, {"name": "soffit", **figures})
    roof = build(sloped).roof

    at_wall, halfway, beyond = (lowest_over(roof, disc((1200, y), 50)).height_mm for y in (1750, 1300, 800))

    assert at_wall == pytest.approx(1500)
    assert halfway == pytest.approx(1950)
    assert beyond == 2400


def test_a_second_slope_of_the_same_name_gets_a_name_of_its_own() -> None:
    room = a_room()
    figures = editing.slope_over(room, Strip(BACK, 0, 2400, 0, 300), 1500, 2400)
    for _ in range(2):
        room, name = editing.with_overhead(room, "slopes", None, {"name": "soffit", **figures})

    assert name == "soffit 2"


@pytest.mark.parametrize(
    ("group", "figures", "name"),
    [
        ("doors", DOOR, "d1"),
        ("windows", {"edge": 1, "from_mm": 200.0, "width_mm": 600.0, "sill_mm": 900.0, "head_mm": 2000.0}, "w1"),
        ("fixtures", {"name": "boxing", "area_mm": ((0, 1600), (200, 1600), (200, 1800)), "to_mm": 2400.0}, "f1"),
        ("keep_free", {"name": "basket", "area_mm": ((0, 0), (300, 0), (300, 300)), "to_mm": 900.0}, "k1"),
        ("outlets", {"name": "gully", "at_mm": (2400.0, 900.0), "level_mm": 150.0}, "o1"),
    ],
)
def test_a_part_is_added_changed_and_taken_out_and_the_file_is_as_before(
    group: str, figures: dict[str, object], name: str
) -> None:
    room = a_room()
    added, found = editing.with_part(room, group, None, figures)
    again, same = editing.with_part(added, group, found, figures)

    assert found == same == name
    assert len(getattr(added, group)) == 1
    assert read_room(write_room(added)) == added == again
    assert write_room(editing.without(added, group, name)) == write_room(room)


def test_a_change_keeps_what_it_does_not_name() -> None:
    room, name = editing.with_part(a_room(), "doors", None, {**DOOR, "planned": True})
    (door,) = editing.with_part(room, "doors", name, {"clear_mm": 650.0})[0].doors

    assert (door.clear_mm, door.from_mm, door.planned) == (650, 100, True)


def test_a_door_past_its_corner_is_refused_in_a_sentence() -> None:
    with pytest.raises(RoomError, match="which is only 2,400 mm long"):
        editing.with_part(a_room(), "doors", None, {**DOOR, "from_mm": 2000.0})


def test_a_part_that_is_not_there_is_named() -> None:
    with pytest.raises(RoomError, match="This room has no window called w9"):
        editing.without(a_room(), "windows", "w9")


def test_what_was_not_measured_goes_when_it_is_measured_and_with_its_part() -> None:
    room, name = editing.with_part(a_room(), "doors", None, DOOR)
    missing = editing.with_missing(room, name, {"clear width": 700.0, "head": 1981.0})

    assert [item.what for item in missing.not_measured] == ["clear width", "head"]
    assert [item.what for item in editing.with_missing(missing, name, {"head": 1981.0}).not_measured] == ["head"]
    assert editing.without(missing, "doors", name).not_measured == ()


def test_walls_and_floor_are_described_once() -> None:
    room = editing.with_wall(a_room(), 1, {"build": "brick", "thick_mm": 215.0, "outside": True})
    room = editing.with_wall(room, 1, {"build": "stud", "thick_mm": 100.0})
    room = editing.with_floor(room, {"storey": "upper", "build": "timber"})

    assert [(wall.edge, wall.build, wall.outside) for wall in room.walls] == [(1, "stud", False)]
    assert (room.floor.storey, room.floor.build, room.floor.allow_kn_m2) == ("upper", "timber", None)


@given(st.integers(0, 3), st.integers(20, 600), st.integers(20, 600), st.integers(20, 700))
def test_an_alcove_adds_its_own_floor_and_four_walls(edge: int, left: int, width: int, depth: int) -> None:
    room = with_alcove(a_room(), edge, left, width, depth)

    assert Polygon(room.outline_mm).area == pytest.approx(2400 * 1800 + width * depth, abs=5)
    assert len(edges(room)) == 8
    assert edges(room)[edge + 2].length_mm == pytest.approx(width, abs=0.01)
    assert edges(room)[edge + NEW_WALL_LEFT].length_mm == pytest.approx(left, abs=0.01)


def test_what_is_in_a_wall_stays_where_it_is_when_an_alcove_is_cut() -> None:
    doors = [
        {"id": "d1", "edge": 0, "from_mm": 100, "clear_mm": 400},
        {"id": "d2", "edge": 0, "from_mm": 1900, "clear_mm": 400},
    ]
    windows = [
        {"id": "w1", "edge": 0, "from_mm": 900, "width_mm": 300, "sill_mm": 900, "head_mm": 1500},
        {"id": "w2", "edge": 3, "from_mm": 500, "width_mm": 300, "sill_mm": 900, "head_mm": 1500},
    ]
    before = a_room(doors=doors, windows=windows, walls=[{"edge": 3, "build": "brick"}])
    after = with_alcove(before, 0, 1000, 800, 350)

    def places(room: Room) -> list[tuple[int, int]]:
        found = [edges(room)[thing.edge].at(thing.from_mm) for thing in (*room.doors, *room.windows)]
        return [(round(x), round(y)) for x, y in found]

    assert places(after) == [(x, y - 350 if i == 2 else y) for i, (x, y) in enumerate(places(before))]
    assert [wall.edge for wall in after.walls] == [7]


def test_an_alcove_across_a_door_is_refused() -> None:
    with pytest.raises(RoomError, match='"d1" would lie across the edge of the alcove'):
        with_alcove(a_room(doors=[{**DOOR, "id": "d1", "from_mm": 900}]), 0, 1000, 500, 300)


def test_an_alcove_that_reaches_the_corner_is_refused() -> None:
    with pytest.raises(RoomError, match="move the corner instead"):
        with_alcove(a_room(), 0, 0, 500, 300)


def test_a_corner_goes_where_it_is_put_and_a_crossing_is_refused() -> None:
    assert with_corner(a_room(), 2, (2450, 1790)).outline_mm[2] == (2450, 1790)
    with pytest.raises(RoomError, match="crosses itself"):
        with_corner(a_room(), 2, (-500, 900))
