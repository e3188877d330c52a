"""How high each wall stands: the ceiling, slopes and beams where they meet it."""

from dataclasses import dataclass
from itertools import pairwise

from geometry.ceilings import Soffit
from geometry.scene import Scene
from geometry.units import Point
from geometry.walls import Edge

UNMEASURED_MM = 2400.0
"""How high a wall is drawn while its ceiling is not measured: common practice, no source. Its top is left open."""

_JUST_INSIDE_MM = 1.0


@dataclass(frozen=True)
class Top:
    """A straight part of a wall's upper end, from the left as seen from inside; ``name`` of the soffit, or None."""

    start: Point
    end: Point
    name: str | None


@dataclass(frozen=True)
class _Run:
    """Height over a stretch of wall: z = z0 + slope (t - t0)."""

    t0: float
    t1: float
    z0: float
    z1: float
    name: str | None

    def at(self, t: float) -> float:
        return self.z0 if self.t1 == self.t0 else self.z0 + (self.z1 - self.z0) * (t - self.t0) / (self.t1 - self.t0)


def full_height(scene: Scene) -> float:
    """How high the faces are drawn: the flat ceiling, or a usual height above the tallest kit where it is unknown."""
    flat = scene.room.ceiling.height_mm
    if flat is not None:
        return flat
    tallest = max((item.top_mm for item in scene.placed), default=0.0)
    return max(UNMEASURED_MM, tallest + 100.0)


def tops(scene: Scene, edge: Edge) -> tuple[Top, ...]:
    """The upper end of a wall from its left corner to its right, as straight parts.

    >>> from geometry.samples import sample_scene
    >>> scene = sample_scene([], [])
    >>> tops(scene, scene.edges[0])
    (Top(start=(0.0, 2400.0), end=(2400.0, 2400.0), name=None),)
    """
    length, ceiling = edge.length_mm, full_height(scene)
    runs = [_Run(0.0, length, ceiling, ceiling, None)]
    runs += [run for soffit in scene.roof.soffits if (run := _along(soffit, edge))]
    if len(runs) == 1:
        return (Top((0.0, ceiling), (length, ceiling), None),)
    cuts = sorted({0.0, length, *(t for run in runs for t in (run.t0, run.t1)), *_crossings(runs)})
    found = [
        _lowest(runs, a, b, length) for a, b in pairwise(cuts) if b - a > 1e-6
    ]  # fmt: skip
    return tuple(_joined(found[::-1]))


def _along(soffit: Soffit, edge: Edge) -> _Run | None:
    """The stretch of a wall that a soffit lies over, with its height at both ends."""
    a, b = edge.at(0.0, _JUST_INSIDE_MM), edge.at(edge.length_mm, _JUST_INSIDE_MM)
    low, high = 0.0, 1.0
    area = soffit.area.points
    for i, (px, py) in enumerate(area):
        qx, qy = area[(i + 1) % len(area)]
        d0 = (qx - px) * (a[1] - py) - (qy - py) * (a[0] - px)
        d1 = (qx - px) * (b[1] - py) - (qy - py) * (b[0] - px)
        if d0 < 0 and d1 < 0:
            return None
        if d0 < 0 or d1 < 0:
            at = d0 / (d0 - d1)
            low, high = (max(low, at), high) if d0 < 0 else (low, min(high, at))
    if high - low < 1e-9:
        return None
    ends = [edge.at(edge.length_mm * t) for t in (low, high)]
    z0, z1 = (soffit.plane.at(*end) for end in ends)
    return _Run(low * edge.length_mm, high * edge.length_mm, z0, z1, soffit.name)


def _crossings(runs: list[_Run]) -> list[float]:
    found = []
    for i, p in enumerate(runs):
        for q in runs[i + 1 :]:
            low, high = max(p.t0, q.t0), min(p.t1, q.t1)
            d0, d1 = p.at(low) - q.at(low), p.at(high) - q.at(high)
            if low < high and d0 * d1 < 0:
                found.append(low + (high - low) * d0 / (d0 - d1))
    return found


def _lowest(runs: list[_Run], a: float, b: float, length: float) -> Top:
    middle = (a + b) / 2
    run = min((r for r in runs if r.t0 <= middle <= r.t1), key=lambda r: r.at(middle))
    return Top((length - b, run.at(b)), (length - a, run.at(a)), run.name)


def _joined(found: list[Top]) -> list[Top]:
    """Neighbours of one soffit on one straight line as one."""
    kept: list[Top] = []
    for top in found:
        last = kept[-1] if kept else None
        if (
            last
            and last.name == top.name
            and abs(_rise(last) - _rise(top)) < 1e-6
            and abs(last.end[1] - top.start[1]) < 1e-6
        ):
            kept[-1] = Top(last.start, top.end, top.name)
        else:
            kept.append(top)
    return kept


def _rise(top: Top) -> float:
    return (top.end[1] - top.start[1]) / (top.end[0] - top.start[0])
