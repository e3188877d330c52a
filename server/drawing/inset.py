"""The picked place stood upright and larger: shape, needed and found, where the move would put things.

What happens above, below or under the ceiling is shown on its wall; everything else on the plan. Nothing in it can be
taken hold of, so it carries none of the hooks of the drawing itself.
"""

from dataclasses import dataclass, replace
from math import hypot

from markupsafe import Markup

from geometry.check import Finding
from geometry.rounding import agreeing
from geometry.saved import SIDES, Side
from geometry.scene import Placed, Scene
from geometry.units import Point
from server.drawing.elevation import elevation
from server.drawing.ghosts import ghost
from server.drawing.grounds import face_ground, floor, frame
from server.drawing.kit import at_px, from_above
from server.drawing.marks import Mark, face_mark, plan_mark, wall_of
from server.drawing.measures import dimension
from server.drawing.openings import doorways, fronts_on
from server.drawing.pen import Pen
from server.drawing.pipes import face_pipes, plan_pipes
from server.drawing.seats import Seats, seats
from server.drawing.spaces import face_spaces, plan_spaces
from server.drawing.svg import SCREEN, Box, Matrix, box_path, num, path, text
from server.drawing.unfold import Face, Unfolded, one_wall
from server.wording import with_unit

LARGEST_PX_MM, LEAST_PX_MM = 0.32, 0.06
_AROUND_MM = 110.0
_NARROW_PX, _CLEAR_PX = 30.0, 8.0
_NEIGHBOUR_MM = 320.0
_AWAY = (-_NEIGHBOUR_MM, -_NEIGHBOUR_MM, _NEIGHBOUR_MM, _NEIGHBOUR_MM)
_LEVEL_MM = 5.0
_BELOW_PX, _HALF_WORDS_PX, _FOOT_PX = 15.0, 58.0, 38.0
_UPRIGHT = ("above", "below")
_ON_WALL = frozenset({"height-band", "stand-up", "wall-load", "wet-above-electrics", "keep-apart", "flue-terminal"})
"""Checks of what hangs on a wall: its face shows them, the plan does not."""


def _told_below(finding: Finding) -> bool:
    """Whether its figures stand under its shape: it is no space to a side."""
    return bool(_in_words(finding)) and (_side(finding) is None or finding.unit != "mm" or not finding.pieces)


def inset(scene: Scene, finding: Finding, width_px: float, height_px: float) -> Markup:
    """The place of a finding, filling a frame of the given size; empty where the finding has no place."""
    found = seats(scene)
    view = _view(scene, finding, found, width_px, height_px)
    if view is None:
        return Markup()
    ground = _wall(view, scene, finding, found) if view.faces else _floor(view, scene, finding)
    mark = face_mark(view, scene, finding, found) if view.faces else plan_mark(view, scene, finding)
    cls = "wrong" if finding.verdict == "put-right" else "again"
    shape = path(f"{cls} run" if mark.open else cls, mark.data or box_path(mark.box)) if mark else ""
    inside = ground + _needed_space(view, scene, finding, found) + shape
    inside += ghost(view, scene, finding, found)
    if _told_below(finding):
        inside += _beside(finding, mark, (width_px, height_px))
    else:
        inside += _figures(view, scene, finding, found)
    size = f'width="{num(width_px)}" height="{num(height_px)}"'
    edge = path("inset-edge", box_path((0.5, 0.5, width_px - 0.5, height_px - 0.5)))
    return Markup(
        f'<g class="inset"><rect class="frame" {size}/><svg {size} overflow="hidden">{inside}</svg>{edge}</g>'
    )


def inset_caption(scene: Scene, finding: Finding) -> str:
    """What an inset shows: "right wall stood up", or "on the plan"."""
    found = seats(scene)
    edge = wall_of(scene, finding, found)
    if edge is None or not _on_wall(scene, finding):
        return "on the plan"
    face = one_wall(scene, edge, 100.0, 100.0).faces[0]
    return f"{face.name} stood up"


def _on_wall(scene: Scene, finding: Finding) -> bool:
    """Whether heights decide: a side that is up or down, a line that climbs, a ceiling, a level; or it has no place."""
    overhead = {"ceiling", *(s.name for s in scene.roof.soffits)}
    heights = [z for _, _, z in finding.where.line_mm] if finding.where else []
    climbs = bool(heights) and max(heights) - min(heights) > _LEVEL_MM
    on_it = finding.check in _ON_WALL or (finding.where is None and len(finding.pieces) == 1)
    return finding.side in _UPRIGHT or climbs or on_it or bool(overhead & set(finding.against))


def _view(scene: Scene, finding: Finding, found: Seats, width: float, height: float) -> Unfolded | None:
    """The wall or the plan at the scale that shows the whole place and what the move changes."""
    edge = wall_of(scene, finding, found)
    if edge is not None and _on_wall(scene, finding):
        face = replace(one_wall(scene, edge, 100.0, 100.0).faces[0], matrix=Matrix(1.0, 0.0, 0.0, -1.0, 0.0, 0.0))
        flat = Unfolded(width, height, 1.0, face.matrix, (face,), True, False)
        boxes = _boxes_on_wall(flat, face, scene, finding, found)
    else:
        flat = Unfolded(width, height, 1.0, Matrix(1.0, 0.0, 0.0, -1.0, 0.0, 0.0), ())
        boxes = _boxes_on_plan(flat, scene, finding)
    if not boxes:
        return None
    if finding.where and (finding.side is None or finding.where.line_mm):
        boxes = _about(boxes)
    high_px, height = height, height - _FOOT_PX * bool(_told_below(finding))
    x0, y0 = min(b[0] for b in boxes) - _AROUND_MM, min(b[1] for b in boxes) - _AROUND_MM
    x1, y1 = max(b[2] for b in boxes) + _AROUND_MM, max(b[3] for b in boxes) + _AROUND_MM
    s = max(min(width / (x1 - x0), height / (y1 - y0), LARGEST_PX_MM), LEAST_PX_MM)
    at = Matrix(s, 0.0, 0.0, -s, width / 2 - s * (x0 + x1) / 2, height / 2 - s * (y0 + y1) / 2)
    return replace(
        flat, scale_px_mm=s, height_px=high_px, plan=at, faces=tuple(replace(face, matrix=at) for face in flat.faces)
    )


def _about(boxes: list[Box]) -> list[Box]:
    """The first box, the place itself, and of the others no more than what is near it."""
    left, top, right, bottom = (v + d for v, d in zip(boxes[0], _AWAY, strict=True))
    near = [(max(b[0], left), max(b[1], top), min(b[2], right), min(b[3], bottom)) for b in boxes[1:]]
    return [boxes[0], *(box for box in near if box[0] < box[2] and box[1] < box[3])]


def _boxes_on_wall(view: Unfolded, face: Face, scene: Scene, finding: Finding, found: Seats) -> list[Box]:
    """What has to be seen, with millimetres for page units: the space, the shape, what is in the way, the new place."""
    boxes = []
    mark = face_mark(view, scene, finding, found)
    if mark:
        boxes.append(mark.box)
    item = scene.piece(finding.pieces[0]) if finding.pieces else None
    if item and item.id in found.home:
        span, need = found.home[item.id].span, finding.needed or 0.0
        low, high = _band(item, finding.side, need)
        boxes.append((span.from_mm, -high, span.to_mm, -low))
    for ref, move in _seen(scene, finding):
        other = scene.piece(ref)
        if other and found.home[ref].edge == face.edge:
            span = found.home[ref].span
            dx = -(move[0] * face.wall.along[0] + move[1] * face.wall.along[1])
            boxes.append((span.from_mm + dx, -other.top_mm - move[2], span.to_mm + dx, -other.base_mm - move[2]))
    return boxes


def _band(item: Placed, side: str | None, need_mm: float) -> tuple[float, float]:
    """The needed space above or below a body, with a strip of the body itself."""
    strip = min(0.25 * item.kit.height_mm, 120.0)
    if side == "above":
        return item.top_mm - strip, item.top_mm + need_mm
    if side == "below":
        return item.base_mm - need_mm, item.base_mm + strip
    return item.base_mm, item.top_mm


def _boxes_on_plan(view: Unfolded, scene: Scene, finding: Finding) -> list[Box]:
    boxes = []
    mark = plan_mark(view, scene, finding)
    if mark:
        boxes.append(mark.box)
    for ref, move in [*_seen(scene, finding), *((ref, (0.0, 0.0, 0.0)) for ref in finding.pieces)]:
        other = scene.piece(ref)
        for part in other.body if other else ():
            x0, y0, x1, y1 = part.moved(move[0], move[1]).bounds
            boxes.append((x0, -y1, x1, -y0))
    return boxes


def _seen(scene: Scene, finding: Finding) -> list[tuple[str, tuple[float, float, float]]]:
    """Pieces that the picture must hold, each with a move: what is in the way, and the new place of what is moved."""
    seen = [(ref, (0.0, 0.0, 0.0)) for ref in finding.against if scene.piece(ref)]
    remedy = finding.remedy
    if remedy:
        seen.append((remedy.piece, (*remedy.move_mm, remedy.raise_mm)))
    return seen


def _wall(view: Unfolded, scene: Scene, finding: Finding, found: Seats) -> str:
    face = view.faces[0]
    parts = [face_ground(face, view.grain), fronts_on(face, scene, view.grain)]
    for item, seat in found.near.get(face.edge, ()):
        pen = Pen(face.matrix, view.grain)
        pen.rect("kg", seat.span.from_mm, item.base_mm, seat.span.to_mm, item.top_mm, 10)
        parts.append(pen.svg())
    parts.append(face_pipes(view, face, scene))
    for item, seat in found.on(scene, face.edge):
        at = at_px(face.to_px((seat.at_mm, item.base_mm)), view.grain)
        parts.append(f'<g class="{_picked(item, finding)}" {at}>{elevation(view, face, item, seat)}</g>')
    return "".join(parts)


def _floor(view: Unfolded, scene: Scene, finding: Finding) -> str:
    parts = [floor(view, scene), frame(view, scene), doorways(view, scene), plan_pipes(view, scene)]
    for item in sorted(scene.placed, key=lambda p: (_picked(p, finding) == "picked", p.base_mm, p.top_mm, p.id)):
        at = at_px(view.plan.to_px(item.piece.at_mm), view.grain)
        parts.append(f'<g class="{_picked(item, finding)}" {at}>{from_above(view, item)}</g>')
    return "".join(parts)


def _picked(item: Placed, finding: Finding) -> str:
    return "picked" if finding.pieces and item.id == finding.pieces[0] else "others"


def _side(finding: Finding) -> Side | None:
    return next((side for side in SIDES if side == finding.side), None)


def _needed_space(view: Unfolded, scene: Scene, finding: Finding, found: Seats) -> str:
    item, side = scene.piece(finding.pieces[0]) if finding.pieces else None, _side(finding)
    if item is None or side is None:
        return ""
    if view.faces:
        face, seat = view.faces[0], found.home[item.id]
        at = at_px(face.to_px((seat.at_mm, item.base_mm)), view.grain)
        return f"<g {at}>{face_spaces(view, face, item, seat, side)}</g>"
    return f"<g {at_px(view.plan.to_px(item.piece.at_mm), view.grain)}>{plan_spaces(view, item, side)}</g>"


@dataclass(frozen=True)
class _Ruler:
    """Where a side's measures start, which way they go, and which way is beside them, all in page units for 1 mm."""

    start: Point
    out: Point
    beside: Point
    half_mm: float

    @property
    def outside(self) -> float:
        """The share at which a measure clears a side too narrow to hold two of them; 0 where both find room."""
        px = hypot(*self.beside) * self.half_mm
        return 1.0 + _CLEAR_PX / px if 0 < px < _NARROW_PX else 0.0

    def ends(self, length_mm: float, share: float) -> tuple[Point, Point]:
        """A measured length, laid so far from the middle towards one end of the side."""
        x = self.start[0] + self.beside[0] * self.half_mm * share
        y = self.start[1] + self.beside[1] * self.half_mm * share
        return (x, y), (x + self.out[0] * length_mm, y + self.out[1] * length_mm)


def _figures(view: Unfolded, scene: Scene, finding: Finding, found: Seats) -> str:
    """Needed in dark ink, found in red, side by side."""
    item, side = scene.piece(finding.pieces[0]) if finding.pieces else None, _side(finding)
    if item is None or side is None or finding.unit != "mm":
        return ""
    ruler = _face_ruler(view.faces[0], item, side, found) if view.faces else _plan_ruler(view, item, side)
    needed, found_shown, _ = agreeing(finding.needed, finding.found, finding.short, finding.unit)
    parts = []
    way = -1.0 if ruler.beside[0] < -1e-9 else 1.0
    if finding.needed:
        share = -ruler.outside if ruler.outside > 1 else -0.82
        ends = ruler.ends(finding.needed, way * share)
        parts.append(dimension(*ends, f"{needed:,f}", view.grain, red=False, before=True))
    if finding.found and finding.found > 0:
        share = ruler.outside if ruler.outside > 1 else -0.2
        parts.append(dimension(*ruler.ends(finding.found, way * share), f"{found_shown:,f}", view.grain))
    return "".join(parts)


def _beside(finding: Finding, mark: Mark | None, size: Point) -> str:
    """The figures of a finding that is no space to a side, in words under its shape: found in red, needed in ink."""
    told = _in_words(finding)
    if not told:
        return ""
    (wide, high), grain = size, SCREEN
    left, _, right, bottom = mark.box if mark else (0.0, 0.0, wide, high)
    x = min(max((left + right) / 2, _HALF_WORDS_PX), wide - _HALF_WORDS_PX)
    y = min(bottom + _BELOW_PX if mark and mark.data else high, high - _BELOW_PX * (len(told) - 0.6))
    lines = (("m halo", told[0]), ("halo", told[1])) if len(told) > 1 else (("m halo", told[0]),)
    return "".join(
        text(css, (x, y + _BELOW_PX * number), words, "middle", grain.digits)
        for number, (css, words) in enumerate(lines)
    )


def _in_words(finding: Finding) -> tuple[str, ...]:
    needed, found, short = agreeing(finding.needed, finding.found, finding.short, finding.unit)
    unit = finding.unit
    if found is None:
        return ()
    if not needed:
        way = "high" if finding.topic.endswith("fall") else "far"
        return (f"{with_unit(short, unit)} too {way}",) if short else ()
    word = "at most" if short and found > needed else "needs"
    return with_unit(found, unit), f"{word} {with_unit(needed, unit)}"


def _face_ruler(face: Face, item: Placed, side: Side, found: Seats) -> _Ruler:
    span = found.home[item.id].span
    half, up = (span.to_mm - span.from_mm) / 2, side == "above"
    start = face.to_px(((span.from_mm + span.to_mm) / 2, item.top_mm if up else item.base_mm))
    return _Ruler(start, face.matrix.vector(0.0, 1.0 if up else -1.0), face.matrix.vector(1.0, 0.0), half)


def _plan_ruler(view: Unfolded, item: Placed, side: Side) -> _Ruler:
    dx, dy, _ = item.direction(side)
    (x, y), plan = item.piece.at_mm, view.plan
    out = max(part.reach((dx, dy)) for part in item.body) - dx * x - dy * y
    half = max(part.reach((-dy, dx)) for part in item.body) + dy * x - dx * y
    return _Ruler(plan.to_px((x + dx * out, y + dy * out)), plan.vector(dx, dy), plan.vector(dy, -dx), half)
