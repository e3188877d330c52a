"""Where leaves hang, how far they open in a whole room, and where two of them meet."""

import random
from math import acos, cos, degrees, pi, sin
from typing import Any

import numpy as np
import pytest
import shapely

from geometry.arcs import leaf_angle, swept_area_mm2
from geometry.doors import HungLeaf, Opened, hung_leaves, meeting_angles, opened
from geometry.folding import fold_angle, folded_area_mm2
from geometry.samples import box_kit, piece, round_kit, sample_scene
from geometry.scene import Scene
from geometry.shapes import Footprint, box, disc
from geometry.units import Point

POST = box_kit("post", 100, 100, 2000)


def door(**more: Any) -> dict[str, Any]:
    """A doorway in the front wall of the sample room: clear from 800 to 1,560."""
    leaf = {"width_mm": 826, "opens": "in"} | more.pop("leaf", {})
    return {"id": "d1", "edge": 0, "from_mm": 800, "clear_mm": 760, "leaf": leaf, **more}


def only_leaf(scene: Scene) -> HungLeaf:
    (leaf,) = hung_leaves(scene)
    return leaf


def opens(scene: Scene) -> Opened:
    (found,) = opened(scene, list(hung_leaves(scene)))
    return found


# Where it hangs


@pytest.mark.parametrize(("hinge", "way", "at", "along", "towards"), [
    ("start", "in", (800, 0), (1, 0), (0, 1)),
    ("end", "in", (1560, 0), (-1, 0), (0, 1)),
    ("start", "out", (800, -100), (1, 0), (0, -1)),
    ("end", "out", (1560, -100), (-1, 0), (0, -1)),
])  # fmt: skip
def test_a_leaf_hangs_at_its_end_of_the_opening_on_the_face_it_opens_to(
    hinge: str, way: str, at: Point, along: Point, towards: Point
) -> None:
    leaf = only_leaf(sample_scene([], [], doors=[door(leaf={"hinge": hinge, "opens": way})]))

    assert (leaf.hinge, leaf.along, leaf.opens) == (at, along, towards)


def test_the_two_leaves_of_a_double_door_hang_at_both_ends_and_share_the_opening() -> None:
    scene = sample_scene([], [], doors=[door(leaf={"kind": "double", "width_mm": 390})])

    leaves = {leaf.topic: (leaf.hinge[0], leaf.width_mm, leaf.opening_mm) for leaf in hung_leaves(scene)}

    # a person inside who faces the front wall has its start, x = 0, on the right
    assert leaves == {"right leaf": (800, 390, 380), "left leaf": (1560, 390, 380)}


@pytest.mark.parametrize(("kind", "width"), [("hinged", 800), ("bifold", 800), ("double", 400)])
def test_a_leaf_that_is_not_measured_is_taken_as_the_opening_and_40_mm(kind: str, width: float) -> None:
    scene = sample_scene([], [], doors=[door(leaf={"kind": kind, "width_mm": None})])

    assert {(leaf.width_mm, leaf.guessed) for leaf in hung_leaves(scene)} == {(width, True)}


def test_a_single_door_of_a_piece_hangs_in_the_middle_of_what_stands_out_of_its_front() -> None:
    stick = {"side": "front", "mm": 50, "from_mm": 300, "to_mm": 700, "what": "door"}
    leaf = {"width_mm": 500, "hinge": "left", "from_mm": 300, "to_mm": 700}
    machine = box_kit("machine", 600, 600, 850, leaf=[leaf], sticks_out=[stick])

    hung = only_leaf(sample_scene([machine], [piece(machine, 1000, 1400, base_mm=20)]))

    assert (hung.hinge, hung.along, hung.opens) == ((750, 1050), (1, 0), (0, -1))
    assert (hung.from_mm, hung.to_mm, hung.opening_mm) == (320, 720, None)


def test_two_doors_of_a_piece_hang_at_the_ends_of_its_front() -> None:
    unit = box_kit("unit", 1000, 600, 870, leaf=[{"width_mm": 495, "hinge": h} for h in ("left", "right")])

    scene = sample_scene([unit], [piece(unit, 1000, 1400, 90)])

    # turned to face +x, left of a person in front is -y
    assert {leaf.topic: leaf.hinge for leaf in hung_leaves(scene)} == {
        "left leaf": (1300, 900), "right leaf": (1300, 1900)
    }  # fmt: skip


# How far it opens


def test_nothing_in_the_way_lets_a_leaf_open_flat_against_its_wall() -> None:
    found = opens(
        sample_scene([], [], doors=[door(from_mm=1000)], outline_mm=[[0, 0], [4000, 0], [4000, 1800], [0, 1800]])
    )

    assert (found.deg, found.fixed) == (180, None)


def test_a_wall_beside_the_hinge_stops_it_past_a_right_angle() -> None:
    found = opens(sample_scene([], [], doors=[door(from_mm=50)]))

    assert found.deg == pytest.approx(degrees(acos(-50 / 826)))
    assert found.fixed is not None
    assert found.fixed.owner == "edge:3"


@pytest.mark.parametrize(("base", "height", "meets"), [(0, 2000, True), (1981, 300, False), (1970, 300, True)])
def test_only_what_is_as_high_as_the_leaf_is_met(base: float, height: float, meets: bool) -> None:
    post = box_kit("post", 100, 100, height)
    scene = sample_scene([post], [piece(post, 1100, 500, base_mm=base)], doors=[door()])

    assert (opens(scene).fixed is not None and opens(scene).fixed.owner == "post") is meets


def test_a_slope_that_comes_below_the_head_stops_the_leaf_where_it_does() -> None:
    slope = {"name": "soffit", "area_mm": [[0, 400], [2400, 400], [2400, 1800], [0, 1800]],
             "through_mm": [[0, 400, 2181], [2400, 400, 2181], [0, 800, 1781]]}  # fmt: skip
    scene = sample_scene([], [], doors=[door(head_mm=1981)], ceiling={"height_mm": 2400, "slopes": [slope]})

    found = opens(scene)

    assert found.deg == pytest.approx(degrees(np.arcsin(600 / 826)))  # 1,981 is met at y = 600
    assert found.fixed is not None
    assert found.fixed.owner == "soffit"


def test_what_stands_wholly_past_the_opening_is_behind_the_frame() -> None:
    beside = sample_scene([POST], [piece(POST, 1610, 50)], doors=[door()])
    before = sample_scene([POST], [piece(POST, 1600, 50)], doors=[door()])

    assert opens(beside).fixed is None or opens(beside).fixed.owner != "post"
    assert opens(before).deg == 0


def test_what_stands_in_the_doorway_keeps_the_leaf_from_moving() -> None:
    found = opens(sample_scene([POST], [piece(POST, 1200, -60)], doors=[door()]))

    assert (found.deg, found.fixed.owner if found.fixed else None) == (0, "post")


def test_what_stands_in_the_depth_of_the_reveal_behind_the_leaf_is_not_met() -> None:
    thin = box_kit("thin", 100, 40, 2000)

    found = opens(sample_scene([thin], [piece(thin, 1200, -60)], doors=[door()]))

    assert found.deg > 90


def test_a_leaf_that_opens_out_meets_the_walls_on_that_side() -> None:
    lobby = [[0, -700], [2400, -700], [2400, -100], [0, -100]]

    found = opens(sample_scene([], [], doors=[door(leaf={"opens": "out"}, beyond_mm=lobby)]))

    assert found.deg == pytest.approx(degrees(np.arcsin(600 / 826)))
    assert found.fixed is not None
    assert found.fixed.owner == "d1"


def test_the_door_of_a_piece_meets_its_neighbour_and_not_its_own_body() -> None:
    machine = box_kit("machine", 600, 600, 850, leaf=[{"width_mm": 500}])
    tall = round_kit("tall", 400, 1500)
    scene = sample_scene([machine, tall], [piece(machine, 1000, 1450), piece(tall, 1000, 750)])

    found = opens(scene)

    # hinge (750, 1150), leaf 500: the cylinder's middle is 250 along and 400 out
    assert found.deg == pytest.approx(leaf_angle(disc((250, 400), 200), 500))
    assert found.fixed is not None
    assert found.fixed.owner == "tall"


def test_a_movable_piece_counts_only_before_the_first_fixed_one() -> None:
    near, far = piece(POST, 1300, 300, id="near", hold="movable"), piece(POST, 1000, 700, id="far")

    both = opens(sample_scene([POST], [near, far], doors=[door()]))
    behind = opens(sample_scene([POST], [near | {"hold": "fixed"}, far | {"hold": "movable"}], doors=[door()]))

    assert both.loose is not None and both.fixed is not None
    assert (both.loose.owner, both.fixed.owner) == ("near", "far")
    assert behind.loose is None


# Clear width and sweep


@pytest.mark.parametrize(("angle", "expected"), [
    (0, 0), (90, 760 - 35), (180, 760), (60, 760 - 413 - 35 * sin(pi / 3)), (135, 760 - 35 * sin(pi / 4)),
])  # fmt: skip
def test_the_clear_width_left_is_what_no_part_of_the_leaf_stands_before(angle: float, expected: float) -> None:
    leaf = only_leaf(sample_scene([], [], doors=[door()]))

    left = leaf.left_mm(angle)

    shadow = shapely.Polygon(leaf.standing(angle)[0]).intersection(shapely.box(800, -99, 1560, 999))
    assert left == pytest.approx(expected)
    assert left == pytest.approx(760 - (shadow.bounds[2] - 800 if not shadow.is_empty else 0), abs=1e-6)


def test_the_swept_area_is_the_union_of_all_the_leafs_places() -> None:
    leaf = only_leaf(sample_scene([], [], doors=[door()]))

    union = shapely.union_all([shapely.Polygon(leaf.standing(a)[0]) for a in np.arange(0, 90.01, 0.1)])

    assert union.area == pytest.approx(swept_area_mm2(826, 35), rel=1e-4)


# Bifold


FOLD_STEPS = np.arange(0, 90.001, 0.02)
FOLDED = np.array(
    [shapely.LineString([(0, 0), (381 * cos(a), 381 * sin(a)), (762 * cos(a), 0)]) for a in np.radians(FOLD_STEPS)]
)
"""A bifold leaf of 762 at every fold angle, in steps."""


def test_a_bifold_sweeps_what_lies_under_the_highest_of_all_its_places() -> None:
    a, x = np.radians(np.arange(0.05, 90, 0.05))[:, None], np.arange(0.25, 762, 0.5)[None, :]
    joint, end = 381 * np.cos(a), 762 * np.cos(a)

    panels = np.where(x <= joint, x * np.tan(a), np.maximum(0, (end - x) * np.tan(a))).max(axis=0)
    roof = np.maximum(panels, np.sqrt(np.maximum(0, 381**2 - x[0] ** 2)))  # and the joint, which stands over every x

    assert roof.sum() * 0.5 == pytest.approx(folded_area_mm2(762), rel=2e-4)


def fold_by_steps(plan: Footprint) -> float | None:
    core = shapely.Polygon(plan.points) if len(plan.points) > 2 else shapely.Point(plan.points[0])
    near = np.flatnonzero(shapely.distance(FOLDED, core) <= plan.radius_mm)
    return float(FOLD_STEPS[near[0]]) if len(near) else None


def test_a_bifold_is_stopped_where_stepping_through_its_places_says() -> None:
    rng, wrong, met = random.Random(5), [], 0

    for _ in range(120):
        x, y, w, d = rng.uniform(-100, 800), rng.uniform(5, 450), rng.uniform(20, 300), rng.uniform(20, 300)
        plan = box(x, y, x + w, y + d) if rng.random() < 0.6 else disc((x, y + w), w)
        mine, stepped = fold_angle(plan.points, plan.radius_mm, 762), fold_by_steps(plan)
        met += mine is not None
        if (mine is None) != (stepped is None) or (mine and stepped and abs(degrees(mine) - stepped) > 0.021):
            wrong.append((plan, mine and degrees(mine), stepped))

    assert wrong == []
    assert met > 50


def test_a_bifold_projects_half_its_width() -> None:
    post = box_kit("post", 700, 50, 2000)

    clear = opens(sample_scene([post], [piece(post, 1180, 440)], doors=[door(leaf={"kind": "bifold"})]))
    met = opens(sample_scene([post], [piece(post, 1180, 430)], doors=[door(leaf={"kind": "bifold"})]))

    assert (clear.deg, clear.leaf.left_mm(90)) == (90, 690)
    assert met.deg == pytest.approx(degrees(np.arcsin(405 / 413)))


# Two leaves


def corner_doors(gap: float) -> tuple[Opened, Opened]:
    """Two doors that hang at a corner of the room, each that far from it, and open inwards."""
    front = door(from_mm=gap, leaf={"hinge": "start"})
    left = {**door(from_mm=1800 - gap - 760, leaf={"hinge": "end"}), "id": "d2", "edge": 3}
    scene = sample_scene([], [], doors=[front, left], outline_mm=[[0, 0], [2400, 0], [2400, 1800], [0, 1800]])
    first, second = opened(scene, list(hung_leaves(scene)))
    return first, second


def test_two_leaves_that_swing_through_one_corner_meet_at_the_angle_of_trying_all() -> None:
    first, second = corner_doors(300)

    angles = meeting_angles(first, second)

    assert angles is not None
    assert angles[0] == pytest.approx(least_meeting(first, second), abs=0.15)
    assert angles[1] == pytest.approx(least_meeting(second, first), abs=0.15)


def face(leaf: HungLeaf, angle: float) -> shapely.LineString:
    return shapely.LineString(leaf.standing(angle)[0][:2])


def least_meeting(one: Opened, other: Opened) -> float:
    """The least angle of one leaf at which some place of the other's face touches it, both in steps."""
    places = np.array([face(other.leaf, a) for a in np.arange(0, 90.01, 0.1)])
    for angle in np.arange(0, 90.01, 0.1):
        if shapely.intersects(face(one.leaf, float(angle)), places).any():
            return float(angle)
    return 90.0


def test_two_leaves_far_enough_apart_do_not_meet() -> None:
    first, second = corner_doors(900)

    assert meeting_angles(first, second) is None
