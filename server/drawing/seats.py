"""Which wall a piece belongs to, and what each wall face sees of it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import inf

from geometry.scene import Placed, Scene
from geometry.shapes import Footprint
from geometry.units import Point
from geometry.walls import Edge

NEAR_MM = 700.0
"""A wall face shows the things of other walls up to this far from it, in outline."""

_TURNED_AWAY_MM = 1500.0


@dataclass(frozen=True)
class Span:
    """What a wall sees of a shape: from and to along it from its left corner, the gap to it, how far it reaches out."""

    from_mm: float
    to_mm: float
    gap_mm: float
    reach_mm: float


@dataclass(frozen=True)
class Seat:
    """A piece on a wall: its span, the place of its own middle, and how squarely its back faces the wall (1 to -1)."""

    edge: int
    span: Span
    at_mm: float
    facing: float


def span_on(edge: Edge, parts: Sequence[Footprint]) -> Span:
    """The span of some shapes on a wall."""
    (sx, sy), (ux, uy) = edge.start, edge.along
    left = near = inf
    right = far = -inf
    for part in parts:
        r = part.radius_mm
        for x, y in part.points:
            dx, dy = x - sx, y - sy
            along, inward = dx * ux + dy * uy, dy * ux - dx * uy
            left, right = min(left, along - r), max(right, along + r)
            near, far = min(near, inward - r), max(far, inward + r)
    return Span(edge.length_mm - right, edge.length_mm - left, near, far)


def seat_on(edge: Edge, item: Placed) -> Seat:
    """A piece as one wall sees it."""
    back = item.direction("behind")
    facing = -(back[0] * edge.inward[0] + back[1] * edge.inward[1])
    at = edge.length_mm - edge.measure(item.piece.at_mm)[0]
    return Seat(edge.index, span_on(edge, item.body), at, facing)


def home_of(edges: tuple[Edge, ...], item: Placed, convex: bool = True) -> Seat:
    """The wall a piece belongs to: near it, behind its back rather than beside it, and in sight of it."""
    seats = [seat_on(edge, item) for edge in edges]
    before = [s for s in seats if _shared(s, edges) > 0 and s.span.reach_mm > 0]
    seen = before if convex else [s for s in before if _in_sight(edges, s, item)]
    return min(
        seen or before or seats, key=lambda s: (round(s.span.gap_mm + _TURNED_AWAY_MM * (1 - s.facing) / 2, 3), s.edge)
    )


def _shared(seat: Seat, edges: tuple[Edge, ...]) -> float:
    return min(seat.span.to_mm, edges[seat.edge].length_mm) - max(seat.span.from_mm, 0.0)


@dataclass(frozen=True)
class Seats:
    """Home of each piece by id, and for each wall the pieces of other walls that its face shows in outline."""

    home: dict[str, Seat]
    near: dict[int, list[tuple[Placed, Seat]]]

    def on(self, scene: Scene, edge: int) -> list[tuple[Placed, Seat]]:
        """The pieces of a wall, those nearest to it first."""
        own = [(item, self.home[item.id]) for item in scene.placed if self.home[item.id].edge == edge]
        return sorted(own, key=lambda pair: (round(pair[1].span.reach_mm, 3), pair[0].id))


def seats(scene: Scene) -> Seats:
    """Where every piece sits; worked out once for a room.

    >>> from geometry.samples import box_kit, piece, sample_scene
    >>> tank = box_kit("tank")
    >>> found = seats(sample_scene([tank], [piece(tank, 300, 1600)]))
    >>> found.home["tank"].edge, found.home["tank"].at_mm, sorted(found.near)
    (2, 300.0, [3])
    """
    if "seats" not in scene.memo:
        scene.memo["seats"] = _seats(scene)
    found: Seats = scene.memo["seats"]
    return found


def _seats(scene: Scene) -> Seats:
    edges, convex = scene.edges, is_convex(scene.room.outline_mm)
    home: dict[str, Seat] = {}
    near: dict[int, list[tuple[Placed, Seat]]] = {}
    for item in scene.placed:
        home[item.id], close = _places(edges, item, convex)
        for seat in close:
            near.setdefault(seat.edge, []).append((item, seat))
    return Seats(home, near)


def _places(edges: tuple[Edge, ...], item: Placed, convex: bool) -> tuple[Seat, tuple[Seat, ...]]:
    """Home of a piece and the other walls that show it, worked out once while it and the walls stay as they are."""
    known = item.memo.get("seats")
    if known is None or known[0] is not edges:
        home = home_of(edges, item, convex)
        known = item.memo["seats"] = (edges, home, tuple(_close(edges, item, home, convex)))
    return known[1], known[2]


def _close(edges: tuple[Edge, ...], item: Placed, home: Seat, convex: bool) -> Iterator[Seat]:
    for edge in edges:
        if edge.index == home.edge:
            continue
        seat = seat_on(edge, item)
        close = -NEAR_MM < seat.span.gap_mm <= NEAR_MM and seat.span.reach_mm > 0 and _shared(seat, edges) > 0
        if close and (convex or _in_sight(edges, seat, item)):
            yield seat


@lru_cache(maxsize=64)
def is_convex(outline: tuple[Point, ...]) -> bool:
    """Whether a room has no inward corner.

    >>> is_convex(((0, 0), (2, 0), (2, 1), (0, 1))), is_convex(((0, 0), (2, 0), (2, 1), (1, 1), (1, 2), (0, 2)))
    (True, False)
    """
    return not any(is_inward(outline, i) for i in range(len(outline)))


def is_inward(outline: tuple[Point, ...], corner: int) -> bool:
    """Whether the room turns back on itself at a corner."""
    (px, py), (x, y), (qx, qy) = outline[corner - 1], outline[corner], outline[(corner + 1) % len(outline)]
    return (x - px) * (qy - y) - (y - py) * (qx - x) < -1e-6


def _in_sight(edges: tuple[Edge, ...], seat: Seat, item: Placed) -> bool:
    """Whether no other wall stands between a piece and the wall."""
    edge = edges[seat.edge]
    x0, y0, x1, y1 = item.body[0].bounds
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    along = min(max(edge.measure(middle)[0], 1.0), edge.length_mm - 1.0)
    foot = edge.at(along, 0.5)
    return not any(_cross(middle, foot, other.start, other.at(other.length_mm)) for other in edges if other is not edge)


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    return _side(a, b, c) * _side(a, b, d) < 0 and _side(c, d, a) * _side(c, d, b) < 0


def _side(a: Point, b: Point, p: Point) -> float:
    return (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])
