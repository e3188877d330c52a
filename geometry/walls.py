"""The walls as solid blocks with the doorways cut through them, and the walls beyond an open door."""

from dataclasses import dataclass
from functools import lru_cache
from math import atan2, degrees, hypot, inf

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from geometry.errors import UnknownThing
from geometry.room import Door, Room, Wall
from geometry.shapes import Footprint, convex_parts
from geometry.units import Point

_UNMEASURED = Wall(edge=0)
_BETWEEN_MM = 300.0
"""A floor beyond a door may be drawn this far from the wall: the opening still leads to it."""
_LAP_MM = 0.01
"""Openings are cut this much deeper than their wall: rounding would leave a film across those in slant walls."""


@dataclass(frozen=True)
class Edge:
    """One wall line: from ``start`` along ``along`` for ``length_mm``, the room on its left."""

    index: int
    start: Point
    along: Point
    length_mm: float
    thick_mm: float

    @property
    def inward(self) -> Point:
        """Unit vector into the room."""
        return (-self.along[1], self.along[0])

    @property
    def back_to_deg(self) -> float:
        """The turn of a piece that has its back to the wall."""
        x, y = self.inward
        return round(degrees(atan2(x, -y)) % 360, 3) % 360

    @property
    def ref(self) -> str:
        """How findings name the wall."""
        return f"edge:{self.index}"

    def at(self, along_mm: float, inward_mm: float = 0.0) -> Point:
        """A plan point measured along the wall and into the room."""
        (x, y), (ux, uy) = self.start, self.along
        return (x + ux * along_mm - uy * inward_mm, y + uy * along_mm + ux * inward_mm)

    def measure(self, point: Point) -> tuple[float, float]:
        """(along the wall, into the room) of a plan point, in mm."""
        dx, dy = point[0] - self.start[0], point[1] - self.start[1]
        return dx * self.along[0] + dy * self.along[1], -dx * self.along[1] + dy * self.along[0]


@dataclass(frozen=True)
class WallBlock:
    """A solid part of a wall: whose, plan shape, height band."""

    ref: str
    plan: Footprint
    from_mm: float
    to_mm: float


def edges(room: Room) -> tuple[Edge, ...]:
    """Every wall line of the room, in order."""
    return _edges(room.outline_mm, room.walls)


def wall_of(room: Room, index: int) -> Edge:
    """The wall line of that number; UnknownThing where the room has none."""
    walls = edges(room)
    if not 0 <= index < len(walls):
        raise UnknownThing(f"This room has no wall {index + 1}. It has {len(walls)}. Choose one of them.")
    return walls[index]


@lru_cache(maxsize=64)
def _edges(points: tuple[Point, ...], walls: tuple[Wall, ...]) -> tuple[Edge, ...]:
    thick = {wall.edge: wall.thick_mm for wall in walls}
    found = []
    for i, (x0, y0) in enumerate(points):
        x1, y1 = points[(i + 1) % len(points)]
        length = hypot(x1 - x0, y1 - y0)
        along = ((x1 - x0) / length, (y1 - y0) / length)
        found.append(Edge(i, (x0, y0), along, length, thick.get(i, _UNMEASURED.thick_mm)))
    return tuple(found)


def slot(room: Room, door: Door) -> Footprint:
    """The clear opening through the thickness of its wall, in plan."""
    return _slot(edges(room)[door.edge], door)


def _slot(edge: Edge, door: Door, beyond_mm: float = 0.0, lap_mm: float = 0.0) -> Footprint:
    a, b, out = door.from_mm, door.from_mm + door.clear_mm, -edge.thick_mm - beyond_mm
    return Footprint((edge.at(a, out), edge.at(b, out), edge.at(b, lap_mm), edge.at(a, lap_mm)))


def wall_blocks(room: Room) -> tuple[WallBlock, ...]:
    """All walls as solid blocks: full height beside the doorways, above their heads and below their sills.

    Beyond a doorway with ``beyond_mm`` the walls of that floor are blocks too (named by the door's id); without it
    the outside is open.
    """
    return _wall_blocks(room.outline_mm, room.walls, tuple(sorted(room.doors, key=lambda door: door.id)))


@lru_cache(maxsize=64)
def _wall_blocks(outline: tuple[Point, ...], walls: tuple[Wall, ...], doors: tuple[Door, ...]) -> tuple[WallBlock, ...]:
    inside = Polygon(outline)
    every = _edges(outline, walls)
    slots = {door.id: _slot(every[door.edge], door) for door in doors}
    openings = shapely.union_all([_slot(every[door.edge], door, _LAP_MM, _LAP_MM).polygon for door in doors])
    found: list[WallBlock] = []
    for edge in every:
        band = _band_outside(edge, every).difference(inside)
        found += [WallBlock(edge.ref, part, -inf, inf) for part in _solid(band.difference(openings))]
        for door in (door for door in doors if door.edge == edge.index):
            plan = slots[door.id]
            found.append(WallBlock(edge.ref, plan, door.head_mm, inf))
            if door.sill_mm > 0:
                found.append(WallBlock(edge.ref, plan, -inf, door.sill_mm))
    through = [_slot(every[door.edge], door, _BETWEEN_MM, _LAP_MM).polygon for door in doors]
    free = shapely.union_all([inside, *through, *(Polygon(door.beyond_mm) for door in doors if door.beyond_mm)])
    for door in doors:
        found += _walls_beyond(door, free)
    return tuple(found)


def _band_outside(edge: Edge, every: tuple[Edge, ...]) -> Polygon:
    """The wall of one edge in plan, carried past both corners by the thickness of its neighbours."""
    before, after = every[edge.index - 1], every[(edge.index + 1) % len(every)]
    a, b = -before.thick_mm, edge.length_mm + after.thick_mm
    return Polygon([edge.at(a, -edge.thick_mm), edge.at(b, -edge.thick_mm), edge.at(b), edge.at(a)])


def _solid(shape: BaseGeometry) -> list[Footprint]:
    parts = [part for part in shapely.get_parts(shape) if part.area > 1.0]
    return [piece for part in parts for piece in convex_parts(part.exterior.coords[:-1])]


def _walls_beyond(door: Door, free: BaseGeometry) -> list[WallBlock]:
    if door.beyond_mm is None:
        return []
    beyond = Polygon(door.beyond_mm)
    ring = beyond.buffer(_UNMEASURED.thick_mm, join_style="mitre").difference(beyond).difference(free)
    triangles = [t for part in shapely.get_parts(ring) for t in shapely.constrained_delaunay_triangles(part).geoms]
    return [WallBlock(door.id, piece, -inf, inf) for t in triangles for piece in convex_parts(t.exterior.coords[:-1])]
