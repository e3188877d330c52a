"""An app over a fresh folder, a client that speaks to it, and a store in every database that is at hand."""

import os
import secrets
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi import FastAPI
from sqlalchemy import create_engine, make_url, text
from starlette.testclient import TestClient

from geometry.reading import write_room
from geometry.room import Room
from geometry.samples import box_kit, piece, sample_room
from server.app import create_app
from server.settings import Settings, sqlite_url
from server.store import Store

HERE = "http://127.0.0.1"
POSTGRES_VARIABLE = "ELBOWROOM_TEST_POSTGRES"


def room_called(name: str) -> Room:
    """The sample room with a tank in its corner, under another name."""
    tank = box_kit("tank")
    return sample_room([tank], [piece(tank, 300, 1600)], name=name)


def file_of(room: Room) -> dict[str, tuple[str, bytes, str]]:
    """A room as a form sends it."""
    return {"file": ("room.json", write_room(room).encode(), "application/json")}


@pytest.fixture
def app(tmp_path: Path) -> FastAPI:
    return create_app(Settings(sqlite_url(tmp_path)))


@pytest.fixture
def client(app: FastAPI) -> Iterator[TestClient]:
    with TestClient(app, base_url=HERE, raise_server_exceptions=False, follow_redirects=False) as client:
        yield client


@pytest.fixture
def store_of_app(app: FastAPI) -> Store:
    store: Store = app.state.store
    return store


@pytest.fixture(params=["sqlite", "postgresql"])
def database_url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """The address of an empty database. PostgreSQL gets a schema of its own, dropped at the end."""
    if request.param == "sqlite":
        yield sqlite_url(tmp_path)
        return
    given = os.environ.get(POSTGRES_VARIABLE)
    if given is None:
        pytest.skip(f"no PostgreSQL here: give the address of one in {POSTGRES_VARIABLE}")
    schema = f"elbowroom_{secrets.token_hex(6)}"
    engine = create_engine(make_url(given).set(drivername="postgresql+psycopg"))
    with engine.begin() as connection:
        connection.execute(text(f"CREATE SCHEMA {schema}"))
    inside = make_url(given).update_query_dict({"options": f"-csearch_path={schema}"})
    yield inside.render_as_string(hide_password=False)
    with engine.begin() as connection:
        connection.execute(text(f"DROP SCHEMA {schema} CASCADE"))
    engine.dispose()


@pytest.fixture
def store(database_url: str) -> Iterator[Store]:
    store = Store(database_url)
    yield store
    store.close()
