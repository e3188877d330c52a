"""What must not matter: how a room lies on the paper, and in which order it is written."""

import json
from collections.abc import Iterable
from copy import deepcopy
from random import Random
from typing import Any

import pytest

from geometry.check import Finding
from geometry.checking import check_room, check_scene
from geometry.reading import room_from
from geometry.remedies import with_remedies
from geometry.scene import build
from tests.geometry.random_rooms import Data, changed_places, random_room
from tests.geometry.whole_room import WHOLE

LISTS = ("pieces", "fixtures", "doors", "windows", "walls", "keep_free", "kit")
CORE = {"body-overlap", "room-edge", "service-space", "draw-out", "floor-load", "look-on-site"}
OFFSETS = [(1000, -500), (0.1, 7.3), (1234.567, -9876.5), (-30000, 40000), (1 / 3, 1e-7)]


def findings(room: Data) -> tuple[Finding, ...]:
    return check_room(room_from(room)).findings


def measured(found: Iterable[Finding]) -> list[tuple[Any, ...]]:
    """Verdict and measure of every finding, to a millionth. Two spanners are measured no farther than is enough."""
    figures = {f: (f.needed, f.short) if f.topic == "two-spanners" else (f.needed, f.found, f.short) for f in found}
    return sorted(
        (f.check, f.topic, f.side or "", f.pieces, f.verdict, *(round(value or 0, 6) for value in values))
        for f, values in figures.items()
    )


def worded(found: Iterable[Finding]) -> list[tuple[Any, ...]]:
    """Everything that people read of the checks of this package."""
    return [(f.title, f.message, f.question, f.pieces, f.against, f.verdict) for f in found if f.check in CORE]


@pytest.mark.parametrize("seed", range(24))
def test_four_quarter_turns_of_a_room_change_no_measure_and_no_verdict(seed: int) -> None:
    room = random_room(seed)
    expected = measured(findings(room))
    for _ in range(4):
        room = changed_places(room, lambda at: (-at[1], at[0]), 90)

        assert measured(findings(room)) == expected
    assert room == random_room(seed)


@pytest.mark.parametrize("seed", range(24))
def test_where_a_room_lies_changes_nothing(seed: int) -> None:
    room = random_room(seed)
    expected = findings(room)
    dx, dy = OFFSETS[seed % len(OFFSETS)]
    moved = findings(changed_places(room, lambda at: (at[0] + dx, at[1] + dy)))

    assert measured(moved) == measured(expected)
    assert worded(moved) == worded(expected)


@pytest.mark.parametrize("seed", range(24))
def test_the_order_of_the_file_changes_not_a_byte(seed: int) -> None:
    room, draw = random_room(seed), Random(seed)
    other = deepcopy(room)
    for key in LISTS:
        draw.shuffle(other[key])
    for key in ("slopes", "beams"):
        draw.shuffle(other["ceiling"].get(key, []))
    one, two = (json.dumps(check_room(room_from(data)).as_json()) for data in (room, other))

    assert one == two


def test_the_order_of_a_room_with_everything_changes_not_a_byte() -> None:
    backwards = {
        key: value[::-1] if isinstance(value, list) and key != "outline_mm" else value for key, value in WHOLE.items()
    }
    one, two = (json.dumps(check_room(room_from(data)).as_json()) for data in (WHOLE, backwards))

    assert one == two


def test_the_same_room_is_checked_the_same_twice() -> None:
    room = room_from(random_room(7))

    assert json.dumps(check_room(room).as_json()) == json.dumps(check_room(room).as_json())


@pytest.mark.parametrize("seed", range(12))
def test_a_full_turn_of_every_piece_changes_nothing(seed: int) -> None:
    room = random_room(seed)
    again = deepcopy(room)
    for piece in again["pieces"]:
        piece["turn_deg"] += 360

    assert worded(findings(again)) == worded(findings(room))


@pytest.mark.parametrize("seed", range(12))
def test_another_start_of_the_outline_changes_no_measure(seed: int) -> None:
    room = random_room(seed)
    again, n = deepcopy(room), len(room["outline_mm"])
    again["outline_mm"] = again["outline_mm"][1:] + again["outline_mm"][:1]
    for part in (*again["walls"], *again["doors"], *again["windows"]):
        part["edge"] = (part["edge"] - 1) % n
    core = [[f for f in findings(data) if f.check in CORE] for data in (room, again)]

    assert measured(core[0]) == measured(core[1])


@pytest.mark.parametrize("seed", range(8))
def test_a_piece_out_of_the_room_takes_only_its_own_faults_with_it(seed: int) -> None:
    """Whatever is fixed and leaves makes nothing else shorter of room."""
    room = random_room(seed)
    less = {**room, "pieces": room["pieces"][1:]}
    kept = {"body-overlap", "service-space", "draw-out"}
    before = {(f.check, f.topic, f.side, f.pieces): f.short or 0 for f in findings(room) if f.verdict == "put-right"}
    after = [f for f in findings(less) if f.verdict == "put-right" and f.check in kept]

    assert all((f.short or 0) <= before[f.check, f.topic, f.side, f.pieces] + 1e-6 for f in after)


@pytest.mark.parametrize("seed", [1, 4])
def test_a_remedy_turns_with_its_room(seed: int) -> None:
    room = random_room(seed, pieces=3)
    lengths = []
    for data in (room, changed_places(room, lambda at: (-at[1], at[0]), 90)):
        scene = build(room_from(data))
        fixed = with_remedies(scene, check_scene(scene))
        lengths.append([f.remedy is not None for f in sorted(fixed, key=lambda f: f.key)])

    assert lengths[0] == lengths[1]
