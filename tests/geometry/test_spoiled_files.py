"""Rooms spoiled by chance: each is read, or refused in one sentence; each that is read can be checked."""

import json
from copy import deepcopy
from typing import Any

from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st

from geometry.checking import check_room
from geometry.errors import RoomError
from geometry.reading import read_room, write_room
from tests.geometry.whole_room import WHOLE

Path = tuple[str | int, ...]
ODD = [
    None, True, False, 0, -1, 1, 0.5, 1e-9, 5e-324, -0.0, 1e5, -1e5, 99_999.9, 1e6, 1e300, -1e300, 10**30, 2400, 1800,
    "", " ", "x", "a b", "<b>", "\0", "\ud800", "é" * 200, "p1", "d1", "edge:0", "ceiling", "floor", "front", "above",
    "wall", "movable", "none", [], {}, [[]], [1, 2], [1, 2, 3], {"id": "p1"}, [[0, 0], [10, 0], [5, 0]], [[0, 0]] * 3,
]  # fmt: skip
FACTORS = [-1, 0, 0.001, 0.5, 0.999, 1.0000001, 2, 10, 1000]


def places(value: Any, path: Path = ()) -> list[Path]:
    """The path of every value inside."""
    inside = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [*([path] if path else []), *(deeper for key, item in inside for deeper in places(item, (*path, key)))]


PLACES = places(WHOLE)
NUMBERS = [path for path in PLACES if isinstance(path[-1], int) or str(path[-1]).endswith(("_mm", "_deg", "kg", "_l"))]


def at(data: Any, path: Path) -> Any:
    for step in path:
        data = data[step]
    return data


WAYS = ("drop", "double", "other", "odd", "odd", "scale", "nudge")


@st.composite
def spoiled(draw: st.DrawFn, paths: list[Path], ways: tuple[str, ...] = WAYS) -> dict[str, Any]:
    """The whole room with up to four values dropped, doubled, scaled, nudged, exchanged, or replaced by odd ones."""
    data = deepcopy(WHOLE)
    for path in draw(st.lists(st.sampled_from(paths), min_size=1, max_size=4)):
        try:
            holder, old = at(data, path[:-1]), at(data, path)
        except (KeyError, IndexError, TypeError):
            continue
        how, number = draw(st.sampled_from(ways)), isinstance(old, (int, float)) and not isinstance(old, bool)
        if how == "drop":
            del holder[path[-1]]
        elif how == "double" and isinstance(holder, list):
            holder.append(deepcopy(old))
        elif how == "other":
            holder[path[-1]] = deepcopy(at(WHOLE, draw(st.sampled_from(paths))))
        elif how == "scale" and number:
            holder[path[-1]] = old * draw(st.sampled_from(FACTORS))
        elif how == "nudge" and number:
            holder[path[-1]] = old + draw(st.integers(-900, 900) | st.floats(-900, 900))
        else:
            holder[path[-1]] = draw(st.sampled_from(ODD) | st.floats(-1e5, 1e5) | st.integers(-3000, 3000))
    return data


def read_and_check(data: dict[str, Any]) -> None:
    try:
        room = read_room(json.dumps(data))
    except RoomError as error:
        event("refused")
        said = str(error)
        assert said.isprintable() and len(said) < 420 and said.endswith((".", "?")), said
        return
    event("read")
    assert read_room(write_room(room)) == room
    json.dumps(check_room(room).as_json(), allow_nan=False)


SETTINGS = settings(derandomize=True, database=None, deadline=None, suppress_health_check=[HealthCheck.too_slow])


@settings(SETTINGS, max_examples=160)
@given(spoiled(PLACES))
def test_a_file_spoiled_anywhere_is_read_and_checked_or_refused(data: dict[str, Any]) -> None:
    read_and_check(data)


@settings(SETTINGS, max_examples=120)
@given(spoiled(NUMBERS, ("odd", "scale", "nudge", "nudge", "nudge")))
def test_a_file_with_odd_figures_is_read_and_checked_or_refused(data: dict[str, Any]) -> None:
    read_and_check(data)


JSON = st.recursive(
    st.sampled_from(ODD) | st.text(max_size=3),
    lambda inside: st.lists(inside, max_size=3) | st.dictionaries(st.text(max_size=3), inside, max_size=3),
    max_leaves=6,
)


@settings(SETTINGS, max_examples=100)
@given(st.dictionaries(st.sampled_from(sorted(WHOLE)), JSON, max_size=6))
def test_any_json_under_a_rooms_keys_is_read_or_refused(data: dict[str, Any]) -> None:
    read_and_check({"format": "elbowroom-room", "format_version": 1, **data})


@settings(SETTINGS, max_examples=150)
@given(st.text() | st.binary())
def test_any_text_or_bytes_is_refused(text: str | bytes) -> None:
    try:
        read_room(text)
    except RoomError:
        return
    raise AssertionError(f"{text!r} was read as a room")
