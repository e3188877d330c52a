"""What stands on what: the solids whose top is at a piece's base."""

import shapely

from geometry.scene import Placed, Scene, Solid
from geometry.shapes import overlap_mm
from geometry.units import DEPTH_TOLERANCE_MM

_SEAM_MM = 1e-6
LEVEL_MM = 5.0
"""A base within this of the top below it stands on it, and one within this of the floor stands on the floor."""


def under(scene: Scene, placed: Placed) -> list[Solid]:
    """The solids that a piece stands on, the floor left out.

    >>> from geometry.samples import box_kit, piece, sample_scene
    >>> plinth, tank = box_kit("plinth", 900, 900, 100), box_kit("tank", base_mm=100)
    >>> scene = sample_scene([plinth, tank], [piece(plinth, 1200, 900), piece(tank, 1200, 900)])
    >>> [solid.owner for solid in under(scene, scene.piece("tank"))]
    ['plinth']
    """
    return [
        solid
        for solid in scene.solids
        if solid.owner != placed.id
        and abs(solid.to_mm - placed.base_mm) <= LEVEL_MM
        and any(overlap_mm(part, solid.plan) > DEPTH_TOLERANCE_MM for part in placed.body)
    ]


def platform_beyond_mm(scene: Scene, placed: Placed) -> float | None:
    """How far what a piece stands on reaches beyond its base, at the least; None where it reaches the walls all round.

    >>> from geometry.samples import box_kit, piece, sample_scene
    >>> plinth, tank = box_kit("plinth", 900, 900, 100), box_kit("tank", 600, 600, base_mm=100)
    >>> scene = sample_scene([plinth, tank], [piece(plinth, 1200, 900), piece(tank, 1200, 900)])
    >>> platform_beyond_mm(scene, scene.piece("tank"))
    150.0
    """
    board = shapely.union_all([solid.plan.polygon for solid in under(scene, placed)])
    bare = scene.floor.difference(board.buffer(_SEAM_MM, join_style="mitre"))
    if bare.is_empty:
        return None
    base = shapely.union_all([part.polygon for part in placed.body])
    return max(0.0, round(float(base.distance(bare)) - _SEAM_MM, 6))
