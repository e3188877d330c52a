"""A kind from the user's own shelf, brought into a room by whatever asks for it: the room file then holds it itself."""

from dataclasses import replace

from geometry.editing import with_kind
from geometry.reading import write_room
from geometry.room import Room
from geometry.shelf import shelf
from server.store import Layout, Store


def with_own_kind(store: Store, room: Room, key: str) -> Room:
    """The room, with the kind of that key among its own where only the user's own shelf knows it."""
    if not key or key in shelf() or any(kit.key == key for kit in room.kit):
        return room
    kit = next((kit for kit in store.own.kinds() if kit.key == key), None)
    return room if kit is None else with_kind(room, kit)


def knowing(store: Store, layout: Layout, key: str) -> Layout:
    """The layout as a change that asks for a kind of that key finds it."""
    room = with_own_kind(store, layout.room, key)
    return layout if room is layout.room else replace(layout, body=write_room(room))
