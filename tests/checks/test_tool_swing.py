"""Tools that can turn far enough, that cannot, and that nobody can tell about."""

from math import asin, atan2, degrees, hypot
from typing import Any

import pytest

from geometry.check import Finding
from geometry.checks.tool_swing import find
from geometry.samples import box_kit, piece, round_kit, sample_scene
from geometry.scene import Scene

ROOM = {"outline_mm": [[0, 0], [3000, 0], [3000, 3000], [0, 3000]]}


def nut(at: tuple[float, float, float] = (0, 0, 80), faces: str = "above", **more: Any) -> dict[str, Any]:
    """An access point for a spanner of 250 that needs 60 degrees."""
    swing = {"length_mm": 250, "turn_deg": more.pop("turn_deg", 60), "axis": more.pop("axis", "out")}
    return {"name": "22 mm nut", "at_mm": list(at), "faces": faces, "tool": "spanner", "swing": swing} | more


VALVE = box_kit("valve", 60, 60, 60, name="Zone valve", access=[nut()])
TANK = box_kit("tank", 600, 600, 1000)
PUMP = box_kit("pump", 600, 600, 1000)


def between(left_mm: float, right_mm: float, **hold: str) -> Scene:
    """A valve in a slot between a tank on its left and a pump on its right, both 600 square, a wall behind."""
    pieces = [
        piece(VALVE, 1500, 2850),
        piece(TANK, 1500 - left_mm - 300, 2700, hold=hold.get("tank", "fixed")),
        piece(PUMP, 1500 + right_mm + 300, 2700, hold=hold.get("pump", "fixed")),
    ]
    return sample_scene([VALVE, TANK, PUMP], pieces, **ROOM)


def reach_deg(gap_mm: float) -> float:
    """How far from straight ahead a 250 by 25 handle turns until its corner meets a face that far to the side."""
    return degrees(asin(gap_mm / hypot(250, 12.5)) - atan2(12.5, 250))


def only(findings: Any) -> Finding:
    (finding,) = findings
    assert isinstance(finding, Finding)
    return finding


# Passing, failing, touching, tight


def test_a_nut_with_nothing_round_it_turns_all_the_way() -> None:
    finding = only(find(sample_scene([VALVE], [piece(VALVE, 1500, 1500)], **ROOM)))

    assert (finding.verdict, finding.found, finding.unit) == ("no-fault", 360, "deg")
    assert finding.message == "The 22 mm nut of the zone valve can turn all the way round (needed 60)."


def test_a_nut_in_a_slot_turns_as_far_as_both_sides_let_it() -> None:
    finding = only(find(between(60, 40)))

    expected = reach_deg(60) + reach_deg(40)
    assert (finding.verdict, finding.against, finding.side) == ("put-right", ("pump", "tank"), "above")
    assert finding.found == pytest.approx(expected)
    assert finding.short == pytest.approx(60 - expected)
    assert finding.message == (
        "The 22 mm nut of the zone valve can turn 17 degrees; the tank and the pump stop the spanner (needed 60)."
    )


def test_a_wider_slot_has_no_fault() -> None:
    finding = only(find(between(160, 160)))

    assert finding.found == pytest.approx(2 * reach_deg(160))
    assert (finding.verdict, finding.against, finding.short) == ("no-fault", (), 0)


def test_a_stroke_within_the_survey_tolerance_at_the_handles_end_is_looked_at_again() -> None:
    finding = only(find(between(136, 136)))

    # at the end of 250, 10 mm is 2.29 degrees
    assert 60 < (finding.found or 0) < 60 + degrees(atan2(10, 250))
    assert finding.verdict == "look-again"
    assert finding.message.endswith("(needed 60). That is inside the survey tolerance: measure again.")


def test_a_face_that_the_end_of_the_handle_only_touches_takes_nothing_away() -> None:
    corner = hypot(250, 12.5)
    scenes = [
        sample_scene([VALVE, TANK], [piece(VALVE, 1500, 1500), piece(TANK, 1500 + off + 300, 1500)], **ROOM)
        for off in (corner, corner - 1)
    ]

    touching, met = (next(f for f in find(scene) if f.pieces == ("valve",)) for scene in scenes)

    assert touching.found == 360
    assert (met.found or 0) < 360


def test_something_lower_than_the_nut_is_not_in_the_way() -> None:
    low = box_kit("low", 600, 600, 80)
    scene = sample_scene([VALVE, low], [piece(VALVE, 1500, 1500), piece(low, 1830, 1500)], **ROOM)

    assert only(find(scene)).found == 360


def test_a_nut_shut_in_on_all_sides_cannot_be_turned() -> None:
    sides = ((340, 0), (-340, 0), (0, 340), (0, -340))
    ring = [piece(TANK, 1500 + dx, 1500 + dy, id=f"t{dx}{dy}") for dx, dy in sides]

    finding = only(find(sample_scene([VALVE, TANK], [piece(VALVE, 1500, 1500), *ring], **ROOM)))

    assert (finding.verdict, finding.found) == ("put-right", 0)
    assert finding.message.startswith("The 22 mm nut of the zone valve cannot turn at all; ")


def test_its_own_body_is_named_as_such() -> None:
    store = round_kit("store", 550, 1500, access=[nut((0, -275, 400), "front", axis="across", turn_deg=200)])

    finding = only(find(sample_scene([store], [piece(store, 1500, 1500)], **ROOM)))

    assert (finding.found, finding.against) == (pytest.approx(180), ())
    assert "its own body stops the spanner" in finding.message


def test_the_floor_is_named_where_it_is_in_the_way() -> None:
    low = box_kit("low", 60, 60, 60, access=[nut((0, -30, 30), "front", turn_deg=200)])

    finding = only(find(sample_scene([low], [piece(low, 1500, 1500)], **ROOM)))

    assert finding.against == ("floor",)
    assert "; the floor stops the spanner" in finding.message


# What can be moved


def test_something_movable_is_moved_first() -> None:
    finding = only(find(between(60, 160, tank="movable")))

    assert (finding.verdict, finding.topic, finding.against) == ("look-again", "22 mm nut, move-first", ("tank",))
    assert finding.message.endswith("It can be moved: move the tank first.")


def test_something_fixed_that_stops_it_too_is_still_put_right() -> None:
    crate, post = box_kit("crate", 40, 600, 1000), box_kit("post", 40, 600, 1000)
    pieces = [
        piece(VALVE, 1500, 2850), piece(PUMP, 1840, 2700),
        piece(crate, 1420, 2700, hold="movable"), piece(post, 1380, 2700),
    ]  # fmt: skip

    findings = list(find(sample_scene([VALVE, PUMP, crate, post], pieces, **ROOM)))

    assert [(f.verdict, f.against) for f in findings] == [("put-right", ("post", "pump")), ("look-again", ("crate",))]
    assert findings[0].found == pytest.approx(reach_deg(100) + reach_deg(40))
    assert findings[1].found == pytest.approx(reach_deg(60) + reach_deg(40))


# The ceiling that nobody has measured


def test_a_nut_near_a_ceiling_that_is_not_measured_asks_how_high_it_is() -> None:
    high = box_kit("high", 60, 60, 60, access=[nut((0, -30, 30), "front", turn_deg=300)])
    scene = sample_scene([high], [piece(high, 1500, 1500, base_mm=1900)], **ROOM, ceiling={"height_mm": None})

    finding = only(find(scene))

    assert (finding.verdict, finding.against) == ("not-checked", ("ceiling",))
    assert finding.question == "How high is the ceiling over the high?"


def test_a_nut_far_below_the_tallest_thing_needs_no_measured_ceiling() -> None:
    low = box_kit("low", 60, 60, 60, access=[nut((0, -30, 30), "front", turn_deg=300)])
    tall = box_kit("tall", 300, 300, 2000)
    pieces = [piece(low, 1500, 1500, base_mm=900), piece(tall, 300, 300)]

    assert only(find(sample_scene([low, tall], pieces, **ROOM, ceiling={"height_mm": None}))).verdict == "no-fault"


def test_half_a_turn_under_a_ceiling_that_is_not_measured_is_enough() -> None:
    high = box_kit("high", 60, 60, 60, access=[nut((0, -30, 30), "front")])
    scene = sample_scene([high], [piece(high, 1500, 1500, base_mm=1900)], **ROOM, ceiling={"height_mm": None})

    assert only(find(scene)).verdict == "no-fault"


# Two valves of 22 mm side by side, bodies 75 wide: 110 between centres leaves 35, and 60 are wanted


SIDES_OF_75 = ((37.5, "right"), (-37.5, "left"))


def valves(centres_mm: float, turn_deg: float) -> Scene:
    """Two valves with nuts on the sides that look at each other, boxing close behind them."""
    left = box_kit(
        "left", 75, 75, 75, name="Left valve", access=[nut((37.5, 0, 40), "right", axis="up", turn_deg=turn_deg)]
    )
    right = box_kit(
        "right", 75, 75, 75, name="Right valve", access=[nut((-37.5, 0, 40), "left", axis="up", turn_deg=turn_deg)]
    )
    boxing = {
        "id": "f1",
        "name": "boxing",
        "area_mm": [[0, 1540], [3000, 1540], [3000, 1600], [0, 1600]],
        "to_mm": 2400,
    }
    pieces = [piece(left, 1500, 1500, base_mm=900), piece(right, 1500 + centres_mm, 1500, base_mm=900)]
    return sample_scene([left, right], pieces, **ROOM, fixtures=[boxing])


def test_valves_at_110_leave_no_ring_spanner_stroke_and_valves_at_135_do() -> None:
    close, apart = list(find(valves(110, 30))), [f for f in find(valves(135, 30)) if f.topic == "22 mm nut"]

    # 30 degrees is the least swing of a ring spanner; the neighbour's corner is 35 or 60 across and 37.5 ahead
    assert [(f.verdict, round(f.found or 0, 3)) for f in close] == [
        ("put-right", round(degrees(atan2(35, 37.5) - asin(12.5 / hypot(35, 37.5))), 3))
    ] * 2
    assert [(f.verdict, round(f.found or 0, 3)) for f in apart] == [
        ("no-fault", round(degrees(atan2(60, 37.5) - asin(12.5 / hypot(60, 37.5))), 3))
    ] * 2


def test_two_spanners_between_those_valves_leave_each_other_only_a_sliver() -> None:
    finding = only(f for f in find(valves(135, 30)) if f.topic == "two-spanners")

    assert (finding.verdict, finding.pieces) == ("put-right", ("left", "right"))
    assert finding.found == pytest.approx(degrees(asin(47.5 / hypot(250, 12.5)) - atan2(12.5, 250)))
    assert finding.message == (
        "With a spanner on the 22 mm nut of the right valve, the 22 mm nut of the left valve can turn 8 degrees "
        "(needed 30)."
    )


def test_valves_far_enough_apart_take_two_spanners() -> None:
    finding = only(f for f in find(valves(400, 30)) if f.topic == "two-spanners")

    assert finding.verdict == "no-fault"


def test_two_spanners_are_not_asked_for_where_one_does_not_fit() -> None:
    assert [f.topic for f in find(valves(110, 30))] == ["22 mm nut", "22 mm nut"]


def test_the_worst_pair_of_nuts_speaks_for_two_pieces() -> None:
    row = box_kit("row", 600, 60, 60, access=[nut((x, 0, 80), name=f"nut {x}") for x in (-200, -100, 0, 100, 200)])

    pairs = [f for f in find(sample_scene([row], [piece(row, 1500, 1500)], **ROOM)) if f.topic == "two-spanners"]

    assert [(f.pieces, f.verdict) for f in pairs] == [(("row",), "no-fault")]


# What it must not depend on


def test_the_order_of_the_pieces_changes_nothing() -> None:
    pieces = [item.piece.model_dump(mode="json") for item in between(60, 40, tank="movable").placed]

    one, other = (
        [f.as_json() for f in find(sample_scene([VALVE, TANK, PUMP], order, **ROOM))]
        for order in (pieces, pieces[::-1])
    )

    assert one == other


def test_each_finding_has_a_key_of_its_own() -> None:
    keys = [f.key for scene in (between(60, 160, tank="movable"), valves(135, 30)) for f in find(scene)]

    assert len(set(keys)) == len(keys)


def test_only_the_pieces_asked_about_are_answered() -> None:
    assert [f.pieces for f in find(valves(135, 30), frozenset({"left"}))] == [("left",), ("left", "right")]
    assert list(find(valves(135, 30), frozenset({"elsewhere"}))) == []


@pytest.mark.parametrize("turns", [1, 2, 3])
def test_a_room_turned_by_quarters_gives_the_same_words(turns: int) -> None:
    def turned(x: float, y: float) -> tuple[float, float]:
        for _ in range(turns):
            x, y = 3000 - y, x
        return x, y

    pieces = [
        {"id": p.id, "kit": p.piece.kit, "at_mm": list(turned(*p.piece.at_mm)), "turn_deg": 90.0 * turns}
        for p in between(60, 40).placed
    ]

    after = only(find(sample_scene([VALVE, TANK, PUMP], pieces, **ROOM)))

    assert set(after.against) == {"tank", "pump"}
    assert after.found == pytest.approx(only(find(between(60, 40))).found)


def test_the_place_of_a_stopped_tool_is_its_circle_and_the_free_arc_in_the_room() -> None:
    finding = only(find(between(60, 40)))

    assert finding.where is not None
    line = finding.where.line_mm
    assert line[0] == line[-1] == (1500, 2850, 80)
    assert {round(hypot(x - 1500, y - 2850)) for x, y, _ in line[1:-1]} == {250}
    assert all(y < 2850 for _, y, _ in line[1:-1])
    assert len(finding.where.area_mm) > 20


def test_what_is_to_be_moved_is_named_where_no_free_arc_ends_at_it() -> None:
    crate = box_kit("crate", 100, 600, 1000)
    slot = [piece(VALVE, 1500, 2850), piece(TANK, 1140, 2700), piece(PUMP, 1860, 2700)]
    pieces = [*slot, piece(crate, 1500, 2500, hold="movable")]

    findings = find(sample_scene([VALVE, TANK, PUMP, crate], pieces, **ROOM))

    finding = next(f for f in findings if "move-first" in f.topic)
    assert finding.against == ("crate",)
    assert finding.message.endswith("the crate stops the spanner (needed 60). It can be moved: move the crate first.")
