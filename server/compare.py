"""Two layouts of a room side by side: both plans, what stands otherwise, and what changed in the findings."""

from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response
from markupsafe import Markup

from geometry.check import WORST_FIRST, Finding
from geometry.comparing import Comparison, compared
from geometry.moved_since import Difference, moved_since
from geometry.scene import Scene
from server.agreed import Agreed, agreed_with
from server.checked import findings_of, scene_of
from server.drawing import plan_sheet
from server.drawing.svg import patterns
from server.report_lines import numbered
from server.report_sheets import PlanSheet, plan_of
from server.store import Layout, Store
from server.web import StoreDep, templates
from server.wording import VERDICT_MARKS, VERDICT_WORDS

router = APIRouter()


@dataclass(frozen=True)
class Side:
    """One of the two layouts: its plan, its counts, and who agreed to it."""

    layout: Layout
    plan: PlanSheet
    counts: dict[str, int]
    agreed: Agreed


@dataclass(frozen=True)
class TwoSides:
    """Everything that the page shows of two layouts."""

    before: Side
    after: Side
    differences: tuple[Difference, ...]
    found: Comparison


def two_sides(store: Store, before: Layout, after: Layout) -> TwoSides:
    """Two layouts held against each other; both plans to the smaller of their scales."""
    scenes = scene_of(before), scene_of(after)
    scale = max(plan_of(scene, ()).scale for scene in scenes)
    one, two = (
        Side(layout, _plan(scene, findings_of(layout), scale), _counts(findings_of(layout)), agreed_with(store, layout))
        for layout, scene in zip((before, after), scenes, strict=True)
    )
    found = compared(findings_of(before), findings_of(after))
    return TwoSides(one, two, moved_since(*scenes), found)


def _plan(scene: Scene, findings: tuple[Finding, ...], scale: int) -> PlanSheet:
    return PlanSheet(scale, Markup(plan_sheet(scene, numbered(findings), scale)))


def _counts(findings: tuple[Finding, ...]) -> dict[str, int]:
    return {verdict: sum(finding.verdict == verdict for finding in findings) for verdict in WORST_FIRST}


@router.get("/rooms/{room_id}/compare")
def compare(
    request: Request, store: StoreDep, room_id: str,
    before: Annotated[int | None, Query(alias="from")] = None, to: int | None = None,
) -> Response:  # fmt: skip
    """Two layouts; without ``to`` the latest, without ``from`` the one before that."""
    after = store.latest(room_id) if to is None else store.layout(room_id, to)
    earlier = store.layout(room_id, max(1, after.number - 1) if before is None else before)
    context = {
        "two": two_sides(store, earlier, after), "lines": store.layouts(room_id), "patterns": patterns(),
        "words": VERDICT_WORDS, "marks": VERDICT_MARKS, "title": after.room.name.partition(", ")[0],
    }  # fmt: skip
    return templates.TemplateResponse(request, "compare.html", context)
