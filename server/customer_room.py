"""The room in the customer's words: what stays theirs, which floor to keep clear, the doors, and what to mind."""

from collections.abc import Mapping

from geometry.check import mm
from geometry.doors import Opened, hung_leaves, opened
from geometry.room import Door, KeepFree
from geometry.scene import Placed, Scene
from geometry.shapes import convex_parts
from geometry.units import whole_mm
from geometry.words import listed, start, wall_name
from geometry.words import the as with_the
from server.customer_names import is_are, plural_name, the
from server.customer_words import Plain
from server.drawing.corner_floor import OWN_GROUP, free_floor, worked_on

LEAST_AREA_M2 = 0.05
_ROUNDING_DEG = 0.01

_CAUTIONS: tuple[tuple[tuple[str, ...], str], ...] = (
    ((), "The makers' books and the law count for more than this page."),
    (("gas",), "Only a gas engineer may work on the boiler, the gas pipe or the flue."),
    (
        ("gas",),
        "If you smell gas, turn it off at the meter. Open the windows. Touch no switch. Call the gas emergency line.",
    ),
    (("gas", "oil"), "Have a carbon monoxide alarm where your engineer says."),
    (("unvented-store",), "Only a trained person may work on the hot water cylinder. Never block its drain pipe."),
    (("unvented-store", "store", "hot"), "Very hot water burns. Take care with children and older people."),
    (("electrical",), "Leave the wires to an electrician."),
    (("store", "cistern"), "A full tank is very heavy. Someone must ask what the floor can carry."),
    ((), "Do not stack things against the kit or over air vents."),
)


def stays_yours(scene: Scene, names: Mapping[str, str]) -> list[str]:
    """The customer's own spaces, what of theirs stays, and the floor that is left."""
    sentences = [_keeps_its_place(own) for own in scene.room.keep_free]
    own = [names[item.id] for item in scene.placed if item.kit.group == OWN_GROUP]
    if own:
        sentences.append(f"{start(listed(the(name) for name in own))} {'stays' if is_are(own) == 'is' else 'stay'}.")
    moved = [the(names[item.id]) for item in scene.placed if item.movable]
    if moved:
        sentences.append(f"{start(listed(moved))} must be able to slide out.")
    area_m2 = free_floor(scene).area / 1e6
    if area_m2 < LEAST_AREA_M2:
        return [*sentences, "No other floor is left free."]
    return [*sentences, f"About {area_m2:.1f} square metres of floor stay free."]


def _keeps_its_place(own: KeepFree) -> str:
    x0, y0, x1, y1 = _bounds(own)
    wide, deep = sorted((x1 - x0, y1 - y0), reverse=True)
    keeps = "keep their place" if plural_name(own.name) else "keeps its place"
    return f"{start(with_the(own.name))} {keeps}, {whole_mm(wide):,} by {mm(deep)}."


def _bounds(own: KeepFree) -> tuple[float, float, float, float]:
    parts = [part.bounds for part in convex_parts(own.area_mm)]
    lows = (min(b[0] for b in parts), min(b[1] for b in parts))
    return (*lows, max(b[2] for b in parts), max(b[3] for b in parts))


def keep_clear(scene: Scene, names: Mapping[str, str]) -> list[str]:
    """Who stands on the dotted floor, how often, and what may stand there."""
    visits: dict[float, list[Placed]] = {}
    for item in scene.placed:
        if worked_on(item):
            visits.setdefault(item.kit.visits_a_year or 0.0, []).append(item)
    if not visits:
        return ["No floor has to stay clear for the work."]
    sentences = [
        f"Someone stands here to look after {listed(the(names[i.id]) for i in items)}, {how_often(times)}."
        for times, items in sorted(visits.items())
    ]
    return [*sentences, "A bag for an hour is fine. A freezer is not."]


def how_often(times_a_year: float) -> str:
    """How often a year, as people say it.

    >>> [how_often(times) for times in (1, 2, 12, 8)]
    ['about once a year', 'about twice a year', 'about once a month', 'about 8 times a year']
    """
    said = {1.0: "about once a year", 2.0: "about twice a year", 12.0: "about once a month"}
    return said.get(float(times_a_year), f"about {times_a_year:g} times a year")


def cautions(scene: Scene) -> list[str]:
    """What to mind, for the kit that is in the room."""
    traits = {trait for item in scene.placed for trait in item.kit.traits}
    return [text for about, text in _CAUTIONS if not about or traits & set(about)]


def door_words(scene: Scene, plain: Plain) -> list[str]:
    """How far each door opens, and what stops it."""
    hung = list(hung_leaves(scene))
    turning = dict[str, list[Opened]]()
    for far in opened(scene, hung):
        turning.setdefault(far.leaf.owner, []).append(far)
    sentences = []
    for door in scene.room.doors:
        called = "The door" if len(scene.room.doors) == 1 else f"The door in {wall_name(scene, door.edge)}"
        sentences += _opens(called, door, turning.get(door.id, []), plain)
    for item in scene.placed:
        for far in turning.get(item.id, []):
            sentences += _stopped(f"The door of {the(plain.names[item.id])} opens", far, plain)
    return list(dict.fromkeys(sentences)) or ["The room has no door yet."]


def _opens(called: str, door: Door, turning: list[Opened], plain: Plain) -> list[str]:
    if door.leaf.kind == "none":
        return [f"{called} is an open doorway."]
    if door.leaf.kind == "sliding":
        return [f"{called} slides open."]
    way = "into the room" if door.leaf.opens == "in" else "out of the room"
    stopped = [s for far in turning for s in _stopped(f"{called} opens {way}", far, plain)]
    return stopped or [f"{called} opens {way}, all the way."]


def _stopped(opens: str, far: Opened, plain: Plain) -> list[str]:
    """What keeps a leaf from opening as far as it has to; nothing where it does open."""
    need = far.leaf.needed_deg
    if far.fixed and far.fixed.angle_deg < need - _ROUNDING_DEG:
        other = plain.called(far.fixed.owner)
        stands = "stand" if plural_name(other) else "stands"
        return [f"{opens} only to {far.fixed.angle_deg:.0f} degrees. {start(other)} {stands} in its way."]
    if far.loose and far.loose.angle_deg < need - _ROUNDING_DEG:
        other = plain.called(far.loose.owner)
        return [f"{opens} all the way only when {other} {is_are([other])} moved."]
    return []
