"""Door leaves: where each hangs, how far it opens, and how much of its opening is left.

A hinged leaf turns about the hinge end of the clear opening, on the wall face towards which it opens. Its opening
face passes through the hinge and its thickness trails, into the wall while it is shut, so at 90 degrees it takes its
thickness from the clear width. It reaches its full width from there; what that has more than the opening lies over
the frame, so what stands wholly past the opening is not met. What trails sweeps only where the face went before it.

A bifold's panels are taken as thin while they fold; folded, they take twice their thickness from the clear width.

The door of a piece hangs on the piece's front, or on what sticks out of the front there: in the middle where it is
the only one, else from the ends of the front.

References
----------
Clear width: the opening less the leaf that stands in it, thickness included (the method of Approved Document M).
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import cos, degrees, hypot, radians, sin

from geometry.arcs import Bar, blocked, first_angle
from geometry.ceilings import cut
from geometry.folding import fold_angle
from geometry.kit import Leaf
from geometry.planes import lower_than
from geometry.room import Door
from geometry.rules import Figure, Source
from geometry.scene import Box6, Placed, Scene, Solid
from geometry.shapes import Footprint, overlap_mm
from geometry.units import DEPTH_TOLERANCE_MM, Point
from geometry.words import the

LEAF_OVER_OPENING = Figure(
    "leaf-over-opening", 40.0, "mm",
    Source("Door leaves in common use", "leaf width less clear opening", "", "common practice"), "",
    "taken where a leaf is not measured",
)  # fmt: skip
_STEP_DEG = 2.0


@dataclass(frozen=True)
class HungLeaf:
    """One leaf where it hangs: ``along`` it from the hinge while it is shut, and the way it ``opens``.

    ``opening_mm`` is its part of the clear opening (None: the door of a piece). ``guessed`` where its width is not
    measured.
    """

    owner: str
    label: str
    topic: str
    folds: bool
    hinge: Point
    along: Point
    opens: Point
    width_mm: float
    thick_mm: float
    opening_mm: float | None
    from_mm: float
    to_mm: float
    needed_deg: float
    guessed: bool = False

    @property
    def reach_mm(self) -> float:
        """How far it projects when it is open."""
        return self.width_mm / 2 if self.folds else self.width_mm

    @property
    def widest_deg(self) -> float:
        """How far its hinges let it go."""
        return 90.0 if self.folds else 180.0

    def own(self, point: Point) -> Point:
        """A plan point from the hinge: along the shut leaf, and the way it opens."""
        x, y = point[0] - self.hinge[0], point[1] - self.hinge[1]
        return (x * self.along[0] + y * self.along[1], x * self.opens[0] + y * self.opens[1])

    def room(self, along_mm: float, out_mm: float) -> Point:
        """The plan point that far along the shut leaf and that far the way it opens."""
        (x, y), (ax, ay), (ox, oy) = self.hinge, self.along, self.opens
        return (x + ax * along_mm + ox * out_mm, y + ay * along_mm + oy * out_mm)

    @property
    def bounds(self) -> Box6:
        """The box round everything that it may meet."""
        corners = [self.room(x, y) for x in (-self.reach_mm, self.width_mm) for y in (-self.thick_mm, self.reach_mm)]
        xs, ys = [x for x, _ in corners], [y for _, y in corners]
        return (min(xs), min(ys), self.from_mm, max(xs), max(ys), self.to_mm)

    def standing(self, angle_deg: float) -> tuple[tuple[Point, ...], ...]:
        """The leaf at an angle, as rectangles in plan: one, or a bifold's two panels."""
        a = radians(angle_deg)
        c, s, t = cos(a), sin(a), self.thick_mm
        if not self.folds:
            return (self._rectangle((0.0, 0.0), (self.width_mm * c, self.width_mm * s), (t * s, -t * c)),)
        p = self.width_mm / 2
        first = self._rectangle((0.0, 0.0), (p * c, p * s), (t * s, -t * c))
        beside = 2 * t * s
        return first, self._rectangle((p * c + beside, p * s), (2 * p * c + beside, 0.0), (-t * s, -t * c))

    def _rectangle(self, start: Point, stop: Point, thick: Point) -> tuple[Point, ...]:
        (x0, y0), (x1, y1), (tx, ty) = start, stop, thick
        return tuple(self.room(x, y) for x, y in ((x0, y0), (x1, y1), (x1 + tx, y1 + ty), (x0 + tx, y0 + ty)))

    def swept(self, angle_deg: float, begins_deg: float = 0.0, step_deg: float = _STEP_DEG) -> Footprint:
        """The plan area that the face sweeps up to an angle, round side enclosed (0.02 % of the width too much).

        With ``begins_deg`` only what it sweeps from there on.
        """
        steps = max(1, round((angle_deg - begins_deg) / step_deg))
        begins, step = radians(begins_deg), radians(angle_deg - begins_deg) / steps
        far = self.reach_mm / cos(step / 2)
        turns = [(self.reach_mm, begins)]
        turns += [(far, begins + step * (i + 0.5)) for i in range(steps)]
        turns.append((self.reach_mm, radians(angle_deg)))
        tips = [self.room(r * cos(a), r * sin(a)) for r, a in turns]
        track = [self.room(self.width_mm, 0.0)] if self.folds else []
        ring = (self.hinge, *track, *tips)
        anticlockwise = self.along[0] * self.opens[1] > self.along[1] * self.opens[0]
        return Footprint(ring if anticlockwise else ring[::-1])

    def left_mm(self, angle_deg: float) -> float | None:
        """Clear width left straight through its part of the opening with the leaf at an angle."""
        if self.opening_mm is None:
            return None
        a = radians(angle_deg)
        thick = 2 * self.thick_mm if self.folds else self.thick_mm
        return max(0.0, self.opening_mm - max(0.0, self.width_mm * cos(a)) - thick * sin(a))


@dataclass(frozen=True)
class Contact:
    """Where a leaf is stopped: the angle, the plan point, and by what."""

    angle_deg: float
    at: Point
    owner: str
    movable: bool = False


@dataclass(frozen=True)
class Opened:
    """A leaf with the first fixed thing it meets, and the first movable thing before that."""

    leaf: HungLeaf
    fixed: Contact | None
    loose: Contact | None

    @property
    def deg(self) -> float:
        """How far it opens once what is movable is out of the way."""
        return self.fixed.angle_deg if self.fixed else self.leaf.widest_deg


def hung_leaves(scene: Scene) -> Iterator[HungLeaf]:
    """Every leaf that turns or folds: of the room's doors, then of the pieces."""
    for door in scene.room.doors:
        yield from door_leaves(scene, door)
    for placed in scene.placed:
        for leaf in placed.kit.leaf:
            yield _of_piece(placed, leaf)


def leaf_width_mm(door: Door) -> float:
    """The width of a leaf, or what is taken for it: the opening and 40 mm, shared by the two of a double door."""
    if door.leaf.width_mm is not None:
        return door.leaf.width_mm
    whole = door.clear_mm + float(LEAF_OVER_OPENING.value)
    return whole / 2 if door.leaf.kind == "double" else whole


def door_leaves(scene: Scene, door: Door) -> Iterator[HungLeaf]:
    """The leaves of one door of the room that turn or fold."""
    leaf = door.leaf
    if leaf.kind in ("none", "sliding"):
        return
    edge = scene.edges[door.edge]
    (ux, uy), (nx, ny) = edge.along, edge.inward
    face, opens = (0.0, (nx, ny)) if leaf.opens == "in" else (-edge.thick_mm, (-nx, -ny))
    double = leaf.kind == "double"
    for end in ("start", "end") if double else (leaf.hinge,):
        at, along = (door.from_mm, (ux, uy)) if end == "start" else (door.from_mm + door.clear_mm, (-ux, -uy))
        side = {"start": "right leaf", "end": "left leaf"}[end] if double else ""
        folds = leaf.kind == "bifold"
        yield HungLeaf(
            door.id, f"door {door.id}" + (f", {side}," if side else ""), side, folds, edge.at(at, face), along, opens,
            leaf_width_mm(door), leaf.thick_mm, door.clear_mm / 2 if double else door.clear_mm,
            door.sill_mm, door.head_mm, min(leaf.needed_deg, 90.0) if folds else leaf.needed_deg,
            leaf.width_mm is None,
        )  # fmt: skip


def _of_piece(placed: Placed, leaf: Leaf) -> HungLeaf:
    alone = len(placed.kit.leaf) == 1
    half = leaf.width_mm / 2 if alone else placed.kit.plan.width_mm / 2
    sign = 1.0 if leaf.hinge == "left" else -1.0
    low, high = leaf.from_mm, placed.kit.height_mm if leaf.to_mm is None else leaf.to_mm
    out = placed.kit.plan.depth_mm / 2 + _proud_mm(placed, low, high)
    x, y, z = placed.to_room((-sign * half, -out, 0.0))
    ax, ay, _ = placed.direction("right")
    ox, oy, _ = placed.direction("front")
    return HungLeaf(
        placed.id, f"the door of {the(placed.name)}", "" if alone else f"{leaf.hinge} leaf", False, (x, y),
        (sign * ax, sign * ay), (ox, oy), leaf.width_mm, leaf.thick_mm, None, z + low, z + high, leaf.needed_deg,
    )  # fmt: skip


def _proud_mm(placed: Placed, low: float, high: float) -> float:
    """How far the front stands out where the leaf is: the leaf is hung on that."""
    top = placed.kit.height_mm
    return max(
        (
            item.mm
            for item in placed.kit.sticks_out
            if item.side == "front"
            and min(high, top if item.to_mm is None else item.to_mm) - max(low, item.from_mm or 0.0)
            > DEPTH_TOLERANCE_MM
        ),
        default=0.0,
    )


def opened(scene: Scene, leaves: Sequence[HungLeaf]) -> list[Opened]:
    """How far each leaf opens, and what stops it."""
    found = []
    for leaf, solids in zip(leaves, scene.near([leaf.bounds for leaf in leaves]), strict=True):
        met = sorted(contacts(scene, leaf, solids), key=lambda c: (c.angle_deg, c.owner))
        fixed = next((c for c in met if not c.movable), None)
        loose = next((c for c in met if c.movable and (fixed is None or c.angle_deg < fixed.angle_deg)), None)
        found.append(Opened(leaf, fixed, loose))
    return found


def contacts(scene: Scene, leaf: HungLeaf, solids: Iterable[Solid]) -> Iterator[Contact]:
    """Everything that the leaf meets on its way, each thing on its own."""
    for solid in solids:
        if (solid.owner == leaf.owner and solid.part != "wall") or not solid.meets_band(leaf.from_mm, leaf.to_mm):
            continue
        points, radius = [leaf.own(p) for p in solid.plan.points], solid.plan.radius_mm
        if solid.part == "wall":
            points = cut(points, 0.0, 1.0, 0.0)
        elif leaf.opening_mm is not None and _in_the_doorway(leaf, points, radius):
            yield Contact(0.0, leaf.room(leaf.opening_mm / 2, 0.0), solid.owner, solid.movable)
            continue
        met = meeting(leaf, points, radius)
        if met:
            yield Contact(met[0], leaf.room(*met[1]), solid.owner, solid.movable)
    for name, area in lower_than(scene.roof, leaf.to_mm):
        met = meeting(leaf, [leaf.own(p) for p in area.points], 0.0)
        if met:
            yield Contact(met[0], leaf.room(*met[1]), name)


def _in_the_doorway(leaf: HungLeaf, points: list[Point], radius: float) -> bool:
    width = min(leaf.width_mm, leaf.opening_mm or leaf.width_mm)
    shut = Footprint(((0.0, -leaf.thick_mm), (width, -leaf.thick_mm), (width, 0.0), (0.0, 0.0)))
    return overlap_mm(shut, Footprint(tuple(points), radius)) > DEPTH_TOLERANCE_MM


def meeting(leaf: HungLeaf, points: Sequence[Point], radius: float) -> tuple[float, Point] | None:
    """The angle in degrees at which the leaf meets a shape, and where, both from the hinge; None: never."""
    if (len(points) < 3 and not radius) or max(y for _, y in points) + radius <= DEPTH_TOLERANCE_MM:
        return None
    if leaf.opening_mm is not None and min(x for x, _ in points) - radius >= leaf.opening_mm - DEPTH_TOLERANCE_MM:
        return None
    if leaf.folds:
        angle = fold_angle(points, radius, leaf.width_mm)
    else:
        angle = first_angle(blocked(points, radius, Bar(leaf.width_mm)))
    if angle is None:
        return None
    return degrees(angle), _touch(points, radius, angle, leaf.reach_mm)


def _touch(points: Sequence[Point], radius: float, angle: float, length: float) -> Point:
    """The point of the leaf's face, at an angle, that is nearest to a shape."""
    c, s = cos(angle), sin(angle)
    ahead = [(x * c + y * s, y * c - x * s) for x, y in points]
    if not radius:
        ahead = cut(cut(ahead, 1.0, 0.0, 0.0), -1.0, 0.0, length) or ahead
    far = min(ahead, key=lambda p: (round(hypot(p[0] - min(max(p[0], 0.0), length), max(p[1], 0.0)), 6), -p[0]))[0]
    far = min(max(far, 0.0), length)
    return (far * c, far * s)


def meeting_angles(a: Opened, b: Opened) -> tuple[float, float] | None:
    """The angles up to which each of two leaves stays clear of the other wherever that one stands; None: they do.

    Each leaf counts as far as it opens, at most as far as it has to.
    """
    found = []
    for one, other in ((a, b), (b, a)):
        goes = min(other.deg, other.leaf.needed_deg)
        shape = other.leaf.swept(goes) if goes > 0 else None
        met = meeting(one.leaf, [one.leaf.own(p) for p in shape.points], 0.0) if shape else None
        if met is None or met[0] >= min(one.deg, one.leaf.needed_deg):
            return None
        found.append(met[0])
    return found[0], found[1]
