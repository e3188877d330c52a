"""Rule packs: every figure says where it is from, how it stands and when it was read."""

from typing import get_args

import pytest

from geometry.rules import Figure, RulePack, Standing, rule_pack

PACKS = ("england", "scotland")
FIGURES = [(key, figure) for key in PACKS for figure in rule_pack(key).figures.values()]


@pytest.mark.parametrize(("pack", "figure"), FIGURES, ids=lambda value: getattr(value, "key", value))
def test_every_figure_has_a_document_a_standing_a_unit_and_the_day_it_was_read(pack: str, figure: Figure) -> None:
    assert figure.source.document
    assert figure.source.standing in get_args(Standing)
    assert figure.unit
    assert figure.read_on == "2026-11-25"


@pytest.mark.parametrize(("pack", "figure"), FIGURES, ids=lambda value: getattr(value, "key", value))
def test_guidance_and_law_name_their_edition(pack: str, figure: Figure) -> None:
    assert figure.source.edition or figure.source.standing not in ("law", "guidance")


@pytest.mark.parametrize("pack", PACKS)
def test_a_pack_says_what_it_is_and_when_it_was_read(pack: str) -> None:
    assert rule_pack(pack).key == pack
    assert "25 November 2026" in rule_pack(pack).edition


@pytest.mark.parametrize("key", [f.key for f in rule_pack("england").figures.values() if "reprint" in f.note])
def test_a_figure_read_in_a_reprint_asks_for_the_current_edition(key: str) -> None:
    assert "check the current edition" in rule_pack("england").figure(key).note


def test_the_superseded_and_the_misprinted_length_are_noted_beside_the_one_in_force() -> None:
    figure = rule_pack("england").figure("discharge-valve-to-tundish")

    assert figure.value == 600
    assert "500 mm" in figure.note and "750 mm" in figure.note


def test_scotland_has_every_figure_of_england() -> None:
    assert set(rule_pack("england").figures) <= set(rule_pack("scotland").figures)


def test_in_scotland_a_figure_of_the_english_document_is_common_practice_and_says_so() -> None:
    england, scotland = (rule_pack(key).figure("discharge-fall") for key in PACKS)

    assert england.source.standing == "guidance"
    assert scotland.source.standing == "common practice"
    assert scotland.value == england.value
    assert scotland.note.startswith("England's figure.")


def test_a_figure_from_another_document_stands_in_scotland_as_it_does_in_england() -> None:
    england, scotland = (rule_pack(key).figure("condensate-fall") for key in PACKS)

    assert scotland == england


def test_the_overflow_kit_is_larger_in_scotland() -> None:
    sizes = [rule_pack(key).number("overflow-kit") for key in PACKS]

    assert sizes == [22, 38]


@pytest.mark.parametrize(("key", "value"), [
    ("cistern-space-above", 350), ("cistern-platform-beyond", 150), ("condensate-fall", 45),
    ("condensate-run-outside", 3000), ("condensate-bore-inside", 19), ("condensate-bore-outside", 30),
    ("lift-one-person", 20), ("lift-each-further-person", 0.75),
])  # fmt: skip
def test_the_figures_that_other_checks_ask_for_are_there(key: str, value: float) -> None:
    assert rule_pack("england").number(key) == value


def test_a_pack_that_is_not_there_is_an_error_that_names_its_file() -> None:
    with pytest.raises(FileNotFoundError, match="wales"):
        rule_pack("wales")


def test_one_figure_of_a_pack_can_be_looked_up_with_its_source() -> None:
    pack: RulePack = rule_pack("england")

    assert pack.source("discharge-straight-drop").as_json() == {
        "document": "Approved Document G, Sanitation, hot water safety and water efficiency",
        "clause": "3.56(a)", "edition": "2010", "standing": "guidance",
    }  # fmt: skip
