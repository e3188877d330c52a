"""Boxes square to the room, and what they leave free of a frame."""

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

Box4 = tuple[float, float, float, float]
Ring = list[tuple[float, float]]
_DECIMALS = 6
"""Of a millimetre: boxes nearer to each other than that touch."""


def left_free(frame: Box4, boxes: Sequence[Box4]) -> list[Polygon]:
    """What boxes leave of a frame (min x, min y, max x, max y): each free part, its islands cut out.

    As the difference of the frame and the union of the boxes is, and some times sooner known: every edge is square.

    >>> [part.area for part in left_free((0, 0, 3, 3), [(1, 0, 2, 3)])]
    [3.0, 3.0]
    """
    xs, ys, free = _cells(frame, boxes)
    around = free[1:, 1:].astype(np.int8) + free[1:, :-1] + free[:-1, 1:] + free[:-1, :-1]
    touching = (around == 2) & (free[1:, 1:] == free[:-1, :-1])
    if touching.any():
        found = shapely.box(*frame).difference(shapely.union_all(shapely.box(*np.array(boxes).T)))
        return [part for part in shapely.get_parts(found) if part.area > 0]
    rows, columns = np.nonzero(around % 2)
    shells: list[Ring] = []
    islands: list[Ring] = []
    for ring in _rings(rows, columns):
        first = min(ring, key=lambda k: (rows[k], columns[k]))
        inside_is_free = free[rows[first] + 1, columns[first] + 1]
        (shells if inside_is_free else islands).append([(float(xs[columns[k]]), float(ys[rows[k]])) for k in ring])
    return _with_islands(shells, islands)


def _cells(frame: Box4, boxes: Sequence[Box4]) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.bool_]]:
    """Every x and every y at which something begins or ends, and which cells between are free; a rim that is not."""
    x0, y0, x1, y1 = frame
    given = np.round(np.array(boxes, dtype=np.float64).reshape(-1, 4), _DECIMALS)
    every = np.clip(given, (x0, y0, x0, y0), (x1, y1, x1, y1))
    xs, ys = np.unique([x0, x1, *every[:, 0], *every[:, 2]]), np.unique([y0, y1, *every[:, 1], *every[:, 3]])
    free = np.zeros((len(ys) + 1, len(xs) + 1), dtype=np.bool_)
    free[1:-1, 1:-1] = True
    left, right = (np.searchsorted(xs, every[:, k]) + 1 for k in (0, 2))
    low, high = (np.searchsorted(ys, every[:, k]) + 1 for k in (1, 3))
    for a, b, c, d in zip(low.tolist(), high.tolist(), left.tolist(), right.tolist(), strict=True):
        free[a:b, c:d] = False
    return xs, ys, free


def _rings(rows: NDArray[np.intp], columns: NDArray[np.intp]) -> Iterator[list[int]]:
    """Corners linked to rings: along each row, and up each column, every two that follow each other share an edge."""
    partners = []
    for order in (np.lexsort((columns, rows)), np.lexsort((rows, columns))):
        other = np.empty_like(order)
        other[order[::2]], other[order[1::2]] = order[1::2], order[::2]
        partners.append(other.tolist())
    along, up = partners
    left = set(range(len(rows)))
    while left:
        start = corner = min(left)
        ring: list[int] = []
        while not ring or corner != start:
            ring += [corner, along[corner]]
            corner = up[along[corner]]
        left.difference_update(ring)
        yield ring


def _with_islands(shells: list[Ring], islands: list[Ring]) -> list[Polygon]:
    """Each shell with the islands that lie in it and in no smaller one."""
    by_size = sorted(shells, key=lambda ring: Polygon(ring).area)
    held: list[list[Ring]] = [[] for _ in by_size]
    for island in islands:
        home = next(i for i, ring in enumerate(by_size) if len(by_size) == 1 or Polygon(ring).covers(Polygon(island)))
        held[home].append(island)
    return [Polygon(ring, holes) for ring, holes in zip(by_size, held, strict=True)]
