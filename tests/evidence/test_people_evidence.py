"""People against published figures, end to end through a room; each source beside its figures.

Of the published cases of access and clearance these are here: switches of a consumer unit (5), the maintenance aisle
(15), the depth of a forward reach (16, the depth alone), headroom for postures (18, kneeling and stooping). Those that
are asked of nothing here: sockets and switches of habitable rooms (5), as a plant room is none and the shelf has no
sockets; heights by depth for somebody in a wheelchair (16), a rule of another country for public buildings; the
heights of handwheels and the 1,300 mm behind a low one (17), an oil company's practice for valves of its own size; the
widths of 700 and 760 of the posture boxes (18), where the least walkway of 500 counts and room to work is each maker's
figure; the 762 mm zone in front of an appliance (13) and the depths at electrical gear (14), rules of another country.
"""

import json
from pathlib import Path
from typing import Any

import pytest

from geometry.check import Finding
from geometry.rules import rule_pack
from geometry.samples import box_kit, piece, round_kit
from tests.checks.found import findings, only

DATA: dict[str, Any] = json.loads((Path(__file__).parent / "people.json").read_text())
DOOR = {"id": "d1", "edge": 0, "from_mm": 1500, "clear_mm": 800}


def rows(part: str) -> Any:
    return pytest.mark.parametrize("row", DATA[part]["rows"], ids=str)


@pytest.mark.parametrize("part", sorted(DATA))
def test_every_set_of_figures_says_where_it_comes_from(part: str) -> None:
    assert set(DATA[part]["source"]) == {"title", "clause", "standing"}


@rows("walkway")
def test_an_aisle_for_maintenance_is_as_wide_and_as_high_as_published(row: list[Any]) -> None:
    """Narrower is put right; lower is looked at again; as wide as that is still less than a good walkway of 600."""
    width, headroom, wide_enough, high_enough = row
    pump = box_kit("pump", 400, 300, space=[{"side": "front", "mm": 400}])
    tank = box_kit("tank", 600, 1800 - width)
    beam = {"name": "beam", "area_mm": [[700, 0], [800, 0], [800, 1800], [700, 1800]], "soffit_mm": headroom}
    pieces = [piece(pump, 300, 300, 180), piece(tank, 1200, (1800 - width) / 2)]
    ceiling = {"height_mm": 2400, "beams": [beam]}

    found = findings("walkway", [pump, tank], pieces, doors=[DOOR], ceiling=ceiling)

    verdicts = {f.topic: (f.verdict, f.short) for f in found}
    assert (verdicts.get("", ("",))[0] == "put-right") is not wide_enough
    assert ("headroom" in verdicts) is not high_enough


def banded(trait: str, level: float) -> Finding:
    switch = {"name": "switch", "at_mm": [0, -60, 100], "faces": "front", "emergency": True}
    kind = box_kit("unit", 360, 115, 240, stands_on="wall", base_mm=level - 100, access=[switch], traits=[trait])
    return only(findings("height-band", [kind], [piece(kind, 1200, 1742)], tolerance_mm=0))


@rows("consumer unit")
def test_the_switches_of_a_consumer_unit_are_in_the_published_band(row: list[Any]) -> None:
    """The band is for new dwellings: elsewhere what is out of it is looked at again."""
    level, passes = row

    finding = banded("consumer-unit", level)

    assert finding.verdict == ("no-fault" if passes else "look-again")
    assert finding.short == pytest.approx(0 if passes else 1)


@rows("meter")
def test_a_meter_is_read_in_the_published_band(row: list[Any]) -> None:
    level, passes = row

    assert banded("meter-board", level).verdict == ("no-fault" if passes else "look-again")


@rows("reach")
def test_an_arm_reaches_as_deep_as_published(row: list[Any]) -> None:
    depth, passes = row
    tap = {"name": "tap", "at_mm": [0, -150, 300], "faces": "front"}
    pump, bench = box_kit("pump", 300, 300, 400, access=[tap]), box_kit("bench", 2400, depth, 200)
    pieces = [piece(pump, 1200, 1650), piece(bench, 1200, 1500 - depth / 2)]

    finding = only(findings("reach", [pump, bench], pieces, doors=[DOOR]))

    assert finding.found == pytest.approx(depth, abs=0.5)
    assert (finding.verdict != "put-right") is passes


@rows("postures")
def test_a_point_is_reached_in_the_headroom_of_the_posture_it_wants(row: list[Any]) -> None:
    level, headroom, reached = row
    tap = {"name": "tap", "at_mm": [0, -150, 300], "faces": "front"}
    pump = box_kit("pump", 300, 300, 400, access=[tap], stands_on="wall", base_mm=level - 300)
    soffit = {"name": "soffit", "area_mm": [[0, 500], [2400, 500], [2400, 1800], [0, 1800]], "soffit_mm": headroom}
    ceiling = {"height_mm": 2400, "beams": [soffit]}

    finding = only(findings("reach", [pump], [piece(pump, 1200, 1650)], doors=[DOOR], ceiling=ceiling))

    assert (finding.verdict == "no-fault") is reached


@rows("eyes")
def test_eyes_are_at_the_published_heights(row: list[Any]) -> None:
    key, height = row

    assert rule_pack("england").number(key) == height


@rows("overhead")
def test_over_two_metres_a_step_is_needed(row: list[Any]) -> None:
    level, step = row
    valve = {"name": "test valve", "at_mm": [0, -100, 100], "faces": "front"}
    vessel = round_kit("vessel", 200, 300, stands_on="wall", base_mm=level - 100, access=[valve])

    finding = only(findings("reach", [vessel], [piece(vessel, 1200, 1700)], doors=[DOOR]))

    assert (finding.topic == "step") is step
    assert ("a step is needed" in finding.message) is step


@rows("pipe room")
def test_a_22_elbow_wants_about_100(row: list[float]) -> None:
    size, room, short = row
    port = {"name": "cold", "medium": "cold", "size_mm": size, "at_mm": [0, 275, 150], "faces": "behind"}
    cylinder = round_kit("cylinder", port=[port])

    finding = only(findings("pipe-room", [cylinder], [piece(cylinder, 1200, 1525 - room)]))

    assert (finding.short or 0.0) == pytest.approx(short)
