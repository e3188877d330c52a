from itertools import combinations
from math import cos, hypot, pi, sin

import pytest
from shapely.geometry import Polygon

from geometry.samples import box_kit, piece
from geometry.scene import Scene
from server.drawing import Unfolded, one_wall, unfolded
from server.drawing.profiles import tops
from server.drawing.unfold import met_in_order, outer_ring
from tests.server.drawn import DOOR, FIVE, L_SHAPE, NAMES, NINE, demo, every_demo_room, one_tank, room_of

PAGE = (1200.0, 900.0)


def regular(walls: int, radius: float = 1500.0) -> list[list[float]]:
    return [[radius * cos(2 * pi * i / walls), radius * sin(2 * pi * i / walls)] for i in range(walls)]


def whole(scene: Scene) -> Unfolded:
    """The drawing with all that fits turned out, however small."""
    return unfolded(scene, *PAGE, least_px_mm=0.0)


def standing(view: Unfolded) -> set[int]:
    return {face.edge for face in view.faces if not face.folded}


@pytest.mark.parametrize("outline", [L_SHAPE, FIVE, [[0, 0], [2600, 0], [2600, 1900], [0, 1900]]])
@pytest.mark.parametrize("quarters", range(4))
def test_a_folded_face_has_its_foot_on_the_outer_line_of_its_wall(outline: list[list[float]], quarters: int) -> None:
    scene = room_of(outline)
    view = unfolded(scene, *PAGE, quarters=quarters, least_px_mm=0.0)

    folded = [face for face in view.faces if face.folded]

    assert folded
    for face in folded:
        edge = scene.edges[face.edge]
        for from_left in (0.0, 137.0, face.length_mm):
            on_plan = view.plan.to_px(edge.at(face.length_mm - from_left, -edge.thick_mm))
            assert face.to_px((from_left, 0.0)) == pytest.approx(on_plan, abs=1e-6)


def test_height_goes_straight_out_from_the_plan_and_left_is_left_for_a_person_inside() -> None:
    view = whole(room_of([[0, 0], [2600, 0], [2600, 1900], [0, 1900]]))
    front, right, back, left = view.faces

    assert back.to_px((0, 1000))[1] < back.to_px((0, 0))[1]
    assert back.to_px((100, 0))[0] > back.to_px((0, 0))[0]
    assert front.to_px((0, 1000))[1] > front.to_px((0, 0))[1]
    assert front.to_px((100, 0))[0] < front.to_px((0, 0))[0]
    assert right.to_px((0, 1000))[0] > right.to_px((0, 0))[0]
    assert right.to_px((100, 0))[1] > right.to_px((0, 0))[1]
    assert left.to_px((0, 1000))[0] < left.to_px((0, 0))[0]


@every_demo_room
def test_plan_and_faces_have_one_scale(name: str) -> None:
    view = unfolded(demo(name), *PAGE)

    scales = [view.plan.scale, *(face.matrix.scale for face in view.faces)]

    assert scales == pytest.approx([view.scale_px_mm] * len(scales))
    assert all(hypot(f.matrix.c, f.matrix.d) == pytest.approx(view.scale_px_mm) for f in view.faces)


@pytest.mark.parametrize("outline", [FIVE, *(regular(n) for n in (3, 4, 5, 6, 7, 8))])
def test_a_room_without_inward_corners_unfolds_whole_at_any_angle(outline: list[list[float]]) -> None:
    view = whole(room_of(outline))

    assert standing(view) == set()


@pytest.mark.parametrize("outline", [FIVE, L_SHAPE, regular(3), regular(7), regular(8)])
def test_no_face_lies_on_another_or_on_the_walls(outline: list[list[float]]) -> None:
    scene = room_of(outline)
    view = whole(scene)
    shapes = [Polygon(face.corners) for face in view.faces]
    shapes.append(Polygon([view.plan.to_px(p) for p in outer_ring(scene.edges)]))

    shared = [a.intersection(b).area for a, b in combinations(shapes, 2)]

    assert max(shared) < 1e-6


def test_the_two_walls_of_the_inward_corner_of_an_l_stand_below() -> None:
    view = whole(room_of(L_SHAPE, doors=[DOOR]))

    assert standing(view) == {2, 3}
    feet = [face.corners[0][1] for face in view.faces if not face.folded]
    assert feet[0] == feet[1] > max(view.plan.to_px(p)[1] for p in L_SHAPE)


def test_of_two_walls_whose_faces_would_meet_the_one_with_more_kit_turns_out() -> None:
    """A room like a pair of pincers: the ends of its arms, walls 2 and 6, lean towards each other."""
    pincers = [[0, 0], [4000, 0], [3000, 2000], [2500, 1750], [3200, 400], [800, 400], [1500, 1750], [1000, 2000]]
    tank = box_kit("tank", 400, 300)

    on_the_right = whole(room_of(pincers, [piece(tank, 2817, 1741, 26.565)], [tank]))
    on_the_left = whole(room_of(pincers, [piece(tank, 1183, 1741, -26.565)], [tank]))

    assert standing(on_the_right) == {3, 4, 5, 6}
    assert standing(on_the_left) == {2, 3, 4, 5}


def test_the_row_is_in_the_order_met_turning_right_from_the_door() -> None:
    scene = room_of(NINE, doors=[DOOR | {"edge": 3, "from_mm": 200}])

    row = sorted((face.corners[0][0], face.edge) for face in unfolded(scene, *PAGE).faces)

    assert [edge for _, edge in row] == [3, 2, 1, 0, 8, 7, 6, 5, 4]
    assert met_in_order(scene) == (3, 2, 1, 0, 8, 7, 6, 5, 4)


def test_more_than_eight_walls_leave_the_plan_alone_above_all_faces() -> None:
    view = unfolded(room_of(NINE), 5000, 5000)

    assert view.alone
    assert standing(view) == set(range(9))


def test_a_cross_too_small_to_read_gives_way_to_the_plan_alone() -> None:
    large = room_of([[0, 0], [6000, 0], [6000, 4000], [0, 4000]])

    on_a_laptop, on_a_wall = unfolded(large, 820, 740), unfolded(large, 1640, 1480)

    assert on_a_laptop.alone and not on_a_wall.alone
    assert on_a_laptop.scale_px_mm > 740 / (4000 + 200 + 2 * 2400)
    assert on_a_laptop.width_px > 820
    assert on_a_wall.width_px == 1640


@every_demo_room
@pytest.mark.parametrize("page", [(820.0, 740.0), (560.0, 640.0), (306.0, 272.0)])
def test_everything_lies_on_the_page_and_fills_it(name: str, page: tuple[float, float]) -> None:
    scene = demo(name)
    view = unfolded(scene, *page, least_px_mm=0.0)
    corners = [view.plan.to_px(p) for p in outer_ring(scene.edges)]
    corners += [corner for face in view.faces for corner in face.corners]

    xs, ys = [x for x, _ in corners], [y for _, y in corners]

    assert min(xs) > 0 and max(xs) < page[0]
    assert min(ys) > 0 and max(ys) < page[1]
    assert max((max(xs) - min(xs)) / page[0], (max(ys) - min(ys)) / page[1]) > 0.6


def test_turning_the_page_stands_another_wall_upright() -> None:
    scene = room_of([[0, 0], [2600, 0], [2600, 1900], [0, 1900]])

    upright = [
        next(face.name for face in unfolded(scene, *PAGE, quarters=q).faces if face.matrix.d < -1e-9) for q in range(4)
    ]

    assert sorted(upright) == ["back wall", "front wall", "left wall", "right wall"]
    assert upright[0] == "back wall"


@pytest.mark.parametrize("edge", range(4))
def test_a_phone_shows_one_wall_upright_and_nothing_else(edge: int) -> None:
    view = one_wall(one_tank(), edge, 390, 420)

    (face,) = view.faces

    assert (face.edge, view.shows_plan) == (edge, False)
    assert (face.matrix.a, face.matrix.b, face.matrix.c) == (view.scale_px_mm, 0.0, 0.0)
    assert face.box[0] >= 52 and face.box[2] <= 390 and face.box[1] >= 0 and face.box[3] <= 420


def test_the_plan_of_a_phone_shows_no_wall() -> None:
    view = one_wall(one_tank(), None, 390, 420)

    assert (view.faces, view.shows_plan) == ((), True)


def test_a_slope_cuts_the_top_of_the_walls_that_it_meets() -> None:
    # 45 degrees from 2,400 at x = 1,950 down to 1,750 at the right wall: computed by hand
    slope = {
        "name": "slope", "area_mm": [[1950, 0], [2600, 0], [2600, 1900], [1950, 1900]],
        "through_mm": [[1950, 0, 2400], [2600, 0, 1750], [1950, 1900, 2400]],
    }  # fmt: skip
    outline = [[0, 0], [2600, 0], [2600, 1900], [0, 1900]]
    scene = room_of(outline, ceiling={"height_mm": 2400, "slopes": [slope]})

    back, right = tops(scene, scene.edges[2]), tops(scene, scene.edges[1])

    assert [(t.start, t.end) for t in back] == [((0, 2400), (1950, 2400)), ((1950, 2400), (2600, 1750))]
    assert [t.name for t in back] == [None, "slope"]
    assert right[0].start == pytest.approx((0, 1751), abs=1.1) and right[0].end == pytest.approx((1900, 1751), abs=1.1)


def test_a_beam_across_the_room_shows_in_section_on_the_walls_it_meets() -> None:
    beam = {"name": "beam", "area_mm": [[1000, 0], [1200, 0], [1200, 1800], [1000, 1800]], "soffit_mm": 2100}
    scene = room_of([[0, 0], [2400, 0], [2400, 1800], [0, 1800]], ceiling={"height_mm": 2400, "beams": [beam]})

    back, left = tops(scene, scene.edges[2]), tops(scene, scene.edges[3])

    assert [(t.start[0], t.end[0], t.start[1], t.name) for t in back] == [
        (0, 1000, 2400, None),
        (1000, 1200, 2100, "beam"),
        (1200, 2400, 2400, None),
    ]
    assert len(left) == 1


def test_faces_of_an_unmeasured_ceiling_are_drawn_high_enough_for_the_kit() -> None:
    scene = one_tank(kit={"height": 2700}, ceiling={})

    (face,) = one_wall(scene, 2, 390, 420).faces

    assert not face.measured
    assert face.height_mm == 2800


def test_every_demo_room_is_tried() -> None:
    assert len(NAMES) >= 4
