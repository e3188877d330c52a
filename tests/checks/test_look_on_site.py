from typing import Any

import pytest

from geometry.check import Finding
from geometry.checks import look_on_site
from geometry.samples import box_kit, piece, sample_scene
from tests.checks.found import Data, findings, only

MEASURED = {"basis": "measured"}


def ask(kind: Data, pieces: int = 1, **room: Any) -> dict[str, Finding]:
    """The questions by their topic."""
    placed = [piece(kind, 500 + 400 * i, 900, id=f"p{i}") for i in range(pieces)]
    return {finding.topic: finding for finding in findings("look-on-site", [kind], placed, **room)}


def test_every_answer_is_a_question_that_is_not_checked() -> None:
    asked = ask(box_kit("boiler", traits=["gas", "electrical", "unvented-store"], stands_on="wall", base_mm=1000))

    assert {f.verdict for f in asked.values()} == {"not-checked"}
    assert all(f.question.endswith("?") and f.message == f.question for f in asked.values())


@pytest.mark.parametrize("basis", ["typical", "memory"])
def test_typical_sizes_ask_for_the_makers_manual(basis: str) -> None:
    assert ask(box_kit("tank", basis=basis))["manuals"].question == (
        "Has the maker's manual been read for kit with typical sizes: tank?"
    )


@pytest.mark.parametrize("basis", ["manual", "measured"])
def test_sizes_that_were_read_or_measured_do_not(basis: str) -> None:
    assert ask(box_kit("tank", basis=basis)) == {}


@pytest.mark.parametrize(
    ("trait", "topic"), [("gas", "gas"), ("unvented-store", "unvented"), ("electrical", "electricity")]
)
def test_a_trait_asks_its_question(trait: str, topic: str) -> None:
    assert list(ask(box_kit("box", traits=[trait], **MEASURED))) == [topic]


def test_kit_on_a_wall_asks_what_is_in_the_wall() -> None:
    assert list(ask(box_kit("box", stands_on="wall", dry_kg=5, **MEASURED))) == ["hidden"]


def test_one_question_names_every_piece_once() -> None:
    finding = ask(box_kit("tank"), pieces=2)["manuals"]

    assert finding.pieces == ("p0", "p1")
    assert finding.question.endswith(": tank 1 and tank 2?")


def test_a_door_to_come_is_asked_about() -> None:
    door = {"id": "d1", "edge": 0, "from_mm": 300, "clear_mm": 700, "planned": True}

    assert only(findings("look-on-site", [], [], doors=[door])).question == (
        "Door d1 is still to come: will it be as drawn?"
    )
    assert findings("look-on-site", [], [], doors=[{**door, "planned": False}]) == []


def test_a_look_at_some_pieces_only_asks_nothing() -> None:
    tank = box_kit("tank")

    assert list(look_on_site.find(sample_scene([tank], [piece(tank, 500, 900)]), frozenset({"tank"}))) == []


def test_what_nobody_could_measure_is_asked_for_by_its_name() -> None:
    door = {"id": "d1", "edge": 0, "from_mm": 100, "clear_mm": 700}
    missing = [
        {"of": "d1", "what": "clear width", "taken_mm": 700},
        {"of": "edge:2", "what": "length"},
        {"of": "edge:9", "what": "length"},
    ]
    found = [f.question for f in look_on_site.find(sample_scene([], [], doors=[door], not_measured=missing))]

    assert found == [
        "What does the tape say: clear width of door d1, drawn as 700 mm meanwhile?",
        "What does the tape say: length of the back wall?",
    ]
