"""The builder's work list: what has to be there before the kit comes, read from the room and what stands in it.

Holes for outlets and flues, boards behind hung kit on hollow walls, plinths under raised kit, electrical supplies,
drains that no outlet takes yet, openings for air, and doorways that are only planned. Where a size is not known the
line says so and asks. That these are the things left as "by others" is common practice, no source.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> tank = box_kit("tank", 480, 480, 850, dry_kg=20, water_l=120)
>>> for work in builders_work(sample_scene([tank], [piece(tank, 400, 1500, base_mm=100)])):
...     print(work.group, "|", work.told)
plinth | Plinth 100 mm high under the tank, at least 480 × 480 mm, to carry 140 kg.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from geometry.check import mm
from geometry.kit import Port
from geometry.pipes.runs import pipe_runs
from geometry.scene import Placed, Scene
from geometry.setting_out import hangs
from geometry.shapes import overlap_mm
from geometry.units import DEPTH_TOLERANCE_MM, whole_mm
from geometry.walls import Edge
from geometry.words import listed, the, wall_name

Group = Literal["hole", "board", "plinth", "supply", "drain", "air", "opening"]
DRAINED = ("hot-discharge", "condensate", "overflow", "relief", "waste", "drain")
_BEHIND_MM = 60.0


@dataclass(frozen=True)
class Work:
    """One line of work: its group, what it is with all its figures, the piece it is for, and what is still open."""

    group: Group
    told: str
    piece: str = ""
    question: str = ""


def builders_work(scene: Scene) -> tuple[Work, ...]:
    """Everything, by group; within a group in the order of the room file."""
    groups = (_holes, _boards, _plinths, _supplies, _drains, _air, _openings)
    return tuple(work for group in groups for work in group(scene))


def _holes(scene: Scene) -> Iterator[Work]:
    pipes = pipe_runs(scene)
    for outlet in scene.room.outlets:
        sizes = {pipe.size_mm for pipe in pipes if pipe.to == outlet.id and pipe.size_mm}
        size = f"for {max(sizes):g} mm pipe" if sizes else "for a pipe whose size is not settled"
        where = _where(scene, outlet.at_mm)
        takes = listed(medium.replace("-", " ") for medium in outlet.takes) or "nothing named yet"
        ask = "" if sizes else f"What size is the pipe to the {outlet.name}?"
        yield Work("hole", f"Hole {size}, {where}, {mm(outlet.level_mm)} up: {outlet.name} ({takes}).", "", ask)
    placed = {flue.piece for flue in scene.room.flues}
    for flue in scene.room.flues:
        edge = scene.edges[flue.edge]
        left = mm(edge.length_mm - flue.along_mm)
        yield Work(
            "hole", f"Hole for the flue of {_the(scene, flue.piece)}, terminal {flue.round_mm:g} mm, in"
            f" {wall_name(scene, flue.edge)}, {left} from its left corner, {mm(flue.level_mm)} up to the middle.",
            flue.piece,
        )  # fmt: skip
    for item in scene.placed:
        if item.id not in placed and any(port.medium == "flue" for port in item.kit.port):
            ask = f"Where does the flue of {the(item.name)} go through the wall or the roof?"
            yield Work(
                "hole", f"Hole for the flue of {the(item.name)}: its place is not in the room file.", item.id, ask
            )


def _boards(scene: Scene) -> Iterator[Work]:
    """Ply or noggins behind hung kit that a hollow wall does not carry by itself."""
    builds = {wall.edge: wall.build.lower() for wall in scene.room.walls}
    limit = scene.pack.number("wall-hollow-carries")
    for item in scene.placed:
        edge = _behind(scene, item)
        mass = item.kit.full_kg
        if edge is None or not hangs(item) or (mass is not None and mass <= limit):
            continue
        build = builds.get(edge.index, "unknown")
        if any(word in build for word in scene.pack.words("wall-solid")):
            continue
        left = edge.length_mm - edge.measure(item.piece.at_mm)[0]
        weighs = "a weight that is not known" if mass is None else f"{mass:g} kg full"
        told = (
            f"Board or noggins in {wall_name(scene, edge.index)} ({build}) behind {the(item.name)}, {weighs}: middle"
            f" {mm(left)} from the left corner, {mm(item.kit.plan.width_mm)} wide at least, from {mm(item.base_mm)} to"
            f" {mm(item.top_mm)} up."
        )
        hollow = any(word in build for word in scene.pack.words("wall-hollow"))
        ask = "" if hollow else f"What is {wall_name(scene, edge.index)} made of there? Brick or block needs no board."
        yield Work("board", told, item.id, ask)


def _plinths(scene: Scene) -> Iterator[Work]:
    for item in scene.placed:
        if item.kit.stands_on != "floor" or item.base_mm <= DEPTH_TOLERANCE_MM or _carried(scene, item):
            continue
        mass = item.kit.full_kg
        carries = "" if mass is None else f", to carry {mass:g} kg"
        size = f"{whole_mm(item.kit.plan.width_mm):,} × {mm(item.kit.plan.depth_mm)}"
        yield Work(
            "plinth", f"Plinth {mm(item.base_mm)} high under {the(item.name)}, at least {size}{carries}.", item.id
        )


def _carried(scene: Scene, item: Placed) -> bool:
    """Whether something that is drawn already stands under a piece."""
    return any(
        abs(solid.to_mm - item.base_mm) <= DEPTH_TOLERANCE_MM and overlap_mm(solid.plan, part) > DEPTH_TOLERANCE_MM
        for solid in scene.solids if solid.owner != item.id and solid.part in ("body", "fixture")
        for part in item.body
    )  # fmt: skip


def _supplies(scene: Scene) -> Iterator[Work]:
    for item in scene.placed:
        cables = [port for port in item.kit.port if port.medium == "cable"]
        if cables and not item.kit.has("sparks"):
            yield Work(
                "supply", f"Electrical supply for {the(item.name)}, {_at_port(scene, item, cables[0])}.", item.id
            )


def _at_port(scene: Scene, item: Placed, port: Port) -> str:
    x, y, z = item.to_room(port.at_mm)
    return f"{_where(scene, (x, y))}, {mm(z)} up"


def _drains(scene: Scene) -> Iterator[Work]:
    """Ports that drain something that no outlet of the room takes."""
    taken = {medium for outlet in scene.room.outlets for medium in outlet.takes}
    pumped = {port.medium for item in scene.placed if item.kit.has("pump") for port in item.kit.port}
    piped = {(pipe.from_.piece, pipe.from_.port) for pipe in scene.room.pipes}
    for item in scene.placed:
        for port in item.kit.port:
            open_end = port.medium in DRAINED and port.medium not in taken | (pumped & {"condensate"})
            if not open_end or (item.id, port.name) in piped or item.kit.has("pump"):
                continue
            told = f"Drain for the {port.name} of {the(item.name)}, {port.size_mm:g} mm, {_at_port(scene, item, port)}."
            ask = f"Where does the {port.name} of {the(item.name)} go?"
            yield Work("drain", told, item.id, ask)


def _air(scene: Scene) -> Iterator[Work]:
    for vent in scene.room.vents:
        leads = "outside" if vent.to == "outside" else "to the next room"
        yield Work(
            "air", f"Opening for air ({vent.name}), {vent.free_cm2:g} cm² free, {mm(vent.level_mm)} up, {leads}."
        )


def _openings(scene: Scene) -> Iterator[Work]:
    for door in scene.room.doors:
        if door.planned:
            left = scene.edges[door.edge].length_mm - door.from_mm - door.clear_mm
            yield Work(
                "opening", f"New doorway {door.id} in {wall_name(scene, door.edge)}, clear {mm(door.clear_mm)}, head"
                f" {mm(door.head_mm)}, {mm(left)} from the left corner.",
            )  # fmt: skip


def _behind(scene: Scene, item: Placed) -> Edge | None:
    """The wall at the back of a piece, no farther off than a batten."""
    back = item.direction("behind")
    for edge in scene.edges:
        gap = min(edge.measure(point)[1] - part.radius_mm for part in item.body for point in part.points)
        along = edge.measure(item.piece.at_mm)[0]
        square = -(back[0] * edge.inward[0] + back[1] * edge.inward[1]) > 0.99
        if square and 0 <= along <= edge.length_mm and abs(gap) <= _BEHIND_MM:
            return edge
    return None


def _where(scene: Scene, at: tuple[float, float]) -> str:
    """A place in plan as a person with a tape finds it: on the nearest wall, from its left corner."""

    def away(edge: Edge) -> float:
        along, inward = edge.measure(at)
        beyond = max(0.0, -along, along - edge.length_mm)
        return abs(inward) + beyond

    edge = min(scene.edges, key=lambda one: (round(away(one), 3), one.index))
    left = edge.length_mm - edge.measure(at)[0]
    return f"in {wall_name(scene, edge.index)} {mm(left)} from its left corner"


def _the(scene: Scene, ref: str) -> str:
    return the(scene.names.get(ref, ref))
