"""The ways of kit against published figures, end to end through the search or through a room.

Of the published cases of access and clearance these are here: the ladder (1), the couch (2), the sofas (3). Those that
are asked of no way: the attic route and its floor (12) and the loft hatch (11), which lie outside the room that a file
holds; the clear door by corridor and approach (4), a rule for wheelchairs through the house, where here what has to
pass is carried through the door itself.
"""

import json
from math import cos, pi, sin
from pathlib import Path
from typing import Any

import pytest

from geometry.carrying import attempt
from geometry.samples import box_kit, piece, round_kit, sample_scene
from geometry.turning import Carried, carry, rectangle
from tests.checks.found import Data, findings, only
from tests.geometry.test_turning import long_corridors, past

DATA: dict[str, Any] = json.loads((Path(__file__).parent / "ways.json").read_text())
MM = 1000.0


def rows(part: str) -> Any:
    return pytest.mark.parametrize("row", DATA[part]["rows"], ids=str)


@pytest.mark.parametrize("part", sorted(DATA))
def test_every_set_of_figures_says_where_it_comes_from(part: str) -> None:
    assert set(DATA[part]["source"]) == {"title", "clause", "standing"}


def told(a: float, b: float, length: float, width: float) -> str:
    """What is told about a rectangle in corridors a and b, in metres."""
    carried = Carried(rectangle(width * MM, length * MM), (a * MM / 2, -20 * MM))
    return carry(long_corridors(a * MM, b * MM), carried, past(a * MM, b * MM))


@rows("ladder")
def test_a_ladder_is_never_told_wrongly(row: list[float]) -> None:
    """Ladders 20 mm wide: what is so thin is left open near its limit, as its headings share next to nothing."""
    a, b, longest = row

    assert told(a, b, 1.01 * longest, 0.02) != "out"
    assert told(a, b, 0.99 * longest, 0.02) != "trapped"


@rows("rectangles")
def test_a_rectangle_passes_a_hundredth_below_its_closed_form_and_not_a_hundredth_above(row: list[float]) -> None:
    a, b, width, longest = row

    assert told(a, b, 0.99 * longest, width) == "out"
    assert told(a, b, 1.01 * longest, width) == "trapped"


@rows("corridors")
def test_in_its_least_corridor_and_a_hundredth_it_passes_and_in_a_hundredth_less_it_does_not(row: list[float]) -> None:
    length, width, least = row
    thin = width < length / 20  # a door leaf on edge: left open, as a ladder is

    assert told(1.01 * least, 1.01 * least, length, width) in ("out", "too-close" if thin else "out")
    assert told(0.99 * least, 0.99 * least, length, width) == "trapped"


def corner_room(wide: float) -> Data:
    """An L of two corridors, open at its far end as wide as it is."""
    return {
        "outline_mm": [[0, 0], [4500, 0], [4500, wide], [wide, wide], [wide, 4500], [0, 4500]],
        "doors": [{"id": "d1", "edge": 1, "from_mm": 0, "clear_mm": wide}],
    }


def kit_of(points: list[list[float]], key: str) -> Data:
    return {"key": key, "name": "Sofa", "height_mm": 900, "plan": {"outline_mm": points}, "dry_kg": 60}


def test_a_half_disc_goes_round_a_corner_of_its_own_radius_and_its_box_does_not() -> None:
    """Moving sofa: the half disc, area pi/2 = 1.5708, passes the unit corridor; the box round it, 2 x 1, does not."""
    points = [[480 * cos(pi * i / 48), 480 * sin(pi * i / 48)] for i in range(49)]
    half, box = kit_of(points, "half"), box_kit("box", 960, 480, 900, dry_kg=60)
    scenes = [sample_scene([kind], [piece(kind, 259, 2500, 90)], **corner_room(500)) for kind in (half, box)]

    assert [attempt(scene, scene.placed[0]) for scene in scenes] == ["out", "trapped"]


@pytest.mark.parametrize("long", [2.9, 3.2, 4.0])
def test_an_oval_of_more_than_2_8284_never_goes_round_the_unit_corner(long: float) -> None:
    """The upper bound of the moving sofa: an ellipse of area 2.83 in corridors 1 wide."""
    short = 2.83 * 4 / pi / long
    points = [[500 * short * cos(t * pi / 30), 500 * long * sin(t * pi / 30)] for t in range(60)]
    kind = kit_of(points, "oval")
    scene = sample_scene([kind], [piece(kind, 500, 2600)], **corner_room(1000))

    assert attempt(scene, scene.placed[0]) != "out"


@rows("discs")
def test_a_disc_through_a_door_passes_or_lacks_what_is_published(row: list[float]) -> None:
    across, clear, spare = row
    kind = round_kit("cylinder", across, 1500, dry_kg=40)
    door = {"id": "d1", "edge": 0, "from_mm": 900, "clear_mm": clear}

    finding = only(findings("way-out", [kind], [piece(kind, 1200, 1400)], doors=[door]))

    assert (finding.verdict == "no-fault") is (spare > 0)
    assert (finding.short or 0.0) == pytest.approx(max(0.0, -spare))


@rows("gates")
def test_a_body_passes_between_two_boxes_when_they_leave_as_much(row: list[Any]) -> None:
    gap, passes = row
    kind, left, right = round_kit("drum", 600, 900, dry_kg=40), box_kit("l", 500, 300), box_kit("r", 1900 - gap, 300)
    pieces = [piece(kind, 1200, 1400), piece(left, 250, 600), piece(right, 500 + gap + (1900 - gap) / 2, 600)]
    door = {"id": "d1", "edge": 0, "from_mm": 300, "clear_mm": 1200}

    found = findings("way-out", [kind, left, right], pieces, doors=[door])

    assert (only([f for f in found if f.pieces[:1] == ("drum",)]).verdict != "put-right") is passes


@rows("standing up")
def test_the_ceiling_to_tip_a_vessel_under_is_its_diagonal(row: list[float]) -> None:
    height, base, ceiling = row
    kind = round_kit("vessel", base, height)

    finding = only(findings("stand-up", [kind], [piece(kind, 1200, 900)], ceiling={"height_mm": 2600}))

    assert finding.needed == pytest.approx(ceiling, abs=1e-3)


@rows("turning a box")
def test_a_long_box_is_short_of_turning_by_what_is_published_and_passes_on_end(row: list[float]) -> None:
    length, width, corridor, longest = row
    lying, standing = box_kit("chest", width, length, 900, dry_kg=60), box_kit("chest", width, width, length, dry_kg=60)

    lies, stands = (
        only(findings("way-out", [kind], [piece(kind, corridor / 2, 3000)], **corner_room(corridor)))
        for kind in (lying, standing)
    )

    assert (lies.verdict, lies.topic) == ("put-right", "turn")
    assert lies.short == pytest.approx(length - longest, abs=0.006 * length)
    assert stands.verdict == "no-fault"
