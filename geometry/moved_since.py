"""What stands otherwise in a later layout: pieces that came, went, moved, turned, rose or became another kind.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> tank, jug = box_kit("tank"), box_kit("jug", 200, 200, 300)
>>> before = sample_scene([tank, jug], [piece(tank, 300, 1600), piece(jug, 1200, 900)])
>>> after = sample_scene([tank, jug], [piece(tank, 350, 1600, 90)])
>>> for other in moved_since(before, after):
...     print(other.told)
Jug is taken out.
Tank has moved 50 mm to the right and is turned by 90°.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot
from typing import Literal

from geometry.check import mm
from geometry.scene import Placed, Scene
from geometry.units import DEPTH_TOLERANCE_MM, Point, Point3
from geometry.words import listed, start

Kind = Literal["gone", "new", "changed", "room"]


@dataclass(frozen=True)
class Difference:
    """One thing that is not as it was: a piece by its id, or a part of the room, with a sentence for the trade.

    ``move_mm`` is how far a piece moved (x, y, z), or None where it did not move.
    """

    kind: Kind
    ref: str
    told: str
    move_mm: Point3 | None = None


def moved_since(before: Scene, after: Scene) -> tuple[Difference, ...]:
    """Everything that stands otherwise: what went, what came, what changed its place, and what of the room changed."""
    old, new = ({item.id: item for item in scene.placed} for scene in (before, after))
    gone = [Difference("gone", ref, f"{start(item.name)} is taken out.") for ref, item in old.items() if ref not in new]
    came = [Difference("new", ref, f"{start(item.name)} is new.") for ref, item in new.items() if ref not in old]
    both = ((old[ref], item) for ref, item in new.items() if ref in old)
    changed = [found for one, other in both if (found := _changed(one, other))]
    return (*gone, *came, *changed, *_room(before, after))


def _changed(old: Placed, new: Placed) -> Difference | None:
    (x0, y0), (x1, y1) = old.piece.at_mm, new.piece.at_mm
    move: Point3 = (x1 - x0, y1 - y0, new.base_mm - old.base_mm)
    parts = [*_went((move[0], move[1])), *_rose(move[2]), *_turned(old, new), *_became(old, new)]
    if not parts:
        return None
    moved = max(map(abs, move)) > DEPTH_TOLERANCE_MM
    return Difference("changed", new.id, f"{start(new.name)} {listed(parts)}.", move if moved else None)


def _went(move: Point) -> Iterator[str]:
    x, y = move
    if hypot(x, y) <= DEPTH_TOLERANCE_MM:
        return
    sideways = f"{mm(abs(x))} to the {'right' if x > 0 else 'left'}" if abs(x) > DEPTH_TOLERANCE_MM else ""
    away = f"{mm(abs(y))} towards the {'back' if y > 0 else 'front'}" if abs(y) > DEPTH_TOLERANCE_MM else ""
    yield "has moved " + ", ".join(part for part in (sideways, away) if part)


def _rose(rise: float) -> Iterator[str]:
    if abs(rise) > DEPTH_TOLERANCE_MM:
        yield f"is {mm(abs(rise))} {'higher' if rise > 0 else 'lower'}"


def _turned(old: Placed, new: Placed) -> Iterator[str]:
    turn = (new.piece.turn_deg - old.piece.turn_deg) % 360
    if turn:
        yield f"is turned by {min(turn, 360 - turn):g}°"


def _became(old: Placed, new: Placed) -> Iterator[str]:
    if old.kit.key != new.kit.key:
        yield f"is another kind now ({new.kit.name}, before {old.kit.name})"
    elif old.kit != new.kit:
        yield "has other figures"
    if old.name != new.name and old.kit.key == new.kit.key:
        yield f"was called {old.name}"


_ROOM = {
    "outline_mm": "The outline of the room is another one.", "ceiling": "The ceiling is another one.",
    "walls": "The walls are others.", "doors": "The doors are others.", "windows": "The windows are others.",
    "fixtures": "The fixed parts of the room are others.", "keep_free": "The space to keep free is another one.",
    "outlets": "The outlets are others.", "flues": "The flue ends elsewhere.", "pipes": "The pipes run otherwise.",
    "rules": "The rules are others.", "overrides": "The room's own figures are others.",
    "tolerance_mm": "The survey tolerance is another one.", "system": "The type of system is another one.",
}  # fmt: skip


def _room(before: Scene, after: Scene) -> Iterator[Difference]:
    for name, told in _ROOM.items():
        if getattr(before.room, name) != getattr(after.room, name):
            yield Difference("room", name, told)
