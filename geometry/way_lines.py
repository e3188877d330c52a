"""One line for each piece along which its middle can leave the room: to be drawn, never to be judged.

The way-out check answers whether a piece gets out; this finds a short way for a disc as wide as what has to pass, on
a grid, and pulls it straight where nothing stands between. Where the check finds no way, there is no line.
"""

from heapq import heappop, heappush
from math import hypot

import numpy as np
import shapely
from shapely.geometry import LineString
from shapely.geometry.base import BaseGeometry

from geometry.carrying import attempt, floor_ground, goal_of, is_carried, load_of
from geometry.passing import meeting, round_of, spot
from geometry.scene import Placed, Scene
from geometry.units import DEPTH_TOLERANCE_MM, Point

CELL_MM = 80.0
_ROUND_MM = 2_400.0
"""How far round the room a way is looked for: past the wall and onto the floor that counts outside."""
_STEPS = ((1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (1, -1), (-1, 1), (-1, -1))
Cell = tuple[int, int]


def way_line(scene: Scene, placed: Placed) -> tuple[Point, ...]:
    """Plan points (mm) from where a piece stands to where it is out; empty where it is not carried or gets not out.

    >>> from geometry.samples import piece, round_kit, sample_scene
    >>> tank, door = round_kit("tank", 500, 900, dry_kg=40), {"id": "d1", "edge": 0, "from_mm": 300, "clear_mm": 700}
    >>> line = way_line(sample_scene([tank], [piece(tank, 650, 1000)], doors=[door]), sample_scene(
    ...     [tank], [piece(tank, 650, 1000)], doors=[door]).placed[0])
    >>> line[0], line[-1][1] < -250
    ((650.0, 1000.0), True)
    """
    if not is_carried(scene, placed) or not scene.room.doors or attempt(scene, placed) != "out":
        return ()
    load = load_of(placed, scene.pack)
    wide = load.width_mm - DEPTH_TOLERANCE_MM
    ground, here = floor_ground(scene, placed, load, frozenset()), spot(placed.piece.at_mm)
    free, goal = ground.free(wide / 2), goal_of(scene, load)(round_of(wide))
    for part in meeting(free, here):
        if part.intersects(goal):
            return _line(part, goal, placed.piece.at_mm, scene)
    return ()


def _line(region: BaseGeometry, goal: BaseGeometry, start: Point, scene: Scene) -> tuple[Point, ...]:
    x0, y0, x1, y1 = scene.floor.bounds
    xs = np.arange(x0 - _ROUND_MM, x1 + _ROUND_MM, CELL_MM)
    ys = np.arange(y0 - _ROUND_MM, y1 + _ROUND_MM, CELL_MM)
    across, up = np.meshgrid(xs, ys, indexing="ij")
    shapely.prepare(region)
    open_cells = shapely.contains_xy(region, across, up)
    out = shapely.contains_xy(goal, across, up) & open_cells
    free = {(int(i), int(j)) for i, j in np.argwhere(open_cells)}
    ends = {(int(i), int(j)) for i, j in np.argwhere(out)}
    if not free or not ends:
        return ()
    first = min(free, key=lambda cell: (hypot(xs[cell[0]] - start[0], ys[cell[1]] - start[1]), cell))
    cells = _shortest(free, ends, first)
    points = [start, *((float(xs[i]), float(ys[j])) for i, j in cells)]
    return tuple(_straight(points, region)) if cells else ()


def _shortest(free: set[Cell], ends: set[Cell], first: Cell) -> list[Cell]:
    """Cells to the nearest end: E. W. Dijkstra, A note on two problems in connexion with graphs (1959)"""
    before: dict[Cell, Cell | None] = {}
    waiting: list[tuple[float, Cell, Cell | None]] = [(0.0, first, None)]
    while waiting:
        far, here, came = heappop(waiting)
        if here in before:
            continue
        before[here] = came
        if here in ends:
            return _back(before, here)
        for dx, dy in _STEPS:
            there = (here[0] + dx, here[1] + dy)
            if there in free and there not in before:
                heappush(waiting, (far + hypot(dx, dy), there, here))
    return []


def _back(before: dict[Cell, Cell | None], end: Cell) -> list[Cell]:
    cells: list[Cell] = []
    here: Cell | None = end
    while here is not None:
        cells.append(here)
        here = before[here]
    return cells[::-1]


def _straight(points: list[Point], region: BaseGeometry) -> list[Point]:
    """The points that are left when every stretch that can be straight is."""
    kept, at = [points[0]], 0
    while at < len(points) - 1:
        reach = next(
            (k for k in range(len(points) - 1, at + 1, -1) if region.covers(LineString((points[at], points[k])))),
            at + 1,
        )
        kept.append(points[reach])
        at = reach
    return kept
