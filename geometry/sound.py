"""Rules of a room file that span several parts: outlines simple, doors on their walls, ids unique, kinds known."""

from collections.abc import Iterable, Iterator, Sequence
from math import hypot

from pydantic import ValidationError
from shapely.geometry import Polygon
from shapely.validation import explain_validity

from geometry.errors import UnknownKit, UnreadableFile, shown
from geometry.kit import Kit, changed, may_change
from geometry.parts import is_part_figure, part_figures, part_words
from geometry.room import Door, Piece, Room
from geometry.rules import rule_pack
from geometry.saved import SMALLEST_MM
from geometry.shelf import find_kit, shelf
from geometry.sound_pipes import outlet_faults, pipe_faults
from geometry.units import Point, whole_mm

FARTHEST_FROM_ROOM_MM = 20_000.0
"""A piece farther from the room than this is a slip of the keyboard."""
THICKEST_LEAF_MM, LEAST_OPENED_DEG = 100.0, 1.0
"""A door leaf beyond these is a slip of the keyboard."""
LEAST_INPUT_KW, LEAST_SYSTEM_L = 0.1, 1.0
"""Less than these is no heat input of an appliance, and no heating system."""
DEEPEST_FLUE_MM, HIGHEST_FLUE_MM = 0.0, 50_000.0
RESERVED = ("floor", "ceiling")
"""Findings name these two so."""


def check_sound(room: Room) -> None:
    """Refuse a room whose parts do not go together.

    Raises
    ------
    RoomError
        With one sentence that says where and what to do.
    """
    _refuse(_outline_faults(room))
    _refuse(_id_faults(room))
    _refuse(_wall_faults(room))
    _refuse(_area_faults(room))
    _refuse(_slope_faults(room))
    _refuse(_kit_faults(room.kit))
    kinds = {kit.key: kit for kit in room.kit}
    for piece in room.pieces:
        _refuse(_piece_faults(room, piece, kinds.get(piece.kit) or _shelf_kit(piece)))
    _refuse(outlet_faults(room))
    _refuse(pipe_faults(room))
    _refuse(_outside_faults(room))
    _refuse(_air_and_heating_faults(room))
    _refuse(_override_faults(room))


def _refuse(faults: Iterator[str]) -> None:
    for fault in faults:
        raise UnreadableFile(fault)


def outline_fault(points: Sequence[Point], what: str) -> str | None:
    """What is wrong with an outline, or None: too small, crossing itself, a spike, a point twice.

    >>> outline_fault([(0, 0), (10, 10), (10, 0), (0, 10)], "The outline")
    'The outline crosses itself near (5, 5). List its corners in order, going round once.'
    """
    n = len(points)
    for i, here in enumerate(points):
        following, before = points[(i + 1) % n], points[i - 1]
        if hypot(following[0] - here[0], following[1] - here[1]) < 1:
            return f"{what} has corner {i + 1} twice, at {_at(here)}. Take one out."
        if _is_spike(before, here, following):
            return f"{what} runs out and back over itself at corner {i + 1}, {_at(here)}. Take that corner out."
    polygon = Polygon(points)
    if not polygon.is_valid:
        return f"{what} crosses itself{_crossing(polygon)}. List its corners in order, going round once."
    if polygon.area < 100:
        return f"{what} has no area. Give at least three corners that are not in one line."
    return None


def _is_spike(before: Point, here: Point, following: Point) -> bool:
    ax, ay = before[0] - here[0], before[1] - here[1]
    bx, by = following[0] - here[0], following[1] - here[1]
    along = ax * bx + ay * by
    return along > 0 and abs(ax * by - ay * bx) < 1e-9 * along


def _crossing(polygon: Polygon) -> str:
    place = explain_validity(polygon).partition("[")[2].rstrip("]")
    if not place:
        return ""
    x, y = (float(v) for v in place.split()[:2])
    return f" near {_at((x, y))}"


def _at(point: Sequence[float]) -> str:
    return "(" + ", ".join(f"{whole_mm(v):,}" for v in point) + ")"


def _outline_faults(room: Room) -> Iterator[str]:
    fault = outline_fault(room.outline_mm, "The room's outline")
    if fault:
        yield fault
    elif Polygon(room.outline_mm).exterior.is_ccw is False:
        yield "The room's outline runs clockwise. List its corners anticlockwise, so that the room is on the left."


def _id_faults(room: Room) -> Iterator[str]:
    seen: dict[str, str] = {}
    groups: list[tuple[str, Iterable[str]]] = [
        ("piece", (p.id for p in room.pieces)), ("door", (d.id for d in room.doors)),
        ("window", (w.id for w in room.windows)), ("fixture", (f.id for f in room.fixtures)),
        ("keep-free area", (k.id for k in room.keep_free)), ("outlet", (o.id for o in room.outlets)),
        ("pipe", (p.id for p in room.pipes)), ("flue", (f.id for f in room.flues)),
        ("thing outside", (o.id for o in room.outside)), ("vent", (v.id for v in room.vents)),
    ]  # fmt: skip
    for group, ids in groups:
        for name in ids:
            if name in seen:
                by = f"two {group}s" if seen[name] == group else f"a {seen[name]} and a {group}".replace("a o", "an o")
                yield f'The id "{name}" is used twice, by {by}. Give each thing its own.'
            if name in RESERVED:
                yield f'The id "{name}" stands for the {name} itself. Give the {group} another.'
            seen[name] = group
    for name in (*(slope.name for slope in room.ceiling.slopes), *(beam.name for beam in room.ceiling.beams)):
        if name in {*seen, *RESERVED} or name.startswith("edge:"):
            yield f'A slope or beam is called "{name}", which names another thing. Give it a name of its own.'


def _wall_faults(room: Room) -> Iterator[str]:
    n = len(room.outline_mm)
    described = [wall.edge for wall in room.walls]
    for edge in described:
        if edge >= n:
            yield f"Walls: edge {edge} does not exist; the outline has edges 0 to {n - 1}. Correct it."
        if described.count(edge) > 1:
            yield f"Walls: edge {edge} is described twice. Keep one."
    for door in room.doors:
        end = door.from_mm + door.clear_mm
        yield from _off_wall(room, f'Door "{door.id}"', door.edge, door.from_mm, end)
        yield from _leaf_faults(room, door)
        if door.head_mm <= door.sill_mm:
            sill = f"its sill ({door.sill_mm:g}). Correct them."
            yield f'Door "{door.id}": its head ({door.head_mm:g}) is not above {sill}'
    for window in room.windows:
        end = window.from_mm + window.width_mm
        yield from _off_wall(room, f'Window "{window.id}"', window.edge, window.from_mm, end)
        if window.head_mm <= window.sill_mm:
            sill = f"its sill ({window.sill_mm:g}). Correct them."
            yield f'Window "{window.id}": its head ({window.head_mm:g}) is not above {sill}'
    yield from _doors_that_share(room)


def _leaf_faults(room: Room, door: Door) -> Iterator[str]:
    """A head above the ceiling, a leaf thicker than any, a door that need not open."""
    ceiling_mm, what = room.ceiling.height_mm, f'Door "{door.id}"'
    if ceiling_mm is not None and door.head_mm > ceiling_mm:
        yield f"{what}: its head is at {door.head_mm:,g} mm; the ceiling is at {ceiling_mm:,g} mm. Correct one of them."
    if door.leaf.thick_mm > THICKEST_LEAF_MM:
        yield f"{what}: a leaf {door.leaf.thick_mm:,g} mm thick is no door leaf; {THICKEST_LEAF_MM:g} mm is the most."
    if door.leaf.needed_deg < LEAST_OPENED_DEG:
        yield f"{what} need open only {door.leaf.needed_deg:g}°, which lets nobody in. Correct needed_deg."


def _off_wall(room: Room, what: str, edge: int, start: float, end: float) -> Iterator[str]:
    n = len(room.outline_mm)
    if edge >= n:
        yield f"{what} is on edge {edge}; the outline has edges 0 to {n - 1}. Give it the edge it is in."
        return
    (x0, y0), (x1, y1) = room.outline_mm[edge], room.outline_mm[(edge + 1) % n]
    length = hypot(x1 - x0, y1 - y0)
    if end > length + 0.5:
        yield (
            f"{what} runs from {whole_mm(start):,} to {whole_mm(end):,} mm along edge {edge}, "
            f"which is only {whole_mm(length):,} mm long. Correct its place or its width."
        )


def _doors_that_share(room: Room) -> Iterator[str]:
    for i, a in enumerate(room.doors):
        for b in room.doors[i + 1 :]:
            over = min(a.from_mm + a.clear_mm, b.from_mm + b.clear_mm) - max(a.from_mm, b.from_mm)
            if a.edge == b.edge and over > 0.5:
                yield f'Doors "{a.id}" and "{b.id}" share {whole_mm(over):,} mm of edge {a.edge}. Move one of them.'


def _area_faults(room: Room) -> Iterator[str]:
    areas = [(f'Fixture "{f.id}"', f.area_mm) for f in room.fixtures]
    areas += [(f'Keep-free area "{k.id}"', k.area_mm) for k in room.keep_free]
    areas += [(f'Slope "{s.name}"', s.area_mm) for s in room.ceiling.slopes]
    areas += [(f'Beam "{b.name}"', b.area_mm) for b in room.ceiling.beams]
    areas += [(f'The floor beyond door "{d.id}"', d.beyond_mm) for d in room.doors if d.beyond_mm]
    for what, points in areas:
        fault = outline_fault(points, what)
        if fault:
            yield fault
    bands = [(f.id, f.from_mm, f.to_mm) for f in room.fixtures] + [(k.id, k.from_mm, k.to_mm) for k in room.keep_free]
    for name, bottom, top in bands:
        if top <= bottom:
            yield f'"{name}": its top ({top:g}) is not above its bottom ({bottom:g}). Correct them.'


def _slope_faults(room: Room) -> Iterator[str]:
    for slope in room.ceiling.slopes:
        (x0, y0, _), (x1, y1, _), (x2, y2, _) = slope.through_mm
        across = abs((x1 - x0) * (y2 - y0) - (x2 - x0) * (y1 - y0))
        longest = max(hypot(x1 - x0, y1 - y0), hypot(x2 - x0, y2 - y0), hypot(x2 - x1, y2 - y1))
        if across < longest:
            yield (
                f'Slope "{slope.name}": its three points lie in one line seen from above, so they fix no plane. '
                "Measure a third height to one side."
            )


def kinds_fault(kinds: Iterable[Kit]) -> str | None:
    """What is wrong with own kinds of kit by themselves, in a sentence, or None."""
    return next(_kit_faults(kinds), None)


def _kit_faults(kinds: Iterable[Kit]) -> Iterator[str]:
    seen: set[str] = set()
    for kit in kinds:
        if kit.key in seen:
            yield f'Kit "{kit.key}" is described twice in the file. Keep one.'
        if kit.key in shelf():
            yield f'Kit "{kit.key}" is on the shelf already. Give the file\'s own kind another key.'
        if kit.plan.outline_mm is not None:
            fault = outline_fault(kit.plan.outline_mm, f'The plan of kit "{kit.key}"')
            if fault:
                yield fault
        yield from _band_faults(kit, f'Kit "{kit.key}"')
        yield from _told_faults(kit)
        seen.add(kit.key)


def _told_faults(kit: Kit) -> Iterator[str]:
    """A basis told of a figure that the kind has not got."""
    parts = part_figures(kit.model_dump()) if kit.figures else {}
    for told in kit.figures:
        if not may_change(told.figure) or (is_part_figure(told.figure) and told.figure not in parts):
            yield f'Kit "{kit.key}": {shown(told.figure)} is not a figure of it. Take it out of its figures.'


def _band_faults(kit: Kit, what: str) -> Iterator[str]:
    """Bands whose top is not above their bottom, or whose right is not to the right of their left."""
    level = ("above", "below")
    bands = [(f"the space {part.side}", part.from_mm, part.to_mm) for part in kit.space if part.side not in level]
    bands += [(f"the {part.what}", part.from_mm, part.to_mm) for part in kit.sticks_out if part.side not in level]
    bands += [("the door", leaf.from_mm, leaf.to_mm) for leaf in kit.leaf]
    for name, bottom, top in bands:
        low, high = bottom or 0.0, kit.height_mm if top is None else top
        if high <= low:
            yield f"{what}: {name} goes from {low:,g} up to {high:,g}, which is not above it. Correct its heights."
    for item in kit.sticks_out:
        for low, high in (span for span in (item.across_mm, item.along_mm) if span is not None):
            if high <= low:
                yield f"{what}: the {item.what} goes from {low:,g} to {high:,g}. Write the smaller figure first."


def _shelf_kit(piece: Piece) -> Kit:
    try:
        return find_kit(piece.kit)
    except UnknownKit as error:
        raise UnknownKit(f'Piece "{piece.id}": {error}') from None


def _piece_faults(room: Room, piece: Piece, kit: Kit) -> Iterator[str]:
    for name, change in piece.changes.items():
        if not may_change(name):
            yield f'Piece "{piece.id}": {shown(name)} is not a figure that a piece may change. Take it out.'
        if is_part_figure(name) and name not in part_figures(kit.model_dump()):
            yield f'Piece "{piece.id}": {kit.name} has no {shown(part_words(name))} to change. Take it out.'
        if name in ("width_mm", "depth_mm") and kit.plan.box_mm is None:
            yield f'Piece "{piece.id}": {kit.name} has no {name} of its own to change; it is not a box.'
        if name == "round_mm" and kit.plan.round_mm is None:
            yield f'Piece "{piece.id}": {kit.name} is not round, so round_mm cannot change.'
        if name in ("width_mm", "depth_mm", "round_mm", "height_mm") and change.value < SMALLEST_MM:
            yield f'Piece "{piece.id}": {name} should be more than 0, {SMALLEST_MM:g} mm at least.'
    yield from _changed_faults(piece, kit)
    xs, ys = zip(*room.outline_mm, strict=True)
    x, y = piece.at_mm
    off = max(min(xs) - x, x - max(xs), min(ys) - y, y - max(ys))
    if off > FARTHEST_FROM_ROOM_MM:
        yield (
            f'Piece "{piece.id}" stands at {_at(piece.at_mm)}, {off / 1000:,.0f} m outside the room. '
            "Lengths are in millimetres: correct its place."
        )


def _changed_faults(piece: Piece, kit: Kit) -> Iterator[str]:
    if piece.changes:
        try:
            yield from _band_faults(changed(kit, piece.changes), f'Piece "{piece.id}", with its own figures')
        except ValidationError:
            yield f'Piece "{piece.id}": {kit.name} cannot be made to its own figures. Correct its changes.'


def _outside_faults(room: Room) -> Iterator[str]:
    n = len(room.outline_mm)
    for flue in room.flues:
        yield from _off_wall(room, f'Flue "{flue.id}"', flue.edge, flue.along_mm, flue.along_mm)
        if not DEEPEST_FLUE_MM <= flue.level_mm <= HIGHEST_FLUE_MM:
            yield (
                f'Flue "{flue.id}" ends at {flue.level_mm:,g} mm: a terminal is between the floor and '
                f"{HIGHEST_FLUE_MM:,g} mm above it. Correct its level."
            )
        if room.piece(flue.piece) is None:
            yield f'Flue "{flue.id}" is that of piece "{flue.piece}", which is not in the room. Correct it.'
    for thing in room.outside:
        if thing.edge >= n:
            yield f'"{thing.id}" is outside edge {thing.edge}; the outline has edges 0 to {n - 1}. Correct it.'
        for low, high, what in ((thing.from_mm, thing.to_mm, "along"), (thing.low_mm, thing.high_mm, "up")):
            if high < low:
                yield f'"{thing.id}" goes from {low:,g} to {high:,g} {what}. Write the smaller figure first.'


def _air_and_heating_faults(room: Room) -> Iterator[str]:
    ceiling_mm, system_l = room.ceiling.height_mm, room.heating.system_l
    for vent in room.vents:
        if vent.level_mm < 0:
            yield f'Vent "{vent.id}" is at {vent.level_mm:,g} mm, which is below the floor. Correct its level.'
        if ceiling_mm is not None and vent.level_mm > ceiling_mm:
            yield f'Vent "{vent.id}" is at {vent.level_mm:,g} mm; the ceiling is at {ceiling_mm:,g} mm. Correct one.'
    kits = [(f'Kit "{kit.key}"', kit.input_kw) for kit in room.kit]
    own = [(f'Piece "{p.id}"', p.changes["input_kw"].value) for p in room.pieces if "input_kw" in p.changes]
    for what, input_kw in (*kits, *own):
        if input_kw is not None and input_kw < LEAST_INPUT_KW:
            yield f"{what}: a heat input of {input_kw:g} kW is none; {LEAST_INPUT_KW:g} kW is the least. Correct it."
    if system_l is not None and system_l < LEAST_SYSTEM_L:
        yield f"Heating: a system of {system_l:g} litres is none; {LEAST_SYSTEM_L:g} litre is the least. Correct it."


def _override_faults(room: Room) -> Iterator[str]:
    pack, seen = rule_pack(room.rules), set()
    for own in room.overrides:
        fault = pack.override_fault(own)
        if fault:
            yield fault
        if own.key in seen:
            yield f'Overrides: "{own.key}" is given twice. Keep one.'
        seen.add(own.key)
