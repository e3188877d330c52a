"""Sums of carrying: stand-up, corner, weight; how they answer, grow and refuse."""

from math import cos, hypot, pi, sin
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.errors import SumError
from geometry.sums import SUMS
from geometry.sums.corner import longest_mm, turning
from geometry.sums.stand import diagonal_mm

widths = st.floats(300, 3000)


def working(name: str, **given: Any) -> list[str]:
    lines: list[str] = SUMS[name].run(given)["working"]
    return lines


def test_standing_up_is_written_out_as_pythagoras() -> None:
    """3, 4, 5."""
    assert working("stand-up", height_mm=4000, base_mm=3000) == [
        "height 4,000 × 4,000: 16,000,000", "base 3,000 × 3,000: 9,000,000", "together: 25,000,000 mm²",
        "square root of that, rounded up: 5,000 mm",
        "The ceiling must be 5,000 mm or more, clear of beams and lamps, to tip it up.",
    ]  # fmt: skip


def test_the_corner_is_written_out_with_both_ways_round() -> None:
    lines = working("corner", first_mm=900, second_mm=900, width_mm=600)

    assert lines[0].startswith(
        "turning, at an angle t: (900 sin t + 900 cos t − 600) ÷ (sin t cos t), least at t = 45°"
    )
    assert lines[1:3] == [
        "sliding through without a turn: as long as the wider corridor: 900 mm",
        "the longer of the two, rounded down: 1,345 mm",
    ]  # fmt: skip


@given(widths, widths, st.floats(0, 1))
def test_the_corner_is_the_least_over_all_angles(first: float, second: float, part: float) -> None:
    """Against 2,000 angles tried one by one."""
    width = part * min(first, second)
    angles = [k * pi / 4002 for k in range(1, 2001)]
    tried = min((first * sin(t) + second * cos(t) - width) / (sin(t) * cos(t)) for t in angles)

    found, _ = turning(first, second, width)

    assert found <= tried + 1e-6
    assert found == pytest.approx(tried, rel=1e-4, abs=0.5)


@given(widths, widths, st.floats(0, 1))
def test_the_corner_is_the_same_from_either_end_and_never_less_than_a_corridor(
    first: float, second: float, part: float
) -> None:
    width = part * min(first, second)

    longest = longest_mm(first, second, width)

    assert longest == pytest.approx(longest_mm(second, first, width), rel=1e-9)
    assert longest >= max(first, second)


@given(widths, st.floats(0, 1), st.floats(0, 1))
def test_a_wider_thing_is_never_allowed_longer(corridor: float, one: float, other: float) -> None:
    narrow, wide = sorted((one * corridor, other * corridor))

    assert longest_mm(corridor, corridor, wide) <= longest_mm(corridor, corridor, narrow) + 1e-6


def test_a_thing_wider_than_a_corridor_is_refused_and_one_as_wide_slides_through() -> None:
    with pytest.raises(SumError, match="does not go into a corridor of 900 mm"):
        longest_mm(900, 1200, 901)
    assert longest_mm(900, 1200, 900) >= 1200


@pytest.mark.parametrize(("first", "second", "width"), [(0, 900, 0), (900, -1, 0), (900, 900, -1)])
def test_corridors_and_widths_of_nothing_are_refused(first: float, second: float, width: float) -> None:
    with pytest.raises(SumError):
        longest_mm(first, second, width)


@given(st.floats(1, 1e4), st.floats(1, 1e4))
def test_the_diagonal_is_longer_than_both_sides_and_shorter_than_both_together(height: float, base: float) -> None:
    assert max(height, base) < diagonal_mm(height, base) < height + base
    assert diagonal_mm(height, base) == hypot(base, height)


@pytest.mark.parametrize(("height", "base"), [(0, 1), (1, 0)])
def test_a_height_or_base_of_nothing_is_refused(height: float, base: float) -> None:
    with pytest.raises(SumError):
        diagonal_mm(height, base)


def test_weight_is_written_out_from_dry_to_pressure_and_ends_with_the_engineer() -> None:
    """50 + 250 = 300 kg; 300 x 9.81 / 1,000 = 2.943 kN; on 0.55 x 0.55 m = 0.3025 m²: 9.7 kN/m²."""
    assert working("weight", dry_kg=50, litres=250, width_mm=550, depth_mm=550) == [
        "empty: 50 kg", "250 litres of water, 1 kg each: 250 kg", "full: 300 kg", "300 × 9.81 ÷ 1,000: 2.943 kN",
        "base 550 × 550 mm: 0.3025 m²", "2.943 ÷ 0.3025: 9.7 kN/m²",
        "a dwelling's floor is usually designed for: 1.5 kN/m² spread",
        "It presses with 9.7 kN/m² on its own base: ask a structural engineer what carries it.",
    ]  # fmt: skip


def test_a_round_base_presses_on_a_circle() -> None:
    """265 × 9.81 / 1,000 = 2.59965 kN on π / 4 × 0.55² = 0.237583 m²: 10.942 kN/m²."""
    given = {"dry_kg": 55, "litres": 210, "round_mm": 550}

    assert SUMS["weight"].run(given)["result"] == {"full_kg": 265.0, "kn": 2.6, "kn_m2": 10.942}
    assert "base Ø550 mm, π ÷ 4 × 550²: 0.2376 m²" in working("weight", **given)


@pytest.mark.parametrize("base", [{}, {"width_mm": 550}, {"round_mm": 550, "depth_mm": 550}])
def test_a_base_is_square_or_round_and_never_half_given(base: dict[str, float]) -> None:
    with pytest.raises(SumError, match="its diameter"):
        SUMS["weight"].run({"dry_kg": 55, "litres": 210, **base})


def test_a_base_of_nothing_is_refused() -> None:
    with pytest.raises(SumError, match="Square base: its width is 1 or more"):
        SUMS["weight"].run({"dry_kg": 1, "litres": 1, "width_mm": 0, "depth_mm": 1})
