"""What can go wrong, worded for people.

    RoomError                a room file, or a change to it, that cannot be used
    |-- UnreadableFile       not JSON, too large, or not an Elbowroom room
    |-- UnknownKit           a piece names a kind of kit that is nowhere
    `-- UnknownThing         a change names a piece, door or outlet that the room has not got
    SumError                 a sum that cannot be done with these figures

Every message says what happened, where, and what to do.
"""

import json

LONGEST_SHOWN = 60


def shown(value: object) -> str:
    r"""A value out of a file as a message shows it: as JSON writes it, in one line, not too long.

    >>> shown("wales"), shown(True), shown("\0"), shown("x" * 500)[-4:]
    ('"wales"', 'true', '"\\u0000"', 'xx…"')
    """
    text = json.dumps(value, ensure_ascii=False)
    if not text.isprintable():
        text = json.dumps(value)
    if len(text) <= LONGEST_SHOWN:
        return text
    return text[: LONGEST_SHOWN - 2] + ('…"' if text.startswith('"') else "…")


class RoomError(ValueError):
    """A room file, or a change to it, that cannot be used."""


class UnreadableFile(RoomError):
    """The file is not JSON, too large, or not an Elbowroom room."""


class UnknownKit(RoomError):
    """A piece names a kind of kit that is neither on the shelf nor in the room file."""


class UnknownThing(RoomError):
    """A change names something that the room has not got."""


class SumError(ValueError):
    """A sum that cannot be done with these figures."""
