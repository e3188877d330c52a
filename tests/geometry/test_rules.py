"""Rule packs: every figure says where it is from, how it stands and when it was read; a room may have its own."""

import ast
import re
from pathlib import Path
from typing import Any, get_args

import pytest

from geometry.checking import check_room, source_of
from geometry.checks import CHECKS
from geometry.errors import UnreadableFile
from geometry.reading import read_room, write_room
from geometry.rules import Figure, RulePack, Standing, amount_of, pack_of, rule_pack
from geometry.samples import box_kit, piece, sample_room
from geometry.shelf import shelf

ROOT = Path(__file__).parent.parent.parent

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


def own(key: str, value: Any, note: str = "agreed with the inspector") -> dict[str, Any]:
    return {"key": key, "value": value, "note": note}


def test_a_room_s_own_figure_takes_the_place_of_the_pack_s_and_says_so() -> None:
    pack = pack_of(sample_room([], [], overrides=[own("discharge-valve-to-tundish", 500)]))

    figure = pack.figure("discharge-valve-to-tundish")

    assert (pack.number("discharge-valve-to-tundish"), figure.source.standing) == (500, "own figure")
    assert figure.source.clause.startswith("500 mm instead of 600 mm (Approved Document G")
    assert figure.note == "agreed with the inspector"
    assert rule_pack("england").number("discharge-valve-to-tundish") == 600


def test_a_range_is_overridden_by_a_range() -> None:
    pack = pack_of(sample_room([], [], overrides=[own("alarm-ring", [900, 3000])]))

    assert pack.range("alarm-ring") == (900, 3000)
    assert pack.overrides[0].told.startswith("Alarm ring: 900 to 3,000 mm instead of 1,000 to 3,000 mm")


@pytest.mark.parametrize(("override", "said"), [
    (own("discharge-fal", 100), 'have no figure "discharge-fal". Is "discharge-fall" meant?'),
    (own("colour", 100), 'have no figure "colour". Take it out, or correct its key.'),
    (own("discharge-table", 9), '"discharge-table" is not one number or a range'),
    (own("sight", 1), '"sight" is not one number or a range'),
    (own("alarm-ring", 1000), '"alarm-ring" should be two numbers in [ ], from and to, as in the pack: 1,000 to 3,000'),
    (own("lift-two", [40, 50]), '"lift-two" should be one number, as in the pack: 50 kg'),
    (own("discharge-fall", 0), '"discharge-fall" should be more than 0'),
    (own("lift-two", -1), '"lift-two" should be more than 0'),
    (own("alarm-ring", [3000, 1000]), '"alarm-ring" should be more than 0, and rise'),
    (own("lift-two", "60"), "this should be a number, or two in [ ] for a range"),
    (own("lift-two", 60, ""), "note: this is empty"),
])  # fmt: skip
def test_an_override_that_cannot_be_is_refused_with_what_to_do(override: dict[str, Any], said: str) -> None:
    with pytest.raises(UnreadableFile, match=re.escape(said)):
        sample_room([], [], overrides=[override])


@pytest.mark.parametrize(("key", "value"), [
    ("walkway-least", 1e-6), ("walkway-least", 1e6), ("alarm-ring", [0.5, 3000]), ("wet-above-electrics", 0.5),
])  # fmt: skip
def test_an_override_far_from_the_figure_of_the_pack_is_refused(key: str, value: Any) -> None:
    with pytest.raises(UnreadableFile, match="is far from the figure of the pack"):
        sample_room([], [], overrides=[own(key, value)])


def test_one_figure_is_overridden_once() -> None:
    with pytest.raises(UnreadableFile, match='"lift-two" is given twice'):
        sample_room([], [], overrides=[own("lift-two", 40), own("lift-two", 45)])


def test_a_figure_that_may_be_nothing_may_be_overridden_by_nothing() -> None:
    assert pack_of(sample_room([], [], overrides=[own("wet-above-electrics", 0)])).number("wet-above-electrics") == 0


def test_overrides_are_written_and_read_back() -> None:
    room = sample_room([], [], overrides=[own("alarm-ring", [900, 3000]), own("lift-two", 40)])

    assert read_room(write_room(room)) == room


def test_the_result_of_a_check_shows_edition_and_overrides_and_only_where_there_are_any() -> None:
    plain, changed = (check_room(sample_room([], [], overrides=o)).as_json() for o in ([], [own("lift-two", 40)]))

    assert list(plain["rules"]) == ["pack", "edition"]
    assert changed["rules"]["overrides"] == [
        {"key": "lift-two", "value": 40.0, "instead_of": 50, "unit": "kg", "note": "agreed with the inspector"}
    ]


def test_the_same_layout_passes_one_figure_and_fails_another() -> None:
    """560 mm from valve to tundish: at most 600 in the edition of 2010, 500 before it; short 60."""
    from tests.checks.discharge_room import found, room

    data = room(tundish={"at_mm": [1175, 2600], "base_mm": 1300 - 260 - 120})
    older = data | {"overrides": [own("discharge-valve-to-tundish", 500, "edition before 2010")]}

    new, old = (found(d, "valve-to-tundish") for d in (data, older))

    assert (new.verdict, new.found) == ("no-fault", pytest.approx(560))
    assert (old.verdict, old.short) == ("put-right", pytest.approx(60))
    assert old.source is not None and old.source.standing == "own figure"


def test_what_a_check_stands_on_is_the_room_s_pack_not_england_s() -> None:
    boiler = box_kit("boiler", traits=["gas", "hot"], dry_kg=30)
    scots = check_room(sample_room([boiler], [piece(boiler, 1200, 1600)], rules="scotland"))

    standings = {f.check: f.source.standing for f in scots.findings if f.source}

    assert standings["compartment-air"] == standings["flue-terminal"] == "common practice"
    check = next(check for check in CHECKS if check.id == "discharge")
    assert source_of(rule_pack("scotland"), check).standing == "common practice"
    assert source_of(rule_pack("england"), check) is check.source


@pytest.mark.parametrize(("value", "unit", "text"), [
    (600, "mm", "600 mm"), (1600.0, "mm", "1,600 mm"), ((1350, 1450), "mm", "1,350 to 1,450 mm"), (0.75, "", "0.75"),
])  # fmt: skip
def test_a_figure_is_told_with_its_unit(value: Any, unit: str, text: str) -> None:
    assert amount_of(value, unit) == text


def test_scotland_restates_every_document_that_is_england_s_alone() -> None:
    """Approved Documents are guidance for England."""
    scotland = rule_pack("scotland")
    english = [f for f in scotland.figures.values() if f.source.document.startswith("Approved Document")]

    assert english
    assert {f.source.standing for f in english} == {"common practice"}
    assert all("England's figure." in f.note for f in english)


CHECK_FILES = sorted((ROOT / "geometry" / "checks").glob("*.py"))
TUNING = {
    "_DISTANCES_MM": "where eyes are tried",
    "_TURNS_DEG": "where eyes are tried",
    "SHAVE_MM": "a disc that touches still passes",
    "_STEP_RAD": "how finely an arc is tried",
    "MOST_AT_ONCE": "how many pieces are tried together",
    "MOST_SETS": "how many sets of pieces are tried",
    "_GLANCES": "where eyes are tried",
    "_NATURAL_MM": "where eyes are tried first",
    "_HIGH_MM": "higher than any room",
    "_MARK_MM": "how large a mark is drawn",
    "_NAMED_AT_MOST": "how many pieces a sentence names",
    "_THIN_MM": "how thin a probe is",
}
"""Numbers that stand in a check and are no figure of a rule: they say how finely something is tried."""


@pytest.mark.parametrize("path", CHECK_FILES, ids=lambda path: path.stem)
def test_no_check_holds_a_figure_of_a_rule(path: Path) -> None:
    """Figures live in the packs, with their document; a constant of a check is a name, a word or tuning."""
    found = []
    for node in ast.parse(path.read_text()).body:
        if isinstance(node, (ast.Assign, ast.AnnAssign)) and node.value is not None:
            target = node.targets[0] if isinstance(node, ast.Assign) else node.target
            numbers = [n for n in ast.walk(node.value) if isinstance(n, ast.Constant) and type(n.value) in (int, float)]
            if numbers and isinstance(target, ast.Name) and target.id != "CHECK":
                found.append(target.id)

    assert set(found) <= set(TUNING)


@pytest.mark.parametrize("path", CHECK_FILES, ids=lambda path: path.stem)
def test_every_check_asks_the_room_s_pack(path: Path) -> None:
    """``rule_pack("england")`` only names the source of the check itself; findings ask the scene for its pack."""
    calls = re.findall(r"rule_pack\(([^)]*)\)", path.read_text())

    assert set(calls) <= {'"england"'}


def test_every_figure_that_a_check_asks_for_by_name_is_in_the_pack() -> None:
    asked = set()
    for path in sorted((ROOT / "geometry").rglob("*.py")):
        asked |= set(
            re.findall(r'\.(?:number|figure|source|range|rows|words)\(\s*"([a-z0-9-]+)"\s*\)', path.read_text())
        )

    assert asked <= set(rule_pack("england").figures)


NOT_ASKED = {
    "discharge-shared-systems": "an older edition's, still taught; the edition in force has none",
    "cistern-space-above": "the cisterns on the shelf ask for it as a space of theirs",
    "meter-space": "the meters on the shelf ask for more in front, and say why",
}


def test_every_figure_of_a_pack_is_asked_for_somewhere_or_its_use_is_told() -> None:
    """A figure that no check and no sum asks for is dead."""
    every = "\n".join(path.read_text() for path in sorted((ROOT / "geometry").rglob("*.py")))
    named = {row["figure"] for key in ("keep-apart", "gas-pipe-apart") for row in rule_pack("england").rows(key)}
    named |= {f"floor-dwelling-{kind}" for kind in ("spread", "point")}

    dead = {key for key in rule_pack("england").figures if f'"{key}"' not in every and key not in named}

    assert dead == set(NOT_ASKED)


def test_the_cisterns_of_the_shelf_ask_for_the_space_above_that_the_pack_has() -> None:
    """Textbook: 350 mm clear above a cistern."""
    cisterns = [kit for kit in shelf().values() if kit.has("cistern")]

    above = {space.mm for kit in cisterns for space in kit.space if space.side == "above"}

    assert len(cisterns) >= 3
    assert above == {rule_pack("england").number("cistern-space-above")}


def test_the_meters_of_the_shelf_ask_for_no_less_in_front_than_their_supplier() -> None:
    """A supplier's help page: 300 mm; another copy of it 600 mm."""
    meters = [kit for kit in shelf().values() if kit.has("meter") and not kit.has("wet")]

    front = [space.mm for kit in meters for space in kit.space if space.side == "front"]

    assert len(front) == len(meters) == 2
    assert min(front) >= rule_pack("england").number("meter-space")
