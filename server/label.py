"""The luggage label of the picked piece, and its other side with every figure that can be written."""

from dataclasses import dataclass

from geometry.check import Finding, tidy
from geometry.kit import CHANGEABLE
from geometry.on_wall import on_wall
from geometry.saved import SIDES
from geometry.scene import Placed, Scene
from geometry.words import start, wall_name
from server.changes import BASES, figure_of, kind
from server.web import mm

SIDE_NAMES = {
    "front": "In front", "left": "On its left", "right": "On its right", "behind": "Behind",
    "above": "Above", "below": "Below",
}  # fmt: skip
FIGURE_NAMES = {
    "width_mm": ("Width", "mm"), "depth_mm": ("Depth", "mm"), "round_mm": ("Diameter", "mm"),
    "height_mm": ("Height", "mm"), "dry_kg": ("Empty", "kg"), "water_l": ("Water", "L"),
    "input_kw": ("Heat input", "kW"),
}  # fmt: skip
WORST_SPACES = 2
AGAINST_WALL_MM = 5.0


@dataclass(frozen=True)
class Row:
    """One line of the label; ``verdict`` marks a space that is short or tight."""

    name: str
    value: str
    verdict: str = ""


@dataclass(frozen=True)
class FigureBlank:
    """One figure on the other side: what it is now, in which unit, and where it comes from."""

    field: str
    name: str
    unit: str
    value: str
    basis: str
    changed: bool


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
    figures: tuple[FigureBlank, ...]
    bases: tuple[tuple[str, str], ...]
    own_name: str


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
        figures=tuple(_figures(scene, placed)),
        bases=tuple((basis, "from memory" if basis == "memory" else basis) for basis in BASES),
        own_name=placed.piece.name or "",
    )


def rows_of(placed: Placed, findings: tuple[Finding, ...]) -> list[Row]:
    """Body, base and full weight, then the worst spaces."""
    plan = placed.kit.plan
    size = f"Ø {mm(plan.round_mm)}" if plan.round_mm else f"{mm(plan.width_mm)} × {mm(plan.depth_mm)}"
    full = placed.kit.full_kg
    weight = "weight not known" if full is None else f"{tidy(round(full))} kg full" if full >= 1 else "under 1 kg"
    base = "on the floor" if abs(placed.base_mm) < 1 else f"{mm(placed.base_mm)} up"
    rows = [Row("Body", f"{size} × {mm(placed.kit.height_mm)}"), Row("Base", f"{base}, {weight}")]
    spaces = [f for f in findings if f.check == "service-space" and f.pieces == (placed.id,) and f.needed]
    return rows + [_space(finding) for finding in spaces[:WORST_SPACES]]


def _space(finding: Finding) -> Row:
    found = "not measured" if finding.verdict == "not-checked" else "free"
    if finding.found is not None:
        found = mm(finding.found)
    verdict = finding.verdict if finding.verdict in ("put-right", "look-again") else ""
    return Row(SIDE_NAMES.get(finding.side or "", "Space"), f"{found}, needs {mm(finding.needed or 0.0)}", verdict)


def _aside(scene: Scene, placed: Placed) -> str:
    at = on_wall(scene, placed)
    wall = wall_name(scene, at.edge)
    where = f"on {wall}" if at.off_mm <= AGAINST_WALL_MM else f"{mm(at.off_mm)} off {wall}"
    kind_name = placed.kit.name if placed.name != placed.kit.name else ""
    parts = [part for part in (kind_name, where) if part]
    return start(", ".join(parts))


def _place(scene: Scene, placed: Placed) -> PlaceBlank:
    at = on_wall(scene, placed)
    return PlaceBlank(
        edge=at.edge, wall=wall_name(scene, at.edge), left_mm=_plain(at.left_mm), off_mm=_plain(at.off_mm),
        base_mm=_plain(placed.base_mm), turn_deg=_plain(placed.piece.turn_deg % 360),
    )  # fmt: skip


def _figures(scene: Scene, placed: Placed) -> list[FigureBlank]:
    own = kind(scene.room, placed.piece.kit)
    found = []
    for field in (*CHANGEABLE, *(f"space_{side}_mm" for side in SIDES)):
        value = figure_of(placed.kit, field)
        burns = field == "input_kw" and placed.kit.has("gas") and placed.kit.has("hot")
        wanted = value is not None or burns or field in ("dry_kg", "water_l")
        if wanted and (not field.startswith("space_") or value):
            change = placed.piece.changes.get(field)
            name, unit = FIGURE_NAMES.get(field) or (SIDE_NAMES[field.split("_")[1]], "mm")
            basis = change.basis if change else own.basis
            found.append(
                FigureBlank(field, name, unit, "" if value is None else _plain(value), basis, change is not None)
            )
    return found


def _plain(value: float) -> str:
    """A figure as it stands in a blank.

    >>> _plain(1400.0), _plain(272.5), _plain(-0.0)
    ('1400', '272.5', '0')
    """
    return f"{tidy(value + 0.0)}"
