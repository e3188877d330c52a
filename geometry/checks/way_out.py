"""Whether each piece can leave the room: from its place, through a door and to the floor beyond, turning included.

Pieces that stand on the floor, and hung ones too heavy to lift over others, are carried upright at the height they
need (their own, and what the truck lifts them); everything that reaches into that height is in the way, soffits,
beams and door heads included. A round piece is answered exactly; a box from both sides, with "too close to call"
between. Movable pieces are taken away only if that helps, and are then named as what to move first.

>>> from geometry.samples import box_kit, piece, round_kit, sample_scene
>>> cylinder = round_kit("cylinder", 550, 1500, dry_kg=47, carry={"round_mm": 550, "kg": 47})
>>> door = {"id": "d1", "edge": 0, "from_mm": 900, "clear_mm": 540}
>>> scene = sample_scene([cylinder], [piece(cylinder, 1200, 1400)], doors=[door])
>>> [(f.verdict, f.needed, round(f.short)) for f in find(scene)]
[('put-right', 550.0, 10)]
"""

from collections.abc import Iterator

from geometry.check import Check, Finding, Where, mm
from geometry.passing import Carried, Ground, carry, ground_for, pinch, widest
from geometry.rules import Source
from geometry.scene import Placed, Scene
from geometry.shapes import disc
from geometry.ways import beyond, doorway_of
from geometry.words import listed, named, start

ID = "way-out"
SHAVE_MM = 0.5
"""A disc is asked with this much less than its own diameter: a piece may touch what it stands against."""


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each piece that has to be carried out."""
    about = [placed for placed in scene.placed if is_carried(scene, placed) and (only is None or placed.id in only)]
    if about and not scene.room.doors:
        yield Finding(
            ID, "not-checked", "The room has no door: nothing was checked on its way out.",
            question="Where is the door, how wide is it clear, and how high?",
        )  # fmt: skip
        return
    for placed in about:
        yield _judged(scene, placed)


def is_carried(scene: Scene, placed: Placed) -> bool:
    """Whether a piece has to be carried out along the floor: one person lifts a lighter hung one over what is there."""
    mass = placed.kit.dry_kg
    return placed.kit.stands_on == "floor" or (mass is not None and mass >= scene.pack.number("lift-alone"))


def _height(placed: Placed) -> float:
    carried = placed.kit.carry
    tall = carried.height_mm if carried and carried.height_mm else placed.kit.height_mm
    return tall + (carried.lift_mm if carried else 30.0)


def _size(placed: Placed) -> tuple[float, float]:
    carried = placed.kit.carry
    if carried and carried.round_mm:
        return (carried.round_mm, 0.0)
    if carried and carried.box_mm:
        return carried.box_mm
    plan = placed.kit.plan
    return (plan.round_mm, 0.0) if plan.round_mm else (plan.width_mm, plan.depth_mm)


def _judged(scene: Scene, placed: Placed) -> Finding:
    low = [door for door in scene.room.doors if door.head_mm >= _height(placed)]
    if not low:
        return _too_tall(scene, placed)
    answer = attempt(scene, placed, frozenset())
    if answer == "out":
        return Finding(
            ID, "no-fault", f"{start(placed.name)} can go out upright.", (placed.id,), basis=placed.kit.basis
        )
    loose = [other.id for other in scene.placed if other.movable and other.id != placed.id]
    for first in [(one,) for one in loose] + ([tuple(loose)] if len(loose) > 1 else []):
        if attempt(scene, placed, frozenset(first)) == "out":
            return _move_first(scene, placed, first)
    if answer == "too-close":
        return Finding(
            ID, "look-again", f"{start(placed.name)} is too close to call on its way out: measure the way again.",
            (placed.id,), title=f"{start(placed.name)}: the way out is too close to call", basis=placed.kit.basis,
        )  # fmt: skip
    return _trapped(scene, placed, frozenset(loose))


def _ground(scene: Scene, placed: Placed, without: frozenset[str]) -> Ground:
    bottom = placed.base_mm if placed.kit.stands_on == "wall" else 0.0
    return ground_for(scene, bottom, bottom + _height(placed), without | {placed.id})


def attempt(scene: Scene, placed: Placed, without: frozenset[str]) -> str:
    """Whether a piece can leave upright with some others gone: out, trapped or too-close."""
    ground = _ground(scene, placed, without)
    length, width = _size(placed)
    tall = _height(placed)
    if width == 0:
        far = widest(ground, placed.piece.at_mm, lambda r: beyond(scene, r, tall), length - SHAVE_MM)
        return "out" if far >= length - SHAVE_MM else "trapped"
    carried = Carried(length, width, placed.piece.at_mm, placed.piece.turn_deg)
    return carry(ground, carried, lambda r: beyond(scene, r, tall))


def _move_first(scene: Scene, placed: Placed, first: tuple[str, ...]) -> Finding:
    names = listed(named(scene, one) for one in first)
    return Finding(
        ID, "look-again", f"{start(placed.name)} can go out once {names} {'is' if len(first) == 1 else 'are'} moved: "
        f"move {names} first.", (placed.id,), first, topic="move-first",
        title=f"{start(placed.name)}: move something to get it out", basis=placed.kit.basis,
    )  # fmt: skip


def _too_tall(scene: Scene, placed: Placed) -> Finding:
    tallest = max(scene.room.doors, key=lambda door: door.head_mm)
    short = _height(placed) - tallest.head_mm
    tips = placed.kit.carry is not None and {"tip", "lie"} & set(placed.kit.carry.ways)
    head = f"the head of door {tallest.id} is {mm(tallest.head_mm)}"
    text = f"{start(placed.name)} is carried {mm(_height(placed))} tall; {head}."
    return Finding(
        ID, "look-again" if tips else "put-right", text + (" It has to be tipped to go through." if tips else ""),
        (placed.id,), (tallest.id,), topic="height", needed=_height(placed), found=tallest.head_mm, short=short,
        title=f"{start(placed.name)} is taller than the door", basis=placed.kit.basis,
    )  # fmt: skip


def _trapped(scene: Scene, placed: Placed, without: frozenset[str]) -> Finding:
    ground, tall = _ground(scene, placed, without), _height(placed)
    length, width = _size(placed)
    needed = min(length, width) if width else length
    at = placed.piece.at_mm
    most = widest(ground, at, lambda r: beyond(scene, r, tall), needed)
    if most >= needed - SHAVE_MM:
        return Finding(
            ID, "put-right", f"{start(placed.name)} is trapped: it cannot be turned on its way out.", (placed.id,),
            topic="turn", title=f"{start(placed.name)} cannot come out", needed=None, basis=placed.kit.basis,
        )  # fmt: skip
    gate = pinch(ground, at, lambda r: beyond(scene, r, tall), most)
    door = doorway_of(scene, gate.at)
    where = f"at door {door}" if door else f"between {listed(named(scene, ref) for ref in dict.fromkeys(gate.between))}"
    return Finding(
        ID, "put-right", f"{start(placed.name)} is trapped: it needs {mm(needed)} and {mm(most)} is there {where}.",
        (placed.id,), (door,) if door else tuple(dict.fromkeys(gate.between)),
        title=f"{start(placed.name)} cannot come out", needed=needed, found=most, short=needed - most,
        basis=placed.kit.basis, where=Where(disc(gate.at, most / 2), 0.0, tall),
    )  # fmt: skip


CHECK = Check(
    id=ID,
    title="Every piece can leave the room",
    failing_title="A piece cannot leave the room",
    reason="Everything here will be replaced one day. What cannot leave is cut up, or the wall is.",
    source=Source("Geometry", "the room as measured; the size that has to pass, as given for each kind", "", "typical"),
    find=find,
    slow=True,
)
