"""Findings as the margin notes and questions of the workbench."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from geometry.check import Finding, Remedy
from server.checked import key_of
from server.wording import VERDICT_MARKS, day_words, most, short_by, source_line, triple, with_unit

PIPED = ("discharge", "condensate", "overflow", "relief")
NUMBERED = ("put-right", "look-again")
WRITTEN_BASIS = {"memory": "from memory", "manual": "from the manual"}


@dataclass(frozen=True)
class Measure:
    """One measure of the ruled line; ``missing`` is the one that is written in red."""

    word: str
    value: str
    missing: bool = False


@dataclass(frozen=True)
class Opened:
    """What the sheet of a picked note says beside the note itself; ``pipe_of`` is the piece whose pipe it is about."""

    measures: tuple[Measure, ...]
    reason: str
    source: str
    basis: str
    remedy: Remedy | None
    may_accept: bool
    pipe_of: str = ""

    @property
    def follows(self) -> str:
        """What the smallest move leads to, as checking the room with it made has found."""
        tight = self.remedy.tight if self.remedy else 0
        if not tight:
            return "This note then closes and no other opens."
        return f"Then {tight} tight {'place stays' if tight == 1 else 'places stay'} to measure again."


@dataclass(frozen=True)
class Note:
    """One numbered note."""

    finding: Finding
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


def _note(number: int, finding: Finding, picked: str, remedy: Remedy | None) -> Note:
    key = key_of(finding)
    return Note(
        finding=finding,
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
    if not short or finding.verdict != "put-right":
        return ""
    return f"{short} too much." if most(finding) else f"Short by {short}."


def _accepted(finding: Finding) -> str:
    written = finding.accepted
    return f"Accepted by {written.by} on {day_words(written.on)}: {written.reason}" if written else ""


def _opened(finding: Finding, remedy: Remedy | None) -> Opened:
    return Opened(
        measures=tuple(_measures(finding)),
        reason=finding.reason,
        source=source_line(finding.source) if finding.source else "",
        basis=WRITTEN_BASIS.get(finding.basis or "", finding.basis or ""),
        remedy=remedy,
        may_accept=finding.verdict == "put-right" and finding.accepted is None and bool(finding.pieces),
        pipe_of=finding.pieces[0] if finding.check in PIPED and finding.pieces else "",
    )


def _measures(finding: Finding) -> Iterator[Measure]:
    """What the check measured, as a fitter says it: millimetres are named once, at the end.

    What is needed is the most that may be where more was found and something is wrong: a stand-off, a height band.
    Of what goes into something only how far is told.
    """
    needed, found, short = triple(finding)
    over = most(finding)
    inside = needed == 0 and found is not None and found < 0
    if needed is not None and not inside:
        yield Measure("at most" if over else "needed", with_unit(needed, finding.unit).removesuffix(" mm"))
    if found is not None and not inside:
        yield Measure("found", with_unit(found, finding.unit).removesuffix(" mm" if short is not None else ""))
    if short:
        yield Measure("too much" if over else "short", with_unit(short, finding.unit), finding.verdict == "put-right")
    elif short is not None and needed is not None and found is not None:
        yield Measure("to spare", with_unit(abs(found - needed), finding.unit))
