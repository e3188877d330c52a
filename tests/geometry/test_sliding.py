from itertools import islice
from math import cos, inf, pi, sin
from random import Random

import pytest

from geometry.shapes import Footprint, box, disc, separation, turned
from geometry.sliding import slide_mm
from geometry.units import DEPTH_TOLERANCE_MM, Point
from tests.geometry.oracles import framed, random_shape, shared_width, slide

Case = tuple[Footprint, Footprint, Point]
GRAZES_MM = 1.5


def cases(seed: int, count: int) -> list[Case]:
    """Two shapes apart from each other and a direction in which they do not just brush past."""
    draw = Random(seed)
    tries = (
        (random_shape(draw, 500), random_shape(draw, 500), draw.choice([0, 90, 180, 270, 37, 200])) for _ in range(9999)
    )
    ways = ((a, b, turned((1.0, 0.0), turn)) for a, b, turn in tries)
    return list(islice((case for case in ways if separation(*case[:2]).gap_mm > 0 and not grazes(*case)), count))


def grazes(a: Footprint, b: Footprint, way: Point) -> bool:
    return abs(shared_width(a, b, way)) < GRAZES_MM


def test_slide_is_where_the_sweep_first_meets_the_other_shape() -> None:
    every = cases(1, 600)
    expected = [slide(*case) for case in every]

    assert sum(far is not None for far in expected) > 120
    assert [slide_mm(*case) is None for case in every] == [far is None for far in expected]
    assert [slide_mm(*case) or 0 for case in every] == pytest.approx([far or 0 for far in expected], abs=0.01)


def test_slide_does_not_depend_on_the_frame() -> None:
    draw = Random(2)
    for a, b, way in cases(3, 120):
        turn, at = draw.uniform(0, 360), (draw.uniform(-9000, 9000), draw.uniform(-9000, 9000))
        again = slide_mm(framed(a, turn, at), framed(b, turn, at), turned(way, turn))

        assert (again or inf) == pytest.approx(slide_mm(a, b, way) or inf, abs=1e-6)


@pytest.mark.parametrize("turn_deg", [0, 15, 33.3, 90, 123, 271])
@pytest.mark.parametrize("at", [(0, 0), (12345.6, -7654.3)])
class TestTouching:
    """Shapes that touch, in frames where rounding makes the contact a hair too deep or too shallow."""

    def slid(self, a: Footprint, b: Footprint, way: Point, turn_deg: float, at: Point) -> float | None:
        return slide_mm(framed(a, turn_deg, at), framed(b, turn_deg, at), turned(way, turn_deg))

    def test_what_touches_in_front_leaves_nothing(self, turn_deg: float, at: Point) -> None:
        ahead = box(20, 100, 300, 180)

        assert self.slid(box(0, 0, 200, 100), ahead, (0, 1), turn_deg, at) == pytest.approx(0, abs=1e-8)
        assert self.slid(disc((100, 0), 100), ahead, (0, 1), turn_deg, at) == pytest.approx(0, abs=1e-8)

    def test_what_touches_the_side_is_not_in_the_way(self, turn_deg: float, at: Point) -> None:
        beside = box(200, -500, 300, 900)

        assert self.slid(box(0, 0, 200, 100), beside, (0, 1), turn_deg, at) is None
        assert self.slid(disc((100, 0), 100), beside, (0, 1), turn_deg, at) is None

    def test_what_touches_the_back_is_not_in_the_way(self, turn_deg: float, at: Point) -> None:
        assert self.slid(box(0, 0, 200, 100), box(-50, -90, 300, 0), (0, 1), turn_deg, at) is None
        assert self.slid(disc((100, 0), 100), box(-50, -190, 300, -100), (0, 1), turn_deg, at) is None

    def test_the_wall_that_the_side_runs_along_is_not_in_the_way(self, turn_deg: float, at: Point) -> None:
        wall = box(200, -100, 300, 5000)

        assert self.slid(box(0, 0, 200, 100), wall, (0, 1), turn_deg, at) is None


def test_less_than_the_allowance_sideways_brushes_past_and_more_does_not() -> None:
    ahead = box(100 - DEPTH_TOLERANCE_MM, 400, 200, 500)

    assert slide_mm(box(0, 0, 100, 100), ahead, (0, 1)) is None
    assert slide_mm(box(0, 0, 100, 100), ahead.moved(-0.01, 0), (0, 1)) == 300


def test_the_allowance_decides_and_is_not_added_to_the_distance() -> None:
    tip = Footprint(((90, 400), (200, 290), (200, 510)))

    assert slide_mm(box(0, 0, 100, 100), tip, (0, 1)) == pytest.approx(290)


def test_overlap_with_something_ahead_leaves_nothing() -> None:
    assert slide_mm(box(0, 0, 100, 100), box(50, 80, 150, 300), (0, 1)) == 0
    assert slide_mm(disc((0, 0), 100), disc((0, 120), 60), (0, 1)) == 0
    assert slide_mm(Footprint(((0, 0), (200, 0), (100, 90))), box(60, 40, 90, 300), (0, 1)) == 0


def test_what_lies_wholly_behind_the_leading_side_is_not_in_the_way() -> None:
    assert slide_mm(box(0, 0, 100, 100), box(50, -80, 150, 60), (0, 1)) is None
    assert slide_mm(disc((0, 0), 100), disc((0, -120), 60), (0, 1)) is None
    assert slide_mm(box(0, 0, 100, 100), box(20, 20, 40, 40), (0, 1)) is None


def test_a_corner_unit_overlapped_from_behind_does_not_depend_on_the_last_bit() -> None:
    part = Footprint(((0, 0), (600, 0), (600, 300), (300, 300)))
    block = box(300, -200, 600, 80)
    for turn in (7, 15, 23, 75):
        for at in ((0, 0), (1234.567, -9876.5), (30000.1, 0.3)):
            assert slide_mm(framed(part, turn, at), framed(block, turn, at), turned((0, 1), turn)) is None


def test_a_round_body_goes_farther_beside_its_middle() -> None:
    corner = box(100, 500, 300, 600)

    assert slide_mm(disc((0, 0), 275), corner, (0, 1)) == pytest.approx(500 - (275**2 - 100**2) ** 0.5)
    assert slide_mm(box(-275, -275, 275, 275), corner, (0, 1)) == 225


def test_a_rod_end_slides_as_a_line() -> None:
    end = Footprint(((-30.0, 0.0), (30.0, 0.0)))

    assert slide_mm(end, disc((0, -500), 100), (0, -1)) == pytest.approx(400)
    assert slide_mm(end, disc((40, -500), 100), (0, -1)) == pytest.approx(400 + 100 - (100**2 - 10**2) ** 0.5)
    assert slide_mm(end, disc((130, -500), 100), (0, -1)) is None


def test_direction_may_be_any_unit_vector() -> None:
    way = (cos(pi / 6), sin(pi / 6))
    ahead = disc((1000 * way[0], 1000 * way[1]), 100)

    assert slide_mm(disc((0, 0), 200), ahead, way) == pytest.approx(700)
