"""How far something can slide, rise or sink before it meets what is solid: shared by the checks of working room."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import inf
from typing import NamedTuple

from geometry.ceilings import Soffit, lowest_over
from geometry.saved import Side
from geometry.scene import Box6, Placed, Scene, Solid
from geometry.shapes import Footprint, overlap_mm
from geometry.sliding import slide_mm
from geometry.square import Slider
from geometry.units import DEPTH_TOLERANCE_MM, SAME_MM, Point, Point3


@dataclass
class Probe:
    """Something that moves straight in one direction: its parts, its height band, and whose it is.

    What a body is already in the same place with does not count on its sides: other checks have said it.
    """

    owner: str
    parts: tuple[Footprint, ...]
    from_mm: float
    to_mm: float
    direction: Point3
    is_body: bool = False

    @cached_property
    def sweep(self) -> Box6:
        """Bounds of everything it may reach."""
        bounds = [part.bounds for part in self.parts]
        x0, y0 = min(b[0] for b in bounds), min(b[1] for b in bounds)
        x1, y1 = max(b[2] for b in bounds), max(b[3] for b in bounds)
        low = [x0, y0, self.from_mm, x1, y1, self.to_mm]
        for axis, step in enumerate(self.direction):
            if step < -1e-9:
                low[axis] = -inf
            elif step > 1e-9:
                low[axis + 3] = inf
        return (low[0], low[1], low[2], low[3], low[4], low[5])


class Met(NamedTuple):
    """The first thing met: how far away, whose, what people call it, and whether it can be moved away."""

    found_mm: float
    owner: str
    what: str
    movable: bool = False


def side_probe(placed: Placed, side: Side, from_mm: float | None = None, to_mm: float | None = None) -> Probe:
    """The body of a piece as it slides out of one of its sides, over its own height band or the one given."""
    low = placed.base_mm if from_mm is None else placed.base_mm + from_mm
    high = placed.top_mm if to_mm is None else placed.base_mm + to_mm
    return Probe(placed.id, placed.body, low, high, placed.direction(side), is_body=True)


def first_met(
    scene: Scene, probes: Sequence[Probe], *, building_only: bool = False
) -> list[tuple[Met | None, Met | None]]:
    """For each probe: (the first fixed thing it meets, the first movable thing nearer than that).

    With ``building_only`` other kit does not count.
    """
    found = []
    for met in _all_met(scene, probes, building_only):
        fixed = _first([m for m in met if not m.movable])
        loose = _first([m for m in met if m.movable])
        if fixed and loose and loose.found_mm > fixed.found_mm - SAME_MM:
            loose = None
        found.append((fixed, loose))
    return found


def _first(met: list[Met]) -> Met | None:
    if len(met) > 1:
        return min(met, key=_nearest)
    return met[0] if met else None


def _all_met(scene: Scene, probes: Sequence[Probe], building_only: bool) -> list[list[Met]]:
    """What each probe meets: rectangles square to the room all at once, everything else one by one."""
    squares = scene.building if building_only else scene.squares
    sliders = [_slider(probe) for probe in probes]
    quick = iter(squares.met([slider for slider in sliders if slider]))
    turned_out = bool(len(squares.others))
    low = min((soffit.lowest_mm for soffit in scene.roof.soffits), default=inf)
    sweeps = [p.sweep for p, s in zip(probes, sliders, strict=True) if s] if turned_out else []
    rest = iter(scene.near(sweeps, squares.others))
    every = iter(scene.near([p.sweep for p, s in zip(probes, sliders, strict=True) if not s]))
    found = []
    for probe, slider in zip(probes, sliders, strict=True):
        if slider:
            first = [Met(far, solid.owner, solid.what, solid.movable) for far, solid in next(quick)]
            more = next(rest) if turned_out else []
            plain = not more and probe.to_mm <= low
            found.append(first if plain else _met_level(scene, probe, more, first))
            continue
        near = [s for s in next(every) if not building_only or s.part in ("wall", "fixture")]
        level = abs(probe.direction[2]) < 0.5
        found.append(_met_level(scene, probe, near, []) if level else _met_upright(scene, probe, near))
    return found


def _slider(probe: Probe) -> Slider | None:
    """The probe as something square that slides along an axis of the room, if it is that."""
    x, y, z = probe.direction
    if z or (x and y) or len(probe.parts) != 1 or not probe.parts[0].is_square:
        return None
    if probe.parts[0].radius_mm and not probe.is_body:
        return None
    return Slider(probe.parts[0], probe.from_mm, probe.to_mm, 0 if x else 1, x + y, probe.owner, probe.is_body)


def ceiling_known(scene: Scene, probe: Probe) -> bool:
    """Whether the ceiling is measured over the whole of a probe."""
    return scene.roof.flat_mm is not None or all(scene.roof.known_over(part.polygon) for part in probe.parts)


def _nearest(met: Met) -> tuple[float, str, str]:
    return (round(met.found_mm, 6), met.owner, met.what)


def _met_level(scene: Scene, probe: Probe, solids: Sequence[Solid], first: list[Met]) -> list[Met]:
    heading: Point = (probe.direction[0], probe.direction[1])
    found = list(first)
    nearest = {True: inf, False: inf} | {m.movable: m.found_mm for m in first}
    for least, solid in _nearest_first(probe, heading, solids):
        if least > nearest[solid.movable] + SAME_MM:
            continue
        far = _slide(probe.parts, solid.plan, heading)
        maybe_inside = far == 0 or len(probe.parts) > 1
        if far is not None and not (maybe_inside and _inside(probe, solid.plan)):
            nearest[solid.movable] = min(far, nearest[solid.movable])
            found.append(Met(far, solid.owner, solid.what, solid.movable))
    for soffit in scene.roof.soffits:
        far = _slide_under(probe, soffit, heading)
        if far is not None:
            found.append(Met(far, soffit.name, soffit.name))
    return found


def _slide_under(probe: Probe, soffit: Soffit, heading: Point) -> float | None:
    """How far it slides before a soffit is in its way: whether, with the allowance; how far, without it."""
    if soffit.lowest_mm > probe.to_mm:
        return None
    lower = soffit.below(probe.to_mm - DEPTH_TOLERANCE_MM)
    if lower is None or _slide(probe.parts, lower, heading) is None or _inside(probe, lower):
        return None
    return _slide(probe.parts, soffit.below(probe.to_mm) or lower, heading)


def _inside(probe: Probe, other: Footprint) -> bool:
    return probe.is_body and any(overlap_mm(part, other) > DEPTH_TOLERANCE_MM for part in probe.parts)


def _nearest_first(probe: Probe, heading: Point, solids: Sequence[Solid]) -> list[tuple[float, Solid]]:
    """The candidates, each with the least it can be away, nearest first."""
    if not solids:
        return []
    lead = max(part.reach(heading) for part in probe.parts)
    x, y = heading
    found = []
    for solid in solids:
        if solid.owner != probe.owner:
            x0, y0, x1, y1 = solid.plan.bounds
            corner = (x0 if x > 0 else x1) * x + (y0 if y > 0 else y1) * y
            found.append((corner - lead, solid))
    return sorted(found, key=lambda pair: pair[0])


def _slide(parts: tuple[Footprint, ...], other: Footprint, heading: Point) -> float | None:
    far = [slide for part in parts if (slide := slide_mm(part, other, heading)) is not None]
    return min(far, default=None)


def _met_upright(scene: Scene, probe: Probe, solids: Iterable[Solid]) -> list[Met]:
    up = probe.direction[2] > 0
    found = []
    for solid in solids:
        gap = solid.from_mm - probe.to_mm if up else probe.from_mm - solid.to_mm
        ahead = solid.to_mm - probe.to_mm if up else probe.from_mm - solid.from_mm
        if solid.owner == probe.owner or solid.part == "wall" or ahead <= DEPTH_TOLERANCE_MM:
            continue
        if any(overlap_mm(part, solid.plan) > DEPTH_TOLERANCE_MM for part in probe.parts):
            found.append(Met(max(0.0, gap), solid.owner, solid.what, solid.movable))
    if not up:
        return [*found, Met(max(0.0, probe.from_mm), "floor", "the floor")]
    lows = [low for part in probe.parts if (low := lowest_over(scene.roof, part))]
    return found + [Met(max(0.0, low.height_mm - probe.to_mm), low.name, f"the {low.name}") for low in lows]
