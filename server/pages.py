"""The pages that belong to no room: help, the checks, the sums."""

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from geometry.checks import CHECKS
from geometry.rules import Figure, amount_of, rule_pack
from server.cautions import CAUTIONS, NO_FAULT_FOUND
from server.help_keys import HELP_KEYS
from server.web import plural, templates
from server.wording import VERDICT_MARKS, VERDICT_MEANINGS, VERDICT_WORDS

router = APIRouter()


@dataclass(frozen=True)
class ShownFigure:
    """One figure of a rule pack, in words."""

    name: str
    value: str
    place: str
    standing: str
    note: str


@dataclass(frozen=True)
class ShownPack:
    """The figures of one country; where it builds on another's, only those that differ."""

    key: str
    name: str
    edition: str
    extends: str
    figures: list[ShownFigure]


@router.get("/help")
def help_page(request: Request) -> Response:
    """How to begin, what the four verdicts mean, the keyboard, and the cautions."""
    verdicts = [
        (VERDICT_MARKS[verdict], VERDICT_WORDS[verdict], VERDICT_MEANINGS[verdict]) for verdict in VERDICT_WORDS
    ]
    context = {"verdicts": verdicts, "keys": HELP_KEYS, "cautions": CAUTIONS, "no_fault_found": NO_FAULT_FOUND}
    return templates.TemplateResponse(request, "help.html", context)


@router.get("/checks")
def checks_page(request: Request) -> Response:
    """Every check with its reason and source, and the figures of the rule packs."""
    england, scotland = rule_pack("england"), rule_pack("scotland")
    differ = [figure for key, figure in scotland.figures.items() if not _same(figure, england.figures.get(key))]
    packs = [
        ShownPack(england.key, england.name, england.edition, "", [_shown(f) for f in england.figures.values()]),
        ShownPack(scotland.key, scotland.name, scotland.edition, england.name, [_shown(f) for f in differ]),
    ]
    return templates.TemplateResponse(request, "checks.html", {"checks": CHECKS, "packs": packs})


def _same(figure: Figure, other: Figure | None) -> bool:
    return other is not None and (figure.value, figure.unit) == (other.value, other.unit)


def _shown(figure: Figure) -> ShownFigure:
    source = figure.source
    return ShownFigure(
        name=figure.name,
        value=_value(figure),
        place=", ".join(part for part in (source.document, source.clause, source.edition) if part),
        standing=source.standing,
        note=figure.note,
    )


def _value(figure: Figure) -> str:
    """A figure as the page shows it: one number or a range with its unit, words, or how long its table is."""
    value = figure.value
    if isinstance(value, bool):
        return "yes"
    if isinstance(value, str):
        return value
    if figure.is_range or not isinstance(value, list):
        return amount_of(value, figure.unit)
    if isinstance(value[0], dict):
        return f"a table, {plural(len(value), 'row')}"
    return f"{', '.join(f'{item:g}' if isinstance(item, (int, float)) else item for item in value)} ({figure.unit})"
