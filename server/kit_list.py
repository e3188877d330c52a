"""Kit that may be ticked when a room is started, the pieces placed, and the page that says whether they fit at all."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Request, Response
from markupsafe import Markup

from geometry.check import Finding
from geometry.fitting_in import fits, fitted_in
from geometry.room import Room
from geometry.shelf import find_kit
from geometry.words import all_of, listed, start, within
from server.cards import title_and_place
from server.checked import findings_of, scene_of
from server.drawing import draw_kit, draw_room, patterns, silhouette, silhouette_size, unfolded
from server.store import Layout
from server.web import LayoutDep, plural, templates

router = APIRouter()

TICKS: tuple[tuple[str, str], ...] = (
    ("wall-boiler-combination", "Combination boiler"),
    ("wall-boiler-system", "System boiler"),
    ("floor-boiler-oil", "Oil boiler"),
    ("heat-pump-indoor-tower", "Heat pump tower"),
    ("unvented-cylinder-150", "Cylinder, 150 L"),
    ("unvented-cylinder-210", "Cylinder, 210 L"),
    ("unvented-cylinder-300", "Cylinder, 300 L"),
    ("break-tank-120", "Break tank, 120 L"),
    ("booster-set-single", "Pump set"),
    ("buffer-50", "Buffer, 50 L"),
    ("expansion-vessel-18", "Vessel, 18 L"),
    ("washing-machine", "Washing machine"),
)
"""Kit of the shelf that people have in mind before there is a room, by key and in short."""
_HANDLES = re.compile(r' (?:tabindex="0"|role="button"|aria-[a-z]+="[^"]*")')
"""What makes a drawn piece one that can be picked: nothing can be picked on this page."""
TICK_PX_MM = 0.044
LEAST_TICK_PX = 62.0
DRAWING_PX = (620.0, 560.0)


@dataclass(frozen=True)
class Tick:
    """One silhouette that may be ticked."""

    key: str
    name: str
    told: str
    chosen: bool
    width_px: float
    height_px: float
    window: str
    silhouette: Markup


@dataclass(frozen=True)
class Line:
    """What the page says of one piece: whether it has a place, and if not, each thing that stands against it."""

    name: str
    fits: bool
    against: tuple[Finding, ...]


def ticks(chosen: Iterable[str]) -> list[Tick]:
    """The silhouettes, all to one scale, those of ``chosen`` ticked."""
    ticked = frozenset(chosen)
    return [_tick(key, name, key in ticked) for key, name in TICKS]


def _tick(key: str, name: str, chosen: bool) -> Tick:
    kit = find_kit(key)
    wide, high = silhouette_size(kit, TICK_PX_MM)
    wide, high = round(max(wide + 2, LEAST_TICK_PX), 1), round(high + 1, 1)
    window = f"{-wide / 2:.1f} {-high:.1f} {wide} {high}"
    return Tick(key, name, kit.name, chosen, wide, high, window, silhouette(kit, TICK_PX_MM))


def chosen_of(fields: Iterable[str]) -> list[str]:
    """The keys of what was ticked, in the order of the list, out of the names of a form's fields."""
    names = set(fields)
    return [key for key, _ in TICKS if f"kit-{key}" in names]


def placed_with(room: Room, keys: Iterable[str]) -> tuple[Room, str]:
    """The room with what was ticked in it, and the address to go to, in which the room's id goes."""
    known = [key for key, _ in TICKS if key in set(keys)]
    if not known:
        return room, "/rooms/{room_id}"
    return fitted_in(room, known), "/rooms/{room_id}/fits"


@router.get("/rooms/{room_id}/fits")
def will_it_fit(request: Request, layout: LayoutDep) -> Response:
    """Which pieces have a place in which nothing has to be put right, and what is short of the others."""
    lines = lines_of(layout)
    title, place = title_and_place(layout)
    scene = scene_of(layout)
    view = unfolded(scene, *DRAWING_PX)
    context: dict[str, Any] = {
        "layout": layout,
        "title": title,
        "place": place,
        "lines": lines,
        "answer": answer(lines),
        "patterns": patterns(),
        "paper": draw_room(view, scene),
        "kit": Markup(_HANDLES.sub("", draw_kit(view, scene))),
        "view": view,
        "others": others(findings_of(layout), lines),
    }
    return templates.TemplateResponse(request, "fits.html", context)


def lines_of(layout: Layout) -> list[Line]:
    """A line for each piece, those without a place first."""
    scene = scene_of(layout)
    found = fits(findings_of(layout), [placed.id for placed in scene.placed])
    lines = [Line(placed.name, fit.fits, fit.wrong) for placed, fit in zip(scene.placed, found, strict=True)]
    return sorted(lines, key=lambda line: line.fits)


def answer(lines: list[Line]) -> str:
    """The page's answer in a sentence."""
    short = [within(line.name) for line in lines if not line.fits]
    if not lines:
        return "There is no kit in this room yet."
    if len(lines) == 1:
        return "It has no place yet." if short else "It has a place."
    if not short:
        return f"{all_of(len(lines))} have a place."
    if len(short) == len(lines):
        return f"{all_of(len(lines))} in this room: no place together yet."
    return f"{start(listed(short))} {'has' if len(short) == 1 else 'have'} no place yet."


def others(findings: tuple[Finding, ...], lines: list[Line]) -> str:
    """How much else the room asks, which no other place would cure."""
    told = {id(found) for line in lines for found in line.against}
    left = sum(found.verdict in ("put-right", "look-again") and id(found) not in told for found in findings)
    asked = sum(found.verdict == "not-checked" for found in findings)
    return f"{plural(left, 'more note')} and {plural(asked, 'question')} in the room."
