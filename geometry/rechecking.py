"""Check a room again after one piece has moved, using again everything that the move does not touch.

Some checks look no farther than a piece's own reach: its spaces, its draw-outs, the tools on its access points. They
are run anew only about the pieces whose reach the moved piece comes into, or was in before; all other checks are run
whole. Verdicts and messages are those of a full check. Of a space without fault, what is found beyond the need may be
that of before: nobody reads it while a piece is in somebody's hand.
"""

from collections.abc import Iterable, Iterator

from geometry.check import Check, Finding, order
from geometry.checking import found_by
from geometry.checks import CHECKS, ORDER
from geometry.scene import Box6, Placed, Scene, bounds_of
from geometry.units import Point3

BY_CONTACT = frozenset({"body-overlap", "room-edge"})
"""Checks whose findings about a piece hang on nothing that does not touch it."""

WITHIN_REACH = frozenset({"service-space", "draw-out", "tool-swing", "pipe-room"})
"""Checks whose findings about a piece hang on nothing farther from it than its reach."""

BESIDE_MM = 150.0
"""Added to every reach: more than half the width of any handle or rod, and than what a piece may hang over."""

LONGEST_BEND_MM = 250.0
"""More than any pipe needs for its first bend, the tolerance counted."""

Step = tuple[str, tuple[Finding, ...]]
"""A check, and what it finds."""

_GROUPS = tuple(
    (checks, tuple(check for check in CHECKS if check.id in checks)) for checks in (BY_CONTACT, WITHIN_REACH)
)
_LAST = ("discharge", "way-out", "fitting-order")
"""Checks that look for pipes, and those that carry every piece out of the room: they take the longest."""


def _quickest_first(checks: Iterable[Check]) -> tuple[Check, ...]:
    return tuple(sorted(checks, key=lambda check: _LAST.index(check.id) if check.id in _LAST else -1))


_WHOLE = _quickest_first(check for check in CHECKS if check.id not in BY_CONTACT | WITHIN_REACH and not check.slow)
_SLOW = _quickest_first(check for check in CHECKS if check.slow)
_IDS_OF_SLOW = frozenset(check.id for check in _SLOW)


def recheck(
    before: Scene, found: tuple[Finding, ...], after: Scene, piece_id: str, *, slow: bool = True
) -> tuple[Finding, ...]:
    """Findings of ``after``, which is ``before`` with one piece put elsewhere; ``found`` are those of ``before``.

    Without ``slow`` the findings of the slow checks stay as they were: for a piece under somebody's finger.
    """
    every = [f for _, step in step_by_step(before, found, after, piece_id) for f in step]
    if slow:
        every += [f for _, step in slow_steps(before, after, piece_id) for f in step]
    else:
        every += [f for f in found if f.check in _IDS_OF_SLOW]
    return tuple(order(every, ORDER))


def step_by_step(before: Scene, found: tuple[Finding, ...], after: Scene, piece_id: str) -> Iterator[Step]:
    """What each quick check finds in ``after``, so that whoever has seen enough can stop; pipes last."""
    moved = [_box(scene, piece_id) for scene in (before, after)]
    for ids, checks in _GROUPS:
        near = {p.id for p in after.placed if any(_meet(_around(p, ids is WITHIN_REACH), box) for box in moved)}
        only = frozenset(near | {piece_id})
        for check in checks:
            kept = tuple(f for f in found if f.check == check.id and only.isdisjoint(f.pieces))
            yield check.id, kept + found_by(check, after, only)
    for check in _WHOLE:
        yield check.id, found_by(check, after)


def slow_steps(before: Scene, after: Scene, piece_id: str, first: str = "") -> Iterator[Step]:
    """What each slow check finds in ``after``: one that is asked for first, ways out last, which take the longest."""
    after.memo["like"] = (before, piece_id)
    try:
        for check in sorted(_SLOW, key=lambda check: check.id != first):
            yield check.id, found_by(check, after)
    finally:
        del after.memo["like"]


def _box(scene: Scene, piece_id: str) -> Box6:
    placed = scene.piece(piece_id)
    assert placed is not None
    return _around(placed, with_reach=False)


def _around(placed: Placed, with_reach: bool) -> Box6:
    """The box round a piece with everything that sticks out; with everything that is looked at about it too."""
    key = "reach" if with_reach else "bounds"
    if key not in placed.memo:
        placed.memo[key] = _box_round(placed, with_reach)
    box: Box6 = placed.memo[key]
    return box


def _box_round(placed: Placed, with_reach: bool) -> Box6:
    boxes = [bounds_of(solid.plan, solid.from_mm, solid.to_mm) for solid in placed.solids()]
    if with_reach:
        boxes += list(_reaches(placed))
    x0, y0, z0 = (min(box[axis] for box in boxes) for axis in range(3))
    x1, y1, z1 = (max(box[axis + 3] for box in boxes) for axis in range(3))
    return (x0, y0, z0, x1, y1, z1)


def _reaches(placed: Placed) -> Iterator[Box6]:
    for space in placed.kit.space:
        for part in placed.body:
            box = bounds_of(part, placed.base_mm, placed.top_mm)
            yield _shifted(box, placed.direction(space.side), space.mm)
    for port in placed.kit.port:
        mouth = placed.to_room(port.at_mm)
        yield _shifted((*mouth, *mouth), placed.direction(port.faces), LONGEST_BEND_MM)
    for access in placed.kit.access:
        at = placed.to_room(access.at_mm)
        here = (*at, *at)
        if access.draw_out:
            yield _shifted(here, placed.direction(access.faces), access.draw_out.length_mm)
        if access.swing:
            yield _grown(here, access.swing.length_mm)


def _shifted(box: Box6, way: Point3, length_mm: float) -> Box6:
    dx, dy, dz = (part * length_mm for part in way)
    return (box[0] + dx, box[1] + dy, box[2] + dz, box[3] + dx, box[4] + dy, box[5] + dz)


def _grown(box: Box6, by_mm: float) -> Box6:
    x0, y0, z0, x1, y1, z1 = box
    return (x0 - by_mm, y0 - by_mm, z0 - by_mm, x1 + by_mm, y1 + by_mm, z1 + by_mm)


def _meet(around: Box6, box: Box6) -> bool:
    reach = _grown(around, BESIDE_MM)
    return all(reach[axis] < box[axis + 3] and box[axis] < reach[axis + 3] for axis in range(3))
