"""The line along which a piece leaves the room: as the check answers, clear of everything by half of what passes."""

from typing import Any

from shapely.geometry import LineString

from geometry.samples import box_kit, piece, round_kit, sample_scene
from geometry.scene import Scene
from geometry.way_lines import way_line

TANK = round_kit("tank", 500, 900, dry_kg=40)
WALL = box_kit("wall-of-boxes", 1500, 300, 1800, dry_kg=200)
DOOR = {"id": "d1", "edge": 0, "from_mm": 300, "clear_mm": 700}


def scene_with(*others: dict[str, Any], **more: Any) -> Scene:
    return sample_scene([TANK, WALL], [piece(TANK, 650, 1450), *others], doors=[DOOR], **more)


def line_of(scene: Scene) -> LineString | None:
    tank = scene.piece("tank")
    assert tank is not None
    points = way_line(scene, tank)
    return LineString(points) if points else None


def test_nothing_in_the_way_is_one_straight_line_out_of_the_door() -> None:
    line = line_of(scene_with())

    assert line is not None
    assert line.coords[0] == (650, 1450)
    assert line.coords[-1][1] < -250
    assert len(line.coords) == 2


def test_round_an_obstacle_the_line_keeps_half_of_the_width_away_from_it() -> None:
    scene = scene_with(piece(WALL, 750, 900))
    line = line_of(scene)
    other = scene.piece("wall-of-boxes")

    assert line is not None and other is not None
    assert line.distance(other.body[0].polygon) > 250 - 1
    assert line.length > 1900


def test_a_trapped_piece_and_one_that_no_floor_carries_have_no_line() -> None:
    trapped = scene_with(piece({**WALL, "key": "wall-of-boxes"}, 750, 900), piece(WALL, 1650, 900, id="more"))
    hung = box_kit("spur", 90, 40, 90, stands_on="wall", base_mm=900, dry_kg=0.2)
    scene = sample_scene([hung], [piece(hung, 600, 1780)], doors=[DOOR])

    assert line_of(trapped) is None
    assert way_line(scene, scene.placed[0]) == ()
