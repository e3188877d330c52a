"""Whether each piece can leave the room: from its place, through a door and to the floor beyond, turning included.

Pieces that stand on the floor, and hung ones too heavy to lift over others, are carried upright at the height they
need (their own, and what the truck lifts them); everything that reaches into that height is in the way, soffits,
beams and door heads included. A round piece is answered to half a millimetre; any other from both sides, with "too
close to call" between. A body that is not convex is carried as its convex hull. Movable pieces are taken away only if
that helps, and are then named as what to move first.

>>> from geometry.samples import piece, round_kit, sample_scene
>>> cylinder = round_kit("cylinder", 550, 1500, dry_kg=47)
>>> door = {"id": "d1", "edge": 0, "from_mm": 900, "clear_mm": 540}
>>> [f.message for f in find(sample_scene([cylinder], [piece(cylinder, 1200, 1400)], doors=[door]))]
['Cylinder is trapped: it needs 550 mm and 540 mm is there in door d1.']
"""

from collections.abc import Iterator

from geometry.carrying import attempt, gate_of, is_carried, load_of, standing_in, with_spare
from geometry.check import TIGHT, Check, Finding, Where, mm, mm_left
from geometry.doorless import without_a_door
from geometry.moving_first import First, moved_first
from geometry.rules import Source
from geometry.scene import Placed, Scene
from geometry.shapes import disc
from geometry.trapped import Cause, cause_of, leaned
from geometry.units import DEPTH_TOLERANCE_MM
from geometry.ways import doorway_of
from geometry.words import listed, named, obstacle, start, the

ID = "way-out"
_NONE = frozenset[str]()


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each piece that has to be carried out."""
    asked = [placed for placed in scene.placed if only is None or placed.id in only]
    about = [placed for placed in asked if is_carried(scene, placed)]
    if about and not scene.room.doors:
        yield without_a_door(ID, "on the way out", [placed.id for placed in about] if only else None)
        return
    told: set[tuple[str, ...]] = set()
    for placed in asked:
        if is_carried(scene, placed):
            finding = _judged(scene, placed)
            if finding.key not in told:
                yield finding
            told.add(finding.key)
        elif placed.kit.dry_kg is None:
            yield _weight_unknown(scene, placed)


def _judged(scene: Scene, placed: Placed) -> Finding:
    others = standing_in(scene, placed, _NONE)
    if others:
        return _shares_its_place(scene, placed, others)
    answer = attempt(scene, placed)
    if answer == "out":
        return _out(scene, placed)
    first = moved_first(scene, placed)
    if first:
        return _move_first(scene, placed, first)
    if answer == "too-close":
        as_hull = load_of(placed, scene.pack).carried.part
        hull = " It was carried as its hull: its own shape may do better." if as_hull else ""
        return Finding(
            ID, "look-again",
            f"{_name(placed)} is too close to call on its way out: it may turn there, or stick. Measure the way again."
            + hull,
            (placed.id,), topic="too-close", title=f"{_name(placed)}: the way out is too close to call",
            basis=placed.kit.basis,
        )  # fmt: skip
    return _trapped(scene, placed, cause_of(scene, placed))


def _name(placed: Placed) -> str:
    return start(placed.name)


def _out(scene: Scene, placed: Placed) -> Finding:
    """Out, and whether something a survey tolerance wider would get out too."""
    load, spare = load_of(placed, scene.pack), scene.room.tolerance_mm
    text = f"{_name(placed)} can go out upright."
    larger = with_spare(scene, placed, spare)
    if larger is None:
        return Finding(ID, "no-fault", text, (placed.id,), basis=placed.kit.basis)
    gate = gate_of(scene, placed, larger, _NONE, load.width_mm + spare)
    where, against = _where_it_is(scene, gate.at, gate.between) if gate else ("", ())
    found = f" {mm(max(gate.width_mm, load.width_mm))} is there {where}." if gate else ""
    return Finding(
        ID, "look-again", f"{text[:-1]}, but only just: it needs {mm(load.width_mm)}.{found} {TIGHT}", (placed.id,),
        against, needed=load.width_mm, found=gate.width_mm if gate else None, short=0.0, basis=placed.kit.basis,
        title=f"{_name(placed)} only just comes out",
        where=_mark(gate.at, load.width_mm, load.tall_mm) if gate else None,
    )  # fmt: skip


def _move_first(scene: Scene, placed: Placed, first: First) -> Finding:
    names = listed(named(scene, one) for one in first.pieces)
    one = len(first.pieces) == 1
    text = f"{_name(placed)} can go out once {names} {'is' if one else 'are'} moved: move {names} first."
    if first.with_effort:
        text += f" {start(listed(named(scene, ref) for ref in first.with_effort))} moves only with effort."
    if first.stay:
        still = listed(named(scene, ref) for ref in first.stay)
        text += f" {start(still)} cannot leave the room before it: see whether there is room to move aside."
    load = load_of(placed, scene.pack)
    gate = gate_of(scene, placed, load, _NONE, load.width_mm - DEPTH_TOLERANCE_MM)
    if gate:
        text += f" It needs {mm(load.width_mm)}; {mm_left(gate.width_mm, load.width_mm)} is there"
        text += f" {_where_it_is(scene, gate.at, gate.between)[0]}."
    return Finding(
        ID, "look-again", text, (placed.id,), first.pieces, topic="move-first", needed=load.width_mm if gate else None,
        found=gate.width_mm if gate else None, short=load.width_mm - gate.width_mm if gate else None,
        title=f"{_name(placed)}: move something to get it out", basis=placed.kit.basis,
        where=_mark(gate.at, gate.width_mm, load.tall_mm) if gate else None,
    )  # fmt: skip


def _trapped(scene: Scene, placed: Placed, cause: Cause) -> Finding:
    where, against = _where_it_is(scene, cause.at, cause.between)
    needed, found = cause.needed_mm, cause.found_mm
    if cause.kind in ("door-head", "roof", "slide"):
        return _too_tall(scene, placed, cause)
    if cause.kind == "turn":
        text = (
            f"{_name(placed)} is trapped: {mm(needed)} long it cannot be turned {where}; {mm_left(found, needed)} long "
            "it could be."
        )
    else:
        text = f"{_name(placed)} is trapped: it needs {mm(needed)} and {mm_left(found, needed)} is there {where}."
    return Finding(
        ID, "put-right", text, (placed.id,), against, topic="turn" if cause.kind == "turn" else "",
        title=f"{_name(placed)} cannot come out", needed=needed, found=found, short=needed - found,
        basis=placed.kit.basis, where=_mark(cause.at, found, load_of(placed, scene.pack).tall_mm),
    )  # fmt: skip


def _too_tall(scene: Scene, placed: Placed, cause: Cause) -> Finding:
    """Too tall for the doors or for the roof on its way: tipped, laid down or slid it may still go."""
    load, ways = load_of(placed, scene.pack), set(placed.kit.carry.ways) if placed.kit.carry else set()
    by = " and ".join(named(scene, ref) for ref in cause.between)
    text = f"{_name(placed)} is carried {mm(cause.needed_mm)} tall, {mm(load.lift_mm)} of it lift; {by} lets "
    text += f"{mm_left(cause.found_mm, cause.needed_mm)} through."
    lean = leaned(load.height_mm, load.width_mm, cause.found_mm - load.lift_mm) if ways & {"tip", "lie"} else None
    if cause.kind == "slide" or cause.found_mm >= load.height_mm:
        text += " Slid along the floor, not lifted, it goes."
    elif lean:
        text += (
            f" It has to be tipped: leaned back {lean.deg:.0f} degrees it goes under and is {mm(lean.long_mm)} long;"
            f" {mm(lean.diagonal_mm)} of height is needed where it is tipped."
        )
    elif "parts" in ways:
        text += " It has to be taken apart."
    hopeful = cause.kind == "slide" or cause.found_mm >= load.height_mm or lean or "parts" in ways
    return Finding(
        ID, "look-again" if hopeful else "put-right", text, (placed.id,), cause.between, topic="height",
        needed=cause.needed_mm, found=cause.found_mm, short=cause.needed_mm - cause.found_mm, basis=placed.kit.basis,
        title=f"{_name(placed)} is too tall for its way out", where=_mark(cause.at, load.width_mm, load.tall_mm),
    )  # fmt: skip


def _where_it_is(scene: Scene, at: tuple[float, float], between: tuple[str, ...]) -> tuple[str, tuple[str, ...]]:
    """Where a gate is, in words, and the ids of what makes it."""
    things = tuple(dict.fromkeys(ref for ref in between if ref))
    door = doorway_of(scene, at)
    if door and all(ref.startswith("edge:") or ref == door for ref in things):
        return f"in door {door}", (door,)
    if not things:
        return "on its way", ()
    if len(things) == 1:
        return f"at {obstacle(scene, things[0])}", things
    return f"between {listed(obstacle(scene, ref) for ref in things)}", things


def _mark(at: tuple[float, float], width_mm: float, tall_mm: float) -> Where:
    return Where(disc(at, max(width_mm, 1.0) / 2), 0.0, tall_mm)


def _shares_its_place(scene: Scene, placed: Placed, others: list[str]) -> Finding:
    """Told of all that share it: a piece in the same place that has to be carried too has the same finding."""
    names = listed(named(scene, ref) for ref in others)
    carried = [ref for ref in others if (other := scene.piece(ref)) and is_carried(scene, other)]
    together, rest = sorted((placed.id, *carried)), tuple(ref for ref in others if ref not in carried)
    every = listed(named(scene, one) for one in together)
    if carried and not rest:
        text = f"{start(every)} are drawn in the same place: nothing was checked on their way"
        asked = f"Where do {every} stand, one beside the other?"
    else:
        text = f"{_name(placed)} is drawn in the same place as {names}: nothing was checked on its way"
        asked = f"Where does {the(placed.name)} stand beside {names}?"
    return Finding(
        ID, "not-checked", f"{text} out.", tuple(together), rest, topic="overlap", basis=placed.kit.basis,
        question=asked,
    )  # fmt: skip


def _weight_unknown(scene: Scene, placed: Placed) -> Finding:
    alone = scene.pack.number("lift-alone")
    return Finding(
        ID, "not-checked", f"The weight of {the(placed.name)} is not known, so neither is how it is carried out.",
        (placed.id,), unit="kg", source=scene.pack.source("lift-alone"),
        question=f"What does {the(placed.name)} weigh, drained: {alone:g} kg or more?",
    )  # fmt: skip


CHECK = Check(
    id=ID,
    title="Every piece can leave the room",
    failing_title="A piece cannot leave the room",
    reason="Everything here will be replaced one day. What cannot leave is cut up, or the wall is.",
    source=Source(
        "Plain geometry", "the room as measured; the size that has to pass, as given for each kind", "", "typical"
    ),
    find=find,
    slow=True,
)
