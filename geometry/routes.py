"""The shortest square route of a pipe in plan: along walls, round kit, with as few elbows as pay for themselves.

The pipe is a line that keeps a reach (its own radius and what a clip needs) from every obstacle. It may run on the
lines through its ends and past the sides of the obstacles at that reach, where a shortest square route always lies.
A step costs its length, more where no wall is near to clip it to; an elbow costs the straight pipe that resists as
much. All crossings of the lines are solved at once: the least cost to be at each of them, going along or across, with
none, one, two ... elbows, until one more elbow betters nothing. So the answer is exact, and takes as long for "no way"
as for an easy one; a search that goes crossing by crossing takes up to ten times as long where many elbows are needed.

References
----------
D. T. Lee, C. D. Yang, C. K. Wong, Rectilinear paths among rectilinear obstacles (1996).
R. Bellman, On a routing problem (1958).
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from itertools import groupby, pairwise
from math import inf

import numpy as np

from geometry.route_lines import BLOCKED_MM, Costs, Crossing, Grid, Task
from geometry.shapes import Footprint
from geometry.units import Point

_SAME_COST_MM = 1e-4
_WAYS: tuple[tuple[int, int], ...] = ((1, 0), (0, 1), (-1, 0), (0, -1))


@dataclass(frozen=True)
class Frame:
    """A square set of axes: origin, and the unit vector along the first axis, both in room coordinates."""

    origin: Point
    along: Point

    def into(self, p: Point) -> Point:
        """A room point in this frame."""
        (ux, uy), dx, dy = self.along, p[0] - self.origin[0], p[1] - self.origin[1]
        return dx * ux + dy * uy, dy * ux - dx * uy

    def out(self, p: Point) -> Point:
        """A point of this frame in room coordinates.

        >>> frame = Frame((100, 0), (0, 1))
        >>> frame.into((100, 50)), frame.out((50, 0))
        ((50, 0), (100, 50))
        """
        (ux, uy), (x, y) = self.along, p
        return self.origin[0] + x * ux - y * uy, self.origin[1] + x * uy + y * ux

    def way(self, heading: Point) -> int | None:
        """Which of the four ways a room direction is: 0 +x, 1 +y, 2 -x, 3 -y; None where it is none of them."""
        (ux, uy), (x, y) = self.along, heading
        a, b = x * ux + y * uy, y * ux - x * uy
        return next((d for d, (i, j) in enumerate(_WAYS) if a * i + b * j > 1 - 1e-9), None)

    def plan(self, shape: Footprint) -> Footprint:
        """A room shape in this frame."""
        (ux, uy), (x0, y0) = self.along, self.origin
        shifted = [(x - x0, y - y0) for x, y in shape.points]
        return Footprint(tuple([(x * ux + y * uy, y * ux - x * uy) for x, y in shifted]), shape.radius_mm)


@dataclass(frozen=True)
class PlanRoute:
    """A route in plan: corners from start to goal, length, elbows (the one into ``end`` counted), cost in mm."""

    points: tuple[Point, ...]
    length_mm: float
    elbows: int
    cost_mm: float


@dataclass(frozen=True)
class Stopped:
    """No route."""

    task: Task

    @cached_property
    def refs(self) -> tuple[str, ...]:
        """What would open a route if it alone were away; where no single thing would, everything round the start."""
        grid, task = Grid(self.task), self.task
        met = _round_about(grid, task)
        opened = []
        beyond = _round_about(grid, replace(task, start=task.goal, goal=task.start, heading=None))
        for ref in sorted(met & beyond):
            if not ref.startswith("edge:"):
                route = find_route(replace(task, obstacles=tuple(o for o in task.obstacles if o.ref != ref)))
                if isinstance(route, PlanRoute):
                    opened.append((route.cost_mm, ref))
        return (min(opened)[1],) if opened else tuple(sorted(met))


@lru_cache(maxsize=128)
def find_route(task: Task) -> PlanRoute | Stopped:
    """The cheapest route, or what stops it.

    >>> from geometry.route_lines import Obstacle
    >>> from geometry.shapes import box
    >>> corners = [(0, 0), (2000, 0), (2000, 1000), (0, 1000)]
    >>> walls = tuple((corners[i - 1], corners[i]) for i in range(4))
    >>> task = Task((100, 100), (1900, 100), walls, (Obstacle("p1", box(800, 0, 1200, 300)),), 50, 800)
    >>> find_route(task).points
    ((100, 100), (100, 350.0), (1900, 350.0), (1900, 100))
    >>> find_route(replace(task, obstacles=(Obstacle("p1", box(800, 0, 1200, 1000)),))).refs
    ('p1',)
    """
    grid = Grid(task)
    solved = _Solved(grid, task)
    i, j = grid.index(task.goal)
    ends = [solved.cost(way)[i, j] + task.elbow_mm * _turns(way, task.end) for way in range(4)]
    way = min(range(4), key=lambda w: (round(float(ends[w]), 4), w))
    if ends[way] > BLOCKED_MM / 2:
        return Stopped(task)
    corners = [corner for corner, _ in groupby(solved.back((i, j), way))][::-1]
    points = [(grid.marks[0][a], grid.marks[1][b]) for a, b in corners]
    points[0], points[-1] = task.start, task.goal
    length = sum(abs(b[0] - a[0]) + abs(b[1] - a[1]) for a, b in pairwise(points))
    return PlanRoute(tuple(points), length, solved.elbows, float(ends[way]))


def _round_about(grid: Grid, task: Task) -> set[str]:
    """The owners of everything that bounds the part of the room that a pipe can get to from the start of a task."""
    reached = _Solved(grid, task).least < BLOCKED_MM / 2
    met: set[int] = set()
    for axis in (0, 1):
        seen = reached if axis else reached.T
        for numbers, rows, begins, ends in grid.blocks(axis):
            for k, row, begin, end in zip(numbers, rows, begins, ends, strict=True):
                if k not in met and seen[row, begin : end + 1].any():
                    met.add(k)
    return {task.obstacles[k].ref for k in met}


class _Solved:
    """The least cost to be at every crossing, going each of the four ways."""

    def __init__(self, grid: Grid, task: Task) -> None:
        self._task, self._start = task, grid.index(task.start)
        self.elbows = 0
        self._so_far = tuple(np.pad(np.cumsum(cost, axis=1), ((0, 0), (1, 0))) for cost in grid.cost)
        shape = (len(grid.marks[1]), len(grid.marks[0]))
        across: Costs = np.full(shape[::-1], inf)
        while True:
            along = self._swept(0, across)
            again = self._swept(1, np.minimum(*along))
            better = np.minimum(*again)
            self._ways = (along[0], again[0], along[1], again[1])
            if np.array_equal(better, across):
                break
            across = better

    def _swept(self, axis: int, turning: Costs) -> tuple[Costs, Costs]:
        """Costs of going up and down the lines of one axis, from the start or from an elbow out of the other axis."""
        so_far, (i, j) = self._so_far[axis], self._start
        turned = turning.T + self._task.elbow_mm
        bases = []
        for way in (axis, axis + 2):
            base = turned.copy()
            if self._task.heading in (None, way):
                base[(i, j) if axis else (j, i)] = 0.0
            bases.append(base)
        up = np.minimum.accumulate(bases[0] - so_far, axis=1) + so_far
        down = np.minimum.accumulate((bases[1] + so_far)[:, ::-1], axis=1)[:, ::-1] - so_far
        return up, down

    def cost(self, way: int) -> Costs:
        """The least cost to be at crossing [i, j] going one way."""
        return self._ways[way] if way % 2 else self._ways[way].T

    @property
    def least(self) -> Costs:
        """The least cost to be at crossing [i, j] at all."""
        least: Costs = np.minimum.reduce([self.cost(way) for way in range(4)])
        return least

    def back(self, at: Crossing, way: int) -> Iterator[Crossing]:
        """The corners of the cheapest route to a crossing, from it to the start, counting its elbows."""
        yield at
        self.elbows = _turns(way, self._task.end)
        while True:
            at, begins = self._last_turn(at, way)
            yield at
            if begins:
                return
            sides = [to for to in range(4) if (to - way) % 2]
            way = min(sides, key=lambda to: (round(float(self.cost(to)[at]), 4), to))
            self.elbows += 1

    def _last_turn(self, at: Crossing, way: int) -> tuple[Crossing, bool]:
        """Where the straight stretch that reaches a crossing one way begins, and whether that is the start."""
        (i, j), axis, (wx, wy) = at, way % 2, _WAYS[way]
        so_far = self._so_far[axis][i if axis else j]
        cost = self.cost(way)[at]
        sides = np.minimum(self.cost((way + 1) % 4), self.cost((way + 3) % 4))
        while True:
            spent = abs(so_far[j if axis else i] - so_far[at[1] if axis else at[0]])
            if (i, j) == self._start and self._task.heading in (None, way) and spent <= cost + _SAME_COST_MM:
                return (i, j), True
            if sides[i, j] + self._task.elbow_mm + spent <= cost + _SAME_COST_MM:
                return (i, j), False
            i, j = i - wx, j - wy


def _turns(way: int, end: int | None) -> int:
    """Elbows needed to go on from one way in another: none, one, or two to turn right round."""
    if end is None or way == end:
        return 0
    return 2 if (way - end) % 4 == 2 else 1
