"""How far one plan shape slides in a straight line before it meets another, exactly.

Worked in the axes of the slide: ``s`` along it, ``side`` across it, so that the answer is a span of ``s``. A shape with
a straight leading side is met in the strip that it sweeps; any other where the difference of the two shapes begins.
"""

from math import hypot, inf, sqrt

from geometry.shapes import Footprint, hull
from geometry.units import DEPTH_TOLERANCE_MM, SAME_MM, Point


def slide_mm(a: Footprint, b: Footprint, direction: Point) -> float | None:
    """How far ``a`` can slide along a unit direction before it meets ``b``; None if it never does.

    Shapes that only brush past each other (less than the depth tolerance sideways) do not meet. A shape that is
    already met gives 0; one that lies wholly behind the leading side gives None.

    >>> from geometry.shapes import box, disc
    >>> slide_mm(box(0, 0, 100, 100), box(50, 400, 150, 500), (0, 1))
    300
    >>> slide_mm(box(0, 0, 100, 100), box(100, 400, 150, 500), (0, 1)) is None
    True
    >>> round(slide_mm(disc((0, 0), 275), box(-100, 500, 100, 600), (0, 1)), 6)
    225.0
    """
    ux, uy = direction
    front = [(x * ux + y * uy, y * ux - x * uy) for x, y in a.points]
    other = [(x * ux + y * uy, y * ux - x * uy) for x, y in b.points]
    low, high = min(side for _, side in front) - a.radius_mm, max(side for _, side in front) + a.radius_mm
    if _shared_width(other, b.radius_mm, low, high) <= DEPTH_TOLERANCE_MM:
        return None
    flat = a.radius_mm == 0 and _is_flat(front)
    if flat:
        return _strip_entry(other, b.radius_mm, low, high, max(s for s, _ in front))
    return _rounded_entry(front, a.radius_mm, other, b.radius_mm)


def _shared_width(points: list[Point], radius: float, low: float, high: float) -> float:
    lowest, highest = min(side for _, side in points) - radius, max(side for _, side in points) + radius
    return min(high, highest) - max(low, lowest)


def _is_flat(front: list[Point]) -> bool:
    """Whether the leading side is one straight edge square to the way it slides, as wide as the shape."""
    far = max(s for s, _ in front)
    leading = [side for s, side in front if far - s < 1e-9]
    widths = [side for _, side in front]
    return max(leading) - min(leading) >= max(widths) - min(widths) - 1e-9


def _strip_entry(points: list[Point], radius: float, low: float, high: float, start: float) -> float | None:
    near, far = _span_in_strip(points, radius, low, high)
    return None if far - start <= DEPTH_TOLERANCE_MM else max(0.0, near - start)


def _span_in_strip(points: list[Point], radius: float, low: float, high: float) -> tuple[float, float]:
    """Nearest and farthest reach, along the slide, of a grown polygon inside a strip."""
    if radius == 0:
        return _corners_in_strip(points, low, high)
    near, far = inf, -inf
    n = len(points)
    for i in range(n):
        (s, side), (s2, side2) = points[i], points[(i + 1) % n]
        if low <= side <= high:
            near, far = min(near, s - radius), max(far, s + radius)
        for edge in (low, high):
            if abs(edge - side) < radius:
                half = sqrt(radius**2 - (edge - side) ** 2)
                near, far = min(near, s - half), max(far, s + half)
        if n > 1:
            for a, b in _offset_edges((s, side), (s2, side2), radius):
                for at in _crossings(a, b, low, high):
                    near, far = min(near, at), max(far, at)
    return near, far


def _corners_in_strip(points: list[Point], low: float, high: float) -> tuple[float, float]:
    near, far = inf, -inf
    s0, side0 = points[-1]
    for s, side in points:
        if low <= side <= high:
            near, far = min(near, s), max(far, s)
        if side != side0:
            for edge in (low, high):
                t = (edge - side0) / (side - side0)
                if 0 < t < 1:
                    at = s0 + t * (s - s0)
                    near, far = min(near, at), max(far, at)
        s0, side0 = s, side
    return near, far


def _offset_edges(a: Point, b: Point, radius: float) -> list[tuple[Point, Point]]:
    ds, dl = b[0] - a[0], b[1] - a[1]
    length = hypot(ds, dl)
    if length == 0:
        return []
    ns, nl = dl / length * radius, -ds / length * radius
    return [((a[0] + k * ns, a[1] + k * nl), (b[0] + k * ns, b[1] + k * nl)) for k in (1, -1)]


def _crossings(a: Point, b: Point, low: float, high: float) -> list[float]:
    found = []
    for edge in (low, high):
        if (a[1] - edge) * (b[1] - edge) < 0:
            t = (edge - a[1]) / (b[1] - a[1])
            found.append(a[0] + t * (b[0] - a[0]))
    found.extend(s for s, side in (a, b) if low <= side <= high)
    return found


def _rounded_entry(front: list[Point], front_r: float, other: list[Point], other_r: float) -> float | None:
    if len(front) == 1:
        core = tuple((s - front[0][0], side - front[0][1]) for s, side in other)
    else:
        core = hull([(bs - s, bl - side) for bs, bl in other for s, side in front])
    near, far = _span_in_strip(list(core), front_r + other_r, 0.0, 0.0)
    if far <= DEPTH_TOLERANCE_MM:
        return None
    if near >= 0:
        return near
    return 0.0 if _reaches_beyond(front, front_r, other, other_r) else None


def _reaches_beyond(front: list[Point], front_r: float, other: list[Point], other_r: float) -> bool:
    """Whether any of ``other`` lies ahead of the leading side, within its width."""
    low, high = min(side for _, side in front) - front_r, max(side for _, side in front) + front_r
    levels = {side + k * other_r for _, side in other for k in (-1, 0, 1)} | {low, high, *(side for _, side in front)}
    for level in (min(max(level, low + SAME_MM), high - SAME_MM) for level in levels if low <= level <= high):
        ahead = _span_in_strip(other, other_r, level, level)[1]
        lead = _span_in_strip(front, front_r, level, level)[1]
        if ahead - lead > DEPTH_TOLERANCE_MM:
            return True
    return False
