"""Where a round or turning thing of a given height can go in plan, and how wide the narrowest place on its way is.

Everything solid is grown by the size of what is carried (its configuration space); what is left of the plan falls
into parts, and two places are joined when one part holds both.

A disc is answered by bisection of its radius. A rectangle that may turn is answered from both sides: *sound* layers
(the shape swept between neighbouring headings) never say yes wrongly, *relaxed* layers (what is common to the
headings between) never say no wrongly; between the two the answer is "too close to call".

References
----------
T. Lozano-Perez, Spatial planning: a configuration space approach, IEEE Trans. Computers C-32 (1983).
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from math import cos, hypot, radians, sin
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry import box as shapely_box
from shapely.geometry.base import BaseGeometry

from geometry.ceilings import clipped, too_low
from geometry.scene import Scene
from geometry.shapes import Footprint, hull, separation
from geometry.units import DEPTH_TOLERANCE_MM, Point

QUARTER_SEGMENTS = 16
PRECISION_MM = 0.25
CONTACT_MM = 0.1
"""Shaved off each side of a turning shape, so that a piece that touches its neighbour can start."""
MARGIN_MM = 6_000.0


@dataclass(frozen=True)
class Obstacle:
    """Something that stands in the way, and whose it is."""

    owner: str
    plan: Footprint


@dataclass(frozen=True)
class Pinch:
    """The narrowest place on the widest way: how wide, where, and between which two things."""

    width_mm: float
    at: Point
    between: tuple[str, str]


@dataclass(frozen=True)
class Ground:
    """The plan as something of one height sees it."""

    obstacles: tuple[Obstacle, ...]

    @cached_property
    def shapes(self) -> NDArray[np.object_]:
        """The obstacles' cores as an array of shapes, and nothing grown."""
        return np.array([_core(o.plan) for o in self.obstacles], dtype=object)

    @cached_property
    def radii(self) -> NDArray[np.float64]:
        """The radius by which each core is grown already."""
        return np.array([o.plan.radius_mm for o in self.obstacles])

    @cached_property
    def frame(self) -> BaseGeometry:
        """A box round everything, wide enough to walk round outside."""
        bounds = [o.plan.bounds for o in self.obstacles] or [(0.0, 0.0, 0.0, 0.0)]
        m = MARGIN_MM
        return shapely_box(
            min(b[0] for b in bounds) - m, min(b[1] for b in bounds) - m,
            max(b[2] for b in bounds) + m, max(b[3] for b in bounds) + m,
        )  # fmt: skip

    def free(self, radius_mm: float) -> tuple[BaseGeometry, ...]:
        """The parts of the plan where the middle of a disc may be."""
        grown = shapely.buffer(self.shapes, self.radii + radius_mm, quad_segs=QUARTER_SEGMENTS)
        return parts(self.frame.difference(shapely.union_all(grown)))

    def free_of(self, corners: Sequence[Point]) -> tuple[BaseGeometry, ...]:
        """The parts of the plan where the origin of a convex shape may be, not turning."""
        shape = np.asarray(corners)
        grown = []
        for obstacle in self.obstacles:
            core = np.asarray(obstacle.plan.points)
            sums = (core[:, None, :] - shape[None, :, :]).reshape(-1, 2)
            grown.append(shapely.multipoints(sums))
        hulls = shapely.convex_hull(np.array(grown, dtype=object))
        round_ones = self.radii > 0
        hulls[round_ones] = shapely.buffer(hulls[round_ones], self.radii[round_ones], quad_segs=QUARTER_SEGMENTS)
        return parts(self.frame.difference(shapely.union_all(hulls)))


def _core(plan: Footprint) -> BaseGeometry:
    if len(plan.points) == 1:
        return ShapelyPoint(plan.points[0])
    if len(plan.points) == 2:
        return shapely.linestrings(plan.points)
    return shapely.polygons(plan.points)


def parts(shape: BaseGeometry) -> tuple[BaseGeometry, ...]:
    """The parts of a shape that are more than rounding."""
    return tuple(part for part in shapely.get_parts(shape) if part.area > 1.0)


def ground_for(scene: Scene, from_mm: float, to_mm: float, without: frozenset[str] = frozenset()) -> Ground:
    """The plan for something that fills a height band, with some pieces taken away."""
    found = [
        Obstacle(solid.owner, solid.plan)
        for solid in scene.solids
        if solid.owner not in without and solid.meets_band(from_mm, to_mm)
    ]
    found += [Obstacle(name, area) for name, area in too_low(scene.roof, to_mm - DEPTH_TOLERANCE_MM)]
    return Ground(tuple(found))


def joined(free: Iterable[BaseGeometry], start: BaseGeometry, goal: BaseGeometry) -> bool:
    """Whether one part of the free plan meets both places."""
    return any(part.intersects(start) and part.intersects(goal) for part in free)


def widest(ground: Ground, start: Point, goal: Callable[[float], BaseGeometry], most_mm: float) -> float:
    """The largest diameter, up to ``most_mm``, that can go from a point to a goal; 0 where none can.

    ``goal`` gives the place to be reached by a disc of a radius. Good to 0.5 mm.
    """
    here = ShapelyPoint(start)

    def passes(diameter: float) -> bool:
        return joined(ground.free(diameter / 2), here, goal(diameter / 2))

    if passes(most_mm):
        return most_mm
    low, high = 0.0, most_mm
    while high - low > PRECISION_MM:
        middle = (low + high) / 2
        low, high = (middle, high) if passes(middle) else (low, middle)
    return low


def pinch(ground: Ground, start: Point, goal: Callable[[float], BaseGeometry], width_mm: float) -> Pinch:
    """Where a way of that width closes, and between which two things."""
    radius = (width_mm + 2 * PRECISION_MM) / 2
    free = ground.free(radius)
    near_start = [part for part in free if part.intersects(ShapelyPoint(start))]
    far = [part for part in free if part.intersects(goal(radius)) and part not in near_start]
    here = shapely.union_all(near_start) if near_start else ShapelyPoint(start)
    there = shapely.union_all(far) if far else goal(radius)
    line = shapely.shortest_line(here, there)
    (x0, y0), (x1, y1) = (tuple(c) for c in shapely.get_coordinates(line)[[0, -1]])
    at = ((x0 + x1) / 2, (y0 + y1) / 2)
    return Pinch(width_mm, at, _between(ground, at))


def _between(ground: Ground, at: Point) -> tuple[str, str]:
    """The two nearest things on different sides of a point."""
    probe = Footprint((at,), 0.0)
    ranked = sorted((separation(probe, o.plan).gap_mm, i) for i, o in enumerate(ground.obstacles))
    first = ground.obstacles[ranked[0][1]]
    away = _toward(at, first.plan)
    for _, i in ranked[1:]:
        other = ground.obstacles[i]
        x, y = _toward(at, other.plan)
        if x * away[0] + y * away[1] < 0.3:
            return (first.owner, other.owner)
    return (first.owner, first.owner)


def _toward(at: Point, plan: Footprint) -> Point:
    move = separation(Footprint((at,), 0.0), plan).move_mm
    length = hypot(*move) or 1.0
    return (move[0] / length, move[1] / length)


Answer = Literal["out", "trapped", "too-close"]


@dataclass
class _Layers:
    """Free parts by heading or step, built when the search first asks for them."""

    ground: Ground
    shape: Callable[[int], Sequence[Point]]
    count: int
    made: dict[int, tuple[BaseGeometry, ...]] = field(default_factory=dict)

    def at(self, index: int) -> tuple[BaseGeometry, ...]:
        index %= self.count
        if index not in self.made:
            self.made[index] = self.ground.free_of(self.shape(index))
        return self.made[index]


def rectangle(length_mm: float, width_mm: float, heading_deg: float) -> tuple[Point, ...]:
    """Corners of a rectangle about the origin, its length along the heading."""
    t = radians(heading_deg)
    c, s = cos(t), sin(t)
    a, b = length_mm / 2, width_mm / 2
    return tuple((x * c - y * s, x * s + y * c) for x, y in ((-a, -b), (a, -b), (a, b), (-a, b)))


def _swept(length: float, width: float, start_deg: float, step_deg: float) -> tuple[Point, ...]:
    """A convex shape that holds the rectangle at every heading of a step."""
    both = [*rectangle(length, width, start_deg), *rectangle(length, width, start_deg + step_deg)]
    stretch = 1 / cos(radians(step_deg) / 2)
    middle = rectangle(length, width, start_deg + step_deg / 2)
    return hull([*both, *((x * stretch, y * stretch) for x, y in middle)])


def _common(length: float, width: float, start_deg: float, step_deg: float) -> tuple[Point, ...]:
    """A convex shape that is held by the rectangle at every heading of a step."""
    inner = clipped(rectangle(length, width, start_deg), rectangle(length, width, start_deg + step_deg))
    shrink = cos(radians(step_deg) / 2)
    return tuple(clipped(inner, rectangle(length * shrink, width * shrink, start_deg + step_deg / 2)))


@dataclass(frozen=True)
class Carried:
    """A rectangle to be carried: its size, where its middle is, and its heading."""

    length_mm: float
    width_mm: float
    at: Point
    heading_deg: float

    @property
    def radius_mm(self) -> float:
        """Half the diagonal."""
        return hypot(self.length_mm, self.width_mm) / 2


def carry(ground: Ground, carried: Carried, goal: Callable[[float], BaseGeometry], finest: int = 128) -> Answer:
    """Whether a rectangle can be brought from where it is to a goal, turning as need be."""
    free = ground.free(carried.radius_mm)
    anywhere = tuple(part for part in free if part.intersects(goal(carried.radius_mm)))
    short = min(carried.length_mm, carried.width_mm) / 2
    if not joined(ground.free(short - CONTACT_MM), ShapelyPoint(carried.at), goal(short)):
        return "trapped"
    count = 16
    while count <= finest:
        if _sound(ground, carried, anywhere, goal, count):
            return "out"
        if not _relaxed(ground, carried, goal, count):
            return "trapped"
        count *= 2
    return "too-close"


def _sound(
    ground: Ground, carried: Carried, anywhere: tuple[BaseGeometry, ...], goal: Callable[[float], BaseGeometry],
    count: int,
) -> bool:  # fmt: skip
    step = 180 / count
    length, width = carried.length_mm - 2 * CONTACT_MM, carried.width_mm - 2 * CONTACT_MM
    still = _Layers(ground, lambda i: rectangle(length, width, carried.heading_deg + i * step), count)
    turning = _Layers(ground, lambda i: _swept(length, width, carried.heading_deg + i * step, step), count)
    here = ShapelyPoint(carried.at)
    out = goal(carried.radius_mm)
    queue = [(0, n) for n, part in enumerate(still.at(0)) if part.intersects(here)]
    seen = set(queue)
    while queue:
        layer, n = queue.pop(0)
        place = still.at(layer)[n]
        if place.intersects(out) or any(place.intersects(part) for part in anywhere):
            return True
        for following, between in ((layer + 1, layer), (layer - 1, layer - 1)):
            following %= count
            for turn in turning.at(between):
                if not turn.intersects(place):
                    continue
                for m, other in enumerate(still.at(following)):
                    if (following, m) not in seen and other.intersects(turn):
                        seen.add((following, m))
                        queue.append((following, m))
    return False


def _relaxed(ground: Ground, carried: Carried, goal: Callable[[float], BaseGeometry], count: int) -> bool:
    step = 180 / count
    length, width = carried.length_mm - 2 * CONTACT_MM, carried.width_mm - 2 * CONTACT_MM
    steps = _Layers(ground, lambda i: _common(length, width, carried.heading_deg + i * step, step), count)
    here, out = ShapelyPoint(carried.at), goal(carried.radius_mm)
    queue = [(i, n) for i in (0, count - 1) for n, part in enumerate(steps.at(i)) if part.intersects(here)]
    seen = set(queue)
    while queue:
        layer, n = queue.pop(0)
        place = steps.at(layer)[n]
        if place.intersects(out):
            return True
        for following in ((layer + 1) % count, (layer - 1) % count):
            for m, other in enumerate(steps.at(following)):
                if (following, m) not in seen and other.intersects(place):
                    seen.add((following, m))
                    queue.append((following, m))
    return False
