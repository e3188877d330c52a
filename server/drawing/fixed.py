"""What is fixed in a room: boxing, kept-free floor, beams and slopes overhead, outlets."""

from urllib.parse import quote

from markupsafe import Markup

from geometry.room import Block, Outlet
from geometry.scene import Scene
from geometry.shapes import convex_parts
from geometry.units import Point
from server.drawing.pen import Pen
from server.drawing.seats import NEAR_MM, span_on
from server.drawing.svg import Grain, attribute, num, path, ring
from server.drawing.unfold import Face, Unfolded

HIT_PX = 22.0
"""Half the width of what a finger hits."""


def kept_free(view: Unfolded, scene: Scene) -> str:
    """Floor that belongs to the customer's own things."""
    return "".join(
        path("keep", ring(map(view.plan.to_px, kept.area_mm), view.grain.digits)) for kept in scene.room.keep_free
    )


def overhead(view: Unfolded, scene: Scene) -> str:
    """Where slopes and beams begin, dotted: they are above."""
    ceiling = scene.room.ceiling
    areas = [s.area_mm for s in ceiling.slopes] + [b.area_mm for b in ceiling.beams]
    return "".join(path("proj", ring(map(view.plan.to_px, area), view.grain.digits)) for area in areas)


def blocks(view: Unfolded, scene: Scene) -> str:
    """Boxing and the like on the plan."""
    return "".join(
        path(
            "wash2",
            ring(map(view.plan.to_px, block.area_mm), view.grain.digits),
            f' data-fixture="{attribute(block.id)}"',
        )
        for block in scene.room.fixtures
    )


def blocks_on(face: Face, scene: Scene, grain: Grain) -> str:
    """Boxing on a face: filled where it stands against the wall, in outline where it is only near."""
    pen = Pen(face.matrix, grain)
    for block in sorted(scene.room.fixtures, key=lambda b: _gap(face, scene, b), reverse=True):
        span = span_on(scene.edges[face.edge], convex_parts(block.area_mm))
        left, right = max(span.from_mm, 0.0), min(span.to_mm, face.length_mm)
        top = min(block.to_mm, face.height_mm)
        if right - left > 1 and span.gap_mm <= NEAR_MM and span.reach_mm > 0 and top > max(block.from_mm, 0.0):
            pen.rect("wash2" if span.gap_mm < 50 else "kg", left, max(block.from_mm, 0.0), right, top)
    return pen.svg()


def _gap(face: Face, scene: Scene, block: Block) -> float:
    return span_on(scene.edges[face.edge], convex_parts(block.area_mm)).gap_mm


def beams_before(face: Face, scene: Scene, grain: Grain) -> str:
    """Beams that hang near a wall without meeting it, in outline."""
    pen = Pen(face.matrix, grain)
    for beam in scene.room.ceiling.beams:
        span = span_on(scene.edges[face.edge], convex_parts(beam.area_mm))
        left, right = max(span.from_mm, 0.0), min(span.to_mm, face.length_mm)
        if right - left > 1 and 1.0 < span.gap_mm <= NEAR_MM and beam.soffit_mm < face.height_mm:
            pen.rect("kg", left, beam.soffit_mm, right, face.height_mm)
    return pen.svg()


def outlets(view: Unfolded, scene: Scene) -> str:
    """A ring where a pipe may leave the room."""
    pen = Pen(view.plan, view.grain)
    for outlet in scene.room.outlets:
        _ring(pen, outlet.at_mm)
    return pen.svg()


def outlet_links(view: Unfolded, scene: Scene, room: str) -> Markup:
    """Round each outlet that is seen, a link to its form; ``room`` is the address of the room."""
    found = []
    for outlet in scene.room.outlets:
        places = [view.plan.to_px(outlet.at_mm)] if view.shows_plan else []
        for face in view.faces:
            if wall_of_outlet(scene, outlet) == face.edge:
                along, _ = scene.edges[face.edge].measure(outlet.at_mm)
                places.append(face.to_px((face.length_mm - along, outlet.level_mm)))
        card = f"outlets-{quote(outlet.id)}"
        words = attribute(f"Outlet: {outlet.name}. Its form")
        found += [
            f'<a class="outlet-link" href="{room}/parts?card={card}#card-{card}" aria-label="{words}">'
            f'<circle class="hit" cx="{num(x)}" cy="{num(y)}" r="{HIT_PX:g}"/></a>'
            for x, y in places
        ]
    return Markup("".join(found))


def outlets_on(face: Face, scene: Scene, grain: Grain) -> str:
    """A ring on the wall that an outlet goes through."""
    pen = Pen(face.matrix, grain)
    for outlet in scene.room.outlets:
        if wall_of_outlet(scene, outlet) == face.edge:
            along, _ = scene.edges[face.edge].measure(outlet.at_mm)
            _ring(pen, (face.length_mm - along, outlet.level_mm))
    return pen.svg()


def _ring(pen: Pen, at: Point) -> None:
    r = max(32.0, 3.2 * pen.grain.finest / pen.scale)
    pen.circle("out", *at, r)
    pen.circle("ks", *at, 0.34 * r)


def wall_of_outlet(scene: Scene, outlet: Outlet) -> int | None:
    """The wall that an outlet goes through, or None where it is out on the floor."""
    near = []
    for edge in scene.edges:
        along, inward = edge.measure(outlet.at_mm)
        if -1.0 <= along <= edge.length_mm + 1.0 and -edge.thick_mm - 50.0 <= inward <= 50.0:
            near.append((abs(inward), edge.index))
    return min(near)[1] if near else None
