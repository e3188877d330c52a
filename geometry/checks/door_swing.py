"""How far each door opens, what stops it, and how much of its opening is left.

Doors of the room and doors of pieces. The angle is exact: where the leaf's face first meets a corner, an edge or a
round side of something as tall as the leaf, or a slope or beam lower than its top. Two leaves whose sweeps cross are
looked at again, and so is a leaf stopped by something that can be moved. A sliding leaf needs wall beside the opening;
what stands outside a door that opens outwards has to be measured.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> boiler = box_kit("boiler", 600, 620, 860, name="Oil boiler")
>>> door = {"id": "d1", "edge": 3, "from_mm": 540, "clear_mm": 760,
...         "leaf": {"width_mm": 826, "hinge": "start", "opens": "in"}}
>>> room = {"outline_mm": [[0, 0], [3000, 0], [3000, 1700], [0, 1700]], "doors": [door]}
>>> [f.message for f in find(sample_scene([boiler], [piece(boiler, 450, 1390)], **room))]
['Door d1 opens only 61 degrees; the oil boiler stops it (needed 90). 340 mm of its 760 mm opening is left.']
"""

from collections.abc import Iterator
from itertools import combinations
from math import acos, atan2, degrees, hypot

from geometry.arcs import deg_text
from geometry.check import TIGHT, Check, Finding, Verdict, Where, area, judge, mm
from geometry.doors import (
    LEAF_OVER_OPENING,
    Contact,
    HungLeaf,
    Opened,
    hung_leaves,
    leaf_width_mm,
    meeting_angles,
    opened,
)
from geometry.room import Door
from geometry.rules import Source
from geometry.saved import Basis
from geometry.scene import Scene, bounds_of
from geometry.shapes import Footprint
from geometry.sliding import slide_mm
from geometry.walls import slot
from geometry.words import obstacle, start

ID = "door-swing"


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each leaf, more where something movable stops it or two leaves meet."""
    every = opened(scene, list(hung_leaves(scene)))
    doors = {door.id: door for door in scene.room.doors}
    for one in every:
        if only is None or one.leaf.owner in only:
            yield from _judged(scene, one, doors.get(one.leaf.owner))
    for a, b in combinations(every, 2):
        if only is None or not only.isdisjoint({a.leaf.owner, b.leaf.owner}):
            yield from _two_leaves(a, b)
    for door in scene.room.doors:
        if only is None or door.id in only:
            yield from _of_the_door(scene, door)


def _judged(scene: Scene, one: Opened, door: Door | None) -> Iterator[Finding]:
    leaf, needed = one.leaf, one.leaf.needed_deg
    verdict = judge(one.deg - needed, _allowance(leaf, one.fixed, scene.room.tolerance_mm))
    if verdict != "put-right" and door and door.leaf.opens == "out" and door.beyond_mm is None:
        if leaf.topic != "left leaf":  # one question for the two of a double door
            yield _outside_unknown(leaf)
        return
    taken = one.loose if one.loose and one.loose.angle_deg < needed - 1e-6 else None
    if verdict != "no-fault" or not taken:
        yield _finding(scene, one, verdict)
    if taken:
        yield _move_first(scene, leaf, taken)


def _allowance(leaf: HungLeaf, met: Contact | None, tolerance_mm: float) -> float:
    """The survey tolerance as an angle: seen from the hinge, at the point of contact."""
    if met is None:
        return 0.0
    return degrees(atan2(tolerance_mm, hypot(met.at[0] - leaf.hinge[0], met.at[1] - leaf.hinge[1])))


def _finding(scene: Scene, one: Opened, verdict: Verdict) -> Finding:
    leaf, met, needed = one.leaf, one.fixed, one.leaf.needed_deg
    text = _says(scene, leaf, met, one.deg, verdict)
    return Finding(
        ID, verdict, text, (leaf.owner,), (met.owner,) if met and verdict != "no-fault" else (),
        _side(leaf), topic=leaf.topic, title=_title(leaf, verdict), needed=needed, found=one.deg,
        short=max(0.0, needed - one.deg), unit="deg", basis=_basis(scene, leaf), reason=_reason(leaf),
        where=_where(leaf, min(one.deg, needed), met),
    )  # fmt: skip


def _says(scene: Scene, leaf: HungLeaf, met: Contact | None, found: float, verdict: Verdict) -> str:
    needed = deg_text(leaf.needed_deg)
    if verdict == "put-right" and met:
        opens = f"opens only {deg_text(found)} degrees" if found >= 0.1 else "cannot open at all"
        text = f"{start(leaf.label)} {opens}; {obstacle(scene, met.owner)} stops it (needed {needed})."
    elif met:
        opens = f"opens {deg_text(found)} degrees, as far as {obstacle(scene, met.owner)}"
        text = f"{start(leaf.label)} {opens} (needed {needed})."
    else:
        text = f"{start(leaf.label)} opens {deg_text(found)} degrees (needed {needed})."
    left = leaf.left_mm(min(found, leaf.needed_deg))
    if left is not None and leaf.opening_mm is not None:
        whole = "half of the opening" if leaf.topic else "opening"
        text += f" {mm(left)} of its {mm(leaf.opening_mm)} {whole} is left."
    return text + (f" {TIGHT}" if verdict == "look-again" else "")


def _move_first(scene: Scene, leaf: HungLeaf, met: Contact) -> Finding:
    name, found = obstacle(scene, met.owner), met.angle_deg
    opens = f"opens only {deg_text(found)} degrees" if found >= 0.1 else "cannot open at all"
    text = f"{start(leaf.label)} {opens}; {name} stops it (needed {deg_text(leaf.needed_deg)})."
    return Finding(
        ID, "look-again", f"{text} It can be moved: move {name} first.", (leaf.owner,), (met.owner,), _side(leaf),
        topic=f"{leaf.topic}, move-first" if leaf.topic else "move-first",
        title=f"{start(leaf.label)}: move something before it opens", needed=leaf.needed_deg, found=found,
        short=leaf.needed_deg - found, unit="deg", basis=_basis(scene, leaf), reason=_reason(leaf),
        where=_where(leaf, found, met),
    )  # fmt: skip


def _outside_unknown(leaf: HungLeaf) -> Finding:
    return Finding(
        ID, "not-checked", f"Door {leaf.owner} opens outwards, and what stands there is not measured.",
        (leaf.owner,), needed=leaf.needed_deg, unit="deg", where=_where(leaf, leaf.needed_deg, None),
        question=f"What stands within {mm(leaf.reach_mm)} of door {leaf.owner}, on the side it opens to?",
    )  # fmt: skip


def _two_leaves(a: Opened, b: Opened) -> Iterator[Finding]:
    low, high = max(a.leaf.from_mm, b.leaf.from_mm), min(a.leaf.to_mm, b.leaf.to_mm)
    if a.leaf.owner == b.leaf.owner or high <= low or not _bounds_meet(a.leaf, b.leaf):
        return
    angles = meeting_angles(a, b)
    if angles is None:
        return
    one, other = a.leaf.label.strip(","), b.leaf.label.strip(",")
    shapes = tuple(x.leaf.swept(min(x.deg, x.leaf.needed_deg)) for x in (a, b))
    yield Finding(
        ID, "look-again",
        f"{start(one)} and {other} can meet: they keep clear while {_within(one, angles[0])}, "
        f"or {_within(other, angles[1])}.",
        (a.leaf.owner, b.leaf.owner), topic=" ".join(filter(None, ("two leaves", a.leaf.topic, b.leaf.topic))),
        title="Two leaves can meet", needed=a.leaf.needed_deg, found=angles[0],
        short=max(0.0, a.leaf.needed_deg - angles[0]), unit="deg", where=Where((shapes[0], shapes[1]), low, high),
        reason="Two leaves that cross each other's way knock, and only one of them can stand open.",
    )  # fmt: skip


def _within(label: str, angle_deg: float) -> str:
    return f"{label} stands at {deg_text(angle_deg)} degrees or less" if angle_deg >= 0.1 else f"{label} is shut"


def _bounds_meet(a: HungLeaf, b: HungLeaf) -> bool:
    p, q = a.bounds, b.bounds
    return all(p[i] < q[i + 3] and q[i] < p[i + 3] for i in range(2))


def _of_the_door(scene: Scene, door: Door) -> Iterator[Finding]:
    if door.leaf.kind == "sliding":
        yield _sliding(scene, door)
    over = 2 * leaf_width_mm(door) - door.clear_mm - scene.pack.number("door-frame-of-double")
    if door.leaf.kind == "double" and over > 0:
        width = leaf_width_mm(door)
        until = degrees(acos(door.clear_mm / (2 * width)))
        yield Finding(
            ID, "look-again",
            f"The two leaves of door {door.id} meet until both stand at {deg_text(until)} degrees: each is {mm(width)} "
            f"wide over an opening of {mm(door.clear_mm)}. Measure one leaf.",
            (door.id,), topic="two leaves", title=f"Door {door.id}: its two leaves are wider than its opening",
            found=until, unit="deg", where=_doorway(scene, door),
        )  # fmt: skip


def _sliding(scene: Scene, door: Door) -> Finding:
    """Wall free beside the opening, at the hinge end, for the whole leaf."""
    width = leaf_width_mm(door)
    met, found = _beside(scene, door, width)
    question = f"Along which side of the wall does door {door.id} slide, or does it go into the wall?"
    text = f"Door {door.id} slides: its leaf needs {mm(width)} of free wall beside the opening"
    where = _doorway(scene, door)
    if door.leaf.opens == "out" and door.beyond_mm is None:
        return Finding(
            ID, "not-checked", f"{text}, and the other side of the wall is not measured.", (door.id,), needed=width,
            question=question, where=where,
        )  # fmt: skip
    verdict = judge(found - width, scene.room.tolerance_mm) if met else "no-fault"
    if verdict == "put-right":
        return Finding(
            ID, "not-checked", f"{text}; {obstacle(scene, met)} leaves {mm(found)}.", (door.id,), (met,), needed=width,
            found=found, short=width - found, question=question, where=where,
        )  # fmt: skip
    rest = (
        f"{mm(found)} is there." + (f" {TIGHT}" if verdict == "look-again" else "") if met else "nothing is in its way."
    )
    return Finding(
        ID, verdict, f"{text}; {rest}", (door.id,), (met,) if verdict == "look-again" else (), needed=width,
        found=found if met else None, short=0.0 if met else None, where=where,
        title=f"Door {door.id} only just slides open" if verdict == "look-again" else "",
    )  # fmt: skip


def _beside(scene: Scene, door: Door, width: float) -> tuple[str, float]:
    """What a sliding leaf meets first beside the opening ("": nothing), and how far away."""
    edge, leaf = scene.edges[door.edge], door.leaf
    face, out = (0.0, leaf.thick_mm) if leaf.opens == "in" else (-edge.thick_mm, -edge.thick_mm - leaf.thick_mm)
    a, b = door.from_mm, door.from_mm + door.clear_mm
    sign = -1.0 if leaf.hinge == "start" else 1.0
    shut = Footprint(tuple(edge.at(s, t) for s, t in ((a, face), (b, face), (b, out), (a, out))))
    way = (sign * edge.along[0], sign * edge.along[1])
    reach = width + scene.room.tolerance_mm + 1
    far = Footprint((*shut.points, *((x + way[0] * reach, y + way[1] * reach) for x, y in shut.points)))
    best = ("", width)
    for solid in scene.near([bounds_of(far, door.sill_mm, door.head_mm)])[0]:
        gap = slide_mm(shut, solid.plan, way)
        if gap is not None and (not best[0] or (gap, solid.owner) < (best[1], best[0])):
            best = (solid.owner, gap)
    return best


def _doorway(scene: Scene, door: Door) -> Where:
    return Where(slot(scene.room, door), door.sill_mm, door.head_mm)


def _side(leaf: HungLeaf) -> str | None:
    return "front" if leaf.opening_mm is None else None


def _basis(scene: Scene, leaf: HungLeaf) -> Basis | None:
    placed = scene.piece(leaf.owner) if leaf.opening_mm is None else None
    return placed.kit.basis if placed else "typical" if leaf.guessed else None


def _title(leaf: HungLeaf, verdict: Verdict) -> str:
    label = start(leaf.label.strip(","))
    if verdict == "put-right":
        return f"{label} does not open far enough"
    return f"{label} only just opens far enough" if verdict == "look-again" else ""


def _reason(leaf: HungLeaf) -> str:
    if not leaf.guessed:
        return ""
    return (
        f"{CHECK.reason} Its leaf is not measured: {mm(leaf.width_mm)} is taken, "
        f"{'half of ' if leaf.topic else ''}the opening and {mm(LEAF_OVER_OPENING.value)} (common practice)."
    )


def _where(leaf: HungLeaf, angle_deg: float, met: Contact | None) -> Where:
    """What the leaf sweeps up to an angle, and a line from the hinge to what stops it."""
    shape = leaf.swept(angle_deg) if angle_deg >= 1 else Footprint(leaf.standing(0.0)[0])
    z = (leaf.from_mm + leaf.to_mm) / 2
    line = ((*leaf.hinge, z), (*met.at, z)) if met else ()
    return Where(area(shape), leaf.from_mm, leaf.to_mm, line)


CHECK = Check(
    id=ID,
    title="Every door opens as far as it has to",
    failing_title="A door does not open far enough",
    reason="A door that stops half way narrows the only way in and out, for people and for kit.",
    source=Source(
        "Plain geometry of the leaf; 90 degrees unless the room file says otherwise", "largest opening angle", "",
        "common practice",
    ),
    find=find,
)  # fmt: skip
