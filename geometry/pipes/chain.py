"""The discharge of an unvented store, measured: relief valve, tundish, and the pipe from there to an outlet.

Nothing is judged here. The pipe is the one drawn in the room file, or the best that can be found to an outlet that
takes hot discharge. Its length is everything from the tundish to its end: straight drop, run and the part outside,
which begins at the inside face of the wall. Every elbow counts, those outside too.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import dist, inf
from typing import Any

from geometry.clearing import Met
from geometry.kit import Medium, Port
from geometry.pipes.fall import Fall, fall_counted, fall_of
from geometry.pipes.falling import Falling, Trip, end_of, falling_route
from geometry.pipes.line import NoRoute, Route, line
from geometry.pipes.run import Run
from geometry.pipes.spaces import crossed
from geometry.pipes.support import HANGS, hangs_mm, longest_unclipped
from geometry.pipes.surroundings import boxing_at, doorways, free_below, hits
from geometry.pipes.valve import ValvePipe
from geometry.room import Outlet, Pipe
from geometry.rules import RulePack
from geometry.scene import Placed, Scene
from geometry.sums.discharge import discharge_size, outlet_of, rows, with_size
from geometry.units import Point3

MEDIUM: Medium = "hot-discharge"


@dataclass(frozen=True)
class Chain:
    """One unvented store with what takes its discharge away. ``valves`` are its relief outlets, largest first."""

    scene: Scene
    pack: RulePack
    store: Placed

    @property
    def pieces(self) -> set[str]:
        """The ids of its store and its tundish."""
        return {self.store.id, *([self.tundish.id] if self.tundish else [])}

    @cached_property
    def valves(self) -> tuple[Port, ...]:
        """Its relief valve outlets, the largest first."""
        ports = (port for port in self.store.kit.port if port.medium == MEDIUM)
        return tuple(sorted(ports, key=lambda port: (-port.size_mm, port.name)))

    @cached_property
    def tundish(self) -> Placed | None:
        """The tundish nearest its valves."""
        at = [self.store.to_room(port.at_mm) for port in self.valves]
        every = [placed for placed in self.scene.placed if is_tundish(placed)]
        return min(every, key=lambda t: (min(dist(p, inlet(t)) for p in at), t.id), default=None) if at else None

    @cached_property
    def _to_outlets(self) -> tuple[Pipe, ...]:
        """The pipes of the room file to an outlet, those from its tundish first, then those from its valves."""
        mine = [pipe for pipe in self._of_file if pipe.to_port is None]
        return tuple(sorted(mine, key=lambda pipe: (pipe.from_.piece == self.store.id, pipe.id)))

    @property
    def _of_file(self) -> list[Pipe]:
        return [pipe for pipe in self.scene.room.pipes if pipe.medium == MEDIUM and pipe.from_.piece in self.pieces]

    @property
    def pipe(self) -> Pipe | None:
        """The discharge pipe that the room file gives it, from its tundish or from one of its valves."""
        return next(iter(self._to_outlets), None)

    @property
    def not_taken(self) -> tuple[Pipe, ...]:
        """Its pipes in the room file that are neither taken as the one below the tundish nor as one above it."""
        taken = (self.pipe, *map(self.above, self.valves))
        return tuple(pipe for pipe in self._of_file if pipe not in taken)

    def above(self, port: Port) -> Pipe | None:
        """The pipe of the room file between a valve and the tundish: one that ends there, else one that goes on."""
        mine = [pipe for pipe in self._of_file if pipe.from_.piece == self.store.id and pipe.from_.port == port.name]
        ends_there = [pipe for pipe in mine if self.tundish and pipe.to == self.tundish.id]
        return next(iter(ends_there), self.pipe if self.pipe in mine else None)

    def d1_mm(self, port: Port) -> float:
        """The size of the pipe between a valve and the tundish: as given, else that of the valve's outlet."""
        pipe = self.above(port)
        return (pipe.size_mm if pipe and pipe.to_port is not None else None) or port.size_mm

    @cached_property
    def outlets(self) -> tuple[Outlet, ...]:
        """The outlet that its pipe names, or else every outlet that takes hot discharge."""
        every = sorted(self.scene.room.outlets, key=lambda outlet: outlet.id)
        if self.pipe:
            return tuple(outlet for outlet in every if outlet.id == self.pipe.to)
        return tuple(outlet for outlet in every if MEDIUM in outlet.takes)

    @cached_property
    def to_tundish_each(self) -> tuple[tuple[Port, Route | NoRoute], ...]:
        """Each valve with its way to the tundish. Only for a chain that has a tundish."""
        assert self.tundish is not None
        return tuple((port, self._valve_pipe(port, self.tundish)) for port in self.valves)

    @property
    def to_tundish(self) -> tuple[Port, Route | NoRoute]:
        """The valve with the longest way to the tundish, and that way."""
        return max(self.to_tundish_each, key=lambda f: f[1].length_mm if isinstance(f[1], Route) else inf)

    def _valve_pipe(self, port: Port, tundish: Placed) -> Route | NoRoute:
        valve, into = self.store.to_room(port.at_mm), inlet(tundish)
        points = self._drawn_above(port, tundish)
        if points is not None:
            return line([valve, *points, into])
        facing = self.store.direction(port.faces)
        return ValvePipe(self.scene, valve, facing, into, self.d1_mm(port), self.store, tundish).found()

    def _drawn_above(self, port: Port, tundish: Placed) -> Sequence[Point3] | None:
        """The points that the room file draws between a valve and the tundish; None where the way is to be found."""
        pipe = self.above(port)
        if pipe is None:
            return None
        points = pipe.pinned_mm if pipe.via_mm is None else pipe.via_mm
        if pipe.to == tundish.id:
            return points if points or pipe.via_mm is not None else None
        return self._split(tundish, pipe, points)[0] or None

    def _split(self, tundish: Placed, pipe: Pipe, points: Sequence[Point3]) -> tuple[Sequence[Point3], ...]:
        """Points before the tundish and after it: of a pipe from the valve, what is above its middle comes before."""
        middle = (inlet(tundish)[2] + mouth(tundish)[2]) / 2
        count = next((k for k, point in enumerate(points) if point[2] <= middle), len(points))
        count *= pipe.from_.piece == self.store.id
        return points[:count], points[count:]

    def valve_drawn(self, port: Port) -> bool:
        """Whether the room file draws the way from a valve to the tundish."""
        return self.tundish is not None and self._drawn_above(port, self.tundish) is not None

    def valve_meets(self, port: Port, route: Route) -> tuple[str, ...]:
        """What the way from a valve to the tundish goes through where it is drawn, but for the two that it joins."""
        if not self.valve_drawn(port):
            return ()
        return hits(
            self.scene, doorways(self.scene), route.points, self.d1_mm(port) / 2, frozenset(self.pieces), out=""
        )

    def _pins(self, tundish: Placed) -> tuple[Point3, ...]:
        """The points below the tundish that its pipe is pinned to."""
        return tuple(self._split(tundish, self.pipe, self.pipe.pinned_mm)[1]) if self.pipe else ()

    @cached_property
    def runs(self) -> tuple[Run, ...]:
        """The pipe below the tundish to each outlet, the best first: the one drawn, or the best that can be found."""
        if self.tundish is None:
            return ()
        runs = [self._run_to(outlet, self.tundish) for outlet in self.outlets]
        return tuple(sorted(runs, key=self._worse))

    def _worse(self, run: Run) -> tuple[Any, ...]:
        hangs = hangs_mm(self.scene, run.unclipped_mm) > 0
        return run.short, self.ends_badly(run.outlet), hangs, run.length_m, run.outlet.id

    @property
    def run(self) -> Run | None:
        """The best of the runs; None without tundish or outlet."""
        return self.runs[0] if self.runs else None

    def ends_badly(self, outlet: Outlet) -> bool:
        """Whether an outlet's end place is not one that is right as it is."""
        gutter, above = outlet.plastic_gutter_mm, outlet.above_ground_mm
        if outlet.ends == "low-level":
            return above is None or above > self.pack.number("discharge-end-above-ground")
        if outlet.ends in ("roof", "hopper"):
            return gutter is None or gutter < self.pack.number("discharge-end-plastic-gutter")
        return outlet.ends != "gully"

    def _run_to(self, outlet: Outlet, tundish: Placed) -> Run:
        start, drop = mouth(tundish), self._drop(tundish)
        bare = Run(outlet, self.pipe, NoRoute(()), drop)
        if bare.drawn:
            return self._as_drawn(bare, tundish)
        run = self._best_found(bare, start, tundish)
        if isinstance(run.route, Route):
            return run

        def fall_at(level_mm: float) -> Fall | None:
            lower = replace(bare, outlet=outlet.model_copy(update={"level_mm": level_mm}))
            return self._best_found(lower, start, tundish).fall

        return replace(run, route=fall_counted(run.route, outlet.level_mm, fall_at))

    def _best_found(self, bare: Run, start: Point3, tundish: Placed) -> Run:
        best: Run | None = None
        for elbows in (True, False):
            run = self._found(bare, start, tundish, elbows)
            if best is None or run.short < best.short:
                best = run
            if not any(best.short) or isinstance(run.route, NoRoute):
                break
        assert best is not None
        return best

    def _found(self, bare: Run, start: Point3, tundish: Placed, elbows: bool) -> Run:
        """The route for the size that it needs itself: tried again with the next size until that carries it."""
        size = bare.given_mm or self._at_least_mm(bare.outlet, start)
        drop, fall = (self.pack.number(key) for key in ("discharge-straight-drop", "discharge-fall"))
        without, pins = self._not_in_the_way(bare.outlet, tundish), self._pins(tundish)
        trip = Trip(start, bare.drop.found_mm, bare.outlet, without, pins)
        run = bare
        for _ in range(3):
            pipe = Falling(size, drop, fall, self._elbow_mm(size) * elbows, hangs_mm=self.pack.number(HANGS))
            route = falling_route(self.scene, trip, pipe)
            if isinstance(route, NoRoute):
                return replace(bare, route=route)
            run = replace(self._sized(bare, route), fall=self._fall(route))
            needed = run.needs.size_mm if run.needs else None
            if bare.given_mm or needed is None or needed <= size:
                break
            size = float(needed)
        return run

    def _not_in_the_way(self, outlet: Outlet, tundish: Placed) -> frozenset[str]:
        return boxing_at(self.scene, outlet) | {tundish.id}

    def _sized(self, bare: Run, route: Route) -> Run:
        """The run along a route, with its whole length and all its bends held against the table."""
        outlet = bare.outlet
        length_m = round((route.length_mm + outlet.outside_run_mm) / 1000, 3)
        bends = route.bends + outlet.outside_bends
        run = replace(bare, route=route, length_m=length_m, bends=bends)
        radius = (run.given_mm or self._least_mm) / 2
        run = replace(
            run, crosses=crossed(self.scene, route.points, radius),
            unclipped_mm=longest_unclipped(self.scene, route.points, radius),
        )  # fmt: skip
        if self.thread is None or not run.copper:
            return run
        needs = discharge_size(self.thread, length_m, bends, self.pack)
        given = with_size(bare.given_mm, self.thread, length_m, bends, self.pack) if bare.given_mm else None
        return replace(run, needs=needs, given=given)

    def _as_drawn(self, bare: Run, tundish: Placed) -> Run:
        """The run along the line of the room file, with its fall and with all that it goes through."""
        outlet, pipe = bare.outlet, self.pipe
        drawn = self._split(tundish, pipe, pipe.via_mm or ())[1] if pipe else ()
        route = line([mouth(tundish), *drawn, (*outlet.at_mm, outlet.level_mm)])
        without, radius = self._not_in_the_way(outlet, tundish), (bare.given_mm or self._least_mm) / 2
        ways, out = doorways(self.scene), end_of(self.scene, outlet).wall
        through = hits(self.scene, ways, route.points, radius, without, out)
        return replace(self._sized(bare, route), goes_through=through, fall=self._fall(route))

    def _fall(self, route: Route) -> Fall:
        fall, drop = (self.pack.number(key) for key in ("discharge-fall", "discharge-straight-drop"))
        return fall_of(route.points, 1000 / fall, drop)

    def _drop(self, tundish: Placed) -> Met:
        radius = ((self.pipe.size_mm if self.pipe else None) or self._least_mm) / 2
        return free_below(self.scene, mouth(tundish), radius, tundish.id)

    @cached_property
    def thread(self) -> str | None:
        """The thread of its largest relief valve, as the table names it; None where the table has no such valve."""
        return outlet_of(self.valves[0].size_mm, self.pack) if self.valves else None

    @property
    def _least_mm(self) -> float:
        """The smallest pipe that the table has for its valve."""
        thread = self.thread or self.pack.figure("discharge-table").value[0]["outlet"]
        return float(rows(thread, self.pack)[0]["d2_mm"])

    def _at_least_mm(self, outlet: Outlet, start: Point3) -> float:
        """A size below which no route can be carried: that of a way straight there."""
        if self.thread is None:
            return self._least_mm
        square = end_of(self.scene, outlet).frame.into((start[0], start[1]))
        far = abs(square[0]) + abs(square[1]) + max(0.0, start[2] - outlet.level_mm) + outlet.outside_run_mm
        least = discharge_size(self.thread, far / 1000, outlet.outside_bends, self.pack)
        return float(least.tried[-1].size_mm)

    def _elbow_mm(self, size_mm: float) -> float:
        table = self.pack.figure("discharge-table").value
        as_large = [row["elbow_m"] for row in table if row["d2_mm"] >= size_mm]
        return 1000.0 * float(min(as_large, default=table[-1]["elbow_m"]))


def is_tundish(placed: Placed) -> bool:
    """Whether a piece is a tundish, by its trait or the key of its kind."""
    return placed.kit.has("tundish") or placed.kit.key.startswith("tundish")


def inlet(tundish: Placed) -> Point3:
    """Where the pipe from the valve comes in: its port that faces up, else the middle of its top."""
    return _port(tundish, "above", tundish.kit.height_mm)


def mouth(tundish: Placed) -> Point3:
    """Where the pipe below begins: its port that faces down, else the middle of its underside."""
    return _port(tundish, "below", 0.0)


def _port(tundish: Placed, faces: str, height_mm: float) -> Point3:
    ports = [port for port in tundish.kit.port if port.medium == MEDIUM and port.faces == faces]
    return tundish.to_room(ports[0].at_mm if ports else (0.0, 0.0, height_mm))


def chains(scene: Scene) -> tuple[Chain, ...]:
    """Every unvented store with its discharge, in the order of the pieces; measured once for all that ask."""
    found: tuple[Chain, ...] | None = scene.memo.get(chains)
    if found is None:
        stores = [placed for placed in scene.placed if placed.kit.has("unvented-store")]
        found = scene.memo[chains] = tuple(Chain(scene, scene.pack, placed) for placed in stores)
    return found
