"""What the browser needs to move pieces: where things are in the room, and how the room lies on the drawing."""

import json
from collections.abc import Iterable
from typing import Any

from geometry.kit import Kit
from geometry.scene import Placed, Scene, own_body
from geometry.shapes import Footprint, hull
from geometry.words import wall_name
from server.drawing import Unfolded
from server.drawing.svg import bounds
from server.drawing.unfold import outer_ring


def handles(scene: Scene, view: Unfolded) -> str:
    """Pieces, walls, fixtures and matrices as JSON. Lengths mm, angles deg; matrices take mm to px of the drawing."""
    return json.dumps(
        {
            "scale": view.scale_px_mm,
            "plan": list(view.plan) if view.shows_plan else None,
            "planBox": list(bounds([view.plan.to_px(p) for p in outer_ring(scene.edges)])) if view.shows_plan else None,
            "faces": [{"edge": face.edge, "matrix": list(face.matrix), "box": list(face.box)} for face in view.faces],
            "walls": [_wall(scene, i) for i in range(len(scene.edges))],
            "pieces": [_piece(placed) for placed in scene.placed],
            "fixtures": [_fixture(solid.what, [solid.plan], solid.from_mm, solid.to_mm) for solid in _fixed(scene)],
        },
        separators=(",", ":"),
    )


def kind_handles(kit: Kit) -> str:
    """The same of a kind on the shelf, before it has a place."""
    return json.dumps(_kind(kit), separators=(",", ":"))


def _fixed(scene: Scene) -> Iterable[Any]:
    return (solid for solid in scene.solids if solid.part == "fixture")


def _wall(scene: Scene, index: int) -> dict[str, Any]:
    edge = scene.edges[index]
    (x, y), (ux, uy) = edge.start, edge.along
    return {"x": x, "y": y, "ux": ux, "uy": uy, "length": edge.length_mm, "name": wall_name(scene, index)}


def _piece(placed: Placed) -> dict[str, Any]:
    x, y = placed.piece.at_mm
    place = {"id": placed.id, "name": placed.name, "x": x, "y": y, "turn": placed.piece.turn_deg % 360}
    return {**_kind(placed.kit), **place, "base": placed.base_mm}


def _kind(kit: Kit) -> dict[str, Any]:
    points, radius = _outline(own_body(kit))
    return {
        "name": kit.name, "points": points, "radius": radius, "back": _back_mm(kit), "base": kit.base_mm,
        "height": kit.height_mm,
    }  # fmt: skip


def _back_mm(kit: Kit) -> float:
    """The room it keeps behind it: what sticks out there, or the space that it must have."""
    sticks = [item.mm for item in kit.sticks_out if item.side == "behind"]
    spaces = [space.mm for space in kit.space if space.side == "behind" and space.need == "must"]
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
