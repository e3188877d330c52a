import json
import re
from random import Random
from typing import Any

import pytest

from geometry.check import (
    Finding,
    Where,
    area,
    judge,
    mm,
    order,
    tidy,
    with_title,
)
from geometry.checking import check_room, check_scene
from geometry.checks import CHECKS, ORDER
from geometry.reading import room_from
from geometry.room import Accepted
from geometry.samples import box_kit, piece, sample_room, sample_scene
from geometry.scene import build
from geometry.shapes import Sweep, box, disc
from geometry.units import whole_mm
from geometry.words import named, obstacle, start, the, towards, wall_name, within
from tests.geometry.random_rooms import random_room
from tests.geometry.whole_room import WHOLE

TANK = box_kit("tank", 600, 400, 800, dry_kg=40)
PROMISES = {"complies", "compliant", "safe", "approved", "certified", "guaranteed"}


def in_the_wall(**more: Any) -> dict[str, Any]:
    return piece(TANK, 260, 900, **more)


def accepted(check: str = "room-edge", about: tuple[str, ...] = ("tank",)) -> list[dict[str, Any]]:
    return [{"check": check, "about": list(about), "by": "A. Fitter", "reason": "wall is cut back", "on": "2026-11-25"}]


class TestVerdict:
    @pytest.mark.parametrize(
        ("margin", "must", "should"),
        [(-50, "put-right", "look-again"), (-0.001, "put-right", "look-again"), (0, "look-again", "look-again"),
         (9, "look-again", "look-again"), (9.99, "look-again", "look-again"), (10, "no-fault", "no-fault"),
         (11, "no-fault", "no-fault")],
    )  # fmt: skip
    def test_short_is_put_right_and_inside_the_tolerance_looked_at_again(
        self, margin: float, must: str, should: str
    ) -> None:
        assert (judge(margin, 10), judge(margin, 10, "should")) == (must, should)

    def test_the_noise_of_adding_fractions_changes_no_verdict(self) -> None:
        assert judge(0.1 + 0.2 - 0.3 - 1e-12, 0) == "no-fault"
        assert judge(10 - 1e-12, 10) == "no-fault"


class TestOrder:
    def test_worst_first_then_checks_then_shortage_then_ids(self) -> None:
        findings = [
            Finding("b", "no-fault", "1"), Finding("a", "put-right", "2", ("p2",), short=5),
            Finding("a", "put-right", "3", ("p1",), short=5), Finding("b", "put-right", "4", ("p0",), short=900),
            Finding("a", "not-checked", "5"), Finding("a", "put-right", "6", ("p9",), short=50),
            Finding("a", "look-again", "7"),
        ]  # fmt: skip

        assert [f.message for f in order(findings, ("a", "b"))] == list("6324751")

    def test_what_is_accepted_comes_after_the_others_of_its_verdict(self) -> None:
        taken = Accepted(check="a", by="J. Smith", on="2026-11-25", reason="the owner knows")
        findings = [
            Finding("a", "put-right", "1", short=900, accepted=taken), Finding("b", "look-again", "2"),
            Finding("b", "put-right", "3", short=5),
        ]  # fmt: skip

        assert [f.message for f in order(findings, ("a", "b"))] == list("312")

    def test_a_danger_comes_before_what_is_trapped_and_that_before_elbow_room(self) -> None:
        danger = ("flue-terminal", "compartment-air", "discharge", "kit-list", "wet-above-electrics", "floor-load")
        trapped, elbow = ("body-overlap", "room-edge", "way-out"), ("service-space", "tool-swing", "walkway", "reach")
        found = [Finding(check, "put-right", "") for check in (*elbow, "look-on-site", *trapped, *danger)]

        places = [f.check for f in order(found, ORDER)]

        assert set(places[:6]) == set(danger)
        assert set(places[6:9]) == set(trapped)
        assert places[-1] == "look-on-site"

    def test_every_finding_of_a_room_is_in_order(self) -> None:
        for seed in range(6):
            findings = check_room(room_from(random_room(seed))).findings

            assert list(findings) == order(Random(seed).sample(findings, len(findings)), ORDER)


class TestResult:
    def test_all_four_verdicts_are_counted_always(self) -> None:
        assert check_room(sample_room([], [])).counts == {
            "put-right": 0,
            "look-again": 0,
            "no-fault": 0,
            "not-checked": 0,
        }

    def test_counts_are_those_of_the_findings(self) -> None:
        result = check_room(room_from(random_room(3)))

        assert sum(result.counts.values()) == len(result.findings)
        assert result.counts["put-right"] == sum(f.verdict == "put-right" for f in result.findings)

    def test_plain_values_say_room_rules_and_findings(self) -> None:
        told = check_room(sample_room([TANK], [in_the_wall()])).as_json()

        assert list(told) == ["room", "rules", "tolerance_mm", "counts", "findings"]
        assert (told["room"], told["rules"]["pack"], told["tolerance_mm"]) == ("Sample room", "england", 10)
        assert told["findings"][0] | {"reason": "", "where": {}, "source": {}} == {
            "check": "room-edge", "verdict": "put-right", "title": "Tank is in the wall", "pieces": ["tank"],
            "against": ["edge:3"], "side": None, "needed": 0, "found": -40, "short": 40, "unit": "mm",
            "message": "40 mm of the tank is inside the left wall.", "reason": "", "question": "", "basis": "typical",
            "source": {}, "where": {}, "remedy": None, "accepted": None,
        }  # fmt: skip

    def test_plain_values_are_json_with_finite_numbers(self) -> None:
        for seed in range(6):
            assert json.dumps(check_room(room_from(random_room(seed))).as_json(), allow_nan=False)

    def test_every_finding_has_a_title_a_message_a_reason_and_a_source(self) -> None:
        for f in check_room(room_from(WHOLE)).findings:
            assert f.title and f.message and f.reason and f.source, f
            assert f.message[0].isupper() or f.message[0].isdigit()
            assert f.message.endswith((".", "?"))

    def test_what_is_not_checked_does_not_read_as_a_pass_and_asks(self) -> None:
        titles = {check.title for check in CHECKS}
        room = room_from({**WHOLE, "ceiling": {"height_mm": None}})
        not_checked = [f for f in check_room(room).findings if f.verdict == "not-checked"]

        assert not_checked
        assert all(f.title not in titles and f.question.endswith("?") for f in not_checked)

    def test_no_finding_promises_anything(self) -> None:
        for seed in range(20):
            findings = check_room(room_from(random_room(seed))).findings
            said = " ".join(f"{f.title} {f.message} {f.reason} {f.question}" for f in findings).lower()

            assert PROMISES.isdisjoint(re.findall(r"[a-z]+", said))

    def test_only_the_asked_pieces_are_looked_at(self) -> None:
        scene = sample_scene([TANK], [in_the_wall(), piece(TANK, 2200, 900, id="b")])

        assert {f.pieces for f in check_scene(scene, frozenset({"b"}))} == {("b",)}

    def test_what_is_found_about_one_piece_is_what_is_found_in_the_whole(self) -> None:
        core = {"body-overlap", "room-edge", "service-space", "draw-out"}
        for seed in range(8):
            scene = build(room_from(random_room(seed)))
            every = [f.as_json() for f in check_scene(scene) if f.check in core and "p1" in f.pieces]

            assert [f.as_json() for f in check_scene(scene, frozenset({"p1"})) if f.check in core] == every


class TestAccepted:
    def first(self, **more: Any) -> Finding:
        return check_room(sample_room([TANK], [in_the_wall(**more)])).findings[0]

    def test_an_accepted_put_right_stays_a_put_right_with_a_name_on_it(self) -> None:
        finding = self.first(accepted=accepted())

        assert finding.verdict == "put-right"
        assert finding.accepted is not None
        assert (finding.accepted.by, finding.accepted.on) == ("A. Fitter", "2026-11-25")

    def test_an_acceptance_may_name_what_stands_in_the_way(self) -> None:
        assert self.first(accepted=accepted(about=("tank", "edge:3"))).accepted is not None

    def test_an_acceptance_of_something_else_is_none(self) -> None:
        assert self.first(accepted=accepted(about=("tank", "edge:2"))).accepted is None
        assert self.first(accepted=accepted("service-space")).accepted is None
        assert self.first().accepted is None


class TestFigures:
    @pytest.mark.parametrize(
        ("value", "expected"), [(0.49, 0), (0.5, 1), (2.5, 3), (-2.5, -3), (1e5 - 0.5, 100_000), (12.5 - 1e-10, 13)]
    )
    def test_halves_round_away_from_zero_and_noise_does_not_matter(self, value: float, expected: int) -> None:
        assert whole_mm(value) == expected

    def test_lengths_have_commas_and_a_unit(self) -> None:
        assert (mm(1400.4), mm(-40), mm(0.2)) == ("1,400 mm", "-40 mm", "0 mm")

    def test_plain_numbers_are_whole_where_they_are_whole(self) -> None:
        assert [tidy(v) for v in (450.0, 0.1 + 0.2, -0.0, float("nan"), float("-inf"))] == [450, 0.3, 0, None, None]

    def test_places_are_drawn_as_rings(self) -> None:
        assert area(box(0, 0, 2, 1)) == ((0, 0), (2, 0), (2, 1), (0, 1))
        assert len(area(disc((0, 0), 100))) == 128
        assert Where((box(0, 0, 2, 2), box(1, 1, 3, 3)), 0, 1).area_mm == ((1, 1), (2, 1), (2, 2), (1, 2))
        assert sorted(Where(Sweep(box(0, 0, 1, 1), (0, 1, 0), 4), 0, 1).area_mm) == [(0, 0), (0, 5), (1, 0), (1, 5)]


class TestWords:
    def test_names_inside_a_sentence_begin_small_unless_they_are_letters_or_codes(self) -> None:
        names = {"Wall boiler": "wall boiler", "CO alarm": "CO alarm", "E1 boiler": "E1 boiler", "X": "x"}

        assert [within(name) for name in names] == list(names.values())
        assert [start(name) for name in ("wall boiler", "")] == ["Wall boiler", ""]

    def test_numbered_things_go_without_an_article(self) -> None:
        assert [the(name) for name in ("Tank", "Tank 2", "Tank 2's tail", "The tank")] == [
            "the tank",
            "tank 2",
            "tank 2's tail",
            "the tank",
        ]

    def test_everything_in_a_room_is_named_as_people_name_it(self) -> None:
        scene = build(room_from(WHOLE))
        refs = ["p1", "d1", "w1", "f1", "edge:2", "soffit", "ceiling", "floor"]

        assert [named(scene, ref) for ref in refs] == [
            "the cylinder", "door d1", "window w1", "the boxed soil stack", "the back wall", "the soffit",
            "the ceiling",
            "the floor",
        ]  # fmt: skip
        assert obstacle(scene, "d1") == "the wall beyond door d1"

    def test_walls_that_face_the_same_way_have_letters(self) -> None:
        l_room = [[0, 0], [2400, 0], [2400, 900], [1400, 900], [1400, 1800], [0, 1800]]
        scene = sample_scene([], [], outline_mm=l_room)

        assert [wall_name(scene, i) for i in range(6)] == [
            "the front wall", "wall b", "wall c", "wall d", "wall e", "the left wall",
        ]  # fmt: skip

    @pytest.mark.parametrize(
        ("move", "way"),
        [((50, 0), "to the right"), ((-50, 0), "to the left"), ((0, 50), "towards the back"),
         ((0, -50), "towards the front"), ((-50, 20), "to the left and 20 mm towards the back")],
    )  # fmt: skip
    def test_ways_are_those_of_the_plan(self, move: tuple[float, float], way: str) -> None:
        assert towards(sample_scene([], []), (1200, 900), move) == way

    def test_a_way_to_the_door_is_called_that(self) -> None:
        scene = sample_scene([], [], doors=[{"id": "d1", "edge": 0, "from_mm": 900, "clear_mm": 700}])

        assert towards(scene, (1250, 900), (0, -50)) == "towards the door"


@pytest.mark.parametrize(("verdict", "short", "title"), [
    ("look-again", 0.0, "Tight: measure again"), ("look-again", 40.0, CHECKS[0].failing_title),
    ("look-again", None, CHECKS[0].failing_title), ("no-fault", 0.0, CHECKS[0].title),
])  # fmt: skip
def test_what_is_tight_is_told_by_its_figures_and_not_by_its_words(
    verdict: Any, short: float | None, title: str
) -> None:
    said = "The lid is inside the survey tolerance: measure again."

    told = [
        with_title(Finding(CHECKS[0].id, verdict, words, short=short), CHECKS[0], CHECKS[0].source).title
        for words in (said, "It fits.")
    ]

    assert told == [title, title]
