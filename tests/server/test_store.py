import signal
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from itertools import count
from pathlib import Path

import pytest
from sqlalchemy.exc import IntegrityError

from geometry.editing import moved
from server.app import add_demo_rooms
from server.paths import DEMO_ROOMS
from server.settings import sqlite_url
from server.store import DatabaseUnusable, Stale, Store, UnknownRoom, new_room_id
from tests.server.conftest import room_called

ROOT = Path(__file__).parent.parent.parent
BOOT_ROOM = room_called("Boot room, Harbour Row")
SHED = room_called("Plant shed")


def numbers(store: Store, room_id: str) -> list[int]:
    return [line.number for line in store.layouts(room_id)]


def test_a_new_room_is_layout_1_and_reads_back_the_same(store: Store) -> None:
    created = store.create(BOOT_ROOM, "Room measured")

    assert store.latest(created.room_id) == created
    assert (created.number, created.step, created.room) == (1, "Room measured", BOOT_ROOM)


def test_a_save_is_the_next_layout_and_the_one_before_stays(store: Store) -> None:
    room_id = store.create(BOOT_ROOM).room_id
    changed = moved(BOOT_ROOM, "tank", (900, 1600))

    saved = store.save(room_id, 1, changed, "Tank moved")

    assert (saved.number, store.latest(room_id).room) == (2, changed)
    assert store.layout(room_id, 1).room == BOOT_ROOM
    assert numbers(store, room_id) == [2, 1]


def test_a_save_on_top_of_an_old_layout_is_refused_and_carries_both(store: Store) -> None:
    room_id = store.create(BOOT_ROOM).room_id
    theirs = store.save(room_id, 1, BOOT_ROOM, "Theirs")
    mine = moved(BOOT_ROOM, "tank", (900, 1600))

    with pytest.raises(Stale) as refused:
        store.save(room_id, 1, mine, "Mine")

    assert (refused.value.latest, refused.value.mine, refused.value.step) == (theirs, mine, "Mine")
    assert numbers(store, room_id) == [2, 1]


def test_a_save_on_top_of_a_layout_that_never_was_is_refused(store: Store) -> None:
    room_id = store.create(BOOT_ROOM).room_id

    with pytest.raises(Stale):
        store.save(room_id, 7, BOOT_ROOM, "Out of thin air")

    assert numbers(store, room_id) == [1]


def test_a_save_into_an_unknown_room_is_refused_and_makes_none(store: Store) -> None:
    with pytest.raises(UnknownRoom):
        store.save("nowhere", 1, BOOT_ROOM, "Lost")

    assert store.is_empty()


@pytest.mark.parametrize("number", [0, -1, 2, 10**12])
def test_a_layout_that_is_not_there_is_unknown(store: Store, number: int) -> None:
    room_id = store.create(BOOT_ROOM).room_id

    with pytest.raises(UnknownRoom):
        store.layout(room_id, number)


def test_an_unknown_room_has_no_latest_layout_and_no_list(store: Store) -> None:
    with pytest.raises(UnknownRoom):
        store.latest("nowhere")
    with pytest.raises(UnknownRoom):
        store.layouts("nowhere")


def test_rooms_are_listed_by_their_latest_layout_newest_first(database_url: str) -> None:
    ticks = count(1_795_000_000_000_000)
    store = Store(database_url, now_us=lambda: next(ticks))
    boot_room, shed = store.create(BOOT_ROOM).room_id, store.create(SHED).room_id
    store.save(boot_room, 1, BOOT_ROOM, "Again")

    listed = [(layout.room_id, layout.number) for layout in store.rooms()]
    store.close()

    assert listed == [(boot_room, 2), (shed, 1)]


def test_the_time_of_a_layout_is_utc(database_url: str) -> None:
    store = Store(database_url, now_us=lambda: 1_795_599_720_000_000)

    saved = store.create(BOOT_ROOM).saved
    store.close()

    assert saved == datetime(2026, 11, 25, 9, 42, tzinfo=UTC)


def test_undo_keeps_an_old_layout_once_more_as_the_newest(store: Store) -> None:
    room_id = store.create(BOOT_ROOM).room_id
    store.save(room_id, 1, moved(BOOT_ROOM, "tank", (900, 1600)), "Tank moved")

    restored = store.restore(room_id, 2, 1)

    assert (restored.number, restored.room, restored.step) == (3, BOOT_ROOM, "Back to layout 1")


def test_a_step_of_any_length_is_kept(store: Store) -> None:
    created = store.create(BOOT_ROOM, "x" * 5000)

    assert store.latest(created.room_id).step == "x" * 200


def test_rooms_of_the_same_name_get_different_addresses(store: Store) -> None:
    first, second = store.create(BOOT_ROOM), store.create(BOOT_ROOM)

    assert first.room_id != second.room_id


def test_an_address_that_is_taken_is_not_overwritten(store: Store) -> None:
    store.create(BOOT_ROOM, room_id="boot-room")

    with pytest.raises(IntegrityError):
        store.create(SHED, room_id="boot-room")

    assert store.latest("boot-room").room == BOOT_ROOM


@pytest.mark.parametrize("name", ["Böiler & Sons", "锅炉房", "x" * 120, "../../etc/passwd", " "])
def test_an_address_is_plain_letters_and_fits(name: str) -> None:
    room_id = new_room_id(name)

    assert len(room_id) <= 43
    assert set(room_id) <= set("abcdefghijklmnopqrstuvwxyz0123456789-")
    assert not room_id.startswith("-")


def test_eight_threads_that_save_at_once_lose_nothing(store: Store) -> None:
    room_id = store.create(BOOT_ROOM).room_id

    def save_ten(thread: int) -> list[int]:
        kept = []
        while len(kept) < 10:
            try:
                kept.append(store.save(room_id, store.latest(room_id).number, BOOT_ROOM, f"Thread {thread}").number)
            except Stale:
                continue
        return kept

    with ThreadPoolExecutor(8) as threads:
        kept = sorted(number for numbers in threads.map(save_ten, range(8)) for number in numbers)

    assert kept == list(range(2, 82))
    assert numbers(store, room_id) == list(range(81, 0, -1))


@contextmanager
def saving(database_url: str, room_id: str, layouts: int) -> Iterator[subprocess.Popen[str]]:
    command = [sys.executable, "-m", "tests.server.saving", database_url, room_id, str(layouts)]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as process:
        yield process


def test_two_processes_that_save_at_once_lose_nothing(store: Store, database_url: str) -> None:
    room_id = store.create(BOOT_ROOM).room_id

    with saving(database_url, room_id, 30) as one, saving(database_url, room_id, 30) as other:
        kept = [int(line) for line in (*one.communicate()[0].split(), *other.communicate()[0].split())]

    assert sorted(kept) == list(range(2, 62))
    assert numbers(store, room_id) == list(range(61, 0, -1))


def test_a_writer_that_is_killed_loses_nothing_it_acknowledged(store: Store, database_url: str) -> None:
    room_id = store.create(BOOT_ROOM).room_id
    acknowledged = [1]

    for _ in range(3):
        with saving(database_url, room_id, 100_000) as process:
            assert process.stdout is not None
            acknowledged += [int(process.stdout.readline()) for _ in range(20)]
            process.send_signal(signal.SIGKILL)
            acknowledged += [int(line) for line in process.stdout if line.endswith("\n")]

    kept = numbers(store, room_id)
    assert kept == list(range(len(kept), 0, -1))
    assert set(acknowledged) <= set(kept)
    assert store.save(room_id, kept[0], BOOT_ROOM, "After the crash").number == kept[0] + 1


def test_sqlite_writes_through_to_the_disk_and_stays_sound(tmp_path: Path) -> None:
    store = Store(sqlite_url(tmp_path / "not" / "yet" / "there"))
    store.create(BOOT_ROOM)

    with store._engine.connect() as connection:
        told = [connection.exec_driver_sql(f"PRAGMA {name}").scalar() for name in ("journal_mode", "synchronous")]
    store.close()
    (file,) = tmp_path.rglob("*.sqlite")

    assert told == ["wal", 2]
    with closing(sqlite3.connect(file)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)


def test_a_database_of_another_kind_is_refused_in_words() -> None:
    with pytest.raises(DatabaseUnusable, match="SQLite or PostgreSQL, not in mysql"):
        Store("mysql://localhost/rooms")


@pytest.mark.parametrize(
    "url", ["postgresql://nobody@127.0.0.1:1/nothing", "rooms", "sqlite:////dev/null/rooms.sqlite"]
)
def test_a_database_that_cannot_be_opened_is_told_in_one_line(url: str) -> None:
    with pytest.raises(DatabaseUnusable, match=r"^The rooms cannot be opened: [^\n]+\.$"):
        Store(url)


def test_demo_rooms_come_once_and_only_into_an_empty_store(store: Store) -> None:
    add_demo_rooms(store)
    add_demo_rooms(store)

    assert sorted(layout.room_id for layout in store.rooms()) == sorted(path.stem for path in DEMO_ROOMS.glob("*.json"))
    assert {layout.step for layout in store.rooms()} <= {"Demo room"}


def test_demo_rooms_do_not_come_into_a_store_with_a_room(store: Store) -> None:
    store.create(BOOT_ROOM)

    add_demo_rooms(store)

    assert len(store.rooms()) == 1
