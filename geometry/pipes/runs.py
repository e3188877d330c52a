"""Every pipe run of a room in one list, drawn or found: what the drawing, the schedule and the report show.

A discharge is two runs: D1 from each relief valve to the tundish, D2 from the tundish to the end.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from geometry.kit import Medium
from geometry.pipes.chain import MEDIUM, Chain, chains
from geometry.pipes.drain import Drain, drains, outside_size
from geometry.pipes.drawn import called
from geometry.pipes.line import NoRoute, Route
from geometry.pipes.pressed import NOT_PIPES, Pressed, pressed
from geometry.pipes.topics import no_wall, why_not
from geometry.pipes.topics import other_outlets as other_discharge_outlets
from geometry.pipes.waste import other_outlets
from geometry.room import Pipe
from geometry.scene import Scene
from geometry.words import start, the

FALLS: tuple[tuple[Medium, str], ...] = (
    ("condensate", "condensate-fall"), ("overflow", "drain-fall"), ("relief", "drain-fall"),
)  # fmt: skip


@dataclass(frozen=True)
class PipeRun:
    """One run. ``pipe`` is its id in the room file, empty where the file has it not; ``to`` an outlet or a piece.

    ``route`` is its middle line inside the room, or why there is none; ``needed_mm`` and ``found_mm`` its fall, None
    where it needs none, ``stretch_short_mm`` what its worst stretch lacks. ``outside_size_mm`` is the size of the part
    outside where it is another. ``others`` says why it does not go to the other outlets that would take it, ``no_wall``
    that it hangs too far from anything to be clipped to. Where a table limits it, ``counts_m`` is its length with what
    its elbows add, and ``limit_m`` the most that its size carries.
    """

    name: str
    medium: Medium
    piece: str
    port: str
    to: str
    route: Route | NoRoute
    size_mm: float | None
    material: str
    pipe: str = ""
    drawn: bool = False
    outside_mm: float = 0.0
    outside_bends: int = 0
    outside_size_mm: float | None = None
    needed_mm: float | None = None
    found_mm: float | None = None
    stretch_short_mm: float = 0.0
    goes_through: tuple[str, ...] = ()
    crosses: tuple[str, ...] = ()
    others: str = ""
    why_not: str = ""
    no_wall: str = ""
    counts_m: float | None = None
    limit_m: float | None = None

    @property
    def key(self) -> str:
        """What tells it from every other run of its room."""
        return f"{self.piece}.{self.port}.{self.to}"

    @property
    def spare_mm(self) -> float | None:
        """The fall that is there beyond the need; below zero what is missing, of the whole or of a stretch."""
        if self.needed_mm is None or self.found_mm is None:
            return None
        spare = self.found_mm - self.needed_mm
        return min(spare, -self.stretch_short_mm) if self.stretch_short_mm else spare


def pipe_runs(scene: Scene) -> tuple[PipeRun, ...]:
    """Every run of a room: discharges, then what drains by fall, then the rest; measured once.

    >>> from geometry.samples import box_kit, piece, sample_scene
    >>> drip = {"name": "condensate", "medium": "condensate", "size_mm": 22, "at_mm": [0, 0, 0], "faces": "below"}
    >>> boiler = box_kit("boiler", 440, 360, 720, stands_on="wall", base_mm=1150, port=[drip])
    >>> outlet = {"id": "o1", "name": "gully", "at_mm": [2400, 1700], "level_mm": 900, "takes": ["condensate"]}
    >>> (run,) = pipe_runs(sample_scene([boiler], [piece(boiler, 1200, 1620)], outlets=[outlet]))
    >>> run.name, run.to, run.route.bends, round(run.spare_mm)
    ('Condensate pipe of the boiler', 'o1', 2, 192)
    """
    found: tuple[PipeRun, ...] | None = scene.memo.get(pipe_runs)
    if found is None:
        found = scene.memo[pipe_runs] = tuple(_every(scene))
    return found


def runs_of_pipe(scene: Scene, pipe: Pipe) -> tuple[PipeRun, ...]:
    """The runs of one pipe of the room file alone, the others not measured; none where nothing measures its medium."""
    if pipe.medium == MEDIUM:
        mine = [chain for chain in chains(scene) if pipe in (chain.pipe, *map(chain.above, chain.valves))]
        return tuple(run for chain in mine for run in _discharge(chain) if run.pipe == pipe.id)
    fall = dict(FALLS).get(pipe.medium)
    if fall is None:
        return () if pipe.medium in NOT_PIPES else (_pressed(Pressed(scene, pipe)),)
    found = drains(scene, pipe.medium, scene.pack.number(fall))
    return tuple(_drained(drain) for drain in found if drain.pipe == pipe and drain.run is not None)


def _every(scene: Scene) -> Iterator[PipeRun]:
    for chain in chains(scene):
        yield from _discharge(chain)
    for medium, fall in FALLS:
        for drain in drains(scene, medium, scene.pack.number(fall)):
            if drain.run is not None:
                yield _drained(drain)
    for pipe in pressed(scene):
        yield _pressed(pipe)


def _discharge(chain: Chain) -> Iterator[PipeRun]:
    scene, tundish, store = chain.scene, chain.tundish, the(chain.store.name)
    if tundish is None:
        return
    for port, route in chain.to_tundish_each:
        of = f"D1 of {store}" + (f", {port.name}" if len(chain.valves) > 1 else "")
        given = chain.above(port)
        yield PipeRun(
            of, MEDIUM, chain.store.id, port.name, tundish.id, route, chain.d1_mm(port),
            given.material if given and given.to == tundish.id else "copper", pipe=given.id if given else "",
            drawn=chain.valve_drawn(port),
            goes_through=chain.valve_meets(port, route) if isinstance(route, Route) else (),
            why_not=why_not(scene, route),
        )  # fmt: skip
    run = chain.run
    if run is not None:
        tried = run.given or (run.needs.tried[-1] if run.needs else None)
        yield PipeRun(
            f"D2 of {store}", MEDIUM, tundish.id, "outlet", run.outlet.id, run.route, run.size_mm, run.material,
            pipe=run.pipe.id if run.pipe else "", drawn=run.drawn, outside_mm=run.outlet.outside_run_mm,
            outside_bends=run.outlet.outside_bends, needed_mm=run.fall.needed_mm if run.fall else None,
            found_mm=run.fall.found_mm if run.fall else None,
            stretch_short_mm=run.fall.stretch_short_mm if run.fall else 0.0,
            goes_through=run.goes_through, crosses=run.crosses,
            others=other_discharge_outlets(chain).strip(), why_not=why_not(scene, run.route),
            no_wall=no_wall(scene, run.unclipped_mm),
            counts_m=tried.equivalent_m if tried else None, limit_m=tried.limit_m if tried else None,
        )  # fmt: skip


def _drained(drain: Drain) -> PipeRun:
    run = drain.run
    assert run is not None
    there = isinstance(run.route, Route)
    return PipeRun(
        start(drain.called.removeprefix("the ")), drain.port.medium, drain.placed.id, drain.port.name, run.outlet.id,
        run.route, drain.size_mm, drain.material, pipe=drain.pipe.id if drain.pipe else "",
        drawn=drain.drawn, outside_mm=run.outlet.outside_run_mm,
        outside_bends=run.outlet.outside_bends, outside_size_mm=outside_size(drain, run.outlet),
        needed_mm=run.fall.needed_mm if there else None,
        found_mm=run.fall.found_mm if there else None, stretch_short_mm=run.fall.stretch_short_mm,
        goes_through=run.goes_through, crosses=run.crosses,
        others=other_outlets(drain).strip(), why_not=why_not(drain.scene, run.route),
        no_wall=no_wall(drain.scene, run.unclipped_mm),
    )  # fmt: skip


def _pressed(one: Pressed) -> PipeRun:
    pipe = one.pipe
    return PipeRun(
        start(called(one).removeprefix("the ")), pipe.medium, pipe.from_.piece, pipe.from_.port, pipe.to, one.route,
        one.size_mm, pipe.material, pipe=pipe.id, drawn=pipe.via_mm is not None, goes_through=one.goes_through,
        crosses=one.crosses, why_not=why_not(one.scene, one.route), no_wall=no_wall(one.scene, one.unclipped_mm),
    )  # fmt: skip
