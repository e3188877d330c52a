from collections.abc import Iterable
from itertools import combinations
from typing import Any

import pytest
import shapely
from shapely import affinity
from shapely.geometry import LineString, Polygon
from shapely.geometry import Point as Spot
from shapely.geometry.base import BaseGeometry

from geometry.room import Room
from geometry.samples import sample_room
from geometry.shapes import disc, overlap_mm
from geometry.walls import WallBlock, edges, slot, wall_blocks

RECTANGLE = [[0, 0], [2400, 0], [2400, 1800], [0, 1800]]
L_ROOM = [[0, 0], [2400, 0], [2400, 900], [1400, 900], [1400, 1800], [0, 1800]]
U_ROOM = [[0, 0], [3000, 0], [3000, 1800], [2000, 1800], [2000, 900], [1850, 900], [1850, 1800], [0, 1800]]
SKEW = [[0, 0], [2600, -300], [3000, 1500], [1200, 2300], [-400, 1400]]
DOOR = {"id": "d1", "edge": 0, "from_mm": 300, "clear_mm": 700, "head_mm": 1981, "sill_mm": 150}


def room(outline: list[list[float]], thick: float = 100, **more: Any) -> Room:
    walls = [{"edge": i, "thick_mm": thick} for i in range(len(outline))]
    return sample_room([], [], outline_mm=outline, walls=walls, **more)


def area_of(blocks: Iterable[WallBlock], at_mm: float = 1000) -> BaseGeometry:
    return shapely.union_all([block.plan.polygon for block in blocks if block.from_mm < at_mm < block.to_mm])


@pytest.mark.parametrize("outline", [RECTANGLE, L_ROOM, U_ROOM], ids=["rectangle", "L", "U"])
@pytest.mark.parametrize("thick", [60, 100, 300])
def test_the_walls_of_a_square_room_are_the_ring_around_it(outline: list[list[float]], thick: float) -> None:
    inside = Polygon(outline)
    ring = inside.buffer(thick, join_style="mitre").difference(inside)

    assert area_of(wall_blocks(room(outline, thick))).symmetric_difference(ring).area < 1


def test_walls_of_different_thickness_meet_at_their_corners() -> None:
    walls = [{"edge": 0, "thick_mm": 50}, {"edge": 1, "thick_mm": 300}]
    made = area_of(wall_blocks(sample_room([], [], walls=walls)))

    assert made.symmetric_difference(shapely.box(-100, -50, 2700, 1900) - shapely.box(0, 0, 2400, 1800)).area < 1


@pytest.mark.parametrize("outline", [SKEW, U_ROOM], ids=["skew", "U"])
def test_all_that_is_just_outside_the_outline_is_wall(outline: list[list[float]]) -> None:
    inside = Polygon(outline)
    made = area_of(wall_blocks(room(outline)))

    assert inside.buffer(99, quad_segs=64).difference(inside).difference(made).area < 1
    assert made.intersection(inside).area < 1e-3


def test_a_doorway_is_open_between_its_sill_and_its_head_and_nowhere_else() -> None:
    there = room(RECTANGLE, doors=[DOOR])
    opening = slot(there, there.doors[0]).polygon
    blocks = wall_blocks(there)

    assert opening.bounds == (300, -100, 1000, 0)
    assert area_of(blocks, 1000).intersection(opening).area < 1e-6
    assert area_of(blocks, 100).covers(opening)
    assert area_of(blocks, 1990).covers(opening)
    assert area_of(blocks, 1990).area == pytest.approx(area_of(wall_blocks(room(RECTANGLE))).area)


def test_beside_a_doorway_the_wall_is_whole() -> None:
    there = room(RECTANGLE, doors=[DOOR])
    whole = area_of(wall_blocks(room(RECTANGLE)))

    assert area_of(wall_blocks(there)).symmetric_difference(whole - slot(there, there.doors[0]).polygon).area < 1


def test_blocks_are_named_by_the_wall_that_they_belong_to() -> None:
    for block in wall_blocks(room(L_ROOM, doors=[DOOR])):
        edge = edges(room(L_ROOM))[int(block.ref.removeprefix("edge:"))]
        along, inward = zip(*(edge.measure(point) for point in block.plan.points), strict=True)

        assert max(inward) <= 1e-6 and min(inward) >= -100 - 1e-6
        assert min(along) >= -100 - 1e-6 and max(along) <= edge.length_mm + 100 + 1e-6


def test_the_floor_beyond_a_door_has_walls_but_not_across_the_door() -> None:
    beyond = [[-500, -1100], [2000, -1100], [2000, -100], [-500, -100]]
    there = room(RECTANGLE, doors=[{**DOOR, "beyond_mm": beyond}])
    walls = area_of([block for block in wall_blocks(there) if block.ref == "d1"])

    assert walls.intersection(Polygon(beyond)).area < 1
    assert walls.intersection(slot(there, there.doors[0]).polygon).area < 1e-6
    assert all(walls.covers(Spot(spot)) for spot in ((0, -1150), (-550, -600), (2050, -600)))


def test_without_a_floor_beyond_the_outside_is_open() -> None:
    assert {block.ref for block in wall_blocks(room(RECTANGLE, doors=[DOOR]))} == {f"edge:{i}" for i in range(4)}


def test_two_doors_onto_one_corridor_have_no_wall_across_it() -> None:
    left, right = ([[x, -1100], [x + 1500, -1100], [x + 1500, -100], [x, -100]] for x in (-300, 1200))
    doors = [{**DOOR, "beyond_mm": left}, {**DOOR, "id": "d2", "from_mm": 1400, "beyond_mm": right}]
    corridor = shapely.box(-300, -1100, 2700, -100)

    assert area_of(wall_blocks(room(RECTANGLE, doors=doors))).intersection(corridor).area < 1


def test_the_order_of_doors_and_walls_in_the_file_changes_no_block() -> None:
    doors = [DOOR, {**DOOR, "id": "a", "from_mm": 1400}, {**DOOR, "id": "b", "edge": 2}]
    walls = [{"edge": i, "thick_mm": 100 + 10 * i} for i in range(4)]

    assert wall_blocks(sample_room([], [], doors=doors, walls=walls)) == wall_blocks(
        sample_room([], [], doors=doors[::-1], walls=walls[::-1])
    )


def test_an_edge_measures_along_itself_and_into_the_room() -> None:
    for edge in edges(room(SKEW)):
        assert Polygon(SKEW).covers(Spot(edge.at(edge.length_mm / 2, 1)))
        assert edge.measure(edge.at(123, 45)) == pytest.approx((123, 45))


def test_blocks_of_one_wall_do_not_lie_over_each_other() -> None:
    blocks = [b for b in wall_blocks(room(RECTANGLE, doors=[DOOR])) if b.ref == "edge:0"]

    assert all(
        a.plan.polygon.intersection(b.plan.polygon).area < 1e-6 or a.to_mm <= b.from_mm or b.to_mm <= a.from_mm
        for a, b in combinations(blocks, 2)
    )


def test_a_floor_beyond_that_starts_a_little_away_from_the_wall_is_still_reached() -> None:
    beyond = [[0, -1200], [2400, -1200], [2400, -103], [0, -103]]
    door = {"id": "d1", "edge": 0, "from_mm": 900, "clear_mm": 700, "beyond_mm": beyond}
    opening = disc((1250, -101.5), 1.0)

    blocks = wall_blocks(sample_room([], [], doors=[door]))

    assert [b.ref for b in blocks if b.from_mm < 0 < b.to_mm and overlap_mm(b.plan, opening) > 0.5] == []


@pytest.mark.parametrize("turn_deg", [0.05, 0.9, 7, 20, 31.4, 45, 63, 117, 200, 333])
def test_a_doorway_is_open_right_through_however_its_wall_runs(turn_deg: float) -> None:
    turned = affinity.rotate(Polygon(RECTANGLE), turn_deg, origin=(0, 0))
    there = room([[x, y] for x, y in turned.exterior.coords[:-1]], doors=[DOOR])
    edge = edges(there)[0]
    through = LineString([edge.at(650, -400), edge.at(650, 400)])

    met = [block for block in wall_blocks(there) if block.from_mm < 1000 < block.to_mm]

    assert [block.ref for block in met if block.plan.polygon.intersects(through)] == []
