"""Sheets to scale for A4: the plan, and each wall for setting out.

Both are whole ``<svg>`` elements whose width, height and view box are millimetres of paper, with the class
``to-scale``. Figures run from the left corner (on the plan from the left and the near end) and from finished floor.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from markupsafe import Markup

from geometry.check import Finding
from geometry.scene import Scene
from server.drawing.elevation import elevation
from server.drawing.findings import draw_findings, kept_clear
from server.drawing.fixed import beams_before, blocks, blocks_on, kept_free, outlets, overhead
from server.drawing.grounds import face_edge, face_ground, floor, foot, frame
from server.drawing.kit import at_px, from_above
from server.drawing.openings import doorways, fronts_on
from server.drawing.paper import AIR_MM, NO_GRID_OVER, choose_scale, cut_walls, thinned, to_scale
from server.drawing.pen import Pen
from server.drawing.pipes import face_pipes, pipes_over, plan_pipes
from server.drawing.seats import Seats, seats
from server.drawing.sheet_labels import crosses_on, plan_labels, wall_labels
from server.drawing.sheet_marks import (
    NOTHING_OF_KIT,
    Way,
    along_marks,
    body_marks,
    height_marks,
    plan_marks,
    wall_marks,
)
from server.drawing.spaces import plan_spaces
from server.drawing.svg import PRINT, Box, Matrix, bounds, line, path
from server.drawing.tapes import Tape, check_bar, deepest, distinct, draw_tape, has_room
from server.drawing.unfold import Face, Unfolded, one_wall, outer_ring

_BAR_MM = 12.0
_BAR_ROOM_MM = 74.0
_SPARE_MM, _TOP_MM = 6.0, 2.5
_BESIDE_MM = AIR_MM - 1.0
"""How far what is drawn may stand out of its drawing, so that it meets no tape."""


@dataclass(frozen=True)
class _Tapes:
    """Marks of up to four tapes round a drawing of some size on paper, and how much room each takes."""

    marks: dict[Way, list[float]]
    scale: float
    wide_mm: float
    high_mm: float

    def deep(self, way: Way) -> float:
        """Room for one tape with its figures."""
        if not self.marks.get(way):
            return _SPARE_MM
        upright = way in ("left", "right")
        draft = Tape((0.0, 0.0), self.scale, self.high_mm if upright else self.wide_mm, upright, 1, PRINT)
        return deepest(draft, self.marks[way]) + AIR_MM

    def drawn(self, zero: tuple[float, float], near: dict[Way, float]) -> str:
        """All tapes. ``zero`` is the page place of their common zero, ``near`` the line that each keeps away from."""
        parts = []
        for way, marks in self.marks.items():
            if not marks:
                continue
            upright, back = way in ("left", "right"), -1 if way in ("left", "top") else 1
            at = near[way] + back * AIR_MM
            place = (at, zero[1]) if upright else (zero[0], at)
            length = self.high_mm if upright else self.wide_mm
            parts.append(draw_tape(Tape(place, self.scale, length, upright, back, PRINT), marks))
        return "".join(parts)


def plan_sheet(scene: Scene, numbered: Sequence[tuple[int, Finding]] = (), scale: int | None = None) -> Markup:
    """The plan to scale (20 is 1:20; None takes ``choose_scale``), tapes round it, a bar of exactly 50 mm under it."""
    whole, scene = scene, thinned(scene)
    scale = scale or choose_scale(scene)
    s = 1.0 / scale
    x0, y0, x1, y1 = bounds(scene.room.outline_mm)
    ox0, oy0, ox1, oy1 = bounds(outer_ring(scene.edges))
    tapes = _Tapes(_plan_marks(scene, s, x1 - x0, y1 - y0), s, x1 - x0, y1 - y0)
    left, top = tapes.deep("left"), tapes.deep("top")
    right, below = left + s * (ox1 - ox0), top + s * (oy1 - oy0)
    plan = Matrix(s, 0.0, 0.0, -s, left - s * ox0, top + s * oy1)
    width = max(right + tapes.deep("right"), plan.to_px((x0, y0))[0] + _BAR_ROOM_MM)
    height = below + tapes.deep("bottom") + _BAR_MM
    view = Unfolded(width, height, s, plan, (), True, True, PRINT)
    zero = plan.to_px((x0, y0))
    drawn = _plan(view, scene, grid=scale <= NO_GRID_OVER)
    drawn += Markup(tapes.drawn(zero, {"left": left, "right": right, "top": top, "bottom": below}))
    drawn += Markup(cut_walls(whole, plan))
    clear = (*kept_clear(view, scene), *_around((left, top, right, below), width, height))
    drawn += draw_findings(view, scene, numbered, keep_clear=clear)
    drawn += Markup(check_bar(zero[0], height - _BAR_MM + 2.0, scale, PRINT))
    return to_scale(width, height, scale, "Plan", drawn)


def _around(drawing: Box, wide: float, high: float) -> list[Box]:
    """The margins of a sheet round its drawing, where the tapes are."""
    x0, y0, x1, y1 = drawing[0] - _BESIDE_MM, drawing[1] - _BESIDE_MM, drawing[2] + _BESIDE_MM, drawing[3] + _BESIDE_MM
    return [(0.0, 0.0, wide, y0), (0.0, y1, wide, high), (0.0, 0.0, x0, high), (x1, 0.0, wide, high)]


def _spared(lies: Tape, every: Sequence[list[float]]) -> list[float]:
    """As many of the marks as find room for their figures along a tape: the first of the choices, or the last."""
    return next((some for some in every if has_room(lies, some)), every[-1])


def _lies(scale: float, length_mm: float, upright: bool) -> Tape:
    return Tape((0.0, 0.0), scale, length_mm, upright, 1, PRINT)


def _plan_marks(scene: Scene, scale: float, wide_mm: float, high_mm: float) -> dict[Way, list[float]]:
    """The marks of the four tapes round a plan, each spared where it is too short for its figures."""
    every = [plan_marks(scene, spare) for spare in range(NOTHING_OF_KIT + 1)]
    level, upright = _lies(scale, wide_mm, upright=False), _lies(scale, high_mm, upright=True)
    return {way: _spared(upright if way in ("left", "right") else level, [m[way] for m in every]) for way in every[0]}


def _plan(view: Unfolded, scene: Scene, grid: bool) -> Markup:
    parts = [
        floor(view, scene, grid), kept_free(view, scene), overhead(view, scene), blocks(view, scene),
        frame(view, scene), doorways(view, scene, outside=False), plan_pipes(view, scene),
    ]  # fmt: skip
    ordered = sorted(scene.placed, key=lambda p: (p.base_mm, p.top_mm, p.id))
    places = [(item, at_px(view.plan.to_px(item.piece.at_mm), view.grain)) for item in ordered]
    parts += [f"<g {at}>{plan_spaces(view, item, 'front')}</g>" for item, at in places]
    parts += [f"<g {at}>{from_above(view, item)}</g>" for item, at in places]
    parts.append(pipes_over(view, scene))
    return Markup("".join([*parts, outlets(view, scene), plan_labels(view, scene)]))


def wall_sheet(
    scene: Scene, edge: int, scale: int | None = None, numbered: Sequence[tuple[int, Finding]] = ()
) -> Markup:
    """One wall to scale for setting out: kit in front view, tapes along and up, crosses lettered as ``wall_marks``."""
    scale = scale or choose_scale(scene, edge)
    s = 1.0 / scale
    face = one_wall(scene, edge, 100.0, 100.0).faces[0]
    ends = [face.tops[0].start[1], face.tops[-1].end[1]] if face.measured else []
    marks = _wall_marks(scene, edge, s, (face.length_mm, face.height_mm), ends)
    tapes = _Tapes(marks, s, face.length_mm, face.height_mm)
    left, top, tall = tapes.deep("left"), _TOP_MM, s * face.height_mm
    right, below = left + s * face.length_mm, top + tall
    placed = replace(face, matrix=Matrix(s, 0.0, 0.0, -s, left, below))
    width, height = right + tapes.deep("right"), below + tapes.deep("bottom")
    view = Unfolded(width, height, s, placed.matrix, (placed,), True, False, PRINT)
    crosses = crosses_on(placed, wall_marks(scene, edge), PRINT)
    labels = wall_labels(view, scene, placed, seats(scene), crosses)
    clear = [*(label.box for label in labels), *(box for cross in crosses for box in cross.boxes)]
    clear += _around((left, top, right, below), width, height)
    drawn = _wall(view, placed, scene, grid=scale <= NO_GRID_OVER)
    drawn += Markup("".join(label.svg(PRINT) for label in labels))
    drawn += Markup(tapes.drawn((left, below), {"left": left, "right": right, "bottom": below}))
    drawn += draw_findings(view, scene, numbered, keep_clear=clear)
    drawn += Markup("".join(cross.svg(PRINT) for cross in crosses))
    return to_scale(width, height, scale, face.name.capitalize(), drawn)


def _wall_marks(
    scene: Scene, edge: int, scale: float, size_mm: tuple[float, float], ends: list[float]
) -> dict[Way, list[float]]:
    """The marks of the tapes of a wall, each spared where it is too short for its figures."""
    level, upright = _lies(scale, size_mm[0], upright=False), _lies(scale, size_mm[1], upright=True)

    heights = [height_marks(scene, edge, spare) for spare in range(NOTHING_OF_KIT + 1)]
    along = [distinct(along_marks(scene, edge, spare)) for spare in range(NOTHING_OF_KIT + 1)]
    needed = heights[0][1] or len(set(ends)) > 1
    return {
        "left": _spared(upright, [distinct([0.0, *low, *ends[:1]]) for low, _ in heights]),
        "right": _spared(upright, [distinct([0.0, *high, *ends[1:]]) for _, high in heights]) if needed else [],
        "bottom": _spared(level, along),
    }


def _wall(view: Unfolded, face: Face, scene: Scene, grid: bool) -> Markup:
    found = seats(scene)
    near = Pen(face.matrix, view.grain)
    for item, seat in found.near.get(face.edge, ()):
        left, right = max(seat.span.from_mm, 0.0), min(seat.span.to_mm, face.length_mm)
        near.rect("kg", left, item.base_mm, right, min(item.top_mm, face.height_mm), 10)
    parts = [
        face_ground(face, view.grain, grid), beams_before(face, scene, view.grain), fronts_on(face, scene, view.grain),
        blocks_on(face, scene, view.grain), face_edge(face, view.grain), near.svg(), face_pipes(view, face, scene),
        _drops(face, scene, found),
    ]  # fmt: skip
    for item, seat in found.on(scene, face.edge):
        at = at_px(face.to_px((seat.at_mm, item.base_mm)), view.grain)
        parts.append(f"<g {at}>{elevation(view, face, item, seat)}</g>")
    parts.append(pipes_over(view, scene, face))
    parts.append(foot(face, view.grain, 0.8))
    return Markup("".join(parts))


def _drops(face: Face, scene: Scene, found: Seats) -> str:
    """Fine dotted lines from the edges and the middle of each hung body down to the tape under it."""
    lines = []
    for item, seat in found.on(scene, face.edge):
        if item.base_mm > 0:
            for along in body_marks(seat.span.from_mm, seat.span.to_mm):
                lines.append(line((face.to_px((along, item.base_mm)), face.to_px((along, 0.0))), PRINT.digits))
    return path("drop", "".join(lines))
