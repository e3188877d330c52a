"""Published and independently computed figures of doors and spanners; each source stands beside its figures."""

import json
from dataclasses import replace
from math import cos, sin, sqrt
from pathlib import Path
from typing import Any

import pytest

from geometry.arcs import Bar, blocked, gaps, leaf_angle, swept_area_mm2
from geometry.doors import HungLeaf
from geometry.folding import folded_area_mm2
from geometry.samples import box_kit, piece, sample_scene
from geometry.shapes import box
from geometry.tools import turned, turns, with_other_resting

DATA: dict[str, Any] = json.loads((Path(__file__).parent / "doors.json").read_text())
LEAVES = [dict(zip(DATA["leaves"]["columns"], row, strict=True)) for row in DATA["leaves"]["rows"]]


def hung(width_mm: float, thick_mm: float, opening_mm: float) -> HungLeaf:
    """A leaf at the origin that opens from +x towards +y."""
    return HungLeaf(
        "d1", "door d1", "", False, (0.0, 0.0), (1.0, 0.0), (0.0, 1.0), width_mm, thick_mm, opening_mm,
        from_mm=0.0, to_mm=1981.0, needed_deg=90.0,
    )  # fmt: skip


@pytest.mark.parametrize("part", sorted(DATA))
def test_every_set_of_figures_says_where_it_comes_from(part: str) -> None:
    assert set(DATA[part]["source"]) == {"title", "clause", "standing"}


@pytest.mark.parametrize("row", DATA["stopped"]["rows"], ids=lambda row: row[0])
def test_a_leaf_is_stopped_at_the_closed_form_angle(row: list[Any]) -> None:
    _, _, length, lead, obstacle, expected = row

    assert leaf_angle(box(*obstacle), length, lead) == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize("leaf", LEAVES, ids=lambda leaf: f"{leaf['width_mm']} leaf")
def test_swept_areas_match_the_table_of_leaves(leaf: dict[str, float]) -> None:
    width, thick = leaf["width_mm"], leaf["thick_mm"]

    assert swept_area_mm2(width) / 1e6 == pytest.approx(leaf["thin_m2"], rel=1e-5)
    assert swept_area_mm2(width, thick) / 1e6 == pytest.approx(leaf["thick_m2"], rel=1e-5)
    assert folded_area_mm2(width) / 1e6 == pytest.approx(leaf["bifold_m2"], rel=1e-5)
    assert Bar(width, thick).reach_mm == pytest.approx(leaf["tip_mm"], abs=5e-4)


@pytest.mark.parametrize("leaf", LEAVES, ids=lambda leaf: f"{leaf['width_mm']} leaf")
def test_the_clear_width_at_a_right_angle_is_the_opening_less_the_leaf(leaf: dict[str, float]) -> None:
    between_stops = leaf["width_mm"] + 3 - 12

    left = hung(leaf["width_mm"], leaf["thick_mm"], between_stops).left_mm(90)

    assert left == pytest.approx(leaf["clear_mm"])


@pytest.mark.parametrize(("angle", "area_m2", "width_mm"), DATA["part_open"]["rows"])
def test_a_partly_open_leaf_sweeps_and_leaves_what_the_formulas_say(
    angle: float, area_m2: float, width_mm: float
) -> None:
    assert swept_area_mm2(762, 0, angle) / 1e6 == pytest.approx(area_m2, abs=1e-6)
    assert hung(762, 0, 762).left_mm(angle) == pytest.approx(width_mm, abs=1e-3)


def test_the_drawn_sweep_is_never_less_than_the_true_one() -> None:
    drawn = hung(826, 40, 760).swept(90).area_mm2

    assert swept_area_mm2(826) <= drawn <= swept_area_mm2(826) * 1.0003


def test_the_door_of_the_lean_to_shed_opens_to_its_boiler() -> None:
    shed = DATA["lean_to_shed"]
    boiler = box(1160 - 1700, 150, 1160 - 1080, 750)  # along the wall from the hinge towards y = 0, and out from it

    assert leaf_angle(boiler, shed["leaf_mm"]) == pytest.approx(shed["opens_deg"], abs=1e-4)


def test_a_handle_has_its_stroke_in_the_published_slot() -> None:
    slot = DATA["slot"]
    half = slot["slot_mm"] / slot["radius_mm"] / 2
    x, y = slot["radius_mm"] * cos(half), slot["radius_mm"] * sin(half)
    bar = Bar(slot["radius_mm"] + 50, slot["handle_mm"] / 2, slot["handle_mm"] / 2)
    sides = [[(x, y), (x - 100, y + 90), (x - 90, y + 200)], [(x, -y), (x - 90, -y - 200), (x - 100, -y - 90)]]

    free = gaps([(a, b, i) for i, side in enumerate(sides) for a, b in blocked(side, 0, bar)])

    stroke = min(gap.deg for gap in free)
    assert stroke == pytest.approx(slot["stroke_deg"], abs=0.01)


def nuts_apart(pitch_mm: float, across_flats_mm: float) -> float:
    """The stroke that two spanners leave each other on two nuts in the open, heads as wide as the nuts' corners."""
    swing = {"length_mm": 10 * across_flats_mm, "turn_deg": 60}
    nut = {"name": "nut", "at_mm": [0, 0, 500], "faces": "above", "tool": "spanner", "swing": swing}
    kit = box_kit("nut", 5, 5, 5, access=[nut])
    room = {"outline_mm": [[0, 0], [9000, 0], [9000, 9000], [0, 9000]]}
    scene = sample_scene([kit], [piece(kit, 4000 + i * pitch_mm, 4000, id=f"n{i}") for i in (0, 1)], **room)
    corner = 2 / sqrt(3) * across_flats_mm / 2
    bar = Bar(10 * across_flats_mm, corner, corner)
    one, other = turned(scene, [replace(turn, bar=bar) for turn in turns(scene)])
    return with_other_resting(one, other, 361.0).free.deg


@pytest.mark.parametrize(("across_flats", "pitch"), DATA["nuts"]["rows"])
def test_two_spanners_fit_at_the_published_pitch_and_not_where_the_nuts_meet(across_flats: float, pitch: float) -> None:
    across_corners = 2 / sqrt(3) * across_flats

    assert across_corners < pitch
    assert nuts_apart(pitch, across_flats) >= 60
    assert nuts_apart(across_corners - 1, across_flats) == 0


def test_a_bifold_takes_five_sixteenths_of_a_hinged_leaf() -> None:
    assert folded_area_mm2(800) / swept_area_mm2(800) == pytest.approx(5 / 16)
