"""Which of two solids hides which, and an order to paint them in: far ones first.

Two upright convex solids that do not share space can be parted by a level plane or an upright one. The solid on the
reader's side of such a plane is never hidden by the other. Where two planes disagree no line of sight meets both, so
either order will do.

References
----------
Separating axes: C. Ericson, Real-Time Collision Detection (2005), section 5.2.1.
Painting far to near by such an order: M. E. Newell, R. G. Newell, T. L. Sancha, A solution to the hidden surface
problem (1972).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import hypot

import shapely
from shapely.geometry import Polygon

from geometry.shapes import Footprint, separation
from geometry.units import DEPTH_TOLERANCE_MM, Point
from server.drawing.corner_eye import Eye

SHARED_PX2 = 0.05
"""Outlines that share less paper than this do not hide each other."""


@dataclass(frozen=True)
class Body:
    """An upright convex solid to be painted, and whatever the painter wants to know about it."""

    plan: Footprint
    from_mm: float
    to_mm: float
    kind: str = "kit"
    owner: str = ""

    @cached_property
    def ring_mm(self) -> tuple[Point, ...]:
        """The plan as a ring of points; a round plan as a polygon that encloses it."""
        if self.plan.radius_mm == 0:
            return self.plan.points
        return tuple((float(x), float(y)) for x, y in self.plan.polygon.exterior.coords[:-1])


def in_front(a: Body, b: Body, eye: Eye) -> int:
    """1 where ``b`` may hide ``a``, -1 where ``a`` may hide ``b``, 0 where neither hides the other or both do."""
    signs = set(_plan_signs(a.plan, b.plan, eye))
    if a.to_mm <= b.from_mm + DEPTH_TOLERANCE_MM:
        signs.add(1)
    if b.to_mm <= a.from_mm + DEPTH_TOLERANCE_MM:
        signs.add(-1)
    if signs in ({1}, {-1}):
        return signs.pop()
    return 0 if signs else _nearer(a, b, eye)


def _plan_signs(a: Footprint, b: Footprint, eye: Eye) -> list[int]:
    """For each upright plane that parts the plans: 1 where ``b`` is on the reader's side, -1 for ``a``, 0 edge on."""
    found = []
    for nx, ny in _axes(a, b):
        if a.reach((nx, ny)) > -b.reach((-nx, -ny)) + DEPTH_TOLERANCE_MM:
            continue
        towards = -(nx * eye.away[0] + ny * eye.away[1])
        found.append(0 if abs(towards) < 1e-9 else 1 if towards > 0 else -1)
    return found


def _axes(a: Footprint, b: Footprint) -> list[Point]:
    """Unit directions that may part two convex plans: their sides, and the shortest way from one to the other."""
    apart = separation(a, b).move_mm
    sides = [*_normals(a), *_normals(b), apart]
    units = [(x / length, y / length) for x, y in sides if (length := hypot(x, y)) > 1e-9]
    return [*units, *((-x, -y) for x, y in units)]


def _normals(plan: Footprint) -> list[Point]:
    n = len(plan.points)
    pairs = [(plan.points[i], plan.points[(i + 1) % n]) for i in range(n)] if n > 1 else []
    return [(q[1] - p[1], p[0] - q[0]) for p, q in pairs]


def _nearer(a: Body, b: Body, eye: Eye) -> int:
    """For solids that share space there is no right order: the nearer middle goes on top."""
    near = [eye.nearness((*body.plan.centre, (body.from_mm + body.to_mm) / 2)) for body in (a, b)]
    return 0 if near[0] == near[1] else 1 if near[0] < near[1] else -1


def painting_order(bodies: Sequence[Body], eye: Eye) -> list[Body]:
    """The bodies, far ones first. A ring of three that hide one another in turn is broken at its farthest."""
    behind = _behind(bodies, eye)
    waiting = dict.fromkeys(sorted(range(len(bodies)), key=lambda i: _depth(bodies[i], eye)))
    ordered: list[Body] = []
    while waiting:
        free = next((i for i in waiting if behind[i].isdisjoint(waiting)), next(iter(waiting)))
        del waiting[free]
        ordered.append(bodies[free])
    return ordered


def _behind(bodies: Sequence[Body], eye: Eye) -> list[set[int]]:
    """For each body, those that it may hide and that therefore have to be painted before it."""
    outlines = [Polygon(eye.outline_px(body.ring_mm, body.from_mm, body.to_mm)) for body in bodies]
    behind: list[set[int]] = [set() for _ in bodies]
    for i, j in _pairs_that_meet(outlines):
        hides = in_front(bodies[i], bodies[j], eye)
        if hides:
            behind[j if hides > 0 else i].add(i if hides > 0 else j)
    return behind


def _pairs_that_meet(outlines: Sequence[Polygon]) -> list[tuple[int, int]]:
    """Pairs whose outlines share paper."""
    first, second = shapely.STRtree(outlines).query(outlines, predicate="intersects")
    pairs = [(i, j) for i, j in zip(first.tolist(), second.tolist(), strict=True) if i < j]
    return [(i, j) for i, j in pairs if outlines[i].intersection(outlines[j]).area > SHARED_PX2]


def _depth(body: Body, eye: Eye) -> tuple[float, float, str]:
    x, y = body.plan.centre
    return (eye.nearness((x, y, (body.from_mm + body.to_mm) / 2)), body.from_mm, body.owner)
