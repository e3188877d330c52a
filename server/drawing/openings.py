"""Doors and windows: on the plan the gap, the leaf at its widest angle, its arc and a fan; on the face their front."""

from dataclasses import replace
from math import cos, radians, sin

from geometry.doors import HungLeaf, leaf_width_mm
from geometry.room import Door, Window
from geometry.scene import Scene
from geometry.units import Point
from geometry.walls import Edge
from server.drawing.opened import open_leaves
from server.drawing.pen import Pen
from server.drawing.svg import Grain
from server.drawing.unfold import Face, Unfolded

_RAYS = (0.25, 0.5, 0.75)
_RAY_FROM = 0.118
_LINING_MM = 45.0
_STUB_MM = 150.0


def doorways(view: Unfolded, scene: Scene, outside: bool = True) -> str:
    """Every doorway and window of the plan. A leaf that would open over a face is only begun.

    ``outside`` is False where there is no room outside the walls for any leaf.
    """
    pen = Pen(view.plan, view.grain)
    for door in scene.room.doors:
        _gap(pen, scene.edges[door.edge], door)
    by_id = {door.id: door for door in scene.room.doors}
    for leaf, angle in open_leaves(scene):
        draw_leaf(pen, leaf, angle, stub=_stubbed(view, by_id[leaf.owner], outside))
    for door in scene.room.doors:
        if door.leaf.kind == "sliding":
            _sliding(pen, scene.edges[door.edge], door, leaf_width_mm(door), inside=_stubbed(view, door, outside))
    for window in scene.room.windows:
        _glass(pen, scene.edges[window.edge], window)
    return pen.svg()


def _stubbed(view: Unfolded, door: Door, outside: bool) -> bool:
    return over_a_face(view, door) or (door.leaf.opens == "out" and not outside)


def over_a_face(view: Unfolded, door: Door) -> bool:
    """Whether a door opens outwards to where its own face is turned out."""
    face = view.face(door.edge)
    return door.leaf.opens == "out" and face is not None and face.folded


def _gap(pen: Pen, edge: Edge, door: Door) -> None:
    a, b, t = door.from_mm, door.from_mm + door.clear_mm, edge.thick_mm
    over = 4.0
    pen.line("gap", edge.at(a, over), edge.at(b, over), edge.at(b, -t - over), edge.at(a, -t - over), closed=True)
    for ends in (((a, -t), (b, -t)), ((a, 0.0), (a, -t)), ((b, 0.0), (b, -t))):
        pen.line("kd", *(edge.at(*end) for end in ends))


def draw_leaf(pen: Pen, leaf: HungLeaf, angle_deg: float, stub: bool = False) -> None:
    """A leaf where it stands, its arc, and three rays like a fan; only its beginning where ``stub`` is set."""
    if stub:
        leaf = replace(leaf, width_mm=min(leaf.width_mm, _STUB_MM))
    elif not leaf.folds and angle_deg > 1.0:
        _fan(pen, leaf, angle_deg)
    for corners in leaf.standing(angle_deg):
        pen.line("leaf", *corners, closed=True)


def _fan(pen: Pen, leaf: HungLeaf, angle_deg: float) -> None:
    def at(reach_mm: float, turn_deg: float) -> Point:
        turn = radians(turn_deg)
        return leaf.room(reach_mm * cos(turn), reach_mm * sin(turn))

    anticlockwise = leaf.along[0] * leaf.opens[1] - leaf.along[1] * leaf.opens[0] > 0
    r = leaf.width_mm
    pen.arc("swing", at(r, 0.0), r, at(r, min(angle_deg, 179.9)), anticlockwise)
    for share in _RAYS:
        pen.line("fan", at(_RAY_FROM * r, share * angle_deg), at(r, share * angle_deg))


def _sliding(pen: Pen, edge: Edge, door: Door, wide: float, inside: bool) -> None:
    """A leaf pushed half aside along the wall, and an arrow the way it goes; within the wall where ``inside`` is."""
    sign, face = (1.0, 0.0) if door.leaf.opens == "in" else (-1.0, -edge.thick_mm)
    if inside:
        face = (door.leaf.thick_mm - edge.thick_mm) / 2 + 6.0
    way = -1.0 if door.leaf.hinge == "start" else 1.0
    start = door.from_mm + door.clear_mm / 2 + way * 0.5 * wide - wide / 2
    near, far = face + sign * 6.0, face + sign * (6.0 + door.leaf.thick_mm)
    corners = ((start, near), (start + wide, near), (start + wide, far), (start, far))
    pen.line("leaf", *(edge.at(*corner) for corner in corners), closed=True)
    if inside:
        return
    middle, level = start + wide / 2, far + sign * 60.0
    tip = middle + way * 0.15 * wide
    pen.line("swing", edge.at(middle - way * 0.15 * wide, level), edge.at(tip, level))
    pen.line(
        "swing", edge.at(tip - way * 50.0, level + 22.0), edge.at(tip, level), edge.at(tip - way * 50.0, level - 22.0)
    )


def _glass(pen: Pen, edge: Edge, window: Window) -> None:
    a, b, t = window.from_mm, window.from_mm + window.width_mm, edge.thick_mm
    pen.line("out", edge.at(a), edge.at(b), edge.at(b, -t), edge.at(a, -t), closed=True)
    for share in (0.42, 0.58):
        pen.line("kd", edge.at(a, -share * t), edge.at(b, -share * t))


def fronts_on(face: Face, scene: Scene, grain: Grain) -> str:
    """Doors and windows as a person inside sees them on one wall."""
    pen = Pen(face.matrix, grain)
    for door in scene.room.doors:
        if door.edge == face.edge:
            _door_front(pen, face, door)
    for window in scene.room.windows:
        if window.edge == face.edge:
            _window_front(pen, face, window)
    return pen.svg()


def _door_front(pen: Pen, face: Face, door: Door) -> None:
    x1, x0 = face.length_mm - door.from_mm, face.length_mm - door.from_mm - door.clear_mm
    low, high = door.sill_mm, door.head_mm
    side = min(_LINING_MM, max(x0, 0.0), max(face.length_mm - x1, 0.0))
    pen.rect("out", x0 - side, low, x1 + side, min(high + _LINING_MM, face.height_mm))
    if door.leaf.kind == "none":
        pen.rect("gap", x0, low, x1, high)
        pen.rect("kd", x0, low, x1, high)
        return
    leaves = 2 if door.leaf.kind in ("double", "bifold") else 1
    for i in range(leaves):
        a, b = x0 + i * (x1 - x0) / leaves, x0 + (i + 1) * (x1 - x0) / leaves
        hinge_right = (door.leaf.hinge == "start") if leaves == 1 else i == 1
        _leaf_front(pen, a, b, low, high, hinge_right)


def _leaf_front(pen: Pen, a: float, b: float, low: float, high: float, hinge_right: bool) -> None:
    stile, tall = min(110.0, 0.15 * (b - a)), high - low
    pen.rect("k", a, low, b, high)
    pen.rect("kd", a + stile, low + 0.07 * tall, b - stile, low + 0.435 * tall, 4)
    pen.rect("kd", a + stile, low + 0.51 * tall, b - stile, low + 0.94 * tall, 4)
    pen.circle("kd", a + 0.6 * stile if hinge_right else b - 0.6 * stile, low + 0.505 * tall, 20)


def _window_front(pen: Pen, face: Face, window: Window) -> None:
    x1 = face.length_mm - window.from_mm
    x0 = x1 - window.width_mm
    pen.rect("out", x0, window.sill_mm, x1, window.head_mm)
    pen.rect("kd", x0 + 45, window.sill_mm + 45, x1 - 45, window.head_mm - 45)
    middle = (x0 + x1) / 2
    if window.width_mm > 500:
        pen.detail((middle, window.sill_mm + 45), (middle, window.head_mm - 45))
    pen.rect("out", x0 - 30, window.sill_mm - 25, x1 + 30, window.sill_mm)
