"""The drawings of the report: the room unfolded, the plan to scale, and one sheet for each wall to set out."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

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
from server.drawing.paper import THICKEST_MM
from server.drawing.seats import seats
from server.report_lines import Question, numbered
from server.report_setting import SettingSheet, setting_sheet

WHOLE_PX = (400.0, 330.0)
PX_MM = 96 / 25.4
_TO_HANDLE = re.compile(r' (?:tabindex|role|aria-[a-z]+)="[^"]*"')
"""What makes a drawing answer to hand and keyboard: a printed one does not."""
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
            scale = choose_scale(scene, edge.index)
            drawn = wall_sheet(scene, edge.index, scale, numbers)
            table = setting_sheet(scene, edge.index, own, marks)
            sheets.append(WallSheet(edge.index, name, scale, drawn, table, _on_wall(asked, own)))
    return sheets


def _on_wall(asked: Sequence[Question], own: set[str]) -> list[Question]:
    """The questions about the kit of one wall; those that every wall has stand on its sheet already."""
    return [q for q in asked if own & set(q.pieces) and q.topic not in _EVERY_WALL]
