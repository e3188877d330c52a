"""Whether the floor and wall that belong to the customer's own things stay free of kit.

The depth is the smallest move, in plan, that parts the two. What can be moved is looked at again.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> tank = box_kit("tank")
>>> rack = {"id": "k1", "name": "boot rack", "area_mm": [[0, 0], [700, 0], [700, 500], [0, 500]], "to_mm": 900}
>>> [f.message for f in find(sample_scene([tank], [piece(tank, 900, 300)], keep_free=[rack]))]
['The tank stands 100 mm into the place for the boot rack.']
"""

from collections.abc import Iterator

from geometry.check import Check, Finding, Where, mm
from geometry.room import KeepFree
from geometry.rules import Source
from geometry.scene import Scene, Solid, bounds_of
from geometry.shapes import Footprint, convex_parts, overlap_mm
from geometry.units import DEPTH_TOLERANCE_MM
from geometry.words import named, start, within

ID = "keep-free"
_Taken = tuple[float, Solid, Footprint]


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each thing that stands in a keep-free place, and one for each place that is free."""
    for kept in sorted(scene.room.keep_free, key=lambda k: k.id):
        worst = _worst(scene, kept)
        for owner, taken in worst.items():
            if only is None or owner in only:
                yield _told(scene, kept, taken)
        if not worst and only is None:
            yield Finding(
                ID, "no-fault", f"The place for the {within(kept.name)} is free.", (), (kept.id,), needed=0.0,
                found=0.0, short=0.0,
            )  # fmt: skip


def _worst(scene: Scene, kept: KeepFree) -> dict[str, _Taken]:
    """The deepest that each thing stands in a place: bodies, what sticks out of them, and what is built in."""
    worst: dict[str, _Taken] = {}
    for part in convex_parts(kept.area_mm):
        (near,) = scene.near([bounds_of(part, kept.from_mm, kept.to_mm)])
        for solid in near:
            depth = 0.0 if solid.part == "wall" else overlap_mm(solid.plan, part)
            if depth > max(DEPTH_TOLERANCE_MM, worst[solid.owner][0] if solid.owner in worst else 0.0):
                worst[solid.owner] = (depth, solid, part)
    return worst


def _told(scene: Scene, kept: KeepFree, taken: _Taken) -> Finding:
    depth, solid, part = taken
    placed = scene.piece(solid.owner)
    what = named(scene, solid.owner)
    text = f"{start(what)} stands {mm(depth)} into the place for the {within(kept.name)}."
    if placed is None:
        text += f" It is built in: measure the place for the {within(kept.name)} again."
    elif placed.movable:
        text += f" It can be moved: move {what} first."
    return Finding(
        ID, "put-right" if placed and not placed.movable else "look-again", text, (solid.owner,) if placed else (),
        (kept.id,) if placed else (kept.id, solid.owner), topic="move-first" if placed and placed.movable else "",
        needed=0.0, found=-depth, short=depth, title=f"{start(what)} takes the customer's own space",
        where=Where((solid.plan, part), max(solid.from_mm, kept.from_mm), min(solid.to_mm, kept.to_mm)),
    )  # fmt: skip


CHECK = Check(
    id=ID,
    title="The customer's own space stays free",
    failing_title="Kit takes the customer's own space",
    reason="What was promised to coats, washing and bins is missed the first evening.",
    source=Source("Agreed with the customer", "places to be kept free, as drawn", "", "common practice"),
    find=find,
)
