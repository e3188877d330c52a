"""Sums without a room: a form, and the working as a tradesman would write it."""

from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Request, Response

from geometry.errors import SumError
from geometry.rules import Source, rule_pack
from geometry.sums import SUMS, Sum
from geometry.sums.discharge import DischargeSum, Tried, discharge_size
from server.errors import error_page
from server.web import templates

router = APIRouter()

PACKS = ("england", "scotland")
TABLE = "discharge-table"


@dataclass(frozen=True)
class Line:
    """One line of a written sum. ``kind`` is plain, total, short or spare."""

    words: str
    value: str
    unit: str = ""
    kind: str = "plain"


@dataclass(frozen=True)
class Written:
    """A written sum under its heading."""

    heading: str
    lines: tuple[Line, ...]


@router.get("/sums")
def sums(request: Request) -> Response:
    """Every sum that can be done without a room."""
    return templates.TemplateResponse(request, "sums.html", {"sums": list(SUMS.values())})


@router.get("/sums/{name}")
def sum_page(request: Request, name: str, rules: str = "england") -> Response:
    """One sum: its form, and its working where the form was filled in."""
    chosen = SUMS.get(name)
    if chosen is None:
        return error_page(request, 404, f"There is no sum called {name}. The sums are: {', '.join(SUMS)}.")
    given = {field.name: request.query_params.get(field.name, "").strip() for field in chosen.fields}
    context: dict[str, Any] = {
        "sum": chosen, "given": given, "rules": rules, "packs": [(key, rule_pack(key).name) for key in PACKS],
        "fault": "", "answer": "", "written": (), "source": None, "note": "",
    }  # fmt: skip
    if not any(given.values()):
        return templates.TemplateResponse(request, "sum.html", context)
    try:
        context |= worked(chosen, given, rules)
    except SumError as error:
        return templates.TemplateResponse(request, "sum.html", context | {"fault": str(error)}, 422)
    return templates.TemplateResponse(request, "sum.html", context)


def worked(chosen: Sum, given: dict[str, str], rules: str) -> dict[str, Any]:
    """The answer of a sum, its written working and its source, for the page."""
    if rules not in PACKS:
        raise SumError(f"There is no rule pack called {rules}. There are: {', '.join(PACKS)}.")
    pack = rule_pack(rules)
    report = chosen.run(given, rules)
    figures = report["inputs"]
    found = discharge_size(figures["outlet"], figures["length_m"], figures["bends"], pack)
    return {
        "answer": _answer(found),
        "written": [_written(tried, figures["length_m"], figures["bends"]) for tried in found.tried],
        "source": Source(**report["source"]),
        "note": pack.figure(TABLE).note,
    }


def _answer(found: DischargeSum) -> str:
    if found.size_mm is None:
        return found.working[-1]
    return f"Use {found.size_mm} mm copper from the tundish on."


def _written(tried: Tried, length_m: float, bends: int) -> Written:
    over_m = tried.equivalent_m - tried.limit_m
    verdict = (
        Line("spare", f"{-over_m:,.2f}", "m", "spare")
        if tried.carries
        else Line("too long by", f"{over_m:,.2f}", "m", "short")
    )
    lines = (
        Line(f"{bends} bends × {tried.elbow_m:.1f}", f"{bends * tried.elbow_m:,.2f}"),
        Line("straight pipe", f"{length_m:,.2f}"),
        Line("counted length", f"{tried.equivalent_m:,.2f}", "m", "total"),
        Line(f"{tried.size_mm} mm may carry up to", f"{tried.limit_m:,.2f}", "m"),
        verdict,
    )
    return Written(f"Try {tried.size_mm} mm", lines)
