"""Ways between the doors and the places in a room: where people walk, where kit is carried, what is beyond a door."""

from dataclasses import dataclass
from functools import cached_property
from math import inf

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from geometry.passing import Ground, Parts, ground_for, meeting, passes, round_of, spot
from geometry.pinches import Pinch, pinch
from geometry.room import Door
from geometry.scene import Scene
from geometry.shapes import Footprint
from geometry.turning import rectangle
from geometry.units import DEPTH_TOLERANCE_MM, Point
from geometry.walls import Edge, slot

OUTSIDE_MM = 1_500.0
"""How far outside an open door something has to get to be out, and how far the floor there counts."""
_FAR_MM = 100_000.0
_AT_DOOR_MM = 60.0


def lets_through(door: Door, head_mm: float, lift_mm: float = 0.0) -> bool:
    """Whether a door is high enough for something that tall, its lift counted; over a higher sill it is lifted more."""
    return door.head_mm >= head_mm + max(0.0, door.sill_mm - lift_mm)


def beyond(scene: Scene, shape: Footprint, head_mm: float = 0.0, lift_mm: float = inf) -> BaseGeometry:
    """Where the origin of a shape may be once all of it is out through some door of at least that height.

    That is past the outer face of the wall: on the floor that was measured there, or, where none was, within
    ``OUTSIDE_MM`` straight outside.
    """
    key = ("beyond", shape, head_mm, lift_mm)
    if key not in scene.shell:
        places = [_past(scene, door, shape) for door in scene.room.doors if lets_through(door, head_mm, lift_mm)]
        scene.shell[key] = shapely.union_all(places) if places else Polygon()
    found: BaseGeometry = scene.shell[key]
    return found


def _past(scene: Scene, door: Door, shape: Footprint) -> BaseGeometry:
    edge = scene.edges[door.edge]
    inward = max(shape.reach(edge.inward), 0.0)
    near = -(edge.thick_mm + inward)
    if door.beyond_mm is None:
        a, b = door.from_mm, door.from_mm + door.clear_mm
        return _strip(edge, a, b, near, near - OUTSIDE_MM).difference(scene.floor)
    half_plane = _strip(edge, -_FAR_MM, _FAR_MM, near, -_FAR_MM)
    return Polygon(door.beyond_mm).intersection(half_plane)


def _strip(edge: Edge, a: float, b: float, near: float, far: float) -> Polygon:
    return Polygon([edge.at(a, far), edge.at(b, far), edge.at(b, near), edge.at(a, near)])


@dataclass(frozen=True)
class Walk:
    """Where a person of a height can walk, from the doors inwards."""

    scene: Scene
    ground: Ground
    head_mm: float

    def _goal(self, shape: Footprint) -> BaseGeometry:
        return beyond(self.scene, shape, self.head_mm)

    def reached(self, width_mm: float) -> BaseGeometry:
        """Where the middle of a person that wide can be, coming from a door; what touches on both sides passes."""
        if width_mm not in self._made:
            asked = width_mm - DEPTH_TOLERANCE_MM
            self._made[width_mm] = self._inside(meeting(self.ground.free(asked / 2), self._goal(round_of(asked))))
        return self._made[width_mm]

    def surely_reached(self, width_mm: float) -> BaseGeometry:
        """The same for a square as wide as the person: never more than the person reaches, and sooner worked out."""
        if -width_mm not in self._made:
            free = self.ground.free_of_square(width_mm / 2)
            self._made[-width_mm] = self._inside(meeting(free, self._goal(Footprint(rectangle(width_mm, width_mm)))))
        return self._made[-width_mm]

    def _inside(self, parts: Parts) -> BaseGeometry:
        """The parts as far as they lie on floor that counts; ready to be asked many times."""
        found = shapely.union_all([part.intersection(floor_of(self.scene)) for part in parts])
        shapely.prepare(found)
        return found

    @cached_property
    def _made(self) -> dict[float, BaseGeometry]:
        return {}

    def lets(self, place: BaseGeometry, width_mm: float) -> bool:
        """Whether a person that wide gets from the doors to a place."""
        return passes(self.ground, place, self._goal, width_mm - DEPTH_TOLERANCE_MM)

    def gate(self, place: BaseGeometry, most_mm: float) -> Pinch | None:
        """The narrowest place on the way from the doors to a place; None where a person that wide gets there."""
        key = (place.wkb, most_mm)
        if key not in self._gates:
            through = self.lets(place, most_mm)
            self._gates[key] = None if through else pinch(self.ground, place, self._goal, most_mm)
        return self._gates[key]

    @cached_property
    def _gates(self) -> dict[tuple[bytes, float], Pinch | None]:
        return {}


def floor_of(scene: Scene) -> BaseGeometry:
    """The room's floor, its doorways, and the floor just outside them: nobody works from behind a wall."""
    if "floor" not in scene.shell:
        places: list[BaseGeometry] = [scene.floor]
        for door, opening in scene.openings:
            edge = scene.edges[door.edge]
            a, b = door.from_mm, door.from_mm + door.clear_mm
            outside = _strip(edge, a, b, 0.0, -(edge.thick_mm + OUTSIDE_MM))
            places += [opening.polygon, outside if door.beyond_mm is None else Polygon(door.beyond_mm)]
        scene.shell["floor"] = shapely.union_all(places)
        shapely.prepare(scene.shell["floor"])
    found: BaseGeometry = scene.shell["floor"]
    return found


def walk(scene: Scene, head_mm: float, without: frozenset[str] = frozenset()) -> Walk:
    """The walk of people of that height, who step over what is low; worked out once for a room."""
    key = ("walk", head_mm, without)
    if key not in scene.memo:
        found = Walk(scene, ground_for(scene, scene.pack.number("step-over"), head_mm, without), head_mm)
        before: Walk | None = like.memo.get(key) if (like := liked(scene)[0]) else None
        scene.memo[key] = before if before and before.ground == found.ground else found
        if before:
            found.ground.ends_known.update({most: list(ends) for most, ends in before.ground.ends_known.items()})
    known: Walk = scene.memo[key]
    return known


def liked(scene: Scene) -> tuple[Scene | None, str]:
    """The same room with one piece elsewhere, where one is at hand, and that piece."""
    found: tuple[Scene | None, str] = scene.memo.get("like", (None, ""))
    return found


def doorway_of(scene: Scene, at: Point) -> str | None:
    """The door in whose opening a point lies, if it lies in one."""
    for door in sorted(scene.room.doors, key=lambda door: door.id):
        if slot(scene.room, door).polygon.buffer(_AT_DOOR_MM).contains(spot(at)):
            return door.id
    return None
