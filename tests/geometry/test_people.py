"""Floors, arms and eyes, against sampled lines that share no formula with the project."""

from math import cos, hypot, radians, sin
from random import Random
from typing import Any

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString
from shapely.geometry import Point as Spot

from geometry.gates import place_in_front
from geometry.people import (
    Floor,
    arms,
    clear_arm,
    good_floor,
    least_floor,
    low_head_mm,
    out_of_arm_mm,
    spots,
    wedge,
)
from geometry.rays import eye_shadow, inside_span, meets, shadow
from geometry.samples import box_kit, piece, round_kit, sample_scene
from geometry.scene import Scene, Solid
from geometry.shapes import Footprint, box, disc
from tests.geometry.oracles import random_shape, solid

Points = NDArray[np.float64]
Data = dict[str, Any]
DOOR = {"id": "d1", "edge": 0, "from_mm": 900, "clear_mm": 800}


def inside(plan: Footprint, points: Points, slack: float = 0.0) -> NDArray[np.bool_]:
    """Which points are deeper than a slack inside a box square to the room, or a disc."""
    if len(plan.points) == 1:
        centre = np.array(plan.points[0])
        return np.asarray(np.hypot(*(points - centre).T) < plan.radius_mm - slack)
    x0, y0, x1, y1 = plan.bounds
    x, y = points.T
    return np.asarray((x > x0 + slack) & (x < x1 - slack) & (y > y0 + slack) & (y < y1 - slack))


def line_meets(solids: list[Solid], start: Any, end: Any, slack: float = 0.0) -> bool:
    """Whether a line goes through a solid, from points on it 3 mm apart."""
    start, end = np.array(start, dtype=float), np.array(end, dtype=float)
    steps = np.linspace(0, 1, max(2, int(np.linalg.norm(end - start) / 3)))[1:-1, None]
    along = start + steps * (end - start)
    plan, level = along[:, :2], along[:, 2]
    return any(
        bool((inside(s.plan, plan, slack) & (level > s.from_mm + slack) & (level < s.to_mm - slack)).any())
        for s in solids
    )


# --- Lines and shadows ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(120))
def test_the_part_of_a_line_inside_a_shape_is_that_of_a_fine_polygon(seed: int) -> None:
    draw = Random(seed)
    plan = random_shape(draw, reach=100)
    a, b = ((draw.uniform(-800, 800), draw.uniform(-800, 800)) for _ in range(2))

    span = inside_span(plan, a, b)

    shared = LineString([a, b]).intersection(solid(plan))
    length = hypot(b[0] - a[0], b[1] - a[1])
    assert (span[1] - span[0]) * length if span else pytest.approx(shared.length, abs=0.2) == 0.0


@pytest.mark.parametrize("seed", range(80))
def test_a_place_is_in_the_shadow_just_when_the_line_to_it_goes_through_the_solid(seed: int) -> None:
    draw = Random(seed)
    plan = draw.choice([box(300, -200, 700, 150), disc((500, 50), 220), box(200, 100, 900, 220)])
    low = draw.uniform(0, 900)
    high, target = low + draw.uniform(100, 1200), (0.0, 0.0, draw.uniform(200, 1800))
    eye_mm = draw.choice([1100.0, 1501.0, 1756.0])
    dark = eye_shadow(plan, low, high, target, eye_mm)
    thing = [Solid("s", "body", "s", plan, low, high)]
    for _ in range(60):
        x, y = draw.uniform(-300, 2000), draw.uniform(-1200, 1200)
        if dark is not None and dark.boundary.distance(Spot(x, y)) < 15:
            continue
        hidden = dark is not None and dark.contains(Spot(x, y))
        assert hidden == line_meets(thing, (x, y, eye_mm), target)


def test_a_solid_that_is_lower_than_both_ends_hides_nothing() -> None:
    assert eye_shadow(box(100, -50, 200, 50), 0, 900, (0, 0, 1000), 1500) is None


def test_touching_a_line_is_not_being_in_its_way() -> None:
    grazed, crossed = box(40, 0, 60, 10), box(40, -1, 60, 10)

    assert not meets(grazed, 0, 100, (0, 0, 50), (100, 0, 50))
    assert meets(crossed, 0, 100, (0, 0, 50), (100, 0, 50))
    assert not meets(crossed, 50, 100, (0, 0, 50), (100, 0, 50))


def test_the_shadow_of_what_the_target_stands_in_is_everywhere() -> None:
    dark = shadow(box(-50, -50, 50, 50), (0, 0))

    assert dark.contains(Spot(4000, 3000))


# --- Floors -----------------------------------------------------------------------------------------------------------


def test_a_person_stands_half_a_width_from_what_is_in_the_way() -> None:
    tank = box_kit("tank", 600, 600)
    scene = sample_scene([tank], [piece(tank, 1200, 1500)], doors=[DOOR])

    floor = least_floor(scene, 1900)

    assert floor.half_mm == pytest.approx(250, abs=0.5)
    assert floor.region.distance(Spot(1200, 1200)) == pytest.approx(250, abs=0.5)


def test_the_good_floor_is_never_more_than_the_least_floor() -> None:
    tank, drum = box_kit("tank", 600, 600), round_kit("drum", 500)
    scene = sample_scene([tank, drum], [piece(tank, 400, 1400, 20), piece(drum, 1500, 1300)], doors=[DOOR])

    good, least = good_floor(scene), least_floor(scene, 1900)

    assert good.half_mm == 305
    assert good.region.difference(least.region).area < 1


def test_a_closed_off_corner_is_no_floor() -> None:
    fence = box_kit("fence", 2400, 100)
    scene = sample_scene([fence], [piece(fence, 1200, 900)], doors=[DOOR])

    region = least_floor(scene, 1900).region

    assert region.intersects(Spot(1200, 300))
    assert not region.intersects(Spot(1200, 1400))


def test_people_step_over_what_is_low_and_not_over_what_is_higher() -> None:
    def region(height: float) -> Any:
        kerb = box_kit("kerb", 2400, 100, height)
        return least_floor(sample_scene([kerb], [piece(kerb, 1200, 900)], doors=[DOOR]), 1900).region

    assert region(100).intersects(Spot(1200, 1400))
    assert not region(101).intersects(Spot(1200, 1400))


def test_a_kneeling_person_gets_under_what_an_upright_one_does_not() -> None:
    beam = {"name": "beam", "area_mm": [[0, 700], [2400, 700], [2400, 1000], [0, 1000]], "soffit_mm": 1450}
    scene = sample_scene([], [], doors=[DOOR], ceiling={"height_mm": 2400, "beams": [beam]})

    assert not least_floor(scene, 1900).region.intersects(Spot(1200, 1500))
    assert least_floor(scene, 1400).region.intersects(Spot(1200, 1500))


@pytest.mark.parametrize(("level", "head"), [(200, 1400), (1400, 1400), (1450, 1500), (1700, 1700), (2300, 1900)])
def test_headroom_to_reach_a_level_is_kneeling_stooping_or_as_high_as_the_point(level: float, head: float) -> None:
    assert low_head_mm(sample_scene([], []).pack, level) == head


def test_somebody_works_square_to_a_front_where_one_width_covers_the_other() -> None:
    """The person is 600 wide: before a 1,000 wide front 200 to either side, before an 80 wide tap 260."""
    kinds = [box_kit(f"k{w}", w, 300) for w in (1000, 80)]
    scene = sample_scene(kinds, [piece(kinds[0], 1200, 1650), piece(kinds[1], 1200, 200, 180)])

    places = [place_in_front(scene, placed).bounds for placed in scene.placed]

    assert places[0] == pytest.approx((1000, 1500 - 935, 1400, 1500))
    assert places[1] == pytest.approx((940, 350, 1460, 350 + 935))


# --- Arms and eyes in whole rooms -------------------------------------------------------------------------------------


def busy_room(seed: int) -> Scene:
    """A valve and three or four boxes and drums about it, square to the room."""
    draw = Random(seed)
    tap = {"name": "tap", "at_mm": [0, -60, draw.choice([60, 200])], "faces": "front", "tool": "hand"}
    kinds = [box_kit("valve", 120, 120, 260, stands_on="wall", base_mm=draw.randint(100, 1600), access=[tap])]
    pieces = [piece(kinds[0], draw.randint(300, 2100), 1740)]
    for i in range(draw.randint(3, 4)):
        low, high = draw.choice([(0, 900), (0, 1800), (700, 1500), (1200, 2100)])
        hung = {"stands_on": "wall", "base_mm": low} if low else {}
        if draw.random() < 0.3:
            kinds.append(round_kit(f"k{i}", draw.randint(250, 600), high - low, **hung))
        else:
            kinds.append(box_kit(f"k{i}", draw.randint(200, 900), draw.randint(100, 500), high - low, **hung))
        pieces.append(piece(kinds[-1], draw.randint(300, 2100), draw.randint(500, 1700)))
    return sample_scene(kinds, pieces, doors=[DOOR])


def grid_in(region: Any, cell: float) -> Points:
    """Points of a grid that lie in a region."""
    x0, y0, x1, y1 = region.bounds
    xs, ys = np.meshgrid(np.arange(x0, x1, cell), np.arange(y0, y1, cell))
    points = np.column_stack([xs.ravel(), ys.ravel()])
    return points[shapely.intersects(region, shapely.points(points))]


@pytest.mark.parametrize("seed", range(60))
def test_the_best_place_for_an_arm_is_as_near_as_the_best_of_many(seed: int) -> None:
    scene = busy_room(seed)
    (spot,) = spots(scene, None)
    floor = least_floor(scene, 1900)
    if floor.region.is_empty:
        return
    found = clear_arm(scene, spot, floor, 635)

    level = spot.at[2]
    around = [s for s in scene.solids if s.from_mm < level + 39 and s.to_mm > level - 39]
    arm = [Solid(s.owner, s.part, s.what, s.plan, -10, 10) for s in around if s.owner != "valve" or s.part == "body"]
    stands = [p for p in grid_in(floor.region, 20) if hypot(p[0] - spot.at[0], p[1] - spot.at[1]) < 885]
    depths = [
        max(0.0, hypot(p[0] - spot.at[0], p[1] - spot.at[1]) - 249.75)
        for p in stands
        if not line_meets(arm, (*p, 0.0), (*spot.hand, 0.0))
    ]
    if depths:
        assert found is not None
        assert found.depth_mm is not None
        assert found.depth_mm <= min(depths) + 3
        assert found.depth_mm >= min(depths) - 40
    elif found is not None and found.depth_mm is not None:
        assert_seen_finely(floor, arm, spot)


def assert_seen_finely(floor: Floor, arm: list[Solid], spot: Any) -> None:
    """There is a clear arm after all, to be found among places 4 mm apart."""
    near = floor.region.intersection(Spot(spot.plan).buffer(886))
    assert any(not line_meets(arm, (*p, 0.0), (*spot.hand, 0.0), 0.3) for p in grid_in(near, 4))


def test_an_arm_from_the_nearest_floor_measures_from_the_front_of_the_body() -> None:
    tap = {"name": "tap", "at_mm": [0, -150, 200], "faces": "front", "tool": "hand"}
    pump, bench = box_kit("pump", 300, 300, 400, access=[tap]), box_kit("bench", 900, 400, 100)
    scene = sample_scene([pump, bench], [piece(pump, 1200, 1650), piece(bench, 1200, 1300, base_mm=600)], doors=[DOOR])

    (depth,) = arms(scene, spots(scene, None), least_floor(scene, 1900))

    assert depth == pytest.approx(400, abs=0.5)


def test_a_hand_comes_from_outside_the_body() -> None:
    """A tap sunk 100 into its case is come at from 40 in front of the case."""
    tap = {"name": "tap", "at_mm": [0, -50, 200], "faces": "front", "tool": "hand"}
    pump = box_kit("pump", 300, 300, 400, access=[tap])
    (spot,) = spots(sample_scene([pump], [piece(pump, 1200, 1650)]), None)

    assert spot.hand == pytest.approx((1200, 1650 - 150 - 40))


def test_a_point_behind_a_body_that_stands_against_the_wall_is_not_reached() -> None:
    tap = {"name": "tap", "at_mm": [0, 150, 200], "faces": "behind", "tool": "hand"}
    pump = box_kit("pump", 300, 300, 400, access=[tap])
    scene = sample_scene([pump], [piece(pump, 1200, 1640)], doors=[DOOR])
    (spot,) = spots(scene, None)

    clear = clear_arm(scene, spot, least_floor(scene, 1900), 635)

    assert clear is not None
    assert clear.depth_mm is None
    assert clear.between is not None


def test_how_far_out_of_reach_a_point_is() -> None:
    tap = {"name": "tap", "at_mm": [0, -150, 200], "faces": "front", "tool": "hand"}
    pump, bench = box_kit("pump", 300, 300, 400, access=[tap]), box_kit("bench", 2400, 900, 900)
    scene = sample_scene([pump, bench], [piece(pump, 1200, 1650), piece(bench, 1200, 1050)], doors=[DOOR])
    (spot,) = spots(scene, None)

    assert out_of_arm_mm(spot, least_floor(scene, 1900)) == pytest.approx(900, abs=0.5)


def test_a_wedge_is_as_wide_as_it_is_asked_to_be() -> None:
    tap = {"name": "tap", "at_mm": [0, -150, 200], "faces": "front", "tool": "hand"}
    pump = box_kit("pump", 300, 300, 400, access=[tap])
    (spot,) = spots(sample_scene([pump], [piece(pump, 1200, 1650)]), None)

    front = wedge(spot, 75, 2000)

    for aside, is_in in ((0, True), (74, True), (-74, True), (76, False), (-76, False), (180, False)):
        x, y = 1200 + 1000 * sin(radians(aside)), 1500 - 1000 * cos(radians(aside))
        assert front.contains(Spot(x, y)) is is_in
