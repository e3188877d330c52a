"""Pipes drawn by hand on the workbench: each change one step, and a pipe under somebody's finger measured alone."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Annotated, Any

from fastapi import APIRouter, Form, Request, Response
from markupsafe import Markup
from pydantic import BaseModel

from geometry import editing, pipe_editing
from geometry.errors import RoomError, UnknownThing
from geometry.pipes.chain import chains
from geometry.pipes.line import NoRoute
from geometry.room import Pipe, Room
from geometry.tundish_place import KIND, tundish_place
from geometry.typed import is_count
from geometry.units import Point3
from geometry.words import the, within
from server.asked import Asked, Changed, Deed, called, number, number_or_none, placed_of
from server.checked import scene_of
from server.drawing import Unfolded
from server.drawing.pipe_hand import pipe_line
from server.look import look_of, view_of
from server.pipe_cards import RunFigures, figures_of, pipe_name
from server.store import Layout
from server.web import store_of, templates

router = APIRouter()

Fields = Mapping[str, str]
NEW = "pipe-draw"


class TriedPipe(BaseModel):
    """A point of a pipe under somebody's finger; ``adds`` where it is one more, before the one of that number."""

    layout: int
    pipe: str
    index: str
    x: str
    y: str
    z: str
    adds: str = ""
    quarters: str = ""
    wall: str = "plan"


@dataclass(frozen=True)
class Trying:
    """What the pipe would be there: its figures, its line, and the heights of its points."""

    figures: tuple[RunFigures, ...]
    line: Markup
    points: tuple[Point3, ...]


@router.post("/rooms/{room_id}/pipes/try")
def try_pipe(request: Request, room_id: str, tried: Annotated[TriedPipe, Form()]) -> Response:
    """What the pipe would be with a point there. Nothing else is measured, and nothing is saved."""
    layout = store_of(request).layout(room_id, tried.layout)
    look = look_of(request.cookies.get("area", ""), tried.quarters, tried.wall)
    trying = _trying(layout, tried, view_of(layout, look))
    return templates.TemplateResponse(request, "_pipe_tried.html", {"trying": trying})


def _trying(layout: Layout, tried: TriedPipe, view: Unfolded) -> Trying:
    at = _at(tried.model_dump())
    index = _index(tried.index)
    if tried.adds:
        room = pipe_editing.point_added(layout.room, tried.pipe, index, at)
    else:
        room = pipe_editing.bend_moved(scene_of(layout), tried.pipe, index, at, tidy=False)
    scene = replace(scene_of(layout), room=room)
    runs, pipe = pipe_editing.runs_of(scene, tried.pipe), pipe_editing.pipe_of(room, tried.pipe)
    return Trying(figures_of(scene, runs), pipe_line(view, scene, runs), pipe.via_mm or ())


def picked_after(do: str, room: Room, fields: Fields) -> str:
    """The pipe that is picked after a change: one just drawn, else the one that was."""
    return room.pipes[-1].id if do == NEW else fields.get("pipe", "")


def _draw(layout: Layout, asked: Asked, fields: Fields) -> Changed:
    """A new pipe, its route drawn where one is found; straight from end to end where there is no way."""
    start_at = placed_of(layout, fields.get("from", asked.piece))
    name = fields.get("port", "")
    port = next((port for port in start_at.kit.port if port.name == name), None)
    if port is None:
        raise RoomError(f"{the(start_at.name).capitalize()} has no port called “{name}”. Choose one that it has.")
    to, _, to_port = fields.get("to", "").partition("|")
    if not to:
        raise RoomError("A pipe goes to an outlet, or to a port of another piece. Choose where it goes.")
    room = pipe_editing.pipe_added(
        layout.room, port.medium, start_at.id, port.name, to, to_port=to_port or None,
        material="copper" if port.medium not in ("condensate", "overflow", "waste", "drain") else "plastic",
    )  # fmt: skip
    new = room.pipes[-1].id
    points = pipe_editing.completed(replace(scene_of(layout), room=room), new)
    drawn = pipe_editing.pipe_changed(room, new, via_mm=() if isinstance(points, NoRoute) else points)
    return Changed(drawn, f"Draw a pipe of {called(start_at)}", asked.piece)


def _bend(layout: Layout, asked: Asked, fields: Fields) -> Changed:
    room = pipe_editing.bend_moved(scene_of(layout), *_point(fields), _at(fields))
    return _step(layout, asked, fields, room, "Move a bend of")


def _add_point(layout: Layout, asked: Asked, fields: Fields) -> Changed:
    room = pipe_editing.point_added(layout.room, *_point(fields), _at(fields))
    return _step(layout, asked, fields, room, "Put a bend in")


def _pin(layout: Layout, asked: Asked, fields: Fields) -> Changed:
    pinned = fields.get("pinned") == "yes"
    room = pipe_editing.point_pinned(layout.room, *_point(fields), pinned)
    return _step(layout, asked, fields, room, "Pin a point of" if pinned else "Let go of a point of")


def _remove_point(layout: Layout, asked: Asked, fields: Fields) -> Changed:
    room = pipe_editing.point_removed(layout.room, *_point(fields))
    return _step(layout, asked, fields, room, "Take a point out of")


def _rest(layout: Layout, asked: Asked, fields: Fields) -> Changed:
    room = pipe_editing.rest_found(scene_of(layout), _pipe(layout, fields).id)
    return _step(layout, asked, fields, room, "Find the rest of")


def _let_go(layout: Layout, asked: Asked, fields: Fields) -> Changed:
    room = pipe_editing.pipe_changed(layout.room, _pipe(layout, fields).id, via_mm=None, pinned_mm=())
    return _step(layout, asked, fields, room, "Let the program find")


def _change(layout: Layout, asked: Asked, fields: Fields) -> Changed:
    material = fields.get("material", "").strip()
    if not material:
        raise RoomError("Write what the pipe is made of, such as copper or plastic.")
    size = number_or_none(fields, "size_mm", "the size of the pipe")
    room = pipe_editing.pipe_changed(layout.room, _pipe(layout, fields).id, size_mm=size, material=material)
    return _step(layout, asked, fields, room, "Change")


def _remove(layout: Layout, asked: Asked, fields: Fields) -> Changed:
    room = pipe_editing.pipe_removed(layout.room, _pipe(layout, fields).id)
    return _step(layout, asked, fields, room, "Take out")


def _tundish(layout: Layout, asked: Asked, _: Fields) -> Changed:
    """The tundish of a store where it is suggested: the one that it has moved there, or a new one."""
    store = placed_of(layout, asked.piece)
    place = tundish_place(scene_of(layout), store.id)
    if place is None:
        raise RoomError(
            f"No place for a tundish is found near the relief valve of {the(store.name)}: it needs free wall within"
            " reach of the valve. Make some free, or move the store nearer to a wall."
        )
    chain = next(chain for chain in chains(scene_of(layout)) if chain.store.id == store.id)
    if chain.tundish is None:
        room = editing.added(layout.room, KIND, place.at_mm, turn_deg=place.turn_deg, base_mm=place.base_mm)
        return Changed(room, f"Put a tundish to {called(store)}", store.id)
    there = {"turn_deg": place.turn_deg, "base_mm": place.base_mm}
    room = editing.moved(layout.room, chain.tundish.id, place.at_mm, **there)
    return Changed(room, f"Move the tundish of {called(store)}", store.id)


def _step(layout: Layout, asked: Asked, fields: Fields, room: Room, deed: str) -> Changed:
    name = within(pipe_name(scene_of(layout), _pipe(layout, fields)))
    return Changed(room, f"{deed} {name if name.startswith('D') else f'the {name}'}", asked.piece)


def _pipe(layout: Layout, fields: Fields) -> Pipe:
    return pipe_editing.pipe_of(layout.room, fields.get("pipe", ""))


def _point(fields: Fields) -> tuple[str, int]:
    return fields.get("pipe", ""), _index(fields.get("index", ""))


def _index(text: str) -> int:
    if not is_count(text):
        raise UnknownThing(f"A pipe has no point “{text}”: they are numbered from 0. Open the room again.")
    return int(text)


def _at(fields: Mapping[str, Any]) -> Point3:
    x, y, z = (number(str(fields.get(name, "")), words) for name, words in PLACE_WORDS)
    return (x, y, z)


PLACE_WORDS = (("x", "the place across"), ("y", "the place away"), ("z", "the height"))
BY_HAND: dict[str, Deed] = {
    NEW: _draw,
    "pipe-bend": _bend,
    "pipe-point": _add_point,
    "pipe-pin": _pin,
    "pipe-point-out": _remove_point,
    "pipe-rest": _rest,
    "pipe-free": _let_go,
    "pipe-change": _change,
    "pipe-out": _remove,
    "tundish": _tundish,
}
