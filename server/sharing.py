"""The share link: made and withdrawn by whoever lays the room out, opened by the customer, who may agree there.

What the link opens is one page, and the same room to be turned, and nothing else: the page names no address of the
app but its own.
"""

from typing import Annotated

from fastapi import APIRouter, Form, Request, Response
from fastapi.responses import PlainTextResponse, RedirectResponse

from geometry.typed import is_count
from server.customer import customer_context
from server.drawing.corner_eye import CORNERS
from server.links import SHARED
from server.share_store import LONGEST_NAME, Share, UnknownShare, WithdrawnShare
from server.solid import FILE, solid_answer
from server.store import Layout
from server.web import StoreDep, templates

router = APIRouter()

PRIVATE = {"X-Robots-Tag": "noindex, nofollow"}
NO_NAME = "Please write your name first. Nothing was kept yet."
NEWER = "There is a newer layout of this room. Open the page once more to see it."
WITHDRAWN = (
    "The link has been withdrawn",
    "It did open a room once. Whoever sent it to you has closed it, perhaps because there is a newer one. Please ask"
    " them for it. What you agreed to is kept.",
)
UNKNOWN = (
    "This link opens nothing",
    "A letter may be missing: links break when they are typed or cut in two. Open it once more from the message it"
    " came in, or ask whoever sent it to send it again.",
)


@router.post("/rooms/{room_id}/share")
def make(store: StoreDep, room_id: str) -> Response:
    """Make the link of a room, or find the one that is open."""
    store.shares.make(store.latest(room_id).room_id)
    return RedirectResponse(f"/rooms/{room_id}/customer#share", status_code=303)


@router.post("/rooms/{room_id}/share/withdraw")
def withdraw(store: StoreDep, room_id: str) -> Response:
    """Close the link of a room."""
    store.shares.withdraw(store.latest(room_id).room_id)
    return RedirectResponse(f"/rooms/{room_id}/customer#share", status_code=303)


@router.post("/rooms/{room_id}/agree")
def agree_here(
    request: Request, store: StoreDep, room_id: str, layout: Annotated[int, Form()],
    name: Annotated[str, Form()] = "",
) -> Response:  # fmt: skip
    """Agree on the page of the app, as at the kitchen table."""
    shown = store.layout(room_id, layout)
    here = f"/rooms/{room_id}/customer?layout={layout}"
    if not _kept(store, shown, name):
        context = customer_context(store, shown, None, here, request) | {"agree_to": f"/rooms/{room_id}/agree"}
        return templates.TemplateResponse(request, "customer.html", context | {"no_name": NO_NAME}, 422)
    return RedirectResponse(here + "#agree", status_code=303)


@router.get("/s/{token}")
def shared(request: Request, store: StoreDep, token: str, corner: str = "") -> Response:
    """The customer's page of the room's latest layout, for whoever has the link."""
    try:
        share = store.shares.opened(token)
    except (UnknownShare, WithdrawnShare) as error:
        return closed(request, error)
    return _page(request, store, share, store.latest(share.room_id), corner)


@router.get("/s/{token}/" + FILE)
def shared_solid(request: Request, store: StoreDep, token: str, layout: str = "", corner: str = "") -> Response:
    """The latest layout to be turned, for whoever has the link; refused where the page showed an earlier one."""
    try:
        share = store.shares.opened(token)
    except (UnknownShare, WithdrawnShare) as error:
        return closed(request, error)
    latest = store.latest(share.room_id)
    if layout != str(latest.number):
        return PlainTextResponse(NEWER, 409, headers=PRIVATE)
    return solid_answer(request, latest, _corner(corner), PRIVATE)


@router.post("/s/{token}/agree")
def agree(
    request: Request, store: StoreDep, token: str, layout: Annotated[str, Form()] = "",
    name: Annotated[str, Form()] = "",
) -> Response:  # fmt: skip
    """Agree to the layout that the page showed, also where a newer one was saved meanwhile."""
    try:
        share = store.shares.opened(token)
    except (UnknownShare, WithdrawnShare) as error:
        return closed(request, error)
    latest = store.latest(share.room_id)
    number = int(layout) if is_count(layout) else 0
    if not 0 < number <= latest.number:
        return _page(request, store, share, latest, "")
    if not _kept(store, store.layout(share.room_id, number), name):
        return _page(request, store, share, latest, "", NO_NAME)
    return RedirectResponse(f"{SHARED}{share.token}#agree", status_code=303, headers=PRIVATE)


def _kept(store: StoreDep, layout: Layout, name: str) -> bool:
    """Whether somebody agreed with a name that can be read."""
    written = " ".join(name.split())[:LONGEST_NAME]
    if not any(letter.isalpha() for letter in written) or not written.isprintable():
        return False
    store.shares.agree(layout.room_id, layout.number, written)
    return True


def _page(request: Request, store: StoreDep, share: Share, layout: Layout, corner: str, no_name: str = "") -> Response:
    here = f"{SHARED}{share.token}"
    context = customer_context(store, layout, _corner(corner), here, request)
    context |= {"shared": True, "agree_to": f"{here}/agree", "no_name": no_name}
    return templates.TemplateResponse(request, "customer.html", context, 422 if no_name else 200, headers=PRIVATE)


def _corner(asked: str) -> int | None:
    return int(asked) if asked in {str(i) for i in range(len(CORNERS))} else None


def closed(request: Request, error: Exception | None = None) -> Response:
    """The page for a link that opens nothing: kind, and without a way into the app."""
    head, sentence = WITHDRAWN if isinstance(error, WithdrawnShare) else UNKNOWN
    status = 410 if isinstance(error, WithdrawnShare) else 404
    context = {"head": head, "sentence": sentence}
    return templates.TemplateResponse(request, "share_closed.html", context, status, headers=PRIVATE)
