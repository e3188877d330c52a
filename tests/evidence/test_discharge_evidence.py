"""Published figures of discharge pipes, and sums worked by hand from them; each source stands beside its figures."""

import json
from pathlib import Path
from typing import Any

import pytest

from geometry.rules import rule_pack
from geometry.sums import SUMS
from geometry.sums.discharge import discharge_size, shared_size, with_size
from tests.checks.discharge_room import findings, found, outlet, room

DATA: dict[str, Any] = json.loads((Path(__file__).parent / "discharge.json").read_text())
ENGLAND = rule_pack("england")
LIMITS = [(what, good, bad) for what, good, bad in DATA["limits"]["rows"]]


@pytest.mark.parametrize("part", sorted(DATA))
def test_every_set_of_figures_says_where_it_comes_from(part: str) -> None:
    assert set(DATA[part]["source"]) == {"title", "clause", "standing"}


def test_the_rule_pack_holds_the_nine_rows_of_the_table() -> None:
    rows = [list(row.values()) for row in ENGLAND.figure("discharge-table").value]

    assert rows == DATA["table"]["rows"]


@pytest.mark.parametrize("row", DATA["table"]["rows"], ids=str)
def test_a_straight_pipe_as_long_as_a_limit_is_carried_and_a_millimetre_more_is_not(row: list[Any]) -> None:
    outlet, _, size, limit, _ = row

    at_limit = with_size(size, outlet, limit, 0, ENGLAND)
    beyond = with_size(size, outlet, limit + 0.001, 0, ENGLAND)

    assert at_limit and at_limit.carries
    assert beyond and not beyond.carries


@pytest.mark.parametrize("row", DATA["published"]["rows"], ids=str)
def test_the_printed_worked_examples_come_out_as_printed(row: list[Any]) -> None:
    outlet, length, bends, size, resistance, limit, carries = row

    tried = with_size(size, outlet, length, bends, ENGLAND)

    assert tried is not None
    assert (tried.equivalent_m, tried.limit_m, tried.carries) == (pytest.approx(resistance), limit, carries)


@pytest.mark.parametrize("row", DATA["sized"]["rows"], ids=str)
def test_the_size_is_the_one_worked_by_hand(row: list[Any]) -> None:
    outlet, length, bends, size, resistance, limit = row

    sized = discharge_size(outlet, length, bends, ENGLAND)

    assert (sized.size_mm, sized.equivalent_m, sized.limit_m) == (size, pytest.approx(resistance), limit)


@pytest.mark.parametrize("row", DATA["sized"]["rows"], ids=str)
def test_the_sum_without_a_room_gives_the_same_size(row: list[Any]) -> None:
    outlet, length, bends, size, _, _ = row

    answer = SUMS["discharge"].run({"outlet": outlet, "length_m": str(length), "bends": str(bends)})

    assert answer["result"]["size_mm"] == size


@pytest.mark.parametrize(("joined", "shared"), DATA["shared"]["rows"], ids=str)
def test_a_shared_pipe_is_one_size_larger_than_the_largest_joined_to_it(joined: list[int], shared: int | None) -> None:
    assert shared_size(joined, ENGLAND) == shared


def drawn_to(what: str, figure: float) -> tuple[dict[str, Any], str]:
    """A room that has one measure exactly so, and the topic that judges it."""
    if what == "valve-to-tundish":  # 300 across from the valve and the rest down into the tundish
        return room(tundish={"at_mm": [1175, 2600], "base_mm": 1300 - (figure - 300) - 120}), what
    if what == "straight-drop":
        box = {"key": "box", "name": "Box", "plan": {"box_mm": [200, 200]}, "height_mm": 900 - figure}
        return room(kit=[box], pieces=[{"id": "b1", "kit": "box", "at_mm": [1200, 2600]}]), what
    if what == "fall":  # 2,800 across the room, from 300 below the tundish
        return room(outlets=[outlet(level_mm=900 - 300 - 2800 / figure)]), what
    if what == "above-ground":
        return room(outlets=[outlet(ends="low-level", above_ground_mm=figure)]), "end-place"
    return room(outlets=[outlet(ends="roof", plastic_gutter_mm=figure)]), "end-place"


@pytest.mark.parametrize(("what", "good", "bad"), LIMITS, ids=str)
def test_a_room_drawn_to_the_last_figure_that_passes_has_no_fault_there(what: str, good: float, bad: float) -> None:
    data, topic = drawn_to(what, good)

    assert found(data, topic).verdict == "no-fault"


@pytest.mark.parametrize(("what", "good", "bad"), LIMITS, ids=str)
def test_a_room_drawn_to_the_first_figure_that_fails_is_short_by_the_difference(
    what: str, good: float, bad: float
) -> None:
    data, topic = drawn_to(what, bad)

    finding = found(data, topic)

    short = 2800 / 200 - 2800 / 201 if what == "fall" else abs(good - bad)
    assert finding.verdict == ("look-again" if what == "plastic-gutter" else "put-right")
    assert finding.short == pytest.approx(short, abs=1e-6)


@pytest.mark.parametrize(("what", "good", "bad"), LIMITS, ids=str)
def test_inside_the_survey_tolerance_the_last_figure_that_passes_is_measured_again(
    what: str, good: float, bad: float
) -> None:
    data, topic = drawn_to(what, good)

    assert found(data | {"tolerance_mm": 10}, topic).verdict == "look-again"


def shed() -> dict[str, Any]:
    """The shed: 3,000 by 1,700, door on the left, the run as measured: 3.0 m and 3 bends, drawn."""
    end = {
        "id": "o1", "name": "roof of the porch", "at_mm": [2300, 1700], "level_mm": 296, "takes": ["hot-discharge"],
        "ends": "roof", "plastic_gutter_mm": 0, "outside_run_mm": 1770, "outside_bends": 1,
    }  # fmt: skip
    data = room(outlets=[end], tundish={"at_mm": [1500, 1670], "base_mm": 700})
    data["outline_mm"] = [[0, 0], [3000, 0], [3000, 1700], [0, 1700]]
    data["pieces"][0]["at_mm"] = [1150, 1380]
    data["doors"] = [{
        "id": "d1", "edge": 3, "from_mm": 540, "clear_mm": 760, "head_mm": 1980,
        "leaf": {"width_mm": 826, "hinge": "start", "opens": "in"},
    }]  # fmt: skip
    return data


def test_the_discharge_of_the_lean_to_shed_needs_22_mm_and_has_to_end_elsewhere() -> None:
    expected = DATA["lean_to_shed"]

    said = {finding.topic: finding for finding in findings(shed())}

    sized = said["size"]
    assert (sized.verdict, sized.needed, sized.found) == ("no-fault", expected["limit_m"], expected["equivalent_m"])
    text = "The discharge pipe of the cylinder needs 22 mm: 3.0 m + 3 × 0.8 m = 5.4 m, at most 9 m"
    assert sized.message.startswith(text)
    assert said["route"].verdict == "no-fault"
    assert (said["end-place"].verdict, said["end-place"].short) == ("look-again", 3000)
