"""A pipe under pressure, such as a cold fill, measured for its room and its support alone: it needs no fall.

The line is the one drawn, or one found as a falling pipe is, without fall: from its higher end to its lower.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import cos, dist, inf, radians

from geometry.kit import Port
from geometry.pipes.drain import ELBOW_MM
from geometry.pipes.falling import Falling, Trip, end_of, falling_route, point_end
from geometry.pipes.joined import begin_of, drawn_line, finish_of
from geometry.pipes.line import BEND_DEG, NoRoute, Route, line
from geometry.pipes.spaces import crossed
from geometry.pipes.support import HANGS, longest_unclipped
from geometry.pipes.surroundings import boxing_at, clear_of, doorways, free_below, goes_through, hits
from geometry.room import Outlet, Pipe
from geometry.routes import Frame
from geometry.scene import Placed, Scene
from geometry.units import Point3

BY_FALL = frozenset({"hot-discharge", "condensate", "overflow", "relief"})
"""Media whose pipes run by fall alone, and have checks of their own."""

NOT_PIPES = frozenset({"cable", "hose", "duct", "flue"})
_NO_FALL = inf


@dataclass(frozen=True)
class Pressed:
    """One pipe of the room file that needs no fall."""

    scene: Scene
    pipe: Pipe

    @property
    def size_mm(self) -> float:
        """Its size, else that of the port it begins at."""
        return self.pipe.size_mm or self.port.size_mm

    @property
    def port(self) -> Port:
        """The port that it begins at."""
        return self._port_of(self.pipe.from_.piece, self.pipe.from_.port)[1]

    @cached_property
    def route(self) -> Route | NoRoute:
        """The line drawn, or the one found."""
        return drawn_line(self.scene, self.pipe) or self._found()

    @cached_property
    def goes_through(self) -> tuple[str, ...]:
        """What a drawn line meets; of the pieces that it joins only what it goes into other than by its port."""
        if self.pipe.via_mm is None or isinstance(self.route, NoRoute):
            return ()
        points, out = self.route.points, end_of(self.scene, self._outlet).wall if self._outlet else ""
        met = hits(self.scene, doorways(self.scene), points, self.size_mm / 2, self._without, out)
        into = [self.pipe.from_.piece] * self._into(self.pipe.from_.piece, self.pipe.from_.port, points)
        if self.pipe.to_port is not None:
            into += [self.pipe.to] * self._into(self.pipe.to, self.pipe.to_port, points[::-1])
        return tuple(dict.fromkeys((*into, *met)))

    def _into(self, piece_id: str, port_name: str, points: Sequence[Point3]) -> bool:
        """Whether a line that begins at a port goes into the piece, but for what leaves along the port's facing."""
        placed, port = self._port_of(piece_id, port_name)
        facing = placed.direction(port.faces)
        ahead = sum((b - a) * f for a, b, f in zip(points[0], points[1], facing, strict=True)) if points[1:] else 0.0
        left = ahead > cos(radians(BEND_DEG)) * dist(*points[:2]) if points[1:] else False
        rest = list(pairwise(points))[1 if left else 0 :]
        return any(
            goes_through(a, b, 0.0, 0.0, solid) for a, b in rest for solid in placed.solids() if solid.part == "body"
        )

    @cached_property
    def crosses(self) -> tuple[str, ...]:
        """The pieces whose working room it goes through."""
        return crossed(self.scene, self.route.points, self.size_mm / 2) if isinstance(self.route, Route) else ()

    @cached_property
    def unclipped_mm(self) -> float:
        """The longest way that it goes with nothing to be clipped to."""
        if isinstance(self.route, NoRoute):
            return 0.0
        return longest_unclipped(self.scene, self.route.points, self.size_mm / 2)

    @property
    def _outlet(self) -> Outlet | None:
        return next((outlet for outlet in self.scene.room.outlets if outlet.id == self.pipe.to), None)

    @property
    def _without(self) -> frozenset[str]:
        boxing = boxing_at(self.scene, self._outlet) if self._outlet else frozenset()
        return boxing | {self.pipe.from_.piece, self.pipe.to}

    @property
    def _own(self) -> str:
        """The piece that it begins at, where a pipe may go straight down from its port past it."""
        return "" if self.port.faces == "above" else self.pipe.from_.piece

    @property
    def _not_in_the_way(self) -> frozenset[str]:
        """The same for a line to be found: a piece that the pipe has left straight ahead is in its way from there."""
        left = {self.pipe.from_.piece: self.port.faces}
        if self.pipe.to_port is not None:
            left[self.pipe.to] = self._port_of(self.pipe.to, self.pipe.to_port)[1].faces
        return self._without - {piece for piece, side in left.items() if side != "below"}

    def _found(self) -> Route | NoRoute:
        """From point to point, each stretch as a falling pipe without fall, from its higher end to its lower."""
        first = self._end(self.pipe.from_.piece, self.pipe.from_.port, begin_of(self.scene, self.pipe))
        last = self._last()
        points = list(first)
        for goal in (*self.pipe.pinned_mm, last[-1]):
            leg = self._leg(points[-1], goal)
            if isinstance(leg, NoRoute):
                return leg
            points += leg
        return line([*points, *last[::-1]])

    def _last(self) -> list[Point3]:
        """Where it ends, and the point before that from which it goes straight there."""
        finish = finish_of(self.scene, self.pipe)
        if self.pipe.to_port is not None:
            return self._end(self.pipe.to, self.pipe.to_port, finish)
        outlet = next(outlet for outlet in self.scene.room.outlets if outlet.id == self.pipe.to)
        end, radius = end_of(self.scene, outlet), self.size_mm / 2
        x, y = end.before(radius + self.scene.pack.number("pipe-clip"))
        return [(*end.foot, finish[2]), (x, y, finish[2])]

    def _leg(self, a: Point3, b: Point3) -> tuple[Point3, ...] | NoRoute:
        high, low = (a, b) if a[2] >= b[2] else (b, a)
        goal = Outlet.model_construct(id=self.pipe.to, name="", at_mm=(low[0], low[1]), level_mm=low[2])
        free = free_below(self.scene, high, self.size_mm / 2, self._own).found_mm
        trip = Trip(high, free, goal, self._not_in_the_way, end=point_end(self.scene, low))
        going = Falling(self.size_mm, 0.0, _NO_FALL, ELBOW_MM, hangs_mm=self.scene.pack.number(HANGS))
        found = falling_route(self.scene, trip, going)
        if isinstance(found, NoRoute):
            return found
        return found.points if high == a else found.points[::-1]

    def _port_of(self, piece_id: str, port_name: str) -> tuple[Placed, Port]:
        placed = self.scene.piece(piece_id)
        assert placed is not None
        return placed, next(port for port in placed.kit.port if port.name == port_name)

    def _end(self, piece_id: str, port_name: str, at: Point3) -> list[Point3]:
        """A port, and the point straight ahead of it where a pipe has left the piece."""
        placed, port = self._port_of(piece_id, port_name)
        facing, radius = placed.direction(port.faces), self.size_mm / 2
        if facing[2] > 0:
            return [at, (at[0], at[1], max(at[2], placed.top_mm) + radius)]
        if facing[2]:
            return [at]
        far = clear_of(placed.solids(), Frame((at[0], at[1]), (facing[0], facing[1])), at[2], radius)
        return [at, (at[0] + facing[0] * far, at[1] + facing[1] * far, at[2])]


def pressed(scene: Scene) -> tuple[Pressed, ...]:
    """Every pipe of the room file that needs no fall, in the order of their ids; measured once."""
    found: tuple[Pressed, ...] | None = scene.memo.get(pressed)
    if found is None:
        pipes = sorted(scene.room.pipes, key=lambda pipe: pipe.id)
        found = tuple(Pressed(scene, pipe) for pipe in pipes if pipe.medium not in BY_FALL | NOT_PIPES)
        scene.memo[pressed] = found
    return found
