"""What has to be moved before a piece can leave: the fewest of the pieces that can be moved at all."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations

from geometry.carrying import attempt
from geometry.scene import Placed, Scene

MOST_TOGETHER = 3
"""Sets of more pieces than this are not searched one by one: pieces are then put back while it still gets out."""


@dataclass(frozen=True)
class First:
    """The pieces to move first, those of them that move only with effort, and those that cannot leave the room."""

    pieces: tuple[str, ...]
    with_effort: tuple[str, ...]
    stay: tuple[str, ...]


def moved_first(scene: Scene, placed: Placed) -> First | None:
    """What to move before a piece can leave; None where moving does not help."""
    holds = {other.id: other.piece.hold for other in scene.placed if other.id != placed.id}
    for kinds in (("movable",), ("movable", "with-effort")):
        loose = sorted(one for one, hold in holds.items() if hold in kinds)
        if loose and attempt(scene, placed, frozenset(loose)) == "out":
            some = _fewest(scene, placed, loose)
            effort = tuple(one for one in some if holds[one] == "with-effort")
            return First(some, effort, tuple(_that_stay(scene, some)))
    return None


def _fewest(scene: Scene, placed: Placed, loose: list[str]) -> tuple[str, ...]:
    for count in range(1, MOST_TOGETHER + 1):
        for some in combinations(loose, count):
            if attempt(scene, placed, frozenset(some)) == "out":
                return some
    needed = set(loose)
    for one in loose:
        if attempt(scene, placed, frozenset(needed - {one})) == "out":
            needed.remove(one)
    return tuple(sorted(needed))


def _that_stay(scene: Scene, some: Iterable[str]) -> list[str]:
    """Those that cannot leave the room themselves, the others gone or not: they can only be moved aside in it."""
    moved = frozenset(some)
    found = []
    for one in sorted(moved):
        placed = scene.piece(one)
        if placed and all(attempt(scene, placed, gone) != "out" for gone in (frozenset[str](), moved - {one})):
            found.append(one)
    return found
