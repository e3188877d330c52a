"""Pipe runs, drawn or found: their lines on the plan and on the wall faces, and an arrow where they fall.

A wall shows what runs along it, and what has no wall nearer. A run without a way is a dashed line to what stops it.
"""

from itertools import pairwise
from math import hypot

from geometry.pipes.line import NoRoute, Route
from geometry.pipes.pressed import BY_FALL
from geometry.pipes.runs import PipeRun, pipe_runs
from geometry.scene import Scene
from geometry.units import Point, Point3
from geometry.walls import Edge
from server.drawing.pipe_looks import lines, look_of_medium
from server.drawing.svg import Grain, attribute, line, path
from server.drawing.unfold import Face, Unfolded

ALONG_MM = 150.0
"""A pipe runs along a wall while it is no farther from it than this."""

_ARROW_PX, _HALF_PX, _BAND_PX, _CROSS_PX = 9.0, 3.4, 8.0, 4.0
_SPECK_PX = 3.0
_EXACT_MM = 1.0

Line = tuple[Point, ...]
"""An unbroken line in page units, in the direction of flow."""


def plan_pipes(view: Unfolded, scene: Scene) -> str:
    """Every run on the plan."""
    drawn = [_drawn(run, plan_lines(view, scene, run), view.grain) for run in pipe_runs(scene)]
    return _group(drawn)


def face_pipes(view: Unfolded, face: Face, scene: Scene) -> str:
    """The parts of the runs that one wall shows."""
    drawn = [_drawn(run, face_lines(face, scene, run), view.grain) for run in pipe_runs(scene)]
    return _group(drawn)


def pipes_over(view: Unfolded, scene: Scene, face: Face | None = None) -> str:
    """The same lines once more, faint, over the bodies that hide them."""
    found = (
        plan_lines(view, scene, run) if face is None else face_lines(face, scene, run)
        for run in pipe_runs(scene) if isinstance(run.route, Route)
    )  # fmt: skip
    return path("pipe-under", "".join(line(one, view.grain.digits) for some in found for one in some))


def plan_lines(view: Unfolded, scene: Scene, run: PipeRun) -> list[Line]:
    """The line of a run on the plan; nothing where it only goes up and down there."""
    points = _without_repeats([view.plan.to_px((x, y)) for x, y, _ in course(scene, run)])
    return [points] if len(points) > 1 else []


def face_lines(face: Face, scene: Scene, run: PipeRun) -> list[Line]:
    """The parts of a run that a wall shows."""
    found: list[list[Point]] = []
    last: Point3 | None = None
    for a, b in pairwise(course(scene, run)):
        if not shown_on(face, scene, a, b):
            last = None
            continue
        if last != a:
            found.append([on_face(face, a)])
        found[-1].append(on_face(face, b))
        last = b
    parts = [_without_repeats(part) for part in found]
    return [part for part in parts if len(part) > 1 and length_px(part) > _SPECK_PX * _line_of(face)]


def course(scene: Scene, run: PipeRun) -> tuple[Point3, ...]:
    """The points of a run's middle line; of a run without a way, its port and what stops it."""
    if isinstance(run.route, Route):
        return run.route.points
    start, end = _port(scene, run), _stop(scene, run, run.route)
    return (start, end) if start and end else ()


def _port(scene: Scene, run: PipeRun) -> Point3 | None:
    item = scene.piece(run.piece)
    ports = [port for port in item.kit.port if port.name == run.port] if item else []
    return item.to_room(ports[0].at_mm) if item and ports else None


def _stop(scene: Scene, run: PipeRun, why: NoRoute) -> Point3 | None:
    """The place of what stops a run, else that of its end."""
    places = {outlet.id: (*outlet.at_mm, outlet.level_mm) for outlet in scene.room.outlets}
    for door in scene.room.doors:
        places[door.id] = (*scene.edges[door.edge].at(door.from_mm + door.clear_mm / 2, 0.0), door.sill_mm)
    for item in scene.placed:
        places[item.id] = (*item.piece.at_mm, (item.base_mm + item.top_mm) / 2)
    return next((places[ref] for ref in (*why.stops, run.to) if ref in places), None)


def shown_on(face: Face, scene: Scene, a: Point3, b: Point3) -> bool:
    """Whether a stretch runs along the wall, or has no wall nearer than this one."""
    if _along(face.wall, a) and _along(face.wall, b):
        return True
    middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    if any(_along(edge, a) and _along(edge, b) for edge in scene.edges):
        return False
    return face.edge == min(scene.edges, key=lambda edge: (_away(edge, middle), edge.index)).index


def _along(edge: Edge, point: Point3) -> bool:
    along, inward = edge.measure((point[0], point[1]))
    return -edge.thick_mm <= inward <= ALONG_MM and -_EXACT_MM <= along <= edge.length_mm + _EXACT_MM


def _away(edge: Edge, point: Point) -> float:
    along, inward = edge.measure(point)
    return hypot(inward, max(-along, 0.0, along - edge.length_mm))


def on_face(face: Face, point: Point3) -> Point:
    """Where a point is seen on a wall, in page units."""
    along, _ = face.wall.measure((point[0], point[1]))
    return face.to_px((face.length_mm - min(max(along, 0.0), face.length_mm), point[2]))


def _without_repeats(points: list[Point]) -> Line:
    kept = points[:1]
    for point in points[1:]:
        if hypot(point[0] - kept[-1][0], point[1] - kept[-1][1]) > 1e-3:
            kept.append(point)
    return tuple(kept)


def length_px(points: Line | list[Point]) -> float:
    """How long a line is on the page."""
    return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points))


def longest(found: list[Line]) -> tuple[Point, Point] | None:
    """The longest straight stretch of some lines."""
    stretches = [pair for one in found for pair in pairwise(one)]
    return max(stretches, key=lambda pair: round(length_px(pair), 3), default=None)


def _line_of(face: Face) -> float:
    """A pixel of a screen in the unit of the page; a face on paper is far smaller."""
    return 1.0 if face.matrix.scale > 0.055 else 0.25


def _group(drawn: list[str]) -> str:
    inside = "".join(drawn)
    return f'<g class="pipes">{inside}</g>' if inside else ""


def _drawn(run: PipeRun, found: list[Line], grain: Grain) -> str:
    """One run: its line with its pattern, a band of its colour, and the arrow of its fall."""
    if not found:
        return ""
    data = "".join(line(one, grain.digits) for one in found)
    if isinstance(run.route, NoRoute):
        inside = path("pipe none", data) + path("pipe stop", _cross(found[-1][-1], grain))
    else:
        look, (a, b) = look_of_medium(run.medium), longest(found) or (found[0][0], found[0][1])
        inside = lines(look, data) + path(f"pipe-band {look.band}", _band(a, b, grain))
        inside += path("fall", _arrow(a, b, grain)) if run.medium in BY_FALL else ""
    return f'<g data-run="{attribute(run.key)}" data-medium="{run.medium}">{inside}</g>'


def _arrow(a: Point, b: Point, grain: Grain) -> str:
    """A slim wedge that points down the fall, in the middle of a stretch; none on one that is too short for it."""
    long, half = _ARROW_PX * grain.line, _HALF_PX * grain.line
    reach = hypot(b[0] - a[0], b[1] - a[1])
    if reach < 1.6 * long:
        return ""
    (ux, uy), (mx, my) = ((b[0] - a[0]) / reach, (b[1] - a[1]) / reach), ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    tip, tail = (mx + ux * long / 2, my + uy * long / 2), (mx - ux * long / 2, my - uy * long / 2)
    sides = [(tail[0] + way * uy * half, tail[1] - way * ux * half) for way in (1, -1)]
    return line((sides[0], tip, sides[1]), grain.digits) + "Z"


def _band(a: Point, b: Point, grain: Grain) -> str:
    """A short band a quarter of the way along; none on a stretch that is too short for it and the arrow."""
    long, reach = _BAND_PX * grain.line, hypot(b[0] - a[0], b[1] - a[1])
    if reach < 4 * long:
        return ""
    near, far = 0.25 - long / reach / 2, 0.25 + long / reach / 2
    return line([(a[0] + k * (b[0] - a[0]), a[1] + k * (b[1] - a[1])) for k in (near, far)], grain.digits)


def _cross(at: Point, grain: Grain) -> str:
    (x, y), arm = at, _CROSS_PX * grain.line
    ends = (((x - arm, y - arm), (x + arm, y + arm)), ((x - arm, y + arm), (x + arm, y - arm)))
    return "".join(line(pair, grain.digits) for pair in ends)
