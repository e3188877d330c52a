"""Random small rooms with a door and kit, as room files and as blocks for the raster search."""

from dataclasses import dataclass
from math import cos, radians, sin
from random import Random
from typing import Any

from geometry.carrying import standing_in
from geometry.samples import box_kit, piece, round_kit, sample_scene
from geometry.scene import Scene
from tests.geometry.raster import Block, Plan, block

Data = dict[str, Any]
WALL_MM = 100.0
FAR_MM = 2600.0


@dataclass(frozen=True)
class WayRoom:
    """A room, and the same for the raster search: the piece that has to leave, and everything else."""

    scene: Scene
    piece: Block
    plan: Plan


def way_room(seed: int) -> WayRoom:
    """A room of 2 to 5 pieces; the first is to leave. Beyond the door it is open, or there is a corridor."""
    draw = Random(seed)
    wide, deep = draw.randint(1200, 2400), draw.randint(1300, 2200)
    clear = draw.randint(480, min(900, wide - 100))
    door: Data = {"id": "d1", "edge": 0, "from_mm": draw.randint(0, wide - clear), "clear_mm": clear}
    outline = {"outline_mm": [[0, 0], [wide, 0], [wide, deep], [0, deep]]}
    walls = _walls(wide, deep, door["from_mm"], clear)
    low = -WALL_MM - 1100
    if draw.random() < 0.35:
        corridor = draw.randint(650, 1100)
        low = -WALL_MM - corridor
        ends = (-1500, low, wide + 1500, -WALL_MM)
        door["beyond_mm"] = [[ends[0], ends[1]], [ends[2], ends[1]], [ends[2], ends[3]], [ends[0], ends[3]]]
        walls += [block(-1600, low - 100, wide + 1600, low), block(-1600, low, -1500, -WALL_MM)]
        walls += [block(wide + 1500, low, wide + 1600, -WALL_MM)]
    kinds, pieces, blocks = _kit(draw, wide, deep, outline)
    scene = sample_scene(kinds, pieces, doors=[door], **outline)
    bounds = (-500.0, low, wide + 500.0, float(deep))
    return WayRoom(scene, blocks[0], Plan([*walls, *blocks[1:]], bounds, -WALL_MM))


def _walls(wide: float, deep: float, door_from: float, clear: float) -> list[Block]:
    return [
        block(-FAR_MM, -WALL_MM, door_from, 0), block(door_from + clear, -WALL_MM, wide + FAR_MM, 0),
        block(-WALL_MM, 0, 0, deep), block(wide, 0, wide + WALL_MM, deep),
        block(-WALL_MM, deep, wide + WALL_MM, deep + WALL_MM),
    ]  # fmt: skip


def _kit(draw: Random, wide: float, deep: float, outline: Data) -> tuple[list[Data], list[Data], list[Block]]:
    kinds: list[Data] = []
    pieces: list[Data] = []
    blocks: list[Block] = []
    wanted = draw.randint(2, 5)
    while len(blocks) < wanted:
        kind, put, shape = _one(draw, wide, deep, len(blocks))
        scene = sample_scene([*kinds, kind], [*pieces, put], **outline)
        placed = scene.piece(put["id"])
        if placed is not None and not standing_in(scene, placed, frozenset()):
            kinds.append(kind)
            pieces.append(put)
            blocks.append(shape)
        elif draw.random() < 0.05:
            wanted = max(1, len(blocks))
    return kinds, pieces, blocks


def _one(draw: Random, wide: float, deep: float, number: int) -> tuple[Data, Data, Block]:
    key = f"k{number}"
    if draw.random() < 0.3:
        across = draw.randint(250, 650)
        x, y = (round(draw.uniform(across / 2, size - across / 2)) for size in (wide, deep))
        kind = round_kit(key, across, 1000, dry_kg=40)
        return kind, piece(kind, x, y, id=f"p{number}"), Block(x, y, round_mm=across)
    w, d = draw.randint(250, 900 if number == 0 else 700), draw.randint(250, 650)
    turn = draw.choice([0, 90, 0, 90, 0, 90, 20, 75])
    c, s = abs(cos(radians(turn))), abs(sin(radians(turn)))
    reach_x, reach_y = (w * c + d * s) / 2, (w * s + d * c) / 2
    x, y = round(draw.uniform(reach_x, wide - reach_x)), round(draw.uniform(reach_y, deep - reach_y))
    kind = box_kit(key, w, d, 1000, dry_kg=40)
    return kind, piece(kind, x, y, turn, id=f"p{number}"), Block(x, y, w / 2, d / 2, turn)
