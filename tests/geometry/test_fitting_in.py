"""Will it fit at all. Kit is given sizes that settle the answer without the checks: a box is longer than the room."""

import pytest

from geometry.checking import check_room
from geometry.fitting_in import fits, fitted_in
from geometry.room import Room
from geometry.samples import box_kit, sample_room

DOOR = {"id": "d1", "edge": 0, "from_mm": 850, "clear_mm": 700, "head_mm": 1981, "leaf": {"opens": "out"}}
TANK = box_kit("tank", 600, 500, 900, space=[{"side": "front", "mm": 600, "why": "a person works there"}])
HUNG = box_kit("hung", 400, 300, 700, stands_on="wall", base_mm=1100)
LONG = box_kit("long", 2600, 400, 800)
BRACKETED = box_kit(
    "bracketed", 300, 300, 400, stands_on="wall", base_mm=1200,
    sticks_out=[{"side": "behind", "mm": 40, "what": "bracket"}],
)  # fmt: skip
BLOCK = box_kit("block", 1300, 1300, 900)
KINDS = [BLOCK, TANK, HUNG, LONG, BRACKETED]


def filled(*keys: str) -> Room:
    return fitted_in(sample_room(KINDS, [], doors=[DOOR]), keys)


def without_a_place(room: Room) -> list[str]:
    found = fits(check_room(room).findings, [piece.id for piece in room.pieces])
    kinds = {piece.id: piece.kit for piece in room.pieces}
    return [kinds[fit.piece] for fit in found if not fit.fits]


def test_kit_that_has_room_is_placed_where_nothing_is_put_right() -> None:
    room = filled("tank", "hung", "tank")

    assert without_a_place(room) == []


def test_pieces_come_in_the_order_of_the_list_whatever_was_placed_first() -> None:
    room = filled("hung", "tank", "bracketed")

    assert [piece.kit for piece in room.pieces] == ["hung", "tank", "bracketed"]
    assert [piece.id for piece in room.pieces] == ["p1", "p2", "p3"]


def test_what_is_longer_than_the_room_has_no_place_and_is_told_by_how_much() -> None:
    room = filled("long", "hung")
    (wrong, fine) = fits(check_room(room).findings, ["p1", "p2"])

    assert not wrong.fits
    assert max(found.short or 0 for found in wrong.wrong) >= 100
    assert fine.fits


def test_what_sticks_out_behind_keeps_a_piece_off_its_wall() -> None:
    assert without_a_place(filled("bracketed")) == []


def test_two_blocks_of_1300_do_not_both_fit_in_2400_by_1800() -> None:
    """Beside each other they need 2,600 mm; behind each other as much."""
    assert without_a_place(filled("block", "block")) != []


def test_an_empty_list_leaves_the_room_as_it_was() -> None:
    room = sample_room(KINDS, [], doors=[DOOR])

    assert fitted_in(room, []) == room


@pytest.mark.parametrize("key", ["nothing-like-it"])
def test_an_unknown_kind_is_refused(key: str) -> None:
    with pytest.raises(ValueError, match="no kind of kit called"):
        fitted_in(sample_room(KINDS, []), [key])
