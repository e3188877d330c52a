from typing import Any

import pytest

from geometry import editing
from geometry.checking import check_scene
from geometry.checks.body_overlap import find
from geometry.free_place import free_place
from geometry.kit import Kit
from geometry.samples import box_kit, piece, sample_room
from geometry.scene import build

TANK = box_kit("tank", 600, 600)
CABINET = box_kit("cabinet", 400, 150, 500, stands_on="wall", base_mm=1200)
DOOR = {"id": "d1", "edge": 2, "from_mm": 200, "clear_mm": 700, "head_mm": 1981}


def placed_with(kind: dict[str, Any], pieces: list[dict[str, Any]], **more: Any) -> tuple[float, float, float]:
    scene = build(sample_room([TANK, CABINET], pieces, **more))
    (x, y), turn_deg = free_place(scene, Kit.model_validate(kind))
    return x, y, turn_deg


def test_in_an_empty_room_floor_kit_goes_to_the_middle() -> None:
    x, y, _ = placed_with(TANK, [])

    assert y == 900
    assert 900 <= x <= 1500


def test_floor_kit_goes_where_the_floor_is_widest() -> None:
    x, y, _ = placed_with(
        TANK, [piece(TANK, 300, 1500), piece(TANK, 300, 300, id="t2"), piece(TANK, 300, 900, id="t3")]
    )

    assert (x, y) == pytest.approx((1500, 900), abs=10)


def test_kit_at_another_height_does_not_take_floor() -> None:
    with_cabinet = placed_with(TANK, [piece(CABINET, 1200, 900)])

    assert with_cabinet == placed_with(TANK, [])


def test_wall_kit_goes_to_the_middle_of_the_longest_free_wall_with_its_back_to_it() -> None:
    assert placed_with(CABINET, []) == (1200, 75, 180)


def test_wall_kit_keeps_clear_of_doorways_and_of_what_hangs_there() -> None:
    hung = [
        piece(CABINET, 1200, 75, 180),
        piece(CABINET, 75, 900, 90, id="c2"),
        piece(CABINET, 2325, 900, 270, id="c3"),
    ]

    assert placed_with(CABINET, hung, doors=[DOOR]) == (750, 1725, 0)


def test_a_full_room_still_gets_a_place() -> None:
    pieces = [piece(TANK, 300 + 600 * i, 300 + 600 * j, id=f"t{i}{j}") for i in range(4) for j in range(3)]
    room = sample_room([TANK, CABINET], pieces)
    at_mm, turn_deg = free_place(build(room), Kit.model_validate(TANK))

    crowded = editing.added(room, "tank", at_mm, turn_deg=turn_deg)
    assert any(finding.verdict == "put-right" for finding in find(build(crowded)))


def test_wall_kit_goes_where_nothing_has_to_be_put_right_before_the_longest_stretch() -> None:
    boiler = box_kit(
        "boiler", 400, 300, 700, stands_on="wall", base_mm=1200, space=[{"side": "front", "mm": 600, "why": "case off"}]
    )
    tall = {**TANK, "height_mm": 2000}
    room = sample_room([tall, boiler], [piece(tall, 1200, 900)])  # 300 mm in front of the middle of both long walls

    at_mm, turn_deg = free_place(build(room), Kit.model_validate(boiler))

    after = build(editing.added(room, "boiler", at_mm, turn_deg=turn_deg))
    assert [f.message for f in check_scene(after) if f.verdict == "put-right" and f.check == "service-space"] == []
    assert turn_deg in (90, 270)
