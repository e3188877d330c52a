"""The turn of a tool about its nut: how wide each handle is, and how far it can turn where it stands.

A handle is a bar of the swing's length that turns about the access point, square to its axis. Everything solid in
that plane takes an arc away. Of the part that the nut itself sits in or on:

- a part that stands round the nut does not count, for the tool goes on from outside it;
- a part whose surface the nut touches stops the handle's middle line only: it cannot point into that part, and the
  half of its width that would graze the surface beside the nut is taken up by the nut standing proud;
- everything else of the same piece counts like any other thing.

The handle is taken as thin along its axis.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import atan2, cos, degrees, hypot, sin
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from geometry.arcs import FULL_TURN, Bar, Gap, blocked, gaps, pivot_gap_mm
from geometry.ceilings import Roof
from geometry.kit import Access, Swing, Tool
from geometry.planes import Cut, TurnPlane
from geometry.rules import Figure, Source
from geometry.scene import Placed, Scene, Solid
from geometry.units import DEPTH_TOLERANCE_MM, Point, Point3

_MEMORY = Source("Hand tools in common use in British heating work", "width of the handle", "", "from memory")
_HANDS = Source("MIL-STD-1472F", "Fig. 37, hand that holds a thing up to 25 mm", "1999", "from memory")


def _width(tool: Tool, value_mm: float, source: Source = _MEMORY, note: str = "") -> Figure:
    return Figure(f"handle-{tool}", value_mm, "mm", source, "", note)


HANDLES: dict[Tool, Figure] = {
    "eye": _width("eye", 0.0, note="nothing turns"),
    "hand": _width("hand", 95.0, _HANDS),
    "lever": _width("lever", 20.0),
    "screwdriver": _width("screwdriver", 30.0),
    "hex-key": _width("hex-key", 15.0),
    "spanner": _width("spanner", 25.0),
    "boss-spanner": _width("boss-spanner", 30.0),
    "pump-pliers": _width("pump-pliers", 50.0, note="two handles side by side"),
    "gauge": _width("gauge", 60.0),
    "hose": _width("hose", 30.0, note="the coupling's two wings"),
}
"""How wide each tool's handle is, in mm."""

SPANNERS: frozenset[Tool] = frozenset({"spanner", "boss-spanner", "pump-pliers"})
"""Tools that hold a neighbouring nut while another turns."""
_FULL_TURNS = (-2 * FULL_TURN, -FULL_TURN, 0.0, FULL_TURN, 2 * FULL_TURN)
SAME_PLANE_MM = 40.0
"""Two handles less than this apart along their axes meet (common practice, no source: two handles and two hands)."""


@dataclass(frozen=True)
class Turn:
    """The swing of one access point of a placed piece: its axis, the plane it turns in, and the handle."""

    placed: Placed
    access: Access
    swing: Swing
    axis: Point3
    plane: TurnPlane
    bar: Bar


def _turn(placed: Placed, access: Access, swing: Swing) -> Turn:
    facing = placed.direction(access.faces)
    if swing.axis == "out":
        axis = facing
    elif swing.axis == "up":
        axis = (0.0, 0.0, 1.0)
    else:
        axis = placed.direction("right") if facing[2] else (-facing[1], facing[0], 0.0)
    plane = TurnPlane(placed.to_room(access.at_mm), _along(axis))
    return Turn(placed, access, swing, axis, plane, _handle(access.tool, swing.length_mm))


def _along(axis: Point3) -> Point | None:
    """Along the upright plane square to an axis, the same way round for all parallel axes; None: the plane is level."""
    x, y, z = axis
    if abs(z) > 0.5:
        return None
    backwards = y > 1e-9 or (abs(y) <= 1e-9 and x < 0)
    return (y + 0.0, 0.0 - x) if backwards else (0.0 - y, x + 0.0)


@lru_cache(maxsize=256)
def _handle(tool: Tool, length_mm: float) -> Bar:
    half = float(HANDLES[tool].value) / 2
    return Bar(length_mm, half, half)


class Blocker(NamedTuple):
    """An arc that something takes away, in radians: whose it is, and whether it can simply be moved."""

    start: float
    stop: float
    owner: str
    what: str
    movable: bool = False

    def takes_from(self, gap: Gap) -> bool:
        """Whether it shares more than an end with a free arc."""
        return any(self.start + k < gap.stop - 1e-9 and gap.start + 1e-9 < self.stop + k for k in _FULL_TURNS)


class Turned(NamedTuple):
    """A swing with everything that takes an arc of it away."""

    turn: Turn
    blockers: tuple[Blocker, ...]

    def free(self, also: Iterable[Blocker] = (), without_movable: bool = False) -> "Freedom":
        """The free arcs: as things stand, with more in the way, or with what is movable moved away."""
        kept = tuple(b for b in (*self.blockers, *also) if not (without_movable and b.movable))
        free = gaps([(b.start, b.stop, i) for i, b in enumerate(kept)])
        largest = max(free, key=_size, default=None)
        return Freedom(free, kept, largest, largest.deg if largest else 0.0)


def _size(gap: Gap) -> float:
    return gap.stop - gap.start


class Freedom(NamedTuple):
    """The free arcs of a handle, the largest of them (the first of equals), and its size in degrees."""

    gaps: tuple[Gap, ...]
    blockers: tuple[Blocker, ...]
    largest: Gap | None
    deg: float

    @property
    def stops(self) -> tuple[Blocker, ...]:
        """What bounds the largest free arc, each owner once; where there is none, what blocks all of it, or all."""
        gap = self.largest
        if gap is None:
            met = tuple(b for b in self.blockers if b.stop - b.start > FULL_TURN - 1e-9) or self.blockers
        else:
            met = tuple(self.blockers[i] for i in (gap.after, gap.before) if i is not None)
        return tuple({b.owner: b for b in met}.values())


def turns(scene: Scene) -> Iterator[Turn]:
    """Every swing in the room, in the order of the pieces."""
    for placed in scene.placed:
        for access in placed.kit.access:
            if access.swing is not None:
                yield _turn(placed, access, access.swing)


def turned(scene: Scene, wanted: Iterable[Turn]) -> list[Turned]:
    """Each swing with what takes arcs of it away: kit, what sticks out, fixtures, walls, floor and ceiling."""
    every = list(wanted)
    near = scene.near([turn.plane.bounds(turn.bar.reach_mm) for turn in every])
    return [Turned(turn, tuple(_blockers(scene, turn, solids))) for turn, solids in zip(every, near, strict=True)]


def _blockers(scene: Scene, turn: Turn, solids: Iterable[Solid]) -> Iterator[Blocker]:
    plane, bar = turn.plane, turn.bar
    reach = bar.reach_mm
    for solid in solids:
        cut = plane.cut(solid, reach)
        if cut is None:
            continue
        handle: Bar | None = bar
        if solid.owner == turn.placed.id:
            handle = _past_its_own(cut, bar)
        if handle:
            for start, stop in blocked(cut.points, cut.radius_mm, handle):
                yield Blocker(start, stop, solid.owner, solid.what, solid.movable and solid.owner != turn.placed.id)
    for name, cut in plane.overhead(scene.roof, reach):
        for start, stop in blocked(cut.points, cut.radius_mm, bar):
            yield Blocker(start, stop, name, name)
    floor = plane.underfoot(reach)
    for start, stop in blocked(floor.points, 0.0, bar) if floor else ():
        yield Blocker(start, stop, "floor", "floor")


def _past_its_own(cut: Cut, bar: Bar) -> Bar | None:
    """The handle as a part of its own piece meets it: whole, its middle line only, or not at all."""
    gap = pivot_gap_mm(cut.points, cut.radius_mm)
    if gap > DEPTH_TOLERANCE_MM:
        return bar
    return Bar(bar.length_mm) if gap >= -DEPTH_TOLERANCE_MM else None


def tolerance_deg(turn: Turn, tolerance_mm: float) -> float:
    """The survey tolerance as an angle, at the handle's end.

    For 10 mm and a handle of 250 mm that is 2.29 degrees.
    """
    return degrees(atan2(tolerance_mm, turn.swing.length_mm))


def under_ceiling_at(turned_there: Turned, height_mm: float) -> Freedom:
    """The free arcs if the ceiling were that low: for a room whose ceiling is not measured."""
    plane, bar = turned_there.turn.plane, turned_there.turn.bar
    overhead = plane.overhead(Roof(height_mm, ()), bar.reach_mm)
    arcs = [arc for _, cut in overhead for arc in blocked(cut.points, 0.0, bar)] if plane.along else []
    low = [Blocker(start, stop, "ceiling", "ceiling") for start, stop in arcs]
    return turned_there.free(low, without_movable=True)


@dataclass(frozen=True)
class TwoSpanners:
    """One nut turned while a spanner rests on its neighbour: how far, where that one rests, and what stops it."""

    turn: Turn
    holds: Turn
    free: Freedom
    rest_rad: float

    @property
    def margin_deg(self) -> float:
        """Found less needed."""
        return self.free.deg - self.turn.swing.turn_deg


def neighbours(every: Sequence[Turn]) -> list[tuple[int, int]]:
    """Pairs of nuts, by number, whose two spanners turn in one plane and can meet."""
    held = sorted((i for i, turn in enumerate(every) if turn.access.tool in SPANNERS), key=lambda i: every[i].plane.at)
    if len(held) < 2:
        return []
    at, axes = np.array([every[i].plane.at for i in held]), np.array([every[i].axis for i in held])
    length = np.array([every[i].bar.length_mm for i in held])
    one, other = _near_in_x(at[:, 0], 2 * float(length.max()) + SAME_PLANE_MM)
    between = at[other] - at[one]
    along = (between * axes[one]).sum(axis=1)
    apart = np.sqrt(np.maximum(0.0, (between**2).sum(axis=1) - along**2))
    meet = (np.abs((axes[one] * axes[other]).sum(axis=1)) > 1 - 1e-9) & (np.abs(along) <= SAME_PLANE_MM)
    meet &= (apart > DEPTH_TOLERANCE_MM) & (apart < length[one] + length[other])
    pairs = ((held[i], held[j]) for i, j in zip(one[meet].tolist(), other[meet].tolist(), strict=True))
    return sorted((min(pair), max(pair)) for pair in pairs)


def _near_in_x(x: NDArray[np.float64], within: float) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Numbers of all pairs in a rising row of values that are no farther apart than that."""
    n = len(x)
    counts = np.searchsorted(x, x + within, side="right") - np.arange(n) - 1
    one = np.repeat(np.arange(n), counts)
    first = np.repeat(np.cumsum(counts) - counts, counts)
    return one, one + 1 + np.arange(len(one)) - first


def with_other_resting(a: Turned, b: Turned, enough_deg: float) -> TwoSpanners:
    """How far the spanner on ``a`` turns with the other resting on ``b`` where it is least in the way.

    It may rest straight away from ``a``, or at an end or in the middle of one of its own free arcs. The first that
    leaves ``enough_deg`` is taken, else the best. Heads as wide as the handles have to go side by side on the nuts.
    """
    best: TwoSpanners | None = None
    apart = a.turn.plane.inside(b.turn.plane.at)
    for rest in _rests(apart, b):
        arcs = blocked(_handle_at(apart, rest, b.turn.bar), 0.0, a.turn.bar)
        if hypot(*apart) < a.turn.bar.lead_mm + b.turn.bar.lead_mm - DEPTH_TOLERANCE_MM:
            arcs = ((0.0, FULL_TURN),)
        other = [Blocker(start, stop, b.turn.placed.id, "other spanner") for start, stop in arcs]
        found = TwoSpanners(a.turn, b.turn, a.free(other, without_movable=True), rest)
        if best is None or found.free.deg > best.free.deg + 1e-9:
            best = found
        if found.free.deg >= enough_deg:
            break
    assert best is not None
    return best


def _rests(apart: Point, b: Turned) -> Iterator[float]:
    away = atan2(apart[1], apart[0])
    free = b.free(without_movable=True).gaps
    if any(gap.start <= away + k * FULL_TURN <= gap.stop for gap in free for k in (-1, 0, 1)):
        yield away
    for gap in free:
        yield from (gap.start, (gap.start + gap.stop) / 2, gap.stop)


def _handle_at(pivot: Point, angle: float, bar: Bar) -> tuple[Point, ...]:
    (x, y), c, s = pivot, cos(angle), sin(angle)
    sides = ((0.0, -bar.trail_mm), (bar.length_mm, -bar.trail_mm), (bar.length_mm, bar.lead_mm), (0.0, bar.lead_mm))
    return tuple((x + along * c - across * s, y + along * s + across * c) for along, across in sides)
