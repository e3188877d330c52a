"""Kit that hangs, and what carries it."""

from typing import Any

import pytest

from geometry.check import Finding
from geometry.samples import box_kit, piece
from tests.checks.found import Data, findings, only, wrong

DOOR = {"id": "d1", "edge": 0, "from_mm": 800, "clear_mm": 700, "head_mm": 1981}


def hung(kg: float | None = 30) -> Data:
    weight = {} if kg is None else {"dry_kg": kg}
    return box_kit("boiler", 440, 340, 740, stands_on="wall", base_mm=1150, **weight)


def edge(kind: Data, x: float, y: float, turn_deg: float = 0, **room: Any) -> list[Finding]:
    return findings("room-edge", [kind], [piece(kind, x, y, turn_deg)], **room)


@pytest.mark.parametrize(("gap", "topic"), [(0, None), (30, None), (60, None), (61, "no-wall"), (500, "no-wall")])
def test_kit_hangs_on_a_wall_with_a_stand_off_at_most(gap: float, topic: str | None) -> None:
    assert [f.topic for f in wrong(edge(hung(), 1200, 1630 - gap))] == ([topic] if topic else [])


def test_how_far_the_wall_is_is_told() -> None:
    finding = only(edge(hung(), 1200, 1130))

    assert finding.message == (
        "The boiler hangs in the air: its back is 500 mm off the back wall. "
        "A frame or battens carry it up to 60 mm off."
    )
    assert (finding.needed, finding.found, finding.short) == (60, 500, 440)
    assert finding.short == 440


def test_kit_of_unknown_weight_needs_a_wall() -> None:
    assert [f.topic for f in wrong(edge(hung(None), 1200, 900))] == ["no-wall"]


def test_light_kit_hangs_on_its_pipes() -> None:
    assert wrong(edge(hung(4.9), 1200, 900)) == []
    assert [f.topic for f in wrong(edge(hung(5), 1200, 900))] == ["no-wall"]


def test_other_kit_is_no_wall() -> None:
    tall = box_kit("tall", 600, 400, 2000)
    found = findings("room-edge", [hung(), tall], [piece(hung(), 1200, 1230), piece(tall, 1200, 1600)])

    assert [(f.topic, f.short) for f in wrong(found)] == [("no-wall", 340)]


def test_a_small_thing_behind_does_not_take_the_wall_away() -> None:
    strap = box_kit("strap", 30, 30, 30, base_mm=1300, stands_on="wall", dry_kg=1)
    found = findings("room-edge", [hung(), strap], [piece(hung(), 1200, 1600), piece(strap, 1200, 1785)])

    assert wrong(found) == []


def test_boxing_behind_carries() -> None:
    area = [[900, 1300], [1500, 1300], [1500, 1800], [900, 1800]]
    boxing = {"id": "f1", "name": "boxing", "area_mm": area, "to_mm": 2400}

    assert wrong(edge(hung(), 1200, 1130, fixtures=[boxing])) == []


def test_kit_across_part_of_a_doorway_has_no_wall_there() -> None:
    finding = only(edge(hung(), 700, 170, 180, doors=[DOOR]))

    assert (finding.topic, finding.against, finding.short) == ("opening", ("d1",), 120)
    assert finding.message == "The boiler hangs 120 mm across door d1, where there is no wall to carry it."


def test_kit_within_a_doorway_has_nothing_behind_it() -> None:
    found = wrong(edge(hung(), 1150, 170, 180, doors=[DOOR]))

    assert [f.message for f in found] == ["The boiler hangs in the air: there is no wall behind it."]
    assert found[0].short is None


def test_kit_over_the_head_of_a_doorway_hangs_on_the_wall() -> None:
    low = {**DOOR, "head_mm": 1150}

    assert wrong(edge(hung(), 1150, 170, 180, doors=[low])) == []


@pytest.mark.parametrize(("sill", "head", "faults"), [(1000, 2000, 1), (1890, 2200, 0), (500, 1150, 0)])
def test_kit_across_a_window_has_no_wall_there(sill: float, head: float, faults: int) -> None:
    window = {"id": "w1", "edge": 2, "from_mm": 600, "width_mm": 700, "sill_mm": sill, "head_mm": head}
    found = wrong(edge(hung(), 1200, 1630, windows=[window]))

    assert [(f.topic, f.against) for f in found] == [("opening", ("w1",))] * faults


def test_a_window_in_another_wall_does_not_matter() -> None:
    window = {"id": "w1", "edge": 0, "from_mm": 600, "width_mm": 1200, "sill_mm": 1000, "head_mm": 2000}

    assert wrong(edge(hung(), 1200, 1630, windows=[window])) == []
