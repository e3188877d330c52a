import random

import pytest
import shapely

from geometry.boxes import in_few


@pytest.mark.parametrize("seed", range(20))
def test_joined_boxes_cover_what_the_boxes_covered(seed: int) -> None:
    """The union worked out by shapely is the oracle."""
    chance = random.Random(seed)
    corners = [(chance.randrange(0, 60, 5), chance.randrange(0, 60, 5)) for _ in range(40)]
    boxes = [(float(x), float(y), float(x + chance.choice((5, 10, 20))), float(y + 10)) for x, y in corners]

    fewer = in_few(boxes)

    before, after = (shapely.union_all([shapely.box(*box) for box in some]) for some in (boxes, fewer))
    assert before.equals(after)
    assert len(fewer) < len(boxes)


def test_boxes_that_do_not_touch_stay_as_they_are() -> None:
    assert in_few([(4.0, 0.0, 5.0, 1.0), (0.0, 0.0, 3.0, 1.0)]) == [(0.0, 0.0, 3.0, 1.0), (4.0, 0.0, 5.0, 1.0)]
