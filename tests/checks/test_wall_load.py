"""What a wall carries, by what it is made of."""

from typing import Any

import pytest

from geometry.check import Finding
from geometry.samples import box_kit, piece
from tests.checks.found import findings, only


def on_wall(build: str | None = None, dry_kg: float | None = 38, y: float = 1620, **more: Any) -> list[Finding]:
    """A boiler of 38 kg with 3 litres in it, its back at the back wall."""
    kind = box_kit("boiler", 440, 360, 720, stands_on="wall", base_mm=1150, dry_kg=dry_kg, water_l=3)
    walls = [{"edge": 2, "build": build}] if build else []
    return findings("wall-load", [kind], [piece(kind, 1200, y)], walls=walls, **more)


@pytest.mark.parametrize(("build", "verdict"), [
    ("brick", "no-fault"), ("brick and flint", "no-fault"), ("Block", "no-fault"), ("stud with ply", "no-fault"),
    ("plasterboard on noggins", "no-fault"), ("plasterboard", "put-right"), ("stud", "put-right"),
    ("plasterboard on brick", "not-checked"), ("straw", "not-checked"), (None, "not-checked"),
])  # fmt: skip
def test_41_kg_hang_on_what_carries_them(build: str | None, verdict: str) -> None:
    assert only(on_wall(build)).verdict == verdict


def test_on_plasterboard_the_bracket_line_is_told() -> None:
    finding = only(on_wall("plasterboard"))

    assert finding.message == (
        "The boiler weighs 41 kg full; the back wall is plasterboard. "
        "Ply or noggins are needed at its bracket, about 1,870 mm up."
    )
    assert (finding.needed, finding.found, finding.short) == (20, 41, 21)


@pytest.mark.parametrize(("dry", "verdict"), [(17, "no-fault"), (17.1, "put-right")])
def test_board_on_studs_carries_20_kg_full(dry: float, verdict: str) -> None:
    assert only(on_wall("stud", dry)).verdict == verdict


@pytest.mark.parametrize(("dry", "asked"), [(6.9, 0), (7, 1)])
def test_only_kit_of_10_kg_and_more_asks(dry: float, asked: int) -> None:
    assert len(on_wall(None, dry)) == asked


def test_an_unknown_weight_is_asked_for() -> None:
    assert only(on_wall("brick", None)).verdict == "not-checked"


@pytest.mark.parametrize(("y", "asked"), [(1560, 1), (1559, 0)])
def test_a_frame_of_60_mm_still_hangs_on_the_wall_and_more_hangs_on_none(y: float, asked: int) -> None:
    """Back at y + 180; the wall at 1,800."""
    assert len(on_wall("brick", y=y)) == asked


def test_boxing_behind_it_is_asked_about_by_name() -> None:
    boxing = {"id": "f1", "name": "boxed soil stack", "area_mm": [[900, 1700], [1500, 1700], [1500, 1800], [900, 1800]],
              "to_mm": 2400}  # fmt: skip

    finding = only(on_wall("brick", y=1520, fixtures=[boxing]))

    assert finding.verdict == "not-checked"
    assert finding.question == "What is the boxed soil stack made of where the boiler hangs?"


def test_kit_hung_across_a_doorway_is_not_asked_what_the_door_is_made_of() -> None:
    """That it hangs on no wall is said elsewhere."""
    beyond = [[0, 1850], [2400, 1850], [2400, 4000], [0, 4000]]
    door = {"id": "d1", "edge": 2, "from_mm": 700, "clear_mm": 1000, "beyond_mm": beyond}

    assert on_wall("brick", doors=[door]) == []
