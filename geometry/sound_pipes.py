"""Rules of a room file about its pipes and outlets: where they begin and end, what they carry, one pipe to a port."""

from collections.abc import Iterator

from shapely.geometry import LineString, Point, Polygon

from geometry.kit import Kit, Port
from geometry.pipes.joined import COLD
from geometry.room import Outlet, Pipe, Room
from geometry.shelf import find_kit
from geometry.units import whole_mm
from geometry.walls import edges

OUTLET_BEYOND_MM = 200.0
"""How much farther than its wall is thick an outlet may lie outside (common practice): walls are seldom measured."""


def outlet_faults(room: Room) -> Iterator[str]:
    """Outlets so far outside that nobody would count the pipe to them, in one sentence each."""
    for outlet in room.outlets:
        beyond = _beyond_mm(room, outlet)
        if beyond:
            yield (
                f'Outlet "{outlet.id}" is {whole_mm(beyond):,} mm outside the room. Put it where its pipe goes into '
                "the wall, and give the length from there to its end as its run outside."
            )


def _beyond_mm(room: Room, outlet: Outlet) -> float:
    """How far outside an outlet is that is farther than a wall is thick and a little more; else 0."""
    at = Point(outlet.at_mm)
    beyond = float(Polygon(room.outline_mm).distance(at))
    if beyond <= OUTLET_BEYOND_MM:
        return 0.0
    walls = [(float(LineString([e.start, e.at(e.length_mm)]).distance(at)), e.thick_mm) for e in edges(room)]
    thick = max(thick for away, thick in walls if away <= beyond + 1)
    return beyond if beyond > thick + OUTLET_BEYOND_MM + 0.5 else 0.0


def pipe_faults(room: Room) -> Iterator[str]:
    """What does not go together between pipes and what they join, in one sentence each."""
    outlets = {outlet.id for outlet in room.outlets}
    kinds = {kit.key: kit for kit in room.kit}
    for pipe in room.pipes:
        piece = room.piece(pipe.from_.piece)
        if piece is None:
            yield f'Pipe "{pipe.id}" starts at piece "{pipe.from_.piece}", which is not in the room. Correct it.'
            return
        ports = {port.name: port for port in (kinds.get(piece.kit) or find_kit(piece.kit)).port}
        if pipe.from_.port not in ports:
            has = f"has these: {', '.join(ports)}. Name one of them." if ports else "has no ports. Take the pipe out."
            yield f'Pipe "{pipe.id}" starts at port "{pipe.from_.port}", but {piece.id} {has}'
            return
        yield from _port_faults(room, pipe, ports[pipe.from_.port])
        if pipe.to_port is not None:
            yield from _to_port_faults(room, pipe, pipe.to_port, kinds)
        elif pipe.to not in outlets:
            yield f'Pipe "{pipe.id}" ends at outlet "{pipe.to}", which is not in the room. Correct it.'
        lost = [point for point in pipe.pinned_mm if pipe.via_mm is not None and point not in pipe.via_mm]
        if lost:
            yield f'Pipe "{pipe.id}": a pinned point is not on its route. Put it in via_mm too, or leave via_mm out.'
        if pipe.via_mm is not None and len(pipe.via_mm) > 1 and LineString(pipe.via_mm).length == 0:
            yield f'Pipe "{pipe.id}": its route has no length. Leave via_mm out to have one found.'


def _port_faults(room: Room, pipe: Pipe, port: Port) -> Iterator[str]:
    """A port of another medium, a second pipe of one port, a pipe that ends where it starts."""
    where = f'port "{port.name}" of {pipe.from_.piece}'
    if pipe.medium != port.medium and not {pipe.medium, port.medium} <= COLD:
        carries, takes = (medium.replace("-", " ") for medium in (pipe.medium, port.medium))
        yield f'Pipe "{pipe.id}" carries {carries}, but {where} is for {takes}. Correct one of them.'
    other = next(other for other in room.pipes if other.from_ == pipe.from_)
    if other is not pipe:
        yield f'Pipes "{other.id}" and "{pipe.id}" both start at {where}. Take one of them out.'
    if (pipe.to, pipe.to_port) == (pipe.from_.piece, pipe.from_.port):
        yield f'Pipe "{pipe.id}" ends at {where}, where it starts. Name an outlet or another port.'


def _to_port_faults(room: Room, pipe: Pipe, port: str, kinds: dict[str, Kit]) -> Iterator[str]:
    piece = room.piece(pipe.to)
    if piece is None:
        yield f'Pipe "{pipe.id}" ends at a port of piece "{pipe.to}", which is not in the room. Correct it.'
        return
    ports = [own.name for own in (kinds.get(piece.kit) or find_kit(piece.kit)).port]
    if port not in ports:
        has = f"has these: {', '.join(ports)}. Name one of them." if ports else "has no ports. Take the pipe out."
        yield f'Pipe "{pipe.id}" ends at port "{port}", but {piece.id} {has}'
