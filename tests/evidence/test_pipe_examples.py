"""Published worked examples of discharge and drain pipes, each through a whole room file; sources in the data."""

import json
from pathlib import Path
from typing import Any

import pytest

from geometry.checking import check_room
from geometry.pipes.support import clip_spacing
from geometry.reading import read_room
from geometry.rules import rule_pack
from tests.checks.discharge_room import findings, found, kit_store, outlet, room
from tests.checks.drain_room import about, drained, hung, pipe
from tests.checks.drain_room import outlet as drain_outlet
from tests.evidence.test_discharge_evidence import LIMITS, drawn_to

DATA: dict[str, Any] = json.loads((Path(__file__).parent / "pipes.json").read_text())
OUTSIDE, BORES = DATA["drains"]["condensate_outside_mm"], DATA["drains"]["overflow_bore_mm"]
INSIDE_M, INSIDE_BENDS = 0.78, 1  # 750 down from the tundish and 30 out through the wall
PIPE = {"id": "q1", "medium": "hot-discharge", "from": {"piece": "s1", "port": "relief"}, "to": "o1"}


@pytest.mark.parametrize("part", sorted(DATA))
def test_every_set_of_figures_says_where_it_comes_from(part: str) -> None:
    assert set(DATA[part]["source"]) == {"title", "clause", "standing"}


def as_long_as(length_m: float, bends: int) -> dict[str, Any]:
    """A room whose discharge is so long and has so many bends, what is not inside being outside."""
    straight = bends == 0
    inside = 0.75 if straight else INSIDE_M
    end = outlet(
        at_mm=[1200, 2970] if straight else [1200, 3000], level_mm=150,
        outside_run_mm=round((length_m - inside) * 1000, 3), outside_bends=max(0, bends - INSIDE_BENDS),
    )  # fmt: skip
    return {"outlets": [end], "tundish": {"at_mm": [1200, 2970]}}


@pytest.mark.parametrize("row", DATA["rows_of_the_table"]["rows"], ids=lambda row: row[0])
def test_a_worked_example_drawn_as_a_room_comes_out_as_printed(row: list[Any]) -> None:
    _, valve, drawn, length, bends, verdict, carries = row
    of = as_long_as(length, bends)
    bare = [] if bends == 0 else [[1200, 2970, 150]]
    line = PIPE | {"via_mm": bare} | ({"size_mm": drawn} if drawn else {})

    finding = found(room(store_kit=kit_store(valve), pipes=[line], **of), "size")

    assert finding.verdict == verdict
    assert f"{length:g}" in finding.message
    if carries is None:
        assert "No size in the table" in finding.message
    else:
        assert f"{carries} mm" in finding.message


def test_two_stores_of_22_and_28_mm_share_35_mm() -> None:
    known = DATA["shared"]
    second = kit_store(22, "store-2", "Second cylinder")
    data = room(kit=[second], pieces=[
        {"id": "s2", "kit": "store-2", "at_mm": [600, 700]},
        {"id": "t2", "kit": "funnel", "at_mm": [1100, 700], "base_mm": 1000},
    ])  # fmt: skip

    finding = found(data, "shared")

    assert finding.needed == known["shared_mm"]
    assert f"larger than {max(known['joined_mm'])} mm" in finding.message


def test_a_run_of_7_m_after_the_drop_needs_35_mm_of_fall() -> None:
    wide = room(outlets=[outlet(at_mm=[8200, 2600], level_mm=900 - 300 - DATA["fall"]["fall_mm"])])
    wide["outline_mm"] = [[0, 0], [8200, 0], [8200, 3000], [0, 3000]]
    wide["overrides"] = [{"key": "pipe-hangs", "value": 9000, "note": "on brackets"}]

    finding = found(wide, "fall")

    assert (finding.verdict, finding.needed, finding.short) == ("no-fault", DATA["fall"]["fall_mm"], 0)


@pytest.mark.parametrize(("at", "verdict"), [(OUTSIDE[0], "no-fault"), (OUTSIDE[1], "put-right")])
def test_condensate_runs_3_m_outside_and_not_a_millimetre_more(at: float, verdict: str) -> None:
    end = drain_outlet("condensate", 900, ends="gully", outside_run_mm=at, outside_bore_mm=30)

    assert about(drained("condensate", end=end), "outside").verdict == verdict


@pytest.mark.parametrize(("bore", "verdict"), [(BORES[0], "no-fault"), (BORES[1], "put-right")])
def test_a_warning_pipe_is_19_mm_inside(bore: float, verdict: str) -> None:
    tank = hung("overflow", traits=["cistern"], water_l=200)

    said = drained("overflow", kit=tank, pipes=[pipe("overflow", bore_mm=bore)])

    assert about(said, "size").verdict == verdict


def cistern(litres: float = 230, size_mm: float = 22, **more: Any) -> dict[str, Any]:
    return hung("overflow", size_mm, traits=["cistern"], water_l=litres, **more)


@pytest.mark.parametrize(("litres", "inside"), DATA["cisterns"]["inside_mm"])
def test_a_warning_pipe_is_as_wide_inside_as_its_cistern_asks_and_no_less(litres: float, inside: float) -> None:
    wide, thin = (
        about(drained("overflow", kit=cistern(litres), pipes=[pipe("overflow", bore_mm=bore)]), "size")
        for bore in (inside, inside - 1)
    )

    assert (wide.verdict, thin.verdict, thin.short) == ("no-fault", "put-right", 1)


@pytest.mark.parametrize(("rules", "size", "passes"), DATA["cisterns"]["kit_mm"])
def test_the_overflow_kit_is_of_the_size_of_the_country(rules: str, size: float, passes: bool) -> None:
    finding = about(drained("overflow", kit=cistern(size_mm=size), rules=rules), "kit")

    assert finding.verdict == ("no-fault" if passes else "look-again")


@pytest.mark.parametrize(("below", "passes"), DATA["cisterns"]["below_mm"])
def test_water_stands_25_mm_below_the_overflow_and_not_24(below: float, passes: bool) -> None:
    """The middle of the overflow is 800 above the base and it is 22 mm inside: its lowest part is at 789."""
    over = {"name": "overflow", "medium": "overflow", "size_mm": 22, "at_mm": [100, 0, 800], "faces": "right"}
    tank = cistern() | {"port": [over], "height_mm": 900, "water_level_mm": 789 - below}

    finding = about(drained("overflow", kit=tank, pipes=[pipe("overflow", bore_mm=22)]), "water level")

    assert finding.verdict == ("no-fault" if passes else "put-right")


@pytest.mark.parametrize(("what", "good", "bad"), LIMITS, ids=str)
def test_a_room_file_at_a_limit_is_told_as_published_from_file_to_json(what: str, good: float, bad: float) -> None:
    told = []
    for figure in (good, bad):
        data, topic = drawn_to(what, figure)
        said = check_room(read_room(json.dumps(data).encode())).findings
        told.append(next(f.verdict for f in said if (f.check, f.topic) == ("discharge", topic)))

    assert told == ["no-fault", "look-again" if what == "plastic-gutter" else "put-right"]


@pytest.mark.parametrize("row", DATA["clips"]["rows"], ids=str)
def test_clips_are_as_far_apart_as_the_table_has_them(row: list[Any]) -> None:
    size, level, upright = row

    spacing = clip_spacing(rule_pack("england"), size, "copper")

    assert spacing.level_mm == level * 1000
    assert upright is None or spacing.upright_mm == upright * 1000


def test_pipe_other_than_copper_is_not_checked_against_the_table() -> None:
    said = findings(room(pipes=[PIPE | {"material": "polybutylene"}]))

    assert [f.verdict for f in said if f.topic == "material"] == ["not-checked"]
    assert not [f for f in said if f.topic == "size"]
