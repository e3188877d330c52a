"""What is measured on a sheet: edges and middles of bodies, doorways, windows, heights, and lettered crosses."""

from collections.abc import Iterable
from dataclasses import dataclass
from string import ascii_uppercase
from typing import Literal

from geometry.kit import Medium
from geometry.saved import Basis
from geometry.scene import Placed, Scene
from geometry.walls import Edge
from server.drawing.fixed import wall_of_outlet
from server.drawing.seats import Span, seats
from server.drawing.svg import bounds

Way = Literal["top", "bottom", "left", "right"]

NO_MIDDLES, NOTHING_SMALL, NOTHING_OF_KIT = 1, 2, 3
"""What a tape that is too short for all its figures leaves out, step by step; corners and openings stay."""

_NARROW_MM = 130.0
_SMALL_MM = 250.0
_SET_OUT: frozenset[Medium] = frozenset(
    {"flue", "gas", "hot-discharge", "condensate", "overflow", "relief", "duct", "waste"}
)
"""Pipes and ducts whose place has to be known before the piece is on the wall."""


@dataclass(frozen=True)
class WallMark:
    """A lettered cross on a wall: what is set out there, and where, with where its figures come from."""

    letter: str
    name: str
    from_left_mm: float
    from_floor_mm: float
    basis: Basis


def wall_marks(scene: Scene, edge: int) -> list[WallMark]:
    """What is set out on one wall, from the left: hung bodies by their middle, flues and discharge by their port.

    Then what goes through the wall: outlets, and the terminals of flues.
    """
    found = seats(scene)
    length = scene.edges[edge].length_mm
    places: list[tuple[float, float, str, Basis]] = []
    for item, seat in found.on(scene, edge):
        if item.kit.stands_on == "wall" and item.base_mm > 0:
            middle = (seat.span.from_mm + seat.span.to_mm) / 2
            places.append(
                (middle, item.base_mm + item.kit.height_mm / 2, f"{item.name}, middle of the body", item.kit.basis)
            )
        if max(seat.span.to_mm - seat.span.from_mm, item.kit.height_mm) > _SMALL_MM:
            places += _ports(scene.edges[edge], item)
    for outlet in scene.room.outlets:
        if wall_of_outlet(scene, outlet) == edge:
            along, _ = scene.edges[edge].measure(outlet.at_mm)
            places.append((length - along, outlet.level_mm, f"{outlet.name}, through the wall", "measured"))
    for flue in scene.room.flues:
        owner = scene.piece(flue.piece)
        if owner is not None and flue.edge == edge:
            places.append((length - flue.along_mm, flue.level_mm, f"{owner.name}, flue terminal outside", "measured"))
    ordered = sorted(places, key=lambda p: (round(p[0], 1), -round(p[1], 1), p[2]))
    return [WallMark(_letter(i), name, u, z, basis) for i, (u, z, name, basis) in enumerate(ordered)]


def _letter(index: int) -> str:
    """A to Z, then AA, AB.

    >>> _letter(0), _letter(25), _letter(26)
    ('A', 'Z', 'AA')
    """
    before, last = divmod(index, 26)
    return (ascii_uppercase[before - 1] if before else "") + ascii_uppercase[last]


def _ports(edge: Edge, item: Placed) -> Iterable[tuple[float, float, str, Basis]]:
    for port in item.kit.port:
        if port.medium in _SET_OUT:
            x, y, z = item.to_room(port.at_mm)
            yield edge.length_mm - edge.measure((x, y))[0], z, f"{item.name}, {port.name}", item.kit.basis


def body_marks(low_mm: float, high_mm: float, spare: int = 0) -> list[float]:
    """Both edges and the middle of a body; of a narrow one the middle alone. ``spare`` leaves out what need not be.

    >>> [body_marks(0, 200, spare) for spare in range(4)]
    [[0, 100.0, 200], [0, 200], [], []]
    """
    middle, wide = (low_mm + high_mm) / 2, high_mm - low_mm
    if spare >= NOTHING_OF_KIT or (spare == NOTHING_SMALL and wide < _SMALL_MM):
        return []
    if wide < _NARROW_MM:
        return [middle]
    return [low_mm, high_mm] if spare else [low_mm, middle, high_mm]


def along_marks(scene: Scene, edge: int, spare: int = 0) -> list[float]:
    """Marks along one wall from its left corner: corners, bodies, doorways, windows, outlets, beams.

    What is lettered stands in a table of its own: where figures are spared, these go first.
    """
    wall = scene.edges[edge]
    marks = [0.0, wall.length_mm]
    for _, seat in seats(scene).on(scene, edge):
        marks += body_marks(seat.span.from_mm, seat.span.to_mm, spare)
    for low, high in _gaps(scene, wall):
        marks += [wall.length_mm - high, wall.length_mm - low]
    if not spare:
        marks += [mark.from_left_mm for mark in wall_marks(scene, edge)]
    return marks


def _gaps(scene: Scene, wall: Edge) -> list[tuple[float, float]]:
    doors = [(d.from_mm, d.from_mm + d.clear_mm) for d in scene.room.doors if d.edge == wall.index]
    return doors + [(w.from_mm, w.from_mm + w.width_mm) for w in scene.room.windows if w.edge == wall.index]


def height_marks(scene: Scene, edge: int, spare: int = 0) -> tuple[list[float], list[float]]:
    """Heights above finished floor on one wall, for the tape on its left and the one on its right."""
    wall = scene.edges[edge]
    left: list[float] = []
    right: list[float] = []
    for item, seat in seats(scene).on(scene, edge):
        if body_marks(item.base_mm, item.top_mm, spare):
            _side(left, right, seat.span, wall).extend([item.base_mm, item.top_mm])
    for mark in wall_marks(scene, edge) if not spare else ():
        into = left if mark.from_left_mm <= wall.length_mm / 2 else right
        into.append(mark.from_floor_mm)
    for door in scene.room.doors:
        if door.edge == edge:
            into = left if wall.length_mm - door.from_mm - door.clear_mm / 2 <= wall.length_mm / 2 else right
            into += [door.sill_mm, door.head_mm]
    for window in scene.room.windows:
        if window.edge == edge:
            into = left if wall.length_mm - window.from_mm - window.width_mm / 2 <= wall.length_mm / 2 else right
            into += [window.sill_mm, window.head_mm]
    return left, right


def _side(left: list[float], right: list[float], span: Span, wall: Edge) -> list[float]:
    return left if (span.from_mm + span.to_mm) / 2 <= wall.length_mm / 2 else right


def plan_marks(scene: Scene, spare: int = 0) -> dict[Way, list[float]]:
    """Marks for the four tapes round a plan, from its left end and from its near end.

    A body is measured on the tape of the side that its wall faces.
    """
    x0, y0, x1, y1 = bounds(scene.room.outline_mm)
    marks: dict[Way, list[float]] = {
        "top": [0.0, x1 - x0],
        "bottom": [0.0, x1 - x0],
        "left": [0.0, y1 - y0],
        "right": [],
    }
    for edge in scene.edges:
        way = way_of(edge)
        ends = [edge.start, edge.at(edge.length_mm)]
        ends += [edge.at(along) for gap in _gaps(scene, edge) for along in gap]
        marks[way] += [x - x0 if way in ("top", "bottom") else y - y0 for x, y in ends]
    homes = seats(scene).home
    for item in scene.placed:
        seat = homes[item.id]
        way = way_of(scene.edges[seat.edge])
        axis = (1.0, 0.0) if way in ("top", "bottom") else (0.0, 1.0)
        low = -max(part.reach((-axis[0], -axis[1])) for part in item.body)
        high = max(part.reach(axis) for part in item.body)
        zero = x0 if way in ("top", "bottom") else y0
        marks[way] += body_marks(low - zero, high - zero, spare)
    return marks


def way_of(edge: Edge) -> Way:
    """The side of the sheet that a wall faces."""
    x, y = edge.inward
    if abs(y) >= abs(x):
        return "bottom" if y > 0 else "top"
    return "left" if x > 0 else "right"
