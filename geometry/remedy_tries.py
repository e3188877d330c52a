"""Places worth trying for a piece that is in the way: the candidates of a remedy, and the room with one of them made.

For each piece that a finding names: the nearest clear spot, the same along its own wall for kit that hangs, straight
moves by what is missing, up or down for kit that hangs, and the three other turns.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, hypot

from geometry.check import Finding
from geometry.clear_spots import FARTHEST_MOVE_MM, nearest_clear
from geometry.kit import PLAN_SIDES
from geometry.scene import Placed, Scene, place, with_piece
from geometry.units import SAME_MM, Point

TURN_COUNTS_AS_MM = 400.0
"""A turn is offered before a move longer than this."""
RAISE_LIMIT_MM = 800.0
SHAPES_PER_EFFORT = 15
STEPS_MM = (25, 50, 100, 150, 200, 300)
TURNS_DEG = (90.0, 180.0, 270.0)


@dataclass
class Patience:
    """How much more may be tried: a room with hundreds of faults is not worth minutes of looking."""

    left: int

    @classmethod
    def for_room(cls, scene: Scene, effort: int) -> "Patience":
        """Fewer tries the more pieces there are, since each try looks at them all."""
        return cls(effort // max(1, len(scene.placed)))

    def spent(self, effort: int = 1) -> bool:
        """Take some, and tell whether none is left."""
        self.left -= effort
        return self.left < 0


@dataclass(frozen=True)
class Try:
    """One piece moved, turned and raised by so much."""

    piece: str
    move_mm: Point = (0.0, 0.0)
    turn_deg: float = 0.0
    raise_mm: float = 0.0

    @property
    def cost(self) -> float:
        """How much it changes, in mm of move."""
        turn = TURN_COUNTS_AS_MM if self.turn_deg else 0.0
        return turn + hypot(*self.move_mm) + abs(self.raise_mm)


def made(scene: Scene, attempt: Try) -> Scene:
    """The room with a try made."""
    placed = scene.piece(attempt.piece)
    assert placed is not None
    x, y = placed.piece.at_mm
    changes = {
        "at_mm": (x + attempt.move_mm[0], y + attempt.move_mm[1]),
        "turn_deg": (placed.piece.turn_deg + attempt.turn_deg) % 360,
        "base_mm": placed.base_mm + attempt.raise_mm,
    }
    return with_piece(scene, placed.piece.model_copy(update=changes))


def moves(scene: Scene, finding: Finding, patience: Patience) -> Iterator[Try]:
    """Moves without a turn that may cure a finding, by a piece that it names and that may be moved."""
    for placed in _about(scene, finding):
        for spare in (scene.room.tolerance_mm, 0.0):
            move = _clear(scene, placed, spare, patience)
            if move is not None and move != (0.0, 0.0):
                yield Try(placed.id, move)
        for length in _lengths(scene, finding):
            yield from _straight(placed, length, off_the_wall=finding.check == "room-edge")
        if placed.kit.stands_on != "wall" and finding.topic == "nothing-below":
            yield Try(placed.id, raise_mm=placed.kit.base_mm - placed.base_mm)


def turns(scene: Scene, finding: Finding, patience: Patience) -> Iterator[Try]:
    """The other turns of each piece that stands, as it is and moved to the nearest clear spot."""
    for placed in _about(scene, finding):
        for turn in TURNS_DEG if placed.kit.stands_on != "wall" else ():
            yield Try(placed.id, turn_deg=turn)
            move = _clear(scene, _turned(placed, turn), scene.room.tolerance_mm, patience)
            if move is not None and move != (0.0, 0.0):
                yield Try(placed.id, move, turn)


def _clear(scene: Scene, placed: Placed, spare_mm: float, patience: Patience) -> Point | None:
    if patience.left <= 0:
        return None
    move, shapes = nearest_clear(scene, placed, spare_mm)
    patience.spent(shapes // SHAPES_PER_EFFORT)
    return move


def _turned(placed: Placed, turn_deg: float) -> Placed:
    turned = {"turn_deg": (placed.piece.turn_deg + turn_deg) % 360, "changes": {}}
    return place(placed.piece.model_copy(update=turned), placed.kit, placed.name)


def _about(scene: Scene, finding: Finding) -> Iterator[Placed]:
    for ref in dict.fromkeys((*finding.pieces, *finding.against)):
        placed = scene.piece(ref)
        if placed is not None and not placed.piece.pinned:
            yield placed


def _lengths(scene: Scene, finding: Finding) -> tuple[int, ...]:
    """Moves worth trying: what is missing, with and without the survey tolerance; steps where that is not a length."""
    if finding.unit != "mm":
        return STEPS_MM
    short = finding.short or 0.0
    if finding.topic == "no-wall":
        return (round(short + scene.pack.number("hang-stand-off")),)
    return ceil(short - SAME_MM), ceil(short + scene.room.tolerance_mm - SAME_MM)


def _straight(placed: Placed, length: int, *, off_the_wall: bool) -> Iterator[Try]:
    if not 0 < length <= FARTHEST_MOVE_MM:
        return
    for side in PLAN_SIDES:
        x, y, _ = placed.direction(side)
        if side in ("front", "behind") and placed.kit.stands_on == "wall" and not off_the_wall:
            continue
        yield Try(placed.id, (x * length, y * length))
    if placed.kit.stands_on == "wall" and length <= RAISE_LIMIT_MM:
        yield Try(placed.id, raise_mm=float(length))
        if length < placed.base_mm:
            yield Try(placed.id, raise_mm=-float(length))
