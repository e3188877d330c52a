"""The kit of a room: every piece as one group on the plan and one on its wall face.

How a client moves a piece. Everything of a piece on the plan has ``transform="translate(x,y)"`` with the page place
of its ``at_mm``: the group ``[data-piece=p1]`` and what goes with it, ``[data-with=p1]`` (its name, its spaces). The
place is ``data-matrix`` of ``[data-plan]`` applied to (x, y). On a face, ``[data-face-piece=p1]`` and
``[data-face-with=p1]`` stand at ``data-matrix`` of that ``[data-face]`` applied to (data-along, data-z): from the left
corner of the wall to the piece's middle, and its base. From the plan: along = length - ((x, y) - start) . along. So a
drag changes translates only.
"""

from collections.abc import Sequence

from markupsafe import Markup

from geometry.scene import Placed, Scene
from geometry.shapes import turned
from geometry.units import Point
from geometry.words import wall_name
from server.drawing.elevation import elevation
from server.drawing.labels import Label
from server.drawing.names import hidden, names
from server.drawing.opened import open_leaves
from server.drawing.openings import draw_leaf, over_a_face
from server.drawing.pen import Pen, outline_of
from server.drawing.pipe_labels import pipe_labels
from server.drawing.pipes import face_pipes, pipes_over, plan_pipes
from server.drawing.room_labels import kit_boxes, text_boxes
from server.drawing.seats import NEAR_MM, Seat, Seats, seats
from server.drawing.spaces import face_spaces, plan_spaces, projectors
from server.drawing.svg import Box, Grain, Matrix, attribute, bounds, circle, mm_text, num
from server.drawing.symbols import draw_body, plan_symbol
from server.drawing.tapes import Tape, draw_tape
from server.drawing.unfold import Face, Unfolded

LEAST_TARGET_PX = 44.0
_TAPE_AIR_PX = 5.0
_NAIL_PX = 4.2


def draw_kit(view: Unfolded, scene: Scene, picked: str | None = None, pinned: Sequence[Box] = ()) -> Markup:
    """Every piece on the plan and on its face, the picked one darker with its spaces and projectors.

    ``picked`` is the id of a piece, or of a door whose leaf opens outwards over a face; ``pinned`` are the boxes of
    the pins that will lie on top, which sizes of pipes keep clear of.
    """
    found = seats(scene)
    parts = [_on_face(view, face, scene, found, picked) for face in view.faces]
    if view.shows_plan:
        parts.append(_on_plan(view, scene, found, picked))
        if picked and scene.piece(picked):
            parts.append(projectors(view, scene, found, picked))
        parts.append(_outward_door(view, scene, picked))
    parts += [_tape(view, face, scene, found, picked) for face in view.faces if not view.shows_plan]
    parts.append(_names(view, scene, found))
    parts.append(_pipe_labels(view, scene, pinned))
    return Markup("".join(parts))


def _on_plan(view: Unfolded, scene: Scene, found: Seats, picked: str | None) -> str:
    """Pieces from low to high, so that the higher lies on top; then outlines of what is hidden under another."""
    ordered = sorted(scene.placed, key=lambda item: (item.base_mm, item.top_mm, item.id))
    parts = [plan_pipes(view, scene)]
    parts += [_plan_piece(view, scene, item, found.home[item.id], item.id == picked) for item in ordered]
    parts.append(pipes_over(view, scene))
    under = hidden(scene)
    for item in ordered:
        if item.id in under:
            pen = Pen(view.plan.linear.after(turned((1.0, 0.0), item.piece.turn_deg)), view.grain)
            draw_body(pen, item.kit, "kg")
            parts.append(_with(view, item, pen.svg()))
    chosen = scene.piece(picked) if picked else None
    if chosen:
        parts.append(_with(view, chosen, plan_spaces(view, chosen) + _own_doors(view, scene, chosen)))
    return "".join(parts)


def _plan_piece(view: Unfolded, scene: Scene, item: Placed, seat: Seat, picked: bool) -> str:
    x, y = item.piece.at_mm
    reach = bounds([view.plan.linear.to_px((px - x, py - y)) for px, py in outline_of(item.body)])
    head = (
        f'<g data-piece="{attribute(item.id)}" class="{_classes(item, picked)}" tabindex="0" role="button" '
        f'aria-label="{attribute(told(scene, item, seat))}" data-x="{x:g}" data-y="{y:g}" '
        f'data-turn="{item.piece.turn_deg:g}" data-base="{item.base_mm:g}" data-scale="{view.scale_px_mm:.6g}" '
    )
    return (
        head
        + at_px(view.plan.to_px((x, y)), view.grain)
        + ">"
        + from_above(view, item)
        + (_nail(view, reach) if item.piece.pinned else "")
        + _target(reach, view)
        + "</g>"
    )


def _nail(view: Unfolded, reach: Box) -> str:
    """The head of a nail in a pinned piece: near its edge, clear of a name in its middle."""
    grain, (x0, y0, x1, y1) = view.grain, reach
    radius = _NAIL_PX * grain.line
    at = ((x0 + x1) / 2, min(y0 + 2 * radius, (y0 + y1) / 2))
    return circle("nail", at, radius, grain.digits) + circle("nail-point", at, 0.35 * radius, grain.digits)


def from_above(view: Unfolded, item: Placed) -> str:
    """A piece on the plan, about its own middle."""
    matrix = view.plan.linear
    pen = Pen(matrix, view.grain)
    x, y = item.piece.at_mm
    for stick in item.sticks:
        if stick.from_mm < item.top_mm - 0.5 and stick.to_mm > item.base_mm + 0.5:
            pen.shape("out", stick.plan.moved(-x, -y))
    return pen.svg() + plan_symbol(item.kit, matrix.after(turned((1.0, 0.0), item.piece.turn_deg)), view.grain)


def _classes(item: Placed, picked: bool) -> str:
    words = [
        "piece",
        "picked" if picked else "",
        "movable" if item.movable else "",
        "pinned" if item.piece.pinned else "",
    ]
    return " ".join(word for word in words if word)


def at_px(point: Point, grain: Grain) -> str:
    """The place of a group that moves."""
    return f'transform="translate({num(point[0], grain.digits + 1)},{num(point[1], grain.digits + 1)})"'


def _with(view: Unfolded, item: Placed, inside: str) -> str:
    """Something that moves with a piece on the plan."""
    if not inside:
        return ""
    at = at_px(view.plan.to_px(item.piece.at_mm), view.grain)
    return f'<g data-with="{attribute(item.id)}" class="with" {at}>{inside}</g>'


def _target(reach: Box, view: Unfolded) -> str:
    """An unseen area to take hold of, never smaller than a fingertip."""
    least = LEAST_TARGET_PX * view.grain.line
    x0, y0, x1, y1 = reach
    more_x, more_y = max(least - (x1 - x0), 0.0) / 2, max(least - (y1 - y0), 0.0) / 2
    d = view.grain.digits
    return (
        f'<rect class="hit" x="{num(x0 - more_x, d)}" y="{num(y0 - more_y, d)}" '
        f'width="{num(max(x1 - x0, least), d)}" height="{num(max(y1 - y0, least), d)}"/>'
    )


def told(scene: Scene, item: Placed, seat: Seat) -> str:
    """Where a piece is, for a person who cannot see the drawing."""
    edges = scene.edges
    wall = wall_name(scene, seat.edge)
    beside = wall_name(scene, (seat.edge + 1) % len(edges))
    gap, side = seat.span.gap_mm, seat.span.from_mm
    parts = [item.name, f"{mm_text(side)} mm from {beside}" if len(edges) == 4 else f"{mm_text(side)} mm along {wall}"]
    parts.append(f"against {wall}" if abs(gap) < 1 else f"{mm_text(gap)} mm from {wall}")
    parts.append("on the floor" if item.base_mm == 0 else f"base {mm_text(item.base_mm)} mm up")
    parts += ["pinned"] if item.piece.pinned else []
    return ", ".join(parts)


def _on_face(view: Unfolded, face: Face, scene: Scene, found: Seats, picked: str | None) -> str:
    """Outlines of what is near first, then the wall's own kit, what is farther into the room on top."""
    parts = []
    for item, seat in found.near.get(face.edge, ()):
        parts.append(_near_outline(view, face, item, seat))
    parts.append(face_pipes(view, face, scene))
    for item, seat in found.on(scene, face.edge):
        parts.append(_face_piece(view, face, item, seat, item.id == picked))
    parts.append(pipes_over(view, scene, face))
    chosen = scene.piece(picked) if picked else None
    if chosen and found.home[chosen.id].edge == face.edge:
        spaces = face_spaces(view, face, chosen, found.home[chosen.id])
        parts.append(_face_with(view, face, chosen, found.home[chosen.id], spaces))
    return "".join(parts)


def _near_outline(view: Unfolded, face: Face, item: Placed, seat: Seat) -> str:
    pen = Pen(face.matrix.linear, view.grain)
    left = max(seat.span.from_mm, 0.0) - seat.at_mm
    right = min(seat.span.to_mm, face.length_mm) - seat.at_mm
    top = min(item.top_mm, face.height_mm) - item.base_mm
    if right - left < 1 or top < 1:
        return ""
    pen.rect("kg", left, 0.0, right, top, 10)
    return _face_with(view, face, item, seat, pen.svg())


def _face_with(view: Unfolded, face: Face, item: Placed, seat: Seat, inside: str) -> str:
    if not inside:
        return ""
    at = at_px(face.to_px((seat.at_mm, item.base_mm)), view.grain)
    return f'<g data-face-with="{attribute(item.id)}" class="with" data-edge="{face.edge}" {at}>{inside}</g>'


def _face_piece(view: Unfolded, face: Face, item: Placed, seat: Seat, picked: bool) -> str:
    matrix = face.matrix.linear
    ends = (
        (seat.span.from_mm - seat.at_mm, 0.0),
        (seat.span.to_mm - seat.at_mm, item.kit.height_mm),
    )
    reach = bounds([matrix.to_px(p) for p in ends])
    far = " far" if seat.span.gap_mm > NEAR_MM else ""
    head = (
        f'<g data-face-piece="{attribute(item.id)}" class="{_classes(item, picked)}{far}" data-edge="{face.edge}" '
        f'data-along="{seat.at_mm:g}" data-z="{item.base_mm:g}" '
    )
    at = at_px(face.to_px((seat.at_mm, item.base_mm)), view.grain)
    return head + at + ">" + elevation(view, face, item, seat) + _target(reach, view) + "</g>"


def _outward_door(view: Unfolded, scene: Scene, picked: str | None) -> str:
    """The leaf of a picked door that opens outwards, over the face that lies there."""
    for door in scene.room.doors:
        if door.id == picked and over_a_face(view, door):
            pen = Pen(view.plan, view.grain)
            for leaf, angle in open_leaves(scene, door.id):
                draw_leaf(pen, leaf, angle)
            return f'<g class="over">{pen.svg()}</g>'
    return ""


def _own_doors(view: Unfolded, scene: Scene, item: Placed) -> str:
    """The swing of a picked piece's own door, about its middle."""
    if not item.kit.leaf:
        return ""
    e, f = view.plan.vector(*item.piece.at_mm)
    m = view.plan
    pen = Pen(Matrix(m.a, m.b, m.c, m.d, -e, -f), view.grain)
    for leaf, angle in open_leaves(scene, item.id):
        draw_leaf(pen, leaf, angle)
    return pen.svg()


def _tape(view: Unfolded, face: Face, scene: Scene, found: Seats, picked: str | None) -> str:
    """Heights on the tape beside a wall that is shown alone: floor, ceiling, and the picked piece, else every top."""
    marks = [0.0, face.tops[0].start[1], face.tops[-1].end[1]] if face.measured else [0.0]
    own = [item for item, _ in found.on(scene, face.edge)]
    chosen = [item for item in own if item.id == picked]
    marks += [item.base_mm for item in chosen] + [item.top_mm for item in chosen or own]
    x, y = face.to_px((0.0, 0.0))
    tape = Tape((x - _TAPE_AIR_PX, y), view.scale_px_mm, face.height_mm, True, -1, view.grain)
    return f'<g class="tape-up">{draw_tape(tape, marks)}</g>'


def _names(view: Unfolded, scene: Scene, found: Seats) -> str:
    """Names on the plan and on the faces, on top of everything, each beside or on its own piece."""
    return "".join(
        _named(view, name.item, found.home[name.item.id], name.label, name.on_face)
        for name in names(view, scene, found)
    )


def _pipe_labels(view: Unfolded, scene: Scene, pinned: Sequence[Box]) -> str:
    """Sizes and heights of the pipes, clear of every other word and of the pins."""
    taken = [*text_boxes(view, scene), *pinned]
    labels = pipe_labels(view, scene, view.faces, taken, kit_boxes(view, scene, seats(scene)))
    inside = "".join(label.svg(view.grain) for label in labels)
    return f'<g class="pipes">{inside}</g>' if inside else ""


def _named(view: Unfolded, item: Placed, seat: Seat, label: Label, on_face: bool) -> str:
    face = view.face(seat.edge) if on_face else None
    if face:
        origin = face.to_px((seat.at_mm, item.base_mm))
        return _face_with(view, face, item, seat, label.svg(view.grain, origin))
    return _with(view, item, label.svg(view.grain, view.plan.to_px(item.piece.at_mm)))
