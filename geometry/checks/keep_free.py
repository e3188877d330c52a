"""Whether the floor and wall that belong to the customer's own things stay free of kit.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> tank = box_kit("tank")
>>> rack = {"id": "k1", "name": "boot rack", "area_mm": [[0, 0], [700, 0], [700, 500], [0, 500]], "to_mm": 900}
>>> [(f.pieces, f.short) for f in find(sample_scene([tank], [piece(tank, 900, 300)], keep_free=[rack]))]
[(('tank',), 100.0)]
"""

from collections.abc import Iterator

from geometry.check import Check, Finding, Where, mm
from geometry.room import KeepFree
from geometry.rules import Source
from geometry.scene import Scene, bounds_of
from geometry.shapes import convex_parts, overlap_mm
from geometry.units import DEPTH_TOLERANCE_MM
from geometry.words import start, within

ID = "keep-free"


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each piece that stands in a keep-free place, and one for each place that is free."""
    for kept in sorted(scene.room.keep_free, key=lambda k: k.id):
        worst = _worst(scene, kept)
        for piece_id, depth in worst.items():
            if only is None or piece_id in only:
                yield _taken(scene, kept, piece_id, depth)
        if not worst and only is None:
            yield Finding(ID, "no-fault", f"The place for the {within(kept.name)} is free.", (), (kept.id,), needed=0.0)


def _worst(scene: Scene, kept: KeepFree) -> dict[str, float]:
    worst: dict[str, float] = {}
    for part in convex_parts(kept.area_mm):
        (near,) = scene.near([bounds_of(part, kept.from_mm, kept.to_mm)])
        for solid in near:
            depth = overlap_mm(solid.plan, part) if solid.part in ("body", "sticks-out") else 0.0
            if depth > DEPTH_TOLERANCE_MM:
                worst[solid.owner] = max(depth, worst.get(solid.owner, 0.0))
    return worst


def _taken(scene: Scene, kept: KeepFree, piece_id: str, depth: float) -> Finding:
    placed = scene.piece(piece_id)
    assert placed is not None
    text = f"The {within(placed.name)} takes {mm(depth)} of the place for the {within(kept.name)}."
    return Finding(
        ID, "look-again" if placed.movable else "put-right", text, (piece_id,), (kept.id,), needed=0.0, found=-depth,
        short=depth, title=f"{start(placed.name)} takes the customer's own space",
        where=Where(placed.body[0], max(placed.base_mm, kept.from_mm), min(placed.top_mm, kept.to_mm)),
    )  # fmt: skip


CHECK = Check(
    id=ID,
    title="The customer's own space stays free",
    failing_title="Kit takes the customer's own space",
    reason="What was promised to coats, washing and bins is missed the first evening.",
    source=Source("Agreed with the customer", "places to be kept free, as drawn", "", "common practice"),
    find=find,
)
