"""How a piece is carried out of the room: the shape and the height that have to pass, and whether they do.

A piece that stands on the floor is carried upright, lifted as high as its truck lifts it; what is no higher than a step
it is lifted over. A piece that hangs, or stands on another, is taken down first: it is carried at the height where it
is, or let straight down, or moved aside at that height without turning and then let down. A body that is not convex is
carried as its hull, and a "no" of the hull is proved with its largest convex part.
"""

from dataclasses import dataclass, replace
from functools import cached_property

import shapely
from shapely.geometry.base import BaseGeometry

from geometry.passing import FINE_SIDES, Goal, Ground, Parts, ground_for, meeting, narrowed, passes, round_of
from geometry.pinches import Pinch, pinch
from geometry.rules import RulePack
from geometry.scene import Placed, Scene, Solid
from geometry.shapes import Footprint, overlap_mm
from geometry.standing import under
from geometry.turning import Answer, Carried, carry, outline, rectangle
from geometry.units import DEPTH_TOLERANCE_MM, Point
from geometry.ways import beyond, liked

_NONE = frozenset[str]()
_BEST_FIRST: tuple[Answer, ...] = ("out", "too-close", "trapped")


@dataclass(frozen=True)
class Load:
    """A piece as it is carried: a disc of ``round_mm`` or a shape, where it stands, how tall it is, how far lifted.

    Without ``under_roof`` the ceiling does not count, to find out whether it is what stops it.
    """

    piece: str
    round_mm: float | None
    carried: Carried
    base_mm: float
    height_mm: float
    lift_mm: float
    under_roof: bool = True

    @property
    def tall_mm(self) -> float:
        """Height that it takes while it is carried along the floor."""
        return self.height_mm + self.lift_mm

    @cached_property
    def width_mm(self) -> float:
        """What has to pass at the least: the diameter of the largest disc inside it (a box: its short side)."""
        return self.round_mm if self.round_mm is not None else 2 * self.carried.disc_inside[1]

    @property
    def plan(self) -> Footprint:
        """What has to pass as it stands, about its place, less the rounding allowance."""
        if self.round_mm is not None:
            return round_of(self.round_mm - DEPTH_TOLERANCE_MM)
        return Footprint(self.carried.shape)

    @property
    def start(self) -> BaseGeometry:
        """Where the middle of that disc is at first."""
        return self.carried.start(self.carried.at if self.round_mm is not None else self.carried.disc_inside[0])

    def at(self, place: Point) -> "Load":
        """The same, standing elsewhere."""
        dx, dy = place[0] - self.carried.at[0], place[1] - self.carried.at[1]
        return replace(self, carried=_moved(self.carried, dx, dy))


def _moved(carried: Carried, dx: float, dy: float) -> Carried:
    part = _moved(carried.part, dx, dy) if carried.part else None
    return replace(carried, at=(carried.at[0] + dx, carried.at[1] + dy), part=part, slack_mm=0.0, near=None)


def is_carried(scene: Scene, placed: Placed) -> bool:
    """Whether a piece has to be carried out along the floor: one person lifts a lighter hung one over what is there."""
    mass = placed.kit.dry_kg
    return placed.kit.stands_on == "floor" or (mass is not None and mass >= scene.pack.number("lift-alone"))


def load_of(placed: Placed, pack: RulePack) -> Load:
    """What has to pass when a piece is carried: the size given for its kind, else its body."""
    carry_as, plan = placed.kit.carry, placed.kit.plan
    tall = carry_as.height_mm if carry_as and carry_as.height_mm else placed.kit.height_mm
    lift = pack.number("truck-lift") if carry_as is None or carry_as.lift_mm is None else carry_as.lift_mm
    across = carry_as.round_mm if carry_as and carry_as.round_mm else None
    sizes = carry_as.box_mm if carry_as else None
    if across is None and sizes is None and plan.round_mm is not None:
        across = plan.round_mm
    if across is not None:
        sizes = (across, across)
    if sizes is not None:
        more = max(sizes[0] - plan.width_mm, sizes[1] - plan.depth_mm, 0.0) / 2
        shape = Carried(rectangle(*sizes, placed.piece.turn_deg), placed.piece.at_mm, slack_mm=more)
    else:
        parts = [part.points for part in placed.body]
        shape = outline([point for part in parts for point in part], parts)
    return Load(placed.id, across, shape, placed.base_mm, tall, lift)


def lowered(scene: Scene, load: Load) -> Load:
    """The same where only its plan counts: tipped or taken apart, it goes under every door's head and every roof."""
    head = max((door.head_mm - max(0.0, door.sill_mm - load.lift_mm) for door in scene.room.doors), default=0.0)
    return replace(load, height_mm=min(load.height_mm, max(head - load.lift_mm, 1.0)), under_roof=False)


def attempt(scene: Scene, placed: Placed, without: frozenset[str] = frozenset(), *, heights: bool = True) -> Answer:
    """Whether a piece can leave as it is carried, with some others gone. Asked once: fewer in the way is no worse.

    Without ``heights`` it is carried lowered, and only its plan counts.
    """
    known: dict[frozenset[str], Answer] = scene.memo.setdefault(("carried out", placed.id, heights), {})
    if without not in known:
        if any(answer == "out" and gone <= without for gone, answer in known.items()):
            known[without] = "out"
        elif any(answer == "trapped" and without <= gone for gone, answer in known.items()):
            known[without] = "trapped"
        else:
            load = load_of(placed, scene.pack) if heights else lowered(scene, load_of(placed, scene.pack))
            again = _known_again(scene, placed, load, without, heights)
            known[without] = again or brought_out(scene, placed, load, without)
    return known[without]


def _known_again(scene: Scene, placed: Placed, load: Load, without: frozenset[str], heights: bool) -> Answer | None:
    """The answer as far as the same room with one piece elsewhere tells it: with that piece gone the two are one."""
    like, moved = liked(scene)
    if like is None:
        return None
    known: dict[frozenset[str], Answer] = like.memo.get(("carried out", placed.id, heights), {})
    if placed.id != moved:
        if moved in without and without in known:
            return known[without]
        if any(answer == "trapped" and without | {moved} <= gone for gone, answer in known.items()):
            return "trapped"
    if known.get(without) == "out" and brought_out(scene, placed, load, without, like) == "out":
        return "out"
    return None


def with_spare(scene: Scene, placed: Placed, spare_mm: float) -> Load | None:
    """What something wider by so much would be, where it could not leave; None where it could."""
    known: dict[float, Load | None] = scene.memo.setdefault(("carried out with spare", placed.id), {})
    if spare_mm not in known:
        load, (like, _) = load_of(placed, scene.pack), liked(scene)
        ground, goal = _where_it_is(scene, placed, load, _NONE, like)
        if _straight(ground, _pulled_out(load, spare_mm, ground.free_of_box(load.plan.bounds)), goal):
            known[spare_mm] = None
            return None
        if like and like.memo.get(("carried out with spare", placed.id), {}).get(spare_mm, load) is None:
            larger = grown(scene, placed, load, spare_mm, like)
            if brought_out(scene, placed, larger, _NONE, like) == "out":
                known[spare_mm] = None
                return None
        larger = grown(scene, placed, load, spare_mm)
        known[spare_mm] = None if brought_out(scene, placed, larger, _NONE) == "out" else larger
    return known[spare_mm]


def tips(placed: Placed) -> bool:
    """Whether its kind may be tipped, laid down or taken apart on its way."""
    return placed.kit.carry is not None and bool({"tip", "lie", "parts"} & set(placed.kit.carry.ways))


def brought_out(scene: Scene, placed: Placed, load: Load, without: frozenset[str], like: Scene | None = None) -> Answer:
    """Whether a load that stands where a piece does can be brought out of the room.

    With ``like``, the same room with a piece elsewhere, what that leaves free is taken less what stands in it now:
    sooner worked out, and "out" is out; any other answer tells nothing.
    """
    step, high = scene.pack.number("step-over"), load.base_mm + load.height_mm
    here, goal = _where_it_is(scene, placed, load, without, like)
    answers = [_carried(here, load, goal)]
    if answers[0] != "out" and load.base_mm > step:
        along_floor, out = floor_ground(scene, placed, load, without, like), goal_of(scene, load)
        letting_down = _ground(scene, placed, load, without, (step, max(high, load.tall_mm)), like)
        answers += [_carried(along_floor, load.at(place), out) for place in _let_down_at(here, letting_down, load)]
    return min(answers, key=_BEST_FIRST.index)


def _where_it_is(
    scene: Scene, placed: Placed, load: Load, without: frozenset[str], like: Scene | None = None
) -> tuple[Ground, Goal]:
    """What is in the way of a load on the floor, or as high as it hangs, and where it is out at that height."""
    if load.base_mm <= scene.pack.number("step-over"):
        return floor_ground(scene, placed, load, without, like), goal_of(scene, load)
    high = load.base_mm + load.height_mm
    held = _ground(scene, placed, load, without, (load.base_mm, high), like)
    return held, goal_of(scene, replace(load, height_mm=high, lift_mm=0.0))


def grown(scene: Scene, placed: Placed, load: Load, more_mm: float, like: Scene | None = None) -> Load:
    """A load with so much more width, once it has been pulled out of its place: as far as it is wide, not turned."""
    ground, _ = _where_it_is(scene, placed, load, _NONE, like)
    if load.round_mm is None:
        return _pulled_out(load, more_mm, ground.free_of(load.carried.shape))
    return _pulled_out(load, more_mm, ground.free((load.round_mm - DEPTH_TOLERANCE_MM) / 2, FINE_SIDES))


def _pulled_out(load: Load, more_mm: float, free: Parts) -> Load:
    start = load.carried.start()
    around = shapely.union_all(free).intersection(start.buffer(2 * load.carried.radius_mm))
    near = shapely.union_all(meeting(shapely.get_parts(around), start))
    across = None if load.round_mm is None else load.round_mm + more_mm
    return replace(load, round_mm=across, carried=load.carried.grown(more_mm / 2, near))


def _straight(ground: Ground, load: Load, goal: Goal) -> bool:
    """Whether it surely goes out without turning, all that stands about taken as its bounds: soon asked; most do."""
    free = meeting(ground.free_of_box(load.plan.bounds), load.carried.start())
    return bool(meeting(free, goal(load.plan)))


def _carried(ground: Ground, load: Load, goal: Goal) -> Answer:
    if goal(load.plan).is_empty:
        return "trapped"
    if load.round_mm is None:
        return "out" if _straight(ground, load, goal) else carry(ground, load.carried, goal)
    least = load.round_mm - DEPTH_TOLERANCE_MM
    return "out" if passes(ground, load.start, goal, least, FINE_SIDES) else "trapped"


def _let_down_at(held: Ground, letting_down: Ground, load: Load) -> list[Point]:
    """A place in each part of the plan where it can be let down, among those it gets to as high as it hangs."""
    shape, here = load.carried.shape, load.carried.start()
    near = meeting(held.free_of(shape), here)
    found = [part for part in letting_down.free_of(shape) if any(part.intersects(other) for other in near)]
    straight = [part.intersection(here) for part in found if part.intersects(here)]
    points = [place.representative_point() for place in straight or found]
    return [(float(p.x), float(p.y)) for p in points]


def floor_ground(
    scene: Scene, placed: Placed, load: Load, without: frozenset[str], like: Scene | None = None
) -> Ground:
    """What is in the way of a load that is carried along the floor; what its piece stands on is not."""
    step = scene.pack.number("step-over")
    return _ground(scene, placed, load, without, (step, max(load.tall_mm, step + 1.0)), like)


def _ground(
    scene: Scene, placed: Placed, load: Load, without: frozenset[str], band: tuple[float, float],
    like: Scene | None = None,
) -> Ground:  # fmt: skip
    key = ("ground", placed.id, without, band, load.under_roof)
    found: Ground | None = scene.memo.get(key)
    if found is None:
        found = ground_for(scene, *band, without | {placed.id}, under(scene, placed), roof=load.under_roof)
        if not without:
            scene.memo[key] = found
    before = like.piece(placed.id) if like else None
    return narrowed(_ground(like, before, load, without, band), found) if like and before else found


def goal_of(scene: Scene, load: Load) -> Goal:
    """Where the load is out, by its shape."""
    return lambda shape: beyond(scene, shape, load.tall_mm, load.lift_mm)


def gate_of(scene: Scene, placed: Placed, load: Load, without: frozenset[str], width_mm: float) -> Pinch | None:
    """The narrowest place on the way of a load, for something round of a width; None where it passes.

    For a load that hangs: the wider of the ways as high as it is and along the floor.
    """
    along_floor = pinch(floor_ground(scene, placed, load, without), load.start, goal_of(scene, load), width_mm)
    if load.base_mm <= scene.pack.number("step-over") or along_floor is None:
        return along_floor
    high = load.base_mm + load.height_mm
    held = _ground(scene, placed, load, without, (load.base_mm, high))
    above = pinch(held, load.start, goal_of(scene, replace(load, height_mm=high, lift_mm=0.0)), width_mm)
    return above if above is None or above.width_mm > along_floor.width_mm else along_floor


def standing_in(scene: Scene, placed: Placed, without: frozenset[str]) -> list[str]:
    """Whose solids a piece's body is in the same place with, so that nothing can be said about its way."""
    borne = under(scene, placed)
    met: list[Solid] = [
        solid
        for solid in scene.solids
        if solid.owner not in without | {placed.id}
        and solid not in borne
        and solid.meets_band(placed.base_mm, placed.top_mm)
        and any(overlap_mm(part, solid.plan) > DEPTH_TOLERANCE_MM for part in placed.body)
    ]
    return list(dict.fromkeys(solid.owner for solid in met))
