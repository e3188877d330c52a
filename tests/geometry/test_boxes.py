"""What boxes leave free of a frame, held against shapely's own difference and union."""

import random

import pytest
import shapely
from shapely.geometry import box

from geometry.boxes import Box4, left_free

FRAME: Box4 = (0.0, 0.0, 100.0, 80.0)


def by_shapely(boxes: list[Box4]) -> shapely.Geometry:
    return box(*FRAME).difference(shapely.union_all([box(*one) for one in boxes]))


def some_boxes(chance: random.Random, step: int, count: int) -> list[Box4]:
    found = []
    for _ in range(count):
        x, y = chance.randrange(-20, 110, step), chance.randrange(-20, 90, step)
        found.append((float(x), float(y), float(x + chance.choice((4, 10, 25))), float(y + chance.choice((4, 10, 25)))))
    return found


@pytest.mark.parametrize("seed", range(100))
@pytest.mark.parametrize("step", [1, 5])
def test_what_is_left_is_what_shapely_leaves(seed: int, step: int) -> None:
    """On the coarse step boxes often touch along an edge or at a corner."""
    boxes = some_boxes(random.Random(seed), step, 24)

    parts = left_free(FRAME, boxes)

    assert all(part.is_valid for part in parts)
    assert shapely.union_all(parts).symmetric_difference(by_shapely(boxes)).area == 0
    assert len(parts) == len(shapely.get_parts(by_shapely(boxes)))


def test_an_island_in_a_lake_on_an_island_is_a_part_of_its_own() -> None:
    walls = [(20.0, 20.0, 60.0, 25.0), (20.0, 55.0, 60.0, 60.0), (20.0, 20.0, 25.0, 60.0), (55.0, 20.0, 60.0, 60.0)]

    parts = left_free(FRAME, [*walls, (35.0, 35.0, 45.0, 45.0)])

    assert sorted(part.area for part in parts) == [30 * 30 - 100, 100 * 80 - 40 * 40]
    assert [len(part.interiors) for part in parts] == [1, 1]


def test_boxes_that_touch_at_a_corner_leave_valid_parts() -> None:
    parts = left_free(FRAME, [(10.0, 10.0, 20.0, 20.0), (20.0, 20.0, 30.0, 30.0)])

    assert all(part.is_valid for part in parts)
    assert sum(part.area for part in parts) == 100 * 80 - 200


@pytest.mark.parametrize(("boxes", "area"), [([], 8000.0), ([(-5.0, -5.0, 105.0, 85.0)], 0.0)])
def test_a_frame_that_is_bare_or_full(boxes: list[Box4], area: float) -> None:
    assert sum(part.area for part in left_free(FRAME, boxes)) == area
