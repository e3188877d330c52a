"""The bifold leaf: two panels of half the width, one hung on the hinge end, the other's end on a track.

The hinge is the origin, the shut leaf lies along +x and folds towards +y. At fold angle a the joint is at
(p cos a, p sin a) and the far end at (2 p cos a, 0) for panels of width p: the second panel is the lower half of a
ladder of length 2 p that slides in the corner.

References
----------
The ladder's envelope is the astroid x^(2/3) + y^(2/3) = (2 p)^(2/3); the second panel touches it up to 45 degrees,
beyond that the joint's circle of radius p is the boundary. So the swept area is 5 pi p^2 / 16.
"""

from collections.abc import Sequence
from math import atan, cos, pi, sin

import numpy as np

from geometry.arcs import Bar, blocked, first_angle
from geometry.shapes import Footprint, separation
from geometry.units import Point


def folded_area_mm2(width_mm: float) -> float:
    """Floor that a bifold leaf sweeps: five sixteenths of a hinged leaf's quarter circle.

    >>> round(folded_area_mm2(762) / 1e6, 6)
    0.142511
    """
    return 5 * pi * width_mm**2 / 64


def fold_angle(points: Sequence[Point], radius_mm: float, width_mm: float) -> float | None:
    """The least fold angle, in radians up to a right angle, at which a bifold leaf meets a shape; None: never.

    >>> from math import degrees
    >>> round(degrees(fold_angle([(500, 80), (600, 80), (600, 200), (500, 200)], 0, 762) or 0), 4)
    20.5336
    >>> fold_angle([(400, 300), (600, 300), (600, 400), (400, 400)], 0, 762) is None
    True
    """
    shut = Footprint(((0.0, 0.0), (width_mm, 0.0)))
    if separation(shut, Footprint(tuple(points), radius_mm)).gap_mm <= 0:
        return 0.0
    panel = width_mm / 2
    first = first_angle(blocked(points, radius_mm, Bar(panel)))
    found = [] if first is None or first > pi / 2 else [first]
    for corner in points:
        found += _second_panel(corner, radius_mm, panel)
    return min(found, default=None)


def _second_panel(corner: Point, radius: float, panel: float) -> list[float]:
    """Fold angles at which the second panel touches a disc: the corner lies that far above the ladder's line.

    y cos a + x sin a - 2 p sin a cos a = r is a quartic in tan(a / 2).
    """
    x, y = corner
    roots = np.roots([-y - radius, 2 * x + 4 * panel, -2 * radius, 2 * x - 4 * panel, y - radius])
    found = []
    for root in roots:
        if abs(root.imag) > 1e-9 * (1 + abs(root.real)) or not 0 <= root.real <= 1:
            continue
        a = 2 * atan(root.real)
        along = (x - panel * cos(a)) * cos(a) - (y - panel * sin(a)) * sin(a)
        if 0 <= along <= panel:
            found.append(a)
    return found
