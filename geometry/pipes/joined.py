"""What a pipe of the room file joins, and the whole line of one that is drawn."""

from geometry.kit import Medium
from geometry.pipes.line import Route, line
from geometry.room import Outlet, Pipe
from geometry.scene import Scene
from geometry.units import Point3

COLD: frozenset[Medium] = frozenset({"cold", "boosted-cold"})


def takes(outlet: Outlet, medium: Medium) -> bool | None:
    """Whether an outlet is for a medium, pumped cold as cold; None where it does not say what it is for.

    >>> outlet = {"id": "o1", "name": "riser", "at_mm": (0, 0), "level_mm": 0.0}
    >>> [takes(Outlet(**outlet, takes=of), "boosted-cold") for of in (("cold",), ("gas",), ())]
    [True, False, None]
    """
    if not outlet.takes:
        return None
    return bool((COLD if medium in COLD else {medium}) & set(outlet.takes))


def begin_of(scene: Scene, pipe: Pipe) -> Point3:
    """The port that a pipe begins at, in room coordinates."""
    return _port(scene, pipe.from_.piece, pipe.from_.port)


def finish_of(scene: Scene, pipe: Pipe) -> Point3:
    """Where a pipe goes to: the place of its outlet, or the port of a piece."""
    if pipe.to_port is not None:
        return _port(scene, pipe.to, pipe.to_port)
    outlet = next(outlet for outlet in scene.room.outlets if outlet.id == pipe.to)
    return (*outlet.at_mm, outlet.level_mm)


def drawn_line(scene: Scene, pipe: Pipe) -> Route | None:
    """The line of a pipe from end to end as the room file draws it; None where its route is to be found.

    >>> from geometry.samples import box_kit, piece, sample_scene
    >>> tank = box_kit("tank", port=[{"name": "out", "medium": "cold", "size_mm": 28, "at_mm": [300, 0, 60]}])
    >>> pipe = {"id": "x1", "medium": "cold", "from": {"piece": "tank", "port": "out"}, "to": "o1", "via_mm": []}
    >>> outlets = [{"id": "o1", "name": "main", "at_mm": [2400, 900], "level_mm": 60}]
    >>> scene = sample_scene([tank], [piece(tank, 600, 900)], outlets=outlets, pipes=[pipe])
    >>> drawn_line(scene, scene.room.pipes[0]).points
    ((900.0, 900.0, 60.0), (2400.0, 900.0, 60.0))
    """
    if pipe.via_mm is None:
        return None
    return line([begin_of(scene, pipe), *pipe.via_mm, finish_of(scene, pipe)])


def _port(scene: Scene, piece_id: str, name: str) -> Point3:
    placed = scene.piece(piece_id)
    assert placed is not None
    port = next(port for port in placed.kit.port if port.name == name)
    return placed.to_room(port.at_mm)
