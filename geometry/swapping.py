"""One piece swapped for another kind of kit in the same place, and which kinds are nearest to the one it is.

Kept: id, name, hold, pin, the way it faces, its middle line, and its back: against what it touched behind it, else
where its body's back was. Its base is the new kind's own, unless it was raised by hand and both stand on the same.
Own figures, acceptances and answers belong to the old kind and go with it; so do pipes from ports, and a flue, that
the new kind has not got. Raises UnknownThing and UnknownKit like the other changes of a room.
"""

from collections.abc import Iterable
from math import cos, radians, sin
from typing import NamedTuple

from geometry.editing import answers_without, kind_of, moved, piece_of, with_parts
from geometry.kit import Kit
from geometry.on_wall import on_wall
from geometry.room import Piece, Pipe, Room
from geometry.scene import Placed, Scene, build
from geometry.units import DEPTH_TOLERANCE_MM, SAME_MM, Point

_OF_MANY_TRAITS = {"wet", "electrical", "sparks", "gas", "oil", "hot", "noisy", "condensing"}
_OF_MANY_WORDS = {"water", "heat", "cold", "hot", "unit", "set", "board", "single", "twin"}
"""Traits and words of a key that kinds of every sort have: they do not make two of them alike."""


class Dropped(NamedTuple):
    """What went with the old kind: names of own figures, how many acceptances, answers and pipes, and flues."""

    figures: tuple[str, ...] = ()
    accepted: int = 0
    answers: int = 0
    pipes: int = 0
    flues: int = 0


def swapped(room: Room, piece_id: str, kit_key: str) -> Room:
    """The room with one piece of another kind in the same place.

    >>> from geometry.samples import box_kit, piece, sample_room
    >>> tanks = [box_kit("tank", 600, 400), box_kit("large", 700, 500)]
    >>> room = sample_room(tanks, [piece(tanks[0], 1000, 1600)])
    >>> swapped(room, "tank", "large").pieces[0].at_mm
    (1000.0, 1550.0)
    """
    old, new = piece_of(room, piece_id), kind_of(room, kit_key)
    scene = build(room)
    placed = scene.piece(piece_id)
    assert placed is not None
    piece = old.model_copy(update={"kit": new.key, "changes": {}, "accepted": (), "base_mm": _base_mm(placed, new)})
    others = tuple(piece if other.id == piece_id else _forgets(other, piece_id) for other in room.pieces)
    bare = with_parts(
        room, pieces=others, answers=answers_without(room, piece_id), pipes=tuple(_pipes(room, placed, new)),
        flues=room.flues if _burns(new) else tuple(flue for flue in room.flues if flue.piece != piece_id),
    )  # fmt: skip
    return moved(bare, piece_id, _place(scene, placed, new))


def dropped(before: Room, after: Room, piece_id: str) -> Dropped:
    """What the room has no longer, of what was about the piece."""
    return Dropped(
        figures=tuple(sorted(set(piece_of(before, piece_id).changes) - set(piece_of(after, piece_id).changes))),
        accepted=sum(len(piece.accepted) for piece in before.pieces) - sum(len(p.accepted) for p in after.pieces),
        answers=sum(piece_id in answer.pieces for answer in before.answers),
        pipes=len(before.pipes) - len(after.pipes),
        flues=len(before.flues) - len(after.flues),
    )


def alike(kit: Kit, others: Iterable[Kit]) -> list[Kit]:
    """The kinds that do the same work, the nearest in name and size first.

    >>> from geometry.shelf import find_kit, shelf
    >>> [near.key for near in alike(find_kit("break-tank-120"), shelf().values())][:2]
    ['break-tank-400', 'cold-water-cistern-230']
    """
    found = [other for other in others if other.key != kit.key and _same_work(kit, other)]
    return sorted(found, key=lambda other: (-len(_words(kit) & _words(other)), _apart_mm(kit, other), other.key))


def _same_work(kit: Kit, other: Kit) -> bool:
    """Of one group, and of one name or of one trait that says what a kind is for."""
    return kit.group == other.group and bool(
        (_words(kit) & _words(other)) or (set(kit.traits) & set(other.traits)) - _OF_MANY_TRAITS
    )


def _words(kit: Kit) -> set[str]:
    """The words of its key that name what it is."""
    return {word for word in kit.key.split("-") if not word.isdecimal()} - _OF_MANY_WORDS


def _apart_mm(kit: Kit, other: Kit) -> float:
    sizes = ((one.plan.width_mm, one.plan.depth_mm, one.height_mm) for one in (kit, other))
    return sum((abs(a - b) for a, b in zip(*sizes, strict=True)), 0.0)


def _base_mm(placed: Placed, new: Kit) -> float | None:
    """By the new kind's rule; a height that was set by hand stays while the piece stands on the same."""
    own, old = placed.piece.base_mm, placed.kit
    if own is None or old.stands_on != new.stands_on:
        return None
    return new.base_mm if abs(own - old.base_mm) <= SAME_MM else own


def _place(scene: Scene, placed: Placed, new: Kit) -> Point:
    """The middle of the new body's plan: moved along its own depth alone."""
    back = (placed.kit.plan.depth_mm - new.plan.depth_mm) / 2
    if abs(_off_wall(scene, placed) - _behind_mm(placed.kit)) <= DEPTH_TOLERANCE_MM:
        back += _behind_mm(placed.kit) - _behind_mm(new)
    turn, (x, y) = radians(placed.piece.turn_deg), placed.piece.at_mm
    return round(x - back * sin(turn), 3), round(y + back * cos(turn), 3)


def _off_wall(scene: Scene, placed: Placed) -> float:
    return on_wall(scene, placed).off_mm


def _behind_mm(kit: Kit) -> float:
    """How far the kind sticks out behind its body."""
    return max((item.mm for item in kit.sticks_out if item.side == "behind"), default=0.0)


def _forgets(other: Piece, piece_id: str) -> Piece:
    """Another piece without the acceptances that were about the swapped one."""
    kept = tuple(old for old in other.accepted if piece_id not in old.about)
    return other if kept == other.accepted else other.model_copy(update={"accepted": kept})


def _pipes(room: Room, placed: Placed, new: Kit) -> Iterable[Pipe]:
    """The pipes of the room: those of the piece from the port of the same name, or the only one of the medium."""
    for pipe in room.pipes:
        if pipe.from_.piece != placed.id:
            yield pipe
            continue
        ports = [port.name for port in new.port if port.medium == pipe.medium]
        if pipe.from_.port in ports:
            yield pipe
        elif len(ports) == 1:
            yield pipe.model_copy(update={"from_": pipe.from_.model_copy(update={"port": ports[0]})})


def _burns(kit: Kit) -> bool:
    return kit.has("hot") and any(kit.has(fuel) for fuel in ("gas", "oil", "solid-fuel"))
