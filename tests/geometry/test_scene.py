from random import Random
from typing import Any

import pytest

from geometry.kit import Kit
from geometry.reading import room_from
from geometry.room import Piece
from geometry.samples import box_kit, piece, round_kit, sample_scene
from geometry.scene import Placed, Scene, bounds_of, build, place, with_piece
from geometry.shapes import Footprint
from tests.geometry.random_rooms import random_room
from tests.geometry.whole_room import CORNER, WHOLE

TANK = box_kit("tank", 600, 400, 800)
DRUM = round_kit("drum", 550, 1500)


def placed(kit: dict[str, Any], turn_deg: float = 0, **more: Any) -> Placed:
    return place(Piece.model_validate(piece(kit, 1000, 500, turn_deg, **more)), Kit.model_validate(kit))


def sticking(side: str, kit: dict[str, Any] = TANK, turn_deg: float = 0, **more: Any) -> tuple[float, ...]:
    item = placed({**kit, "sticks_out": [{"side": side, "mm": 90, "what": "overflow", **more}]}, turn_deg).sticks[0]
    return bounds_of(item.plan, item.from_mm, item.to_mm)


@pytest.mark.parametrize(
    ("turn_deg", "front", "right"),
    [
        (0, (0, -1, 0), (1, 0, 0)),
        (90, (1, 0, 0), (0, 1, 0)),
        (180, (0, 1, 0), (-1, 0, 0)),
        (270, (-1, 0, 0), (0, -1, 0)),
    ],
)  # fmt: skip
def test_a_piece_turns_anticlockwise_from_facing_the_reader(
    turn_deg: float, front: tuple[float, ...], right: tuple[float, ...]
) -> None:
    tank = placed(TANK, turn_deg)

    assert tank.direction("front") == front
    assert tank.direction("right") == right
    assert tank.direction("left") == tuple(-v for v in right)
    assert tank.direction("behind") == tuple(-v for v in front)


def test_above_and_below_do_not_turn() -> None:
    assert (placed(TANK, 37).direction("above"), placed(TANK, 37).direction("below")) == ((0, 0, 1), (0, 0, -1))


def test_a_quarter_turned_box_is_as_deep_as_it_was_wide() -> None:
    (body,) = placed(TANK, 90).body

    assert body.bounds == (800, 200, 1200, 800)


def test_the_front_of_a_box_is_half_its_depth_before_its_place() -> None:
    assert placed(TANK).to_room((0, -200, 300)) == (1000, 300, 300)
    assert placed(TANK, 270, base_mm=100).to_room((0, -200, 300)) == (800, 500, 400)


def test_a_piece_stands_at_its_kinds_height_unless_it_has_its_own() -> None:
    hung = box_kit("boiler", base_mm=1150)

    assert (placed(hung).base_mm, placed(hung).top_mm) == (1150, 1950)
    assert placed(hung, base_mm=0).top_mm == 800


def test_an_outline_is_placed_by_the_middle_of_its_box() -> None:
    corner = placed(CORNER)
    bounds = [part.bounds for part in corner.body]

    assert (min(b[0] for b in bounds), max(b[2] for b in bounds)) == (700, 1300)
    assert (min(b[1] for b in bounds), max(b[3] for b in bounds)) == (200, 800)


@pytest.mark.parametrize(
    ("side", "expected"),
    [
        ("front", (700, 210, 0, 1300, 300, 800)), ("behind", (700, 700, 0, 1300, 790, 800)),
        ("left", (610, 300, 0, 700, 700, 800)), ("right", (1300, 300, 0, 1390, 700, 800)),
        ("above", (700, 300, 800, 1300, 700, 890)), ("below", (700, 300, -90, 1300, 700, 0)),
    ],
)  # fmt: skip
def test_what_sticks_out_goes_beyond_the_body_on_its_side(side: str, expected: tuple[float, ...]) -> None:
    assert sticking(side) == expected


def test_part_of_a_side_sticks_out_where_it_is_said_to() -> None:
    # to the right of a person who faces that side
    assert sticking("front", across_mm=[100, 200], from_mm=300, to_mm=420) == (1100, 210, 300, 1200, 300, 420)
    assert sticking("behind", across_mm=[100, 200]) == (800, 700, 0, 900, 790, 800)
    assert sticking("left", across_mm=[100, 200]) == (610, 300, 0, 700, 400, 800)
    assert sticking("right", across_mm=[100, 200]) == (1300, 600, 0, 1390, 700, 800)
    assert sticking("above", across_mm=[-300, 0], along_mm=[0, 200]) == (700, 500, 800, 1000, 700, 890)


def test_what_sticks_out_turns_with_its_piece() -> None:
    assert sticking("front", turn_deg=90) == (1200, 200, 0, 1290, 800, 800)


def test_a_round_body_sticks_out_as_its_sweep() -> None:
    item = placed({**DRUM, "sticks_out": [{"side": "left", "mm": 90, "what": "overflow"}]}).sticks[0]

    assert (item.plan.radius_mm, set(item.plan.points)) == (275, {(1000, 500), (910, 500)})


def test_a_fitting_on_a_round_body_reaches_back_to_its_surface() -> None:
    x0, y0, *_, y1, _ = sticking("front", DRUM, across_mm=[-60, 60])

    assert (x0, y0) == (940, 500 - 275 - 90)
    assert y1 == pytest.approx(500 - (275**2 - 60**2) ** 0.5)


def test_a_movable_piece_moves_with_all_that_sticks_out_of_it() -> None:
    tank = placed({**TANK, "sticks_out": [{"side": "left", "mm": 9, "what": "tail"}]}, hold="movable")

    assert [solid.movable for solid in tank.solids()] == [True, True]


def test_pieces_of_one_name_are_numbered_in_the_order_of_their_ids() -> None:
    names = sample_scene([TANK], [piece(TANK, 400, 400, id="b"), piece(TANK, 400, 1400, id="a")]).names

    assert (names["a"], names["b"]) == ("Tank 1", "Tank 2")


def test_a_name_of_its_own_wins_over_the_kinds() -> None:
    names = sample_scene([TANK], [piece(TANK, 400, 400, name="Old tank"), piece(TANK, 400, 1400, id="a")]).names

    assert (names["tank"], names["a"]) == ("Old tank", "Tank")


def test_near_is_what_a_plain_comparison_of_bounds_finds() -> None:
    draw = Random(1)
    for seed in range(6):
        scene = build(room_from(random_room(seed)))
        boxes = []
        for _ in range(40):
            x, y, z = (draw.uniform(-500, 4000) for _ in range(3))
            boxes.append((x, y, z, x + draw.uniform(1, 900), y + draw.uniform(1, 900), z + draw.uniform(1, 900)))
        found = scene.near(boxes)

        assert found == [
            [s for s in scene.solids if meets(bounds_of(s.plan, s.from_mm, s.to_mm), box)] for box in boxes
        ]


def meets(a: tuple[float, ...], b: tuple[float, ...]) -> bool:
    return all(min(a[i + 3], b[i + 3]) - max(a[i], b[i]) > 0.5 for i in range(3))


def test_near_of_nothing_is_nothing() -> None:
    assert build(room_from(random_room(1))).near([]) == []


def test_a_room_with_one_piece_moved_is_the_room_built_anew() -> None:
    for seed in range(12):
        data = random_room(seed)
        scene = build(room_from(data))
        moved = scene.placed[1].piece.model_copy(update={"at_mm": (700.0, 640.0), "turn_deg": 15.0})
        pieces = [moved.model_dump(exclude_defaults=True) if p["id"] == moved.id else p for p in data["pieces"]]
        anew = build(room_from({**data, "pieces": pieces}))

        assert with_piece(scene, moved).solids == anew.solids


def test_the_order_of_the_file_changes_no_solid() -> None:
    for seed in range(12):
        data, draw = random_room(seed), Random(seed)
        other = {**data, **{key: draw.sample(data[key], len(data[key])) for key in ("pieces", "fixtures", "doors")}}

        assert solids(build(room_from(other))) == solids(build(room_from(data)))


def solids(scene: Scene) -> list[tuple[str, str, Footprint, float, float]]:
    return [(s.owner, s.what, s.plan, s.from_mm, s.to_mm) for s in scene.solids]


def test_everything_that_a_finding_may_name_has_a_name() -> None:
    names = build(room_from(WHOLE)).names

    assert {"p1", "d1", "w1", "f1", "k1", "o1", "edge:0", "ceiling", "soffit", "beam"} <= names.keys()
    assert names["f1"] == "boxed soil stack"


def test_solids_of_the_same_height_band_meet_only_by_more_than_rounding() -> None:
    (solid,) = placed(TANK).solids()

    assert not solid.meets_band(800, 900)
    assert not solid.meets_band(799.6, 900)
    assert solid.meets_band(799.4, 900)
