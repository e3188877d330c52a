"""The two worked scenarios against the checks of the building: weights, electrics under water, alarm, frost.

All data is invented. Expected values are those of the scenarios' own tables, each beside its test.
"""

from typing import Any

import pytest

from geometry.check import Finding
from geometry.checking import check_room
from geometry.reading import room_from
from tests.evidence.test_scenarios import AS_DRAWN, FIXED, cupboard, only, shed

Findings = tuple[Finding, ...]


@pytest.fixture(scope="module")
def drawn() -> Findings:
    return check_room(cupboard(AS_DRAWN)).findings


@pytest.fixture(scope="module")
def shed_drawn() -> Findings:
    return check_room(shed()).findings


def test_the_wiring_centre_is_under_the_water_joints_of_the_hydraulic_box(drawn: Findings) -> None:
    """D5 at 980 to 1,090 inside D1's pipe zone below, 950 to 1,150: 110."""
    finding = only(drawn, "wet-above-electrics", "D5", against=("D1",))

    assert finding.verdict == "put-right"
    assert "110 mm of it is in the pipe space." in finding.message
    assert "wiring centre" in finding.message and "hydraulic box" in finding.message


def test_the_mended_wiring_centre_is_clear_of_all_water() -> None:
    """D5 moved to 590 to 940, over the manifold and beside D1 at 130 to 530."""
    finding = only(check_room(cupboard(FIXED)).findings, "wet-above-electrics", "D5")

    assert finding.verdict == "no-fault"


@pytest.mark.parametrize(("piece", "kg", "pressure"), [("E2", 304, 12.6), ("E3", 360, 10.6), ("E4", 360, 10.6)])
def test_cylinder_and_accumulators_ask_about_the_slab(
    shed_drawn: Findings, piece: str, kg: int, pressure: float
) -> None:
    """E2 304 kg, 12.6 kN/m2; E3 360 kg, 10.6 kN/m2: slab check."""
    finding = only(shed_drawn, "floor-load", piece, topic="")

    assert finding.verdict == "not-checked"
    assert f"weighs {kg} kg full" in finding.message
    assert f"{pressure} kN/m² on its own base" in finding.message


def test_the_heavy_row_along_the_back_bears_on_one_patch(shed_drawn: Findings) -> None:
    """Boiler, cylinder and both accumulators stand 125, 151 and 50 mm apart."""
    (patch,) = [f for f in shed_drawn if f.check == "floor-load" and f.topic == "patch"]

    assert set(patch.pieces) == {"E1", "E2", "E3", "E4"}
    assert patch.found is not None and patch.found < 10.6


def test_the_alarm_is_far_enough_from_the_boiler_and_near_enough(shed_drawn: Findings) -> None:
    """E8 is 1,369 from the boiler: inside 1,000 to 3,000."""
    finding = only(shed_drawn, "keep-apart", "E8", "E1", topic="alarm-ring")

    assert finding.verdict == "no-fault"
    assert finding.found == pytest.approx(1369, abs=1)
    assert "1,369 mm from the floor boiler" in finding.message


def test_the_alarm_on_the_ceiling_is_clear_of_every_wall(shed_drawn: Findings) -> None:
    """At (2,100, 850), 120 by 45, in a room of 3,000 by 1,700: 827.5 from the long walls; 300 is asked for."""
    finding = only(shed_drawn, "keep-apart", "E8", topic="alarm-walls")

    assert (finding.verdict, finding.found) == ("no-fault", pytest.approx(827.5))


def unheated(**more: Any) -> Findings:
    data = shed().model_dump(mode="json", by_alias=True)
    return check_room(room_from({**data, "heated": False, **more})).findings


def test_the_unheated_shed_asks_what_keeps_its_pipes_from_freezing(shed_drawn: Findings) -> None:
    """Unheated: trace heating or insulation note."""
    (frost,) = [f for f in unheated() if f.check == "look-on-site" and f.topic == "frost"]

    assert frost.verdict == "not-checked"
    assert "lagging or trace heating" in frost.question
    assert not [f for f in shed_drawn if f.topic == "frost"]


def test_the_flue_of_the_oil_boiler_is_asked_about_and_not_judged_by_the_distances_for_gas(
    shed_drawn: Findings,
) -> None:
    finding = only(shed_drawn, "flue-terminal", "E1")

    assert finding.verdict == "not-checked"


def test_the_oil_boiler_of_150_kg_wants_an_aid(shed_drawn: Findings) -> None:
    """150 kg: three people or aid."""
    assert "three people and an aid" in only(shed_drawn, "lifting", "E1").message


@pytest.mark.parametrize("findings", ["drawn", "shed_drawn"])
def test_no_message_of_the_building_is_without_a_name_and_every_question_asks(
    findings: str, request: pytest.FixtureRequest
) -> None:
    building = {
        "condensate", "overflow", "relief", "vessel", "floor-load", "lifting", "wall-load", "wet-above-electrics",
        "keep-apart", "compartment-air", "flue-terminal", "kit-list",
    }  # fmt: skip
    told = [f for f in request.getfixturevalue(findings) if f.check in building]

    assert told
    assert all(f.message[0].isupper() and f.message.endswith(".") for f in told)
    assert all("?" in f.question for f in told if f.verdict == "not-checked")
    assert all(f.source is not None for f in told)
