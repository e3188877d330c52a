"""A pipe run's points for setting out: each measured along its nearest wall, off it and up from the floor."""

from dataclasses import dataclass
from itertools import pairwise
from math import dist, hypot

from geometry.pipes.line import Route
from geometry.pipes.runs import PipeRun
from geometry.pipes.support import clip_spacing, clips
from geometry.scene import Scene
from geometry.units import Point3
from geometry.walls import Edge
from geometry.words import wall_name


@dataclass(frozen=True)
class PipePoint:
    """The middle of a pipe at its start, a bend or its end, and the straight on to the next point, in mm.

    ``straight_mm`` is None at the end. ``every_mm`` is the spacing of its clips, the first half of that on; None
    where the stretch is too short for one of its own.
    """

    wall: str
    from_left_mm: float
    off_wall_mm: float
    up_mm: float
    straight_mm: float | None = None
    clips: int = 0
    every_mm: float | None = None

    @property
    def first_clip_mm(self) -> float | None:
        """How far along the straight its first clip is."""
        return None if self.every_mm is None else self.every_mm / 2


def points_to_set_out(scene: Scene, run: PipeRun) -> tuple[PipePoint, ...]:
    """The points of a run in the direction of flow; none where it has no way.

    >>> from geometry.pipes.runs import pipe_runs
    >>> from geometry.samples import box_kit, piece, sample_scene
    >>> drip = {"name": "condensate", "medium": "condensate", "size_mm": 22, "at_mm": [0, 0, 0], "faces": "below"}
    >>> boiler = box_kit("boiler", 440, 360, 720, stands_on="wall", base_mm=1150, port=[drip])
    >>> outlet = {"id": "o1", "name": "gully", "at_mm": [1200, 1800], "level_mm": 900, "takes": ["condensate"]}
    >>> scene = sample_scene([boiler], [piece(boiler, 1200, 1620)], outlets=[outlet])
    >>> first, *_, end = points_to_set_out(scene, pipe_runs(scene)[0])
    >>> (first.wall, first.from_left_mm, first.off_wall_mm, first.up_mm, end.off_wall_mm)
    ('the back wall', 1200.0, 180.0, 1150.0, 0.0)
    """
    if not isinstance(run.route, Route):
        return ()
    spacing = clip_spacing(scene.pack, run.size_mm or 0.0, run.material)
    found = []
    for a, b in pairwise(run.route.points):
        far, count = dist(a, b), clips((a, b), spacing)
        found.append(_point(scene, a, far, count))
    return (*found, _point(scene, run.route.points[-1]))


def _point(scene: Scene, at: Point3, straight_mm: float | None = None, count: int = 0) -> PipePoint:
    edge = min(scene.edges, key=lambda one: (round(_away(one, at), 1), one.index))
    along, inward = edge.measure((at[0], at[1]))
    every = straight_mm / count if count and straight_mm else None
    return PipePoint(
        wall_name(scene, edge.index), edge.length_mm - along, inward, at[2], straight_mm, count, every
    )  # fmt: skip


def _away(edge: Edge, at: Point3) -> float:
    along, inward = edge.measure((at[0], at[1]))
    return hypot(inward, max(0.0, -along, along - edge.length_mm))
