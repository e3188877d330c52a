"""What a pipe meets in a room: obstacles at its height, doorways it may not lie across, what a line goes through."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import inf

import numpy as np

from geometry.ceilings import Plane, too_low
from geometry.clearing import Met, Probe, first_met
from geometry.doors import door_leaves
from geometry.room import Door, Outlet
from geometry.route_lines import Obstacle, chord
from geometry.routes import Frame
from geometry.scene import Box6, Scene, Solid, bounds_of
from geometry.shapes import Footprint, disc, overlap_mm
from geometry.units import DEPTH_TOLERANCE_MM, Point, Point3
from geometry.walls import Edge

_SQUARE_DEG = 90.0
_ARC_STEP_DEG = 10.0
"""Few corners are enough for what a leaf sweeps: the round side is enclosed, with 0.4 % of its width too much."""


@dataclass(frozen=True)
class KeptClear:
    """A place that a pipe keeps out of though nothing solid is there: whose it is, its plan, its heights."""

    ref: str
    plan: Footprint
    from_mm: float
    to_mm: float


def doorways(scene: Scene) -> tuple[KeptClear, ...]:
    """One strip across each doorway: through its wall, and into the room as far as a leaf or a step goes.

    A leaf that has to open past square sweeps beside its doorway too.
    """
    doors = sorted(scene.room.doors, key=lambda door: door.id)
    return tuple(way for door in doors for way in (_doorway(scene, door), *_beside(scene, door)))


def _beside(scene: Scene, door: Door) -> Iterator[KeptClear]:
    for leaf in door_leaves(scene, door) if door.leaf.opens == "in" else ():
        if leaf.needed_deg > _SQUARE_DEG:
            swept = leaf.swept(leaf.needed_deg, _SQUARE_DEG, _ARC_STEP_DEG)
            yield KeptClear(door.id, swept, door.sill_mm, door.head_mm)


def _doorway(scene: Scene, door: Door) -> KeptClear:
    edge = scene.edges[door.edge]
    a, b = door.from_mm, door.from_mm + door.clear_mm
    leaf = door.leaf.width_mm or door.clear_mm
    step = scene.pack.number("doorway-strip")
    deep = max(step, leaf) if door.leaf.opens == "in" and door.leaf.kind in ("hinged", "double") else step
    opposite = min(_across(scene, edge.at(along), edge.inward) for along in (a, (a + b) / 2, b))
    deep = max(0.0, min(deep, opposite - scene.pack.number("doorway-far-wall")))
    corners = (edge.at(a, -edge.thick_mm), edge.at(b, -edge.thick_mm), edge.at(b, deep), edge.at(a, deep))
    return KeptClear(door.id, Footprint(corners), door.sill_mm, door.head_mm)


def _across(scene: Scene, at: Point, inward: Point) -> float:
    """How far it is straight across the room from a point on a wall."""
    found = inf
    for edge in scene.edges:
        slant = inward[0] * edge.inward[0] + inward[1] * edge.inward[1]
        if slant < -1e-9:
            far = edge.measure(at)[1] / -slant
            along = edge.measure((at[0] + far * inward[0], at[1] + far * inward[1]))[0]
            if far > 0 and -1e-6 <= along <= edge.length_mm + 1e-6:
                found = min(found, far)
    return found


def obstacles_between(
    scene: Scene, ways: Sequence[KeptClear], from_mm: float, to_mm: float, without: frozenset[str]
) -> tuple[Obstacle, ...]:
    """Everything that a pipe in this height band goes round, but for the pieces in ``without``."""
    shared = np.minimum(scene.boxes[:, 5], to_mm) - np.maximum(scene.boxes[:, 2], from_mm)
    found = []
    for k in np.flatnonzero(shared > DEPTH_TOLERANCE_MM):
        solid = scene.solids[k]
        if solid.owner not in without and not _beyond(solid):
            found.append(Obstacle(solid.owner, solid.plan))
    found += [Obstacle(name, region) for name, region in too_low(scene.roof, to_mm - DEPTH_TOLERANCE_MM)]
    return (*found, *(Obstacle(way.ref, way.plan) for way in ways if way.from_mm < to_mm and from_mm < way.to_mm))


def _beyond(solid: Solid) -> bool:
    """Whether it is a wall on the far side of a doorway."""
    return solid.part == "wall" and not solid.owner.startswith("edge:")


def boxing_at(scene: Scene, outlet: Outlet) -> frozenset[str]:
    """The fixtures that an outlet is in or on, such as the boxing of a stack: a pipe to it goes into them."""
    at = disc(outlet.at_mm, scene.pack.number("pipe-clip"))
    return frozenset(
        solid.owner
        for solid in scene.solids
        if solid.part == "fixture"
        and solid.from_mm <= outlet.level_mm <= solid.to_mm
        and overlap_mm(at, solid.plan) > DEPTH_TOLERANCE_MM
    )


def free_below(scene: Scene, at: Point3, radius_mm: float, owner: str) -> Met:
    """How far a pipe can go straight down before it meets something, and what: a piece, a fixture or the floor."""
    probe = Probe(owner, (disc((at[0], at[1]), radius_mm),), at[2], at[2], (0.0, 0.0, -1.0))
    fixed, loose = first_met(scene, [probe])[0]
    met = loose or fixed
    assert met is not None
    return met


def in_column(
    scene: Scene, ways: Sequence[KeptClear], at: Point, band: tuple[float, float], radius_mm: float,
    without: frozenset[str],
) -> str | None:  # fmt: skip
    """What stands in the way of an upright pipe between two heights, or None."""
    pipe, (low, high) = disc(at, radius_mm), (min(band), max(band))
    if high - low <= DEPTH_TOLERANCE_MM:
        return None
    (solids,) = scene.near([bounds_of(pipe, low, high)])
    things = [(s.owner, s.plan) for s in solids if s.owner not in without and not _beyond(s)]
    things += too_low(scene.roof, high - DEPTH_TOLERANCE_MM)
    things += [(way.ref, way.plan) for way in ways if way.from_mm < high and low < way.to_mm]
    return next((ref for ref, plan in things if overlap_mm(pipe, plan) > DEPTH_TOLERANCE_MM), None)


def hits(
    scene: Scene, ways: Sequence[KeptClear], points: Sequence[Point3], radius_mm: float, without: frozenset[str],
    out: str | None = None,
) -> tuple[str, ...]:  # fmt: skip
    """Everything that a pipe along a line of points goes through, by id, in the order it meets them.

    Each stretch is measured at its own heights. With ``out``, the wall that the last stretch may go out through or ""
    for none, its middle line has to stay inside the room and above the floor too.
    """
    stretches, ways = list(pairwise(points)), near_line(ways, points, radius_mm)
    boxes = [_bounds(a, b, radius_mm) for a, b in stretches]
    found: list[str] = []
    for k, ((a, b), solids) in enumerate(zip(stretches, scene.near(boxes), strict=True)):
        for solid in solids:
            wall = solid.part == "wall"
            left_by = out is None or (k == len(stretches) - 1 and solid.owner == out)
            if solid.owner in without or _beyond(solid) or (wall and left_by):
                continue
            if goes_through(a, b, radius_mm, 0.0 if wall else radius_mm, solid):
                found.append(solid.owner)
        found += [way.ref for way in ways if goes_through(a, b, radius_mm, radius_mm, way)]
        found += _too_high(scene, a, b, radius_mm)
        if out is not None and min(a[2], b[2]) < min(0.0, points[-1][2]) - DEPTH_TOLERANCE_MM:
            found.append("floor")
    return tuple(dict.fromkeys(found))


def near_line(ways: Iterable[KeptClear], points: Sequence[Point3], radius_mm: float) -> list[KeptClear]:
    """Those that share the bounds of a pipe along a line of points: the only ones that it can go through."""
    (x0, x1), (y0, y1), (z0, z1) = ((min(c) - radius_mm, max(c) + radius_mm) for c in zip(*points, strict=True))
    found = []
    for way in ways:
        if way.from_mm < z1 and z0 < way.to_mm:
            left, front, right, back = way.plan.bounds
            if left < x1 and x0 < right and front < y1 and y0 < back:
                found.append(way)
    return found


def _bounds(a: Point3, b: Point3, r: float) -> Box6:
    low, high = [min(u, v) - r for u, v in zip(a, b, strict=True)], [max(u, v) + r for u, v in zip(a, b, strict=True)]
    return (low[0], low[1], low[2], high[0], high[1], high[2])


def goes_through(a: Point3, b: Point3, high_r: float, plan_r: float, thing: Solid | KeptClear) -> bool:
    """Whether the stretch from a to b meets a thing, measured only where it is at the thing's own height."""
    slack = high_r - DEPTH_TOLERANCE_MM
    if not (thing.from_mm - slack < max(a[2], b[2]) and min(a[2], b[2]) < thing.to_mm + slack):
        return False
    x0, y0, x1, y1 = thing.plan.bounds
    if not (x0 - plan_r < max(a[0], b[0]) and min(a[0], b[0]) < x1 + plan_r):
        return False
    if not (y0 - plan_r < max(a[1], b[1]) and min(a[1], b[1]) < y1 + plan_r):
        return False
    if abs(b[2] - a[2]) < 1e-9:
        inside = thing.from_mm - slack < a[2] < thing.to_mm + slack
        ends = [0.0, 1.0] if inside else []
    else:
        crossed = sorted((level - a[2]) / (b[2] - a[2]) for level in (thing.from_mm - slack, thing.to_mm + slack))
        ends = [max(0.0, crossed[0]), min(1.0, crossed[1])]
    if len(ends) < 2 or ends[0] >= ends[1]:
        return False
    shared = tuple(dict.fromkeys((a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])) for t in ends))
    return overlap_mm(Footprint(shared, plan_r), thing.plan) > DEPTH_TOLERANCE_MM


def _too_high(scene: Scene, a: Point3, b: Point3, radius_mm: float) -> Iterator[str]:
    """The slopes and beams that a stretch goes into, each held against the height that it has below them."""
    plan = Footprint(tuple(dict.fromkeys(((a[0], a[1]), (b[0], b[1])))), radius_mm)
    over = radius_mm - DEPTH_TOLERANCE_MM
    top = max(a[2], b[2]) + over
    for soffit in scene.roof.soffits:
        region = soffit.below(top)
        if region and len(plan.points) > 1:
            region = replace(soffit, area=region, plane=_above(soffit.plane, a, b)).below(over)
        if region and overlap_mm(plan, region) > DEPTH_TOLERANCE_MM:
            yield soffit.name
    if scene.roof.flat_mm is not None and top > scene.roof.flat_mm:
        yield "ceiling"


def _above(plane: Plane, a: Point3, b: Point3) -> Plane:
    """How high a plane is above the middle line of a stretch that goes along."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    rise = (b[2] - a[2]) / (dx * dx + dy * dy)
    return Plane(plane.a - rise * dx, plane.b - rise * dy, plane.c - a[2] + rise * (a[0] * dx + a[1] * dy))


def clear_of(own: Iterable[Solid], frame: Frame, z_mm: float, radius_mm: float) -> float:
    """How far straight ahead from the origin of a frame a pipe is clear of the solids that it comes out of."""
    plans = [frame.plan(s.plan) for s in own if s.meets_band(z_mm - radius_mm, z_mm + radius_mm)]
    clear = 0.0
    for begins, ends in sorted(span for plan in plans if (span := chord(plan, radius_mm, 0.0))):
        if begins - DEPTH_TOLERANCE_MM <= clear < ends:
            clear = ends
    return clear


def longest_edge(edges: Sequence[Edge]) -> Edge:
    """The longest wall line, the first of them where several are as long."""
    return max(edges, key=lambda edge: (round(edge.length_mm, 3), -edge.index))
