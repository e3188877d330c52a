"""What is written beside the pipes: size and letter, and on a wall the heights of both ends; clear of names."""

from collections.abc import Iterable, Iterator
from itertools import pairwise

from geometry.pipes.line import Route
from geometry.pipes.runs import PipeRun, pipe_runs
from geometry.scene import Scene
from geometry.units import Point, Point3
from server.drawing.labels import Board, Label, label_size
from server.drawing.pipe_looks import short_size
from server.drawing.pipes import Line, course, face_lines, length_px, plan_lines
from server.drawing.room_labels import TEXT_AIR, wall_boxes
from server.drawing.svg import Box, Grain, bounds, mm_text
from server.drawing.unfold import Face, Unfolded, outer_ring

_CROWDED = 0.12
"""Pipes are written on only where that costs next to nothing: the schedule has every figure."""

_GAP, _AIR = 0.45, 2.0


def pipe_labels(
    view: Unfolded, scene: Scene, faces: Iterable[Face], taken: Iterable[Box], kit: Iterable[Box] = (),
    told: Iterable[Point] = (),
) -> list[Label]:  # fmt: skip
    """All labels of pipes, clear of the text that is there already, and of the kit as far as there is room.

    An end that lies at one of the points ``told`` has its height told elsewhere.
    """
    every, known = list(faces), list(told)
    soft = [*_line_boxes(view, scene, every), *kit]
    air = TEXT_AIR * view.grain.line
    hard = [(x0 - air, y0 - air, x1 + air, y1 + air) for x0, y0, x1, y1 in taken]
    board = Board([*hard, *wall_boxes(view, scene)], soft, _whole(view, scene, every), air)
    runs = [run for run in pipe_runs(scene) if isinstance(run.route, Route)]
    found: list[Label] = []
    for run in runs:
        if view.shows_plan:
            found += _named(board, run, plan_lines(view, scene, run), view.grain)
        for face in every:
            found += _named(board, run, face_lines(face, scene, run), view.grain)
    for run in runs:
        for face in every:
            found += _heights(board, face, course(scene, run), face_lines(face, scene, run), view.grain, known)
    return found


def _whole(view: Unfolded, scene: Scene, faces: list[Face]) -> Box:
    """Where words may be: the plan with its walls, or a wall, where it stands alone; else the whole drawing."""
    if not faces:
        return bounds([view.plan.to_px(point) for point in outer_ring(scene.edges)])
    alone = len(faces) == 1 and not view.shows_plan
    return faces[0].box if alone else (0.0, 0.0, view.width_px, view.height_px)


def _line_boxes(view: Unfolded, scene: Scene, faces: list[Face]) -> list[Box]:
    """The stretches of all pipes with some air, for words that had better not lie on them."""
    air = _AIR * view.grain.line
    lines = [one for run in pipe_runs(scene) for face in faces for one in face_lines(face, scene, run)]
    if view.shows_plan:
        lines += [one for run in pipe_runs(scene) for one in plan_lines(view, scene, run)]
    boxes = [bounds(pair) for one in lines for pair in pairwise(one)]
    return [(x0 - air, y0 - air, x1 + air, y1 + air) for x0, y0, x1, y1 in boxes]


def _named(board: Board, run: PipeRun, lines: list[Line], grain: Grain) -> list[Label]:
    """Size and letter beside a stretch of the run, the longest first."""
    words, size = short_size(run), grain.dim
    stretches = sorted((pair for one in lines for pair in pairwise(one)), key=lambda p: -round(length_px(p), 3))
    places = (Label((words,), at, size, "pd halo") for a, b in stretches[:3] for at in _beside(a, b, words, size))
    label = board.place(places, worst=_CROWDED)
    return [label] if label else []


def _beside(a: Point, b: Point, words: str, size: float) -> Iterator[Point]:
    """Middle points for words beside a stretch, on both sides, from its middle outwards."""
    wide, high = label_size((words,), size)
    level = abs(b[0] - a[0]) >= abs(b[1] - a[1])
    off = (0.0, high / 2 + _GAP * size) if level else (wide / 2 + _GAP * size, 0.0)
    for share in (0.5, 0.3, 0.7, 0.12, 0.88):
        x, y = a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])
        for way in (-1, 1):
            yield x + way * off[0], y + way * off[1]


def _heights(
    board: Board, face: Face, points: tuple[Point3, ...], lines: list[Line], grain: Grain, told: list[Point]
) -> list[Label]:
    """The height of each end that this wall shows."""
    found = []
    ends = {round(x, 3): (x, y) for one in lines for x, y in (one[0], one[-1])}
    for point in (points[0], points[-1]):
        along, _ = face.wall.measure((point[0], point[1]))
        at = face.to_px((face.length_mm - along, point[2]))
        if any(_same(at, other, grain) for other in ends.values()) and not any(_same(at, one, grain) for one in told):
            label = board.place(_round(at, mm_text(point[2]), grain.dim), worst=_CROWDED)
            found += [label] if label else []
    return found


def _same(one: Point, other: Point, grain: Grain) -> bool:
    return abs(one[0] - other[0]) + abs(one[1] - other[1]) < grain.line


def _round(at: Point, words: str, size: float) -> Iterator[Label]:
    """Places round the end of a pipe."""
    wide, high = label_size((words,), size)
    right, down = wide / 2 + _GAP * size, high / 2 + _GAP * size
    for dx, dy in ((right, 0.0), (-right, 0.0), (right, down), (-right, down), (right, -down), (-right, -down)):
        yield Label((words,), (at[0] + dx, at[1] + dy), size, "dim halo")
