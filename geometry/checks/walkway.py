"""The widest person that can walk from a door to each place where somebody works, and the headroom on the way.

A working place is the floor in front of a piece from which an arm reaches it.
A person is a disc of the walkway's width and headroom high, who steps over what is lower than a step. Where even the
least width does not get through, the narrowest place, its width and the two things that make it are named.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> front = [{"side": "front", "mm": 400, "why": "somebody kneels here"}]
>>> pump, tank = box_kit("pump", 400, 300, space=front), box_kit("tank", 600, 1330)
>>> door = {"id": "d1", "edge": 0, "from_mm": 1500, "clear_mm": 800}
>>> room = sample_scene([pump, tank], [piece(pump, 300, 300, 180), piece(tank, 1200, 665)], doors=[door])
>>> [(f.pieces, f.verdict, round(f.found)) for f in find(room)]
[(('pump',), 'put-right', 470)]
"""

from collections.abc import Iterator

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from geometry.check import Check, Finding, Verdict, Where, mm
from geometry.rules import RulePack, rule_pack
from geometry.scene import Placed, Scene
from geometry.shapes import disc, swept
from geometry.ways import Walk, doorway_of, walk
from geometry.words import listed, named, within

ID = "walkway"


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each piece that has a front to work at."""
    pack = scene.pack
    about = [placed for placed in scene.placed if _worked_at(placed) and (only is None or placed.id in only)]
    if about and not scene.room.doors:
        yield Finding(
            ID, "not-checked", "The room has no door: nothing was checked on the way to the kit.",
            question="Where is the door, how wide is it clear, and how high?",
        )  # fmt: skip
        return
    upright = walk(scene, pack.number("walkway-headroom"), pack.number("step-over"))
    for placed in about:
        yield _judged(scene, pack, upright, placed)


def _worked_at(placed: Placed) -> bool:
    return any(space.side == "front" and space.mm > 0 for space in placed.kit.space)


def place_in_front(placed: Placed, deep_mm: float) -> BaseGeometry:
    """The floor in front of a piece where a person may stand to work on it."""
    out = placed.direction("front")
    strips = [Polygon(swept(part, out, deep_mm).polygon).difference(part.polygon) for part in placed.body]
    return shapely.union_all(strips)


def _judged(scene: Scene, pack: RulePack, upright: Walk, placed: Placed) -> Finding:
    good, least = pack.number("walkway-width"), pack.number("walkway-least")
    place = place_in_front(placed, pack.number("reach-depth") + good / 2)
    width = upright.widest_to(place, good + scene.room.tolerance_mm)
    if width >= good + scene.room.tolerance_mm:
        text = f"A person {mm(good)} wide can walk to the {within(placed.name)}."
        return Finding(ID, "no-fault", text, (placed.id,), needed=good, found=None, source=pack.source("walkway-width"))
    if width < least and (stooped := _stooped(scene, pack, place)):
        return stooped_finding(placed, pack, *stooped)
    return _narrow(scene, pack, upright, placed, place, width)


def _stooped(scene: Scene, pack: RulePack, place: BaseGeometry) -> tuple[float, float] | None:
    """(headroom, width) with which a person gets there who does not walk upright."""
    least = pack.number("walkway-least")
    for height in (pack.number("stoop-height"), pack.number("kneel-height")):
        low = walk(scene, height, pack.number("step-over"))
        if low.reached(least).intersects(place):
            return height, least
    return None


def stooped_finding(placed: Placed, pack: RulePack, height: float, width: float) -> Finding:
    """A place that is reached only bent down."""
    needed = pack.number("walkway-headroom")
    return Finding(
        ID, "look-again",
        f"The way to the {within(placed.name)} has less than {mm(needed)} of headroom: "
        f"a person gets there {mm(height)} high.",
        (placed.id,), topic="headroom", title=f"No headroom on the way to the {within(placed.name)}",
        needed=needed, found=height, short=needed - height, source=pack.source("walkway-headroom"),
    )  # fmt: skip


def _narrow(scene: Scene, pack: RulePack, upright: Walk, placed: Placed, place: BaseGeometry, width: float) -> Finding:
    good, least = pack.number("walkway-width"), pack.number("walkway-least")
    verdict: Verdict = "put-right" if width < least else "look-again"
    gate = upright.pinch_to(place, width)
    if gate is None or width <= 0:
        text = f"Nobody can get to the {within(placed.name)}: no floor in front of it is free."
        return Finding(
            ID, "put-right", text, (placed.id,), title=f"Nobody can get to the {within(placed.name)}", needed=good,
            found=0.0, short=good, source=pack.source("walkway-width"),
        )  # fmt: skip
    door = doorway_of(scene, gate.at)
    between = dict.fromkeys(gate.between)
    where = f"in door {door}" if door else f"between {listed(named(scene, ref) for ref in between)}"
    return Finding(
        ID, verdict,
        f"The way to the {within(placed.name)} narrows to {mm(width)} {where}; {mm(good)} is needed to walk there.",
        (placed.id,), (door,) if door else tuple(between), title=f"The way to the {within(placed.name)} is narrow",
        needed=good, found=width, short=max(0.0, good - width), source=pack.source("walkway-width"),
        where=Where(disc(gate.at, max(width, 1.0) / 2), 0.0, upright.head_mm),
    )  # fmt: skip


CHECK = Check(
    id=ID,
    title="Every working place can be walked to",
    failing_title="The way to a working place is narrow",
    reason="A person with a tool bag has to get there, and back out in a hurry.",
    source=rule_pack("england").source("walkway-width"),
    find=find,
)
