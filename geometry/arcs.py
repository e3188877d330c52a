"""Turning about a point: the angles at which a bar would meet something, in closed form.

A bar is a rectangle that turns about its near end: a handle about its nut, a door leaf about its hinge. It meets the
point of an obstacle at distance rho and bearing phi while it points to an angle between phi - up(rho) and
phi + down(rho). Where a corner of the bar slides along a straight edge that angle changes one way only, so the first
and the last angle lie at a corner of the obstacle or where an edge crosses a circle that a corner of the bar runs on.

References
----------
The slot for a swinging handle of given width: J. Rose, Modern Machine-Shop Practice, Figs 445-448.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import acos, asin, atan2, degrees, floor, hypot, inf, pi, radians, sqrt

from geometry.shapes import Footprint
from geometry.units import DEPTH_TOLERANCE_MM, Point

FULL_TURN = 2 * pi
_SAME = 1e-9
Arc = tuple[float, float]
"""From and to in radians, anticlockwise; never longer than a full turn."""


@dataclass(frozen=True)
class Bar:
    """A rectangle that turns about its near end.

    It reaches ``length_mm`` from the pivot, ``lead_mm`` to its anticlockwise side and ``trail_mm`` to the other.
    """

    length_mm: float
    lead_mm: float = 0.0
    trail_mm: float = 0.0

    @cached_property
    def reach_mm(self) -> float:
        """The circle that its farthest corner runs on."""
        return hypot(self.length_mm, max(self.lead_mm, self.trail_mm))

    @cached_property
    def least_mm(self) -> float:
        """The smallest of the circles that its corners run on."""
        return min(self.circles_mm)

    @cached_property
    def circles_mm(self) -> tuple[float, ...]:
        """Every circle that one of its corners runs on."""
        sides = (self.lead_mm, self.trail_mm)
        return tuple({r for side in sides for r in (side, hypot(self.length_mm, side)) if r > 0})


def blocked(points: Sequence[Point], radius_mm: float, bar: Bar) -> tuple[Arc, ...]:
    """The angles at which the bar would meet a convex polygon grown by a radius; the pivot is the origin.

    Nothing where the bar only grazes it, by less than rounding; a full turn where it stands round the pivot. One arc,
    or two where only the bar's square end can meet it (between those, a polygon with round corners counts as met).

    >>> [round(degrees(a)) for a in blocked([(100, 50)], 50, Bar(300))[0]]
    [0, 53]
    >>> blocked([(400, 0)], 50, Bar(300)), len(blocked([(10, 0)], 50, Bar(300)))
    ((), 1)
    """
    if len(points) == 1:
        return _by_round(points[0], radius_mm, bar)
    encloses, corners = _corners(points, radius_mm, bar)
    if not corners and not encloses:
        return ()
    length, lead, trail = bar.length_mm, bar.lead_mm, bar.trail_mm
    only_end = False
    if encloses or radius_mm or min(corner[2] for corner in corners) > length - DEPTH_TOLERANCE_MM:
        gap = pivot_gap_mm(points, radius_mm)
        if gap <= -DEPTH_TOLERANCE_MM:
            return ((-pi, pi),)
        if gap >= bar.reach_mm - DEPTH_TOLERANCE_MM:
            return ()
        only_end = gap > length and lead > 0 and trail > 0 and not radius_mm
    gx, gy = sum(x for x, _ in points), sum(y for _, y in points)
    ahead, behind, near, far = inf, -inf, -inf, inf
    for x, y, rho, round_mm in corners:
        up = _up(rho, length, lead, trail, round_mm)
        down = up if lead == trail else _up(rho, length, trail, lead, round_mm)
        if up is None or down is None:
            continue
        bearing = atan2(gx * y - gy * x, gx * x + gy * y)
        ahead, behind = min(ahead, bearing - up), max(behind, bearing + down)
        if only_end:
            end = acos(length / rho)
            near, far = max(near, bearing - end), min(far, bearing + end)
    base = atan2(gy, gx)
    if only_end and near < far:
        return (base + ahead, base + near), (base + far, base + behind)
    return ((base + ahead, base + min(behind, ahead + FULL_TURN)),) if ahead <= behind else ()


def pivot_gap_mm(points: Sequence[Point], radius_mm: float) -> float:
    """Distance from the pivot to a convex polygon grown by a radius; inside it, minus the depth.

    >>> pivot_gap_mm([(300, 400)], 275), pivot_gap_mm([(-10, -50), (90, -50), (90, 50), (-10, 50)], 0)
    (225.0, -10.0)
    """
    best, sides = inf, 0
    px, py = points[-1]
    for qx, qy in points:
        ex, ey = qx - px, qy - py
        size = ex * ex + ey * ey
        t = min(1.0, max(0.0, -(px * ex + py * ey) / size)) if size else 0.0
        best = min(best, hypot(px + t * ex, py + t * ey))
        sides += 1 if px * ey - py * ex > 0 else -1
        px, py = qx, qy
    return (-best if len(points) > 2 and abs(sides) == len(points) else best) - radius_mm


def _by_round(centre: Point, radius: float, bar: Bar) -> tuple[Arc, ...]:
    rho = hypot(*centre)
    if rho <= radius - DEPTH_TOLERANCE_MM:
        return ((-pi, pi),)
    if rho - radius >= bar.reach_mm - DEPTH_TOLERANCE_MM:
        return ()
    rho = max(rho, radius, _SAME)
    up = _up(rho, bar.length_mm, bar.lead_mm, bar.trail_mm, radius)
    down = _up(rho, bar.length_mm, bar.trail_mm, bar.lead_mm, radius)
    if up is None or down is None:
        return ()
    bearing = atan2(centre[1], centre[0])
    if rho > bar.length_mm + radius and bar.lead_mm and bar.trail_mm:
        first = _end(rho, bar.length_mm, bar.lead_mm, radius)
        second = _end(rho, bar.length_mm, bar.trail_mm, radius)
        return (bearing - up, bearing - first), (bearing + second, bearing + down)
    return ((bearing - up, bearing + down),)


def _up(rho: float, length: float, near: float, far: float, radius: float) -> float | None:
    """How far ahead of a point at distance rho the bar can be and still meet it, on the near side, grown by a radius.

    None where not even the bar's farthest corner reaches it.
    """
    side = near + radius
    if rho <= side:
        if rho * rho <= radius * radius + near * near:
            return pi / 2 + asin(min(1.0, radius / rho))
        return pi / 2 + acos(_within_one((rho * rho + near * near - radius * radius) / (2 * rho * near)))
    if rho * rho <= length * length + side * side:
        return asin(side / rho)
    corner = hypot(length, near)
    if rho <= corner + radius:
        return atan2(near, length) + _round_corner(rho, corner, radius)
    if rho * rho <= (length + radius) ** 2 + far * far:
        return -acos(_within_one((length + radius) / rho))
    corner = hypot(length, far)
    return _round_corner(rho, corner, radius) - atan2(far, length) if rho <= corner + radius else None


def _end(rho: float, length: float, near: float, radius: float) -> float:
    """The same where only the square end meets it: how far ahead the near corner has just come free."""
    if rho * rho <= (length + radius) ** 2 + near * near:
        return acos(_within_one((length + radius) / rho))
    return atan2(near, length) - _round_corner(rho, hypot(length, near), radius)


def _round_corner(rho: float, corner: float, radius: float) -> float:
    return acos(_within_one((rho * rho + corner * corner - radius * radius) / (2 * rho * corner)))


def _within_one(value: float) -> float:
    return min(1.0, max(-1.0, value))


def _corners(points: Sequence[Point], radius: float, bar: Bar) -> tuple[bool, list[tuple[float, float, float, float]]]:
    """(whether the polygon stands round the pivot, where first and last contact may be: x, y, distance, radius)."""
    found = []
    reach, sides = bar.reach_mm + radius, 0
    px, py = points[-1]
    p = sqrt(px * px + py * py)
    for qx, qy in points:
        q = sqrt(qx * qx + qy * qy)
        if _SAME < q <= reach:
            found.append((qx, qy, q, radius))
        ex, ey = qx - px, qy - py
        off = px * ey - py * ex
        sides += 1 if off > 0 else -1
        if radius:
            length = sqrt(ex * ex + ey * ey) or 1.0
            nx, ny = radius * ey / length, -radius * ex / length
            for sign in (1, -1):
                ax, ay = px + sign * nx, py + sign * ny
                found += _on_circles(bar, (ax, ay), (ex, ey), inf, inf)
        elif p > bar.least_mm or q > bar.least_mm:
            found += _on_circles(bar, (px, py), (ex, ey), p, q)
        px, py, p = qx, qy, q
    return len(points) > 2 and abs(sides) == len(points), found


def _on_circles(
    bar: Bar, start: Point, edge: Point, from_mm: float, to_mm: float
) -> list[tuple[float, float, float, float]]:
    """Where an edge crosses a circle that a corner of the bar runs on; its ends are that far from the pivot."""
    (x, y), (ex, ey) = start, edge
    size = ex * ex + ey * ey
    off = (x * ey - y * ex) ** 2
    found = []
    for circle in bar.circles_mm:
        square = circle * circle
        if off >= square * size or (from_mm <= circle and to_mm <= circle):
            continue
        along = -(x * ex + y * ey)
        half = sqrt(square * size - off)
        for t in ((along - half) / size, (along + half) / size):
            if 0 < t < 1:
                found.append((x + t * ex, y + t * ey, circle, 0.0))
    return found


@dataclass(frozen=True)
class Gap:
    """A free arc in radians, and the numbers of what bounds it: at its start and at its end (None: nothing)."""

    start: float
    stop: float
    after: int | None = None
    before: int | None = None

    @property
    def deg(self) -> float:
        """Its size in degrees."""
        return degrees(self.stop - self.start)


def gaps(arcs: Sequence[tuple[float, float, int]]) -> tuple[Gap, ...]:
    """What is left of a full turn between blocked arcs (from, to, number of what blocks), in order.

    >>> [(round(g.deg), g.after, g.before) for g in gaps([(0.0, pi / 2, 0), (pi, 1.5 * pi, 1), (0.1, 0.2, 2)])]
    [(90, 1, 0), (90, 0, 1)]
    >>> gaps([])[0].deg
    360.0
    """
    if not arcs:
        return (Gap(0.0, FULL_TURN),)
    turned = sorted((start % FULL_TURN, start % FULL_TURN + stop - start, number) for start, stop, number in arcs)
    last, number = max((stop - FULL_TURN, number) for _, stop, number in turned)
    found = []
    for start, stop, ahead in turned:
        if start > last + _SAME:
            found.append(Gap(last, start, number, ahead))
        if stop > last:
            last, number = stop, ahead
    return tuple(found)


def first_angle(arcs: Sequence[Arc]) -> float | None:
    """The least angle of a half turn, in radians, at which a bar that starts at 0 is stopped; None: never."""
    best: float | None = None
    for start, stop in arcs:
        begin = start % FULL_TURN
        if begin + stop - start > FULL_TURN + _SAME:
            return 0.0
        if begin <= pi and (best is None or begin < best):
            best = begin
    return best


def leaf_angle(obstacle: Footprint, length_mm: float, lead_mm: float = 0.0) -> float:
    """How far a leaf opens before it meets an obstacle, in degrees, at most 180.

    The hinge is the origin; the shut leaf lies along +x and opens towards +y. Its opening face passes through the
    hinge, or ``lead_mm`` ahead of it (a handle, or thickness on that side).

    >>> from geometry.shapes import box
    >>> round(leaf_angle(box(200, 300, 600, 900), 762), 6)
    26.565051
    >>> leaf_angle(box(600, 600, 1000, 1000), 762)
    180.0
    """
    angle = first_angle(blocked(obstacle.points, obstacle.radius_mm, Bar(length_mm, lead_mm)))
    return 180.0 if angle is None else degrees(angle)


def swept_area_mm2(width_mm: float, thick_mm: float = 0.0, angle_deg: float = 90.0) -> float:
    """Floor that a hinged leaf of some thickness sweeps, itself included.

    >>> round(swept_area_mm2(762) / 1e6, 6), round(swept_area_mm2(762, 35) / 1e6, 6)
    (0.456037, 0.483669)
    """
    return (width_mm**2 + thick_mm**2) * radians(angle_deg) / 2 + width_mm * thick_mm


def deg_text(angle_deg: float) -> str:
    """An angle for people, in whole degrees, never rounded up; below one degree to a tenth.

    >>> deg_text(61.9275), deg_text(89.97), deg_text(90.0), deg_text(0.47)
    ('61', '89', '90', '0.4')
    """
    if angle_deg >= 1:
        return f"{floor(angle_deg + 1e-6)}"
    return f"{floor(angle_deg * 10 + 1e-6) / 10:g}"
