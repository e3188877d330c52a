"""A piece goes through the edge of the room: wall, soffit, beam, ceiling, floor or fixture; or it hangs on nothing.

Measured as the depth past the wall's face, the height above the soffit at its lowest point over the piece, or the
depth into a fixture. A back on its wall and a base on the floor are contact. Kit that hangs needs a solid wall or
fixture behind it (lighter things hang on their own pipes); kit that stands needs the floor, or something whose top
is at its base; neither may stand in, or hang across, a doorway or a window.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> tank = box_kit("tank")
>>> [(f.against, f.short, f.message) for f in find(sample_scene([tank], [piece(tank, 260, 1600)]))]
[(('edge:3',), 40.0, '40 mm of the tank is inside the left wall.')]
"""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry import Point as PlanPoint

from geometry.ceilings import lowest_over
from geometry.check import TIGHT, Check, Finding, Where, judge, mm
from geometry.clearing import Met, first_met, side_probe
from geometry.rules import Source
from geometry.scene import Placed, Scene, Solid, bounds_of
from geometry.shapes import Footprint, overlap_mm
from geometry.standing import under
from geometry.units import DEPTH_TOLERANCE_MM, SAME_MM
from geometry.walls import Edge
from geometry.words import named, obstacle, start, the, wall_name

ID = "room-edge"


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """Every way in which a piece leaves the room, or one finding without fault."""
    solids = [(placed, solid) for placed in scene.placed if _wanted(placed, only) for solid in placed.solids()]
    near = scene.near([bounds_of(s.plan, s.from_mm, s.to_mm) for _, s in solids])
    middles = np.array([solid.plan.centre for _, solid in solids]).reshape(-1, 2)
    inside = shapely.contains_xy(scene.floor, middles[:, 0], middles[:, 1]).tolist()
    low = scene.roof.lowest_mm - scene.room.tolerance_mm
    faults: dict[str, list[Finding]] = {}
    for (placed, solid), others, within_floor in zip(solids, near, inside, strict=True):
        found = faults.setdefault(placed.id, [])
        building = [other for other in others if other.part in ("wall", "fixture")]
        if building or not within_floor:
            found += _through_walls(scene, placed, solid, building)
            found += _into_fixtures(scene, placed, solid, building)
        if solid.to_mm > low:
            found += _above(scene, placed, solid)
        found += _in_doorways(scene, placed, solid)
    hanging = _hanging(scene, only)
    for placed in scene.placed:
        if _wanted(placed, only):
            found = [*_worst_of_each(faults.get(placed.id, [])), *_stands(scene, placed), *hanging.get(placed.id, ())]
            yield from found or [_clear(placed)]
    if only is None and scene.placed and not scene.roof.known_over(scene.floor):
        yield _no_ceiling(scene)


def _wanted(placed: Placed, only: frozenset[str] | None) -> bool:
    return only is None or placed.id in only


def _clear(placed: Placed) -> Finding:
    return Finding(ID, "no-fault", f"{start(placed.name)} stays inside the room.", (placed.id,), needed=0.0)


def _no_ceiling(scene: Scene) -> Finding:
    only = "only slopes and beams were checked" if scene.roof.soffits else "nothing was checked against it"
    return Finding(
        ID, "not-checked", f"The ceiling is not measured: {only}.", (), ("ceiling",),
        title="The ceiling is not measured",
        question="How high is the ceiling, and does it slope or have a beam?",
    )  # fmt: skip


def _worst_of_each(found: list[Finding]) -> list[Finding]:
    """One finding for each thing that is met: the worst of the body and what sticks out of it."""
    worst: dict[tuple[str, ...], Finding] = {}
    for finding in found:
        key = (finding.topic, *finding.against)
        if key not in worst or (finding.short or 0) > (worst[key].short or 0) + SAME_MM:
            worst[key] = finding
    return list(worst.values())


def _through_walls(scene: Scene, placed: Placed, solid: Solid, others: list[Solid]) -> Iterator[Finding]:
    met = [other for other in others if _is_wall(other) and _overlap(solid.plan, other.plan)]
    if not met and _is_outside(scene, solid):
        yield _fault(placed, solid, (), "outside", "{} is outside the room", None)
        return
    for edge, depth in _walls_to_leave(scene, solid, met):
        text = f"{mm(depth)} of {{}} is inside {wall_name(scene, edge.index)}"
        wall = (edge.ref,)
        yield _fault(placed, solid, wall, "wall", text, depth)


def _is_wall(solid: Solid) -> bool:
    return solid.part == "wall" and solid.owner.startswith("edge:")


def _past(edge: Edge, solid: Solid) -> float:
    """How far a solid reaches past the face of a wall."""
    return solid.plan.radius_mm - min(edge.measure(point)[1] for point in solid.plan.points)


def _walls_to_leave(scene: Scene, solid: Solid, met: list[Solid]) -> list[tuple[Edge, float]]:
    """The walls that a solid must be drawn out of, and how far; none that it has left when another is cured.

    Where a corner or a nib juts into the room, one move out of the nearest face may clear several walls.
    """
    owners = {block.owner for block in met}
    depths = [(edge, _past(edge, solid)) for edge in scene.edges if edge.ref in owners]
    found: list[tuple[Edge, float]] = []
    for edge, depth in sorted(depths, key=lambda pair: (round(pair[1], 6), pair[0].index)):
        blocks = [block.plan for block in met if block.owner == edge.ref]
        left = [solid.plan.moved(near.inward[0] * far, near.inward[1] * far) for near, far in found]
        if depth > DEPTH_TOLERANCE_MM and all(any(_overlap(plan, block) for block in blocks) for plan in left):
            found.append((edge, depth))
    return found


def _overlap(one: Footprint, other: Footprint) -> bool:
    return overlap_mm(one, other) > DEPTH_TOLERANCE_MM


def _is_outside(scene: Scene, solid: Solid) -> bool:
    if solid.part != "body" or scene.floor.intersects(PlanPoint(solid.plan.centre)):
        return False
    return not any(_overlap(solid.plan, opening) for _, opening in scene.openings)


def _into_fixtures(scene: Scene, placed: Placed, solid: Solid, others: list[Solid]) -> Iterator[Finding]:
    for other in others:
        depth = overlap_mm(solid.plan, other.plan) if other.part == "fixture" else 0.0
        if depth > DEPTH_TOLERANCE_MM:
            text = f"{mm(depth)} of {{}} is inside {named(scene, other.owner)}"
            yield _fault(placed, solid, (other.owner,), "fixture", text, depth)


def _above(scene: Scene, placed: Placed, solid: Solid) -> Iterator[Finding]:
    low = lowest_over(scene.roof, solid.plan)
    if low is None:
        return
    margin = low.height_mm - solid.to_mm
    if margin < -DEPTH_TOLERANCE_MM:
        name = start(named(scene, low.name))
        text = f"{name} is {mm(-margin)} too low for {{}}: it is {mm(low.height_mm)} up there"
        yield _fault(placed, solid, (low.name,), "above", text, -margin)
    elif placed.kit.stands_on != "ceiling" and judge(max(0.0, margin), scene.room.tolerance_mm) == "look-again":
        left = f"Only {mm(margin)}" if margin >= DEPTH_TOLERANCE_MM else "Nothing"
        between = f"{the(solid.what)} and {named(scene, low.name)}"
        yield Finding(
            ID, "look-again", f"{left} is left between {between}. {TIGHT}",
            (placed.id,), (low.name,), topic="above",
            title=f"{start(placed.name)} is close under {named(scene, low.name)}",
            needed=0.0, found=margin, short=0.0, basis=placed.kit.basis, where=_place(solid),
        )  # fmt: skip


def _in_doorways(scene: Scene, placed: Placed, solid: Solid) -> Iterator[Finding]:
    for door, opening in scene.openings:
        depth = overlap_mm(solid.plan, opening)
        if depth > DEPTH_TOLERANCE_MM and solid.meets_band(door.sill_mm, door.head_mm):
            text = f"{mm(depth)} of {{}} is in the doorway {door.id}"
            yield _fault(placed, solid, (door.id,), "doorway", text, depth)


def _stands(scene: Scene, placed: Placed) -> Iterator[Finding]:
    lowest = min(placed.solids(), key=lambda solid: solid.from_mm)
    if lowest.from_mm < -DEPTH_TOLERANCE_MM:
        depth = -lowest.from_mm
        yield _fault(placed, lowest, ("floor",), "floor", f"{mm(depth)} of {{}} is in the floor", depth)
    if placed.kit.stands_on != "floor" or placed.base_mm <= max(placed.kit.base_mm, 0.0) + DEPTH_TOLERANCE_MM:
        return
    if not under(scene, placed):
        text = f"{{}} stands on nothing: its base is {mm(placed.base_mm)} above the floor"
        yield _fault(placed, placed.solids()[0], (), "nothing-below", text, placed.base_mm)


def _hanging(scene: Scene, only: frozenset[str] | None) -> dict[str, list[Finding]]:
    hung = [placed for placed in scene.placed if placed.kit.stands_on == "wall" and _wanted(placed, only)]
    behind = first_met(scene, [side_probe(placed, "behind") for placed in hung], building_only=True)
    return {placed.id: list(_hangs(scene, placed, met)) for placed, (met, _) in zip(hung, behind, strict=True)}


def _hangs(scene: Scene, placed: Placed, met: Met | None) -> Iterator[Finding]:
    mass = placed.kit.full_kg
    gap = met.found_mm if met else None
    heavy = mass is None or mass >= scene.pack.number("hang-on-pipes")
    frame = scene.pack.number("hang-stand-off")
    if heavy and (gap is None or gap > frame):
        yield _hangs_free(scene, placed, met, frame)
    elif gap is not None and gap <= frame:
        yield from _over_openings(scene, placed)


def _hangs_free(scene: Scene, placed: Placed, met: Met | None, frame_mm: float) -> Finding:
    """Needed is the farthest that a frame or battens carry it off the wall, found how far off it hangs."""
    body = placed.solids()[0]
    if met is None:
        return _fault(placed, body, (), "no-wall", "{} hangs in the air: there is no wall behind it", None)
    gap = met.found_mm
    text = (
        f"{{}} hangs in the air: its back is {mm(gap)} off {obstacle(scene, met.owner)}. "
        f"A frame or battens carry it up to {mm(frame_mm)} off"
    )
    found = _fault(placed, body, (), "no-wall", text, gap - frame_mm)
    return replace(found, needed=frame_mm, found=gap)


def _over_openings(scene: Scene, placed: Placed) -> Iterator[Finding]:
    back = placed.direction("behind")
    spans = [(d.id, d.edge, d.from_mm, d.clear_mm, d.sill_mm, d.head_mm) for d in scene.room.doors]
    spans += [(w.id, w.edge, w.from_mm, w.width_mm, w.sill_mm, w.head_mm) for w in scene.room.windows]
    for ref, index, start_mm, width, low, high in spans:
        edge = scene.edges[index]
        if edge.inward[0] * back[0] + edge.inward[1] * back[1] > -0.99:
            continue
        along = [
            edge.measure(p) for part in placed.body for p in (part.points if not part.radius_mm else [part.centre])
        ]
        reach = max(part.radius_mm for part in placed.body)
        if min(inward for _, inward in along) - reach > scene.pack.number("hang-stand-off"):
            continue
        left, right = min(a for a, _ in along) - reach, max(a for a, _ in along) + reach
        over = min(right, start_mm + width) - max(left, start_mm)
        tall = min(placed.top_mm, high) - max(placed.base_mm, low)
        if over > DEPTH_TOLERANCE_MM and tall > DEPTH_TOLERANCE_MM:
            text = f"{{}} hangs {mm(over)} across {named(scene, ref)}, where there is no wall to carry it"
            yield _fault(placed, placed.solids()[0], (ref,), "opening", text, over)


def _place(solid: Solid) -> Where:
    return Where(solid.plan, solid.from_mm, solid.to_mm)


_TITLES = {
    "wall": "{} is in the wall", "outside": "{} is outside the room", "fixture": "{} is in something fixed",
    "above": "{} is too high for the ceiling", "doorway": "{} stands in the doorway", "floor": "{} is in the floor",
    "nothing-below": "{} stands on nothing", "no-wall": "{} hangs in the air", "opening": "{} hangs across an opening",
}  # fmt: skip


def _fault(
    placed: Placed, solid: Solid, against: tuple[str, ...], topic: str, text: str, depth: float | None
) -> Finding:
    return Finding(
        ID, "put-right", start(text.format(the(solid.what))) + ".", (placed.id,), against, topic=topic,
        title=_TITLES[topic].format(start(placed.name)), needed=0.0,
        found=None if depth is None else -depth, short=depth, basis=placed.kit.basis, where=_place(solid),
    )  # fmt: skip


CHECK = Check(
    id=ID,
    title="Every piece stays inside the room and stands or hangs on something",
    failing_title="Something goes through the edge of the room",
    reason="A label gives the body; what sticks out, a sloping soffit or a beam is found on the day.",
    source=Source("Geometry", "the room as measured, bodies and what sticks out of them", "", "typical"),
    find=find,
)
