"""The smallest move or turn that cures a finding and opens no other put-right.

Candidates are tried from the smallest on, each by running the checks on the changed room: first the check that found
something, about the pieces that it named; then all others, the quickest first, until one of them finds that something
is worse. What is offered has been through every check. How much is tried in all is limited by the size of the room,
and a finding for which not everything was tried says so.
"""

from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property
from math import hypot, inf

from geometry.check import Finding, Remedy, Verdict, mm
from geometry.checking import check_scene
from geometry.checks import CHECKS
from geometry.rechecking import Step, slow_steps, step_by_step
from geometry.remedy_tries import TURN_COUNTS_AS_MM, Patience, Try, made, moves, turns
from geometry.scene import Scene
from geometry.shapes import turned
from geometry.units import DEPTH_TOLERANCE_MM
from geometry.words import start, the, towards

NO_MOVE_HELPS = frozenset({"size", "size outside", "outside", "end-place", "end place", "kit", "material", "shared"})
"""Topics of a pipe that another pipe or another end cures, not another place for a piece."""
NO_MOVE_CURES = frozenset({"floor-load", "wall-load", "vessel", "lifting", "compartment-air", "kit-list"})
"""Checks whose finding is the same wherever the piece stands along its wall or on the floor."""
ALL_NOTES, ONE_NOTE = 120_000, 60_000
"""Effort times pieces for all notes of a room, and for one."""
TRY_COUNTS_AS, QUICK_COUNTS_AS, SLOW_COUNTS_AS = 2, 1, 10
"""Effort of looking once more with the check that found something, and of one check, quick or slow, of a whole room."""
PIPE_COUNTS_AS, WAY_COUNTS_AS = 5, 2_400
"""Besides: effort of each pipe that a check looks for, and effort times pieces of each way out that is not plain."""
WORTH_MM, MORE_TRIES = 100.0, 4
"""How much longer a move may be, and how many more that cure are looked at, for one that leaves nothing tight."""

_Key = tuple[str, ...]
_Wrongs = dict[_Key, tuple[Verdict, float]]
PIPED = ("discharge", "relief", "condensate", "overflow")
LONG = frozenset((*PIPED, "way-out"))
"""Checks so long that the others are asked before them whether a try makes something worse."""
WRONG = ("put-right", "look-again")
_BY_ID = {check.id: check for check in CHECKS}


@dataclass(frozen=True)
class Sought:
    """What looking for a remedy has found; ``given_up`` where not everything was tried and nothing was found."""

    remedy: Remedy | None = None
    given_up: bool = False


def with_remedies(scene: Scene, findings: Iterable[Finding], patience: Patience | None = None) -> tuple[Finding, ...]:
    """The findings, each put-right with its remedy where one was found, worst first while patience lasts."""
    every = tuple(findings)
    search = _Search(scene, every, patience or Patience.for_room(scene, ALL_NOTES))
    return tuple(_with_remedy(search, f) if f.verdict == "put-right" and f.accepted is None else f for f in every)


def _with_remedy(search: "_Search", finding: Finding) -> Finding:
    sought = search.look_for(finding)
    return replace(finding, remedy=sought.remedy, given_up=sought.given_up)


def look_for(
    scene: Scene, finding: Finding, before: tuple[Finding, ...] | None = None, patience: Patience | None = None
) -> Sought:
    """The smallest move, turn or raise that cures a finding, and whether looking for it was given up.

    ``before`` are all findings of the scene, when they are at hand. A remedy leaves the finding without fault or
    inside the survey tolerance, and the put-rights it leaves are some of those there were, none of them worse.
    """
    if not a_move_may_cure(finding):
        return Sought()
    found = before if before is not None else check_scene(scene)
    return _Search(scene, found, patience or Patience.for_room(scene, ONE_NOTE)).look_for(finding)


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


def applied(scene: Scene, remedy: Remedy) -> Scene:
    """The room with a remedy made."""
    return made(scene, Try(remedy.piece, remedy.move_mm, remedy.turn_deg, remedy.raise_mm))


@dataclass
class _Search:
    """The room, what is found in it, and what has been tried so far: the same try serves every finding."""

    scene: Scene
    found: tuple[Finding, ...]
    patience: Patience
    tried: dict[tuple[Try, bool], _Wrongs | None] = field(default_factory=dict)
    """By try, and whether the slow checks are meant: what is wrong then, or None where something is worse."""

    @cached_property
    def old(self) -> _Wrongs:
        """What is wrong in the room as it is."""
        return _wrongs(self.found)

    @cached_property
    def effort(self) -> dict[str, int]:
        """What each check of a changed room is worth, by what there was to be told of the room as it is."""
        effort = {check.id: SLOW_COUNTS_AS if check.slow else QUICK_COUNTS_AS for check in CHECKS}
        for check in PIPED:
            drawn = {f.pieces for f in self.found if f.check == check and f.verdict != "not-checked"}
            effort[check] += PIPE_COUNTS_AS * len(drawn)
        ways = [f.verdict for f in self.found if f.check == "way-out"]
        effort["way-out"] += len(ways) + sum(one in WRONG for one in ways) * WAY_COUNTS_AS // max(
            1, len(self.scene.placed)
        )
        return effort

    def look_for(self, finding: Finding) -> Sought:
        """The smallest move that cures a finding, or a turn where none is smaller than that counts."""
        if not a_move_may_cure(finding):
            return Sought()
        if self.patience.left <= 0:
            return Sought(given_up=True)
        best = self._first_that_cures(finding, moves(self.scene, finding, self.patience))
        if best is None or best.cost > TURN_COUNTS_AS_MM:
            least = best.cost if best else inf
            better = (one for one in turns(self.scene, finding, self.patience) if one.cost < least)
            best = self._first_that_cures(finding, better) or best
        if best is None:
            return Sought(given_up=self.patience.left <= 0)
        return Sought(_as_remedy(self.scene, best, self._tight(best)))

    def _first_that_cures(self, finding: Finding, attempts: Iterable[Try]) -> Try | None:
        """The smallest of some; one that is a little larger where that leaves fewer places tight."""
        waiting = deque(sorted(dict.fromkeys(attempts), key=lambda one: (one.cost, one.piece)))
        while waiting:
            best, fewest = None, inf
            for tight, _, attempt in sorted(self._likely(finding, waiting)):
                if tight >= fewest:
                    break
                if self._wrong_after(finding, attempt, slow=True) is not None and self._tight(attempt) < fewest:
                    best, fewest = attempt, self._tight(attempt)
            if best:
                return best
        return None

    def _likely(self, finding: Finding, waiting: "deque[Try]") -> Iterator[tuple[int, int, Try]]:
        """The next that stand the quick checks, with how many places they leave tight: little larger than the first.

        Nothing comes after one that leaves nothing tight.
        """
        found: list[Try] = []
        while waiting and len(found) <= MORE_TRIES:
            if found and waiting[0].cost > found[0].cost + WORTH_MM:
                return
            if self.patience.spent(TRY_COUNTS_AS):
                waiting.clear()
                return
            attempt = waiting.popleft()
            wrong = self._wrong_after(finding, attempt, slow=False)
            if wrong is not None:
                found.append(attempt)
                tight = _newly_tight(wrong, self.old)
                yield tight, len(found), attempt
                if not tight:
                    return

    def _wrong_after(self, finding: Finding, attempt: Try, *, slow: bool) -> _Wrongs | None:
        """What the quick checks, or the slow ones, find wrong after a try; None where it is no cure."""
        key, there = (attempt, slow), None
        if key in self.tried and self.tried[key] is None:
            return None
        if not slow and finding.check not in LONG:
            there = made(self.scene, attempt)
            if _still_wrong(_wrongs(_BY_ID[finding.check].find(there, frozenset(finding.pieces))), finding):
                return None
        if key not in self.tried and not self._run(there or made(self.scene, attempt), attempt, finding, slow=slow):
            return None
        wrong = self.tried[key]
        return None if wrong is None or _still_wrong(wrong, finding) else wrong

    def _run(self, there: Scene, attempt: Try, finding: Finding, *, slow: bool) -> bool:
        """Run the quick checks or the slow ones after a try, until one finds something worse, or the finding still."""
        every: _Wrongs = {}
        for check, found in self._steps(there, attempt.piece, finding.check, slow=slow):
            self.patience.spent(self.effort[check])
            wrong = _wrongs(found)
            if not _no_worse(wrong, self.old):
                self.tried[attempt, slow] = None
                return False
            if check == finding.check and _still_wrong(wrong, finding):
                return False
            every |= wrong
        self.tried[attempt, slow] = every
        return True

    def _steps(self, there: Scene, moved: str, first: str, *, slow: bool) -> Iterator[Step]:
        """What each check finds there; of the slow ones first that which has to find less."""
        if slow:
            return slow_steps(self.scene, there, moved, first)
        return step_by_step(self.scene, self.found, there, moved)

    def _tight(self, attempt: Try) -> int:
        """How many places are newly tight after a try that has been through all the checks."""
        wrong = (self.tried[attempt, False] or {}) | (self.tried[attempt, True] or {})
        return _newly_tight(wrong, self.old)


def _place(finding: Finding) -> _Key:
    """One check on one side of the same pieces, whatever stands in the way."""
    return (finding.check, finding.topic, finding.side or "", *finding.pieces)


def _wrongs(findings: Iterable[Finding]) -> _Wrongs:
    """The worst at each place where something is wrong: verdict and shortage in the check's own unit."""
    worst: _Wrongs = {}
    for f in findings:
        if f.verdict in WRONG:
            here = (f.verdict, f.short or 0.0)
            was = worst.get(_place(f), ("look-again", -1.0))
            worst[_place(f)] = max(was, here, key=lambda w: (w[0] == "put-right", w[1]))
    return worst


def _newly_tight(new: _Wrongs, old: _Wrongs) -> int:
    """How many places are to be measured again that were in order or put right before."""
    return sum(
        verdict == "look-again" and old.get(place, ("no-fault", 0.0))[0] != "look-again"
        for place, (verdict, _) in new.items()
    )


def _no_worse(new: _Wrongs, old: _Wrongs) -> bool:
    """Whether the put-rights are some of those there were, none of them worse."""
    for place, (verdict, short) in new.items():
        was, was_short = old.get(place, ("no-fault", 0.0))
        if verdict == "put-right" and (was != "put-right" or short > was_short + 0.01):
            return False
        if verdict == "look-again" and was == "no-fault" and short > DEPTH_TOLERANCE_MM:
            return False
    return True


def _still_wrong(after: _Wrongs, finding: Finding) -> bool:
    verdict, short = after.get(_place(finding), ("no-fault", 0.0))
    return verdict == "put-right" or (verdict == finding.verdict and short > DEPTH_TOLERANCE_MM)


def _as_remedy(scene: Scene, attempt: Try, tight: int) -> Remedy:
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
    return Remedy(attempt.piece, attempt.move_mm, attempt.turn_deg, text, attempt.raise_mm, tight)


def _facing(x: float, y: float) -> str:
    if abs(x) > abs(y):
        return "right" if x > 0 else "left"
    return "the back" if y > 0 else "the front"
