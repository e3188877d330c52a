"""Walking the walls. Lengths in mm; turns in degrees, left positive."""

from itertools import combinations
from math import atan2, cos, degrees, dist, radians

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.errors import RoomError
from geometry.retaking import advice, braced, straights, to_take_again
from geometry.traverse import Diagonal, Leg, as_outline, corner_letter, edge_of, walked

RIGHT, LEFT = -90.0, 90.0
SQUARE = [Leg(2400, RIGHT), Leg(1800, RIGHT), Leg(2400, RIGHT), Leg(1800, RIGHT)]
ACROSS = Diagonal(0, 2, 3000)
"""3, 4 and 5 times 600."""
SAME_MM = 1e-5
"""Turns are rounded on their way through degrees: far under anything a tape tells."""

Point = tuple[float, float]
sizes = st.integers(100, 6000).map(float)


@st.composite
def rooms(draw: st.DrawFn) -> list[Point]:
    """Corners of a room without crossings, anticlockwise: at growing angles, each at its own distance."""
    count = draw(st.integers(4, 9))
    steps = draw(st.lists(st.integers(25, 90), min_size=count, max_size=count))
    far = draw(st.lists(st.integers(800, 4000), min_size=count, max_size=count))
    turned = [360 * sum(steps[:i]) / sum(steps) for i in range(count)]
    return [(r * cos_deg(a), r * cos_deg(a - 90)) for r, a in zip(far, turned, strict=True)]


def cos_deg(angle: float) -> float:
    return cos(radians(angle))


def legs_round(corners: list[Point]) -> list[Leg]:
    """What a perfect tape and a perfect eye would write."""
    n = len(corners)
    ways = [
        degrees(atan2(corners[(i + 1) % n][1] - corners[i][1], corners[(i + 1) % n][0] - corners[i][0]))
        for i in range(n)
    ]
    turns = [(ways[(i + 1) % n] - ways[i] + 180) % 360 - 180 for i in range(n)]
    return [Leg(dist(corners[i], corners[(i + 1) % n]), turns[i]) for i in range(n)]


def backwards(legs: list[Leg]) -> list[Leg]:
    """The same walls walked the other way round."""
    turned = [leg.turn_deg for leg in legs]
    back = [Leg(leg.length_mm, None) for leg in reversed(legs)]
    n = len(legs)
    return [Leg(leg.length_mm, -(turned[(n - 2 - i) % n] or 0.0)) for i, leg in enumerate(back)]


def between(corners: tuple[Point, ...]) -> list[float]:
    """Every distance between two corners, the same however the shape lies."""
    return sorted(dist(a, b) for a, b in combinations(corners, 2))


@given(rooms())
def test_a_room_measured_without_error_closes_and_keeps_its_corners(corners: list[Point]) -> None:
    walk = walked(legs_round(corners))

    assert walk.closing.length_mm == pytest.approx(0, abs=SAME_MM)
    assert walk.turn_error_deg == pytest.approx(0, abs=SAME_MM)
    assert between(walk.outline_mm) == pytest.approx(between(tuple(corners)), abs=0.01)


@given(rooms(), st.integers(0, 8), st.lists(st.integers(-9, 9), min_size=9, max_size=9))
def test_where_the_walk_starts_changes_neither_error_nor_shape(corners: list[Point], at: int, slips: list[int]) -> None:
    legs = [
        Leg((leg.length_mm or 0) + slip, leg.turn_deg) for leg, slip in zip(legs_round(corners), slips, strict=False)
    ]
    first = at % len(legs)

    one, other = walked(legs), walked([*legs[first:], *legs[:first]])

    assert other.closing.length_mm == pytest.approx(one.closing.length_mm, abs=SAME_MM)
    assert between(other.outline_mm) == pytest.approx(between(one.outline_mm), abs=0.01)


@given(rooms(), st.lists(st.integers(-9, 9), min_size=9, max_size=9))
def test_which_way_round_one_walks_changes_neither_error_nor_shape(corners: list[Point], slips: list[int]) -> None:
    legs = [
        Leg((leg.length_mm or 0) + slip, leg.turn_deg) for leg, slip in zip(legs_round(corners), slips, strict=False)
    ]

    one, other = walked(legs), walked(backwards(legs))

    assert other.closing.length_mm == pytest.approx(one.closing.length_mm, abs=SAME_MM)
    assert between(other.outline_mm) == pytest.approx(between(one.outline_mm), abs=0.01)


@given(rooms(), st.integers(0, 8))
def test_one_wall_that_was_not_measured_is_told_by_the_others(corners: list[Point], at: int) -> None:
    legs = legs_round(corners)
    missing = at % len(legs)

    walk = walked([Leg(None, leg.turn_deg) if i == missing else leg for i, leg in enumerate(legs)])

    ((wall, length_mm),) = walk.found_mm
    assert (wall, length_mm) == (missing, pytest.approx(legs[missing].length_mm, abs=0.01))


@given(sizes, sizes)
def test_two_walls_of_a_rectangle_tell_the_other_two_and_leave_nothing_to_check(width: float, depth: float) -> None:
    walk = walked([Leg(width, RIGHT), Leg(depth, RIGHT), Leg(None, RIGHT), Leg(None, RIGHT)])

    assert [length for _, length in walk.found_mm] == pytest.approx([width, depth])
    assert not walk.is_checked


def test_two_walls_that_run_alike_cannot_both_be_left_out() -> None:
    with pytest.raises(RoomError, match="Walls AB and CD run alike"):
        walked([Leg(None, RIGHT), Leg(1800, RIGHT), Leg(None, RIGHT), Leg(1800, RIGHT)])


def test_three_walls_cannot_be_left_out() -> None:
    with pytest.raises(RoomError, match="can tell two at most"):
        walked([Leg(None, RIGHT), Leg(1800, RIGHT), Leg(None, RIGHT), Leg(None, RIGHT)])


def test_a_wall_that_would_run_backwards_is_refused() -> None:
    with pytest.raises(RoomError, match="leave no length for wall CD"):
        walked([Leg(1000, LEFT), Leg(800, LEFT), Leg(None, RIGHT), Leg(500, LEFT), Leg(3000, LEFT), Leg(1300, LEFT)])


def test_the_last_turn_may_be_left_out() -> None:
    assert walked([*SQUARE[:3], Leg(1800, None)]).path_mm == walked(SQUARE).path_mm


def test_a_turn_in_the_middle_may_not_be_left_out() -> None:
    with pytest.raises(RoomError, match="only that of the last wall"):
        walked([Leg(2400, None), *SQUARE[1:]])


def test_measured_turns_share_a_small_error_and_square_ones_do_not() -> None:
    walk = walked([Leg(2400, 88.0), Leg(1800, LEFT), Leg(2400, LEFT), Leg(1800, 91.0)], tolerance_mm=500)

    assert walk.turn_error_deg == -1
    assert walk.turns_close
    x, y = walk.path_mm[2][0] - walk.path_mm[1][0], walk.path_mm[2][1] - walk.path_mm[1][1]
    assert degrees(atan2(y, x)) == pytest.approx(88.5)


def test_a_wall_that_is_wrong_is_named_with_the_one_parallel_to_it() -> None:
    walk = walked([Leg(2400, RIGHT), Leg(1800, RIGHT), Leg(2300, RIGHT), Leg(1800, RIGHT)])

    found = [(one.what, one.index, one.change_mm) for one in to_take_again(walk)]

    assert found == [("length", 0, -100), ("length", 2, 100)]
    assert "wall CD (2,300 mm written; 2,400 mm would close it)" in advice(walk)


def test_a_diagonal_tells_which_of_the_two_it_is() -> None:
    walk = walked([Leg(2400, RIGHT), Leg(1800, RIGHT), Leg(2300, RIGHT), Leg(1800, RIGHT)])

    assert [one.index for one in to_take_again(walk, [ACROSS])] == [2]


def test_a_turn_the_wrong_way_is_found() -> None:
    """An L whose inward corner, D, was written as an ordinary one."""
    walk = walked([Leg(3000, LEFT), Leg(2000, LEFT), Leg(1000, LEFT), Leg(800, LEFT), Leg(2000, LEFT), Leg(2800, LEFT)])

    assert not walk.closes
    assert "The turns make 540° in all" in advice(walk)
    assert "corner D (left written; right would close it)" in advice(walk)


def test_two_slips_are_not_put_down_to_one_wall() -> None:
    walk = walked([Leg(2400, RIGHT), Leg(1800, RIGHT), Leg(2300, RIGHT), Leg(1700, RIGHT)])

    assert to_take_again(walk) == ()
    assert "No single wall explains it" in advice(walk)


def test_a_diagonal_that_agrees_needs_no_advice() -> None:
    walk = walked(SQUARE)

    assert [one.over_mm for one in straights(walk, [ACROSS])] == [0]
    assert advice(walk, [ACROSS]) == ""


def test_one_diagonal_of_two_that_disagrees_is_to_be_taken_again() -> None:
    walk = walked(SQUARE)

    told = advice(walk, [ACROSS, Diagonal(1, 3, 3300)])

    assert told.startswith(
        "Take again: Diagonal B to D: walls and turns make it 3,000 mm; measured it is 300 mm longer"
    )


def test_diagonals_that_miss_opposite_ways_mean_corners_out_of_square() -> None:
    assert "The corners are not square" in advice(walked(SQUARE), [Diagonal(0, 2, 3060), Diagonal(1, 3, 2939)])


@given(sizes, sizes, sizes, st.integers(30, 150), st.booleans())
def test_four_walls_and_a_diagonal_draw_any_four_corners(
    width: float, depth: float, back: float, angle: int, to_the_left: bool
) -> None:
    """The oracle builds the corners first and measures them; the drawing has to have the same distances."""
    a, b = (0.0, 0.0), (width, 0.0)
    c = (width - depth * cos_deg(angle), depth * cos_deg(angle - 90))
    d = (-back * 0.1, c[1] + back * 0.2)
    walls = [dist(a, b), dist(b, c), dist(c, d), dist(d, a)]
    if not _is_convex([a, b, c, d]):
        return
    legs = [Leg(length, LEFT if to_the_left else RIGHT) for length in walls]

    for diagonal in (Diagonal(0, 2, dist(a, c)), Diagonal(1, 3, dist(b, d))):
        drawn = braced(legs, diagonal)

        assert between(drawn) == pytest.approx(between((a, b, c, d)), abs=0.01)
        assert drawn[1] == pytest.approx((width if to_the_left else -width, 0), abs=0.01)
        assert drawn[2][1] > 0


def _is_convex(corners: list[Point]) -> bool:
    turns = [
        (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
        for a, b, c in zip(corners, corners[1:] + corners[:1], corners[2:] + corners[:2], strict=True)
    ]
    return min(turns) > 1000


def test_a_diagonal_that_no_walls_reach_is_refused() -> None:
    with pytest.raises(RoomError, match=r"cannot reach along a diagonal A to C of 4,300 mm"):
        braced(SQUARE, Diagonal(0, 2, 4300))


def test_an_outline_runs_anticlockwise_from_zero_whichever_way_one_walked() -> None:
    to_the_right, to_the_left = (walked([Leg(leg.length_mm, turn) for leg in SQUARE]) for turn in (RIGHT, LEFT))

    right, left = as_outline(to_the_right.outline_mm), as_outline(to_the_left.outline_mm)

    assert right == (((0, 0), (2400, 0), (2400, 1800), (0, 1800)), True)
    assert left == (((0, 0), (2400, 0), (2400, 1800), (0, 1800)), False)


@given(rooms())
def test_every_walked_wall_is_found_again_in_the_outline(corners: list[Point]) -> None:
    legs = backwards(legs_round(corners))
    outline, clockwise = as_outline(walked(legs).outline_mm)

    n = len(legs)
    lengths = [dist(outline[i], outline[(i + 1) % n]) for i in range(n)]

    assert [lengths[edge_of(wall, n, clockwise)] for wall in range(n)] == pytest.approx(
        [leg.length_mm for leg in legs], abs=0.01
    )


def test_corners_after_z_have_a_number() -> None:
    assert [corner_letter(i) for i in (0, 25, 26)] == ["A", "Z", "A2"]
