"""Several pieces at once: carried as one, brought into line, spaced with the same gap between them.

The first of the pieces stays where it is and the others go by it. Left, right, front and back are its own, as a person
sees them who stands in front of it.
"""

from collections.abc import Sequence
from itertools import pairwise
from typing import Any, Literal, get_args

from geometry import editing
from geometry.errors import RoomError
from geometry.room import Piece, Room
from geometry.saved import Side
from geometry.scene import Placed, Scene
from geometry.shapes import turned
from geometry.units import DEPTH_TOLERANCE_MM, Point

Line = Literal["fronts", "backs", "left", "right", "middles", "tops", "undersides"]
LINES: tuple[Line, ...] = get_args(Line)

_OUT_OF: dict[Line, Side] = {"fronts": "front", "backs": "behind", "left": "left", "right": "right"}


def carried(room: Room, ids: Sequence[str], at_mm: Point, *, turn_deg: float, base_mm: float, was_mm: float) -> Room:
    """The room with the first piece put there and the others carried along as if all were fixed to one board.

    ``was_mm`` is the base of the first until now: the others go up or down by as much. Places are kept to 0.1 mm.

    >>> from geometry.samples import box_kit, piece, sample_room
    >>> tank, pump = box_kit("tank"), box_kit("pump", 200, 200, 300)
    >>> room = sample_room([tank, pump], [piece(tank, 400, 900), piece(pump, 1000, 900)])
    >>> after = carried(room, ["tank", "pump"], (500, 800), turn_deg=90, base_mm=0, was_mm=0)
    >>> after.pieces[1].at_mm, after.pieces[1].turn_deg
    ((500.0, 1400.0), 90.0)
    """
    first = editing.piece_of(room, ids[0])
    by_deg, by_mm = turn_deg - first.turn_deg, base_mm - was_mm
    room = editing.moved(room, first.id, at_mm, turn_deg=turn_deg, base_mm=base_mm if by_mm else None)
    for piece in _others(room, ids):
        x, y = turned((piece.at_mm[0] - first.at_mm[0], piece.at_mm[1] - first.at_mm[1]), by_deg)
        base = editing.base_of(room, piece) + by_mm if by_mm else None
        place = (round(at_mm[0] + x, 1), round(at_mm[1] + y, 1))
        room = editing.moved(room, piece.id, place, turn_deg=piece.turn_deg + by_deg, base_mm=base)
    return room


def _others(room: Room, ids: Sequence[str]) -> list[Piece]:
    return [editing.piece_of(room, piece_id) for piece_id in dict.fromkeys(ids[1:]) if piece_id != ids[0]]


def lined_up(scene: Scene, ids: Sequence[str], line: Line) -> Room:
    """The room with the others brought into line with the first piece: their fronts, backs, sides, middles or heights.

    "middles" brings the middles of their bodies on to one line from left to right. Each goes straight to the line,
    and none is turned.
    """
    first, *others = _placed(scene, ids, 2)
    room = scene.room
    for other in others:
        by: dict[str, Any] = {"turn_deg": other.piece.turn_deg}
        if line in ("tops", "undersides"):
            away = first.top_mm - other.top_mm if line == "tops" else first.base_mm - other.base_mm
            room = editing.moved(room, other.id, other.piece.at_mm, base_mm=other.base_mm + away, **by)
        else:
            room = editing.moved(room, other.id, _in_line(first, other, line), **by)
    return room


def _in_line(first: Placed, other: Placed, line: Line) -> Point:
    way = _flat(first, _OUT_OF.get(line, "front"))
    low, high = _span(first, way)
    other_low, other_high = _span(other, way)
    by = (low + high - other_low - other_high) / 2 if line == "middles" else high - other_high
    return _pushed(other, way, by)


def spaced(scene: Scene, ids: Sequence[str]) -> Room:
    """The room with the same gap between the pieces, from left to right; the outer two stay where they are.

    RoomError where there are fewer than three, or they are wider together than the place between the outer two.
    """
    pieces = _placed(scene, ids, 3)
    way = _flat(pieces[0], "right")
    row = sorted(pieces, key=lambda item: (sum(_span(item, way)), item.id))
    spans = [_span(item, way) for item in row]
    free = sum(after[0] - before[1] for before, after in pairwise(spans))
    if free < -DEPTH_TOLERANCE_MM:
        raise RoomError(
            f"There is no gap to share out: side by side these pieces need {-free:,.0f} mm more than there is from the "
            "first to the last. Move the outer ones apart, or line up their sides first."
        )
    room, here, gap = scene.room, spans[0][1], max(free, 0.0) / (len(row) - 1)
    for item, (low, high) in zip(row[1:-1], spans[1:-1], strict=True):
        room = editing.moved(room, item.id, _pushed(item, way, here + gap - low))
        here += gap + high - low
    return room


def _placed(scene: Scene, ids: Sequence[str], least: int) -> list[Placed]:
    distinct = list(dict.fromkeys(ids))
    if len(distinct) < least:
        raise RoomError(
            f"Pick {'three' if least == 3 else 'two'} pieces or more for that: Shift and a click picks more."
        )
    for piece_id in distinct:
        editing.piece_of(scene.room, piece_id)
    return [placed for piece_id in distinct if (placed := scene.piece(piece_id))]


def _flat(placed: Placed, side: Side) -> Point:
    x, y, _ = placed.direction(side)
    return x, y


def _span(placed: Placed, way: Point) -> tuple[float, float]:
    """How far the body reaches along a direction: its lowest and highest, from the room's origin."""
    back = (-way[0], -way[1])
    return -max(part.reach(back) for part in placed.body), max(part.reach(way) for part in placed.body)


def _pushed(placed: Placed, way: Point, by_mm: float) -> Point:
    x, y = placed.piece.at_mm
    return round(x + way[0] * by_mm, 1), round(y + way[1] * by_mm, 1)
