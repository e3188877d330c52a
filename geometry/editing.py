"""Changes to a room: a room in, a new room out, the changed part and the whole validated again.

Every function raises UnknownThing for a piece that the room has not got, and RoomError, with a sentence for the
person who typed it, for a figure that cannot be.
"""

from collections.abc import Iterable
from typing import Any

from annotated_types import MaxLen
from pydantic import ValidationError

from geometry.check import Remedy
from geometry.errors import RoomError, UnknownThing
from geometry.kit import Change, Kit, may_change
from geometry.room import Accepted, Answer, Piece, Room
from geometry.saved import FARTHEST_MM
from geometry.shelf import find_kit
from geometry.sound import check_sound
from geometry.units import Point

MOST_PIECES = 400
LONGEST_NAME = 120

_FAR = f"{FARTHEST_MM:,.0f} mm"
_REFUSED = {
    "at_mm": f"A piece stands within {_FAR} of the room's first corner. Correct the place: lengths are in millimetres.",
    "base_mm": f"A base is at most {_FAR} up or down. Correct it: heights are in millimetres from finished floor.",
    "turn_deg": "A turn is a number of degrees, such as 90.",
    "name": "A name is one line of at most 120 characters. Correct it.",
    "changes": "A figure is a number from 0 to 100,000, with a note of at most 4,000 characters. Correct it.",
    "accepted": "An acceptance needs a name, a reason and a date, the first two at most 120 characters long.",
}


def piece_of(room: Room, piece_id: str) -> Piece:
    """The piece of that id."""
    piece = room.piece(piece_id)
    if piece is None:
        known = ", ".join(p.id for p in room.pieces) or "nothing yet"
        raise UnknownThing(
            f"This room has no piece called {piece_id}. It has: {known}. "
            "It may have been taken out on another screen: open the room again."
        )
    return piece


def moved(
    room: Room, piece_id: str, at_mm: Point, *, turn_deg: float | None = None, base_mm: float | None = None
) -> Room:
    """The room with one piece put at a plan point (mm); turned and raised too where that is given."""
    new: dict[str, Any] = {"at_mm": (float(at_mm[0]), float(at_mm[1]))}
    if turn_deg is not None:
        new["turn_deg"] = turn_deg % 360
    if base_mm is not None:
        new["base_mm"] = float(base_mm)
    return _with(room, piece_id, **new)


def turned(room: Room, piece_id: str, turn_deg: float) -> Room:
    """The room with one piece facing that way (degrees anticlockwise, 0 faces the reader)."""
    return _with(room, piece_id, turn_deg=turn_deg % 360)


def raised(room: Room, piece_id: str, base_mm: float) -> Room:
    """The room with the base of one piece at that height above finished floor (mm)."""
    return _with(room, piece_id, base_mm=float(base_mm))


def renamed(room: Room, piece_id: str, name: str) -> Room:
    """The room with one piece called something else; an empty name gives back the name of its kind."""
    return _with(room, piece_id, name=name.strip() or None)


def room_named(room: Room, name: str) -> Room:
    """The room under another name: one line of at most 120 characters, what stands after a comma is where it is."""
    name = " ".join(name.split())
    if not (0 < len(name) <= LONGEST_NAME and name.isprintable()):
        raise RoomError(
            f"A room has a name of 1 to {LONGEST_NAME} characters. Write one such as Boot room, Quarry Lane."
        )
    return room.model_copy(update={"name": name})


def pinned(room: Room, piece_id: str, pinned: bool) -> Room:
    """The room with one piece kept where it is when pieces are arranged, or let go."""
    return _with(room, piece_id, pinned=pinned)


def changed(room: Room, piece_id: str, figure: str, change: Change | None) -> Room:
    """The room with one figure of one piece replaced; None gives back the figure of its kind."""
    if not may_change(figure):
        raise RoomError(
            f"A piece has no figure called {figure}. Sizes, weights, spaces and figures of its parts can be changed."
        )
    changes = {name: old for name, old in piece_of(room, piece_id).changes.items() if name != figure}
    if change is not None:
        changes[figure] = change
    return _with(room, piece_id, changes=changes)


def accepted(room: Room, piece_id: str, acceptance: Accepted) -> Room:
    """The room with a put-right accepted in writing; one for the same check and things takes the older one's place."""
    piece = piece_of(room, piece_id)
    kept = tuple(old for old in piece.accepted if (old.check, old.about) != (acceptance.check, acceptance.about))
    return _with(room, piece_id, accepted=(*kept, acceptance))


def withdrawn(room: Room, piece_id: str, acceptance: Accepted) -> Room:
    """The room with an acceptance taken back."""
    piece = piece_of(room, piece_id)
    return _with(room, piece_id, accepted=tuple(old for old in piece.accepted if old != acceptance))


def cured(room: Room, remedy: Remedy) -> Room:
    """The room with a remedy's move, turn and lift made."""
    piece = piece_of(room, remedy.piece)
    at_mm = (piece.at_mm[0] + remedy.move_mm[0], piece.at_mm[1] + remedy.move_mm[1])
    base_mm = None
    if remedy.raise_mm:
        base_mm = base_of(room, piece) + remedy.raise_mm
    return moved(room, piece.id, at_mm, turn_deg=piece.turn_deg + remedy.turn_deg, base_mm=base_mm)


def added(room: Room, kit_key: str, at_mm: Point, *, turn_deg: float = 0.0, base_mm: float | None = None) -> Room:
    """The room with one more piece, the last of ``pieces``; UnknownKit when there is no such kind."""
    kind_of(room, kit_key)
    return one_more(room, Piece(id=free_id(room), kit=kit_key, at_mm=(0.0, 0.0)), at_mm, turn_deg, base_mm)


def one_more(room: Room, new: Piece, at_mm: Point, turn_deg: float, base_mm: float | None = None) -> Room:
    """The room with a new piece, the last of ``pieces``, put there."""
    if len(room.pieces) >= MOST_PIECES:
        raise RoomError(f"A room holds at most {MOST_PIECES} pieces. Take one out first.")
    more = room.model_copy(update={"pieces": (*room.pieces, new)})
    return moved(more, new.id, at_mm, turn_deg=turn_deg, base_mm=base_mm)


def removed(room: Room, piece_id: str) -> Room:
    """The room without one piece, and without the pipes that it joins and the flues and answers about it alone."""
    piece_of(room, piece_id)
    return with_parts(
        room,
        pieces=tuple(piece for piece in room.pieces if piece.id != piece_id),
        pipes=tuple(pipe for pipe in room.pipes if piece_id not in (pipe.from_.piece, pipe.to)),
        flues=tuple(flue for flue in room.flues if flue.piece != piece_id),
        answers=answers_without(room, piece_id),
    )


def answers_without(room: Room, piece_id: str) -> tuple[Answer, ...]:
    """The answers, none of which is about that piece any more."""
    less = [(old, tuple(ref for ref in old.pieces if ref != piece_id)) for old in room.answers]
    return tuple(
        old if refs == old.pieces else old.model_copy(update={"pieces": refs})
        for old, refs in less
        if refs or not old.pieces
    )


def free_id(room: Room) -> str:
    """An id for one more piece: p and a number above every such id, so that no old note means the new piece.

    >>> free_id(Room(format="elbowroom-room", format_version=1, name="x", outline_mm=((0, 0), (9, 0), (0, 9))))
    'p1'
    """
    groups = (room.pieces, room.doors, room.windows, room.fixtures, room.keep_free, room.outlets, room.pipes)
    taken = [thing.id for group in groups for thing in group]
    return f"p{1 + max((int(name[1:]) for name in taken if name[0] == 'p' and name[1:].isdecimal()), default=0)}"


def free_ref(room: Room, letter: str) -> str:
    """An id for one more thing: a letter and the first number that no thing of the room has yet."""
    groups: tuple[Iterable[Any], ...] = (
        room.pieces, room.doors, room.windows, room.fixtures, room.keep_free, room.outlets, room.pipes, room.flues,
        room.outside, room.vents,
    )  # fmt: skip
    taken = {thing.id for group in groups for thing in group}
    return next(name for k in range(1, len(taken) + 2) if (name := f"{letter}{k}") not in taken)


def kind_of(room: Room, key: str) -> Kit:
    """A kind of kit by key, of the room's own or from the shelf; UnknownKit where there is none."""
    return next((kit for kit in room.kit if kit.key == key), None) or find_kit(key)


def with_kind(room: Room, kit: Kit) -> Room:
    """The room with a kind among its own, in place of one of the same key."""
    if not any(own.key == kit.key for own in room.kit):
        return with_parts(room, kit=(*room.kit, kit))
    return with_parts(room, kit=tuple(kit if own.key == kit.key else own for own in room.kit))


def _with(room: Room, piece_id: str, **new: Any) -> Room:
    old = piece_of(room, piece_id)
    try:
        piece = Piece.model_validate({**{name: getattr(old, name) for name in Piece.model_fields}, **new})
    except ValidationError as error:
        fault = error.errors()[0]
        what = str(fault["loc"][0])
        raise RoomError(written_wrong(what, fault["msg"]) or _REFUSED[what]) from None
    return with_parts(room, pieces=tuple(piece if p.id == piece_id else p for p in room.pieces))


def written_wrong(what: str, message: str) -> str:
    """A sentence about words that hold what may not be written; empty where the fault is another.

    >>> written_wrong("by", "Value error, this is blank; give it words or take it out")
    'By: this is blank; give it words or take it out.'
    """
    told = message.removeprefix("Value error, ")
    return "" if told == message else f"{what.capitalize()}: {told}."


def with_parts(room: Room, **new: Any) -> Room:
    """The room with whole parts of it replaced, made of models that are valid in themselves."""
    for name, parts in new.items():
        most = next((limit.max_length for limit in Room.model_fields[name].metadata if isinstance(limit, MaxLen)), None)
        if most is not None and len(parts) > most:
            raise RoomError(f"A room file holds at most {most} {name.replace('_', ' ')}. Take one out first.")
    after = room.model_copy(update=new)
    check_sound(after)
    return after


def base_of(room: Room, piece: Piece) -> float:
    """The base of a piece above finished floor (mm): its own, else that of its kind."""
    if piece.base_mm is not None:
        return piece.base_mm
    return kind_of(room, piece.kit).base_mm
