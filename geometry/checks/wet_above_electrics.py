"""Electrical kit under water joints: under wet kit, or in the space below it where its tails are.

Measured along the wall: how far the electrical kit has to move sideways to be clear of what is wet above it.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> valve = box_kit("valve", 100, 80, 130, stands_on="wall", base_mm=1600, traits=["wet"])
>>> centre = box_kit("centre", 240, 55, 140, stands_on="wall", base_mm=1200, traits=["electrical"])
>>> scene = sample_scene([valve, centre], [piece(valve, 900, 1760), piece(centre, 1000, 1772)])
>>> [(f.verdict, f.short) for f in find(scene)]
[('put-right', 70.0)]
"""

from collections.abc import Iterator

from geometry.check import Check, Finding, Where, mm
from geometry.rules import rule_pack
from geometry.scene import Placed, Scene
from geometry.shapes import overlap_mm
from geometry.units import DEPTH_TOLERANCE_MM
from geometry.words import start, the

ID = "wet-above-electrics"


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each wet piece over an electrical one, and one for each electrical piece that is clear."""
    wet = [placed for placed in scene.placed if placed.kit.has("wet")]
    for placed in scene.placed:
        if not placed.kit.has("electrical"):
            continue
        over = [(depth, above) for above in wet if (depth := _over(placed, above)) > DEPTH_TOLERANCE_MM]
        if only is None or placed.id in only or only & {above.id for _, above in over}:
            yield from (_under(scene, placed, above, depth) for depth, above in over)
            if not over:
                text = f"No wet kit is over {the(placed.name)}."
                yield Finding(ID, "no-fault", text, (placed.id,), needed=0.0, source=scene.pack.source(ID))


def _over(placed: Placed, wet: Placed) -> float:
    """How far the electrical piece has to move sideways to be clear of the wet one; 0 where it is not under it."""
    if wet.id == placed.id or wet.base_mm < placed.base_mm + DEPTH_TOLERANCE_MM:
        return 0.0
    drips = [*wet.body, *(stick.plan for stick in wet.sticks)]
    under = [(a, b) for a in placed.body for b in drips if overlap_mm(a, b) > DEPTH_TOLERANCE_MM]
    right = placed.direction("right")[:2]
    left = (-right[0], -right[1])
    return max((min(a.reach(right) + b.reach(left), a.reach(left) + b.reach(right)) for a, b in under), default=0.0)


def _under(scene: Scene, placed: Placed, wet: Placed, depth: float) -> Finding:
    tails = next((space.mm for space in wet.kit.space if space.side == "below"), 0.0)
    inside = min(placed.top_mm, wet.base_mm) - max(placed.base_mm, wet.base_mm - tails)
    text = f"{start(the(placed.name))} is under {the(wet.name)}: moved {mm(depth)} to the side it is clear of it."
    if inside > DEPTH_TOLERANCE_MM:
        text += f" {mm(inside)} of it is in the pipe space."
    return Finding(
        ID, "put-right", text, (placed.id,), (wet.id,), needed=0.0, found=-depth, short=depth,
        source=scene.pack.source(ID), basis=wet.kit.basis,
        title=f"{start(placed.name)} is under {the(wet.name)}",
        where=Where((placed.body[0], wet.body[0]), placed.base_mm, placed.top_mm),
    )  # fmt: skip


CHECK = Check(
    id=ID,
    title="No electrics are under water joints",
    failing_title="Electrics are under water joints",
    reason="Every joint weeps one day, and a drip on a terminal is a shock or a fire.",
    source=rule_pack("england").source(ID),
    find=find,
)
