"""A first place for a piece that was just taken from the shelf: clear of everything if there is such a place."""

from collections.abc import Iterator
from math import atan2, degrees

import shapely
from shapely.geometry import LineString, Polygon

from geometry.kit import Kit
from geometry.scene import Scene
from geometry.units import Point, whole_mm
from geometry.walls import Edge

Place = tuple[Point, float]


def free_place(scene: Scene, kit: Kit) -> Place:
    """Where to put a new piece (mm) and how to turn it (deg).

    Floor kit goes to the middle of the widest free floor; wall kit to the middle of the longest free stretch of wall,
    its back to it. In a full room it goes to the middle of what there is, and the checks say what is wrong.
    """
    return _on_a_wall(scene, kit) if kit.stands_on == "wall" else _on_the_floor(scene, kit)


def _on_the_floor(scene: Scene, kit: Kit) -> Place:
    room = Polygon(scene.room.outline_mm)
    taken = [s.plan.polygon for s in scene.solids if s.part != "wall" and s.meets_band(kit.base_mm, _top(kit))]
    parts = [part for part in shapely.get_parts(room.difference(shapely.union_all(taken))) if part.area > 0]
    widest = max((_inner_circle(part) for part in parts), key=lambda line: line.length, default=_inner_circle(room))
    x, y = widest.coords[0]
    return (float(whole_mm(x)), float(whole_mm(y))), 0.0


def _inner_circle(area: Polygon) -> LineString:
    """The largest circle inside, as a line from its middle to its rim."""
    return shapely.maximum_inscribed_circle(area, tolerance=5.0)


def _on_a_wall(scene: Scene, kit: Kit) -> Place:
    stretches = [(edge, low, high) for edge in scene.edges for low, high in _free_stretches(scene, edge, kit)]
    whole = [(edge, 0.0, edge.length_mm) for edge in scene.edges]
    edge, low, high = max(stretches or whole, key=lambda one: (one[2] - one[1], -one[0].index))
    x, y = edge.at((low + high) / 2, kit.plan.depth_mm / 2)
    inward_x, inward_y = edge.inward
    return (round(x, 1), round(y, 1)), round(degrees(atan2(inward_x, -inward_y)) % 360, 3) % 360


def _free_stretches(scene: Scene, edge: Edge, kit: Kit) -> list[tuple[float, float]]:
    """Stretches of a wall, long enough for the kind, with nothing solid and no opening at its height."""
    free, here = [], 0.0
    for low, high in [*sorted(_taken(scene, edge, kit)), (edge.length_mm, edge.length_mm)]:
        if low - here >= kit.plan.width_mm:
            free.append((here, low))
        here = max(here, high)
    return free


def _taken(scene: Scene, edge: Edge, kit: Kit) -> Iterator[tuple[float, float]]:
    x0, y0 = edge.measure((0.0, 0.0))
    (ux, uy), (nx, ny) = edge.along, edge.inward
    for solid in scene.solids:
        near = y0 - solid.plan.reach((-nx, -ny))
        if solid.part != "wall" and solid.meets_band(kit.base_mm, _top(kit)) and near < kit.plan.depth_mm:
            yield x0 - solid.plan.reach((-ux, -uy)), x0 + solid.plan.reach((ux, uy))
    for door in (door for door in scene.room.doors if door.edge == edge.index and door.head_mm > kit.base_mm):
        yield door.from_mm, door.from_mm + door.clear_mm
    for window in (window for window in scene.room.windows if window.edge == edge.index):
        if window.sill_mm < _top(kit) and kit.base_mm < window.head_mm:
            yield window.from_mm, window.from_mm + window.width_mm


def _top(kit: Kit) -> float:
    return kit.base_mm + kit.height_mm
