"""Where a finding is on the drawing: its shape on the plan, and on the one wall face that shows it."""

from dataclasses import dataclass
from itertools import pairwise
from math import cos, hypot, inf, pi, sin

from geometry.ceilings import clipped, cut
from geometry.check import Finding, Where, area
from geometry.kit import PLAN_SIDES
from geometry.scene import Scene, Solid
from geometry.shapes import Footprint, Sweep
from geometry.units import Point
from server.drawing.pen import Pen
from server.drawing.seats import NEAR_MM, Seats, span_on
from server.drawing.svg import Box, bounds, line, ring
from server.drawing.unfold import Face, Unfolded

_ROUND = 48
_SIDEWAYS = ("front", "behind")


@dataclass(frozen=True)
class Mark:
    """A finding's shape in page units: path data, the box round it, and for a face which wall."""

    data: str
    box: Box
    edge: int | None = None
    open: bool = False
    on_line: Point | None = None


def plan_mark(view: Unfolded, scene: Scene, finding: Finding) -> Mark | None:
    """The shape of a finding on the plan: the part that is in the way, or the whole place."""
    where = finding.where
    if where is None or not view.shows_plan:
        return None
    digits = view.grain.digits
    if where.line_mm:
        points = [view.plan.to_px((x, y)) for x, y, _ in where.line_mm]
        return Mark(line(points, digits), bounds(points), open=True, on_line=_on_line(points))
    rings = [part for part in _rings(scene, finding, where) if len(part) > 2]
    if not rings:
        return None
    px = [[view.plan.to_px(p) for p in part] for part in rings]
    box = bounds([p for part in px for p in part])
    if isinstance(where.shape, Footprint) and rings == [_ring_of(where.shape)]:
        return Mark(Pen(view.plan, view.grain).shape_data(where.shape), box)
    return Mark("".join(ring(part, digits) for part in px), box)


def face_mark(view: Unfolded, scene: Scene, finding: Finding, found: Seats) -> Mark | None:
    """The shape of a finding on the face that shows it; without data where it lies straight before what is meant."""
    edge = wall_of(scene, finding, found)
    face = view.face(edge) if edge is not None else None
    if face is None or edge is None:
        return None
    where = finding.where
    if where is not None and where.line_mm:
        points = [face.to_px((face.length_mm - face.wall.measure((x, y))[0], z)) for x, y, z in where.line_mm]
        return Mark(line(points, view.grain.digits), bounds(points), edge, open=True, on_line=_on_line(points))
    inside_wall = f"edge:{face.edge}" in finding.against
    if where is None or not where.area_mm or finding.side in _SIDEWAYS or inside_wall:
        return _before(face, scene, finding, found)
    if span_on(face.wall, (Footprint(where.area_mm),)).gap_mm > NEAR_MM:
        return _before(face, scene, finding, found)
    boxes = _face_boxes(face, scene, finding, where)
    if not boxes:
        return None
    corners = [[face.to_px(p) for p in ((x0, z0), (x1, z0), (x1, z1), (x0, z1))] for x0, z0, x1, z1 in boxes]
    data = "".join(ring(part, view.grain.digits) for part in corners)
    return Mark(data, bounds([p for part in corners for p in part]), edge)


def _on_line(points: list[Point]) -> Point:
    """The middle of the longest stretch of a line."""
    pairs = list(pairwise(points)) or [(points[0], points[0])]
    (x0, y0), (x1, y1) = max(pairs, key=lambda p: round(hypot(p[1][0] - p[0][0], p[1][1] - p[0][1]), 3))
    return (x0 + x1) / 2, (y0 + y1) / 2


def _before(face: Face, scene: Scene, finding: Finding, found: Seats) -> Mark | None:
    """The body that is meant, as a place for a pin."""
    for ref in finding.pieces:
        item = scene.piece(ref)
        if item and found.home[ref].edge == face.edge:
            span = found.home[ref].span
            ends = ((span.from_mm, item.base_mm), (span.to_mm, item.top_mm))
            return Mark("", bounds([face.to_px(p) for p in ends]), face.edge)
    return None


def _face_boxes(face: Face, scene: Scene, finding: Finding, where: Where) -> list[tuple[float, float, float, float]]:
    """What is in the way inside the place, as boxes on the face (left, low, right, high); else the place itself."""
    place = span_on(face.wall, (Footprint(tuple(_lacking(scene, finding, _coarse(where)))),))
    low, high = _short_band(finding, where)
    whole = (place.from_mm, low, place.to_mm, high)
    met = []
    for solid in _in_the_way(scene, finding):
        span = span_on(face.wall, (solid.plan,))
        met.append(_shared(whole, (span.from_mm, solid.from_mm, span.to_mm, solid.to_mm)))
    kept = [box for box in (met or [whole]) if box[2] - box[0] > 0.5 and box[3] - box[1] > 0.5]
    limit = (-face.wall.thick_mm, 0.0, face.length_mm + face.wall.thick_mm, face.height_mm)
    shown = [_shared(box, limit) for box in kept or [whole]]
    return [box for box in shown if box[2] > box[0] and box[3] > box[1]]


def _short_band(finding: Finding, where: Where) -> tuple[float, float]:
    """The height band of a place; of one that is short above or below, the part that is missing."""
    if finding.short and finding.found is not None and finding.needed:
        free = max(finding.found, 0.0)
        if finding.side == "above":
            return min(where.from_mm + free, where.to_mm - 1.0), where.to_mm
        if finding.side == "below":
            return where.from_mm, max(where.to_mm - free, where.from_mm + 1.0)
    return where.from_mm, where.to_mm


def _shared(
    a: tuple[float, float, float, float], b: tuple[float, float, float, float]
) -> tuple[float, float, float, float]:
    return max(a[0], b[0]), max(a[1], b[1]), min(a[2], b[2]), min(a[3], b[3])


def _in_the_way(scene: Scene, finding: Finding) -> list[Solid]:
    """Solids of what a finding is against that reach into its place."""
    where = finding.where
    if where is None or finding.side is None:
        return []
    found = []
    for ref in finding.against:
        item = scene.piece(ref)
        solids = list(item.solids()) if item else [s for s in scene.solids if s.owner == ref and s.part == "fixture"]
        found += [solid for solid in solids if solid.meets_band(where.from_mm, where.to_mm)]
    return found


def _rings(scene: Scene, finding: Finding, where: Where) -> list[list[Point]]:
    """On the plan: the parts of the place that something stands in, else what the place lacks, else all of it."""
    place = _lacking(scene, finding, _coarse(where))
    solids = _in_the_way(scene, finding)
    if solids and _is_convex(place):
        met = [clipped(_ring_of(solid.plan), tuple(place)) for solid in solids]
        return [part for part in met if len(part) > 2] or [place]
    return [place]


def _lacking(scene: Scene, finding: Finding, place: list[Point]) -> list[Point]:
    """A space to a side without the body itself, and without what is found free of it where it is short.

    Where a wall ends it, the part inside the wall is enough: beyond it lies another drawing.
    """
    item = scene.piece(finding.pieces[0]) if finding.pieces else None
    if item is None or finding.side not in PLAN_SIDES or finding.found is None or not _is_convex(place):
        return place
    dx, dy, _ = item.direction(finding.side)
    out = max(part.reach((dx, dy)) for part in item.body)
    nearest = out + (max(finding.found, 0.0) if finding.short else 0.0)
    kept = cut(place, dx, dy, -nearest)
    walls = [scene.edges[int(ref[5:])].thick_mm for ref in finding.against if ref.startswith("edge:")]
    if walls and finding.short:
        kept = cut(kept, -dx, -dy, nearest + max(walls))
    return kept if len(kept) > 2 else place


def _coarse(where: Where) -> list[Point]:
    if isinstance(where.shape, Footprint):
        return _ring_of(where.shape)
    if isinstance(where.shape, Sweep):
        return _ring_of(where.shape.footprint)
    both = [_turned_left(_ring_of(part)) for part in where.shape if isinstance(part, Footprint)]
    return clipped(both[0], tuple(both[1])) if len(both) == 2 else list(where.area_mm)


def _ring_of(plan: Footprint) -> list[Point]:
    """A footprint as a ring that is fine enough to be drawn."""
    if plan.radius_mm == 0:
        return list(plan.points)
    if len(plan.points) == 1:
        (x, y), r = plan.points[0], plan.radius_mm
        return [(x + r * cos(2 * pi * i / _ROUND), y + r * sin(2 * pi * i / _ROUND)) for i in range(_ROUND)]
    return list(area(plan))


def _turned_left(points: list[Point]) -> list[Point]:
    """A ring made to run anticlockwise."""
    turns = sum(p[0] * q[1] - q[0] * p[1] for p, q in zip(points, points[1:] + points[:1], strict=True))
    return points[::-1] if turns < 0 else points


def _is_convex(points: list[Point]) -> bool:
    n = len(points)
    turns = [
        (points[i][0] - points[i - 1][0]) * (points[(i + 1) % n][1] - points[i][1])
        - (points[i][1] - points[i - 1][1]) * (points[(i + 1) % n][0] - points[i][0])
        for i in range(n)
    ]
    return n > 2 and min(turns) > -1e-6


def wall_of(scene: Scene, finding: Finding, found: Seats) -> int | None:
    """The one wall on whose face a finding is shown."""
    for ref in (*finding.pieces, *finding.against):
        if ref in found.home:
            return found.home[ref].edge
    for ref in (*finding.pieces, *finding.against):
        if ref.startswith("edge:"):
            return int(ref[5:])
        for door in scene.room.doors:
            if door.id == ref:
                return door.edge
    if finding.where is None or not finding.where.area_mm:
        return None
    x0, y0, x1, y1 = bounds(finding.where.area_mm)
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    near = [(abs(edge.measure(middle)[1]), edge.index) for edge in scene.edges]
    return min(near, default=(inf, None))[1]
