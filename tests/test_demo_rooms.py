"""The demo rooms against what was put into them on purpose, each number worked out by hand in tests/expected."""

import json
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest

from geometry.check import Finding
from geometry.checking import Result, check_room
from geometry.checks import CHECKS
from geometry.reading import read_room
from geometry.room import Room

ROOT = Path(__file__).parent.parent
ROOMS = sorted((ROOT / "demo_rooms").glob("*.json"))
CLEAN = ROOT / "demo_rooms" / "garage.json"
EXPECTED = ROOT / "tests" / "expected"
ALLOWED_DIFFERENCE = {"mm": 1.0, "deg": 0.1, "m": 0.001, "kg": 0.1, "kN/m2": 0.01, "cm2": 0.1, "l": 0.1}


def room_of(path: Path) -> Room:
    return read_room(path.read_bytes())


def result_of(path: Path) -> Result:
    return check_room(room_of(path))


def expected_of(path: Path) -> dict[str, Any]:
    return tomllib.loads((EXPECTED / f"{path.stem}.toml").read_text("utf-8"))


def same_place(finding: Finding, entry: dict[str, Any]) -> bool:
    return (
        finding.check == entry["check"]
        and set(finding.pieces) == set(entry["pieces"])
        and set(finding.against) == set(entry["against"])
        and entry.get("side") in (None, finding.side)
        and entry.get("topic") in (None, finding.topic)
    )


def differences(found: list[Finding], expected: list[dict[str, Any]]) -> dict[str, list[str]]:
    """What is found and was not expected, and the other way round."""
    return {
        "unexpected": [f.message for f in found if not any(same_place(f, entry) for entry in expected)],
        "not found": [entry["working"] for entry in expected if not any(same_place(f, entry) for f in found)],
        "found twice": [e["working"] for e in expected if sum(same_place(f, e) for f in found) > 1],
    }


NONE = {"unexpected": [], "not found": [], "found twice": []}
every_room = pytest.mark.parametrize("path", ROOMS, ids=lambda path: path.stem)


@every_room
def test_a_demo_room_has_exactly_the_faults_that_were_put_into_it(path: Path) -> None:
    expected = expected_of(path).get("put_right", [])

    found = [f for f in result_of(path).findings if f.verdict == "put-right"]

    assert differences(found, expected) == NONE


@every_room
def test_a_demo_room_has_exactly_the_tight_places_that_were_put_into_it(path: Path) -> None:
    expected = expected_of(path).get("look_again", [])

    found = [f for f in result_of(path).findings if f.verdict == "look-again"]

    assert differences(found, expected) == NONE


@every_room
def test_every_expected_fault_is_found_with_its_measures(path: Path) -> None:
    expected = expected_of(path)
    entries = [*expected.get("put_right", []), *expected.get("look_again", [])]

    findings = result_of(path).findings

    for entry in entries:
        found = next(f for f in findings if same_place(f, entry))
        unit = entry.get("unit", "mm")
        allowed = ALLOWED_DIFFERENCE[unit]
        assert found.unit == unit
        if "short" in entry:
            assert found.needed == pytest.approx(entry["needed"], abs=allowed)
            assert found.found == pytest.approx(entry["found"], abs=allowed)
            assert found.short == pytest.approx(entry["short"], abs=allowed)
        else:
            assert found.short is None
        assert (found.accepted is not None) == entry.get("accepted", False)


@every_room
def test_what_a_drawing_cannot_settle_is_asked(path: Path) -> None:
    topics = expected_of(path)["look_on_site"]

    asked = [f for f in result_of(path).findings if f.check == "look-on-site"]

    assert sorted(f.topic for f in asked) == sorted(topics)
    assert {f.verdict for f in asked} == {"not-checked"}


def test_the_well_arranged_room_has_nothing_wrong() -> None:
    counts = result_of(CLEAN).counts

    assert counts["put-right"] == 0
    assert counts["look-again"] == 0


def test_the_demo_rooms_show_something_of_every_check_that_can_find_something() -> None:
    expected = [expected_of(path) for path in ROOMS]

    shown = {entry["check"] for room in expected for key in ("put_right", "look_again") for entry in room.get(key, [])}

    assert shown == {check.id for check in CHECKS} - {"look-on-site"}


@every_room
def test_a_demo_room_does_not_cry_wolf(path: Path) -> None:
    counts = result_of(path).counts

    assert counts["put-right"] <= 12
    assert counts["look-again"] <= 12
    assert 1 <= counts["not-checked"] <= 12


def test_the_demo_rooms_show_what_people_put_into_room_files() -> None:
    rooms = [room_of(path) for path in ROOMS]

    assert len(rooms) >= 6
    assert all("," in room.name and room.notes for room in rooms)
    assert max(len(room.pieces) for room in rooms) >= 20
    assert any(room.kit for room in rooms)
    assert any(piece.accepted for room in rooms for piece in room.pieces)
    bases = {change.basis for room in rooms for piece in room.pieces for change in piece.changes.values()}
    assert bases >= {"manual", "measured"}


@every_room
def test_the_order_of_the_pieces_in_a_demo_room_changes_nothing(path: Path) -> None:
    room = room_of(path)
    backwards = room.model_copy(update={"pieces": room.pieces[::-1]})

    result = check_room(backwards)

    assert json.dumps(result.as_json()) == json.dumps(check_room(room).as_json())


def check_command(*files: Path | str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "server", "check", *map(str, files)]
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, encoding="utf-8", check=False)


def test_the_check_command_says_that_something_is_wrong_in_the_demo_rooms() -> None:
    done = check_command(*ROOMS)

    assert done.returncode == 1
    assert all(room_of(path).name in done.stdout for path in ROOMS)
    assert done.stderr == ""


def test_the_check_command_says_that_nothing_is_wrong_in_the_well_arranged_room() -> None:
    done = check_command(CLEAN)

    assert done.returncode == 0
    assert "PUT RIGHT" not in done.stdout


def test_the_check_command_says_which_file_is_not_there(tmp_path: Path) -> None:
    done = check_command(CLEAN, tmp_path / "attic.json")

    assert done.returncode == 2
    assert "attic.json" in done.stderr


def test_the_check_command_says_which_file_is_no_room(tmp_path: Path) -> None:
    bad = tmp_path / "letter.json"
    bad.write_text('{"dear": "customer"}', "utf-8")

    done = check_command(bad)

    assert done.returncode == 2
    assert "letter.json" in done.stderr
