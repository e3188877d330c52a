"""The checks of the building against published figures, end to end through a room; each source beside its figures."""

import json
import re
from pathlib import Path
from typing import Any

import pytest

from geometry.check import Finding
from geometry.checking import check_room
from geometry.reading import room_from
from geometry.samples import CUPBOARD, box_kit, piece
from geometry.shelf import find_kit
from tests.checks.drain_room import RUN_M, START_MM, about, drained, outlet, pipe
from tests.checks.found import findings
from tests.checks.test_flue_terminal import ended, thing
from tests.checks.test_keep_apart import GAS_METER, apart, kind, piped, ring

DATA: dict[str, Any] = json.loads((Path(__file__).parent / "building.json").read_text())


def rows(part: str) -> Any:
    return pytest.mark.parametrize("row", DATA[part]["rows"], ids=str)


def wrong(found: list[Finding]) -> list[Finding]:
    return [finding for finding in found if finding.short]


@pytest.mark.parametrize("part", sorted(DATA))
def test_every_set_of_figures_says_where_it_comes_from(part: str) -> None:
    assert set(DATA[part]["source"]) == {"title", "clause", "standing"}


@rows("condensate")
def test_condensate_passes_at_its_figures_and_fails_at_each_one_less(row: list[Any]) -> None:
    inside, outside, run_m, mm_m, fails = row
    end = outlet(
        "condensate", START_MM - mm_m * RUN_M, ends="gully", outside_run_mm=run_m * 1000, outside_bore_mm=outside
    )

    found = drained("condensate", end=end, pipes=[pipe("condensate", bore_mm=inside, via_mm=[])])

    assert [f.topic for f in found if f.verdict == "put-right"] == ([f"condensate, {fails}"] if fails else [])


@rows("condensate_runs")
def test_a_condensate_run_passes_with_its_drop_and_not_with_less(row: list[Any]) -> None:
    """The run is that of a wider room, the outlet so far along from the port."""
    run_m, drop, passes = row
    outline = [[0, 0], [1300 + run_m * 1000, 0], [1300 + run_m * 1000, 1800], [0, 1800]]
    end = outlet("condensate", START_MM - drop, at_mm=[1300 + run_m * 1000, 1620])

    finding = about(drained("condensate", end=end, pipes=[pipe("condensate", via_mm=[])], outline_mm=outline), "fall")

    assert (finding.verdict == "no-fault") == passes
    assert finding.needed == pytest.approx(45 * run_m)


@rows("cistern")
def test_a_cistern_passes_at_its_figures_and_anything_less_is_told(row: list[Any]) -> None:
    """700 litres, 600 by 450 by 800 on a platform 100 high; the ceiling so far above its top."""
    bore, beyond, above, short = row
    over = {"name": "overflow", "medium": "overflow", "size_mm": 22, "at_mm": [300, 0, 700], "faces": "right"}
    space = [{"side": "above", "mm": 350, "need": "must", "why": "float valve"}]
    tank = box_kit("tank", 600, 450, 800, traits=["cistern"], dry_kg=40, water_l=DATA["cistern"]["litres"],
                   port=[over], space=space)  # fmt: skip
    plinth = box_kit("plinth", 600 + 2 * beyond, 450 + 2 * beyond, 100, dry_kg=10)
    line = pipe("overflow", bore_mm=bore) | {"from": {"piece": "tank", "port": "overflow"}}
    room = room_from({
        **CUPBOARD, "tolerance_mm": 0, "ceiling": {"height_mm": 900 + above}, "kit": [tank, plinth],
        "pieces": [piece(plinth, 1200, 900), piece(tank, 1200, 900, base_mm=100)], "pipes": [line],
        "outlets": [outlet("overflow", 500, at_mm=[2400, 900])],
    })  # fmt: skip

    found = check_room(room).findings

    asked = ("overflow", "floor-load", "service-space")
    assert {f.check for f in found if f.check in asked and f.short and f.unit == "mm"} == set(short)


@rows("gas_pipe")
def test_a_gas_pipe_keeps_the_distance_of_the_edition_that_is_told(row: list[Any]) -> None:
    key, traits, own, gap, passes = row
    overrides = [{"key": "gas-pipe-to-switch", "value": own, "note": "edition of 2005"}] if own else []

    (finding,) = piped(kind(key, traits), gap, overrides=overrides)

    assert (finding.verdict == "no-fault") == passes
    assert finding.source is not None
    assert re.search(r"\b20(05|15)\b", finding.source.clause + finding.source.edition)


@rows("gas_meter")
def test_a_gas_meter_keeps_its_distance_from_electrics_of_the_shelf(row: list[Any]) -> None:
    key, gap, needed, passes = row
    width = find_kit(key).plan.width_mm
    pieces = [
        piece(GAS_METER, 500, 1700, base_mm=1000),
        {"id": "e", "kit": key, "at_mm": [650 + gap + width / 2, 1700], "base_mm": 1000},
    ]

    finding = next(f for f in apart([GAS_METER], pieces) if f.topic == "gas-meter-to-electrical")

    assert (finding.needed, finding.found, finding.verdict == "no-fault") == (needed, pytest.approx(gap), passes)


@pytest.mark.parametrize(("gap", "passes"), DATA["gas_meter"]["flue"])
def test_a_gas_meter_keeps_its_distance_from_the_flue_of_a_boiler_of_the_shelf(gap: float, passes: bool) -> None:
    """The turret stands 65 either side of the boiler's middle, on its top; the meter beside it, at that height."""
    boiler = {"id": "b", "kit": "wall-boiler-combination", "at_mm": [1200, 1630], "base_mm": 1000}
    meter = piece(GAS_METER, 1200 - 65 - gap - 150, 1630, base_mm=1750)

    finding = next(f for f in apart([GAS_METER], [boiler, meter]) if f.topic == "gas-meter-to-flue")

    assert (finding.found, finding.verdict == "no-fault") == (pytest.approx(gap), passes)


@rows("flue")
def test_a_fanned_balanced_terminal_passes_at_the_lettered_distance_and_fails_one_less(row: list[Any]) -> None:
    letter, what, place, needed = row

    kept, less = (ended([thing(what, place, gap)])[-1] for gap in (needed, needed - 1))

    assert (kept.topic, kept.verdict, kept.needed) == (f"t1, {letter}", "no-fault", needed)
    assert (less.verdict, less.short) == ("put-right", pytest.approx(1))


@rows("diagonal")
def test_the_true_distance_is_told_and_the_plane_of_the_wall_counts(row: list[Any]) -> None:
    across, projects, true = row
    (finding,) = ended([thing("opening", "beside", across)], {"projects_mm": projects})

    assert (across**2 + projects**2) ** 0.5 == pytest.approx(true, abs=5e-3)
    assert (finding.verdict, finding.found) == ("put-right", across)
    assert f"it {round(true)} mm away" in finding.message


@rows("compartment")
def test_a_compartment_with_the_published_openings_passes_and_with_one_less_does_not(row: list[Any]) -> None:
    kw, flue, to, high, low = row
    boiler = box_kit("boiler", traits=["gas", "hot"], input_kw=kw, flue=flue)

    def aired(less: float) -> list[Finding]:
        vents = [
            {"id": "v1", "level_mm": 2200, "free_cm2": high - less, "to": to},
            {"id": "v2", "level_mm": 150, "free_cm2": low - less, "to": to},
        ]
        return findings("compartment-air", [boiler], [piece(boiler, 1200, 1600)], vents=vents)

    assert [f.verdict for f in aired(0)] == ["no-fault", "no-fault"]
    assert [f.short for f in aired(1)] == [1, 1]


@rows("alarm")
def test_an_alarm_is_in_its_ring(row: list[Any]) -> None:
    away, short = row

    finding = ring(away)

    assert (finding.short, finding.verdict) == (pytest.approx(short), "put-right" if short else "no-fault")


@rows("weights")
def test_kit_of_the_shelf_weighs_and_presses_as_worked_by_hand(row: list[Any]) -> None:
    key, full, pressure = row

    found = findings("floor-load", [], [{"id": "p", "kit": key, "at_mm": [1200, 900]}])

    (finding,) = [f for f in found if f.unit == "kN/m2"]
    assert f"weighs {full} kg full" in finding.message
    assert finding.found == pytest.approx(pressure, abs=0.05)
    assert finding.verdict == "not-checked"


def test_a_board_of_800_by_800_spreads_a_cylinder_of_362_kg_to_5_5() -> None:
    board = box_kit("board", 800, 800, 25, dry_kg=0)
    cylinder = {"id": "p", "kit": "unvented-cylinder-300", "at_mm": [1200, 900], "base_mm": 25}

    found = findings("floor-load", [board], [piece(board, 1200, 900), cylinder])

    (finding,) = [f for f in found if f.unit == "kN/m2"]
    assert finding.found == pytest.approx(5.5, abs=0.05)


def test_plasterboard_under_41_kg_is_put_right_and_brick_is_not() -> None:
    """Worked from a job: a full boiler of 41 kg on plasterboard alone wants ply or noggins at its bracket."""
    boiler = box_kit("boiler", 440, 360, 720, stands_on="wall", base_mm=1150, dry_kg=38, water_l=3)

    def hung(build: str) -> Finding:
        walls = [{"edge": 2, "build": build}]
        (found,) = findings("wall-load", [boiler], [piece(boiler, 1200, 1620)], walls=walls)
        return found

    assert "Ply or noggins are needed at its bracket" in hung("plasterboard").message
    assert hung("brick").verdict == "no-fault"


def test_a_wiring_centre_in_the_pipe_space_of_a_boiler_is_told_with_110_mm() -> None:
    """Worked from a job: wiring centre 980 to 1,090 up, tails 950 to 1,150."""
    below = [{"side": "below", "mm": 200}]
    boiler = box_kit("boiler", 440, 360, 720, stands_on="wall", traits=["wet"], space=below)
    centre = box_kit("centre", 350, 65, 110, stands_on="wall", traits=["electrical"])

    found = findings(
        "wet-above-electrics", [boiler, centre],
        [piece(boiler, 1200, 1620, base_mm=1150), piece(centre, 1200, 1767.5, base_mm=980)],
    )  # fmt: skip

    assert [f.message for f in found if "110 mm of it is in the pipe space" in f.message]


@pytest.mark.parametrize(("people", "kg"), [(1, 25), (2, 38), (2, 50)])
def test_up_to_50_kg_two_people_are_enough(people: int, kg: float) -> None:
    """Worked from a job: 38 kg two people, 100 kg three and an aid; limits editable."""
    boiler = box_kit("boiler", dry_kg=kg)

    (finding,) = findings("lifting", [boiler], [piece(boiler, 1200, 900)])

    assert f"{'one person lifts' if people == 1 else 'two people lift'} it" in finding.message


def test_100_kg_want_three_people_and_an_aid() -> None:
    store = box_kit("store", dry_kg=100)

    (finding,) = findings("lifting", [store], [piece(store, 1200, 900)])

    assert "three people and an aid" in finding.message
