from math import sqrt
from typing import Any

import pytest

from geometry.check import Finding
from geometry.samples import box_kit, piece, round_kit
from tests.checks.found import Data, findings, only

POST = box_kit("post", 200, 200, 400)


def drawn(faces: str = "front", length: float = 450, round_mm: float = 60, at: list[float] | None = None) -> Data:
    """A cylinder of 550 by 1,500 with one rod."""
    rod = {"name": "immersion heater", "at_mm": at or [0, -275, 360], "faces": faces, "tool": "boss-spanner",
           "draw_out": {"length_mm": length, "round_mm": round_mm}}  # fmt: skip
    return round_kit("cylinder", access=[rod])


def draws(kinds: list[Data], pieces: list[Data], **room: Any) -> list[Finding]:
    return findings("draw-out", kinds, pieces, **room)


def before(gap: float, across: float = 0, base_mm: float = 0, **more: Any) -> list[Finding]:
    """The cylinder with its back towards the back wall, and a post that far before its rod."""
    kind = drawn()
    post = piece(POST, 1200 + across, 1500 - 275 - gap - 100, base_mm=base_mm, **more)
    return draws([kind, POST], [piece(kind, 1200, 1500), post])


@pytest.mark.parametrize(
    ("gap", "verdict"), [(449, "put-right"), (450, "look-again"), (459, "look-again"), (460, "no-fault")]
)
def test_the_margin_against_the_survey_tolerance_decides(gap: float, verdict: str) -> None:
    finding = only(before(gap))

    assert (finding.verdict, finding.needed, finding.found) == (verdict, 450, gap)
    assert finding.short == max(0, 450 - gap)


def test_the_message_names_the_rod_the_piece_and_what_is_in_the_way() -> None:
    assert only(before(425)).message == (
        "The immersion heater of the cylinder needs 450 mm to come out; the post leaves 425 mm."
    )
    assert only(before(700)).message.endswith("needs 450 mm to come out; 700 mm is there.")


@pytest.mark.parametrize(("across", "free"), [(129, False), (129.4, False), (129.5, True), (131, True)])
def test_a_rod_is_as_wide_as_its_diameter(across: float, free: bool) -> None:
    # the post is 200 wide and the rod 60: they brush past each other at 130, less the allowance
    assert (only(before(200, across)).verdict == "no-fault") is free


@pytest.mark.parametrize(("base", "free"), [(389, False), (389.6, True), (390, True)])
def test_a_rod_is_as_high_as_its_diameter(base: float, free: bool) -> None:
    # the rod is at 330 to 390 above the floor
    assert (only(before(200, base_mm=base)).verdict == "no-fault") is free


def test_a_round_thing_is_met_at_its_rim() -> None:
    kind, drum = drawn(), round_kit("drum", 400)
    found = draws([kind, drum], [piece(kind, 1200, 1500), piece(drum, 1350, 700)])

    # the rod's near edge passes 120 beside the middle of the drum, where its rim is 160 ahead
    assert only(found).found == pytest.approx(1225 - 700 - sqrt(200**2 - 120**2))


def test_the_piece_itself_is_not_in_the_way() -> None:
    tailed = {**drawn(), "sticks_out": [{"side": "front", "mm": 300, "from_mm": 200, "to_mm": 500, "what": "shelf"}]}

    assert only(draws([tailed], [piece(tailed, 1200, 1500)])).verdict == "no-fault"


def test_a_rod_turns_with_its_piece() -> None:
    kind = drawn()
    finding = only(draws([kind], [piece(kind, 1800, 900, 90)]))

    assert (finding.found, finding.against) == (2400 - 1800 - 275, ("edge:1",))


def test_a_movable_thing_is_moved_first() -> None:
    finding = only(before(200, hold="movable"))

    assert (finding.verdict, finding.against, finding.short) == ("look-again", ("post",), 250)
    assert finding.message.endswith("the post leaves 200 mm. It can be moved: move the post first.")


def test_two_rods_are_two_findings() -> None:
    kind = drawn()
    kind["access"].append({**kind["access"][0], "name": "anode", "at_mm": [0, 0, 1500], "faces": "above"})

    assert [f.topic for f in draws([kind], [piece(kind, 1200, 1500)])] == ["immersion heater", "anode"]


def test_an_access_point_without_a_draw_out_is_not_looked_at() -> None:
    kind = round_kit("cylinder", access=[{"name": "drain", "at_mm": [0, -275, 100]}])

    assert draws([kind], [piece(kind, 1200, 1500)]) == []


class TestUpright:
    def up(self, length: float, **room: Any) -> Finding:
        kind = drawn("above", length, 30, [100, 0, 1500])
        return only(draws([kind], [piece(kind, 1200, 900)], **room))

    def test_a_rod_that_comes_out_at_the_top_needs_the_ceiling_over_it(self) -> None:
        assert (self.up(901).verdict, self.up(901).found) == ("put-right", 900)
        assert self.up(890).verdict == "no-fault"

    def test_only_what_is_over_the_rod_counts(self) -> None:
        beam = {"area_mm": [[0, 0], [1280, 0], [1280, 1800], [0, 1800]], "soffit_mm": 1700}

        assert self.up(600, ceiling={"height_mm": 2400, "beams": [beam]}).found == 900

    def test_under_an_unmeasured_ceiling_it_is_a_question(self) -> None:
        finding = self.up(600, ceiling={"height_mm": None})

        assert (finding.verdict, finding.question) == ("not-checked", "How high is the ceiling over the cylinder?")

    def test_too_short_under_a_beam_is_wrong_even_if_the_ceiling_is_not_measured(self) -> None:
        beam = {"area_mm": [[0, 0], [1300, 0], [1300, 1800], [0, 1800]], "soffit_mm": 1700}

        assert self.up(600, ceiling={"height_mm": None, "beams": [beam]}).verdict == "put-right"
        assert self.up(200, ceiling={"height_mm": None, "beams": [beam]}).verdict == "not-checked"

    def test_a_rod_that_comes_out_below_needs_the_floor_under_it(self) -> None:
        kind = drawn("below", 300, 30, [0, 0, 0])
        finding = only(draws([kind], [piece(kind, 1200, 900, base_mm=250)]))

        assert (finding.found, finding.against, finding.short) == (250, ("floor",), 50)


def test_a_rod_may_come_out_through_a_doorway() -> None:
    kind = drawn(length=800)
    door = {"id": "d1", "edge": 0, "from_mm": 1100, "clear_mm": 200, "head_mm": 1981}

    assert only(draws([kind], [piece(kind, 1200, 700)], doors=[door])).verdict == "no-fault"
    assert only(draws([kind], [piece(kind, 1080, 700)], doors=[door])).found == 425


def test_the_place_drawn_is_the_way_of_the_rod() -> None:
    where = only(before(425)).where

    assert where is not None
    assert sorted(where.area_mm) == [(1170, 775), (1170, 1225), (1230, 775), (1230, 1225)]
    assert (where.from_mm, where.to_mm) == (330, 390)
