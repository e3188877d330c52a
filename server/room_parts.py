"""The room itself, part by part: cards beside the unfolded room. Each card written down is the next layout."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any
from urllib.parse import quote

from fastapi import APIRouter, Request, Response
from fastapi.responses import RedirectResponse

from geometry.errors import RoomError
from geometry.typed import is_count
from server.cards import title_and_place
from server.checked import scene_of
from server.drawing import draw_room, patterns, unfolded
from server.part_cards import Card, Group, groups_of
from server.part_deeds import changed, taken_out
from server.store import Layout
from server.web import FieldsDep, LayoutDep, StoreDep, is_partial, templates

router = APIRouter()

DRAWING_PX = (620.0, 560.0)


@router.get("/rooms/{room_id}/parts")
def show(request: Request, layout: LayoutDep, card: str = "") -> Response:
    """Every part of the room, ``card`` open."""
    return _page(request, layout, card)


@router.post("/rooms/{room_id}/parts")
def write(request: Request, store: StoreDep, room_id: str, fields: FieldsDep) -> Response:
    """One card written down, or one part taken out, as the next layout; or the card again with what is wrong."""
    number = fields.get("layout", "")
    base = store.layout(room_id, int(number)) if is_count(number) else store.latest(room_id)
    kind, ref = fields.get("kind", ""), fields.get("ref", "")
    try:
        if fields.get("do") == "take-out":
            done = taken_out(base.room, kind, ref)
        else:
            done = changed(base.room, kind, ref, fields)
    except RoomError as error:
        key = f"{kind}-{ref or 'new'}"
        return _page(request, base, key, given=fields, fault=str(error), status_code=422)
    saved = base if done.room == base.room else store.save(room_id, base.number, done.room, done.step)
    if is_partial(request):
        return _page(request, saved, done.card, told=done.step if saved is not base else "Nothing was changed")
    return RedirectResponse(f"/rooms/{room_id}/parts?card={quote(done.card)}#card-{quote(done.card)}", status_code=303)


def _page(
    request: Request,
    layout: Layout,
    card: str,
    given: Mapping[str, str] | None = None,
    fault: str = "",
    told: str = "",
    status_code: int = 200,
) -> Response:
    scene = scene_of(layout)
    view = unfolded(scene, *DRAWING_PX)
    title, place = title_and_place(layout)
    groups = groups_of(scene)
    if given is not None:
        groups = tuple(_as_given(group, card, given) for group in groups)
    context: dict[str, Any] = {
        "layout": layout,
        "title": title,
        "place": place,
        "groups": groups,
        "open": card,
        "fault": fault,
        "told": told,
        "view": view,
        "patterns": patterns(),
        "paper": draw_room(view, scene),
    }
    name = "_room_parts.html" if is_partial(request) else "room_parts.html"
    return templates.TemplateResponse(request, name, context, status_code)


def _as_given(group: Group, key: str, given: Mapping[str, str]) -> Group:
    """The group with what somebody typed in the card that could not be used."""
    return replace(group, cards=tuple(_card_as_given(card, given) if card.key == key else card for card in group.cards))


def _card_as_given(card: Card, given: Mapping[str, str]) -> Card:
    return replace(card, blanks=tuple(replace(one, value=given.get(one.name, "")) for one in card.blanks))
