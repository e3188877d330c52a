"""The shortest square pipe from a relief valve to the inlet of its tundish.

It leaves the valve the way its outlet faces, clear of its own piece, goes along at the height of the valve or just
above the tundish, whichever is shorter, and comes down into the tundish.
"""

from dataclasses import dataclass
from functools import cached_property

from geometry.pipes.line import NoRoute, Route, line
from geometry.pipes.surroundings import KeptClear, clear_of, doorways, in_column, longest_edge, obstacles_between
from geometry.route_lines import Obstacle, Task
from geometry.routes import Frame, Stopped, find_route
from geometry.scene import Placed, Scene
from geometry.units import DEPTH_TOLERANCE_MM, Point, Point3


@dataclass(frozen=True)
class ValvePipe:
    """A pipe to be found: from a valve outlet that faces along a unit vector, down into the inlet of a tundish."""

    scene: Scene
    valve: Point3
    facing: Point3
    inlet: Point3
    size_mm: float
    store: Placed
    tundish: Placed

    def found(self) -> Route | NoRoute:
        """The shortest at any height it may go along at, then the one with fewest elbows; or what stops the first."""
        tried: list[Route | NoRoute] = []
        for level in self._levels:
            tried.append(self._at_level(level))
            if isinstance(tried[-1], Route) and self._is_best(tried[-1]):
                break
        found = [route for route in tried if isinstance(route, Route)]
        return min(found, key=lambda route: (round(route.length_mm, 2), route.bends)) if found else tried[0]

    def _is_best(self, route: Route) -> bool:
        """Whether no other height can give a shorter one, or one as long with fewer elbows."""
        return route.bends <= 2 and route.length_mm < self._square_mm + DEPTH_TOLERANCE_MM

    @property
    def _square_mm(self) -> float:
        """The least that any square pipe can be."""
        ahead, aside = self._frame.into((self.inlet[0], self.inlet[1]))
        return abs(ahead) + abs(aside) + abs(self.valve[2] - self.inlet[2])

    @property
    def _radius(self) -> float:
        return self.size_mm / 2

    @property
    def _levels(self) -> tuple[float, ...]:
        low, z, up = self.inlet[2] + self._radius, self.valve[2], self.facing[2]
        if up > 0:
            return (z + self._radius,)
        first = max(z - self._radius, low) if up < 0 else z
        return (first, low) if low < first else (first,)

    @cached_property
    def _ways(self) -> tuple[KeptClear, ...]:
        return doorways(self.scene)

    @cached_property
    def _frame(self) -> Frame:
        at, (x, y, z) = (self.valve[0], self.valve[1]), self.facing
        return Frame(at, longest_edge(self.scene.edges).along if z else (x, y))

    @cached_property
    def _clear(self) -> Point:
        """Where a pipe that leaves its valve level is clear of its own piece, or already over its tundish."""
        if self.facing[2]:
            return (self.valve[0], self.valve[1])
        clear = clear_of(self.store.solids(), self._frame, self.valve[2], self._radius)
        ahead, aside = self._frame.into((self.inlet[0], self.inlet[1]))
        over = abs(aside) < DEPTH_TOLERANCE_MM and 0 <= ahead < clear
        return self._frame.out((ahead if over else clear, 0.0))

    def _at_level(self, level: float) -> Route | NoRoute:
        own = {self.tundish.id, self.store.id} if self.facing[2] else {self.tundish.id}
        without = frozenset(own)
        corners = self._plan(level, without)
        if isinstance(corners, NoRoute):
            return corners
        for at, height in ((corners[0], self.valve[2]), (corners[-1], self.inlet[2])):
            stop = in_column(self.scene, self._ways, at, (level, height), self._radius, without)
            if stop:
                return NoRoute((stop,))
        x, y = self._clear
        return line([self.valve, (x, y, self.valve[2]), *((*corner, level) for corner in corners), self.inlet])

    def _plan(self, level: float, without: frozenset[str]) -> list[Point] | NoRoute:
        frame, r, into = self._frame, self._radius, (self.inlet[0], self.inlet[1])
        obstacles = obstacles_between(self.scene, self._ways, level - r, level + r, without)
        walls = tuple((frame.into(e.start), frame.into(e.at(e.length_mm))) for e in self.scene.edges)
        framed = tuple(Obstacle(o.ref, frame.plan(o.plan)) for o in obstacles)
        heading = None if self.facing[2] or level < self.valve[2] - DEPTH_TOLERANCE_MM else 0
        task = Task(frame.into(self._clear), frame.into(into), walls, framed, r, elbow_mm=0.0, heading=heading)
        found = find_route(task)
        if isinstance(found, Stopped):
            return NoRoute(found.refs)
        return [self._clear, *(frame.out(p) for p in found.points[1:-1]), into]
