"""Door leaves in the corner view: as far open as they go, with the arc that they sweep on the floor.

A leaf that opens inwards stands in the room. One that opens outwards is drawn only where its wall is taken away, cut
at the foot like the wall.
"""

from dataclasses import dataclass
from math import cos, radians, sin

from markupsafe import Markup

from geometry.doors import HungLeaf
from geometry.room import Door
from geometry.scene import Scene
from geometry.shapes import Footprint, hull
from geometry.units import Point, Point3
from server.drawing.corner_eye import Eye
from server.drawing.corner_order import Body
from server.drawing.corner_room import standing
from server.drawing.opened import open_leaves
from server.drawing.svg import line, ring

_STEP_DEG = 6.0


@dataclass(frozen=True)
class _Leaf:
    """One leaf of a door of the room, as far open as it is drawn."""

    door: Door
    hung: HungLeaf
    angle_deg: float

    @property
    def inside(self) -> bool:
        """Whether it stands in the room."""
        return self.door.leaf.opens == "in"

    @property
    def panels(self) -> list[Footprint]:
        """The open leaf in plan."""
        return [Footprint(hull(panel)) for panel in self.hung.standing(self.angle_deg)]

    @property
    def sweep(self) -> list[Point]:
        """Points of the arc from shut to open; none for a leaf that folds."""
        if self.hung.folds:
            return []
        steps = max(2, int(self.angle_deg / _STEP_DEG))
        turns = [radians(self.angle_deg * i / steps) for i in range(steps + 1)]
        reach = self.hung.reach_mm
        return [self.hung.room(reach * cos(turn), reach * sin(turn)) for turn in turns]


def _leaves(scene: Scene) -> list[_Leaf]:
    doors = {door.id: door for door in scene.room.doors}
    return [_Leaf(doors[hung.owner], hung, angle) for hung, angle in open_leaves(scene)]


def _shown(scene: Scene, eye: Eye) -> list[_Leaf]:
    """The leaves that the reader sees: those in the room, and those outside a wall that is taken away."""
    up = {edge.index for edge in standing(scene, eye)}
    return [leaf for leaf in _leaves(scene) if leaf.inside or leaf.door.edge not in up]


def leaf_bodies(scene: Scene, eye: Eye | None = None) -> list[Body]:
    """Leaves that stand in the room and are seen, for the painter's order; without an eye those outside as well."""
    return [
        Body(panel, leaf.hung.from_mm, leaf.hung.to_mm, "leaf", leaf.door.id)
        for leaf in (_shown(scene, eye) if eye else _leaves(scene))
        if leaf.inside or not eye
        for panel in leaf.panels
    ]


def door_points(scene: Scene, eye: Eye) -> list[Point3]:
    """Everything that the leaves and their arcs reach on the floor."""
    reached = [
        p for leaf in _shown(scene, eye) for p in (*leaf.sweep, *(q for panel in leaf.panels for q in panel.points))
    ]
    return [(x, y, 0.0) for x, y in reached]


def door_marks(scene: Scene, eye: Eye) -> Markup:
    """The arcs on the floor, and the feet of the leaves outside."""
    parts = []
    for leaf in _shown(scene, eye):
        if leaf.sweep:
            parts.append(Markup('<path class="sweep" d="{}"/>').format(line(eye.ring_px(leaf.sweep, 0.0))))
        if not leaf.inside:
            feet = [ring(eye.ring_px(panel.points, 0.0)) for panel in leaf.panels]
            parts.append(Markup('<path class="foot" d="{}"/>').format(" ".join(feet)))
    return Markup("").join(parts)
