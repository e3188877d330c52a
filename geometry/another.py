"""Another piece like one that stands in the room: the same kind with the same figures, as near to it as is free."""

from collections.abc import Iterator
from itertools import islice
from math import hypot

from geometry import editing
from geometry.free_place import Place, best_of, kept_mm, places_for
from geometry.room import Room
from geometry.scene import Placed, Scene, build

_FARTHER = 3
"""How many places away on either side a copy is looked for in the row of the piece."""

_MOST_TRIED = 40


def another(scene: Scene, piece_id: str) -> Room:
    """The room with one more like it, the last of ``pieces``: its kind, figures, base and hold, but no name of its own.

    It goes beside the piece, to the nearest place where nothing has to be put right; where there is none, to the one
    where least has to be.

    >>> from geometry.samples import box_kit, piece, sample_scene
    >>> tank = box_kit("tank", 600, 400)
    >>> new = another(sample_scene([tank], [piece(tank, 900, 1600)]), "tank").pieces[-1]
    >>> new.id, new.at_mm, new.turn_deg
    ('p1', (1500.0, 1600.0), 0.0)
    """
    like = editing.piece_of(scene.room, piece_id)
    placed = scene.piece(piece_id)
    assert placed is not None
    new = like.model_copy(update={"id": editing.free_id(scene.room), "name": None, "pinned": False, "accepted": ()})
    places = list(islice(_places(scene, placed), _MOST_TRIED))
    usual = editing.one_more(scene.room, new, *places[0])
    at_mm, turn_deg = best_of(scene, build(usual), places)
    return editing.moved(usual, new.id, at_mm, turn_deg=turn_deg)


def _places(scene: Scene, placed: Placed) -> Iterator[Place]:
    """In a row with the piece first; then wherever one of its kind may stand, nearest first."""
    yield from _in_the_row(placed)
    x, y = placed.piece.at_mm
    yield from sorted(places_for(scene, placed.kit), key=lambda one: hypot(one[0][0] - x, one[0][1] - y))


def _in_the_row(placed: Placed) -> Iterator[Place]:
    """Right against it on its right and left, just clear of the spaces they keep, and one place farther each time."""
    (x, y), turn = placed.piece.at_mm, placed.piece.turn_deg
    ux, uy, _ = placed.direction("right")
    kept = max(kept_mm(placed.kit, "left"), kept_mm(placed.kit, "right"))
    width = placed.kit.plan.width_mm
    for step in range(1, _FARTHER + 1):
        for gap in sorted({0.0, kept}):
            for way in (1, -1):
                away = way * step * (width + gap)
                yield (round(x + ux * away, 1), round(y + uy * away, 1)), turn
