"""An order in which everything can be brought in, and what must come out first to replace each piece.

The order of fitting is the order of taking out, turned round: pieces that can leave as the room stands are taken out
first, then those that can leave once they are gone, and so on (taking a piece away never blocks another). Pieces that
could leave if the others were gone, but hold each other in, are a deadlock: the room cannot be put together as drawn.

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
from itertools import combinations
from math import comb

import shapely

from geometry.carrying import attempt, is_carried, standing_in, tips
from geometry.check import Check, Finding, Where
from geometry.doorless import without_a_door
from geometry.rules import Source
from geometry.scene import Placed, Scene
from geometry.words import listed, named, start, the

ID = "fitting-order"
MOST_SETS = 400
"""Sets of so many pieces are tried for the fewest; beyond that pieces are put back while the way stays open."""


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """The order of fitting, what comes out first for each piece that is not free, and deadlocks."""
    if only is not None:
        return
    about = {p.id: p for p in scene.placed if is_carried(scene, p) and not standing_in(scene, p, frozenset())}
    if len(about) < 2:
        return
    if not scene.room.doors:
        yield without_a_door(ID, "about the order of fitting", None)
        return
    rounds, stuck = taking_out(scene, about)
    yield from _held(scene, about, stuck)
    if rounds and len(about) - len(stuck) > 1:
        yield _order(scene, rounds)
    free = frozenset(rounds[0]) if rounds else frozenset()
    for one in (one for some in rounds for one in some if one not in free):
        yield _first(scene, one, fewest_first(scene, about, one))


def taking_out(scene: Scene, about: Iterable[str]) -> tuple[list[list[str]], list[str]]:
    """Pieces that can leave, round by round, and those that never can, however many others are gone."""
    left, gone, rounds = sorted(about), frozenset[str](), []
    while free := [one for one in left if _leaves(scene, one, gone)]:
        rounds.append(free)
        gone |= frozenset(free)
        left = [one for one in left if one not in gone]
    return rounds, left


def _leaves(scene: Scene, one: str, gone: frozenset[str]) -> bool:
    """Whether a piece can leave once some are gone; what may be tipped is not held by a low door or roof."""
    placed = scene.piece(one)
    if placed is None:
        return False
    return attempt(scene, placed, gone - {one}) == "out" or (
        tips(placed) and attempt(scene, placed, gone - {one}, heights=False) == "out"
    )


def fewest_first(scene: Scene, about: Iterable[str], one: str) -> tuple[str, ...]:
    """The fewest pieces that have to leave before this one can, each of them able to leave in its turn."""
    others = sorted(frozenset(about) - {one})
    for count in range(len(others)):
        if comb(len(others), count) > MOST_SETS:
            break
        for some in combinations(others, count):
            if _leaves(scene, one, frozenset(some)) and _all_leave(scene, some):
                return some
    needed = others
    for other in others:
        rest = [kept for kept in needed if kept != other]
        if _leaves(scene, one, frozenset(rest)) and _all_leave(scene, rest):
            needed = rest
    return tuple(needed)


def _all_leave(scene: Scene, some: Iterable[str]) -> bool:
    """Whether these can all leave, in some order, with everything else in place."""
    return not taking_out(scene, some)[1]


def _held(scene: Scene, about: dict[str, Placed], stuck: list[str]) -> Iterator[Finding]:
    """Those that never leave although each of them could if the others were gone."""
    every = frozenset(about)
    held = [one for one in stuck if _leaves(scene, one, every - {one})]
    unsure = [one for one in stuck if attempt(scene, about[one], every - frozenset(stuck)) == "too-close"]
    if len(held) < 2:
        return  # held by what never leaves at all: its own way out says so
    names = listed(the(about[one].name) for one in held)
    if unsure:
        yield Finding(
            ID, "look-again", f"{start(names)} may hold each other in: too close to call. Measure the way again.",
            tuple(held), topic="deadlock", title="The room may not go together as drawn", where=_around(about, held),
        )  # fmt: skip
        return
    loose, others = [one for one in held if about[one].movable], "the other" if len(held) == 2 else "the others"
    aside = ""
    if loose:
        moved = listed(named(scene, one) for one in loose)
        aside = f" See whether there is room to move {moved} aside."
    yield Finding(
        ID, "look-again" if loose else "put-right",
        f"{start(names)} hold each other in: the room cannot be put together as drawn."
        f"{aside or f' Move one of them out of the way of {others}.'}", tuple(held),
        topic="deadlock", title="The room cannot be put together as drawn", where=_around(about, held),
    )  # fmt: skip


def _around(about: dict[str, Placed], held: list[str]) -> Where:
    """The floor under pieces and between them, as high as the tallest."""
    bodies = [part.polygon for one in held for part in about[one].body]
    ring = shapely.get_coordinates(shapely.convex_hull(shapely.union_all(bodies)))[:-1]
    return Where(tuple((float(x), float(y)) for x, y in ring), 0.0, max(about[one].top_mm for one in held))


def _order(scene: Scene, rounds: list[list[str]]) -> Finding:
    ids = tuple(one for some in reversed(rounds) for one in some)
    names = [named(scene, one).removeprefix("the ") for one in ids]
    text = f"Bring in first {names[0]}, then {listed(names[1:])}."
    return Finding(ID, "no-fault", text, ids, topic="order")


def _first(scene: Scene, one: str, before: tuple[str, ...]) -> Finding:
    names = listed(named(scene, other) for other in before)
    comes = "comes" if len(before) == 1 else "come"
    text = f"To replace {named(scene, one)}, {names} {comes} out first."
    return Finding(ID, "no-fault", text, (one,), before, topic="first")


CHECK = Check(
    id=ID,
    title="Everything can be brought in, one piece after another",
    failing_title="The room cannot be put together as drawn",
    reason="A piece that was put in first and is walled in by later ones comes out last, with all of them.",
    source=Source("Plain geometry", "ways out of all pieces, one after another", "", "typical"),
    find=find,
    slow=True,
)
