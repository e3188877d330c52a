"""The room as placed solids, built once and indexed once: everything that a check may meet."""

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from math import sqrt
from typing import Any, Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from geometry.ceilings import Roof, roof_of
from geometry.kit import Kit, SticksOut, changed
from geometry.room import Door, Piece, Room
from geometry.rules import RulePack, pack_of
from geometry.saved import Side
from geometry.shapes import Footprint, convex_parts, disc, turned
from geometry.shelf import find_kit
from geometry.square import Squares
from geometry.units import DEPTH_TOLERANCE_MM, Point, Point3
from geometry.walls import Edge, edges, slot, wall_blocks

Part = Literal["body", "sticks-out", "fixture", "wall"]
Box6 = tuple[float, float, float, float, float, float]

_FURTHER = re.compile(", | with | or ")
_SIDE_VECTOR: dict[Side, Point] = {"front": (0, -1), "left": (-1, 0), "right": (1, 0), "behind": (0, 1)}


@dataclass(frozen=True)
class Solid:
    """Something solid: whose it is, what it is called, its convex plan and its height band."""

    owner: str
    part: Part
    what: str
    plan: Footprint
    from_mm: float
    to_mm: float
    movable: bool = False

    def meets_band(self, from_mm: float, to_mm: float) -> bool:
        """Whether it shares more height with a band than rounding."""
        return min(self.to_mm, to_mm) - max(self.from_mm, from_mm) > DEPTH_TOLERANCE_MM


@dataclass(frozen=True)
class Placed:
    """A piece in the room: its kind with its own changes, its solids, and its frame."""

    piece: Piece
    kit: Kit
    name: str
    base_mm: float
    body: tuple[Footprint, ...]
    sticks: tuple[Solid, ...]

    @cached_property
    def memo(self) -> dict[str, Any]:
        """What is worked out of this piece alone, kept while it stays where it is."""
        return {}

    @cached_property
    def id(self) -> str:
        """The piece's id."""
        return self.piece.id

    @cached_property
    def top_mm(self) -> float:
        """Height of the top of the body above finished floor."""
        return self.base_mm + self.kit.height_mm

    @property
    def movable(self) -> bool:
        """Whether it can simply be moved out of the way."""
        return self.piece.hold == "movable"

    def to_room(self, at_mm: Point3) -> Point3:
        """A point of the piece's own frame in room coordinates."""
        x, y = turned((at_mm[0], at_mm[1]), self.piece.turn_deg)
        return (x + self.piece.at_mm[0], y + self.piece.at_mm[1], at_mm[2] + self.base_mm)

    def direction(self, side: Side) -> Point3:
        """Unit vector out of a side, in room coordinates."""
        return _out_of(side, self.piece.turn_deg)

    def solids(self) -> tuple[Solid, ...]:
        """The body and everything that sticks out of it."""
        return self._solids

    @cached_property
    def _solids(self) -> tuple[Solid, ...]:
        body = (Solid(self.id, "body", self.name, p, self.base_mm, self.top_mm, self.movable) for p in self.body)
        return (*body, *self.sticks)


@lru_cache(maxsize=4096)
def _out_of(side: Side, turn_deg: float) -> Point3:
    if side in ("above", "below"):
        return (0.0, 0.0, 1.0 if side == "above" else -1.0)
    x, y = turned(_SIDE_VECTOR[side], turn_deg)
    return (float(x), float(y), 0.0)


def place(piece: Piece, kit: Kit, name: str | None = None) -> Placed:
    """A piece of a kind, with its own changes, put where it stands; ``name`` is what people call it."""
    kit = changed(kit, piece.changes)
    base = kit.base_mm if piece.base_mm is None else piece.base_mm
    body = tuple(_into_room(part, piece) for part in own_body(kit))
    called = name or piece.name or short_name(kit)
    sticks = tuple(
        Solid(
            piece.id, "sticks-out", f"{called}'s {item.what}", _into_room(_sticks_plan(item, kit), piece),
            *_sticks_band(item, kit, base), piece.hold == "movable",
        )
        for item in kit.sticks_out
    )  # fmt: skip
    return Placed(piece, kit, called, base, body, sticks)


def short_name(kit: Kit) -> str:
    """The kind's name without its sizes and what comes with it: what people say.

    >>> from geometry.shelf import find_kit
    >>> short_name(find_kit("unvented-cylinder-210")), short_name(find_kit("stop-tap"))
    ('Unvented cylinder', 'Stop tap')
    """
    return _FURTHER.split(kit.name, maxsplit=1)[0]


def _names(pieces: Iterable[Piece], kinds: dict[str, Kit]) -> dict[str, str]:
    """What people call each piece; several of one name are numbered in the order of their ids."""
    plain = {piece.id: piece.name or short_name(kinds[piece.id]) for piece in pieces}
    counted = Counter(plain.values())
    seen: Counter[str] = Counter()
    named = {}
    for piece_id, name in plain.items():
        seen[name] += 1
        named[piece_id] = f"{name} {seen[name]}" if counted[name] > 1 else name
    return named


def own_body(kit: Kit) -> tuple[Footprint, ...]:
    """The body in its own frame, as convex parts."""
    plan = kit.plan
    if plan.round_mm is not None:
        return (disc((0.0, 0.0), plan.round_mm / 2),)
    if plan.outline_mm is not None:
        parts = convex_parts(plan.outline_mm)
        bounds = [part.bounds for part in parts]
        cx = (min(b[0] for b in bounds) + max(b[2] for b in bounds)) / 2
        cy = (min(b[1] for b in bounds) + max(b[3] for b in bounds)) / 2
        return tuple(part.moved(-cx, -cy) for part in parts)
    w, d = plan.width_mm / 2, plan.depth_mm / 2
    return (Footprint(((-w, -d), (w, -d), (w, d), (-w, d))),)


def _into_room(plan: Footprint, piece: Piece) -> Footprint:
    x, y = piece.at_mm
    points = tuple((px + x, py + y) for px, py in (turned(p, piece.turn_deg) for p in plan.points))
    return Footprint(points, plan.radius_mm)


def _sticks_plan(item: SticksOut, kit: Kit) -> Footprint:
    half_w, half_d = kit.plan.width_mm / 2, kit.plan.depth_mm / 2
    if item.side in ("above", "below"):
        x0, x1 = item.across_mm or (-half_w, half_w)
        y0, y1 = item.along_mm or (-half_d, half_d)
        if item.across_mm is None and item.along_mm is None and kit.plan.round_mm is not None:
            return disc((0.0, 0.0), half_w)
        return Footprint(((x0, y0), (x1, y0), (x1, y1), (x0, y1)))
    reach, across = (half_d, half_w) if item.side in ("front", "behind") else (half_w, half_d)
    if kit.plan.round_mm is not None and item.across_mm is None:
        return _turned_to(Footprint(((0.0, 0.0), (0.0, -item.mm)), half_w), item.side)
    low, high = item.across_mm or (-across, across)
    inner = reach if kit.plan.round_mm is None else _on_round(reach, max(abs(low), abs(high)))
    return _turned_to(
        Footprint(((low, -reach - item.mm), (high, -reach - item.mm), (high, -inner), (low, -inner))), item.side
    )


def _on_round(radius: float, across: float) -> float:
    """How far from the middle a round body's surface is, that far to the side."""
    return sqrt(radius**2 - across**2) if across < radius else 0.0


def _turned_to(plan: Footprint, side: Side) -> Footprint:
    turn = {"front": 0, "right": 90, "behind": 180, "left": 270}[side]
    return Footprint(tuple(turned(p, turn) for p in plan.points), plan.radius_mm)


def _sticks_band(item: SticksOut, kit: Kit, base: float) -> tuple[float, float]:
    if item.side == "above":
        return base + kit.height_mm, base + kit.height_mm + item.mm
    if item.side == "below":
        return base - item.mm, base
    low = 0.0 if item.from_mm is None else item.from_mm
    high = kit.height_mm if item.to_mm is None else item.to_mm
    return base + low, base + high


@dataclass(frozen=True)
class Scene:
    """A room ready to be checked.

    ``solids`` holds bodies, what sticks out, fixtures and walls; ``boxes`` their bounds (n x 6: min x, y, z, max x,
    y, z) for the one broad search.
    """

    room: Room
    placed: tuple[Placed, ...]
    solids: tuple[Solid, ...]
    boxes: NDArray[np.float64]
    _by_id: dict[str, Placed] = field(repr=False)
    shell: dict[object, Any] = field(default_factory=dict, repr=False)
    """What is worked out of the building alone, shared by every arrangement of its kit."""

    @cached_property
    def memo(self) -> dict[object, Any]:
        """What checks have worked out about this room and share, by what was asked: grounds, floors, answers."""
        return {}

    @cached_property
    def roof(self) -> Roof:
        """The ceiling, ready to be measured."""
        if "roof" not in self.shell:
            self.shell["roof"] = roof_of(self.room.ceiling)
        found: Roof = self.shell["roof"]
        return found

    @cached_property
    def openings(self) -> tuple[tuple[Door, Footprint], ...]:
        """Each door with its clear opening through the wall, in plan, in the order of their ids."""
        doors = sorted(self.room.doors, key=lambda door: door.id)
        return tuple((door, slot(self.room, door)) for door in doors)

    @cached_property
    def floor(self) -> Polygon:
        """The outline as one polygon."""
        if "outline" not in self.shell:
            self.shell["outline"] = Polygon(self.room.outline_mm)
            shapely.prepare(self.shell["outline"])
        found: Polygon = self.shell["outline"]
        return found

    @property
    def edges(self) -> tuple[Edge, ...]:
        """Every wall line, in order."""
        return edges(self.room)

    def piece(self, piece_id: str) -> Placed | None:
        """A placed piece by id."""
        return self._by_id.get(piece_id)

    @cached_property
    def names(self) -> dict[str, str]:
        """What people call everything that a finding may name."""
        room = self.room
        named: dict[str, str] = {f"edge:{i}": f"wall {i + 1}" for i in range(len(room.outline_mm))}
        named["ceiling"] = "ceiling"
        named |= {s.name: s.name for s in room.ceiling.slopes} | {b.name: b.name for b in room.ceiling.beams}
        named |= {b.id: b.name for b in room.fixtures} | {k.id: k.name for k in room.keep_free}
        named |= {o.id: o.name for o in room.outlets}
        named |= {d.id: f"door {d.id}" for d in room.doors} | {w.id: f"window {w.id}" for w in room.windows}
        return named | {p.id: p.name for p in self.placed}

    @cached_property
    def pack(self) -> RulePack:
        """The rule pack that this room is judged by, its own figures in it."""
        return pack_of(self.room)

    @cached_property
    def squares(self) -> Squares[Solid]:
        """The solids that stand square to the room, ready to be slid against all at once."""
        return self._squares(range(len(self.solids)))

    @cached_property
    def building(self) -> Squares[Solid]:
        """The same of walls and fixtures alone."""
        return self._squares([i for i, solid in enumerate(self.solids) if solid.part in ("wall", "fixture")])

    def _squares(self, among: Iterable[int]) -> Squares[Solid]:
        places = list(among)
        others = [i for i in places if not self.solids[i].plan.is_square]
        square = tuple(self.solids[i] for i in places if self.solids[i].plan.is_square)
        return Squares(square, np.array(others, dtype=np.intp))

    def near(self, queries: Sequence[Box6], among: NDArray[np.intp] | None = None) -> list[list[Solid]]:
        """For each box (min x, y, z, max x, y, z), the solids whose bounds it meets, in the scene's order.

        ``among`` holds the places of the solids to look at; without it all are.
        """
        boxes = self.boxes if among is None else self.boxes[among]
        if not queries or not len(boxes):
            return [[] for _ in queries]
        q = np.asarray(queries, dtype=np.float64)
        slack = DEPTH_TOLERANCE_MM
        meets = (q[:, None, 0] < boxes[:, 3] - slack) & (q[:, None, 3] > boxes[:, 0] + slack)
        for axis in (1, 2):
            meets &= (q[:, None, axis] < boxes[:, axis + 3] - slack) & (q[:, None, axis + 3] > boxes[:, axis] + slack)
        rows, columns = np.nonzero(meets)
        if among is not None:
            columns = among[columns]
        found: list[list[Solid]] = [[] for _ in queries]
        for row, column in zip(rows.tolist(), columns.tolist(), strict=True):
            found[row].append(self.solids[column])
        return found


def bounds_of(plan: Footprint, from_mm: float, to_mm: float) -> Box6:
    """Bounds of a solid as one box."""
    x0, y0, x1, y1 = plan.bounds
    return (x0, y0, from_mm, x1, y1, to_mm)


def build(room: Room) -> Scene:
    """Place everything in a room. Pieces are taken in the order of their ids, so the file's order changes nothing."""
    kinds = {kit.key: kit for kit in room.kit}
    pieces = sorted(room.pieces, key=lambda piece: piece.id)
    kits = {piece.id: kinds.get(piece.kit) or find_kit(piece.kit) for piece in pieces}
    names = _names(pieces, kits)
    return _index(room, tuple(place(piece, kits[piece.id], names[piece.id]) for piece in pieces))


def with_piece(scene: Scene, piece: Piece) -> Scene:
    """The same room with one piece put elsewhere: only that piece is placed anew.

    The piece is taken as it is, without the checks of a room file: for a piece under somebody's finger.
    """
    kinds = {kit.key: kit for kit in scene.room.kit}
    pieces = tuple(piece if other.id == piece.id else other for other in scene.room.pieces)
    room = scene.room.model_copy(update={"pieces": pieces})
    again = place(piece, kinds.get(piece.kit) or find_kit(piece.kit), scene.names.get(piece.id))
    return _index(room, tuple(again if other.id == piece.id else other for other in scene.placed), scene.shell)


def _index(room: Room, placed: tuple[Placed, ...], shell: dict[object, Any] | None = None) -> Scene:
    solids = [solid for item in placed for solid in item.solids()]
    for block in sorted(room.fixtures, key=lambda b: b.id):
        solids += [
            Solid(block.id, "fixture", block.name, part, block.from_mm, block.to_mm)
            for part in convex_parts(block.area_mm)
        ]
    solids += [Solid(b.ref, "wall", b.ref, b.plan, b.from_mm, b.to_mm) for b in wall_blocks(room)]
    boxes = np.array([bounds_of(s.plan, s.from_mm, s.to_mm) for s in solids], dtype=np.float64).reshape(-1, 6)
    return Scene(room, placed, tuple(solids), boxes, {item.id: item for item in placed}, {} if shell is None else shell)
