"""The free room a piece needs on each side, so that a person can work on it.

The body slides out of that side over its own height; how far it gets before it meets something solid is what is
there. Spaces may share floor with spaces. A space may run out through an open doorway, below its head. Above, the
measure is to the lowest thing over the body; below, to the highest thing under it.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> boiler = box_kit("boiler", space=[{"side": "front", "mm": 600, "why": "the case comes off forwards"}])
>>> shelf = box_kit("shelf", 600, 300, 400, name="Shelving")
>>> scene = sample_scene([boiler, shelf], [piece(boiler, 1000, 1600), piece(shelf, 1000, 750)])
>>> [(f.needed, f.found, f.short, f.message) for f in find(scene)]
[(600.0, 500.0, 100.0, 'Boiler needs 600 mm in front; the shelving leaves 500 mm.')]
"""

from collections.abc import Iterator

from geometry.check import TIGHT, Check, Finding, Verdict, Where, judge, mm, mm_left
from geometry.clearing import Met, Probe, ceiling_known, first_met, side_probe
from geometry.kit import Space
from geometry.rules import Source
from geometry.saved import Basis
from geometry.scene import Placed, Scene
from geometry.shapes import Bounds, Sweep, overlap_mm, swept
from geometry.units import DEPTH_TOLERANCE_MM, SAME_MM, Point3
from geometry.words import listed, named, obstacle, start, the

ID = "service-space"
SIDE_WORDS = {
    "front": "in front", "behind": "behind", "left": "on its left", "right": "on its right",
    "above": "above", "below": "below",
}  # fmt: skip


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each space; a second where a movable piece stands in it too."""
    wanted = [
        (placed, space)
        for placed in scene.placed
        if only is None or placed.id in only
        for space in placed.kit.space
        if space.mm > 0
    ]
    probes = [side_probe(placed, space.side, space.from_mm, space.to_mm) for placed, space in wanted]
    for (placed, space), probe, (fixed, loose) in zip(wanted, probes, first_met(scene, probes), strict=True):
        yield from _judged(scene, placed, space, probe, fixed, loose)
    for placed in scene.placed:
        if placed.kit.space_unknown and (only is None or placed.id in only):
            yield from _not_told(placed)


def _not_told(placed: Placed) -> Iterator[Finding]:
    """The sides of which nobody knows what room they need: a question, never a pass."""
    known = {space.side for space in placed.kit.space}
    sides = [SIDE_WORDS[side] for side in placed.kit.space_unknown if side not in known]
    if sides:
        yield Finding(
            ID, "not-checked", f"The space that {the(placed.name)} needs {listed(sides)} is not known.", (placed.id,),
            topic="not-told", title=f"{start(placed.name)}: space to work not known", basis=placed.kit.basis,
            question=f"What free space does {the(placed.name)} need {listed(sides)}?",
        )  # fmt: skip


def _judged(
    scene: Scene, placed: Placed, space: Space, probe: Probe, fixed: Met | None, loose: Met | None
) -> Iterator[Finding]:
    tolerance = scene.room.tolerance_mm
    found = fixed.found_mm if fixed else None
    short = found is not None and found < space.mm - SAME_MM
    if space.side == "above" and not short and not ceiling_known(scene, probe):
        yield _unknown(placed, space)
        return
    verdict = judge(found - space.mm, tolerance, space.need) if found is not None else "no-fault"
    blocked = loose is not None and loose.found_mm < space.mm - DEPTH_TOLERANCE_MM
    if verdict != "no-fault" or not blocked:
        yield _finding(scene, placed, space, probe, fixed, verdict)
    if blocked and loose is not None:
        yield _move_first(scene, placed, space, probe, loose)


def _finding(scene: Scene, placed: Placed, space: Space, probe: Probe, met: Met | None, verdict: Verdict) -> Finding:
    needs = f"{start(placed.name)} needs {mm(space.mm)} {SIDE_WORDS[space.side]}"
    found = met.found_mm if met else None
    if found is None or met is None:
        text = f"{needs}; nothing stands in the way."
    elif verdict == "no-fault":
        text = f"{needs}; {mm(found)} is there."
    elif found < space.mm - SAME_MM:
        text = f"{needs}; {obstacle(scene, met.owner)} leaves {mm_left(found, space.mm)}."
    else:
        text = f"{needs}; {mm(found)} is there to {obstacle(scene, met.owner)}. {TIGHT}"
    return Finding(
        ID, verdict, text + _through_door(scene, probe, space, space.mm if found is None else min(found, space.mm)),
        (placed.id,),
        (met.owner,) if met and verdict != "no-fault" else (), space.side,
        title=_title(placed, space, verdict), needed=space.mm, found=found,
        short=max(0.0, space.mm - found) if found is not None else None,
        reason=start(space.why) + "." if space.why else "", basis=_basis(placed, space),
        where=None if verdict == "no-fault" else _where(placed, space, probe),
    )  # fmt: skip


def _move_first(scene: Scene, placed: Placed, space: Space, probe: Probe, met: Met) -> Finding:
    text = (
        f"{start(placed.name)} needs {mm(space.mm)} {SIDE_WORDS[space.side]}; {named(scene, met.owner)} leaves "
        f"{mm_left(met.found_mm, space.mm)}. It can be moved: move {named(scene, met.owner)} first."
    )
    return Finding(
        ID, "look-again", text, (placed.id,), (met.owner,), space.side, topic="move-first",
        title=f"{start(placed.name)}: move something before working {SIDE_WORDS[space.side]}",
        needed=space.mm, found=met.found_mm, short=space.mm - met.found_mm,
        reason=start(space.why) + "." if space.why else "", basis=_basis(placed, space),
        where=_where(placed, space, probe),
    )  # fmt: skip


def _unknown(placed: Placed, space: Space) -> Finding:
    return Finding(
        ID, "not-checked", f"{start(placed.name)} needs {mm(space.mm)} above; the ceiling is not measured.",
        (placed.id,), ("ceiling",), "above", title=f"{start(placed.name)}: room above not checked",
        needed=space.mm, basis=_basis(placed, space),
        question=f"How high is the ceiling over {the(placed.name)}?",
    )  # fmt: skip


def _title(placed: Placed, space: Space, verdict: Verdict) -> str:
    if verdict == "no-fault":
        return ""
    if verdict == "look-again" and space.need == "must":
        return f"{start(placed.name)}: tight {SIDE_WORDS[space.side]}"
    return f"{start(placed.name)}: not enough room {SIDE_WORDS[space.side]}"


def _basis(placed: Placed, space: Space) -> Basis:
    changes = placed.piece.changes
    change = changes.get(f"space_{space.side}_mm") if changes else None
    return change.basis if change else placed.kit.basis_of(f"space_{space.side}_mm")


def _where(placed: Placed, space: Space, probe: Probe) -> Where:
    """The strip the body sweeps, for drawing."""
    if space.side == "above":
        return Where(placed.body[0], placed.top_mm, placed.top_mm + space.mm)
    if space.side == "below":
        return Where(placed.body[0], placed.base_mm - space.mm, placed.base_mm)
    widest = max(placed.body, key=lambda part: part.area_mm2) if len(placed.body) > 1 else placed.body[0]
    return Where(Sweep(widest, probe.direction, space.mm), probe.from_mm, probe.to_mm)


def _through_door(scene: Scene, probe: Probe, space: Space, length_mm: float) -> str:
    """What to say of a doorway that the free part of a space runs out through."""
    if space.side in ("above", "below"):
        return ""
    for door, opening in scene.openings:
        for part in probe.parts:
            if not _may_meet(part.bounds, opening.bounds, probe.direction, length_mm):
                continue
            strip = swept(part, probe.direction, length_mm)
            if overlap_mm(part, opening) <= DEPTH_TOLERANCE_MM < overlap_mm(strip, opening):
                open_it = "." if door.leaf.kind == "none" else ", which must stand open."
                return f" The space runs out through door {door.id}{open_it}"
    return ""


def _may_meet(mine: Bounds, other: Bounds, way: Point3, length_mm: float) -> bool:
    """Whether the bounds of a shape that slides that far meet other bounds."""
    dx, dy = way[0] * length_mm, way[1] * length_mm
    return (
        mine[0] + min(dx, 0) < other[2]
        and other[0] < mine[2] + max(dx, 0)
        and mine[1] + min(dy, 0) < other[3]
        and other[1] < mine[3] + max(dy, 0)
    )


CHECK = Check(
    id=ID,
    title="Every piece has its working space",
    failing_title="Not enough room to work",
    reason="A person must be able to get at each side that is worked on, with both hands and the cover off.",
    source=Source(
        "Maker's manual of each piece; until it is read, typical spaces from memory of common British kit",
        "service clearances", "", "typical",
    ),
    find=find,
)  # fmt: skip
