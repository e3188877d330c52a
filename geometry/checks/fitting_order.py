"""An order in which everything can be brought in, and what must come out first to replace each piece.

The order of fitting is the order of taking out, turned round: pieces that can leave as the room stands are taken out
first, then those that can leave once they are gone, and so on (taking a piece away never blocks another). Pieces that
hold each other in are a deadlock: the room cannot be put together as drawn.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> tank = box_kit("tank", 600, 600, 900)
>>> room = {"outline_mm": [[0, 0], [1300, 0], [1300, 1900], [0, 1900]],
...         "doors": [{"id": "d1", "edge": 0, "from_mm": 300, "clear_mm": 700}]}
>>> scene = sample_scene([tank], [piece(tank, 650, 1500, id="p1"), piece(tank, 650, 600, id="p2")], **room)
>>> for finding in find(scene):
...     print(finding.message)
Bring in first tank 1, then tank 2.
To replace tank 1, tank 2 comes out first.
"""

from collections.abc import Iterable, Iterator
from functools import cache
from itertools import combinations

from geometry.check import Check, Finding
from geometry.checks.way_out import attempt, is_carried
from geometry.rules import Source
from geometry.scene import Placed, Scene
from geometry.words import listed, start, within

ID = "fitting-order"
MOST_AT_ONCE = 2
"""Sets of more pieces than this are not searched for the fewest: what the order of taking out needs is given."""


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """The order of fitting, what comes out first for each piece that is not free, and deadlocks."""
    about = {placed.id: placed for placed in scene.placed if is_carried(scene, placed)}
    if only is not None or len(about) < 2 or not scene.room.doors:
        return
    answer = _asker(scene, about)
    rounds, stuck = _rounds(about, answer)
    held = [one for one in stuck if answer(one, frozenset(about) - {one}) == "out"]
    if held:
        yield _deadlock(about, held)
    if rounds:
        yield _order(about, rounds)
    gone: frozenset[str] = frozenset()
    for ids in rounds:
        for one in ids:
            if gone:
                yield _first(about, one, _fewest(one, gone, answer))
        gone |= frozenset(ids)


class _Asker:
    """Whether a piece can leave once some others are gone, each question asked once."""

    def __init__(self, scene: Scene, about: dict[str, Placed]) -> None:
        self.ask = cache(lambda one, gone: attempt(scene, about[one], gone))

    def __call__(self, one: str, gone: frozenset[str]) -> str:
        return str(self.ask(one, gone))


def _asker(scene: Scene, about: dict[str, Placed]) -> _Asker:
    return _Asker(scene, about)


def _rounds(about: Iterable[str], answer: _Asker) -> tuple[list[list[str]], list[str]]:
    """Pieces that can leave, round by round, and those that never can."""
    left, gone, rounds = list(about), frozenset[str](), []
    while left:
        free = [one for one in left if answer(one, gone) == "out"]
        if not free:
            break
        rounds.append(free)
        gone |= frozenset(free)
        left = [one for one in left if one not in gone]
    return rounds, left


def _fewest(one: str, gone: frozenset[str], answer: _Asker) -> tuple[str, ...]:
    """The fewest pieces, each able to leave before it, after which this one can leave."""
    for count in range(1, MOST_AT_ONCE + 1):
        for some in combinations(sorted(gone), count):
            if _leave(some, answer) and answer(one, frozenset(some)) == "out":
                return some
    needed = sorted(gone)
    for other in sorted(gone):
        rest = frozenset(needed) - {other}
        if answer(one, rest) == "out" and _leave(tuple(sorted(rest)), answer):
            needed.remove(other)
    return tuple(needed)


def _leave(some: tuple[str, ...], answer: _Asker) -> bool:
    """Whether these can all leave, in some order, with everything else in place."""
    left, gone = list(some), frozenset[str]()
    while left:
        free = [one for one in left if answer(one, gone) == "out"]
        if not free:
            return False
        gone |= frozenset(free)
        left = [one for one in left if one not in gone]
    return True


def _order(about: dict[str, Placed], rounds: list[list[str]]) -> Finding:
    names = [within(about[one].name) for ids in reversed(rounds) for one in ids]
    text = f"Bring in first {names[0]}, then {listed(names[1:])}."
    ids = tuple(one for ids in reversed(rounds) for one in ids)
    return Finding(ID, "no-fault", text, ids, topic="order")


def _first(about: dict[str, Placed], one: str, before: tuple[str, ...]) -> Finding:
    names = listed(within(about[other].name) for other in before)
    comes = "comes" if len(before) == 1 else "come"
    text = f"To replace {within(about[one].name)}, {names} {comes} out first."
    return Finding(ID, "no-fault", text, (one,), before, topic="first")


def _deadlock(about: dict[str, Placed], held: list[str]) -> Finding:
    names = listed(within(about[one].name) for one in held)
    return Finding(
        ID, "put-right", f"{start(names)} hold each other in: the room cannot be put together as drawn.", tuple(held),
        topic="deadlock", title="The room cannot be put together as drawn",
    )  # fmt: skip


CHECK = Check(
    id=ID,
    title="Everything can be brought in, one piece after another",
    failing_title="The room cannot be put together as drawn",
    reason="A piece that was put in first and is walled in by later ones comes out last, with all of them.",
    source=Source("Geometry", "ways out of all pieces, one after another", "", "typical"),
    find=find,
    slow=True,
)
