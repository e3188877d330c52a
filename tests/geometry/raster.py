"""An independent search for a way out: positions on a grid, headings in steps, flooded from the start.

It shares nothing with the project but the meaning of the numbers: whether a shape meets an obstacle is asked anew for
every cell and heading, from half widths and the separating axes of rectangles, or the distance to a circle.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, pi, radians, sin

import numpy as np
from numpy.typing import NDArray

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Block:
    """A rectangle by its middle, half sizes and turn; or, with ``round_mm``, a disc of that diameter."""

    x: float
    y: float
    half_x: float = 0.0
    half_y: float = 0.0
    turn_deg: float = 0.0
    round_mm: float = 0.0


def block(x0: float, y0: float, x1: float, y1: float) -> Block:
    """A rectangle square to the room by its corners."""
    return Block((x0 + x1) / 2, (y0 + y1) / 2, (x1 - x0) / 2, (y1 - y0) / 2)


@dataclass(frozen=True)
class Plan:
    """What stands about, the bounds to search in, and the level of y below which all of the shape is out."""

    blocks: Sequence[Block]
    bounds: tuple[float, float, float, float]
    out_below: float


def gets_out(plan: Plan, shape: Block, cell_mm: float, step_deg: float) -> bool:
    """Whether the shape gets from where it is to below the level."""
    steps = 1 if shape.round_mm else round(180 / step_deg)
    headings = [shape.turn_deg + i * 180 / steps for i in range(steps)]
    xs, ys = (
        _axis(plan.bounds[0], plan.bounds[2], shape.x, cell_mm),
        _axis(plan.bounds[1], plan.bounds[3], shape.y, cell_mm),
    )
    free = np.stack([_free(plan.blocks, shape, heading, xs, ys) for heading in headings])
    start = (0, int(np.argmin(np.abs(ys - shape.y))), int(np.argmin(np.abs(xs - shape.x))))
    if not free[start]:
        return False
    goal = np.zeros_like(free)
    for i, heading in enumerate(headings):
        goal[i, ys + _extent(shape, heading, pi / 2) <= plan.out_below, :] = True
    return _flooded(free, goal, start)


def _axis(low: float, high: float, through: float, cell: float) -> Floats:
    """Grid lines, one of them through the start."""
    return through + cell * np.arange(np.ceil((low - through) / cell), np.floor((high - through) / cell) + 1)


def _extent(shape: Block, heading_deg: float, along: float) -> float:
    if shape.round_mm:
        return shape.round_mm / 2
    t = radians(heading_deg) - along
    return abs(shape.half_x * cos(t)) + abs(shape.half_y * sin(t))


def _free(blocks: Sequence[Block], shape: Block, heading: float, xs: Floats, ys: Floats) -> Bools:
    free = np.ones((len(ys), len(xs)), dtype=bool)
    for other in blocks:
        dx, dy = xs[None, :] - other.x, ys[:, None] - other.y
        if shape.round_mm:
            free &= ~_disc_meets(other, shape.round_mm / 2, dx, dy)
        elif other.round_mm:
            mine = Block(0, 0, shape.half_x, shape.half_y, heading)
            free &= ~_disc_meets(mine, other.round_mm / 2, -dx, -dy)
        else:
            free &= ~_rectangles_meet(shape, heading, other, dx, dy)
    return free


def _disc_meets(other: Block, radius: float, dx: Floats, dy: Floats) -> Bools:
    if other.round_mm:
        return np.asarray(np.hypot(dx, dy) < radius + other.round_mm / 2)
    c, s = cos(radians(other.turn_deg)), sin(radians(other.turn_deg))
    along, across = np.abs(dx * c + dy * s) - other.half_x, np.abs(dy * c - dx * s) - other.half_y
    return np.asarray(np.hypot(np.maximum(along, 0), np.maximum(across, 0)) < radius)


def _rectangles_meet(shape: Block, heading: float, other: Block, dx: Floats, dy: Floats) -> Bools:
    meets: Bools = np.ones(np.broadcast_shapes(dx.shape, dy.shape), dtype=bool)
    for axis in (heading, heading + 90, other.turn_deg, other.turn_deg + 90):
        a = radians(axis)
        apart = np.abs(dx * cos(a) + dy * sin(a))
        meets &= apart < _extent(shape, heading, a) + _extent(other, other.turn_deg, a)
    return meets


def _flooded(free: Bools, goal: Bools, start: tuple[int, int, int]) -> bool:
    reached = np.zeros_like(free)
    reached[start] = True
    count = 0
    while count != (count := int(reached.sum())):
        if bool((reached & goal).any()):
            return True
        for axis in (2, 1, 0):
            reached = _spread(reached, free, axis)
    return bool((reached & goal).any())


def _spread(reached: Bools, free: Bools, axis: int) -> Bools:
    """Everything free that is in one run with what is reached, along one axis; headings come round again."""
    twice = [np.concatenate([a, a], axis=0) if axis == 0 else a for a in (reached, free)]
    here, open_ = (np.moveaxis(a, axis, -1) for a in twice)
    runs = np.cumsum(~open_, axis=-1)
    runs += (np.arange(runs[..., 0].size) * (runs.shape[-1] + 1)).reshape(runs.shape[:-1])[..., None]
    hit = np.zeros(int(runs.max()) + 1, dtype=bool)
    hit[runs[here]] = True
    found = np.moveaxis(open_ & hit[runs], -1, axis)
    return np.asarray(found[: len(free)] | found[len(free) :] if axis == 0 else found)
