"""Turning what hangs: it keeps its back to a wall, so it goes to the next one."""

from collections.abc import Iterator

from geometry.check import mm
from geometry.checks import CHECKS
from geometry.errors import RoomError
from geometry.on_wall import OnWall, from_wall, on_wall
from geometry.rechecking import BY_CONTACT
from geometry.scene import Placed, Scene, with_piece
from geometry.units import Point
from geometry.walls import Edge
from geometry.words import start

Place = tuple[Point, float]

_CONTACT = tuple(check for check in CHECKS if check.id in BY_CONTACT)


def turned_on_wall(scene: Scene, placed: Placed, turn_deg: float) -> Place:
    """Where a piece that hangs goes when it is turned (mm), and which way it faces then (deg).

    One against a wall goes to the next wall on which it hangs free, as far from the left corner as before, else in the
    middle, else at an end; one that is against none turns where it is. RoomError where no other wall takes it.
    """
    now = on_wall(scene, placed)
    if now.off_mm > scene.pack.number("hang-stand-off"):
        return placed.piece.at_mm, (placed.piece.turn_deg + turn_deg) % 360
    for edge in _others(scene, now.edge, -1 if turn_deg % 360 > 180 else 1):
        for place in _places(scene, placed, edge, now):
            if _hangs_free(scene, placed, place):
                return place
    width = scene.edges[now.edge].length_mm - now.left_mm - now.right_mm
    raise RoomError(
        f"{start(placed.name)} stays where it is: no other wall has {mm(width)} free at its height. "
        "Move something first, or drag it to where you want it."
    )


def _others(scene: Scene, index: int, step: int) -> Iterator[Edge]:
    count = len(scene.edges)
    for i in range(1, count):
        yield scene.edges[(index + step * i) % count]


def _places(scene: Scene, placed: Placed, edge: Edge, now: OnWall) -> Iterator[Place]:
    turn = edge.back_to_deg
    there = _put(scene, placed, (placed.piece.at_mm, turn)).piece(placed.id)
    assert there is not None
    at = from_wall(scene, there, edge.index)
    width = edge.length_mm - at.left_mm - at.right_mm
    spare = edge.length_mm - width
    for left in (now.left_mm, spare / 2, 0.0, spare) if spare >= 0 else ():
        back, off = at.left_mm - min(left, spare), now.off_mm - at.off_mm
        x, y = placed.piece.at_mm
        to_left, inward = edge.along, edge.inward
        yield (
            (round(x + back * to_left[0] + off * inward[0], 1), round(y + back * to_left[1] + off * inward[1], 1)),
            turn,
        )


def _put(scene: Scene, placed: Placed, place: Place) -> Scene:
    at_mm, turn = place
    return with_piece(scene, placed.piece.model_copy(update={"at_mm": at_mm, "turn_deg": turn}))


def _hangs_free(scene: Scene, placed: Placed, place: Place) -> bool:
    there = _put(scene, placed, place)
    only = frozenset((placed.id,))
    return all(found.verdict != "put-right" for check in _CONTACT for found in check.find(there, only))
