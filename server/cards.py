"""What the list of rooms shows of each room. Layouts never change, so each is counted and drawn once."""

import logging
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import ceil, floor

from markupsafe import Markup

from geometry.check import VERDICTS
from geometry.errors import RoomError
from geometry.scene import Scene
from server.checked import findings_of, scene_of
from server.drawing import thumbnail, thumbnail_scale, unfolded
from server.drawing.unfold import outer_ring
from server.store import Layout

log = logging.getLogger(__name__)

WIDTH_PX, HEIGHT_PX = 306, 360
MARGIN_PX = 3
CARDS_KEPT = 512
MOST_COUNTED = 60
"""A room of more pieces takes too long to check for a list: it is counted when it is opened."""


@dataclass(frozen=True)
class Card:
    """One room of the list: its drawing and its counts (none for a very large room), or why there are neither."""

    layout: Layout
    title: str
    place: str
    counts: dict[str, int]
    drawing: Markup
    view_box: str
    height_px: int
    trouble: str


def cards(layouts: Sequence[Layout]) -> list[Card]:
    """A card for each layout, drawn to one scale."""
    usable = [layout for layout in layouts if not _trouble_of_card(layout)]
    scale_px_mm = min((_largest_scale(layout) for layout in usable), default=0.0)
    return [_card(layout, scale_px_mm) for layout in layouts]


def title_and_place(layout: Layout) -> tuple[str, str]:
    """The name of the room and, after its first comma, where it is; its address where the file cannot be used."""
    if trouble_with(layout):
        return layout.room_id, ""
    title, _, place = layout.room.name.partition(", ")
    return title, place


def trouble_with(layout: Layout) -> str:
    """Why a room file that was kept once can no longer be used; empty where it can."""
    return _trouble(layout, scene_of)


@lru_cache(maxsize=CARDS_KEPT)
def _trouble_of_card(layout: Layout) -> str:
    """The same, the checks included: one room that cannot be checked never stops the list."""
    return trouble_with(layout) or (_trouble(layout, _counts) if _is_counted(layout) else "")


def _trouble(layout: Layout, use: Callable[[Layout], object]) -> str:
    try:
        use(layout)
    except RoomError as error:
        return str(error)
    except Exception:
        log.exception("layout %s of %s could not be checked", layout.number, layout.room_id)
        return "This room could not be checked. Download its file, and correct what is unusual in it."
    return ""


@lru_cache(maxsize=CARDS_KEPT)
def _card(layout: Layout, scale_px_mm: float) -> Card:
    trouble = _trouble_of_card(layout)
    if trouble:
        return Card(layout, layout.room_id, "", {}, Markup(), "", 0, trouble)
    title, place = title_and_place(layout)
    drawing = thumbnail(scene_of(layout), WIDTH_PX, HEIGHT_PX, scale_px_mm)
    top_px, height_px = _used_height(scene_of(layout), scale_px_mm)
    view_box = f"0 {top_px} {WIDTH_PX} {height_px}"
    counts = _counts(layout) if _is_counted(layout) else {}
    return Card(layout, title, place, counts, drawing, view_box, height_px, "")


def _used_height(scene: Scene, scale_px_mm: float) -> tuple[int, int]:
    """Top and height of what is drawn when the whole sheet is shrunk about its middle to that scale."""
    view = unfolded(scene, WIDTH_PX, HEIGHT_PX, least_px_mm=0.0)
    points = [view.plan.to_px(p) for p in outer_ring(scene.edges)] + [p for face in view.faces for p in face.corners]
    middle, less = HEIGHT_PX / 2, scale_px_mm / view.scale_px_mm
    top = middle + (min(y for _, y in points) - middle) * less - MARGIN_PX
    bottom = middle + (max(y for _, y in points) - middle) * less + MARGIN_PX
    return floor(top), ceil(bottom) - floor(top)


@lru_cache(maxsize=CARDS_KEPT)
def _largest_scale(layout: Layout) -> float:
    return thumbnail_scale([scene_of(layout)], WIDTH_PX, HEIGHT_PX)


def _is_counted(layout: Layout) -> bool:
    return len(layout.room.pieces) <= MOST_COUNTED


@lru_cache(maxsize=CARDS_KEPT)
def _counts(layout: Layout) -> dict[str, int]:
    counted = Counter(finding.verdict for finding in findings_of(layout))
    return {verdict: counted[verdict] for verdict in VERDICTS}
