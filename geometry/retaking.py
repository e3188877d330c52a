"""Which measure of a walk to take again, and what diagonals say about the corners.

A closing error along a wall is what a slip in that wall, or in one parallel to it, would leave; one at a corner is
what a turn the wrong way would leave. Diagonals tell apart what the walk alone cannot.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import hypot

from geometry.check import mm
from geometry.errors import RoomError
from geometry.traverse import Diagonal, Leg, Walk, corner_letter, walked, wall_letters
from geometry.units import SAME_MM, Point

SHORTEST_WALL_MM = 20.0
MOST_TOLD = 4


@dataclass(frozen=True)
class Again:
    """A measure to take again: of a wall or of a turn, by number. ``change_mm`` would close the walk; 0 for a turn."""

    what: str
    index: int
    change_mm: float
    misfit_mm: float
    text: str


@dataclass(frozen=True)
class Straight:
    """A diagonal beside what walls and turns make it; ``over_mm`` is measured minus made."""

    diagonal: Diagonal
    made_mm: float
    over_mm: float
    agrees: bool
    text: str


def to_take_again(walk: Walk, diagonals: Sequence[Diagonal] = ()) -> tuple[Again, ...]:
    """What would explain a walk that does not close, the likeliest first; empty where no single measure does.

    The likeliest leaves diagonals least wrong, then asks for the smallest change.
    """
    if walk.closes:
        return ()
    found = [*_turned_wrongly(walk, diagonals), *(_of_lengths(walk, diagonals) if walk.turns_close else ())]
    best = min((one.misfit_mm for one in found), default=0.0)
    likely = [one for one in found if one.misfit_mm <= max(best, 0.0) + walk.tolerance_mm]
    return tuple(sorted(likely, key=lambda one: (one.what != "turn", round(one.misfit_mm, 6), abs(one.change_mm))))


def straights(walk: Walk, diagonals: Sequence[Diagonal]) -> tuple[Straight, ...]:
    """Every diagonal beside the corners of the walk."""
    return tuple(_straight(walk.outline_mm, diagonal, walk.tolerance_mm) for diagonal in diagonals)


def is_out_of_square(found: Sequence[Straight]) -> bool:
    """Whether the two diagonals of four walls miss opposite ways: corners not square, rather than a slip.

    One diagonal alone cannot tell the two apart, so it counts as out of square too.
    """
    return (
        bool(found) and not any(one.agrees for one in found) and len({one.over_mm > 0 for one in found}) == len(found)
    )


def braced(legs: Sequence[Leg], diagonal: Diagonal) -> tuple[Point, ...]:
    """Four walls and one diagonal as two triangles: the corners, whatever their angles, in the order of walking.

    Raises
    ------
    RoomError
        Not four walls with their lengths, or two walls too short to reach along the diagonal.
    """
    lengths = [leg.length_mm for leg in legs]
    if len(lengths) != 4 or None in lengths or (diagonal.end - diagonal.start) % 4 != 2:
        raise RoomError("Only four measured walls and a diagonal across them can be drawn without their angles.")
    first = min(diagonal.start, diagonal.end)
    a, b, c, d = [length or 0.0 for length in (*lengths[first:], *lengths[:first])]
    side = 1.0 if sum(leg.turn_deg or 0.0 for leg in legs) > 0 else -1.0
    across = diagonal.length_mm
    corners = [
        (0.0, 0.0), _apex(a, b, across, -side, first, 1), (across, 0.0), _apex(d, c, across, side, first, 3)
    ]  # fmt: skip
    corners = corners[-first:] + corners[:-first] if first else corners
    (x0, y0), (x1, y1) = corners[0], corners[1]
    ux, uy = (x1 - x0) / lengths_of(corners)[0] * side, (y1 - y0) / lengths_of(corners)[0] * side
    turned = [((x - x0) * ux + (y - y0) * uy, (y - y0) * ux - (x - x0) * uy) for x, y in corners]
    return tuple((round(x, 9) + 0.0, round(y, 9) + 0.0) for x, y in turned)


def lengths_of(corners: Sequence[Point]) -> list[float]:
    """Lengths of the walls between corners, the last back to the first."""
    following = [*corners[1:], corners[0]]
    return [hypot(x1 - x0, y1 - y0) for (x0, y0), (x1, y1) in zip(corners, following, strict=True)]


def _apex(near: float, far: float, across: float, side: float, first: int, corner: int) -> Point:
    along = (near * near - far * far + across * across) / (2 * across)
    square = near * near - along * along
    if square <= 0:
        ends = f"{corner_letter(first)} to {corner_letter(first + 2)}"
        raise RoomError(
            f"The walls that meet at {corner_letter((first + corner) % 4)} cannot reach along a diagonal {ends} of "
            f"{mm(across)}. Take it again."
        )
    return along, side * square**0.5


def _of_lengths(walk: Walk, diagonals: Sequence[Diagonal]) -> list[Again]:
    """Walls whose change by the closing error, along themselves, would close the walk."""
    found = []
    for i, leg in enumerate(walk.legs):
        (x0, y0), (x1, y1) = walk.path_mm[i], walk.path_mm[i + 1]
        length = hypot(x1 - x0, y1 - y0)
        ux, uy = (x1 - x0) / length, (y1 - y0) / length
        change = -(walk.closing.dx_mm * ux + walk.closing.dy_mm * uy)
        across = abs(walk.closing.dx_mm * uy - walk.closing.dy_mm * ux)
        if leg.length_mm is None or across > walk.tolerance_mm + SAME_MM or length + change < SHORTEST_WALL_MM:
            continue
        mended = _with(walk, i, replace(leg, length_mm=length + change))
        name = wall_letters(i, len(walk.legs))
        text = f"wall {name} ({mm(length)} written; {mm(length + change)} would close it)"
        found.append(Again("length", i, round(change, 6) + 0.0, _misfit(mended, diagonals), text))
    return found


def _turned_wrongly(walk: Walk, diagonals: Sequence[Diagonal]) -> list[Again]:
    """Corners at which the other way round would close the walk."""
    found = []
    for i, leg in enumerate(walk.legs):
        if not leg.turn_deg:
            continue
        try:
            mended = _with(walk, i, replace(leg, turn_deg=-leg.turn_deg))
        except RoomError:
            continue
        if mended.closes:
            way, other = ("left", "right") if leg.turn_deg > 0 else ("right", "left")
            letter = corner_letter((i + 1) % len(walk.legs))
            text = f"corner {letter} ({way} written; {other} would close it)"
            found.append(Again("turn", i, 0.0, _misfit(mended, diagonals), text))
    return found


def _with(walk: Walk, index: int, leg: Leg) -> Walk:
    return walked([leg if i == index else old for i, old in enumerate(walk.legs)], walk.tolerance_mm)


def _misfit(walk: Walk, diagonals: Sequence[Diagonal]) -> float:
    return max((abs(one.over_mm) for one in straights(walk, diagonals)), default=0.0)


def _straight(corners: Sequence[Point], diagonal: Diagonal, tolerance_mm: float) -> Straight:
    (x0, y0), (x1, y1) = corners[diagonal.start], corners[diagonal.end]
    made = hypot(x1 - x0, y1 - y0)
    over = diagonal.length_mm - made
    name = f"{corner_letter(diagonal.start)} to {corner_letter(diagonal.end)}"
    agrees = abs(over) <= tolerance_mm + SAME_MM
    less = "longer" if over > 0 else "shorter"
    told = "agrees" if abs(over) < 0.5 else f"is {mm(abs(over))} {less}"
    text = f"Diagonal {name}: walls and turns make it {mm(made)}; measured it {told}."
    return Straight(diagonal, made, over, agrees, text)


def advice(walk: Walk, diagonals: Sequence[Diagonal] = ()) -> str:
    """What to do about a walk, in a sentence or two; empty where it closes and every diagonal agrees."""
    if not walk.turns_close:
        return _turns_advice(walk, diagonals)
    again = to_take_again(walk, diagonals)
    if not walk.closes and not again:
        return (
            "No single wall explains it: two measures or more are out, or a turn is not what it seems. "
            "Take the longest walls again first, then the turns."
        )
    if again:
        verb = "Take again" if again[0].what == "length" else "Look again at"
        return f"{verb} {' or '.join(one.text for one in again[:MOST_TOLD])}."
    wrong = [one for one in straights(walk, diagonals) if not one.agrees]
    if not wrong:
        return ""
    if len(walk.legs) == 4 and is_out_of_square(straights(walk, diagonals)):
        return "The corners are not square, or a diagonal was misread: measure it again, or draw by the diagonal."
    return "Take again: " + " ".join(one.text for one in wrong)


def _turns_advice(walk: Walk, diagonals: Sequence[Diagonal]) -> str:
    made = abs(walk.turn_error_deg + (360.0 if sum(leg.turn_deg or 0.0 for leg in walk.legs) > 0 else -360.0))
    told = f"The turns make {made:g}° in all; once round a room makes 360°."
    flips = _turned_wrongly(walk, diagonals)
    if flips:
        return f"{told} Look again at {' or '.join(one.text for one in flips[:MOST_TOLD])}."
    return f"{told} A corner is missing, or one turns the other way: walk round with the list in hand."
