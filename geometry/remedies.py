"""The smallest move or turn that cures a finding and opens no other put-right.

Every candidate is tried by running all the checks on the changed room before it is offered.

Candidates for each piece that a finding names: the nearest clear spot (the free places of its body and of the spaces
it needs, as a region of the plan: what is left of the room when the Minkowski sums with everything solid are taken
out), the same along its own wall for kit that hangs, up or down for kit that hangs, and the three other turns.

References
----------
T. Lozano-Perez, Spatial planning: a configuration space approach, IEEE Trans. Computers C-32 (1983).
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from math import ceil, copysign, floor, hypot

import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from geometry.ceilings import too_low
from geometry.check import Finding, Remedy, Verdict, mm
from geometry.checking import check_scene
from geometry.checks import CHECKS
from geometry.checks.draw_out import rod_probe
from geometry.clearing import Probe, side_probe
from geometry.kit import PLAN_SIDES
from geometry.rechecking import recheck
from geometry.scene import Placed, Scene, with_piece
from geometry.shapes import Footprint, hull, swept, turned
from geometry.units import DEPTH_TOLERANCE_MM, SAME_MM, Point
from geometry.words import start, the, towards

FARTHEST_MOVE_MM = 4_000.0
TURN_COUNTS_AS_MM = 400.0
"""A turn is offered before a move longer than this."""
RAISE_LIMIT_MM = 800.0
NO_MOVE_HELPS = frozenset({"size", "size outside", "outside", "end-place", "end place", "kit", "material", "shared"})
"""Topics of a pipe that another pipe or another end cures, not another place for a piece."""
NO_MOVE_CURES = frozenset({"floor-load", "wall-load", "vessel", "lifting", "compartment-air", "kit-list"})
"""Checks whose finding is the same wherever the piece stands along its wall or on the floor."""
ALL_NOTES, ONE_NOTE = 20_000, 4_000
"""Tries times pieces for all notes of a room, and for one."""
FEWEST_TRIES = 30
CLEAR_COUNTS_AS = 3
"""Tries that looking for the nearest clear spot is worth."""
STEPS_MM = (25, 50, 100, 150, 200, 300)
WORTH_MM, MORE_TRIES = 100.0, 4
"""How much longer a move may be, and how many more that cure are looked at, for one that leaves nothing tight."""

_Key = tuple[str, ...]


@dataclass(frozen=True)
class _Try:
    piece: str
    move_mm: Point = (0.0, 0.0)
    turn_deg: float = 0.0
    raise_mm: float = 0.0
    tight: int = 0

    @property
    def cost(self) -> float:
        turn = TURN_COUNTS_AS_MM if self.turn_deg else 0.0
        return turn + hypot(*self.move_mm) + abs(self.raise_mm)


@dataclass
class Patience:
    """How many more places may be tried: a room with hundreds of faults is not worth minutes of looking."""

    left: int

    @classmethod
    def for_room(cls, scene: Scene, effort: int) -> "Patience":
        """Fewer tries the more pieces there are, since each try looks at them all."""
        return cls(max(FEWEST_TRIES, effort // max(1, len(scene.placed))))

    def spent(self, tries: int = 1) -> bool:
        """Take some, and tell whether none are left."""
        self.left -= tries
        return self.left < 0


def with_remedies(scene: Scene, findings: Iterable[Finding], patience: Patience | None = None) -> tuple[Finding, ...]:
    """The findings, each put-right with its remedy where one was found, worst first while patience lasts."""
    every = tuple(findings)
    patience = patience or Patience.for_room(scene, ALL_NOTES)
    return tuple(
        replace(f, remedy=remedy_for(scene, f, every, patience))
        if f.verdict == "put-right" and f.accepted is None and patience.left > 0
        else f
        for f in every
    )


def remedy_for(
    scene: Scene, finding: Finding, before: tuple[Finding, ...] | None = None, patience: Patience | None = None
) -> Remedy | None:
    """The smallest move, turn or raise that cures a finding, or None.

    ``before`` are all findings of the scene, when they are at hand. A remedy leaves the finding without fault or
    inside the survey tolerance, and the put-rights it leaves are some of those there were, none of them worse.
    """
    if not a_move_may_cure(finding):
        return None
    found = before if before is not None else check_scene(scene)
    patience = patience or Patience.for_room(scene, ONE_NOTE)
    move = _first_that_cures(scene, finding, found, _moves(scene, finding, patience), patience)
    if move is not None and move.cost <= TURN_COUNTS_AS_MM:
        return _as_remedy(scene, move)
    turn = _first_that_cures(scene, finding, found, _turns(scene, finding, patience), patience)
    best = min((attempt for attempt in (move, turn) if attempt), key=lambda attempt: attempt.cost, default=None)
    return _as_remedy(scene, best) if best else None


def a_move_may_cure(finding: Finding) -> bool:
    """Whether places are tried for a finding at all: it measures something that hangs on where a piece stands.

    >>> a_move_may_cure(Finding("reach", "put-right", "", ("boiler",), short=40.0))
    True
    >>> a_move_may_cure(Finding("kit-list", "put-right", "No tundish is on the plan.", topic="tundish"))
    False
    """
    if finding.short is None or not finding.pieces or finding.check in NO_MOVE_CURES:
        return False
    return finding.topic.rpartition(", ")[2] not in NO_MOVE_HELPS


def _first_that_cures(
    scene: Scene, finding: Finding, found: tuple[Finding, ...], attempts: Iterable[_Try], patience: Patience
) -> _Try | None:
    old, best, more = _wrongs(found), None, MORE_TRIES
    for attempt in sorted(attempts, key=lambda attempt: (attempt.cost, attempt.piece)):
        if patience.spent() or (best and (attempt.cost > best.cost + WORTH_MM or more == 0)):
            break
        after = _cures(scene, finding, attempt, found, old)
        if after is None:
            continue
        more -= best is not None
        tight = _newly_tight(after, old)
        if best is None or tight < best.tight:
            best = replace(attempt, tight=tight)
        if not best.tight:
            break
    return best


def applied(scene: Scene, remedy: Remedy) -> Scene:
    """The room with a remedy made."""
    return _made(scene, _Try(remedy.piece, remedy.move_mm, remedy.turn_deg, remedy.raise_mm))


def _made(scene: Scene, attempt: _Try) -> Scene:
    placed = scene.piece(attempt.piece)
    assert placed is not None
    x, y = placed.piece.at_mm
    changes = {
        "at_mm": (x + attempt.move_mm[0], y + attempt.move_mm[1]),
        "turn_deg": (placed.piece.turn_deg + attempt.turn_deg) % 360,
        "base_mm": placed.base_mm + attempt.raise_mm,
    }
    return with_piece(scene, placed.piece.model_copy(update=changes))


def _place(finding: Finding) -> _Key:
    """One check on one side of the same pieces, whatever stands in the way."""
    return (finding.check, finding.topic, finding.side or "", *finding.pieces)


def _wrongs(findings: Iterable[Finding]) -> dict[_Key, tuple[Verdict, float]]:
    """The worst at each place where something is wrong: verdict and shortage in the check's own unit."""
    worst: dict[_Key, tuple[Verdict, float]] = {}
    for f in findings:
        if f.verdict in ("put-right", "look-again"):
            here = (f.verdict, f.short or 0.0)
            was = worst.get(_place(f), ("look-again", -1.0))
            worst[_place(f)] = max(was, here, key=lambda w: (w[0] == "put-right", w[1]))
    return worst


def _cures(
    scene: Scene, finding: Finding, attempt: _Try, found: tuple[Finding, ...], old: dict[_Key, tuple[Verdict, float]]
) -> dict[_Key, tuple[Verdict, float]] | None:
    """What is wrong after a move that cures the finding and makes nothing worse; None where it does not."""
    there = _made(scene, attempt)
    check = next(check for check in CHECKS if check.id == finding.check)
    if _still_wrong(_wrongs(check.find(there, frozenset(finding.pieces))), finding):
        return None
    if not _no_worse(_wrongs(recheck(scene, found, there, attempt.piece, slow=False)), old):
        return None
    after = _wrongs(recheck(scene, found, there, attempt.piece))
    return after if _no_worse(after, old) else None


def _newly_tight(new: dict[_Key, tuple[Verdict, float]], old: dict[_Key, tuple[Verdict, float]]) -> int:
    """How many places are to be measured again that were in order or put right before."""
    return sum(
        verdict == "look-again" and old.get(place, ("no-fault", 0.0))[0] != "look-again"
        for place, (verdict, _) in new.items()
    )


def _no_worse(new: dict[_Key, tuple[Verdict, float]], old: dict[_Key, tuple[Verdict, float]]) -> bool:
    """Whether the put-rights are some of those there were, none of them worse."""
    for place, (verdict, short) in new.items():
        was, was_short = old.get(place, ("no-fault", 0.0))
        if verdict == "put-right" and (was != "put-right" or short > was_short + 0.01):
            return False
        if verdict == "look-again" and was == "no-fault" and short > DEPTH_TOLERANCE_MM:
            return False
    return True


def _still_wrong(after: dict[_Key, tuple[Verdict, float]], finding: Finding) -> bool:
    verdict, short = after.get(_place(finding), ("no-fault", 0.0))
    return verdict == "put-right" or (verdict == finding.verdict and short > DEPTH_TOLERANCE_MM)


def _about(scene: Scene, finding: Finding) -> Iterator[Placed]:
    """The pieces that a finding names and that may be moved."""
    for ref in dict.fromkeys((*finding.pieces, *finding.against)):
        placed = scene.piece(ref)
        if placed is not None and not placed.piece.pinned:
            yield placed


def _moves(scene: Scene, finding: Finding, patience: Patience) -> Iterator[_Try]:
    for placed in _about(scene, finding):
        for spare in (scene.room.tolerance_mm, 0.0):
            if patience.spent(CLEAR_COUNTS_AS):
                break
            move = _nearest_clear(scene, placed, spare)
            if move is not None:
                yield _Try(placed.id, move)
        for length in _lengths(scene, finding):
            yield from _straight(placed, length, off_the_wall=finding.check == "room-edge")
        if placed.kit.stands_on != "wall" and finding.topic == "nothing-below":
            yield _Try(placed.id, raise_mm=placed.kit.base_mm - placed.base_mm)


def _turns(scene: Scene, finding: Finding, patience: Patience) -> Iterator[_Try]:
    for placed in _about(scene, finding):
        if placed.kit.stands_on != "wall":
            for turn in (90.0, 180.0, 270.0):
                if patience.spent(CLEAR_COUNTS_AS):
                    return
                yield _Try(placed.id, turn_deg=turn)
                yield from _turned_and_moved(scene, placed, turn)


def _lengths(scene: Scene, finding: Finding) -> tuple[int, ...]:
    """Moves worth trying: what is missing, with and without the survey tolerance; steps where that is not a length."""
    if finding.unit != "mm":
        return STEPS_MM
    short = finding.short or 0.0
    if finding.topic == "no-wall":
        return (round(short + scene.pack.number("hang-stand-off")),)
    return ceil(short - SAME_MM), ceil(short + scene.room.tolerance_mm - SAME_MM)


def _straight(placed: Placed, length: int, *, off_the_wall: bool) -> Iterator[_Try]:
    if not 0 < length <= FARTHEST_MOVE_MM:
        return
    for side in PLAN_SIDES:
        x, y, _ = placed.direction(side)
        if side in ("front", "behind") and placed.kit.stands_on == "wall" and not off_the_wall:
            continue
        yield _Try(placed.id, (x * length, y * length))
    if placed.kit.stands_on == "wall" and length <= RAISE_LIMIT_MM:
        yield _Try(placed.id, raise_mm=float(length))
        if length < placed.base_mm:
            yield _Try(placed.id, raise_mm=-float(length))


def _turned_and_moved(scene: Scene, placed: Placed, turn: float) -> Iterator[_Try]:
    again = _made(scene, _Try(placed.id, turn_deg=turn))
    there = again.piece(placed.id)
    assert there is not None
    move = _nearest_clear(again, there, scene.room.tolerance_mm)
    if move is not None and move != (0.0, 0.0):
        yield _Try(placed.id, move, turn)


def _nearest_clear(scene: Scene, placed: Placed, spare_mm: float) -> Point | None:
    """The shortest move, in whole millimetres, after which the piece and its spaces are clear."""
    outline = Polygon(scene.room.outline_mm)
    x, y = placed.piece.at_mm
    free: BaseGeometry = shapely.affinity.translate(outline, -x, -y)
    free = free.difference(shapely.union_all(list(_blocked(scene, placed, spare_mm))))
    if placed.kit.stands_on == "wall":
        rx, ry, _ = placed.direction("right")
        reach = FARTHEST_MOVE_MM
        free = free.intersection(LineString([(-rx * reach, -ry * reach), (rx * reach, ry * reach)]))
    if free.is_empty:
        return None
    nearest = nearest_points(shapely.Point(0.0, 0.0), free)[1]
    move = (_outward(nearest.x), _outward(nearest.y))
    return move if hypot(*move) <= FARTHEST_MOVE_MM else None


def _outward(value: float) -> float:
    """Round a move away from where it began, unless it is rounding itself."""
    whole = floor(abs(value) + 1e-3) if abs(value) % 1 < 1e-3 else ceil(abs(value))
    return copysign(float(whole), value) if whole else 0.0


def _blocked(scene: Scene, placed: Placed, spare_mm: float) -> Iterator[Polygon]:
    """Moves that put the piece, or a space that must be clear, into something solid."""
    bodies = [(s.plan, s.from_mm, s.to_mm) for s in placed.solids()]
    for plan, low, high in (*bodies, *_spaces(placed, spare_mm)):
        for solid in scene.solids:
            if solid.owner != placed.id and solid.meets_band(low, high):
                yield _moves_into(plan, solid.plan)
        for _, region in too_low(scene.roof, high - DEPTH_TOLERANCE_MM):
            yield _moves_into(plan, region)
    kept = [space for other in scene.placed if other.id != placed.id for space in _spaces(other, spare_mm)]
    for plan, low, high in () if placed.movable else bodies:
        for space, bottom, top in kept:
            if min(high, top) - max(low, bottom) > DEPTH_TOLERANCE_MM:
                yield _moves_into(plan, space)


def _spaces(placed: Placed, spare_mm: float) -> list[tuple[Footprint, float, float]]:
    """What has to be clear around a piece: plan and height band of every space and every draw-out that must be."""
    must = [space for space in placed.kit.space if space.need == "must" and space.mm > 0]
    probes = [(side_probe(placed, space.side, space.from_mm, space.to_mm), space.mm) for space in must]
    rods = [(access, access.draw_out) for access in placed.kit.access if access.draw_out]
    probes += [(rod_probe(placed, access, rod), rod.length_mm) for access, rod in rods]
    return [
        (swept(part, probe.direction, length + spare_mm), *_band(probe, length + spare_mm))
        for probe, length in probes
        for part in probe.parts
    ]


def _band(probe: Probe, length_mm: float) -> tuple[float, float]:
    up = probe.direction[2]
    if not up:
        return probe.from_mm, probe.to_mm
    return (probe.to_mm, probe.to_mm + length_mm) if up > 0 else (probe.from_mm - length_mm, probe.from_mm)


def _moves_into(plan: Footprint, other: Footprint) -> Polygon:
    """All moves of ``plan`` that make it overlap ``other`` by more than contact."""
    core = hull([(bx - ax, by - ay) for bx, by in other.points for ax, ay in plan.points])
    grown = Footprint(core, plan.radius_mm + other.radius_mm)
    return grown.polygon if len(core) > 2 or grown.radius_mm else Polygon()


def _as_remedy(scene: Scene, attempt: _Try) -> Remedy:
    placed = scene.piece(attempt.piece)
    assert placed is not None
    parts = []
    if attempt.turn_deg:
        x, y = turned((0.0, -1.0), placed.piece.turn_deg + attempt.turn_deg)
        parts.append(f"turn {the(placed.name)} to face {_facing(x, y)}")
    length = hypot(*attempt.move_mm)
    if length:
        way = towards(scene, placed.piece.at_mm, attempt.move_mm)
        first = abs(attempt.move_mm[0]) if min(abs(v) for v in attempt.move_mm) >= 0.5 and "door" not in way else length
        what = "it" if parts else the(placed.name)
        by = "by " if what[-1:].isdigit() else ""
        parts.append(f"move {what} {by}{mm(first)} {way}")
    if attempt.raise_mm:
        word = "raise" if attempt.raise_mm > 0 else "lower"
        parts.append(f"{word} {the(placed.name)} by {mm(abs(attempt.raise_mm))}")
    text = start(" and ".join(parts)) + "."
    return Remedy(attempt.piece, attempt.move_mm, attempt.turn_deg, text, attempt.raise_mm, attempt.tight)


def _facing(x: float, y: float) -> str:
    if abs(x) > abs(y):
        return "right" if x > 0 else "left"
    return "the back" if y > 0 else "the front"
