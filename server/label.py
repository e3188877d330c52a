"""The luggage label of the picked piece, and its other side with every figure that can be written."""

from dataclasses import dataclass

from geometry.check import Finding, tidy
from geometry.editing import kind_of
from geometry.on_wall import on_wall
from geometry.scene import Placed, Scene
from geometry.several import Line
from geometry.units import DEPTH_TOLERANCE_MM
from geometry.words import start, wall_name
from server.asked import BASES
from server.own_figures import SIDE_NAMES, FigureGroup, basis_words, figure_groups, plain
from server.pipe_blanks import ENDS, ENDS_WORDS, OutletBlank, PipeBlank, outlet_blanks, pipe_blanks
from server.several import LINE_WORDS
from server.to_the_door import to_the_door_mm
from server.web import mm

WORST_SPACES = 2
AGAINST_WALL_MM = 5.0


@dataclass(frozen=True)
class Row:
    """One line of the label; ``verdict`` marks a space that is short or tight."""

    name: str
    value: str
    verdict: str = ""


@dataclass(frozen=True)
class PlaceBlank:
    """The place in figures, from the left corner of a wall."""

    edge: int
    wall: str
    left_mm: str
    off_mm: str
    base_mm: str
    turn_deg: str


@dataclass(frozen=True)
class Label:
    """Everything on both sides."""

    piece: str
    name: str
    aside: str
    pinned: bool
    place: PlaceBlank
    figures: tuple[FigureGroup, ...]
    pipes: tuple[PipeBlank, ...]
    outlets: tuple[OutletBlank, ...]
    bases: tuple[tuple[str, str], ...]
    ends: tuple[tuple[str, str], ...]
    basis: str
    own_name: str


@dataclass(frozen=True)
class SeveralLabel:
    """The label of several picked pieces: ids in the order they were picked, and the lines they can be brought to."""

    piece: str
    also: str
    first: str
    names: tuple[str, ...]
    lines: tuple[tuple[Line, str], ...]
    can_turn: bool


def several_of(scene: Scene, ids: tuple[str, ...]) -> SeveralLabel:
    """The label of several pieces. Heights are lined up where all hang on walls; what hangs there is not turned."""
    every = [placed for piece_id in ids if (placed := scene.piece(piece_id))]
    hang = [placed.kit.stands_on == "wall" for placed in every]
    lines = tuple(
        (line, words) for line, words in LINE_WORDS.items() if all(hang) or line not in ("tops", "undersides")
    )
    names = tuple(placed.name for placed in every)
    return SeveralLabel(ids[0], " ".join(ids[1:]), names[0], names, lines, not any(hang))


def label_of(scene: Scene, piece_id: str) -> Label | None:
    """The label of a piece, or None where the room has not got it."""
    placed = scene.piece(piece_id)
    if placed is None:
        return None
    return Label(
        piece=placed.id,
        name=placed.name,
        aside=_aside(scene, placed),
        pinned=placed.piece.pinned,
        place=_place(scene, placed),
        figures=tuple(figure_groups(scene.room, placed)),
        pipes=tuple(pipe_blanks(scene, placed)),
        outlets=tuple(outlet_blanks(scene, placed)),
        bases=tuple((basis, "from memory" if basis == "memory" else basis) for basis in BASES),
        ends=tuple((end, ENDS_WORDS[end]) for end in ENDS),
        basis=basis_words(placed.piece, kind_of(scene.room, placed.piece.kit)) if placed.piece.changes else "",
        own_name=placed.piece.name or "",
    )


def rows_of(scene: Scene, placed: Placed, findings: tuple[Finding, ...]) -> list[Row]:
    """Body, base and full weight, then the worst spaces."""
    plan = placed.kit.plan
    size = f"Ø {mm(plan.round_mm)}" if plan.round_mm else f"{mm(plan.width_mm)} × {mm(plan.depth_mm)}"
    full = placed.kit.full_kg
    weight = "weight not known" if full is None else f"{tidy(round(full))} kg full" if full >= 1 else "under 1 kg"
    base = "on the floor" if abs(placed.base_mm) < 1 else f"{mm(placed.base_mm)} up"
    rows = [Row("Body", f"{size} × {mm(placed.kit.height_mm)}"), Row("Base", f"{base}, {weight}")]
    spaces = [f for f in findings if f.check == "service-space" and f.pieces == (placed.id,) and f.needed]
    return rows + [_space(scene, placed, finding) for finding in spaces[:WORST_SPACES]]


def _space(scene: Scene, placed: Placed, finding: Finding) -> Row:
    found = "not measured" if finding.verdict == "not-checked" else "free"
    if finding.found is not None:
        found = mm(finding.found)
        door_mm = to_the_door_mm(scene, placed, finding.side)
        if door_mm is not None and finding.found > door_mm + DEPTH_TOLERANCE_MM:
            found = f"{mm(door_mm)} to the door, {found} through it"
    verdict = finding.verdict if finding.verdict in ("put-right", "look-again") else ""
    return Row(SIDE_NAMES.get(finding.side or "", "Space"), f"{found}, needs {mm(finding.needed or 0.0)}", verdict)


def _aside(scene: Scene, placed: Placed) -> str:
    at = on_wall(scene, placed)
    wall = wall_name(scene, at.edge)
    where = f"against {wall}" if at.off_mm <= AGAINST_WALL_MM else f"{mm(at.off_mm)} mm from {wall}"
    kind_name = placed.kit.name if placed.name != placed.kit.name else ""
    parts = [part for part in (kind_name, where, "pinned" if placed.piece.pinned else "") if part]
    return start(", ".join(parts))


def _place(scene: Scene, placed: Placed) -> PlaceBlank:
    at = on_wall(scene, placed)
    return PlaceBlank(
        edge=at.edge, wall=wall_name(scene, at.edge), left_mm=plain(at.left_mm), off_mm=plain(at.off_mm),
        base_mm=plain(placed.base_mm), turn_deg=plain(placed.piece.turn_deg % 360),
    )  # fmt: skip
