"""True distances between things that must be kept apart: bodies, flues and pipes, each as solids with a height band.

A level stretch of pipe is its strip in plan over its own height; a sloping one takes the whole of its height, so a
distance is never measured larger than it is.
"""

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import hypot

from geometry.pipes.joined import drawn_line
from geometry.room import Pipe
from geometry.scene import Placed, Scene, Solid
from geometry.shapes import Footprint, separation
from geometry.units import Point3


def gap_mm(some: Iterable[Solid], others: Sequence[Solid]) -> float:
    """True distance between the nearest two solids; 0 where they touch or overlap.

    >>> from geometry.shapes import box
    >>> one = Solid("a", "body", "a", box(0, 0, 100, 100), 0, 100)
    >>> other = Solid("b", "body", "b", box(400, 0, 500, 100), 500, 600)
    >>> gap_mm([one], [other])
    500.0
    """
    return min(_gap(one, other) for one in some for other in others)


def _gap(a: Solid, b: Solid) -> float:
    across = max(0.0, separation(a.plan, b.plan).gap_mm)
    return hypot(across, max(0.0, a.from_mm - b.to_mm, b.from_mm - a.to_mm))


def body(placed: Placed) -> list[Solid]:
    """The body of a piece, without what sticks out of it."""
    return [solid for solid in placed.solids() if solid.part == "body"]


def along(owner: str, what: str, points: Sequence[Point3], size_mm: float) -> list[Solid]:
    """A pipe along a line of points, stretch by stretch."""
    half = size_mm / 2
    return [
        Solid(
            owner, "sticks-out", what, Footprint(tuple(dict.fromkeys(((a[0], a[1]), (b[0], b[1])))), half),
            min(a[2], b[2]) - half, max(a[2], b[2]) + half,
        )
        for a, b in pairwise(points)
    ]  # fmt: skip


def flue(scene: Scene, placed: Placed) -> list[Solid]:
    """The flue of a piece: what sticks out and is called so, and the way from its port to each terminal."""
    found = [solid for solid in placed.sticks if "flue" in solid.what.lower()]
    port = next((port for port in placed.kit.port if port.medium == "flue"), None)
    for end in scene.room.flues:
        if end.piece == placed.id:
            outside = scene.edges[end.edge].at(end.along_mm)
            x, y, z = placed.to_room(port.at_mm if port else (0.0, 0.0, placed.kit.height_mm))
            line = [(x, y, z), (x, y, end.level_mm), (*outside, end.level_mm)]
            found += along(end.id, f"{placed.name}'s flue", line, port.size_mm if port else end.round_mm)
    return found


def drawn_pipe(scene: Scene, pipe: Pipe) -> list[Solid]:
    """A pipe or cable as it is drawn, from end to end; nothing where it is not drawn."""
    placed, route = scene.piece(pipe.from_.piece), drawn_line(scene, pipe)
    if placed is None or route is None:
        return []
    port = next(port for port in placed.kit.port if port.name == pipe.from_.port)
    return along(pipe.id, pipe.id, route.points, pipe.size_mm or port.size_mm)
