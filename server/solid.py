"""The room to be turned, as a GLB file below the customer's page."""

from functools import lru_cache
from hashlib import sha256
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from server.checked import scene_of
from server.customer_names import everyday_names
from server.drawing.corner_view import best_corner
from server.drawing.glb import MEDIA_TYPE
from server.drawing.solid_room import solid_room
from server.store import Layout
from server.web import LayoutDep

router = APIRouter()

FILE = "room.glb"
FILES_KEPT = 16


@router.get("/rooms/{room_id}/customer/" + FILE)
def solid(request: Request, layout: LayoutDep, corner: Annotated[int | None, Query(ge=0, le=3)] = None) -> Response:
    """A layout as solids; ``?corner=`` is where it is first seen from. Kept by a browser, and asked for again."""
    return solid_answer(request, layout, corner, {"Cache-Control": "private, no-cache"})


def solid_answer(request: Request, layout: Layout, corner: int | None, headers: dict[str, str]) -> Response:
    """The file of a layout, or word that the one the browser has is still the same."""
    data, tag = _file(layout, corner)
    kept = {**headers, "ETag": tag}
    if tag in {one.strip().removeprefix("W/") for one in request.headers.get("If-None-Match", "").split(",")}:
        return Response(status_code=304, headers=kept)
    return Response(data, media_type=MEDIA_TYPE, headers=kept)


@lru_cache(maxsize=FILES_KEPT)
def _file(layout: Layout, corner: int | None) -> tuple[bytes, str]:
    scene = scene_of(layout)
    data = solid_room(scene, best_corner(scene) if corner is None else corner, everyday_names(scene))
    return data, f'"{sha256(data).hexdigest()[:32]}"'
