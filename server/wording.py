"""Findings and sources in words, the same in pages and on the command line."""

import re
from datetime import date
from decimal import Decimal

from geometry.check import Finding, Verdict
from geometry.room import Answer
from geometry.rounding import Triple, agreeing, rounded
from geometry.rules import RulePack, Source
from geometry.words import listed

GIVEN_UP = "Not every move was tried for it: put other notes right first."
VERDICT_WORDS: dict[Verdict, str] = {
    "put-right": "put right",
    "look-again": "look again",
    "not-checked": "not checked",
    "no-fault": "no fault found",
}
VERDICT_MARKS: dict[Verdict, str] = {"put-right": "", "look-again": "la", "not-checked": "nc", "no-fault": "nf"}
VERDICT_MEANINGS: dict[Verdict, str] = {
    "put-right": "Something does not fit, cannot be worked on or breaks a rule in the list. The note says by how much"
    " it is short, and the smallest move that cures it. A named person may accept it in writing; it stays in every"
    " print all the same.",
    "look-again": "It fits, but by less than the survey tolerance; or a movable thing stands in the way; or a custom"
    " that is not a rule is not met. Measure again, or move it first.",
    "not-checked": "A measure or a fact is missing, or no drawing can tell. Each one is a question, with what would"
    " settle it. It counts as much as the rest.",
    "no-fault": "No fault found in these checks, with the measures given. It does not mean that there is none.",
}
REPRINT = re.compile(r"\bRead in [a-z ]*reprints?\b")
UNIT_WORDS = {"mm": "mm", "deg": "°", "m": "m", "kg": "kg", "kN/m2": "kN/m²", "cm2": "cm²", "l": "litres"}


def day_words(written: str) -> str:
    """A day as people write it; what is no day stays as it was written.

    >>> day_words("2026-11-05"), day_words("2026-02-31")
    ('5 November 2026', '2026-02-31')
    """
    try:
        day = date.fromisoformat(written)
    except ValueError:
        return written
    return f"{day.day} {day:%B %Y}"


def answer_words(answer: Answer | None) -> str:
    """What somebody wrote to a question, with name and day; nothing where nobody has.

    >>> told = Answer(check="look-on-site", by="A. Fitter", date="2026-11-25", answer="Studs at 400 mm.")
    >>> answer_words(told), answer_words(None)
    ('Answered by A. Fitter on 25 November 2026: Studs at 400 mm.', '')
    """
    return f"Answered by {answer.by} on {day_words(answer.date)}: {answer.answer}" if answer else ""


def source_line(source: Source) -> str:
    """A source in one line, with its standing.

    >>> source_line(Source("Hot water safety", "3.54", "2010", "guidance"))
    'Hot water safety, 3.54, 2010 (guidance)'
    >>> source_line(Source("Room to work", standing="common practice"))
    'Room to work (common practice)'
    """
    named = ", ".join(part for part in (source.document, source.clause, source.edition) if part)
    return f"{named} ({source.standing})"


def own_figures(pack: RulePack) -> str:
    """The figures that a room has put in the place of its pack's, in one sentence; nothing where it has none.

    >>> from geometry.room import Override
    >>> from geometry.rules import rule_pack
    >>> own_figures(rule_pack("england").with_overrides([Override(key="discharge-fall", value=100, note="the owner")]))
    "This room's own figures: Discharge fall: 100 instead of 200 mm of run for each mm of fall (the owner)."
    """
    return f"This room's own figures: {'; '.join(own.told for own in pack.overrides)}." if pack.overrides else ""


def read_in_reprints(pack: RulePack) -> str:
    """That figures of a pack were read in reprints, with the edition of the text; empty where none were.

    >>> from geometry.rules import rule_pack
    >>> read_in_reprints(rule_pack("england"))
    'Figures of the 2010 text, read in reprints: check the edition in force.'
    """
    second_hand = [figure for figure in pack.figures.values() if REPRINT.search(figure.note)]
    editions = sorted({figure.source.edition for figure in second_hand if figure.source.edition})
    text = f"the {listed(editions)} text{'s' * (len(editions) > 1)}" if editions else "the text"
    return f"Figures of {text}, read in reprints: check the edition in force." if second_hand else ""


def amount(value: float, unit: str) -> str:
    """A measure with its unit.

    >>> amount(1400, "mm"), amount(-2.5, "m"), amount(90, "deg"), amount(10.6428, "kN/m2")
    ('1,400 mm', '−2.5 m', '90°', '10.6 kN/m²')
    """
    return with_unit(rounded(value, unit), unit)


def with_unit(shown: Decimal, unit: str) -> str:
    """A rounded measure with its unit, without noughts at its end.

    >>> with_unit(Decimal("80.50"), "deg"), with_unit(Decimal("1200"), "mm")
    ('80.5°', '1,200 mm')
    """
    return plain_figure(shown) + ("" if unit == "deg" else " ") + UNIT_WORDS[unit]


def plain_figure(shown: Decimal) -> str:
    """A rounded measure without its unit.

    >>> plain_figure(Decimal("-1449.0"))
    '−1,449'
    """
    text = f"{shown:,f}".replace("-", "−")
    return text.rstrip("0").rstrip(".") if "." in text else text


def triple(finding: Finding) -> Triple:
    """What is needed, found and short in a finding, rounded so that the three agree."""
    return agreeing(finding.needed, finding.found, finding.short, finding.unit)


def most(finding: Finding) -> bool:
    """Whether what is needed is the most that may be: more than that was found, and something is wrong.

    >>> most(Finding("lifting", "look-again", "", needed=50, found=62, short=12, unit="kg"))
    True
    """
    needed, found, short = triple(finding)
    return bool(needed is not None and found is not None and short and found > needed)


def short_by(finding: Finding) -> str:
    """How much is short in a finding, with its unit; empty where nothing is.

    >>> short_by(Finding("reach", "put-right", "", needed=450.4, found=365.6, short=84.8))
    '84 mm'
    """
    short = triple(finding)[2]
    return with_unit(short, finding.unit) if short else ""
