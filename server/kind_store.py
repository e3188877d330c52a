"""The user's own shelf: own kinds of kit, kept as numbered versions that are only ever added to, usable in every room.

Like the layouts of a room: the primary key (key, number) is the lock, an earlier version is never lost, and a kind
that was taken off the shelf is one more version, without a body.
"""

import threading
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

from sqlalchemy import BigInteger, Column, Engine, Integer, MetaData, String, Table, Text, func, insert, select
from sqlalchemy.exc import IntegrityError

from geometry.errors import RoomError, UnknownKit
from geometry.kinds_file import MOST_KINDS, read_kinds, write_kinds
from geometry.kit import Kit

LONGEST_KEY = 40

own_kinds = Table(
    "own_kinds",
    MetaData(),
    Column("key", String(LONGEST_KEY), primary_key=True),
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("saved_us", BigInteger, nullable=False),
    Column("body", Text, nullable=False),
)


@dataclass(frozen=True)
class OwnKind:
    """One own kind as it is now, with the number of its version."""

    number: int
    kit: Kit


class KindChanged(RoomError):
    """Somebody wrote another version of the kind meanwhile."""


class KindStore:
    """Every own kind of one store."""

    def __init__(self, engine: Engine, writing: threading.Lock, now_us: Callable[[], int]) -> None:
        self._engine = engine
        self._writing = writing
        self._now_us = now_us

    def all(self) -> tuple[OwnKind, ...]:
        """Every own kind that is on the shelf, by name."""
        newest = select(own_kinds.c.key, func.max(own_kinds.c.number).label("number")).group_by(own_kinds.c.key)
        latest = newest.subquery()
        found = select(own_kinds).join(
            latest, (own_kinds.c.key == latest.c.key) & (own_kinds.c.number == latest.c.number)
        )
        with self._engine.connect() as connection:
            rows = connection.execute(found.where(own_kinds.c.body != "")).all()
        kinds = (OwnKind(row.number, _read(row.body)) for row in rows)
        return tuple(sorted(kinds, key=lambda own: (own.kit.name.casefold(), own.kit.key)))

    def kinds(self) -> tuple[Kit, ...]:
        """The kinds alone."""
        return tuple(own.kit for own in self.all())

    def get(self, key: str) -> OwnKind:
        """One own kind; UnknownKit where there is none of that key on the shelf."""
        found = next((own for own in self.all() if own.kit.key == key), None)
        if found is None:
            raise UnknownKit("This kind is not on your own shelf. It may have been taken off it: look at the list.")
        return found

    def number_of(self, key: str) -> int:
        """The number of the latest version of a key, one that was taken off counted; 0 where there never was one."""
        found = select(func.max(own_kinds.c.number)).where(own_kinds.c.key == key)
        with self._engine.connect() as connection:
            return connection.execute(found).scalar() or 0

    def keep(self, kit: Kit, base: int) -> OwnKind:
        """Keep a kind as the version after ``base``, 0 for a new one; KindChanged where that number is taken."""
        if base == 0 and len(self.all()) >= MOST_KINDS:
            raise RoomError(f"Your own shelf holds at most {MOST_KINDS} kinds. Take one off first.")
        self._add(kit.key, base, write_kinds([kit]))
        return OwnKind(base + 1, kit)

    def take_off(self, key: str, base: int) -> None:
        """Take a kind off the shelf. Rooms that have it keep it in their own file."""
        self._add(key, base, "")

    def _add(self, key: str, base: int, body: str) -> None:
        row = insert(own_kinds).values(key=key, number=base + 1, saved_us=self._now_us(), body=body)
        try:
            with self._writing, self._engine.begin() as connection:
                connection.execute(row)
        except IntegrityError:
            raise KindChanged(
                "Somebody wrote this kind anew meanwhile, and nothing of theirs is overwritten. Open it again from"
                " your own kinds, and write your figures on top of theirs."
            ) from None


@lru_cache(maxsize=256)
def _read(body: str) -> Kit:
    return read_kinds(body)[0]
