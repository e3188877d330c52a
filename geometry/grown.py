"""Plan shapes grown by what is to pass them, many at once: what is left is where the middle of it may be.

Discs are taken as polygons with sides that touch the circle. *Enclosing* ones stand outside it, by at most
``r (1 / cos(pi / 4n) - 1)`` for n sides a quarter (0.30 mm at 250 mm and 16, 0.08 mm at 32), and only round corners:
straight sides are exact. *Inscribed* ones stand inside it by as much.
"""

from collections.abc import Callable, Sequence
from functools import lru_cache
from math import ceil, cos, pi

import numpy as np
import shapely
from numpy.typing import NDArray

from geometry.shapes import Footprint
from geometry.units import Point

Shapes = NDArray[np.object_]
Numbers = NDArray[np.float64]
QUARTER_SIDES = 16


def grown(plans: Sequence[Footprint], radius_mm: float, sides: int = QUARTER_SIDES) -> Shapes:
    """Each plan grown by a radius, round corners enclosed.

    >>> from geometry.shapes import box, disc
    >>> [round(shape.bounds[2], 3) for shape in grown([box(0, 0, 100, 100), disc((0, 0), 50)], 250)]
    [350.0, 300.0]
    """
    return _each(plans, lambda cores, radii: _rounded(cores, radii + radius_mm, sides))


def sums(
    plans: Sequence[Footprint], corners: Sequence[Point], *, enclosing: bool, sides: int = QUARTER_SIDES
) -> Shapes:
    """Where the origin of a convex shape, not turning, meets each plan: the plan grown by the shape turned over."""
    shape = np.asarray(corners, dtype=np.float64)
    ring = _ring(sides) if enclosing else _ring(sides) * cos(pi / (4 * sides))

    def hulls(cores: Numbers, radii: Numbers) -> Shapes:
        spread = (cores[:, :, None, :] - shape[None, None, :, :]).reshape(len(cores), -1, 2)
        if radii.any():
            spread = (spread[:, :, None, :] + radii[:, None, None, None] * ring).reshape(len(cores), -1, 2)
        return np.asarray(shapely.convex_hull(_scattered(spread)))

    return _each(plans, hulls)


def _each(plans: Sequence[Footprint], make: Callable[[Numbers, Numbers], Shapes]) -> Shapes:
    """Shapes of the same number of points made together, and put back in their order."""
    groups: dict[tuple[int, bool], list[int]] = {}
    for i, plan in enumerate(plans):
        groups.setdefault((len(plan.points), plan.radius_mm > 0), []).append(i)
    found = np.empty(len(plans), dtype=object)
    for places in groups.values():
        cores = np.array([plans[i].points for i in places], dtype=np.float64)
        found[places] = make(cores, np.array([plans[i].radius_mm for i in places]))
    return found


def _rounded(cores: Numbers, radii: Numbers, sides: int) -> Shapes:
    """Convex polygons, anticlockwise, with an arc at each corner from the one side's normal to the next."""
    count = cores.shape[1]
    if count == 1:
        return np.asarray(shapely.polygons(cores + radii[:, None, None] * _ring(sides)))
    along = np.roll(cores, -1, axis=1) - cores
    after = np.arctan2(-along[:, :, 0], along[:, :, 1])
    turn = np.mod(after - np.roll(after, 1, axis=1), 2 * pi)
    pieces = sides * ceil(float(turn.max()) / (pi / 2) - 1e-9)
    angles = after[:, :, None] - turn[:, :, None] * (1 - (np.arange(pieces) + 0.5) / pieces)
    out = radii[:, None, None] / np.cos(turn[:, :, None] / (2 * pieces))
    ring = np.stack([np.cos(angles) * out, np.sin(angles) * out], axis=-1)
    return np.asarray(shapely.polygons((cores[:, :, None, :] + ring).reshape(len(cores), -1, 2)))


@lru_cache(maxsize=8)
def _ring(sides: int) -> Numbers:
    """A polygon about the unit circle, one of its sides touching it on each axis."""
    angles = (np.arange(4 * sides) + 0.5) * pi / 2 / sides
    return np.column_stack([np.cos(angles), np.sin(angles)]) / cos(pi / (4 * sides))


def _scattered(spread: Numbers) -> Shapes:
    many, count = spread.shape[:2]
    points = np.asarray(shapely.points(spread.reshape(-1, 2)))
    return np.asarray(shapely.multipoints(points, indices=np.repeat(np.arange(many), count)))
