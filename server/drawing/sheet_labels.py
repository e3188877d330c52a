"""What is written on the sheets to scale."""

from collections.abc import Iterable

from geometry.scene import Scene
from geometry.shapes import turned
from server.drawing.labels import Board, Label, label_size
from server.drawing.names import face_box, names, plan_box
from server.drawing.pen import Pen
from server.drawing.pipe_labels import pipe_labels
from server.drawing.seats import Seats, seats
from server.drawing.sheet_marks import WallMark
from server.drawing.svg import Grain, bounds, mm_text
from server.drawing.unfold import Face, Unfolded


def plan_labels(view: Unfolded, scene: Scene) -> str:
    """Names of pieces, the depth of each space in front, the clear width of doorways, where slopes begin."""
    found = names(view, scene, seats(scene))
    board = Board([n.label.box for n in found], [plan_box(view, item) for item in scene.placed])
    board.within = bounds([view.plan.to_px(p) for p in scene.room.outline_mm])
    size = view.grain.dim
    more: list[Label | None] = []
    for item in scene.placed:
        for space in item.kit.space:
            if space.side == "front" and space.mm * view.scale_px_mm > 2 * size:
                out = item.kit.plan.depth_mm / 2 + 0.5 * space.mm
                dx, dy = turned((0.0, -out), item.piece.turn_deg)
                at = view.plan.to_px((item.piece.at_mm[0] + dx, item.piece.at_mm[1] + dy))
                more.append(board.place([Label((mm_text(space.mm),), at, size, "dim halo")]))
    for door in scene.room.doors:
        edge = scene.edges[door.edge]
        middle = view.plan.to_px(edge.at(door.from_mm + door.clear_mm / 2, -edge.thick_mm / 2))
        words = (f"door, clear {mm_text(door.clear_mm)}",)
        wide = label_size(words, size)[0]
        short = wide > door.clear_mm * view.scale_px_mm or abs(edge.along[0]) < 0.7
        more.append(Label((mm_text(door.clear_mm),) if short else words, middle, size, "dim"))
    more += _areas(view, scene, board)
    written = "".join(label.svg(view.grain) for label in [*(n.label for n in found), *more] if label)
    return written + pipe_labels(view, scene, (), board.hard)


def _areas(view: Unfolded, scene: Scene, board: Board) -> list[Label | None]:
    room, size = scene.room, view.grain.dim
    named = [(kept.name, kept.area_mm) for kept in room.keep_free]
    named += [(block.name, block.area_mm) for block in room.fixtures]
    named += [(f"{beam.name}, underside {mm_text(beam.soffit_mm)}", beam.area_mm) for beam in room.ceiling.beams]
    named += [(f"{slope.name} over this", slope.area_mm) for slope in room.ceiling.slopes]
    found = []
    for name, area in named:
        x0, y0, x1, y1 = bounds([view.plan.to_px(p) for p in area])
        middle, step = (x0 + x1) / 2, size
        heights = (y1 - step, y0 + step, (y0 + y1) / 2, y0 + 0.3 * (y1 - y0), y0 + 0.7 * (y1 - y0))
        found.append(board.place([Label((name,), (middle, y), size, "dim halo") for y in heights]))
    for outlet in room.outlets:
        x, y = view.plan.to_px(outlet.at_mm)
        w, h = label_size((outlet.name,), size)
        places = ((x + w / 2 + size, y), (x - w / 2 - size, y), (x, y + h + size), (x, y - h - size))
        found.append(board.place([Label((outlet.name,), at, size, "dim halo") for at in places]))
    return found


def wall_labels(view: Unfolded, scene: Scene, face: Face, found: Seats) -> str:
    """Names of the wall's own kit, and in small those of the things near it that belong to other walls."""
    own = names(view, scene, found)
    board = Board([n.label.box for n in own], [box for i in scene.placed if (box := face_box(view, found, i))])
    size = view.grain.dim
    near: list[Label | None] = []
    for item, seat in found.near.get(face.edge, ()):
        left, right = max(seat.span.from_mm, 0.0), min(seat.span.to_mm, face.length_mm)
        x, y = face.to_px(((left + right) / 2, (item.base_mm + min(item.top_mm, face.height_mm)) / 2))
        lines = (item.name.split(",")[0], "on another wall")
        if label_size(lines, size)[0] < (right - left) * view.scale_px_mm:
            near.append(board.place([Label(lines, (x, y), size, "dim")]))
    written = "".join(label.svg(view.grain) for label in [*(n.label for n in own), *near] if label)
    return written + pipe_labels(view, scene, (face,), board.hard)


def mark_crosses(face: Face, marks: Iterable[WallMark], grain: Grain) -> str:
    """A cross in a ring at each mark, with its letter."""
    pen = Pen(face.matrix, grain)
    board = Board()
    letters = []
    arm = 1.5 * grain.text * 0.55 / pen.scale
    for mark in marks:
        u, z = mark.from_left_mm, mark.from_floor_mm
        pen.line("cross", (u - arm, z), (u + arm, z))
        pen.line("cross", (u, z - arm), (u, z + arm))
        pen.circle("cross", u, z, 0.55 * arm)
        x, y = face.to_px((u, z))
        off = 0.75 * grain.text
        places = [(x + off, y - off), (x - off, y - off), (x + off, y + off), (x - off, y + off)]
        label = board.place([Label((mark.letter,), at, grain.text, "dd halo") for at in places], must=True)
        if label:
            letters.append(label.svg(grain))
    return pen.svg() + "".join(letters)
