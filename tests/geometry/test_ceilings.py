from math import hypot
from random import Random
from typing import Any

import numpy as np
import pytest
import shapely

from geometry.ceilings import Low, Plane, Roof, lowest_over, plane_through, roof_of, too_low
from geometry.room import Ceiling
from geometry.shapes import Footprint, box, disc, turned
from tests.geometry.oracles import framed, random_shape, solid

STEP_MM = 4.0
RECTANGLE = [[0, 0], [1900, 0], [1900, 900], [0, 900]]
L_AREA = [[0, 0], [1900, 0], [1900, 300], [700, 300], [700, 900], [0, 900]]


def ceiling(height: float | None = 2400, **more: Any) -> Roof:
    return roof_of(Ceiling.model_validate({"height_mm": height, **more}))


def slope(area: list[list[float]], heights: tuple[float, float, float], name: str = "soffit") -> dict[str, Any]:
    """A slope through heights at (0, 0), (1900, 0) and (0, 900)."""
    spots = [(0, 0), (1900, 0), (0, 900)]
    return {"name": name, "area_mm": area, "through_mm": [[*at, z] for at, z in zip(spots, heights, strict=True)]}


def beam(x0: float, x1: float, soffit_mm: float, name: str = "beam") -> dict[str, Any]:
    return {"name": name, "area_mm": [[x0, 0], [x1, 0], [x1, 1800], [x0, 1800]], "soffit_mm": soffit_mm}


def sampled_lowest(roof: Roof, shape: Footprint) -> float:
    """The lowest of very many points of the part of a shape under the roof."""
    lows = [] if roof.flat_mm is None else [roof.flat_mm]
    for soffit in roof.soffits:
        shared = shapely.intersection(solid(shape), soffit.area.polygon)
        if shared.area > 0:
            x0, y0, x1, y1 = shared.bounds
            x, y = (v.ravel() for v in np.meshgrid(np.arange(x0, x1, STEP_MM), np.arange(y0, y1, STEP_MM)))
            inside = shapely.contains_xy(shared, x, y)
            rim = shapely.get_coordinates(shared)
            x, y = np.concatenate([x[inside], rim[:, 0]]), np.concatenate([y[inside], rim[:, 1]])
            lows.append(float(np.min(soffit.plane.a * x + soffit.plane.b * y + soffit.plane.c)))
    return min(lows)


def test_the_lowest_point_is_that_of_dense_sampling() -> None:
    draw = Random(1)
    for _ in range(60):
        heights = (draw.uniform(300, 2600), draw.uniform(300, 2600), draw.uniform(300, 2600))
        turn = draw.choice([0, 0, 30, 77])
        area = [list(turned((x, y), turn)) for x, y in draw.choice([L_AREA, RECTANGLE])]
        roof = ceiling(2600, slopes=[slope(area, heights)], beams=[beam(200, 350, 1400)])
        shape = random_shape(draw, 900)
        low = lowest_over(roof, shape)

        assert low is not None
        steep = max(hypot(s.plane.a, s.plane.b) for s in roof.soffits)
        # the sample may miss the very edge of a round shape, and a stadium's polygon stands out by a hair
        assert low.height_mm == pytest.approx(sampled_lowest(roof, shape), abs=0.01 + 0.12 * steep)


def test_under_a_slope_a_round_body_is_lower_than_its_middle_by_its_radius_times_the_fall() -> None:
    roof = ceiling(slopes=[slope(RECTANGLE, (2300, 700, 2300))])
    low = lowest_over(roof, disc((700, 450), 275))

    assert low is not None
    assert low.height_mm == pytest.approx(2300 - 1600 / 1900 * 975)
    assert low.at == pytest.approx((975, 450))
    assert low.name == "soffit"


def test_a_plane_goes_through_its_three_points() -> None:
    (soffit,) = Ceiling.model_validate({"slopes": [slope(L_AREA, (2300, 700, 1900))]}).slopes
    plane = plane_through(soffit)

    assert [plane.at(x, y) for x, y, _ in soffit.through_mm] == pytest.approx([2300, 700, 1900])


def test_the_lowest_of_ceiling_slope_and_beam_counts() -> None:
    roof = ceiling(2400, beams=[beam(500, 650, 2100), beam(600, 700, 2000, "pipe boxing")])

    assert lowest_over(roof, box(0, 0, 400, 400)) == Low(2400, (200, 200), "ceiling")
    assert [low.name for x in (450, 590) if (low := lowest_over(roof, box(x, 0, x + 60, 400)))] == [
        "beam",
        "pipe boxing",
    ]


def test_a_beam_above_the_ceiling_changes_nothing() -> None:
    low = lowest_over(ceiling(2400, beams=[beam(0, 900, 2500)]), box(0, 0, 400, 400))

    assert low and low.name == "ceiling"


@pytest.mark.parametrize("turn_deg", [0, 15, 45, 200])
def test_what_only_touches_the_side_of_a_beam_is_not_under_it(turn_deg: float) -> None:
    area = [list(turned(p, turn_deg)) for p in ((500, 0), (650, 0), (650, 1800), (500, 1800))]
    roof = ceiling(2400, beams=[{"name": "beam", "area_mm": area, "soffit_mm": 1800}])
    for shape in (box(100, 100, 500, 500), disc((300, 900), 200), Footprint(((100, 300), (300, 300)), 200)):
        beside, under = framed(shape, turn_deg, (0, 0)), framed(shape.moved(2, 0), turn_deg, (0, 0))

        assert [low.name for s in (beside, under) if (low := lowest_over(roof, s))] == ["ceiling", "beam"]


def test_an_unmeasured_ceiling_is_unknown_but_its_beams_are_not() -> None:
    roof = ceiling(None, beams=[beam(500, 650, 1800)])
    low = lowest_over(roof, box(450, 0, 550, 100))

    assert lowest_over(roof, box(0, 0, 100, 100)) is None
    assert low and (low.height_mm, low.name) == (1800, "beam")


def test_a_ceiling_is_known_where_it_is_flat_and_measured_or_slopes_cover_it_together() -> None:
    halves = [slope([[0, 0], [900, 0], [900, 900], [0, 900]], (2300, 2000, 2300)),
              slope([[900, 0], [1900, 0], [1900, 900], [900, 900]], (2300, 2000, 2300), "other")]  # fmt: skip
    across = shapely.box(700, 0, 1100, 900)

    assert ceiling(2400).known_over(across)
    assert ceiling(None, slopes=halves).known_over(across)
    assert not ceiling(None, slopes=halves[:1]).known_over(across)
    assert not ceiling(None).known_over(across)


def test_too_low_is_the_area_where_something_that_tall_does_not_fit() -> None:
    roof = ceiling(slopes=[slope(RECTANGLE, (2300, 700, 2300))])
    ((name, area),) = too_low(roof, 1500)

    assert name == "soffit"
    assert area.bounds == pytest.approx((950, 0, 1900, 900))


def test_nothing_is_too_low_for_what_stays_under_it() -> None:
    roof = ceiling(slopes=[slope(RECTANGLE, (2300, 700, 2300))], beams=[beam(0, 99, 1800)])

    assert too_low(roof, 700) == []
    assert [name for name, _ in too_low(roof, 1800)] == ["soffit"]
    assert [name for name, _ in too_low(roof, 1801)] == ["soffit", "beam"]


def test_a_level_plane_is_level() -> None:
    assert {Plane(0, 0, 1860).at(x, y) for x in (0, 9e4) for y in (-9e4, 0)} == {1860}
