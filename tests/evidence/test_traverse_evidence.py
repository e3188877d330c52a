"""Closing errors and their spread against sums done by hand.

The rule: J. Mahun, Open Access Surveying Library, Traverse Computations, chapter E, section 2, Compass Rule (Bowditch
Rule): a line's correction is the closing error times the line's length over the length of the whole traverse.

Six surveys of rooms are built here with known slips, and worked on paper: the steps along x (to the right in plan) and
along y (away from the reader) of every wall stand beside it, and add up to the closing error. A seventh is a worked
example with bearings from a teaching text, "Compass Rule: Adjustment of Bearing and Distance of a Closed Traverse":
AB 80.40 m N 76 E, BC 46.30 m S 36 E, CD 72.80 m S 61 W, DA 68.00 m N 38 W, with its steps and corrections in metres.
"""

from math import hypot

import pytest

from geometry.traverse import Leg, Walk, walked

RIGHT, LEFT = -90.0, 90.0
TENTH_MM = 0.05
"""Half of the last place of a figure given to 0.1 mm."""
HALF_ROOT = 0.7071067811865476
"""sin 45 and cos 45, from a table."""

Survey = tuple[list[Leg], list[tuple[float, float]], tuple[float, float, float]]

SURVEYS: dict[str, Survey] = {
    # A cupboard walked round to the right. The wall across the door is 4 mm longer than the door wall, the left wall
    # 3 mm longer than the right one: 3, 4 and 5 make a right triangle.
    "cupboard": (
        [Leg(2400, RIGHT), Leg(1800, RIGHT), Leg(2404, RIGHT), Leg(1803, RIGHT)],
        [(-2400, 0), (0, 1800), (2404, 0), (0, -1803)],
        (4.0, -3.0, 5.0),
    ),
    # An L, walked to the left: 3,600 = 1,500 + 2,105 less 5; 2,700 = 1,100 + 1,588 and 12. The error is 5 and 12: 13.
    "L-shape": (
        [Leg(3600, LEFT), Leg(1100, LEFT), Leg(2105, RIGHT), Leg(1588, LEFT), Leg(1500, LEFT), Leg(2700, LEFT)],
        [(3600, 0), (0, 1100), (-2105, 0), (0, 1588), (-1500, 0), (0, -2700)],
        (-5.0, -12.0, 13.0),
    ),
    # A utility room with a chimney breast in the far wall, 900 wide, one cheek 350 and the other 342: 8 short in depth.
    # Across: 3,000 against 1,050 + 900 + 1,044 = 2,994: 6 short. 6 and 8 make 10.
    "chimney breast": (
        [
            Leg(3000, RIGHT), Leg(2200, RIGHT), Leg(1050, RIGHT), Leg(350, LEFT), Leg(900, LEFT), Leg(342, RIGHT),
            Leg(1044, RIGHT), Leg(2200, RIGHT),
        ],
        [(-3000, 0), (0, 2200), (1050, 0), (0, -350), (900, 0), (0, 342), (1044, 0), (0, -2200)],
        (-6.0, -8.0, 10.0),
    ),
    # A corner cut off at 45 degrees, walked to the left. The slant of 1,000 steps -707.1068 both ways in turn; the
    # walls beside it are 1,700 and 1,100, so dx = 2,400 - 707.1068 - 1,700 = -7.1068; dy = 1,100 + 707.1068 - 1,800
    # = 7.1068; straight 7.1068 times 1.414214 = 10.0505.
    "cut corner": (
        [Leg(2400, LEFT), Leg(1100, 45.0), Leg(1000, 45.0), Leg(1700, LEFT), Leg(1800, LEFT)],
        [(2400, 0), (0, 1100), (-1000 * HALF_ROOT, 1000 * HALF_ROOT), (-1700, 0), (0, -1800)],
        (-7.1068, 7.1068, 10.0505),
    ),
    # A U round a stair, walked to the right: across 4,000 against 1,200 + 1,593 + 1,200 = 3,993; along the depth
    # 2,500 - 1,000 + 1,024 - 2,500 = 24. 7, 24 and 25 make a right triangle.
    "U round a stair": (
        [
            Leg(4000, RIGHT), Leg(2500, RIGHT), Leg(1200, RIGHT), Leg(1000, LEFT), Leg(1593, LEFT), Leg(1024, RIGHT),
            Leg(1200, RIGHT), Leg(2500, RIGHT),
        ],
        [(-4000, 0), (0, 2500), (1200, 0), (0, -1000), (1593, 0), (0, 1024), (1200, 0), (0, -2500)],
        (-7.0, 24.0, 25.0),
    ),
    # A right triangle under a stair, by measured angles of 36.87 and 53.13 degrees: turns of 90, 126.87 and 143.13.
    # Sides 3,000, 4,000 and 5,012. From a table, cos 36.87 = 0.79999954 and sin 36.87 = 0.60000061: the long side runs
    # back (-0.60000061, -0.79999954) x 5,012 = (-3,007.2030, -4,009.5977).
    "under a stair": (
        [Leg(3000, LEFT), Leg(4000, 143.13), Leg(5012, 126.87)],
        [(3000, 0), (0, 4000), (-3007.2030, -4009.5977)],
        (-7.2030, -9.5977, 12.0),
    ),
}  # fmt: skip


def walk_of(name: str) -> Walk:
    return walked(SURVEYS[name][0], tolerance_mm=30)


@pytest.mark.parametrize("name", SURVEYS)
def test_the_closing_error_is_that_of_the_sum_on_paper(name: str) -> None:
    _, steps, (dx, dy, straight) = SURVEYS[name]
    by_hand = (sum(x for x, _ in steps), sum(y for _, y in steps))

    closing = walk_of(name).closing

    assert by_hand == pytest.approx((dx, dy), abs=0.001)
    assert (closing.dx_mm, closing.dy_mm) == pytest.approx((dx, dy), abs=TENTH_MM)
    assert closing.length_mm == pytest.approx(straight, abs=TENTH_MM)


@pytest.mark.parametrize("name", SURVEYS)
def test_the_error_is_spread_in_proportion_to_the_length_walked(name: str) -> None:
    """The rule by hand: each step loses its share, so every corner is the sum of the steps so corrected."""
    legs, steps, (dx, dy, _) = SURVEYS[name]
    whole = sum(leg.length_mm or 0 for leg in legs)
    x = y = 0.0
    corners = []
    for (step_x, step_y), leg in zip(steps, legs, strict=True):
        corners.append((x, y))
        x += step_x - dx * (leg.length_mm or 0) / whole
        y += step_y - dy * (leg.length_mm or 0) / whole

    spread = walk_of(name).outline_mm

    assert (x, y) == pytest.approx((0, 0), abs=0.001)
    for found, by_hand in zip(spread, corners, strict=True):
        assert found == pytest.approx(by_hand, abs=TENTH_MM)


def test_the_first_corner_of_the_l_shape_by_hand_to_a_tenth() -> None:
    """The whole walk is 12,593 mm. B: 3,600 + 5 x 3,600 / 12,593 = 3,601.43; 12 x 3,600 / 12,593 = 3.43."""
    corner_b = walk_of("L-shape").outline_mm[1]

    assert corner_b == pytest.approx((3601.43, 3.43), abs=TENTH_MM)


PUBLISHED = [(80_400, 76), (46_300, 144), (72_800, 241), (68_000, 322)]
"""Lengths in mm and bearings clockwise from north, in degrees: each turn is the difference of two bearings."""
PUBLISHED_ERROR_MM = (-311, 285)
"""Departure (east) and latitude (north), from the example: they are sums of four figures rounded to 1 mm."""
PUBLISHED_CORRECTIONS_MM = [(93.5, -85.7), (53.8, -49.3), (84.6, -77.6), (79.1, -72.4)]
ROUNDED_MM = 4 * 0.5


def test_a_published_traverse_by_bearings_closes_as_in_the_book() -> None:
    turns = [-68, -97, -81, -114]
    walk = walked([Leg(length, turn) for (length, _), turn in zip(PUBLISHED, turns, strict=True)], tolerance_mm=500)

    assert walk.turn_error_deg == 0
    assert walk.closing.length_mm == pytest.approx(hypot(*PUBLISHED_ERROR_MM), abs=ROUNDED_MM)


def test_a_published_traverse_is_corrected_as_in_the_book() -> None:
    """The share of each line of the error, straight: the book gives it as two parts, east and north."""
    turns = [-68, -97, -81, -114]
    walk = walked([Leg(length, turn) for (length, _), turn in zip(PUBLISHED, turns, strict=True)], tolerance_mm=500)

    moved = [hypot(x - a, y - b) for (x, y), (a, b) in zip(walk.outline_mm, walk.path_mm, strict=False)]
    shares = [after - before for before, after in zip(moved, [*moved[1:], walk.closing.length_mm], strict=True)]

    assert shares == pytest.approx([hypot(*part) for part in PUBLISHED_CORRECTIONS_MM], abs=ROUNDED_MM / 2)
