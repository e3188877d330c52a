"""The clearance report of a layout: a page that prints on A4, and the same as one file that stands alone."""

from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache

from fastapi import APIRouter, Request, Response
from markupsafe import Markup

from geometry.check import Finding, tidy
from geometry.checking import check_scene
from geometry.remedies import with_remedies
from geometry.room import Room
from geometry.scene import Scene, build
from server.cautions import CAUTIONS, NO_FAULT_FOUND, Caution
from server.checked import findings_of, scene_of
from server.drawing.svg import patterns
from server.report_lines import (
    BASIS_WORDS,
    AcceptedLine,
    CheckLine,
    KitLine,
    Line,
    Question,
    accepted_lines,
    check_lines,
    kit_lines,
    lines,
    questions,
    sources,
)
from server.report_pipes import PipesOf, pipes_of
from server.report_sheets import PlanSheet, WallSheet, Whole, plan_of, walls_of, whole_of
from server.report_style import alone_css, page_css
from server.store import Layout
from server.web import LayoutDep, templates, when
from server.wording import own_figures, read_in_reprints

router = APIRouter()

REPORTS_KEPT = 32
FOOT = (
    f"An aid to arranging. {NO_FAULT_FOUND} The maker's manual and the current regulations win over any figure here."
    " Check every measure on site before you order or drill."
)


@dataclass(frozen=True)
class Report:
    """Everything that the report prints of one layout."""

    title: str
    place: str
    running: str
    basis: str
    foot: str
    patterns: Markup
    counts: dict[str, int]
    lines: list[Line]
    sources: list[tuple[str, str]]
    questions: list[Question]
    accepted: list[AcceptedLine]
    whole: Whole
    plan: PlanSheet
    walls: list[WallSheet]
    kit: list[KitLine]
    pipes: PipesOf
    checks: list[CheckLine]
    cautions: tuple[Caution, ...]

    @property
    def basis_words(self) -> dict[str, str]:
        """Where a figure comes from, in words."""
        return BASIS_WORDS


def render_report(
    room: Room, layout_number: int | None = None, saved: datetime | None = None, standalone: bool = True
) -> str:
    """The report of a room as HTML; the same room, number and date give the same text.

    ``standalone`` puts styles and fonts into the file, so that it needs no other; without it the file holds the body
    of the page alone, for a page that has its own styles.
    """
    scene = build(room)
    report = report_of(scene, check_scene(scene), layout_number, saved)
    if not standalone:
        return templates.env.get_template("_report_body.html").render(report=report)
    css = Markup(alone_css() + page_css(report.running, report.foot))
    return templates.env.get_template("report_alone.html").render(report=report, css=css)


def report_of(
    scene: Scene, findings: tuple[Finding, ...], layout_number: int | None = None, saved: datetime | None = None
) -> Report:
    """All lines and sheets of a checked scene. Remedies are looked for here."""
    cured = with_remedies(scene, findings)
    title, _, place = scene.room.name.partition(", ")
    asked = questions(cured, scene.room)
    which = _which(layout_number, saved)
    return Report(
        title=title, place=place, running=f"{scene.room.name}. {which}".strip(), foot=FOOT, patterns=patterns(),
        basis=f"{which} {_rules(scene)}".strip(),
        counts=_counts(cured), lines=lines(cured), sources=sources(cured),
        questions=asked, accepted=accepted_lines(cured),
        whole=whole_of(scene, cured), plan=plan_of(scene, cured), walls=walls_of(scene, cured, asked),
        kit=kit_lines(scene.placed), pipes=pipes_of(scene), checks=check_lines(cured), cautions=CAUTIONS,
    )  # fmt: skip


def _rules(scene: Scene) -> str:
    """Pack and edition, where its figures were read, survey tolerance, and the room's own figures."""
    pack = scene.pack
    edition = f", {pack.edition}" if pack.edition else ""
    tolerance = f"Survey tolerance {tidy(scene.room.tolerance_mm)} mm."
    return f"{pack.name} rule pack{edition}. {read_in_reprints(pack)} {tolerance} {own_figures(pack)}".strip()


def _which(layout_number: int | None, saved: datetime | None) -> str:
    """Number and date of a layout as a sentence; nothing where a file belongs to no layout.

    >>> _which(None, None)
    ''
    >>> _which(4, datetime(2026, 11, 25, 9, 42).astimezone())
    'Layout 4, 25 November 2026, 9.42.'
    """
    parts = ([f"Layout {layout_number}"] if layout_number is not None else []) + ([when(saved)] if saved else [])
    return ", ".join(parts) + "." if parts else ""


def _counts(findings: tuple[Finding, ...]) -> dict[str, int]:
    names = ("put-right", "look-again", "not-checked", "no-fault")
    return {name: sum(f.verdict == name for f in findings) for name in names}


@lru_cache(maxsize=REPORTS_KEPT)
def _report(layout: Layout) -> Report:
    return report_of(scene_of(layout), findings_of(layout), layout.number, layout.saved)


@router.get("/rooms/{room_id}/report")
def report(request: Request, layout: LayoutDep) -> Response:
    """The report of a layout as a page."""
    return templates.TemplateResponse(request, "report.html", {"layout": layout, "report": _report(layout)})


@router.get("/rooms/{room_id}/report.css")
def report_css(layout: LayoutDep) -> Response:
    """What stands at the head and foot of every printed page of a layout's report."""
    shown = _report(layout)
    return Response(page_css(shown.running, shown.foot), media_type="text/css")
