"""The fall of a line of points: the whole of it, and the part that lacks most, against every part tried by itself."""

from itertools import combinations, pairwise
from math import hypot
from random import Random

import pytest

from geometry.pipes.fall import fall_of
from geometry.units import Point3

MM_M = 5.0


def lack_mm(part: tuple[Point3, ...]) -> float:
    run = sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(part))
    return run / 1000 * MM_M - (part[0][2] - part[-1][2])


@pytest.mark.parametrize("seed", range(40))
def test_the_worst_stretch_is_the_worst_of_all_parts_of_the_line(seed: int) -> None:
    draw = Random(seed)
    points = [(0.0, 0.0, 900.0)]
    for _ in range(draw.randint(1, 9)):
        x, y, z = points[-1]
        points.append((x + draw.choice([0, 400, 900]), y + draw.choice([0, 300]), z - draw.choice([-2, 0, 1, 5, 60])))

    fall = fall_of(points, MM_M)

    every = [lack_mm(tuple(points[a : b + 1])) for a, b in combinations(range(len(points)), 2)]
    assert fall.short_mm == pytest.approx(max(0.0, *every))


def test_many_small_rises_in_a_row_are_one_rise() -> None:
    """Forty stretches of 20 mm that rise 0.3 mm each: 12 mm up, and 4 mm that 800 mm along would have to fall."""
    points = [(0.0, 0.0, 900.0), (0.0, 0.0, 300.0)]
    points += [(20.0 * k, 0.0, 300.0 + 0.3 * k) for k in range(1, 41)] + [(800.0, 0.0, 100.0)]

    fall = fall_of(points, MM_M)

    assert fall.stretch == (pytest.approx(4.0), pytest.approx(-12.0))


@pytest.mark.parametrize(("end_mm", "short"), [(295.0, 0.0), (295.4, 0.4), (295.6, 0.6)])
def test_the_whole_line_lacks_from_its_first_tenth_on_and_is_not_told_twice(end_mm: float, short: float) -> None:
    fall = fall_of([(0, 0, 900), (0, 0, 300), (1000, 0, end_mm)], MM_M, 600)

    assert (fall.short_mm, fall.stretch) == (pytest.approx(short), None)
