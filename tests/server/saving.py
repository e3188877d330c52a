"""A process that saves layouts of one room until it is told to stop, and prints the number of each one kept.

python -m tests.server.saving DATABASE_URL ROOM_ID COUNT
"""

import sys

from server.store import Stale, Store


def save_layouts(database_url: str, room_id: str, count: int) -> None:
    store = Store(database_url)
    while count:
        latest = store.latest(room_id)
        try:
            saved = store.save(room_id, latest.number, latest.room, "Saved by a process")
        except Stale:
            continue
        print(saved.number, flush=True)
        count -= 1
    store.close()


if __name__ == "__main__":
    save_layouts(sys.argv[1], sys.argv[2], int(sys.argv[3]))
