"""Several picked pieces changed at once: one request, one layout, one step to undo."""

from geometry import editing
from geometry.another import another
from geometry.errors import RoomError
from geometry.room import Room
from geometry.scene import Placed
from geometry.several import LINES, Line, carried, lined_up, spaced
from geometry.words import listed, within
from server.asked import Asked, Changed, Deed, called, number, placed_of
from server.checked import scene_of
from server.store import Layout

MOST_NAMED = 3

LINE_WORDS: dict[Line, str] = {
    "fronts": "Fronts",
    "backs": "Backs",
    "left": "Left sides",
    "right": "Right sides",
    "middles": "Middles",
    "tops": "Tops",
    "undersides": "Undersides",
}


def ids_of(text: str, first: str = "") -> list[str]:
    """Ids as a form sends them, parted by spaces, each once, ``first`` before all others.

    >>> ids_of("p2 p1 p2", "p1"), ids_of("", "p1"), ids_of("")
    (['p1', 'p2'], ['p1'], [])
    """
    return list(dict.fromkeys(piece_id for piece_id in (first, *text.split()) if piece_id))


def named(every: list[Placed]) -> str:
    """Several pieces inside a sentence: by name while they are few."""
    if len(every) > MOST_NAMED:
        return f"{len(every)} pieces"
    return listed(called(placed) for placed in every)


def carried_along(layout: Layout, asked: Asked) -> Room:
    """The room of a layout with the first of several pieces where it was asked, the others carried along."""
    was = placed_of(layout, asked.piece)
    at_mm = (number(asked.x, "the place"), number(asked.y, "the place"))
    turn, base = number(asked.turn, "the turn"), number(asked.base_mm, "the base")
    ids = ids_of(asked.pieces, asked.piece)
    return carried(layout.room, ids, at_mm, turn_deg=turn, base_mm=base, was_mm=was.base_mm)


def _move(layout: Layout, asked: Asked, _: dict[str, str]) -> Changed:
    was, every = placed_of(layout, asked.piece), _every(layout, asked)
    turns = (number(asked.turn, "the turn") - was.piece.turn_deg) % 360 != 0
    lifts = number(asked.base_mm, "the base") - was.base_mm
    slides = (number(asked.x, "the place"), number(asked.y, "the place")) != was.piece.at_mm
    verb = "Turn" if turns else "Move" if slides or not lifts else "Raise" if lifts > 0 else "Lower"
    return Changed(carried_along(layout, asked), f"{verb} {named(every)}", was.id)


def _remove(layout: Layout, asked: Asked, _: dict[str, str]) -> Changed:
    every, room = _every(layout, asked), layout.room
    for placed in every:
        room = editing.removed(room, placed.id)
    return Changed(room, f"Take out {named(every)}", "")


def _line_up(layout: Layout, asked: Asked, _: dict[str, str]) -> Changed:
    every = _every(layout, asked)
    if asked.line not in LINES:
        raise RoomError("The workbench does not know that line. Open the room again and use its buttons.")
    line: Line = asked.line
    room = lined_up(scene_of(layout), [placed.id for placed in every], line)
    return Changed(room, f"Line up {within(LINE_WORDS[line])} of {named(every)}", asked.piece)


def _space(layout: Layout, asked: Asked, _: dict[str, str]) -> Changed:
    every = _every(layout, asked)
    return Changed(
        spaced(scene_of(layout), [placed.id for placed in every]), f"Same gap between {named(every)}", asked.piece
    )


def _another(layout: Layout, asked: Asked, _: dict[str, str]) -> Changed:
    was = placed_of(layout, asked.piece)
    room = another(scene_of(layout), was.id)
    return Changed(room, f"Another {called(was)}", room.pieces[-1].id)


def _every(layout: Layout, asked: Asked) -> list[Placed]:
    return [placed_of(layout, piece_id) for piece_id in ids_of(asked.pieces, asked.piece)]


TOGETHER: dict[str, Deed] = {"move": _move, "remove": _remove, "line-up": _line_up, "space": _space}
"""What several pieces go through at once; the rest of what is asked is about one."""

ALONE: dict[str, Deed] = {"another": _another, "line-up": _line_up, "space": _space}
