"""The lines of the report: findings, questions, kit and what was checked, ready to be printed."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from geometry.answering import answer_to
from geometry.check import VERDICTS, WORST_FIRST, Check, Finding, Verdict, tidy
from geometry.checks import CHECKS
from geometry.parts import part_words
from geometry.remedies import a_move_may_cure
from geometry.room import Room
from geometry.scene import Placed
from geometry.words import start
from server.cures import cure_words, has_words
from server.web import mm as plain_mm
from server.wording import (
    GIVEN_UP,
    VERDICT_MARKS,
    VERDICT_WORDS,
    answer_words,
    day_words,
    most,
    plain_figure,
    source_line,
    triple,
    with_unit,
)

NOTHING = "–"
BASIS_WORDS = {"typical": "typical", "manual": "from manual", "measured": "measured", "memory": "from memory"}


@dataclass(frozen=True)
class Line:
    """One finding as one line of the report."""

    number: int
    finding: Finding
    needed: str
    found: str
    short: str
    move: str
    source: str

    @property
    def mark(self) -> str:
        """The class of its mark: none for put right, dashed for look again."""
        return VERDICT_MARKS[self.finding.verdict]


def numbered(findings: Iterable[Finding]) -> list[tuple[int, Finding]]:
    """Put right and look again, worst first, numbered from 1; accepted ones keep their number."""
    return list(enumerate((f for f in findings if f.verdict in ("put-right", "look-again")), 1))


def counts_of(findings: Sequence[Finding]) -> dict[Verdict, int]:
    """How many findings each verdict has, worst first."""
    return {verdict: sum(finding.verdict == verdict for finding in findings) for verdict in WORST_FIRST}


def lines(findings: Iterable[Finding]) -> list[Line]:
    """A line for each numbered finding."""
    every = numbered(findings)
    letters = {text: letter for letter, text in sources(f for _, f in every)}
    return [
        Line(number, finding, *_measures(finding), _move(finding), _source(finding, letters))
        for number, finding in every
    ]


def sources(findings: Iterable[Finding]) -> list[tuple[str, str]]:
    """A letter for each source that the numbered findings rest on, in the order in which they are met."""
    used = dict.fromkeys(source_line(f.source) for _, f in numbered(findings) if f.source)
    return [(_letter(number), text) for number, text in enumerate(used)]


def _letter(number: int) -> str:
    """A, B, ... Z, AA, AB, ...

    >>> _letter(0), _letter(25), _letter(26)
    ('A', 'Z', 'AA')
    """
    return (_letter(number // 26 - 1) if number > 25 else "") + chr(65 + number % 26)


def _measures(finding: Finding) -> tuple[str, str, str]:
    """Needed, found, and short, too much or spare, as they stand in their columns."""
    needed, found, short = triple(finding)
    if needed == 0 and short:
        return NOTHING, NOTHING, _measure(short, finding)
    if most(finding):
        limit, over = _measure(needed, finding), _measure(short, finding)
        return f"at most {limit}", _measure(found, finding), f"{over} too much"
    spare = found - needed if needed is not None and found is not None and not short else None
    last = _measure(short, finding) if short else NOTHING
    if spare is not None and spare >= 0:
        last = f"spare {_measure(spare, finding)}"
    return _measure(needed, finding), _measure(found, finding), last


def _measure(value: Decimal | None, finding: Finding) -> str:
    """A measure; millimetres stand without their unit, as the head of the table says."""
    if value is None:
        return NOTHING
    return plain_figure(value) if finding.unit == "mm" else with_unit(value, finding.unit)


def _move(finding: Finding) -> str:
    if finding.accepted:
        return "Accepted as it is."
    if finding.remedy:
        text = finding.remedy.text
        return text if text.endswith(".") else f"{text}."
    if finding.verdict == "put-right":
        if a_move_may_cure(finding):
            return GIVEN_UP if finding.given_up else "No single move of kit was found to cure it."
        return cure_words(finding)
    if "move-first" in finding.topic:
        return "Move it first."
    if finding.short == 0:
        return "Measure again on site."
    return "Look at it on site." if a_move_may_cure(finding) or not has_words(finding) else cure_words(finding)


def _source(finding: Finding, letters: dict[str, str]) -> str:
    """Which source, with its standing, and where the size of the piece comes from."""
    named = f"Source {letters[source_line(finding.source)]}, {finding.source.standing}." if finding.source else ""
    basis = f" Size {BASIS_WORDS[finding.basis]}." if finding.basis else ""
    return (named + basis).strip()


@dataclass(frozen=True)
class Question:
    """Something not checked: of which check, what is known, the question that settles it, and who answered what."""

    check: str
    topic: str
    pieces: tuple[str, ...]
    known: str
    question: str
    answered: str = ""


def questions(findings: Iterable[Finding], room: Room | None = None) -> list[Question]:
    """Every open question; two findings that ask the same of the same pieces ask it once.

    ``room`` gives the answers that somebody wrote to them: they stay questions all the same.
    """
    found: dict[tuple[str, str], Question] = {}
    for finding in findings:
        if finding.verdict == "not-checked":
            asked = finding.question or finding.message
            known = "" if finding.message == asked else finding.message
            answered = answer_words(answer_to(room, finding)) if room else ""
            found.setdefault(
                (finding.check, asked), Question(finding.check, finding.topic, finding.pieces, known, asked, answered)
            )
    return list(found.values())


@dataclass(frozen=True)
class KitLine:
    """One piece in the kit list."""

    name: str
    kind: str
    size: str
    base: str
    dry: str
    full: str
    basis: str
    changes: tuple[str, ...]


def kit_lines(placed: Sequence[Placed]) -> list[KitLine]:
    """The kit list, heaviest first."""
    heaviest = sorted(placed, key=lambda item: (-(item.kit.full_kg or 0.0), item.name, item.id))
    return [_kit_line(item) for item in heaviest]


def _kit_line(item: Placed) -> KitLine:
    kit, changes = item.kit, item.piece.changes
    if kit.plan.round_mm is not None:
        plan = f"Ø{plain_mm(kit.plan.round_mm)}"
    else:
        plan = f"{plain_mm(kit.plan.width_mm)} × {plain_mm(kit.plan.depth_mm)}"
    return KitLine(
        name=start(item.name), kind=kit.name if item.piece.name and item.piece.name != kit.name else "",
        size=f"{plan} × {plain_mm(kit.height_mm)}", base=plain_mm(item.base_mm),
        dry=_kg(kit.dry_kg), full=_kg(kit.full_kg), basis=BASIS_WORDS[kit.basis],
        changes=tuple(
            f"{_figure_name(name)} {tidy(change.value):,} {BASIS_WORDS[change.basis]}"
            + (f" ({change.note})" if change.note else "")
            for name, change in sorted(changes.items())
        ),
    )  # fmt: skip


def _kg(mass: float | None) -> str:
    return NOTHING if mass is None else f"{mass:,.0f}" if mass >= 10 else f"{mass:,.1f}".removesuffix(".0")


def _figure_name(name: str) -> str:
    """A changed figure in words.

    >>> _figure_name("height_mm"), _figure_name("space_front_mm"), _figure_name("dry_kg")
    ('height', 'space front', 'dry weight')
    """
    if ":" in name:
        return part_words(name)
    named = {
        "dry_kg": "dry weight",
        "water_l": "water",
        "carry_kg": "heaviest part",
        "round_mm": "diameter",
        "input_kw": "heat input in kW",
    }
    return named.get(name) or name.removesuffix("_mm").replace("_", " ")


@dataclass(frozen=True)
class CheckLine:
    """What one check looked at: how often, and with what result."""

    check: Check
    counts: dict[Verdict, int]

    @property
    def told(self) -> str:
        """The results in words, those that are not nought, no fault found first."""
        order: tuple[Verdict, ...] = ("no-fault", "put-right", "look-again", "not-checked")
        words = [f"{self.counts[v]} {VERDICT_WORDS[v]}" for v in order if self.counts[v]]
        return ", ".join(words) or "Nothing of the kind in this room"


def check_lines(findings: Iterable[Finding]) -> list[CheckLine]:
    """A line for every check, in the order of the list."""
    every = list(findings)
    counted = {c.id: {v: sum(f.check == c.id and f.verdict == v for f in every) for v in VERDICTS} for c in CHECKS}
    return [CheckLine(check, counted[check.id]) for check in CHECKS]


@dataclass(frozen=True)
class AcceptedLine:
    """A put-right that a named person accepted: its number stays."""

    number: int
    message: str
    by: str
    reason: str
    on: str


def accepted_lines(findings: Iterable[Finding]) -> list[AcceptedLine]:
    """Everything accepted in writing."""
    return [
        AcceptedLine(number, f.message, f.accepted.by, f.accepted.reason, day_words(f.accepted.on))
        for number, f in numbered(findings)
        if f.accepted
    ]
