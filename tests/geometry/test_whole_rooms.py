"""Findings of whole random rooms against slow second opinions, through shapely and bisection."""

from itertools import combinations

import pytest

from geometry.check import Finding
from geometry.checks import CHECKS
from geometry.reading import room_from
from geometry.saved import Side
from geometry.scene import Placed, Scene, Solid, build
from geometry.shapes import Footprint
from geometry.units import Point
from tests.geometry.oracles import gap, least_way_out, shared_width, slide, solid
from tests.geometry.random_rooms import random_room

GRAZE_MM = 1.5
SEEDS = range(40, 52)


def scene_of(seed: int, **more: object) -> Scene:
    return build(room_from({**random_room(seed), **more}))


def found_by(check_id: str, scene: Scene) -> list[Finding]:
    (check,) = [check for check in CHECKS if check.id == check_id]
    return list(check.find(scene, None))


def share_height(a: Solid, b: Solid) -> bool:
    return min(a.to_mm, b.to_mm) - max(a.from_mm, b.from_mm) > 0.5


def deep(one: Footprint, other: Footprint) -> float:
    if gap(one, other) > 1e-9 or solid(one).intersection(solid(other)).area < 1e-6:
        return 0.0
    return least_way_out(one, other)


@pytest.mark.parametrize("seed", SEEDS)
def test_overlaps_are_the_pairs_that_share_plan_and_height_by_their_least_way_out(seed: int) -> None:
    scene = scene_of(seed)
    told = {f.pieces: f.short for f in found_by("body-overlap", scene) if f.verdict == "put-right"}
    expected = {}
    for one, other in combinations(scene.placed, 2):
        pairs = [(a, b) for a in one.solids() for b in other.solids() if share_height(a, b)]
        deepest = max((deep(a.plan, b.plan) for a, b in pairs), default=0.0)
        if deepest > 0.5:
            expected[one.id, other.id] = deepest

    assert told == pytest.approx(expected, abs=0.01)


@pytest.mark.parametrize("seed", SEEDS)
def test_what_leaves_the_outline_is_in_a_wall_in_a_doorway_or_outside(seed: int) -> None:
    scene = scene_of(seed)
    leaving = {"wall", "doorway", "outside"}
    told = {f.pieces[0] for f in found_by("room-edge", scene) if f.topic in leaving}
    for placed in scene.placed:
        plans = [solid(part.plan) for part in placed.solids()]
        if all(scene.floor.buffer(0.4, join_style="mitre").covers(plan) for plan in plans):
            assert placed.id not in told
        elif not all(scene.floor.buffer(0.8, join_style="mitre").covers(plan) for plan in plans):
            assert placed.id in told


def free_way(scene: Scene, placed: Placed, side: Side) -> float | str | None:
    """How far the body slides out of a side before it meets something fixed that it is not already in."""
    x, y, _ = placed.direction(side)
    ways = []
    for other in scene.solids:
        if other.owner == placed.id or other.movable or not other.meets_band(placed.base_mm, placed.top_mm):
            continue
        if all(deep(part, other.plan) < 0.4 for part in placed.body):
            ways += [part_way(part, other.plan, (x, y)) for part in placed.body]
    if any(isinstance(way, str) for way in ways):
        return "too close to call"
    return min((way for way in ways if isinstance(way, float)), default=None)


def part_way(part: Footprint, other: Footprint, way: Point) -> float | str | None:
    width = shared_width(part, other, way)
    if 1e-6 < abs(width) < GRAZE_MM:
        return "too close to call"
    if width <= 1e-6:
        return None
    if gap(part, other) < 0.4:
        return 0.0 if deep(part.moved(5 * way[0], 5 * way[1]), other) > 0.4 else None
    return slide(part, other, way, 9000)


@pytest.mark.parametrize("seed", SEEDS)
def test_room_on_each_side_is_how_far_the_body_slides(seed: int) -> None:
    scene = scene_of(seed, ceiling={"height_mm": 2400})
    compared = 0
    for finding in found_by("service-space", scene):
        placed = scene.piece(finding.pieces[0])
        if placed is None or finding.side in ("above", "below") or finding.topic == "move-first":
            continue
        expected = free_way(scene, placed, finding.side)
        if expected != "too close to call":
            compared += 1
            assert (finding.found is None) == (expected is None)
            assert finding.found is None or finding.found == pytest.approx(expected, abs=0.01)
    assert compared > 2
