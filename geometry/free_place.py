"""A first place for a piece that was just taken from the shelf: where nothing has to be put right, if there is one."""

from collections.abc import Iterator, Sequence
from itertools import islice

import shapely
from shapely.geometry import LineString, Polygon

from geometry.checks import CHECKS
from geometry.editing import added
from geometry.kit import Kit
from geometry.saved import Side
from geometry.scene import Scene, build, with_piece
from geometry.units import Point, whole_mm
from geometry.walls import Edge

Place = tuple[Point, float]

_MOST_TRIED = 24
_HANG_ON_PLACE = frozenset(
    {"body-overlap", "room-edge", "service-space", "draw-out", "tool-swing", "door-swing", "keep-free", "keep-apart"}
    | {"wet-above-electrics"}
)
_CHECKS = tuple(check for check in CHECKS if check.id in _HANG_ON_PLACE)


def free_place(scene: Scene, kit: Kit) -> Place:
    """Where to put a new piece (mm) and how to turn it (deg).

    Floor kit goes to the middle of the widest free floor, else with its back to a wall; wall kit to the middle of the
    longest free stretch of wall, its back to it, else along it. Of these places it takes the first where nothing has to
    be put right, else the one where least has to be. In a full room it goes to the middle of what there is.
    """
    places = list(islice(places_for(scene, kit), _MOST_TRIED))
    at_mm, turn_deg = places[0]
    return best_of(scene, build(added(scene.room, kit.key, at_mm, turn_deg=turn_deg)), places)


def places_for(scene: Scene, kit: Kit) -> Iterator[Place]:
    """Where one more of a kind may find a place, likely places first; at least one."""
    return _on_walls(scene, kit) if kit.stands_on == "wall" else _on_the_floor(scene, kit)


def best_of(scene: Scene, usual: Scene, places: Sequence[Place]) -> Place:
    """The first of some places where nothing has to be put right, else the one where least has to be.

    ``usual`` is the scene with one more piece, the last of its room, at the first of the places.
    """
    known, new = _wrongs(scene), usual.room.pieces[-1]
    best, fewest = places[0], _wrongs(usual) - known
    for at_mm, turn in places[1:]:
        if fewest <= 0:
            break
        more = _wrongs(with_piece(usual, new.model_copy(update={"at_mm": at_mm, "turn_deg": turn}))) - known
        if more < fewest:
            best, fewest = (at_mm, turn), more
    return best


def _wrongs(scene: Scene) -> int:
    """How much has to be put right of all that a place decides."""
    return sum(found.verdict == "put-right" for check in _CHECKS for found in check.find(scene, None))


def _on_the_floor(scene: Scene, kit: Kit) -> Iterator[Place]:
    room = Polygon(scene.room.outline_mm)
    taken = [s.plan.polygon for s in scene.solids if s.part != "wall" and s.meets_band(kit.base_mm, _top(kit))]
    parts = [part for part in shapely.get_parts(room.difference(shapely.union_all(taken))) if part.area > 0]
    widest = max((_inner_circle(part) for part in parts), key=lambda line: line.length, default=_inner_circle(room))
    x, y = widest.coords[0]
    yield (float(whole_mm(x)), float(whole_mm(y))), 0.0
    if kit.stands_on == "floor":
        yield from _along_walls(scene, kit)


def _inner_circle(area: Polygon) -> LineString:
    """The largest circle inside, as a line from its middle to its rim."""
    return shapely.maximum_inscribed_circle(area, tolerance=5.0)


def _on_walls(scene: Scene, kit: Kit) -> Iterator[Place]:
    free = list(_along_walls(scene, kit))
    yield from free
    if not free:
        longest = max(scene.edges, key=lambda edge: (edge.length_mm, -edge.index))
        yield _against(longest, longest.length_mm / 2, kit)


def _along_walls(scene: Scene, kit: Kit) -> Iterator[Place]:
    """Places on the free stretches, longest first: the middle of each, then just clear of what is at its ends."""
    stretches = [(edge, low, high) for edge in scene.edges for low, high in _free_stretches(scene, edge, kit)]
    stretches.sort(key=lambda one: (one[1] - one[2], one[0].index))
    for edge, low, high in stretches:
        yield _against(edge, (low + high) / 2, kit)
    half = kit.plan.width_mm / 2
    for edge, low, high in stretches:
        # along a wall the body's own right comes first
        first, last = low + half + kept_mm(kit, "right"), high - half - kept_mm(kit, "left")
        if first < last:
            yield _against(edge, first, kit)
            yield _against(edge, last, kit)


def _against(edge: Edge, along_mm: float, kit: Kit) -> Place:
    return backed(edge, along_mm, kit, kept_mm(kit, "behind"))


def backed(edge: Edge, along_mm: float, kit: Kit, off_mm: float) -> Place:
    """With its back to a wall: the middle of its body so far along it, and that far off it."""
    x, y = edge.at(along_mm, kit.plan.depth_mm / 2 + off_mm)
    return (round(x, 1), round(y, 1)), edge.back_to_deg


def kept_mm(kit: Kit, side: Side) -> float:
    """The room that a piece must keep on a side."""
    return max([0.0, *(space.mm for space in kit.space if space.side == side and space.need == "must")])


def _free_stretches(scene: Scene, edge: Edge, kit: Kit) -> list[tuple[float, float]]:
    """Stretches of a wall, long enough for the kind, with nothing solid and no opening at its height."""
    free, here = [], 0.0
    for low, high in [*sorted(_taken(scene, edge, kit)), (edge.length_mm, edge.length_mm)]:
        if low - here >= kit.plan.width_mm:
            free.append((here, low))
        here = max(here, high)
    return free


def _taken(scene: Scene, edge: Edge, kit: Kit) -> Iterator[tuple[float, float]]:
    x0, y0 = edge.measure((0.0, 0.0))
    (ux, uy), (nx, ny) = edge.along, edge.inward
    for solid in scene.solids:
        near = y0 - solid.plan.reach((-nx, -ny))
        if solid.part != "wall" and solid.meets_band(kit.base_mm, _top(kit)) and near < kit.plan.depth_mm:
            yield x0 - solid.plan.reach((-ux, -uy)), x0 + solid.plan.reach((ux, uy))
    for door in (door for door in scene.room.doors if door.edge == edge.index and door.head_mm > kit.base_mm):
        yield door.from_mm, door.from_mm + door.clear_mm
    for window in (window for window in scene.room.windows if window.edge == edge.index):
        if window.sill_mm < _top(kit) and kit.base_mm < window.head_mm:
            yield window.from_mm, window.from_mm + window.width_mm


def _top(kit: Kit) -> float:
    return kit.base_mm + kit.height_mm
