"""The rows of a wall's setting-out sheet: every figure a person needs with a tape, a level and a pencil."""

from collections.abc import Iterable
from dataclasses import dataclass

from geometry.scene import Scene
from geometry.setting_out import BodyMark, PortMark, SettingOut, setting_out
from geometry.words import start
from server.drawing import WallMark
from server.report_lines import BASIS_WORDS, NOTHING
from server.web import mm


@dataclass(frozen=True)
class PortRow:
    """A port under its body: what it is, and where its middle is."""

    letter: str
    name: str
    from_left: str
    from_floor: str


@dataclass(frozen=True)
class SettingRow:
    """A body, an opening or an outlet on a wall, in figures as they are printed."""

    letter: str
    name: str
    left: str
    middle: str
    right: str
    under: str
    top: str
    bracket: str
    basis: str
    ports: tuple[PortRow, ...]


@dataclass(frozen=True)
class SettingSheet:
    """The table of one wall: where it is measured from, its rows, and what its chains come to."""

    corner: str
    rows: tuple[SettingRow, ...]
    closing: str


def setting_sheet(scene: Scene, edge: int, own: Iterable[str], marks: Iterable[WallMark]) -> SettingSheet:
    """The table of one wall. ``marks`` gives the letters that its drawing carries."""
    wall = setting_out(scene, edge, own)
    letters = {mark.name: mark.letter for mark in marks}
    rows = tuple(_row(mark, letters) for mark in (*wall.bodies, *wall.openings))
    return SettingSheet(start(wall.corner), rows, _closing(wall))


def _row(mark: BodyMark, letters: dict[str, str]) -> SettingRow:
    point = mark.left_mm == mark.right_mm
    names = (mark.name, f"{mark.name}, through the wall", f"{mark.name}, middle of the body")
    letter = next((letters[name] for name in names if name in letters), "")
    return SettingRow(
        letter, start(mark.name), NOTHING if point else mm(mark.left_mm), mm(mark.middle_mm),
        NOTHING if point else mm(mark.right_mm), mm(mark.under_mm), NOTHING if point else mm(mark.top_mm),
        NOTHING if mark.bracket_mm is None else mm(mark.bracket_mm), BASIS_WORDS[mark.basis],
        tuple(_port(mark, port, letters) for port in mark.ports),
    )  # fmt: skip


def _port(mark: BodyMark, port: PortMark, letters: dict[str, str]) -> PortRow:
    name = f"{port.name} {port.size_mm:g}"
    return PortRow(letters.get(f"{mark.name}, {port.name}", ""), name, mm(port.from_left_mm), mm(port.from_floor_mm))


def _closing(wall: SettingOut) -> str:
    """What the steps between neighbouring figures add up to, so that a slip in copying shows."""
    along, up = wall.along, wall.up
    return (
        f"Closing: the {len(along.steps)} steps along add up to {mm(sum(along.steps))} and the wall is"
        f" {mm(wall.length_mm)}, out by {along.closing_error_mm} mm; the {len(up.steps)} steps up add up to"
        f" {mm(sum(up.steps))}, out by {up.closing_error_mm} mm."
    )
