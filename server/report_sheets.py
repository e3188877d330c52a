"""The drawings of the report: the room unfolded, the plan to scale, and one sheet for each wall to set out."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from markupsafe import Markup

from geometry.check import Finding
from geometry.scene import Scene
from geometry.words import start, wall_name
from server.drawing import (
    choose_scale,
    draw_findings,
    draw_kit,
    draw_room,
    plan_sheet,
    unfolded,
    wall_marks,
    wall_sheet,
)
from server.drawing.paper import SCALES, THICKEST_MM
from server.drawing.seats import seats
from server.report_lines import Question, numbered
from server.report_setting import SettingSheet, setting_sheet

WHOLE_PX = (400.0, 330.0)
PX_MM = 96 / 25.4
_TO_HANDLE = re.compile(r' (?:tabindex|role|aria-[a-z]+)="[^"]*"')
"""What makes a drawing answer to hand and keyboard: a printed one does not."""
_SIZE = re.compile(r' width="([0-9.]+)mm" height="([0-9.]+)mm"')
WIDE_MM, SHEET_MM, MOST_SMALLER, SMALL = 180.0, 249.0, 1.5, 50
"""Room for a sheet, how many times smaller a wall may be drawn, and from which scale on it is tried twice as large."""
_TAPES_MM = 24.0
_HEADS_MM, _ROW_MM, _PORT_MM, _QUESTION_MM, _LETTERS = 60.0, 4.2, 4.0, 5.6, 125
"""What a sheet carries besides its drawing, as it is set in print: heads, notes, a row, a line of ports, a question."""
_CLOSER_MM, _CLOSER = 16.0, 0.82
"""How much less heads and notes take where all is set closer, and how much of the usual the rows do."""
_CLOSER_LINE = 0.65
"""And how much of the usual a line of its questions."""
_BESIDE_MM = 118.0
"""How wide a drawing is at most that has its questions beside it on a page 180 mm wide."""
_EVERY_WALL = ("hidden", "manuals")


@dataclass(frozen=True)
class Whole:
    """The room unfolded, and about how much smaller than the room it is on paper."""

    svg: Markup
    about: int


@dataclass(frozen=True)
class PlanSheet:
    """The plan to scale; ``thick`` is how thick a wall is drawn at most, 0 where none is thicker."""

    scale: int
    svg: Markup
    thick: float


@dataclass(frozen=True)
class WallSheet:
    """One wall (of which edge) to scale, its table of setting-out, and what was not checked on it."""

    edge: int
    name: str
    scale: int
    svg: Markup
    setting: SettingSheet
    questions: list[Question]
    tight: bool = False
    """Whether everything has to be set closer to stand on one sheet."""

    @property
    def beside(self) -> bool:
        """Whether the drawing leaves room for the questions beside it."""
        return _size_mm(self.svg)[0] <= _BESIDE_MM


def whole_of(scene: Scene, findings: Sequence[Finding]) -> Whole:
    """The room unfolded, small, with its pins."""
    width, height = WHOLE_PX
    view = unfolded(scene, width, height, least_px_mm=0.0)
    drawn = draw_room(view, scene) + draw_kit(view, scene) + draw_findings(view, scene, numbered(findings))
    inside = Markup(_TO_HANDLE.sub("", drawn))
    frame = '<svg class="small" width="{0:.0f}" height="{1:.0f}" viewBox="0 0 {0:.0f} {1:.0f}" role="img"'
    svg = Markup(frame + ' aria-label="The room unfolded">{2}</svg>').format(view.width_px, view.height_px, inside)
    return Whole(svg, 10 * round(PX_MM / view.scale_px_mm / 10))


def plan_of(scene: Scene, findings: Sequence[Finding], scale: int | None = None) -> PlanSheet:
    """The plan to scale; where none is named, at the largest of the usual scales that the paper holds."""
    scale = scale or choose_scale(scene)
    thick = THICKEST_MM if any(edge.thick_mm > THICKEST_MM for edge in scene.edges) else 0.0
    return PlanSheet(scale, plan_sheet(scene, numbered(findings), scale), thick)


def walls_of(scene: Scene, findings: Sequence[Finding], asked: Sequence[Question]) -> list[WallSheet]:
    """A sheet for each wall that carries kit or has something to set out, in the order of the walls."""
    found, numbers = seats(scene), numbered(findings)
    sheets = []
    for edge in scene.edges:
        own = {item.id for item, _ in found.on(scene, edge.index)}
        marks = wall_marks(scene, edge.index)
        if own or marks:
            name = start(wall_name(scene, edge.index).removeprefix("the "))
            table, questions = setting_sheet(scene, edge.index, own, marks), _on_wall(asked, own)
            usual, closer = (_room_mm(table, questions, closer=one) for one in (False, True))
            scale, drawn = _drawn(scene, edge.index, numbers, usual, closer)
            sheets.append(WallSheet(edge.index, name, scale, drawn, table, questions, not _fits(drawn, usual)))
    return sheets


_Room = tuple[float, float]
"""How high a drawing may be for a sheet, with its questions under it, and with them beside it."""


def _drawn(
    scene: Scene, edge: int, numbers: list[tuple[int, Finding]], room: _Room, closer: _Room
) -> tuple[int, Markup]:
    """A wall at the usual scale; a step smaller where its table stands on the same sheet then, a small one larger.

    ``closer`` is the room where all that goes with the drawing is set closer.
    """
    usual = choose_scale(scene, edge)
    if usual >= SMALL and scene.edges[edge].length_mm * 2 / usual < WIDE_MM - _TAPES_MM:
        drawn = wall_sheet(scene, edge, usual // 2, numbers)
        if _fits(drawn, closer):
            return usual // 2, drawn
    for scale in (one for one in SCALES if usual <= one <= usual * MOST_SMALLER):
        drawn = wall_sheet(scene, edge, scale, numbers)
        if _fits(drawn, room):
            return scale, drawn
    return usual, wall_sheet(scene, edge, usual, numbers)


def _fits(drawn: str, room: _Room) -> bool:
    wide, high = _size_mm(drawn)
    return wide <= WIDE_MM and high <= room[wide <= _BESIDE_MM]


def _size_mm(drawn: str) -> tuple[float, float]:
    """Width and height of a drawing on paper."""
    wide, high = _SIZE.findall(drawn)[0]
    return float(wide), float(high)


def _room_mm(table: SettingSheet, questions: Sequence[Question], *, closer: bool) -> _Room:
    """About how high a drawing may be, so that all that goes with it stands on one sheet, set closer or not."""
    rows = [[f"{p.letter} {p.name}: {p.from_left} along, {p.from_floor} up; " for p in row.ports] for row in table.rows]
    ports = sum(ceil(len("".join(told)) / _LETTERS) for told in rows)
    asked = [len(question.question + question.answered) for question in questions]
    lines = ceil(sum(asked) / _LETTERS) if closer else sum(ceil(one / _LETTERS) for one in asked)
    rest = (len(rows) * _ROW_MM + ports * _PORT_MM) * (_CLOSER if closer else 1.0)
    left = SHEET_MM - _HEADS_MM + (_CLOSER_MM if closer else 0.0) - rest
    return left - lines * _QUESTION_MM * (_CLOSER_LINE if closer else 1.0), left


def _on_wall(asked: Sequence[Question], own: set[str]) -> list[Question]:
    """The questions about the kit of one wall; those that every wall has stand on its sheet already."""
    return [q for q in asked if own & set(q.pieces) and q.topic not in _EVERY_WALL]
