"""Small drawings: a room as a thumbnail for the list, and the key plan that shows a phone which wall it is on."""

from collections.abc import Iterable

from markupsafe import Markup

from geometry.scene import Scene
from server.drawing.grounds import openings_on
from server.drawing.pen import Pen
from server.drawing.seats import Seats, seats
from server.drawing.svg import Grain, Matrix, bounds, line, num, path, ring
from server.drawing.unfold import Face, Unfolded, outer_ring, unfolded

_TINY = Grain(finest=1.6, digits=1, text=12.0, dim=11.5, line=1.0)
_KEY_EDGE_PX = 7.0


def thumbnail_scale(scenes: Iterable[Scene], width_px: float, height_px: float) -> float:
    """The one scale, in px per mm, at which every one of some rooms fits a thumbnail."""
    return min((unfolded(s, width_px, height_px, least_px_mm=0.0).scale_px_mm for s in scenes), default=0.0)


def thumbnail(scene: Scene, width_px: float, height_px: float, scale_px_mm: float | None = None) -> Markup:
    """A room unfolded as a small solid drawing: faces in their true shape, walls heavy, kit dark.

    ``scale_px_mm`` draws it smaller than it could be, so that the rooms of a list can share one scale.
    """
    view = unfolded(scene, width_px, height_px, least_px_mm=0.0)
    found = seats(scene)
    parts = [_small_face(face, scene, found) for face in view.faces]
    plan = path("floor", ring(map(view.plan.to_px, scene.room.outline_mm)))
    outer = ring(map(view.plan.to_px, outer_ring(scene.edges)))
    walls = path("wall", outer + ring(map(view.plan.to_px, scene.room.outline_mm)), ' fill-rule="evenodd"')
    parts += [plan, _small_bodies(view, scene), walls, _doors(view, scene)]
    inside = '<g class="thumb">' + "".join(parts) + "</g>"
    if scale_px_mm is None or scale_px_mm >= view.scale_px_mm:
        return Markup(inside)
    less = scale_px_mm / view.scale_px_mm
    e, f = width_px / 2 * (1 - less), height_px / 2 * (1 - less)
    return Markup(f'<g transform="matrix({less:.5g},0,0,{less:.5g},{num(e, 2)},{num(f, 2)})">{inside}</g>')


def _small_face(face: Face, scene: Scene, found: Seats) -> str:
    upper = [p for top in reversed(face.tops) for p in (top.end, top.start)]
    shape = ring(map(face.to_px, [(0.0, 0.0), (face.length_mm, 0.0), *upper]))
    pen = Pen(face.matrix, _TINY)
    for door in scene.room.doors:
        if door.edge == face.edge:
            right = face.length_mm - door.from_mm
            pen.rect("thumb-door", right - door.clear_mm, door.sill_mm, right, min(door.head_mm, face.height_mm))
    for item, seat in found.on(scene, face.edge):
        pen.rect("thumb-kit", seat.span.from_mm, item.base_mm, seat.span.to_mm, item.top_mm)
    return path("face", shape) + path("faceedge", shape) + pen.svg()


def _small_bodies(view: Unfolded, scene: Scene) -> str:
    pen = Pen(view.plan, _TINY)
    for item in sorted(scene.placed, key=lambda p: (p.base_mm, p.top_mm, p.id)):
        for part in item.body:
            pen.shape("thumb-kit", part)
    return pen.svg()


def _doors(view: Unfolded, scene: Scene) -> str:
    pen = Pen(view.plan, _TINY)
    for door in scene.room.doors:
        edge = scene.edges[door.edge]
        ends = (door.from_mm, door.from_mm + door.clear_mm)
        corners = [
            edge.at(ends[0], 4),
            edge.at(ends[1], 4),
            edge.at(ends[1], -edge.thick_mm - 4),
            edge.at(ends[0], -edge.thick_mm - 4),
        ]
        pen.line("gap", *corners, closed=True)
    return pen.svg()


def key_plan(view: Unfolded, scene: Scene, edge: int | None, width_px: float = 62.0, height_px: float = 50.0) -> Markup:
    """The plan in small, its walls thin but for the one that is shown; all thin where that is the plan itself.

    It is turned as ``view`` is where that shows the plan.
    """
    flat = view.plan if view.shows_plan else Matrix(1.0, 0.0, 0.0, -1.0, 0.0, 0.0)
    size = flat.scale
    unit = Matrix(flat.a / size, flat.b / size, flat.c / size, flat.d / size, 0.0, 0.0)
    x0, y0, x1, y1 = bounds([unit.to_px(p) for p in outer_ring(scene.edges)])
    s = min((width_px - 2 * _KEY_EDGE_PX) / (x1 - x0), (height_px - 2 * _KEY_EDGE_PX) / (y1 - y0))
    e, f = width_px / 2 - s * (x0 + x1) / 2, height_px / 2 - s * (y0 + y1) / 2
    plan = Matrix(unit.a * s, unit.b * s, unit.c * s, unit.d * s, e, f)
    pen = Pen(plan, _TINY)
    for item in scene.placed:
        for part in item.body:
            pen.shape("kg", part)
    parts = [path("floor", ring(map(plan.to_px, scene.room.outline_mm))), pen.svg()]
    for wall in scene.edges:
        gaps = sorted(openings_on(scene.room, wall)) if wall.index != edge else []
        ends = [0.0, *(along for gap in gaps for along in gap), wall.length_mm]
        runs = zip(ends[::2], ends[1::2], strict=True)
        data = "".join(line((plan.to_px(wall.at(a)), plan.to_px(wall.at(b)))) for a, b in runs if b - a > 1.0)
        parts.append(path("key-heavy" if wall.index == edge else "key-wall", data))
    return Markup("".join(parts))
