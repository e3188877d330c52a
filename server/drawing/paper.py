"""What sheets to scale share: the usual scales, the choice among them, and the frame of an svg in millimetres."""

from dataclasses import replace

from markupsafe import Markup

from geometry.room import Wall
from geometry.scene import Scene
from geometry.units import Point
from geometry.walls import Edge
from server.drawing.svg import Matrix, attribute, bounds, line, num, path
from server.drawing.unfold import one_wall, outer_ring

SCALES = (10, 20, 25, 50, 100, 200, 500, 1000)
PLAN_MM = (142.0, 165.0)
WALL_MM = (138.0, 150.0)
NO_GRID_OVER = 50
THICKEST_MM = 120.0
_TOOTH_MM = 1.5
AIR_MM = 4.0
"""Between a drawing and its tapes."""


def choose_scale(scene: Scene, edge: int | None = None) -> int:
    """The largest usual scale at which the plan, or one wall, fits an A4 sheet upright with its tapes.

    >>> from geometry.samples import sample_scene
    >>> choose_scale(sample_scene([], []))
    20
    """
    if edge is None:
        scene = thinned(scene)
        x0, y0, x1, y1 = bounds(outer_ring(scene.edges))
        wide, high, paper = x1 - x0, y1 - y0, PLAN_MM
    else:
        face = one_wall(scene, edge, 100.0, 100.0).faces[0]
        wide, high, paper = face.length_mm, face.height_mm, WALL_MM
    fits = (scale for scale in SCALES if wide / scale <= paper[0] and high / scale <= paper[1])
    return next(fits, SCALES[-1])


def thinned(scene: Scene) -> Scene:
    """The same room for a plan to scale, no wall thicker than ``THICKEST_MM``: what is beyond says nothing."""
    walls = [
        Wall(edge=edge.index, thick_mm=min(edge.thick_mm, THICKEST_MM)) for edge in scene.edges
    ]  # fmt: skip
    return replace(scene, room=scene.room.model_copy(update={"walls": tuple(walls)}))


def cut_walls(scene: Scene, plan: Matrix) -> str:
    """A zigzag along the outside of each wall that is drawn thinner than it is: it goes on from there."""
    cut = [edge for edge in scene.edges if edge.thick_mm > THICKEST_MM]
    return path("cut-wall", "".join(line(_zigzag(edge, plan), 3) for edge in cut)) if cut else ""


def _zigzag(edge: Edge, plan: Matrix) -> list[Point]:
    """Points to and fro along the outer line of a wall, every ``_TOOTH_MM`` of paper."""
    teeth = max(2, round(edge.length_mm * plan.scale / _TOOTH_MM))
    out = [THICKEST_MM + (_TOOTH_MM / plan.scale * 0.6 if i % 2 else 0.0) for i in range(teeth + 1)]
    return [plan.to_px(edge.at(edge.length_mm * i / teeth, -away)) for i, away in enumerate(out)]


def to_scale(width: float, height: float, scale: int, title: str, inside: str) -> Markup:
    """A whole drawing whose units are millimetres of paper."""
    w, h = num(width, 3), num(height, 3)
    return Markup(
        f'<svg class="to-scale" xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" '
        f'viewBox="0 0 {w} {h}" data-scale="{scale}" role="img" aria-label="{attribute(title)}, 1 to {scale}">'
        f"{inside}</svg>"
    )
