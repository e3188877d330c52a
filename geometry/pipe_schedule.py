"""The pipe schedule: every pipe that carries something out of the room, with size, length, bends and fall.

Lengths run along the pipe; what lies outside is told apart. A pipe is the one drawn in the room file or the best way
that was found. What has no way, or no outlet, stands in the schedule with its gap.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> drip = {"name": "condensate", "medium": "condensate", "size_mm": 22, "at_mm": [0, 150, 0], "faces": "below"}
>>> boiler = box_kit("boiler", 440, 360, 720, stands_on="wall", base_mm=1150, port=[drip])
>>> gully = {"id": "o1", "name": "gully", "at_mm": [1200, 1800], "level_mm": 100, "takes": ["condensate"]}
>>> [(p.medium, p.to, p.size_mm, p.drawn) for p in
...  pipe_schedule(sample_scene([boiler], [piece(boiler, 1200, 1620)], outlets=[gully]))]
[('condensate', 'o1', 22.0, False)]
"""

from collections.abc import Iterator
from dataclasses import dataclass

from geometry.kit import Medium
from geometry.pipes.chain import Chain
from geometry.pipes.drain import Drain, drains
from geometry.pipes.line import Route
from geometry.room import Pipe
from geometry.scene import Scene

FALLING: dict[Medium, str] = {"condensate": "condensate-fall", "overflow": "drain-fall", "relief": "drain-fall"}


@dataclass(frozen=True)
class PipeLine:
    """One pipe: medium, piece and port it comes from, outlet it goes to ("" where none takes it), and its measures.

    ``length_mm`` is the part in the room, ``outside_mm`` what follows; None where there is no way. ``fall_mm`` is how
    much height it has, ``fall_needed_mm`` how much it needs.
    """

    medium: str
    piece: str
    port: str
    to: str
    size_mm: float | None
    material: str
    drawn: bool
    length_mm: float | None = None
    outside_mm: float = 0.0
    bends: int | None = None
    fall_mm: float | None = None
    fall_needed_mm: float | None = None


def pipe_schedule(scene: Scene) -> tuple[PipeLine, ...]:
    """Discharge of unvented stores, then what drains by fall, then every other pipe of the room file."""
    stores = [placed for placed in scene.placed if placed.kit.has("unvented-store")]
    discharge = [_discharge(Chain(scene, scene.pack, placed)) for placed in stores]
    falling = [_drain(drain) for medium in FALLING for drain in _drains(scene, medium)]
    told = {(line.piece, line.port) for line in (*discharge, *falling)}
    tundishes = {line.piece for line in discharge}
    rest = [pipe for pipe in scene.room.pipes if (pipe.from_.piece, pipe.from_.port) not in told]
    others = (_drawn(scene, pipe) for pipe in rest if not (pipe.medium == "hot-discharge" and tundishes))
    return (*discharge, *falling, *others)


def _drains(scene: Scene, medium: Medium) -> Iterator[Drain]:
    yield from drains(scene, medium, scene.pack.number(FALLING[medium]), None)


def _discharge(chain: Chain) -> PipeLine:
    run, source = chain.run, chain.tundish or chain.store
    port = "outlet" if chain.tundish else "relief"
    if run is None:
        return PipeLine("hot-discharge", source.id, port, "", None, "copper", False)
    material = run.pipe.material if run.pipe else "copper"
    if not isinstance(run.route, Route):
        return PipeLine("hot-discharge", source.id, port, run.outlet.id, run.size_mm, material, run.drawn)
    return PipeLine(
        "hot-discharge", source.id, port, run.outlet.id, run.size_mm, material, run.drawn, run.route.length_mm,
        run.outlet.outside_run_mm, run.bends, run.fall.found_mm if run.fall else None,
        run.fall.needed_mm if run.fall else None,
    )  # fmt: skip


def _drain(drain: Drain) -> PipeLine:
    medium, run, pipe = drain.port.medium, drain.run, drain.pipe
    drawn, material = pipe is not None and pipe.via_mm is not None, pipe.material if pipe else ""
    ends = (drain.placed.id, drain.port.name, run.outlet.id if run else "")
    if run is None or not isinstance(run.route, Route):
        return PipeLine(medium, *ends, drain.size_mm, material, drawn)
    return PipeLine(
        medium, *ends, drain.size_mm, material, drawn, run.route.length_mm, run.outlet.outside_run_mm,
        run.route.bends + run.outlet.outside_bends, run.found_mm, run.needed_mm,
    )  # fmt: skip


def _drawn(scene: Scene, pipe: Pipe) -> PipeLine:
    """A pipe of the room file that no check measures."""
    outlet = next((outlet for outlet in scene.room.outlets if outlet.id == pipe.to), None)
    item = scene.piece(pipe.from_.piece)
    port = next((port for port in item.kit.port if port.name == pipe.from_.port), None) if item else None
    line = PipeLine(
        pipe.medium, pipe.from_.piece, pipe.from_.port, pipe.to, pipe.size_mm, pipe.material, pipe.via_mm is not None
    )
    if pipe.via_mm is None or outlet is None or item is None or port is None:
        return line
    route = Route((item.to_room(port.at_mm), *pipe.via_mm, (*outlet.at_mm, outlet.level_mm)))
    return PipeLine(
        line.medium, line.piece, line.port, line.to, line.size_mm, line.material, True, route.length_mm,
        outlet.outside_run_mm, route.bends + outlet.outside_bends,
    )  # fmt: skip
