from typing import Any

import pytest

from geometry.check import Finding
from geometry.checks import room_edge
from geometry.samples import box_kit, piece, round_kit, sample_scene
from tests.checks.found import Data, findings, only, wrong

TANK = box_kit("tank", 600, 400, 800)
DRUM = round_kit("drum", 500, 1000)
L_ROOM = [[0, 0], [2400, 0], [2400, 900], [1400, 900], [1400, 1800], [0, 1800]]
NIB_ROOM = [[0, 0], [3000, 0], [3000, 1800], [2000, 1800], [2000, 900], [1850, 900], [1850, 1800], [0, 1800]]
DOOR = {"id": "d1", "edge": 0, "from_mm": 800, "clear_mm": 700, "head_mm": 1981}
BOXING = {"id": "f1", "name": "boxing", "area_mm": [[0, 0], [200, 0], [200, 900], [0, 900]], "from_mm": 0, "to_mm": 600}
SOFFIT = {"name": "soffit", "area_mm": [[0, 0], [1900, 0], [1900, 900], [0, 900]],
          "through_mm": [[0, 0, 2300], [1900, 0, 700], [0, 900, 2300]]}  # fmt: skip


def edge(kind: Data, x: float, y: float, turn_deg: float = 0, room: Data | None = None, **more: Any) -> list[Finding]:
    return findings("room-edge", [kind], [piece(kind, x, y, turn_deg, **more)], **(room or {}))


def topics(found: list[Finding]) -> list[tuple[str, tuple[str, ...]]]:
    return [(finding.topic, finding.against) for finding in wrong(found)]


class TestWalls:
    def test_a_piece_in_the_room_is_no_fault(self) -> None:
        finding = only(edge(TANK, 1200, 900))

        assert (finding.verdict, finding.message) == ("no-fault", "Tank stays inside the room.")

    @pytest.mark.parametrize(("x", "y", "turn"), [(300, 900, 0), (1200, 1600, 0), (200, 900, 90), (2200, 900, 270)])
    def test_a_back_or_side_on_the_wall_is_contact(self, x: float, y: float, turn: float) -> None:
        assert wrong(edge(TANK, x, y, turn)) == []

    @pytest.mark.parametrize(("into", "faults"), [(0.4, 0), (0.5, 0), (0.6, 1)])
    def test_rounding_is_no_depth_and_more_is(self, into: float, faults: int) -> None:
        assert len(wrong(edge(TANK, 300 - into, 900))) == faults

    @pytest.mark.parametrize(
        ("x", "y", "ref", "name"),
        [(1200, 160, "edge:0", "front"), (2140, 900, "edge:1", "right"), (1200, 1640, "edge:2", "back"),
         (260, 900, "edge:3", "left")],
    )  # fmt: skip
    def test_depth_past_the_face_of_each_wall_is_put_right(self, x: float, y: float, ref: str, name: str) -> None:
        finding = only(edge(TANK, x, y))

        assert (finding.verdict, finding.against, finding.found, finding.short) == ("put-right", (ref,), -40, 40)
        assert finding.message == f"40 mm of the tank is inside the {name} wall."

    def test_a_round_body_is_measured_at_its_rim(self) -> None:
        assert only(edge(DRUM, 239.5, 900)).short == pytest.approx(10.5)

    def test_what_sticks_out_is_measured_too(self) -> None:
        tailed = {**TANK, "sticks_out": [{"side": "right", "mm": 90, "what": "overflow"}]}
        finding = only(edge(tailed, 2050, 900))

        assert finding.message == "40 mm of the tank's overflow is inside the right wall."

    def test_in_a_corner_both_walls_are_named(self) -> None:
        assert topics(edge(TANK, 280, 1620)) == [("wall", ("edge:2",)), ("wall", ("edge:3",))]

    def test_at_a_corner_that_juts_in_the_nearer_face_is_enough(self) -> None:
        room = {"outline_mm": L_ROOM}
        finding = only(edge(TANK, 1140, 1000, room=room))

        assert (finding.against, finding.short) == (("edge:3",), 40)
        assert only(edge(TANK, 1500, 730, room=room)).against == ("edge:2",)

    def test_a_nib_is_left_by_the_face_that_the_piece_went_in_by(self) -> None:
        room = {"outline_mm": NIB_ROOM}

        assert [(f.against, f.short) for f in edge(TANK, 2240, 1500, room=room)] == [(("edge:3",), 60)]
        assert [(f.against, f.short) for f in edge(TANK, 1630, 1500, room=room)] == [(("edge:5",), 80)]

    def test_a_piece_deeper_than_the_wall_is_measured_to_its_face(self) -> None:
        assert only(edge(TANK, 50, 900)).short == 250

    def test_a_piece_beyond_the_walls_is_outside(self) -> None:
        finding = only(edge(TANK, -900, 900))

        assert (finding.verdict, finding.topic, finding.short) == ("put-right", "outside", None)
        assert finding.message == "The tank is outside the room."

    def test_a_turned_piece_is_measured_at_its_corner(self) -> None:
        # half the diagonal of 300 by 300 is 212.132
        assert only(edge(box_kit("box", 300, 300), 200, 900, 45)).short == pytest.approx(12.132, abs=0.001)


class TestDoorways:
    def test_a_piece_in_a_doorway_is_put_right(self) -> None:
        finding = only(edge(TANK, 1150, 170, room={"doors": [DOOR]}))

        assert (finding.topic, finding.against, finding.short) == ("doorway", ("d1",), 30)
        assert finding.message == "30 mm of the tank is in the doorway d1."

    def test_a_piece_at_the_edge_of_a_doorway_is_not_in_it(self) -> None:
        assert wrong(edge(TANK, 1150, 200, room={"doors": [DOOR]})) == []

    def test_a_piece_higher_than_the_head_is_in_the_wall_too(self) -> None:
        tall = box_kit("tall", 300, 300, 2200)

        assert topics(edge(tall, 1150, 100, room={"doors": [DOOR]})) == [("wall", ("edge:0",)), ("doorway", ("d1",))]

    def test_a_piece_above_the_head_is_in_the_wall_only(self) -> None:
        shelf = box_kit("shelf", 300, 300, 200, stands_on="ceiling", base_mm=2000)

        assert topics(edge(shelf, 1150, 100, room={"doors": [DOOR]})) == [("wall", ("edge:0",))]

    def test_a_jamb_is_wall(self) -> None:
        assert topics(edge(TANK, 1000, 190, room={"doors": [DOOR]})) == [("wall", ("edge:0",)), ("doorway", ("d1",))]


class TestCeilings:
    @pytest.mark.parametrize(
        ("top", "verdict"),
        [(2390, None), (2391, "look-again"), (2400, "look-again"), (2400.4, "look-again"), (2401, "put-right")],
    )  # fmt: skip
    def test_under_a_flat_ceiling_the_survey_tolerance_decides(self, top: float, verdict: str | None) -> None:
        found = wrong(edge(box_kit("tall", 300, 300, top), 1200, 900))

        assert [f.verdict for f in found] == ([verdict] if verdict else [])

    def test_too_high_is_told_with_the_height_there_is(self) -> None:
        finding = only(edge(box_kit("tall", 300, 300, 2450), 1200, 900))

        assert (finding.against, finding.short) == (("ceiling",), 50)
        assert finding.message == "The ceiling is 50 mm too low for the tall: it is 2,400 mm up there."

    def test_a_little_room_under_a_beam_is_looked_at_again(self) -> None:
        beam = {"area_mm": [[1500, 0], [1650, 0], [1650, 1800], [1500, 1800]], "soffit_mm": 804}
        finding = only(edge(TANK, 1300, 900, room={"ceiling": {"height_mm": 2400, "beams": [beam]}}))

        assert (finding.verdict, finding.against, finding.found, finding.short) == ("look-again", ("beam",), 4, 0)
        assert finding.message.startswith("Only 4 mm is left between the tank and the beam.")

    @pytest.mark.parametrize(("x", "faults"), [(1200, 0), (1201, 1)])
    def test_beside_a_beam_is_not_under_it(self, x: float, faults: int) -> None:
        beam = {"area_mm": [[1500, 0], [1650, 0], [1650, 1800], [1500, 1800]], "soffit_mm": 700}

        assert len(wrong(edge(TANK, x, 900, room={"ceiling": {"height_mm": 2400, "beams": [beam]}}))) == faults

    def test_a_slope_counts_at_its_lowest_point_over_the_piece(self) -> None:
        finding = only(
            edge(box_kit("box", 400, 200, 1500), 900, 500, room={"ceiling": {"height_mm": 2400, "slopes": [SOFFIT]}})
        )

        assert finding.against == ("soffit",)
        assert finding.short == pytest.approx(1500 - (2300 - 1600 / 1900 * 1100))

    def test_kit_on_the_ceiling_touches_it(self) -> None:
        alarm = box_kit("alarm", 100, 100, 50, stands_on="ceiling", base_mm=2350)

        assert wrong(edge(alarm, 1200, 900)) == []

    def test_an_unmeasured_ceiling_is_not_checked_once(self) -> None:
        found = findings(
            "room-edge", [TANK], [piece(TANK, 600, 900), piece(TANK, 1500, 900, id="b")], ceiling={"height_mm": None}
        )

        assert [(f.verdict, f.against) for f in found if f.verdict != "no-fault"] == [("not-checked", ("ceiling",))]
        assert found[-1].question.startswith("How high is the ceiling")

    def test_a_ceiling_known_in_part_is_not_checked_but_its_slopes_are(self) -> None:
        room = {"ceiling": {"height_mm": None, "slopes": [SOFFIT]}}
        found = edge(box_kit("box", 400, 200, 1500), 900, 500, room=room)

        assert [f.verdict for f in found] == ["put-right", "not-checked"]
        assert "only slopes and beams were checked" in found[-1].message

    def test_slopes_over_the_whole_floor_make_a_known_ceiling(self) -> None:
        room = [[0, 0], [2400, 0], [2400, 1800], [0, 1800]]
        roof = {**SOFFIT, "area_mm": room, "through_mm": [[0, 0, 2500], [2400, 0, 2500], [0, 1800, 2100]]}
        found = edge(TANK, 1200, 900, room={"ceiling": {"height_mm": None, "slopes": [roof]}})

        assert [f.verdict for f in found] == ["no-fault"]


class TestFixtures:
    def test_a_piece_beside_or_above_a_fixture_is_no_fault(self) -> None:
        assert wrong(edge(TANK, 500, 500, room={"fixtures": [BOXING]})) == []
        assert wrong(edge(TANK, 300, 500, base_mm=600, room={"fixtures": [BOXING]})) == []

    def test_a_piece_in_a_fixture_is_put_right(self) -> None:
        finding = only(edge(TANK, 480, 500, room={"fixtures": [BOXING]}))

        assert (finding.against, finding.short) == (("f1",), 20)
        assert finding.message == "20 mm of the tank is inside the boxing."


class TestFloor:
    def test_a_base_below_the_floor_is_put_right(self) -> None:
        finding = only(edge(TANK, 1200, 900, base_mm=-20))

        assert (finding.against, finding.short, finding.message) == (
            ("floor",),
            20,
            "20 mm of the tank is in the floor.",
        )

    def test_tails_below_the_floor_are_put_right(self) -> None:
        hung = box_kit(
            "boiler", 440, 340, 700, stands_on="wall", sticks_out=[{"side": "below", "mm": 150, "what": "tails"}]
        )

        assert only(edge(hung, 1200, 1630, base_mm=100)).message == "50 mm of the boiler's tails is in the floor."

    def test_floor_kit_in_the_air_stands_on_nothing(self) -> None:
        finding = only(edge(TANK, 1200, 900, base_mm=60))

        assert (finding.topic, finding.short) == ("nothing-below", 60)
        assert finding.message == "The tank stands on nothing: its base is 60 mm above the floor."

    @pytest.mark.parametrize(("tray_mm", "faults"), [(60, 0), (56, 0), (64, 0), (50, 1)])
    def test_floor_kit_may_stand_on_a_tray(self, tray_mm: float, faults: int) -> None:
        tray = box_kit("tray", 650, 450, tray_mm)
        found = findings("room-edge", [TANK, tray], [piece(TANK, 1200, 900, base_mm=60), piece(tray, 1200, 900)])

        assert len([f for f in wrong(found) if f.topic == "nothing-below"]) == faults

    def test_floor_kit_may_stand_on_a_step(self) -> None:
        step = {**BOXING, "area_mm": [[900, 0], [1500, 0], [1500, 1800], [900, 1800]], "to_mm": 150}

        assert wrong(edge(TANK, 1200, 900, base_mm=150, room={"fixtures": [step]})) == []

    def test_a_tray_beside_it_carries_nothing(self) -> None:
        tray = box_kit("tray", 600, 400, 60)
        found = findings("room-edge", [TANK, tray], [piece(TANK, 1200, 1000, base_mm=60), piece(tray, 1200, 600)])

        assert [f.topic for f in wrong(found)] == ["nothing-below"]

    def test_a_kind_with_legs_stands_at_its_own_height(self) -> None:
        assert wrong(edge(box_kit("cistern", 600, 400, 800, base_mm=100), 1200, 900)) == []


def test_only_the_asked_pieces_are_looked_at() -> None:
    scene = sample_scene([TANK], [piece(TANK, 260, 900), piece(TANK, 2200, 900, id="b")], ceiling={"height_mm": None})

    assert {f.pieces for f in room_edge.find(scene, frozenset({"b"}))} == {("b",)}
