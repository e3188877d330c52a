"""Where people can be, where the points are that they must get to, and what is between the two."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import atan2, cos, hypot, pi, radians, sin

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from geometry.kit import Access
from geometry.passing import spot as place
from geometry.rays import inside_span, meets, shadow
from geometry.rules import RulePack
from geometry.scene import Box6, Placed, Scene, Solid
from geometry.units import DEPTH_TOLERANCE_MM, SAME_MM, Point, Point3
from geometry.ways import walk

_PAST_MM = 5_000.0


@dataclass(frozen=True)
class Spot:
    """An access point of a placed piece, in room coordinates, and the way it faces."""

    placed: Placed
    access: Access
    at: Point3
    out: Point3
    hand_mm: float

    @property
    def plan(self) -> Point:
        """Its place in plan."""
        return (self.at[0], self.at[1])

    @cached_property
    def hand(self) -> Point:
        """Where a hand comes to before it turns to the point: ``hand_mm`` out of the body, the way the point faces."""
        (x, y), (ox, oy, oz) = self.plan, self.out
        if oz:
            return self.plan
        far = (x + ox * _PAST_MM, y + oy * _PAST_MM)
        deep = [p for p in self.placed.body if p.reach((ox, oy)) > x * ox + y * oy + DEPTH_TOLERANCE_MM]
        spans = [span for part in deep if (span := inside_span(part, self.plan, far))]
        out = _PAST_MM * max((end for start, end in spans), default=0.0) + self.hand_mm
        return (x + ox * out, y + oy * out)


@dataclass(frozen=True)
class Floor:
    """Where the middle of a person can be who came from a door, and half that person's width."""

    region: BaseGeometry
    half_mm: float


def spots(scene: Scene, only: frozenset[str] | None) -> list[Spot]:
    """Every access point of the pieces asked for."""
    if "spots" not in scene.memo:
        half = scene.pack.number("hand-width") / 2
        scene.memo["spots"] = [
            Spot(placed, access, placed.to_room(access.at_mm), placed.direction(access.faces), half)
            for placed in scene.placed
            for access in placed.kit.access
        ]
    every: list[Spot] = scene.memo["spots"]
    return every if only is None else [spot for spot in every if spot.placed.id in only]


def good_width_mm(scene: Scene) -> float:
    """The walkway that is wanted, with the survey tolerance."""
    return scene.pack.number("walkway-width") + scene.room.tolerance_mm


def good_floor(scene: Scene) -> Floor:
    """Where a person as wide as a good walkway surely gets, upright: asked first, as it is soon worked out."""
    width = good_width_mm(scene)
    return Floor(walk(scene, scene.pack.number("walkway-headroom")).surely_reached(width), width / 2)


def least_floor(scene: Scene, head_mm: float, without: frozenset[str] = frozenset()) -> Floor:
    """Where a person as wide as the least walkway gets with that headroom, some pieces moved away."""
    width = scene.pack.number("walkway-least")
    return Floor(walk(scene, head_mm, without).reached(width), (width - DEPTH_TOLERANCE_MM) / 2)


def low_head_mm(pack: RulePack, level_mm: float) -> float:
    """The least headroom in which somebody reaches a level: kneeling, stooping, or as high as the point is."""
    kneeling, stooping, upright = (pack.number(key) for key in ("kneel-height", "stoop-height", "walkway-headroom"))
    if level_mm <= kneeling:
        return kneeling
    return min(max(level_mm, stooping), upright)


def wedge(spot: Spot, aside_deg: float, far_mm: float) -> BaseGeometry:
    """The plan in front of a point as far as an angle to either side; all round where it faces up or down."""
    x, y = spot.plan
    if spot.out[2]:
        return place(spot.plan).buffer(far_mm)
    middle, half = atan2(spot.out[1], spot.out[0]), radians(aside_deg)
    steps = max(8, int(half / (pi / 64)))
    turns = [middle - half + 2 * half * i / steps for i in range(steps + 1)]
    return Polygon([(x, y), *((x + far_mm * cos(t), y + far_mm * sin(t)) for t in turns)])


def arms(scene: Scene, wanted: Sequence[Spot], floor: Floor) -> list[float | None]:
    """For each point how far in an arm reaches to it from the nearest floor, where nothing is between; else None."""
    if floor.region.is_empty or not wanted:
        return [None] * len(wanted)
    points = shapely.points(np.array([spot.plan for spot in wanted]))
    ends = shapely.get_coordinates(shapely.shortest_line(floor.region, points)).reshape(-1, 2, 2)
    stands = [(float(x), float(y)) for x, y in ends[:, 0]]
    half = scene.pack.number("hand-width") / 2
    near = scene.near([_arm_box(half, spot, stand) for spot, stand in zip(wanted, stands, strict=True)])
    found: list[float | None] = []
    for spot, stand, solids in zip(wanted, stands, near, strict=True):
        clear = not any(_stops(spot, stand, solid) for solid in solids)
        depth = hypot(stand[0] - spot.at[0], stand[1] - spot.at[1]) - floor.half_mm
        found.append(max(0.0, depth) if clear else None)
    return found


def _arm_box(half: float, spot: Spot, stand: Point) -> Box6:
    (x, y), z = spot.hand, spot.at[2]
    return (min(x, stand[0]), min(y, stand[1]), z - half, max(x, stand[0]), max(y, stand[1]), z + half)


def _counts(spot: Spot, solid: Solid) -> bool:
    """Whether a solid can be in the way of an arm to a point: of its own piece the body alone, and not from above."""
    return solid.owner != spot.placed.id or (solid.part == "body" and not spot.out[2])


def _stops(spot: Spot, stand: Point, solid: Solid) -> bool:
    start, end = (stand[0], stand[1], 0.0), (spot.hand[0], spot.hand[1], 0.0)
    return _counts(spot, solid) and meets(solid.plan, -1.0, 1.0, start, end)


@dataclass(frozen=True)
class Clear:
    """An arm from a floor that is near enough.

    ``depth_mm``: how far in it reaches from the nearest place from which nothing is between (None: there is none);
    ``between``: what is between, seen from the nearest place of all.
    """

    depth_mm: float | None
    between: Solid | None = None


def clear_arm(
    scene: Scene, spot: Spot, floor: Floor, limit_mm: float, without: frozenset[str] = frozenset()
) -> Clear | None:
    """An arm from the best place of all on a floor, some pieces moved away; None where no floor is near enough."""
    reach = limit_mm + floor.half_mm
    here = place(spot.plan)
    if floor.region.is_empty or floor.region.distance(here) > reach + SAME_MM:
        return None
    zone = floor.region.intersection(here.buffer(reach + 1.0))
    solids = [solid for solid in _at_level(scene, spot, reach) if _counts(spot, solid) and solid.owner not in without]
    clear = zone.difference(shapely.union_all([shadow(solid.plan, spot.hand) for solid in solids]))
    if clear.area > 1.0 and (gap := float(clear.distance(here))) <= reach + SAME_MM:
        return Clear(max(0.0, gap - floor.half_mm))
    (x, y) = shapely.get_coordinates(shapely.shortest_line(zone, here))[0]
    return Clear(None, _first_between(spot, (float(x), float(y)), solids))


def _first_between(spot: Spot, stand: Point, solids: list[Solid]) -> Solid | None:
    """The first solid that an arm from a place meets, its own body last; else the one nearest to the point."""
    others = sorted(
        (solid.owner == spot.placed.id, not _stops(spot, stand, solid), solid.plan.polygon.distance(place(stand)), i)
        for i, solid in enumerate(solids)
    )
    return solids[others[0][-1]] if others else None


def _at_level(scene: Scene, spot: Spot, reach_mm: float) -> list[Solid]:
    (x, y), z = spot.hand, spot.at[2]
    half = scene.pack.number("hand-width") / 2
    return scene.near([(x - reach_mm, y - reach_mm, z - half, x + reach_mm, y + reach_mm, z + half)])[0]


def out_of_arm_mm(spot: Spot, floor: Floor) -> float | None:
    """How far in a point is from the nearest floor, within an arm's length or not; None where there is no floor."""
    if floor.region.is_empty:
        return None
    return max(0.0, float(floor.region.distance(place(spot.plan))) - floor.half_mm)
