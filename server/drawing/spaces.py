"""The free room that a piece needs, dotted: on the plan to the sides, on its face to the sides, above and below."""

from geometry.kit import Kit
from geometry.saved import Side
from geometry.scene import Placed, Scene
from geometry.shapes import Footprint, turned
from server.drawing.elevation import SQUARE
from server.drawing.pen import Pen
from server.drawing.seats import Seat, Seats
from server.drawing.svg import line, path
from server.drawing.unfold import Face, Unfolded

_TURN: dict[Side, float] = {"front": 0.0, "right": 90.0, "behind": 180.0, "left": 270.0}


def plan_spaces(view: Unfolded, item: Placed, only: Side | None = None) -> str:
    """The spaces to the sides of a piece, about its own middle."""
    pen = Pen(view.plan.linear.after(turned((1.0, 0.0), item.piece.turn_deg)), view.grain)
    for space in item.kit.space:
        if space.side in _TURN and only in (None, space.side) and space.mm > 0:
            _swept(pen, item.kit, space.side, space.mm)
    return pen.svg()


def _swept(pen: Pen, kit: Kit, side: Side, reach_mm: float) -> None:
    """What the body sweeps when it slides out of a side: a strip for a box, a stadium for a round body."""
    half_w, half_d = kit.plan.width_mm / 2, kit.plan.depth_mm / 2
    across, out = (half_w, half_d) if side in ("front", "behind") else (half_d, half_w)
    turn = _TURN[side]
    if kit.plan.round_mm is not None:
        ends = [turned(p, turn) for p in ((0.0, 0.0), (0.0, -reach_mm))]
        pen.shape("space", Footprint((ends[0], ends[1]), half_w))
        return
    corners = ((-across, -out), (-across, -out - reach_mm), (across, -out - reach_mm), (across, -out))
    pen.line("space", *(turned(p, turn) for p in corners))


def face_spaces(view: Unfolded, face: Face, item: Placed, seat: Seat, only: Side | None = None) -> str:
    """The spaces above, below and to the sides of a piece on its wall, about its own middle and base."""
    pen = Pen(face.matrix.linear, view.grain)
    left, right = seat.span.from_mm - seat.at_mm, seat.span.to_mm - seat.at_mm
    high = item.kit.height_mm
    for space in item.kit.space:
        if only not in (None, space.side) or space.mm <= 0:
            continue
        if space.side == "above":
            pen.line("space", (left, high), (left, high + space.mm), (right, high + space.mm), (right, high))
        elif space.side == "below":
            reach = min(space.mm, item.base_mm)
            pen.line("space", (left, 0.0), (left, -reach), (right, -reach), (right, 0.0))
        elif space.side in ("left", "right") and seat.facing >= SQUARE:
            low = space.from_mm or 0.0
            top = high if space.to_mm is None else space.to_mm
            near, far = (left, left - space.mm) if space.side == "left" else (right, right + space.mm)
            pen.line("space", (near, low), (far, low), (far, top), (near, top))
    return pen.svg()


def projectors(view: Unfolded, scene: Scene, found: Seats, picked: str) -> str:
    """Fine lines from a piece on the plan to the faces that see it."""
    item = scene.piece(picked)
    if item is None:
        return ""
    shown = [(found.home[picked].edge, found.home[picked])]
    shown += [(edge, seat) for edge, near in found.near.items() for other, seat in near if other.id == picked]
    parts = []
    for index, seat in shown:
        face = view.face(index)
        if face is None or not face.folded:
            continue
        edge = scene.edges[index]
        for along in (seat.span.from_mm, seat.span.to_mm):
            if not 0.0 <= along <= edge.length_mm:
                continue
            inner = view.plan.to_px(edge.at(edge.length_mm - along, _touched(item, seat)))
            parts.append(path("proj", line((inner, face.to_px((along, item.base_mm))), view.grain.digits)))
    return f'<g class="projectors" data-projectors="{picked}">' + "".join(parts) + "</g>"


def _touched(item: Placed, seat: Seat) -> float:
    """How far from the wall a projector leaves the body: its near side, or the middle of a round one."""
    span = seat.span
    return (span.gap_mm + span.reach_mm) / 2 if item.kit.plan.round_mm is not None else span.gap_mm
