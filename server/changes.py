"""What was asked on the workbench, made: a layout and a form in, the changed room and the name of the step out."""

from datetime import datetime

from pydantic import ValidationError

from geometry import editing
from geometry.check import Finding
from geometry.editing import kind_of
from geometry.errors import RoomError, UnknownThing
from geometry.free_place import free_place
from geometry.kit import Kit
from geometry.next_wall import turned_on_wall
from geometry.on_wall import OnWall, stood
from geometry.room import Accepted
from geometry.scene import Placed
from geometry.words import within
from server.asked import Asked, Changed, Deed, called, number, placed_of, whole
from server.checked import find, findings_of, remedy_of, scene_of
from server.own_figures import from_manual, write_figures
from server.pipes_by_hand import BY_HAND
from server.several import ALONE, TOGETHER, ids_of
from server.store import Layout
from server.swaps import swap
from server.told import TOLD


def changed(layout: Layout, asked: Asked, figures: dict[str, str]) -> Changed:
    """The room after what was asked. ``figures`` are the raw fields, for the form of a piece's own figures.

    Raises
    ------
    RoomError
        With a sentence for the person who asked.
    """
    several = len(ids_of(asked.pieces, asked.piece)) > 1
    deed = (TOGETHER if several else DEEDS).get(asked.do) or DEEDS.get(asked.do)
    if deed is None:
        raise RoomError("The workbench does not know what was asked. Open the room again and use its buttons.")
    return deed(layout, asked, figures)


def _move(layout: Layout, asked: Asked, _: dict[str, str]) -> Changed:
    was = placed_of(layout, asked.piece)
    at_mm = (number(asked.x, "the place"), number(asked.y, "the place"))
    turn, base = number(asked.turn, "the turn"), number(asked.base_mm, "the base")
    new_base = base if base != was.base_mm else None
    room = editing.moved(layout.room, was.id, at_mm, turn_deg=turn, base_mm=new_base)
    return Changed(room, f"{_verb(was, at_mm, turn, base)} {called(was)}", was.id)


def _verb(was: Placed, at_mm: tuple[float, float], turn_deg: float, base_mm: float) -> str:
    if at_mm != was.piece.at_mm:
        return "Move"
    if turn_deg % 360 != was.piece.turn_deg % 360:
        return "Turn"
    return "Raise" if base_mm > was.base_mm else "Lower"


def _turn(layout: Layout, asked: Asked, _: dict[str, str]) -> Changed:
    was = placed_of(layout, asked.piece)
    by = number(asked.turn or "90", "the turn")
    if was.kit.stands_on == "wall":
        at_mm, turn = turned_on_wall(scene_of(layout), was, by)
        return Changed(editing.moved(layout.room, was.id, at_mm, turn_deg=turn), f"Turn {called(was)}", was.id)
    return Changed(editing.turned(layout.room, was.id, was.piece.turn_deg + by), f"Turn {called(was)}", was.id)


def _stand(layout: Layout, asked: Asked, _: dict[str, str]) -> Changed:
    was = placed_of(layout, asked.piece)
    at = OnWall(
        whole(asked.edge, "the wall"),
        number(asked.left_mm, "the left corner"),
        0.0,
        number(asked.off_mm, "the wall"),
    )
    turn, base = number(asked.turn, "the turn"), number(asked.base_mm, "the base")
    room = stood(layout.room, was.id, at, turn_deg=turn, base_mm=base)
    return Changed(room, f"Place {called(was)}", was.id)


def _add(layout: Layout, asked: Asked, _: dict[str, str]) -> Changed:
    kit = kind_of(layout.room, asked.kit)
    if asked.x and asked.y:
        at_mm, turn = (
            (number(asked.x, "the place"), number(asked.y, "the place")),
            number(asked.turn or "0", "the turn"),
        )
    else:
        at_mm, turn = free_place(scene_of(layout), kit)
    room = editing.added(layout.room, kit.key, at_mm, turn_deg=turn, base_mm=base_of(kit, asked.base_mm))
    return Changed(room, f"Add {within(kit.name)}", room.pieces[-1].id)


def base_of(kit: Kit, written: str) -> float | None:
    """The base that was asked for a new piece; None where it is the kind's own."""
    base = number(written, "the base") if written else kit.base_mm
    return None if base == kit.base_mm else base


def _remove(layout: Layout, asked: Asked, _: dict[str, str]) -> Changed:
    was = placed_of(layout, asked.piece)
    return Changed(editing.removed(layout.room, was.id), f"Take out {called(was)}", "")


def _rename(layout: Layout, asked: Asked, _: dict[str, str]) -> Changed:
    was = placed_of(layout, asked.piece)
    return Changed(editing.renamed(layout.room, was.id, asked.name), f"Rename {called(was)}", was.id)


def _pin(layout: Layout, asked: Asked, _: dict[str, str]) -> Changed:
    was = placed_of(layout, asked.piece)
    word = "Let go of" if was.piece.pinned else "Pin"
    return Changed(editing.pinned(layout.room, was.id, not was.piece.pinned), f"{word} {called(was)}", was.id)


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
    return Changed(room, f"Accept a note on {called(placed_of(layout, piece))}", asked.piece)


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
    return Changed(room, f"Take back what was accepted on {called(placed_of(layout, piece))}", asked.piece)


DEEDS: dict[str, Deed] = {
    "move": _move,
    "turn": _turn,
    "stand": _stand,
    "add": _add,
    "remove": _remove,
    "rename": _rename,
    "pin": _pin,
    "figures": write_figures,
    "manual": from_manual,
    "cure": _cure,
    "accept": _accept,
    "withdraw": _withdraw,
    "swap": swap,
    **TOLD,
    **BY_HAND,
    **ALONE,
}
