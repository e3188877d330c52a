"""The web app, put together from its routers."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from fastapi import FastAPI
from fastapi.staticfiles import StaticFiles
from sqlalchemy.exc import IntegrityError
from starlette.middleware import Middleware
from starlette.middleware.errors import ServerErrorMiddleware
from starlette.middleware.trustedhost import TrustedHostMiddleware

from geometry.reading import read_room
from server import (
    compare,
    customer,
    dropped,
    kit_list,
    own_kinds,
    pages,
    pipes_by_hand,
    questions,
    report,
    report_pipes,
    room_parts,
    rooms,
    sharing,
    sums,
    swaps,
    walking,
    workbench,
)
from server.errors import add_error_pages, broken_page
from server.paths import DEMO_ROOMS, STATIC
from server.security import BodyLimit, SameOrigin, SecurityHeaders
from server.settings import Settings
from server.store import Store


def create_app(settings: Settings) -> FastAPI:
    """The app over one store. Demo rooms are put into a store that is empty."""
    store = Store(settings.database_url)
    add_demo_rooms(store)

    @asynccontextmanager
    async def closing(_: FastAPI) -> AsyncIterator[None]:
        yield
        store.close()

    app = FastAPI(
        title="Elbowroom",
        lifespan=closing,
        docs_url=None,
        redoc_url=None,
        openapi_url=None,
        middleware=[
            Middleware(SecurityHeaders),
            Middleware(ServerErrorMiddleware, handler=broken_page),
            Middleware(TrustedHostMiddleware, allowed_hosts=list(settings.hosts), www_redirect=False),
            Middleware(SameOrigin),
            Middleware(BodyLimit),
        ],
    )
    app.state.store = store
    for part in (
        rooms,
        dropped,
        walking,
        kit_list,
        own_kinds,
        room_parts,
        workbench,
        swaps,
        pipes_by_hand,
        questions,
        report,
        report_pipes,
        customer,
        sharing,
        compare,
        pages,
        sums,
    ):
        app.include_router(part.router)
    app.mount("/static", StaticFiles(directory=STATIC), name="static")
    add_error_pages(app)
    return app


def add_demo_rooms(store: Store) -> None:
    """Keep each demo room under the name of its file, once. Another process may be doing the same."""
    if not store.is_empty():
        return
    for path in sorted(DEMO_ROOMS.glob("*.json"), reverse=True):
        try:
            store.create(read_room(path.read_bytes()), "Demo room", room_id=path.stem)
        except IntegrityError:
            return
