"""A checked room as text, for people at a terminal."""

from collections.abc import Iterator

from geometry.answering import answer_to
from geometry.check import WORST_FIRST, Finding, tidy
from geometry.checking import Result
from geometry.comparing import Comparison
from server.cautions import IN_ONE_LINE, NO_FAULT_FOUND
from server.cures import what_to_do
from server.wording import GIVEN_UP, VERDICT_WORDS, answer_words, day_words, most, own_figures, short_by, source_line


def result_as_text(result: Result) -> str:
    """Counts, then every finding that asks for something, worst first, one line each."""
    return "\n".join(_lines(result)) + "\n"


def comparison_as_text(result: Result, other: Result, compared: Comparison) -> str:
    """What is new, gone or changed in a result against another, one line each; what is the same only counted."""
    return "\n".join(_differences(result, other, compared)) + "\n"


def _differences(result: Result, other: Result, compared: Comparison) -> Iterator[str]:
    new, gone, changed = len(compared.new), len(compared.gone), len(compared.changed)
    yield f"{result.room.name}, against {other.room.name}"
    yield f"{new} new, {gone} gone, {changed} changed, {compared.unchanged} unchanged."
    yield from _rules(result)
    if result.pack.figures != other.pack.figures:
        yield f"The other layout was checked by other rules: {other.pack.name}. {own_figures(other.pack)}".strip()
    for finding in compared.new:
        yield f"  +  NEW, {_verdict(finding)}: {' '.join(_told(finding))}"
    for change in compared.changed:
        was = f"was {_verdict(change.before)}: {change.before.message}"
        yield f"  *  CHANGED, now {_verdict(change.after)}: {' '.join(_told(change.after))} Before, it {was}"
    for finding in compared.gone:
        yield f"  -  GONE, was {_verdict(finding)}: {finding.message}"


def _rules(result: Result) -> Iterator[str]:
    edition = f", {result.pack.edition}" if result.pack.edition else ""
    yield f"Rules: {result.pack.name}{edition}. Survey tolerance: {tidy(result.room.tolerance_mm)} mm."
    if result.pack.overrides:
        yield own_figures(result.pack)


def _lines(result: Result) -> Iterator[str]:
    yield result.room.name
    yield ", ".join(f"{result.counts[verdict]} {VERDICT_WORDS[verdict]}" for verdict in WORST_FIRST) + "."
    yield from _rules(result)
    for number, finding in enumerate(_wrong(result), 1):
        yield f"{number:>3}  {_verdict(finding)}: {' '.join(_told(finding))}"
    for finding in result.findings:
        if finding.verdict == "not-checked":
            answered = answer_words(answer_to(result.room, finding))
            yield f"  ?  NOT CHECKED: {' '.join([*_told(finding), answered]).strip()}"
    yield f"{NO_FAULT_FOUND} What is not checked counts as much as what is."
    yield f"Cautions: {IN_ONE_LINE}"


def _wrong(result: Result) -> list[Finding]:
    return [finding for finding in result.findings if finding.verdict in ("put-right", "look-again")]


def _verdict(finding: Finding) -> str:
    words = VERDICT_WORDS[finding.verdict].upper()
    accepted = finding.accepted
    return f"{words} (accepted by {accepted.by} on {day_words(accepted.on)}: {accepted.reason})" if accepted else words


def _told(finding: Finding) -> Iterator[str]:
    yield finding.message
    if short := short_by(finding):
        yield f"{short} {'too much' if most(finding) else 'short'}."
    if finding.remedy:
        yield f"Do: {_sentence(finding.remedy.text)}"
    elif do := what_to_do(finding):
        yield do
    if finding.given_up:
        yield GIVEN_UP
    if finding.question and finding.question not in finding.message:
        yield finding.question
    if finding.source:
        yield f"[{source_line(finding.source)}]"


def _sentence(text: str) -> str:
    return text if text.endswith((".", "?", "!")) else text + "."
