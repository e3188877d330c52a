"""The checks as their page shows them: reason, source, limits, and an example that was really checked."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from markupsafe import Markup

from geometry.check import Check
from geometry.checks import CHECKS
from geometry.words import start
from server.check_limits import LIMITS
from server.examples import caption_of, example_of, picture_of
from server.shown_figures import edition_words
from server.wording import VERDICT_MARKS, VERDICT_WORDS, triple, with_unit


@dataclass(frozen=True)
class ShownCheck:
    """One check with its example: picture, what is found in it, and the figures."""

    check: Check
    limits: str
    document: str
    clause: str
    edition: str
    standing: str
    picture: Markup
    caption: str
    message: str
    mark: str
    verdict: str
    measures: tuple[tuple[str, str], ...]


@cache
def shown_checks() -> tuple[ShownCheck, ...]:
    """Every check, in the order of the report. Drawn once, then kept."""
    return tuple(_shown(check) for check in CHECKS)


def _shown(check: Check) -> ShownCheck:
    finding, source = example_of(check.id).finding, check.source
    return ShownCheck(
        check=check, limits=LIMITS[check.id], document=source.document, clause=_clause(source.clause),
        edition=edition_words(source.edition), standing=source.standing,
        picture=picture_of(check.id), caption=caption_of(check.id),
        message=finding.question or finding.message if finding.verdict == "not-checked" else finding.message,
        mark=VERDICT_MARKS[finding.verdict], verdict=VERDICT_WORDS[finding.verdict],
        measures=tuple(_measures(check.id)),
    )  # fmt: skip


def _clause(clause: str) -> str:
    """Where in a document, as a sentence starts.

    >>> _clause("3.55: the discharge is seen"), _clause("service clearances"), _clause("")
    ('Clause 3.55: the discharge is seen', 'Service clearances', '')
    """
    return f"Clause {clause}" if clause[:1].isdecimal() else start(clause) if clause else ""


def _measures(check: str) -> Iterator[tuple[str, str]]:
    finding = example_of(check).finding
    needed, found, short = triple(finding)
    first = "at most" if short and needed is not None and found is not None and found > needed else "needed"
    last = "too much" if first == "at most" else "short"
    if not needed and short:  # an overlap: only its depth says something
        yield "too far", with_unit(short, finding.unit)
        return
    for word, value in ((first, needed), ("found", found), (last, short)):
        if value is not None and needed is not None and found is not None and (value or word != last):
            yield word, with_unit(value, finding.unit)
