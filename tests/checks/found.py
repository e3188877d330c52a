"""What the tests of checks share: findings of one check on a sample room."""

from typing import Any

from geometry.check import Finding
from geometry.checks import CHECKS
from geometry.samples import sample_scene

Data = dict[str, Any]


def findings(check_id: str, kinds: list[Data], pieces: list[Data], **room: Any) -> list[Finding]:
    """All findings of one check in the sample room, which is 2,400 by 1,800 by 2,400 high."""
    (check,) = [check for check in CHECKS if check.id == check_id]
    return list(check.find(sample_scene(kinds, pieces, **room), None))


def wrong(found: list[Finding]) -> list[Finding]:
    """The findings that are put right or look again."""
    return [finding for finding in found if finding.verdict in ("put-right", "look-again")]


def only(found: list[Finding]) -> Finding:
    """The one finding there is."""
    (finding,) = found
    return finding
