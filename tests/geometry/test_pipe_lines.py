"""What is counted along a pipe's line: elbows as a hand would count them, and how far it rises."""

from math import cos, radians, sin

import pytest

from geometry.pipes.line import Route

Point3 = tuple[float, float, float]


def kinked(steps_deg: list[float]) -> Route:
    """A level line of stretches of 100 mm that turns by so much before each but the first."""
    points: list[Point3] = [(0.0, 0.0, 0.0), (100.0, 0.0, 0.0)]
    way = 0.0
    for step in steps_deg:
        way += radians(step)
        x, y, z = points[-1]
        points.append((x + 100 * cos(way), y + 100 * sin(way), z))
    return Route(tuple(points))


# a pulled bend of a quarter resists as an elbow does, however many small turns it is drawn with: common practice, no
# source; "count a bend as an elbow"
@pytest.mark.parametrize(("steps", "elbows"), [
    ([], 0), ([90], 1), ([45], 1), ([10.1], 1), ([9.9], 0), ([90, 90], 2), ([180], 2), ([135], 1), ([136], 2),
    ([9] * 10, 1), ([9] * 20, 2), ([9] * 40, 4), ([9] * 5, 0), ([9] * 5 + [1], 1), ([9] * 15, 1), ([9] * 16, 2),
    ([1] * 90, 1), ([9, -9] * 20, 0), ([90, *[9] * 10], 2), ([*[9] * 10, 90], 2), ([9] * 10 + [-9] * 10, 2),
])  # fmt: skip
def test_bends_add_up_along_small_turns(steps: list[float], elbows: int) -> None:
    assert kinked(steps).bends == elbows


def test_a_falling_pipe_with_its_points_on_whole_millimetres_has_no_bend() -> None:
    points = tuple((k * 90.0, 0.0, 600.0 - round(k * 0.45)) for k in range(40))

    assert Route(points).bends == 0


@pytest.mark.parametrize(("heights", "rise"), [
    ([900, 700, 600], 0), ([900, 900], 0), ([900, 700, 840, 600], 140), ([900, 1000, 500, 650], 150),
])  # fmt: skip
def test_a_rise_is_measured_from_the_lowest_place_before_it(heights: list[float], rise: float) -> None:
    points = tuple((100.0 * k, 0.0, z) for k, z in enumerate(heights))

    assert Route(points).rise_mm == rise


@pytest.mark.parametrize(("points", "back"), [
    ([(0, 0, 0), (900, 0, 0), (500, 0, 0)], True), ([(0, 0, 0), (900, 0, 0), (900, 900, 0)], False),
    ([(0, 0, 0), (900, 0, 0), (900, 0, -50), (500, 0, -50)], True),
    ([(0, 0, 0), (900, 0, 0), (900, 0, -51), (500, 0, -51)], False),
    ([(0, 0, 0), (900, 0, 0), (920, 0, -20), (900, 0, -40), (0, 0, -40)], False),
    ([(0, 0, 0), (900, 0, 0)], False),
])  # fmt: skip
def test_a_line_turns_back_where_there_is_no_room_for_two_elbows(points: list[Point3], back: bool) -> None:
    assert Route(tuple(points)).turns_back == back
