"""What changed between two layouts: new, gone, changed; everything else is only counted."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from geometry.check import Finding
from geometry.checking import check_room
from geometry.comparing import compared
from geometry.editing import removed
from geometry.reading import room_from, write_room
from geometry.room import Room
from geometry.samples import box_kit, piece, sample_room
from server.main import main

TANK = box_kit("tank", space=[{"side": "front", "mm": 600, "need": "must", "why": "a person kneels there"}], dry_kg=30)
CHEST = box_kit("chest", dry_kg=10)


def finding(check: str = "service-space", verdict: Any = "put-right", **more: Any) -> Finding:
    return Finding(check, verdict, "said", **{"pieces": ("p1",), **more})


def test_the_same_findings_are_unchanged_in_any_order() -> None:
    some = [finding(found=1.0), finding("draw-out"), finding(side="front")]

    difference = compared(some, some[::-1])

    assert (difference.new, difference.gone, difference.changed, difference.unchanged) == ((), (), (), 3)


def test_what_only_one_of_them_has_is_new_or_gone() -> None:
    one, other = finding("draw-out"), finding("stand-up", pieces=("p2",))

    difference = compared([one], [other])

    assert (difference.new, difference.gone, difference.unchanged) == ((other,), (one,), 0)


@pytest.mark.parametrize("changed", [
    {"found": 364.0}, {"needed": 500.0}, {"short": 86.0}, {"verdict": "look-again"}, {"unit": "deg"},
])  # fmt: skip
def test_another_measure_or_verdict_on_the_same_thing_is_a_change(changed: dict[str, Any]) -> None:
    measured = {"needed": 450.0, "found": 365.0, "short": 85.0}
    before, after = finding(**measured), finding(**{**measured, **changed})

    (change,) = compared([before], [after]).changed

    assert (change.before, change.after) == (before, after)


def test_another_message_with_the_same_measures_is_no_change() -> None:
    said = finding(needed=1.0), Finding("service-space", "put-right", "said otherwise", ("p1",), needed=1.0)

    assert compared([said[0]], [said[1]]).unchanged == 1


def test_a_difference_that_nobody_could_measure_is_no_change() -> None:
    assert compared([finding(found=365.0)], [finding(found=365.0000004)]).unchanged == 1


def test_something_else_met_in_the_same_space_is_the_same_thing_changed() -> None:
    before, after = finding(against=("p2",), found=300.0), finding(against=("edge:1",), found=400.0)

    (change,) = compared([before], [after]).changed

    assert change.after.against == ("edge:1",)


def test_a_movable_thing_that_is_now_fixed_is_the_same_thing_changed() -> None:
    before, after = finding(topic="move-first", verdict="look-again"), finding(topic="")

    assert len(compared([before], [after]).changed) == 1


def test_several_of_one_thing_are_matched_by_their_measures_before_anything_is_called_new() -> None:
    before = [finding(against=(ref,), found=f) for ref, f in (("p2", 1.0), ("p3", 2.0))]
    after = [finding(against=(ref,), found=f) for ref, f in (("p4", 1.0), ("p5", 2.0), ("p6", 3.0))]

    difference = compared(before, after)

    assert difference.unchanged == 2
    assert [f.against for f in difference.new] == [("p6",)]


def test_a_change_there_and_back_mirrors() -> None:
    one, other = [finding(found=1.0), finding("draw-out")], [finding(found=2.0), finding("stand-up")]

    there, back = compared(one, other), compared(other, one)

    assert (there.new, there.gone) == (back.gone, back.new)
    assert [(c.before, c.after) for c in there.changed] == [(c.after, c.before) for c in back.changed]


# 550 round; 210 litres 1,580 high in this room, 250 litres 1,830: stand-up 1,673 and 1,911 under 1,900
SWAP = {
    "format": "elbowroom-room", "format_version": 1, "name": "Swap", "tolerance_mm": 10,
    "outline_mm": [[0, 0], [2400, 0], [2400, 1800], [0, 1800]], "ceiling": {"height_mm": 1900},
    "doors": [{"id": "d1", "edge": 0, "from_mm": 800, "clear_mm": 800, "head_mm": 1880}],
}  # fmt: skip


def with_cylinder(litres: int) -> Room:
    return room_from({**SWAP, "pieces": [{"id": "c", "kit": f"unvented-cylinder-{litres}", "at_mm": [1200, 1400]}]})


def test_swapping_a_cylinder_for_the_next_size_lists_the_stand_up_and_leaves_most_lines_unchanged() -> None:
    """Square root of 550² + 1,580² is 1,673, spare 227 under 1,900; of 550² + 1,830² 1,911, short 11."""
    before, after = (check_room(with_cylinder(litres)).findings for litres in (210, 250))

    difference = compared(before, after)

    (stood,) = [change for change in difference.changed if change.after.check == "stand-up"]
    assert stood.before.verdict == "no-fault" != stood.after.verdict
    assert stood.after.short == pytest.approx(11, abs=0.5)
    assert difference.unchanged > len(difference.changed)


def test_taking_a_piece_out_leaves_only_its_own_findings_gone_and_others_changed() -> None:
    room = sample_room([TANK, CHEST], [piece(TANK, 300, 1600), piece(CHEST, 300, 975)])

    difference = compared(check_room(room).findings, check_room(removed(room, "chest")).findings)

    assert difference.gone
    assert all("chest" in f.pieces for f in difference.gone if f.pieces and f.check != "look-on-site")
    cured = [c for c in difference.changed if c.after.check == "service-space" and c.after.side == "front"]
    assert [(c.before.found, c.after.verdict) for c in cured] == [(225, "no-fault")]


Command = Callable[..., tuple[int, str, str]]


@pytest.fixture
def check(capsys: pytest.CaptureFixture[str]) -> Command:
    def run(*arguments: Path | str) -> tuple[int, str, str]:
        status = main(["check", *map(str, arguments)])
        return (status, *capsys.readouterr())

    return run


@pytest.fixture
def files(tmp_path: Path) -> dict[str, Path]:
    """The same room three times: roomy, with a chest before the tank, and under a rule of its own."""
    rooms = {
        "roomy": sample_room([TANK], [piece(TANK, 300, 1600)], name="Roomy"),
        "tight": sample_room([TANK, CHEST], [piece(TANK, 300, 1600), piece(CHEST, 300, 975)], name="Tight"),
        "own": sample_room([TANK], [piece(TANK, 300, 1600)], name="Own",
                           overrides=[{"key": "lift-alone", "value": 31, "note": "a strong crew"}]),
    }  # fmt: skip
    for name, room in rooms.items():
        (tmp_path / f"{name}.json").write_text(write_room(room), encoding="utf-8")
    return {name: tmp_path / f"{name}.json" for name in rooms}


def test_the_command_lists_only_what_changed_and_ends_as_for_the_first_file(
    check: Command, files: dict[str, Path]
) -> None:
    worse, better = (
        check(files["tight"], "--against", files["roomy"]),
        check(files["roomy"], "--against", files["tight"]),
    )

    assert (worse[0], better[0]) == (1, 0)
    assert worse[1].splitlines()[0] == "Tight, against Roomy"
    assert "  *  CHANGED, now PUT RIGHT: Tank needs 600 mm in front; the chest leaves 225 mm. 375 mm short." in worse[1]
    assert "Before, it was NO FAULT FOUND: " in worse[1]
    assert "  -  GONE, was NO FAULT FOUND: Chest weighs 10 kg dry: one person lifts it." in better[1]


def test_the_command_gives_json_with_all_three_lists(check: Command, files: dict[str, Path]) -> None:
    status, told, _ = check(files["tight"], "--against", files["roomy"], "--json")
    answer = json.loads(told)

    assert status == 1
    assert list(answer) == ["room", "against", "rules", "counts", "new", "gone", "changed", "unchanged"]
    assert (answer["room"], answer["against"]) == ("Tight", "Roomy")
    assert {"before", "after"} == set(answer["changed"][0])
    assert all("chest" in f["pieces"] for f in answer["new"] if f["verdict"] == "no-fault")


def test_a_file_against_itself_has_no_changes(check: Command, files: dict[str, Path]) -> None:
    _, told, _ = check(files["tight"], "--against", files["tight"])

    assert told.splitlines()[1].startswith("0 new, 0 gone, 0 changed, ")
    assert len(told.splitlines()) == 3


def test_a_file_checked_by_other_figures_says_so(check: Command, files: dict[str, Path]) -> None:
    _, told, _ = check(files["roomy"], "--against", files["own"])

    assert "The other layout was checked by other rules: England. This room's own figures: Lift alone: 31 kg" in told
    assert "  *  CHANGED, now NO FAULT FOUND: Tank weighs 30 kg dry: two people lift it." in told


def test_two_files_against_another_are_refused(check: Command, files: dict[str, Path]) -> None:
    status, told, complaint = check(files["tight"], files["roomy"], "--against", files["own"])

    assert (status, told) == (2, "")
    assert complaint == "elbowroom: --against compares one file with another, and 2 were given. Name one.\n"


def test_a_file_that_cannot_be_used_is_named(check: Command, files: dict[str, Path], tmp_path: Path) -> None:
    status, _, complaint = check(files["tight"], "--against", tmp_path / "nothing.json")

    assert status == 2
    assert "nothing.json: The file cannot be opened" in complaint
