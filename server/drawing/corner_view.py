"""The room seen from above one corner, to scale: the two near walls taken away but for their cut foot.

Kit stands in three tones of paper, with its name on it; a solid figure of 1,700 mm gives the scale; floor that must
stay clear is dotted. A parallel projection, so equal lengths in one direction are equal everywhere.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from geometry.scene import Scene, Solid
from geometry.shapes import convex_parts
from geometry.units import Point, Point3
from server.drawing.corner_doors import door_marks, door_points, leaf_bodies
from server.drawing.corner_eye import CORNERS, Eye, eye_at
from server.drawing.corner_faces import Face, faces
from server.drawing.corner_figure import figure_body, figure_svg, stands_at
from server.drawing.corner_floor import clear_floor, rings
from server.drawing.corner_labels import Label, Paper, place_labels
from server.drawing.corner_order import Body, painting_order
from server.drawing.corner_room import draw_ceiling, draw_ground, feet_px, room_points
from server.drawing.svg import ring

MARGIN_PX = 40.0
CLEAR = "keep-clear"
_FINE_MM = 12.0
"""What sticks out by less is not drawn: it would be a blot."""
_TRIAL_PX = 400.0


@dataclass(frozen=True)
class Picture:
    """Everything of one corner view in its place: what is painted, in order, and the names."""

    eye: Eye
    size_px: Point
    bodies: tuple[Body, ...]
    figure_mm: Point
    paper: Paper
    labels: tuple[Label, ...]


def corner_view(scene: Scene, corner: int, width_px: float, names: Mapping[str, str] | None = None) -> Markup:
    """The view from one of the four corners as a whole ``<svg>``; classes only, so that a stylesheet gives the tones.

    ``names`` gives other words for some of the kit and the customer's own spaces, by id.
    """
    return drawn(scene, picture(scene, corner, width_px, {**scene.names, **(names or {})}), corner)


def drawn(scene: Scene, seen: Picture, corner: int) -> Markup:
    """A picture as a whole ``<svg>``."""
    width, height = seen.size_px
    said = f"The room seen from above its {CORNERS[corner]} corner."
    inside = [draw_ground(scene, seen.eye), _dotted(scene, seen.eye), door_marks(scene, seen.eye)]
    inside += [_painted(body, seen) for body in seen.bodies]
    inside += [draw_ceiling(scene, seen.eye), *(label.svg for label in seen.labels)]
    frame = '<svg class="corner" width="{0:.0f}" height="{1:.0f}" viewBox="0 0 {0:.0f} {1:.0f}" role="img"'
    return Markup(frame + ' aria-label="{2}">{3}</svg>').format(width, height, said, Markup("").join(inside))


def picture(scene: Scene, corner: int, width_px: float, names: Mapping[str, str] | None = None) -> Picture:
    """Place everything of one view: scale, figure, order of painting, names. ``names`` of None: no names at all."""
    eye = eye_at(corner, scene.room.outline_mm)
    solid = [*room_bodies(scene), *leaf_bodies(scene, eye)]
    figure_mm = stands_at(scene, solid, eye)
    solid = [*solid, figure_body(figure_mm)]
    eye, height = eye.fitted(_points(scene, solid, eye), width_px, MARGIN_PX)
    ordered = painting_order(solid, eye)
    paper = Paper(_faces(scene, ordered, eye), width_px, height)
    labels = place_labels(paper, _names(scene, names, ordered)) if names is not None else []
    return Picture(eye, (width_px, height), tuple(ordered), figure_mm, paper, tuple(labels))


def best_corner(scene: Scene) -> int:
    """The corner that shows most.

    Every piece counts alike, by the part of it that nothing hides; half as much where it turns its back.
    """
    return max(range(4), key=lambda corner: (round(_shown(scene, picture(scene, corner, _TRIAL_PX)), 2), -corner))


def hidden(scene: Scene, seen: Picture) -> list[str]:
    """Ids of the pieces of which nothing at all is seen on a picture."""
    return [item.id for item in scene.placed if not seen.paper.cells(item.id).any()]


def unnamed(scene: Scene, seen: Picture) -> list[str]:
    """Ids of the pieces that are seen on a picture, and too small or too close together there for a name."""
    named = {label.owner for label in seen.labels}
    return [item.id for item in scene.placed if item.id not in named and seen.paper.cells(item.id).any()]


def _shown(scene: Scene, seen: Picture) -> float:
    total = 0.0
    for item in scene.placed:
        outlines = [seen.eye.outline_px(b.ring_mm, b.from_mm, b.to_mm) for b in seen.bodies if b.owner == item.id]
        alone = Paper([Face(outline, "", "", item.id) for outline in outlines], *seen.size_px).cells(item.id).sum()
        part = float(seen.paper.cells(item.id).sum()) / max(1.0, float(alone))
        total += part if seen.eye.faces(item.direction("front")[:2]) else part / 2
    return total


def room_bodies(scene: Scene) -> list[Body]:
    """Kit with what sticks out, boxing and the customer's own places, as upright convex solids."""
    found = []
    for solid in scene.solids:
        if solid.part == "wall" or (solid.part == "sticks-out" and _is_fine(solid)):
            continue
        kind = "boxing" if solid.part == "fixture" else "kit"
        found.append(Body(solid.plan, solid.from_mm, solid.to_mm, kind, solid.owner))
    for own in scene.room.keep_free:
        found += [Body(part, own.from_mm, own.to_mm, "yours", own.id) for part in convex_parts(own.area_mm)]
    return found


def _is_fine(solid: Solid) -> bool:
    x0, y0, x1, y1 = solid.plan.bounds
    return min(x1 - x0, y1 - y0, solid.to_mm - solid.from_mm) < _FINE_MM


def _points(scene: Scene, bodies: Sequence[Body], eye: Eye) -> list[Point3]:
    points = [*room_points(scene, eye), *door_points(scene, eye)]
    for body in bodies:
        points += [(x, y, z) for x, y in body.ring_mm for z in (body.from_mm, body.to_mm)]
    return points


def _faces(scene: Scene, ordered: Sequence[Body], eye: Eye) -> list[Face]:
    """Everything that may carry a name or hide one, in the order in which it is painted; a leaf hides nothing."""
    floor = [Face(tuple(eye.ring_px(points, 0.0)), "", "", CLEAR) for points in _clear_rings(scene)]
    feet = [Face(tuple(px), "", "", "foot") for px in feet_px(scene, eye)]
    return [*floor, *feet, *(face for body in ordered if body.kind != "leaf" for face in faces(body, eye))]


def _names(scene: Scene, names: Mapping[str, str], ordered: Sequence[Body]) -> list[tuple[str, str]]:
    """What is named: kit and the customer's own spaces, nearest first, then the floor to keep clear."""
    owners = [item.id for item in scene.placed] + [own.id for own in scene.room.keep_free]
    painted = {body.owner: i for i, body in enumerate(ordered)}
    owners.sort(key=lambda owner: -painted[owner])
    return [(owner, names[owner]) for owner in owners] + [(CLEAR, "keep clear")]


def _clear_rings(scene: Scene) -> list[list[Point]]:
    return rings(clear_floor(scene))


def _dotted(scene: Scene, eye: Eye) -> Markup:
    path = " ".join(ring(eye.ring_px(points, 0.0)) for points in _clear_rings(scene))
    return Markup('<path class="keep" d="{}"/>').format(path) if path else Markup("")


def _painted(body: Body, seen: Picture) -> Markup:
    if body.kind == "figure":
        return figure_svg(seen.figure_mm, seen.eye)
    shapes = Markup("").join(face.svg for face in faces(body, seen.eye))
    return Markup('<g class="{}" data-owner="{}">{}</g>').format(body.kind, body.owner, shapes)
