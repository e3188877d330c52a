"""Sums without a room: a form, and the working as a tradesman would write it."""

from typing import Any

from fastapi import APIRouter, Request, Response

from geometry.errors import SumError
from geometry.rules import rule_pack
from geometry.sums import SUMS, Sum
from server.errors import error_page
from server.web import templates

router = APIRouter()

PACKS = ("england", "scotland")


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
        "fault": "", "worked": None, "figures": [],
    }  # fmt: skip
    if not any(given.values()):
        return templates.TemplateResponse(request, "sum.html", context)
    try:
        context |= worked(chosen, given, rules)
    except SumError as error:
        return templates.TemplateResponse(request, "sum.html", context | {"fault": str(error)}, 422)
    return templates.TemplateResponse(request, "sum.html", context)


def worked(chosen: Sum, given: dict[str, str], rules: str) -> dict[str, Any]:
    """A sum written out, and the figures it stands on, for the page."""
    if rules not in PACKS:
        raise SumError(f"There is no rule pack called {rules}. There are: {', '.join(PACKS)}.")
    done = chosen.work(given, rules)
    return {"worked": done, "figures": [rule_pack(rules).figure(key) for key in (done.figure, *done.also)]}
