"""Where a piece stands as a person with a tape would say it: so far from the left corner of a wall, so far off it."""

from dataclasses import dataclass

from geometry.editing import moved, piece_of, turned
from geometry.room import Room
from geometry.scene import Placed, Scene, build
from geometry.units import Point
from geometry.walls import Edge, wall_of

_SQUARE = 0.999


@dataclass(frozen=True)
class OnWall:
    """Measures of a body from one wall, in mm. Left and right are those of a person inside who faces the wall."""

    edge: int
    left_mm: float
    right_mm: float
    off_mm: float


def on_wall(scene: Scene, placed: Placed) -> OnWall:
    """The measures from the wall that a piece has its back to; from the nearest wall if it turns its back to none."""
    every = [(_measures(edge, placed), edge) for edge in scene.edges]
    beside = [(at, edge) for at, edge in every if min(at.left_mm, at.right_mm) > -placed.kit.plan.width_mm] or every
    front = placed.direction("front")
    behind = [(at, edge) for at, edge in beside if _dot(front[:2], edge.inward) > _SQUARE]
    return min((at for at, _ in behind or beside), key=lambda at: (abs(at.off_mm), at.edge))


def from_wall(scene: Scene, placed: Placed, edge_index: int) -> OnWall:
    """The measures of a piece from one wall."""
    return _measures(wall_of(scene.room, edge_index), placed)


def stood(room: Room, piece_id: str, at: OnWall, *, turn_deg: float, base_mm: float) -> Room:
    """The room with a piece turned and raised so, its body at ``left_mm`` and ``off_mm``; ``right_mm`` is not used."""
    scene = build(turned(room, piece_of(room, piece_id).id, turn_deg))
    edge = wall_of(scene.room, at.edge)
    placed = scene.piece(piece_id)
    assert placed is not None
    now = _measures(edge, placed)
    back, off = now.left_mm - at.left_mm, at.off_mm - now.off_mm
    x, y = placed.piece.at_mm
    to_left, inward = edge.along, edge.inward
    at_mm = (x + back * to_left[0] + off * inward[0], y + back * to_left[1] + off * inward[1])
    return moved(room, piece_id, at_mm, turn_deg=turn_deg, base_mm=base_mm)


def _measures(edge: Edge, placed: Placed) -> OnWall:
    """A wall line runs with the room on its left, so a person inside who faces it has its end on the left."""
    start = edge.measure((0.0, 0.0))
    along = max(part.reach(edge.along) for part in placed.body) + start[0]
    back_along = -max(part.reach(_opposite(edge.along)) for part in placed.body) + start[0]
    off = -max(part.reach(_opposite(edge.inward)) for part in placed.body) + start[1]
    return OnWall(edge.index, edge.length_mm - along, back_along, off)


def _opposite(direction: Point) -> Point:
    return (-direction[0], -direction[1])


def _dot(a: tuple[float, ...], b: Point) -> float:
    return a[0] * b[0] + a[1] * b[1]
