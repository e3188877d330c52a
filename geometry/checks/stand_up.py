"""Whether a tall piece can be tipped upright at its place: its diagonal against the lowest ceiling over it.

The diagonal is that of the height and the smaller side of the base, for a round body the diameter. A piece that goes
through a door upright need not be tipped if it is kept upright all the way.

>>> from geometry.samples import piece, round_kit, sample_scene
>>> cylinder = round_kit("cylinder", 550, 2080)
>>> low = {"height_mm": 2100}
>>> scene = sample_scene([cylinder], [piece(cylinder, 1200, 900)], ceiling=low)
>>> [(f.verdict, round(f.needed, 1), f.found) for f in find(scene)]
[('put-right', 2151.5, 2100.0)]
"""

from collections.abc import Iterator
from math import hypot

from geometry.ceilings import lowest_over
from geometry.check import TIGHT, Check, Finding, Where, judge, mm
from geometry.kit import Kit
from geometry.rules import rule_pack
from geometry.scene import Placed, Scene
from geometry.words import named, start, within

ID = "stand-up"


def diagonal_mm(height_mm: float, base_mm: float) -> float:
    """Ceiling needed to tip something upright.

    >>> round(diagonal_mm(1800, 550), 3)
    1882.153
    """
    return hypot(height_mm, base_mm)


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
    needed = diagonal_mm(placed.kit.height_mm, _base(placed.kit))
    lows = [low for part in placed.body if (low := lowest_over(scene.roof, part))]
    the = within(placed.name)
    if not lows:
        return Finding(
            ID, "not-checked", f"The {the} needs {mm(needed)} to stand up; the ceiling is not measured.", (placed.id,),
            ("ceiling",), needed=needed, basis=placed.kit.basis, question=f"How high is the ceiling over the {the}?",
        )  # fmt: skip
    low = min(lows, key=lambda found: found.height_mm)
    verdict = judge(low.height_mm - needed, scene.room.tolerance_mm)
    upright = _comes_in_upright(scene, placed)
    if verdict == "put-right" and upright:
        verdict = "look-again"
    text = (
        f"The {the} needs {mm(needed)} to be tipped upright; {named(scene, low.name)} is {mm(low.height_mm)} up there."
    )
    if low.height_mm < needed and upright:
        text += f" Keep it upright all the way in: door {upright} lets it through."
    elif verdict == "look-again":
        text += f" {TIGHT}"
    return Finding(
        ID, verdict, text, (placed.id,), (low.name,) if verdict != "no-fault" else (), needed=needed,
        found=low.height_mm, short=max(0.0, needed - low.height_mm), basis=placed.kit.basis,
        title="" if verdict == "no-fault" else f"{start(placed.name)} cannot be tipped upright",
        where=Where(placed.body[0], placed.base_mm, placed.top_mm),
    )  # fmt: skip


def _comes_in_upright(scene: Scene, placed: Placed) -> str | None:
    lift = placed.kit.carry.lift_mm if placed.kit.carry else 30.0
    return next((door.id for door in scene.room.doors if door.head_mm >= placed.kit.height_mm + lift), None)


CHECK = Check(
    id=ID,
    title="Everything tall can be tipped upright",
    failing_title="Something tall cannot be tipped upright",
    reason="A cylinder that fits under the ceiling when it stands may not get there: its diagonal is longer.",
    source=rule_pack("england").source("stand-up-from"),
    find=find,
)
