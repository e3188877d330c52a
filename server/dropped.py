"""A room file brought on to the workbench: what it is, and a question what to do with it. Nothing is saved before."""

from typing import Annotated

from fastapi import APIRouter, File, Form, Request, Response, UploadFile
from fastapi.responses import RedirectResponse

from geometry.errors import RoomError
from geometry.reading import read_room, write_room
from geometry.room import Room
from server.store import Layout
from server.web import StoreDep, plural, templates

router = APIRouter()


@router.post("/rooms/{room_id}/dropped")
def dropped(
    request: Request, store: StoreDep, room_id: str, file: Annotated[UploadFile | str, File()] = "",
    layout: Annotated[int, Form()] = 0,
) -> Response:  # fmt: skip
    """What was dropped, read; or why it cannot be."""
    if isinstance(file, str) or not file.filename:
        raise RoomError("No file came with it. Choose a room file, or drop one on the page.")
    room, here = read_room(file.file.read()), store.layout(room_id, layout)
    context = {"here": here, "says": says(room, here), "mine": write_room(room), "same": room == here.room}
    return templates.TemplateResponse(request, "_dropped.html", context)


@router.post("/rooms/new")
def as_new(store: StoreDep, mine: Annotated[str, Form()]) -> Response:
    """The file that was dropped as a new room."""
    return RedirectResponse(f"/rooms/{store.create(read_room(mine), 'Room file opened').room_id}", status_code=303)


def says(room: Room, here: Layout) -> str:
    """What the file is, beside the room on the page, in a sentence."""
    holds = f"“{room.name}”, with {plural(len(room.pieces), 'piece')}"
    if room == here.room:
        return f"The file holds {holds}: what is on the page already."
    if room.outline_mm == here.room.outline_mm:
        return f"The file holds {holds}: the walls of this room."
    return f"The file holds another room: {holds}. Its walls are not those of the room on the page."
