"""Ways between the doors and the places in a room: grounds for people and for kit, and what lies beyond each door."""

from dataclasses import dataclass
from functools import cached_property

import shapely
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from geometry.passing import PRECISION_MM, Ground, Pinch, ground_for, parts, pinch
from geometry.scene import Scene
from geometry.units import Point
from geometry.walls import slot

OUTSIDE_MM = 1_500.0
"""How far outside an open door something has to get to be out."""


def beyond(scene: Scene, radius_mm: float, head_mm: float = 0.0) -> BaseGeometry:
    """Where the middle of a disc may be once it is out through some door of at least that height."""
    places: list[BaseGeometry] = []
    for door in scene.room.doors:
        if door.head_mm < head_mm:
            continue
        if door.beyond_mm is not None:
            places.append(Polygon(door.beyond_mm).buffer(-radius_mm))
        else:
            edge = scene.edges[door.edge]
            far = -(edge.thick_mm + radius_mm + OUTSIDE_MM)
            places.append(ShapelyPoint(edge.at(door.from_mm + door.clear_mm / 2, far)))
    return shapely.union_all(places) if places else Polygon()


@dataclass(frozen=True)
class Walk:
    """Where a person of a width and a height can walk, from the doors inwards."""

    scene: Scene
    ground: Ground
    head_mm: float

    def reached(self, width_mm: float) -> BaseGeometry:
        """Where the middle of a person that wide can be, coming from a door."""
        if width_mm not in self._cache:
            goal = beyond(self.scene, width_mm / 2, self.head_mm)
            free = self.ground.free(width_mm / 2)
            coming_in = shapely.union_all([part for part in free if part.intersects(goal)])
            self._cache[width_mm] = coming_in.intersection(self.floor)
            shapely.prepare(self._cache[width_mm])
        return self._cache[width_mm]

    @cached_property
    def floor(self) -> BaseGeometry:
        """The room's floor, its doorways, and the floor just outside them: nobody works from behind a wall."""
        places: list[BaseGeometry] = [self.scene.floor]
        for door, opening in self.scene.openings:
            edge = self.scene.edges[door.edge]
            a, b, deep = door.from_mm, door.from_mm + door.clear_mm, edge.thick_mm + OUTSIDE_MM
            outside = Polygon([edge.at(a, -deep), edge.at(b, -deep), edge.at(b), edge.at(a)])
            beyond_door = outside if door.beyond_mm is None else Polygon(door.beyond_mm)
            places += [opening.polygon, beyond_door]
        return shapely.union_all(places)

    @cached_property
    def _cache(self) -> dict[float, BaseGeometry]:
        return {}

    def widest_to(self, place: BaseGeometry, most_mm: float) -> float:
        """The widest person, up to ``most_mm``, that can get to a place from a door. Good to 0.5 mm."""
        if self.reached(most_mm).intersects(place):
            return most_mm
        low, high = 0.0, most_mm
        while high - low > PRECISION_MM:
            middle = (low + high) / 2
            low, high = (middle, high) if self.reached(middle).intersects(place) else (low, middle)
        return low

    def pinch_to(self, place: BaseGeometry, width_mm: float) -> Pinch | None:
        """Where the way to a place closes for anybody wider."""
        inside = [part for part in parts(place) if not part.is_empty]
        if not inside:
            return None
        start: Point = tuple(shapely.get_coordinates(inside[0].representative_point())[0])
        return pinch(self.ground, start, lambda r: beyond(self.scene, r, self.head_mm), width_mm)


def walk(scene: Scene, head_mm: float, step_over_mm: float, without: frozenset[str] = frozenset()) -> Walk:
    """The walk of people of that height who step over what is low."""
    return Walk(scene, ground_for(scene, step_over_mm, head_mm, without), head_mm)


def doorway_of(scene: Scene, at: Point) -> str | None:
    """The door in whose opening a point lies, if it lies in one."""
    for door in scene.room.doors:
        if slot(scene.room, door).polygon.buffer(60).contains(ShapelyPoint(at)):
            return door.id
    return None
