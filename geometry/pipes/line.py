"""A pipe's middle line through a room, or why there is none."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import acos, ceil, degrees, dist, hypot, inf, radians, tan

from geometry.units import DEPTH_TOLERANCE_MM, Point3

BEND_DEG = 10.0
"""A change of direction smaller than this is fall, not a bend, unless more of them follow."""
BACK_DEG = 150.0
"""A sharper turn than this is a pipe that comes back along itself (common practice, no source)."""
TWO_ELBOWS_MM = 50.0
"""Two elbows of common pipe do not go into less (common practice, no source)."""
SPRUNG_MM = 5.0
"""So far a pipe is sprung aside where it starts without a bend (common practice, no source)."""
_ELBOW_DEG, _HALF_DEG, _SAME_DEG = 90.0, 45.0, 1e-6


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
    def _ways(self) -> list[tuple[float, ...]]:
        """The unit vector along each stretch."""
        return [tuple((v - u) / _length(a, b) for u, v in zip(a, b, strict=True)) for a, b in pairwise(self.points)]

    @property
    def bends(self) -> int:
        """Changes of direction along the line: each of 10° at least, and smaller ones where they add up.

        A bend made of small turns counts as its whole: over 45° is one, each full 90° is done with and the next
        begins. A turn right round is two. (Common practice, no source.)

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
        ways = self._ways
        turns: list[float] = []
        since, counted = ways[0] if ways else None, False
        for before, way in pairwise(ways):
            turned = _turned_deg(before, way)
            if turned > BEND_DEG:
                turns += [turned / _elbows(turned)] * _elbows(turned)
                since, counted = way, False
                continue
            assert since is not None
            turned = _turned_deg(since, way)
            if counted:
                turns[-1] = turned
            elif turned > _HALF_DEG + _SAME_DEG:
                turns.append(turned)
                counted = True
            if turned > _ELBOW_DEG - _SAME_DEG:
                since, counted = way, False
        return tuple(turns)

    @property
    def closest_elbows_mm(self) -> float | None:
        """How far the two elbows that are closest to each other are apart, middle to middle; None without two.

        >>> Route(((0, 0, 900), (0, 0, 500), (10, 0, 500), (10, 300, 500), (10, 300, 100))).closest_elbows_mm
        10.0
        """
        turns = [_turned_deg(a, b) > BEND_DEG for a, b in pairwise(self._ways)]
        steps = [_length(a, b) for a, b in pairwise(self.points[1:-1])]
        return min((step for step, pair in zip(steps, pairwise(turns), strict=True) if all(pair)), default=None)

    def away_mm(self, at: Point3) -> float:
        """How far a point is from the line.

        >>> Route(((0, 0, 0), (900, 0, 0), (900, 0, 500))).away_mm((930, 40, 200))
        50.0
        """
        return min(_away(at, a, b) for a, b in pairwise(self.points))

    @property
    def turns_back(self) -> bool:
        """Whether it turns right round at one of its points, or so near that no two elbows have room.

        >>> [Route(((0, 0, 0), (900, 0, 0), end)).turns_back for end in ((500, 10, 0), (900, 900, 0))]
        [True, False]
        """
        before: tuple[float, ...] | None = None
        step = 0.0
        for (a, b), way in zip(pairwise(self.points), self._ways, strict=True):
            long = _length(a, b)
            if before is not None and step <= TWO_ELBOWS_MM and _turned_deg(before, way) > BACK_DEG:
                return True
            step = step + long if long <= TWO_ELBOWS_MM else 0.0
            before = way if long > TWO_ELBOWS_MM or before is None else before
        return False

    @property
    def rise_mm(self) -> float:
        """The most that it goes up again after it was lower; 0 where it never does.

        >>> Route(((0, 0, 900), (100, 0, 700), (200, 0, 840), (300, 0, 600))).rise_mm
        140
        """
        lowest, rise = inf, 0.0
        for _, _, z in self.points:
            lowest = min(lowest, z)
            rise = max(rise, z - lowest)
        return rise

    @property
    def drop_mm(self) -> float:
        """How far it goes straight down from its start, before its first bend; a line a hair out of plumb is straight.

        >>> Route(((0, 0, 900), (0, 0, 700), (0, 0, 205), (1000, 0, 200))).drop_mm
        695.0
        >>> Route(((0, 0, 900), (5, 0, 900), (5, 0, 200), (1000, 0, 195))).drop_mm
        700.0
        >>> Route(((0, 0, 900), (6, 0, 900), (6, 0, 200), (1000, 0, 195))).drop_mm
        0.0
        """
        found = 0.0
        for a, b in pairwise(self.points):
            slant = (a[2] - b[2]) * tan(radians(BEND_DEG))
            if b[2] > a[2] or hypot(b[0] - a[0], b[1] - a[1]) > max(slant, SPRUNG_MM):
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


def _away(at: Point3, a: Point3, b: Point3) -> float:
    along = [v - u for u, v in zip(a, b, strict=True)]
    share = sum((p - u) * v for p, u, v in zip(at, a, along, strict=True)) / sum(v * v for v in along)
    t = min(1.0, max(0.0, share))
    return dist(at, [u + t * v for u, v in zip(a, along, strict=True)])


def _turned_deg(before: Sequence[float], way: Sequence[float]) -> float:
    """The angle between two unit vectors."""
    along = sum(u * v for u, v in zip(before, way, strict=True))
    return degrees(acos(max(-1.0, min(1.0, along))))


def _elbows(turned_deg: float) -> int:
    return max(1, ceil((turned_deg - _HALF_DEG - _SAME_DEG) / _ELBOW_DEG))


def _length(a: Point3, b: Point3) -> float:
    return hypot(b[0] - a[0], b[1] - a[1], b[2] - a[2])
