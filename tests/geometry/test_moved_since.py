"""What stands otherwise in a later layout."""

from geometry.moved_since import moved_since
from geometry.samples import box_kit, piece, sample_scene
from geometry.scene import Scene

TANK, JUG = box_kit("tank"), box_kit("jug", 200, 200, 300)


def room(*pieces: dict[str, object], **more: object) -> Scene:
    return sample_scene([TANK, JUG], list(pieces), **more)


def test_the_same_layout_has_no_differences() -> None:
    assert moved_since(room(piece(TANK, 300, 1600)), room(piece(TANK, 300, 1600))) == ()


def test_a_piece_that_moved_rose_and_turned_says_how_far_each_way() -> None:
    (found,) = moved_since(room(piece(TANK, 300, 1600)), room(piece(TANK, 260, 1500, 270, base_mm=100)))

    assert (
        found.told
        == "Tank has moved 40 mm to the left, 100 mm towards the front, is 100 mm higher and is turned by 90°."
    )
    assert found.move_mm == (-40, -100, 100)


def test_pieces_that_came_and_went_are_told() -> None:
    found = moved_since(room(piece(TANK, 300, 1600)), room(piece(JUG, 300, 1600)))

    assert [(one.kind, one.ref, one.told) for one in found] == [
        ("gone", "tank", "Tank is taken out."), ("new", "jug", "Jug is new.")]  # fmt: skip


def test_a_piece_of_another_kind_in_its_place_is_not_called_the_same() -> None:
    before, after = room(piece(TANK, 300, 1600, id="p1")), room(piece(JUG, 300, 1600, id="p1"))

    (found,) = moved_since(before, after)

    assert found.told == "Jug is another kind now (Jug, before Tank)."
    assert found.move_mm is None


def test_other_figures_of_a_piece_are_a_difference() -> None:
    measured = {"height_mm": {"value": 810, "basis": "measured"}}

    (found,) = moved_since(room(piece(TANK, 300, 1600)), room(piece(TANK, 300, 1600, changes=measured)))

    assert found.told == "Tank has other figures."


def test_a_door_put_elsewhere_is_a_difference_of_the_room() -> None:
    door = {"id": "d1", "edge": 0, "from_mm": 500, "clear_mm": 700}

    (found,) = moved_since(room(), room(doors=[door]))

    assert (found.kind, found.told) == ("room", "The doors are others.")


def test_less_than_rounding_is_not_a_move() -> None:
    assert moved_since(room(piece(TANK, 300, 1600)), room(piece(TANK, 300.4, 1600))) == ()
