"""Sliding many shapes at once gives what sliding them one by one gives."""

import random

import pytest

from geometry.clearing import Probe, first_met
from geometry.kit import PLAN_SIDES
from geometry.samples import box_kit, piece, round_kit, sample_scene
from geometry.saved import Side
from geometry.scene import Placed, Scene
from geometry.shapes import overlap_mm
from geometry.sliding import slide_mm
from geometry.units import DEPTH_TOLERANCE_MM


def crowded(seed: int) -> Scene:
    """A room with a dozen pieces thrown into it, some movable, some round."""
    rng = random.Random(seed)
    kinds, pieces = [], []
    for i in range(12):
        size = (rng.uniform(50, 700), rng.uniform(50, 700), rng.uniform(50, 1500))
        kit = box_kit(f"k{i}", *size) if rng.random() < 0.7 else round_kit(f"k{i}", size[0], size[2])
        kinds.append(kit)
        at = (round(rng.uniform(0, 2400), -1), round(rng.uniform(0, 1800), -1))
        hold = rng.choice(("fixed", "movable"))
        pieces.append(piece(kit, *at, rng.choice((0, 90, 180, 270)), hold=hold, base_mm=round(rng.uniform(0, 900), -1)))
    return sample_scene(kinds, pieces)


def probe_of(placed: Placed, side: Side, is_body: bool) -> Probe:
    """The body of a piece sliding out of one side, as a body or as a mere rod of its size."""
    return Probe(placed.id, placed.body, placed.base_mm, placed.top_mm, placed.direction(side), is_body=is_body)


def nearest(scene: Scene, probe: Probe, movable: bool) -> float | None:
    """The same by sliding against every solid, one after another."""
    found = []
    for solid in scene.solids:
        if solid.owner == probe.owner or not solid.meets_band(probe.from_mm, probe.to_mm) or solid.movable != movable:
            continue
        if probe.is_body and overlap_mm(probe.parts[0], solid.plan) > DEPTH_TOLERANCE_MM:
            continue
        far = slide_mm(probe.parts[0], solid.plan, (probe.direction[0], probe.direction[1]))
        if far is not None:
            found.append(far)
    return min(found, default=None)


def test_every_slide_at_once_is_the_same_as_one_by_one() -> None:
    for seed in range(60):
        scene = crowded(seed)
        probes = [
            probe_of(placed, side, body) for placed in scene.placed for side in PLAN_SIDES for body in (True, False)
        ]

        for probe, (fixed, loose) in zip(probes, first_met(scene, probes), strict=True):
            still, moves = nearest(scene, probe, False), nearest(scene, probe, True)
            assert (fixed.found_mm if fixed else None) == pytest.approx(still, abs=1e-6)
            if loose is not None:
                assert loose.found_mm == pytest.approx(moves, abs=1e-6)
            else:
                assert moves is None or (still is not None and moves >= still - 1e-6)
