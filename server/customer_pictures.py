"""Flat pictures for the customer: the room from above and each wall, everyday names, no port, no measure, no number."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from markupsafe import Markup

from geometry.room import Room
from geometry.scene import Placed, Scene, build
from geometry.units import Point
from geometry.words import listed, start, wall_name
from server.customer_names import together
from server.drawing import Unfolded, one_wall
from server.drawing.corner_floor import OWN_GROUP, clear_floor, rings
from server.drawing.elevation import elevation
from server.drawing.fixed import beams_before, blocks, blocks_on, overhead
from server.drawing.grounds import face_edge, face_ground, floor, foot, frame
from server.drawing.kit import at_px, from_above
from server.drawing.labels import Label, two_lines
from server.drawing.names import names as placed_names
from server.drawing.openings import doorways, fronts_on
from server.drawing.paper import thinned
from server.drawing.seats import Seat, seats
from server.drawing.svg import attribute, bounds, num, path, ring
from server.drawing.unfold import Face, outer_ring, swung_out
from server.look import PHONE_GRAIN

WIDE_PX, HIGH_PX = 306.0, 300.0
LONG_PX, LEAST_PX_MM, MOST_PX_MM = 630.0, 0.09, 0.15
"""A long room may take the width of two pictures, so that its kit can be told apart."""
LEAST_CLEAR_MM = 150.0
"""Less than this beside a piece is a gap for fingers: nobody hangs anything there. Common practice, no source."""
MOST_NAMES = 7
"""In one sentence: a longer list is hard to read."""
SMALL_MM2 = 90_000.0
_EDGE_PX, _PAD_PX = 16.0, 5.0


@dataclass(frozen=True)
class Flat:
    """A picture with its caption: what it shows, and what stands or hangs there."""

    svg: Markup
    name: str
    told: str


@dataclass(frozen=True)
class FlatPictures:
    """A room whose pieces carry their everyday names, ready to be drawn flat."""

    of: Scene
    names: Mapping[str, str]

    @cached_property
    def scene(self) -> Scene:
        """The same room, its kit and the customer's own places under their everyday names."""
        room = self.of.room
        own = [space.model_copy(update={"name": f"your {space.name.lower()}"}) for space in room.keep_free]
        called = [piece.model_copy(update={"name": start(self.names[piece.id])}) for piece in room.pieces]
        return build(_renamed(room, pieces=tuple(called), keep_free=tuple(own)))

    def every(self) -> list[Flat]:
        """The plan, then each wall that has anything on it, in the order of the walls."""
        walls = [self.wall(edge.index) for edge in self.scene.edges]
        return [self.plan(), *(wall for wall in walls if wall)]

    def plan(self) -> Flat:
        """From above: doors ajar, the floor that stays clear dotted."""
        scene = thinned(self.scene)
        view = _plan_view(scene)
        clear = [path("keep", ring(map(view.plan.to_px, points))) for points in rings(clear_floor(scene))]
        parts = [
            floor(view, scene, grid=False), *clear, *_yours(view, scene), overhead(view, scene), blocks(view, scene),
            frame(view, scene), doorways(view, scene),
        ]  # fmt: skip
        for item in sorted(scene.placed, key=lambda i: (i.base_mm, i.top_mm, i.id)):
            parts.append(f"<g {at_px(view.plan.to_px(item.piece.at_mm), view.grain)}>{from_above(view, item)}</g>")
        points = [*outer_ring(scene.edges), *swung_out(scene, frozenset())]
        return Flat(
            _framed(view, [view.plan.to_px(p) for p in points], [*parts, *_names(view, _of_size(scene))], "From above"),
            "From above", "The dotted floor stays clear.",
        )  # fmt: skip

    def wall(self, edge: int) -> Flat | None:
        """A wall as somebody sees it who stands in the room; None for a bare one."""
        scene, found = self.scene, seats(self.scene)
        on_it = found.on(scene, edge)
        openings = _openings(scene, edge)
        if not on_it and not openings:
            return None
        view = _wall_view(scene, edge)
        face, grain = view.faces[0], view.grain
        parts = [
            face_ground(face, grain, grid=False), beams_before(face, scene, grain), fronts_on(face, scene, grain),
            blocks_on(face, scene, grain), face_edge(face, grain),
        ]  # fmt: skip
        kept = [piece for item, seat in on_it for piece in _kept(face, item, seat)]
        parts += [path("keep", ring(map(face.to_px, corners))) for corners in kept]
        for item, seat in on_it:
            at = at_px(face.to_px((seat.at_mm, item.base_mm)), grain)
            parts.append(f"<g {at}>{elevation(view, face, item, seat)}</g>")
        parts += [foot(face, grain, 3.0), *_names(view, scene)]
        name = start(wall_name(scene, edge).removeprefix("the "))
        told = [*together([self.names[item.id] for item, _ in on_it]), *openings]
        lists = [f"{start(listed(told[i : i + MOST_NAMES]))}." for i in range(0, len(told), MOST_NAMES)]
        more = ["Hang nothing on the dotted wall."] if kept else []
        return Flat(_framed(view, face.corners, parts, name), name, " ".join([*lists, *more]))


def wall_clear(scene: Scene, names: Mapping[str, str]) -> list[str]:
    """Which parts of the walls stay clear, and why; nothing where none has to."""
    sentences = []
    for sides, where, why in (
        (("above",), "above", "Lids and parts come off there."),
        (("below",), "below", "Hands and pipes need the room."),
        (("left", "right"), "beside", "Hands and tools go in there."),
    ):
        about = together(
            [names[item.id] for item in scene.placed if any(side in sides for side, _ in _clear_sides(item))]
        )
        if about:
            kit = listed(about) if len(about) < 5 else "the kit that hangs there"
            sentences.append(f"Keep the wall free {where} {kit}. {why}")
    return sentences


def _clear_sides(item: Placed) -> list[tuple[str, float]]:
    """The sides of a hung piece on which the wall has to stay free, each with how far."""
    if item.kit.stands_on != "wall" or item.base_mm <= 0 or item.kit.group == OWN_GROUP:
        return []
    return [
        (space.side, space.mm) for space in item.kit.space
        if space.side in ("above", "below", "left", "right") and space.need == "must" and space.mm >= LEAST_CLEAR_MM
    ]  # fmt: skip


def _kept(face: Face, item: Placed, seat: Seat) -> list[list[Point]]:
    """Wall beside a piece that stays free, as corners on the face."""
    left, right, low, high = seat.span.from_mm, seat.span.to_mm, item.base_mm, item.top_mm
    found = []
    for side, mm in _clear_sides(item):
        x0, x1 = (left - mm, left) if side == "left" else (right, right + mm) if side == "right" else (left, right)
        z0, z1 = (high, high + mm) if side == "above" else (low - mm, low) if side == "below" else (low, high)
        x0, x1, z0, z1 = max(x0, 0.0), min(x1, face.length_mm), max(z0, 0.0), min(z1, face.height_mm)
        if x1 > x0 and z1 > z0:
            found.append([(x0, z0), (x1, z0), (x1, z1), (x0, z1)])
    return found


def _openings(scene: Scene, edge: int) -> list[str]:
    doors = sum(door.edge == edge for door in scene.room.doors)
    windows = sum(window.edge == edge for window in scene.room.windows)
    named = [("the door", "doors", doors), ("the window", "windows", windows)]
    return [one if count == 1 else f"{count} {several}" for one, several, count in named if count]


def _renamed(room: Room, **parts: object) -> Room:
    return room.model_copy(update=parts)


def _plan_view(scene: Scene) -> Unfolded:
    x0, y0, x1, y1 = bounds(outer_ring(scene.edges))
    width = _width(x1 - x0, y1 - y0)
    return replace(one_wall(scene, None, width, HIGH_PX), grain=PHONE_GRAIN)


def _wall_view(scene: Scene, edge: int) -> Unfolded:
    face = one_wall(scene, edge, WIDE_PX, HIGH_PX).faces[0]
    width = _width(face.length_mm, face.height_mm)
    return replace(one_wall(scene, edge, width, HIGH_PX, _EDGE_PX), grain=PHONE_GRAIN)


def _width(wide_mm: float, high_mm: float) -> float:
    """One column, or two where one would draw the kit too small; no wider than the largest scale fills."""
    inner = 2 * _EDGE_PX
    scale = min((WIDE_PX - inner) / wide_mm, (HIGH_PX - inner) / high_mm)
    width = LONG_PX if scale < LEAST_PX_MM and (LONG_PX - inner) / wide_mm > scale else WIDE_PX
    return min(width, wide_mm * MOST_PX_MM + inner)


def _yours(view: Unfolded, scene: Scene) -> list[str]:
    """The customer's own places, dashed, each with its name where it has room for it."""
    found = []
    for own in scene.room.keep_free:
        corners = [view.plan.to_px(p) for p in own.area_mm]
        (x0, y0, x1, y1), lines = bounds(corners), two_lines(start(own.name))
        found.append(path("yours", ring(corners)))
        label = Label(lines, ((x0 + x1) / 2, (y0 + y1) / 2), view.grain.text)
        if label.box[0] >= x0 and label.box[1] >= y0:
            found.append(label.svg(view.grain))
    return found


def _of_size(scene: Scene) -> Scene:
    """A room with what is worth a name from above; what hangs small is named on its wall."""
    return replace(scene, placed=tuple(i for i in scene.placed if sum(p.polygon.area for p in i.body) >= SMALL_MM2))


def _names(view: Unfolded, scene: Scene) -> list[str]:
    return [name.label.svg(view.grain) for name in placed_names(view, scene, seats(scene))]


def _framed(view: Unfolded, points: Iterable[Point], parts: Iterable[str], name: str) -> Markup:
    """The picture, cut to what is drawn."""
    x0, y0, x1, y1 = bounds(list(points))
    box = [num(v) for v in (x0 - _PAD_PX, y0 - _PAD_PX, x1 - x0 + 2 * _PAD_PX, y1 - y0 + 2 * _PAD_PX)]
    return Markup(
        f'<svg class="flat-picture" width="{box[2]}" height="{box[3]}" viewBox="{" ".join(box)}" role="img"'
        f' aria-label="{attribute(name)}">{"".join(parts)}</svg>'
    )
