"""Every error as a page, or as a fragment for the message place of the page that asked."""

from typing import Any

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException

from geometry.errors import RoomError, SumError
from geometry.reading import write_room
from server.links import SHARED
from server.pdf import NoEngine
from server.sharing import closed
from server.store import Stale, UnknownRoom
from server.web import page_or_fragment

HEADS = {
    403: "Not from here",
    404: "Not in this book",
    405: "Not that way",
    409: "Two people, one room",
    413: "Too large",
    422: "That cannot be used",
    500: "Something broke here",
    501: "The browser prints it",
}
SENTENCES = {
    404: "There is no page at this address. It may have been typed with a slip; the rooms are all on the first page.",
    405: "This address does not answer to that. Go back and use the button on the page.",
    413: "What was sent is larger than 12 MB; a room file is under 2 MB. Nothing was changed. Is it the right file?",
}
BROKEN = (
    "The fault is in Elbowroom, not in your room. Nothing was overwritten: every layout saved before is still there."
    " Go back and try once more; if it happens again, download the room file and report the fault with it."
)


def add_error_pages(app: FastAPI) -> None:
    """Tell the app how each error is shown."""
    app.add_exception_handler(RoomError, _unusable)
    app.add_exception_handler(SumError, _unusable)
    app.add_exception_handler(NoEngine, _no_engine)
    app.add_exception_handler(UnknownRoom, _unknown)
    app.add_exception_handler(Stale, _stale)
    app.add_exception_handler(RequestValidationError, _misread)
    app.add_exception_handler(HTTPException, _http)


def error_page(request: Request, status_code: int, sentence: str, **more: Any) -> Response:
    """A page or fragment that says what happened, what is kept and the next thing to do."""
    if request.url.path.startswith(SHARED):
        return closed(request)
    context = {"status": status_code, "head": HEADS.get(status_code, "That did not work"), "sentence": sentence}
    response = page_or_fragment(
        request,
        page="error.html",
        fragment="_error.html",
        context={"stale": None, **context, **more},
        status_code=status_code,
    )
    response.headers["HX-Retarget"] = "#message"
    response.headers["HX-Reswap"] = "innerHTML"
    return response


def _unusable(request: Request, error: Exception) -> Response:
    return error_page(request, 422, str(error))


def _no_engine(request: Request, error: Exception) -> Response:
    return error_page(request, 501, str(error))


def _unknown(request: Request, error: Exception) -> Response:
    return error_page(request, 404, f"{error} It may be kept on another machine, or the address has a slip in it.")


def _stale(request: Request, error: Exception) -> Response:
    assert isinstance(error, Stale)
    sentence = (
        f"Somebody saved layout {error.latest.number} meanwhile. Nothing is lost and nothing is overwritten:"
        " look at theirs first, or keep yours on top of it."
    )
    return error_page(request, 409, sentence, stale=error, mine=write_room(error.mine))


def _misread(request: Request, error: Exception) -> Response:
    assert isinstance(error, RequestValidationError)
    names = sorted({str(fault["loc"][-1]) for fault in error.errors()})
    sentence = (
        f"Elbowroom could not read what was sent for {', '.join(names)}. Nothing was changed. Go back and try again."
    )
    return error_page(request, 422, sentence)


def _http(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    return error_page(request, error.status_code, SENTENCES.get(error.status_code, str(error.detail)))


def broken_page(request: Request, error: Exception) -> Response:
    """The page for a fault of our own. The server's log has the rest."""
    return error_page(request, 500, BROKEN)
