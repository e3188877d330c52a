from typing import Any

import pytest
from pydantic import ValidationError

from geometry.kit import CHANGEABLE, Change, Kit, Plan, changed, may_change
from geometry.samples import box_kit, round_kit
from geometry.saved import SIDES
from tests.geometry.whole_room import KIND

TAPS = [
    {"name": "front tap", "at_mm": [100, -200, 300], "faces": "front"},
    {"name": "back tap", "at_mm": [100, 200, 300], "faces": "behind"},
    {"name": "left tap", "at_mm": [-300, 0, 300], "faces": "left"},
    {"name": "right tap", "at_mm": [300, 0, 300], "faces": "right"},
    {"name": "top tap", "at_mm": [0, 0, 800], "faces": "above"},
    {"name": "bottom tap", "at_mm": [0, 0, 0], "faces": "below"},
]
TANK = box_kit("tank", 600, 400, 800, dry_kg=20, access=TAPS, space=[{"side": "front", "mm": 450, "why": "lid"}])


def own(kind: dict[str, Any], **figures: float) -> Kit:
    return changed(
        Kit.model_validate(kind), {name: Change(value=value, basis="measured") for name, value in figures.items()}
    )


def taps(kit: Kit) -> dict[str, tuple[float, float, float]]:
    return {point.name: point.at_mm for point in kit.access}


def test_nothing_changed_is_the_kind_itself() -> None:
    kit = Kit.model_validate(TANK)

    assert changed(kit, {}) is kit


def test_a_wider_deeper_higher_box_keeps_its_taps_on_their_faces() -> None:
    moved = taps(own(TANK, width_mm=700, depth_mm=500, height_mm=900))

    assert moved == {
        "front tap": (100, -250, 300), "back tap": (100, 250, 300), "left tap": (-350, 0, 300),
        "right tap": (350, 0, 300), "top tap": (0, 0, 900), "bottom tap": (0, 0, 0),
    }  # fmt: skip


def test_one_changed_figure_leaves_the_others() -> None:
    kit = own(TANK, depth_mm=500)

    assert (kit.plan.width_mm, kit.plan.depth_mm, kit.height_mm) == (600, 500, 800)
    assert taps(kit)["left tap"] == (-300, 0, 300)


def test_a_wider_cylinder_moves_what_is_on_its_sides() -> None:
    kit = own(KIND, round_mm=600)

    assert kit.plan.width_mm == kit.plan.depth_mm == 600
    assert taps(kit)["immersion heater"] == (0, -300, 360)
    assert kit.port[0].at_mm == (0, -300, 1300)


def test_a_changed_space_takes_the_place_of_the_kinds() -> None:
    (space,) = own(TANK, space_front_mm=500).space

    assert (space.side, space.mm, space.why) == ("front", 500, "lid")


def test_a_space_that_the_kind_has_not_got_is_added_and_must_be_there() -> None:
    spaces = own(TANK, space_above_mm=300).space

    assert [(s.side, s.mm, s.need) for s in spaces] == [("front", 450, "must"), ("above", 300, "must")]


def test_a_space_may_be_changed_to_nothing() -> None:
    assert own(TANK, space_front_mm=0).space[0].mm == 0


def test_full_weight_is_dry_weight_and_a_kilogram_a_litre() -> None:
    assert Kit.model_validate(KIND).full_kg == 257
    assert own(KIND, water_l=150, dry_kg=50).full_kg == 200


def test_without_a_dry_weight_the_full_weight_is_unknown() -> None:
    assert Kit.model_validate(box_kit("box", water_l=100)).full_kg is None


@pytest.mark.parametrize("name", [*CHANGEABLE, *(f"space_{side}_mm" for side in SIDES)])
def test_sizes_weights_and_spaces_may_change(name: str) -> None:
    assert may_change(name)


@pytest.mark.parametrize("name", ["", "name", "base_mm", "space_top_mm", "space_front", "plan", "WIDTH_MM"])
def test_nothing_else_may_change(name: str) -> None:
    assert not may_change(name)


@pytest.mark.parametrize("shapes", [{}, {"round_mm": 5.0, "box_mm": (5.0, 5.0)}])
def test_a_plan_is_exactly_one_shape(shapes: dict[str, Any]) -> None:
    with pytest.raises(ValidationError, match="a plan is one of"):
        Plan(**shapes)


def test_an_outline_is_as_wide_and_deep_as_its_bounds() -> None:
    plan = Plan(outline_mm=((-100, 50), (500, 50), (500, 350)))

    assert (plan.width_mm, plan.depth_mm) == (600, 300)


def test_a_kind_has_the_traits_it_lists() -> None:
    kit = Kit.model_validate(KIND)

    assert kit.has("unvented-store") and not kit.has("gas")


def test_a_kind_needs_a_key_a_name_a_plan_and_a_height_only() -> None:
    kit = Kit.model_validate({"key": "k", "name": "K", "plan": {"round_mm": 300}, "height_mm": 500})

    assert (kit.stands_on, kit.base_mm, kit.basis, kit.full_kg) == ("floor", 0, "typical", None)


def test_a_changed_kind_is_checked_again() -> None:
    with pytest.raises(ValidationError):
        own(round_kit("drum"), round_mm=0)
