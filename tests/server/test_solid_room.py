"""The room to be turned, read back from the bytes of its file: the format, closed solids, and sizes of the model."""

from functools import cache
from math import pi, sin
from struct import unpack_from
from typing import Any

import numpy as np
import pytest

from geometry.reading import read_room
from geometry.samples import box_kit, piece, round_kit, sample_scene
from geometry.scene import Scene, build
from geometry.shapes import Footprint
from geometry.words import start, wall_name
from server.customer_names import everyday_names
from server.drawing.solid_mesh import STEP_DEG, prism
from server.drawing.solid_room import FLOOR_MM, FOOT_MM, KEEP_MM, MATERIALS, solid_room
from server.paths import DEMO_ROOMS, STATIC
from tests.server.drawn import DOOR, FIVE, L_SHAPE, NAMES, NINE
from tests.server.glb_read import Thing, accessor, chunks, described, things

TANK = box_kit("tank", 600, 400, 850, name="Tank")
DRUM = round_kit("drum", 550, 1500, name="Drum")
SIDES = 360 / STEP_DEG
ROUND_SHARE = SIDES / (2 * pi) * sin(2 * pi / SIDES)
"""Area of a regular polygon of so many sides over that of the circle round it (Euclid, by trigonometry)."""


@cache
def demo(name: str) -> Scene:
    return build(read_room((DEMO_ROOMS / f"{name}.json").read_bytes()))


def file_of(scene: Scene, corner: int = 0) -> bytes:
    return solid_room(scene, corner, everyday_names(scene))


@cache
def demo_file(name: str) -> bytes:
    return file_of(demo(name))


def made_of(scene: Scene, material: str) -> list[Thing]:
    return [thing for thing in things(file_of(scene)) if thing.material == material]


def true_mm3(plan: Footprint, height_mm: float) -> float:
    """Volume of an upright solid; of a round one, that of the prism whose corners lie on its circle."""
    share = ROUND_SHARE if plan.radius_mm else 1.0
    straight = plan.area_mm2 - pi * plan.radius_mm**2
    return (straight + share * pi * plan.radius_mm**2) * height_mm


@pytest.mark.parametrize("name", NAMES)
def test_the_file_is_framed_as_the_standard_says(name: str) -> None:
    """Khronos glTF 2.0, 4.4.2 and 4.4.3: magic, version, whole length; chunks JSON and BIN, each a multiple of four."""
    data = demo_file(name)

    assert (data[:4], *unpack_from("<II", data, 4)) == (b"glTF", 2, len(data))
    assert [kind for kind, _ in chunks(data)] == [b"JSON", b"BIN\0"]
    assert all(len(content) % 4 == 0 for _, content in chunks(data))
    assert described(data)["asset"]["version"] == "2.0"
    assert 0 <= len(chunks(data)[1][1]) - described(data)["buffers"][0]["byteLength"] < 4


@pytest.mark.parametrize("name", NAMES)
def test_every_number_is_where_the_file_says_it_is(name: str) -> None:
    """Khronos glTF 2.0, 3.6.2: aligned, inside the buffer, true ends, no number of a corner that is not there."""
    data = demo_file(name)
    told = described(data)

    size = told["buffers"][0]["byteLength"]
    assert all(v["byteOffset"] % 4 == 0 and v["byteOffset"] + v["byteLength"] <= size for v in told["bufferViews"])
    for part in [part for mesh in told["meshes"] for part in mesh["primitives"]]:
        places, numbers = accessor(data, part["attributes"]["POSITION"]), accessor(data, part["indices"])
        ends = told["accessors"][part["attributes"]["POSITION"]]
        assert (places.min(axis=0).tolist(), places.max(axis=0).tolist()) == (ends["min"], ends["max"])
        assert numbers.max() == len(places) - 1 == len(accessor(data, part["attributes"]["NORMAL"])) - 1


@pytest.mark.parametrize("name", NAMES)
def test_every_solid_is_closed_and_turned_outwards(name: str) -> None:
    for thing in things(demo_file(name)):
        for solid in thing.solids:
            assert solid.open_edges == 0, thing.name
            assert solid.volume_m3 > 0, thing.name
            assert solid.facing.min() > 0.99, thing.name
            assert np.linalg.norm(solid.normals, axis=1) == pytest.approx(1, abs=1e-5)


SLANT = {"name": "slant", "area_mm": [[0, 0], [2400, 0], [2400, 1800], [0, 1800]]}
TO_THE_FLOOR = SLANT | {"through_mm": [[0, 0, 2400], [2400, 0, 0], [0, 1800, 2400]]}
SKEW = SLANT | {"through_mm": [[0, 0, 3000], [2400, 0, 600], [0, 1800, 2600]]}
BELOW_THE_FLOOR = SKEW | {"area_mm": NINE}
ALL_GLASS = {"id": "w1", "edge": 2, "from_mm": 0, "width_mm": 2400, "sill_mm": 900, "head_mm": 2400}


@pytest.mark.parametrize("room", [
    {"ceiling": {"height_mm": 2400, "slopes": [TO_THE_FLOOR]}}, {"ceiling": {"height_mm": 2400, "slopes": [SKEW]}},
    {"ceiling": {"height_mm": None, "slopes": [SKEW]}}, {"ceiling": {"height_mm": None}},
    {"outline_mm": NINE, "ceiling": {"height_mm": 2400, "slopes": [BELOW_THE_FLOOR]}},
    {"doors": [DOOR | {"from_mm": 0}], "windows": [ALL_GLASS]}, {"outline_mm": FIVE, "doors": [DOOR]},
], ids=["to the floor", "skew", "skew, no ceiling", "no ceiling", "below the floor", "all glass", "five"])  # fmt: skip
def test_rooms_with_odd_ceilings_and_openings_are_closed_too(room: dict[str, Any]) -> None:
    found = [solid for thing in things(file_of(sample_scene([], [], **room))) for solid in thing.solids]

    assert [solid.open_edges for solid in found] == [0] * len(found)
    assert min(solid.volume_m3 for solid in found) > 0


@pytest.mark.parametrize("name", NAMES)
def test_kit_takes_the_room_that_the_model_says(name: str) -> None:
    scene = demo(name)
    kit = [thing for thing in things(demo_file(name)) if thing.material == "kit"]

    assert [thing.name.lower() for thing in kit] == [everyday_names(scene)[item.id].lower() for item in scene.placed]
    for thing, item in zip(kit, scene.placed, strict=True):
        drawn = [s for s in item.solids() if s.part == "body" or _shows(s.plan.bounds, s.to_mm - s.from_mm)]
        low = np.min([(*s.plan.bounds[:2], s.from_mm) for s in drawn], axis=0)
        high = np.max([(*s.plan.bounds[2:], s.to_mm) for s in drawn], axis=0)
        wide = max(s.plan.radius_mm for s in drawn)
        assert thing.bounds_mm == pytest.approx([*low, *high], abs=0.01 + wide * 0.0022)
        assert thing.volume_mm3 == pytest.approx(sum(true_mm3(s.plan, s.to_mm - s.from_mm) for s in drawn), rel=1e-4)


def _shows(bounds: tuple[float, ...], high_mm: float) -> bool:
    """Whether what sticks out is large enough to be drawn: 12 mm, as on the corner views."""
    return min(bounds[2] - bounds[0], bounds[3] - bounds[1], high_mm) >= 12


@pytest.mark.parametrize("name", NAMES)
def test_the_floor_is_the_outline_of_the_room(name: str) -> None:
    scene = demo(name)
    (floor,) = [thing for thing in things(demo_file(name)) if thing.material == "floor"]

    x0, y0, x1, y1 = scene.floor.bounds
    assert floor.bounds_mm == pytest.approx([x0, y0, -FLOOR_MM, x1, y1, 0], abs=0.01)
    assert floor.volume_mm3 == pytest.approx(scene.floor.area * FLOOR_MM, rel=1e-5)


def test_floor_to_keep_clear_lies_before_the_kit_that_is_looked_after() -> None:
    """By hand: 600 wide and 500 deep, before a body whose front is at y = 1,400."""
    looked_after = TANK | {"visits_a_year": 1, "space": [{"side": "front", "mm": 500, "need": "must", "why": "w"}]}
    (clear,) = made_of(sample_scene([looked_after], [piece(TANK, 300, 1600)]), "keep")

    assert clear.bounds_mm == pytest.approx([0, 900, 0, 600, 1400, KEEP_MM], abs=0.01)


def test_walls_are_as_thick_as_measured_with_the_doorway_and_the_window_cut_through() -> None:
    """By hand: walls 100 thick round 2,400 by 1,800, 2,400 high, less a door 760 by 1,981 and a window 600 by 900."""
    window = {"id": "w1", "edge": 2, "from_mm": 500, "width_mm": 600, "sill_mm": 1100, "head_mm": 2000}
    walls = made_of(sample_scene([], [], doors=[DOOR], windows=[window]), "wall")

    whole = (2600 * 2000 - 2400 * 1800) * 2400
    assert [wall.name for wall in walls] == ["Front wall", "Right wall", "Back wall", "Left wall"]
    assert sum(wall.volume_mm3 for wall in walls) == pytest.approx(whole - 100 * (760 * 1981 + 600 * 900), rel=1e-6)
    assert walls[0].bounds_mm == pytest.approx([-100, -100, 0, 2500, 0, 2400], abs=0.01)


def test_a_pane_stands_in_the_middle_of_its_wall() -> None:
    window = {"id": "w1", "edge": 2, "from_mm": 500, "width_mm": 600, "sill_mm": 1100, "head_mm": 2000}
    (pane,) = made_of(sample_scene([], [], windows=[window]), "pane")

    assert pane.bounds_mm == pytest.approx([1300, 1847, 1100, 1900, 1853, 2000], abs=0.01)


def test_the_foot_of_a_wall_has_a_gap_at_the_doorway() -> None:
    feet = made_of(sample_scene([], [], doors=[DOOR]), "foot")

    whole = (2600 * 2000 - 2400 * 1800) * FOOT_MM
    assert sum(foot.volume_mm3 for foot in feet) == pytest.approx(whole - 760 * 100 * FOOT_MM, rel=1e-6)


def test_walls_meet_in_the_inward_corner_of_a_room_too() -> None:
    """By hand: an L of 2,600 by 2,600 less 1,200 by 1,300, walls of 100 all round."""
    walls = made_of(sample_scene([], [], outline_mm=L_SHAPE), "wall")

    around = (2800 * 2800 - 1200 * 1300) - (2600 * 2600 - 1200 * 1300)
    assert sum(wall.volume_mm3 for wall in walls) == pytest.approx(around * 2400, rel=1e-6)


def test_what_is_solid_under_a_slope_is_a_wedge_and_the_wall_under_it_is_cut() -> None:
    """By hand: from 2,400 at 1,400 across down to 1,400 at 2,400: half of 1,000 by 1,000, over 1,800."""
    slope = {"name": "slope", "area_mm": [[1400, 0], [2400, 0], [2400, 1800], [1400, 1800]],
             "through_mm": [[1400, 0, 2400], [2400, 0, 1400], [1400, 1800, 2400]]}  # fmt: skip
    scene = sample_scene([], [], ceiling={"height_mm": 2400, "slopes": [slope]})

    (wedge,) = made_of(scene, "overhead")
    right = next(wall for wall in made_of(scene, "wall") if wall.name == "Right wall")
    assert wedge.volume_mm3 == pytest.approx(1000 * 1000 / 2 * 1800, rel=1e-6)
    assert right.bounds_mm[5] == pytest.approx(1400, abs=0.01)


def test_a_room_is_not_mirrored() -> None:
    """x to the right stays, up becomes y, and away from the reader becomes minus z (glTF 2.0, 3.4: right-handed)."""
    (tank,) = made_of(sample_scene([TANK], [piece(TANK, 300, 1600)]), "kit")

    (solid,) = tank.solids
    middle = (solid.corners.min(axis=0) + solid.corners.max(axis=0)) / 2
    assert middle == pytest.approx([0.3, 0.425, -1.6], abs=1e-6)


def test_a_round_body_is_smooth_round_its_side() -> None:
    (drum,) = made_of(sample_scene([DRUM], [piece(DRUM, 1000, 1000)]), "kit")

    (solid,) = drum.solids
    side = np.abs(solid.normals[:, 1]) < 0.5
    out = (solid.corners[side][:, [0, 2]] - [1.0, -1.0]) / 0.275
    assert out == pytest.approx(solid.normals[side][:, [0, 2]], abs=1e-5)
    assert drum.bounds_mm == pytest.approx([725, 725, 0, 1275, 1275, 1500], abs=0.01)


@pytest.mark.parametrize(
    "points", [((0, 0), (100, 0)), ((0, 0), (100, 20), (-30, 90)), ((5, 5), (9, 5), (9, 8), (5, 8))]
)
def test_a_grown_plan_of_any_number_of_points_becomes_a_prism(points: tuple[tuple[float, float], ...]) -> None:
    plan = Footprint(points, 50.0)

    mesh = prism(plan, 0, 10)
    corners = np.array([at for at, _ in mesh.corners])
    a, b, c = (corners[np.array(mesh.triangles)[:, i]] for i in range(3))
    volume = np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6
    assert volume == pytest.approx(plan.area_mm2 * 10, rel=0.004)
    assert volume < plan.area_mm2 * 10


def test_the_figure_is_1700_mm_tall_and_stands_on_the_floor() -> None:
    (figure,) = made_of(sample_scene([TANK], [piece(TANK, 300, 1600)]), "figure")

    assert (figure.bounds_mm[2], figure.bounds_mm[5]) == pytest.approx((0, 1700), abs=0.01)


@pytest.mark.parametrize("opens, beyond", [("in", 1), ("out", -1)])
def test_a_door_stands_open_on_the_side_to_which_it_opens(opens: str, beyond: int) -> None:
    door = DOOR | {"leaf": {"kind": "hinged", "width_mm": 800, "thick_mm": 35, "hinge": "start", "opens": opens}}
    (leaf,) = made_of(sample_scene([], [], doors=[door]), "leaf")

    y0, y1 = leaf.bounds_mm[1], leaf.bounds_mm[4]
    assert y1 - y0 == pytest.approx(800, abs=1)
    assert (y0 + y1) / 2 * beyond > 0


def test_a_wall_gives_way_to_an_eye_behind_it() -> None:
    """Seen straight from the front (first letter) the front wall is away; seen from the back (halfway) it stands."""
    front = made_of(sample_scene([], []), "wall")[0].extras["stands"]

    assert (len(front), front[0], front[36]) == (72, "0", "1")


def test_the_same_room_gives_the_same_bytes_whatever_the_order_of_its_pieces() -> None:
    both = [piece(TANK, 300, 1600), piece(DRUM, 1500, 1000)]

    assert file_of(sample_scene([TANK, DRUM], both)) == file_of(sample_scene([TANK, DRUM], both[::-1]))


@pytest.mark.parametrize("name", NAMES)
def test_names_are_everyday_names_and_no_codes(name: str) -> None:
    scene = demo(name)
    names = {thing.name for thing in things(demo_file(name))}

    spoken = [*everyday_names(scene).values(), *(block.name for block in scene.room.fixtures)]
    spoken += [own.name for own in scene.room.keep_free] + [soffit.name for soffit in scene.roof.soffits]
    spoken += [wall_name(scene, edge.index).removeprefix("the ") for edge in scene.edges]
    assert names <= {*(start(name) for name in spoken), "Floor", "Keep clear", "Door", "Window", "Figure"}


def test_the_tones_are_those_of_the_stylesheets() -> None:
    sheets = (STATIC / "look.css").read_text() + (STATIC / "customer.css").read_text()

    assert {material.colour for material in MATERIALS.values() if material.colour not in sheets} == set()


def test_the_first_look_is_that_of_the_picture() -> None:
    """33 degrees round from the front of a room wider than deep; from the next corner 57, a quarter of a turn on."""
    seen: list[Any] = [described(file_of(sample_scene([], []), corner))["scenes"][0]["extras"] for corner in (0, 1)]

    assert [one["round_deg"] for one in seen] == pytest.approx([33, 57 - 90 + 360])
    assert {one["down_deg"] for one in seen} == {35}
