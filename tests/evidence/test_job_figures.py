"""Small jobs with numbers, as a fitter works them with a tape and a pencil.

Source of every expected value: derived by arithmetic from the sizes in the test, shown beside it. The sizes are typical
of common British kit (from memory).
"""

from math import pi
from typing import Any

import pytest

from geometry.check import Finding
from geometry.checking import check_room, check_scene
from geometry.checks.floor_load import pressure_kn_m2
from geometry.remedies import applied, look_for
from geometry.samples import box_kit, piece, round_kit, sample_room, sample_scene

Data = dict[str, Any]
BOILER = box_kit(
    "boiler", 440, 340, 740, stands_on="wall", base_mm=1200, dry_kg=36, space=[{"side": "front", "mm": 600}]
)
MACHINE = box_kit("machine", 600, 600, 850, dry_kg=70)
DOOR = {"id": "d1", "edge": 0, "from_mm": 500, "clear_mm": 610, "head_mm": 1981}
UNDER_STAIRS: Data = {
    "outline_mm": [[0, 0], [1900, 0], [1900, 900], [0, 900]],
    "doors": [{"id": "d1", "edge": 0, "from_mm": 120, "clear_mm": 680, "head_mm": 1900}],
    "ceiling": {"height_mm": 2300, "slopes": [{
        "name": "soffit", "area_mm": [[0, 0], [1900, 0], [1900, 900], [0, 900]],
        "through_mm": [[0, 0, 2300], [1900, 0, 700], [0, 900, 2300]],
    }]},
}  # fmt: skip


def room(width: float, depth: float) -> Data:
    return {"outline_mm": [[0, 0], [width, 0], [width, depth], [0, depth]]}


def found(kinds: list[Data], pieces: list[Data], check: str, **more: Any) -> list[Finding]:
    return [f for f in check_room(sample_room(kinds, pieces, **more)).findings if f.check == check]


class TestByHowMuch:
    """Every check says by how much, on which side, and between which two things."""

    def test_room_in_front_of_a_boiler_passes_with_10_to_spare(self) -> None:
        """950 - 340 = 610; 610 - 600 = 10, the whole survey tolerance."""
        (front,) = found([BOILER], [piece(BOILER, 1200, 780)], "service-space", **room(2400, 950))

        assert (front.verdict, front.found, front.short) == ("no-fault", 610, 0)

    def test_a_shelf_on_the_opposite_wall_takes_290_of_it(self) -> None:
        """610 - 300 = 310; 600 - 310 = 290."""
        shelf = box_kit("shelf", 800, 300, 300, stands_on="wall", base_mm=1500, dry_kg=8)
        pieces = [piece(BOILER, 1200, 780), piece(shelf, 1200, 150, 180)]
        (front,) = found([BOILER, shelf], pieces, "service-space", **room(2400, 950))

        assert (front.verdict, front.side, front.found, front.short) == ("put-right", "front", 310, 290)
        assert (front.pieces, front.against) == (("boiler",), ("shelf",))


class TestHeightBands:
    """Things may share plan if they share no height."""

    def over(self, base_mm: float, check: str) -> list[Finding]:
        boiler = {**BOILER, "space": [{"side": "below", "mm": 200}]}
        pieces = [piece(boiler, 1200, 1630, base_mm=base_mm), piece(MACHINE, 1200, 1500, hold="fixed")]
        return found([boiler, MACHINE], pieces, check)

    def test_a_boiler_over_a_machine_has_350_under_it(self) -> None:
        """1,200 - 850 = 350."""
        (below,) = self.over(1200, "service-space")

        assert below.found == 350
        assert {f.verdict for f in self.over(1200, "body-overlap")} == {"no-fault"}

    def test_a_boiler_at_800_shares_50_of_height_with_the_machine(self) -> None:
        """850 - 800 = 50."""
        (overlap,) = self.over(800, "body-overlap")

        assert overlap.message.endswith("340 mm deep in plan, 50 mm in height.")


def test_room_to_work_comes_with_its_reason() -> None:
    """700 wanted, the freezer's face at 150: 550 short."""
    tower = box_kit("tower", 600, 650, 1880, space=[{"side": "front", "mm": 700, "why": "front panels come off"}])
    freezer = box_kit("freezer", 600, 600, 1800)
    pieces = [piece(tower, 500, 1475), piece(freezer, 500, 700)]
    (front,) = found([tower, freezer], pieces, "service-space")

    assert (front.found, front.short, front.reason) == (150, 550, "Front panels come off.")


class TestDrawOut:
    def test_a_686_rod_at_the_top_under_457_of_headroom(self) -> None:
        """27 in is 686, 18 in is 457: 229 short."""
        rod = {"name": "immersion heater", "at_mm": [0, 0, 1500], "faces": "above",
               "draw_out": {"length_mm": 686, "round_mm": 60}}  # fmt: skip
        cylinder = round_kit("cylinder", 450, 1500, access=[rod])
        (up,) = found([cylinder], [piece(cylinder, 1200, 900)], "draw-out", ceiling={"height_mm": 1957})

        assert (up.verdict, up.found, up.short) == ("put-right", 457, 229)

    def test_two_valves_at_110_centres_leave_35_between_them(self) -> None:
        """110 - 75 = 35; 60 - 35 = 25."""
        valve = box_kit(
            "valve", 75, 75, 100, base_mm=1000, stands_on="wall", dry_kg=1, space=[{"side": "right", "mm": 60}]
        )
        pieces = [piece(valve, 1000, 1700, id="a"), piece(valve, 1110, 1700, id="b")]
        first = next(f for f in found([valve], pieces, "service-space") if f.pieces == ("a",))

        assert (first.found, first.short, first.against) == (35, 25, ("b",))


def test_under_the_stairs_a_consumer_unit_goes_113_through_the_soffit() -> None:
    """2,300 - 0.8421 x 1,060 = 1,407; 1,520 - 1,407 = 113."""
    unit = box_kit("unit", 360, 115, 240, base_mm=1280, stands_on="wall", dry_kg=4, name="Consumer unit")
    findings = found([unit], [piece(unit, 880, 842.5)], "room-edge", **UNDER_STAIRS)
    (finding,) = [f for f in findings if f.topic == "above"]

    assert (finding.verdict, finding.against) == ("put-right", ("soffit",))
    assert finding.short == pytest.approx(113, abs=0.5)
    assert finding.message == "The soffit is 113 mm too low for the consumer unit: it is 1,407 mm up there."


class TestSurvey:
    def test_4_to_spare_with_a_tolerance_of_10_is_measured_again(self) -> None:
        (front,) = found([BOILER], [piece(BOILER, 1200, 774)], "service-space", **room(2400, 944))

        assert (front.verdict, front.found) == ("look-again", 604)
        assert front.message.endswith("That is inside the survey tolerance: measure again.")

    def test_with_no_ceiling_height_nothing_above_passes(self) -> None:
        boiler = {**BOILER, "space": [{"side": "above", "mm": 250}]}
        findings = check_room(sample_room([boiler], [piece(boiler, 1200, 1630)], ceiling={"height_mm": None})).findings
        about = [f for f in findings if "ceiling" in f.against]

        assert {f.check for f in about} == {"room-edge", "service-space"}
        assert {f.verdict for f in about} == {"not-checked"}
        assert not [f for f in findings if f.side == "above" and f.verdict == "no-fault"]


def test_what_sticks_out_goes_40_into_the_wall_where_the_body_alone_would_pass() -> None:
    """The body is 50 from the wall and the overflow 90 long: 40."""
    tank = box_kit("tank", 700, 600, 900, sticks_out=[{"side": "right", "mm": 90, "what": "overflow"}])
    (finding,) = found([tank], [piece(tank, 2000, 900)], "room-edge")

    assert (finding.against, finding.short) == (("edge:1",), 40)
    assert finding.message == "40 mm of the tank's overflow is inside the right wall."
    bare = box_kit("tank", 700, 600, 900)
    assert [f.verdict for f in found([bare], [piece(bare, 2000, 900)], "room-edge")] == ["no-fault"]


class TestThroughTheDoor:
    """Room to work may run out through an open doorway, only where the opening is."""

    def front(self, off: float) -> Finding:
        """A boiler 440 wide, that far off the middle of the opening, with 360 of its 600 inside the room."""
        boiler = {**BOILER, "base_mm": 1000}
        pieces = [piece(boiler, 805 + off, 530)]
        (front,) = found([boiler], pieces, "service-space", doors=[DOOR], **room(1600, 700))
        return front

    def test_150_off_the_middle_a_strip_of_65_is_behind_the_jamb(self) -> None:
        """150 + 440 / 2 - 610 / 2 = 65; at the threshold 360 are there and 240 are missing."""
        front = self.front(150)

        assert (front.verdict, front.against, front.found, front.short) == ("put-right", ("edge:0",), 360, 240)
        assert self.front(150 - 65).verdict == "no-fault"
        assert self.front(150 - 64).verdict == "put-right"

    @pytest.mark.parametrize(
        ("off", "verdict"), [(0, "no-fault"), (85, "no-fault"), (-85, "no-fault"), (-86, "put-right")]
    )
    def test_in_the_middle_there_are_85_on_each_side(self, off: float, verdict: str) -> None:
        """(610 - 440) / 2 = 85."""
        assert self.front(off).verdict == verdict


def test_the_smallest_move_brings_a_rod_65_to_the_right_into_the_doorway() -> None:
    """The rod is 90 wide from 225 to 315, the opening begins at 290: 290 - 225 = 65."""
    rod = {"name": "immersion heater", "at_mm": [0, -250, 360], "draw_out": {"length_mm": 450, "round_mm": 90}}
    cylinder = round_kit("cylinder", 500, 1580, access=[rod])
    door = {"id": "d1", "edge": 0, "from_mm": 290, "clear_mm": 620, "head_mm": 1950}
    scene = sample_scene([cylinder], [piece(cylinder, 270, 430)], doors=[door], **room(1150, 700))
    (wrong,) = [f for f in check_scene(scene) if f.verdict == "put-right"]
    remedy = look_for(scene, wrong).remedy

    assert (wrong.check, wrong.found, wrong.short) == ("draw-out", 180, 270)
    assert remedy is not None
    assert (remedy.move_mm, remedy.turn_deg) == ((65, 0), 0)
    assert [f for f in check_scene(applied(scene, remedy)) if f.verdict == "put-right"] == []


class TestWeight:
    """A 300 L cylinder of 62 kg: 62 + 300 = 362 kg full."""

    def test_on_its_own_base_it_presses_with_14_9_and_is_a_question(self) -> None:
        """362 x 9.81 / 1,000 / (pi x 0.275^2) = 14.9 kN/m2."""
        cylinder = round_kit("cylinder", 550, 2080, dry_kg=62, water_l=300)
        findings = found([cylinder], [piece(cylinder, 1200, 900)], "floor-load")
        (finding,) = [f for f in findings if f.pieces]

        assert finding.verdict == "not-checked"
        assert finding.found == pytest.approx(14.9, abs=0.05)
        assert "engineer" in finding.title
        assert "362 kg full" in finding.message

    def test_on_a_board_of_800_it_presses_with_5_5(self) -> None:
        """362 x 9.81 / 1,000 / 0.64 = 5.5 kN/m2."""
        assert pressure_kn_m2(362, 800 * 800) == pytest.approx(5.5, abs=0.05)

    def test_a_250_litre_one_presses_with_12_6(self) -> None:
        """(54 + 250) x 9.81 / 1,000 / (pi x 0.275^2) = 12.6 kN/m2."""
        assert pressure_kn_m2(304, pi * 275**2) == pytest.approx(12.6, abs=0.05)
