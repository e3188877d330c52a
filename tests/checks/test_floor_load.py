"""Full weight and pressure: on the own base, on a board, in a patch with what stands close, on a platform."""

from math import pi
from typing import Any

import pytest

from geometry.check import Finding
from geometry.samples import box_kit, piece, round_kit
from tests.checks.found import findings

G = 9.81
CYLINDER = round_kit("cylinder", 550, 2080, dry_kg=62, water_l=300)
BOARD = {"id": "f1", "name": "board", "area_mm": [[800, 500], [1600, 500], [1600, 1300], [800, 1300]], "to_mm": 25}


def load(kinds: list[dict[str, Any]], pieces: list[dict[str, Any]], **room: Any) -> list[Finding]:
    """Everything but the one finding about all kit together."""
    return [f for f in findings("floor-load", kinds, pieces, **room) if f.topic != "total"]


def one(found: list[Finding], topic: str = "") -> Finding:
    (finding,) = [f for f in found if f.topic == topic and f.unit == "kN/m2"]
    return finding


def box(key: str, kg: float, width: float = 600, depth: float = 600, **more: Any) -> dict[str, Any]:
    return box_kit(key, width, depth, dry_kg=kg, **more)


def test_a_cylinder_presses_on_its_own_round_base() -> None:
    """362 kg on 550 mm round: 14.9 kN/m²."""
    finding = one(load([CYLINDER], [piece(CYLINDER, 1200, 900)]))

    assert finding.verdict == "not-checked"
    assert finding.found == pytest.approx(362 * G / 1000 / (pi * 0.275**2))
    assert finding.message == "Cylinder weighs 362 kg full: 3.55 kN, 14.9 kN/m² on its own base."


def test_a_board_fixed_in_the_room_spreads_it() -> None:
    """362 kg on an 800 by 800 board: 5.5 kN/m²."""
    finding = one(load([CYLINDER], [piece(CYLINDER, 1200, 900, base_mm=25)], fixtures=[BOARD]))

    assert finding.found == pytest.approx(362 * G / 1000 / 0.64)
    assert finding.message.endswith("5.5 kN/m² spread by the board.")


def test_a_board_that_is_kit_spreads_it_and_weighs_with_it() -> None:
    board = box("board", 12, 800, 800, height=25)

    finding = one(load([CYLINDER, board], [piece(board, 1200, 900), piece(CYLINDER, 1200, 900, base_mm=25)]))

    assert finding.found == pytest.approx(374 * G / 1000 / 0.64)
    assert finding.message == (
        "Cylinder and the board together weigh 374 kg full: 3.67 kN, 5.7 kN/m² spread by the board."
    )
    assert finding.pieces == ("cylinder", "board")


@pytest.mark.parametrize(("base", "spread"), [(25, True), (29, True), (31, False)])
def test_a_piece_that_does_not_touch_the_board_is_not_spread_by_it(base: float, spread: bool) -> None:
    finding = one(load([CYLINDER], [piece(CYLINDER, 1200, 900, base_mm=base)], fixtures=[BOARD]))

    assert ("spread by the board" in finding.message) == spread


def test_a_machine_on_another_presses_through_it() -> None:
    lower, upper = box("washer", 70), box("dryer", 48)

    finding = one(load([lower, upper], [piece(lower, 400, 900), piece(upper, 400, 900, base_mm=800)]))

    assert finding.found == pytest.approx(118 * G / 1000 / 0.36)
    assert finding.message.startswith("Washer and the dryer together weigh 118 kg full")


def test_what_stands_on_a_shelf_fixed_to_the_wall_does_not_press_on_the_floor() -> None:
    shelf = BOARD | {"name": "shelf", "from_mm": 1000, "to_mm": 1025}

    (finding,) = load([CYLINDER], [piece(CYLINDER, 1200, 900, base_mm=1025)], fixtures=[shelf])

    assert finding.question == "What carries the shelf with 362 kg on it?"


@pytest.mark.parametrize(("kg", "asked"), [(99.9, 0), (100, 1)])
def test_from_100_kg_on_a_piece_is_asked_about_by_itself(kg: float, asked: int) -> None:
    assert len(load([box("tank", kg)], [piece(box("tank", kg), 1200, 900)])) == asked


@pytest.mark.parametrize(("allow", "verdict"), [(14.0, "put-right"), (14.95, "not-checked"), (20, "not-checked")])
def test_more_than_the_floor_s_own_figure_is_put_right_and_less_is_still_asked(allow: float, verdict: str) -> None:
    finding = one(load([CYLINDER], [piece(CYLINDER, 1200, 900)], floor={"allow_kn_m2": allow}))

    assert finding.verdict == verdict
    assert finding.short == (pytest.approx(14.947 - allow, abs=1e-3) if verdict == "put-right" else None)


@pytest.mark.parametrize("allow", [14.0, 20])
def test_a_floor_with_a_figure_of_its_own_is_not_told_a_dwelling_s(allow: float) -> None:
    finding = one(load([CYLINDER], [piece(CYLINDER, 1200, 900)], floor={"allow_kn_m2": allow}))

    assert "dwelling" not in finding.reason
    assert finding.source is not None
    assert finding.source.standing == "own figure"


@pytest.mark.parametrize(("gap", "patches"), [(0, 1), (399, 1), (400, 0), (401, 0)])
def test_two_heavy_pieces_closer_than_400_mm_share_a_patch(gap: float, patches: int) -> None:
    """200 kg on 600 by 600 each: together on (1,200 + gap) by 600."""
    one_tank, other = box("a", 200), box("b", 200)

    found = load([one_tank, other], [piece(one_tank, 400, 900), piece(other, 1000 + gap, 900)])
    patch = [f for f in found if f.topic == "patch"]

    assert len(patch) == patches
    if patch:
        assert patch[0].found == pytest.approx(400 * G / 1000 / ((1.2 + gap / 1000) * 0.6), rel=1e-6)
        assert patch[0].pieces == ("a", "b")


def test_a_light_piece_between_two_heavy_ones_joins_nothing() -> None:
    kinds = [box("a", 200), box("light", 50, 100), box("b", 200)]

    found = load(kinds, [piece(kinds[0], 300, 900), piece(kinds[1], 900, 900), piece(kinds[2], 1500, 900)])

    assert [f for f in found if f.topic == "patch"] == []


def test_a_corner_of_three_does_not_count_the_floor_that_none_is_near() -> None:
    """A row of two at the back, one before the first: two patches of two, joined; 1.2 x 0.6 + 0.6 x 0.6 m²."""
    kinds = [box(key, 200) for key in "abc"]
    far = [piece(kinds[0], 300, 1500), piece(kinds[1], 900, 1500), piece(kinds[2], 300, 900)]

    found = load(kinds, far)
    (patch,) = [f for f in found if f.topic == "patch"]

    assert patch.found is not None
    diagonal = 600 * G / 1000 / (1.2 * 1.2 - 0.6 * 0.6 / 2)
    assert patch.found == pytest.approx(diagonal, rel=1e-6)


def test_an_unknown_weight_is_asked_for_and_the_board_under_it_too() -> None:
    tank = box_kit("tank")

    found = load([tank], [piece(tank, 1200, 900)])

    assert [f.question for f in found] == ["What does the tank weigh, full?"]


def tank_on(beyond: float, x: float = 1200, **room: Any) -> Finding:
    tank = box("tank", 16, 600, 450, traits=["cistern"], water_l=230)
    plinth = box("plinth", 5, 600 + 2 * beyond, 450 + 2 * beyond, height=100)
    pieces = [piece(plinth, x, 900), piece(tank, x, 900, base_mm=100)]
    (found,) = [f for f in load([tank, plinth], pieces, tolerance_mm=0, **room) if f.topic == "platform"]
    return found


@pytest.mark.parametrize(
    ("beyond", "verdict"), [(149, "look-again"), (150, "no-fault"), (151, "no-fault"), (0, "look-again")]
)
def test_the_platform_of_a_cistern_reaches_150_mm_beyond_it(beyond: float, verdict: str) -> None:
    """Textbook: the platform is at least 150 mm larger all round; 600 by 450 wants 900 by 750."""
    finding = tank_on(beyond)

    assert (finding.verdict, finding.found) == (verdict, pytest.approx(beyond, abs=1e-3))


def test_where_the_wall_is_nearer_the_platform_goes_to_the_wall() -> None:
    """Base 300 from x = 50 on, platform from x = 0: nothing bare between it and the left wall."""
    tank = box("tank", 16, 600, 450, traits=["cistern"], water_l=230)
    plinth = box("plinth", 5, 800, 750, height=100)

    found = load(
        [tank, plinth], [piece(plinth, 400, 900), piece(tank, 350, 900, base_mm=100)], tolerance_mm=0,
    )  # fmt: skip

    (finding,) = [f for f in found if f.topic == "platform"]
    assert (finding.verdict, finding.found) == ("no-fault", pytest.approx(150, abs=1e-3))


def test_a_tank_that_stands_on_nothing_drawn_is_asked_about_and_one_on_the_floor_is_not() -> None:
    tank = box("tank", 16, traits=["cistern"], water_l=230, base_mm=100)

    raised, low = (load([tank], [piece(tank, 1200, 900, base_mm=base)]) for base in (100, 0))

    assert [f.verdict for f in raised if f.topic == "platform"] == ["not-checked"]
    assert [f for f in low if f.topic == "platform"] == []


def all_kit(kg: float, **room: Any) -> list[Finding]:
    tank = box("tank", kg)
    return [f for f in findings("floor-load", [tank], [piece(tank, 1200, 900)], **room) if f.topic == "total"]


@pytest.mark.parametrize(("kg", "asked"), [(660, 0), (661, 1)])
def test_all_kit_is_asked_about_from_more_than_a_dwelling_s_floor_is_designed_for(kg: float, asked: int) -> None:
    """1.5 kN/m² (national annex to the loads standard) on 2.4 by 1.8 m is 6.48 kN: 660.55 kg at 9.81."""
    assert len(all_kit(kg)) == asked


def test_a_floor_s_own_figure_takes_the_place_of_a_dwelling_s() -> None:
    assert all_kit(700, floor={"allow_kn_m2": 7.5}) == []
    assert len(all_kit(500, floor={"allow_kn_m2": 1.0})) == 1


def test_all_kit_together_is_told_over_the_whole_floor() -> None:
    """800 x 9.81 / 4.32 m²: 1.8 kN/m²."""
    (total,) = all_kit(800)

    assert total.message == "All kit weighs 800 kg full, 1.8 kN/m² over the whole floor."
    assert total.question == "Has an engineer looked at the floor with 800 kg on it?"


@pytest.mark.parametrize(("floor", "slab"), [
    ({"storey": "ground", "build": "concrete"}, True), ({"storey": "upper", "build": "concrete"}, False),
    ({"storey": "ground", "build": "timber"}, False), ({"storey": "ground"}, False),
])  # fmt: skip
def test_of_a_concrete_floor_on_the_ground_it_is_asked_whether_the_slab_is_sound(floor: Any, slab: bool) -> None:
    finding = one(load([CYLINDER], [piece(CYLINDER, 1200, 900)], floor=floor))

    assert (finding.question == "Ground floor, concrete: is the slab sound and level under 362 kg?") == slab
