"""Changes to the outline: an alcove into a wall, a corner put elsewhere. What is in the walls goes along."""

from typing import Any

from geometry.check import mm
from geometry.editing import with_parts
from geometry.errors import RoomError
from geometry.room import Accepted, Room
from geometry.typed import is_count
from geometry.units import Point
from geometry.walls import Edge, wall_of

LEAST_BESIDE_MM = 20.0
"""Less wall than this beside an alcove is no wall: the corner itself is meant."""
NEW_WALLS = 4


def with_alcove(room: Room, edge: int, left_mm: float, width_mm: float, depth_mm: float) -> Room:
    """The room with an alcove in one wall: so far from its left corner as seen from inside, so wide, so deep (mm).

    One wall becomes five: beside, cheek, back, cheek, beside. Doors and windows stay where they are, on whichever of
    the five they fall.

    Raises
    ------
    RoomError
        It reaches a corner, or a door or window would lie across its edge.
    """
    wall = wall_of(room, edge)
    end = wall.length_mm - left_mm
    start = end - width_mm
    if min(width_mm, depth_mm) < LEAST_BESIDE_MM:
        raise RoomError(f"An alcove is at least {mm(LEAST_BESIDE_MM)} wide and deep. Correct its width or depth.")
    if start < LEAST_BESIDE_MM or end > wall.length_mm - LEAST_BESIDE_MM:
        raise RoomError(
            f"An alcove {mm(width_mm)} wide, {mm(left_mm)} from the left corner, reaches past the end of a wall "
            f"of {mm(wall.length_mm)}. Correct its place, or move the corner instead."
        )
    new = [wall.at(start), wall.at(start, -depth_mm), wall.at(end, -depth_mm), wall.at(end)]
    corners = [(round(x, 3) + 0.0, round(y, 3) + 0.0) for x, y in new]
    outline = (*room.outline_mm[: edge + 1], *corners, *room.outline_mm[edge + 1 :])
    return with_parts(room, outline_mm=outline, **_renumbered(room, wall, start, end))


def with_corner(room: Room, index: int, at_mm: Point) -> Room:
    """The room with one corner at another place in plan (mm). What is in the two walls keeps its measure along them."""
    if not 0 <= index < len(room.outline_mm):
        raise RoomError(f"This room has no corner {index + 1}; it has {len(room.outline_mm)}. Choose one of them.")
    corners = list(room.outline_mm)
    corners[index] = (float(at_mm[0]), float(at_mm[1]))
    return with_parts(room, outline_mm=tuple(corners))


def _renumbered(room: Room, wall: Edge, start: float, end: float) -> dict[str, Any]:
    """Everything that names a wall by its number, with the numbers there are then."""

    def moved(thing: Any, low_name: str, width: float) -> Any:
        if thing.edge != wall.index:
            return thing.model_copy(update={"edge": _after(thing.edge, wall.index)})
        low = getattr(thing, low_name)
        edge, shift = _part(wall.index, low, low + width, start, end, thing.id)
        return thing.model_copy(update={"edge": edge, low_name: low - shift})

    walls = [w.model_copy(update={"edge": _after(w.edge, wall.index)}) for w in room.walls if w.edge != wall.index]
    own = next((w for w in room.walls if w.edge == wall.index), None)
    walls += [own.model_copy(update={"edge": wall.index + i}) for i in range(NEW_WALLS + 1)] if own else []
    return {
        "walls": tuple(sorted(walls, key=lambda one: one.edge)),
        "doors": tuple(moved(door, "from_mm", door.clear_mm) for door in room.doors),
        "windows": tuple(moved(window, "from_mm", window.width_mm) for window in room.windows),
        "flues": tuple(moved(flue, "along_mm", 0.0) for flue in room.flues),
        "outside": tuple(thing.model_copy(update={"edge": _after(thing.edge, wall.index)}) for thing in room.outside),
        "not_measured": tuple(
            item.model_copy(update={"of": _ref_after(item.of, wall.index)}) for item in room.not_measured
        ),
        "pieces": tuple(
            piece.model_copy(update={"accepted": tuple(_accepted(one, wall.index) for one in piece.accepted)})
            for piece in room.pieces
        ),
    }


def _after(edge: int, at: int) -> int:
    return edge + NEW_WALLS if edge > at else edge


def _ref_after(ref: str, at: int) -> str:
    return f"edge:{_after(int(ref[5:]), at)}" if ref.startswith("edge:") and is_count(ref[5:]) else ref


def _accepted(one: Accepted, at: int) -> Accepted:
    return one.model_copy(update={"about": tuple(_ref_after(ref, at) for ref in one.about)})


def _part(index: int, low: float, high: float, start: float, end: float, name: str) -> tuple[int, float]:
    """Which of the five walls takes what runs from low to high, and where along the old wall that one starts."""
    if high <= start + 0.5:
        return index, 0.0
    if low >= end - 0.5:
        return index + NEW_WALLS, end
    if low >= start - 0.5 and high <= end + 0.5:
        return index + 2, start
    raise RoomError(f'"{name}" would lie across the edge of the alcove. Correct the alcove\'s place or width.')
