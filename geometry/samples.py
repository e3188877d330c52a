"""Small rooms and kinds of kit for examples and tests. Sizes are invented."""

from typing import Any

from geometry.reading import room_from
from geometry.room import Room
from geometry.scene import Scene, build

CUPBOARD: dict[str, Any] = {
    "format": "elbowroom-room",
    "format_version": 1,
    "name": "Sample room",
    "outline_mm": [[0, 0], [2400, 0], [2400, 1800], [0, 1800]],
    "ceiling": {"height_mm": 2400},
}


def box_kit(key: str, width: float = 600, depth: float = 400, height: float = 800, **more: Any) -> dict[str, Any]:
    """A kind of kit that is a plain box on the floor."""
    name = more.pop("name", key.capitalize())
    return {"key": key, "name": name, "plan": {"box_mm": [width, depth]}, "height_mm": height, **more}


def round_kit(key: str, round_mm: float = 550, height: float = 1500, **more: Any) -> dict[str, Any]:
    """A kind of kit that is a plain cylinder on the floor."""
    name = more.pop("name", key.capitalize())
    return {"key": key, "name": name, "plan": {"round_mm": round_mm}, "height_mm": height, **more}


def piece(kit: dict[str, Any], x: float, y: float, turn_deg: float = 0, **more: Any) -> dict[str, Any]:
    """A piece of a kind, standing at (x, y); its id is the kind's key unless given."""
    return {"id": more.pop("id", kit["key"]), "kit": kit["key"], "at_mm": [x, y], "turn_deg": turn_deg, **more}


def sample_room(kinds: list[dict[str, Any]], pieces: list[dict[str, Any]], **more: Any) -> Room:
    """The sample room, 2,400 by 1,800 by 2,400 high, with these kinds and pieces in it."""
    return room_from({**CUPBOARD, "kit": kinds, "pieces": pieces, **more})


def sample_scene(kinds: list[dict[str, Any]], pieces: list[dict[str, Any]], **more: Any) -> Scene:
    """The same, placed and ready to be checked.

    >>> tank = box_kit("tank")
    >>> sample_scene([tank], [piece(tank, 300, 1600)]).placed[0].top_mm
    800.0
    """
    return build(sample_room(kinds, pieces, **more))
