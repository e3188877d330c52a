"""Pipes that the room file draws: their line on the plan, and on each face the part that runs along that wall."""

from itertools import pairwise

from geometry.room import Pipe
from geometry.scene import Scene
from geometry.units import Point, Point3
from server.drawing.svg import line, path
from server.drawing.unfold import Face, Unfolded

ALONG_MM = 150.0
"""A pipe runs along a wall while it is no farther from it than this."""


def pipe_line(scene: Scene, pipe: Pipe) -> tuple[Point3, ...]:
    """The points of a drawn pipe from its port on; nothing for a pipe without a route."""
    if not pipe.via_mm:
        return ()
    item = scene.piece(pipe.from_.piece)
    ports = [port for port in item.kit.port if port.name == pipe.from_.port] if item else []
    start = (item.to_room(ports[0].at_mm),) if item and ports else ()
    return (*start, *pipe.via_mm)


def plan_pipes(view: Unfolded, scene: Scene) -> str:
    """Every drawn pipe on the plan."""
    data = []
    for pipe in scene.room.pipes:
        points = [(x, y) for x, y, _ in pipe_line(scene, pipe)]
        if len(points) > 1:
            data.append(line(map(view.plan.to_px, points), view.grain.digits))
    return path("pipe", "".join(data))


def face_pipes(view: Unfolded, face: Face, scene: Scene) -> str:
    """The parts of drawn pipes that run along one wall."""
    data = []
    for pipe in scene.room.pipes:
        for a, b in pairwise(pipe_line(scene, pipe)):
            ends = [_on_face(face, p) for p in (a, b)]
            if ends[0] and ends[1] and ends[0] != ends[1]:
                data.append(line((face.to_px(ends[0]), face.to_px(ends[1])), view.grain.digits))
    return path("pipe", "".join(data))


def _on_face(face: Face, point: Point3) -> Point | None:
    along, inward = face.wall.measure((point[0], point[1]))
    if inward > ALONG_MM or inward < -face.wall.thick_mm or not -1.0 <= along <= face.length_mm + 1.0:
        return None
    return face.length_mm - along, point[2]
