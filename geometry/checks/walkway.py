"""The widest person that can walk from a door to each working place, and the headroom on the way.

Somebody works square to the front of a piece: the width of the person and that of the front lie one within the other,
near enough for an arm. A person is a disc of the walkway's width and headroom high, who steps over what is low. Where
that width does not get through, the narrowest place of the widest way is told, with the two things that make it, once
for all the pieces beyond it. What can be moved there is named as what to move first. A door that opens into the room
and sweeps a working place is pointed out.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> front = [{"side": "front", "mm": 400, "why": "somebody kneels here"}]
>>> pump, tank = box_kit("pump", 400, 300, space=front), box_kit("tank", 600, 1330)
>>> door = {"id": "d1", "edge": 0, "from_mm": 1500, "clear_mm": 800}
>>> room = sample_scene([pump, tank], [piece(pump, 300, 300, 180), piece(tank, 1200, 665)], doors=[door])
>>> [f.message for f in find(room)]
['The way to the pump narrows to 470 mm between the back wall and the tank; 600 mm is needed to walk there.']
"""

from collections.abc import Iterator, Sequence

from geometry.check import TIGHT, Check, Finding, Verdict, Where, mm, mm_left
from geometry.clearing import Met, first_met, side_probe
from geometry.doorless import without_a_door
from geometry.doors import HungLeaf, hung_leaves, opened
from geometry.gates import Gate, gates_to, straight_to
from geometry.pinches import Pinch
from geometry.rules import rule_pack
from geometry.scene import Placed, Scene
from geometry.shapes import Footprint, disc, overlap_mm, swept
from geometry.units import DEPTH_TOLERANCE_MM
from geometry.ways import doorway_of
from geometry.words import listed, named, obstacle, start, the

ID = "walkway"
_NAMED_AT_MOST = 3


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """Ways that are narrow or low, each told once; each piece that can be walked to; doors that sweep."""
    about = [placed for placed in scene.placed if _front_mm(placed) and (only is None or placed.id in only)]
    if about and not scene.room.doors:
        yield without_a_door(ID, "on the way to the kit", [placed.id for placed in about] if only else None)
        return
    gates: dict[tuple[object, ...], list[Gate]] = {}
    for placed, straight in zip(about, straight_to(scene, about), strict=True):
        found = [] if straight else list(gates_to(scene, placed))
        if not found:
            yield _free(scene, placed)
        for gate in found:
            own = placed.id if _is_shut(scene, gate.pinch) and _shut_by(scene, placed) else ""
            gates.setdefault((*gate.key, own), []).append(gate)
    for some in gates.values():
        yield _TOLD[some[0].kind](scene, some)
    if about:
        yield from _ceiling_unknown(scene, about if only else [])
        yield from _swept_places(scene, about)


def _front_mm(placed: Placed) -> float:
    """How much room somebody needs in front of a piece; 0 where nobody works there."""
    return max((space.mm for space in placed.kit.space if space.side == "front"), default=0.0)


def _working_mm(placed: Placed) -> float:
    """How much room somebody who works on a piece must have; what only should be free is for whoever uses it."""
    fronts = (space for space in placed.kit.space if space.side == "front" and space.need == "must")
    return max((space.mm for space in fronts), default=0.0)


def _free(scene: Scene, placed: Placed) -> Finding:
    good = scene.pack.number("walkway-width")
    text = f"A person {mm(good)} wide can walk to {the(placed.name)}."
    return Finding(ID, "no-fault", text, (placed.id,), needed=good, source=scene.pack.source("walkway-width"))


def _narrow(scene: Scene, some: list[Gate]) -> Finding:
    gate, good = _narrowest(some), scene.pack.number("walkway-width")
    width, pieces, first = gate.width_mm, tuple(one.piece for one in some), some[0].first
    least = scene.pack.number("walkway-least")
    held = any(placed and not placed.movable for placed in map(scene.piece, pieces))
    verdict: Verdict = "put-right" if width < least - DEPTH_TOLERANCE_MM and held and not first else "look-again"
    where, against = _where_it_is(scene, gate)
    enough = width >= good - DEPTH_TOLERANCE_MM
    text = f"The way to {_names(scene, pieces)} narrows to {mm(width) if enough else mm_left(width, good)} {where}; "
    text += TIGHT[:1].lower() + TIGHT[1:] if enough else f"{mm(good)} is needed to walk there."
    title = f"The way to {_names(scene, pieces)} is narrow"
    if _is_shut(scene, gate):
        title, text, against = _shut(scene, pieces, where, against)
    return Finding(
        ID, verdict, text + _move(scene, first), pieces,
        first or against, topic="move-first" if first else "", title=title,
        needed=good, found=width, short=0.0 if enough else good - width,
        source=scene.pack.source("walkway-least" if width < least else "walkway-width"),
        where=Where(disc(gate.at, max(width, 1.0) / 2), 0.0, scene.pack.number("walkway-headroom")),
    )  # fmt: skip


def _is_shut(scene: Scene, gate: Pinch) -> bool:
    """Whether nobody at all gets through: not even a hand."""
    return gate.width_mm < scene.pack.number("hand-width")


def _shut(
    scene: Scene, pieces: tuple[str, ...], where: str, against: tuple[str, ...]
) -> tuple[str, str, tuple[str, ...]]:
    """Title, sentence and what is in the way, where nobody gets to something."""
    names, placed = _names(scene, pieces), scene.piece(pieces[0])
    met = _shut_by(scene, placed) if placed and len(pieces) == 1 else None
    if met is None:
        why = f"the way closes {where}" if against else "no floor in front is free"
        return f"The way to {names} is narrow", f"Nobody can get to {names}: {why}.", against
    by = named(scene, met.owner)
    if met.owner.startswith("edge:"):
        text = f"{start(names)} faces {by} with {mm(met.found_mm)} in front of it: turn it round."
        return f"{start(names)} faces {by}", text, (met.owner,)
    text = f"There is nowhere to stand in front of {names}: {by} is over that place."
    return f"Nowhere to stand in front of {names}", text, (met.owner,)


def _shut_by(scene: Scene, placed: Placed) -> Met | None:
    """The wall, fixture or piece so near in front of a piece that nobody fits between."""
    low, high = scene.pack.number("step-over"), scene.pack.number("walkway-headroom")
    ((fixed, loose),) = first_met(scene, [side_probe(placed, "front", low - placed.base_mm, high - placed.base_mm)])
    met = loose or fixed
    if met is None or met.found_mm >= scene.pack.number("walkway-least"):
        return None
    fixtures = (block.id for block in scene.room.fixtures)
    return met if met.owner.startswith("edge:") or scene.piece(met.owner) or met.owner in fixtures else None


def _narrowest(some: list[Gate]) -> Pinch:
    return min((one.pinch for one in some), key=lambda pinch: (pinch.width_mm, pinch.at))


def _where_it_is(scene: Scene, gate: Pinch) -> tuple[str, tuple[str, ...]]:
    """Where a gate is, in words, and the ids of what makes it."""
    door = doorway_of(scene, gate.at)
    if door and all(ref.startswith("edge:") or ref == door for ref in gate.between):
        return f"in door {door}", (door,)
    things = tuple(dict.fromkeys(ref for ref in gate.between if ref))
    if len(things) == 1:
        return f"at {obstacle(scene, things[0])}", things
    return f"between {listed(obstacle(scene, ref) for ref in things)}", things


def _names(scene: Scene, pieces: tuple[str, ...]) -> str:
    """What the way leads to, by name while there are few."""
    names = [the(scene.names[piece]) for piece in pieces]
    if len(names) <= _NAMED_AT_MOST:
        return listed(names)
    return f"{names[0]} and {len(names) - 1} other pieces"


def _move(scene: Scene, first: tuple[str, ...]) -> str:
    if not first:
        return ""
    names = listed(named(scene, ref) for ref in first)
    return f" {start(names)} can be moved: move {'it' if len(first) == 1 else 'them'} first."


def _low(scene: Scene, some: list[Gate]) -> Finding:
    """A way on which a person has to bend down. No British figure: look again."""
    gate, needed = _narrowest(some), scene.pack.number("walkway-headroom")
    pieces, found = tuple(one.piece for one in some), gate.width_mm
    roof = tuple(ref for ref in dict.fromkeys(gate.between) if ref)
    at_door = bool(roof) and all(any(door.id == ref for door in scene.room.doors) for ref in roof)
    under = f" {'in' if at_door else 'under'} {listed(named(scene, ref) for ref in roof)}" if roof else ""
    return Finding(
        ID, "look-again",
        f"The way to {_names(scene, pieces)} has {mm_left(found, needed)} of headroom{under}; {mm(needed)} is wanted.",
        pieces, roof, topic="headroom", title=f"The way to {_names(scene, pieces)} is low", needed=needed, found=found,
        short=needed - found, source=scene.pack.source("walkway-headroom"),
        where=Where(disc(gate.at, scene.pack.number("walkway-least") / 2), found, needed),
    )  # fmt: skip


def _aside(scene: Scene, some: list[Gate]) -> Finding:
    """Nobody stands square to it, and an arm reaches its front from beside it: look again."""
    gate, needed = _narrowest(some), scene.pack.number("walkway-least")
    pieces = tuple(one.piece for one in some)
    where, against = _where_it_is(scene, gate)
    it = "it" if len(pieces) == 1 else "them"
    return Finding(
        ID, "look-again",
        f"Nobody stands or kneels square to {_names(scene, pieces)}: {mm_left(gate.width_mm, needed)} is free {where}, "
        f"{mm(needed)} is wanted. An arm reaches in from beside {it}.",
        pieces, against, topic="aside", title=f"No room to stand square to {_names(scene, pieces)}", needed=needed,
        found=gate.width_mm, short=needed - gate.width_mm, source=scene.pack.source("walkway-least"),
        where=Where(disc(gate.at, max(gate.width_mm, 1.0) / 2), 0.0, scene.pack.number("walkway-headroom")),
    )  # fmt: skip


def _ceiling_unknown(scene: Scene, asked: list[Placed]) -> Iterator[Finding]:
    if scene.roof.known_over(scene.floor):
        return
    yield Finding(
        ID, "not-checked", "The ceiling is not measured: nothing was checked about the headroom on the way to the kit.",
        tuple(placed.id for placed in asked), ("ceiling",), topic="headroom",
        needed=scene.pack.number("walkway-headroom"),
        source=scene.pack.source("walkway-headroom"), question="How high is the ceiling, at its lowest on the way in?",
    )  # fmt: skip


def _swept_places(scene: Scene, about: list[Placed]) -> Iterator[Finding]:
    """Leaves of doors that open into the room, through places where somebody works, as far as they open."""
    inward = {door.id for door in scene.room.doors if door.leaf.opens == "in"}
    for one in opened(scene, [leaf for leaf in hung_leaves(scene) if leaf.owner in inward]):
        leaf, angle = one.leaf, min(one.deg, one.leaf.needed_deg)
        if angle > 0:
            shape = leaf.swept(angle)
            met = {p.id: depth for p in about if (depth := _depth(shape, leaf, p)) > DEPTH_TOLERANCE_MM}
            if met:
                yield _sweeps(scene, leaf, shape, met)


def _depth(shape: Footprint, leaf: HungLeaf, placed: Placed) -> float:
    """How deep a leaf's sweep goes into the place in front of a piece, where the two share height."""
    if min(leaf.to_mm, placed.top_mm) <= max(leaf.from_mm, placed.base_mm):
        return 0.0
    out, deep = placed.direction("front"), _working_mm(placed)
    if not deep:
        return 0.0
    near = [part for part in placed.body if _may_meet(shape, part, out, deep)]
    return max((overlap_mm(shape, swept(part, out, deep)) for part in near), default=0.0)


def _may_meet(shape: Footprint, part: Footprint, out: Sequence[float], deep: float) -> bool:
    """Whether the bounds of a shape meet those of a part that slides so far out: soon asked, of every piece."""
    (a0, b0, a1, b1), (x0, y0, x1, y1), dx, dy = shape.bounds, part.bounds, out[0] * deep, out[1] * deep
    return a0 < x1 + max(dx, 0) and a1 > x0 + min(dx, 0) and b0 < y1 + max(dy, 0) and b1 > y0 + min(dy, 0)


def _sweeps(scene: Scene, leaf: HungLeaf, shape: Footprint, met: dict[str, float]) -> Finding:
    pieces, deepest = tuple(met), max(met.values())
    return Finding(
        ID, "look-again",
        f"{start(leaf.label)} opens {mm(deepest)} into the place where somebody works on {_names(scene, pieces)}: "
        "keep it open, or let it open outwards.",
        pieces, (leaf.owner,), topic=" ".join(filter(None, ("leaf", leaf.topic))), found=deepest,
        title=f"{start(leaf.label.strip(','))} sweeps a working place", where=Where(shape, leaf.from_mm, leaf.to_mm),
        reason="Whoever kneels in front of the kit does not see who opens the door.",
    )  # fmt: skip


_TOLD = {"narrow": _narrow, "low": _low, "aside": _aside}

CHECK = Check(
    id=ID,
    title="Every working place can be walked to",
    failing_title="The way to a working place is narrow",
    reason="A person with a tool bag has to get there, and back out in a hurry.",
    source=rule_pack("england").source("walkway-width"),
    find=find,
    slow=True,
)
