"""The clearance report of a layout: a page that prints on A4, and the same as one file that stands alone."""

from dataclasses import dataclass, replace
from datetime import datetime
from functools import lru_cache
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request, Response
from markupsafe import Markup

from geometry.check import Finding, Verdict, tidy
from geometry.checking import check_scene
from geometry.remedies import with_remedies
from geometry.room import Room
from geometry.scene import Scene, build
from server.agreed import NOBODY, Agreed, agreed_with
from server.cautions import CAUTIONS, NO_FAULT_FOUND, Caution
from server.checked import findings_of, scene_of
from server.drawing.svg import patterns
from server.links import Link, link_of
from server.name_store import quoted
from server.pdf import engine_css, has_engine, pdf_of
from server.report_lines import (
    AcceptedLine,
    CheckLine,
    KitLine,
    Line,
    Question,
    accepted_lines,
    check_lines,
    counts_of,
    kit_lines,
    lines,
    questions,
    sources,
)
from server.report_parts import EVERY_SECTION, SECTIONS, Parts, parts_of
from server.report_pipes import PipesOf, pipes_of
from server.report_sheets import PlanSheet, WallSheet, Whole, plan_of, walls_of, whole_of
from server.report_style import alone_css, page_css
from server.store import Layout, Store
from server.web import LayoutDep, StoreDep, templates, when
from server.wording import own_figures, read_in_reprints

router = APIRouter()

REPORTS_KEPT = 32
PartQuery = Annotated[list[str] | None, Query()]
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
    number: int | None
    saved: datetime | None
    rules: str
    foot: str
    patterns: Markup
    counts: dict[Verdict, int]
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
    parts: Parts
    name: str = ""

    @property
    def basis(self) -> str:
        """Which layout this is, and by which rules it was checked."""
        return f"{_which(self.number, self.saved, self.name)} {self.rules}".strip()


def render_report(
    room: Room,
    layout_number: int | None = None,
    saved: datetime | None = None,
    standalone: bool = True,
    shown: frozenset[str] = EVERY_SECTION,
) -> str:
    """The report of a room as HTML; the same room, number and date give the same text.

    ``standalone`` puts styles and fonts into the file, so that it needs no other; without it the file holds the body
    of the page alone, for a page that has its own styles. ``shown`` names the parts that are not left out.
    """
    scene = build(room)
    report = report_of(scene, with_remedies(scene, check_scene(scene)), layout_number, saved)
    if not standalone:
        context = {"report": report, "shown": shown, "agreed": NOBODY, "link": None}
        return templates.env.get_template("_report_body.html").render(context)
    return alone(report, shown, NOBODY, None)


def render_pdf(room: Room, shown: frozenset[str] = EVERY_SECTION) -> bytes:
    """The report of a room file as a PDF. Raises NoEngine where none can be made."""
    scene = build(room)
    return pdf_of(alone(report_of(scene, with_remedies(scene, check_scene(scene))), shown, NOBODY, None, engine_css()))


def alone(report: Report, shown: frozenset[str], agreed: Agreed, link: Link | None, css: str | None = None) -> str:
    """A report as one file; ``css`` in place of the styles with every font in them."""
    styles = Markup((alone_css() if css is None else css) + page_css(report.running, report.foot))
    context = {"report": report, "css": styles, "shown": shown, "agreed": agreed, "link": link}
    return templates.env.get_template("report_alone.html").render(context)


def report_of(
    scene: Scene, findings: tuple[Finding, ...], layout_number: int | None = None, saved: datetime | None = None
) -> Report:
    """All lines and sheets of a checked scene, its findings with the remedies that they have."""
    title, _, place = scene.room.name.partition(", ")
    asked = questions(findings, scene.room)
    running = f"{scene.room.name}. {_which(layout_number, saved)}".strip()
    return Report(
        title=title, place=place, running=running, foot=FOOT, patterns=patterns(),
        number=layout_number, saved=saved, rules=_rules(scene),
        counts=counts_of(findings), lines=lines(findings), sources=sources(findings),
        questions=asked, accepted=accepted_lines(findings),
        whole=whole_of(scene, findings), plan=plan_of(scene, findings), walls=walls_of(scene, findings, asked),
        kit=kit_lines(scene.placed), pipes=pipes_of(scene), checks=check_lines(findings), cautions=CAUTIONS,
        parts=parts_of(scene, findings),
    )  # fmt: skip


def _rules(scene: Scene) -> str:
    """Pack and edition, where its figures were read, survey tolerance, and the room's own figures."""
    pack = scene.pack
    edition = f", {pack.edition}" if pack.edition else ""
    tolerance = f"Survey tolerance {tidy(scene.room.tolerance_mm)} mm."
    return f"{pack.name} rule pack{edition}. {read_in_reprints(pack)} {tolerance} {own_figures(pack)}".strip()


def _which(layout_number: int | None, saved: datetime | None, name: str = "") -> str:
    """Number, name and date of a layout as a sentence; nothing where a file belongs to no layout.

    >>> _which(None, None)
    ''
    >>> _which(4, datetime(2026, 11, 25, 9, 42).astimezone(), "Cheaper vessel")
    'Layout 4 “Cheaper vessel”, 25 November 2026, 9.42.'
    """
    which = f"Layout {layout_number}{quoted(name)}" if layout_number is not None else ""
    parts = [part for part in (which, when(saved) if saved else "") if part]
    return ", ".join(parts) + "." if parts else ""


@lru_cache(maxsize=REPORTS_KEPT)
def _report(layout: Layout) -> Report:
    scene = scene_of(layout)
    return report_of(scene, with_remedies(scene, findings_of(layout)), layout.number, layout.saved)


def shown_of(part: list[str] | None) -> frozenset[str]:
    """The parts that a link names; all where it names none.

    >>> sorted(shown_of(["kit", "order", "none"])), shown_of(["none"]), shown_of(None) == EVERY_SECTION
    (['kit', 'order'], frozenset(), True)
    """
    return EVERY_SECTION if part is None else EVERY_SECTION & frozenset(part)


def context_of(request: Request, store: Store, layout: Layout, part: list[str] | None) -> dict[str, Any]:
    """Everything that a report of a saved layout prints."""
    link = link_of(request, store.shares.open_link(layout.room_id))
    named = replace(_report(layout), name=layout.name)
    return {"report": named, "shown": shown_of(part), "agreed": agreed_with(store, layout), "link": link}


@router.get("/rooms/{room_id}/report")
def report(request: Request, store: StoreDep, layout: LayoutDep, part: PartQuery = None) -> Response:
    """The report of a layout as a page; ``?part=`` names what is not left out."""
    context = context_of(request, store, layout, part)
    more = {"layout": layout, "sections": SECTIONS, "kept": _kept(layout, context["shown"]), "has_engine": has_engine()}
    return templates.TemplateResponse(request, "report.html", context | more)


def _kept(layout: Layout, shown: frozenset[str]) -> str:
    """Layout and parts as they stand in a link."""
    parts = [] if shown == EVERY_SECTION else ["none", *(key for key in SECTIONS if key in shown)]
    return "&".join([f"layout={layout.number}", *(f"part={key}" for key in parts)])


@router.get("/rooms/{room_id}/report.pdf")
def report_pdf(request: Request, store: StoreDep, layout: LayoutDep, part: PartQuery = None) -> Response:
    """The same report as a PDF, where the engine that makes one is installed."""
    name = f"{layout.room_id}-layout-{layout.number}.pdf"
    made = pdf_of(alone(**context_of(request, store, layout, part), css=engine_css()))
    headers = {"Content-Disposition": f'inline; filename="{name}"'}
    return Response(made, media_type="application/pdf", headers=headers)


@router.get("/rooms/{room_id}/report.css")
def report_css(layout: LayoutDep) -> Response:
    """What stands at the head and foot of every printed page of a layout's report."""
    shown = _report(layout)
    return Response(page_css(shown.running, shown.foot), media_type="text/css")
