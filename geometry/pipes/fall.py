"""The fall of a pipe that runs by fall alone: one meaning for a pipe found, one drawn, and one under somebody's hand.

It covers what lies in the room. Found is the height from below the straight drop that the pipe has to have to the
outlet; needed is the fall per metre times all that goes along in plan. A pipe can drop far and still have a stretch in
which water stands: the worst stretch that falls too little is told beside it. How the part outside falls nobody knows.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import floor, hypot

from geometry.pipes.line import NoRoute
from geometry.units import DEPTH_TOLERANCE_MM, SAME_MM, Point3

_LOWERED = 8


@dataclass(frozen=True)
class Fall:
    """Fall needed and found (mm) of a whole pipe, and of the stretch that falls too little, None where none does."""

    needed_mm: float
    found_mm: float
    stretch: tuple[float, float] | None = None

    @property
    def short_mm(self) -> float:
        """How much is missing: of the whole, or of its worst stretch where that lacks more."""
        return max(0.0, self.needed_mm - self.found_mm, self.stretch_short_mm)

    @property
    def stretch_short_mm(self) -> float:
        """How much is missing in the worst stretch; 0 where each falls enough."""
        return self.stretch[0] - self.stretch[1] if self.stretch else 0.0


NO_FALL = Fall(0.0, 0.0)


def fall_of(points: Sequence[Point3], fall_mm_m: float, drop_mm: float = 0.0) -> Fall:
    """The fall of a line of points that needs so much a metre, below a straight drop of so much.

    A stretch is short from half a millimetre on, as heights are drawn to the millimetre; the whole line at once. It is
    told where it lacks more than the whole line does. Stretches one after the other that each lack a hair are one.

    >>> fall_of([(0, 0, 900), (0, 0, 205), (1000, 0, 200), (1000, 0, 150)], 5, 300)
    Fall(needed_mm=5.0, found_mm=450, stretch=None)
    >>> fall_of([(0, 0, 900), (1000, 0, 900), (1000, 0, 800)], 5)
    Fall(needed_mm=5.0, found_mm=100.0, stretch=(5.0, 0))
    """
    runs = [hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points)]
    falls = [(run / 1000 * fall_mm_m, a[2] - b[2]) for run, (a, b) in zip(runs, pairwise(points), strict=True)]
    worst = _worst(falls)
    needed, found = sum(runs) / 1000 * fall_mm_m, points[0][2] - drop_mm - points[-1][2]
    short = worst[0] - worst[1] > max(DEPTH_TOLERANCE_MM, needed - found + SAME_MM)
    return Fall(needed, found, worst if short else None)


def _worst(falls: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Fall needed and found of the stretches in a row that lack most together (Kadane's search, J. Bentley, 1984).

    >>> _worst([(5, 9), (5, 4.8), (5, 4.9), (5, 7)])
    (10, 9.7)
    """
    worst = here = (0.0, 0.0)
    for needed, found in falls:
        here = (here[0] + needed, here[1] + found) if here[0] > here[1] else (needed, found)
        if here[0] - here[1] > worst[0] - worst[1]:
            worst = here
    return worst


def fall_counted(route: NoRoute, level_mm: float, fall_at: Callable[[float], Fall | None]) -> NoRoute:
    """Why a pipe has no way to an outlet at a level; where that is too high, by how much for it to fall enough, too.

    ``fall_at`` measures the pipe to the same outlet at another level, None where there is no way to it there.
    """
    if not route.too_high_mm or route.pin is not None:
        return route
    return replace(route, too_high_mm=level_mm - _highest_mm(level_mm - route.too_high_mm, fall_at))


def _highest_mm(top_mm: float, fall_at: Callable[[float], Fall | None]) -> float:
    """The highest level of an outlet, in whole mm, to which a pipe falls enough from a height above all fall.

    >>> _highest_mm(800.4, lambda level: Fall(11.3, 800.4 - level))
    789
    """
    level = floor(top_mm)
    for _ in range(_LOWERED):
        fall = fall_at(level)
        if fall is None or fall.short_mm <= SAME_MM:
            break
        level = floor(level - fall.short_mm)
    return level
