from math import pi
from typing import Any

import pytest

from geometry.check import Finding
from geometry.checks.floor_load import pressure_kn_m2
from geometry.samples import box_kit, piece, round_kit
from tests.checks.found import Data, findings, only

CYLINDER = round_kit("cylinder", 550, 1830, dry_kg=54, water_l=250)
BOX = box_kit("tank", 500, 400, dry_kg=100)


def load(kind: Data, turn_deg: float = 0, changes: Data | None = None, **room: Any) -> list[Finding]:
    return findings("floor-load", [kind], [piece(kind, 1200, 900, turn_deg, changes=changes or {})], **room)


def about(found: list[Finding]) -> Finding:
    return only([finding for finding in found if finding.pieces])


def test_a_heavy_piece_is_a_question_for_an_engineer_and_never_a_pass() -> None:
    finding = about(load(CYLINDER))

    assert (finding.verdict, finding.unit, finding.against) == ("not-checked", "kN/m2", ("floor",))
    assert finding.question == "What carries the floor under the cylinder, and how much?"


def test_pressure_is_full_weight_over_the_true_area_of_the_base() -> None:
    # 304 kg x 9.81 m/s2 over a circle of 550 mm
    assert about(load(CYLINDER)).found == pytest.approx(304 * 9.81 / 1000 / (pi * 0.275**2))
    assert about(load(BOX)).found == pytest.approx(100 * 9.81 / 1000 / 0.2)


def test_the_message_gives_weight_force_and_pressure() -> None:
    assert about(load(CYLINDER)).message == "Cylinder weighs 304 kg full: 2.98 kN, 12.6 kN/m² on its own base."


@pytest.mark.parametrize(("kg", "told"), [(99, 0), (100, 1)])
def test_a_light_piece_is_counted_in_the_total_only(kg: float, told: int) -> None:
    found = load({**BOX, "dry_kg": kg})

    assert len([f for f in found if f.pieces]) == told
    assert found[-1].message == f"All kit weighs {kg} kg full."


@pytest.mark.parametrize(("allow", "verdict"), [(4.9, "put-right"), (4.91, "not-checked")])
def test_more_than_the_floors_own_figure_is_put_right(allow: float, verdict: str) -> None:
    finding = about(load(BOX, floor={"allow_kn_m2": allow}))

    assert (finding.verdict, finding.needed) == (verdict, allow)
    assert finding.message.endswith(f"; the floor is given as {allow} kN/m².")
    assert finding.short == (pytest.approx(0.005) if verdict == "put-right" else None)


def test_an_unknown_weight_is_asked_for() -> None:
    found = load(box_kit("tank"))

    assert about(found).question == "What does the tank weigh, full?"
    assert found[-1].message == "All kit weighs 0 kg full, and 1 more of unknown weight."


def test_changed_weights_count_and_say_where_they_come_from() -> None:
    changes = {"dry_kg": {"value": 62, "basis": "manual"}, "water_l": {"value": 300, "basis": "manual"}}
    finding = about(load(CYLINDER, changes=changes))

    assert "weighs 362 kg full" in finding.message
    assert finding.basis == "manual"


def test_kit_on_the_wall_counts_in_the_total_but_presses_on_no_floor() -> None:
    hung = box_kit("boiler", dry_kg=200, stands_on="wall", base_mm=1000)
    found = load(hung)

    assert [f.topic for f in found] == ["total"]
    assert found[0].found == 200


def test_turning_a_piece_does_not_change_its_pressure() -> None:
    assert about(load(BOX, 37)).found == pytest.approx(about(load(BOX)).found, rel=1e-12)


def test_an_empty_room_asks_nothing() -> None:
    assert findings("floor-load", [], []) == []


def test_the_floor_is_told_where_it_is_known() -> None:
    assert load(BOX, floor={"build": "timber"})[-1].message == "All kit weighs 100 kg full. The floor is timber."


def test_pressure_on_a_board_is_spread() -> None:
    assert pressure_kn_m2(362, 800 * 800) == pytest.approx(5.549, abs=0.001)
