"""Where the smallest move would put a piece: its outline there, and an arrow with the length of the move."""

from dataclasses import replace
from math import hypot

from geometry.check import Finding, Remedy
from geometry.scene import Placed, Scene
from geometry.shapes import turned
from geometry.units import Point
from server.drawing.kinds import kind_of
from server.drawing.pen import Pen
from server.drawing.seats import Seats, seat_on
from server.drawing.svg import Grain, Matrix, line, mm_text, path, text
from server.drawing.symbols import draw_body
from server.drawing.unfold import Face, Unfolded

_HEAD = 6.0
_WORTH_A_FIGURE = 26.0


def ghost(view: Unfolded, scene: Scene, finding: Finding, found: Seats) -> str:
    """The remedy of a finding on the plan and on the piece's face."""
    remedy = finding.remedy
    item = scene.piece(remedy.piece) if remedy else None
    if remedy is None or item is None:
        return ""
    parts = [plan_ghost(view.plan, view.grain, item, remedy)] if view.shows_plan else []
    face = view.face(found.home[item.id].edge)
    if face:
        parts.append(face_ghost(face, view.grain, item, remedy))
    return '<g class="remedy">' + "".join(parts) + "</g>"


def plan_ghost(plan: Matrix, grain: Grain, item: Placed, remedy: Remedy) -> str:
    """The body at its new place on the plan, and the arrow to it."""
    (x, y), (dx, dy) = item.piece.at_mm, remedy.move_mm
    turn = turned((1.0, 0.0), item.piece.turn_deg + remedy.turn_deg)
    e, f = plan.to_px((x + dx, y + dy))
    pen = Pen(replace_shift(plan.after(turn), e, f), grain)
    draw_body(pen, item.kit, "ghost")
    return pen.svg() + arrow(plan.to_px((x, y)), (e, f), hypot(dx, dy), grain)


def replace_shift(matrix: Matrix, e: float, f: float) -> Matrix:
    """The same map, drawn about another origin."""
    return Matrix(matrix.a, matrix.b, matrix.c, matrix.d, e, f)


def face_ghost(face: Face, grain: Grain, item: Placed, remedy: Remedy) -> str:
    """The front at its new place on a face, and the arrow to it where it is seen to move."""
    at = (item.piece.at_mm[0] + remedy.move_mm[0], item.piece.at_mm[1] + remedy.move_mm[1])
    piece = item.piece.model_copy(update={"at_mm": at, "turn_deg": item.piece.turn_deg + remedy.turn_deg})
    body = tuple(part.moved(*remedy.move_mm) for part in item.body)
    was, now = seat_on(face.wall, item), seat_on(face.wall, replace(item, piece=piece, body=body))
    half = (was.span.to_mm - was.span.from_mm) / 2
    if remedy.turn_deg % 180 and item.kit.plan.round_mm is None:
        half = (item.kit.plan.width_mm + item.kit.plan.depth_mm) / 2 - half
    pen = Pen(face.matrix, grain)
    base, high = item.base_mm + remedy.raise_mm, item.kit.height_mm
    round_mm = 0.84 * min(half, high / 2) if kind_of(item.kit) == "vessel" else 14.0
    pen.rect("ghost", now.at_mm - half, base, now.at_mm + half, base + high, round_mm)
    middle = item.base_mm + high / 2
    start, end = face.to_px((was.at_mm, middle)), face.to_px((now.at_mm, middle + remedy.raise_mm))
    return pen.svg() + arrow(start, end, hypot(now.at_mm - was.at_mm, remedy.raise_mm), grain)


def arrow(start: Point, end: Point, length_mm: float, grain: Grain) -> str:
    """An arrow with the length of the move beside it, if it is long enough to bear a figure."""
    (x0, y0), (x1, y1) = start, end
    dx, dy = x1 - x0, y1 - y0
    size = hypot(dx, dy)
    head = _HEAD * grain.line
    if size < head:
        return ""
    ux, uy = dx / size, dy / size
    wing = [(x1 - ux * head + k * uy * head * 0.45, y1 - uy * head - k * ux * head * 0.45) for k in (1, -1)]
    drawn = path("meas", line((start, end), grain.digits) + line((wing[0], end, wing[1]), grain.digits))
    if size < _WORTH_A_FIGURE * grain.line:
        return drawn
    side = 1.0 if ux >= 0 else -1.0
    at = ((x0 + x1) / 2 + side * uy * 0.9 * grain.text, (y0 + y1) / 2 - side * ux * 0.55 * grain.text)
    anchor = "middle" if abs(ux) > 0.5 else "start"
    return drawn + text("m halo", at, mm_text(length_mm), anchor, grain.digits)
