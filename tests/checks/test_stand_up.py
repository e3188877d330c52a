"""Tipping tall kit upright."""

from typing import Any

import pytest

from geometry.check import Finding
from geometry.samples import piece, round_kit
from tests.checks.found import findings, only

CYLINDER = round_kit("cylinder", 550, 2080)
LOW_DOOR = {"id": "d1", "edge": 0, "from_mm": 100, "clear_mm": 700}


def under(ceiling: Any, *, height: float = 2080, door: Any = LOW_DOOR, **more: Any) -> Finding:
    kind = round_kit("cylinder", 550, height)
    ceiling = {"height_mm": ceiling} if not isinstance(ceiling, dict) else ceiling
    doors = [door] if door else []
    return only(findings("stand-up", [kind], [piece(kind, 1200, 1200, **more)], ceiling=ceiling, doors=doors))


@pytest.mark.parametrize(
    ("height", "needed"), [(1800, 1882.153), (2030, 2103.188), (1500, 1597.655)]
)  # source: the geometry oracles' table of lifting, vessels 550 across
def test_the_diagonal_is_that_of_the_oracles(height: float, needed: float) -> None:
    assert under(2600, height=height).needed == pytest.approx(needed, abs=1e-3)


def test_a_cylinder_that_stands_under_a_ceiling_may_not_get_there() -> None:
    """550 x 2,080 under 2,100: stands with 20 to spare, needs 2,151.5 to be tipped, short 51.5."""
    finding = under(2100)

    assert finding.verdict == "put-right"
    assert finding.short == pytest.approx(51.49, abs=0.01)
    assert "needs 2,151 mm to be tipped upright; the ceiling is 2,100 mm up there." in finding.message


@pytest.mark.parametrize(
    ("spare", "verdict"), [(-1, "put-right"), (0, "look-again"), (9, "look-again"), (10, "no-fault")]
)
def test_touching_is_inside_the_survey_tolerance(spare: float, verdict: str) -> None:
    """6-8-10: 1,600 tall and 1,200 across needs 2,000."""
    kind = round_kit("drum", 1200, 1600)

    finding = only(
        findings("stand-up", [kind], [piece(kind, 1200, 900)], ceiling={"height_mm": 2000 + spare}, doors=[
            {**LOW_DOOR, "head_mm": 1500},
        ])
    )  # fmt: skip

    assert finding.verdict == verdict


def test_the_lowest_place_over_the_body_counts() -> None:
    """Source: the worked plant shed: roof 2,500 to 2,050 over 1,700; at y = 1,655 it is 2,062."""
    slope = {
        "name": "roof", "area_mm": [[0, 0], [2400, 0], [2400, 1700], [0, 1700]],
        "through_mm": [[0, 0, 2500], [2400, 0, 2500], [0, 1700, 2050]],
    }  # fmt: skip
    kind = round_kit("cylinder", 550, 1830)

    finding = only(
        findings("stand-up", [kind], [piece(kind, 1150, 1380)], ceiling={"slopes": [slope]}, doors=[LOW_DOOR])
    )

    assert finding.needed == pytest.approx(1911, abs=1)
    assert finding.found == pytest.approx(2062, abs=1)
    assert finding.verdict == "no-fault"


def test_what_comes_in_upright_all_the_way_need_not_be_tipped() -> None:
    finding = under(2150, door={**LOW_DOOR, "head_mm": 2110})

    assert finding.verdict == "look-again"
    assert finding.message.endswith("Keep it upright all the way in: door d1 is high enough.")


def test_it_may_be_tipped_where_the_ceiling_is_higher() -> None:
    beam = {"name": "soffit", "area_mm": [[0, 900], [2400, 900], [2400, 1800], [0, 1800]], "soffit_mm": 2100}

    finding = under({"height_mm": 2400, "beams": [beam]})

    assert finding.verdict == "look-again"
    assert finding.message.endswith("Tip it upright where there is more height, and move it to its place as it stands.")


def test_a_ceiling_that_is_not_measured_is_asked_for() -> None:
    finding = under({"height_mm": None})

    assert finding.verdict == "not-checked"
    assert finding.question == "How high is the ceiling over the cylinder?"


def test_what_stands_on_a_platform_has_less_above_it() -> None:
    finding = under(2200, base_mm=100, door=None)

    assert finding.found == pytest.approx(2100)
    assert finding.short == pytest.approx(51.49, abs=0.01)
    assert "2,100 mm up there above its base" in finding.message


def test_low_kit_is_lifted_upright() -> None:
    drum = round_kit("drum", 550, 800)

    assert findings("stand-up", [drum], [piece(drum, 1200, 900)], ceiling={"height_mm": 900}) == []
