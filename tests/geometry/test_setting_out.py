"""Setting-out is held against the room file itself: corners of each body turned and laid along the wall by plain
trigonometry, and chains that close."""

import json
from itertools import pairwise
from math import cos, hypot, radians, sin
from typing import Any

import pytest

from geometry.reading import room_from
from geometry.samples import box_kit, piece, round_kit, sample_scene
from geometry.scene import Scene, build
from geometry.setting_out import Chain, SettingOut, setting_out
from geometry.shelf import find_kit
from server.drawing.seats import seats
from server.paths import DEMO_ROOMS

DEMOS = sorted(path.stem for path in DEMO_ROOMS.glob("*.json"))
TO_THE_MM = 0.5
"""A figure in whole millimetres is no more than half of one from the true place."""


def data_of(name: str) -> dict[str, Any]:
    data: dict[str, Any] = json.loads((DEMO_ROOMS / f"{name}.json").read_text(encoding="utf-8"))
    return data


def every_wall(scene: Scene) -> list[SettingOut]:
    found = seats(scene)
    return [
        setting_out(scene, edge.index, [item.id for item, _ in found.on(scene, edge.index)]) for edge in scene.edges
    ]


def from_left(data: dict[str, Any], edge: int, x: float, y: float) -> float:
    """How far along a wall a point is from its left corner: the outline runs with the room on its left."""
    ring = data["outline_mm"]
    (ax, ay), (bx, by) = ring[edge], ring[(edge + 1) % len(ring)]
    return ((x - bx) * (ax - bx) + (y - by) * (ay - by)) / hypot(ax - bx, ay - by)


def corners_of(data: dict[str, Any], at: dict[str, Any]) -> list[tuple[float, float]] | float:
    """The corners of a box in the room, or the radius of a round body."""
    own = {kit["key"]: kit for kit in data.get("kit", [])}
    shelf = find_kit(at["kit"]).model_dump() if at["kit"] not in own else {"plan": own[at["kit"]]["plan"]}
    changes = {name: change["value"] for name, change in at.get("changes", {}).items()}
    plan = shelf["plan"]
    if plan.get("round_mm"):
        return float(changes.get("round_mm", plan["round_mm"])) / 2
    w, d = changes.get("width_mm", plan["box_mm"][0]) / 2, changes.get("depth_mm", plan["box_mm"][1]) / 2
    a = radians(at.get("turn_deg", 0))
    x0, y0 = at["at_mm"]
    return [(x0 + x * cos(a) - y * sin(a), y0 + x * sin(a) + y * cos(a)) for x, y in
            ((-w, -d), (w, -d), (w, d), (-w, d))]  # fmt: skip


@pytest.mark.parametrize("name", DEMOS)
def test_every_body_is_set_out_where_the_room_file_puts_it(name: str) -> None:
    data = data_of(name)
    pieces = {at["id"]: at for at in data["pieces"]}
    walls = every_wall(build(room_from(data)))

    told = {mark.piece: (wall, mark) for wall in walls for mark in wall.bodies}

    assert set(told) == set(pieces)
    for ref, (wall, mark) in told.items():
        found = corners_of(data, pieces[ref])
        middle = from_left(data, wall.edge, *pieces[ref]["at_mm"])
        along = [middle - found, middle + found] if isinstance(found, float) else [
            from_left(data, wall.edge, x, y) for x, y in found
        ]  # fmt: skip
        assert (mark.left_mm, mark.right_mm) == pytest.approx((min(along), max(along)), abs=TO_THE_MM)
        assert mark.middle_mm == pytest.approx(middle, abs=TO_THE_MM)
        assert mark.under_mm == pieces[ref].get("base_mm", mark.under_mm)


@pytest.mark.parametrize("name", DEMOS)
def test_every_port_is_set_out_where_the_kind_has_it(name: str) -> None:
    data = data_of(name)
    scene = build(room_from(data))
    pieces = {at["id"]: at for at in data["pieces"]}

    for wall in every_wall(scene):
        for mark in wall.bodies:
            placed, at = scene.piece(mark.piece), pieces[mark.piece]
            assert placed is not None
            a, (x0, y0) = radians(at.get("turn_deg", 0)), at["at_mm"]
            for port, shown in zip(placed.kit.port, mark.ports, strict=True):
                x, y, z = port.at_mm
                there = (x0 + x * cos(a) - y * sin(a), y0 + x * sin(a) + y * cos(a))
                assert shown.from_left_mm == pytest.approx(from_left(data, wall.edge, *there), abs=TO_THE_MM)
                assert shown.from_floor_mm == pytest.approx(mark.under_mm + z, abs=TO_THE_MM)


@pytest.mark.parametrize("name", DEMOS)
def test_every_chain_closes_on_the_length_of_its_wall(name: str) -> None:
    data = data_of(name)
    ring = data["outline_mm"]

    walls = every_wall(build(room_from(data)))

    for wall in walls:
        (ax, ay), (bx, by) = ring[wall.edge], ring[(wall.edge + 1) % len(ring)]
        assert sum(wall.along.steps) == round(hypot(bx - ax, by - ay))
        assert (wall.along.closing_error_mm, wall.up.closing_error_mm) == (0, 0)
        assert all(step > 0 for step in (*wall.along.steps, *wall.up.steps))


@pytest.mark.parametrize("name", DEMOS)
def test_the_figures_of_a_chain_are_its_true_places_to_the_millimetre(name: str) -> None:
    for wall in every_wall(build(room_from(data_of(name)))):
        for chain in (wall.along, wall.up):
            assert all(min(abs(place - figure) for figure in chain.figures) <= TO_THE_MM for place in chain.places_mm)


@pytest.mark.parametrize("name", DEMOS)
def test_the_far_corner_of_a_wall_is_the_first_of_the_wall_before_it(name: str) -> None:
    walls = every_wall(build(room_from(data_of(name))))

    for before, wall in pairwise([*walls, walls[0]]):
        corners = [corner.removeprefix("the corner of ") for corner in (before.corner, wall.far_corner)]
        assert set(corners[0].split(" and ")) == set(corners[1].split(" and "))


def test_a_chain_of_fractions_closes_although_each_figure_is_rounded() -> None:
    thirds = Chain((333.4, 666.7), 1000.2)

    assert (thirds.figures, thirds.steps, thirds.closing_error_mm) == ((0, 333, 667, 1000), (333, 334, 333), 0)


def test_what_hangs_has_a_bracket_line_and_what_stands_has_none() -> None:
    hung = box_kit(
        "box",
        stands_on="wall",
        base_mm=1200,
        sticks_out=[
            {"side": "behind", "mm": 30, "from_mm": 100, "to_mm": 240, "across_mm": [-60, 60], "what": "bracket"}
        ],
    )
    plain, tank = box_kit("plain", stands_on="wall", base_mm=1000), box_kit("tank")
    pieces = [piece(hung, 300, 1570), piece(plain, 1200, 1600), piece(tank, 2000, 1600)]

    wall = setting_out(sample_scene([hung, plain, tank], pieces), 2, ["box", "plain", "tank"])

    assert [mark.bracket_mm for mark in wall.bodies] == [1440, 1800, None]


def test_a_turned_body_is_as_wide_on_its_wall_as_it_shows() -> None:
    """A square of 600 turned by 45 degrees is 600 times the root of two across."""
    crate = box_kit("crate", 600, 600)

    wall = setting_out(sample_scene([crate], [piece(crate, 1200, 1200, 45)]), 2, ["crate"])

    assert wall.bodies[0].right_mm - wall.bodies[0].left_mm == pytest.approx(848.528, abs=0.001)


def test_a_round_body_is_set_out_by_its_diameter() -> None:
    drum = round_kit("drum", 550)

    wall = setting_out(sample_scene([drum], [piece(drum, 400, 1500)]), 2, ["drum"])

    assert (wall.bodies[0].left_mm, wall.bodies[0].right_mm) == (125, 675)


def test_doors_windows_and_outlets_are_set_out_too() -> None:
    door = {"id": "d1", "edge": 0, "from_mm": 500, "clear_mm": 700, "head_mm": 1981}
    outlet = {"id": "o1", "name": "gully", "at_mm": [2000, 0], "level_mm": 150}
    scene = sample_scene([], [], doors=[door], outlets=[outlet])

    wall = setting_out(scene, 0, [])

    assert [(m.name, m.left_mm, m.right_mm, m.top_mm) for m in wall.openings] == [
        ("gully", 400, 400, 150), ("door d1, clear opening", 1200, 1900, 1981)]  # fmt: skip
    assert wall.along.figures == (0, 400, 1200, 1550, 1900, 2400)


def test_the_terminal_of_a_flue_is_set_out_from_the_left_corner_by_its_middle() -> None:
    boiler = box_kit("boiler")
    flue = {"id": "x1", "piece": "boiler", "edge": 2, "along_mm": 900, "level_mm": 2050}
    scene = sample_scene([boiler], [piece(boiler, 300, 1600)], flues=[flue])

    found = setting_out(scene, 2, []).openings

    assert [(m.name, m.middle_mm, m.under_mm) for m in found] == [("Boiler, flue terminal outside", 1500, 2050)]


def test_the_heights_of_a_wall_under_a_slope_end_where_the_ceiling_is_highest() -> None:
    slope = {"area_mm": [[1700, 0], [2400, 0], [2400, 1800], [1700, 1800]],
             "through_mm": [[1700, 0, 2400], [2400, 0, 1700], [1700, 1800, 2400]]}  # fmt: skip
    scene = sample_scene([], [], ceiling={"height_mm": 2400, "slopes": [slope]})

    highest = [setting_out(scene, edge, []).up.figures[-1] for edge in range(4)]

    assert highest == [2400, 1700, 2400, 2400]


def test_a_room_whose_ceiling_is_not_measured_still_has_its_heights() -> None:
    tank = box_kit("tank")
    scene = sample_scene([tank], [piece(tank, 300, 1600)], ceiling={"height_mm": None})

    assert setting_out(scene, 2, ["tank"]).up.figures == (0, 800)


def test_a_piece_that_is_not_there_is_refused() -> None:
    with pytest.raises(KeyError, match="p9"):
        setting_out(sample_scene([], []), 0, ["p9"])
