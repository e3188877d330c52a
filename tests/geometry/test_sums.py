"""Sums without a room: what they ask for, what they answer, and how they refuse."""

import re
from itertools import pairwise
from typing import Any

import pytest

from geometry.errors import SumError
from geometry.rules import rule_pack
from geometry.sums import SUMS
from geometry.sums.discharge import discharge_size, metres, outlet_of, shared_size, with_size

ENGLAND = rule_pack("england")
GOOD: dict[str, Any] = {"outlet": "G1/2", "length_m": "7", "bends": "4"}


def test_the_discharge_sum_answers_with_its_inputs_working_and_source() -> None:
    answer = SUMS["discharge"].run(GOOD)

    assert answer == {
        "sum": "discharge",
        "inputs": {"outlet": "G1/2", "length_m": 7.0, "bends": 4},
        "result": {"size_mm": 28, "equivalent_m": 11.0, "limit_m": 18},
        "working": [
            "valve to tundish: 15 mm at least, 600 mm long at most",
            "22 mm: 7.0 m + 4 × 0.8 m = 10.2 m, more than 9 m",
            "28 mm: 7.0 m + 4 × 1.0 m = 11.0 m, within 18 m: 28 mm carries it",
            "below the tundish: 300 mm straight down, then a fall of 34 mm",
            "Use 15 mm from the valve to the tundish, then 28 mm copper: 300 mm straight down, then a fall of 34 mm"
            " to its end.",
        ],
        "source": ENGLAND.source("discharge-table").as_json(),
    }


def test_outside_the_table_there_is_no_size_and_the_last_line_says_what_to_do() -> None:
    answer = SUMS["discharge"].run(GOOD | {"length_m": 25, "bends": 2})

    assert answer["result"] == {"size_mm": None, "equivalent_m": 27.8, "limit_m": 27}
    assert "competent designer" in answer["working"][-1]


def test_in_scotland_the_same_sum_stands_on_common_practice() -> None:
    answer = SUMS["discharge"].run(GOOD, rules="scotland")

    assert answer["source"]["standing"] == "common practice"


@pytest.mark.parametrize(("field", "value", "said"), [
    ("outlet", "G2", "It is one of G1/2, G3/4, G1"),
    ("outlet", "", "is missing"),
    ("length_m", "seven", "is a number in metres"),
    ("length_m", "-1", "is 0 or more in metres"),
    ("length_m", "nan", "is a number"),
    ("length_m", "inf", "is a number"),
    ("bends", "1.5", "is a count"),
    ("bends", None, "for example 4"),
])  # fmt: skip
def test_a_figure_that_cannot_be_used_is_refused_by_name(field: str, value: Any, said: str) -> None:
    with pytest.raises(SumError, match=said):
        SUMS["discharge"].run(GOOD | {field: value})


@pytest.mark.parametrize(("length", "bends"), [(-0.1, 0), (float("nan"), 0), (float("inf"), 0), (1, -1)])
def test_lengths_and_counts_that_are_none_are_refused(length: float, bends: int) -> None:
    with pytest.raises(SumError):
        discharge_size("G1/2", length, bends, ENGLAND)


def test_a_valve_outlet_outside_the_table_is_refused_with_those_it_has() -> None:
    with pytest.raises(SumError, match="It has: G1/2, G3/4, G1"):
        discharge_size("G2", 1, 1, ENGLAND)


def test_more_length_or_more_bends_never_need_a_smaller_pipe() -> None:
    for outlet in ("G1/2", "G3/4", "G1"):
        grid = [
            [discharge_size(outlet, length / 2, bends, ENGLAND).size_mm or 99 for bends in range(12)]
            for length in range(60)
        ]
        rows = all(a <= b for row in grid for a, b in pairwise(row))
        columns = all(a <= b for one, two in pairwise(grid) for a, b in zip(one, two, strict=True))
        assert rows and columns


def test_a_size_the_table_has_not_for_a_valve_is_not_tried() -> None:
    assert with_size(22, "G1", 1, 0, ENGLAND) is None


def test_only_pipes_of_the_table_name_a_valve_outlet() -> None:
    assert [outlet_of(size, ENGLAND) for size in (15, 22, 28, 35)] == ["G1/2", "G3/4", "G1", None]


def test_a_shared_pipe_beyond_the_largest_size_has_none() -> None:
    assert shared_size([54], ENGLAND) is None


@pytest.mark.parametrize(("value", "text"), [(0, "0.0"), (3.5, "3.5"), (9.004, "9.004"), (10.0, "10.0")])
def test_metres_are_written_with_one_place_or_as_many_as_they_need(value: float, text: str) -> None:
    assert metres(value) == text


@pytest.mark.parametrize(("name", "figures"), [
    ("condensate", {"length_m": "1000000"}), ("compartment-air", {"kw": "1000000", "flue": "open", "to": "room"}),
    ("vessel", {"system_l": "1000000", "charge_bar": "1", "valve_bar": "3"}),
])  # fmt: skip
def test_large_figures_are_never_written_as_powers_of_ten(name: str, figures: dict[str, str]) -> None:
    chosen = SUMS[name]
    given = {field.name: field.choices[0] if field.choices else "1" for field in chosen.fields} | figures
    given = {field.name: given[field.name] for field in chosen.fields}

    working = " ".join(chosen.run(given)["working"])

    assert "1,000,000" in working
    assert re.search(r"\de[+-]?\d", working) is None
