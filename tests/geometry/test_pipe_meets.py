"""What a drawn pipe goes through: walls on its last stretch, a leaf that opens past square, a slope that it follows.

All expected places are worked out by hand beside the tests.
"""

from math import sqrt

import pytest

from geometry.pipes.surroundings import doorways, hits
from geometry.room import Room
from geometry.scene import Scene, build
from geometry.units import Point3
from tests.checks.discharge_room import Data

RADIUS_MM = 11.0
U_SHAPE = [[0, 0], [3000, 0], [3000, 1800], [2000, 1800], [2000, 600], [1400, 600], [1400, 1800], [0, 1800]]


def scene_of(**more: Data) -> Scene:
    base = {
        "format": "elbowroom-room", "format_version": 1, "name": "Pipe", "tolerance_mm": 0,
        "outline_mm": [[0, 0], [4000, 0], [4000, 1800], [0, 1800]], "ceiling": {"height_mm": 2400},
    }  # fmt: skip
    return build(Room.model_validate(base | more))


def met(scene: Scene, points: list[Point3], out: str | None) -> tuple[str, ...]:
    return hits(scene, doorways(scene), points, RADIUS_MM, frozenset(), out)


def test_the_last_stretch_goes_out_through_its_own_wall_and_no_other() -> None:
    scene = scene_of(outline_mm=U_SHAPE)
    across = [(700.0, 1500.0, 600.0), (700.0, 1000.0, 600.0), (3000.0, 1000.0, 590.0)]

    through = met(scene, across, "edge:1")

    assert set(through) == {"edge:3", "edge:5"}


def test_a_pipe_that_ends_at_a_port_goes_out_through_no_wall() -> None:
    scene = scene_of()
    out = [(3000.0, 900.0, 600.0), (4100.0, 900.0, 600.0)]

    through = [met(scene, out, wall) for wall in ("edge:1", "", None)]

    assert through == [(), ("edge:1",), ()]


def test_a_pipe_along_the_inside_face_of_a_wall_does_not_go_through_it() -> None:
    scene = scene_of()

    through = met(scene, [(100.0, 0.0, 600.0), (3900.0, 0.0, 590.0), (3900.0, 900.0, 585.0)], "edge:1")

    assert through == ()


def door(needed_deg: float, **more: object) -> Data:
    leaf = {"kind": "hinged", "width_mm": 850, "thick_mm": 40, "hinge": "end", "opens": "in", "needed_deg": needed_deg}
    return {"id": "d1", "edge": 0, "from_mm": 1000, "clear_mm": 800, "head_mm": 2000, "leaf": leaf | more}


# 500 mm past the hinge the tip of a leaf of 850 mm comes 687.4 mm into the room: the square root of 850 ^2 - 500 ^2.
REACH_MM = sqrt(850**2 - 500**2)


@pytest.mark.parametrize(
    ("needed_deg", "gap_mm", "through"),
    [(180, -5.0, ("d1",)), (180, 5.0, ()), (90, -400.0, ()), (120, -5.0, ()), (130, -5.0, ("d1",))],
)
def test_a_pipe_keeps_out_of_what_a_leaf_sweeps_beside_its_doorway(
    needed_deg: float, gap_mm: float, through: tuple[str, ...]
) -> None:
    """At 120 degrees the tip is 425 mm past the hinge (850 cos 60), at 130 degrees 546 mm."""
    scene = scene_of(doors=[door(needed_deg)])
    y = REACH_MM + RADIUS_MM + gap_mm + 4.0

    found = met(scene, [(2300.0, 1800.0, 600.0), (2300.0, y, 600.0)], None)

    assert found == through


def test_a_leaf_that_opens_out_keeps_nothing_beside_its_doorway_clear() -> None:
    scene = scene_of(doors=[door(180, opens="out")])

    assert met(scene, [(2300.0, 1800.0, 600.0), (2300.0, 100.0, 600.0)], None) == ()


SLOPE = {
    "name": "slope", "area_mm": [[1200, 0], [2400, 0], [2400, 1800], [1200, 1800]],
    "through_mm": [[1200, 0, 1800], [2400, 0, 600], [1200, 1800, 1800]],
}  # fmt: skip


@pytest.mark.parametrize(("gap_mm", "through"), [(2.0, ()), (0.0, ()), (-2.0, ("slope",))])
def test_a_pipe_that_falls_with_a_slope_is_held_against_it_where_it_is(gap_mm: float, through: tuple[str, ...]) -> None:
    """Both fall 1 in 1: the top of the pipe is half its size above its middle line all along."""
    scene = scene_of(ceiling={"height_mm": 2400, "slopes": [SLOPE]})
    under = RADIUS_MM + gap_mm

    found = met(scene, [(1300.0, 900.0, 1700.0 - under), (2300.0, 900.0, 700.0 - under)], None)

    assert found == through


def test_a_level_pipe_goes_into_a_slope_that_comes_down_to_it() -> None:
    scene = scene_of(ceiling={"height_mm": 2400, "slopes": [SLOPE]})

    through = [met(scene, [(100.0, 900.0, 1000.0), (end, 900.0, 1000.0)], None) for end in (1950.0, 2010.0)]

    assert through == [(), ("slope",)]


def test_an_upright_pipe_is_held_against_the_slope_at_its_top() -> None:
    scene = scene_of(ceiling={"height_mm": 2400, "slopes": [SLOPE]})

    through = [met(scene, [(2000.0, 900.0, top), (2000.0, 900.0, 100.0)], None) for top in (970.0, 990.0)]

    assert through == [(), ("slope",)]
