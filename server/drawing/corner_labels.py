"""Names on the things themselves in the corner view, or beside them with a fine leader where they are too small.

The faces are laid on a coarse grid of paper in the order in which they were painted, so that every cell knows which
face is seen there. A name goes where its whole box lies on one face of its own piece; failing that, on empty paper.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np
import shapely
from markupsafe import Markup
from numpy.typing import NDArray
from shapely.geometry import Polygon

from geometry.units import Point
from server.drawing.corner_faces import Face

CELL_PX = 4.0
TEXT_PX = 15.0
LINE_PX = 16.0
_LETTER_WIDTHS = {"ijlIJ .,'’": 0.32, "frst-": 0.4, "mw": 0.8, "MW": 0.98}
_CAPITAL, _LETTER = 0.76, 0.54
"""Widths over the size of the type, measured in the font (Ysabeau Office 500) and rounded up."""
_CROSSING = 4.0
"""How much longer a leader may be for each length of it that runs over another thing."""
_STEPS = 40


@dataclass(frozen=True)
class Label:
    """A name in its place: the lines, the middle of its box, and the point that a leader starts from, if any."""

    owner: str
    lines: tuple[str, ...]
    at_px: Point
    from_px: Point | None = None

    @property
    def box_px(self) -> tuple[float, float, float, float]:
        """(left, top, right, bottom) of the text."""
        w, h = size(self.lines)
        return (self.at_px[0] - w / 2, self.at_px[1] - h / 2, self.at_px[0] + w / 2, self.at_px[1] + h / 2)

    @property
    def svg(self) -> Markup:
        """The text, and its leader with a dot on the thing."""
        x, top = self.at_px[0], self.box_px[1]
        parts = [self._leader()] if self.from_px else []
        for i, words in enumerate(self.lines):
            y = top + LINE_PX * (i + 0.78)
            parts.append(Markup('<text class="name" x="{:.1f}" y="{:.1f}">{}</text>').format(x, y, words))
        return Markup("").join(parts)

    def _leader(self) -> Markup:
        assert self.from_px is not None
        (x, y), (left, _, right, _) = self.from_px, self.box_px
        end = left - 3 if x < left else right + 3 if x > right else self.at_px[0]
        level = self.at_px[1]
        if left <= x <= right:
            level += (LINE_PX * len(self.lines) / 2 + 1) * (1 if y > level else -1)
        dot = Markup('<circle class="dot" cx="{:.1f}" cy="{:.1f}" r="2"/>').format(x, y)
        return Markup('<path class="leader" d="M{:.1f},{:.1f} L{:.1f},{:.1f}"/>').format(x, y, end, level) + dot


def size(lines: Sequence[str]) -> Point:
    """Width and height in px that the lines take."""
    return max(wide_px(words) for words in lines) + 6, LINE_PX * len(lines) + 2


def wide_px(words: str) -> float:
    """Width of a line of text.

    >>> round(wide_px("Water pump"))
    84
    """
    return sum(_letter_width(letter) for letter in words) * TEXT_PX


def _letter_width(letter: str) -> float:
    for letters, width in _LETTER_WIDTHS.items():
        if letter in letters:
            return width
    return _CAPITAL if letter.isupper() else _LETTER


def splits(name: str) -> list[tuple[str, ...]]:
    """Ways to write a name, fewest lines first: whole, then broken in two where the halves are most alike.

    >>> splits("hot water cylinder")
    [('hot water cylinder',), ('hot water', 'cylinder')]
    """
    words = name.split()
    halves = [(" ".join(words[:i]), " ".join(words[i:])) for i in range(1, len(words))]
    halves.sort(key=lambda pair: max(len(pair[0]), len(pair[1])))
    return [(name,), *halves[:1]]


class Paper:
    """The grid of cells, and what is seen in each."""

    def __init__(self, faces: Sequence[Face], width_px: float, height_px: float) -> None:
        self.faces = list(faces)
        self.size_px = (width_px, height_px)
        shape = (ceil(height_px / CELL_PX), ceil(width_px / CELL_PX))
        self.seen: NDArray[np.int32] = np.full(shape, -1, dtype=np.int32)
        self.taken: NDArray[np.bool_] = np.zeros(shape, dtype=np.bool_)
        self.rows = (np.arange(shape[0]) + 0.5) * CELL_PX
        self.columns = (np.arange(shape[1]) + 0.5) * CELL_PX
        for number, face in enumerate(self.faces):
            self._lay(number, face)

    def _lay(self, number: int, face: Face) -> None:
        xs, ys = [p[0] for p in face.outline_px], [p[1] for p in face.outline_px]
        left, right = np.searchsorted(self.columns, [min(xs), max(xs)])
        top, bottom = np.searchsorted(self.rows, [min(ys), max(ys)])
        if left == right or top == bottom:
            return
        x, y = np.meshgrid(self.columns[left:right], self.rows[top:bottom])
        inside = shapely.contains_xy(Polygon(face.outline_px), x, y)
        self.seen[top:bottom, left:right][inside] = number

    def cells(self, owner: str) -> NDArray[np.bool_]:
        """The cells in which something of an owner is seen."""
        own = [number for number, face in enumerate(self.faces) if face.owner == owner]
        return np.isin(self.seen, own)

    def free_cells(self, number: int) -> NDArray[np.bool_]:
        """The cells in which one face is seen and no name stands."""
        free: NDArray[np.bool_] = (self.seen == number) & ~self.taken
        return free

    def middle(self, cells: NDArray[np.bool_]) -> Point | None:
        """The cell nearest to the middle of a set of cells, in px."""
        at = np.argwhere(cells)
        if not len(at):
            return None
        row, column = at[np.argmin(((at - at.mean(axis=0)) ** 2).sum(axis=1))]
        return float(self.columns[column]), float(self.rows[row])

    def boxes(self, cells: NDArray[np.bool_], box_px: Point) -> NDArray[np.float64]:
        """Middles (n x 2, px) of every box of this size whose cells are all in the set."""
        w, h = ceil(box_px[0] / CELL_PX), ceil(box_px[1] / CELL_PX)
        sums = np.zeros((cells.shape[0] + 1, cells.shape[1] + 1), dtype=np.int64)
        sums[1:, 1:] = cells.cumsum(axis=0).cumsum(axis=1)
        if h > cells.shape[0] or w > cells.shape[1]:
            return np.empty((0, 2))
        full = sums[h:, w:] - sums[:-h, w:] - sums[h:, :-w] + sums[:-h, :-w] == w * h
        at = np.argwhere(full)
        return np.column_stack([(at[:, 1] + w / 2) * CELL_PX, (at[:, 0] + h / 2) * CELL_PX])

    def take(self, label: Label) -> None:
        """No other name may stand where this one or its leader stands."""
        left, top, right, bottom = (int(v // CELL_PX) for v in label.box_px)
        self.taken[max(0, top) : bottom + 1, max(0, left) : right + 1] = True
        if label.from_px:
            box = np.array(label.box_px)
            end = np.clip(np.array(label.from_px), box[:2], box[2:])
            rows, columns = self.along(label.from_px, end[None, :])
            self.taken[rows[3:], columns[3:]] = True

    def along(self, start: Point, ends: NDArray[np.float64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """Rows and columns of the cells on the way from a point to each of some ends (n x 2, px)."""
        steps = np.linspace(0.0, 1.0, _STEPS)[:, None]
        columns = ((start[0] + (ends[:, 0] - start[0]) * steps) / CELL_PX).astype(np.int64)
        rows = ((start[1] + (ends[:, 1] - start[1]) * steps) / CELL_PX).astype(np.int64)
        return rows.clip(0, self.seen.shape[0] - 1), columns.clip(0, self.seen.shape[1] - 1)


def place_labels(paper: Paper, names: Sequence[tuple[str, str]]) -> list[Label]:
    """A place for each (owner, name): first those that fit on their own thing, then the others, nearest first.

    A thing of which nothing is seen gets no name.
    """
    labels, waiting = [], []
    for owner, name in names:
        label = _on_itself(paper, owner, name)
        if label:
            paper.take(label)
            labels.append(label)
        else:
            waiting.append((owner, name))
    for owner, name in waiting:
        label = _beside(paper, owner, name)
        if label:
            paper.take(label)
            labels.append(label)
    return labels


def _on_itself(paper: Paper, owner: str, name: str) -> Label | None:
    for lines in splits(name):
        found = [place for number, face in enumerate(paper.faces) if face.owner == owner
                 for place in _on_face(paper, number, lines)]  # fmt: skip
        if found:
            return Label(owner, lines, min(found)[1])
    return None


def _on_face(paper: Paper, number: int, lines: tuple[str, ...]) -> list[tuple[float, Point]]:
    """The box on one face nearest to the middle of what is seen of it; larger faces come first."""
    cells = paper.free_cells(number)
    wide, high = size(lines)
    if cells.sum() * CELL_PX**2 < wide * high:
        return []
    middle, boxes = paper.middle(cells), paper.boxes(cells, (wide, high))
    if middle is None or not len(boxes):
        return []
    off = np.hypot(boxes[:, 0] - middle[0], 1.5 * (boxes[:, 1] - middle[1]))
    best = int(np.argmin(off))
    return [(float(off[best]) - 0.02 * float(cells.sum()), (float(boxes[best, 0]), float(boxes[best, 1])))]


def _beside(paper: Paper, owner: str, name: str) -> Label | None:
    own = paper.cells(owner)
    start = paper.middle(own)
    if start is None:
        return None
    found = []
    for lines in splits(name):
        boxes = paper.boxes((paper.seen < 0) & ~paper.taken, size(lines))
        if len(boxes):
            costs = _costs(paper, start, boxes, size(lines), own) + 8.0 * len(lines)
            best = int(np.argmin(costs))
            at = (float(boxes[best, 0]), float(boxes[best, 1]))
            found.append((float(costs[best]), Label(owner, lines, at, start)))
    return min(found, key=lambda pair: pair[0])[1] if found else None


def _costs(
    paper: Paper, start: Point, boxes: NDArray[np.float64], box_px: Point, own: NDArray[np.bool_]
) -> NDArray[np.float64]:
    """Length of the leader to each box, and more where it runs over other things or other names."""
    half = np.array(box_px) / 2
    ends = np.clip(np.array(start), boxes - half, boxes + half)
    rows, columns = paper.along(start, ends)
    other = ((paper.seen >= 0) & ~own) | paper.taken
    crossed = other[rows, columns].mean(axis=0)
    length = np.hypot(ends[:, 0] - start[0], ends[:, 1] - start[1])
    costs: NDArray[np.float64] = length * (1.0 + _CROSSING * crossed)
    return costs
