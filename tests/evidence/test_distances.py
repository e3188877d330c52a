"""Distances that can be worked on paper.

Source of every expected value: derived by arithmetic (Pythagoras, the area of a circle, the sine of a slope), as each
line says; no program of this project gave any of them.
"""

from math import pi, radians, sqrt, tan

import pytest

from geometry.ceilings import Plane, Roof, Soffit, lowest_over, too_low
from geometry.check import Where
from geometry.checks import service_space
from geometry.samples import piece, round_kit, sample_scene
from geometry.shapes import Footprint, box, disc, overlap_mm, separation, swept
from geometry.sliding import slide_mm

GAPS = [
    ("boxes 3 and 4 apart on their axes: hypot(3, 4)", box(0, 0, 1, 1), box(4, 5, 6, 7), 5),
    ("circles of 275 and 200: hypot(700, 300) - 475", disc((0, 0), 275), disc((700, 300), 200), 286.577311),
    ("circle of 275 and a box corner: hypot(300, 400) - 275", disc((0, 0), 275), box(300, 400, 900, 900), 225),
    ("a point and a segment: hypot(100, 200)", disc((0, 0), 0), Footprint(((100, 200), (400, 200))), 223.606798),
    ("a cylinder of 550 in a square of 700, side: (700 - 550) / 2", disc((350, 350), 275), box(-100, 0, 0, 700), 75),
    ("the same, corner: (700 sqrt 2 - 550) / 2", disc((350, 350), 275), box(-9, -9, 0, 0), 219.974747),
]  # fmt: skip


@pytest.mark.parametrize(("a", "b", "expected"), [row[1:] for row in GAPS], ids=[row[0] for row in GAPS])
def test_the_gap_between_shapes(a: Footprint, b: Footprint, expected: float) -> None:
    assert separation(a, b).gap_mm == pytest.approx(expected, abs=1e-6)
    assert separation(b, a).gap_mm == pytest.approx(expected, abs=1e-6)


def test_the_way_to_a_box_corner_is_along_the_diagonal() -> None:
    """3 : 4 : 5, so 225 mm are 135 across and 180 along."""
    assert separation(disc((0, 0), 275), box(300, 400, 900, 900)).move_mm == pytest.approx((135, 180))


def test_the_floor_that_two_zones_share() -> None:
    """(762 - 500) x (914 - 300) = 262 x 614 = 160,868 mm2."""
    ring = Where((box(0, 0, 762, 914), box(500, 300, 1500, 1200)), 0, 1).area_mm

    assert Footprint(ring).area_mm2 == pytest.approx(160_868)


def test_the_area_of_a_box_grown_all_round() -> None:
    """600 x 400 grown by 300: 240,000 + 2,000 x 300 + pi x 300^2 = 1,122,743.3 mm2."""
    assert Footprint(box(0, 0, 600, 400).points, 300).area_mm2 == pytest.approx(1_122_743.3, abs=0.1)


def test_the_area_that_a_sliding_cylinder_covers() -> None:
    """550 x 450 and a circle: 247,500 + pi x 275^2."""
    assert swept(disc((0, 0), 275), (0, -1), 450).area_mm2 == pytest.approx(247_500 + pi * 275**2)


@pytest.mark.parametrize(
    ("distance", "expected"),
    [(475, 0), (474, 1), (400, 75), (0, 475)],
    ids=["touching", "1 deep", "75 deep", "same middle"],
)
def test_the_depth_of_two_circles(distance: float, expected: float) -> None:
    """Radii of 275 and 200 less the distance of the middles."""
    assert overlap_mm(disc((0, 0), 275), disc((distance, 0), 200)) == pytest.approx(expected)


def test_the_depth_of_a_box_turned_by_45_degrees() -> None:
    """Its corner reaches 300 / sqrt 2 from its middle, the other box begins 200 away."""
    half = 300 / sqrt(2)
    diamond = Footprint(((0, -half), (half, 0), (0, half), (-half, 0)))

    assert overlap_mm(diamond, box(200, -500, 900, 500)) == pytest.approx(half - 200)


def test_how_far_a_cylinder_rolls_into_a_corner_of_two_posts() -> None:
    """It stops where its rim, 120 to the side of its middle, meets the post: 1,000 - sqrt(275^2 - 120^2)."""
    assert slide_mm(disc((0, 0), 275), box(120, 1000, 300, 1100), (0, 1)) == pytest.approx(1000 - sqrt(275**2 - 120**2))


@pytest.mark.parametrize(("height", "expected"), [(850, 944.0), (1350, 1499.3), (1981, 2200.1)])
def test_where_a_stair_soffit_of_42_degrees_comes_down_to_a_height(height: float, expected: float) -> None:
    """x = height / tan 42; a private stair is no steeper (from memory)."""
    soffit = Soffit("soffit", box(0, 0, 3000, 900), Plane(tan(radians(42)), 0, 0), True)
    ((_, area),) = too_low(Roof(None, (soffit,)), height)

    assert area.bounds[2] == pytest.approx(expected, abs=0.05)


def test_how_high_a_stair_soffit_is_over_a_cylinder() -> None:
    """42 degrees, lowest over the near rim: (1,200 - 275) x tan 42 = 832.9."""
    roof = Roof(2400, (Soffit("soffit", box(0, 0, 3000, 900), Plane(tan(radians(42)), 0, 0), True),))
    low = lowest_over(roof, disc((1200, 450), 275))

    assert low is not None
    assert low.height_mm == pytest.approx(832.9, abs=0.05)


def test_a_cylinder_in_a_square_cupboard_has_the_same_room_on_every_side() -> None:
    """(700 - 550) / 2 = 75."""
    cylinder = round_kit("cylinder", space=[{"side": side, "mm": 40} for side in ("front", "behind", "left", "right")])
    square = [[0, 0], [700, 0], [700, 700], [0, 700]]
    scene = sample_scene([cylinder], [piece(cylinder, 350, 350, 30)], outline_mm=square)
    turned_on = sample_scene([cylinder], [piece(cylinder, 350, 350)], outline_mm=square)

    assert [f.found for f in service_space.find(turned_on)] == pytest.approx([75] * 4)
    assert all((f.found or 0) > 75 for f in service_space.find(scene))
