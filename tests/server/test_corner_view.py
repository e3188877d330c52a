"""The corner view: what hides what, to scale, and nothing off the paper.

What hides what is held against rays: for every point of a coarse grid of paper the line of sight is cut with each
solid by its own equation (level and upright planes, circles), and the solid that is left last, nearest to the reader,
must be the one painted last among those that the line meets.
"""

import random
import re
from math import hypot, inf
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pytest
from numpy.typing import NDArray

from geometry.reading import room_from
from geometry.samples import CUPBOARD, box_kit, piece, round_kit, sample_room
from geometry.scene import Scene, build
from geometry.shapes import Footprint, disc, overlap_mm, turned
from server.drawing.corner_eye import Eye, eye_at
from server.drawing.corner_figure import MOST_SPOTS, TALL_MM, grid_over
from server.drawing.corner_order import Body, painting_order
from server.drawing.corner_room import standing
from server.drawing.corner_view import best_corner, corner_view, hidden, picture

ROOM = ((0.0, 0.0), (3000.0, 0.0), (3000.0, 2500.0), (0.0, 2500.0))
PIXEL_MM = 60.0
SVG = "{http://www.w3.org/2000/svg}"

BOILER = box_kit("boiler", 440, 360, 720, stands_on="wall", base_mm=1150)
CYLINDER = round_kit("cylinder", 550, 1580)
TANK = box_kit("tank", 480, 480, 850)

L_SHAPE: dict[str, Any] = {
    **CUPBOARD,
    "outline_mm": [[0, 0], [3000, 0], [3000, 1500], [1600, 1500], [1600, 2800], [0, 2800]],
    "kit": [BOILER, CYLINDER, TANK],
    "pieces": [piece(BOILER, 400, 2620), piece(CYLINDER, 1250, 2450), piece(TANK, 2700, 300, 90)],
}


def a_scene() -> Scene:
    pieces = [piece(BOILER, 400, 1620), piece(CYLINDER, 1200, 1500), piece(TANK, 2130, 1500, 270)]
    slope = {
        "area_mm": [[1700, 0], [2400, 0], [2400, 1800], [1700, 1800]],
        "through_mm": [[1700, 0, 2400], [2400, 0, 1700], [1700, 1800, 2400]],
    }
    door = {"id": "d1", "edge": 0, "from_mm": 800, "clear_mm": 700, "leaf": {"kind": "hinged", "opens": "in"}}
    basket = {"id": "k1", "name": "basket", "area_mm": [[0, 0], [400, 0], [400, 400], [0, 400]], "to_mm": 700}
    ceiling = {"height_mm": 2400, "slopes": [slope]}
    return build(sample_room([BOILER, CYLINDER, TANK], pieces, ceiling=ceiling, doors=[door], keep_free=[basket]))


def random_bodies(seed: int) -> list[Body]:
    """Boxes (some turned), cylinders, standing and hung, none sharing space."""
    chance = random.Random(seed)
    bodies: list[Body] = []
    for number in range(60):
        x, y = chance.uniform(0, 3000), chance.uniform(0, 2500)
        base = chance.choice([0.0, 0.0, chance.uniform(0, 1500)])
        body = Body(_random_plan(chance, x, y), base, base + chance.uniform(100, 1800), "kit", str(number))
        if not any(_share(body, other) for other in bodies):
            bodies.append(body)
    return bodies[: chance.randint(3, 14)]


def _random_plan(chance: random.Random, x: float, y: float) -> Footprint:
    if chance.random() < 0.3:
        return disc((x, y), chance.uniform(60, 350))
    w, d, turn = chance.uniform(30, 450), chance.uniform(30, 450), chance.choice([0, 0, 0, 30, 77])
    corners = [turned(p, turn) for p in ((-w, -d), (w, -d), (w, d), (-w, d))]
    return Footprint(tuple((x + dx, y + dy) for dx, dy in corners))


def _share(a: Body, b: Body) -> bool:
    return min(a.to_mm, b.to_mm) > max(a.from_mm, b.from_mm) and overlap_mm(a.plan, b.plan) > 0.01


def sight_lines(eye: Eye) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """A point on each line of sight of the grid (n x 3), and the direction in which they all run to the reader."""
    across, up = np.meshgrid(np.arange(-2500, 5000, PIXEL_MM), np.arange(-3000, 4500, PIXEL_MM))
    starts = np.column_stack([across.ravel() * eye.right[0], across.ravel() * eye.right[1], up.ravel() / eye.rise])
    return starts, np.array([-eye.away[0] * eye.rise, -eye.away[1] * eye.rise, eye.lean])


def leaves_at(body: Body, starts: NDArray[np.float64], way: NDArray[np.float64]) -> NDArray[np.float64]:
    """How far along each line it leaves the solid towards the reader; -inf where it misses."""
    enters, leaves = np.full(len(starts), -inf), np.full(len(starts), inf)
    for normal, reach in _half_spaces(body):
        rate, room = float(normal @ way), reach - starts @ normal
        if rate > 1e-12:
            leaves = np.minimum(leaves, room / rate)
        elif rate < -1e-12:
            enters = np.maximum(enters, room / rate)
        else:
            leaves = np.where(room < 0, -inf, leaves)
    if body.plan.radius_mm:
        near, far = _through_circle(body, starts, way)
        enters, leaves = np.maximum(enters, near), np.minimum(leaves, far)
    return np.where(leaves - enters > 0.5, leaves, -inf)


def _half_spaces(body: Body) -> list[tuple[NDArray[np.float64], float]]:
    found = [(np.array([0.0, 0.0, 1.0]), body.to_mm), (np.array([0.0, 0.0, -1.0]), -body.from_mm)]
    ring = body.plan.points
    for p, q in zip(ring, ring[1:] + ring[:1], strict=True) if len(ring) > 1 else ():
        nx, ny = q[1] - p[1], p[0] - q[0]
        length = hypot(nx, ny)
        found.append((np.array([nx / length, ny / length, 0.0]), (nx * p[0] + ny * p[1]) / length))
    return found


def _through_circle(
    body: Body, starts: NDArray[np.float64], way: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    off = starts[:, :2] - np.array(body.plan.points[0])
    a, b = way[:2] @ way[:2], off @ way[:2]
    root = b * b - a * ((off * off).sum(axis=1) - body.plan.radius_mm**2)
    half = np.sqrt(np.maximum(root, 0.0))
    return np.where(root > 0, (-b - half) / a, inf), np.where(root > 0, (-b + half) / a, -inf)


@pytest.mark.parametrize("seed", range(40))
def test_what_is_painted_last_is_what_a_ray_meets_nearest_to_the_reader(seed: int) -> None:
    eye = eye_at(seed % 4, ROOM)
    starts, way = sight_lines(eye)

    ordered = painting_order(random_bodies(seed), eye)

    left = np.array([leaves_at(body, starts, way) for body in ordered])
    met = left > -inf
    seen = met.any(axis=0)
    painted = len(ordered) - 1 - np.argmax(met[::-1], axis=0)
    assert seen.sum() > 100
    assert (painted[seen] == np.argmax(left, axis=0)[seen]).all()


@pytest.mark.parametrize("turn_deg", [0, 30])
def test_a_box_upon_another_hides_it_whatever_order_they_come_in(turn_deg: int) -> None:
    eye = eye_at(0, ROOM)
    ring = tuple(turned(p, turn_deg) for p in ((-300.0, -300.0), (300.0, -300.0), (300.0, 300.0), (-300.0, 300.0)))
    below, above = Body(Footprint(ring), 0, 850), Body(Footprint(ring), 850, 1700)

    orders = [painting_order(pair, eye) for pair in ([below, above], [above, below])]

    assert orders == [[below, above], [below, above]]


def test_bodies_that_share_space_are_painted_by_the_depth_of_their_middles() -> None:
    eye = eye_at(0, ROOM)
    far, near = Body(disc((1000, 1200), 300), 0, 1500), Body(disc((1000, 1000), 300), 0, 1500)

    ordered = painting_order([near, far], eye)

    assert ordered == [far, near]


@pytest.mark.parametrize("corner", range(4))
def test_the_figure_is_1700_mm_tall_at_the_scale_of_the_picture(corner: int) -> None:
    seen = picture(a_scene(), corner, 640)
    drawn = ElementTree.fromstring(corner_view(a_scene(), corner, 640))
    figure = next(g for g in drawn.iter("g") if g.get("class") == "figure")
    head = figure.find("ellipse")
    assert head is not None

    tall = -float(re.findall(r"[-\d.]+", figure.get("transform", ""))[3])
    crown_mm = float(head.get("cy", "")) + float(head.get("ry", ""))

    (_, foot), (_, top) = seen.eye.to_px((*seen.figure_mm, 0.0)), seen.eye.to_px((*seen.figure_mm, 1700.0))
    assert crown_mm == TALL_MM == 1700
    assert tall * crown_mm == pytest.approx(foot - top, abs=0.05)


@pytest.mark.parametrize("corner", range(4))
def test_the_figure_stands_on_free_floor_under_the_ceiling(corner: int) -> None:
    scene = a_scene()

    x, y = picture(scene, corner, 640).figure_mm

    taken = [
        *(s.plan for s in scene.solids if s.part != "wall" and s.from_mm < 1700),
        Footprint(((0, 0), (400, 0), (400, 400), (0, 400))),
    ]
    assert all(overlap_mm(disc((x, y), 200), plan) == 0 for plan in taken)
    assert 200 < x < 2400 - 200
    assert 200 < y < 1800 - 200
    assert x < 1700 + 700  # the slope is 1,700 high at its foot, x = 2,400


def test_where_no_floor_is_free_the_figure_stands_beside_the_room() -> None:
    full = box_kit("tank", 2200, 1600, 1000)
    scene = build(sample_room([full], [piece(full, 1200, 900)]))

    seen = picture(scene, 0, 640)

    left_of_room = min(seen.eye.to_px((x, y, 0.0))[0] for x, y in scene.room.outline_mm)
    assert seen.eye.to_px((*seen.figure_mm, 0.0))[0] < left_of_room


@pytest.mark.parametrize("data", [a_scene(), build(room_from(L_SHAPE))], ids=["slope and door", "L shape"])
@pytest.mark.parametrize("corner", range(4))
@pytest.mark.parametrize("width_px", [358, 640])
def test_nothing_is_drawn_off_the_paper(data: Scene, corner: int, width_px: float) -> None:
    drawn = ElementTree.fromstring(corner_view(data, corner, width_px))
    width, height = (float(v) for v in drawn.get("viewBox", "").split()[2:])

    points = [point for path in drawn.iter("path") if path.get("class") for point in path_points(path.get("d", ""))]
    texts = [(float(t.get("x", "")), float(t.get("y", ""))) for t in drawn.iter("text")]

    assert len(points) > 50
    assert [p for p in points + texts if not (0 <= p[0] <= width and 0 <= p[1] <= height)] == []


def path_points(data: str) -> list[tuple[float, float]]:
    """End points of a path of absolute M, L, H, V, A and relative a."""
    at, found = (0.0, 0.0), []
    for letter, numbers in re.findall(r"([MLHVAaZ])([^MLHVAaZ]*)", data):
        values = [float(v) for v in re.findall(r"-?[\d.]+", numbers)]
        pairs = list(zip(values[::2], values[1::2], strict=False))
        if letter in "ML":
            found += pairs
            at = pairs[-1]
        elif letter == "H":
            at = (values[0], at[1])
        elif letter == "V":
            at = (at[0], values[0])
        elif letter in "Aa":
            at = (values[5], values[6]) if letter == "A" else (at[0] + values[5], at[1] + values[6])
        found.append(at)
    return found


@pytest.mark.parametrize("corner", range(4))
def test_a_wall_that_would_hide_floor_of_the_room_is_taken_away(corner: int) -> None:
    """Rays again: from every floor point of an L towards the reader, no standing wall may be met below its top."""
    scene = build(room_from(L_SHAPE))
    eye = eye_at(corner, scene.room.outline_mm)
    up = standing(scene, eye)
    floor = [(x, y) for x in range(100, 3000, 200) for y in range(100, 2800, 200) if x < 1600 or y < 1500]

    met = [(p, edge.index) for p in floor for edge in up if _meets_wall(p, edge.start, edge.at(edge.length_mm), eye)]

    assert met == []
    assert 2 <= len(up) <= 4


def _meets_wall(point: tuple[float, float], a: tuple[float, float], b: tuple[float, float], eye: Eye) -> bool:
    way = (-eye.away[0], -eye.away[1])
    ex, ey = b[0] - a[0], b[1] - a[1]
    across = way[0] * ey - way[1] * ex
    if abs(across) < 1e-9:
        return False
    dx, dy = a[0] - point[0], a[1] - point[1]
    far, along = (dx * ey - dy * ex) / across, (dx * way[1] - dy * way[0]) / across
    return far > 1 and 0.001 < along < 0.999 and far * eye.lean / eye.rise < 2400


def test_each_piece_is_named_once_or_said_to_be_hidden() -> None:
    scene = a_scene()

    for corner in range(4):
        names = [label.owner for label in picture(scene, corner, 640, scene.names).labels]
        unseen = hidden(scene, picture(scene, corner, 640))
        assert sorted([*names, *unseen]) == sorted({*names, *unseen, "boiler", "cylinder", "tank", "k1"})
        assert len(names) == len(set(names))


def test_no_two_names_lie_on_each_other() -> None:
    labels = picture(a_scene(), 0, 358, a_scene().names).labels

    boxes = [label.box_px for label in labels]
    shared = [
        (a, b)
        for i, a in enumerate(boxes)
        for b in boxes[:i]
        if min(a[2], b[2]) - max(a[0], b[0]) > 1 and min(a[3], b[3]) - max(a[1], b[1]) > 1
    ]
    assert len(labels) >= 4
    assert shared == []


def test_the_best_corner_looks_at_the_front_of_kit_along_one_wall() -> None:
    pieces = [piece(BOILER, 400, 1620), piece(CYLINDER, 1200, 1500)]
    scene = build(sample_room([BOILER, CYLINDER], pieces))

    assert best_corner(scene) in (0, 1)


def test_a_fifth_corner_is_refused() -> None:
    with pytest.raises(ValueError, match="corner 0, 1, 2 or 3"):
        corner_view(a_scene(), 4, 640)


def test_the_drawing_carries_classes_and_no_styles() -> None:
    assert "style=" not in corner_view(a_scene(), 0, 640)


def test_a_name_cannot_break_out_of_the_drawing() -> None:
    kit = box_kit("tank", name="<script>alert(1)</script>")

    drawn = corner_view(build(sample_room([kit], [piece(kit, 1200, 900)])), 0, 640)

    assert "<script" not in drawn


@pytest.mark.parametrize("size", [(2400, 1800), (30_000, 20_000), (100_000, 100_000), (100_000, 500)])
def test_the_figure_tries_a_bounded_number_of_places_however_large_the_floor(size: tuple[float, float]) -> None:
    spots = grid_over((0.0, 0.0, *size))

    assert 0 < len(spots) <= MOST_SPOTS
    assert all(0 < x < size[0] and 0 < y < size[1] for x, y in spots)
