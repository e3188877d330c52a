"""The picked pipe over the plan: its line, stretches that a bend may be put in, and a ring at each of its points."""

import json
from itertools import pairwise
from math import dist

from markupsafe import Markup

from geometry.pipes.joined import begin_of, finish_of
from geometry.pipes.line import Route
from geometry.pipes.runs import PipeRun
from geometry.room import Pipe
from geometry.scene import Scene
from geometry.units import Point, Point3
from server.drawing.svg import attribute, line, num, path
from server.drawing.unfold import Unfolded

RING_PX, HIT_PX = 6.0, 22.0
_NEAR_PX = 2.0


def pipe_line(view: Unfolded, runs: tuple[PipeRun, ...], pipe: Pipe) -> Markup:
    """The line as it is measured, with the places of its points in ``data-bends`` (px of the drawing)."""
    drawn = [run.route.points for run in runs if isinstance(run.route, Route)]
    data = "".join(line([view.plan.to_px((x, y)) for x, y, _ in points]) for points in drawn)
    places = json.dumps([[round(v, 1) for v in at] for at in _places(view, pipe)])
    return Markup(f'<path class="pipe-now" data-bends="{places}" d="{data or "M0,0"}"/>')


def pipe_rings(view: Unfolded, scene: Scene, pipe: Pipe, name: str) -> Markup:
    """What a hand takes hold of: stretches below, rings on top; nothing where the route is not drawn by hand."""
    if pipe.via_mm is None or not view.shows_plan:
        return Markup()
    ends = (begin_of(scene, pipe), *pipe.via_mm, finish_of(scene, pipe))
    stretches = [_stretch(view, k, a, b) for k, (a, b) in enumerate(pairwise(ends))]
    places = _places(view, pipe)
    rings = [_ring(places, k, pipe.via_mm[k] in pipe.pinned_mm, name) for k in range(len(places))]
    return Markup("".join(stretches) + "".join(rings))


def _places(view: Unfolded, pipe: Pipe) -> list[Point]:
    return [view.plan.to_px((x, y)) for x, y, _ in pipe.via_mm or ()]


def _stretch(view: Unfolded, index: int, a: Point3, b: Point3) -> str:
    """A stretch that is seen on the plan; a new point in it lies at its own height there."""
    ends = [view.plan.to_px((x, y)) for x, y, _ in (a, b)]
    if dist(*ends) < _NEAR_PX:
        return ""
    heights = f"{a[0]:g} {a[1]:g} {a[2]:g} {b[0]:g} {b[1]:g} {b[2]:g}"
    return path("pipe-stretch", line(ends), f' data-stretch="{index}" data-ends="{heights}"')


def _ring(places: list[Point], index: int, pinned: bool, name: str) -> str:
    """A ring, with the number of its point; one that stands above others on the plan has the numbers of all."""
    x, y = places[index]
    here = [str(k + 1) for k, place in enumerate(places) if dist(place, (x, y)) < _NEAR_PX]
    words = f"Point {index + 1} of {name}{', pinned' if pinned else ''}"
    number_of = f'<text x="9" y="-7">{"·".join(here)}</text>' if here[0] == str(index + 1) else ""
    return (
        f'<g id="bend-{index}" class="bend{" pinned" if pinned else ""}" data-bend="{index}" tabindex="0" '
        f'role="button" aria-label="{attribute(words)}" transform="translate({num(x)},{num(y)})">'
        f'<circle class="hit" r="{HIT_PX:g}"/><circle class="ring" r="{RING_PX:g}"/>{number_of}</g>'
    )
