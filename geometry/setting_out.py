"""Setting-out: running dimensions on one wall from its left corner and from finished floor, ready for a tape.

Everything is measured on the wall face as a person sees it who stands in the room: along from the left corner, up from
finished floor level. Figures are whole millimetres, each rounded from its own true place and never added up from other
rounded figures, so no error gathers; the steps between neighbours, the last one to the far corner among them, add up
to the length of the wall.

The bracket line of hung kit is the top of its bracket where the kind has one, else the top of its body, from which a
maker's template is measured down (common practice, no source).

>>> from geometry.samples import box_kit, piece, sample_scene
>>> tank = box_kit("tank")
>>> scene = sample_scene([tank], [piece(tank, 300, 1600)])
>>> wall = setting_out(scene, 2, ["tank"])
>>> wall.along.figures, wall.along.steps, wall.along.closing_error_mm
((0, 300, 600, 2400), (300, 300, 1800), 0)
>>> wall.up.figures, wall.corner
((0, 800, 2400), 'the corner of the back wall and the left wall')
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from geometry.ceilings import lowest_over
from geometry.room import Outlet
from geometry.saved import Basis
from geometry.scene import Placed, Scene
from geometry.shapes import Footprint, disc
from geometry.units import whole_mm
from geometry.walls import Edge
from geometry.words import wall_name

_ON_WALL_MM = 1.0
_BESIDE_MM = 1.0


@dataclass(frozen=True)
class Chain:
    """Running dimensions from a zero to an end, in mm: true places in order, the zero first."""

    places_mm: tuple[float, ...]
    length_mm: float

    @property
    def figures(self) -> tuple[int, ...]:
        """The places as they are written: whole millimetres, each once, the end of the chain last."""
        return tuple(sorted({whole_mm(place) for place in (0.0, *self.places_mm, self.length_mm)}))

    @property
    def steps(self) -> tuple[int, ...]:
        """From each figure to the next."""
        return tuple(b - a for a, b in pairwise(self.figures))

    @property
    def closing_error_mm(self) -> int:
        """What the steps are out against the length: nothing, or the chain is not to be used."""
        return whole_mm(self.length_mm) - sum(self.steps)


@dataclass(frozen=True)
class PortMark:
    """The middle of a port: how far from the left corner and from finished floor, in mm."""

    name: str
    medium: str
    size_mm: float
    from_left_mm: float
    from_floor_mm: float


@dataclass(frozen=True)
class BodyMark:
    """One thing on a wall: edges and middle from the left corner, underside and top from finished floor, in mm.

    ``bracket_mm`` is None for what does not hang; ``piece`` is the id of what is marked.
    """

    piece: str
    name: str
    left_mm: float
    middle_mm: float
    right_mm: float
    under_mm: float
    top_mm: float
    bracket_mm: float | None
    basis: Basis
    ports: tuple[PortMark, ...] = ()


@dataclass(frozen=True)
class SettingOut:
    """All that is set out on one wall: bodies from the left, then openings, outlets and flues, and both chains."""

    edge: int
    corner: str
    far_corner: str
    length_mm: float
    bodies: tuple[BodyMark, ...]
    openings: tuple[BodyMark, ...]
    along: Chain
    up: Chain


def setting_out(scene: Scene, edge_index: int, own: Iterable[str]) -> SettingOut:
    """The setting-out of one wall with the pieces ``own`` (ids) that belong to it.

    Raises
    ------
    KeyError
        A piece of that id is not in the room.
    """
    edge = scene.edges[edge_index]
    bodies = tuple(sorted((_body(edge, _piece(scene, ref)) for ref in own), key=_from_left))
    openings = tuple(sorted(_openings(scene, edge), key=_from_left))
    places, heights = _places(bodies, openings)
    ceiling = _ceiling_mm(scene, edge)
    count = len(scene.edges)
    here, left, right = (wall_name(scene, i % count) for i in (edge_index, edge_index + 1, edge_index - 1))
    return SettingOut(
        edge_index, f"the corner of {here} and {left}", f"the corner of {here} and {right}", edge.length_mm,
        bodies, openings, _within(places, edge.length_mm),
        _within(heights, max(heights) if ceiling is None else ceiling) if heights else Chain((), ceiling or 0.0),
    )  # fmt: skip


def _piece(scene: Scene, ref: str) -> Placed:
    placed = scene.piece(ref)
    if placed is None:
        raise KeyError(ref)
    return placed


def _from_left(mark: BodyMark) -> tuple[float, float, str]:
    return (round(mark.left_mm, 3), round(mark.under_mm, 3), mark.piece)


def _body(edge: Edge, placed: Placed) -> BodyMark:
    left, right = _span(edge, placed.body)
    return BodyMark(
        placed.id, placed.name, left, (left + right) / 2, right, placed.base_mm, placed.top_mm,
        _bracket_mm(placed) if hangs(placed) else None, placed.kit.basis, tuple(_ports(edge, placed)),
    )  # fmt: skip


def hangs(placed: Placed) -> bool:
    """Whether a piece hangs on the wall, clear of the floor."""
    return placed.kit.stands_on == "wall" and placed.base_mm > 0


def _bracket_mm(placed: Placed) -> float:
    tops = [
        item.to_mm for item in placed.kit.sticks_out
        if item.side == "behind" and item.what.startswith("bracket") and item.to_mm is not None
    ]  # fmt: skip
    return placed.base_mm + max(tops) if tops else placed.top_mm


def _span(edge: Edge, parts: Iterable[Footprint]) -> tuple[float, float]:
    """From and to along a wall, from its left corner."""
    (ux, uy), (sx, sy) = edge.along, edge.start
    zero, every = sx * ux + sy * uy, tuple(parts)
    low = min(-part.reach((-ux, -uy)) for part in every) - zero
    high = max(part.reach((ux, uy)) for part in every) - zero
    return edge.length_mm - high, edge.length_mm - low


def _ports(edge: Edge, placed: Placed) -> Iterator[PortMark]:
    for port in placed.kit.port:
        x, y, z = placed.to_room(port.at_mm)
        along, _ = edge.measure((x, y))
        yield PortMark(port.name, port.medium, port.size_mm, edge.length_mm - along, z)


def _openings(scene: Scene, edge: Edge) -> Iterator[BodyMark]:
    room, length = scene.room, edge.length_mm
    wide = [(d.id, f"door {d.id}, clear opening", d.from_mm, d.clear_mm, d.sill_mm, d.head_mm)
            for d in room.doors if d.edge == edge.index]  # fmt: skip
    wide += [(w.id, f"window {w.id}", w.from_mm, w.width_mm, w.sill_mm, w.head_mm)
             for w in room.windows if w.edge == edge.index]  # fmt: skip
    for ref, name, start, width, low, high in wide:
        left = length - start - width
        yield BodyMark(ref, name, left, left + width / 2, left + width, low, high, None, "measured")
    for outlet in room.outlets:
        if _is_in(edge, outlet):
            at = length - edge.measure(outlet.at_mm)[0]
            yield _hole(outlet.id, outlet.name, at, outlet.level_mm)
    for flue in room.flues:
        owner = scene.piece(flue.piece)
        if owner is not None and flue.edge == edge.index:
            yield _hole(flue.id, f"{owner.name}, flue terminal outside", length - flue.along_mm, flue.level_mm)


def _hole(ref: str, name: str, from_left_mm: float, from_floor_mm: float) -> BodyMark:
    return BodyMark(ref, name, *(from_left_mm,) * 3, *(from_floor_mm,) * 2, None, "measured")


def _is_in(edge: Edge, outlet: Outlet) -> bool:
    along, inward = edge.measure(outlet.at_mm)
    return -edge.thick_mm - _ON_WALL_MM <= inward <= _ON_WALL_MM and 0 <= along <= edge.length_mm


def _places(bodies: Iterable[BodyMark], openings: Iterable[BodyMark]) -> tuple[list[float], list[float]]:
    along: list[float] = []
    up: list[float] = []
    for mark in (*bodies, *openings):
        along += [mark.left_mm, mark.middle_mm, mark.right_mm, *(port.from_left_mm for port in mark.ports)]
        up += [mark.under_mm, mark.top_mm, *(port.from_floor_mm for port in mark.ports)]
        up += [] if mark.bracket_mm is None else [mark.bracket_mm]
    return along, up


def _within(places: Iterable[float], length_mm: float) -> Chain:
    """What lies past either end is not on this wall's tape."""
    return Chain(tuple(sorted({place for place in places if 0 <= place <= length_mm})), length_mm)


def _ceiling_mm(scene: Scene, edge: Edge) -> float | None:
    """How high the ceiling stands along a wall where it is highest: at an end, or where a slope or beam begins."""
    corners = [corner for soffit in scene.roof.soffits for corner in soffit.area.points]
    breaks = [edge.measure(corner)[0] for corner in corners]
    beside = [(at, at + side) for at in breaks for side in (-_BESIDE_MM, _BESIDE_MM)]
    beside += [(0.0, _BESIDE_MM), (edge.length_mm, edge.length_mm - _BESIDE_MM)]
    every = [_over_mm(scene, edge, at, seen) for at, seen in beside if 0 < seen < edge.length_mm]
    return max((height for height in every if height is not None), default=None)


def _over_mm(scene: Scene, edge: Edge, at_mm: float, seen_mm: float) -> float | None:
    """How high what is seen over a place a little beside a wall's line stands over the line itself."""
    low = lowest_over(scene.roof, disc(edge.at(seen_mm, _BESIDE_MM), 0.1))
    if low is None:
        return None
    plane = next((soffit.plane for soffit in scene.roof.soffits if soffit.name == low.name), None)
    return plane.at(*edge.at(at_mm, 0.0)) if plane else low.height_mm
