"""Walls walked with a tape, as lengths and turns: where the walk ends, by how much it misses its start, and what then.

A closed traverse by its usual sums: each wall gives a step in plan, the steps should add up to nothing, and what they
do add up to is the closing error. One within the tolerance is spread by the compass rule (Bowditch's): each corner is
moved by the error times the length walked so far over the whole length. One beyond it is put down to the single
measure that would explain it, where there is one.

References
----------
J. Mahun, Open Access Surveying Library, Traverse Computations, chapter E, section 2: Compass Rule (Bowditch Rule).
N. Bowditch, The Analyst or Mathematical Museum, 1 (1808), on a correction to the plan of a survey.

>>> square = [Leg(2400, -90), Leg(1800, -90), Leg(2404, -90), Leg(1803, -90)]
>>> walk = walked(square)
>>> walk.closing.dx_mm, walk.closing.dy_mm, walk.closing.length_mm, walk.closes
(4.0, -3.0, 5.0, True)
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import cos, hypot, radians, sin

from geometry.errors import RoomError
from geometry.units import SAME_MM, Point

FEWEST_WALLS, MOST_WALLS = 3, 60
WHOLE_DEG = 360.0
SQUARED_DEG = 45.0
"""Turns that are multiples of this are taken as named, not as measured: no part of an error of turns is theirs."""
MOST_TURN_ERROR_DEG = 5.0
"""Measured turns that miss a whole turn by more than this hold a slip, not a small error."""
PARALLEL = 1e-6
_SAME_DEG = 1e-9


@dataclass(frozen=True)
class Leg:
    """One wall: its length (mm; None: not measured) and the turn at its end (degrees; left is positive).

    The turn of the last wall may be None: it is then what is left of a whole turn.
    """

    length_mm: float | None
    turn_deg: float | None


@dataclass(frozen=True)
class Diagonal:
    """A length measured straight from one corner to another, by their numbers from 0."""

    start: int
    end: int
    length_mm: float


@dataclass(frozen=True)
class Closing:
    """Where a walk ends, from where it began (mm): to the right in plan, away from the reader, and straight."""

    dx_mm: float
    dy_mm: float

    @property
    def length_mm(self) -> float:
        """How far the end is from the start."""
        return hypot(self.dx_mm, self.dy_mm)


@dataclass(frozen=True)
class Walk:
    """A walk round a room. Corners are in the order of walking; the first wall lies along x, the room beyond it.

    ``path_mm`` has the start, every corner and the end as they come out of the measures; ``outline_mm`` the corners
    with the closing error spread over them. ``found_mm`` are walls that were not measured, by number, worked out.
    """

    legs: tuple[Leg, ...]
    tolerance_mm: float
    path_mm: tuple[Point, ...]
    closing: Closing
    turn_error_deg: float
    found_mm: tuple[tuple[int, float], ...]

    @property
    def turns_close(self) -> bool:
        """Whether the turns make one whole turn, or measured ones miss it by little."""
        return abs(self.turn_error_deg) <= (MOST_TURN_ERROR_DEG if _measured(self.legs) else _SAME_DEG)

    @property
    def closes(self) -> bool:
        """Whether the walk comes back to its start within the tolerance."""
        return self.turns_close and self.closing.length_mm <= self.tolerance_mm + SAME_MM

    @property
    def is_checked(self) -> bool:
        """Whether anything is left over to check the measures by: two unmeasured walls leave nothing."""
        return len(self.found_mm) < 2

    @property
    def outline_mm(self) -> tuple[Point, ...]:
        """The corners, the closing error spread over them by the compass rule."""
        lengths = [hypot(x1 - x0, y1 - y0) for (x0, y0), (x1, y1) in _pairs(self.path_mm)]
        whole, so_far, corners = sum(lengths), 0.0, []
        for (x, y), length in zip(self.path_mm, lengths, strict=False):
            part = so_far / whole
            corners.append((x - self.closing.dx_mm * part, y - self.closing.dy_mm * part))
            so_far += length
        return tuple(corners)


def corner_letter(index: int) -> str:
    """The letter of a corner: A to Z, then A2 and so on.

    >>> corner_letter(0), corner_letter(27)
    ('A', 'B2')
    """
    turn, place = divmod(index, 26)
    return chr(ord("A") + place) + (str(turn + 1) if turn else "")


def wall_letters(index: int, count: int) -> str:
    """What a wall is called by its corners.

    >>> wall_letters(3, 4)
    'DA'
    """
    return corner_letter(index) + corner_letter((index + 1) % count)


def walked(legs: Sequence[Leg], tolerance_mm: float = 10.0) -> Walk:
    """Work out a walk. Lengths in mm, turns in degrees, left positive; at most two walls without a length.

    Raises
    ------
    RoomError
        Too few walls, or lengths missing that the others cannot tell.
    """
    if not FEWEST_WALLS <= len(legs) <= MOST_WALLS:
        raise RoomError(f"A room has {FEWEST_WALLS} to {MOST_WALLS} walls; {len(legs)} are written. Correct the list.")
    turns, error = _turns(legs)
    ways = _ways(turns)
    lengths, found = _lengths(legs, ways)
    path, (x, y) = [(0.0, 0.0)], (0.0, 0.0)
    for length, (ux, uy) in zip(lengths, ways, strict=True):
        x, y = x + length * ux, y + length * uy
        path.append((x, y))
    closing = Closing(_clean(x), _clean(y))
    return Walk(tuple(legs), tolerance_mm, tuple(path), closing, _clean(error), found)


def begun(legs: Sequence[Leg]) -> tuple[Point, ...]:
    """As much of a walk as is written without a gap: its start and the end of every wall (mm). May be the start alone.

    >>> begun([Leg(2400, 90), Leg(1800, 90), Leg(None, 90)])
    ((0.0, 0.0), (2400.0, 0.0), (2400.0, 1800.0))
    """
    path, (x, y) = [(0.0, 0.0)], (0.0, 0.0)
    for leg, (ux, uy) in zip(legs, _ways([leg.turn_deg or 0.0 for leg in legs]), strict=True):
        if leg.length_mm is None:
            break
        x, y = x + leg.length_mm * ux, y + leg.length_mm * uy
        path.append((_clean(x), _clean(y)))
    return tuple(path)


def as_outline(corners: Sequence[Point]) -> tuple[tuple[Point, ...], bool]:
    """Corners as a room file lists them, anticlockwise with (0, 0) at the lower left; and whether they were turned.

    They start with the corner from which the first wall leads anticlockwise, so wall i stays wall i, or turned round
    becomes wall n - 1 - i counted so that the first wall is still the first.

    >>> as_outline([(0, 0), (-4, 0), (-4, 3), (0, 3)])
    (((0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0)), True)
    """
    clockwise = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in _pairs((*corners, corners[0]))) < 0
    ordered = [corners[1], corners[0], *reversed(corners[2:])] if clockwise else list(corners)
    left, low = min(x for x, _ in ordered), min(y for _, y in ordered)
    return tuple((_clean(round(x - left, 3)), _clean(round(y - low, 3))) for x, y in ordered), clockwise


def edge_of(wall: int, count: int, clockwise: bool) -> int:
    """The edge of the outline that a walked wall became.

    >>> [edge_of(wall, 4, True) for wall in range(4)]
    [0, 3, 2, 1]
    """
    return -wall % count if clockwise else wall


def _turns(legs: Sequence[Leg]) -> tuple[list[float], float]:
    """Turns, those that were measured sharing what is missing to a whole turn; and that error (degrees)."""
    known = [leg.turn_deg for leg in legs[:-1] if leg.turn_deg is not None]
    if len(known) < len(legs) - 1:
        raise RoomError("A turn is missing: only that of the last wall may be left out. Write each as it is.")
    last = legs[-1].turn_deg
    sum_deg = sum(known) + (last or 0.0)
    whole = WHOLE_DEG if sum_deg > 0 else -WHOLE_DEG
    if last is None:
        return [*known, whole - sum_deg], 0.0
    turns, error, measured = [*known, last], sum_deg - whole, _measured(legs)
    if measured and abs(error) <= MOST_TURN_ERROR_DEG:
        turns = [t - error / len(measured) if i in measured else t for i, t in enumerate(turns)]
    return turns, error


def _measured(legs: Sequence[Leg]) -> list[int]:
    """Which turns were measured as an angle."""
    turns = [leg.turn_deg or 0.0 for leg in legs]
    return [i for i, turn in enumerate(turns) if abs(turn - SQUARED_DEG * round(turn / SQUARED_DEG)) > _SAME_DEG]


def _ways(turns: Sequence[float]) -> list[Point]:
    """Unit vectors of the walls; whole quarters exact. The first wall lies along x with the room beyond it."""
    facing, ways = 0.0 if sum(turns) > 0 else 180.0, []
    for turn in turns:
        ways.append((_clean(round(cos(radians(facing)), 15)), _clean(round(sin(radians(facing)), 15))))
        facing += turn
    return ways


def _lengths(legs: Sequence[Leg], ways: Sequence[Point]) -> tuple[list[float], tuple[tuple[int, float], ...]]:
    """Every length, those not measured worked out from the others."""
    missing = [i for i, leg in enumerate(legs) if leg.length_mm is None]
    x = sum((leg.length_mm or 0.0) * ux for leg, (ux, _) in zip(legs, ways, strict=True))
    y = sum((leg.length_mm or 0.0) * uy for leg, (_, uy) in zip(legs, ways, strict=True))
    solved = _solved(missing, ways, x, y, len(legs))
    for wall, length in solved:
        if length <= 0:
            name = wall_letters(wall, len(legs))
            raise RoomError(f"The other walls leave no length for wall {name}. Measure it, or look at the turns again.")
    by_wall = dict(solved)
    return [leg.length_mm if leg.length_mm is not None else by_wall[i] for i, leg in enumerate(legs)], solved


def _solved(
    missing: Sequence[int], ways: Sequence[Point], x: float, y: float, count: int
) -> tuple[tuple[int, float], ...]:
    """Lengths that bring the walk back: one wall as near as it can, two exactly."""
    if not missing:
        return ()
    names = " and ".join(wall_letters(wall, count) for wall in missing[:3])
    if len(missing) > 2:
        raise RoomError(f"Walls {names} are not measured: the others can tell two at most. Measure one more.")
    (ux, uy) = ways[missing[0]]
    if len(missing) == 1:
        return ((missing[0], -(x * ux + y * uy)),)
    (vx, vy) = ways[missing[1]]
    across = ux * vy - uy * vx
    if abs(across) < PARALLEL:
        raise RoomError(f"Walls {names} run alike, so the others cannot tell them apart. Measure one of them.")
    return ((missing[0], -(x * vy - y * vx) / across), (missing[1], -(ux * y - uy * x) / across))


def _pairs(points: Sequence[Point]) -> list[tuple[Point, Point]]:
    return list(pairwise(points))


def _clean(value: float) -> float:
    """Without the noise of adding fractions."""
    return round(value, 9) + 0.0
