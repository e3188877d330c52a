"""Whether what must be seen can be seen, against rays sampled densely all over the floor."""

from random import Random
from typing import Any

import pytest

from geometry.checks.sight import find
from geometry.people import least_floor, spots, wedge
from geometry.samples import box_kit, piece, round_kit, sample_scene
from geometry.scene import Scene
from tests.checks.found import Data, findings, only
from tests.geometry.test_people import grid_in, line_meets

DOOR = {"id": "d1", "edge": 0, "from_mm": 900, "clear_mm": 800}
GAP = {"name": "air gap", "at_mm": [0, -30, 60], "faces": "front", "tool": "eye", "must_be_seen": True}


def tundish(base: float = 1100, **more: Any) -> Data:
    return box_kit("funnel", 60, 60, 120, stands_on="wall", base_mm=base, access=[{**GAP, **more}])


def seen(others: list[tuple[Data, Data]], base: float = 1100, **more: Any) -> Any:
    funnel = tundish(base)
    kinds, pieces = [kind for kind, _ in others], [put for _, put in others]
    return only(findings("sight", [funnel, *kinds], [piece(funnel, 1200, 1770), *pieces], doors=[DOOR], **more))


def test_a_tundish_on_a_free_wall_is_seen() -> None:
    assert seen([]).verdict == "no-fault"


def test_a_tundish_behind_a_tank_across_the_room_is_hidden_by_it() -> None:
    tank = box_kit("tank", 2400, 500, 1500)

    finding = seen([(tank, piece(tank, 1200, 1200))], base=300)

    assert finding.verdict == "put-right"
    assert finding.against == ("tank",)
    assert finding.message == (
        "The air gap of the funnel cannot be seen: the tank hides it. Move the funnel or the tank."
    )


@pytest.mark.parametrize(("traits", "standing"), [(["tundish"], "guidance"), ([], "common practice")])
def test_only_a_tundish_is_spoken_of_by_the_approved_document(traits: list[str], standing: str) -> None:
    """Approved Document G, 3.55, is about tundishes; that gauges are to be seen is common practice, no source."""
    kind = box_kit("funnel", 60, 60, 120, stands_on="wall", base_mm=1100, access=[GAP], traits=traits)

    source = only(findings("sight", [kind], [piece(kind, 1200, 1770)], doors=[DOOR])).source

    assert source is not None
    assert source.standing == standing


def test_what_hides_it_and_can_be_moved_is_named_as_what_to_move_first() -> None:
    tank = box_kit("tank", 2400, 500, 1500)

    finding = seen([(tank, piece(tank, 1200, 1200, hold="movable"))], base=300)

    assert finding.verdict == "look-again"
    assert finding.message.endswith("It can be moved: move the tank first.")


def test_a_low_tank_is_looked_over() -> None:
    tank = box_kit("tank", 2400, 500, 900)

    assert seen([(tank, piece(tank, 1200, 1200))]).verdict == "no-fault"


def test_a_line_that_grazes_a_top_is_clear() -> None:
    """Eye 1,756 at y = 450.25, as near as a person comes to the tank from 700 to 1,100; target 1,160 at y = 1,740.

    Over the tank's far edge the line is 1,756 - 596 x 649.75 / 1,289.75 = 1,455.7 high.
    """

    def verdict(height: float) -> str:
        tank = box_kit("tank", 2400, 400, height)
        return str(seen([(tank, piece(tank, 1200, 900))]).verdict)

    assert [verdict(height) for height in (1455, 1457)] == ["no-fault", "put-right"]


def test_a_point_that_faces_the_wall_cannot_be_looked_at() -> None:
    funnel = tundish(faces="behind", at_mm=[0, 30, 60])

    finding = only(findings("sight", [funnel], [piece(funnel, 1200, 1770)], doors=[DOOR]))

    assert finding.verdict == "put-right"
    assert "no floor in front of it" in finding.message


def test_a_display_low_under_a_worktop_is_seen_by_somebody_who_kneels() -> None:
    top = box_kit("counter", 2400, 620, 40, stands_on="wall", base_mm=870)

    finding = seen([(top, piece(top, 1200, 1490))], base=600)

    assert finding.verdict == "no-fault"
    assert "kneels" in finding.message


def test_a_beam_hides_what_is_high_behind_it() -> None:
    beam = {"name": "beam", "area_mm": [[0, 1600], [2400, 1600], [2400, 1700], [0, 1700]], "soffit_mm": 1905}
    shallow = {"height_mm": 2400, "beams": [beam]}

    finding = seen([], base=2200, ceiling=shallow)

    assert finding.verdict == "put-right"
    assert finding.against == ("beam",)


def test_what_sticks_out_of_its_own_piece_before_it_hides_it() -> None:
    gauge = {"name": "gauge", "at_mm": [0, -200, 100], "faces": "front", "tool": "eye", "must_be_seen": True}
    hood = {"side": "front", "mm": 300, "what": "hood", "from_mm": 0, "to_mm": 800}
    cover = {"side": "front", "mm": 50, "what": "cover", "from_mm": 0, "to_mm": 800}

    def verdict(sticks: Data) -> str:
        boiler = box_kit("boiler", 600, 400, 800, access=[gauge], sticks_out=[sticks])
        return str(only(findings("sight", [boiler], [piece(boiler, 1200, 1600)], doors=[DOOR])).verdict)

    assert verdict(hood) == "put-right"
    assert verdict(cover) == "no-fault"


def test_without_a_door_it_is_asked_for() -> None:
    funnel = tundish()

    finding = only(findings("sight", [funnel], [piece(funnel, 1200, 1770)]))

    assert finding.verdict == "not-checked"
    assert finding.question


def crowded(seed: int) -> Scene:
    """A tundish on the back wall and boxes and drums before it."""
    draw = Random(seed)
    funnel = tundish(draw.choice([200, 600, 1100, 1700]))
    kinds, pieces = [funnel], [piece(funnel, draw.randint(200, 2200), 1770)]
    for i in range(draw.randint(3, 6)):
        low, high = draw.choice([(0, 900), (0, 1900), (0, 1500), (700, 1500), (1100, 2200)])
        hung = {"stands_on": "wall", "base_mm": low} if low else {}
        if draw.random() < 0.3:
            kinds.append(round_kit(f"k{i}", draw.randint(250, 700), high - low, **hung))
        else:
            kinds.append(box_kit(f"k{i}", draw.randint(200, 1500), draw.randint(100, 500), high - low, **hung))
        pieces.append(piece(kinds[-1], draw.randint(200, 2200), draw.randint(700, 1650)))
    return sample_scene(kinds, pieces, doors=[DOOR])


def clear_eyes(scene: Scene, cell: float, slack: float) -> bool:
    """Whether any eye on the floor has a clear line, tried at the points of a grid."""
    (spot,) = spots(scene, None)
    front = wedge(spot, 75, 2000)
    solids = [s for s in scene.solids if s.owner != "funnel"]
    for head, eyes in ((1900, (1501, 1756)), (1400, (1100,))):
        region = least_floor(scene, head).region.intersection(front)
        if region.is_empty:
            continue
        for x, y in grid_in(region, cell):
            if any(not line_meets(solids, (x, y, eye), spot.at, slack) for eye in eyes):
                return True
    return False


@pytest.mark.parametrize("seed", range(80))
def test_rays_sampled_all_over_the_floor_say_the_same(seed: int) -> None:
    scene = crowded(seed)

    verdict = only(list(find(scene))).verdict

    if verdict == "no-fault":
        assert clear_eyes(scene, 60, 0.0) or clear_eyes(scene, 10, 0.0)
    else:
        assert not clear_eyes(scene, 40, -0.5)


def test_enough_of_the_sampled_rooms_are_hidden_and_enough_are_seen() -> None:
    verdicts = [only(list(find(crowded(seed)))).verdict for seed in range(80)]

    assert verdicts.count("no-fault") > 20
    assert verdicts.count("put-right") > 10
