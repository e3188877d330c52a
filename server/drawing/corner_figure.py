"""The solid figure that gives the corner view its scale: 1,700 mm tall, on free floor where it hides least."""

from collections.abc import Sequence
from math import sqrt

import shapely
from markupsafe import Markup
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from geometry.ceilings import lowest_over
from geometry.scene import Scene
from geometry.shapes import Bounds, disc
from geometry.units import Point
from server.drawing.corner_eye import Eye
from server.drawing.corner_order import Body

TALL_MM = 1700.0
WIDE_MM = 450.0
STANDS_MM = 230.0
"""Radius of the floor the figure takes."""
STEP_MM = 100.0
MOST_SPOTS = 2_000
"""Places that are tried at the most: on a wider floor they lie farther apart."""

# A person seen from the front, in mm: x from the middle, y up from the floor.
_BODY = (
    "M-52,1473C-128,1453-185,1413-196,1315L-225,870C-225,810-182,805-177,860L-148,1196L-156,791L-128,40L-176,0L-52,0"
    "L-10,692L10,692L52,0L176,0L129,40L157,791L148,1196L178,860C182,805 225,810 225,870L196,1315"
    "C185,1413 129,1453 52,1473Z"
)
_HEAD = '<ellipse cx="0" cy="1581" rx="84" ry="119"/>'


def figure_svg(at_mm: Point, eye: Eye) -> Markup:
    """The figure, upright and square to the reader, its feet at a point of the floor."""
    x, y = eye.to_px((*at_mm, 0.0))
    wide, tall = eye.scale_px_mm, eye.scale_px_mm * eye.rise
    return Markup(
        f'<g class="figure" transform="matrix({wide:.5f} 0 0 {-tall:.5f} {x:.2f} {y:.2f})">'
        f'<path d="{_BODY}"/>{_HEAD}</g>'
    )  # fmt: skip


def figure_body(at_mm: Point) -> Body:
    """The floor and height that the figure takes, for the painter's order."""
    return Body(disc(at_mm, STANDS_MM), 0.0, TALL_MM, "figure", "figure")


def stands_at(scene: Scene, bodies: Sequence[Body], eye: Eye) -> Point:
    """Where the figure stands: on free floor, head under the ceiling, where it hides least and is least hidden.

    Where no floor is free it stands beside the room, on the left of the picture.
    """
    spots = [spot for spot in _free_spots(scene, bodies) if _fits_under(scene, spot)]
    if not spots:
        return _beside(scene, eye)
    hidden = _paper_shared(spots, bodies, eye)
    return min(zip(hidden, spots, strict=True))[1]


def _free_spots(scene: Scene, bodies: Sequence[Body]) -> list[Point]:
    room = Polygon(scene.room.outline_mm)
    taken = [body.plan.polygon for body in bodies if body.from_mm < TALL_MM and body.kind != "leaf"]
    free = room.difference(shapely.union_all(taken)).buffer(-STANDS_MM)
    return [spot for spot in grid_over(room.bounds) if shapely.contains_xy(free, *spot)]


def grid_over(bounds: Bounds) -> list[Point]:
    """Places inside some bounds, a step apart: ``MOST_SPOTS`` at the most, however wide they are.

    >>> len(grid_over((0, 0, 1000, 500))), len(grid_over((0, 0, 100_000, 100_000))) <= MOST_SPOTS
    (36, True)
    """
    x0, y0, x1, y1 = bounds
    step = max(STEP_MM, sqrt((x1 - x0) * (y1 - y0) / MOST_SPOTS))
    across, along = int((x1 - x0) / step), int((y1 - y0) / step)
    return [(x0 + i * step, y0 + j * step) for i in range(1, across) for j in range(1, along)]


def _fits_under(scene: Scene, spot: Point) -> bool:
    low = lowest_over(scene.roof, disc(spot, STANDS_MM))
    return low is None or low.height_mm >= TALL_MM


def _paper_shared(spots: Sequence[Point], bodies: Sequence[Body], eye: Eye) -> list[float]:
    outlines = [eye.outline_px(body.ring_mm, body.from_mm, body.to_mm) for body in bodies]
    covered: BaseGeometry = shapely.union_all([Polygon(o) for o in outlines]) if outlines else MultiPolygon()
    half = WIDE_MM / 2 * eye.scale_px_mm
    boxes = []
    for spot in spots:
        (x, foot), (_, head) = eye.to_px((*spot, 0.0)), eye.to_px((*spot, TALL_MM))
        boxes.append(shapely.box(x - half, head, x + half, foot))
    shared = shapely.area(shapely.intersection(boxes, covered))
    return [round(float(area), 3) for area in shared]


def _beside(scene: Scene, eye: Eye) -> Point:
    """A point on the floor beyond the leftmost corner of the room."""
    outline = scene.room.outline_mm
    x, y = min(outline, key=lambda p: p[0] * eye.right[0] + p[1] * eye.right[1])
    off = WIDE_MM / 2 + 250.0
    return (x - eye.right[0] * off, y - eye.right[1] * off)
