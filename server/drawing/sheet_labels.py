"""What is written on the sheets to scale."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from geometry.scene import Scene
from geometry.shapes import turned
from geometry.units import SAME_MM, Point
from server.drawing.labels import Board, Label, label_size
from server.drawing.names import face_box, names, plan_box
from server.drawing.pipe_labels import pipe_labels
from server.drawing.seats import Seats, seats
from server.drawing.sheet_marks import WallMark
from server.drawing.svg import Box, Grain, bounds, circle, line, mm_text, path
from server.drawing.unfold import Face, Unfolded

_ARM, _RING = 0.825, 0.55
"""How long an arm of a cross is, in the height of a letter, and how large its ring is, in its arm."""


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
    every = [*(n.label for n in found), *more, *pipe_labels(view, scene, (), board.hard, _walls(view, scene))]
    return "".join(label.svg(view.grain) for label in every if label)


def _walls(view: Unfolded, scene: Scene) -> list[Box]:
    """The walls that stand square on the page, for words that had better not lie on them."""
    strips = [(e, bounds([view.plan.to_px(e.at(at, -off)) for at in (0.0, e.length_mm) for off in (0.0, e.thick_mm)]))
              for e in scene.edges]  # fmt: skip
    return [box for edge, box in strips if min(abs(part) for part in edge.along) < SAME_MM]


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


@dataclass(frozen=True)
class Cross:
    """A cross in a ring where something is set out, in page units, with its letter beside it."""

    at: Point
    arm: float
    letter: Label

    @property
    def boxes(self) -> tuple[Box, Box]:
        """What ring and letter take up."""
        return _ring(self.at, self.arm), self.letter.box

    def svg(self, grain: Grain) -> str:
        """The cross, its ring and its letter."""
        (x, y), arm, digits = self.at, self.arm, grain.digits
        strokes = line([(x - arm, y), (x + arm, y)], digits) + line([(x, y - arm), (x, y + arm)], digits)
        return path("cross", strokes) + circle("cross", self.at, _RING * arm, digits) + self.letter.svg(grain)


def _ring(at: Point, arm: float) -> Box:
    (x, y), r = at, _RING * arm
    return x - r, y - r, x + r, y + r


def crosses_on(face: Face, marks: Iterable[WallMark], grain: Grain) -> list[Cross]:
    """A cross at each mark; its letter stands clear of the other letters and rings."""
    arm = _ARM * grain.text
    places = [(mark, face.to_px((mark.from_left_mm, mark.from_floor_mm))) for mark in marks]
    board = Board([_ring(at, arm) for _, at in places])
    found = []
    for mark, at in places:
        labels = (Label((mark.letter,), beside, grain.text, "dd halo") for beside in _round(at, grain.text))
        letter = board.place(labels, must=True)
        if letter:
            found.append(Cross(at, arm, letter))
    return found


def _round(at: Point, size: float) -> Iterator[Point]:
    """Places for a letter: at the four corners of its ring, beside it, above and under it."""
    (x, y), off, more = at, 0.82 * size, 1.25 * size
    steps = [(off, -off), (-off, -off), (off, off), (-off, off), (more, 0.0), (-more, 0.0), (0.0, -more), (0.0, more)]
    yield from ((x + dx, y + dy) for dx, dy in steps)


def wall_labels(view: Unfolded, scene: Scene, face: Face, found: Seats, crosses: Sequence[Cross]) -> list[Label]:
    """Names of the wall's own kit, and in small those of the things near it that belong to other walls; its pipes.

    All stand clear of the crosses and their letters; heights at a cross or a port of the wall's kit are in its table.
    """
    taken = [box for cross in crosses for box in cross.boxes]
    own = names(view, scene, found, taken)
    bodies = [box for item in scene.placed if (box := face_box(view, found, item))]
    board = Board([*taken, *(n.label.box for n in own)], bodies, face.box)
    size = view.grain.dim
    near: list[Label | None] = []
    for item, seat in found.near.get(face.edge, ()):
        left, right = max(seat.span.from_mm, 0.0), min(seat.span.to_mm, face.length_mm)
        x, y = face.to_px(((left + right) / 2, (item.base_mm + min(item.top_mm, face.height_mm)) / 2))
        lines = (item.name.split(",")[0], "on another wall")
        if label_size(lines, size)[0] < (right - left) * view.scale_px_mm:
            near.append(board.place([Label(lines, (x, y), size, "dim")]))
    told = [*(cross.at for cross in crosses), *_ports(scene, face, found)]
    pipes = pipe_labels(view, scene, (face,), board.hard, bodies, told)
    return [*(n.label for n in own), *(label for label in near if label), *pipes]


def _ports(scene: Scene, face: Face, found: Seats) -> Iterator[Point]:
    """Where the ports of a wall's own kit are on its face."""
    for item, _ in found.on(scene, face.edge):
        for port in item.kit.port:
            x, y, z = item.to_room(port.at_mm)
            yield face.to_px((face.length_mm - face.wall.measure((x, y))[0], z))
