"""What goes along with a moved point of a pipe: only what keeps square stretches square, and never what is fixed."""

from collections.abc import Collection, Sequence
from math import dist

from geometry.units import DEPTH_TOLERANCE_MM, Point3


def followed(points: Sequence[Point3], index: int, at_mm: Point3, fixed: Collection[int]) -> tuple[Point3, ...]:
    """A line, ends and all, with one point moved; ``fixed`` are the numbers of points that stay.

    In each of x, y and height the points beside it follow as far as the next stretch that takes up the move by
    becoming longer or shorter. Where something fixed comes first, none of them follows in that direction.

    >>> line = [(0, 0, 0), (0, 500, 0), (900, 500, 0), (900, 0, 0)]
    >>> followed(line, 2, (900, 600, 0), {0, 3})
    ((0, 0, 0), (0, 600, 0), (900, 600, 0), (900, 0, 0))
    >>> followed(line, 2, (900, 600, 0), {0, 1, 3})
    ((0, 0, 0), (0, 500, 0), (900, 600, 0), (900, 0, 0))
    """
    new = [list(point) for point in points]
    new[index] = list(at_mm)
    for way in (-1, 1):
        for axis in range(3):
            for k in _followers(points, index, at_mm, fixed, way, axis):
                new[k][axis] += at_mm[axis] - points[index][axis]
    return tuple((x, y, z) for x, y, z in new)


def _followers(
    points: Sequence[Point3], index: int, at_mm: Point3, fixed: Collection[int], way: int, axis: int
) -> list[int]:
    """The numbers of the points that follow one way along the line, in one axis."""
    beside = index + way
    if not 0 <= beside < len(points) or at_mm[axis] == points[index][axis] or _square(points[beside], at_mm):
        return []
    found: list[int] = []
    while 0 <= beside < len(points) and _holds(points[beside - way], points[beside], axis):
        if beside in fixed:
            return []
        found.append(beside)
        beside += way
    return found


def _holds(a: Point3, b: Point3, axis: int) -> bool:
    """Whether a stretch would be pushed askew by a move of one end along the axis: it is square, and across it."""
    same = [abs(p - q) <= DEPTH_TOLERANCE_MM for p, q in zip(a, b, strict=True)]
    return same[axis] and (same[0] or same[1])


def _square(a: Point3, b: Point3) -> bool:
    """Whether two points differ along one of x, y and height, and along no other."""
    return sum(abs(p - q) > DEPTH_TOLERANCE_MM for p, q in zip(a, b, strict=True)) == 1


def without_repeats(points: Sequence[Point3], pinned: Collection[Point3]) -> tuple[Point3, ...]:
    """The inner points of a line, each place once and none where the line begins or ends; a pinned one is kept.

    >>> without_repeats([(0, 0, 0), (0, 0, 0), (9, 0, 0), (9, 0, 0), (9, 9, 0)], set())
    ((9, 0, 0),)
    """
    kept = [points[0]]
    for point in points[1:-1]:
        if dist(point, kept[-1]) > DEPTH_TOLERANCE_MM:
            kept.append(point)
        elif point in pinned and kept[-1] not in pinned:
            kept = [*(kept if len(kept) == 1 else kept[:-1]), point]
    while len(kept) > 1 and kept[-1] not in pinned and dist(kept[-1], points[-1]) <= DEPTH_TOLERANCE_MM:
        kept.pop()
    return tuple(kept[1:])
