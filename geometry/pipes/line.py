"""A pipe's middle line through a room, or why there is none."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from math import acos, cos, degrees, hypot, radians

from geometry.units import DEPTH_TOLERANCE_MM, Point3

BEND_DEG = 10.0
"""A change of direction smaller than this is fall, not a bend."""


@dataclass(frozen=True)
class Route:
    """A pipe's middle line from its start to its end, in room coordinates."""

    points: tuple[Point3, ...]

    @property
    def length_mm(self) -> float:
        """Length along the line."""
        return sum(_length(a, b) for a, b in pairwise(self.points))

    @property
    def run_mm(self) -> float:
        """Length in plan of everything that goes along."""
        return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(self.points))

    @property
    def bends(self) -> int:
        """Changes of direction along the line.

        >>> Route(((0, 0, 900), (0, 0, 205), (1000, 0, 200), (1000, 500, 197.5))).bends
        2
        """
        return len(self.bends_deg)

    @property
    def bends_deg(self) -> tuple[float, ...]:
        """By how much each of them turns, in degrees, in the direction of flow.

        >>> [round(turn) for turn in Route(((0, 0, 900), (0, 0, 200), (1000, 0, 195), (1500, 500, 190))).bends_deg]
        [90, 45]
        """
        ways = [tuple((v - u) / _length(a, b) for u, v in zip(a, b, strict=True)) for a, b in pairwise(self.points)]
        turns = (sum(u * v for u, v in zip(a, b, strict=True)) for a, b in pairwise(ways))
        return tuple(degrees(acos(max(-1.0, turn))) for turn in turns if turn < cos(radians(BEND_DEG)))

    @property
    def drop_mm(self) -> float:
        """How far it goes straight down from its start, before its first bend.

        >>> Route(((0, 0, 900), (0, 0, 700), (0, 0, 205), (1000, 0, 200))).drop_mm
        695.0
        """
        found = 0.0
        for a, b in pairwise(self.points):
            if b[2] >= a[2] or hypot(b[0] - a[0], b[1] - a[1]) > DEPTH_TOLERANCE_MM:
                break
            found += a[2] - b[2]
        return found

    @property
    def end_of_run_mm(self) -> float:
        """The height at which it stops going along: where it goes straight down again, or its end.

        >>> Route(((0, 0, 900), (0, 0, 605), (1000, 0, 600), (1000, 0, 150), (1026, 0, 150))).end_of_run_mm
        600
        """
        upright = [
            a[2]
            for a, b in pairwise(self.points[1:])
            if hypot(b[0] - a[0], b[1] - a[1]) <= DEPTH_TOLERANCE_MM < a[2] - b[2]
        ]
        return upright[-1] if upright else self.points[-1][2]


@dataclass(frozen=True)
class NoRoute:
    """Why there is no way: ids of what stops it, or by how much the outlet, or a pinned point, is too high (mm)."""

    stops: tuple[str, ...]
    too_high_mm: float = 0.0
    pin: Point3 | None = None


def outside_words(outside_mm: float, bends: int) -> str:
    """What of a pipe lies outside, in words that follow its length and elbows; empty where nothing does.

    >>> outside_words(4180, 5)
    'of these 4.18 m and 5 elbows outside, as the outlet says'
    """
    parts = [f"{outside_mm / 1000:.2f} m"] if outside_mm else []
    parts += [f"{bends} elbow{'s' * (bends != 1)}"] if bends else []
    return f"of these {' and '.join(parts)} outside, as the outlet says" if parts else ""


def line(points: Iterable[Point3]) -> Route:
    """A route through points, with points that repeat the one before left out."""
    kept: list[Point3] = []
    for point in points:
        if not kept or _length(kept[-1], point) > 1e-6:
            kept.append(point)
    return Route(tuple(kept))


def _length(a: Point3, b: Point3) -> float:
    return hypot(b[0] - a[0], b[1] - a[1], b[2] - a[2])
