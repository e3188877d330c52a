"""The pipes of a piece on its label, and the one that is drawn by hand: its points and its figures."""

from dataclasses import dataclass

from geometry.kit import Port
from geometry.pipe_editing import runs_of
from geometry.pipes.chain import chains
from geometry.pipes.joined import COLD, takes
from geometry.pipes.line import Route, outside_words
from geometry.pipes.media import medium_words
from geometry.pipes.pressed import NOT_PIPES
from geometry.pipes.runs import PipeRun, pipe_runs
from geometry.pipes.topics import things
from geometry.room import Pipe
from geometry.scene import Placed, Scene
from geometry.sums.discharge import metres
from geometry.units import DEPTH_TOLERANCE_MM, Point3
from geometry.words import start, the
from server.own_figures import plain
from server.web import plural


@dataclass(frozen=True)
class PipeLine:
    """One run in the list: ``pipe`` is what can be picked, ``draws`` what would be drawn, both empty where not."""

    name: str
    figures: str
    fall: str
    trouble: str
    pipe: str
    draws: tuple[str, str, str, str] | None
    key: str = ""


@dataclass(frozen=True)
class PointLine:
    """One point of a drawn route."""

    index: int
    x: str
    y: str
    z: str
    pinned: bool

    @property
    def words(self) -> str:
        """Its place in one line."""
        return f"{self.x}, {self.y}, {self.z} up"


@dataclass(frozen=True)
class RunFigures:
    """What is measured of one run while it is drawn."""

    name: str
    rows: tuple[tuple[str, str, bool], ...]
    trouble: str


@dataclass(frozen=True)
class PipeCard:
    """A picked pipe."""

    id: str
    name: str
    aside: str
    drawn: bool
    points: tuple[PointLine, ...]
    figures: tuple[RunFigures, ...]
    size_mm: str
    material: str


@dataclass(frozen=True)
class PipesOf:
    """The pipes of one piece, and what another may begin at and go to."""

    lines: tuple[PipeLine, ...]
    ports: tuple[tuple[str, str], ...]
    goals: tuple[tuple[str, str], ...]
    wants_tundish: bool


def pipes_of(scene: Scene, piece_id: str) -> PipesOf | None:
    """The pipes of a piece; None where it has none and nothing that one could begin at."""
    placed = scene.piece(piece_id)
    if placed is None:
        return None
    lines = tuple(_line(scene, run) for run in _runs(scene, piece_id)) + tuple(_unmeasured(scene, piece_id))
    ports = tuple((port.name, _port_words(port)) for port in _ports(placed))
    wants = placed.kit.has("unvented-store") and any(c.store.id == piece_id and c.valves for c in chains(scene))
    return PipesOf(lines, ports, tuple(_goals(scene, placed)), wants) if lines or ports else None


def card_of(scene: Scene, pipe_id: str) -> PipeCard:
    """A pipe of the room file, picked."""
    pipe = next(pipe for pipe in scene.room.pipes if pipe.id == pipe_id)
    runs, drawn = runs_of(scene, pipe_id), pipe.via_mm is not None
    points = tuple(_point(k, at, at in pipe.pinned_mm) for k, at in enumerate(points_of(pipe)))
    return PipeCard(
        pipe_id, pipe_name(scene, pipe), f"{medium_words(pipe.medium)}, to {end_name(scene, pipe.to)}", drawn,
        points, figures_of(scene, runs), "" if pipe.size_mm is None else plain(pipe.size_mm), pipe.material,
    )  # fmt: skip


def of_piece(scene: Scene, pipe_id: str, piece_id: str) -> bool:
    """Whether a pipe of the room file is among those of a piece."""
    offered = pipes_of(scene, piece_id)
    return bool(pipe_id and offered and any(line.pipe == pipe_id for line in offered.lines))


def points_of(pipe: Pipe) -> tuple[Point3, ...]:
    """The points that a hand may take hold of: those of a drawn route."""
    return pipe.via_mm or ()


def pipe_end(ref: str, port: str) -> str:
    """Where a pipe goes, as a form sends it: an outlet, or a piece and its port.

    >>> pipe_end("o1", ""), pipe_end("p2", "cold in")
    ('o1', 'p2|cold in')
    """
    return f"{ref}|{port}" if port else ref


def pipe_name(scene: Scene, pipe: Pipe) -> str:
    """What a pipe of the room file is called."""
    runs = runs_of(scene, pipe.id)
    placed = scene.piece(pipe.from_.piece)
    words = f"{medium_words(pipe.medium)} pipe of {the(placed.name if placed else pipe.from_.piece)}"
    return runs[-1].name if runs else start(words)


def end_name(scene: Scene, ref: str) -> str:
    """What a pipe goes to, in a sentence."""
    outlet = next((outlet for outlet in scene.room.outlets if outlet.id == ref), None)
    placed = scene.piece(ref)
    return the(outlet.name if outlet else placed.name if placed else ref)


def figures_of(scene: Scene, runs: tuple[PipeRun, ...]) -> tuple[RunFigures, ...]:
    """Size, length, elbows and fall of each run, and what is the matter with its line."""
    return tuple(RunFigures(run.name, tuple(_rows(run)), _trouble(scene, run)) for run in runs)


def _rows(run: PipeRun) -> list[tuple[str, str, bool]]:
    """Name, value, and whether the value is short of what is needed."""
    rows = [
        ("Size", f"{run.size_mm:g} mm {run.material}" if run.size_mm else f"none carries it, {run.material}", False)
    ]
    if not isinstance(run.route, Route):
        return rows
    length = f"{metres(round((run.route.length_mm + run.outside_mm) / 1000, 2))} m"
    outside = outside_words(run.outside_mm, run.outside_bends)
    rows.append(
        (
            "Length",
            f"{length}, {plural(run.route.bends + run.outside_bends, 'elbow')}{outside and f', {outside}'}",
            False,
        )
    )
    if run.counts_m is not None and run.limit_m is not None:
        counts = f"{metres(round(run.counts_m, 2))} m with elbows, at most {run.limit_m:g} m"
        rows.append(("Counts as", counts, run.counts_m > run.limit_m))
    if run.needed_mm is not None and run.found_mm is not None and run.spare_mm is not None:
        short = run.spare_mm < -DEPTH_TOLERANCE_MM
        left = f"{_tenths(-run.spare_mm)} short" if short else f"{_tenths(max(0.0, run.spare_mm))} left"
        left += " on a stretch" if run.stretch_short_mm else ""
        left += ", outside part not checked" if run.outside_mm else ""
        rows.append(("Fall", f"{_tenths(run.found_mm)} mm, {_tenths(run.needed_mm)} needed, {left}", short))
    return rows


def _tenths(value_mm: float) -> str:
    return f"{value_mm:,.1f}".removesuffix(".0")


def _trouble(scene: Scene, run: PipeRun) -> str:
    """In one sentence why there is no way, or what a drawn line goes through."""
    if run.why_not:
        return f"No way: {run.why_not}."
    if run.goes_through:
        return f"It goes through {things(scene, run.goes_through)}."
    return f"It has {run.no_wall}." if run.no_wall else ""


def _line(scene: Scene, run: PipeRun) -> PipeLine:
    figures = {name: value for name, value, _ in _rows(run)}
    words = [medium_words(run.medium), figures["Size"], f"to {end_name(scene, run.to)}"]
    words += [figures[name] for name in ("Length", "Counts as") if name in figures]
    fall = f"Fall {figures['Fall']}" if "Fall" in figures else ""
    return PipeLine(
        run.name,
        ", ".join(words),
        fall,
        _trouble(scene, run),
        run.pipe,
        None if run.pipe else _draws(scene, run),
        run.key,
    )


def _draws(scene: Scene, run: PipeRun) -> tuple[str, str, str, str] | None:
    """Piece, port, medium and end of the pipe that would draw a run that is found; None where another begins it."""
    placed, end = scene.piece(run.piece), scene.piece(run.to)
    if placed is None or (run.medium == "hot-discharge" and end is not None):
        return None
    piece, port = run.piece, run.port
    if all(one.name != port for one in placed.kit.port):
        chain = next(c for c in chains(scene) if c.tundish is not None and c.tundish.id == piece)
        piece, port = chain.store.id, chain.valves[0].name
    ports = [one.name for one in end.kit.port if one.medium == run.medium] if end else [""]
    return (piece, port, run.medium, pipe_end(run.to, ports[0])) if ports else None


def _runs(scene: Scene, piece_id: str) -> list[PipeRun]:
    """The runs that begin or end at a piece; of a store those of its discharge on to the end."""
    mine = {pipe.id for pipe in scene.room.pipes if pipe.from_.piece == piece_id}
    stores = [c for c in chains(scene) if piece_id in c.pieces]
    also = {one for chain in stores for one in chain.pieces}
    return [
        run for run in pipe_runs(scene)
        if piece_id in (run.piece, run.to) or run.pipe in mine or (run.medium == "hot-discharge" and run.piece in also)
    ]  # fmt: skip


def _unmeasured(scene: Scene, piece_id: str) -> list[PipeLine]:
    """Pipes of the room file that begin here and that no check measures."""
    known = {run.pipe for run in _runs(scene, piece_id)}
    mine = [pipe for pipe in scene.room.pipes if pipe.from_.piece == piece_id and pipe.id not in known]
    why = "Nothing measures it here."
    return [PipeLine(pipe_name(scene, pipe), f"to {end_name(scene, pipe.to)}", "", why, pipe.id, None) for pipe in mine]


def _ports(placed: Placed) -> list[Port]:
    return [port for port in placed.kit.port if port.medium not in NOT_PIPES]


def _port_words(port: Port) -> str:
    medium = "" if port.name == port.medium else f", {medium_words(port.medium)}"
    return f"{start(port.name)}{medium}, {port.size_mm:g} mm"


def _goals(scene: Scene, placed: Placed) -> list[tuple[str, str]]:
    """Every outlet, and every port of another piece, for what a port of this one carries; and silent outlets."""
    media = {port.medium for port in _ports(placed)}
    media |= COLD if media & COLD else set()
    fits = [o for o in scene.room.outlets if any(takes(o, medium) is not False for medium in media)]
    goals = [(pipe_end(outlet.id, ""), start(outlet.name)) for outlet in fits]
    for other in scene.placed:
        ports = [port for port in _ports(other) if port.medium in media and other.id != placed.id]
        goals += [(pipe_end(other.id, port.name), f"{other.name}, {port.name}") for port in ports]
    return goals


def _point(index: int, at: Point3, pinned: bool) -> PointLine:
    x, y, z = (plain(value) for value in at)
    return PointLine(index, x, y, z, pinned)
