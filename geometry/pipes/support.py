"""What a pipe can be clipped to, and how far apart: along walls, boxing, the floor and the ceiling.

>>> from geometry.samples import sample_scene
>>> scene = sample_scene([], [])
>>> longest_unclipped(scene, [(26, 900, 500), (1200, 900, 500), (1200, 30, 500)], 11)
1919.0
>>> clip_spacing(scene.pack, 22, "copper")
Spacing(level_mm=1800.0, upright_mm=2400.0, short_mm=150.0)
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import ceil, dist, hypot

import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from geometry.route_lines import NEAR_WALL_MM
from geometry.rules import RulePack
from geometry.scene import Scene
from geometry.units import DEPTH_TOLERANCE_MM, Point, Point3

HANGS = "pipe-hangs"
"""The figure for how far a pipe goes at most with nothing to be clipped to."""

_EXACTLY_MM = 1e-6


@dataclass(frozen=True)
class Spacing:
    """The most between two clips, on a level stretch and on an upright one; a shorter stretch needs none of its own."""

    level_mm: float
    upright_mm: float
    short_mm: float


def clip_spacing(pack: RulePack, size_mm: float, material: str) -> Spacing:
    """The spacing for a size: of the next smaller size in the table where it has not that one; plastic if not copper.

    >>> from geometry.rules import rule_pack
    >>> [clip_spacing(rule_pack("england"), size, "copper").level_mm for size in (15, 22, 54)]
    [1200.0, 1800.0, 2700.0]
    """
    kind = material.strip().lower()
    kinds = {row["of"] for row in pack.rows("clip-spacing")}
    rows = [row for row in pack.rows("clip-spacing") if row["of"] == (kind if kind in kinds else "plastic")]
    row = max((row for row in rows if row["size_mm"] <= size_mm), key=lambda row: row["size_mm"], default=rows[0])
    return Spacing(float(row["level_mm"]), float(row["upright_mm"]), pack.number("clip-short"))


def clips(points: Sequence[Point3], spacing: Spacing) -> int:
    """How many clips a line of points needs: one on each stretch, and one more for each spacing that it exceeds.

    >>> clips([(0, 0, 1000), (0, 0, 200), (3700, 0, 180), (3800, 0, 180)], Spacing(1800, 2400, 150))
    4
    """
    count = 0
    for a, b in pairwise(points):
        upright = hypot(b[0] - a[0], b[1] - a[1]) < abs(b[2] - a[2])
        if dist(a, b) >= spacing.short_mm:
            count += ceil(dist(a, b) / (spacing.upright_mm if upright else spacing.level_mm) - _EXACTLY_MM)
    return count


def longest_unclipped(scene: Scene, points: Sequence[Point3], radius_mm: float) -> float:
    """The longest way in plan that a pipe goes with nothing to be clipped to, in mm; measured once a line."""
    key = (longest_unclipped, tuple(points), radius_mm)
    if key not in scene.memo:
        scene.memo[key] = _longest_unclipped(scene, points, radius_mm)
    found: float = scene.memo[key]
    return found


def hangs_mm(scene: Scene, unclipped_mm: float) -> float:
    """By how much that is more than a pipe may go without a clip, in mm; 0 where it is not."""
    over = unclipped_mm - scene.pack.number(HANGS)
    return over if over > DEPTH_TOLERANCE_MM else 0.0


def _longest_unclipped(scene: Scene, points: Sequence[Point3], radius_mm: float) -> float:
    lines = [LineString([a[:2], b[:2]]) for a, b in pairwise(points) if _hangs(scene, a, b, radius_mm)]
    if not lines:
        return 0.0
    free = shapely.line_merge(shapely.union_all(lines).difference(_clippable(scene)))
    return round(max((part.length for part in shapely.get_parts(free)), default=0.0), 3)


def _hangs(scene: Scene, a: Point3, b: Point3, radius_mm: float) -> bool:
    """Whether a stretch goes along, and neither on the floor nor under the flat ceiling."""
    if hypot(b[0] - a[0], b[1] - a[1]) <= DEPTH_TOLERANCE_MM:
        return False
    on_floor = max(a[2], b[2]) - radius_mm <= NEAR_WALL_MM
    flat = scene.roof.flat_mm
    return not on_floor and (flat is None or min(a[2], b[2]) + radius_mm < flat - NEAR_WALL_MM)


def _clippable(scene: Scene) -> BaseGeometry:
    """The floor plan within reach of a wall or of something that belongs to the room."""
    return _within_reach(scene.room.outline_mm, tuple(block.area_mm for block in scene.room.fixtures))


@lru_cache(maxsize=64)
def _within_reach(outline_mm: tuple[Point, ...], fixtures: tuple[tuple[Point, ...], ...]) -> BaseGeometry:
    outline = Polygon(outline_mm)
    beyond = outline.buffer(10 * NEAR_WALL_MM, join_style="mitre")
    inner = outline.buffer(-NEAR_WALL_MM - DEPTH_TOLERANCE_MM, join_style="mitre")
    fixed = [Polygon(area).buffer(NEAR_WALL_MM, join_style="mitre") for area in fixtures]
    return shapely.union_all([beyond.difference(inner), *fixed])
