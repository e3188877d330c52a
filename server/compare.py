"""Two layouts of a room side by side: both plans, what stands otherwise, and what changed in the findings."""

from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from geometry.check import Verdict
from geometry.comparing import Comparison, compared
from geometry.moved_since import Difference, moved_since
from server.agreed import Agreed, agreed_with
from server.checked import findings_of, scene_of
from server.drawing import choose_scale
from server.drawing.svg import patterns
from server.report_lines import counts_of
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
    counts: dict[Verdict, int]
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
    scale = max(choose_scale(scene) for scene in scenes)
    findings = findings_of(before), findings_of(after)
    one, two = (
        Side(layout, plan_of(scene, found, scale), counts_of(found), agreed_with(store, layout))
        for layout, scene, found in zip((before, after), scenes, findings, strict=True)
    )
    return TwoSides(one, two, moved_since(*scenes), compared(*findings))


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
