"""Contact angles against two independent ways: bisection on rotated shapes, and a sweep in small steps."""

import random
from collections.abc import Iterator
from math import cos, degrees, hypot, pi, radians, sin

import numpy as np
import pytest
import shapely
from shapely.geometry.base import BaseGeometry

from geometry.arcs import Arc, Bar, blocked, first_angle, gaps, leaf_angle
from geometry.shapes import Footprint, box, disc, hull

STEP_DEG = 0.05
SWEEP = np.radians(np.arange(0, 360, STEP_DEG))


def random_obstacle(rng: random.Random, far: float, size: float) -> Footprint:
    """A disc, a stadium or a convex polygon, sharp or with round corners, anywhere round the pivot."""
    cx, cy = rng.uniform(-far, far), rng.uniform(-far, far)
    corners = rng.choice([1, 1, 2, 3, 4, 4, 5])
    points = [(cx + rng.uniform(-size, size), cy + rng.uniform(-size, size)) for _ in range(corners)]
    plan = hull(points) if corners > 1 else ((cx, cy),)
    sharp = len(plan) > 2 and rng.random() < 0.6
    return Footprint(plan, 0.0 if sharp else rng.uniform(5, size))


def core(plan: Footprint) -> BaseGeometry:
    if len(plan.points) == 1:
        return shapely.Point(plan.points[0])
    return shapely.Polygon(plan.points) if len(plan.points) > 2 else shapely.LineString(plan.points)


def bars_at(bar: Bar, angles: np.ndarray) -> np.ndarray:
    """The bar at each angle as a shape of another library."""
    length, low, high = bar.length_mm, -bar.trail_mm, bar.lead_mm
    corners = np.array([(0, low), (length, low), (length, high), (0, high)])
    if low == high:
        corners = corners[:2]
    c, s = np.cos(angles)[:, None], np.sin(angles)[:, None]
    turned = np.stack([corners[:, 0] * c - corners[:, 1] * s, corners[:, 0] * s + corners[:, 1] * c], axis=-1)
    return shapely.linestrings(turned) if low == high else shapely.polygons(turned)


def hits(plan: Footprint, bar: Bar, angles: np.ndarray) -> np.ndarray:
    """Whether the bar at each angle goes more than a millionth of a millimetre into the shape."""
    bars, shape = bars_at(bar, angles), core(plan)
    if plan.radius_mm:
        return shapely.distance(bars, shape) < plan.radius_mm - 1e-6
    inner = shape.buffer(-1e-6)
    shapely.prepare(inner)
    return shapely.intersects(inner, bars)


def grazes(plan: Footprint, bar: Bar) -> bool:
    """Whether pivot or end of the bar only just meets the shape: there rounding decides, and the sweep does not."""
    distance = core(plan).distance(shapely.Point(0, 0)) - plan.radius_mm
    return abs(distance) < 1 or abs(distance - bar.reach_mm) < 1


def by_bisection(plan: Footprint, bar: Bar) -> float:
    """The least angle of a half turn, in degrees, at which the bar meets the shape; 180 where it never does."""
    met = np.flatnonzero(hits(plan, bar, np.radians(np.arange(0, 180.0001, 0.1))))
    if not len(met) or met[0] == 0:
        return 180.0 if not len(met) else 0.0
    low, high = radians((met[0] - 1) / 10), radians(met[0] / 10)
    for _ in range(30):
        middle = (low + high) / 2
        if hits(plan, bar, np.array([middle]))[0]:
            high = middle
        else:
            low = middle
    return degrees(high)


def leaf_cases() -> Iterator[tuple[Footprint, Bar]]:
    rng = random.Random(7)
    found = 0
    while found < 400:
        bar = Bar(rng.uniform(400, 900), rng.choice([0.0, 0.0, 35.0, 60.0]))
        plan = random_obstacle(rng, 700, 300)
        if found % 5 == 0:  # lies across the shut leaf
            x, y = rng.uniform(0, bar.length_mm), rng.uniform(-30, 30)
            plan = plan.moved(x - plan.centre[0], y - plan.centre[1])
        if not grazes(plan, bar):
            found += 1
            yield plan, bar


def test_the_opening_angle_is_that_of_bisection_on_turned_shapes() -> None:
    wrong = []
    kinds = {"shut": 0, "part": 0, "full": 0}

    for plan, bar in leaf_cases():
        mine, other = leaf_angle(plan, bar.length_mm, bar.lead_mm), by_bisection(plan, bar)
        kinds["shut" if mine == 0 else "full" if mine == 180 else "part"] += 1
        if abs(mine - other) > 1e-4:
            wrong.append((plan, bar, mine, other))

    assert wrong == []
    assert min(kinds.values()) > 60


def covered(arcs: tuple[Arc, ...], angles: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """(whether each angle is in an arc, whether it is within a step of an arc's end)."""
    inside, near = np.zeros(len(angles), bool), np.zeros(len(angles), bool)
    for start, stop in arcs:
        for turn in (-2 * pi, 0, 2 * pi, 4 * pi):
            inside |= (angles > start + turn) & (angles < stop + turn)
            for end in (start, stop):
                near |= abs(angles - end - turn) < radians(STEP_DEG) * 1.01
    return inside, near


def test_the_blocked_arcs_are_those_of_a_sweep_in_small_steps() -> None:
    rng = random.Random(1)
    wrong, two_arcs, whole = [], 0, 0

    for _ in range(250):
        half = rng.choice([0.0, 12.5, 25.0, 40.0])
        bar = Bar(rng.uniform(100, 400), half, rng.choice([half, half, 0.0]))
        plan = random_obstacle(rng, 400, 150)
        if grazes(plan, bar) or (plan.radius_mm and len(plan.points) > 1 and only_ends(plan, bar)):
            continue
        arcs = blocked(plan.points, plan.radius_mm, bar)
        two_arcs, whole = two_arcs + (len(arcs) == 2), whole + any(b - a > 6.28 for a, b in arcs)
        inside, near = covered(arcs, SWEEP)
        if ((inside != hits(plan, bar, SWEEP)) & ~near).any():
            wrong.append((plan, bar, arcs))

    assert wrong == []
    assert whole > 5


def only_ends(plan: Footprint, bar: Bar) -> bool:
    """Whether only the bar's square end reaches it."""
    return core(plan).distance(shapely.Point(0, 0)) - plan.radius_mm > bar.length_mm


def test_what_only_the_two_corners_of_a_square_end_reach_blocks_two_arcs() -> None:
    bar = Bar(250, 25, 25)
    wall = [(250.6, -300), (300, -300), (300, 300), (250.6, 300)]

    sharp, round_ = blocked(wall, 0, bar), blocked([(300.6, 0)], 50, bar)

    assert len(sharp) == len(round_) == 2
    for arcs, plan in ((sharp, Footprint(tuple(wall))), (round_, disc((300.6, 0), 50))):
        inside, near = covered(arcs, SWEEP)
        assert ((inside == hits(plan, bar, SWEEP)) | near).all()


def test_a_round_corner_that_only_the_ends_reach_blocks_more_rather_than_less() -> None:
    bar, plan = Bar(250, 25, 25), Footprint(((300.6, -30), (300.6, 30)), 50)

    arcs = blocked(plan.points, plan.radius_mm, bar)

    inside, near = covered(arcs, SWEEP)
    assert (inside | near)[hits(plan, bar, SWEEP)].all()


@pytest.mark.parametrize("quarter", [1, 2, 3])
def test_a_quarter_turn_of_everything_turns_the_arcs(quarter: int) -> None:
    rng, bar = random.Random(3), Bar(300, 12.5, 12.5)
    plans = [random_obstacle(rng, 300, 120) for _ in range(40)]

    for plan in plans:
        turned = plan
        for _ in range(quarter):
            turned = Footprint(tuple((-y, x) for x, y in turned.points), turned.radius_mm)
        before, after = blocked(plan.points, plan.radius_mm, bar), blocked(turned.points, turned.radius_mm, bar)
        assert len(before) == len(after)
        for (a, b), (c, d) in zip(before, after, strict=True):
            assert d - c == pytest.approx(b - a)
            assert cos(c - a - quarter * pi / 2) == pytest.approx(1) or b - a > 6.28


def test_a_mirror_image_swaps_the_ends_of_the_arc() -> None:
    bar = Bar(300, 12.5, 12.5)

    ((a, b),) = blocked([(100, 50), (200, 50), (200, 150), (100, 150)], 0, bar)
    ((c, d),) = blocked([(100, -50), (200, -50), (200, -150), (100, -150)], 0, bar)

    assert (a, b) == (pytest.approx(-d), pytest.approx(-c))


def test_touching_the_end_of_the_bar_is_not_meeting_it() -> None:
    assert blocked(box(300, -50, 400, 50).points, 0, Bar(300)) == ()
    assert blocked([(400, 0)], 100, Bar(300)) == ()


def test_a_bar_whose_pivot_lies_on_a_straight_side_keeps_the_half_turn_away_from_it() -> None:
    free = gaps([(a, b, 0) for a, b in blocked(box(-200, -300, 200, 0).points, 0, Bar(250))])

    assert [gap.deg for gap in free] == [pytest.approx(180)]


def test_a_pivot_inside_something_leaves_no_angle_free() -> None:
    assert gaps([(a, b, 0) for a, b in blocked(box(-10, -10, 10, 10).points, 0, Bar(250))]) == ()
    assert gaps([(a, b, 0) for a, b in blocked([(3, 4)], 20, Bar(250))]) == ()


def test_arcs_that_overlap_across_the_zero_leave_one_gap() -> None:
    free = gaps([(radians(-30), radians(20), 0), (radians(10), radians(80), 1), (radians(300), radians(345), 2)])

    assert [(round(gap.deg), gap.after, gap.before) for gap in free] == [(220, 1, 2)]


def test_arcs_that_meet_leave_nothing_between_them() -> None:
    assert gaps([(0, pi, 0), (pi, 2 * pi, 1)]) == ()


@pytest.mark.parametrize(("arcs", "expected"), [
    ([(radians(-10), radians(5))], 0.0),
    ([(radians(350), radians(370))], 0.0),
    ([(radians(-20), 0.0)], None),
    ([(radians(200), radians(300))], None),
    ([(radians(40), radians(60)), (radians(385), radians(390))], 25.0),
])  # fmt: skip
def test_a_leaf_is_stopped_by_the_first_arc_of_its_half_turn(arcs: list[Arc], expected: float | None) -> None:
    angle = first_angle(arcs)

    assert (angle if angle is None else degrees(angle)) == (expected if expected is None else pytest.approx(expected))


def test_the_reach_of_a_bar_is_its_far_corner() -> None:
    assert Bar(300, 40, 30).reach_mm == hypot(300, 40)
    assert sin(radians(leaf_angle(box(-500, 250, 500, 300), 500))) == pytest.approx(0.5)
