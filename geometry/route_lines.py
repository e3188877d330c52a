"""The lines that a pipe may run on in plan, and what every step along them costs."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from math import inf

import numpy as np
from numpy.typing import NDArray

from geometry.shapes import Footprint
from geometry.units import DEPTH_TOLERANCE_MM, Point

NEAR_WALL_MM = 90.0
"""A pipe no further from a wall than this can be clipped to it (common practice, no source)."""

ELBOW = 1 << 20
MM = 1 << 28
"""What an elbow and a whole millimetre of equivalent length count as in a cost, beside a millimetre away from walls.

So costs in one whole number compare as the three do in turn, up to 255 elbows and a kilometre away from walls.
"""
BLOCKED = 1 << 49
"""What a blocked step counts as: two kilometres, more than any route."""

_SAME_LINE_MM = 0.01
Crossing = tuple[int, int]
Costs = NDArray[np.int64]
Lengths = NDArray[np.float64]
_Rows = NDArray[np.intp]


@dataclass(frozen=True)
class Obstacle:
    """Something that a pipe goes round: whose it is, and its plan."""

    ref: str
    plan: Footprint


@dataclass(frozen=True)
class Task:
    """What has to be joined, in one frame: lengths in mm, ways as `Frame.way` gives them.

    ``heading`` is the way the pipe already goes at the start, ``end`` the way it has to go on from the goal; None where
    every way is as good. ``walls`` are the wall lines of the room, ``reach_mm`` what the pipe keeps from everything,
    ``away`` how many times as long it counts where no wall is near.
    """

    start: Point
    goal: Point
    walls: tuple[tuple[Point, Point], ...]
    obstacles: tuple[Obstacle, ...]
    reach_mm: float
    elbow_mm: float
    away: float = 1.0
    heading: int | None = None
    end: int | None = None

    @property
    def bare(self) -> "Task":
        """The same without what steps and elbows count and which ways the pipe goes at its ends."""
        return replace(self, elbow_mm=0.0, away=1.0, heading=None, end=None)


def chord(plan: Footprint, reach_mm: float, level: float) -> tuple[float, float] | None:
    """The part of the line y = level that lies inside a shape grown by a reach: (from x, to x), or None.

    >>> from geometry.shapes import box, disc
    >>> chord(box(0, 0, 100, 100), 50, 50), chord(box(0, 0, 100, 100), 50, 150)
    ((-50.0, 150.0), None)
    >>> chord(disc((0, 0), 30), 20, 30)
    (-40.0, 40.0)
    """
    low, high = (float(ends[0]) for ends in chords(plan, reach_mm, np.array([level])))
    return (low, high) if low < high else None


def chords(plan: Footprint, reach_mm: float, levels: Lengths) -> tuple[Lengths, Lengths]:
    """The same for many levels: where each line comes in and goes out; the first is not the less where it misses."""
    points, r = np.array(plan.points), plan.radius_mm + reach_mm
    (x, y), before = points.T[:, :, None], np.roll(points, 1, axis=0)
    within = r * r - (levels - y) ** 2
    half = np.sqrt(np.maximum(within, 0.0))
    dx, dy = (points - before).T[:, :, None]
    size = np.hypot(dx, dy)
    side = size[:, 0] > 0
    dx, dy, size, (x0, y0) = dx[side], dy[side], size[side], before[side].T[:, :, None]
    begins, ends = y0 - dx / size * r - levels, y0 + dy - dx / size * r - levels
    crossed = begins * ends < 0
    at = x0 + dy / size * r - np.divide(begins, dy, out=np.zeros_like(begins), where=crossed) * dx
    low = np.concatenate([np.where(within > 0, x - half, inf), np.where(crossed, at, inf)]).min(axis=0)
    high = np.concatenate([np.where(within > 0, x + half, -inf), np.where(crossed, at, -inf)]).max(axis=0)
    return low, high


class Grid:
    """The lines of one task, and what every step between two crossings costs.

    A step is as long as its ends are apart, each to the whole millimetre.
    """

    def __init__(self, task: Task) -> None:
        self.task = task
        self.reach = task.reach_mm - DEPTH_TOLERANCE_MM
        plans = [obstacle.plan for obstacle in task.obstacles]
        self._cores = np.array([plan.core for plan in plans]).reshape(-1, 4)
        self._radii = np.array([plan.radius_mm for plan in plans])
        self._squares = np.array([plan.is_square for plan in plans], dtype=np.bool_)
        self.marks = (self._lines(0), self._lines(1))
        self._stopped = (self._blocked(0), self._blocked(1))

    def cost(self, axis: int, away: float) -> Costs:
        """Steps along the lines of one axis: [j, i] from crossing i to i + 1 of line j, or [i, j] across."""
        marks, levels = self.marks[axis], np.array(self.marks[1 - axis])
        length = np.diff(np.rint(marks).astype(np.int64))
        afar = np.rint(length * away).astype(np.int64) * MM + length
        cost: Costs = np.repeat(afar[None, :], len(levels), axis=0)
        for a, b in self.task.walls:
            if abs(a[1 - axis] - b[1 - axis]) <= _SAME_LINE_MM:
                first = bisect_left(marks, min(a[axis], b[axis]) - _SAME_LINE_MM)
                last = bisect_right(marks, max(a[axis], b[axis]) + _SAME_LINE_MM) - 1
                near = np.abs(levels - a[1 - axis]) <= NEAR_WALL_MM
                cost[near, first:last] = length[first:last] * MM
        cost[self._stopped[axis]] = BLOCKED
        return cost

    def _lines(self, axis: int) -> list[float]:
        """Where the pipe may run across one axis: through its ends, and past every side at its reach."""
        task, r = self.task, self.task.reach_mm
        corners = [p[axis] for wall in task.walls for p in wall]
        begins, ends = self._cores[:, axis] - self._radii - r, self._cores[:, axis + 2] + self._radii + r
        sides = np.unique(np.concatenate([np.array(corners) - r, np.array(corners) + r, begins, ends])).tolist()
        low, high = min(corners), max(corners)
        a, b = task.start[axis], task.goal[axis]
        found = [a] if abs(b - a) <= _SAME_LINE_MM else [a, b]
        last = -inf
        for at in sides:
            if low < at < high and at - last > _SAME_LINE_MM and abs(at - a) > _SAME_LINE_MM < abs(at - b):
                found.append(at)
                last = at
        return sorted(found)

    def _blocked(self, axis: int) -> NDArray[np.bool_]:
        """The steps on which a pipe would come too near to any obstacle."""
        edges = np.zeros((len(self.marks[1 - axis]), len(self.marks[axis]) + 1), dtype=np.int32)
        for _, rows, begins, ends in self.blocks(axis):
            np.add.at(edges, (rows, begins), 1)
            np.add.at(edges, (rows, ends), -1)
        return np.cumsum(edges, axis=1)[:, : len(self.marks[axis]) - 1] > 0

    def blocks(self, axis: int) -> Iterator[tuple[list[int], _Rows, _Rows, _Rows]]:
        """What is blocked along one axis: obstacles by number, lines, and the first step and the one after the last."""
        yield self._square(axis, np.flatnonzero(self._squares))
        for k in np.flatnonzero(~self._squares).tolist():
            yield self._slanting(axis, k, self.task.obstacles[k].plan)

    def _square(self, axis: int, numbers: _Rows) -> tuple[list[int], _Rows, _Rows, _Rows]:
        """All discs and all boxes square to the lines at once: each a core grown by a radius."""
        cores = self._cores[numbers]
        x0, y0, x1, y1 = (cores[:, k, None] for k in ((1, 0, 3, 2) if axis else (0, 1, 2, 3)))
        r = (self._radii[numbers] + self.reach)[:, None]
        levels = np.array(self.marks[1 - axis])[None, :]
        aside = np.maximum(np.maximum(y0 - levels, levels - y1), 0.0)
        which, rows = np.nonzero(aside < r)
        half = np.sqrt(r[which, 0] ** 2 - aside[which, rows] ** 2)
        begins, ends = self._steps(axis, x0[which, 0] - half, x1[which, 0] + half)
        return numbers[which].tolist(), rows, begins, ends

    def _slanting(self, axis: int, k: int, plan: Footprint) -> tuple[list[int], _Rows, _Rows, _Rows]:
        levels = self.marks[1 - axis]
        first = bisect_right(levels, plan.bounds[1 - axis] - self.reach)
        last = bisect_left(levels, plan.bounds[3 - axis] + self.reach)
        if axis:
            plan = Footprint(tuple((y, x) for x, y in reversed(plan.points)), plan.radius_mm)
        begins, ends = chords(plan, self.reach, np.array(levels[first:last]))
        met = np.flatnonzero(begins < ends)
        return [k] * len(met), first + met, *self._steps(axis, begins[met], ends[met])

    def _steps(self, axis: int, low: Lengths, high: Lengths) -> tuple[_Rows, _Rows]:
        marks = np.array(self.marks[axis])
        begins = np.maximum(np.searchsorted(marks, low + _SAME_LINE_MM, side="right") - 1, 0)
        return begins, np.maximum(np.searchsorted(marks, high - _SAME_LINE_MM), begins)

    def index(self, p: Point) -> Crossing:
        """The crossing at a point that has lines of its own."""
        x, y = (bisect_left(self.marks[axis], p[axis] - _SAME_LINE_MM) for axis in (0, 1))
        return x, y


@lru_cache(maxsize=16)
def grid_of(task: Task) -> Grid:
    """The lines of a task, measured once for all whose `Task.bare` is the same."""
    return Grid(task)
