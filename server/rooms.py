"""The list of rooms, and how a room comes in, goes out and goes back."""

from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Annotated

from fastapi import APIRouter, File, Form, Request, Response, UploadFile
from fastapi.responses import RedirectResponse
from pydantic import BaseModel

from geometry.editing import LONGEST_NAME, room_named
from geometry.errors import RoomError
from geometry.reading import read_room
from geometry.words import within
from server.cards import WIDTH_PX, cards, title_and_place
from server.kit_list import chosen_of, placed_with, ticks
from server.measured import BLANKS, OPENS, measured_room, read_blanks
from server.name_store import LONGEST_NAME as LONGEST_LAYOUT_NAME
from server.paths import DEMO_ROOMS
from server.store import Layout, UnknownRoom
from server.web import FieldsDep, LayoutDep, StoreDep, templates

router = APIRouter()

ROOMS_A_PAGE = 12
TAKEN_OUT, PUT_BACK = "Taken out of the list", "Put back in the list"
"""Steps that keep a room off the list, or bring it back: nothing is deleted, and any later change brings it back."""


class Measures(BaseModel):
    """The blanks of the measuring form, as written."""

    name: str = ""
    width_mm: str = ""
    depth_mm: str = ""
    height_mm: str = ""
    door_width_mm: str = ""
    door_height_mm: str = ""
    door_from_mm: str = ""
    opens: str = "ask"


@router.get("/")
def rooms(request: Request, store: StoreDep, page: int = 1, taken: str = "") -> Response:
    """Every room, newest first, with its counts; ``taken`` was just taken out of the list."""
    kept = store.rooms()
    every = [layout for layout in kept if layout.step != TAKEN_OUT]
    out = [(layout.room_id, title_and_place(layout)) for layout in kept if layout.step == TAKEN_OUT]
    first = (max(page, 1) - 1) * ROOMS_A_PAGE
    context = {
        "cards": cards(every[first : first + ROOMS_A_PAGE]),
        "page": max(page, 1),
        "more": len(every) > first + ROOMS_A_PAGE,
        "like": _demo_names(),
        "width_px": WIDTH_PX,
        "out": out,
        "taken": next((title for room_id, (title, _) in out if room_id == taken), ""),
        "taken_id": taken,
    }
    return templates.TemplateResponse(request, "rooms.html", context)


@router.post("/rooms")
def open_file(store: StoreDep, file: Annotated[UploadFile | str, File()] = "") -> Response:
    """A room file, kept as a new room."""
    if isinstance(file, str) or not file.filename:
        raise RoomError("No file came with it. Choose a room file first, then open it.")
    return _see(store.create(read_room(file.file.read()), "Room file opened"))


@router.post("/rooms/like/{demo}")
def start_like(store: StoreDep, demo: str) -> Response:
    """A new room that starts as a copy of a demo room."""
    path = _demo_files().get(demo)
    if path is None:
        raise UnknownRoom("There is no demo room of that name.")
    return _see(store.create(read_room(path.read_bytes()), "Started from a demo room"))


@router.get("/measure")
def measure(request: Request) -> Response:
    """The blanks for a new room."""
    return _measuring(request, Measures(opens="ask"), {}, "")


@router.post("/measure")
def draw_measured(request: Request, store: StoreDep, given: Annotated[Measures, Form()], fields: FieldsDep) -> Response:
    """A rectangular room with one door, from what the tape says, with the kit that was ticked."""
    kit = chosen_of(fields)
    lengths, faults = read_blanks(given.model_dump())
    if faults:
        return _measuring(request, given, faults, "", kit, status_code=422)
    try:
        room = measured_room(given.name.strip()[:LONGEST_NAME] or "New room", lengths, given.opens)
    except RoomError as error:
        return _measuring(request, given, {}, str(error), kit, status_code=422)
    room, where = placed_with(room, kit)
    layout = store.create(room, "Room measured")
    return RedirectResponse(where.format(room_id=layout.room_id), status_code=303)


@router.get("/rooms/{room_id}/file")
def download(layout: LayoutDep) -> Response:
    """The room file of a layout."""
    name = f"{layout.room_id}-layout-{layout.number}.json"
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(layout.body, media_type="application/json", headers=headers)


@router.get("/rooms/{room_id}/layouts")
def layouts(request: Request, store: StoreDep, room_id: str) -> Response:
    """Every layout of a room, newest first."""
    latest = store.latest(room_id)
    title, place = title_and_place(latest)
    context = {"latest": latest, "title": title, "place": place, "lines": store.layouts(room_id)}
    context["longest_name"] = LONGEST_LAYOUT_NAME
    return templates.TemplateResponse(request, "layouts.html", context)


@router.post("/rooms/{room_id}/layouts/{number}/name")
def name_layout(store: StoreDep, room_id: str, number: int, name: Annotated[str, Form()] = "") -> Response:
    """What a layout is called from now on; an empty name takes it away. The layout stays as it is."""
    layout = store.layout(room_id, number)
    store.names.give(layout.room_id, layout.number, name)
    return RedirectResponse(f"/rooms/{room_id}/layouts#layout-{layout.number}", status_code=303)


@router.post("/rooms/{room_id}/back")
def go_back(store: StoreDep, room_id: str, base: Annotated[int, Form()], number: Annotated[int, Form()]) -> Response:
    """An old layout, kept once more as the newest."""
    return _see(store.restore(room_id, base, number))


@router.post("/rooms/{room_id}/keep")
def keep_mine(
    store: StoreDep, room_id: str, base: Annotated[int, Form()], mine: Annotated[str, Form()],
    step: Annotated[str, Form()] = "Kept after two saves met",
) -> Response:  # fmt: skip
    """What could not be saved because somebody else was quicker, kept on top of theirs."""
    return _see(store.save(room_id, base, read_room(mine), step))


@router.post("/rooms/{room_id}/name")
def rename(store: StoreDep, room_id: str, name: Annotated[str, Form()] = "") -> Response:
    """The room under another name, as its next layout."""
    latest = store.latest(room_id)
    room = room_named(latest.room, name)
    if room.name != latest.room.name:
        store.save(room_id, latest.number, room, "Rename the room")
    return RedirectResponse("/", status_code=303)


@router.post("/rooms/{room_id}/take-out")
def take_out(store: StoreDep, room_id: str) -> Response:
    """Off the list, with the way back at the top of it."""
    latest = store.latest(room_id)
    store.save(room_id, latest.number, latest.room, TAKEN_OUT)
    return RedirectResponse(f"/?taken={room_id}", status_code=303)


@router.post("/rooms/{room_id}/put-back")
def put_back(store: StoreDep, room_id: str) -> Response:
    """On the list again."""
    latest = store.latest(room_id)
    if latest.step == TAKEN_OUT:
        store.save(room_id, latest.number, latest.room, PUT_BACK)
    return RedirectResponse("/", status_code=303)


def _demo_files() -> dict[str, Path]:
    return {path.stem: path for path in sorted(DEMO_ROOMS.glob("*.json"))}


@cache
def _demo_names() -> tuple[tuple[str, str], ...]:
    """Key and short name of each demo room."""
    rooms = {key: read_room(path.read_bytes()).name for key, path in _demo_files().items()}
    return tuple((key, within(name.partition(", ")[0])) for key, name in rooms.items())


def _see(layout: Layout) -> Response:
    return RedirectResponse(f"/rooms/{layout.room_id}", status_code=303)


def _measuring(
    request: Request,
    given: Measures,
    faults: dict[str, str],
    sentence: str,
    kit: Sequence[str] = (),
    status_code: int = 200,
) -> Response:
    context = {"blanks": BLANKS, "given": given.model_dump(), "faults": faults, "sentence": sentence}
    context["ticks"] = ticks(kit)
    context["opens"] = [(key, words) for key, (words, _) in OPENS.items()]
    return templates.TemplateResponse(request, "measure.html", context, status_code)
