"""A share link as it is shown: its whole address, its code for a phone, and whether a phone can reach it."""

from dataclasses import dataclass

from fastapi import Request
from markupsafe import Markup

from server.quick_code import square_code
from server.settings import LOCAL_HOSTS
from server.share_store import Share

SHARED = "/s/"


@dataclass(frozen=True)
class Link:
    """The address of a link under the name by which this page was asked for."""

    address: str
    code: Markup
    here_alone: bool


def link_of(request: Request, share: Share | None) -> Link | None:
    """A share as it is shown; None where no link is open."""
    if share is None:
        return None
    address = f"{request.url.scheme}://{request.url.netloc}{SHARED}{share.token}"
    here_alone = (request.url.hostname or "") in {host.strip("[]") for host in LOCAL_HOSTS}
    return Link(address, square_code(address), here_alone)
