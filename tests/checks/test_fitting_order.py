"""An order of fitting, against every order there is in rooms of up to six pieces."""

from itertools import permutations
from random import Random
from typing import Any

import pytest

from geometry.carrying import attempt, is_carried, standing_in
from geometry.check import Finding
from geometry.checks.fitting_order import CHECK, fewest_first, taking_out
from geometry.samples import box_kit, piece, round_kit, sample_scene
from geometry.scene import Scene
from tests.checks.found import Data, findings

NARROW: Data = {
    "outline_mm": [[0, 0], [1300, 0], [1300, 2500], [0, 2500]],
    "doors": [{"id": "d1", "edge": 0, "from_mm": 300, "clear_mm": 700}],
}
TANK = box_kit("tank", 600, 600, 900)


def in_a_row(*ys: float, **more: Any) -> list[Finding]:
    """Tanks one behind another in a narrow room."""
    pieces = [piece(TANK, 650, y, id=f"p{i}", **more) for i, y in enumerate(ys)]
    return findings("fitting-order", [TANK], pieces, **NARROW)


def test_what_stands_farthest_in_is_brought_in_first() -> None:
    order, *first = in_a_row(2150, 1400, 650)

    assert order.message == "Bring in first tank 1, then tank 2 and tank 3."
    assert order.pieces == ("p0", "p1", "p2")
    assert [f.message for f in first] == [
        "To replace tank 2, tank 3 comes out first.", "To replace tank 1, tank 2 and tank 3 come out first.",
    ]  # fmt: skip


def test_where_every_piece_can_leave_nothing_comes_out_first() -> None:
    pieces = [piece(TANK, x, 2100, id=f"p{x}") for x in (320, 980)]

    found = findings("fitting-order", [TANK], pieces, **NARROW)

    assert [f.topic for f in found] == ["order"]


def test_two_pieces_that_hold_each_other_in_are_a_deadlock() -> None:
    """A shallow room: each stands beside the door and has to pass where the other is; a double door frees both."""
    narrow, wide = side_by_side(285, 620), side_by_side(5, 1180)

    assert [(f.verdict, f.topic, f.pieces) for f in narrow] == [("put-right", "deadlock", ("cylinder", "machine"))]
    assert narrow[0].message == (
        "The cylinder and the machine hold each other in: the room cannot be put together as drawn."
        " Move one of them out of the way of the other."
    )
    assert [f.topic for f in wide] == ["order"]


def test_a_deadlock_is_shown_over_both_pieces_as_high_as_the_taller() -> None:
    """The cylinder begins at x 0 and the machine ends at 1190, its back at 605."""
    where = side_by_side(285, 620)[0].where

    assert where is not None
    assert (where.from_mm, where.to_mm) == (0, 1500)
    xs, ys = zip(*where.area_mm, strict=True)
    assert (min(xs), max(xs), max(ys)) == (pytest.approx(0, abs=0.1), 1190, pytest.approx(605, abs=0.1))


def test_a_deadlock_with_something_movable_in_it_is_looked_at_again() -> None:
    (finding,) = side_by_side(285, 620, hold="movable")

    assert finding.verdict == "look-again"
    assert finding.message.endswith("See whether there is room to move the machine aside.")


def side_by_side(door_from: float, clear: float, **machine_too: Any) -> list[Finding]:
    cylinder, machine = round_kit("cylinder", 550, 1500), box_kit("machine", 600, 600, 850)
    pieces = [piece(cylinder, 275, 330), piece(machine, 890, 305, **machine_too)]
    door = {"id": "d1", "edge": 0, "from_mm": door_from, "clear_mm": clear}
    outline = [[0, 0], [1190, 0], [1190, 610], [0, 610]]
    return findings("fitting-order", [cylinder, machine], pieces, outline_mm=outline, doors=[door])


def held(**more: Any) -> list[Finding]:
    """Two long chests in the arms of a T: each is only free once the other is gone."""
    chest = box_kit("chest", 700, 1000, 900)
    room = {
        "outline_mm": [[0, 0], [720, 0], [720, 2100], [0, 2100]],
        "doors": [{"id": "d1", "edge": 0, "from_mm": 5, "clear_mm": 710}],
    }
    pieces = [piece(chest, 360, 1600, id="p1"), piece(chest, 360, 550, id="p2", **more)]
    return findings("fitting-order", [chest], pieces, **room)


def test_one_behind_the_other_is_no_deadlock() -> None:
    assert [f.topic for f in held()] == ["order", "first"]


def test_pieces_drawn_into_each_other_are_left_to_the_check_that_says_so() -> None:
    assert in_a_row(1000, 1100) == []


def test_touching_pieces_are_told_like_any_others() -> None:
    order, *_ = in_a_row(2200, 1600, 1000)

    assert order.message == "Bring in first tank 1, then tank 2 and tank 3."


def test_a_single_piece_needs_no_order() -> None:
    assert in_a_row(1000) == []


def test_what_has_to_be_tipped_takes_its_turn_like_the_others() -> None:
    tall = round_kit("tall", 550, 2080, carry={"ways": ["upright", "tip"], "round_mm": 550})
    pieces = [piece(TANK, 650, 2150), piece(tall, 650, 1400)]

    found = findings("fitting-order", [TANK, tall], pieces, **NARROW)

    assert [f.message for f in found] == [
        "Bring in first tank, then tall.",
        "To replace the tank, the tall comes out first.",
    ]


def test_without_a_door_it_is_asked_for() -> None:
    pieces = [piece(TANK, 650, 2100, id="p1"), piece(TANK, 650, 1000, id="p2")]

    (finding,) = findings("fitting-order", [TANK], pieces, **{**NARROW, "doors": []})

    assert finding.verdict == "not-checked"
    assert finding.question


def test_it_says_nothing_about_some_of_the_pieces_alone() -> None:
    scene = sample_scene([TANK], [piece(TANK, 650, 2100, id="p1"), piece(TANK, 650, 1000, id="p2")], **NARROW)

    assert list(CHECK.find(scene, frozenset({"p1"}))) == []


# --- Against every order there is -------------------------------------------------------------------------------------


def full_room(seed: int) -> Scene:
    """A small room with three to six pieces that do not overlap, crowded enough to be in each other's way."""
    draw = Random(seed)
    wide, deep = draw.randint(1300, 1900), draw.randint(1400, 2000)
    outline = [[0, 0], [wide, 0], [wide, deep], [0, deep]]
    clear = draw.randint(500, 800)
    door = {"id": "d1", "edge": 0, "from_mm": draw.randint(0, wide - clear), "clear_mm": clear}
    kinds: list[Data] = []
    pieces: list[Data] = []
    wanted = draw.randint(3, 6)
    for _ in range(120):
        i = len(pieces)
        if i == wanted:
            break
        if draw.random() < 0.4:
            size = draw.randint(300, 600)
            kind, half = round_kit(f"k{i}", size, 1000), (size / 2, size / 2)
        else:
            w, d = draw.randint(300, 650), draw.randint(300, 650)
            kind, half = box_kit(f"k{i}", w, d, 1000), (w / 2, d / 2)
        x, y = draw.uniform(half[0], wide - half[0]), draw.uniform(half[1], deep - half[1])
        put = piece(kind, round(x), round(y), id=f"p{i}")
        scene = sample_scene([*kinds, kind], [*pieces, put], outline_mm=outline, doors=[door])
        placed = scene.piece(f"p{i}")
        if placed is not None and not standing_in(scene, placed, frozenset()):
            kinds.append(kind)
            pieces.append(put)
    return sample_scene(kinds, pieces, outline_mm=outline, doors=[door])


def leaves(scene: Scene, one: str, gone: frozenset[str]) -> bool:
    placed = scene.piece(one)
    assert placed is not None
    return attempt(scene, placed, gone) == "out"


def everything_leaves(scene: Scene, order: tuple[str, ...]) -> int:
    """How many pieces leave in that order before one cannot."""
    gone = frozenset[str]()
    for one in order:
        if not leaves(scene, one, gone):
            break
        gone |= {one}
    return len(gone)


@pytest.mark.parametrize("seed", range(40))
def test_trying_every_order_finds_no_more_that_can_leave_and_no_fewer_to_take_out_first(seed: int) -> None:
    scene = full_room(seed)
    ids = [placed.id for placed in scene.placed if is_carried(scene, placed)]
    prefixes: set[tuple[str, ...]] = set()
    for order in permutations(ids):
        prefixes.add(order[: everything_leaves(scene, order)])
    most = max(len(prefix) for prefix in prefixes)

    rounds, stuck = taking_out(scene, ids)

    assert sum(map(len, rounds)) == most
    assert everything_leaves(scene, tuple(one for some in rounds for one in some)) == most
    assert set(stuck) == set(ids) - {one for prefix in prefixes for one in prefix}
    for one in (one for some in rounds for one in some):
        fewest = min(prefix.index(one) for prefix in prefixes if one in prefix)
        assert len(fewest_first(scene, ids, one)) == fewest


def test_enough_of_those_rooms_are_in_their_own_way() -> None:
    scenes = [full_room(seed) for seed in range(40)]
    rounds = [taking_out(scene, [placed.id for placed in scene.placed]) for scene in scenes]

    assert sum(len(some) > 1 for some, _ in rounds) > 10
    assert sum(bool(stuck) for _, stuck in rounds) > 2
    assert max(len(scene.placed) for scene in scenes) == 6
