"""Where something of a given height can go in plan: everything that is solid there, and what it leaves free.

Everything solid is grown by what passes (its configuration space); what is left of the plan falls into parts, and two
places are joined when one part holds both.

References
----------
T. Lozano-Perez, Spatial planning: a configuration space approach, IEEE Trans. Computers C-32 (1983).
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import hypot

import numpy as np
import shapely
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry import box as shapely_box
from shapely.geometry.base import BaseGeometry

from geometry.boxes import left_free
from geometry.ceilings import too_low
from geometry.grown import QUARTER_SIDES, Shapes, grown, sums
from geometry.scene import Scene, Solid
from geometry.shapes import Bounds, Footprint, convex_parts, disc
from geometry.units import DEPTH_TOLERANCE_MM, Point

FINE_SIDES = 32
"""Sides a quarter where a width is measured: then round corners cost at most 0.2 mm."""
MARGIN_MM = 6_000.0
_SLIVER_MM2 = 1.0

Parts = tuple[BaseGeometry, ...]
Goal = Callable[[Footprint], BaseGeometry]
"""The place to be reached by the origin of a shape that stands about it."""


@dataclass(frozen=True)
class Obstacle:
    """Something that stands in the way, and whose it is."""

    owner: str
    plan: Footprint


@dataclass(frozen=True)
class Ground:
    """The plan as something of one height sees it."""

    obstacles: tuple[Obstacle, ...]

    @cached_property
    def plans(self) -> tuple[Footprint, ...]:
        """The obstacles' shapes."""
        return tuple(obstacle.plan for obstacle in self.obstacles)

    @cached_property
    def frame(self) -> BaseGeometry:
        """A box round everything, wide enough to walk round outside."""
        bounds = [plan.bounds for plan in self.plans] or [(0.0, 0.0, 0.0, 0.0)]
        m = MARGIN_MM
        return shapely_box(
            min(b[0] for b in bounds) - m, min(b[1] for b in bounds) - m,
            max(b[2] for b in bounds) + m, max(b[3] for b in bounds) + m,
        )  # fmt: skip

    @cached_property
    def _made(self) -> dict[object, Parts]:
        return {}

    @cached_property
    def ends_known(self) -> dict[float, list[tuple[float, float]]]:
        """By the most asked for, between which widths ways have been found to close: others may close there."""
        return {}

    def free(self, radius_mm: float, sides: int = QUARTER_SIDES) -> Parts:
        """The parts of the plan where the middle of a disc may be: never larger than they are."""
        key: object = (radius_mm, sides)
        if key not in self._made:
            self._made[key] = self._left(grown(self.plans, radius_mm, sides))
        return self._made[key]

    @cached_property
    def _bare(self) -> BaseGeometry:
        """Everything that stands about, as it is."""
        return shapely.union_all(grown(self.plans, 0.0, FINE_SIDES))

    def roughly_free(self, radius_mm: float) -> Parts:
        """The same but for shallow hollows: right to about a hundredth of the radius, and far sooner known."""
        key = (radius_mm, 0)
        if key not in self._made:
            taken = self._bare.buffer(radius_mm, quad_segs=QUARTER_SIDES)
            self._made[key] = _parts(self.frame.difference(taken), _SLIVER_MM2)
        return self._made[key]

    def free_of(self, corners: Sequence[Point], *, enclosing: bool = True) -> Parts:
        """The parts of the plan where the origin of a convex shape may be, not turning.

        ``enclosing``: never larger than they are; without it never smaller.
        """
        key = (tuple(corners), enclosing)
        if key not in self._made:
            taken = sums(self.plans, corners, enclosing=enclosing)
            self._made[key] = self._left(taken, 0.0 if not enclosing else _SLIVER_MM2)
        return self._made[key]

    def free_of_square(self, half_mm: float) -> Parts:
        """The parts where the middle of a square may be, square to the room, every obstacle taken as its bounds.

        Never larger than what a disc inside the square has, and sooner worked out.
        """
        return self.free_of_box((-half_mm, -half_mm, half_mm, half_mm))

    def free_of_box(self, box: Bounds) -> Parts:
        """The parts where the origin of a box may be that is square to the room and does not turn, the same.

        Never larger than what any shape within the box has.
        """
        key = ("box", box)
        if key not in self._made:
            free = left_free(self.frame.bounds, _met_by_box(self.plans, box))
            self._made[key] = tuple(part for part in free if part.area > _SLIVER_MM2)
        return self._made[key]

    def _left(self, taken: Shapes, least_mm2: float = _SLIVER_MM2) -> Parts:
        return _parts(self.frame.difference(shapely.union_all(taken)), least_mm2)


@dataclass(frozen=True)
class Narrowed(Ground):
    """A ground in which a little more stands than in another: what that one leaves free, less what is taken of it.

    What stood in the other and does not in this is left standing, so its free parts are never larger than they are.
    """

    wider: Ground
    more: tuple[Footprint, ...]

    def free(self, radius_mm: float, sides: int = QUARTER_SIDES) -> Parts:
        """As that of a ground, out of what the wider one leaves free."""
        key: object = (radius_mm, sides)
        if key not in self._made:
            self._made[key] = self._less(self.wider.free(radius_mm, sides), grown(self.more, radius_mm, sides))
        return self._made[key]

    def free_of(self, corners: Sequence[Point], *, enclosing: bool = True) -> Parts:
        """As that of a ground, out of what the wider one leaves free."""
        key = (tuple(corners), enclosing)
        if key not in self._made:
            before = self.wider.free_of(corners, enclosing=enclosing)
            self._made[key] = self._less(before, sums(self.more, corners, enclosing=enclosing))
        return self._made[key]

    def free_of_box(self, box: Bounds) -> Parts:
        """As that of a ground, out of what the wider one leaves free."""
        key = ("box", box)
        if key not in self._made:
            taken = shapely.box(*np.array(_met_by_box(self.more, box)).reshape(-1, 4).T)
            self._made[key] = self._less(self.wider.free_of_box(box), taken)
        return self._made[key]

    def _less(self, before: Parts, taken: Shapes) -> Parts:
        if not len(taken):
            return before
        more = shapely.union_all(taken)
        left = [_parts(one.difference(more), _SLIVER_MM2) if one.intersects(more) else (one,) for one in before]
        return tuple(part for parts in left for part in parts)


def _met_by_box(plans: Iterable[Footprint], box: Bounds) -> list[Bounds]:
    """Where the origin of a box meets the bounds of each plan."""
    left, low, right, high = box
    return [(x0 - right, y0 - high, x1 - left, y1 - low) for x0, y0, x1, y1 in (plan.bounds for plan in plans)]


def narrowed(wider: Ground, ground: Ground) -> Ground:
    """A ground as another with a little more in it: itself where they are the same."""
    known = set(wider.obstacles)
    more = tuple(one.plan for one in ground.obstacles if one not in known)
    if not more and len(wider.obstacles) == len(ground.obstacles):
        return wider
    return Narrowed(ground.obstacles, wider, more)


def _parts(shape: BaseGeometry, least_mm2: float) -> Parts:
    return tuple(part for part in shapely.get_parts(shape) if part.area > least_mm2)


def ground_for(
    scene: Scene,
    from_mm: float,
    to_mm: float,
    without: frozenset[str] = frozenset(),
    besides: Sequence[Solid] = (),
    *,
    roof: bool = True,
) -> Ground:
    """The plan for something that fills a height band, with some pieces, and single solids besides, taken away.

    Without ``roof`` the ceiling is not in its way.
    """
    found = [
        Obstacle(solid.owner, solid.plan)
        for solid, within in zip(scene.solids, _held_within(scene), strict=True)
        if solid.meets_band(from_mm, to_mm)
        and solid.owner not in without
        and solid not in besides
        and not (within is not None and within.meets_band(from_mm, to_mm))
    ]
    if roof:
        found += [Obstacle(name, area) for name, area in lower_than(scene, to_mm)]
    return Ground(tuple(found))


def _held_within(scene: Scene) -> tuple[Solid | None, ...]:
    """For each solid the body of its own piece that holds it in plan, if one does: where both are, one is enough."""
    if "held within" not in scene.memo:
        bodies = {solid.owner: solid for solid in scene.solids if solid.part == "body"}
        scene.memo["held within"] = tuple(
            body
            if solid.part == "sticks-out" and (body := bodies[solid.owner]) and holds(body.plan, solid.plan)
            else None
            for solid in scene.solids
        )
    found: tuple[Solid | None, ...] = scene.memo["held within"]
    return found


def holds(outer: Footprint, inner: Footprint) -> bool:
    """Whether a plan shape certainly holds another: asked of boxes and discs alone.

    >>> from geometry.shapes import box, disc
    >>> holds(box(0, 0, 9, 9), disc((4, 4), 4)), holds(disc((0, 0), 5), box(-3, -4, 3, 4))
    (True, True)
    >>> holds(disc((0, 0), 5), box(0, 0, 4, 4))
    False
    """
    if outer.is_box:
        a, b = outer.bounds, inner.bounds
        return a[0] <= b[0] and a[1] <= b[1] and b[2] <= a[2] and b[3] <= a[3]
    if len(outer.points) > 1:
        return False
    (x, y), room = outer.points[0], outer.radius_mm - inner.radius_mm
    return all(hypot(px - x, py - y) <= room for px, py in inner.points)


def lower_than(scene: Scene, top_mm: float) -> list[tuple[str, Footprint]]:
    """Where the ceiling is lower than that: slopes and beams, and the whole room under a low flat ceiling."""
    found = too_low(scene.roof, top_mm - DEPTH_TOLERANCE_MM)
    if scene.roof.flat_mm is not None and scene.roof.flat_mm < top_mm - DEPTH_TOLERANCE_MM:
        found += [("ceiling", part) for part in convex_parts(scene.room.outline_mm)]
    return found


def meeting(free: Iterable[BaseGeometry], place: BaseGeometry) -> Parts:
    """The parts that meet a place."""
    return tuple(part for part in free if part.intersects(place))


def joined(free: Iterable[BaseGeometry], start: BaseGeometry, goal: BaseGeometry) -> bool:
    """Whether one part of the free plan meets both places."""
    return any(part.intersects(start) and part.intersects(goal) for part in free)


def passes(ground: Ground, start: BaseGeometry, goal: Goal, width_mm: float, sides: int = QUARTER_SIDES) -> bool:
    """Whether a disc of a diameter can go from one place to another; a square as wide is asked first."""
    end = goal(round_of(width_mm))
    if end.is_empty:
        return False
    return joined(ground.free_of_square(width_mm / 2), start, end) or joined(
        ground.free(width_mm / 2, sides), start, end
    )


def round_of(width_mm: float) -> Footprint:
    """A disc of a diameter about the origin."""
    return disc((0.0, 0.0), width_mm / 2)


def spot(at: Point) -> BaseGeometry:
    """A plan point as a place."""
    return ShapelyPoint(at)
