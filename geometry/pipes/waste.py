"""Pipes that run by fall alone from a port of a piece to an outlet: condensate, overflow and relief.

Nothing is judged here but what all of them have in common: is there an outlet, is there a way, and does it fall.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from geometry.check import TIGHT, Finding, Where, judge, mm
from geometry.clearing import Probe, first_met
from geometry.kit import Port
from geometry.pipes.falling import Falling, falling_route
from geometry.pipes.line import NoRoute, Route
from geometry.pipes.topics import in_the_way
from geometry.room import Outlet, Pipe
from geometry.rules import Figure
from geometry.scene import Placed, Scene
from geometry.shapes import disc
from geometry.units import whole_mm
from geometry.words import named, start, within

ELBOW_MM = 400.0
"""What an elbow counts as when a way is chosen (common practice, no source)."""


@dataclass(frozen=True)
class Waste:
    """One port that drains by fall: the check's id, the piece, the port, and the pipe drawn for it."""

    check: str
    scene: Scene
    placed: Placed
    port: Port
    pipe: Pipe | None

    @property
    def called(self) -> str:
        """How a sentence names it: "the condensate pipe of the boiler"."""
        return f"the {within(self.port.name)} pipe of the {within(self.placed.name)}"

    @property
    def outlets(self) -> tuple[Outlet, ...]:
        """The outlet the room file names for it, or every one that takes its medium."""
        if self.pipe is not None:
            return tuple(o for o in self.scene.room.outlets if o.id == self.pipe.to)
        return tuple(o for o in self.scene.room.outlets if self.port.medium in o.takes)

    @property
    def start(self) -> tuple[float, float, float]:
        """Where the pipe begins: its port, in room coordinates."""
        return self.placed.to_room(self.port.at_mm)

    def route(self, outlet: Outlet, fall: float, size_mm: float) -> Route | NoRoute:
        """The way to an outlet with a fall of 1 in so many."""
        x, y, z = self.start
        half = size_mm / 2
        below = Probe(self.placed.id, (disc((x, y), half),), z, z, (0.0, 0.0, -1.0))
        ((met, _),) = first_met(self.scene, [below])
        free = met.found_mm if met else z
        return falling_route(
            self.scene, self.start, outlet, Falling(size_mm, 0.0, fall, ELBOW_MM), free, frozenset((self.placed.id,))
        )

    def say(self, topic: str, verdict: str, message: str, **more: object) -> Finding:
        """A finding about it."""
        title = "" if verdict in ("no-fault", "not-checked") else f"{start(self.called)}: {topic}"
        return Finding(
            self.check, verdict, message, (self.placed.id,), side=None, topic=f"{self.port.name}, {topic}",  # type: ignore[arg-type]
            title=title, basis=self.placed.kit.basis, **more,  # type: ignore[arg-type]
        )  # fmt: skip


def wastes(scene: Scene, check: str, medium: str, only: frozenset[str] | None) -> list[Waste]:
    """Every port of a medium, with the pipe drawn for it."""
    found = []
    for placed in scene.placed:
        if only is not None and placed.id not in only:
            continue
        for port in placed.kit.port:
            if port.medium == medium:
                drawn = [p for p in scene.room.pipes if (p.from_.piece, p.from_.port) == (placed.id, port.name)]
                found.append(Waste(check, scene, placed, port, drawn[0] if drawn else None))
    return found


def falls(waste: Waste, figure: Figure, fall_mm_m: float, size_mm: float) -> Iterator[Finding]:
    """Whether there is an outlet, a way and fall enough; the first thing that is not, or the way without fault."""
    if not waste.outlets:
        yield waste.say(
            "outlet", "not-checked", f"No outlet takes {waste.called}.", source=figure.source,
            question=f"Where does {waste.called} go?",
        )  # fmt: skip
        return
    tried = [(outlet, waste.route(outlet, 1000 / fall_mm_m, size_mm)) for outlet in waste.outlets]
    ways = [(route.run_mm, outlet, route) for outlet, route in tried if isinstance(route, Route)]
    if not ways:
        yield _no_way(waste, figure, *tried[0])
        return
    run, outlet, route = min(ways, key=lambda way: (way[0], way[1].id))
    needed = run / 1000 * fall_mm_m
    found = waste.start[2] - outlet.level_mm
    verdict = judge(found - needed, waste.scene.room.tolerance_mm)
    text = f"{start(waste.called)} needs {mm(needed)} of fall over {run / 1000:.2f} m; {mm(found)} is there."
    x, y, _ = waste.start
    yield waste.say(
        "fall", verdict, text + (f" {TIGHT}" if verdict == "look-again" else ""), needed=needed, found=found,
        short=max(0.0, needed - found), source=figure.source, against=(outlet.id,) if verdict != "no-fault" else (),
        where=Where(disc((x, y), size_mm / 2), outlet.level_mm, waste.start[2], route.points),
    )  # fmt: skip


def _no_way(waste: Waste, figure: Figure, outlet: Outlet, route: Route | NoRoute) -> Finding:
    assert isinstance(route, NoRoute)
    if route.too_high_mm > 0:
        text = f"{start(waste.called)} cannot fall to {named(waste.scene, outlet.id)}: it is {mm(route.too_high_mm)} too high."
        return waste.say(
            "fall", "put-right", text, needed=0.0, found=-route.too_high_mm, short=route.too_high_mm,
            source=figure.source, against=(outlet.id,),
        )  # fmt: skip
    stops = in_the_way(waste.scene, route.stops) if route.stops else "no wall to follow"
    return waste.say(
        "way", "put-right", f"{start(waste.called)} has no way to {named(waste.scene, outlet.id)}: {stops}.",
        source=figure.source, against=route.stops,
    )  # fmt: skip


def bore(waste: Waste) -> float:
    """The bore to judge: the pipe's own size where one is drawn, else the port's."""
    return waste.pipe.size_mm if waste.pipe is not None and waste.pipe.size_mm else waste.port.size_mm


def bore_finding(waste: Waste, figure: Figure, where: str) -> Finding:
    """Whether a pipe is wide enough inside."""
    needed, found = float(figure.value), bore(waste)
    short = max(0.0, needed - found)
    text = f"{start(waste.called)} is {whole_mm(found)} mm; {whole_mm(needed)} mm inside is needed {where}."
    return waste.say(
        "size", "put-right" if short > 1e-6 else "no-fault", text, needed=needed, found=found, short=short,
        source=figure.source,
    )  # fmt: skip
