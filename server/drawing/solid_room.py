"""The room as things to be turned: floor, walls with their openings, soffits, doors ajar, kit, and a figure for scale.

It holds what the corner views hold. Each wall says from which directions it stands and from which it is taken away but
for its foot; the figure stands where it stands on the picture from one corner, and says so, that it can be turned too.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from itertools import groupby

import shapely
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from geometry.ceilings import Soffit
from geometry.scene import Scene
from geometry.units import DEPTH_TOLERANCE_MM, Point, Point3
from geometry.walls import Edge
from geometry.words import start, wall_name
from server.drawing.corner_doors import leaf_bodies
from server.drawing.corner_eye import DOWN_DEG, Eye, eye_at
from server.drawing.corner_figure import figure_outline, stands_at
from server.drawing.corner_floor import clear_floor
from server.drawing.corner_order import Body
from server.drawing.corner_room import face_mm, standing
from server.drawing.corner_view import room_bodies
from server.drawing.glb import Material, Thing, glb
from server.drawing.profiles import full_height
from server.drawing.solid_mesh import Mesh, between, prism, upright
from server.drawing.unfold import outer_corner

FLOOR_MM, KEEP_MM, FOOT_MM, PANE_MM, FIGURE_MM = 20.0, 2.0, 15.0, 6.0, 30.0
"""How thick the floor, floor to keep clear, the cut foot of a wall, a pane and the figure are drawn."""
STEP_DEG = 5
"""How finely the directions are told apart from which a wall stands."""
_SLIVER_MM2, _LEAST_MM = 1000.0, 1.0

MATERIALS = {
    "floor": Material("#FFFDF6"), "keep": Material("#1D2B38", 0.15), "wall": Material("#F6EFDF"),
    "foot": Material("#1D2B38"), "pane": Material("#FCF9F1", 0.6), "overhead": Material("#F6EFDF", 0.1),
    "kit": Material("#F1E9D6"), "boxing": Material("#FDFAF2"), "yours": Material("#FFFDF6", 0.55),
    "leaf": Material("#FFFDF6", 0.5), "figure": Material("#1D2B38"),
}  # fmt: skip
"""The tones of the corner views."""


def solid_room(scene: Scene, corner: int, names: Mapping[str, str]) -> bytes:
    """The room as a GLB file, to be seen first from one of the four corners; ``names`` by id, as they are spoken."""
    eye = eye_at(corner, scene.room.outline_mm)
    seen = {"round_deg": (eye.round_deg - 90.0 * corner) % 360, "down_deg": DOWN_DEG}
    return glb(things(scene, eye, names), MATERIALS, seen)


def things(scene: Scene, eye: Eye, names: Mapping[str, str]) -> list[Thing]:
    """Everything of the room that is drawn."""
    found = [Thing("Floor", "floor", (upright(Polygon(scene.room.outline_mm), -FLOOR_MM, 0.0),))]
    clear = tuple(upright(part, 0.0, KEEP_MM) for part in _parts(clear_floor(scene)))
    found += [Thing("Keep clear", "keep", clear)] if clear else []
    stands = _stands(scene)
    for edge in scene.edges:
        found += _wall(scene, edge, stands[edge.index])
    found += [Thing(start(name), "overhead", (mesh,)) for name, mesh in _overhead(scene)]
    bodies = [*room_bodies(scene), *leaf_bodies(scene)]
    for (kind, owner), of_one in groupby(bodies, key=lambda body: (body.kind, body.owner)):
        name = "Door" if kind == "leaf" else start(names.get(owner, scene.names[owner]))
        found.append(Thing(name, kind, tuple(_solids(list(of_one)))))
    return [*found, _figure(scene, eye)]


def _solids(bodies: list[Body]) -> Iterator[Mesh]:
    """One surface for each body; the convex parts of one plan are joined again."""
    for (low, high, radius), alike in groupby(bodies, key=lambda b: (b.from_mm, b.to_mm, b.plan.radius_mm)):
        plans = [body.plan for body in alike]
        if radius or len(plans) == 1:
            yield from (prism(plan, low, high) for plan in plans)
        else:
            for part in _parts(shapely.union_all([plan.polygon for plan in plans])):
                yield upright(part, low, high)


def _parts(shape: BaseGeometry) -> list[Polygon]:
    return [part for part in shapely.get_parts(shape) if isinstance(part, Polygon) and part.area > _SLIVER_MM2]


def _stands(scene: Scene) -> list[str]:
    """For each wall, whether it stands as seen from each direction round the room: "1" or "0", a step apart."""
    up = [{edge.index for edge in standing(scene, Eye(0, float(deg)))} for deg in range(0, 360, STEP_DEG)]
    return ["".join("1" if edge.index in those else "0" for those in up) for edge in scene.edges]


@dataclass(frozen=True)
class _Panel:
    """A wall as seen from outside: x along it from its start, y up; and where its two ends lie on its outer face."""

    edge: Edge
    out_start_mm: float
    out_end_mm: float
    soffits: tuple[Soffit, ...]

    def lift(self, share: float) -> Callable[[Point], Point3]:
        """Where a point of the panel is, at a share of the wall's thickness."""

        def at(point: Point) -> Point3:
            along, up = point
            if along <= DEPTH_TOLERANCE_MM:
                along += (self.out_start_mm - along) * share
            elif along >= self.edge.length_mm - DEPTH_TOLERANCE_MM:
                along += (self.out_end_mm - along) * share
            there = self.edge.at(along, -share * self.edge.thick_mm)
            return (*there, self._height(self.edge.at(point[0]), there, up))

        return at

    def _height(self, inner: Point, there: Point, up_mm: float) -> float:
        """How high a point of the panel is there: where a slope meets the wall, its top goes on with the slope."""
        for soffit in self.soffits:
            on_it = abs(soffit.plane.at(*inner) - up_mm) < DEPTH_TOLERANCE_MM
            if on_it and soffit.area.polygon.distance(shapely.Point(inner)) < DEPTH_TOLERANCE_MM:
                return max(min(up_mm, _LEAST_MM), soffit.plane.at(*there))
        return up_mm


def _wall(scene: Scene, edge: Edge, stands: str) -> list[Thing]:
    """A wall with its openings cut out, its foot, and the panes of its windows."""
    panel = _panel(scene, edge)
    outline = Polygon([(edge.measure((x, y))[0], z) for x, y, z in face_mm(scene, edge)])
    upper = shapely.make_valid(outline).intersection(box(0.0, 0.0, edge.length_mm, full_height(scene)))
    face = shapely.union_all(_parts(upper))
    room = scene.room
    doors = [box(d.from_mm, d.sill_mm, d.from_mm + d.clear_mm, d.head_mm) for d in room.doors if d.edge == edge.index]
    windows = [
        box(w.from_mm, w.sill_mm, w.from_mm + w.width_mm, w.head_mm) for w in room.windows if w.edge == edge.index
    ]
    solid = face.difference(shapely.union_all([*doors, *windows]))
    foot = face.intersection(box(0.0, 0.0, edge.length_mm, FOOT_MM)).difference(shapely.union_all(doors))
    glass = shapely.union_all(windows).intersection(face)
    half = min(0.5, PANE_MM / edge.thick_mm / 2)
    level = replace(panel, soffits=())
    cuts = [
        ("wall", panel, solid, 0.0, 1.0),
        ("foot", level, foot, 0.0, 1.0),
        ("pane", level, glass, 0.5 - half, 0.5 + half),
    ]
    name = start(wall_name(scene, edge.index).removeprefix("the "))
    found = []
    for kind, laid, shape, inner, outer in cuts:
        meshes = tuple(between(part, laid.lift(outer), laid.lift(inner)) for part in _parts(shape))
        if meshes:
            found.append(Thing("Window" if kind == "pane" else name, kind, meshes, {"stands": stands}))
    return found


def _panel(scene: Scene, edge: Edge) -> _Panel:
    walls = scene.edges
    before, after = walls[edge.index - 1], walls[(edge.index + 1) % len(walls)]
    ends = outer_corner(before, edge)[-1], outer_corner(edge, after)[0]
    return _Panel(edge, edge.measure(ends[0])[0], edge.measure(ends[1])[0], scene.roof.soffits)


def _overhead(scene: Scene) -> Iterator[tuple[str, Mesh]]:
    """What is solid between each slope or beam and the ceiling over it."""
    flat = full_height(scene)
    for soffit in scene.roof.soffits:
        low = soffit.below(flat)
        if low is None or low.polygon.area <= _SLIVER_MM2:
            continue
        yield soffit.name, between(low.polygon, partial(_ceiling, flat), partial(_underside, flat, soffit))


def _ceiling(flat_mm: float, point: Point) -> Point3:
    return (*point, flat_mm)


def _underside(flat_mm: float, soffit: Soffit, point: Point) -> Point3:
    return (*point, min(flat_mm, soffit.plane.at(*point)))


def _figure(scene: Scene, eye: Eye) -> Thing:
    """The figure as a board cut out, square to the reader."""
    x, y = stands_at(scene, [*room_bodies(scene), *leaf_bodies(scene)], eye)
    (rx, ry), (ax, ay) = eye.right, eye.away

    def lift(back_mm: float) -> Callable[[Point], Point3]:
        return lambda p: (x + rx * p[0] + ax * back_mm, y + ry * p[0] + ay * back_mm, p[1])

    mesh = between(figure_outline(), lift(-FIGURE_MM / 2), lift(FIGURE_MM / 2))
    return Thing("Figure", "figure", (mesh,), {"at_m": [round(x / 1000, 4), round(-y / 1000, 4)]})
