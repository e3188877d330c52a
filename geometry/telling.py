"""What somebody tells of the building when a question asks for it: a room in, the room that knows it out.

Every function raises RoomError, with a sentence for the person who wrote it, for a figure that cannot be.
"""

from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from geometry.editing import free_ref, piece_of, with_parts
from geometry.errors import RoomError, UnknownThing
from geometry.kit import Medium
from geometry.room import Ceiling, Door, Floor, Flue, Heating, Outlet, Pipe, PipeEnd, Room, Vent, Wall
from geometry.room_editing import with_missing
from geometry.walls import wall_of

M = TypeVar("M", bound=BaseModel)

_REFUSED = {
    "allow_kn_m2": "What a floor carries is a figure in kN/m², more than 0 and at most 1,000.",
    "system_l": "The water of a system is a figure in litres, from 0 to 100,000.",
    "own_vessel_l": "The heat source's own vessel is a figure in litres, from 0 to 100,000.",
    "charge_bar": "The charge of a vessel is a figure in bar, more than 0 and at most 20.",
    "valve_bar": "The setting of a safety valve is a figure in bar, more than 0 and at most 20.",
    "free_cm2": "The free area of an opening is a figure in cm², more than 0.",
    "build": "What a wall or floor is made of is one line of at most 120 characters.",
    "system": "The type of system is one line of at most 120 characters.",
    "height_mm": "The height of the ceiling is a length in mm from finished floor, more than 0.",
    "size_mm": "The size of a pipe is a figure in mm, more than 0.",
    "bore_mm": "The inside of a pipe is a figure in mm, more than 0.",
    "outside_bends": "The bends outside are a whole number from 0 to 50.",
    "name": "A name is one line of at most 120 characters, and not empty.",
}
OPENING_HIGH, OPENING_LOW = "opening high up", "opening low down"


def floor_told(room: Room, **known: Any) -> Room:
    """What carries the room: ``storey``, ``build``, ``allow_kn_m2`` (None: not known)."""
    return with_parts(room, floor=_made(Floor, room.floor, **known))


def heating_told(room: Room, **known: Any) -> Room:
    """What the heating holds and is set to: ``system_l``, ``own_vessel_l``, ``charge_bar``, ``valve_bar``."""
    return with_parts(room, heating=_made(Heating, room.heating, **known))


def system_told(room: Room, system: str) -> Room:
    """The type of system, in words."""
    if not system.strip():
        raise RoomError("Write what the system is, such as: system boiler, unvented, sealed heating.")
    checked = _made(Wall, None, edge=0, build=system.strip())
    return with_parts(room, system=checked.build)


def ceiling_told(room: Room, height_mm: float) -> Room:
    """The height of the flat ceiling above finished floor."""
    return with_parts(room, ceiling=_made(Ceiling, room.ceiling, height_mm=height_mm))


def wall_told(room: Room, edge: int, build: str) -> Room:
    """What one wall is made of."""
    if not build.strip():
        raise RoomError("Write what the wall is made of, such as brick, or plasterboard on studs.")
    wall_of(room, edge)
    old = next((wall for wall in room.walls if wall.edge == edge), None)
    told = _made(Wall, old, edge=edge, build=build.strip())
    walls = (*(wall for wall in room.walls if wall.edge != edge), told)
    return with_parts(room, walls=tuple(sorted(walls, key=lambda wall: wall.edge)))


def vents_told(room: Room, to: str, high: tuple[float, float] | None, low: tuple[float, float] | None) -> Room:
    """The openings for air high up and low down, each as (level mm, free area cm2); None: there is none."""
    if high is None and low is None:
        raise RoomError("Write the free area of the opening high up, of the one low down, or of both.")
    kept = tuple(vent for vent in room.vents if vent.name not in (OPENING_HIGH, OPENING_LOW))
    room, told = with_parts(room, vents=kept), list(kept)
    for name, opening in ((OPENING_HIGH, high), (OPENING_LOW, low)):
        if opening is not None:
            level, free = opening
            told.append(_made(Vent, None, id=free_ref(room, "v"), name=name, level_mm=level, free_cm2=free, to=to))
            room = with_parts(room, vents=tuple(told))
    return room


def outlet_takes(room: Room, outlet_id: str, medium: Medium) -> Room:
    """An outlet that is there, marked for one more medium."""
    old = outlet_of(room, outlet_id)
    takes = old.takes if medium in old.takes else (*old.takes, medium)
    return _with_outlet(room, _made(Outlet, old, takes=takes))


def outlet_told(room: Room, outlet_id: str, **known: Any) -> Room:
    """How an outlet goes on outside: ``ends``, ``outside_run_mm``, ``outside_bends``, ``outside_bore_mm`` and so on."""
    return _with_outlet(room, _made(Outlet, outlet_of(room, outlet_id), **known))


def level_measured(room: Room, outlet_id: str) -> Room:
    """The room in which the level of an outlet is no longer among what was not measured."""
    left = {item.what: item.taken_mm for item in room.not_measured if item.of == outlet_id and item.what != "level"}
    return with_missing(room, outlet_id, left)


def outlet_added(
    room: Room, medium: Medium, *, edge: int, left_mm: float, level_mm: float, name: str, **known: Any
) -> Room:
    """One more outlet, in a wall: so far from its left corner as seen from inside, so high above finished floor."""
    x, y = wall_of(room, edge).at(_along(room, edge, left_mm, "The outlet"))
    new = _made(
        Outlet, None, id=free_ref(room, "o"), name=name.strip(), at_mm=(round(x, 1), round(y, 1)), level_mm=level_mm,
        takes=(medium,), **known,
    )  # fmt: skip
    return with_parts(room, outlets=(*room.outlets, new))


def flue_added(room: Room, piece_id: str, *, edge: int, left_mm: float, level_mm: float) -> Room:
    """Where the flue of a piece ends on the outside of a wall: the middle of its terminal."""
    along = _along(room, edge, left_mm, "The flue")
    piece_of(room, piece_id)
    new = _made(Flue, None, id=free_ref(room, "t"), piece=piece_id, edge=edge, along_mm=along, level_mm=level_mm)
    return with_parts(room, flues=(*(flue for flue in room.flues if flue.piece != piece_id), new))


def door_slides(room: Room, door_id: str, opens: str) -> Room:
    """Along which side of its wall a sliding door runs: ``in`` or ``out``."""
    door = next((door for door in room.doors if door.id == door_id), None)
    if door is None:
        raise UnknownThing(f"This room has no door called {door_id}. Open the room again.")
    told = _made(Door, door, leaf=_made(type(door.leaf), door.leaf, opens=opens))
    return with_parts(room, doors=tuple(told if one.id == door_id else one for one in room.doors))


def pipe_told(room: Room, piece_id: str, port: str, medium: Medium, to: str, **known: Any) -> Room:
    """A pipe from a port to an outlet: ``size_mm``, ``bore_mm`` (None: to be found), ``material``.

    The pipe that the room file has from that port is changed; without one it is added, and its route is found.
    """
    piece_of(room, piece_id)
    outlet_of(room, to)
    old = next((pipe for pipe in room.pipes if (pipe.from_.piece, pipe.from_.port) == (piece_id, port)), None)
    if old is not None:
        told = old.model_copy(update=_valid(Pipe, old, to=to, **known))
        return with_parts(room, pipes=tuple(told if pipe.id == old.id else pipe for pipe in room.pipes))
    values = {"id": free_ref(room, "x"), "medium": medium, "from": PipeEnd(piece=piece_id, port=port), "to": to}
    try:
        new = Pipe.model_validate({**values, **known})
    except ValidationError as error:
        raise RoomError(_sentence(error)) from None
    return with_parts(room, pipes=(*room.pipes, new))


def outlet_of(room: Room, outlet_id: str) -> Outlet:
    """The outlet of that id."""
    outlet = next((outlet for outlet in room.outlets if outlet.id == outlet_id), None)
    if outlet is None:
        raise UnknownThing(f"This room has no outlet called {outlet_id}. Choose one that is there, or write a new one.")
    return outlet


def _with_outlet(room: Room, told: Outlet) -> Room:
    return with_parts(room, outlets=tuple(told if outlet.id == told.id else outlet for outlet in room.outlets))


def _along(room: Room, edge: int, left_mm: float, what: str) -> float:
    """A wall line runs with the room on its left: from inside, its end is the left corner."""
    length = wall_of(room, edge).length_mm
    if not 0 <= left_mm <= length:
        raise RoomError(f"{what} would be {left_mm:,g} mm from the left corner of a wall {length:,.0f} mm long.")
    return length - left_mm


def _made(model: type[M], old: M | None, **known: Any) -> M:
    values = {name: getattr(old, name) for name in model.model_fields} if old is not None else {}
    try:
        return model.model_validate({**values, **known})
    except ValidationError as error:
        raise RoomError(_sentence(error)) from None


def _valid(model: type[BaseModel], old: BaseModel, **known: Any) -> dict[str, Any]:
    """The values, each valid as a field of the model, of one whose fields go by another name in a file."""
    try:
        model.model_validate({**old.model_dump(by_alias=True), **known})
    except ValidationError as error:
        raise RoomError(_sentence(error)) from None
    return known


def _sentence(error: ValidationError) -> str:
    fault = error.errors()[0]
    field = str(fault["loc"][0])
    return _REFUSED.get(
        field, f"{field.removesuffix('_mm').replace('_', ' ').capitalize()} cannot be that. Correct it."
    )
