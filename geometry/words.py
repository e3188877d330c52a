"""Small words: sentence starts, lists of names, and which way a move goes."""

import re
from collections.abc import Iterable
from functools import lru_cache
from math import hypot

from geometry.scene import Scene
from geometry.units import Point

_NUMBERED = re.compile(r" \d+($|'s )")


@lru_cache(maxsize=2048)
def start(name: str) -> str:
    """A name at the start of a sentence.

    >>> start("boiler, flue turret")
    'Boiler, flue turret'
    """
    return name[:1].upper() + name[1:]


@lru_cache(maxsize=2048)
def within(name: str) -> str:
    """A name inside a sentence: first letter small, unless it is an abbreviation or a name of its own.

    >>> within("Wall boiler"), within("CO alarm"), within("U-tube")
    ('wall boiler', 'CO alarm', 'U-tube')
    """
    if len(name) > 1 and (name[1].isupper() or not name[1].isalpha()):
        return name
    return name[:1].lower() + name[1:]


@lru_cache(maxsize=2048)
def the(name: str) -> str:
    """A name inside a sentence with its article; one that ends in a number goes without.

    >>> the("Wall boiler"), the("The old tank"), the("Tundish 2"), the("Tundish 2's tail")
    ('the wall boiler', 'the old tank', 'tundish 2', "tundish 2's tail")
    """
    inside = within(name)
    return inside if inside.startswith("the ") or _NUMBERED.search(inside) else f"the {inside}"


def listed(names: Iterable[str]) -> str:
    """Names in a row.

    >>> listed(["boiler", "tank", "pump"]), listed(["boiler"])
    ('boiler, tank and pump', 'boiler')
    """
    every = list(names)
    if len(every) < 2:
        return "".join(every)
    return ", ".join(every[:-1]) + " and " + every[-1]


def all_of(count: int) -> str:
    """All of several things, at the start of a sentence.

    >>> all_of(2), all_of(5)
    ('Both', 'All 5')
    """
    return "Both" if count == 2 else f"All {count}"


def named(scene: Scene, ref: str) -> str:
    """How a sentence names a thing by its id: "the washing machine", "the back wall", "the soffit", "door d1"."""
    if ref.startswith("edge:"):
        return wall_name(scene, int(ref[5:]))
    name = scene.names.get(ref, ref)
    openings = {*(door.id for door in scene.room.doors), *(window.id for window in scene.room.windows)}
    return name if ref in openings else the(name)


def obstacle(scene: Scene, ref: str) -> str:
    """How a sentence names what stands in the way; a door's id there means the wall on its far side."""
    beyond = any(door.id == ref for door in scene.room.doors)
    return f"the wall beyond {named(scene, ref)}" if beyond else named(scene, ref)


def wall_name(scene: Scene, edge: int) -> str:
    """What people call a wall of the plan: back, front, left or right where only one wall faces that way.

    >>> from geometry.samples import sample_scene
    >>> [wall_name(sample_scene([], []), i) for i in range(4)]
    ['the front wall', 'the right wall', 'the back wall', 'the left wall']
    """
    ways = [_way((-e.inward[0], -e.inward[1])) for e in scene.edges]
    if ways.count(ways[edge]) == 1:
        return f"the {ways[edge]} wall"
    letters = "abcdefghijklmnopqrstuvwxyz"
    return f"wall {letters[edge] if edge < 26 else edge + 1}"


def _way(direction: Point) -> str:
    x, y = direction
    if abs(x) > abs(y):
        return "right" if x > 0 else "left"
    return "back" if y > 0 else "front"


def towards(scene: Scene, at: Point, move: Point) -> str:
    """Which way a move goes, in words a person can follow with the plan in hand."""
    length = hypot(*move) or 1.0
    for door, opening in scene.openings:
        x, y = opening.centre
        gap = hypot(x - at[0], y - at[1]) or 1.0
        if ((x - at[0]) * move[0] + (y - at[1]) * move[1]) / (gap * length) > 0.94:
            return "towards the door" if len(scene.room.doors) == 1 else f"towards door {door.id}"
    words = {"right": "to the right", "left": "to the left", "back": "towards the back", "front": "towards the front"}
    x, y = move
    if min(abs(x), abs(y)) < 0.5:
        return words[_way(move)]
    return f"{words[_way((x, 0))]} and {abs(y):,.0f} mm {words[_way((0, y))]}"
