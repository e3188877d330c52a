"""Share links of the customer's page, and who agreed to which layout: kept beside the layouts, in the same database.

A link is a word that nobody guesses. It is never deleted: withdrawn, it still tells that it was one.
"""

import secrets
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime

from sqlalchemy import BigInteger, Column, Engine, Integer, MetaData, String, Table, insert, select, update
from sqlalchemy.exc import IntegrityError

CHANCE_BYTES = 24
LONGEST_TOKEN = 64
LONGEST_NAME = 80
LONGEST_ROOM_ID = 64

_tables = MetaData()
shares = Table(
    "shares",
    _tables,
    Column("token", String(LONGEST_TOKEN), primary_key=True),
    Column("room_id", String(LONGEST_ROOM_ID), nullable=False),
    Column("made_us", BigInteger, nullable=False),
    Column("withdrawn_us", BigInteger),
)
agreements = Table(
    "agreements",
    _tables,
    Column("room_id", String(LONGEST_ROOM_ID), primary_key=True),
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("name", String(LONGEST_NAME), primary_key=True),
    Column("agreed_us", BigInteger, nullable=False),
)
SHARE_TABLES = (shares, agreements)


class UnknownShare(LookupError):
    """No such link was ever made."""


class WithdrawnShare(LookupError):
    """The link was made once, and withdrawn."""


@dataclass(frozen=True)
class Share:
    """A link that opens a room's customer page."""

    token: str
    room_id: str
    made: datetime


@dataclass(frozen=True)
class Agreement:
    """Who agreed to which layout of a room, and when."""

    room_id: str
    number: int
    name: str
    agreed: datetime


class Shares:
    """All links and agreements of a store."""

    def __init__(self, engine: Engine, now_us: Callable[[], int]) -> None:
        self._engine = engine
        self._now_us = now_us

    def make(self, room_id: str) -> Share:
        """The link of a room: the one that is open, or a new one."""
        if found := self.open_link(room_id):
            return found
        token, made_us = secrets.token_urlsafe(CHANCE_BYTES), self._now_us()
        with self._engine.begin() as connection:
            connection.execute(insert(shares).values(token=token, room_id=room_id, made_us=made_us))
        return Share(token, room_id, _when(made_us))

    def open_link(self, room_id: str) -> Share | None:
        """The link of a room that is not withdrawn."""
        every = select(shares).where(shares.c.room_id == room_id, shares.c.withdrawn_us.is_(None))
        with self._engine.connect() as connection:
            row = connection.execute(every.order_by(shares.c.made_us.desc(), shares.c.token)).first()
        return Share(row.token, row.room_id, _when(row.made_us)) if row else None

    def withdraw(self, room_id: str) -> None:
        """Close every link of a room. What was agreed stays."""
        mine = update(shares).where(shares.c.room_id == room_id, shares.c.withdrawn_us.is_(None))
        with self._engine.begin() as connection:
            connection.execute(mine.values(withdrawn_us=self._now_us()))

    def opened(self, token: str) -> Share:
        """The link of that word. Raises UnknownShare, or WithdrawnShare where it was closed."""
        with self._engine.connect() as connection:
            row = connection.execute(select(shares).where(shares.c.token == token[:LONGEST_TOKEN])).first()
        if row is None:
            raise UnknownShare(token)
        if row.withdrawn_us is not None:
            raise WithdrawnShare(token)
        return Share(row.token, row.room_id, _when(row.made_us))

    def agree(self, room_id: str, number: int, name: str) -> None:
        """Keep that somebody agrees to a layout. The same name to the same layout counts once, the first time."""
        row = insert(agreements).values(
            room_id=room_id, number=number, name=name[:LONGEST_NAME], agreed_us=self._now_us()
        )
        try:
            with self._engine.begin() as connection:
                connection.execute(row)
        except IntegrityError:
            return

    def agreements(self, room_id: str) -> list[Agreement]:
        """Who agreed to which layouts of a room, the latest layout first."""
        every = select(agreements).where(agreements.c.room_id == room_id)
        ordered = every.order_by(agreements.c.number.desc(), agreements.c.agreed_us, agreements.c.name)
        with self._engine.connect() as connection:
            rows = connection.execute(ordered).all()
        return [Agreement(row.room_id, row.number, row.name, _when(row.agreed_us)) for row in rows]


def _when(moment_us: int) -> datetime:
    return datetime.fromtimestamp(moment_us / 1e6, UTC)
