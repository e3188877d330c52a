"""The picked pipe over the drawing: its line, stretches that a bend may be put in, and a ring at each of its points.

The plan has a ring for every point, a wall face for those that it shows: dragged there they go along the wall and up or
down. Where the plan is not shown, the rings on the face are the ones for the keyboard.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import dist

from markupsafe import Markup

from geometry.pipes.joined import begin_of, finish_of
from geometry.pipes.line import Route
from geometry.pipes.runs import PipeRun, pipe_runs
from geometry.room import Pipe
from geometry.scene import Scene
from geometry.units import Point, Point3
from server.drawing.pipes import face_lines, on_face, plan_lines, shown_on
from server.drawing.svg import attribute, line, num, path
from server.drawing.unfold import Face, Unfolded

RING_PX, HIT_PX = 6.0, 22.0
_NEAR_PX, _NUMBER_PX = 2.0, 14.0


def pipe_line(view: Unfolded, scene: Scene, runs: tuple[PipeRun, ...]) -> Markup:
    """The line as it is measured, on the plan and on the wall faces."""
    drawn = [run for run in runs if isinstance(run.route, Route)]
    lines = [part for run in drawn for face in view.faces for part in face_lines(face, scene, run)]
    if view.shows_plan:
        lines += [part for run in drawn for part in plan_lines(view, scene, run)]
    data = "".join(line(part) for part in lines)
    return Markup(f'<path class="pipe-now" d="{data or "M0,0"}"/>')


def pipe_rings(view: Unfolded, scene: Scene, pipe: Pipe, name: str) -> Markup:
    """What a hand takes hold of: stretches below, rings on top; nothing where the route is not drawn by hand."""
    if pipe.via_mm is None:
        return Markup()
    ends = (begin_of(scene, pipe), *pipe.via_mm, finish_of(scene, pipe))
    stretches = [part for k, (a, b) in enumerate(pairwise(ends)) for part in _stretches(view, scene, k, a, b)]
    drawn = _Rings(pipe, name)
    rings = [ring for face in view.faces for ring in drawn.on(_on_face(face, scene, ends), face.edge, view.shows_plan)]
    if view.shows_plan:
        rings += drawn.on({k: view.plan.to_px((x, y)) for k, (x, y, _) in enumerate(pipe.via_mm)})
    return Markup("".join(stretches) + "".join(rings))


def _on_face(face: Face, scene: Scene, ends: tuple[Point3, ...]) -> dict[int, Point]:
    """The points, by number, that a wall shows: an end of a stretch that it shows."""
    shown = [shown_on(face, scene, a, b) for a, b in pairwise(ends)]
    return {k - 1: on_face(face, ends[k]) for k in range(1, len(ends) - 1) if shown[k - 1] or shown[k]}


def _stretches(view: Unfolded, scene: Scene, index: int, a: Point3, b: Point3) -> Iterator[str]:
    """A stretch wherever it is seen, on the plan and on walls; a new point in it lies at its own height there."""
    more = f' data-stretch="{index}" data-ends="{" ".join(f"{value:g}" for value in (*a, *b))}"'
    if view.shows_plan:
        yield _hit([view.plan.to_px((x, y)) for x, y, _ in (a, b)], more)
    for face in view.faces:
        if shown_on(face, scene, a, b):
            yield _hit([on_face(face, a), on_face(face, b)], f'{more} data-face="{face.edge}"')


def _hit(ends: list[Point], more: str) -> str:
    return "" if dist(*ends) < _NEAR_PX else path("pipe-stretch", line(ends), more)


def pipe_hits(view: Unfolded, scene: Scene) -> Markup:
    """The lines of all runs once more, unseen and wide: what a hand hits to pick one."""
    found = []
    for run in pipe_runs(scene):
        lines = [one for face in view.faces for one in face_lines(face, scene, run)]
        lines += plan_lines(view, scene, run) if view.shows_plan else []
        piece = run.piece if scene.piece(run.piece) else run.to
        more = f' data-of="{attribute(piece)}" data-pipe="{attribute(run.pipe)}" data-line-of="{attribute(run.key)}"'
        found += [path("pipe-hit", line(one), more) for one in lines]
    return Markup("".join(found))


def _piles(places: dict[int, Point]) -> dict[int, list[int]]:
    """The points whose numbers would lie on one another, by the first of them."""
    piles: dict[int, list[int]] = {}
    for k in sorted(places):
        first = next((head for head in piles if dist(places[head], places[k]) < _NUMBER_PX), k)
        piles.setdefault(first, []).append(k)
    return piles


@dataclass(frozen=True)
class _Rings:
    """The rings of one pipe. Of those of a point only one is for the keyboard: on the plan, else on the face."""

    pipe: Pipe
    name: str

    def on(self, places: dict[int, Point], face: int | None = None, again: bool = False) -> list[str]:
        """Rings at these places; on a face, ``again`` where the plan has the same points."""
        return [self._ring(places, index, face, again) for index in sorted(places)]

    def _ring(self, places: dict[int, Point], index: int, face: int | None, again: bool) -> str:
        """A ring, with the number of its point; one that stands above others has the numbers of all."""
        x, y = places[index]
        here = _piles(places).get(index, [])
        told = f'<text x="9" y="-7">{"·".join(str(k + 1) for k in here)}</text>' if here else ""
        pinned = (self.pipe.via_mm or ())[index] in self.pipe.pinned_mm
        words = attribute(f"Point {index + 1} of {self.name}{', pinned' if pinned else ''}")
        ways = 'aria-hidden="true"' if again else f'id="bend-{index}" tabindex="0" role="button" aria-label="{words}"'
        on = "" if face is None else f' data-face="{face}"'
        return (
            f'<g class="bend{" pinned" if pinned else ""}" data-bend="{index}"{on} {ways} '
            f'transform="translate({num(x)},{num(y)})">'
            f'<circle class="hit" r="{HIT_PX:g}"/><circle class="ring" r="{RING_PX:g}"/>{told}</g>'
        )
