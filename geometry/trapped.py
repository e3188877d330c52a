"""Why a piece cannot leave: the one measure that stops it, where, and between which things."""

from dataclasses import dataclass, replace
from math import acos, atan2, cos, degrees, hypot, radians, sin
from typing import Literal

from geometry.carrying import Load, brought_out, gate_of, load_of, lowered, tips
from geometry.room import Door
from geometry.scene import Placed, Scene
from geometry.turning import Carried, rectangle
from geometry.units import DEPTH_TOLERANCE_MM, Point
from geometry.ways import lets_through

_CLOSE_MM = 1.0
_CLOSE_ENOUGH = 0.0025
"""The longest that could be turned is told to this share of its length, on the short side: finer takes seconds."""
_NOTHING = frozenset[str]()

Kind = Literal["door-head", "slide", "roof", "gap", "turn"]


@dataclass(frozen=True)
class Cause:
    """What stops a piece: a door's head, a roof (only when lifted: ``slide``), a gap, or that it cannot be turned."""

    kind: Kind
    needed_mm: float
    found_mm: float
    between: tuple[str, ...]
    at: Point


def cause_of(scene: Scene, placed: Placed, without: frozenset[str] = _NOTHING) -> Cause:
    """The measure that stops a piece that is trapped, with some others gone."""
    load = load_of(placed, scene.pack)
    if not any(lets_through(door, load.tall_mm, load.lift_mm) for door in scene.room.doors):
        gap = _gap(scene, placed, lowered(scene, load), without) if tips(placed) else None
        if gap:
            return gap
        door = max(scene.room.doors, key=lambda d: (height_through(d, load), d.id))
        return Cause("door-head", load.tall_mm, height_through(door, load), (door.id,), load.carried.at)
    return (
        _roof(scene, placed, load, without) or _gap(scene, placed, load, without) or _turn(scene, placed, load, without)
    )


def height_through(door: Door, load: Load) -> float:
    """How tall a load may be, its lift counted, to go through a door."""
    return door.head_mm - max(0.0, door.sill_mm - load.lift_mm)


def _roof(scene: Scene, placed: Placed, load: Load, without: frozenset[str]) -> Cause | None:
    if brought_out(scene, placed, replace(load, under_roof=False), without) != "out":
        return None
    low, high = 0.0, load.tall_mm
    while high - low > _CLOSE_MM / 2:
        middle = (low + high) / 2
        shorter = replace(load, height_mm=max(middle - load.lift_mm, 1.0), lift_mm=min(load.lift_mm, middle))
        out = brought_out(scene, placed, shorter, without) == "out"
        low, high = (middle, high) if out else (low, middle)
    slides = low >= load.height_mm - DEPTH_TOLERANCE_MM
    between, at = _where(scene, placed, load, without)
    names = _roofs(scene)
    return Cause(
        "slide" if slides else "roof", load.tall_mm, low, tuple(r for r in between if r in names) or names[:1], at
    )  # fmt: skip


def _roofs(scene: Scene) -> tuple[str, ...]:
    return (*dict.fromkeys(soffit.name for soffit in scene.roof.soffits), "ceiling")


def _where(scene: Scene, placed: Placed, load: Load, without: frozenset[str]) -> tuple[tuple[str, ...], Point]:
    across = load.round_mm if load.round_mm is not None else 2 * load.carried.radius_mm
    gate = gate_of(scene, placed, load, without, across)
    return (tuple(dict.fromkeys(gate.between)), gate.at) if gate else ((), load.carried.at)


def _gap(scene: Scene, placed: Placed, load: Load, without: frozenset[str]) -> Cause | None:
    gate = gate_of(scene, placed, load, without, load.width_mm - DEPTH_TOLERANCE_MM)
    if gate is None:
        return None
    return Cause("gap", load.width_mm, gate.width_mm, tuple(ref for ref in dict.fromkeys(gate.between) if ref), gate.at)


def _turn(scene: Scene, placed: Placed, load: Load, without: frozenset[str]) -> Cause:
    between, at = _where(scene, placed, load, without)
    long, short = longest_side_mm(load.carried), load.width_mm
    low, high = short, long
    while high - low > max(_CLOSE_MM, _CLOSE_ENOUGH * long):
        middle = (low + high) / 2
        out = brought_out(scene, placed, _shortened(placed, load, middle), without) == "out"
        low, high = (middle, high) if out else (low, middle)
    return Cause("turn", long, low, tuple(ref for ref in between if ref), at)


def longest_side_mm(carried: Carried) -> float:
    """The longest it is in any direction square to one of its sides."""
    corners = carried.corners
    return max(
        max(_along(p, side) for p in corners) - min(_along(p, side) for p in corners)
        for side in zip(corners, (*corners[1:], corners[0]), strict=True)
    )


def _along(point: Point, side: tuple[Point, Point]) -> float:
    dx, dy = side[1][0] - side[0][0], side[1][1] - side[0][1]
    return (point[0] * dx + point[1] * dy) / hypot(dx, dy)


def _shortened(placed: Placed, load: Load, long_mm: float) -> Load:
    """A rectangle of the load's least width and that long, lying as it does; any other shape smaller all round."""
    if len(load.carried.corners) != 4 or load.carried.part:
        share = long_mm / longest_side_mm(load.carried)
        smaller = tuple((x * share, y * share) for x, y in load.carried.corners)
        return replace(load, carried=replace(load.carried, corners=smaller, part=None))
    (ax, ay), (bx, by), (cx, cy), *_ = load.carried.corners
    first, second = hypot(bx - ax, by - ay), hypot(cx - bx, cy - by)
    heading = degrees(atan2(by - ay, bx - ax)) if first >= second else degrees(atan2(cy - by, cx - bx))
    return replace(load, carried=replace(load.carried, corners=rectangle(long_mm, load.width_mm, heading), part=None))


@dataclass(frozen=True)
class Lean:
    """How far something tall has to be leaned back to be no taller than a height, and how long it then is."""

    deg: float
    long_mm: float
    diagonal_mm: float


def leaned(tall_mm: float, base_mm: float, height_mm: float) -> Lean | None:
    """The least lean under a height; None where even lying down it is too high.

    While it is tipped it is as high as its diagonal at first, so that is what the ceiling has to be where it is done.

    >>> lean = leaned(2080, 550, 1951)
    >>> round(lean.deg, 1), round(lean.long_mm)
    (39.7, 1753)
    """
    diagonal, own = hypot(tall_mm, base_mm), degrees(atan2(base_mm, tall_mm))
    if height_mm < base_mm or height_mm > diagonal:
        return None
    deg = min(90.0, own + degrees(acos(min(1.0, height_mm / diagonal))))
    return Lean(deg, tall_mm * sin(radians(deg)) + base_mm * cos(radians(deg)), diagonal)
