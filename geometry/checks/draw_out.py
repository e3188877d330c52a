"""The free length straight out that a rod, magnet, cartridge, head or filter needs to come out.

A rod of the given diameter leaves its access point in the direction the point faces, at its own height. What it meets
first, and how far away, is what is found.

>>> from geometry.samples import piece, round_kit, sample_scene
>>> rod = {"name": "immersion heater", "at_mm": [0, -275, 360], "faces": "front", "tool": "boss-spanner",
...        "draw_out": {"length_mm": 450, "round_mm": 60}}
>>> cylinder = round_kit("cylinder", access=[rod])
>>> scene = sample_scene([cylinder], [piece(cylinder, 1200, 700)])
>>> [(f.found, f.short, f.message) for f in find(scene)]
[(425.0, 25.0, 'The immersion heater of the cylinder needs 450 mm to come out; the front wall leaves 425 mm.')]
"""

from collections.abc import Iterator

from geometry.check import TIGHT, Check, Finding, Where, judge, mm, mm_left
from geometry.clearing import Met, Probe, ceiling_known, first_met
from geometry.kit import Access, DrawOut
from geometry.rules import Source
from geometry.saved import Basis
from geometry.scene import Placed, Scene
from geometry.shapes import Footprint, Sweep, disc
from geometry.units import DEPTH_TOLERANCE_MM, SAME_MM
from geometry.words import named, obstacle, start, the

ID = "draw-out"


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each draw-out; a second where a movable piece stands before it too."""
    wanted = [
        (placed, access, access.draw_out)
        for placed in scene.placed
        if only is None or placed.id in only
        for access in placed.kit.access
        if access.draw_out
    ]
    probes = [rod_probe(placed, access, rod) for placed, access, rod in wanted]
    for (placed, access, rod), probe, met in zip(wanted, probes, first_met(scene, probes), strict=True):
        yield from _judged(scene, placed, access, rod, probe, *met)


def rod_probe(placed: Placed, access: Access, rod: DrawOut) -> Probe:
    """The end of a rod as it leaves its access point: as wide and as high as the rod, with no length yet."""
    x, y, z = placed.to_room(access.at_mm)
    out = placed.direction(access.faces)
    half = rod.round_mm / 2
    if out[2]:
        return Probe(placed.id, (disc((x, y), half),), z, z, out)
    ends = ((x - out[1] * half, y + out[0] * half), (x + out[1] * half, y - out[0] * half))
    return Probe(placed.id, (Footprint(ends),), z - half, z + half, out)


def _judged(
    scene: Scene, placed: Placed, access: Access, rod: DrawOut, probe: Probe, fixed: Met | None, loose: Met | None
) -> Iterator[Finding]:
    needs = f"{start(_rod(access))} of {the(placed.name)} needs {mm(rod.length_mm)} to come out"
    short = fixed is not None and fixed.found_mm < rod.length_mm - SAME_MM
    if access.faces == "above" and not short and not ceiling_known(scene, probe):
        yield Finding(
            ID, "not-checked", f"{needs}; the ceiling is not measured.", (placed.id,), ("ceiling",), access.faces,
            topic=access.name, needed=rod.length_mm, basis=_basis(placed, access),
            question=f"How high is the ceiling over {the(placed.name)}?",
        )  # fmt: skip
        return
    where = _where(probe, rod)
    verdict = judge(fixed.found_mm - rod.length_mm, scene.room.tolerance_mm) if fixed else "no-fault"
    blocked = loose is not None and loose.found_mm < rod.length_mm - DEPTH_TOLERANCE_MM
    if verdict != "no-fault" or not blocked:
        yield Finding(
            ID, verdict, needs + _rest(scene, fixed, rod.length_mm, verdict), (placed.id,),
            (fixed.owner,) if fixed and verdict != "no-fault" else (), access.faces, topic=access.name,
            title="" if verdict == "no-fault" else f"{start(placed.name)}: {_rod(access)} cannot come out"
            if verdict == "put-right" else f"{start(placed.name)}: {_rod(access)} only just comes out",
            needed=rod.length_mm, found=fixed.found_mm if fixed else None,
            short=max(0.0, rod.length_mm - fixed.found_mm) if fixed else None, basis=_basis(placed, access),
            where=None if verdict == "no-fault" else where,
        )  # fmt: skip
    if blocked and loose is not None:
        yield Finding(
            ID, "look-again",
            f"{needs}; {named(scene, loose.owner)} leaves {mm_left(loose.found_mm, rod.length_mm)}. It can be moved: "
            f"move {named(scene, loose.owner)} first.",
            (placed.id,), (loose.owner,), access.faces, topic=f"{access.name}, move-first", needed=rod.length_mm,
            title=f"{start(placed.name)}: move something before {_rod(access)} comes out",
            found=loose.found_mm, short=rod.length_mm - loose.found_mm, basis=_basis(placed, access), where=where,
        )  # fmt: skip


def _basis(placed: Placed, access: Access) -> Basis:
    figure = f"draw_out:{access.name}"
    change = placed.piece.changes.get(figure)
    return change.basis if change else placed.kit.basis_of(figure)


def _rod(access: Access) -> str:
    return the(access.name.partition(",")[0])


def _rest(scene: Scene, met: Met | None, needed: float, verdict: str) -> str:
    if met is None:
        return "; nothing stands in the way."
    if verdict == "no-fault":
        return f"; {mm(met.found_mm)} is there."
    if met.found_mm < needed - SAME_MM:
        return f"; {obstacle(scene, met.owner)} leaves {mm_left(met.found_mm, needed)}."
    return f"; {mm(met.found_mm)} is there to {obstacle(scene, met.owner)}. {TIGHT}"


def _where(probe: Probe, rod: DrawOut) -> Where:
    part, up = probe.parts[0], probe.direction[2]
    if up:
        z = probe.from_mm
        return Where(part, min(z, z + up * rod.length_mm), max(z, z + up * rod.length_mm))
    return Where(Sweep(part, probe.direction, rod.length_mm), probe.from_mm, probe.to_mm)


CHECK = Check(
    id=ID,
    title="Everything that is drawn out can come out",
    failing_title="Something that must be drawn out cannot come out",
    reason="A rod, magnet or cartridge that meets something half way is forced, and then it leaks.",
    source=Source(
        "Maker's manual of each piece; until it is read, common rod lengths and typical draw-outs",
        "withdrawal lengths", "", "typical",
    ),
    find=find,
)  # fmt: skip
