"""What the browser needs to move pieces: where things are in the room, and how the room lies on the drawing."""

import json
from collections.abc import Iterable
from typing import Any

from geometry.kit import Kit
from geometry.rules import RulePack, rule_pack
from geometry.saved import Side
from geometry.scene import Placed, Scene, own_body
from geometry.shapes import Footprint, hull
from geometry.words import wall_name
from server.drawing import Unfolded
from server.drawing.profiles import tops
from server.drawing.svg import bounds
from server.drawing.unfold import outer_ring

KEPT: dict[str, Side] = {"back": "behind", "left": "left", "right": "right", "front": "front"}
"""The room that a piece keeps on each side, by the word that the browser uses for it."""


def handles(scene: Scene, view: Unfolded) -> str:
    """Pieces, walls, fixtures and matrices as JSON. Lengths mm, angles deg; matrices take mm to px of the drawing."""
    return json.dumps(
        {
            "scale": view.scale_px_mm,
            "plan": list(view.plan) if view.shows_plan else None,
            "planBox": list(bounds([view.plan.to_px(p) for p in outer_ring(scene.edges)])) if view.shows_plan else None,
            "faces": [
                {"edge": face.edge, "matrix": list(face.matrix), "box": list(face.box), "tops": _tops(scene, face.edge)}
                for face in view.faces
            ],
            "walls": [_wall(scene, i) for i in range(len(scene.edges))],
            "pieces": [_piece(placed, scene.pack) for placed in scene.placed],
            "fixtures": [_fixture(solid.what, [solid.plan], solid.from_mm, solid.to_mm) for solid in _fixed(scene)],
        },
        separators=(",", ":"),
    )


def kind_handles(kit: Kit) -> str:
    """The same of a kind on the shelf, before it has a place."""
    return json.dumps(_kind(kit, rule_pack("england")), separators=(",", ":"))


def _fixed(scene: Scene) -> Iterable[Any]:
    return (solid for solid in scene.solids if solid.part == "fixture")


def _wall(scene: Scene, index: int) -> dict[str, Any]:
    edge = scene.edges[index]
    (x, y), (ux, uy) = edge.start, edge.along
    return {"x": x, "y": y, "ux": ux, "uy": uy, "length": edge.length_mm, "name": wall_name(scene, index)}


def _tops(scene: Scene, index: int) -> list[list[list[float]]]:
    """The upper end of a wall, as far as it is measured: straight lines from its left corner as seen from inside."""
    measured = scene.room.ceiling.height_mm is not None
    return [
        [[round(v, 3) for v in point] for point in (top.start, top.end)]
        for top in tops(scene, scene.edges[index])
        if measured or top.name is not None
    ]


def _piece(placed: Placed, pack: RulePack) -> dict[str, Any]:
    x, y = placed.piece.at_mm
    place = {"id": placed.id, "name": placed.name, "x": x, "y": y, "turn": placed.piece.turn_deg % 360}
    return {**_kind(placed.kit, pack), **place, "base": placed.base_mm}


def _kind(kit: Kit, pack: RulePack) -> dict[str, Any]:
    """``hangs`` tells kit too heavy to hang on its pipes: it is never far from a wall."""
    points, radius = _outline(own_body(kit))
    on_wall = kit.stands_on == "wall"
    hangs = on_wall and (kit.full_kg is None or kit.full_kg >= pack.number("hang-on-pipes"))
    kept = {name: _kept_mm(kit, side) for name, side in KEPT.items()}
    return {
        "name": kit.name, "points": points, "radius": radius, "base": kit.base_mm, "height": kit.height_mm,
        "onWall": on_wall, "hangs": hangs, **kept,
    }  # fmt: skip


def _kept_mm(kit: Kit, side: Side) -> float:
    """The room it keeps on a side: what sticks out there, or the space that it must have."""
    sticks = [item.mm for item in kit.sticks_out if item.side == side]
    spaces = [space.mm for space in kit.space if space.side == side and space.need == "must"]
    return max([0.0, *sticks, *spaces])


def _fixture(name: str, parts: Iterable[Footprint], from_mm: float, to_mm: float) -> dict[str, Any]:
    points, radius = _outline(parts)
    return {"name": name, "points": points, "radius": radius, "base": from_mm, "height": to_mm - from_mm}


def _outline(parts: Iterable[Footprint]) -> tuple[list[list[float]], float]:
    """Convex parts as one convex outline and its radius."""
    every = list(parts)
    corners = [point for part in every for point in part.points]
    around = hull(corners) if len(corners) > 2 else corners
    return [[round(x, 3), round(y, 3)] for x, y in around], max(part.radius_mm for part in every)
