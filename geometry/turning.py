"""Whether something that is not round can be brought from its place to a goal, turning as need be.

The answer comes from both sides. For each step of heading, *sound* layers use the shape swept while it turns through
the step: a way through them is a way. *Relaxed* layers use what is common to the shape at all headings of the step:
where they hold no way there is none. Where the two disagree, the steps on the way are halved and it is asked again,
so that fine steps are spent only where it is tight; what is still open then is "too close to call".

Asked in this order, the cheap questions first: a disc round the shape passes; the shape passes without turning; a
disc inside it does not; the layers.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from math import cos, hypot, pi, radians
from typing import Literal

import shapely
from shapely.affinity import translate
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from geometry.ceilings import clipped
from geometry.grown import QUARTER_SIDES
from geometry.passing import Goal, Ground, Parts, joined, meeting, spot
from geometry.shapes import Footprint, disc, hull, turned
from geometry.units import DEPTH_TOLERANCE_MM, Point

Answer = Literal["out", "too-close", "trapped"]
FIRST_STEP_DEG = 15.0
MOST_STEPS = 96
"""Halving stops here: then what is within about half a per cent of what just passes is too close to call."""

_FINE_MM = 0.01
_Node = tuple[float, int]


@dataclass(frozen=True)
class Carried:
    """A convex shape to be carried: its corners about its place ``at``, as it stands there.

    A shape that is not convex is carried as its hull; ``part`` is then a convex part of it, which surely has to pass.
    A place lies inside the corners about it. It may start as far as ``slack_mm`` from there, or anywhere ``near`` it.
    """

    corners: tuple[Point, ...]
    at: Point
    part: "Carried | None" = None
    slack_mm: float = 0.0
    near: BaseGeometry | None = None

    def start(self, at: Point | None = None) -> BaseGeometry:
        """Where it may start, or where another point of it does."""
        here = spot(at or self.at)
        if self.near is not None:
            return translate(self.near, *(p - q for p, q in zip(at or self.at, self.at, strict=True)))
        return here.buffer(self.slack_mm) if self.slack_mm else here

    def grown(self, more_mm: float, near: BaseGeometry) -> "Carried":
        """The same with so much more on every side, which may start anywhere near."""
        round_it = Polygon(self.corners).buffer(more_mm, join_style="mitre")
        corners = hull([(float(x), float(y)) for x, y in round_it.exterior.coords[:-1]])
        return replace(self, corners=corners, near=near)

    @cached_property
    def shape(self) -> tuple[Point, ...]:
        """Its corners, less the rounding allowance, so that what touches its neighbour can start."""
        return _inset(self.corners)

    @property
    def least(self) -> "Carried":
        """What surely has to pass."""
        return self.part or self

    @property
    def radius_mm(self) -> float:
        """Radius of a disc about its place that holds it."""
        return max(hypot(x, y) for x, y in self.shape)

    @cached_property
    def disc_inside(self) -> tuple[Point, float]:
        """The largest disc that lies inside what surely has to pass: its middle, where it stands, and its radius."""
        circle = shapely.maximum_inscribed_circle(Polygon(self.least.corners), _FINE_MM)
        (x, y), (rx, ry) = shapely.get_coordinates(circle)
        at = self.least.at
        return (at[0] + float(x), at[1] + float(y)), float(hypot(rx - x, ry - y))

    @cached_property
    def period_deg(self) -> float:
        """The turn after which it looks the same: half a turn for a rectangle, else a whole one."""
        opposite = {(round(-x, 6), round(-y, 6)) for x, y in self.shape}
        even = opposite == {(round(x, 6) + 0.0, round(y, 6) + 0.0) for x, y in self.shape}
        return 180.0 if even and not self.part else 360.0


def rectangle(width_mm: float, depth_mm: float, turn_deg: float = 0.0) -> tuple[Point, ...]:
    """Corners of a rectangle about the origin, turned.

    >>> rectangle(600, 400)
    ((-300.0, -200.0), (300.0, -200.0), (300.0, 200.0), (-300.0, 200.0))
    """
    a, b = width_mm / 2, depth_mm / 2
    return tuple(turned(p, turn_deg) for p in ((-a, -b), (a, -b), (a, b), (-a, b)))


def outline(points: Sequence[Point], parts: Sequence[Sequence[Point]] = ()) -> Carried:
    """Points in the room to be carried as their hull; ``parts`` are its convex parts where it is not convex itself.

    >>> outline([(0, 0), (2, 0), (2, 1), (0, 1)]).at
    (1.0, 0.5)
    """
    x, y = _middle_of(points)
    part = outline(max(parts, key=lambda p: Polygon(p).area)) if len(parts) > 1 else None
    return Carried(hull([(px - x, py - y) for px, py in points]), (x, y), part)


def _middle_of(points: Sequence[Point]) -> Point:
    """The middle of the smallest circle round points: it lies inside their hull."""
    circle = shapely.minimum_bounding_circle(shapely.multipoints(points))
    x0, y0, x1, y1 = circle.bounds
    return ((x0 + x1) / 2, (y0 + y1) / 2)


def _inset(corners: Sequence[Point]) -> tuple[Point, ...]:
    inside = Polygon(corners).buffer(-DEPTH_TOLERANCE_MM / 2, join_style="mitre")
    return hull([(float(x), float(y)) for x, y in inside.exterior.coords[:-1]])


def carry(ground: Ground, carried: Carried, goal: Goal) -> Answer:
    """Whether it can be brought from where it is to a goal."""
    here = carried.start()
    free = ground.free(carried.radius_mm)
    anywhere = meeting(free, goal(disc((0.0, 0.0), carried.radius_mm)))
    if meeting(anywhere, here):
        return "out"
    steps = _Steps(ground, carried, goal, anywhere)
    if not steps.starts:
        return "trapped"
    if any(steps.is_out(0.0, n) for n in steps.starts):
        return "out"
    if not _least_disc_passes(ground, carried, goal):
        return "trapped"
    return _from_both_sides(steps)


def _least_disc_passes(ground: Ground, carried: Carried, goal: Goal) -> bool:
    """Whether the largest disc inside the shape passes; grown a little too little, so that "no" is never wrong."""
    at, whole = carried.disc_inside
    radius = (whole - DEPTH_TOLERANCE_MM / 2 - _FINE_MM) * cos(pi / (4 * QUARTER_SIDES))
    return joined(ground.free(radius), carried.start(at), goal(disc((0.0, 0.0), radius)))


def _from_both_sides(steps: "_Steps") -> Answer:
    while True:
        if _sound(steps):
            return "out"
        way = _relaxed(steps)
        if way is None:
            return "trapped"
        if len(steps.marks) > MOST_STEPS or not steps.halve(way):
            return "too-close"


@dataclass
class _Steps:
    """The headings from 0 up to the period, in steps, with the free parts of each heading and each step."""

    ground: Ground
    carried: Carried
    goal: Goal
    anywhere: Parts
    marks: list[float] = field(init=False)
    _made: dict[tuple[str, float, float], Parts] = field(default_factory=dict)

    def __post_init__(self) -> None:
        period = self.carried.period_deg
        self.marks = [i * FIRST_STEP_DEG for i in range(round(period / FIRST_STEP_DEG))]

    def end(self, start_deg: float) -> float:
        """Where the step that starts there ends."""
        i = self.marks.index(start_deg) + 1
        return self.marks[i] if i < len(self.marks) else self.carried.period_deg

    def before(self, start_deg: float) -> float:
        """The start of the step before."""
        return self.marks[self.marks.index(start_deg) - 1]

    def after(self, start_deg: float) -> float:
        """The start of the step after."""
        return self.end(start_deg) % self.carried.period_deg

    @cached_property
    def starts(self) -> list[int]:
        """The parts in which it stands at first."""
        here = self.carried.start()
        return [n for n, part in enumerate(self.still(0.0)) if part.intersects(here)]

    def still(self, deg: float) -> Parts:
        """Where it may be at a heading."""
        return self._parts("still", deg, deg, lambda: _at(self.carried.shape, deg), enclosing=True)

    def turning(self, start_deg: float) -> Parts:
        """Where it may be while it turns through a whole step."""
        end = self.end(start_deg)
        return self._parts(
            "turning", start_deg, end, lambda: _swept(self.carried.shape, start_deg, end), enclosing=True
        )

    def common(self, start_deg: float) -> Parts:
        """Where what is common to it at all headings of a step may be."""
        return self._parts("common", start_deg, self.end(start_deg), lambda: self.core(start_deg), enclosing=False)

    def core(self, start_deg: float) -> tuple[Point, ...]:
        """What is common to it at all headings of a step."""
        return _common(self.carried.least.shape, start_deg, self.end(start_deg))

    def _parts(
        self, kind: str, start: float, end: float, shape: Callable[[], Sequence[Point]], *, enclosing: bool
    ) -> Parts:
        key = (kind, start, end)
        if key not in self._made:
            self._made[key] = self.ground.free_of(shape(), enclosing=enclosing)
        return self._made[key]

    def is_out(self, deg: float, n: int) -> bool:
        """Whether a part at a heading holds a place that is out, or one from which a disc round it gets out."""
        part = self.still(deg)[n]
        if any(part.intersects(other) for other in self.anywhere):
            return True
        return bool(part.intersects(self.goal(Footprint(_at(self.carried.shape, deg)))))

    def halve(self, way: list[_Node]) -> bool:
        """Halve the steps of a relaxed way that no sound turn crosses, all of them where each is crossed."""
        on_way = dict.fromkeys(start for start, _ in way)
        tight = [s for s in on_way if not self._crossed(s, [n for other, n in way if other == s])]
        for start in tight or on_way:
            self.marks.append((start + self.end(start)) / 2)
            self.marks.sort()
        return True

    def _crossed(self, start_deg: float, places: list[int]) -> bool:
        common = self.common(start_deg)
        return any(turn.intersects(common[n]) for turn in self.turning(start_deg) for n in places)


def _at(corners: Sequence[Point], deg: float) -> tuple[Point, ...]:
    return tuple(turned(p, deg) for p in corners)


def _swept(corners: Sequence[Point], start_deg: float, end_deg: float) -> tuple[Point, ...]:
    """A convex shape that holds the corners at every heading of a step: both ends, and the tangents between."""
    stretch = 1 / cos(radians(end_deg - start_deg) / 2)
    middle = _at(corners, (start_deg + end_deg) / 2)
    return hull([*_at(corners, start_deg), *_at(corners, end_deg), *((x * stretch, y * stretch) for x, y in middle)])


def _common(corners: Sequence[Point], start_deg: float, end_deg: float) -> tuple[Point, ...]:
    """A convex shape that is held at every heading of a step."""
    shrink = cos(radians(end_deg - start_deg) / 2)
    middle = tuple((x * shrink, y * shrink) for x, y in _at(corners, (start_deg + end_deg) / 2))
    return tuple(clipped(clipped(_at(corners, start_deg), _at(corners, end_deg)), middle))


def _sound(steps: _Steps) -> bool:
    """Whether a way is found that surely is one."""
    queue: list[_Node] = [(0.0, n) for n in steps.starts]
    seen = set(queue)
    while queue:
        deg, n = queue.pop(0)
        if steps.is_out(deg, n):
            return True
        place = steps.still(deg)[n]
        for step, other in ((deg, steps.after(deg)), (steps.before(deg), steps.before(deg))):
            for turn in meeting(steps.turning(step), place):
                for m, part in enumerate(steps.still(other)):
                    if (other, m) not in seen and part.intersects(turn):
                        seen.add((other, m))
                        queue.append((other, m))
    return False


def _relaxed(steps: _Steps) -> list[_Node] | None:
    """A way that may be one, step by step; None where there surely is none."""
    here = steps.carried.start(steps.carried.least.at)
    first = (0.0, steps.before(0.0))
    queue: list[_Node] = [(s, n) for s in first for n, part in enumerate(steps.common(s)) if part.intersects(here)]
    came: dict[_Node, _Node | None] = dict.fromkeys(queue)
    while queue:
        node = queue.pop(0)
        place = steps.common(node[0])[node[1]]
        if place.intersects(steps.goal(Footprint(steps.core(node[0])))):
            return _traced(came, node)
        for other in (steps.after(node[0]), steps.before(node[0])):
            for m, part in enumerate(steps.common(other)):
                if (other, m) not in came and part.intersects(place):
                    came[(other, m)] = node
                    queue.append((other, m))
    return None


def _traced(came: dict[_Node, _Node | None], node: _Node | None) -> list[_Node]:
    way = []
    while node is not None:
        way.append(node)
        node = came[node]
    return way
