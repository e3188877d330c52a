"""All at once: every space, draw-out and swing, every piece's way out, and from where what must be seen is seen."""

from markupsafe import Markup

from geometry.checks.sight import seen_from
from geometry.kit import Access
from geometry.people import spots
from geometry.scene import Placed, Scene
from geometry.shapes import turned
from geometry.units import Point
from geometry.way_lines import way_line
from geometry.words import within
from server.drawing.opened import open_leaves
from server.drawing.openings import draw_leaf
from server.drawing.pen import Pen
from server.drawing.seats import Seat, seats
from server.drawing.spaces import face_spaces, plan_spaces
from server.drawing.svg import attribute, circle, line, num, path
from server.drawing.unfold import Face, Unfolded

_EYE_PX, _HEAD_PX = 3.2, 5.0


def draw_everything(view: Unfolded, scene: Scene) -> Markup:
    """What otherwise only the picked piece or note shows, for every piece of the room."""
    found = seats(scene)
    parts: list[str] = []
    if view.shows_plan:
        for item in scene.placed:
            x, y = view.plan.to_px(item.piece.at_mm)
            inside = plan_spaces(view, item) + _reaches(view, item)
            parts.append(f'<g transform="translate({num(x, 2)},{num(y, 2)})">{inside}</g>' if inside else "")
        parts += [_own_doors(view, scene), *(_way(view, scene, item) for item in scene.placed), _sights(view, scene)]
    for face in view.faces:
        for item in scene.placed:
            if found.home[item.id].edge == face.edge:
                parts.append(_on_face(view, face, item, found.home[item.id]))
    return Markup("".join(parts))


def _reaches(view: Unfolded, item: Placed) -> str:
    """On the plan, about the piece's own middle: what is drawn out of it, and the turn of each tool."""
    pen = Pen(view.plan.linear.after(turned((1.0, 0.0), item.piece.turn_deg)), view.grain)
    for access in item.kit.access:
        x, y, _ = access.at_mm
        dx, dy = _WAY.get(access.faces, (0.0, 0.0))
        if access.draw_out and (dx or dy):
            far, half = access.draw_out.length_mm, access.draw_out.round_mm / 2
            near = [(x - dy * half, y + dx * half), (x + dy * half, y - dx * half)]
            pen.line("space", near[0], *((a + dx * far, b + dy * far) for a, b in near), near[1])
        if access.swing:
            _turn(pen, access)
    return pen.svg()


_WAY = {"front": (0.0, -1.0), "behind": (0.0, 1.0), "left": (-1.0, 0.0), "right": (1.0, 0.0)}


def _turn(pen: Pen, access: Access) -> None:
    """A tool that turns level as its circle, one that turns upright as the line that its handle sweeps over."""
    assert access.swing is not None
    (x, y, _), far = access.at_mm, access.swing.length_mm
    dx, dy = _WAY.get(access.faces, (0.0, 0.0))
    level = access.swing.axis == "up" or (access.swing.axis == "out" and not (dx or dy))
    if level:
        pen.circle("fan", x, y, far)
    elif access.swing.axis == "out":
        pen.line("fan", (x - dy * far, y + dx * far), (x + dy * far, y - dx * far))


def _own_doors(view: Unfolded, scene: Scene) -> str:
    """The doors of appliances, as far as they open."""
    pen = Pen(view.plan, view.grain)
    for item in scene.placed:
        if item.kit.leaf:
            for leaf, angle in open_leaves(scene, item.id):
                draw_leaf(pen, leaf, angle)
    return pen.svg()


def _way(view: Unfolded, scene: Scene, item: Placed) -> str:
    points = [view.plan.to_px(point) for point in way_line(scene, item)]
    if len(points) < 2:
        return ""
    told = f"<title>Way out of {attribute(within(item.name))}</title>"
    return f"<g>{told}{path('way', line(points, view.grain.digits))}{_head(points[-2], points[-1])}</g>"


def _head(before: Point, end: Point) -> str:
    """An arrow's two strokes at the end of a line."""
    dx, dy = end[0] - before[0], end[1] - before[1]
    far = (dx * dx + dy * dy) ** 0.5 or 1.0
    ux, uy = dx / far * _HEAD_PX, dy / far * _HEAD_PX
    ends = [(end[0] - ux - uy / 2, end[1] - uy + ux / 2), end, (end[0] - ux + uy / 2, end[1] - uy - ux / 2)]
    return path("way-head", line(ends))


def _sights(view: Unfolded, scene: Scene) -> str:
    """From an eye to each point that must be seen and is."""
    parts = []
    for spot in spots(scene, None):
        if not (spot.access.must_be_seen or spot.access.tool == "eye") or not scene.room.doors:
            continue
        eye = seen_from(scene, spot)
        if eye is not None:
            at, end = view.plan.to_px((eye[0], eye[1])), view.plan.to_px(spot.plan)
            parts.append(path("sightline", line([at, end], view.grain.digits)) + circle("eye", at, _EYE_PX))
    return "".join(parts)


def _on_face(view: Unfolded, face: Face, item: Placed, seat: Seat) -> str:
    inside = face_spaces(view, face, item, seat)
    if not inside:
        return ""
    x, y = face.to_px((seat.at_mm, item.base_mm))
    return f'<g transform="translate({num(x, 2)},{num(y, 2)})">{inside}</g>'
