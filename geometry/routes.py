"""The shortest square route of a pipe in plan: round kit, with few elbows, along walls.

The pipe is a line that keeps a reach (its own radius and what a clip needs) from every obstacle. It may run on the
lines through its ends and past the sides of the obstacles at that reach, where a shortest square route always lies.
Of two routes the one of less equivalent length is the better, its own and for each elbow the straight pipe that
resists as much; of those as long to the whole millimetre the one with fewer elbows; of those the one that runs less
where no wall is near to clip it to. All crossings of the lines are solved at once: the least cost to be at each of
them, going along or across, with none, one, two ... elbows, until one more elbow betters nothing. So the answer is
exact, and takes as long for "no way" as for an easy one; a search that goes crossing by crossing takes up to ten times
as long where many elbows are needed.

References
----------
D. T. Lee, C. D. Yang, C. K. Wong, Rectilinear paths among rectilinear obstacles (1996).
R. Bellman, On a routing problem (1958).
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from itertools import groupby, pairwise

import numpy as np

from geometry.route_lines import BLOCKED, ELBOW, MM, Costs, Crossing, Grid, Task, grid_of
from geometry.shapes import Footprint
from geometry.units import Point

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
    """A route in plan: corners from start to goal, length, elbows (the one into ``end`` counted).

    ``equivalent_mm`` is its length with its elbows, and ``afar_mm`` what of it runs where no wall is near, both in
    whole mm.
    """

    points: tuple[Point, ...]
    length_mm: float
    elbows: int
    equivalent_mm: int
    afar_mm: int

    @property
    def cost(self) -> tuple[int, int, int]:
        """What decides between two routes, in turn."""
        return self.equivalent_mm, self.elbows, self.afar_mm


@dataclass(frozen=True)
class Stopped:
    """No route."""

    task: Task

    @cached_property
    def refs(self) -> tuple[str, ...]:
        """What would open a route if it alone were away; where no single thing would, everything round the start."""
        grid, task = grid_of(self.task.bare), self.task
        met = _round_about(grid, task)
        opened = []
        beyond = _round_about(grid, replace(task, start=task.goal, goal=task.start, heading=None))
        for ref in sorted(met & beyond):
            if not ref.startswith("edge:"):
                route = find_route(replace(task, obstacles=tuple(o for o in task.obstacles if o.ref != ref)))
                if isinstance(route, PlanRoute):
                    opened.append((route.cost, ref))
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
    grid = grid_of(task.bare)
    solved = _Solved(grid, task)
    i, j = grid.index(task.goal)
    ends = [int(solved.cost(way)[i, j]) + solved.elbow * _turns(way, task.end) for way in range(4)]
    way = min(range(4), key=lambda w: (ends[w], w))
    if ends[way] >= BLOCKED:
        return Stopped(task)
    corners = [corner for corner, _ in groupby(solved.back((i, j), way))][::-1]
    points = [(grid.marks[0][a], grid.marks[1][b]) for a, b in corners]
    points[0], points[-1] = task.start, task.goal
    length = sum(abs(b[0] - a[0]) + abs(b[1] - a[1]) for a, b in pairwise(points))
    return PlanRoute(tuple(points), length, solved.elbows, ends[way] // MM, ends[way] % ELBOW)


def _round_about(grid: Grid, task: Task) -> set[str]:
    """The owners of everything that bounds the part of the room that a pipe can get to from the start of a task."""
    reached = _Solved(grid, task).least < BLOCKED
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
        self.elbow = round(task.elbow_mm) * MM + ELBOW
        self.elbows = 0
        self._so_far = tuple(_summed(grid.cost(axis, task.away)) for axis in (0, 1))
        shape = (len(grid.marks[1]), len(grid.marks[0]))
        self._ways: list[Costs] = [np.full(shape if axis % 2 == 0 else shape[::-1], BLOCKED) for axis in range(4)]
        least, axis = [self._ways[0], self._ways[1]], (task.heading or 0) % 2
        while True:
            self._ways[axis], self._ways[axis + 2] = up, down = self._swept(axis, least[1 - axis])
            better = np.minimum(np.minimum(up, down), BLOCKED)
            if np.array_equal(better, least[axis]):
                break
            least[axis], axis = better, 1 - axis

    def _swept(self, axis: int, turning: Costs) -> tuple[Costs, Costs]:
        """Costs of going up and down the lines of one axis, from the start or from an elbow out of the other axis."""
        so_far, (i, j) = self._so_far[axis], self._start
        base, heading = turning.T + self.elbow, self._task.heading
        bases = []
        for way in (axis, axis + 2):
            begun = base.copy() if heading == way else base
            if heading in (None, way):
                begun[(i, j) if axis else (j, i)] = 0
            bases.append(begun)
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
            way = min(sides, key=lambda to: (int(self.cost(to)[at]), to))
            self.elbows += 1

    def _last_turn(self, at: Crossing, way: int) -> tuple[Crossing, bool]:
        """Where the straight stretch that reaches a crossing one way begins, and whether that is the start."""
        (i, j), axis, (wx, wy) = at, way % 2, _WAYS[way]
        so_far = self._so_far[axis][i if axis else j]
        cost = self.cost(way)[at]
        sides = np.minimum(self.cost((way + 1) % 4), self.cost((way + 3) % 4))
        while True:
            spent = abs(so_far[j if axis else i] - so_far[at[1] if axis else at[0]])
            if (i, j) == self._start and self._task.heading in (None, way) and spent == cost:
                return (i, j), True
            if sides[i, j] + self.elbow + spent == cost:
                return (i, j), False
            i, j = i - wx, j - wy


def _summed(cost: Costs) -> Costs:
    """What it costs to be at every crossing of each line, from the first of that line on."""
    so_far: Costs = np.zeros((cost.shape[0], cost.shape[1] + 1), dtype=np.int64)
    np.cumsum(cost, axis=1, out=so_far[:, 1:])
    return so_far


def _turns(way: int, end: int | None) -> int:
    """Elbows needed to go on from one way in another: none, one, or two to turn right round."""
    if end is None or way == end:
        return 0
    return 2 if (way - end) % 4 == 2 else 1
