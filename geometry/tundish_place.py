"""Where the tundish of a store could hang: near its relief valve and lower, seen, not over electrics, with a way out.

Places along every wall within reach of the valve are tried, the nearest first, those in somebody's working room last;
each is put to the discharge check.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice
from math import atan2, degrees

from geometry.checks.discharge import find
from geometry.clearing import side_probe
from geometry.editing import added, kind_of
from geometry.kit import Kit
from geometry.pipes.chain import Chain, chains
from geometry.pipes.topics import WITH_TUNDISH
from geometry.room import Piece
from geometry.scene import Placed, Scene, bounds_of, build, place
from geometry.shapes import Footprint, overlap_mm, swept
from geometry.units import DEPTH_TOLERANCE_MM, Point, Point3
from geometry.walls import Edge

KIND = "tundish"
_STEP_MM = 50
_BELOW_VALVE_MM = (60, 120, 200, 300)
_TRIED = 10
_OFF_WALL_MM = 5.0
Judged = tuple[int, int, float]


@dataclass(frozen=True)
class TundishPlace:
    """A place for a tundish: its middle, the way it faces, its base, the length of D1, and what it leaves to put right.

    ``wrong`` are the topics of the discharge check that are not right there; the best place has none.
    """

    at_mm: Point
    turn_deg: float
    base_mm: float
    d1_mm: float | None
    wrong: tuple[str, ...]


def tundish_place(scene: Scene, store_id: str) -> TundishPlace | None:
    """The best place that is found for a tundish of one store; None where it has no valve or no wall is near."""
    chain = next((chain for chain in chains(scene) if chain.store.id == store_id and chain.valves), None)
    if chain is None:
        return None
    kit = kind_of(scene.room, KIND)
    best: tuple[Judged, TundishPlace] | None = None
    for piece in islice(_places(chain, kit), _TRIED):
        judged = _judged(scene, store_id, piece)
        if best is None or judged[0] < best[0]:
            best = judged
        if not best[1].wrong:
            break
    return best[1] if best else None


def _places(chain: Chain, kit: Kit) -> Iterator[Piece]:
    """Pieces that hang free on a wall near the valve, nearest along the pipe first."""
    scene, valve = chain.scene, chain.store.to_room(chain.valves[0].at_mm)
    reach = chain.pack.number("discharge-valve-to-tundish")
    found: list[tuple[float, float, float, Piece]] = []
    for edge in scene.edges:
        foot, off = edge.measure((valve[0], valve[1]))
        away = abs(off - kit.plan.depth_mm / 2)
        steps = int((reach - min(reach, away)) // _STEP_MM)
        for k in range(-steps, steps + 1):
            for low in _BELOW_VALVE_MM:
                far = away + abs(k) * _STEP_MM + low
                if far <= reach:
                    piece = _on(edge, foot + k * _STEP_MM, valve, low, kit)
                    found.append((far, piece.at_mm[0], piece.at_mm[1], piece))
    rooms, in_them = list(_working_rooms(scene)), []
    for *_, piece in sorted(found, key=lambda one: one[:3]):
        placed = place(piece, kit)
        if _free(scene, placed):
            if any(_in_room(placed, *room) for room in rooms):
                in_them.append(piece)
            else:
                yield piece
    yield from in_them


def _working_rooms(scene: Scene) -> Iterator[tuple[Footprint, float, float]]:
    """Plan and heights of the room that must stay clear beside each piece, right up to the walls."""
    for placed in scene.placed:
        for space in placed.kit.space:
            probe = side_probe(placed, space.side, space.from_mm, space.to_mm)
            if space.need == "must" and space.mm > 0 and not probe.direction[2]:
                for part in probe.parts:
                    yield swept(part, probe.direction, space.mm), probe.from_mm, probe.to_mm


def _in_room(placed: Placed, plan: Footprint, from_mm: float, to_mm: float) -> bool:
    high = min(placed.top_mm, to_mm) - max(placed.base_mm, from_mm) > DEPTH_TOLERANCE_MM
    return high and any(_share(part, plan) for part in placed.body)


def _on(edge: Edge, along: float, valve: Point3, low_mm: float, kit: Kit) -> Piece:
    x, y = edge.at(along, kit.plan.depth_mm / 2 + _OFF_WALL_MM)
    turn = degrees(atan2(edge.inward[0], -edge.inward[1])) % 360
    base = valve[2] - low_mm - kit.height_mm
    return Piece(
        id="place", kit=kit.key, at_mm=(round(x, 1), round(y, 1)), turn_deg=round(turn, 3), base_mm=round(base, 1)
    )


def _free(scene: Scene, placed: Placed) -> bool:
    """Whether it hangs in the room, over the straight drop it needs, in nothing, and over no electrics."""
    drop = scene.pack.number("discharge-straight-drop")
    if placed.base_mm < drop or not scene.floor.covers(placed.body[0].polygon):
        return False
    boxes = [bounds_of(s.plan, s.from_mm - drop, s.to_mm) for s in placed.solids()]
    near = [solid for solids in scene.near(boxes) for solid in solids]
    if any(_share(plan, solid.plan) for plan in placed.body for solid in near):
        return False
    under = [p for p in scene.placed if p.kit.has("electrical") and p.base_mm < placed.base_mm]
    return not any(_share(plan, part) for plan in placed.body for p in under for part in p.body)


def _share(a: Footprint, b: Footprint) -> bool:
    return overlap_mm(a, b) > DEPTH_TOLERANCE_MM


def _judged(scene: Scene, store_id: str, piece: Piece) -> tuple[Judged, TundishPlace]:
    room = added(scene.room, piece.kit, piece.at_mm, turn_deg=piece.turn_deg, base_mm=piece.base_mm)
    there = build(room)
    said = [f for f in find(there, frozenset({store_id})) if f.topic in WITH_TUNDISH]
    bad, doubtful = ([f.topic for f in said if f.verdict == verdict] for verdict in ("put-right", "look-again"))
    d1 = next((f.found for f in said if f.topic == "valve-to-tundish"), None)
    base = piece.base_mm if piece.base_mm is not None else 0.0
    found = TundishPlace(piece.at_mm, piece.turn_deg, base, d1, tuple(dict.fromkeys((*bad, *doubtful))))
    return (len(bad), len(doubtful), d1 or 0.0), found
