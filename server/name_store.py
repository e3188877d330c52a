"""Names that people give to layouts, kept beside them in the same database: a name changes no layout and makes none."""

from sqlalchemy import Column, Engine, Integer, MetaData, String, Table, delete, insert, update
from sqlalchemy.engine import Connection
from sqlalchemy.exc import IntegrityError

from geometry.errors import RoomError

LONGEST_NAME = 60
LONGEST_ROOM_ID = 64

layout_names = Table(
    "layout_names",
    MetaData(),
    Column("room_id", String(LONGEST_ROOM_ID), primary_key=True),
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("name", String(LONGEST_NAME), nullable=False),
)


class LayoutNames:
    """The names of all layouts of a store. Whoever names a layout last is right."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine

    def give(self, room_id: str, number: int, name: str) -> None:
        """Name a layout, or take its name away with an empty one. RoomError where the name cannot be used."""
        name = name_of(name)
        try:
            with self._engine.begin() as connection:
                _write(connection, room_id, number, name)
        except IntegrityError:  # somebody named it for the first time at the same moment
            with self._engine.begin() as connection:
                _write(connection, room_id, number, name)


def name_of(text: str) -> str:
    """The name of a layout as somebody wrote it, in one line; empty for none.

    Raises
    ------
    RoomError
        Where it is too long, or holds what cannot be printed, such as a mark that turns the direction of writing.

    >>> name_of("  Cheaper   vessel "), name_of(" ")
    ('Cheaper vessel', '')
    """
    name = " ".join(text.split())
    if len(name) > LONGEST_NAME or not name.isprintable():
        raise RoomError(
            f"A layout has a name of at most {LONGEST_NAME} characters that can be printed. Write one such as"
            " Cylinder in the corner."
        )
    return name


def quoted(name: str) -> str:
    """A name as it stands behind the number of its layout; nothing where it has none.

    >>> quoted("Cheaper vessel"), quoted("")
    (' “Cheaper vessel”', '')
    """
    return f" “{name}”" if name else ""


def _write(connection: Connection, room_id: str, number: int, name: str) -> None:
    mine = (layout_names.c.room_id == room_id) & (layout_names.c.number == number)
    if not name:
        connection.execute(delete(layout_names).where(mine))
    elif connection.execute(update(layout_names).where(mine).values(name=name)).rowcount == 0:
        connection.execute(insert(layout_names).values(room_id=room_id, number=number, name=name))
