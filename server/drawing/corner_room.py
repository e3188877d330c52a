"""The room itself in the corner view: floor, cut feet of the walls taken away, far walls with their true tops."""

from dataclasses import replace

import shapely
from markupsafe import Markup
from shapely.geometry import Polygon

from geometry.room import Door
from geometry.scene import Scene
from geometry.units import Point, Point3
from geometry.walls import Edge
from server.drawing.corner_eye import Eye
from server.drawing.profiles import full_height, tops
from server.drawing.svg import line, ring
from server.drawing.unfold import outer_ring

FOOT_MM = 120.0
"""The cut foot of a wall is drawn no thicker than this: it says that a wall was there, not how thick it is."""
_SLIVER_MM2 = 1000.0


def standing(scene: Scene, eye: Eye) -> list[Edge]:
    """The walls that are drawn: they face the reader, and no floor of the room lies hidden behind them."""
    room = Polygon(scene.room.outline_mm)
    back = full_height(scene) * eye.rise / eye.lean
    return [edge for edge in scene.edges if eye.faces(edge.inward) and not _hides(edge, room, eye, back)]


def _hides(edge: Edge, room: Polygon, eye: Eye, back_mm: float) -> bool:
    a, b = edge.start, edge.at(edge.length_mm)
    ax, ay = eye.away[0] * back_mm, eye.away[1] * back_mm
    behind = Polygon([a, b, (b[0] + ax, b[1] + ay), (a[0] + ax, a[1] + ay)])
    return float(behind.intersection(room).area) > _SLIVER_MM2


def face_mm(scene: Scene, edge: Edge) -> list[Point3]:
    """The inner face of a wall as a ring of room points."""
    foot = [(*edge.at(0), 0.0), (*edge.at(edge.length_mm), 0.0)]
    ends = [end for top in tops(scene, edge) for end in (top.start, top.end)]
    return foot + [(*edge.at(edge.length_mm - left), z) for left, z in ends]


def room_points(scene: Scene, eye: Eye) -> list[Point3]:
    """Everything of the room that the picture has to hold."""
    points: list[Point3] = [(x, y, 0.0) for x, y in scene.room.outline_mm]
    up = standing(scene, eye)
    points += [p for edge in up for p in face_mm(scene, edge)]
    for edge in scene.edges:
        thick = _thick(edge)
        points += [(*edge.at(t, -thick), 0.0) for t in (-thick, edge.length_mm + thick)]
    return points


def draw_ground(scene: Scene, eye: Eye) -> Markup:
    """Floor, cut feet of the walls that are taken away, and the far walls with their doors and windows."""
    up = standing(scene, eye)
    floor = ring(eye.ring_px(scene.room.outline_mm, 0.0))
    parts = [Markup('<path class="floor" d="{}"/>').format(floor)]
    parts += [Markup('<path class="foot" d="{}"/>').format(ring(px)) for px in feet_px(scene, eye)]
    far_first = sorted(up, key=lambda e: eye.nearness((*e.at(e.length_mm / 2), 0.0)))
    parts += [_wall(scene, edge, eye) for edge in far_first]
    return Markup("").join(parts)


def _wall(scene: Scene, edge: Edge, eye: Eye) -> Markup:
    tone = "lit" if edge.inward[0] * eye.right[0] + edge.inward[1] * eye.right[1] >= 0 else "shaded"
    unmeasured = " guess" if scene.roof.flat_mm is None else ""
    px = [eye.to_px(p) for p in face_mm(scene, edge)]
    parts = [Markup('<path class="wall {}{}" d="{}"/>').format(tone, unmeasured, ring(px))]
    for door in scene.room.doors:
        if door.edge == edge.index:
            ends = (door.from_mm, door.from_mm + door.clear_mm)
            parts.append(_opening(edge, *ends, door.sill_mm, door.head_mm, eye, "doorway"))
    for window in scene.room.windows:
        if window.edge == edge.index:
            ends = (window.from_mm, window.from_mm + window.width_mm)
            parts.append(_opening(edge, *ends, window.sill_mm, window.head_mm, eye, "window"))
    return Markup("").join(parts)


def _opening(edge: Edge, a: float, b: float, low: float, high: float, eye: Eye, css: str) -> Markup:
    corners = [(*edge.at(a), low), (*edge.at(b), low), (*edge.at(b), high), (*edge.at(a), high)]
    return Markup('<path class="{}" d="{}"/>').format(css, ring([eye.to_px(c) for c in corners]))


def feet_px(scene: Scene, eye: Eye) -> list[list[Point]]:
    """The feet of the walls that are taken away, cut at the floor, with a gap at each doorway: outlines in px."""
    up = standing(scene, eye)
    down = [part for edge in scene.edges if edge not in up for part in _foot(scene, edge)]
    return [eye.ring_px(part, 0.0) for part in down]


def _foot(scene: Scene, edge: Edge) -> list[list[Point]]:
    thin = tuple(replace(other, thick_mm=_thick(other)) for other in scene.edges)
    before, own, after = thin[edge.index - 1], thin[edge.index], thin[(edge.index + 1) % len(thin)]
    a, b, thick = -before.thick_mm, own.length_mm + after.thick_mm, own.thick_mm
    band = Polygon([own.at(a, -thick), own.at(b, -thick), own.at(b), own.at(a)])
    gaps = [_gap(own, door) for door in scene.room.doors if door.edge == own.index]
    walls = Polygon(outer_ring(thin)).difference(shapely.union_all([Polygon(scene.room.outline_mm), *gaps]))
    parts = [part for part in shapely.get_parts(band.intersection(walls)) if part.area > _SLIVER_MM2]
    return [[(float(x), float(y)) for x, y in part.exterior.coords[:-1]] for part in parts]


def _thick(edge: Edge) -> float:
    return min(edge.thick_mm, FOOT_MM)


def _gap(edge: Edge, door: Door) -> Polygon:
    a, b = door.from_mm, door.from_mm + door.clear_mm
    return Polygon([edge.at(a, -edge.thick_mm - 1), edge.at(b, -edge.thick_mm - 1), edge.at(b, 1), edge.at(a, 1)])


def draw_ceiling(scene: Scene, eye: Eye) -> Markup:
    """Slopes and beams as fine dotted outlines overhead."""
    flat = full_height(scene)
    paths = []
    for soffit in scene.roof.soffits:
        under = [(x, y, min(flat, soffit.plane.at(x, y))) for x, y in soffit.area.points]
        paths.append(line([eye.to_px(p) for p in [*under, under[0]]]))
    return Markup('<path class="overhead" d="{}"/>').format(" ".join(paths)) if paths else Markup("")
