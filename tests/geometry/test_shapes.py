from itertools import combinations, islice
from math import cos, hypot, pi, radians, sin
from random import Random

import pytest
import shapely
from shapely.geometry import MultiPoint, Polygon
from shapely.geometry import Point as Spot

from geometry.shapes import (
    Footprint,
    Sweep,
    bounds_meet,
    box,
    convex_parts,
    disc,
    hull,
    overlap_mm,
    separation,
    swept,
    turned,
)
from geometry.units import DEPTH_TOLERANCE_MM
from tests.geometry.oracles import framed, gap, least_way_out, random_shape, solid

L_SHAPE = [(0, 0), (600, 0), (600, 300), (300, 300), (300, 600), (0, 600)]
C_SHAPE = [(0, 0), (900, 0), (900, 200), (200, 200), (200, 700), (900, 700), (900, 900), (0, 900)]
STAR = [(400 * (1 + i % 2) * cos(pi * i / 5), 400 * (1 + i % 2) * sin(pi * i / 5)) for i in range(10)]
TOOTH = ((0, 500), (20, 500), (20, 30), (40, 30))
COMB = [*((40 * i + x, y) for i in range(20) for x, y in TOOTH), (800, 0), (0, 0)]


def overlapping_pairs(seed: int, count: int) -> list[tuple[Footprint, Footprint]]:
    draw = Random(seed)
    pairs = ((random_shape(draw, 250), random_shape(draw, 250)) for _ in range(50 * count))
    return list(islice((pair for pair in pairs if solid(pair[0]).intersection(solid(pair[1])).area > 100), count))


def test_depth_of_overlap_is_the_shortest_way_out_tried_in_every_direction() -> None:
    pairs = overlapping_pairs(1, 40)

    assert len(pairs) == 40
    assert [overlap_mm(a, b) for a, b in pairs] == pytest.approx([least_way_out(a, b) for a, b in pairs], abs=0.01)


def test_the_smallest_move_brings_overlapping_shapes_to_contact() -> None:
    for a, b in overlapping_pairs(2, 60):
        dx, dy = separation(a, b).move_mm

        assert hypot(dx, dy) == pytest.approx(overlap_mm(a, b), abs=1e-9)
        beyond = 1 + 0.01 / hypot(dx, dy)
        assert gap(a.moved(beyond * dx, beyond * dy), b) == pytest.approx(0.01, abs=1e-6)


def test_gap_between_shapes_apart_is_their_distance() -> None:
    draw = Random(3)
    pairs = [(random_shape(draw, 1500), random_shape(draw, 1500)) for _ in range(300)]
    apart = [(a, b) for a, b in pairs if gap(a, b) > 0.001]

    assert len(apart) > 150
    assert [separation(a, b).gap_mm for a, b in apart] == pytest.approx([gap(a, b) for a, b in apart], abs=1e-6)


def test_the_move_across_a_gap_brings_shapes_to_contact() -> None:
    draw = Random(4)
    for _ in range(100):
        a, b = random_shape(draw, 900), random_shape(draw, 900)
        dx, dy = separation(a, b).move_mm

        assert separation(a.moved(dx, dy), b).gap_mm == pytest.approx(0, abs=1e-6)


def test_separation_is_the_same_seen_from_the_other_shape() -> None:
    draw = Random(5)
    for _ in range(200):
        a, b = random_shape(draw), random_shape(draw)
        there, back = separation(a, b), separation(b, a)

        assert there.gap_mm == pytest.approx(back.gap_mm, abs=1e-9)


def test_separation_of_square_boxes_is_that_of_the_general_case() -> None:
    draw = Random(6)
    for _ in range(200):
        a, b = (box(x, y, x + draw.randint(1, 90), y + draw.randint(1, 90)) for x, y in [
            (draw.randint(0, 100), draw.randint(0, 100)) for _ in range(2)])  # fmt: skip
        doubled = Footprint((*a.points, a.points[0]))

        assert a.is_box and not doubled.is_box
        assert separation(a, b).gap_mm == pytest.approx(separation(doubled, b).gap_mm, abs=1e-9)


def test_round_bodies_overlap_by_the_sum_of_their_radii_less_their_distance() -> None:
    assert overlap_mm(disc((0, 0), 275), disc((300, 400), 275)) == pytest.approx(50)
    assert overlap_mm(disc((0, 0), 275), disc((0, 0), 200)) == pytest.approx(475)


def test_touching_in_any_turned_frame_is_contact() -> None:
    draw = Random(7)
    for _ in range(2000):
        turn, x, y = draw.uniform(0, 360), draw.uniform(-5000, 5000), draw.uniform(-5000, 5000)
        w = draw.uniform(50, 900)
        beside = draw.choice([box(w, 100, w + 400, 500), disc((w / 2, 300 + w), w), disc((-w, 150), w)])
        one, other = framed(box(0, 0, w, 300), turn, (x, y)), framed(beside, turn, (x, y))

        assert abs(separation(one, other).gap_mm) < 1e-8 < DEPTH_TOLERANCE_MM


def test_bounds_that_share_an_edge_do_not_meet() -> None:
    assert not bounds_meet((0, 0, 1, 1), (1, 0, 2, 1))
    assert bounds_meet((0, 0, 1, 1), (0.9, 0, 2, 1))


@pytest.mark.parametrize("outline", [L_SHAPE, C_SHAPE, STAR, COMB], ids=["L", "C", "star", "comb"])
@pytest.mark.parametrize("turn_deg", [0, 15, 90, 200])
@pytest.mark.parametrize("clockwise", [False, True])
def test_convex_parts_cover_an_outline_exactly(
    outline: list[tuple[float, float]], turn_deg: float, clockwise: bool
) -> None:
    points = [turned(p, turn_deg) for p in outline]
    whole = Polygon(points)

    parts = [part.polygon for part in convex_parts(points[::-1] if clockwise else points)]

    assert shapely.union_all(parts).symmetric_difference(whole).area < 1e-6 * whole.area
    assert sum(part.area for part in parts) == pytest.approx(whole.area, rel=1e-9)
    assert all(a.intersection(b).area < 1e-6 * whole.area for a, b in combinations(parts, 2))
    assert all(part.convex_hull.area == pytest.approx(part.area) for part in parts)
    assert all(part.exterior.is_ccw for part in parts)


def test_a_corner_unit_is_two_parts_and_a_channel_three() -> None:
    assert (len(convex_parts(L_SHAPE)), len(convex_parts(C_SHAPE))) == (2, 3)


def test_random_outlines_of_many_corners_are_covered_exactly() -> None:
    draw = Random(8)
    for n in (5, 12, 40, 190):
        reach = [draw.uniform(200, 1000) for _ in range(n)]
        outline = [(r * cos(2 * pi * i / n), r * sin(2 * pi * i / n)) for i, r in enumerate(reach)]
        parts = [part.polygon for part in convex_parts(outline)]

        assert shapely.union_all(parts).symmetric_difference(Polygon(outline)).area < 1
        assert len(parts) < n - 1


def test_hull_is_the_convex_hull() -> None:
    draw = Random(9)
    for _ in range(50):
        spots = [(draw.uniform(0, 99), draw.uniform(0, 99)) for _ in range(draw.randint(3, 30))]
        expected = MultiPoint(spots).convex_hull

        assert Polygon(hull(spots)).equals(expected)
        assert Polygon(hull(spots)).exterior.is_ccw


def test_hull_of_one_or_two_points_is_those_points() -> None:
    assert hull([(1, 1), (1, 1)]) == ((1, 1),)
    assert hull([(3, 1), (1, 1), (3, 1)]) == ((1, 1), (3, 1))


def test_four_quarter_turns_are_none_to_the_last_bit() -> None:
    draw = Random(10)
    for _ in range(100):
        point = there = (draw.uniform(-9e4, 9e4), draw.uniform(-9e4, 9e4))
        for _ in range(4):
            there = turned(there, 90)

        assert there == point
        assert turned(point, 360) == turned(point, -720) == point


def test_a_turn_is_anticlockwise() -> None:
    assert turned((1, 0), 30) == pytest.approx((cos(radians(30)), sin(radians(30))))


def test_area_counts_sides_and_corners() -> None:
    draw = Random(11)
    for _ in range(60):
        shape = random_shape(draw)

        assert shape.area_mm2 == pytest.approx(solid(shape).area, rel=1e-5)


def test_the_drawn_polygon_encloses_the_true_shape_closely() -> None:
    draw = Random(12)
    for _ in range(60):
        shape = random_shape(draw)
        drawn = shape.polygon

        assert drawn.buffer(1e-6).covers(solid(shape))
        assert drawn.within(solid(shape).buffer(0.0004 * shape.radius_mm + 1e-6))


def test_bounds_and_reach_are_those_of_the_true_shape() -> None:
    draw = Random(13)
    for _ in range(60):
        shape = random_shape(draw)

        assert shape.bounds == pytest.approx(solid(shape).bounds, abs=0.002)
        assert shape.reach((1, 0)) == pytest.approx(solid(shape).bounds[2], abs=0.002)


def test_a_sweep_covers_every_place_on_its_way() -> None:
    draw = Random(14)
    for _ in range(12):
        shape, turn = random_shape(draw), draw.uniform(0, 2 * pi)
        way = (cos(turn), sin(turn), 0.0)
        area = Sweep(shape, way, 400).footprint
        along = [shapely.affinity.translate(solid(shape), 10 * k * way[0], 10 * k * way[1]) for k in range(41)]

        assert solid(area).buffer(0.01).covers(shapely.union_all(along))
        assert area.area_mm2 <= shapely.union_all(along).area * 1.02 + 50


def test_a_round_body_sweeps_a_stadium() -> None:
    assert swept(disc((0, 0), 275), (0, -1), 450) == Footprint(((0, -450), (0, 0)), 275)


def test_a_round_body_stays_a_true_circle() -> None:
    shape = disc((100, 200), 275)

    assert shape.area_mm2 == pytest.approx(pi * 275**2)
    assert gap(shape, disc((1000, 200), 275)) == pytest.approx(350)
    assert Spot(100, 200).distance(Spot(shape.polygon.exterior.coords[0])) >= 275
