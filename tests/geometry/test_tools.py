"""The free arc of a tool in a whole room, against a sweep in small steps, and what it must not depend on."""

import random
from math import asin, atan2, degrees, hypot, inf
from typing import Any, get_args

import numpy as np
import pytest
import shapely
from shapely.geometry.base import BaseGeometry

from geometry.kit import Tool
from geometry.reading import room_from
from geometry.samples import box_kit, piece, round_kit, sample_scene
from geometry.scene import Scene, Solid, build
from geometry.shapes import Footprint
from geometry.tools import HANDLES, Turned, neighbours, turned, turns, with_other_resting
from geometry.units import Point, Point3

STEP_DEG = 0.05
TO_100_MM = degrees(asin(100 / hypot(250, 12.5)) - asin(12.5 / hypot(250, 12.5)))
"""A 250 by 25 handle turns this far from level until its corner meets what is 100 away."""
ROOM = {"outline_mm": [[0, 0], [2000, 0], [2000, 2000], [0, 2000]]}


def nut(at: Point3, faces: str = "above", axis: str = "out", length: float = 250, **more: Any) -> dict[str, Any]:
    """An access point for a spanner."""
    swing = {"length_mm": length, "turn_deg": more.pop("turn_deg", 60), "axis": axis}
    return {"name": "nut", "at_mm": list(at), "faces": faces, "tool": "spanner", "swing": swing} | more


def only_turn(scene: Scene, piece_id: str = "valve") -> Turned:
    """The one swing of a piece."""
    (there,) = turned(scene, [turn for turn in turns(scene) if turn.placed.id == piece_id])
    return there


# A room at random, and the same arc by sweeping


def random_scene(rng: random.Random) -> Scene:
    """A small valve with a nut off its body, and a handful of things round it."""
    faces = rng.choice(["front", "left", "right", "behind", "above", "below"])
    far = {"front": (0, -60), "behind": (0, 60), "left": (-60, 0), "right": (60, 0)}.get(faces, (0, 0))
    height = {"above": 110.0, "below": -40.0}.get(faces, 50.0)
    access = nut((*far, height), faces, rng.choice(["out", "up", "across"]), rng.uniform(120, 350))
    valve = box_kit("valve", 80, 80, 80, access=[access], base_mm=0)
    turn, base = rng.choice([0, 90, 180, 270, 37]), rng.uniform(100, 900)
    kinds, pieces = [valve], [piece(valve, 1000, 1000, turn, base_mm=base)]
    for i in range(rng.randint(2, 5)):
        size = [rng.uniform(60, 500) for _ in range(3)]
        kinds.append(round_kit(f"k{i}", size[0], size[2]) if rng.random() < 0.4 else box_kit(f"k{i}", *size))
        if rng.random() < 0.4:
            stick = {"side": rng.choice(["front", "left"]), "mm": rng.uniform(30, 150), "what": "tail"}
            kinds[-1]["sticks_out"] = [stick]
        at = [1000 + rng.choice([-1, 1]) * rng.uniform(70, 400) for _ in range(2)]
        turn = rng.choice([0, 90, rng.uniform(0, 360)])
        pieces.append(piece(kinds[-1], *at, turn, base_mm=rng.uniform(0, 800)))
    low = rng.uniform(300, 1500)
    slope = {"area_mm": [[0, 900], [2000, 900], [2000, 2000], [0, 2000]],
             "through_mm": [[0, 900, low + 500], [2000, 900, low + 500], [0, 2000, low]]}  # fmt: skip
    return sample_scene(kinds, pieces, **ROOM, ceiling={"height_mm": rng.choice([1000, 2400]), "slopes": [slope]})


def outline(plan: Footprint) -> BaseGeometry:
    shape = shapely.MultiPoint(plan.points).convex_hull
    return shape.buffer(plan.radius_mm, quad_segs=256) if plan.radius_mm else shape


def in_plan(scene: Scene, solid: Solid, at: Point3) -> BaseGeometry:
    there = solid.from_mm + 0.5 < at[2] < solid.to_mm - 0.5
    return shapely.affinity.translate(outline(solid.plan), -at[0], -at[1]) if there else shapely.Point()


def in_upright(solid: Solid, at: Point3, along: Point) -> BaseGeometry:
    line = shapely.LineString([(at[0] + k * along[0] * 900, at[1] + k * along[1] * 900) for k in (-1, 1)])
    shared = line.intersection(outline(solid.plan))
    if shared.length < 1:
        return shapely.Point()
    ends = sorted((x - at[0]) * along[0] + (y - at[1]) * along[1] for x, y in shared.coords)
    return shapely.box(ends[0], max(solid.from_mm - at[2], -900), ends[-1], min(solid.to_mm - at[2], 900))


def roof_in_plan(scene: Scene, at: Point3) -> BaseGeometry:
    """Where the slope of the random rooms is lower than the nut: it falls along y, from 900 to 2000."""
    (x0, y0, z0), _, (_, y1, z1) = scene.room.ceiling.slopes[0].through_mm
    if z1 >= at[2]:
        return shapely.Point()
    y = max(y0, y0 + (z0 - at[2]) / (z0 - z1) * (y1 - y0))
    return shapely.box(x0 - at[0], y - at[1], 2000 - at[0], y1 - at[1])


def roof_in_upright(scene: Scene, at: Point3, along: Point) -> BaseGeometry:
    (_, y0, z0), _, (_, y1, z1) = scene.room.ceiling.slopes[0].through_mm
    under = [(s, at[1] + s * along[1]) for s in np.linspace(-900, 900, 3601)]
    strip = [(s, z0 + (y - y0) / (y1 - y0) * (z1 - z0) - at[2]) for s, y in under if y0 <= y <= y1]
    flat = shapely.box(-900, (scene.roof.flat_mm or inf) - at[2], 900, 5000)
    floor = shapely.box(-900, -5000, 900, -at[2])
    slope = shapely.Polygon([*strip, (strip[-1][0], 9000), (strip[0][0], 9000)]) if len(strip) > 1 else shapely.Point()
    return shapely.union_all([flat, floor, slope])


def by_sweeping(scene: Scene, there: Turned) -> float:
    """The largest run of free angles, in degrees."""
    at, along, bar = there.turn.plane.at, there.turn.plane.along, there.turn.bar
    if along is None:
        solid = [in_plan(scene, s, at) for s in scene.solids] + [roof_in_plan(scene, at)]
    else:
        solid = [in_upright(s, at, along) for s in scene.solids] + [roof_in_upright(scene, at, along)]
    everything = shapely.union_all([s for s in solid if not s.is_empty])
    shapely.prepare(everything)
    angles = np.radians(np.arange(0, 360, STEP_DEG))
    c, s = np.cos(angles)[:, None], np.sin(angles)[:, None]
    x, y = np.array([0, bar.length_mm, bar.length_mm, 0]), np.array([-1, -1, 1, 1]) * bar.lead_mm
    free = ~shapely.intersects(everything, shapely.polygons(np.stack([x * c - y * s, x * s + y * c], axis=-1)))
    return longest_run(free) * STEP_DEG


def longest_run(free: np.ndarray) -> int:
    if free.all():
        return len(free)
    turned_to_a_stop = np.roll(free, -int(np.flatnonzero(~free)[0]))
    edges = np.flatnonzero(np.diff(np.concatenate([[0], turned_to_a_stop.astype(int), [0]])))
    return int(max(edges[1::2] - edges[::2], default=0))


def test_the_free_arc_is_that_of_a_sweep_in_small_steps() -> None:
    rng, wrong = random.Random(11), []
    sizes = []

    for case in range(200):
        scene = random_scene(rng)
        there = only_turn(scene)
        mine, swept = there.free().deg, by_sweeping(scene, there)
        sizes.append(mine)
        if abs(mine - swept) > 2 * STEP_DEG + 0.02:
            wrong.append((case, there.turn.access.faces, there.turn.swing.axis, mine, swept))

    assert wrong == []
    assert sum(0 < size < 360 for size in sizes) > 100


# What it must not depend on


@pytest.mark.parametrize("seed", range(12))
def test_the_arc_is_the_same_in_a_room_turned_by_quarters_and_moved(seed: int) -> None:
    scene = random_scene(random.Random(seed))
    room = scene.room.model_dump(mode="json", by_alias=True)

    def round_and_along(point: list[float]) -> list[float]:
        return [-point[1] + 5000, point[0] - 3000, *point[2:]]

    room["outline_mm"] = [round_and_along(p) for p in room["outline_mm"]]
    for slope in room["ceiling"]["slopes"]:
        for part in ("area_mm", "through_mm"):
            slope[part] = [round_and_along(p) for p in slope[part]]
    for item in room["pieces"]:
        item["at_mm"], item["turn_deg"] = round_and_along(item["at_mm"]), item["turn_deg"] + 90

    again = only_turn(build(room_from(room)))

    assert again.free().deg == pytest.approx(only_turn(scene).free().deg, abs=1e-6)


# The piece's own body


def test_a_nut_on_a_flat_face_turns_square_to_it_all_the_way_round() -> None:
    valve = box_kit("valve", 80, 80, 80, access=[nut((0, -40, 40), "front")])

    there = only_turn(sample_scene([valve], [piece(valve, 1000, 1000, base_mm=900)], **ROOM))

    assert there.free().deg == 360


def test_a_nut_on_a_flat_face_whose_axis_lies_in_it_turns_a_half_circle() -> None:
    valve = box_kit("valve", 600, 80, 80, access=[nut((0, -40, 40), "front", "up")])

    there = only_turn(sample_scene([valve], [piece(valve, 1000, 1000, base_mm=900)], **ROOM))

    assert there.free().deg == pytest.approx(180)
    assert there.free().stops[0].owner == "valve"


def test_a_nut_inside_its_own_body_is_reached_from_outside_it() -> None:
    valve = box_kit("valve", 80, 80, 80, access=[nut((0, 0, 40), "front")])

    there = only_turn(sample_scene([valve], [piece(valve, 1000, 1000, base_mm=900)], **ROOM))

    assert there.free().deg == 360


def test_another_part_of_the_same_piece_is_in_the_way_like_any_thing() -> None:
    tail = {"side": "front", "mm": 200, "from_mm": 0, "to_mm": 80, "across_mm": [60, 100], "what": "tail"}
    valve = box_kit("valve", 240, 80, 80, access=[nut((0, -60, 40), "front")], sticks_out=[tail])

    free = only_turn(sample_scene([valve], [piece(valve, 1000, 1000, base_mm=900)], **ROOM)).free()

    assert free.deg < 360
    assert free.stops[0].what == "Valve's tail"


def test_a_nut_inside_something_else_cannot_be_turned() -> None:
    valve, tank = box_kit("valve", 80, 80, 80, access=[nut((0, -40, 40))]), box_kit("tank", 600, 600, 1500)

    free = only_turn(sample_scene([valve, tank], [piece(valve, 1000, 1000), piece(tank, 1000, 700)], **ROOM)).free()

    assert (free.deg, free.largest, {b.owner for b in free.stops}) == (0, None, {"tank"})


# Floor and ceiling


@pytest.mark.parametrize(("height_mm", "side"), [(100.0, "floor"), (2300.0, "ceiling")])
def test_floor_and_ceiling_take_the_arc_that_the_handle_would_need(height_mm: float, side: str) -> None:
    valve = box_kit("valve", 80, 80, 80, access=[nut((0, -40, 0), "front")])

    free = only_turn(sample_scene([valve], [piece(valve, 1000, 1000, base_mm=height_mm)], **ROOM)).free()

    assert free.deg == pytest.approx(180 + 2 * TO_100_MM)
    assert [b.owner for b in free.stops] == [side]


def test_a_beam_lower_than_the_nut_stands_in_the_plan() -> None:
    valve = box_kit("valve", 80, 80, 80, access=[nut((0, 0, 100))])
    beam = {"area_mm": [[1100, 0], [1300, 0], [1300, 2000], [1100, 2000]], "soffit_mm": 1900}
    more = {**ROOM, "ceiling": {"height_mm": 2400, "beams": [beam]}}

    under, over = (
        only_turn(sample_scene([valve], [piece(valve, 1000, 1000, base_mm=base)], **more)).free()
        for base in (1700, 1850)
    )

    assert under.deg == 360
    assert over.deg == pytest.approx(180 + 2 * TO_100_MM)


# Handles and neighbours


def test_every_tool_has_a_handle_and_says_where_its_width_comes_from() -> None:
    assert set(HANDLES) == set(get_args(Tool))
    assert {figure.source.standing for figure in HANDLES.values()} == {"from memory"}


def valves(gap_mm: float, height_mm: float = 40, axis: str = "up") -> list[Turned]:
    """Two valves 75 square, that far apart, nuts on the sides that look at each other, boxing close behind them."""
    left = box_kit("left", 75, 75, 75, access=[nut((37.5, 0, 40), "right", "up")])
    right = box_kit("right", 75, 75, 75, access=[nut((-37.5, 0, height_mm), "left", axis)])
    boxing = {
        "id": "f1",
        "name": "boxing",
        "area_mm": [[0, 1040], [2000, 1040], [2000, 1200], [0, 1200]],
        "to_mm": 2400,
    }
    pieces = [piece(left, 1000, 1000, base_mm=900), piece(right, 1075 + gap_mm, 1000, base_mm=900)]
    scene = sample_scene([left, right], pieces, **ROOM, fixtures=[boxing])
    return turned(scene, list(turns(scene)))


@pytest.mark.parametrize(("gap_mm", "expected"), [
    (35, degrees(atan2(35, 37.5) - asin(12.5 / hypot(35, 37.5)))),
    (60, degrees(atan2(60, 37.5) - asin(12.5 / hypot(60, 37.5)))),
])  # fmt: skip
def test_a_spanner_between_two_valves_turns_from_its_own_body_to_the_neighbours_corner(
    gap_mm: float, expected: float
) -> None:
    one, _ = valves(gap_mm)

    assert one.free().deg == pytest.approx(expected)
    assert {blocker.owner for blocker in one.free().stops} == {"left", "right"}


def test_with_a_second_spanner_resting_beside_its_own_body_only_a_sliver_is_left() -> None:
    one, other = valves(60)

    both = with_other_resting(one, other, 360)

    sliver = asin((60 - 12.5) / hypot(250, 12.5)) - atan2(12.5, 250)  # until the handle's corner meets the other handle
    assert both.free.deg == pytest.approx(degrees(sliver))
    assert degrees(both.rest_rad) % 360 == pytest.approx(270)


def test_the_other_spanner_rests_out_of_the_way_where_it_can() -> None:
    valve = box_kit("valve", 40, 40, 40, access=[nut((0, 0, 60))])
    scene = sample_scene([valve], [piece(valve, 900 + 110 * i, 1000, id=f"v{i}") for i in (0, 1)], **ROOM)
    one, other = turned(scene, list(turns(scene)))

    both = with_other_resting(one, other, 60)

    assert degrees(both.rest_rad) == pytest.approx(0)  # straight away from the nut that is turned
    assert both.free.deg == pytest.approx(360 - 4 * degrees(atan2(12.5, 110)))


def test_spanners_whose_heads_cannot_go_side_by_side_leave_no_turn() -> None:
    valve = box_kit("valve", 10, 10, 10, access=[nut((0, 0, 60))])
    scene = sample_scene([valve], [piece(valve, 1000 + 24 * i, 1000, id=f"v{i}") for i in (0, 1)], **ROOM)

    assert with_other_resting(*turned(scene, list(turns(scene))), 60).free.deg == 0


@pytest.mark.parametrize(("gap_mm", "height_mm", "axis", "expected"), [
    (60, 40, "up", [(0, 1)]),
    (60, 75, "up", [(0, 1)]),
    (60, 81, "up", []),
    (60, 40, "out", []),
    (499, 40, "up", [(0, 1)]),
    (501, 40, "up", []),
])  # fmt: skip
def test_nuts_are_neighbours_where_their_spanners_turn_in_one_plane_and_can_meet(
    gap_mm: float, height_mm: float, axis: str, expected: list[tuple[int, int]]
) -> None:
    assert neighbours([there.turn for there in valves(gap_mm, height_mm, axis)]) == expected


def test_a_lever_is_no_spanner() -> None:
    lever = box_kit("lever", 40, 40, 40, access=[nut((0, 0, 60), tool="lever")])
    scene = sample_scene([lever], [piece(lever, 900 + 110 * i, 1000, id=f"v{i}") for i in (0, 1)], **ROOM)

    assert neighbours(list(turns(scene))) == []
