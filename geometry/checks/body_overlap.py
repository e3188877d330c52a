"""Two bodies, or what sticks out of them, share space.

Measured along the smallest move in plan that parts them; the height they share is given too. Touching is contact,
and things that share plan but not height do not overlap.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> tank, pump = box_kit("tank"), box_kit("pump", 300, 300, 500)
>>> scene = sample_scene([tank, pump], [piece(tank, 300, 1600), piece(pump, 700, 1600)])
>>> [(f.pieces, f.short, f.message) for f in find(scene) if f.verdict == "put-right"]
[(('pump', 'tank'), 50.0, 'The pump and the tank stand in the same place: 50 mm deep in plan, 500 mm in height.')]
"""

from collections.abc import Iterator

from geometry.check import Check, Finding, Where, mm
from geometry.rules import Source
from geometry.scene import Scene, Solid, bounds_of
from geometry.shapes import separation
from geometry.units import DEPTH_TOLERANCE_MM, SAME_MM
from geometry.words import start, the

ID = "body-overlap"


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each pair that overlaps, and one for each piece that overlaps nothing."""
    pairs = _worst_pairs(scene)
    for (a, b), (depth, one, other) in pairs.items():
        if only is None or a in only or b in only:
            yield _overlap(a, b, depth, one, other)
    caught = {piece_id for pair in pairs for piece_id in pair}
    for placed in scene.placed:
        if placed.id not in caught and (only is None or placed.id in only):
            yield Finding(ID, "no-fault", f"{placed.name} shares no space with other kit.", (placed.id,), needed=0.0)


def _worst_pairs(scene: Scene) -> dict[tuple[str, str], tuple[float, Solid, Solid]]:
    own = [solid for placed in scene.placed for solid in placed.solids()]
    near = scene.near([bounds_of(s.plan, s.from_mm, s.to_mm) for s in own])
    worst: dict[tuple[str, str], tuple[float, Solid, Solid]] = {}
    for one, others in zip(own, near, strict=True):
        for other in others:
            if other.part not in ("body", "sticks-out") or other.owner <= one.owner:
                continue
            depth = -separation(one.plan, other.plan).gap_mm
            key = (one.owner, other.owner)
            if depth > DEPTH_TOLERANCE_MM and (key not in worst or depth > worst[key][0] + SAME_MM):
                worst[key] = (depth, one, other)
    return worst


def _overlap(a: str, b: str, depth: float, one: Solid, other: Solid) -> Finding:
    low, high = max(one.from_mm, other.from_mm), min(one.to_mm, other.to_mm)
    return Finding(
        ID, "put-right",
        f"{start(the(one.what))} and {the(other.what)} stand in the same place: {mm(depth)} deep in plan, "
        f"{mm(high - low)} in height.",
        (a, b), needed=0.0, found=-depth, short=depth, where=Where((one.plan, other.plan), low, high),
    )  # fmt: skip


CHECK = Check(
    id=ID,
    title="No two pieces share space",
    failing_title="Two pieces stand in the same place",
    reason="Two solid things cannot be in one place; what sticks out of a body is as solid as the body.",
    source=Source("Geometry", "bodies and what sticks out of them, as given for each kind of kit", "", "typical"),
    find=find,
)
