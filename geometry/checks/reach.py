"""Whether an arm reaches each access point from floor that a person can get to and stand or kneel on.

The depth is measured in plan from the front of the body to the point, from the nearest place in front of the point
from which nothing solid is between, at the height of the point. A point as low as a kneeling person is high is reached
kneeling too, where there is only headroom for that; one higher than an arm reaches overhead needs a step, but for an
alarm: its button is pressed with a stick. Points of one piece that fail for the same reason are told together, with
the worst of them.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> tap = {"name": "drain cock", "at_mm": [0, -150, 200], "faces": "front", "tool": "hand"}
>>> pump, bench = box_kit("pump", 300, 300, 400, access=[tap]), box_kit("bench", 1600, 500, 900)
>>> door = {"id": "d1", "edge": 0, "from_mm": 1500, "clear_mm": 800}
>>> room = sample_scene([pump, bench], [piece(pump, 300, 1650), piece(bench, 800, 1250)], doors=[door])
>>> [f.message for f in find(room)]
['The drain cock of the pump cannot be reached: the bench is in the way of the arm. Move the pump or the bench.']
"""

from collections.abc import Iterator, Sized
from dataclasses import dataclass
from typing import Literal

from geometry.check import TIGHT, Check, Finding, Verdict, Where, judge, mm, mm_left
from geometry.doorless import without_a_door
from geometry.people import (
    Spot,
    arms,
    clear_arm,
    good_floor,
    least_floor,
    low_head_mm,
    out_of_arm_mm,
    spots,
)
from geometry.rules import rule_pack
from geometry.scene import Scene
from geometry.shapes import disc
from geometry.words import all_of, listed, named, start, the, within

ID = "reach"
_MARK_MM = 60.0
_FINE = ("", "stick")
Why = Literal["", "step", "tight", "far", "no-floor", "blocked", "move-first", "stick"]


@dataclass(frozen=True)
class _Reached:
    """How one point is reached, or why it is not: ``found_mm`` is the depth, or the height where a step is needed."""

    spot: Spot
    why: Why
    found_mm: float | None = None
    by: tuple[str, ...] = ()


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """For each piece one finding about the points that are reached, and one for each reason why others are not."""
    wanted = [spot for spot in spots(scene, only) if spot.access.tool != "eye"]
    if wanted and not scene.room.doors:
        yield without_a_door(
            ID, "on the way to what has to be reached", [spot.placed.id for spot in wanted] if only else None
        )
        return
    groups: dict[tuple[str, Why, tuple[str, ...]], list[_Reached]] = {}
    for one in _each(scene, wanted):
        groups.setdefault((one.spot.placed.id, one.why, one.by), []).append(one)
    for some in groups.values():
        yield _told(scene, some)


def _each(scene: Scene, wanted: list[Spot]) -> Iterator[_Reached]:
    """Nearly every point is reached straight from the nearest floor of a good walkway: the rest is looked into."""
    good = scene.pack.number("reach-depth") - scene.room.tolerance_mm
    overhead = scene.pack.number("reach-overhead")
    for spot, depth in zip(wanted, arms(scene, wanted, good_floor(scene)), strict=True):
        high = spot.at[2] > overhead
        if high and spot.placed.kit.has("alarm"):
            yield _Reached(spot, "stick")
            continue
        found = _Reached(spot, "", depth) if depth is not None and depth <= good else _looked_into(scene, spot)
        if found.why == "" and high:
            found = _Reached(spot, "step", spot.at[2])
        yield found


def _looked_into(scene: Scene, spot: Spot) -> _Reached:
    found = _from_any_floor(scene, spot, frozenset())
    loose = sorted(other.id for other in scene.placed if other.movable and other.id != spot.placed.id)
    if found.why in ("", "tight") or not loose:
        return found
    if _from_any_floor(scene, spot, frozenset(loose)).why not in ("", "tight"):
        return found
    singles = ((one,) for one in loose)
    first = next((some for some in singles if not _from_any_floor(scene, spot, frozenset(some)).why), tuple(loose))
    return _Reached(spot, "move-first", found.found_mm, first)


def _from_any_floor(scene: Scene, spot: Spot, without: frozenset[str]) -> _Reached:
    """How a point is reached standing, or bent as low as it may be, some pieces moved away."""
    pack, limit = scene.pack, scene.pack.number("reach-depth")
    heads = dict.fromkeys((pack.number("walkway-headroom"), low_head_mm(pack, spot.at[2])))
    floors = [least_floor(scene, head, without) for head in heads]
    tried = [clear_arm(scene, spot, floor, limit, without) for floor in floors]
    depths = [clear.depth_mm for clear in tried if clear and clear.depth_mm is not None]
    if depths:
        tight = judge(limit - min(depths), scene.room.tolerance_mm) != "no-fault"
        return _Reached(spot, "tight" if tight else "", min(depths))
    between = next((clear.between for clear in tried if clear and clear.between), None)
    if between:
        return _Reached(spot, "blocked", by=(between.owner,))
    far = [depth for floor in floors if (depth := out_of_arm_mm(spot, floor)) is not None]
    return _Reached(spot, "far", min(far)) if far else _Reached(spot, "no-floor")


def _told(scene: Scene, some: list[_Reached]) -> Finding:
    worst = max(some, key=lambda one: (one.found_mm or 0.0, one.spot.access.name))
    spot, why = worst.spot, worst.why
    needed = scene.pack.number("reach-overhead" if why == "step" else "reach-depth")
    figure = "reach-overhead" if why == "step" else "reach-depth"
    verdict: Verdict = (
        "no-fault" if why in _FINE else "look-again" if why in ("step", "tight", "move-first") else "put-right"
    )
    x, y, z = spot.at
    return Finding(
        ID, verdict, _says(scene, worst, some), (spot.placed.id,), worst.by,
        topic=why, title=_title(some) if why not in _FINE else "", needed=needed, found=worst.found_mm,
        short=None if worst.found_mm is None else max(0.0, worst.found_mm - needed),
        source=scene.pack.source(figure), basis=spot.placed.kit.basis,
        where=Where(disc((x, y), _MARK_MM), z - _MARK_MM, z + _MARK_MM) if why not in _FINE else None,
    )  # fmt: skip


def _title(some: list[_Reached]) -> str:
    placed, why = some[0].spot.placed, some[0].why
    words = {
        "step": "is too high to reach without a step", "tight": "is only just in reach",
        "move-first": "is reached once something moves",
    }  # fmt: skip
    what = f"the {within(some[0].spot.access.name)}" if len(some) == 1 else f"{len(some)} points"
    told = words.get(why, "is out of reach").replace("is ", "is " if len(some) == 1 else "are ", 1)
    if why == "step":
        return f"{start(placed.name)}: {what} {told}"
    return f"{start(what)} of {the(placed.name)} {told}"


def _says(scene: Scene, worst: _Reached, some: list[_Reached]) -> str:
    piece, name, count = the(worst.spot.placed.name), within(worst.spot.access.name), len(some)
    limit, found = scene.pack.number("reach-depth"), worst.found_mm or 0.0
    if not worst.why:
        every = f"{all_of(count)} points" if count > 1 else f"The {name}"
        return f"{every} of {piece} can be reached."
    one = f"The {name} of {piece}"
    if worst.why == "stick":
        return (
            f"{one} is {mm(worst.spot.at[2])} up: an alarm belongs high, and a stick presses it.{_others(some, worst)}"
        )
    if worst.why in ("far", "tight"):
        text = f"{one} is {_over(found, limit)} from where a person can stand; an arm reaches {mm(limit)} at most."
        return text + (f" {TIGHT}" if worst.why == "tight" else "") + _others(some, worst)
    if worst.why == "step":
        high = scene.pack.number("reach-overhead")
        return f"{one} is {_over(found, high)} up: a step is needed over {mm(high)}." + _others(some, worst)
    if worst.why == "no-floor":
        return f"{one} has no floor in front of it that anybody can get to." + _others(some, worst)
    if worst.by == (worst.spot.placed.id,):
        return f"{one} cannot be reached round its own body." + _others(some, worst)
    by = listed(named(scene, ref) for ref in worst.by)
    if worst.why == "move-first":
        return f"{one} can be reached once {by} {_is(worst.by)} moved: move {by} first." + _others(some, worst)
    to_move = " or ".join([piece, *(named(scene, ref) for ref in worst.by if scene.piece(ref))])
    return f"{one} cannot be reached: {by} is in the way of the arm.{_others(some, worst)} Move {to_move}."


def _is(what: Sized) -> str:
    return "is" if len(what) == 1 else "are"


def _over(found_mm: float, limit_mm: float) -> str:
    """A length over a limit, to a tenth where whole millimetres would make it the limit."""
    return mm_left(found_mm, found_mm + 1) if mm(found_mm) != mm(limit_mm) else f"{found_mm:,.1f} mm"


_ALSO: dict[Why, tuple[str, str]] = {
    "far": ("is out of reach too", "are out of reach too"), "tight": ("is hardly nearer", "are hardly nearer"),
    "step": ("is as high", "are as high"), "no-floor": ("has none either", "have none either"),
    "stick": ("is as high", "are as high"),
    "blocked": ("is behind it too", "are behind it too"),
    "move-first": ("can then be reached too", "can then be reached too"),
}  # fmt: skip


def _others(some: list[_Reached], worst: _Reached) -> str:
    """What else is so, by name while there are few."""
    rest = [within(one.spot.access.name) for one in some if one is not worst]
    if not rest:
        return ""
    also = _ALSO[worst.why][len(rest) > 1]
    return f" {len(rest)} more of its points {also}." if len(rest) > 3 else f" Its {listed(rest)} {also}."


CHECK = Check(
    id=ID,
    title="Every access point can be reached",
    failing_title="An access point is out of reach",
    reason="A valve, screw or lid that no hand gets to is not serviced until it fails.",
    source=rule_pack("england").source("reach-depth"),
    find=find,
    slow=True,
)
