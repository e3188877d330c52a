"""The room that somebody needs to work on kit: a pipe keeps out of it, but for the strip along a wall where pipes are.

Only the spaces that must stay clear count. One in which a pipe begins or ends cannot be kept out of: the pipe goes
down in it at once, or comes up to its outlet.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from geometry.clearing import side_probe
from geometry.kit import Space
from geometry.pipes.surroundings import KeptClear, goes_through, near_line
from geometry.route_lines import NEAR_WALL_MM
from geometry.scene import Placed, Scene
from geometry.shapes import Footprint, convex_parts, disc, hull, overlap_mm, swept
from geometry.units import DEPTH_TOLERANCE_MM, Point, Point3

_LEAST_MM2 = 1.0


def working_spaces(scene: Scene) -> tuple[KeptClear, ...]:
    """Every space that must stay clear, without what lies along a wall, in the order of the pieces."""
    found: tuple[KeptClear, ...] | None = scene.memo.get(working_spaces)
    if found is None:
        found = scene.memo[working_spaces] = tuple(part for placed in scene.placed for part in _spaces(scene, placed))
    return found


def _spaces(scene: Scene, placed: Placed) -> tuple[KeptClear, ...]:
    """Those of one piece, worked out once while it stays where it is."""
    found: tuple[KeptClear, ...] | None = placed.memo.get("spaces for pipes")
    if found is None:
        spaces = [space for space in placed.kit.space if space.need == "must" and space.mm > 0]
        found = tuple(part for space in spaces for part in _parts(scene, placed, space))
        placed.memo["spaces for pipes"] = found
    return found


def between_ends(scene: Scene, ends: Sequence[Point], radius_mm: float) -> tuple[KeptClear, ...]:
    """The spaces that a pipe between these plan points can keep out of."""
    discs, spaces = [disc(at, radius_mm) for at in ends], working_spaces(scene)
    if not spaces:
        return ()
    bounds = _bounds(scene)
    kept = np.ones(len(spaces), dtype=np.bool_)
    for at in discs:
        x0, y0, x1, y1 = at.bounds
        near = (bounds[:, 0] < x1) & (bounds[:, 2] > x0) & (bounds[:, 1] < y1) & (bounds[:, 3] > y0)
        for k in np.flatnonzero(near & kept).tolist():
            kept[k] = overlap_mm(at, spaces[k].plan) <= DEPTH_TOLERANCE_MM
    return tuple(spaces[k] for k in np.flatnonzero(kept).tolist())


def _bounds(scene: Scene) -> NDArray[np.float64]:
    """Bounds of every working space, n x 4, worked out once."""
    found: NDArray[np.float64] | None = scene.memo.get(_bounds)
    if found is None:
        found = scene.memo[_bounds] = np.array([space.plan.bounds for space in working_spaces(scene)])
    return found


def crossed(scene: Scene, points: Sequence[Point3], radius_mm: float) -> tuple[str, ...]:
    """The pieces whose working room a pipe along these points goes through, in the order of their ids.

    Of one that an end only lies beside, as at a port on the next side of a piece, its middle line has to keep out.
    """
    ends = [(x, y) for x, y, _ in (points[0], points[-1])]
    apart, beside = between_ends(scene, ends, radius_mm), between_ends(scene, ends, 0.0)
    wide = {id(space) for space in apart}
    stretches, met = list(pairwise(points)), []
    for space in near_line(beside, points, radius_mm):
        r = radius_mm if id(space) in wide else 0.0
        if any(goes_through(a, b, r, r, space) for a, b in stretches):
            met.append(space.ref)
    return tuple(dict.fromkeys(met))


def _parts(scene: Scene, placed: Placed, space: Space) -> Iterator[KeptClear]:
    probe = side_probe(placed, space.side, space.from_mm, space.to_mm)
    up = probe.direction[2]
    low, high = probe.from_mm, probe.to_mm
    if up:
        face = placed.top_mm if up > 0 else placed.base_mm
        low, high = sorted((face, face + up * space.mm))
    for part in probe.parts:
        strip = part if up else _strip(part, probe.direction, space.mm)
        for plan in _off_walls(strip, scene.room.outline_mm):
            yield KeptClear(placed.id, plan, low, high)


def _strip(part: Footprint, direction: Point3, mm: float) -> Footprint:
    """The room before one side: before a round body as wide as the body, from its middle on, with square corners."""
    if len(part.points) > 1:
        return swept(part, direction, mm)
    (x, y), (dx, dy, _), r = part.points[0], direction, part.radius_mm
    far, wx, wy = r + mm, -dy * r, dx * r
    ends = ((x - wx, y - wy), (x + wx, y + wy))
    return Footprint(hull([*ends, *((px + dx * far, py + dy * far) for px, py in ends)]))


@lru_cache(maxsize=4096)
def _off_walls(strip: Footprint, outline: tuple[Point, ...]) -> tuple[Footprint, ...]:
    """What is left of a plan shape without the strip along the walls, as convex parts."""
    inner = _inner(outline)
    if inner.contains(strip.polygon):
        return (strip,)
    left = inner.intersection(strip.polygon)
    parts = [part for part in shapely.get_parts(left) if isinstance(part, Polygon) and part.area > _LEAST_MM2]
    rings = [[(float(x), float(y)) for x, y in part.exterior.coords[:-1]] for part in parts]
    return tuple(plan for ring in rings for plan in convex_parts(ring))


@lru_cache(maxsize=64)
def _inner(outline: tuple[Point, ...]) -> BaseGeometry:
    inner = Polygon(outline).buffer(-NEAR_WALL_MM, join_style="mitre")
    shapely.prepare(inner)
    return inner
