"""What is shut off in a hurry: water, gas, electricity, and where the heating is filled; for a card on the door.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> tap = box_kit("tap", 80, 70, 130, name="Stop tap", stands_on="wall", base_mm=300, traits=["stop-tap"])
>>> door = {"id": "d1", "edge": 0, "from_mm": 100, "clear_mm": 700}
>>> [(s.what, s.piece, round(s.from_door_mm or 0)) for s in shut_offs(sample_scene([tap], [piece(tap, 500, 1765)],
...  doors=[door]))]
[('water', 'tap', 1765), ('gas', '', 0), ('electricity', '', 0), ('filling', '', 0)]
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal

import shapely
from shapely.geometry import LineString, Point

from geometry.scene import Placed, Scene

What = Literal["water", "gas", "electricity", "filling"]

_IS: dict[What, Callable[[Placed], bool]] = {
    "water": lambda p: p.kit.has("stop-tap") or p.kit.key.startswith("stop-tap"),
    "gas": lambda p: p.kit.has("gas") and (p.kit.has("valve") or p.kit.has("meter")),
    "electricity": lambda p: p.kit.key.startswith(("consumer-unit", "fused-spur")),
    "filling": lambda p: p.kit.key.startswith("filling-loop"),
}


@dataclass(frozen=True)
class ShutOff:
    """One thing to shut off: the piece ("" where the room has none), its height, and how far it is from the door."""

    what: What
    piece: str
    name: str
    level_mm: float | None
    from_door_mm: float | None
    at_mm: tuple[float, float] | None


def shut_offs(scene: Scene) -> tuple[ShutOff, ...]:
    """All four, each with every piece of the room that does it, nearest to the door first."""
    return tuple(found for what in _IS for found in _of(scene, what))


def _of(scene: Scene, what: What) -> Iterator[ShutOff]:
    found = [_found(scene, what, item) for item in scene.placed if _IS[what](item)]
    yield from sorted(found, key=lambda s: (s.from_door_mm or 0.0, s.piece)) or [
        ShutOff(what, "", "", None, None, None)
    ]


def _found(scene: Scene, what: What, item: Placed) -> ShutOff:
    handles = [access for access in item.kit.access if access.emergency] or list(item.kit.access)
    x, y, z = item.to_room(handles[0].at_mm if handles else (0.0, 0.0, item.kit.height_mm / 2))
    openings = [
        LineString([scene.edges[d.edge].at(d.from_mm), scene.edges[d.edge].at(d.from_mm + d.clear_mm)])
        for d in scene.room.doors
    ]  # fmt: skip
    far = float(shapely.union_all(openings).distance(Point(x, y))) if openings else None
    return ShutOff(what, item.id, item.name, z, far, (x, y))
