"""Every published case that was chosen as a test: which test holds it, or why none does."""

import json
from pathlib import Path
from typing import Any

import pytest

HERE = Path(__file__).parent
CASES: dict[str, list[dict[str, Any]]] = json.loads((HERE / "cases.json").read_text())
ALL = [case for cases in CASES.values() for case in cases]


def test_all_the_chosen_cases_are_listed() -> None:
    assert {name: len(cases) for name, cases in CASES.items()} == {"water and weight": 15, "access and clearance": 20}


@pytest.mark.parametrize("case", ALL, ids=lambda case: case["case"][:60])
def test_a_case_names_its_source_and_a_test_that_is_there_or_the_reason_why_none_is(case: dict[str, Any]) -> None:
    assert case["source"]
    assert "test" in case or case["reason"]
    if "test" in case:
        module, name = case["test"]
        assert f"def {name}" in (HERE / f"{module}.py").read_text()
