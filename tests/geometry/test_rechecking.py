import random
from pathlib import Path
from typing import Any

import pytest

from geometry.check import Finding
from geometry.checking import check_scene
from geometry.checks import CHECKS, ORDER
from geometry.reading import read_room
from geometry.rechecking import BY_CONTACT, WITHIN_REACH, recheck
from geometry.room import Piece, Room
from geometry.samples import box_kit, piece, sample_scene
from geometry.scene import Scene, build, with_piece
from tests.bench.plant_room import plant_room
from tests.conftest import ROOT

DEMOS = sorted((ROOT / "demo_rooms").glob("*.json"))
MOVES = 25


def said(findings: tuple[Finding, ...]) -> list[tuple[Any, ...]]:
    """What a person reads of some findings, in order; of what is without fault only that it is there."""
    return [
        (f.key, f.verdict, *(() if f.verdict == "no-fault" else (f.message, f.needed, f.found, f.short, f.accepted)))
        for f in findings
    ]


def somewhere_else(room: Room, chance: random.Random) -> Piece:
    """Any piece of a room, put anywhere in it, turned and raised by any amount."""
    xs, ys = zip(*room.outline_mm, strict=True)
    old = chance.choice(room.pieces)
    base = (old.base_mm or 0.0) + chance.choice([0.0, 0.0, 60.0, -60.0])
    turn = chance.choice([old.turn_deg, 0.0, 90.0, 180.0, 270.0, 35.0])
    at = (chance.uniform(min(xs), max(xs)), chance.uniform(min(ys), max(ys)))
    return old.model_copy(update={"at_mm": at, "turn_deg": turn, "base_mm": base})


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_after_any_move_what_is_said_is_what_a_full_check_says(path: Path) -> None:
    """The full check is the oracle: it knows nothing of what was found before. Slow checks are run whole in both."""
    room = read_room(path.read_bytes())
    before, quick = build(room), [check for check in CHECKS if not check.slow]
    found = check_scene(before, None, quick)
    chance = random.Random(path.stem)

    for _ in range(MOVES):
        moved = somewhere_else(room, chance)
        after = with_piece(before, moved)
        full = said(check_scene(after, None, quick))
        again = said(recheck(before, found, after, moved.id, slow=False))
        wrong = sum(verdict != "no-fault" for _, verdict, *_ in full)
        assert again[:wrong] == full[:wrong], moved
        assert sorted(again[wrong:]) == sorted(full[wrong:]), moved


def test_a_look_with_everything_is_what_a_full_check_says() -> None:
    before = two_in_a_row()
    after = with_piece(before, before.placed[1].piece.model_copy(update={"at_mm": (1000.0, 400.0)}))

    assert said(recheck(before, check_scene(before), after, "tank")) == said(check_scene(after))


@pytest.mark.parametrize("seed", range(6))
def test_ways_out_known_again_are_those_of_a_full_check(seed: int) -> None:
    """Ways out are known again from the room before; a scene that was built anew knows nothing and is the oracle."""
    room, chance = plant_room(10), random.Random(seed)
    before = build(room)
    found = check_scene(before)

    for _ in range(3):
        moved = somewhere_else(room, chance)
        after = with_piece(before, moved)
        assert said(recheck(before, found, after, moved.id)) == said(check_scene(build(after.room))), moved


def test_a_piece_put_across_the_only_way_traps_what_was_free() -> None:
    room = plant_room(10)
    before = build(room)
    found = check_scene(before)
    free = {f.pieces for f in found if f.check == "way-out" and f.verdict == "no-fault"}
    tall = next(p for p in before.placed if p.kit.height_mm > 1200 and p.kit.stands_on == "floor")
    after = with_piece(before, tall.piece.model_copy(update={"at_mm": (500.0, 1750.0)}))

    wrong = {
        f.pieces for f in recheck(before, found, after, tall.id) if f.check == "way-out" and f.verdict != "no-fault"
    }

    assert free & wrong


def test_without_the_slow_checks_theirs_stay_as_they_were() -> None:
    before = two_in_a_row()
    found = check_scene(before)
    after = with_piece(before, before.placed[1].piece.model_copy(update={"at_mm": (1000.0, 400.0)}))
    slow = {check.id for check in CHECKS if check.slow}

    again = recheck(before, found, after, "tank", slow=False)

    assert [f for f in again if f.check in slow] == [f for f in found if f.check in slow]
    assert any(f.check in slow for f in again)


def test_a_piece_that_comes_back_brings_the_old_findings_back() -> None:
    before = two_in_a_row()
    found = check_scene(before)
    away = with_piece(before, before.placed[1].piece.model_copy(update={"at_mm": (2000.0, 300.0)}))
    there = recheck(before, found, away, "tank")

    assert said(there) != said(found)
    assert said(recheck(away, there, before, "tank")) == said(found)


def two_in_a_row() -> Scene:
    boiler = box_kit("boiler", space=[{"side": "front", "mm": 600, "why": "the case comes off forwards"}])
    tank = box_kit("tank")
    return sample_scene([boiler, tank], [piece(boiler, 1000, 1600), piece(tank, 1000, 900)])


def test_every_check_that_is_run_in_part_is_in_the_list_of_checks() -> None:
    assert set(ORDER) >= BY_CONTACT | WITHIN_REACH
    assert set() == BY_CONTACT & WITHIN_REACH
