"""Grounds, gates and what is left free, against slow second opinions that grow everything with fine buffers."""

from random import Random

import numpy as np
import pytest
import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry import Point as Spot
from shapely.geometry import box as rectangle

from geometry.grown import grown, sums
from geometry.passing import FINE_SIDES, Ground, Obstacle, ground_for, holds, narrowed, passes
from geometry.pinches import Pinch, pinch
from geometry.samples import box_kit, piece, sample_scene
from geometry.shapes import Footprint, box, disc, separation
from tests.geometry.oracles import random_shape, solid

ROOM = (0.0, 0.0, 3000.0, 2000.0)
WALLS = (
    Obstacle("left", box(-100, -100, 0, 2100)),
    Obstacle("right", box(3000, -100, 3100, 2100)),
    Obstacle("front", box(-100, -100, 3100, 0)),
    Obstacle("back", box(-100, 2000, 3100, 2100)),
)
START, END = Spot(60, 1000), Spot(2940, 1000)
MOST = 900.0


def random_ground(seed: int) -> Ground:
    """A room with some shapes in the middle, and free ends."""
    draw = Random(seed)
    shapes = []
    for i in range(draw.randint(2, 6)):
        shape = random_shape(draw, reach=10)
        shapes.append(Obstacle(f"s{i}", shape.moved(draw.uniform(900, 2100), draw.uniform(300, 1700))))
    return Ground((*WALLS, *shapes))


def widest_by_buffers(ground: Ground) -> float:
    """The widest disc from end to end, by halving with every obstacle buffered in 256 segments a quarter."""
    solids = [solid(obstacle.plan) for obstacle in ground.obstacles]

    def gets_through(width: float) -> bool:
        taken = shapely.union_all([shape.buffer(width / 2, quad_segs=256) for shape in solids])
        parts = shapely.get_parts(rectangle(*ROOM).difference(taken))
        ends = [shapely.shortest_line(end, shapely.union_all(parts)) if len(parts) else None for end in (START, END)]
        if any(line is None or line.is_empty for line in ends):
            return False
        places = [Spot(line.coords[-1]).buffer(0.01) for line in ends if line is not None]
        return any(all(part.intersects(place) for place in places) for part in parts)

    low, high = 0.0, MOST
    while high - low > 0.05:
        middle = (low + high) / 2
        low, high = (middle, high) if gets_through(middle) else (low, middle)
    return low


def ends_of(ground: Ground) -> tuple[Polygon, Polygon]:
    return rectangle(0, 0, 450, 2000), rectangle(2550, 0, 3000, 2000)


@pytest.mark.parametrize("seed", range(60))
def test_the_widest_that_passes_is_that_of_fine_buffers_to_half_a_millimetre(seed: int) -> None:
    ground = random_ground(seed)
    start, end = ends_of(ground)

    found = pinch(ground, start, lambda _: end, MOST)

    expected = widest_by_buffers(ground)
    assert (found.width_mm if found else MOST) == pytest.approx(expected, abs=0.5)


@pytest.mark.parametrize("seed", range(60))
def test_the_two_things_named_leave_as_much_as_is_told_and_the_place_is_between_them(seed: int) -> None:
    ground = random_ground(seed)
    start, end = ends_of(ground)

    found = pinch(ground, start, lambda _: end, MOST)

    if found is None:
        return
    one, other = ([o.plan for o in ground.obstacles if o.owner == name] for name in found.between)
    assert one and other
    assert separation(one[0], other[0]).gap_mm == pytest.approx(found.width_mm, abs=0.5)
    probe = disc(found.at, 0.0)
    away = [separation(probe, plan[0]).gap_mm for plan in (one, other)]
    assert away == pytest.approx([found.width_mm / 2] * 2, abs=max(3.0, 0.02 * found.width_mm))


def gap_of(width: float) -> Ground:
    """Two boxes with a gap of that width between them, from wall to wall."""
    return Ground((*WALLS, Obstacle("a", box(1200, 0, 1800, 900)), Obstacle("b", box(1200, 900 + width, 1800, 2000))))


def through(ground: Ground, width: float) -> bool:
    return passes(ground, START.buffer(400), lambda _: END.buffer(400), width, FINE_SIDES)


def test_a_disc_passes_a_gap_a_millimetre_wider_and_not_one_a_millimetre_narrower() -> None:
    """Source: geometry oracle, gap g and body disc 0.6: a route exists for 0.601, not for 0.599."""
    assert through(gap_of(601), 600)
    assert not through(gap_of(599), 600)


def test_the_gate_between_two_boxes_is_measured_exactly_and_named() -> None:
    start, end = ends_of(gap_of(481.25))

    found = pinch(gap_of(481.25), start, lambda _: end, 600)

    assert found == Pinch(pytest.approx(481.25, abs=1e-9), found.at if found else (0, 0), ("a", "b"))
    assert found is not None
    assert 1200 <= found.at[0] <= 1800
    assert found.at[1] == pytest.approx(900 + 481.25 / 2, abs=1)


def test_where_the_place_itself_is_too_narrow_the_place_is_the_gate() -> None:
    ground = Ground((*WALLS, Obstacle("a", box(1200, 500, 1800, 900)), Obstacle("b", box(1200, 1150, 1800, 1500))))

    found = pinch(ground, Spot(1500, 1025), lambda _: rectangle(2550, 0, 3000, 2000), 600)

    assert found is not None
    assert found.width_mm == pytest.approx(250, abs=1e-6)
    assert found.between == ("a", "b")


def test_nothing_gets_to_where_there_is_nothing() -> None:
    found = pinch(gap_of(500), Spot(300, 300), lambda _: Polygon(), 400)

    assert found is not None
    assert found.width_mm == 0


def test_the_distances_and_buffers_of_the_oracles() -> None:
    """Sources: the geometry oracles' own arithmetic (gaps 5, 286.577311, 225; erosion of 2.0 x 1.5 by 0.3: 1.26)."""
    assert separation(box(0, 0, 1, 1), box(4, 5, 6, 7)).gap_mm == pytest.approx(5)
    assert separation(disc((0, 0), 275), disc((700, 300), 200)).gap_mm == pytest.approx(286.577311, abs=1e-6)
    assert separation(disc((0, 0), 275), box(300, 400, 900, 900)).gap_mm == pytest.approx(225)
    floor = Ground(
        tuple(Obstacle(n, p) for n, p in (
            ("l", box(-100, -100, 0, 1600)), ("r", box(2000, -100, 2100, 1600)),
            ("f", box(-100, -100, 2100, 0)), ("b", box(-100, 1500, 2100, 1600)),
        ))
    )  # fmt: skip
    inside = [part for part in floor.free(300) if part.intersects(Spot(1000, 750))]
    assert inside[0].area == pytest.approx(1.26e6, rel=1e-9)


@pytest.mark.parametrize("seed", range(40))
def test_what_is_grown_encloses_the_true_shape_and_stands_out_by_little(seed: int) -> None:
    draw = Random(seed)
    plans = [random_shape(draw) for _ in range(10)]
    radius = draw.uniform(50, 400)

    shapes = grown(plans, radius)

    for plan, shape in zip(plans, shapes, strict=True):
        true = solid(Footprint(plan.points, plan.radius_mm + radius))
        assert shape.is_valid
        assert true.difference(shape).area < 1e-6
        assert shape.hausdorff_distance(true) < 0.0013 * (plan.radius_mm + radius) + 0.01


@pytest.mark.parametrize("seed", range(20))
def test_sums_of_shapes_hold_the_true_one_outside_and_are_held_by_it_inside(seed: int) -> None:
    draw = Random(seed)
    plans = [random_shape(draw) for _ in range(6)]
    corners = ((-200.0, -150.0), (250.0, -100.0), (180.0, 220.0))

    outside, inside = (sums(plans, corners, enclosing=enclosing) for enclosing in (True, False))

    for plan, out, held in zip(plans, outside, inside, strict=True):
        spread = [(x - a, y - b) for x, y in plan.points for a, b in corners]
        core = shapely.MultiPoint(spread).convex_hull
        true = core.buffer(plan.radius_mm, quad_segs=256) if plan.radius_mm else core
        assert true.difference(out).area < 1e-6
        assert held.difference(true).area < 0.01 * np.sqrt(true.area)


@pytest.mark.parametrize("seed", range(40))
def test_where_a_box_may_be_with_all_taken_as_its_bounds_nothing_is_within_reach_of_a_disc_inside_it(seed: int) -> None:
    ground, half = random_ground(seed), Random(seed).uniform(80, 300)

    of_box = shapely.union_all(ground.free_of_box((-half, -half, half, half)))

    assert of_box.area > 0
    for plan in ground.plans:
        assert of_box.intersection(solid(Footprint(plan.points, plan.radius_mm + half))).area < 0.01


@pytest.mark.parametrize("seed", range(20))
def test_what_a_box_has_where_more_stands_is_what_it_has_when_all_is_worked_out_anew(seed: int) -> None:
    ground, box_mm = random_ground(seed), (-150.0, -90.0, 150.0, 90.0)
    wider = Ground(ground.obstacles[:-1])

    again = narrowed(wider, ground).free_of_box(box_mm)

    assert shapely.union_all(again).symmetric_difference(shapely.union_all(ground.free_of_box(box_mm))).area < 1e-3


def test_nothing_passes_where_there_is_nowhere_to_go() -> None:
    assert not passes(gap_of(601), START.buffer(400), lambda _: Polygon(), 600, FINE_SIDES)


def test_what_lies_within_its_own_body_is_not_in_the_way_twice() -> None:
    cap = {"side": "above", "mm": 50, "what": "cap"}
    tank = box_kit("tank", 600, 600, 1000, sticks_out=[cap])

    ground = ground_for(sample_scene([tank], [piece(tank, 1200, 900)]), 100, 1900)

    assert [o.owner for o in ground.obstacles].count("tank") == 1


def test_what_sticks_out_above_a_body_is_in_the_way_of_what_passes_over_the_body() -> None:
    cap = {"side": "above", "mm": 300, "what": "pipe"}
    tank = box_kit("tank", 600, 600, 1000, sticks_out=[cap])

    ground = ground_for(sample_scene([tank], [piece(tank, 1200, 900)]), 1100, 1900)

    assert [o.owner for o in ground.obstacles].count("tank") == 1


def test_a_low_flat_ceiling_is_in_the_way_all_over_the_room() -> None:
    scene = sample_scene([], [], ceiling={"height_mm": 1800})

    names = {o.owner for o in ground_for(scene, 100, 1900).obstacles}

    assert "ceiling" in names
    assert "ceiling" not in {o.owner for o in ground_for(scene, 100, 1800).obstacles}


def test_a_beam_is_in_the_way_of_what_is_taller_and_touching_is_not() -> None:
    beam = {"name": "beam", "area_mm": [[0, 800], [2400, 800], [2400, 950], [0, 950]], "soffit_mm": 1850}
    scene = sample_scene([], [], ceiling={"height_mm": 2400, "beams": [beam]})

    taller, as_tall = ({o.owner for o in ground_for(scene, 100, top).obstacles} for top in (1851, 1850))

    assert "beam" in taller
    assert "beam" not in as_tall


@pytest.mark.parametrize(
    ("inner", "held"),
    [(box(-3, -4, 3, 4), True), (box(-3, -4, 3.1, 4), False), (disc((1, 0), 4), True), (disc((1.1, 0), 4), False)],
)
def test_a_disc_holds_what_lies_wholly_inside_it(inner: Footprint, held: bool) -> None:
    assert holds(disc((0, 0), 5), inner) is held


@pytest.mark.parametrize("seed", range(30))
def test_another_obstacle_never_widens_the_way(seed: int) -> None:
    ground = random_ground(seed)
    start, end = ends_of(ground)
    more = Ground((*ground.obstacles, Obstacle("new", random_shape(Random(seed + 500), reach=10).moved(1500, 1000))))

    before, after = (pinch(g, start, lambda _: end, MOST) for g in (ground, more))

    assert (after.width_mm if after else MOST) <= (before.width_mm if before else MOST) + 0.5


def test_a_line_through_a_gap_lies_in_what_is_free() -> None:
    free = gap_of(620).free(300)

    assert any(part.covers(LineString([(1000, 1210), (2000, 1210)])) for part in free)
