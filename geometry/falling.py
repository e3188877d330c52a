"""The way of a discharge pipe through a room: from the valve to the tundish, and falling from there to an outlet.

Below the tundish a pipe goes straight down, then along with its fall, then out. It runs as low as it can; where
something stops it there, it runs above that and goes down at the outlet. The band of heights that it needs is widened
by its fall, and the line that is found is measured again at its own heights.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import cos, hypot, inf, radians

from geometry.pipe_room import PIPE_CLIP_MM, Doorway, doorways, hits, in_column, longest_edge, obstacles_between
from geometry.room import Outlet
from geometry.routes import AWAY_FROM_WALL, Frame, Obstacle, PlanRoute, Stopped, Task, chord, find_route
from geometry.scene import Placed, Scene
from geometry.shapes import Footprint, separation
from geometry.units import DEPTH_TOLERANCE_MM, Point, Point3

ON_WALL_MM = 50.0
"""An outlet no further than this from a wall line is in that wall."""

BEND_DEG = 10.0
"""A change of direction smaller than this is fall, not a bend."""

_LEVELS = 6
_REPEATS = 4


@dataclass(frozen=True)
class Route:
    """A pipe's middle line from its start to its end, in room coordinates, z never rising where it was found."""

    points: tuple[Point3, ...]

    @property
    def length_mm(self) -> float:
        """Length along the line."""
        return sum(hypot(b[0] - a[0], b[1] - a[1], b[2] - a[2]) for a, b in pairwise(self.points))

    @property
    def run_mm(self) -> float:
        """Length in plan of the parts that go along."""
        return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(self.points))

    @property
    def bends(self) -> int:
        """Changes of direction along the line.

        >>> Route(((0, 0, 900), (0, 0, 205), (1000, 0, 200), (1000, 500, 197.5))).bends
        2
        """
        ways = [_unit(a, b) for a, b in pairwise(self.points) if a != b]
        return sum(sum(u * v for u, v in zip(a, b, strict=True)) < cos(radians(BEND_DEG)) for a, b in pairwise(ways))


@dataclass(frozen=True)
class NoRoute:
    """Why there is no way: ids of what stops it, or by how much the outlet is too high (mm)."""

    stops: tuple[str, ...]
    too_high_mm: float = 0.0


@dataclass(frozen=True)
class Falling:
    """What a falling pipe has to keep: size, straight drop, fall as 1 in so many, and what an elbow counts as (mm)."""

    size_mm: float
    drop_mm: float
    fall: float
    elbow_mm: float
    away: float = AWAY_FROM_WALL

    @property
    def radius_mm(self) -> float:
        """Half the outside diameter of copper pipe, which is its size."""
        return self.size_mm / 2


@dataclass(frozen=True)
class _End:
    """Where a pipe leaves the room: the frame of its wall, the point on the wall, the way out, the wall's id."""

    frame: Frame
    foot: Point
    out: Point | None
    wall: str


def _unit(a: Point3, b: Point3) -> Point3:
    length = hypot(b[0] - a[0], b[1] - a[1], b[2] - a[2])
    return ((b[0] - a[0]) / length, (b[1] - a[1]) / length, (b[2] - a[2]) / length)


def falling_route(
    scene: Scene, start: Point3, outlet: Outlet, pipe: Falling, free_mm: float, without: frozenset[str]
) -> Route | NoRoute:
    """A pipe from under a tundish to an outlet, or why there is none.

    ``start`` is the tundish's own outlet, ``free_mm`` how far it is free below, ``without`` the pieces not in the way.
    """
    top = start[2] - pipe.drop_mm
    if outlet.level_mm > top + DEPTH_TOLERANCE_MM:
        return NoRoute((outlet.id,), outlet.level_mm - top)
    lowest = start[2] - free_mm + pipe.radius_mm
    search = _Search(scene, start, outlet, pipe, max(top, lowest), without)
    level = max(outlet.level_mm, lowest)
    first: NoRoute | None = None
    for _ in range(_LEVELS):
        found = search.at_level(level)
        if isinstance(found, Route):
            return found
        first = first or found
        above = [z for z in search.tops(found.stops) if level + DEPTH_TOLERANCE_MM < z <= search.top]
        if not above:
            break
        level = min(above)
    assert first is not None
    return first


@dataclass(frozen=True)
class _Search:
    """One pipe to one outlet, tried at one level after the other."""

    scene: Scene
    start: Point3
    outlet: Outlet
    pipe: Falling
    top: float
    without: frozenset[str]

    def at_level(self, end_mm: float) -> Route | NoRoute:
        """The route that comes to the outlet's wall at this height and, where that is above the outlet, goes down."""
        guess = self._square_mm
        failed: NoRoute | None = None
        for _ in range(_REPEATS):
            plan = self._plan(end_mm, guess)
            if isinstance(plan, NoRoute):
                if failed or guess == 0:
                    return failed or plan
                failed, guess = plan, 0.0
                continue
            route = self._profile(plan, end_mm)
            hit = hits(self.scene, self._ways, route.points, self.pipe.radius_mm, self.without, walls=False)
            if not hit:
                return route
            failed = failed or NoRoute(hit)
            guess = max(route.run_mm, guess + 1.0)
        return failed or NoRoute((self.outlet.id,))

    def tops(self, refs: Sequence[str]) -> Iterator[float]:
        """The heights at which the pipe would pass above what stopped it."""
        above = self.pipe.radius_mm + PIPE_CLIP_MM
        for solid in self.scene.solids:
            if solid.owner in refs and solid.to_mm < inf:
                yield solid.to_mm + above
        yield from (way.to_mm + above for way in self._ways if way.ref in refs)
