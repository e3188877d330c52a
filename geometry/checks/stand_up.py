"""Whether a tall piece can be tipped upright at its place: its diagonal against the lowest ceiling over it.

The diagonal is that of the height and the smaller side of the base, for a round body the diameter. Where it is too
long for the ceiling there, the piece may still be tipped elsewhere in the room and moved to its place upright, or come
in upright all the way; both are looked at again.

>>> from geometry.samples import piece, round_kit, sample_scene
>>> cylinder = round_kit("cylinder", 550, 2080)
>>> door = {"id": "d1", "edge": 0, "from_mm": 100, "clear_mm": 700}
>>> scene = sample_scene([cylinder], [piece(cylinder, 1200, 900)], ceiling={"height_mm": 2100}, doors=[door])
>>> [f.message for f in find(scene)]
['The cylinder needs 2,151 mm to be tipped upright; the ceiling is 2,100 mm up there.']
"""

from collections.abc import Iterator

import shapely

from geometry.carrying import load_of
from geometry.ceilings import Low, lowest_over
from geometry.check import TIGHT, Check, Finding, Verdict, Where, judge, mm, mm_left
from geometry.kit import Kit
from geometry.passing import ground_for, meeting, spot
from geometry.rules import rule_pack
from geometry.scene import Placed, Scene
from geometry.sums.stand import diagonal_mm
from geometry.ways import lets_through
from geometry.words import named, start, the

ID = "stand-up"


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each tall piece that stands."""
    tall = scene.pack.number("stand-up-from")
    for placed in scene.placed:
        stands = placed.kit.stands_on == "floor" and placed.kit.height_mm >= tall
        if stands and (only is None or placed.id in only):
            yield _judged(scene, placed)


def _base(kit: Kit) -> float:
    return min(kit.plan.width_mm, kit.plan.depth_mm)


def _judged(scene: Scene, placed: Placed) -> Finding:
    lies = diagonal_mm(placed.kit.height_mm, _base(placed.kit))
    needed = placed.base_mm + lies
    whole = all(scene.roof.known_over(part.polygon) for part in placed.body)
    lows = [low for part in placed.body if (low := lowest_over(scene.roof, part))]
    low = min(lows, key=lambda found: (found.height_mm, found.name), default=None)
    if low is None or (not whole and low.height_mm >= needed):
        return _unknown(placed, lies)
    verdict = judge(low.height_mm - needed, scene.room.tolerance_mm)
    other = _otherwise(scene, placed, lies) if verdict == "put-right" else ""
    return _told(scene, placed, lies, low, "look-again" if other else verdict, other)


def _unknown(placed: Placed, needed: float) -> Finding:
    piece = the(placed.name)
    return Finding(
        ID, "not-checked", f"{start(piece)} needs {mm(needed)} to be tipped upright; the ceiling is not measured.",
        (placed.id,), ("ceiling",), needed=needed, basis=placed.kit.basis,
        question=f"How high is the ceiling over {piece}?",
    )  # fmt: skip


def _told(scene: Scene, placed: Placed, lies: float, low: Low, verdict: Verdict, other: str) -> Finding:
    found, piece = low.height_mm - placed.base_mm, the(placed.name)
    above = f"{mm_left(found, lies) if found < lies else mm(found)} up there"
    over = " above its base" if placed.base_mm else ""
    text = f"{start(piece)} needs {mm(lies)} to be tipped upright; {named(scene, low.name)} is {above}{over}."
    tight = verdict == "look-again" and not other
    short = max(0.0, lies - found)
    return Finding(
        ID, verdict, text + (f" {TIGHT}" if tight else f" {other}" if other else ""), (placed.id,),
        (low.name,) if verdict != "no-fault" else (), needed=lies, found=found, short=short, basis=placed.kit.basis,
        title="" if verdict == "no-fault" else f"{start(piece)} can{' only just' if tight else 'not'} be tipped up",
        where=Where(placed.body[0], placed.base_mm, placed.top_mm) if verdict != "no-fault" else None,
    )  # fmt: skip


def _otherwise(scene: Scene, placed: Placed, lies: float) -> str:
    """How it may still get to its place upright: tipped elsewhere in the room, or carried in as it stands."""
    if _tipped_elsewhere(scene, placed, lies):
        return "Tip it upright where there is more height, and move it to its place as it stands."
    load = load_of(placed, scene.pack)
    doors = [door for door in scene.room.doors if lets_through(door, load.tall_mm, load.lift_mm)]
    if doors:
        return f"Keep it upright all the way in: door {min(door.id for door in doors)} is high enough."
    return ""


def _tipped_elsewhere(scene: Scene, placed: Placed, lies: float) -> bool:
    """Whether there is a place in the room where the ceiling lets it be tipped, and from there a way to its own."""
    gone, step = frozenset((placed.id,)), scene.pack.number("step-over")
    radius = load_of(placed, scene.pack).carried.radius_mm
    upright = ground_for(scene, step, placed.kit.height_mm, gone)
    joined = meeting(upright.free(_base(placed.kit) / 2 - 1.0), spot(placed.piece.at_mm))
    higher = shapely.union_all(ground_for(scene, step, lies, gone).free(radius)).intersection(scene.floor)
    return any(part.intersection(higher).area > 1.0 for part in joined)


CHECK = Check(
    id=ID,
    title="Everything tall can be tipped upright",
    failing_title="Something tall cannot be tipped upright",
    reason="Something that fits under the ceiling when it stands may not get there: its diagonal is longer.",
    source=rule_pack("england").source("stand-up-from"),
    find=find,
)
