"""The shortest square route of a pipe in plan: along walls, round kit, with as few elbows as pay for themselves.

The pipe is a line that keeps a reach (its own radius and what a clip needs) from every obstacle. It may run on the
lines through the ends and through the sides of the obstacles at that reach, where a shortest square route always
lies. A state of the search is a crossing and the way the pipe is heading; a step costs its length, more where no wall
is near to clip it to; an elbow costs the straight pipe that resists as much.

References
----------
P. E. Hart, N. J. Nilsson, B. Raphael, A formal basis for the heuristic determination of minimum cost paths (1968).
C. D. Yang, D. T. Lee, C. K. Wong, Rectilinear path problems among rectilinear obstacles revisited (1995).
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from heapq import heappop, heappush
from itertools import pairwise
from math import inf, sqrt

from geometry.shapes import Footprint
from geometry.units import DEPTH_TOLERANCE_MM, Point

NEAR_WALL_MM = 100.0
"""A pipe no further from a wall than this can be clipped to it (common practice, no source)."""

AWAY_FROM_WALL = 1.5
"""How much longer a run counts where no wall is near (common practice, no source)."""

_SAME_LINE_MM = 0.01
_WAYS: tuple[tuple[int, int], ...] = ((1, 0), (0, 1), (-1, 0), (0, -1))
_State = tuple[int, int, int]


@dataclass(frozen=True)
class Obstacle:
    """Something that a pipe goes round: whose it is, and its plan."""

    ref: str
    plan: Footprint


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
        return Footprint(tuple(self.into(p) for p in shape.points), shape.radius_mm)


@dataclass(frozen=True)
class Task:
    """What has to be joined, in one frame: lengths in mm, ways as `Frame.way` gives them.

    ``heading`` is the way the pipe already goes at the start, ``end`` the way it has to go on from the goal; None where
    every way is as good. ``walls`` are the wall lines of the room, ``reach_mm`` what the pipe keeps from everything.
    """

    start: Point
    goal: Point
    walls: tuple[tuple[Point, Point], ...]
    obstacles: tuple[Obstacle, ...]
    reach_mm: float
    elbow_mm: float
    away: float = AWAY_FROM_WALL
    heading: int | None = None
    end: int | None = None


@dataclass(frozen=True)
class PlanRoute:
    """A route in plan: corners from start to goal, length, elbows (the one into ``end`` counted), cost in mm."""

    points: tuple[Point, ...]
    length_mm: float
    elbows: int
    cost_mm: float


@dataclass(frozen=True)
class Stopped:
    """No route: what would open one if it were away, or, where no single thing would, everything that was met."""

    refs: tuple[str, ...]


def find_route(task: Task) -> PlanRoute | Stopped:
    """The cheapest route, or what stops it.

    >>> from geometry.shapes import box
    >>> corners = [(0, 0), (2000, 0), (2000, 1000), (0, 1000)]
    >>> walls = tuple((corners[i - 1], corners[i]) for i in range(4))
    >>> task = Task((100, 100), (1900, 100), walls, (Obstacle("p1", box(800, 0, 1200, 300)),), 50, 800)
    >>> find_route(task).points
    ((100, 100), (100, 350.0), (1900, 350.0), (1900, 100))
    >>> find_route(replace(task, obstacles=(Obstacle("p1", box(800, 0, 1200, 1000)),)))
    Stopped(refs=('p1',))
    """
    route, met = _search(task)
    return route or Stopped(_what_stops(task, met))


def _what_stops(task: Task, met: set[str]) -> tuple[str, ...]:
    opened = []
    for ref in sorted(met):
        if not ref.startswith("edge:"):
            without = replace(task, obstacles=tuple(o for o in task.obstacles if o.ref != ref))
            route, _ = _search(without)
            if route:
                opened.append((route.cost_mm, ref))
    return (min(opened)[1],) if opened else tuple(sorted(met))


def chord(plan: Footprint, reach_mm: float, level: float) -> tuple[float, float] | None:
    """The part of the line y = level that lies inside a shape grown by a reach: (from x, to x), or None.

    >>> from geometry.shapes import box, disc
    >>> chord(box(0, 0, 100, 100), 50, 50), chord(box(0, 0, 100, 100), 50, 150)
    ((-50.0, 150.0), None)
    >>> chord(disc((0, 0), 30), 20, 30)
    (-40.0, 40.0)
    """
    low, high, r = inf, -inf, plan.radius_mm + reach_mm
    points = plan.points
    for i, (x, y) in enumerate(points):
        if abs(level - y) < r:
            half = sqrt(r * r - (level - y) ** 2)
            low, high = min(low, x - half), max(high, x + half)
        x0, y0 = points[i - 1]
        if x0 == x and y0 == y:
            continue
        dx, dy = x - x0, y - y0
        size = sqrt(dx * dx + dy * dy)
        ox, oy = dy / size * r, -dx / size * r
        if (y0 + oy - level) * (y + oy - level) < 0:
            at = x0 + ox + (level - y0 - oy) / dy * dx
            low, high = min(low, at), max(high, at)
    return (low, high) if low < high else None


class _Grid:
    """The lines of one task, each worked out when the search first comes to it."""

    def __init__(self, task: Task) -> None:
        self.task = task
        self.reach = task.reach_mm - DEPTH_TOLERANCE_MM
        self.marks = (self._lines(0), self._lines(1))
        self._rows: dict[tuple[int, int], tuple[list[float], list[int]]] = {}

    def _lines(self, axis: int) -> list[float]:
        """Where the pipe may run across one axis: through its ends, and past every side at its reach."""
        task, r = self.task, self.task.reach_mm
        corners = [p[axis] for wall in task.walls for p in wall]
        sides = [c + k for c in corners for k in (-r, r)]
        for o in task.obstacles:
            sides += [o.plan.bounds[axis] - r, o.plan.bounds[axis + 2] + r]
        low, high = min(corners), max(corners)
        found = [task.start[axis]]
        for at in (task.goal[axis], *sorted(c for c in sides if low < c < high)):
            if all(abs(at - known) > _SAME_LINE_MM for known in (found[-1], *found[:2])):
                found.append(at)
        return sorted(found)

    @cached_property
    def shapes(self) -> tuple[list[Footprint], list[Footprint]]:
        """Every obstacle as seen along the first axis and, mirrored in the diagonal, along the second."""
        plain = [o.plan for o in self.task.obstacles]
        mirrored = [Footprint(tuple((y, x) for x, y in reversed(p.points)), p.radius_mm) for p in plain]
        return plain, mirrored

    @cached_property
    def clip_lines(self) -> tuple[list[tuple[float, float, float]], list[tuple[float, float, float]]]:
        """For each axis, the walls that run along it: (where across, from, to)."""
        found: tuple[list[tuple[float, float, float]], list[tuple[float, float, float]]] = ([], [])
        for a, b in self.task.walls:
            for axis in (0, 1):
                if abs(a[1 - axis] - b[1 - axis]) <= _SAME_LINE_MM:
                    found[axis].append((a[1 - axis], min(a[axis], b[axis]), max(a[axis], b[axis])))
        return found

    def row(self, axis: int, index: int) -> tuple[list[float], list[int]]:
        """Along one line: the cost of each step to the next crossing (inf: blocked), and what blocks it (-1: none)."""
        key = (axis, index)
        if key not in self._rows:
            self._rows[key] = self._measure(axis, self.marks[1 - axis][index])
        return self._rows[key]

    def _measure(self, axis: int, level: float) -> tuple[list[float], list[int]]:
        marks, away = self.marks[axis], self.task.away
        near = [(a, b) for at, a, b in self.clip_lines[axis] if abs(level - at) <= NEAR_WALL_MM]
        cost = []
        for a, b in pairwise(marks):
            middle = (a + b) / 2
            cost.append((b - a) * (1.0 if any(p <= middle <= q for p, q in near) else away))
        blocked = [-1] * len(cost)
        for k, plan in enumerate(self.shapes[axis]):
            bounds = self.task.obstacles[k].plan.bounds
            if not bounds[1 - axis] - self.reach < level < bounds[3 - axis] + self.reach:
                continue
            span = chord(plan, self.reach, level)
            if span:
                first = max(0, bisect_right(marks, span[0] + _SAME_LINE_MM) - 1)
                for i in range(first, min(len(cost), bisect_left(marks, span[1] - _SAME_LINE_MM))):
                    cost[i], blocked[i] = inf, k
        return cost, blocked

    def index(self, p: Point) -> tuple[int, int]:
        """The crossing at a point that has lines of its own."""
        x, y = self.marks
        return min(range(len(x)), key=lambda i: abs(x[i] - p[0])), min(range(len(y)), key=lambda j: abs(y[j] - p[1]))

    def steps(self, state: _State, met: set[int]) -> Iterator[tuple[_State, float]]:
        """Where the pipe may go on to, and at what cost. What blocks a way is added to ``met``."""
        i, j, way = state
        for to, (wx, wy) in enumerate(_WAYS):
            if (to - way) % 4 == 2:
                continue
            axis = to % 2
            cost, blocked = self.row(axis, i if axis else j)
            step = (j if axis else i) - to // 2
            if not 0 <= step < len(cost):
                continue
            if cost[step] == inf:
                met.add(blocked[step])
            else:
                yield (i + wx, j + wy, to), cost[step] + (self.task.elbow_mm if to != way else 0.0)


def _turns(way: int, end: int | None) -> int:
    """Elbows needed to go on from one way in another: none, one, or two to turn right round."""
    if end is None or way == end:
        return 0
    return 2 if (way - end) % 4 == 2 else 1


def _search(task: Task) -> tuple[PlanRoute | None, set[str]]:
    """A* over (crossing, way): the cheapest route, or None with the owners of everything that blocked a step."""
    grid = _Grid(task)
    start, goal = grid.index(task.start), grid.index(task.goal)
    ways = range(4) if task.heading is None else (task.heading,)
    best: dict[_State, float] = {(*start, way): 0.0 for way in ways}
    before: dict[_State, _State] = {}
    heap = sorted((_ahead(grid, goal, state), 0.0, state) for state in best)
    met: set[int] = set()
    while heap:
        _, spent, state = heappop(heap)
        if -spent > best[state]:
            continue
        if state[:2] == goal:
            return _route(grid, state, before, best[state]), set()
        for reached, step in grid.steps(state, met):
            total = best[state] + step
            if total < best.get(reached, inf):
                best[reached], before[reached] = total, state
                heappush(heap, (total + _ahead(grid, goal, reached), -total, reached))
    return None, {task.obstacles[k].ref for k in met}


def _ahead(grid: _Grid, goal: tuple[int, int], state: _State) -> float:
    """No more than what is still to pay: the square distance beside walls, and the elbows that cannot be spared."""
    (i, j, way), (xs, ys), task = state, grid.marks, grid.task
    dx, dy = goal[0] - i, goal[1] - j
    if not dx and not dy:
        return task.elbow_mm * _turns(way, task.end)
    wx, wy = _WAYS[way]
    straight = not (dx and dy) and dx * wx + dy * wy > 0 and task.end in (None, way)
    far = abs(xs[goal[0]] - xs[i]) + abs(ys[goal[1]] - ys[j])
    return far if straight else far + task.elbow_mm


def _route(grid: _Grid, state: _State, before: dict[_State, _State], spent_mm: float) -> PlanRoute:
    states = [state]
    while states[-1] in before:
        states.append(before[states[-1]])
    states.reverse()
    (xs, ys), task = grid.marks, grid.task
    points = [(xs[i], ys[j]) for i, j, _ in states]
    points[0], points[-1] = task.start, task.goal
    ways = [way for _, _, way in states[1:]]
    gone = [states[0][2], *ways] if task.heading is not None or not ways else ways
    elbows = sum(a != b for a, b in pairwise(gone)) + _turns(state[2], task.end)
    length = sum(abs(b[0] - a[0]) + abs(b[1] - a[1]) for a, b in pairwise(points))
    return PlanRoute(_corners(points, ways), length, elbows, spent_mm + task.elbow_mm * _turns(state[2], task.end))


def _corners(points: Sequence[Point], ways: Sequence[int]) -> tuple[Point, ...]:
    """The points where the way changes, with both ends."""
    turns = [points[k] for k in range(1, len(ways)) if ways[k] != ways[k - 1]]
    return (points[0], *turns, points[-1]) if ways else (points[0],)
