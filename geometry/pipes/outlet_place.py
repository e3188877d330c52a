"""Whether an outlet is in a place where its pipe can end: not in a doorway, and outside where it has to end outside."""

from dataclasses import dataclass
from typing import Literal

from geometry.check import Where
from geometry.kit import Medium
from geometry.pipes.falling import end_of
from geometry.pipes.topics import at_outlet
from geometry.room import Outlet
from geometry.scene import Scene
from geometry.units import DEPTH_TOLERANCE_MM
from geometry.words import named, start, wall_name

_ENDS_OUTSIDE = frozenset({"gully", "low-level", "hopper", "roof", "soakaway"})
_HAVE_TO: frozenset[Medium] = frozenset({"hot-discharge", "overflow", "relief", "condensate"})


@dataclass(frozen=True)
class InPlace:
    """What is the matter with the place of an outlet: topic, verdict, sentence, what is in question, and where."""

    topic: Literal["doorway", "wall"]
    verdict: Literal["put-right", "not-checked"]
    text: str
    against: tuple[str, ...]
    where: Where
    question: str = ""


def outlet_place(scene: Scene, outlet: Outlet, medium: Medium) -> InPlace | None:
    """What is the matter with the place of the outlet that a pipe ends at, or None.

    >>> from geometry.samples import sample_scene
    >>> end = {"id": "o1", "name": "gully", "at_mm": [2400, 900], "level_mm": 150, "ends": "gully"}
    >>> scene = sample_scene([], [], outlets=[end])
    >>> outlet_place(scene, scene.room.outlets[0], "overflow").question
    'Is the right wall an outside wall?'
    """
    wall = end_of(scene, outlet).wall
    if not wall:
        return None
    edge, where = int(wall.removeprefix("edge:")), at_outlet(outlet)
    along = scene.edges[edge].measure(outlet.at_mm)[0]
    for door in scene.room.doors:
        beside = min(along - door.from_mm, door.from_mm + door.clear_mm - along)
        if door.edge == edge and beside > DEPTH_TOLERANCE_MM and door.sill_mm <= outlet.level_mm < door.head_mm:
            text = f"{start(named(scene, outlet.id))} is in doorway {door.id}."
            return InPlace("doorway", "put-right", text, (outlet.id, door.id), where)
    outer = {one.edge for one in scene.room.walls if one.outside}
    if edge in outer or medium not in _HAVE_TO or not (outlet.outside_run_mm or outlet.ends in _ENDS_OUTSIDE):
        return None
    text = f"{start(named(scene, outlet.id))} is in {wall_name(scene, edge)}, which is not drawn as an outside wall."
    if outer and any(one.edge == edge for one in scene.room.walls):
        return InPlace("wall", "put-right", text, (outlet.id, wall), where)
    return InPlace("wall", "not-checked", text, (outlet.id,), where, f"Is {wall_name(scene, edge)} an outside wall?")
