"""A rectangle of the plan as a person with a tape says it: against which wall, from its left corner, how wide and deep.

Left is that of a person inside who faces the wall; a wall line runs with the room on its left, so it ends there.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from geometry.room import Room
from geometry.units import DEPTH_TOLERANCE_MM, Point
from geometry.walls import Edge, edges, wall_of


@dataclass(frozen=True)
class Strip:
    """``left_mm`` from the left corner of a wall, ``width_mm`` along it, ``off_mm`` off it, ``depth_mm`` into the room.

    Every figure in mm.
    """

    edge: int
    left_mm: float
    width_mm: float
    off_mm: float
    depth_mm: float


def corners_of(room: Room, strip: Strip) -> tuple[Point, Point, Point, Point]:
    """The rectangle's corners in plan: near side first, then the side away from the wall, anticlockwise.

    >>> from geometry.samples import sample_room
    >>> corners_of(sample_room([], []), Strip(2, 0, 600, 0, 300))
    ((600.0, 1800.0), (0.0, 1800.0), (0.0, 1500.0), (600.0, 1500.0))
    """
    edge = wall_of(room, strip.edge)
    end = edge.length_mm - strip.left_mm
    start, near, far = end - strip.width_mm, strip.off_mm, strip.off_mm + strip.depth_mm
    a, b, c, d = (edge.at(along, off) for along, off in ((start, near), (end, near), (end, far), (start, far)))
    return _tidy(a), _tidy(b), _tidy(c), _tidy(d)


def strip_of(room: Room, area: Sequence[Point]) -> Strip | None:
    """The strip that an area is, from the wall it is nearest to; None where it is no rectangle along a wall."""
    return next(iter(strips_of(room, area)), None)


def strips_of(room: Room, area: Sequence[Point]) -> tuple[Strip, ...]:
    """The strip that an area is from each wall along which it lies, the nearest wall first."""
    if len(area) != 4:
        return ()
    found = [strip for edge in edges(room) if (strip := _against(edge, area)) is not None]
    beside = [strip for strip in found if strip.left_mm > -DEPTH_TOLERANCE_MM] or found
    return tuple(sorted(beside, key=lambda strip: (abs(strip.off_mm), strip.edge)))


def _against(edge: Edge, area: Sequence[Point]) -> Strip | None:
    measured = [edge.measure(point) for point in area]
    along, off = [a for a, _ in measured], [o for _, o in measured]
    corners = {(low_a, low_o) for low_a in (min(along), max(along)) for low_o in (min(off), max(off))}
    for a, o in measured:
        if all(abs(a - x) > DEPTH_TOLERANCE_MM or abs(o - y) > DEPTH_TOLERANCE_MM for x, y in corners):
            return None
    width, depth = max(along) - min(along), max(off) - min(off)
    left = edge.length_mm - max(along)
    figures = (left, width, min(off), depth)
    return Strip(edge.index, *(round(value, 3) + 0.0 for value in figures))


def _tidy(point: Point) -> Point:
    return (round(point[0], 3) + 0.0, round(point[1], 3) + 0.0)
