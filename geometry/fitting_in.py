"""Will it fit at all: a list of kit put into a room, each where nothing has to be put right if there is such a place.

Kit is tried with its back to every wall, from the corners inwards, and where the floor is widest; the largest first,
then in other orders, since what is placed first leaves the rest less room. What finds no such place stands where least
has to be put right, so that the checks can say by how much it is short.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from math import ceil, hypot

from geometry.check import Check, Finding
from geometry.checks import CHECKS
from geometry.editing import added, kind_of
from geometry.free_place import Place, backed, free_place
from geometry.kit import Kit
from geometry.room import Room
from geometry.saved import Side
from geometry.scene import Scene, build, with_piece

AT_ONCE = frozenset({"body-overlap", "room-edge", "service-space", "draw-out"})
"""Checks that every place is tried by: they are quick."""
HANGS_ON_PLACE = AT_ONCE | {
    "tool-swing", "door-swing", "walkway", "reach", "keep-free", "keep-apart", "wet-above-electrics", "way-out",
}  # fmt: skip
"""Checks that another place can cure. The best few places are tried by all of them."""
DECIDES = HANGS_ON_PLACE | {"stand-up", "pipe-room"}
"""Checks that decide whether a piece fits: those, and whether it can come in and go out again."""
STEP_MM = 50.0
NEAR_MM = 200.0
"""Places whose distance from a door differs by less are alike."""
MOST_PLACES, BEST_PLACES = 60, 8
"""Places tried for one piece in one order of placing, and how many of them are tried by every check."""
CROWDED = 4
"""With more pieces than this, one order is tried: each place costs a look at all of them."""

SIDES_KEPT: tuple[Side, ...] = ("behind", "right", "left")

_QUICK = tuple(check for check in CHECKS if check.id in AT_ONCE)
_CHECKS = tuple(check for check in CHECKS if check.id in HANGS_ON_PLACE)


@dataclass(frozen=True)
class Fit:
    """Whether one piece has a place: the put-rights that decide it, worst first; none where it fits."""

    piece: str
    wrong: tuple[Finding, ...]

    @property
    def fits(self) -> bool:
        """Whether nothing stands against its place."""
        return not self.wrong


def fitted_in(room: Room, kit_keys: Sequence[str]) -> Room:
    """The room with one piece of each kind more, in the order of ``kit_keys``.

    Raises
    ------
    UnknownKit
        There is no such kind.
    """
    kinds = [kind_of(room, key) for key in kit_keys]
    largest = sorted(range(len(kinds)), key=lambda i: (kinds[i].stands_on == "wall", -_floor_mm2(kinds[i])))
    hung = sorted(range(len(kinds)), key=lambda i: (kinds[i].stands_on != "wall", -_floor_mm2(kinds[i])))
    orders = [largest, hung, largest[::-1]] if len(kinds) + len(room.pieces) <= CROWDED else [largest]
    best: tuple[float, Room] | None = None
    for order in _once(orders):
        cost, filled = _filled(room, kinds, order)
        if best is None or cost < best[0]:
            best = (cost, filled)
        if cost <= 0:
            break
    return best[1] if best else room


def fits(findings: Sequence[Finding], pieces: Sequence[str]) -> tuple[Fit, ...]:
    """For every piece, by id, what decides whether it fits, out of all findings of a room."""
    wrong = [found for found in findings if found.verdict == "put-right" and found.check in DECIDES]
    return tuple(Fit(piece, tuple(found for found in wrong if piece in found.pieces)) for piece in pieces)


def _once(orders: list[list[int]]) -> list[list[int]]:
    return [order for i, order in enumerate(orders) if order not in orders[:i]]


def _floor_mm2(kit: Kit) -> float:
    return kit.plan.width_mm * kit.plan.depth_mm


def _filled(room: Room, kinds: Sequence[Kit], order: Sequence[int]) -> tuple[float, Room]:
    """How much has to be put right more than before, and the room with its new pieces in the order of ``kinds``."""
    before = len(room.pieces)
    known = _cost(build(room))
    filled = room
    for i in order:
        scene = build(filled)
        at_mm, turn = _best_place(scene, kinds[i])
        filled = added(filled, kinds[i].key, at_mm, turn_deg=turn)
    cost = _cost(build(filled)) - known
    new = filled.pieces[before:]
    by_kind = dict(zip(order, new, strict=True))
    ordered = [by_kind[i].model_copy(update={"id": piece.id}) for i, piece in enumerate(new)]
    return cost, filled.model_copy(update={"pieces": (*room.pieces, *ordered)})


def _best_place(scene: Scene, kit: Kit) -> Place:
    first = free_place(scene, kit)
    there = build(added(scene.room, kit.key, first[0], turn_deg=first[1]))
    new = there.room.pieces[-1]

    def put(place: Place) -> Scene:
        return with_piece(there, new.model_copy(update={"at_mm": place[0], "turn_deg": place[1]}))

    places = [first, *islice(_places(scene, kit), MOST_PLACES)]
    quick = sorted((_cost(put(place), _QUICK), -_from_door(scene, place), i) for i, place in enumerate(places))
    known, best, least = _cost(scene), first, float("inf")
    for _, _, i in quick[:BEST_PLACES]:
        cost = _cost(put(places[i])) - known
        if cost < least:
            best, least = places[i], cost
        if least <= 0:
            break
    return best


def _from_door(scene: Scene, place: Place) -> float:
    """How far a place is from the nearest door: of places that are alike the one that leaves the way in free."""
    (x, y), _ = place
    gaps = [hypot(opening.centre[0] - x, opening.centre[1] - y) for _, opening in scene.openings]
    return round(min(gaps, default=0.0) / NEAR_MM)


def _cost(scene: Scene, checks: Sequence[Check] = _CHECKS) -> float:
    """How many put-rights there are of all that a place decides, and a little for how much each is short."""
    wrong = [found for check in checks for found in check.find(scene, None) if found.verdict == "put-right"]
    return sum(1.0 + min(found.short or 0.0, 1000.0) / 10_000 for found in wrong)


def _places(scene: Scene, kit: Kit) -> Iterator[Place]:
    """Back to every wall, clear of its corners by what the kind keeps at its sides: from the corners inwards."""
    off, right, left = (_kept_mm(kit, side) for side in SIDES_KEPT)
    runs = [(edge, right, edge.length_mm - kit.plan.width_mm - left) for edge in scene.edges]
    runs += [(edge, 0.0, edge.length_mm - kit.plan.width_mm) for edge, low, high in runs if high < low]
    runs = [(edge, low, high) for edge, low, high in runs if high >= low]
    steps = max((ceil((high - low) / STEP_MM) for _, low, high in runs), default=0)
    for step in range(steps // 2 + 1):
        into = step * STEP_MM
        for edge, low, high in runs:
            if into <= (high - low) / 2 + STEP_MM / 2:
                # along a wall the body's own right comes first
                for along in dict.fromkeys((min(low + into, high), max(high - into, low))):
                    yield backed(edge, along + kit.plan.width_mm / 2, kit, off)


def _kept_mm(kit: Kit, side: Side) -> float:
    """What a kind keeps free on a side, or sticks out there."""
    spaces = [space.mm for space in kit.space if space.side == side and space.need == "must"]
    return max([0.0, *spaces, *(item.mm for item in kit.sticks_out if item.side == side)])
