"""The rooms, kept as numbered layouts that are only ever added to.

The primary key (room, number) is the lock: whoever saves on top of an old layout is refused, nothing is overwritten.
SQLite by default, PostgreSQL by URL; the statements are the same.
"""

import re
import secrets
import threading
import time
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import lru_cache
from pathlib import Path
from typing import Any

from sqlalchemy import (
    BigInteger,
    Column,
    Engine,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    create_engine,
    event,
    func,
    insert,
    select,
    text,
)
from sqlalchemy.engine import Connection, make_url
from sqlalchemy.exc import IntegrityError, SQLAlchemyError
from sqlalchemy.schema import CreateTable

from geometry.reading import read_room, write_room
from geometry.room import Room
from server.kind_store import KindStore, own_kinds
from server.share_store import SHARE_TABLES, Shares

LONGEST_STEP = 200
BUSY_MS = 5_000
SLUG_LENGTH, CHANCE_LENGTH = 32, 10
LETTERS = "abcdefghjkmnpqrstuvwxyz23456789"
MAKING_TABLES = 0x456C626F
"""Any number that no other program on the same PostgreSQL locks."""

layouts = Table(
    "layouts",
    MetaData(),
    Column("room_id", String(SLUG_LENGTH + CHANCE_LENGTH + 1), primary_key=True),
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("saved_us", BigInteger, nullable=False),
    Column("step", String(LONGEST_STEP), nullable=False),
    Column("body", Text, nullable=False),
)


@dataclass(frozen=True)
class LayoutLine:
    """One layout in the list of a room's layouts."""

    number: int
    saved: datetime
    step: str


@dataclass(frozen=True)
class Layout:
    """One saved layout of a room. ``body`` is the room file as saved; ``saved`` is UTC."""

    room_id: str
    number: int
    saved: datetime
    step: str
    body: str

    @property
    def room(self) -> Room:
        """The room in it. Raises RoomError where an older file can no longer be used."""
        return _read(self.body)


class DatabaseUnusable(RuntimeError):
    """The database cannot be opened."""


class UnknownRoom(LookupError):
    """No room, or no layout of that number, is kept here."""


class Stale(Exception):
    """Somebody saved another layout meanwhile. Carries that layout and what was not saved, so nothing is lost."""

    def __init__(self, latest: Layout, mine: Room, step: str) -> None:
        super().__init__(f"Layout {latest.number} of this room was saved meanwhile.")
        self.latest = latest
        self.mine = mine
        self.step = step


class Store:
    """All rooms, and the user's own kinds of kit. One per process; may be used from many threads."""

    def __init__(self, database_url: str, now_us: Callable[[], int] = lambda: time.time_ns() // 1000) -> None:
        self._now_us = now_us
        self._writing = threading.Lock()
        try:
            self._engine = _engine(database_url)
            _make_tables(self._engine)
        except (SQLAlchemyError, OSError, ModuleNotFoundError) as error:
            raise DatabaseUnusable(_why(error)) from error
        self.own = KindStore(self._engine, self._writing, now_us)
        self.shares = Shares(self._engine, now_us)

    def close(self) -> None:
        """Give the connections back."""
        self._engine.dispose()

    def is_empty(self) -> bool:
        """Whether no room was ever saved."""
        with self._engine.connect() as connection:
            return connection.execute(select(layouts.c.room_id).limit(1)).first() is None

    def rooms(self) -> list[Layout]:
        """The latest layout of each room, newest first."""
        newest = select(layouts.c.room_id, func.max(layouts.c.number).label("number")).group_by(layouts.c.room_id)
        latest = newest.subquery()
        found = (
            select(layouts)
            .join(latest, (layouts.c.room_id == latest.c.room_id) & (layouts.c.number == latest.c.number))
            .order_by(layouts.c.saved_us.desc(), layouts.c.room_id)
        )
        with self._engine.connect() as connection:
            return [_layout(row) for row in connection.execute(found)]

    def create(self, room: Room, step: str = "Room opened", room_id: str | None = None) -> Layout:
        """Keep a new room as its layout 1. A ``room_id`` that is taken raises IntegrityError."""
        room_id = room_id or new_room_id(room.name)
        with self._writing, self._engine.begin() as connection:
            return self._add(connection, room_id, 1, room, step)

    def latest(self, room_id: str) -> Layout:
        """The newest layout of a room."""
        with self._engine.connect() as connection:
            return _latest(connection, room_id)

    def layout(self, room_id: str, number: int) -> Layout:
        """One layout by its number."""
        found = select(layouts).where(layouts.c.room_id == room_id, layouts.c.number == number)
        with self._engine.connect() as connection:
            row = connection.execute(found).first() if 0 < number < 2**31 else None
        if row is None:
            called = f"layout {number}" if abs(number) < 2**31 else "layout of that number"
            raise UnknownRoom(f"There is no {called} of this room.")
        return _layout(row)

    def layouts(self, room_id: str) -> list[LayoutLine]:
        """Every layout of a room, newest first."""
        lines = select(layouts.c.number, layouts.c.saved_us, layouts.c.step)
        found = lines.where(layouts.c.room_id == room_id).order_by(layouts.c.number.desc())
        with self._engine.connect() as connection:
            rows = connection.execute(found).all()
        if not rows:
            raise UnknownRoom("There is no such room here.")
        return [LayoutLine(row.number, _when(row.saved_us), row.step) for row in rows]

    def save(self, room_id: str, base: int, room: Room, step: str) -> Layout:
        """Keep a room as the layout after ``base``; Stale when another layout has that number already.

        The insert comes first, so that SQLite takes its write lock at once and two writers queue.
        """
        if not 0 <= base < 2**31 - 1:
            raise Stale(self.latest(room_id), room, step)
        try:
            with self._writing, self._engine.begin() as connection:
                saved = self._add(connection, room_id, base + 1, room, step)
                before = select(layouts.c.number).where(layouts.c.room_id == room_id, layouts.c.number == base)
                if connection.execute(before).first() is None:
                    raise _NoBase
        except (IntegrityError, _NoBase):
            raise Stale(self.latest(room_id), room, step) from None
        return saved

    def restore(self, room_id: str, base: int, number: int) -> Layout:
        """Keep an old layout once more, as the newest: undo without forgetting."""
        return self.save(room_id, base, self.layout(room_id, number).room, f"Back to layout {number}")

    def _add(self, connection: Connection, room_id: str, number: int, room: Room, step: str) -> Layout:
        saved_us, step, body = self._now_us(), step[:LONGEST_STEP], write_room(room)
        row = insert(layouts).values(room_id=room_id, number=number, saved_us=saved_us, step=step, body=body)
        connection.execute(row)
        return Layout(room_id, number, _when(saved_us), step, body)


class _NoBase(Exception):
    """The layout that a save builds on does not exist."""


def new_room_id(name: str) -> str:
    """An address for a room: its name, and enough chance that nobody guesses it.

    >>> new_room_id("Boot room, Harbour Row")[:22]
    'boot-room-harbour-row-'
    """
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    slug = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:SLUG_LENGTH].strip("-") or "room"
    return f"{slug}-{''.join(secrets.choice(LETTERS) for _ in range(CHANCE_LENGTH))}"


def _engine(database_url: str) -> Engine:
    url = make_url(database_url)
    if url.get_backend_name() in ("postgresql", "postgres"):
        return create_engine(url.set(drivername="postgresql+psycopg"), pool_pre_ping=True)
    if url.get_backend_name() != "sqlite":
        raise DatabaseUnusable(f"Rooms are kept in SQLite or PostgreSQL, not in {url.get_backend_name()}.")
    if url.database:
        Path(url.database).parent.mkdir(parents=True, exist_ok=True)
    engine = create_engine(url)
    event.listen(engine, "connect", _prepare_sqlite)
    return engine


def _why(error: Exception) -> str:
    if isinstance(error, ModuleNotFoundError):
        return "PostgreSQL needs a driver that is not installed: pip install 'elbowroom[postgres]'."
    cause = str(getattr(error, "orig", None) or error).strip() or type(error).__name__
    return f"The rooms cannot be opened: {cause.splitlines()[0]}."


def _prepare_sqlite(connection: Any, _: Any) -> None:
    for pragma in ("journal_mode=WAL", "synchronous=FULL", f"busy_timeout={BUSY_MS}"):
        connection.execute(f"PRAGMA {pragma}")


def _make_tables(engine: Engine) -> None:
    with engine.begin() as connection:
        if engine.dialect.name == "postgresql":
            connection.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": MAKING_TABLES})
        for table in (layouts, own_kinds, *SHARE_TABLES):
            connection.execute(CreateTable(table, if_not_exists=True))


def _latest(connection: Connection, room_id: str) -> Layout:
    found = select(layouts).where(layouts.c.room_id == room_id).order_by(layouts.c.number.desc()).limit(1)
    row = connection.execute(found).first()
    if row is None:
        raise UnknownRoom("There is no such room here.")
    return _layout(row)


def _layout(row: Any) -> Layout:
    return Layout(row.room_id, row.number, _when(row.saved_us), row.step, row.body)


def _when(saved_us: int) -> datetime:
    return datetime.fromtimestamp(saved_us / 1e6, UTC)


@lru_cache(maxsize=256)
def _read(body: str) -> Room:
    return read_room(body)
