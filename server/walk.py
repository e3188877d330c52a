"""Round the room on a phone: one wall at a time, the plan as one more, with the names of what lies left and right."""

from dataclasses import dataclass

from geometry.scene import Scene
from geometry.words import start, wall_name
from server.look import Look, shown_wall, walls_in_order
from server.web import mm


@dataclass(frozen=True)
class Way:
    """A wall to go to ("plan", or its number), and what it is called."""

    wall: str
    name: str


@dataclass(frozen=True)
class Walk:
    """What is shown, in words, and what lies to its left and right."""

    here: str
    aside: str
    left: Way
    right: Way


def walk(scene: Scene, look: Look) -> Walk:
    """Where a phone is on its way round the room."""
    order = walls_in_order(scene)
    edge = shown_wall(scene, look)
    at = order.index("plan" if edge is None else str(edge))
    if edge is None:
        aside = f"{len(order) - 1} walls round it"
    else:
        aside = f"{at} of {len(order) - 1}, {mm(scene.edges[edge].length_mm)} long"
    return Walk(_name(scene, order[at]), aside, _way(scene, order[at - 1]), _way(scene, order[(at + 1) % len(order)]))


def _way(scene: Scene, wall: str) -> Way:
    return Way(wall, _name(scene, wall))


def _name(scene: Scene, wall: str) -> str:
    return "Plan" if wall == "plan" else start(wall_name(scene, int(wall)).removeprefix("the "))
