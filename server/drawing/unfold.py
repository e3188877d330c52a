"""How a room unfolds: the plan in the middle, every wall face turned out along its own foot, or stood in a row below.

Faces turn out in this order: walls with most kit, then longest. A face that would lie on the plan, its walls or a face
already placed stands in the row below, in the order in which a person meets the walls turning right from the door. A
room without inward corners always unfolds whole, since what lies square out from the sides of a convex shape cannot
meet. More than eight walls, or a drawing that would fall under ``LEAST_PX_MM``: the plan alone above, all faces in
the row, which may be wider than the page. Plan and faces always have one scale.
"""

from dataclasses import dataclass, field, replace
from functools import lru_cache

from geometry.doors import leaf_width_mm
from geometry.scene import Scene
from geometry.shapes import Footprint, convex_parts, overlap_mm, turned
from geometry.units import DEPTH_TOLERANCE_MM, Point
from geometry.walls import Edge
from geometry.words import wall_name
from server.drawing.profiles import Top, full_height, tops
from server.drawing.seats import is_convex, is_inward, seats
from server.drawing.svg import SCREEN, Box, Grain, Matrix, bounds

LEAST_PX_MM = 0.08
"""Under this scale a cross cannot be read on a screen, and the plan stands alone."""

MOST_WALLS = 8
_SMALLEST_PX_MM = 0.001
_EDGE_PX = 16.0
_LETTER_PX = 22.0
_ROW_GAP_PX = 14.0
_ROW_ABOVE_PX = 34.0
_ROW_FOOT_PX = 8.0


@dataclass(frozen=True)
class Face:
    """A wall seen from inside. Points on it are (from its left corner, above finished floor) in mm.

    ``folded`` faces lie along their wall, the others stand in the row.
    """

    wall: Edge
    name: str
    folded: bool
    matrix: Matrix
    height_mm: float
    tops: tuple[Top, ...]
    measured: bool = True

    @property
    def edge(self) -> int:
        """Which wall it is."""
        return self.wall.index

    @property
    def length_mm(self) -> float:
        """How long the wall is."""
        return self.wall.length_mm

    def to_px(self, point: Point) -> Point:
        """(from the left corner, above finished floor) in page units."""
        return self.matrix.to_px(point)

    @property
    def letter(self) -> str:
        """What stands beside the wall on the plan: its letter, or its name where it has one of its own."""
        return self.name.removeprefix("wall ")

    @property
    def corners(self) -> list[Point]:
        """Foot left, foot right, top right, top left, in page units."""
        w, h = self.length_mm, self.height_mm
        return [self.to_px(p) for p in ((0, 0), (w, 0), (w, h), (0, h))]

    @property
    def box(self) -> Box:
        """The upright box round the face in page units."""
        return bounds(self.corners)


@dataclass(frozen=True)
class Unfolded:
    """A whole drawing: its size, its one scale, where the plan is, and the faces in the order of their walls."""

    width_px: float
    height_px: float
    scale_px_mm: float
    plan: Matrix
    faces: tuple[Face, ...]
    alone: bool = False
    shows_plan: bool = True
    grain: Grain = field(default=SCREEN)

    def face(self, edge: int) -> Face | None:
        """The face of a wall, or None where this drawing does not show it."""
        return next((face for face in self.faces if face.edge == edge), None)


@lru_cache(maxsize=64)
def outer_ring(walls: tuple[Edge, ...]) -> tuple[Point, ...]:
    """The outer line of the walls, mitred at the corners."""
    return tuple(point for edge in walls for point in outer_corner(walls[edge.index - 1], edge))


def outer_corner(before: Edge, edge: Edge) -> tuple[Point, ...]:
    """The outer corner between two walls: one point, or two where they run nearly on in one line."""
    bend = before.along[0] * edge.along[1] - before.along[1] * edge.along[0]
    if abs(bend) < 0.05:
        return before.at(before.length_mm, -before.thick_mm), edge.at(0.0, -edge.thick_mm)
    (px, py), (qx, qy) = before.at(0.0, -before.thick_mm), edge.at(0.0, -edge.thick_mm)
    t = ((qx - px) * edge.along[1] - (qy - py) * edge.along[0]) / bend
    return ((px + t * before.along[0], py + t * before.along[1]),)


def unfolded(
    scene: Scene, width_px: float, height_px: float, quarters: int = 0, least_px_mm: float = LEAST_PX_MM
) -> Unfolded:
    """The largest drawing of a room that fits a space.

    ``quarters`` turns the sheet clockwise by right angles. ``least_px_mm`` is the scale under which the plan stands
    alone and its row may be wider than the space; a thumbnail takes 0 and holds everything.
    """
    walls = scene.edges
    folded = _folded(scene) if len(walls) <= MOST_WALLS else frozenset()
    sheet = _Sheet(scene, quarters % 4, width_px, height_px, scrolls=least_px_mm > 0)
    view = sheet.laid_out(folded, alone=len(walls) > MOST_WALLS)
    if view.scale_px_mm < least_px_mm and not view.alone:
        view = sheet.laid_out(frozenset(), alone=True)
    return view


def one_wall(scene: Scene, edge: int | None, width_px: float, height_px: float, margin_px: float = 52.0) -> Unfolded:
    """One wall stood upright, or the plan alone where ``edge`` is None: the drawing of a phone.

    ``margin_px`` is kept free on the left for the tape.
    """
    if edge is None:
        sheet = _Sheet(scene, 0, width_px, height_px)
        return replace(sheet.laid_out(frozenset(), alone=True, row=()), alone=True)
    face = replace(_face(scene, scene.edges[edge]), folded=False)
    wide, high = width_px - margin_px - _EDGE_PX, height_px - 2 * _EDGE_PX
    s = max(min(wide / face.length_mm, high / face.height_mm), _SMALLEST_PX_MM)
    left = margin_px + (wide - s * face.length_mm) / 2
    matrix = Matrix(s, 0.0, 0.0, -s, left, height_px - _EDGE_PX)
    flat = Matrix(s, 0.0, 0.0, -s, 0.0, 0.0)
    return Unfolded(width_px, height_px, s, flat, (replace(face, matrix=matrix),), True, False)


def swung_out(scene: Scene, turned_out: frozenset[int]) -> list[Point]:
    """How far leaves reach that open outwards, in mm, but for those of walls whose faces are turned out there."""
    found: list[Point] = []
    for door in scene.room.doors:
        if door.leaf.opens == "out" and door.edge not in turned_out:
            edge, reach = scene.edges[door.edge], leaf_width_mm(door)
            ends = (door.from_mm - 50.0, door.from_mm + door.clear_mm + 50.0)
            found += [edge.at(along, -edge.thick_mm - reach) for along in ends]
    return found


@dataclass(frozen=True)
class _Sheet:
    """The space to fill, and the room that fills it."""

    scene: Scene
    quarters: int
    width_px: float
    height_px: float
    scrolls: bool = True

    def laid_out(self, folded: frozenset[int], alone: bool, row: tuple[int, ...] | None = None) -> Unfolded:
        """Plan, folded faces and row at the largest scale that fits, in the middle of the space."""
        walls = self.scene.edges
        faces = {edge.index: _face(self.scene, edge) for edge in walls}
        row = tuple(i for i in met_in_order(self.scene) if i not in folded) if row is None else row
        standing = [faces[i] for i in row]
        cross = self._cross([faces[i] for i in folded])
        s = self._scale(cross, standing, alone)
        tall, row_tall = s * (cross[3] - cross[1]), s * max((face.height_mm for face in standing), default=0.0)
        edge = _EDGE_PX + _LETTER_PX if row else _EDGE_PX
        below = _ROW_ABOVE_PX + row_tall + _ROW_FOOT_PX if row else 0.0
        spare = max(self.height_px - edge - tall - below - _EDGE_PX, 0.0) / 2
        plan = self._plan(s, self.width_px / 2 - s * (cross[0] + cross[2]) / 2, edge + spare - s * cross[1])
        wide = s * sum(face.length_mm for face in standing) + _ROW_GAP_PX * max(len(row) - 1, 0)
        foot = edge + tall + spare * 1.5 + _ROW_ABOVE_PX + row_tall
        placed = [_fold(faces[i], walls[i], plan) for i in folded]
        placed += _in_row(standing, s, max((self.width_px - wide) / 2, _EDGE_PX), foot)
        width = max(self.width_px, wide + 2 * _EDGE_PX)
        return Unfolded(width, self.height_px, s, plan, tuple(sorted(placed, key=lambda f: f.edge)), alone)

    def _plan(self, s: float, e: float, f: float) -> Matrix:
        (ax, ay), (cx, cy) = turned((1.0, 0.0), -90 * self.quarters), turned((0.0, 1.0), -90 * self.quarters)
        return Matrix(s * ax, -s * ay, s * cx, -s * cy, e, f)

    def _cross(self, folded: list[Face]) -> Box:
        """Bounds of plan and folded faces at one page unit for a millimetre, plan origin at (0, 0)."""
        plan, walls = self._plan(1.0, 0.0, 0.0), self.scene.edges
        points = [plan.to_px(p) for p in outer_ring(walls)]
        for face in folded:
            points += _fold(face, walls[face.edge], plan).corners
        points += [plan.to_px(p) for p in swung_out(self.scene, frozenset(face.edge for face in folded))]
        return bounds(points)

    def _scale(self, cross: Box, row: list[Face], alone: bool) -> float:
        wide, high = self.width_px - 2 * _EDGE_PX, self.height_px - 2 * _EDGE_PX
        tall = cross[3] - cross[1]
        if row:
            high -= _LETTER_PX + _ROW_ABOVE_PX + _ROW_FOOT_PX
            tall += max(face.height_mm for face in row)
        limits = [(wide - (2 * _LETTER_PX if row else 0.0)) / (cross[2] - cross[0]), high / tall]
        if row and not (alone and self.scrolls):
            limits.append((wide - _ROW_GAP_PX * (len(row) - 1)) / sum(face.length_mm for face in row))
        return max(min(limits), _SMALLEST_PX_MM)


def _face(scene: Scene, edge: Edge) -> Face:
    return Face(
        wall=edge,
        name=wall_name(scene, edge.index).removeprefix("the "),
        folded=True,
        matrix=Matrix(1.0, 0.0, 0.0, -1.0, 0.0, 0.0),
        height_mm=full_height(scene),
        tops=tops(scene, edge),
        measured=scene.room.ceiling.height_mm is not None,
    )


def _fold(face: Face, edge: Edge, plan: Matrix) -> Face:
    """A face turned out along the outer line of its wall."""
    e, f = plan.to_px(edge.at(edge.length_mm, -edge.thick_mm))
    a, b = plan.vector(-edge.along[0], -edge.along[1])
    c, d = plan.vector(-edge.inward[0], -edge.inward[1])
    return replace(face, matrix=Matrix(a, b, c, d, e, f))


def _in_row(row: list[Face], s: float, left: float, foot: float) -> list[Face]:
    """Faces that stand side by side on one line."""
    found = []
    for face in row:
        found.append(replace(face, folded=False, matrix=Matrix(s, 0.0, 0.0, -s, left, foot)))
        left += s * face.length_mm + _ROW_GAP_PX
    return found


def met_in_order(scene: Scene) -> tuple[int, ...]:
    """Walls in the order in which a person meets them turning right from the door.

    >>> from geometry.samples import sample_scene
    >>> met_in_order(sample_scene([], [], doors=[{"id": "d1", "edge": 1, "from_mm": 100, "clear_mm": 700}]))
    (1, 0, 3, 2)
    """
    count = len(scene.room.outline_mm)
    first = scene.room.doors[0].edge if scene.room.doors else 0
    return tuple((first - i) % count for i in range(count))


def _folded(scene: Scene) -> frozenset[int]:
    """The walls whose faces turn out without lying on anything."""
    walls, height = scene.edges, full_height(scene)
    if is_convex(scene.room.outline_mm):
        return frozenset(range(len(walls)))
    home = seats(scene).home.values()
    kit = {edge.index: sum(seat.edge == edge.index for seat in home) for edge in walls}
    taken = [*convex_parts(scene.room.outline_mm), *_outward_corners(walls, scene.room.outline_mm)]
    taken += [_flat(edge, 0.0, edge.thick_mm) for edge in walls]
    found: list[int] = []
    for edge in sorted(walls, key=lambda e: (-kit[e.index], -e.length_mm, e.index)):
        face = _flat(edge, edge.thick_mm, edge.thick_mm + height)
        if all(overlap_mm(face, part) <= DEPTH_TOLERANCE_MM for part in taken):
            found.append(edge.index)
            taken.append(face)
    return frozenset(found)


def _flat(edge: Edge, near_mm: float, far_mm: float) -> Footprint:
    """A strip along the outside of a wall."""
    return Footprint(
        (
            edge.at(0.0, -far_mm),
            edge.at(edge.length_mm, -far_mm),
            edge.at(edge.length_mm, -near_mm),
            edge.at(0.0, -near_mm),
        )
    )


def _outward_corners(walls: tuple[Edge, ...], outline: tuple[Point, ...]) -> list[Footprint]:
    """The mitred ends of the walls at outward corners."""
    outer = outer_ring(walls)
    if len(outer) != len(walls):
        return []
    return [
        Footprint(
            (
                edge.start,
                walls[i - 1].at(walls[i - 1].length_mm, -walls[i - 1].thick_mm),
                outer[i],
                edge.at(0.0, -edge.thick_mm),
            )
        )
        for i, edge in enumerate(walls)
        if not is_inward(outline, i)
    ]
