"""Floor that has to stay clear, and the customer's own space, for the corner view and the customer's page."""

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from geometry.scene import Placed, Scene
from geometry.shapes import swept
from geometry.units import Point

STANDING_MM = 400.0
"""A space in front that is shallower is a gap for a hand, not floor to stand on: common practice, no source."""
OWN_GROUP = "household"
_FLOOR_BAND_MM = 300.0
_SLIVER_MM = 40.0


def worked_on(placed: Placed) -> bool:
    """Whether somebody comes to look after a piece and stands in front of it."""
    return placed.kit.group != OWN_GROUP and bool(placed.kit.visits_a_year) and front_mm(placed) >= STANDING_MM


def front_mm(placed: Placed) -> float:
    """The space that a piece needs in front, in mm; 0 where it names none."""
    return max((space.mm for space in placed.kit.space if space.side == "front"), default=0.0)


def in_front_of(placed: Placed) -> BaseGeometry:
    """The floor in front of a piece that its space covers."""
    parts = [swept(part, placed.direction("front"), front_mm(placed)).polygon for part in placed.body]
    return shapely.union_all(parts)


def clear_floor(scene: Scene) -> BaseGeometry:
    """All floor in front of the kit that somebody looks after, without the floor that kit and boxing stand on."""
    fronts = [in_front_of(placed) for placed in scene.placed if worked_on(placed)]
    wanted = shapely.union_all(fronts).intersection(Polygon(scene.room.outline_mm))
    return _without_slivers(wanted.difference(_stood_on(scene)))


def free_floor(scene: Scene) -> BaseGeometry:
    """Floor that carries nothing and has to stay clear for nobody."""
    room = Polygon(scene.room.outline_mm)
    return _without_slivers(room.difference(shapely.union_all([clear_floor(scene), _stood_on(scene)])))


def taken_floor(scene: Scene) -> BaseGeometry:
    """Floor that kit stands on, what is the customer's own left out."""
    own = {item.id for item in scene.placed if item.kit.group == OWN_GROUP}
    bodies = [s for s in scene.solids if s.part == "body" and s.from_mm < _FLOOR_BAND_MM and s.owner not in own]
    return shapely.union_all([body.plan.polygon for body in bodies])


def _stood_on(scene: Scene) -> BaseGeometry:
    low = [s for s in scene.solids if s.part in ("body", "sticks-out", "fixture") and s.from_mm < _FLOOR_BAND_MM]
    return shapely.union_all([solid.plan.polygon for solid in low])


def _without_slivers(area: BaseGeometry) -> BaseGeometry:
    return area.buffer(-_SLIVER_MM, join_style="mitre").buffer(_SLIVER_MM, join_style="mitre")


def rings(area: BaseGeometry) -> list[list[Point]]:
    """The outlines of an area, holes among them, as rings of points."""
    parts = [part for part in shapely.get_parts(area) if isinstance(part, Polygon) and not part.is_empty]
    lines = [line for part in parts for line in (part.exterior, *part.interiors)]
    return [[(float(x), float(y)) for x, y in line.coords[:-1]] for line in lines]
