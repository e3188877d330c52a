"""The ground that things are drawn on: floor and faces with their grid, wash beyond a low ceiling, and the frame."""

from collections.abc import Iterator, Sequence

from geometry.room import Room
from geometry.scene import Scene
from geometry.units import Point
from geometry.walls import Edge
from server.drawing.svg import Grain, Matrix, line, num, path, ring
from server.drawing.unfold import Face, Unfolded, outer_ring

_FINE_MM, _COARSE_MM = 100.0, 1000.0
_CUTS = ((1000.0, 0.8), (500.0, 0.55), (100.0, 0.32))


def floor(view: Unfolded, scene: Scene, grid: bool = True) -> str:
    """The floor with its grid."""
    outline = scene.room.outline_mm
    ground = path("floor", ring(map(view.plan.to_px, outline), view.grain.digits))
    return ground + (_grid(outline, view.plan, view.grain) if grid else "")


def face_ground(face: Face, grain: Grain, grid: bool = True) -> str:
    """A wall face with its grid, and wash beyond what hangs lower than the ceiling."""
    w, h = face.length_mm, face.height_mm
    corners = ((0.0, 0.0), (w, 0.0), (w, h), (0.0, h))
    ground = path("face", ring(map(face.to_px, corners), grain.digits))
    if grid:
        ground += _grid(corners, face.matrix, grain)
    return ground + beyond_ceiling(face, grain)


def beyond_ceiling(face: Face, grain: Grain) -> str:
    """Wash over the part of a face that is above a slope or a beam, with a line under it."""
    found = []
    for top in face.tops:
        if min(top.start[1], top.end[1]) < face.height_mm - 0.5:
            upper = ((top.end[0], face.height_mm), (top.start[0], face.height_mm))
            found.append(path("off", ring(map(face.to_px, (top.start, top.end, *upper)), grain.digits)))
    under = [p for top in face.tops for p in (top.start, top.end)]
    if found:
        found.append(path("kd", line(map(face.to_px, under), grain.digits)))
    return "".join(found)


def face_edge(face: Face, grain: Grain) -> str:
    """The outline of a face; its top is dotted where the ceiling is not measured."""
    w, h = face.length_mm, face.height_mm
    sides: Sequence[Point] = ((0.0, h), (0.0, 0.0), (w, 0.0), (w, h))
    if face.measured:
        return path("faceedge", ring(map(face.to_px, sides), grain.digits))
    top = line(map(face.to_px, (sides[0], sides[3])), grain.digits)
    return path("faceedge", line(map(face.to_px, sides), grain.digits)) + path("space", top)


def foot(face: Face, grain: Grain, weight: float) -> str:
    """The floor line under a wall that stands up: a band as heavy as the foot of a wall, a little longer than it."""
    x0, y0 = face.to_px((0.0, 0.0))
    x1, _ = face.to_px((face.length_mm, 0.0))
    d, over = grain.digits, 4 * grain.line
    return path("wall", f"M{num(x0 - over, d)},{num(y0, d)}H{num(x1 + over, d)}v{num(weight, d)}H{num(x0 - over, d)}Z")


def frame(view: Unfolded, scene: Scene) -> str:
    """The walls in section, cut every 100, 500 and 1,000 mm from the left corner of each wall as seen from inside."""
    digits = view.grain.digits
    outer = ring(map(view.plan.to_px, outer_ring(scene.edges)), digits)
    inner = ring(map(view.plan.to_px, scene.room.outline_mm), digits)
    band = f'<path class="wall" fill-rule="evenodd" d="{outer}{inner}"/>'
    cuts = "".join(_cuts(view, scene.room, edge) for edge in scene.edges)
    return band + path("wt", cuts)


def _cuts(view: Unfolded, room: Room, edge: Edge) -> str:
    smallest = _FINE_MM if _FINE_MM * view.scale_px_mm >= 4 * view.grain.line else 500.0
    gaps = openings_on(room, edge)
    digits, plan = view.grain.digits, view.plan
    found = []
    at = smallest
    while at < edge.length_mm - 1.0:
        along = edge.length_mm - at
        if not any(low - 20.0 < along < high + 20.0 for low, high in gaps):
            deep = next(share for every, share in _CUTS if at % every == 0) * min(edge.thick_mm, 150.0)
            x, y = plan.to_px(edge.at(along))
            dx, dy = plan.vector(-edge.inward[0] * deep, -edge.inward[1] * deep)
            found.append(f"M{num(x, digits)},{num(y, digits)}l{num(dx, digits + 1)},{num(dy, digits + 1)}")
        at += smallest
    return "".join(found)


def openings_on(room: Room, edge: Edge) -> list[tuple[float, float]]:
    """Where doors and windows are in a wall, along it."""
    doors = [(d.from_mm, d.from_mm + d.clear_mm) for d in room.doors if d.edge == edge.index]
    return doors + [(w.from_mm, w.from_mm + w.width_mm) for w in room.windows if w.edge == edge.index]


def _grid(outline: Sequence[Point], matrix: Matrix, grain: Grain) -> str:
    """Lines every 100 mm inside an outline, heavier every 1,000; only the heavier ones where they would crowd."""
    fine: list[str] = []
    coarse: list[str] = []
    crowded = _FINE_MM * matrix.scale < 4.5 * grain.line
    for axis in (0, 1):
        values = [p[axis] for p in outline]
        at = (min(values) // _FINE_MM + 1) * _FINE_MM
        while at < max(values) - 1.0:
            into = coarse if at % _COARSE_MM == 0 else fine
            if into is coarse or not crowded:
                for low, high in _inside(outline, axis, at):
                    ends = ((at, low), (at, high)) if axis == 0 else ((low, at), (high, at))
                    into.append(line(map(matrix.to_px, ends), grain.digits))
            at += _FINE_MM
    return path("grid", "".join(fine)) + path("grid5", "".join(coarse))


def _inside(outline: Sequence[Point], axis: int, at: float) -> Iterator[tuple[float, float]]:
    """The stretches of a grid line that are inside an outline."""
    other = 1 - axis
    hits = []
    for i, q in enumerate(outline):
        p = outline[i - 1]
        if (p[axis] - at) * (q[axis] - at) < 0 or ((p[axis] == at) != (q[axis] == at) and at < max(p[axis], q[axis])):
            share = (at - p[axis]) / (q[axis] - p[axis])
            hits.append(p[other] + share * (q[other] - p[other]))
    hits.sort()
    yield from zip(hits[::2], hits[1::2], strict=False)
