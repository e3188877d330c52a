"""What was asked on the workbench, made: a layout and a form in, the changed room and the name of the step out."""

from collections.abc import Callable
from datetime import datetime
from typing import NamedTuple

from pydantic import BaseModel, ValidationError

from geometry import editing
from geometry.check import Finding
from geometry.errors import RoomError, UnknownThing
from geometry.free_place import free_place
from geometry.kit import CHANGEABLE, Change, Kit
from geometry.on_wall import OnWall, stood
from geometry.room import Accepted, Room
from geometry.saved import SIDES, Basis
from geometry.scene import Placed, Scene
from geometry.shelf import find_kit
from geometry.words import within
from server.checked import find, findings_of, remedy_of, scene_of
from server.store import Layout

BASES: tuple[Basis, ...] = ("typical", "manual", "measured", "memory")


class Asked(BaseModel):
    """The fields of every form of the workbench; each deed reads those it needs. Figures come as people write them."""

    layout: int
    do: str
    piece: str = ""
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


def changed(layout: Layout, asked: Asked, figures: dict[str, str]) -> Changed:
    """The room after what was asked. ``figures`` are the raw fields, for the form of a piece's own figures.

    Raises
    ------
    RoomError
        With a sentence for the person who asked.
    """
    deed = DEEDS.get(asked.do)
    if deed is None:
        raise RoomError("The workbench does not know what was asked. Open the room again and use its buttons.")
    return deed(layout, asked, figures)


def number(text: str, what: str) -> float:
    """A figure as people write it.

    >>> number("1,400 mm", "the base"), number(" -5 ", "the base")
    (1400.0, -5.0)
    """
    plain = text.replace(",", "").replace("−", "-").replace("mm", "").replace("°", "").strip()
    try:
        value = float(plain)
    except ValueError:
        value = float("nan")
    if value != value or abs(value) == float("inf"):
        raise RoomError(f"“{text.strip()}” is not a number for {what}. Write one such as 450.")
    return value


def _move(layout: Layout, asked: Asked, _: dict[str, str]) -> Changed:
    was = _placed(layout, asked.piece)
    at_mm = (number(asked.x, "the place"), number(asked.y, "the place"))
    turn, base = number(asked.turn, "the turn"), number(asked.base_mm, "the base")
    new_base = base if base != was.base_mm else None
    room = editing.moved(layout.room, was.id, at_mm, turn_deg=turn, base_mm=new_base)
    return Changed(room, f"{_verb(was, at_mm, turn, base)} {_called(was)}", was.id)


def _verb(was: Placed, at_mm: tuple[float, float], turn_deg: float, base_mm: float) -> str:
    if at_mm != was.piece.at_mm:
        return "Move"
    if turn_deg % 360 != was.piece.turn_deg % 360:
        return "Turn"
    return "Raise" if base_mm > was.base_mm else "Lower"


def _turn(layout: Layout, asked: Asked, _: dict[str, str]) -> Changed:
    was = _placed(layout, asked.piece)
    by = number(asked.turn or "90", "the turn")
    return Changed(editing.turned(layout.room, was.id, was.piece.turn_deg + by), f"Turn {_called(was)}", was.id)


def _stand(layout: Layout, asked: Asked, _: dict[str, str]) -> Changed:
    was = _placed(layout, asked.piece)
    at = OnWall(
        int(number(asked.edge, "the wall")),
        number(asked.left_mm, "the left corner"),
        0.0,
        number(asked.off_mm, "the wall"),
    )
    turn, base = number(asked.turn, "the turn"), number(asked.base_mm, "the base")
    room = stood(layout.room, was.id, at, turn_deg=turn, base_mm=base)
    return Changed(room, f"Place {_called(was)}", was.id)


def _add(layout: Layout, asked: Asked, _: dict[str, str]) -> Changed:
    kit = kind(layout.room, asked.kit)
    if asked.x and asked.y:
        at_mm, turn = (
            (number(asked.x, "the place"), number(asked.y, "the place")),
            number(asked.turn or "0", "the turn"),
        )
    else:
        at_mm, turn = free_place(scene_of(layout), kit)
    room = editing.added(layout.room, kit.key, at_mm, turn_deg=turn)
    return Changed(room, f"Add {within(kit.name)}", room.pieces[-1].id)


def _remove(layout: Layout, asked: Asked, _: dict[str, str]) -> Changed:
    was = _placed(layout, asked.piece)
    return Changed(editing.removed(layout.room, was.id), f"Take out {_called(was)}", "")


def _rename(layout: Layout, asked: Asked, _: dict[str, str]) -> Changed:
    was = _placed(layout, asked.piece)
    return Changed(editing.renamed(layout.room, was.id, asked.name), f"Rename {_called(was)}", was.id)


def _pin(layout: Layout, asked: Asked, _: dict[str, str]) -> Changed:
    was = _placed(layout, asked.piece)
    word = "Let go of" if was.piece.pinned else "Pin"
    return Changed(editing.pinned(layout.room, was.id, not was.piece.pinned), f"{word} {_called(was)}", was.id)


def _figures(layout: Layout, asked: Asked, figures: dict[str, str]) -> Changed:
    """Every figure of the form that differs from what it was. An empty one gives back the kind's own."""
    was = _placed(layout, asked.piece)
    room, own = layout.room, kind(layout.room, was.piece.kit)
    for name in (*CHANGEABLE, *(f"space_{side}_mm" for side in SIDES)):
        if name in figures:
            change = _change(was, own, name, figures[name], figures.get(f"{name}_basis", ""))
            room = editing.changed(room, was.id, name, change)
    return Changed(room, f"Change figures of {_called(was)}", was.id)


def _change(was: Placed, own: Kit, name: str, text: str, basis: str) -> Change | None:
    if not text.strip():
        return None
    value = number(text, name.removesuffix("_mm").replace("_", " "))
    known = next((b for b in BASES if b == basis), own.basis)
    old = was.piece.changes.get(name)
    if old and (old.value, old.basis) == (value, known):
        return old
    if value == figure_of(own, name) and known == own.basis:
        return None
    try:
        return Change(value=value, basis=known)
    except ValidationError:
        raise RoomError(f"{text} cannot be: a figure is a number from 0 to 100,000.") from None


def figure_of(kit: Kit, name: str) -> float | None:
    """The kind's own figure of a name that a piece may change, or None where it has none.

    >>> from geometry.kit import Plan
    >>> tank = Kit(key="tank", name="Tank", plan=Plan(box_mm=(500.0, 400.0)), height_mm=900.0)
    >>> figure_of(tank, "width_mm"), figure_of(tank, "round_mm"), figure_of(tank, "space_front_mm")
    (500.0, None, None)
    """
    if name.startswith("space_"):
        side = name.removeprefix("space_").removesuffix("_mm")
        return next((space.mm for space in kit.space if space.side == side), None)
    if name in ("width_mm", "depth_mm"):
        return getattr(kit.plan, name) if kit.plan.box_mm else None
    return kit.plan.round_mm if name == "round_mm" else getattr(kit, name)


def _cure(layout: Layout, asked: Asked, _: dict[str, str]) -> Changed:
    finding = find(findings_of(layout), asked.key)
    remedy = remedy_of(layout, finding) if finding else None
    if remedy is None:
        raise UnknownThing("That note has no move to make in this layout. Open the room again to see it as it is now.")
    return Changed(editing.cured(layout.room, remedy), remedy.text.rstrip("."), remedy.piece)


def _accept(layout: Layout, asked: Asked, _: dict[str, str]) -> Changed:
    finding = find(findings_of(layout), asked.key)
    if finding is None or finding.verdict != "put-right":
        raise UnknownThing("That note is not there to be accepted in this layout. Open the room again.")
    if not asked.by.strip() or not asked.reason.strip():
        raise RoomError("To accept in writing, write the name of the person who accepts and the reason.")
    try:
        acceptance = Accepted(
            check=finding.check, about=(*finding.pieces, *finding.against), by=asked.by.strip(),
            reason=asked.reason.strip(), on=datetime.now().astimezone().date().isoformat(),
        )  # fmt: skip
    except ValidationError:
        raise RoomError("A name and a reason are at most 120 characters long each. Shorten them.") from None
    piece = _kept_on(layout, finding)
    room = editing.accepted(layout.room, piece, acceptance)
    return Changed(room, f"Accept a note on {_called(_placed(layout, piece))}", asked.piece)


def _kept_on(layout: Layout, finding: Finding) -> str:
    """The piece that an acceptance is written on: the first that the finding names, on either side."""
    for ref in (*finding.pieces, *finding.against):
        if layout.room.piece(ref) is not None:
            return ref
    raise UnknownThing("That note names no piece to write an acceptance on. Put it right, or note it in the room file.")


def _withdraw(layout: Layout, asked: Asked, _: dict[str, str]) -> Changed:
    finding = find(findings_of(layout), asked.key)
    if finding is None or finding.accepted is None:
        raise UnknownThing("That note is not accepted in this layout. Open the room again.")
    room = layout.room
    piece = _kept_on(layout, finding)
    for ref in (*finding.pieces, *finding.against):
        if room.piece(ref) is not None:
            room = editing.withdrawn(room, ref, finding.accepted)
    return Changed(room, f"Take back what was accepted on {_called(_placed(layout, piece))}", asked.piece)


Deed = Callable[[Layout, Asked, dict[str, str]], Changed]
DEEDS: dict[str, Deed] = {
    "move": _move,
    "turn": _turn,
    "stand": _stand,
    "add": _add,
    "remove": _remove,
    "rename": _rename,
    "pin": _pin,
    "figures": _figures,
    "cure": _cure,
    "accept": _accept,
    "withdraw": _withdraw,
}


def kind(room: Room, key: str) -> Kit:
    """A kind of kit by key, of the room's own or from the shelf."""
    return next((kit for kit in room.kit if kit.key == key), None) or find_kit(key)


def _placed(layout: Layout, piece_id: str) -> Placed:
    editing.piece_of(layout.room, piece_id)
    scene: Scene = scene_of(layout)
    placed = scene.piece(piece_id)
    assert placed is not None
    return placed


def _called(placed: Placed) -> str:
    return within(placed.name)
