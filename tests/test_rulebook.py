"""The rule book: every check has its words, its source, its example, its tests, its row and its demo room."""

import doctest
import importlib
import json
import pkgutil
import re
import tomllib
from pathlib import Path
from types import ModuleType

import pytest

import geometry.checks
from geometry.check import Check
from geometry.checks import CHECKS, ORDER

ROOT = Path(__file__).resolve().parents[1]
TABLE = re.compile(r"<!-- checks:.*?-->\n(.*?)<!-- /checks -->", re.DOTALL)
BY_ID = pytest.mark.parametrize("check", CHECKS, ids=ORDER)


def module_of(check: Check) -> ModuleType:
    """The file of a check."""
    return importlib.import_module(f"geometry.checks.{check.id.replace('-', '_')}")


def readme_rows() -> list[str]:
    """The rows of the table in the README."""
    table = TABLE.search((ROOT / "README.md").read_text(encoding="utf-8"))
    assert table is not None
    return [line for line in table[1].splitlines() if line.startswith("| `")]


def test_every_check_file_is_in_the_list() -> None:
    files = {module.name for module in pkgutil.iter_modules(geometry.checks.__path__)}

    assert files == {check.id.replace("-", "_") for check in CHECKS}


def test_no_check_is_listed_twice() -> None:
    assert len(set(ORDER)) == len(ORDER)


@BY_ID
def test_a_check_says_what_it_is_in_words_for_people(check: Check) -> None:
    words = (check.title, check.failing_title, check.reason)

    assert all(len(text) > 15 and text[0].isupper() for text in words)
    assert check.title != check.failing_title
    assert check.reason.endswith(".")


@BY_ID
def test_a_check_says_where_its_figures_come_from(check: Check) -> None:
    assert check.source.document
    assert check.source.standing


@BY_ID
def test_a_check_has_a_worked_example_that_runs(check: Check) -> None:
    examples = doctest.DocTestParser().get_examples(module_of(check).__doc__ or "")

    assert any(example.want for example in examples)
    assert doctest.testmod(module_of(check)).failed == 0


@BY_ID
def test_a_check_has_passing_failing_and_touching_tests_of_its_own(check: Check) -> None:
    files = sorted((ROOT / "tests" / "checks").glob(f"test_{check.id.replace('-', '_')}*.py"))
    names = [name for path in files for name in re.findall(r"^def (test_\w+)", path.read_text(encoding="utf-8"), re.M)]

    assert len(names) >= 3


def test_the_readme_table_names_every_check_in_order_with_its_titles() -> None:
    expected = [f"| `{check.id}` | {check.title} | {check.failing_title} |" for check in CHECKS]

    assert readme_rows() == expected


@BY_ID
def test_a_demo_room_shows_the_check(check: Check) -> None:
    shown = {
        fault["check"]
        for path in (ROOT / "tests" / "expected").glob("*.toml")
        for key, group in tomllib.loads(path.read_text(encoding="utf-8")).items()
        if key in ("put_right", "look_again")
        for fault in group
    }

    assert check.id in shown | {"look-on-site"}  # its questions are listed room by room in test_demo_rooms


def test_the_demo_rooms_are_room_files() -> None:
    names = [path.name for path in sorted((ROOT / "demo_rooms").glob("*.json"))]

    assert len(names) >= 6
    assert all(json.loads((ROOT / "demo_rooms" / name).read_text(encoding="utf-8"))["format"] for name in names)
