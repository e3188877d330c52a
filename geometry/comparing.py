"""What changed between two checked layouts: findings that are new, that are gone, and whose measure or verdict changed.

Two findings are the same thing when check, topic, side and what they are about are the same. A wall or a piece that is
met instead of another does not make it another thing: what is left over is matched again by less, while one finding
stands against one.
"""

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from geometry.check import Finding, tidy


@dataclass(frozen=True)
class Change:
    """One finding before and after."""

    before: Finding
    after: Finding


@dataclass(frozen=True)
class Comparison:
    """Everything that differs, each list in the order of its own findings; and how many are the same."""

    new: tuple[Finding, ...]
    gone: tuple[Finding, ...]
    changed: tuple[Change, ...]
    unchanged: int

    def as_json(self) -> dict[str, Any]:
        """Plain values in a fixed order."""
        return {
            "new": [finding.as_json() for finding in self.new],
            "gone": [finding.as_json() for finding in self.gone],
            "changed": [
                {"before": change.before.as_json(), "after": change.after.as_json()} for change in self.changed
            ],
            "unchanged": self.unchanged,
        }  # fmt: skip


_KEYS: tuple[Callable[[Finding], Hashable], ...] = (
    lambda finding: finding.key,
    lambda finding: (finding.check, finding.topic, finding.side, finding.pieces),
    lambda finding: (finding.check, finding.topic, finding.side, frozenset(finding.pieces)),
    lambda finding: (finding.check, finding.topic.replace("move-first", "").strip(", "), finding.side, finding.pieces),
)


def compared(before: Iterable[Finding], after: Iterable[Finding]) -> Comparison:
    """What is different in ``after``.

    >>> one = Finding("stand-up", "no-fault", "Stands up.", ("p1",), needed=1673, found=1900)
    >>> two = Finding("stand-up", "put-right", "Does not stand up.", ("p1",), ("ceiling",), needed=1911, found=1900)
    >>> [(change.before.verdict, change.after.verdict) for change in compared([one], [two]).changed]
    [('no-fault', 'put-right')]
    """
    every = list(after)
    old, new = list(before), every
    pairs: list[tuple[Finding, Finding]] = []
    for key in _KEYS:
        found = _matched(old, new, key)
        pairs += found
        old = _without(old, [one for one, _ in found])
        new = _without(new, [two for _, two in found])
    place = {id(finding): k for k, finding in enumerate(every)}
    pairs.sort(key=lambda pair: place[id(pair[1])])
    changed = tuple(Change(one, two) for one, two in pairs if measures(one) != measures(two))
    return Comparison(tuple(new), tuple(old), changed, len(pairs) - len(changed))


def measures(finding: Finding) -> tuple[Any, ...]:
    """What may change on the same thing: verdict, measures and whether it is accepted."""
    figures = (tidy(finding.needed), tidy(finding.found), tidy(finding.short), finding.unit)
    return (finding.verdict, *figures, finding.accepted)


def _matched(
    old: Sequence[Finding], new: Sequence[Finding], key: Callable[[Finding], Hashable]
) -> list[tuple[Finding, Finding]]:
    """Pairs of one finding against one, under a key; several of one key are matched only where all measures agree."""
    before, after = _by(old, key), _by(new, key)
    found = []
    for name, some in after.items():
        others = before.get(name, [])
        if len(some) == len(others) == 1:
            found.append((others[0], some[0]))
            continue
        for finding in some:
            same = next((other for other in others if measures(other) == measures(finding)), None)
            if same is not None:
                found.append((same, finding))
                others = _without(others, [same])
    return found


def _by(findings: Iterable[Finding], key: Callable[[Finding], Hashable]) -> dict[Hashable, list[Finding]]:
    groups: dict[Hashable, list[Finding]] = defaultdict(list)
    for finding in findings:
        groups[key(finding)].append(finding)
    return groups


def _without(findings: Sequence[Finding], taken: Iterable[Finding]) -> list[Finding]:
    ids = {id(finding) for finding in taken}
    return [finding for finding in findings if id(finding) not in ids]
