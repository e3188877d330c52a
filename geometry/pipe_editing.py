"""Changes to a pipe of a room: a room in, a new room out, validated again.

Points are numbered along the route, 0 first, without the ends. Every function raises UnknownThing for a pipe or point
that is not there, and RoomError, with a sentence for the person who drew it, for what cannot be.
"""

from dataclasses import replace
from typing import Any

from pydantic import ValidationError

from geometry.editing import free_ref, with_parts
from geometry.errors import RoomError, UnknownThing
from geometry.kit import Medium
from geometry.pipe_following import followed, without_repeats
from geometry.pipes.joined import begin_of, finish_of
from geometry.pipes.line import NoRoute
from geometry.pipes.runs import PipeRun, runs_of_pipe
from geometry.room import Pipe, Room
from geometry.scene import Scene
from geometry.units import Point3

_REFUSED = "A pipe has at most 100 points and 40 pinned ones, each within 100 m. Correct it."
_REFUSED_FOR = {
    "size_mm": "The size of a pipe is more than 0 mm and less than 100 m. Write one such as 22.",
    "material": "What the pipe is made of is written in at most 120 plain characters. Correct it.",
    "to": "Choose where it goes from the list.",
    "to_port": "Choose where it goes from the list.",
}


def pipe_of(room: Room, pipe_id: str) -> Pipe:
    """The pipe of that id."""
    pipe = next((pipe for pipe in room.pipes if pipe.id == pipe_id), None)
    if pipe is None:
        known = ", ".join(pipe.id for pipe in room.pipes) or "none yet"
        raise UnknownThing(f"This room has no pipe called {pipe_id}. It has: {known}. Open the room again.")
    return pipe


def runs_of(scene: Scene, pipe_id: str) -> tuple[PipeRun, ...]:
    """The runs of one pipe of the room file: its length, elbows, fall and size while it is drawn."""
    return tuple(run for pipe in scene.room.pipes if pipe.id == pipe_id for run in runs_of_pipe(scene, pipe))


def pipe_added(
    room: Room, medium: Medium, piece_id: str, port: str, to: str, *, to_port: str | None = None,
    via_mm: tuple[Point3, ...] | None = None, material: str = "copper",
) -> Room:  # fmt: skip
    """The room with one more pipe, the last of ``pipes``; without ``via_mm`` its route is found."""
    new = _read({
        "id": free_ref(room, "x"), "medium": medium, "from": {"piece": piece_id, "port": port}, "to": to,
        "to_port": to_port, "via_mm": via_mm, "material": material,
    })  # fmt: skip
    there = next((pipe for pipe in room.pipes if (pipe.from_.piece, pipe.from_.port) == (piece_id, port)), None)
    if there is not None:
        raise RoomError(f"Port “{port}” of {piece_id} already has pipe {there.id}. Change that one, or take it out.")
    if (to, to_port) == (piece_id, port):
        raise RoomError(f"A pipe cannot end at port “{port}” of {piece_id}, where it starts. Choose where it goes.")
    return with_parts(room, pipes=(*room.pipes, new))


def pipe_removed(room: Room, pipe_id: str) -> Room:
    """The room without one pipe."""
    pipe = pipe_of(room, pipe_id)
    return with_parts(room, pipes=tuple(other for other in room.pipes if other is not pipe))


def pipe_changed(room: Room, pipe_id: str, **figures: Any) -> Room:
    """The room with ``size_mm``, ``bore_mm``, ``material``, ``to``, ``to_port`` or ``fittings`` of a pipe replaced."""
    return _with(room, pipe_id, **figures)


def point_added(room: Room, pipe_id: str, index: int, at_mm: Point3) -> Room:
    """The room with one more point on a drawn route, before the one of that number; the last may be added after."""
    via = _via(pipe_of(room, pipe_id))
    if not 0 <= index <= len(via):
        raise UnknownThing(f"Pipe {pipe_id} has {len(via)} points; another is added at 0 to {len(via)}.")
    return _with(room, pipe_id, via_mm=(*via[:index], _whole(at_mm), *via[index:]))


def bend_moved(scene: Scene, pipe_id: str, index: int, at_mm: Point3, *, tidy: bool = True) -> Room:
    """The room with one point of a drawn route moved; a pinned one is refused.

    The points beside it follow as far as square stretches need it to stay square, but no pinned point, nor an end of
    the pipe. Two points that come to lie in one place are one; with ``tidy`` off, every point keeps its number.
    """
    pipe, at = pipe_of(scene.room, pipe_id), _whole(at_mm)
    was = _point(pipe, index)
    if was in pipe.pinned_mm and at != was:
        raise RoomError(f"Point {index + 1} is pinned: take the pin out first.")
    line = (begin_of(scene, pipe), *_via(pipe), finish_of(scene, pipe))
    fixed = {0, len(line) - 1} | {k for k, point in enumerate(line) if point in pipe.pinned_mm}
    moved = followed(line, index + 1, at, fixed)
    via = without_repeats(moved, pipe.pinned_mm) if tidy else moved[1:-1]
    return _with(scene.room, pipe_id, via_mm=tuple(map(_whole, via)))


def point_pinned(room: Room, pipe_id: str, index: int, pinned: bool = True) -> Room:
    """The room with one point of a drawn route pinned, so that it stays when the rest is found anew; or let go."""
    pipe = pipe_of(room, pipe_id)
    point = _point(pipe, index)
    pins = {other for other in pipe.pinned_mm if other != point} | ({point} if pinned else set())
    return _with(room, pipe_id, pinned_mm=tuple(dict.fromkeys(p for p in _via(pipe) if p in pins)))


def point_removed(room: Room, pipe_id: str, index: int) -> Room:
    """The room with one point of a drawn route taken out, and its pin with it."""
    pipe = pipe_of(room, pipe_id)
    via, point = _via(pipe), _point(pipe, index)
    rest = (*via[:index], *via[index + 1 :])
    pins = tuple(other for other in pipe.pinned_mm if other != point or other in rest)
    return _with(room, pipe_id, via_mm=rest, pinned_mm=pins)


def route_let_go(room: Room, pipe_id: str) -> Room:
    """The room with a pipe whose route is found anew each time, through its pinned points."""
    return _with(room, pipe_id, via_mm=None)


def completed(scene: Scene, pipe_id: str) -> tuple[Point3, ...] | NoRoute:
    """The points of the best route of a pipe between its ends, through its pinned points; or what stops it."""
    room = route_let_go(scene.room, pipe_id)
    found: list[Point3] = []
    pins = set(pipe_of(room, pipe_id).pinned_mm)
    for run in runs_of(replace(scene, room=room), pipe_id):
        if isinstance(run.route, NoRoute):
            return run.route
        found += [point if point in pins else _whole(point) for point in run.route.points[1:-1]]
    return tuple(found)


def rest_found(scene: Scene, pipe_id: str) -> Room:
    """The room with the route of a pipe drawn where it is found: pinned points stay, all others are new.

    Raises RoomError that says what stops it where there is no way.
    """
    points = completed(scene, pipe_id)
    if isinstance(points, NoRoute):
        room = route_let_go(scene.room, pipe_id)
        why = next(run.why_not for run in runs_of(replace(scene, room=room), pipe_id) if run.why_not)
        raise RoomError(f"Pipe {pipe_id} has no way: {why}. Move that, or let a pinned point go.")
    return _with(scene.room, pipe_id, via_mm=points)


def _whole(point: Point3) -> Point3:
    """To a thousandth of a millimetre: what is found keeps its figures when it is drawn."""
    return (round(float(point[0]), 3), round(float(point[1]), 3), round(float(point[2]), 3))


def _via(pipe: Pipe) -> tuple[Point3, ...]:
    if pipe.via_mm is None:
        raise RoomError(f"The route of pipe {pipe.id} is found, not drawn. Ask for it to be drawn first.")
    return pipe.via_mm


def _point(pipe: Pipe, index: int) -> Point3:
    via = _via(pipe)
    if not 0 <= index < len(via):
        raise UnknownThing(f"Pipe {pipe.id} has no point {index}. It has {len(via)}, numbered from 0.")
    return via[index]


def _with(room: Room, pipe_id: str, **new: Any) -> Room:
    old = pipe_of(room, pipe_id)
    kept = {("from" if name == "from_" else name): getattr(old, name) for name in Pipe.model_fields}
    pipe = _read({**kept, **new})
    return with_parts(room, pipes=tuple(pipe if other is old else other for other in room.pipes))


def _read(data: dict[str, Any]) -> Pipe:
    try:
        return Pipe.model_validate(data)
    except ValidationError as error:
        wrong = str(error.errors()[0]["loc"][0])
        raise RoomError(_REFUSED_FOR.get(wrong, _REFUSED)) from None
