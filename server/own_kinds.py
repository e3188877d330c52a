"""The user's own kinds of kit: the list, the form that makes one from the maker's papers, and the file in and out."""

import re
import secrets
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Annotated
from urllib.parse import urlencode

from fastapi import APIRouter, File, Form, Request, Response, UploadFile
from fastapi.responses import RedirectResponse
from markupsafe import Markup

from geometry.editing import kind_of, with_kind
from geometry.errors import RoomError
from geometry.kinds_file import read_kinds, write_kinds
from geometry.kit import Kit
from geometry.shelf import shelf
from geometry.words import listed, within
from server.drawing import silhouette, silhouette_size
from server.kind_store import LONGEST_KEY
from server.own_kind_form import KindForm, form_for, form_of, worked
from server.own_kind_page import after, context_of, form_page, made
from server.store import LETTERS
from server.web import FieldsDep, StoreDep, mm, plural, templates

router = APIRouter()

LIST_PX_MM = 0.06


@dataclass(frozen=True)
class OwnLine:
    """One own kind in the list."""

    key: str
    number: int
    name: str
    group: str
    size: str
    read: str
    width_px: float
    height_px: float
    window: str
    silhouette: Markup


@router.get("/own-kinds")
def own_list(request: Request, store: StoreDep, room: str = "", told: str = "") -> Response:
    """Every own kind; with ``room``, also those that only this room has."""
    own = store.own.all()
    here = store.latest(room).room.kit if room else ()
    known = {one.kit.key for one in own}
    context = {
        "lines": [_line(one.kit, one.number) for one in own], "room": room, "told": told,
        "only_here": [_line(kit, 0) for kit in here if kit.key not in known],
    }  # fmt: skip
    return templates.TemplateResponse(request, "own_kinds.html", context)


@router.get("/own-kinds/file")
def download(store: StoreDep) -> Response:
    """Every own kind as one file."""
    kinds = store.own.kinds()
    if not kinds:
        raise RoomError(
            "There is no own kind on the shelf yet, so there is nothing to put into a file. Make one first."
        )
    headers = {"Content-Disposition": 'attachment; filename="own-kinds.json"'}
    return Response(write_kinds(kinds), media_type="application/json", headers=headers)


@router.post("/own-kinds/file")
def read_in(
    store: StoreDep, file: Annotated[UploadFile | str, File()] = "", room: Annotated[str, Form()] = ""
) -> Response:
    """Kinds of a file put on the shelf: new ones, and those that differ from what is there as their next version."""
    if isinstance(file, str) or not file.filename:
        raise RoomError("No file came with it. Choose a file of kinds, or a room file, first.")
    kinds, now = read_kinds(file.file.read()), {one.kit.key: one.kit for one in store.own.all()}
    for kit in kinds:
        if now.get(kit.key) != kit:
            store.own.keep(kit, store.own.number_of(kit.key))
    return _list(room, _read_words(kinds, now))


@router.post("/own-kinds/from-room")
def from_room(store: StoreDep, room: Annotated[str, Form()], key: Annotated[str, Form()]) -> Response:
    """A kind that only a room has, put on the shelf."""
    kit = kind_of(store.latest(room).room, key)
    store.own.keep(kit, store.own.number_of(kit.key))
    return _list(room, f"{kit.name} is on your own shelf.")


@router.post("/own-kinds/take-off")
def take_off(
    store: StoreDep, key: Annotated[str, Form()], base: Annotated[int, Form()], room: Annotated[str, Form()] = ""
) -> Response:
    """Off the shelf; rooms that have the kind keep it."""
    name = store.own.get(key).kit.name
    store.own.take_off(key, base)
    return _list(room, f"{name} is off your own shelf. Rooms that have it keep it.")


@router.get("/own-kinds/new")
def new(request: Request, room: str = "", like: str = "") -> Response:
    """An empty form; ``like`` names the kind of the shelf that gives what is typical."""
    kit = shelf().get(like)
    head = {"shape": "box", "stands_on": "floor", "face": "front", "base": "0", "room": room}
    return form_page(request, KindForm(head if kit is None else head | after(kit)), "")


@router.get("/own-kinds/{key}")
def edit(request: Request, store: StoreDep, key: str, room: str = "") -> Response:
    """The form of a kind that is on the shelf."""
    own = store.own.get(key)
    return form_page(request, form_for(own.kit, own.number, room), key)


@router.post("/own-kinds/form")
def work(request: Request, store: StoreDep, fields: FieldsDep) -> Response:
    """The drawing as the form stands, a row more or less, or the kind kept."""
    form, key, do = form_of(fields), fields.get("key", ""), fields.get("do", "look")
    if do == "look":
        return templates.TemplateResponse(request, "_own_face.html", context_of(form, key))
    if do == "like" and form.like:
        form = replace(form, head={**form.head, **after(form.like)})
    if do != "keep":
        page = "own_kind.html" if request.headers.get("HX-Request-Type") != "partial" else "_own_kind_form.html"
        return templates.TemplateResponse(request, page, context_of(worked(form, do), key))
    done, faults, sentence = made(form, key or new_key(form.get("name")))
    if done is None or faults or sentence:
        return form_page(request, form, key, faults, sentence, 422)
    base, room = form.get("base"), form.get("room")
    try:
        here = store.latest(room) if room else None
        after_it = with_kind(here.room, done) if here else None
        store.own.keep(done, int(base) if base.isdecimal() else 0)
    except RoomError as error:
        return form_page(request, form, key, {}, str(error), 422)
    if here and after_it and after_it != here.room:
        store.save(room, here.number, after_it, f"Own kind: {within(done.name)}")
    if room:
        return RedirectResponse(f"/rooms/{room}", status_code=303)
    return _list("", f"{done.name} is on your own shelf.")


def new_key(name: str) -> str:
    """A key for an own kind: its name, and enough chance that two shelves do not use the same.

    >>> new_key("Boiler, 24 kW")[:17], len(new_key("x" * 200)) <= 40
    ('own-boiler-24-kw-', True)
    """
    plain_name = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    slug = re.sub(r"[^a-z0-9]+", "-", plain_name).strip("-")[: LONGEST_KEY - 12].strip("-") or "kind"
    return f"own-{slug}-{''.join(secrets.choice(LETTERS) for _ in range(6))}"


def _line(kit: Kit, number: int) -> OwnLine:
    wide, high = silhouette_size(kit, LIST_PX_MM)
    wide, high = round(max(wide + 2, 44.0), 1), round(high + 1, 1)
    return OwnLine(
        kit.key, number, kit.name, kit.group,
        f"{mm(kit.plan.width_mm)} wide, {mm(kit.plan.depth_mm)} deep, {mm(kit.height_mm)} high",
        _basis_words(kit), wide, high,
        f"{-wide / 2:.1f} {-high:.1f} {wide} {high}", silhouette(kit, LIST_PX_MM),
    )  # fmt: skip


def _basis_words(kit: Kit) -> str:
    """Where the figures of a kind come from, in a few words."""
    if not kit.figures:
        return {"manual": "from the manual", "memory": "from memory"}.get(kit.basis, kit.basis)
    count = sum(told.basis == "manual" for told in kit.figures)
    return f"{plural(count, 'figure')} from the manual, the rest {'typical' if kit.like else 'not known'}"


def _read_words(kinds: tuple[Kit, ...], before: Mapping[str, Kit]) -> str:
    new_ones = sum(kit.key not in before for kit in kinds)
    anew = sum(kit.key in before and before[kit.key] != kit for kit in kinds)
    parts = [f"{new_ones} new"] if new_ones else []
    parts += [f"{anew} written anew"] if anew else []
    rest = len(kinds) - new_ones - anew
    parts += [f"{rest} here already"] if rest else []
    return f"{plural(len(kinds), 'kind')} read: {listed(parts)}."


def _list(room: str, told: str) -> Response:
    fields = {"told": told} | ({"room": room} if room else {})
    return RedirectResponse(f"/own-kinds?{urlencode(fields)}", status_code=303)
