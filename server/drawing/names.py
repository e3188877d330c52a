"""Which pieces are named where: on their faces, and on the plan where there is room."""

from collections.abc import Sequence
from dataclasses import dataclass

from geometry.scene import Placed, Scene
from geometry.units import Point
from server.drawing.kinds import kind_of
from server.drawing.labels import Board, Label, name_candidates, short_name
from server.drawing.pen import outline_of
from server.drawing.seats import Seats
from server.drawing.svg import Box, bounds
from server.drawing.unfold import Unfolded, outer_ring

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
    item: Placed
    box: Box
    hidden: bool = False


def names(view: Unfolded, scene: Scene, found: Seats) -> list[Name]:
    """Every name that has a place, larger bodies first."""
    found_names: list[Name] = []
    if view.shows_plan:
        found_names += _on_plan(view, scene)
    on_faces = [_Body(item, box) for item in scene.placed if (box := face_box(view, found, item))]
    return found_names + _on_faces(view, on_faces, outer_ring(scene.edges))


def _on_plan(view: Unfolded, scene: Scene) -> list[Name]:
    """Inside the room, over no other piece; a piece under another one is named on its face only."""
    under = hidden(scene)
    bodies = [_Body(item, plan_box(view, item), item.id in under) for item in scene.placed]
    inside = bounds([view.plan.to_px(p) for p in scene.room.outline_mm])
    board = Board(soft=[body.box for body in bodies], within=inside)
    size = view.grain.text
    named = []
    for body in _largest_first(bodies):
        if body.hidden:
            continue
        label = board.place(name_candidates(short_name(body.item.name), body.box, size), own=body.box, worst=_crowded(body.box, size))
        if label:
            named.append(Name(body.item, False, label))
    return named


def _crowded(box: Box, size: float) -> float:
    """A small thing on the plan is named only where that costs next to nothing; its face names it anyway."""
    return 0.06 if min(box[2] - box[0], box[3] - box[1]) < 1.6 * size else 0.45


def _on_faces(view: Unfolded, bodies: list[_Body], walls: Sequence[Point]) -> list[Name]:
    board = Board(soft=[body.box for body in bodies], within=(0.0, 0.0, view.width_px, view.height_px))
    if view.shows_plan:
        board.soft.append(bounds([view.plan.to_px(p) for p in walls]))
    named = []
    for body in _largest_first(bodies):
        places = name_candidates(
            short_name(body.item.name), body.box, view.grain.text, upper=True, outside=kind_of(body.item.kit) in _BUSY
        )
        label = board.place(places, own=body.box)
        if label:
            named.append(Name(body.item, True, label))
    return named


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


def face_box(view: Unfolded, found: Seats, item: Placed) -> Box | None:
    """A body on its own face as a box in page units."""
    seat = found.home[item.id]
    face = view.face(seat.edge)
    if face is None:
        return None
    ends = ((seat.span.from_mm, item.base_mm), (seat.span.to_mm, item.top_mm), (seat.span.from_mm, item.top_mm), (seat.span.to_mm, item.base_mm))
    return bounds([face.to_px(p) for p in ends])
