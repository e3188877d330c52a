"""A piece swapped for another kind: what is kept, what goes with the old kind, and back again."""

from itertools import permutations
from typing import Any

import pytest

from geometry.editing import changed, moved
from geometry.errors import UnknownKit, UnknownThing
from geometry.kit import Change
from geometry.on_wall import on_wall
from geometry.reading import read_room, write_room
from geometry.room import Room
from geometry.samples import box_kit, piece, round_kit, sample_room
from geometry.scene import build
from geometry.shelf import shelf
from geometry.swapping import Dropped, alike, dropped, swapped

FLUE = [{"side": "behind", "mm": 60, "what": "flue"}]
RELIEF = {"name": "relief", "medium": "relief", "size_mm": 15, "at_mm": [0, 0, 0], "faces": "below"}
SMALL = box_kit("small", 400, 300, 700, stands_on="wall", base_mm=1150, port=[RELIEF], traits=["gas", "hot"])
LARGE = box_kit("large", 500, 360, 800, stands_on="wall", base_mm=1100, sticks_out=FLUE, traits=["gas", "hot"],
                port=[RELIEF | {"name": "blow-off"}])  # fmt: skip
BARE = box_kit("bare", 450, 250, 600, stands_on="floor")
ROUND = round_kit("round", 550, 1500)
KINDS = [SMALL, LARGE, BARE, ROUND]
GULLY = {"id": "o1", "name": "gully", "at_mm": [2400, 900], "level_mm": 100, "takes": ["relief"]}


def room(at: tuple[float, float] = (1000, 1650), turn_deg: float = 0, **more: Any) -> Room:
    """The small kind with its back to the wall behind it, and a floor piece of its own."""
    pieces = [piece(SMALL, *at, turn_deg, id="p1", **more), piece(BARE, 2000, 300, id="p2")]
    return sample_room(KINDS, pieces, outlets=[GULLY])


def back_and_left(of: Room) -> tuple[float, float, float]:
    """How far the body of p1 is off the wall behind it, and from the corners left and right."""
    scene = build(of)
    placed = scene.piece("p1")
    assert placed is not None
    at = on_wall(scene, placed)
    return round(at.off_mm, 3), at.left_mm, at.right_mm


@pytest.mark.parametrize(
    ("at", "turn_deg"), [((1000, 1650), 0), ((150, 900), 90), ((1200, 150), 180), ((2250, 900), 270)]
)
def test_back_against_its_wall_and_middle_line_are_kept_on_every_wall(at: tuple[float, float], turn_deg: float) -> None:
    before = room(at, turn_deg)
    off, left, right = back_and_left(swapped(before, "p1", "bare"))

    assert off == 0
    assert (left, right) == tuple(value - 25 for value in back_and_left(before)[1:])  # 450 wide in the place of 400


def test_what_sticks_out_behind_the_new_kind_stands_against_the_wall() -> None:
    assert back_and_left(swapped(room(), "p1", "large"))[0] == 60


def test_off_the_wall_the_back_of_the_body_stays_where_it_was() -> None:
    assert back_and_left(swapped(room((1000, 1500)), "p1", "large"))[0] == back_and_left(room((1000, 1500)))[0] == 150


def test_id_name_hold_pin_and_other_pieces_are_kept() -> None:
    before = room(name="Airing cupboard boiler", hold="with-effort", pinned=True)
    after = swapped(before, "p1", "large")
    kept = after.pieces[0]

    assert (kept.id, kept.name, kept.hold, kept.pinned, kept.turn_deg) == (
        "p1", "Airing cupboard boiler", "with-effort", True, 0,
    )  # fmt: skip
    assert after.pieces[1:] == before.pieces[1:]


@pytest.mark.parametrize(("base_mm", "kit", "expected"), [
    (None, "large", None), (1150, "large", 1100), (1300, "large", 1300), (1300, "bare", None), (None, "round", None),
])  # fmt: skip
def test_the_base_is_the_new_kinds_own_unless_it_was_raised_by_hand_on_the_same(
    base_mm: float | None, kit: str, expected: float | None
) -> None:
    more = {} if base_mm is None else {"base_mm": base_mm}

    assert swapped(room(**more), "p1", kit).pieces[0].base_mm == expected


@pytest.mark.parametrize(("one", "other"), list(permutations([kind["key"] for kind in KINDS], 2)))
@pytest.mark.parametrize("turn_deg", [0, 90, 37])
def test_there_and_back_gives_the_same_room(one: str, other: str, turn_deg: float) -> None:
    first = swapped(moved(room(), "p1", (1100, 900), turn_deg=turn_deg), "p1", one)

    assert swapped(swapped(first, "p1", other), "p1", one) == first


def test_there_and_back_against_the_wall_gives_the_same_room() -> None:
    assert swapped(swapped(room(), "p1", "large"), "p1", "small") == room()


def test_through_all_of_the_shelf_and_back_gives_the_same_room() -> None:
    first = sample_room([], [{"id": "p1", "kit": "unvented-cylinder-210", "at_mm": [1200, 900]}])
    through = first
    for key in shelf():
        through = swapped(through, "p1", key)

    assert swapped(through, "p1", "unvented-cylinder-210") == first


def with_everything() -> Room:
    """Own figures, acceptances on both pieces, answers, a pipe and a flue."""
    accepted = [
        {"check": "service-space", "about": ["p2", "p1"], "by": "A. Fitter", "reason": "lid", "on": "2026-11-25"}
    ]
    answer = {"check": "look-on-site", "by": "A. Fitter", "date": "2026-11-25", "answer": "Yes."}
    about_both, about_it = ({**answer, "topic": t, "pieces": p} for t, p in (("hidden", ["p1", "p2"]), ("gas", ["p1"])))
    data = sample_room(
        KINDS,
        [piece(SMALL, 1000, 1650, id="p1"), piece(BARE, 2000, 300, id="p2", accepted=accepted)],
        outlets=[GULLY], answers=[about_both, about_it],
        pipes=[{"id": "x1", "medium": "relief", "from": {"piece": "p1", "port": "relief"}, "to": "o1", "size_mm": 22}],
        flues=[{"id": "t1", "piece": "p1", "edge": 2, "along_mm": 1400, "level_mm": 2000}],
    )  # fmt: skip
    return changed(data, "p1", "height_mm", Change(value=690, basis="manual", note="manual p. 9"))


def test_own_figures_acceptances_and_answers_of_the_old_kind_are_dropped_and_told() -> None:
    before = with_everything()
    after = swapped(before, "p1", "bare")

    assert dropped(before, after, "p1") == Dropped(("height_mm",), accepted=1, answers=2, pipes=1, flues=1)
    assert [answer.pieces for answer in after.answers] == [("p2",)]
    assert read_room(write_room(after)) == after


def test_a_pipe_goes_on_from_the_only_port_of_its_medium() -> None:
    (pipe,) = swapped(with_everything(), "p1", "large").pipes

    assert (pipe.from_.port, pipe.size_mm) == ("blow-off", 22)


def test_a_flue_stays_with_a_kind_that_burns() -> None:
    assert len(swapped(with_everything(), "p1", "large").flues) == 1


def test_what_is_not_there_is_refused_in_words() -> None:
    with pytest.raises(UnknownThing, match="no piece called p9"):
        swapped(room(), "p9", "bare")
    with pytest.raises(UnknownKit, match="no-such-kind"):
        swapped(room(), "p1", "no-such-kind")


@pytest.mark.parametrize(("kit", "first"), [
    ("wall-boiler-combination", "wall-boiler-system"), ("expansion-vessel-18", "expansion-vessel-12"),
    ("water-softener-twin", "water-softener-single"), ("magnetic-filter-22", "magnetic-filter-28"),
])  # fmt: skip
def test_kinds_of_the_same_work_come_nearest_first(kit: str, first: str) -> None:
    near = alike(shelf()[kit], shelf().values())

    assert near[0].key == first
    assert {other.group for other in near} == {shelf()[kit].group}
    assert kit not in [other.key for other in near]


def test_an_alarm_is_like_nothing_else_on_the_shelf() -> None:
    assert alike(shelf()["carbon-monoxide-alarm"], shelf().values()) == []
