"""One room for the discharge: a store, its tundish, an outlet, with every measure that a test may want to change.

The relief valve of the store is at (875, 2600, 1300) and faces right; the tundish hangs straight in front of it. Pipes
may hang on brackets as far as the room is long, so that a straight pipe stays straight.
"""

from collections.abc import Iterable
from typing import Any

from geometry.check import Finding
from geometry.checks.discharge import find
from geometry.room import Room
from geometry.scene import build

Data = dict[str, Any]


def kit_store(size_mm: float = 15, key: str = "store", name: str = "Cylinder", **more: Any) -> Data:
    """A cylinder of 550 mm with its relief valve on its right at 1,300 mm."""
    relief = {
        "name": "relief",
        "medium": "hot-discharge",
        "size_mm": size_mm,
        "at_mm": [275, 0, 1300],
        "faces": "right",
    }
    return {
        "key": key, "name": name, "plan": {"round_mm": 550}, "height_mm": 1500, "traits": ["unvented-store"],
        "port": [relief], **more,
    }  # fmt: skip


def kit_tundish(**more: Any) -> Data:
    """A tundish of 60 by 60 by 120 mm."""
    return {
        "key": "funnel", "name": "Tundish", "plan": {"box_mm": [60, 60]}, "height_mm": 120, "stands_on": "wall",
        "traits": ["tundish"], **more,
    }  # fmt: skip


def kit_box(key: str, width: float, depth: float, height: float, name: str | None = None) -> Data:
    """A plain box."""
    return {"key": key, "name": name or key.capitalize(), "plan": {"box_mm": [width, depth]}, "height_mm": height}


def outlet(**more: Any) -> Data:
    """A gully beyond the right wall, straight along from the tundish."""
    return {
        "id": "o1", "name": "gully", "at_mm": [4000, 2600], "level_mm": 150, "takes": ["hot-discharge"],
        "ends": "gully", **more,
    }  # fmt: skip


def room(
    *, kit: Iterable[Data] = (), pieces: Iterable[Data] = (), outlets: Iterable[Data] | None = None,
    tundish: Data | None = None, tundish_kit: Data | None = None, store_kit: Data | None = None, **more: Any,
) -> Data:  # fmt: skip
    """A room of 4,000 by 3,000 by 2,400, tolerance 0, with a store, a tundish at (1200, 2600) and one outlet."""
    funnel = {"id": "t1", "kit": "funnel", "at_mm": [1200, 2600], "base_mm": 900} | (tundish or {})
    return {
        "format": "elbowroom-room", "format_version": 1, "name": "Discharge", "tolerance_mm": 0,
        "outline_mm": [[0, 0], [4000, 0], [4000, 3000], [0, 3000]], "ceiling": {"height_mm": 2400},
        "walls": [{"edge": edge, "outside": True} for edge in range(4)],
        "kit": [store_kit or kit_store(), tundish_kit or kit_tundish(), *kit],
        "pieces": [{"id": "s1", "kit": "store", "at_mm": [600, 2600]}, funnel, *pieces],
        "outlets": [outlet()] if outlets is None else list(outlets),
        "overrides": [{"key": "pipe-hangs", "value": 6000, "note": "on brackets"}], **more,
    }  # fmt: skip


def findings(data: Data) -> list[Finding]:
    """Everything that the discharge check finds in a room."""
    return list(find(build(Room.model_validate(data))))


def found(data: Data, topic: str) -> Finding:
    """The one finding on a topic."""
    (only,) = [finding for finding in findings(data) if finding.topic == topic]
    return only
