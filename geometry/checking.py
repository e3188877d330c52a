"""Run the checks: room in, ordered findings out."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from geometry.check import VERDICTS, Check, Finding, order, tidy, with_title
from geometry.checks import CHECKS, ORDER
from geometry.room import Accepted, Room
from geometry.rules import RulePack, Source, pack_of, rule_pack
from geometry.scene import Scene, build


@dataclass(frozen=True)
class Result:
    """All findings of one layout, worst first."""

    room: Room
    pack: RulePack
    findings: tuple[Finding, ...]

    @property
    def counts(self) -> dict[str, int]:
        """How many findings of each verdict, always all four."""
        counted = Counter(finding.verdict for finding in self.findings)
        return {verdict: counted[verdict] for verdict in VERDICTS}

    def as_json(self) -> dict[str, Any]:
        """Plain values in a fixed order."""
        return {
            "room": self.room.name,
            "rules": _rules_json(self.pack),
            "tolerance_mm": tidy(self.room.tolerance_mm),
            "counts": self.counts,
            "findings": [finding.as_json() for finding in self.findings],
        }


def check_scene(
    scene: Scene, only: frozenset[str] | None = None, checks: Sequence[Check] = CHECKS
) -> tuple[Finding, ...]:
    """Findings of every check, worst first; only those about the pieces in ``only`` when that is given."""
    return tuple(order((f for check in checks for f in found_by(check, scene, only)), ORDER))


def found_by(check: Check, scene: Scene, only: frozenset[str] | None = None) -> tuple[Finding, ...]:
    """Findings of one check, with title, source and what was accepted, as the check yields them."""
    source = source_of(scene.pack, check)
    found = [with_title(finding, check, source) for finding in check.find(scene, only)]
    return tuple(_accepted(scene.room, finding) for finding in found)


def check_room(room: Room) -> Result:
    """Check a whole room, without remedies."""
    return Result(room, pack_of(room), check_scene(build(room)))


def source_of(pack: RulePack, check: Check) -> Source:
    """What a check stands on in a pack: the pack's own source of the same figure, where it has one."""
    key = _figures_by_source().get(id(check.source))
    return pack.source(key) if key else check.source


@cache
def _figures_by_source() -> dict[int, str]:
    return {id(figure.source): key for key, figure in rule_pack("england").figures.items()}


def _rules_json(pack: RulePack) -> dict[str, Any]:
    """Pack and edition, and the room's own figures where it has any."""
    told: dict[str, Any] = {"pack": pack.key, "edition": pack.edition}
    own = [one.as_json() for one in sorted(pack.overrides, key=lambda one: one.figure.key)]
    return told | ({"overrides": own} if own else {})


def _accepted(room: Room, finding: Finding) -> Finding:
    if finding.verdict != "put-right":
        return finding
    found = _acceptance(room, finding)
    return replace(finding, accepted=found) if found else finding


def _acceptance(room: Room, finding: Finding) -> Accepted | None:
    about = {*finding.pieces, *finding.against}
    for ref in (*finding.pieces, *finding.against):
        piece = room.piece(ref)
        for accepted in piece.accepted if piece else ():
            if accepted.check == finding.check and set(accepted.about) <= about:
                return accepted
    return None
