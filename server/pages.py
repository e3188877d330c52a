"""The pages that belong to no room: help, the checks, the sums."""

from fastapi import APIRouter, Request, Response

from server.cautions import CAUTIONS, NO_FAULT_FOUND
from server.drawing.svg import patterns
from server.examples import PICTURE_PX
from server.help_keys import HELP_KEYS, PIPE_KEYS
from server.shown_checks import shown_checks
from server.shown_figures import shown_packs
from server.web import templates
from server.wording import VERDICT_MARKS, VERDICT_MEANINGS, VERDICT_WORDS

router = APIRouter()


@router.get("/help")
def help_page(request: Request) -> Response:
    """How to begin, what the four verdicts mean, the keyboard, and the cautions."""
    verdicts = [
        (VERDICT_MARKS[verdict], VERDICT_WORDS[verdict], VERDICT_MEANINGS[verdict]) for verdict in VERDICT_WORDS
    ]
    keys = (("The page and its pieces", HELP_KEYS), ("The points of a picked pipe", PIPE_KEYS))
    context = {"verdicts": verdicts, "keys": keys, "cautions": CAUTIONS, "no_fault_found": NO_FAULT_FOUND}
    return templates.TemplateResponse(request, "help.html", context)


@router.get("/checks")
def checks_page(request: Request) -> Response:
    """Every check with its reason, source, limits and example, and the figures of the rule packs."""
    context = {
        "checks": shown_checks(), "packs": shown_packs(), "patterns": patterns(), "picture_px": PICTURE_PX,
    }  # fmt: skip
    return templates.TemplateResponse(request, "checks.html", context)
