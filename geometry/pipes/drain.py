"""A pipe that runs by fall alone, measured: from a port of a piece to an outlet, or into a pump that lifts it on.

Nothing is judged here. The line is the one drawn in the room file, or the best that can be found; the bore is the one
given, or that of the size the pipe is sold as.
"""

from dataclasses import dataclass, replace
from functools import cached_property, partial
from typing import Any

from geometry.kit import Medium, Port
from geometry.pipes.fall import NO_FALL, Fall, fall_counted, fall_of
from geometry.pipes.falling import Falling, Trip, end_of, falling_route
from geometry.pipes.line import NoRoute, Route, line
from geometry.pipes.spaces import crossed
from geometry.pipes.support import HANGS, hangs_mm, longest_unclipped
from geometry.pipes.surroundings import clear_of, doorways, free_below, hits
from geometry.room import Outlet, Pipe
from geometry.routes import Frame
from geometry.scene import Placed, Scene
from geometry.units import DEPTH_TOLERANCE_MM, Point3
from geometry.words import the, within

ELBOW_MM = 400.0
"""What an elbow weighs when a way is chosen: it decides between ways, it judges nothing."""


@dataclass(frozen=True)
class Run:
    """The line to one outlet, with its fall where there is a way.

    ``crosses`` are the pieces whose working room it goes through, ``unclipped_mm`` is the longest way without a clip.
    """

    outlet: Outlet
    route: Route | NoRoute
    fall: Fall = NO_FALL
    goes_through: tuple[str, ...] = ()
    crosses: tuple[str, ...] = ()
    unclipped_mm: float = 0.0

    @property
    def run_mm(self) -> float:
        """Its length in plan inside the room; 0 where there is no way."""
        return self.route.run_mm if isinstance(self.route, Route) else 0.0

    @property
    def wrong(self) -> tuple[bool, bool, float]:
        """How far from right it is: (no way, goes through something, fall missing in mm)."""
        return isinstance(self.route, NoRoute), bool(self.goes_through), self.fall.short_mm


@dataclass(frozen=True)
class Drain:
    """One port that drains by fall: the piece, the port, and the pipe that the room file has for it."""

    scene: Scene
    placed: Placed
    port: Port
    pipe: Pipe | None
    fall_mm_m: float

    @property
    def called(self) -> str:
        """How a sentence names it: "the condensate pipe of the boiler"."""
        name = within(self.port.name)
        return f"the {name}{'' if name.endswith(('pipe', 'hose')) else ' pipe'} of {the(self.placed.name)}"

    @property
    def drawn(self) -> bool:
        """Whether its line is in the room file."""
        return self.pipe is not None and self.pipe.via_mm is not None

    @property
    def start(self) -> Point3:
        """Where it begins: its port, in room coordinates."""
        return self.placed.to_room(self.port.at_mm)

    @property
    def size_mm(self) -> float:
        """What it is sold as: the size in the room file, else that of its port."""
        return self.pipe.size_mm if self.pipe and self.pipe.size_mm else self.port.size_mm

    @property
    def bore_mm(self) -> float | None:
        """Its inside diameter: as given, or the smallest that its size is sold with; None where neither is known."""
        if self.pipe and self.pipe.bore_mm:
            return self.pipe.bore_mm
        return bore_of(self.scene, self.size_mm)

    @property
    def material(self) -> str:
        """What it is made of: as in the room file, else what such pipes are made of."""
        return self.pipe.material if self.pipe else "copper" if self.port.medium == "relief" else "plastic"

    @cached_property
    def outlets(self) -> tuple[Outlet, ...]:
        """The outlet or pump that its pipe names; else every outlet that takes its medium, and every pump that does."""
        every = sorted(self.scene.room.outlets, key=lambda outlet: outlet.id)
        pumps = [pump for placed in self.scene.placed if (pump := _pump(placed, self.port.medium))]
        if self.pipe:
            return tuple(outlet for outlet in (*every, *pumps) if outlet.id == self.pipe.to)
        return (*(outlet for outlet in every if self.port.medium in outlet.takes), *pumps)

    @cached_property
    def runs(self) -> tuple[Run, ...]:
        """The line to each of its outlets, drawn or found, the best first."""
        runs = [self._run_to(outlet) for outlet in self.outlets]
        return tuple(sorted(runs, key=self._worse))

    def _worse(self, run: Run) -> tuple[Any, ...]:
        return run.wrong, hangs_mm(self.scene, run.unclipped_mm) > 0, run.run_mm, run.outlet.id

    @property
    def run(self) -> Run | None:
        """The best of the runs; None where there is no outlet."""
        return self.runs[0] if self.runs else None

    def _run_to(self, outlet: Outlet) -> Run:
        end = (*outlet.at_mm, outlet.level_mm)
        if self.pipe and self.pipe.via_mm is not None:
            return self._drawn(outlet, line([self.start, *self.pipe.via_mm, end]))
        route = self._found(outlet)
        if isinstance(route, NoRoute):
            return Run(outlet, fall_counted(route, outlet.level_mm, partial(self._fall_at, outlet)))
        return self._lies(Run(outlet, route, fall_of(route.points, self.fall_mm_m)))

    def _fall_at(self, outlet: Outlet, level_mm: float) -> Fall | None:
        lower = self._found(outlet.model_copy(update={"level_mm": level_mm}))
        return fall_of(lower.points, self.fall_mm_m) if isinstance(lower, Route) else None

    def _lies(self, run: Run) -> Run:
        assert isinstance(run.route, Route)
        points, radius = run.route.points, self.size_mm / 2
        return replace(
            run, crosses=crossed(self.scene, points, radius), unclipped_mm=longest_unclipped(self.scene, points, radius)
        )

    def _found(self, outlet: Outlet) -> Route | NoRoute:
        """The way found: straight out of its port until it is clear of its own piece, then down and along."""
        if outlet.level_mm > self.start[2] + DEPTH_TOLERANCE_MM:
            return NoRoute((outlet.id,), outlet.level_mm - self.start[2])
        pipe = Falling(self.size_mm, 0.0, 1000 / self.fall_mm_m, ELBOW_MM, hangs_mm=self.scene.pack.number(HANGS))
        start, without = self._clear_of_piece, frozenset((outlet.id,))
        if start == self.start:
            without |= {self.placed.id}
        elif through := hits(self.scene, (), (self.start, start), pipe.radius_mm, frozenset((self.placed.id,))):
            return NoRoute(through)
        free = free_below(self.scene, start, pipe.radius_mm, self.placed.id).found_mm
        pins = self.pipe.pinned_mm if self.pipe else ()
        route = falling_route(self.scene, Trip(start, free, outlet, without, pins), pipe)
        return line([self.start, *route.points]) if isinstance(route, Route) else route

    @property
    def _clear_of_piece(self) -> Point3:
        """Where it has left its own piece, with its fall; a hose, or a pipe that leaves up or down, has at once."""
        x, y, z = self.start
        facing = self.placed.direction(self.port.faces)
        if facing[2] or "hose" in self.port.name:
            return self.start
        radius = self.size_mm / 2
        far = clear_of(self.placed.solids(), Frame((x, y), (facing[0], facing[1])), z, radius)
        return (x + facing[0] * far, y + facing[1] * far, z - far / 1000 * self.fall_mm_m)

    def _drawn(self, outlet: Outlet, route: Route) -> Run:
        own, ways = frozenset((self.placed.id, outlet.id)), doorways(self.scene)
        through = hits(self.scene, ways, route.points, self.size_mm / 2, own, end_of(self.scene, outlet).wall)
        return self._lies(Run(outlet, route, fall_of(route.points, self.fall_mm_m), through))


def bore_of(scene: Scene, size_mm: float) -> float | None:
    """The smallest bore that pipe of a size is sold with, or None."""
    rows = scene.pack.rows("pipe-bores")
    return min((float(row["bore_mm"]) for row in rows if row["size_mm"] == size_mm), default=None)


def outside_size(drain: Drain, outlet: Outlet) -> float | None:
    """The size that a condensate pipe is sold as outside, where it is another than inside; None where it is not.

    By the bore that the outlet gives for out there, or, where it gives none, by the least that the rule asks for.
    """
    if drain.port.medium != "condensate" or not outlet.outside_run_mm:
        return None
    least = outlet.outside_bore_mm or drain.scene.pack.number("condensate-bore-outside")
    inside = drain.bore_mm
    if inside is None or inside >= least:
        return None
    kind = drain.material.strip().lower()
    rows = drain.scene.pack.rows("pipe-bores")
    fit = [float(r["size_mm"]) for r in rows if r["of"] == kind and float(r["bore_mm"]) >= least]
    return min(fit, default=None)


def drains(scene: Scene, medium: Medium, fall_mm_m: float, only: frozenset[str] | None = None) -> list[Drain]:
    """Every port of a medium that drains by fall, with the pipe that the room file has for it; measured once."""
    key = (drains, medium, fall_mm_m)
    if key not in scene.memo:
        ports = [(placed, port) for placed in scene.placed if not placed.kit.has("pump") for port in placed.kit.port]
        pipes = {(pipe.from_.piece, pipe.from_.port): pipe for pipe in reversed(scene.room.pipes)}
        scene.memo[key] = [
            Drain(scene, placed, port, pipes.get((placed.id, port.name)), fall_mm_m)
            for placed, port in ports
            if port.medium == medium
        ]
    found: list[Drain] = scene.memo[key]
    return [drain for drain in found if only is None or drain.placed.id in only]


def _pump(placed: Placed, medium: Medium) -> Outlet | None:
    """The inlet of a pump that takes a medium, as an outlet at its own place."""
    inlet = next((port for port in placed.kit.port if placed.kit.has("pump") and port.medium == medium), None)
    if inlet is None:
        return None
    x, y, z = placed.to_room(inlet.at_mm)
    return Outlet.model_construct(id=placed.id, name=placed.name, at_mm=(x, y), level_mm=z, takes=(medium,))
