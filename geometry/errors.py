"""What can go wrong, worded for people.

    RoomError                a room file, or a change to it, that cannot be used
    |-- UnreadableFile       not JSON, too large, or not an Elbowroom room
    |-- UnknownKit           a piece names a kind of kit that is nowhere
    `-- UnknownThing         a change names a piece, door or outlet that the room has not got
    SumError                 a sum that cannot be done with these figures

Every message says what happened, where, and what to do.
"""


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
