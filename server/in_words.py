"""The room told in words, for a person who cannot see the drawing: walls, doors, kit with its places, the counts."""

from collections.abc import Mapping

from geometry.scene import Scene
from geometry.words import listed, start, wall_name
from server.drawing.kit import told
from server.drawing.seats import Seats, seats
from server.web import mm, plural
from server.wording import VERDICT_WORDS

Told = list[tuple[str, list[str]]]
OPENS = {"in": "opens into the room", "out": "opens outwards"}


def room_in_words(scene: Scene, counts: Mapping[str, int]) -> Told:
    """Headings, each with its sentences.

    >>> from geometry.samples import box_kit, piece, sample_scene
    >>> tank = box_kit("tank")
    >>> words = dict(room_in_words(sample_scene([tank], [piece(tank, 300, 1600)]), {"put-right": 1}))
    >>> words["The room"][0]
    'Sample room is 2,400 mm wide and 1,800 mm deep, the ceiling 2,400 mm up.'
    >>> words["Kit, 1 piece"]
    ['Tank, 0 mm from the left wall, against the back wall, on the floor.']
    >>> words["Counts"]
    ['1 put right, 0 look again, 0 not checked, 0 no fault found.']
    """
    found = seats(scene)
    return [
        ("The room", _room(scene)),
        ("Walls", [_wall(scene, found, index) for index in range(len(scene.edges))]),
        *([("Doors", _doors(scene))] if scene.room.doors else []),
        (f"Kit, {plural(len(scene.placed), 'piece')}", _kit(scene, found)),
        ("Counts", [", ".join(f"{counts.get(key, 0)} {words}" for key, words in VERDICT_WORDS.items()) + "."]),
    ]


def _room(scene: Scene) -> list[str]:
    room, (x0, y0, x1, y1) = scene.room, scene.floor.bounds
    high = room.ceiling.height_mm
    ceiling = "the ceiling not measured" if high is None else f"the ceiling {mm(high)} mm up"
    sentences = [f"{room.name} is {mm(x1 - x0)} mm wide and {mm(y1 - y0)} mm deep, {ceiling}."]
    lower = [slope.name for slope in room.ceiling.slopes] + [beam.name for beam in room.ceiling.beams]
    if lower:
        sentences.append(f"Lower in places: {listed(lower)}.")
    if room.fixtures:
        sentences.append(f"Built in: {listed(block.name for block in room.fixtures)}.")
    if room.keep_free:
        sentences.append(f"Kept free: {listed(area.name for area in room.keep_free)}.")
    return sentences


def _wall(scene: Scene, found: Seats, index: int) -> str:
    edge = scene.edges[index]
    parts = [f"{start(wall_name(scene, index).removeprefix('the '))}, {mm(edge.length_mm)} mm long"]
    for window in scene.room.windows:
        if window.edge == index:
            parts.append(f"a window {mm(window.width_mm)} mm wide, {mm(window.sill_mm)} to {mm(window.head_mm)} mm up")
    parts += [f"door {door.id}" for door in scene.room.doors if door.edge == index]
    here = [item.name for item in scene.placed if found.home[item.id].edge == index]
    parts.append(f"by it {listed(here)}" if here else "nothing by it")
    return ", ".join(parts) + "."


def _doors(scene: Scene) -> list[str]:
    sentences = []
    for door in scene.room.doors:
        left = scene.edges[door.edge].length_mm - door.from_mm - door.clear_mm
        leaf = "a bare opening" if door.leaf.kind == "none" else f"{door.leaf.kind}, {OPENS[door.leaf.opens]}"
        sentences.append(
            f"Door {door.id} in {wall_name(scene, door.edge)}, {mm(left)} mm from its left corner seen from inside,"
            f" {mm(door.clear_mm)} mm clear and {mm(door.head_mm)} mm high, {leaf}."
        )
    return sentences


def _kit(scene: Scene, found: Seats) -> list[str]:
    return [f"{told(scene, item, found.home[item.id])}." for item in scene.placed] or ["Nothing stands in it yet."]
