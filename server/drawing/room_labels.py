"""Names of walls, lengths, heights and what hangs low: everything written on the empty room."""

from collections.abc import Iterator

from geometry.doors import leaf_width_mm
from geometry.scene import Scene
from geometry.units import Point
from server.drawing.fixed import wall_of_outlet
from server.drawing.labels import Board, Label, label_size
from server.drawing.names import face_box, names, opening_boxes, plan_box
from server.drawing.seats import Seats, seats
from server.drawing.svg import Box, bounds, mm_text, overlap
from server.drawing.unfold import Face, Unfolded

TEXT_AIR = 1.5
"""Text keeps this many px from other text."""

_WALL_NAME = 1.25
"""Wall names are this much larger than other text, in italic."""


def room_labels(view: Unfolded, scene: Scene) -> str:
    """All text of the empty room, kept clear of the kit."""
    return "".join(label.svg(view.grain) for label in _placed(view, scene)[0])


def text_boxes(view: Unfolded, scene: Scene) -> list[Box]:
    """Where text stands, of the empty room and of the kit."""
    return _placed(view, scene)[1]


def _placed(view: Unfolded, scene: Scene) -> tuple[list[Label], list[Box]]:
    """The text of the empty room, and the boxes of all text."""
    found_seats = seats(scene)
    page = (0.0, 0.0, view.width_px, view.height_px)
    soft = [*kit_boxes(view, scene, found_seats), *wall_boxes(view, scene)]
    board = Board(soft=soft, within=page, air=TEXT_AIR * view.grain.line)
    board.hard = [name.label.box for name in names(view, scene, found_seats)]
    found: list[Label | None] = []
    for face in _upright_first(view):
        found.append(board.place(_name_places(face, view), must=True))
    if view.shows_plan:
        found += _letters(view, scene, board)
        found += _lengths(view, scene, board)
        found += _things(view, scene, board) + _heights(view, board)
    found += _outlets(view, scene, board) + _low_parts(view, board)
    return [label for label in found if label], board.hard


def _upright_first(view: Unfolded) -> list[Face]:
    return sorted(view.faces, key=lambda face: (face.matrix.d > -0.9 * view.scale_px_mm, face.edge))


def kit_boxes(view: Unfolded, scene: Scene, found_seats: Seats) -> list[Box]:
    """What is drawn that text had better leave alone: bodies, door fronts, the low parts of the ceiling."""
    found = [plan_box(view, item) for item in scene.placed] if view.shows_plan else []
    found += [box for item in scene.placed if (box := face_box(view, found_seats, item))]
    found += [box for face in view.faces for box in opening_boxes(face, scene)]
    for door in scene.room.doors:
        if view.shows_plan:
            edge, reach = scene.edges[door.edge], leaf_width_mm(door)
            far = reach if door.leaf.opens == "in" else -reach - edge.thick_mm
            ends = ((door.from_mm, 0.0), (door.from_mm + door.clear_mm, far))
            found.append(bounds([view.plan.to_px(edge.at(*end)) for end in ends]))
    return found


def wall_boxes(view: Unfolded, scene: Scene) -> list[Box]:
    """The walls of the plan, filled dark: nothing is written on them. None of one that stands askew on the page."""
    if not view.shows_plan:
        return []
    found = []
    for edge in scene.edges:
        (ax, ay), (bx, by) = (view.plan.to_px(edge.at(along)) for along in (0.0, edge.length_mm))
        if min(abs(ax - bx), abs(ay - by)) < view.grain.line:
            ends = ((0.0, 0.0), (edge.length_mm, -edge.thick_mm))
            found.append(bounds([view.plan.to_px(edge.at(*end)) for end in ends]))
    return found


def _name_places(face: Face, view: Unfolded) -> Iterator[Label]:
    """The corners of a face, its far ones first; along its far end where it stands askew."""
    size = view.grain.text * _WALL_NAME
    w, h = label_size((face.name,), size)
    x0, y0, x1, y1 = face.box
    edge = 0.35 * size
    left, right, top, foot = x0 + edge + w / 2, x1 - edge - w / 2, y0 + edge + h / 2, y1 - edge - h / 2
    askew = min(abs(face.matrix.a), abs(face.matrix.c)) > 0.02 * view.scale_px_mm
    if askew:
        depth = face.height_mm - 0.9 * size / view.scale_px_mm
        for share in (1.0, 0.75, 0.5, 0.2):
            yield Label((face.name,), face.to_px((face.length_mm / 2, depth * share)), size, "wallname halo")
        return
    corners = [(left, foot), (left, top), (right, foot), (right, top)]
    if face.matrix.d < 0:
        corners = [(left, top), (right, top), (left, foot), (right, foot)]
    for at in corners:
        yield Label((face.name,), at, size, "wallname halo")


def _letters(view: Unfolded, scene: Scene, board: Board) -> list[Label | None]:
    """Beside each wall that stands in the row, its letter."""
    size = view.grain.text * _WALL_NAME
    found = []
    for face in view.faces:
        if face.folded:
            continue
        edge = scene.edges[face.edge]
        w, h = label_size((face.letter,), size)
        places = []
        for share in (0.5, 0.3, 0.7, 0.15, 0.85):
            x, y = view.plan.to_px(edge.at(share * edge.length_mm, -edge.thick_mm))
            nx, ny = view.plan.linear.to_px((-edge.inward[0], -edge.inward[1]))
            out = (abs(nx) * w + abs(ny) * h) / (2 * view.scale_px_mm) + 0.45 * size
            places.append(
                Label(
                    (face.letter,),
                    (x + nx / view.scale_px_mm * out, y + ny / view.scale_px_mm * out),
                    size,
                    "wallname halo",
                )
            )
        found.append(board.place(places, must=True))
    return found


def _lengths(view: Unfolded, scene: Scene, board: Board) -> list[Label | None]:
    """The length of each wall, just inside it; of two walls alike that lie parallel, once."""
    found: list[Label | None] = []
    told: set[tuple[int, int]] = set()
    for edge in scene.edges:
        way = round(abs(edge.along[0]) * 50)
        length = round(edge.length_mm)
        words = mm_text(edge.length_mm)
        w, h = label_size((words,), view.grain.dim)
        if (way, length) in told or edge.length_mm * view.scale_px_mm < w:
            continue
        told.add((way, length))
        nx, ny = (v / view.scale_px_mm for v in view.plan.linear.to_px(edge.inward))
        off = (abs(nx) * w + abs(ny) * h) / 2 + 0.4 * view.grain.dim
        places = []
        for share in (0.15, 0.85, 0.5, 0.3, 0.7):
            x, y = view.plan.to_px(edge.at(share * edge.length_mm))
            places.append(Label((words,), (x + nx * off, y + ny * off), view.grain.dim, "dim halo"))
        found.append(board.place(places))
    return found


def _things(view: Unfolded, scene: Scene, board: Board) -> list[Label | None]:
    """Names of what is kept free, of boxing, of beams and slopes, where there is room for them."""
    room, size = scene.room, view.grain.dim
    named = [(kept.name, kept.area_mm, False) for kept in room.keep_free]
    named += [(block.name, block.area_mm, False) for block in room.fixtures]
    named += [(f"{beam.name} {mm_text(beam.soffit_mm)}", beam.area_mm, True) for beam in room.ceiling.beams]
    named += [(slope.name, slope.area_mm, True) for slope in room.ceiling.slopes]
    found = []
    for name, area, overhead in named:
        x0, y0, x1, y1 = bounds([view.plan.to_px(p) for p in area])
        w, h = label_size((name,), size)
        middle, step = (x0 + x1) / 2, 0.35 * size + h / 2
        heights = ((y0 + y1) / 2, y1 - step, y0 + step, y0 + 0.3 * (y1 - y0), y0 + 0.7 * (y1 - y0))
        if overhead or w < 1.3 * (x1 - x0) + size:
            found.append(board.place([Label((name,), (middle, y), size, "dim halo") for y in heights]))
    return found


def _outlets(view: Unfolded, scene: Scene, board: Board) -> list[Label | None]:
    """Each outlet by its ring: on the wall that it goes through where that is shown, else on the plan."""
    size = view.grain.dim
    found: list[Label | None] = []
    for outlet in scene.room.outlets:
        index = wall_of_outlet(scene, outlet)
        face = view.face(index) if index is not None else None
        if face:
            x, y = face.to_px((face.length_mm - face.wall.measure(outlet.at_mm)[0], outlet.level_mm))
        elif view.shows_plan:
            x, y = view.plan.to_px(outlet.at_mm)
        else:
            continue
        w, h = label_size((outlet.name,), size)
        side, up = w / 2 + 0.7 * size, 0.8 * size + h / 2
        steps = [(across, down) for down in (0.0, -1.0, 1.0, -2.2, 2.2) for across in (1.0, -1.0)]
        spots = [(x + across * side, y + down * h) for across, down in steps[:2]]
        spots += [(x, y + up), (x, y - up), *((x + across * side, y + down * h) for across, down in steps[2:])]
        found.append(board.place([Label((outlet.name,), at, size, "dim halo") for at in spots], worst=0.25))
    return found


def _heights(view: Unfolded, board: Board) -> list[Label | None]:
    """The height of each wall at its corners, every height once, where it stands most upright."""
    found: list[Label | None] = []
    told: set[int] = set()
    others = [face.box for face in view.faces]
    for face in _upright_first(view):
        for end, sign in ((face.tops[0].start, -1.0), (face.tops[-1].end, 1.0)):
            if round(end[1]) in told or not face.measured:
                continue
            label = board.place(_beside_corner(face, view, end, sign, others), must=False)
            if label:
                told.add(round(end[1]))
                found.append(label)
    return found


def _beside_corner(face: Face, view: Unfolded, end: Point, sign: float, others: list[Box]) -> list[Label]:
    """Outside the corner if no other face is there, else inside."""
    words, size = mm_text(end[1]), view.grain.dim
    w, h = label_size((words,), size)
    x, y = face.to_px(end)
    ux, uy = (sign * v / view.scale_px_mm for v in face.matrix.vector(1.0, 0.0))
    dx, dy = (v / view.scale_px_mm for v in face.matrix.vector(0.0, -1.0))
    places = []
    for side in (1.0, -1.0):
        out = side * ((abs(ux) * w + abs(uy) * h) / 2 + 0.5 * size)
        down = (abs(dx) * w + abs(dy) * h) / 2 + 0.3 * size
        label = Label((words,), (x + ux * out + dx * down, y + uy * out + dy * down), size, "dim halo")
        if side < 0 or not any(overlap(label.box, box) > 0 for box in others if box != face.box):
            places.append(label)
    return places


def _low_parts(view: Unfolded, board: Board) -> list[Label | None]:
    """The name of each slope and beam, once, in the wash above it."""
    found: list[Label | None] = []
    told: set[str] = set()
    size = view.grain.dim
    for face in _upright_first(view):
        for top in face.tops:
            if top.name is None or top.name in told:
                continue
            ends = (top.start, top.end, (top.end[0], face.height_mm), (top.start[0], face.height_mm))
            x0, y0, x1, y1 = bounds([face.to_px(p) for p in ends])
            w, h = label_size((top.name,), size)
            if w > x1 - x0 - 4 or h > y1 - y0 - 4:
                continue
            right_high = face.matrix.a * (top.start[1] - top.end[1]) > 0
            at = (x1 - w / 2 - 3, y0 + h / 2 + 4) if right_high else (x0 + w / 2 + 3, y0 + h / 2 + 4)
            middle = ((x0 + x1) / 2, (y0 + y1) / 2)
            label = board.place([Label((top.name,), p, size, "dim") for p in (at, middle)])
            if label:
                told.add(top.name)
                found.append(label)
    return found
