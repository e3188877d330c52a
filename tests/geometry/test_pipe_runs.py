"""Runs in random rooms against measures of our own: a pipe as a chain of balls, each solid as a prism."""

from itertools import pairwise
from math import ceil, dist, hypot
from random import Random
from typing import Any

import pytest
from shapely import Point, Polygon

from geometry.pipes.line import Route
from geometry.pipes.runs import PipeRun, pipe_runs
from geometry.room import Room
from geometry.scene import Scene, build
from tests.checks.discharge_room import Data, kit_box, outlet
from tests.checks.test_discharge import random_room

SEEDS = range(200)
STEP_MM = 15.0
ROUNDING_MM = 0.6
HEAD_MM, STRIP_MM = 1981, 600


def varied_room(seed: int) -> Data:
    """A random room with a sloping soffit at the back, a beam now and then, a boiler that drips, a second outlet."""
    draw = Random(1000 + seed)
    data = random_room(seed)
    low = draw.uniform(500, 1300)
    data["ceiling"]["slopes"] = [
        {"name": "soffit", "area_mm": [[2600, 2400], [4000, 2400], [4000, 3000], [2600, 3000]],
         "through_mm": [[0, 2400, low + 300], [4000, 2400, low + 300], [0, 3000, low]]}
    ]  # fmt: skip
    if draw.random() < 0.5:
        data["ceiling"]["beams"] = [
            {"name": "beam", "area_mm": [[2000, 0], [2150, 0], [2150, 3000], [2000, 3000]],
             "soffit_mm": draw.uniform(250, 700)}
        ]  # fmt: skip
    drip = {"name": "condensate", "medium": "condensate", "size_mm": 22, "at_mm": [0, 0, 0], "faces": "below"}
    data["kit"].append(kit_box("boiler", 400, 300, 700) | {"port": [drip], "space": [{"side": "front", "mm": 500}]})
    data["pieces"].append({"id": "bo", "kit": "boiler", "at_mm": [2300, 2850], "base_mm": 1500})
    data["outlets"].append(
        outlet(id="o2", at_mm=[draw.uniform(300, 3900), 3000], level_mm=draw.uniform(100, 1200), takes=["condensate"])
    )
    data["overrides"] = []
    return data


def runs_in(data: Data) -> tuple[Scene, list[PipeRun]]:
    scene = build(Room.model_validate(data))
    return scene, [run for run in pipe_runs(scene) if isinstance(run.route, Route) and run.needed_mm is not None]


def balls(line: Any) -> list[tuple[float, float, float]]:
    """Points along all but the last stretch, which goes out through a wall."""
    found = []
    for a, b in list(pairwise(line))[:-1]:
        n = max(1, ceil(dist(a, b) / STEP_MM))
        found += [tuple(u + k / n * (v - u) for u, v in zip(a, b, strict=True)) for k in range(n + 1)]
    return found


def met(scene: Scene, run: PipeRun, own: set[str]) -> set[str]:
    assert isinstance(run.route, Route)
    radius = (run.size_mm or 22) / 2 - ROUNDING_MM
    through = set()
    prisms = [(s, Polygon(s.plan.polygon.exterior)) for s in scene.solids if s.owner not in own]
    for x, y, z in balls(run.route.points):
        for solid, plan in prisms:
            across, up = plan.distance(Point(x, y)), max(0.0, solid.from_mm - z, z - solid.to_mm)
            if hypot(across, up) < radius:
                through.add(solid.owner)
    return through


def soffit_mm(data: Data, x: float, y: float) -> float:
    """The lowest thing overhead, by the plane's own formula."""
    low = 2400.0
    for slope in data["ceiling"].get("slopes", []):
        if 2600 < x < 4000 and 2400 < y < 3000:
            (_, _, high), _, (_, _, end) = slope["through_mm"]
            low = min(low, high + (y - 2400) / 600 * (end - high))
    for beam in data["ceiling"].get("beams", []):
        if 2000 < x < 2150:
            low = min(low, beam["soffit_mm"])
    return low


@pytest.mark.parametrize("seed", SEEDS)
def test_no_run_goes_through_a_body_a_wall_a_soffit_or_a_doorway(seed: int) -> None:
    data = varied_room(seed)

    scene, runs = runs_in(data)

    door = data["doors"][0]
    for run in runs:
        assert isinstance(run.route, Route)
        radius = (run.size_mm or 22) / 2
        own = {"t1"} if run.medium == "hot-discharge" else {"bo"}
        assert met(scene, run, own) == set()
        for x, y, z in balls(run.route.points):
            assert z + radius <= soffit_mm(data, x, y) + ROUNDING_MM
            inside = door["from_mm"] < x < door["from_mm"] + door["clear_mm"] and y < STRIP_MM
            assert not inside or z > HEAD_MM


@pytest.mark.parametrize("seed", SEEDS)
def test_a_run_never_rises_and_ends_at_its_outlet_no_lower_than_its_level(seed: int) -> None:
    data = varied_room(seed)

    _, runs = runs_in(data)

    levels = {end["id"]: end["level_mm"] for end in data["outlets"]}
    for run in runs:
        assert isinstance(run.route, Route)
        heights = [z for _, _, z in run.route.points]
        assert all(a >= b - 1e-6 for a, b in pairwise(heights))
        assert heights[-1] >= levels[run.to] - 1e-6


@pytest.mark.parametrize("seed", SEEDS)
def test_a_run_with_height_to_spare_falls_enough_on_every_stretch(seed: int) -> None:
    _, runs = runs_in(varied_room(seed))

    for run in runs:
        assert isinstance(run.route, Route) and run.spare_mm is not None
        if run.spare_mm >= 0:
            fall = 1 / 200 if run.medium == "hot-discharge" else 45 / 1000
            along = [(hypot(b[0] - a[0], b[1] - a[1]), a[2] - b[2]) for a, b in pairwise(run.route.points)]
            last_up = max((k for k, (far, down) in enumerate(along) if far < 0.5 < down), default=-1)
            drops_at_end = last_up > 0
            level_end = along[last_up + 1 :] if drops_at_end else []
            for far, down in along[: len(along) - len(level_end)]:
                assert down >= far * fall - 1e-6


def test_the_random_rooms_hold_runs_of_both_kinds_and_rooms_without() -> None:
    counts = [[run.medium for run in runs_in(varied_room(seed))[1]] for seed in SEEDS]

    assert sum("hot-discharge" in found for found in counts) > 60
    assert sum("condensate" in found for found in counts) > 60
    assert sum(len(found) < 2 for found in counts) > 20
