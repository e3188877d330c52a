"""What a room file says of flues, of things outside, of openings for air and of its heating; and what is refused."""

import re
from typing import Any

import pytest

from geometry.errors import UnreadableFile
from geometry.reading import read_room, write_room
from geometry.samples import box_kit, piece, sample_room

BOILER = box_kit("boiler", traits=["gas", "hot"])
FLUE = {"id": "t1", "piece": "boiler", "edge": 2, "along_mm": 1200, "level_mm": 2000}
GUTTER = {"id": "n1", "name": "gutter", "kind": "gutter", "edge": 2, "from_mm": 0, "to_mm": 2400, "low_mm": 2600,
          "high_mm": 2700}  # fmt: skip
DOOR = {"id": "d9", "edge": 0, "from_mm": 0, "clear_mm": 700}
VENT = {"id": "v1", "level_mm": 2200, "free_cm2": 240, "to": "room"}


def room(**more: Any) -> Any:
    return sample_room([BOILER], [piece(BOILER, 1200, 1600)], **more)


def test_flues_things_outside_vents_and_heating_are_written_and_read_back() -> None:
    heating = {"system_l": 120, "charge_bar": 1, "own_vessel_l": 8}
    whole = room(flues=[FLUE], outside=[GUTTER], vents=[VENT], heating=heating, heated=False)

    assert read_room(write_room(whole)) == whole
    assert whole.heating.valve_bar is None


@pytest.mark.parametrize(("more", "said"), [
    ({"flues": [FLUE | {"level_mm": -1}]}, 'Flue "t1" ends at -1 mm'),
    ({"flues": [FLUE | {"level_mm": 50_001}]}, 'Flue "t1" ends at 50,001 mm'),
    ({"vents": [VENT | {"level_mm": 5000}]}, 'Vent "v1" is at 5,000 mm; the ceiling is at 2,400 mm.'),
    ({"heating": {"system_l": 0.5}}, "Heating: a system of 0.5 litres is none"),
    ({"doors": [DOOR | {"head_mm": 2401}]}, "its head is at 2,401 mm; the ceiling is at 2,400 mm."),
    ({"doors": [DOOR | {"leaf": {"thick_mm": 101}}]}, "a leaf 101 mm thick is no door leaf"),
    ({"doors": [DOOR | {"leaf": {"needed_deg": 0.5}}]}, "need open only 0.5°"),
    ({"flues": [FLUE | {"edge": 4}]}, 'Flue "t1" is on edge 4; the outline has edges 0 to 3.'),
    ({"flues": [FLUE | {"along_mm": 2500}]}, "along edge 2, which is only 2,400 mm long"),
    ({"flues": [FLUE | {"piece": "stove"}]}, 'Flue "t1" is that of piece "stove", which is not in the room.'),
    ({"outside": [GUTTER | {"edge": 9}]}, '"n1" is outside edge 9; the outline has edges 0 to 3.'),
    ({"outside": [GUTTER | {"to_mm": -1}]}, '"n1" goes from 0 to -1 along. Write the smaller figure first.'),
    ({"outside": [GUTTER | {"high_mm": 2500}]}, '"n1" goes from 2,600 to 2,500 up. Write the smaller figure first.'),
    (
        {"outside": [GUTTER], "flues": [FLUE | {"id": "n1"}]},
        'The id "n1" is used twice, by a flue and a thing outside.',
    ),
    ({"vents": [VENT | {"free_cm2": 0}]}, "free_cm2: this should be more than 0"),
    ({"vents": [VENT | {"to": "attic"}]}, "to: this should be one of 'room' or 'outside'"),
    ({"heating": {"system_l": -1}}, "system_l: this should be 0 or more"),
    ({"heating": {"valve_bar": 0}}, "valve_bar: this should be more than 0"),
    ({"outside": [GUTTER | {"kind": "hedge"}]}, "kind: this should be one of"),
])  # fmt: skip
def test_what_does_not_go_together_is_refused_with_what_to_do(more: dict[str, Any], said: str) -> None:
    with pytest.raises(UnreadableFile, match=re.escape(said)):
        room(**more)


def test_the_heat_input_of_a_piece_can_be_changed_and_has_to_be_some() -> None:
    changed = piece(BOILER, 1200, 1600, changes={"input_kw": {"value": 0, "basis": "manual"}})

    with pytest.raises(UnreadableFile, match="cannot be made to its own figures"):
        sample_room([BOILER], [changed])
