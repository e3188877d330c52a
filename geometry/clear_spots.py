"""The nearest spot where a piece, and the spaces it needs, are clear of everything else.

The moves that put a piece into something solid are the Minkowski sum of that and the piece turned over; what is left
of the room when all of them are taken out are the moves that do not. Only what can be in the way of moves up to a
length is looked at, and longer ones only where none of that length is left.

References
----------
T. Lozano-Perez, Spatial planning: a configuration space approach, IEEE Trans. Computers C-32 (1983).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, copysign, floor, hypot

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from geometry.ceilings import too_low
from geometry.checks.draw_out import rod_probe
from geometry.clearing import Probe, side_probe
from geometry.grown import Shapes, grown
from geometry.scene import Placed, Scene, bounds_of
from geometry.shapes import Bounds, Footprint, hull, swept
from geometry.units import DEPTH_TOLERANCE_MM, Point

FARTHEST_MOVE_MM = 4_000.0
_LOOKED_MM = (200.0, 800.0, FARTHEST_MOVE_MM)
_NO_BOXES = np.zeros((0, 6), dtype=np.float64)


@dataclass(frozen=True)
class _Band:
    """A plan shape that fills a height band."""

    plan: Footprint
    from_mm: float
    to_mm: float


@dataclass(frozen=True)
class _Block:
    """Moves of ``plan`` that put it into ``other`` are no farther than this from where it is."""

    least_mm: float
    plan: Footprint
    other: Footprint


def nearest_clear(scene: Scene, placed: Placed, spare_mm: float) -> tuple[Point | None, int]:
    """The shortest move, in whole millimetres, after which a piece and its spaces are clear with so much to spare.

    ``placed`` stands for the piece of its id in the scene, and may be turned. Told too is how many shapes had to be
    joined for it now; where it was known none had.
    """
    key = ("nearest clear", placed.id, placed.piece.turn_deg, spare_mm)
    if key in scene.memo:
        known: Point | None = scene.memo[key]
        return known, 0
    move, shapes = _looked_for(scene, placed, spare_mm)
    scene.memo[key] = move
    return move, shapes


def _looked_for(scene: Scene, placed: Placed, spare_mm: float) -> tuple[Point | None, int]:
    blocks, shapes = list(_blocked(scene, placed, spare_mm)), 0
    x, y = placed.piece.at_mm
    inside: BaseGeometry = shapely.affinity.translate(Polygon(scene.room.outline_mm), -x, -y)
    if placed.kit.stands_on == "wall":
        rx, ry, _ = placed.direction("right")
        reach = FARTHEST_MOVE_MM
        inside = inside.intersection(LineString([(-rx * reach, -ry * reach), (rx * reach, ry * reach)]))
    for within in _LOOKED_MM:
        near = [block for block in blocks if block.least_mm < within]
        shapes += len(near)
        free = inside.intersection(box(-within, -within, within, within))
        move = _nearest(_less(free, _moves_into(near)))
        if move is not None and hypot(*move) <= within:
            whole = _outward(move[0]), _outward(move[1])
            return (whole if hypot(*whole) <= FARTHEST_MOVE_MM else None), shapes
    return None, shapes


def _less(free: BaseGeometry, taken: Shapes) -> BaseGeometry:
    """What is left; out of a line one after another, which is sooner done than joining them first."""
    if free.area > 0:
        return free.difference(shapely.union_all(taken))
    for shape in taken:
        free = free.difference(shape)
    return free


def _nearest(free: BaseGeometry) -> Point | None:
    if free.is_empty:
        return None
    nearest = nearest_points(shapely.Point(0.0, 0.0), free)[1]
    return float(nearest.x), float(nearest.y)


def _outward(value: float) -> float:
    """Round a move away from where it began, unless it is rounding itself."""
    whole = floor(abs(value) + 1e-3) if abs(value) % 1 < 1e-3 else ceil(abs(value))
    return copysign(float(whole), value) if whole else 0.0


def _blocked(scene: Scene, placed: Placed, spare_mm: float) -> Iterator[_Block]:
    """What the piece, or a space that must be clear, comes into as it moves: solids, a low roof, spaces of others."""
    bodies = [_Band(s.plan, s.from_mm, s.to_mm) for s in placed.solids()]
    foreign = np.array([solid.owner != placed.id for solid in scene.solids], dtype=bool)
    solids = [solid.plan for solid in scene.solids]
    for band in (*bodies, *_spaces(placed, spare_mm)):
        yield from _met_by(band, solids, scene.boxes, foreign)
        for _, region in too_low(scene.roof, band.to_mm - DEPTH_TOLERANCE_MM):
            yield _Block(_least(band.plan.bounds, region.bounds), band.plan, region)
    if not placed.movable:
        kept, boxes, owners = _every_space(scene, spare_mm)
        others = np.array([owner != placed.id for owner in owners], dtype=bool)
        for band in bodies:
            yield from _met_by(band, kept, boxes, others)


def _met_by(
    band: _Band, plans: Sequence[Footprint], boxes: NDArray[np.float64], among: NDArray[np.bool_]
) -> Iterator[_Block]:
    """What of many boxes (n x 6) a moving shape may meet at its height, and how near each is."""
    x0, y0, x1, y1 = band.plan.bounds
    shared = np.minimum(boxes[:, 5], band.to_mm) - np.maximum(boxes[:, 2], band.from_mm)
    dx = np.maximum(np.maximum(boxes[:, 0] - x1, x0 - boxes[:, 3]), 0.0)
    dy = np.maximum(np.maximum(boxes[:, 1] - y1, y0 - boxes[:, 4]), 0.0)
    least = np.hypot(dx, dy)
    for i in np.flatnonzero(among & (shared > DEPTH_TOLERANCE_MM) & (least < FARTHEST_MOVE_MM)).tolist():
        yield _Block(float(least[i]), band.plan, plans[i])


def _least(one: Bounds, other: Bounds) -> float:
    dx = max(other[0] - one[2], one[0] - other[2], 0.0)
    return hypot(dx, max(other[1] - one[3], one[1] - other[3], 0.0))


def _every_space(scene: Scene, spare_mm: float) -> tuple[list[Footprint], NDArray[np.float64], list[str]]:
    """Every space that must be clear in the room, its box, and whose it is."""
    key = ("spaces", spare_mm)
    if key not in scene.memo:
        every = [(other.id, band) for other in scene.placed for band in _spaces(other, spare_mm)]
        boxes = [bounds_of(band.plan, band.from_mm, band.to_mm) for _, band in every]
        plans, owners = [band.plan for _, band in every], [owner for owner, _ in every]
        scene.memo[key] = plans, np.array(boxes) if boxes else _NO_BOXES, owners
    found: tuple[list[Footprint], NDArray[np.float64], list[str]] = scene.memo[key]
    return found


def _spaces(placed: Placed, spare_mm: float) -> list[_Band]:
    """What has to be clear around a piece: plan and height band of every space and every draw-out that must be."""
    must = [space for space in placed.kit.space if space.need == "must" and space.mm > 0]
    probes = [(side_probe(placed, space.side, space.from_mm, space.to_mm), space.mm) for space in must]
    rods = [(access, access.draw_out) for access in placed.kit.access if access.draw_out]
    probes += [(rod_probe(placed, access, rod), rod.length_mm) for access, rod in rods]
    return [
        _Band(swept(part, probe.direction, length + spare_mm), *_heights(probe, length + spare_mm))
        for probe, length in probes
        for part in probe.parts
    ]


def _heights(probe: Probe, length_mm: float) -> tuple[float, float]:
    up = probe.direction[2]
    if not up:
        return probe.from_mm, probe.to_mm
    return (probe.to_mm, probe.to_mm + length_mm) if up > 0 else (probe.from_mm - length_mm, probe.from_mm)


def _moves_into(blocks: Sequence[_Block]) -> Shapes:
    """All moves that make a shape overlap another by more than contact, for each of some."""
    every = [Footprint(_core(one), one.plan.radius_mm + one.other.radius_mm) for one in blocks]
    return grown([one for one in every if one.radius_mm or len(one.points) > 2], 0.0)


def _core(block: _Block) -> tuple[Point, ...]:
    if block.plan.is_box and block.other.is_box:
        ax0, ay0, ax1, ay1 = block.plan.bounds
        bx0, by0, bx1, by1 = block.other.bounds
        return ((bx0 - ax1, by0 - ay1), (bx1 - ax0, by0 - ay1), (bx1 - ax0, by1 - ay0), (bx0 - ax1, by1 - ay0))
    return hull([(bx - ax, by - ay) for bx, by in block.other.points for ax, ay in block.plan.points])
