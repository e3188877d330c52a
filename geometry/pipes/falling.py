"""The way of a falling pipe through a room, from under a tundish to an outlet.

The pipe goes straight down, then along with its fall, then out. It runs as low as it can; where something stops it
there, it runs above that and goes down at the outlet. The band of heights that it needs is widened by its fall, and
the line that is found is measured again at its own heights.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from math import hypot, inf

from shapely.geometry import Point as Point2
from shapely.geometry import Polygon

from geometry.pipes.line import NoRoute, Route, line
from geometry.pipes.spaces import between_ends
from geometry.pipes.support import longest_unclipped
from geometry.pipes.surroundings import (
    KeptClear,
    doorways,
    free_below,
    hits,
    in_column,
    longest_edge,
    obstacles_between,
)
from geometry.room import Outlet
from geometry.route_lines import Obstacle, Task
from geometry.routes import Frame, Stopped, find_route
from geometry.scene import Scene
from geometry.shapes import Footprint, overlap_mm, separation
from geometry.units import DEPTH_TOLERANCE_MM, SAME_MM, Point, Point3

ON_WALL_MM = 50.0
"""An outlet inside the room and no further than this from a wall is in that wall."""

ALONG_WALLS = 4.0
"""How much longer a run counts away from walls where the first way found could not be clipped (common practice)."""

_LEVELS = 6
_WIDENINGS = 4


@dataclass(frozen=True)
class Falling:
    """What a falling pipe has to keep: size, straight drop, fall as 1 in so many, and what an elbow counts as (mm).

    ``away`` is how much longer a run counts away from walls, ``hangs_mm`` the most that it goes without a clip.
    """

    size_mm: float
    drop_mm: float
    fall: float
    elbow_mm: float
    away: float = 1.0
    hangs_mm: float = inf

    @property
    def radius_mm(self) -> float:
        """Half the outside diameter, which for copper pipe is its size."""
        return self.size_mm / 2


@dataclass(frozen=True)
class End:
    """Where a pipe ends in plan: axes, the point itself, and, where it goes out through a wall, which way and which."""

    frame: Frame
    foot: Point
    out: Point | None
    wall: str

    def before(self, distance_mm: float) -> Point:
        """The point inside the room from which the pipe goes straight out; the end itself where it meets no wall."""
        if self.out is None:
            return self.foot
        return self.foot[0] - self.out[0] * distance_mm, self.foot[1] - self.out[1] * distance_mm


def end_of(scene: Scene, outlet: Outlet) -> End:
    """Where an outlet is: in the nearest wall if it lies on one or beyond it, else at its own place in the room."""
    inside = Polygon(scene.room.outline_mm).covers(Point2(outlet.at_mm))
    for edge in sorted(scene.edges, key=lambda e: (round(abs(e.measure(outlet.at_mm)[1]), 3), e.index)):
        along, inward = edge.measure(outlet.at_mm)
        if inward <= ON_WALL_MM and (abs(inward) <= ON_WALL_MM or not inside) and 0 <= along <= edge.length_mm:
            foot = edge.at(along)
            return End(Frame(foot, edge.along), foot, (-edge.inward[0], -edge.inward[1]), edge.ref)
    return End(Frame(outlet.at_mm, longest_edge(scene.edges).along), outlet.at_mm, None, "")


@dataclass(frozen=True)
class Trip:
    """What a falling pipe goes from and to: where it begins, how far it is free straight below, where it ends.

    ``outlet`` is in a wall, in the floor, or in the room; ``pins`` are points that it passes on the way, in order, and
    ``without`` the pieces that are not in its way. ``end`` says where it ends in plan when the outlet does not.
    """

    start: Point3
    free_mm: float
    outlet: Outlet
    without: frozenset[str] = frozenset()
    pins: tuple[Point3, ...] = ()
    end: End | None = None


def falling_route(scene: Scene, trip: Trip, pipe: Falling) -> Route | NoRoute:
    """The pipe of a trip, through its pins, or why there is none.

    Where it would go farther than its clips allow with nothing to be clipped to, a way along walls is tried.
    """
    found = _through_pins(scene, trip, pipe)
    if isinstance(found, NoRoute) or pipe.away != 1.0:
        return found
    hangs = longest_unclipped(scene, found.points, pipe.radius_mm)
    if hangs > pipe.hangs_mm:
        along = _through_pins(scene, trip, replace(pipe, away=ALONG_WALLS))
        if isinstance(along, Route) and longest_unclipped(scene, along.points, pipe.radius_mm) <= pipe.hangs_mm:
            return along
    return found


def _through_pins(scene: Scene, trip: Trip, pipe: Falling) -> Route | NoRoute:
    points: list[Point3] = [trip.start]
    at, free, going = trip.start, trip.free_mm, pipe
    for pin in trip.pins:
        leg = _leg(scene, replace(trip, start=at, free_mm=free), going, point_end(scene, pin), pin[2])
        if isinstance(leg, NoRoute):
            return replace(leg, pin=pin) if leg.too_high_mm else leg
        points += (*leg.points[:-1], pin)
        at, free, going = pin, free_below(scene, pin, pipe.radius_mm, "").found_mm, replace(pipe, drop_mm=0.0)
    trip = replace(trip, start=at, free_mm=free)
    last = _leg(scene, trip, going, trip.end or end_of(scene, trip.outlet), trip.outlet.level_mm)
    return last if isinstance(last, NoRoute) else line([*points, *last.points])


def point_end(scene: Scene, pin: Point3) -> End:
    """A point in the room as an end, however near to a wall it is."""
    at = (pin[0], pin[1])
    return End(Frame(at, longest_edge(scene.edges).along), at, None, "")


def _leg(scene: Scene, trip: Trip, pipe: Falling, end: End, end_mm: float) -> Route | NoRoute:
    """One stretch between a start, pins and an outlet: kept out of working room where it can be, else through it."""
    top, lowest = trip.start[2] - pipe.drop_mm, trip.start[2] - trip.free_mm
    if end_mm > top + DEPTH_TOLERANCE_MM:
        return NoRoute((trip.outlet.id,), end_mm - top)
    ends = [(trip.start[0], trip.start[1]), end.before(pipe.radius_mm)]
    spaces = between_ends(scene, ends, pipe.size_mm + DEPTH_TOLERANCE_MM)
    top = max(top, lowest + pipe.radius_mm)
    search = _Search(scene, trip.start, trip.outlet.id, end, end_mm, pipe, top, trip.without, spaces)
    begin = end_mm if end_mm > lowest - DEPTH_TOLERANCE_MM else lowest + pipe.radius_mm
    found = search.lowest_from(begin)
    if spaces and (isinstance(found, NoRoute) or not search.falls_enough(found)):
        found = replace(search, spaces=()).lowest_from(begin)
    return found


@dataclass(frozen=True)
class _Search:
    """One pipe to one outlet, tried at one level after the other."""

    scene: Scene
    start: Point3
    ref: str
    end: End
    level: float
    pipe: Falling
    top: float
    without: frozenset[str]
    spaces: tuple[KeptClear, ...]

    @cached_property
    def ways(self) -> tuple[KeptClear, ...]:
        return (*doorways(self.scene), *self.spaces)

    def lowest_from(self, level: float) -> Route | NoRoute:
        """The route at this level, or above what stops it there, and so on up."""
        first = None
        for _ in range(_LEVELS):
            found = self.at_level(level)
            if isinstance(found, Route):
                return self._or_over(found, level)
            first = first or found
            above = [z for z in self.tops(found.stops) if level + DEPTH_TOLERANCE_MM < z <= self.top]
            if not above:
                break
            level = min(above)
        return first or NoRoute((self.ref,))

    def _or_over(self, found: Route, level: float) -> Route:
        """The same, or the way over low things that it goes round, down again at its end, where that is shorter."""
        if self._counts(found) <= self.square_mm + 3 * self.pipe.elbow_mm:
            return found
        over = self._over(found, self._task(self._band(level, self.square_mm)))
        way = self.at_level(over) if over is not None and over > level else found
        return way if isinstance(way, Route) and self._counts(way) < self._counts(found) else found

    def _counts(self, route: Route) -> float:
        """What the whole of a route counts as, its elbows with it."""
        return route.run_mm + route.bends * self.pipe.elbow_mm

    def _over(self, found: Route, task: Task | NoRoute) -> float | None:
        """The height over everything low that a way straight over it meets; None where that cannot be shorter."""
        highest = self.top - self.square_mm / self.pipe.fall - self.pipe.radius_mm
        low = {ref for ref, top in self._heights.items() if top <= highest}
        if isinstance(task, NoRoute) or not low:
            return None
        high = tuple(obstacle for obstacle in task.obstacles if obstacle.ref not in low)
        straight = find_route(replace(task, obstacles=high, elbow_mm=self.pipe.elbow_mm, away=self.pipe.away))
        if isinstance(straight, Stopped) or self._counts(found) <= straight.length_mm + 3 * self.pipe.elbow_mm:
            return None
        legs = [Footprint(leg, task.reach_mm) for leg in pairwise(straight.points)]
        met = {o.ref for o in task.obstacles if o.ref in low and any(overlap_mm(leg, o.plan) > 0 for leg in legs)}
        return max(self.tops(sorted(met)), default=None)

    @cached_property
    def _heights(self) -> dict[str, float]:
        """How high each thing that a pipe goes round reaches."""
        heights = {way.ref: way.to_mm for way in self.ways}
        for solid in self.scene.solids:
            heights[solid.owner] = max(solid.to_mm, heights.get(solid.owner, -inf))
        return heights

    def falls_enough(self, route: Route) -> bool:
        """Whether there is height for the fall of a route."""
        return route.run_mm / self.pipe.fall <= self.top - route.end_of_run_mm + SAME_MM

    @cached_property
    def square_mm(self) -> float:
        """The least that the run can be, square to the outlet's wall."""
        x, y = self.end.frame.into((self.start[0], self.start[1]))
        return abs(x) + abs(y)

    def at_level(self, end_mm: float) -> Route | NoRoute:
        """The route that comes to the outlet's place at this height and, where that is above the outlet, goes down."""
        first, run = self._tried(end_mm, self.square_mm)
        found = first
        for _ in range(_WIDENINGS):
            if run is None:
                break
            found, run = self._tried(end_mm, run)
        if isinstance(found, NoRoute):
            found, _ = self._tried(end_mm, 0.0)
        return first if isinstance(found, NoRoute) else found

    def _tried(self, end_mm: float, run_mm: float) -> tuple[Route | NoRoute, float | None]:
        """A route whose band has room for the fall of a run; with the run to try next where the band was too narrow."""
        r = self.pipe.radius_mm
        corners = self._plan(self._band(end_mm, run_mm))
        if isinstance(corners, NoRoute):
            return corners, None
        goes_down = end_mm > self.level + DEPTH_TOLERANCE_MM
        if goes_down:
            column = (self.level, end_mm)
            stop = in_column(self.scene, self.ways, corners[-1], column, r, self.without)
            if stop:
                return NoRoute((stop,)), None
        route = self._profile(corners, end_mm, goes_down)
        hit = hits(self.scene, self.ways, route.points, r, self.without)
        return (NoRoute(hit), route.run_mm) if hit else (route, None)

    def _band(self, end_mm: float, run_mm: float) -> tuple[float, float]:
        """The heights that a pipe takes up which falls along a run to a level."""
        fall = max(0.0, min(run_mm / self.pipe.fall, self.top - end_mm))
        return end_mm - self.pipe.radius_mm, end_mm + fall + self.pipe.radius_mm

    def _plan(self, band: tuple[float, float]) -> tuple[Point, ...] | NoRoute:
        """Corners in plan, from the start to where the pipe goes out or down."""
        task, frame = self._task(band), self.end.frame
        if isinstance(task, NoRoute):
            return task
        found = find_route(replace(task, elbow_mm=self.pipe.elbow_mm, away=self.pipe.away))
        if isinstance(found, Stopped):
            return NoRoute(found.refs)
        return ((self.start[0], self.start[1]), *(frame.out(p) for p in found.points[1:-1]), frame.out(task.goal))

    def _task(self, band: tuple[float, float]) -> Task | NoRoute:
        """What has to be joined in a band of heights, put together once for every way of counting."""
        key = (_Search, self.start, self.end, self.pipe.radius_mm, self.without, bool(self.spaces), band)
        if key not in self.scene.memo:
            self.scene.memo[key] = self._put_together(band)
        found: Task | NoRoute = self.scene.memo[key]
        return found

    def _put_together(self, band: tuple[float, float]) -> Task | NoRoute:
        obstacles = obstacles_between(self.scene, self.ways, *band, self.without)
        r, end, start = self.pipe.radius_mm, self.end, (self.start[0], self.start[1])
        clip = self.scene.pack.number("pipe-clip")
        for at, others in ((start, ""), (end.before(r + clip), end.wall)):
            gap, ref = _nearest(at, r + clip, [o for o in obstacles if o.ref != others])
            if gap < r - DEPTH_TOLERANCE_MM:
                return NoRoute((ref,))
            clip = max(0.0, min(clip, gap - r))
        frame, goal = end.frame, end.before(r + clip)
        walls = tuple((frame.into(e.start), frame.into(e.at(e.length_mm))) for e in self.scene.edges)
        framed = tuple(Obstacle(o.ref, frame.plan(o.plan)) for o in obstacles)
        out = frame.way(end.out) if end.out else None
        return Task(frame.into(start), frame.into(goal), walls, framed, r + clip, 0.0, end=out)

    def _profile(self, corners: Sequence[Point], end_mm: float, goes_down: bool) -> Route:
        """The line in height: straight down, along with its fall, and down and out at the end."""
        plan = corners if goes_down else (*corners, self.end.foot)
        lengths = [hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(plan)]
        run = sum(lengths)
        fall = max(0.0, min(run / self.pipe.fall, self.top - end_mm))
        points, z = [self.start], end_mm + fall
        points.append((*plan[0], z))
        for (x, y), length in zip(plan[1:], lengths, strict=True):
            z -= fall * length / run if run else 0.0
            points.append((x, y, z))
        points[-1] = (*plan[-1], end_mm)
        if goes_down:
            (x, y), (fx, fy) = plan[-1], self.end.foot
            level = min(end_mm, self.level + hypot(fx - x, fy - y) / self.pipe.fall)
            points += [(x, y, level), (fx, fy, self.level)]
        return line(points)

    def tops(self, refs: Sequence[str]) -> Iterator[float]:
        """The heights at which the pipe passes above what stopped it, with room for a clip where there is any."""
        highest = self.top - self.square_mm / self.pipe.fall
        tops = [solid.to_mm for solid in self.scene.solids if solid.owner in refs and solid.to_mm < inf]
        for top in (*tops, *(way.to_mm for way in self.ways if way.ref in refs)):
            touching = top + self.pipe.radius_mm
            yield max(touching, min(touching + self.scene.pack.number("pipe-clip"), highest))


def _nearest(at: Point, within_mm: float, obstacles: Sequence[Obstacle]) -> tuple[float, str]:
    """The gap from a point to the nearest obstacle, and whose it is; farther ones than asked are not measured."""
    best, whose = inf, ""
    for obstacle in obstacles:
        x0, y0, x1, y1 = obstacle.plan.bounds
        if x0 - within_mm < at[0] < x1 + within_mm and y0 - within_mm < at[1] < y1 + within_mm:
            gap = separation(Footprint((at,)), obstacle.plan).gap_mm
            if gap < best:
                best, whose = gap, obstacle.ref
    return best, whose
