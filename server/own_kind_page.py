"""The page of the form for an own kind: what it shows, and the kind that the form makes."""

from collections.abc import Mapping
from typing import Any

from fastapi import Request, Response

from geometry.errors import RoomError
from geometry.kit import Kit
from geometry.own_kind import Papers, own_kind
from geometry.shelf import shelf
from geometry.words import listed
from server.drawing.own_face import OwnFace, Spot, own_face
from server.own_figures import figure_of, figure_words, plain
from server.own_kind_form import (
    SIDE_CHOICES,
    SIZES_BOX,
    SIZES_ROUND,
    SPACES,
    STANDS,
    TOOLS,
    WEIGHTS,
    KindForm,
    Read,
    figures_of,
    read,
)
from server.web import mm, templates

FACE_PX = (460.0, 440.0)
NONE: Mapping[str, str] = {}


def form_page(
    request: Request, form: KindForm, key: str, faults: Mapping[str, str] = NONE, sentence: str = "", status: int = 200
) -> Response:
    """The whole page, with what cannot be used beside its blanks."""
    context = context_of(form, key, faults, sentence)
    return templates.TemplateResponse(request, "own_kind.html", context, status)


def context_of(form: KindForm, key: str, faults: Mapping[str, str] = NONE, sentence: str = "") -> dict[str, Any]:
    """What the templates of the form need."""
    body = _body(form)
    told = read(form, "body", body) if body else None
    shape = SIZES_ROUND if form.round_body else SIZES_BOX
    return {
        "form": form, "key": key, "faults": faults, "sentence": sentence, "face": _face(form, told) if told else None,
        "side_choices": SIDE_CHOICES, "stands": STANDS, "tools": TOOLS, "groups": _groups(),
        "figures": [
            ("Sizes", [_blank(form, name) for name in shape]),
            ("Weight and water", [_blank(form, name) for name in WEIGHTS]),
            ("Free space to work", [_blank(form, name) for name in SPACES]),
        ],
        "typical": _typical_words(form),
    }  # fmt: skip


def _blank(form: KindForm, name: str) -> tuple[str, str, str, str]:
    """Name of the blank, its label, its unit, and what holds while it is empty."""
    words, unit = figure_words(name)
    value = figure_of(form.like, name) if form.like else None
    if form.like and name in ("width_mm", "depth_mm", "round_mm"):
        plan = form.like.plan
        value = {"width_mm": plan.width_mm, "depth_mm": plan.depth_mm}.get(name, max(plan.width_mm, plan.depth_mm))
    if value is None:
        return name, words, unit, "none usual" if form.like and name in SPACES else "not known"
    return name, words, unit, f"typical {mm(value)}"


def _face(form: KindForm, told: Read) -> OwnFace | None:
    try:
        kit = own_kind(told.papers, form.like)
    except RoomError:
        return None
    return own_face(kit, form.face, _spots(form, kit), *FACE_PX)


def _spots(form: KindForm, kit: Kit) -> list[Spot]:
    """The rows that have a place on the side that is shown."""
    rows = [(f"a{i}", str(i + 1), row, row.get("name", "")) for i, row in enumerate(form.points)]
    rows += [(f"s{i}", chr(ord("A") + i % 26), row, row.get("what", "")) for i, row in enumerate(form.parts)]
    spots = []
    for at, mark, row, name in rows:
        left, up = (_figure(row.get(blank, "")) for blank in ("left", "up"))
        if row.get("side") == form.face and left is not None and up is not None:
            spots.append(Spot(at, mark, name or mark, left, up, form.get("hand") == at))
    return spots


def _figure(text: str) -> float | None:
    try:
        return float(text.replace(",", ""))
    except ValueError:
        return None


def _typical_words(form: KindForm) -> str:
    """What comes along from the kind it is like, in a sentence."""
    if form.like is None:
        return "Like no other kind: what is not written is not known, and what needs it is not checked."
    if form.get("alone") == "on":
        return "Only the points and parts written here count; the typical ones are left out."
    names = [one.name for one in form.like.access] + [one.what for one in form.like.sticks_out]
    every = listed(dict.fromkeys(names)) or "nothing"
    return f"Typical, unless you write one of that name yourself: {every}."


def _groups() -> list[tuple[str, list[Kit]]]:
    found: dict[str, list[Kit]] = {}
    for kit in shelf().values():
        found.setdefault(kit.group, []).append(kit)
    return list(found.items())


def after(like: Kit) -> dict[str, str]:
    """What a form takes over from the kind that it is like."""
    shape = "round" if like.plan.round_mm is not None else "box"
    return {
        "like": like.key,
        "group": like.group,
        "stands_on": like.stands_on,
        "shape": shape,
        "base_mm": plain(like.base_mm),
    }


def _body(form: KindForm) -> Kit | None:
    """The kind with the sizes of the form alone, or None while they are not enough."""
    try:
        return own_kind(Papers("body", "body", "own", form.round_body, figures_of(form, {})), form.like)
    except RoomError:
        return None


def made(form: KindForm, key: str) -> tuple[Kit | None, Mapping[str, str], str]:
    """The kind of a form; else the faults of its blanks, or a sentence about the whole."""
    body = _body(form)
    if body is None:
        faults: dict[str, str] = {}
        figures = figures_of(form, faults)
        shape = SIZES_ROUND if form.round_body else SIZES_BOX
        if form.like is None:
            faults |= {name: "A body needs this size." for name in shape if name not in figures and name not in faults}
        return None, faults, "" if faults else "A size is a length from 0.1 mm to 100 m. Correct the sizes."
    told = read(form, key, body)
    if told.faults:
        return None, told.faults, ""
    try:
        return own_kind(told.papers, form.like), {}, ""
    except RoomError as error:
        return None, {}, str(error)
