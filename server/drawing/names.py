"""Which pieces are named where: on their faces, and on the plan where there is room."""

from collections.abc import Iterable
from dataclasses import dataclass

from geometry.scene import Placed, Scene
from server.drawing.kinds import kind_of
from server.drawing.labels import Board, Label, name_candidates, short_name
from server.drawing.pen import outline_of
from server.drawing.seats import Seats, span_on
from server.drawing.svg import Box, bounds
from server.drawing.unfold import Face, Unfolded, outer_ring

_AIR = 0.35
_BUSY = frozenset({"washing", "booster", "manifold", "floor-manifold", "consumer", "wiring", "plate-set", "shelves"})
"""Fronts with so much in the middle that a name is better put beside them."""


@dataclass(frozen=True)
class Name:
    """A piece's name on the drawing."""

    item: Placed
    on_face: bool
    label: Label


@dataclass(frozen=True)
class _Body:
    """A body as a box in page units, and the same with what sticks out."""

    item: Placed
    box: Box
    whole: Box


def names(view: Unfolded, scene: Scene, found: Seats, taken: Iterable[Box] = ()) -> list[Name]:
    """Every name that has a place, larger bodies first; on faces clear of what is ``taken`` already."""
    on_plan = _on_plan(view, scene) if view.shows_plan else []
    return on_plan + _on_faces(view, scene, found, taken)


def _on_plan(view: Unfolded, scene: Scene) -> list[Name]:
    """Inside the room, over no other piece; a piece under another one is named on its face only."""
    under = hidden(scene)
    bodies = [_Body(item, plan_box(view, item), _with_sticks(view, item)) for item in scene.placed]
    inside = bounds([view.plan.to_px(p) for p in scene.room.outline_mm])
    board = Board(soft=[body.whole for body in bodies], within=inside)
    size = view.grain.text
    named = []
    for body in _largest_first(bodies):
        if body.item.id in under:
            continue
        places = name_candidates(short_name(body.item.name), body.box, body.whole, size)
        label = board.place(places, own=body.whole, worst=_crowded(body.box, size))
        if label:
            named.append(Name(body.item, False, label))
    return named


def _crowded(box: Box, size: float) -> float:
    """A small thing on the plan is named only where that costs next to nothing; its face names it anyway."""
    return 0.06 if min(box[2] - box[0], box[3] - box[1]) < 1.6 * size else 0.45


def _on_faces(view: Unfolded, scene: Scene, found: Seats, taken: Iterable[Box]) -> list[Name]:
    """On the faces and between them, clear of the plan and of the floor that a standing wall has under it."""
    bodies = [body for item in scene.placed if (body := _face_body(view, found, item))]
    size = view.grain.text
    near = {body.item.id: _with_air(body.whole, _AIR * size) for body in bodies}
    alone = view.faces[0].box if len(view.faces) == 1 and not view.shows_plan else None
    board = Board(list(taken), list(near.values()), within=alone or (0.0, 0.0, view.width_px, view.height_px))
    if view.shows_plan:
        board.soft.append(bounds([view.plan.to_px(p) for p in outer_ring(scene.edges)]))
    board.soft += [box for face in view.faces for box in opening_boxes(face, scene)]
    for face in view.faces:
        if not face.folded:
            x0, _, x1, y1 = face.box
            board.soft.append((x0 - size, y1, x1 + size, y1 + 2 * size))
    named = []
    for body in _largest_first(bodies):
        busy = kind_of(body.item.kit) in _BUSY
        places = name_candidates(short_name(body.item.name), body.box, body.whole, size, upper=True, outside=busy)
        label = board.place(places, own=near[body.item.id])
        if label:
            named.append(Name(body.item, True, label))
    return named


def _with_air(box: Box, air: float) -> Box:
    """A box with some air round it, so that no name stands as near to another thing as to its own."""
    return box[0] - air, box[1] - air, box[2] + air, box[3] + air


def _largest_first(bodies: list[_Body]) -> list[_Body]:
    return sorted(bodies, key=lambda b: (-round((b.box[2] - b.box[0]) * (b.box[3] - b.box[1]), 1), b.item.id))


def hidden(scene: Scene) -> frozenset[str]:
    """The pieces over whose middle a higher piece lies."""
    ordered = sorted(scene.placed, key=lambda item: (item.base_mm, item.top_mm, item.id))
    boxes = [[part.bounds for part in item.body] for item in ordered]
    found = []
    for i, item in enumerate(ordered):
        x, y = item.piece.at_mm
        if any(b[0] <= x <= b[2] and b[1] <= y <= b[3] for over in boxes[i + 1 :] for b in over):
            found.append(item.id)
    return frozenset(found)


def plan_box(view: Unfolded, item: Placed) -> Box:
    """A body on the plan as a box in page units."""
    return bounds([view.plan.to_px(p) for p in outline_of(item.body)])


def _with_sticks(view: Unfolded, item: Placed) -> Box:
    return bounds([view.plan.to_px(p) for p in outline_of([*item.body, *(stick.plan for stick in item.sticks)])])


def face_box(view: Unfolded, found: Seats, item: Placed) -> Box | None:
    """A body on its own face as a box in page units."""
    body = _face_body(view, found, item)
    return body.box if body else None


def _face_body(view: Unfolded, found: Seats, item: Placed) -> _Body | None:
    seat = found.home[item.id]
    face = view.face(seat.edge)
    if face is None:
        return None
    box = _box_on(face, seat.span.from_mm, item.base_mm, seat.span.to_mm, item.top_mm)
    whole = box
    for stick in item.sticks:
        span = span_on(face.wall, (stick.plan,))
        more = _box_on(face, span.from_mm, stick.from_mm, span.to_mm, stick.to_mm)
        whole = (min(whole[0], more[0]), min(whole[1], more[1]), max(whole[2], more[2]), max(whole[3], more[3]))
    return _Body(item, box, whole)


def _box_on(face: Face, left: float, low: float, right: float, high: float) -> Box:
    return bounds([face.to_px(p) for p in ((left, low), (right, low), (right, high), (left, high))])


def opening_boxes(face: Face, scene: Scene) -> list[Box]:
    """The fronts of doors and windows on a face, as boxes in page units."""
    found = []
    for door in scene.room.doors:
        if door.edge == face.edge:
            right = face.length_mm - door.from_mm
            found.append(_box_on(face, right - door.clear_mm, 0.0, right, door.head_mm))
    for window in scene.room.windows:
        if window.edge == face.edge:
            right = face.length_mm - window.from_mm
            found.append(_box_on(face, right - window.width_mm, window.sill_mm, right, window.head_mm))
    return found
