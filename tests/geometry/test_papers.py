"""The lists that the report prints of a room: service calendar, shut-offs, builder's work, pipe schedule."""

from math import hypot

import pytest

from geometry.builders_work import builders_work
from geometry.check import Finding
from geometry.samples import box_kit, piece, sample_scene
from geometry.service_calendar import replaced_in, service_calendar
from geometry.shut_offs import shut_offs

DOOR = {"id": "d1", "edge": 0, "from_mm": 100, "clear_mm": 700}


@pytest.mark.parametrize(("a_year", "visits"), [(1, 20), (2, 40), (8, 160), (0.5, 10), (0, 0)])
def test_a_yearly_visit_is_twenty_in_twenty_years(a_year: float, visits: int) -> None:
    filter_ = box_kit("filter", visits_a_year=a_year, life_years=15)

    (line,) = service_calendar(sample_scene([filter_], [piece(filter_, 500, 900)]), ()).lines

    assert line.visits == visits


@pytest.mark.parametrize(
    ("life", "years"), [(20, (20,)), (12, (12,)), (7, (7, 14)), (10, (10, 20)), (22, ()), (0.5, tuple(range(1, 21)))]
)
def test_a_life_that_ends_within_twenty_years_is_a_replacement(life: float, years: tuple[int, ...]) -> None:
    assert replaced_in(life) == years


def test_what_is_moved_first_is_told_apart_for_a_visit_and_for_taking_out() -> None:
    tank, bin_ = box_kit("tank", visits_a_year=1), box_kit("bin")
    scene = sample_scene([tank, bin_], [piece(tank, 400, 1500), piece(bin_, 400, 700)])
    found = [
        Finding("service-space", "look-again", "", ("tank",), ("bin",), topic="move-first"),
        Finding("fitting-order", "no-fault", "", ("tank",), ("jug",), topic="first"),
        Finding("service-space", "put-right", "", ("tank",), ("edge:0",)),
    ]

    (line,) = service_calendar(scene, found).lines

    assert (line.first_for_a_visit, line.first_for_replacing) == (("bin",), ("jug",))


def test_each_year_names_what_is_replaced_in_it() -> None:
    alarm, cylinder = (
        box_kit("alarm", life_years=7, visits_a_year=1),
        box_kit("cylinder", life_years=20, visits_a_year=2),
    )
    scene = sample_scene([alarm, cylinder], [piece(alarm, 400, 400), piece(cylinder, 1500, 1500)])

    years = {year.number: year.replaced for year in service_calendar(scene, ()).years if year.replaced}

    assert years == {7: ("alarm",), 14: ("alarm",), 20: ("cylinder",)}


def test_the_card_has_all_four_shut_offs_and_says_where_none_is() -> None:
    tap = box_kit("tap", 80, 70, 130, stands_on="wall", base_mm=300, traits=["stop-tap"])

    found = shut_offs(sample_scene([tap], [piece(tap, 1900, 1765)], doors=[DOOR]))

    assert [one.what for one in found] == ["water", "gas", "electricity", "filling"]
    assert [one.piece for one in found] == ["tap", "", "", ""]
    assert found[0].from_door_mm == pytest.approx(hypot(1900 - 800, 1765))
    assert found[0].level_mm == 365


def test_two_shut_offs_of_one_kind_are_told_nearest_to_the_door_first() -> None:
    tap = box_kit("tap", 80, 70, 130, traits=["stop-tap"])

    found = shut_offs(sample_scene([tap], [piece(tap, 2300, 1700, id="a"), piece(tap, 300, 300, id="b")], doors=[DOOR]))

    assert [one.piece for one in found if one.what == "water"] == ["b", "a"]


def test_a_heavy_piece_on_board_and_studs_asks_for_boards_and_on_brick_for_none() -> None:
    boiler = box_kit("boiler", 440, 360, 720, stands_on="wall", base_mm=1150, dry_kg=38, water_l=3)

    def asked(build: str) -> list[str]:
        scene = sample_scene([boiler], [piece(boiler, 1200, 1620)], walls=[{"edge": 2, "build": build}])
        return [work.told for work in builders_work(scene) if work.group == "board"]

    assert asked("brick") == []
    assert asked("plasterboard on studs") == [
        "Board or noggins in the back wall (plasterboard on studs) behind the boiler, 41 kg full: middle 1,200 mm from"
        " the left corner, 440 mm wide at least, from 1,150 mm to 1,870 mm up."
    ]


def test_a_wall_of_unknown_build_is_a_question() -> None:
    boiler = box_kit("boiler", 440, 360, 720, stands_on="wall", base_mm=1150, dry_kg=38, water_l=3)

    (work,) = builders_work(sample_scene([boiler], [piece(boiler, 1200, 1620)]))

    assert work.question == "What is the back wall made of there? Brick or block needs no board."


def test_raised_kit_needs_a_plinth_unless_something_drawn_carries_it() -> None:
    tank = box_kit("tank", 480, 480, 850)
    base = {"id": "f1", "name": "block base", "area_mm": [[0, 1200], [700, 1200], [700, 1800], [0, 1800]], "to_mm": 100}

    alone = builders_work(sample_scene([tank], [piece(tank, 300, 1500, base_mm=100)]))
    carried = builders_work(sample_scene([tank], [piece(tank, 300, 1500, base_mm=100)], fixtures=[base]))

    assert [work.group for work in alone] == ["plinth"]
    assert carried == ()


def test_a_drain_that_no_outlet_takes_is_work_and_a_question() -> None:
    drip = {"name": "condensate", "medium": "condensate", "size_mm": 22, "at_mm": [0, 150, 0], "faces": "below"}
    boiler = box_kit("boiler", 440, 360, 720, stands_on="floor", port=[drip])
    gully = {"id": "o1", "name": "gully", "at_mm": [1200, 1800], "level_mm": 100, "takes": ["condensate"]}

    without = builders_work(sample_scene([boiler], [piece(boiler, 1200, 1620)]))
    with_gully = builders_work(sample_scene([boiler], [piece(boiler, 1200, 1620)], outlets=[gully]))

    assert [(work.group, work.question) for work in without] == [
        ("drain", "Where does the condensate of the boiler go?")]  # fmt: skip
    assert [(work.group, work.told) for work in with_gully] == [
        ("hole", "Hole for 22 mm pipe, in the back wall 1,200 mm from its left corner, 100 mm up: gully (condensate).")
    ]  # fmt: skip


def test_a_planned_doorway_is_work() -> None:
    (work,) = builders_work(sample_scene([], [], doors=[{**DOOR, "planned": True}]))

    assert work.told == "New doorway d1 in the front wall, clear 700 mm, head 1,981 mm, 1,600 mm from the left corner."
