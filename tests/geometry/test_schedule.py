"""The pipe schedule: counted by hand for one room, and the same figures as text and as values."""

import csv
from io import StringIO
from pathlib import Path

import pytest

from geometry.room import Room
from geometry.samples import box_kit, piece, sample_scene
from geometry.scene import build
from geometry.schedule import HEADS, NO_RUN, TOTAL_HEADS, Schedule, schedule
from server.main import main
from tests.checks.discharge_room import kit_box, kit_tundish, outlet, room

ROOMS = sorted((Path(__file__).parents[2] / "demo_rooms").glob("*.json"))


def one_room(**more: object) -> Schedule:
    return schedule(build(Room.model_validate(room(outlets=[outlet(outside_run_mm=2000, outside_bends=2)]) | more)))


def test_a_run_is_told_with_its_lengths_elbows_clips_heights_and_fall() -> None:
    d1, d2 = one_room().lines

    # D1: 325 along, 280 down. D2: straight down 900 - 164, 2,800 along falling 14, 2,000 outside with 2 bends;
    # clips: 1 down, 2 along (1,800 apart), 2 outside; its size: 3.54 + 2 m and 3 bends, 7.94 of 9 m
    assert (d1.size_mm, d1.inside_m, d1.elbows, d1.clips) == (15, pytest.approx(0.605), 1, 2)
    assert (d2.size_mm, d2.material, d2.outside_m, d2.elbows, d2.clips) == (22, "copper", 2.0, 3, 5)
    assert d2.inside_m == pytest.approx(0.736 + 2.8, abs=0.001)
    assert (d2.from_mm, d2.to_mm) == (900, 150)
    assert (d2.fall_mm, d2.spare_mm) == (pytest.approx(450), pytest.approx(436))


def test_totals_add_up_what_is_of_one_size_and_material() -> None:
    found = one_room()

    assert [(t.material, t.size_mm) for t in found.totals] == [("copper", 15), ("copper", 22)]
    assert found.totals[1].length_m == pytest.approx(0.736 + 2.8 + 2.0, abs=0.001)
    assert sum(t.clips for t in found.totals) == sum(line.clips or 0 for line in found.lines)


def test_a_run_without_a_way_is_in_the_schedule_and_in_no_total() -> None:
    found = one_room(outlets=[outlet(level_mm=720)])

    assert found.lines[1].note == "no way found: order nothing yet (134 mm too high)"
    assert [t.size_mm for t in found.totals] == [15]
    assert found.left_out in found.as_text()
    assert found.left_out == "Left out: D2 of the cylinder, with no way or size found."


def test_ports_of_the_kit_that_have_no_run_are_told_in_the_text_and_in_the_values() -> None:
    data = room()
    ports = [{"name": name, "medium": "cold", "size_mm": 22, "at_mm": [0, 0, 0]} for name in ("fill", "suction")]
    data["kit"].append(kit_box("tank", 10, 10, 10) | {"port": ports})
    data["pieces"].append({"id": "t9", "kit": "tank", "at_mm": [300, 300]})

    found = schedule(build(Room.model_validate(data)))

    assert found.missing == ("cold water: the tank (fill and suction)",)
    assert "Not in this schedule, as no run is drawn or found: cold water: the tank (fill and suction)." in (
        found.as_text()
    )
    *_, last = csv.reader(StringIO(found.as_csv(), newline=""))
    assert (last[0], last[-1], len(last)) == (
        "Not in this schedule: cold water: the tank (fill and suction)", NO_RUN, len(HEADS)
    )  # fmt: skip


def test_a_room_without_pipes_says_so() -> None:
    assert schedule(build(Room.model_validate(room(outlets=[], pieces=[]) | {"pieces": []}))).as_text() == (
        "No pipe starts or ends in this room."
    )


def test_the_values_are_those_of_the_table_with_a_line_of_heads() -> None:
    found = one_room()

    head, *rows = csv.reader(StringIO(found.as_csv(), newline=""))

    assert tuple(head) == HEADS
    assert [tuple(row) for row in rows] == [line.cells for line in found.lines]


def test_a_name_with_a_comma_or_a_sum_stays_one_harmless_cell() -> None:
    data = room()
    data["pieces"][0]["name"] = 'Store, "the old one"'
    data["kit"].append(kit_box("plain", 10, 10, 10))

    _, first, *_ = csv.reader(StringIO(schedule(build(Room.model_validate(data))).as_csv(), newline=""))

    assert first[0] == 'D1 of the store, "the old one"'


@pytest.mark.parametrize("path", ROOMS, ids=lambda path: path.stem)
def test_the_command_prints_the_schedule_of_every_demo_room(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status = main(["pipes", str(path)]), main(["pipes", str(path), "--csv"])

    assert status == (0, 0)
    assert capsys.readouterr().out.strip()


def test_the_command_tells_of_a_file_that_is_not_there(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["pipes", "nothing.json"]) == 2
    assert "nothing.json" in capsys.readouterr().err


def test_a_run_that_is_all_outside_is_ordered_too() -> None:
    there = outlet(at_mm=[1200, 2600], level_mm=900, outside_run_mm=5000, outside_bends=2)
    pipe = {"id": "x1", "medium": "hot-discharge", "from": {"piece": "t1", "port": "out"}, "to": "o1", "via_mm": []}
    out = {"name": "out", "medium": "hot-discharge", "size_mm": 22, "at_mm": [0, 0, 0], "faces": "below"}
    data = room(outlets=[there], pipes=[pipe], tundish_kit=kit_tundish(port=[out]))

    found = schedule(build(Room.model_validate(data)))

    assert (found.lines[1].inside_m, found.lines[1].outside_m) == (0.0, 5.0)
    assert [(t.size_mm, t.length_m) for t in found.totals if t.size_mm == 22] == [(22, 5.0)]


def test_condensate_outside_is_ordered_as_wide_as_the_rule_asks_for_out_there() -> None:
    """BS 6798: at least 30 mm inside diameter outside, which is pipe sold as 32 mm; 900 outside with one elbow."""
    drip = {"name": "condensate", "medium": "condensate", "size_mm": 21.5, "at_mm": [0, 0, 0], "faces": "below"}
    boiler = box_kit("boiler", 440, 360, 720, stands_on="wall", base_mm=1150, port=[drip])
    out = {"id": "o1", "name": "gully", "at_mm": [1200, 1800], "level_mm": 900, "takes": ["condensate"],
           "outside_run_mm": 900, "outside_bends": 1}  # fmt: skip

    found = schedule(sample_scene([boiler], [piece(boiler, 1200, 1620)], outlets=[out]))

    inside, outside = found.totals
    assert (inside.size_mm, round(inside.length_m, 2), inside.elbows) == (21.5, 0.42, 1)
    assert (outside.size_mm, outside.length_m, outside.elbows) == (32, 0.9, 1)
    assert found.lines[0].note.startswith("Outside it is 32 mm.")
    assert inside.clips + outside.clips == found.lines[0].clips


def test_a_size_other_than_that_of_the_tundish_is_told_with_its_reducer_and_full_lengths_bring_couplings() -> None:
    """Common practice, no source: pipe is sold in lengths of 3 m, with one coupling for each full one."""
    mouth = {"name": "out", "medium": "hot-discharge", "size_mm": 22, "at_mm": [0, 0, 0], "faces": "below"}
    data = room(outlets=[outlet(outside_run_mm=4000, outside_bends=2)], tundish_kit=kit_tundish(port=[mouth]))

    found = schedule(build(Room.model_validate(data)))

    assert (found.lines[1].size_mm, found.lines[1].note) == (28, "Reducer 22 to 28 mm at its start.")
    assert [total.couplings for total in found.totals] == [0, 2]


def test_what_to_order_is_a_file_of_its_own_with_one_line_of_heads(capsys: pytest.CaptureFixture[str]) -> None:
    found = one_room(outlets=[outlet(level_mm=720)])

    heads, first, left = csv.reader(StringIO(found.order_as_csv(), newline=""))

    assert (tuple(heads), tuple(first)) == (TOTAL_HEADS, found.totals[0].cells)
    assert (left[0], len(left)) == (found.left_out, len(heads))
    assert main(["pipes", str(ROOMS[0]), "--order-csv"]) == 0
    assert capsys.readouterr().out.startswith(",".join(TOTAL_HEADS))


@pytest.mark.parametrize(("apart_mm", "told"), [(49.0, True), (50.0, False), (200.0, False)])
def test_two_elbows_that_do_not_go_into_what_is_between_them_are_told(apart_mm: float, told: bool) -> None:
    """Common practice, no source: two elbows of common pipe need 50 mm."""
    out = {"name": "out", "medium": "hot-discharge", "size_mm": 22, "at_mm": [0, 0, 0], "faces": "below"}
    via = [[1200, 2600, 300], [1200 + apart_mm, 2600, 299], [1200 + apart_mm, 2300, 297], [3000, 2300, 280],
           [3000, 2600, 270]]  # fmt: skip
    pipe = {"id": "x1", "medium": "hot-discharge", "from": {"piece": "t1", "port": "out"}, "to": "o1", "via_mm": via}
    data = room(pipes=[pipe], tundish_kit=kit_tundish(port=[out]))

    found = schedule(build(Room.model_validate(data)))

    assert ("Two elbows 49 mm apart: spring the pipe or move an end." in found.lines[1].note) == told
