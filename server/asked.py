"""What a form of the workbench asks for, and what comes of it: the words that every deed shares."""

from collections.abc import Callable, Mapping
from typing import NamedTuple

from pydantic import BaseModel

from geometry import editing
from geometry.errors import RoomError
from geometry.room import Room
from geometry.saved import Basis
from geometry.scene import Placed
from geometry.typed import has_decimal_comma, typed_number
from geometry.words import within
from server.checked import scene_of
from server.store import Layout

BASES: tuple[Basis, ...] = ("typical", "manual", "measured", "memory")
LONGEST_NOTE = 120


class Asked(BaseModel):
    """The fields of every form of the workbench; each deed reads those it needs. Figures come as people write them."""

    layout: int
    do: str
    piece: str = ""
    pieces: str = ""
    line: str = ""
    kit: str = ""
    key: str = ""
    x: str = ""
    y: str = ""
    turn: str = ""
    base_mm: str = ""
    edge: str = ""
    left_mm: str = ""
    off_mm: str = ""
    name: str = ""
    by: str = ""
    reason: str = ""


class Changed(NamedTuple):
    """A room after a change, the step in words, and the piece that stays picked."""

    room: Room
    step: str
    piece: str


Deed = Callable[[Layout, Asked, dict[str, str]], Changed]


def number(text: str, what: str) -> float:
    """A figure as people write it.

    A comma parts thousands and nothing else: what may be a decimal comma is refused, never guessed at.

    >>> number("1,400 mm", "the base"), number(" -5 ", "the base")
    (1400.0, -5.0)
    """
    if has_decimal_comma(text):
        raise RoomError(f"“{text.strip()[:40]}” could be read in two ways for {what}. Write 1.5 with a point.")
    value = typed_number(text.strip().removesuffix("mm").removesuffix("°"))
    if value is None:
        raise RoomError(f"“{text.strip()[:40]}” is not a number for {what}. Write one such as 450.")
    return value


def whole(text: str, what: str) -> int:
    """A whole number as people write it."""
    value = number(text, what)
    if value != int(value):
        raise RoomError(f"“{text.strip()}” is not a whole number for {what}.")
    return int(value)


def number_or_none(fields: Mapping[str, str], name: str, what: str) -> float | None:
    """A figure of a form that may be left empty."""
    text = fields.get(name, "").strip()
    return number(text, what) if text else None


def basis_of(text: str, otherwise: Basis) -> Basis:
    """Where a figure comes from, as a form sends it."""
    return next((basis for basis in BASES if basis == text), otherwise)


def note_of(text: str) -> str:
    """A page or note as it was written, in one line."""
    note = " ".join(text.split())
    if not note.isprintable():
        raise RoomError("The page or note beside the figure holds a character that cannot be printed. Write it again.")
    if len(note) > LONGEST_NOTE:
        raise RoomError(f"A page or note beside a figure is at most {LONGEST_NOTE} characters long. Shorten it.")
    return note


def placed_of(layout: Layout, piece_id: str) -> Placed:
    """A piece of a layout where it stands."""
    editing.piece_of(layout.room, piece_id)
    placed = scene_of(layout).piece(piece_id)
    assert placed is not None
    return placed


def called(placed: Placed) -> str:
    """How the name of a step calls a piece."""
    return within(placed.name)
