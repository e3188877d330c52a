"""Findings as the margin notes and questions of the workbench."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from geometry.check import Finding, Remedy
from server.checked import key_of
from server.wording import VERDICT_MARKS, short_by, source_line, triple, with_unit

NUMBERED = ("put-right", "look-again")
WRITTEN_BASIS = {"memory": "from memory", "manual": "from the manual"}


@dataclass(frozen=True)
class Opened:
    """What the sheet of a picked note says beside the note itself."""

    measures: tuple[tuple[str, str], ...]
    reason: str
    source: str
    basis: str
    remedy: Remedy | None
    may_accept: bool


@dataclass(frozen=True)
class Note:
    """One numbered note."""

    number: int
    key: str
    check: str
    verdict: str
    mark: str
    title: str
    message: str
    short: str
    accepted: str
    opened: Opened | None

    @property
    def anchor(self) -> str:
        """An id for the page: the same finding has the same one in two layouts."""
        return "note-" + "".join(c if c.isalnum() else f"-{ord(c):x}-" for c in self.key)


def numbered(findings: Sequence[Finding]) -> list[tuple[int, Finding]]:
    """What asks for something, worst first, with its number."""
    return list(enumerate((finding for finding in findings if finding.verdict in NUMBERED), 1))


def notes_of(findings: Sequence[Finding], picked: str, remedy: Remedy | None) -> list[Note]:
    """Every numbered note; the picked one with its sheet."""
    return [_note(number, finding, picked, remedy) for number, finding in numbered(findings)]


def questions_of(findings: Sequence[Finding]) -> list[str]:
    """What was not checked, as questions, each once."""
    asked = (finding.question or finding.message for finding in findings if finding.verdict == "not-checked")
    return list(dict.fromkeys(asked))


def _note(number: int, finding: Finding, picked: str, remedy: Remedy | None) -> Note:
    key = key_of(finding)
    return Note(
        number=number,
        key=key,
        check=finding.check,
        verdict=finding.verdict,
        mark=VERDICT_MARKS[finding.verdict],
        title=finding.title,
        message=finding.message,
        short=_short(finding),
        accepted=_accepted(finding),
        opened=_opened(finding, remedy) if key == picked else None,
    )


def _short(finding: Finding) -> str:
    short = short_by(finding)
    return f"Short by {short}." if short and finding.verdict == "put-right" else ""


def _accepted(finding: Finding) -> str:
    written = finding.accepted
    return f"Accepted by {written.by} on {written.on}: {written.reason}" if written else ""


def _opened(finding: Finding, remedy: Remedy | None) -> Opened:
    return Opened(
        measures=tuple(_measures(finding)),
        reason=finding.reason,
        source=source_line(finding.source) if finding.source else "",
        basis=WRITTEN_BASIS.get(finding.basis or "", finding.basis or ""),
        remedy=remedy,
        may_accept=finding.verdict == "put-right" and finding.accepted is None and bool(finding.pieces),
    )


def _measures(finding: Finding) -> Iterator[tuple[str, str]]:
    """Needed, found and short as they stand in the ruled line: millimetres are named once, at the end."""
    for word, value in zip(("needed", "found", "short"), triple(finding), strict=True):
        if value is not None:
            shown = with_unit(value, finding.unit)
            yield word, shown.removesuffix(" mm") if word != "short" else shown
