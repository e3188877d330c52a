import pytest

from geometry.errors import UnknownThing
from geometry.on_wall import OnWall, from_wall, on_wall, stood
from geometry.samples import box_kit, piece, round_kit, sample_room
from geometry.scene import build

TANK = box_kit("tank", 500, 300)
STORE = round_kit("store", 550)
FACES = {0: 180.0, 1: 270.0, 2: 0.0, 3: 90.0}  # turn with the back to each wall; walls are near, right, back, left


def test_a_piece_against_the_back_wall_is_measured_from_its_left_corner() -> None:
    scene = build(sample_room([TANK], [piece(TANK, 650, 1650)]))

    assert on_wall(scene, scene.placed[0]) == OnWall(edge=2, left_mm=400, right_mm=1500, off_mm=0)


@pytest.mark.parametrize(("at", "turn_deg", "left_mm"), [
    ((2150, 150), 180, 0), ((2250, 500), 270, 1050), ((150, 500), 90, 250),
])  # fmt: skip
def test_left_is_that_of_a_person_who_faces_the_wall(at: tuple[float, float], turn_deg: float, left_mm: float) -> None:
    scene = build(sample_room([TANK], [piece(TANK, *at, turn_deg)]))

    measures = on_wall(scene, scene.placed[0])
    assert (FACES[measures.edge], measures.left_mm, measures.off_mm) == (turn_deg, left_mm, 0)


def test_a_round_piece_is_measured_to_its_nearest_points() -> None:
    scene = build(sample_room([STORE], [piece(STORE, 400, 1500)]))

    assert on_wall(scene, scene.placed[0]) == OnWall(edge=2, left_mm=125, right_mm=1725, off_mm=25)


def test_a_piece_that_turns_its_back_to_no_wall_is_measured_from_the_nearest() -> None:
    scene = build(sample_room([STORE], [piece(STORE, 400, 900, 33)]))

    assert on_wall(scene, scene.placed[0]).edge == 3


@pytest.mark.parametrize("edge", [0, 1, 2, 3])
@pytest.mark.parametrize("turn_deg", [0, 90, 30])
def test_a_piece_stands_where_it_was_told_to_by_any_wall(edge: int, turn_deg: float) -> None:
    wanted = OnWall(edge, 400, 0, 120)
    room = stood(sample_room([TANK], [piece(TANK, 650, 1650)]), "tank", wanted, turn_deg=turn_deg, base_mm=75)

    scene = build(room)
    measures = from_wall(scene, scene.placed[0], edge)
    assert (measures.left_mm, measures.off_mm) == pytest.approx((400, 120), abs=1e-9)
    assert (room.pieces[0].turn_deg, room.pieces[0].base_mm) == (turn_deg, 75)


def test_a_wall_that_the_room_has_not_got_is_refused_in_words() -> None:
    with pytest.raises(UnknownThing, match=r"no wall 9\. It has 4"):
        stood(sample_room([TANK], [piece(TANK, 650, 1650)]), "tank", OnWall(8, 0, 0, 0), turn_deg=0, base_mm=0)
