from math import sqrt
from typing import Any

import pytest

from geometry.check import Finding
from geometry.samples import box_kit, piece, round_kit
from tests.checks.found import Data, findings, only

SHELF = box_kit("shelf", 600, 300, 400, name="Shelving")
SOFFIT = {"name": "soffit", "area_mm": [[0, 0], [2400, 0], [2400, 1800], [0, 1800]],
          "through_mm": [[0, 0, 400], [2400, 0, 400], [0, 1800, 1300]]}  # fmt: skip
DOOR = {"id": "d1", "edge": 0, "from_mm": 800, "clear_mm": 700, "head_mm": 1981}
SIDES = {
    # in the room of 2,400 by 1,800 a box of 600 by 400 at (1200, 1000) facing the reader
    "front": (800, "edge:0"), "behind": (600, "edge:2"), "left": (900, "edge:3"), "right": (900, "edge:1"),
    "above": (1600, "ceiling"), "below": (0, "floor"),
}  # fmt: skip
AFTER_A_QUARTER_TURN = {"front": "right", "right": "behind", "behind": "left", "left": "front"}


def boiler(side: str = "front", mm: float = 600, **space: Any) -> Data:
    return box_kit("boiler", 600, 400, 800, space=[{"side": side, "mm": mm, **space}])


def space(kinds: list[Data], pieces: list[Data], **room: Any) -> list[Finding]:
    return findings("service-space", kinds, pieces, **room)


def front(gap: float, need: str = "must", tolerance: float = 10, **more: Any) -> list[Finding]:
    """A boiler that needs 600 mm in front, and shelving that far before it."""
    kind = boiler(need=need)
    pieces = [piece(kind, 1200, 1600), piece(SHELF, 1200, 1400 - gap - 150, **more)]
    return space([kind, SHELF], pieces, tolerance_mm=tolerance)


@pytest.mark.parametrize("side", SIDES)
def test_each_side_is_measured_to_the_edge_of_the_room(side: str) -> None:
    there, ref = SIDES[side]
    kind = boiler(side, there + 1)
    finding = only(space([kind], [piece(kind, 1200, 1000)]))

    assert (finding.verdict, finding.side, finding.against) == ("put-right", side, (ref,))
    assert (finding.needed, finding.found, finding.short) == (there + 1, there, 1)


@pytest.mark.parametrize("side", AFTER_A_QUARTER_TURN)
def test_sides_turn_with_the_piece(side: str) -> None:
    there, ref = SIDES[AFTER_A_QUARTER_TURN[side]]
    kind = box_kit("boiler", 400, 600, 800, space=[{"side": side, "mm": there + 1}])
    finding = only(space([kind], [piece(kind, 1200, 1000, 90)]))

    assert (finding.found, finding.against) == (there, (ref,))


@pytest.mark.parametrize(
    ("gap", "verdict"),
    [(599, "put-right"), (599.99, "put-right"), (600, "look-again"), (604, "look-again"), (609, "look-again"),
     (609.9, "look-again"), (610, "no-fault"), (700, "no-fault")],
)  # fmt: skip
def test_the_margin_against_the_survey_tolerance_decides(gap: float, verdict: str) -> None:
    finding = only(front(gap))

    assert (finding.verdict, finding.found) == (verdict, pytest.approx(gap))
    assert finding.short == pytest.approx(max(0, 600 - gap))


@pytest.mark.parametrize(
    ("tolerance", "verdict"), [(0, "no-fault"), (4, "no-fault"), (5, "look-again"), (25, "look-again")]
)
def test_the_survey_tolerance_is_the_rooms_own(tolerance: float, verdict: str) -> None:
    assert only(front(604, tolerance=tolerance)).verdict == verdict


def test_without_tolerance_touching_the_limit_is_no_fault() -> None:
    assert only(front(600, tolerance=0)).verdict == "no-fault"


@pytest.mark.parametrize(("gap", "verdict"), [(300, "look-again"), (604, "look-again"), (610, "no-fault")])
def test_a_space_that_should_be_there_is_never_put_right(gap: float, verdict: str) -> None:
    assert only(front(gap, "should")).verdict == verdict


def test_the_message_says_what_leaves_how_much() -> None:
    assert only(front(310)).message == "Boiler needs 600 mm in front; the shelving leaves 310 mm."
    assert only(front(0)).message == "Boiler needs 600 mm in front; the shelving leaves nothing."
    assert only(front(700)).message == "Boiler needs 600 mm in front; 700 mm is there."


def test_a_hair_too_little_is_not_rounded_up_to_enough() -> None:
    assert only(front(599.7)).message == "Boiler needs 600 mm in front; the shelving leaves 599.7 mm."


def test_inside_the_tolerance_somebody_has_to_measure_again() -> None:
    assert only(front(604)).message == (
        "Boiler needs 600 mm in front; 604 mm is there to the shelving. "
        "That is inside the survey tolerance: measure again."
    )


def test_a_movable_thing_in_the_way_is_moved_first() -> None:
    finding = only(front(310, hold="movable"))

    assert (finding.verdict, finding.topic, finding.against) == ("look-again", "move-first", ("shelf",))
    assert finding.message.endswith("the shelving leaves 310 mm. It can be moved: move the shelving first.")


def test_behind_a_movable_thing_the_fixed_one_still_counts() -> None:
    kind = boiler(mm=1500)
    pieces = [piece(kind, 1200, 1600), piece(SHELF, 1200, 900, hold="movable")]

    assert [(f.verdict, f.against) for f in space([kind, SHELF], pieces)] == [
        ("put-right", ("edge:0",)), ("look-again", ("shelf",)),
    ]  # fmt: skip


def test_a_movable_thing_behind_a_fixed_one_is_not_told() -> None:
    kind = boiler(mm=1300)
    fixed, loose = piece(SHELF, 1200, 1100, id="a"), piece(SHELF, 1200, 600, id="b", hold="movable")

    assert [f.against for f in space([kind, SHELF], [piece(kind, 1200, 1600), fixed, loose])] == [("a",)]


def test_what_moves_with_effort_stands_in_the_way() -> None:
    assert only(front(310, hold="with-effort")).verdict == "put-right"


def test_the_reason_is_the_kinds_own() -> None:
    kind = boiler(why="the case comes off forwards")

    assert only(space([kind], [piece(kind, 1200, 1000)])).reason == "The case comes off forwards."


def test_kit_at_another_height_is_not_in_the_way() -> None:
    assert only(front(0, base_mm=800)).verdict == "no-fault"
    assert only(front(0, base_mm=799)).verdict == "put-right"


def test_a_space_may_be_needed_at_part_of_the_height_only() -> None:
    low = boiler(from_mm=0, to_mm=300)
    high = boiler(from_mm=400)
    shelf = {**SHELF, "height_mm": 350}
    for kind, verdict in ((low, "put-right"), (high, "no-fault")):
        found = space([kind, shelf], [piece(kind, 1200, 1600), piece(shelf, 1200, 1200)])

        assert only(found).verdict == verdict


def test_a_space_of_nothing_is_not_looked_at() -> None:
    kind = boiler(mm=0)

    assert space([kind], [piece(kind, 1200, 1000)]) == []


def test_a_changed_space_takes_its_basis_from_the_change() -> None:
    kind = boiler()
    changes = {"space_front_mm": {"value": 250, "basis": "manual"}}
    finding = only(space([kind], [piece(kind, 1200, 1000, changes=changes)]))

    assert (finding.needed, finding.basis, finding.verdict) == (250, "manual", "no-fault")


def test_what_sticks_out_of_other_kit_is_in_the_way() -> None:
    kind, tailed = boiler(), {**SHELF, "sticks_out": [{"side": "behind", "mm": 90, "what": "tail"}]}
    found = space([kind, tailed], [piece(kind, 1200, 1600), piece(tailed, 1200, 550)])

    assert only(found).found == 610


def test_a_fixture_is_in_the_way_at_its_height() -> None:
    kind, area = boiler(), [[1000, 900], [1100, 900], [1100, 1000], [1000, 1000]]
    for low, verdict in ((700, "put-right"), (800, "no-fault")):
        fixture = {"id": "f1", "name": "boxing", "area_mm": area, "from_mm": low, "to_mm": 2000}

        assert only(space([kind], [piece(kind, 1200, 1600)], fixtures=[fixture])).verdict == verdict


class TestRound:
    """The space of a round body is its sweep: a stadium, not a strip."""

    def drum(self, x: float, y: float, size: float = 100) -> Finding:
        drum = round_kit("drum", 500, 1000, space=[{"side": "front", "mm": 450}])
        post = box_kit("post", size, size, 500)
        return only(space([drum, post], [piece(drum, 1200, 1500), piece(post, x, y)]))

    def test_straight_in_front_it_is_the_gap(self) -> None:
        assert self.drum(1200, 850).found == pytest.approx(350)

    def test_beside_the_middle_the_rim_is_farther_back(self) -> None:
        # the post's near corner is 150 to the side of the middle, so the rim there is sqrt(250^2 - 150^2) = 200 ahead
        assert self.drum(1400, 850).found == pytest.approx(600 - sqrt(250**2 - 150**2))

    def test_beside_the_body_nothing_is_in_the_way(self) -> None:
        assert self.drum(1501, 1000).verdict == "no-fault"


class TestAbove:
    def above(self, mm: float, **room: Any) -> Finding:
        kind = boiler("above", mm)
        return only(space([kind], [piece(kind, 1200, 900)], **room))

    def test_the_lowest_thing_over_the_body_counts(self) -> None:
        beam = {"area_mm": [[1400, 0], [1550, 0], [1550, 1800], [1400, 1800]], "soffit_mm": 1200}
        finding = self.above(450, ceiling={"height_mm": 2400, "beams": [beam]})

        assert (finding.found, finding.against) == (400, ("beam",))

    def test_an_unmeasured_ceiling_is_a_question(self) -> None:
        finding = self.above(450, ceiling={"height_mm": None})

        assert (finding.verdict, finding.against, finding.found) == ("not-checked", ("ceiling",), None)
        assert finding.question == "How high is the ceiling over the boiler?"

    @pytest.mark.parametrize(("soffit", "verdict"), [(1200, "put-right"), (1300, "not-checked")])
    def test_a_beam_over_part_of_it_may_fail_but_never_pass(self, soffit: float, verdict: str) -> None:
        beam = {"area_mm": [[1400, 0], [1550, 0], [1550, 1800], [1400, 1800]], "soffit_mm": soffit}

        assert self.above(450, ceiling={"height_mm": None, "beams": [beam]}).verdict == verdict

    def test_kit_above_counts_and_kit_beside_does_not(self) -> None:
        kind = boiler("above", 450)
        for x, found in ((1200, 300), (1799, 300), (1801, 1600)):
            shelf = piece(SHELF, x, 900, base_mm=1100)

            assert only(space([kind, SHELF], [piece(kind, 1200, 900), shelf])).found == found


class TestSlopes:
    def test_a_soffit_that_comes_down_in_front_is_met_where_it_is_as_low_as_the_top(self) -> None:
        # 0.5 fall: 400 at the front wall, 800 high at y = 800; the front of the boiler stands at y = 1400
        kind = boiler(mm=700)
        finding = only(space([kind], [piece(kind, 1200, 1600)], ceiling={"height_mm": 2400, "slopes": [SOFFIT]}))

        assert (finding.against, finding.found) == (("soffit",), pytest.approx(600))

    def test_a_shallow_soffit_is_measured_without_allowance(self) -> None:
        # a fall of 1 in 20: half a millimetre of height would be ten of distance
        shallow = {**SOFFIT, "through_mm": [[0, 0, 760], [2400, 0, 760], [0, 1800, 850]]}
        kind = boiler(mm=700)
        finding = only(space([kind], [piece(kind, 1200, 1600)], ceiling={"height_mm": 2400, "slopes": [shallow]}))

        assert finding.found == pytest.approx(600)


class TestDoorways:
    """A space may run out through an open doorway: only where the clear opening is, and below its head."""

    def through(self, x: float, door: Data | None = None, **kind: Any) -> Finding:
        boiler = box_kit("boiler", 440, 340, 740, space=[{"side": "front", "mm": 600}], **kind)
        return only(space([boiler], [piece(boiler, x, 530)], doors=[{**DOOR, **(door or {})}]))

    def test_through_the_opening_the_space_goes_on(self) -> None:
        finding = self.through(1150)

        assert (finding.verdict, finding.found) == ("no-fault", None)
        assert finding.message == (
            "Boiler needs 600 mm in front; nothing stands in the way. "
            "The space runs out through door d1, which must stand open."
        )

    @pytest.mark.parametrize(
        ("x", "verdict"), [(1020, "no-fault"), (1019.6, "no-fault"), (1019, "put-right"), (1281, "put-right")]
    )
    def test_a_jamb_is_in_the_way(self, x: float, verdict: str) -> None:
        finding = self.through(x)

        assert finding.verdict == verdict
        assert finding.found == (360 if verdict == "put-right" else None)

    def test_above_the_head_is_wall(self) -> None:
        assert self.through(1150, base_mm=1242, stands_on="wall").found == 360
        assert self.through(1150, base_mm=1241, stands_on="wall").found is None

    def test_below_the_sill_is_wall(self) -> None:
        assert self.through(1150, {"sill_mm": 150}).found == 360

    def test_where_there_is_no_leaf_nothing_has_to_stand_open(self) -> None:
        assert self.through(1150, {"leaf": {"kind": "none"}}).message.endswith("The space runs out through door d1.")

    def test_a_space_that_ends_before_the_doorway_does_not_mention_it(self) -> None:
        kind = boiler(mm=300)
        found = space([kind], [piece(kind, 1150, 530)], doors=[DOOR])

        assert "door" not in only(found).message

    def test_the_wall_beyond_a_narrow_lobby_is_in_the_way(self) -> None:
        beyond = [[500, -500], [1900, -500], [1900, -100], [500, -100]]
        finding = self.through(1150, {"beyond_mm": beyond})

        assert (finding.verdict, finding.found) == ("no-fault", 860)
        kind = boiler(mm=900)
        far = only(space([kind], [piece(kind, 1150, 560)], doors=[{**DOOR, "beyond_mm": beyond}]))
        assert far.message.startswith("Boiler needs 900 mm in front; the wall beyond door d1 leaves 860 mm.")
