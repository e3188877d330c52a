"""Where the reader stands for the corner view, and what that does to a point: a parallel projection from above.

The eye looks down on one of four near corners. Everything is measured by two numbers: to the right and up on the
paper; a third says how near a point is to the reader.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import cos, radians, sin

from geometry.shapes import hull, turned
from geometry.units import Point, Point3

CORNERS = ("front left", "front right", "back right", "back left")
"""The corner nearest to the reader, by number."""

ROUND_DEG = 33.0
"""How far the eye stands round from the front of the room, so that the longer wall shows longer."""
DOWN_DEG = 35.0
"""How far the eye looks down."""


@dataclass(frozen=True)
class Eye:
    """A way to look at a room, and a scale in px per mm.

    >>> eye = Eye(corner=0, round_deg=33.0)
    >>> tuple(round(v, 3) for v in eye.to_px((0.0, 0.0, 1000.0)))
    (0.0, -81.915)
    """

    corner: int
    round_deg: float
    scale_px_mm: float = 0.1
    at_px: Point = (0.0, 0.0)

    @cached_property
    def right(self) -> Point:
        """Plan direction that runs to the right on the paper."""
        a = radians(self.round_deg)
        return turned((cos(a), -sin(a)), 90.0 * self.corner)

    @cached_property
    def away(self) -> Point:
        """Plan direction that runs away from the reader."""
        a = radians(self.round_deg)
        return turned((sin(a), cos(a)), 90.0 * self.corner)

    @property
    def rise(self) -> float:
        """What a millimetre of height becomes on the paper, before the scale."""
        return cos(radians(DOWN_DEG))

    @property
    def lean(self) -> float:
        """What a millimetre of floor away from the reader becomes on the paper, before the scale."""
        return sin(radians(DOWN_DEG))

    def to_px(self, at_mm: Point3) -> Point:
        """A point of the room on the paper; y runs down, as in SVG."""
        x, y, z = at_mm
        (rx, ry), (ax, ay) = self.right, self.away
        across = x * rx + y * ry
        up = (x * ax + y * ay) * self.lean + z * self.rise
        return self.at_px[0] + across * self.scale_px_mm, self.at_px[1] - up * self.scale_px_mm

    def nearness(self, at_mm: Point3) -> float:
        """How near a point is to the reader, in mm along the line of sight."""
        x, y, z = at_mm
        return z * self.lean - (x * self.away[0] + y * self.away[1]) * self.rise

    def faces(self, outward: Point) -> bool:
        """Whether an upright face with this outward direction is turned towards the reader."""
        return outward[0] * self.away[0] + outward[1] * self.away[1] < -1e-9

    def ring_px(self, ring_mm: Sequence[Point], level_mm: float) -> list[Point]:
        """A level ring on the paper."""
        return [self.to_px((x, y, level_mm)) for x, y in ring_mm]

    def outline_px(self, ring_mm: Sequence[Point], from_mm: float, to_mm: float) -> tuple[Point, ...]:
        """What an upright prism covers on the paper, as a convex outline."""
        return hull([*self.ring_px(ring_mm, from_mm), *self.ring_px(ring_mm, to_mm)])

    def fitted(self, points_mm: Iterable[Point3], width_px: float, margin_px: float) -> "tuple[Eye, float]":
        """The same eye at the scale at which the points fill a width inside its margins, and the height they take."""
        plain = [Eye(self.corner, self.round_deg, 1.0).to_px(p) for p in points_mm]
        xs, ys = [x for x, _ in plain], [y for _, y in plain]
        scale = (width_px - 2 * margin_px) / (max(xs) - min(xs))
        at = (margin_px - min(xs) * scale, margin_px / 2 - min(ys) * scale)
        return Eye(self.corner, self.round_deg, scale, at), (max(ys) - min(ys)) * scale + margin_px


def eye_at(corner: int, outline_mm: Sequence[Point]) -> Eye:
    """The eye over one of the four corners, turned so that the longer side of the room lies across the paper.

    Raises
    ------
    ValueError
        The corner is not 0, 1, 2 or 3.
    """
    if corner not in range(4):
        raise ValueError(f"A room is looked at from corner 0, 1, 2 or 3, not from {corner}.")
    ring = [turned(p, -90.0 * corner) for p in outline_mm]
    across = max(x for x, _ in ring) - min(x for x, _ in ring)
    deep = max(y for _, y in ring) - min(y for _, y in ring)
    return Eye(corner, ROUND_DEG if across >= deep else 90.0 - ROUND_DEG)
