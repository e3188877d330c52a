"""How far it is from a side of a piece to a doorway that its space runs out through: the tape ends there."""

from geometry.kit import PLAN_SIDES
from geometry.scene import Placed, Scene
from geometry.walls import Edge

_STRAIGHT = 0.999


def to_the_door_mm(scene: Scene, placed: Placed, side: str | None) -> float | None:
    """From a side, straight on, to the wall line of the doorway before it; None where none is straight before it.

    >>> from geometry.samples import box_kit, piece, sample_scene
    >>> door = {"id": "d1", "edge": 0, "from_mm": 300, "clear_mm": 800}
    >>> scene = sample_scene([box_kit("tank")], [piece(box_kit("tank"), 700, 700)], doors=[door])
    >>> to_the_door_mm(scene, scene.placed[0], "front"), to_the_door_mm(scene, scene.placed[0], "left")
    (500.0, None)
    """
    if side not in PLAN_SIDES:
        return None
    dx, dy, _ = placed.direction(side)
    found = [
        _gap_mm(placed, edge)
        for door in scene.room.doors
        for edge in scene.edges[door.edge : door.edge + 1]
        if edge.inward[0] * dx + edge.inward[1] * dy < -_STRAIGHT
        and _meets(placed, edge, door.from_mm, door.from_mm + door.clear_mm)
    ]
    ahead = [gap for gap in found if gap >= 0]
    return min(ahead, default=None)


def _gap_mm(placed: Placed, edge: Edge) -> float:
    x, y = edge.inward
    nearest = max(part.reach((-x, -y)) for part in placed.body)
    return -nearest - (x * edge.start[0] + y * edge.start[1])


def _meets(placed: Placed, edge: Edge, from_mm: float, to_mm: float) -> bool:
    (ux, uy), (sx, sy) = edge.along, edge.start
    zero = ux * sx + uy * sy
    high = max(part.reach((ux, uy)) for part in placed.body) - zero
    low = -max(part.reach((-ux, -uy)) for part in placed.body) - zero
    return low < to_mm and high > from_mm
