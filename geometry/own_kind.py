"""A kind of kit of one's own, made from what its maker's papers say over what is typical of a kind like it.

What the papers give has its own basis and page in ``Kit.figures``; what they do not give stays typical of the kind it
is like, or, where it is like none, is unknown: then no figure stands in its place and what needs it is not checked.
A point on a side is told as a person in front of that side sees it: so far to the right of its middle, so far up; on
the top and underneath, so far to the right and so far back, seen from the front.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import sqrt
from typing import Any, Literal

from pydantic import ValidationError

from geometry.errors import RoomError
from geometry.kit import Carry, Change, Kit, Plan, Tool, changed, may_change
from geometry.saved import SIDES, Basis, Id, Name, Side
from geometry.sound import kinds_fault
from geometry.units import Point, Point3

Stands = Literal["floor", "wall", "ceiling"]
DRAW_OUT_ROUND_MM, SWING_DEG = 60.0, 90.0
"""Common practice, no source: the breadth of a rod, and the turn of a tool, where the papers tell the length alone."""


@dataclass(frozen=True)
class Figure:
    """One figure with where it was read."""

    value: float
    note: str = ""
    basis: Basis = "manual"


@dataclass(frozen=True)
class AccessPoint:
    """Something that a hand, a tool or an eye must get to, on one side; lengths mm, None where it has no such thing."""

    name: Name
    side: Side
    across_mm: float
    up_mm: float
    tool: Tool = "hand"
    swing_mm: float | None = None
    draw_out_mm: float | None = None
    must_be_seen: bool = False
    emergency: bool = False


@dataclass(frozen=True)
class Part:
    """What sticks out of one side, about its own middle; None for width or height: all of the side."""

    what: Name
    side: Side
    mm: float
    across_mm: float = 0.0
    up_mm: float = 0.0
    wide_mm: float | None = None
    high_mm: float | None = None


@dataclass(frozen=True)
class Papers:
    """What is known of an own kind. ``figures`` go by the names under which a piece may change them."""

    key: Id
    name: Name
    group: Name
    round_body: bool
    figures: Mapping[str, Figure]
    stands_on: Stands = "floor"
    base_mm: float = 0.0
    access: tuple[AccessPoint, ...] = ()
    sticks_out: tuple[Part, ...] = ()
    page: str = ""
    alone: bool = False
    """Whether the points and parts given here are all there are, and the typical ones go."""


def own_kind(papers: Papers, like: Kit | None = None) -> Kit:
    """The kind. Raises RoomError, with a sentence for the person who wrote it, where it cannot be.

    >>> read = {"width_mm": Figure(500, "p. 3"), "depth_mm": Figure(400), "height_mm": Figure(900)}
    >>> tank = own_kind(Papers("own-tank", "Tank", "cold water", False, read))
    >>> tank.plan.box_mm, tank.dry_kg, tank.basis_of("width_mm"), tank.space_unknown[:2]
    ((500.0, 400.0), None, 'manual', ('front', 'left'))
    """
    try:
        kit = _with_parts(_with_figures(_ground(papers, like), papers), papers)
    except ValidationError as error:
        raise RoomError(_sentence(error)) from None
    fault = kinds_fault([kit])
    if fault:
        raise RoomError(fault)
    return kit


def on_side(plan: Plan, height_mm: float, side: Side, across_mm: float, up_mm: float) -> Point3:
    """A point on a side of a body in the kind's own frame (mm), on the round of a round one.

    >>> on_side(Plan(box_mm=(600.0, 400.0)), 900.0, "left", 50.0, 300.0)
    (-300.0, -50.0, 300.0)
    """
    half_w, half_d = plan.width_mm / 2, plan.depth_mm / 2
    if side in ("above", "below"):
        return (across_mm, up_mm, height_mm if side == "above" else 0.0)
    out = half_d if side in ("front", "behind") else half_w
    if plan.round_mm is not None:
        out = sqrt(max(out**2 - across_mm**2, 0.0))
    x, y = {
        "front": (across_mm, -out), "behind": (-across_mm, out), "left": (-out, -across_mm), "right": (out, across_mm),
    }[side]  # fmt: skip
    return (x, y, up_mm)


def seen_on_side(side: Side, at_mm: Point3) -> Point:
    """A point of the own frame as a person in front of that side sees it: right of the middle, and up (or back).

    >>> seen_on_side("left", (-300.0, -50.0, 300.0))
    (50.0, 300.0)
    """
    x, y, z = at_mm
    if side in ("above", "below"):
        return (x, y)
    return ({"front": x, "behind": -x, "left": -y, "right": y}[side] + 0.0, z)


def _ground(papers: Papers, like: Kit | None) -> Kit:
    """What is typical of it, under its own name, in a body of the right shape."""
    own: dict[str, Any] = {
        "key": papers.key, "name": papers.name, "group": papers.group, "stands_on": papers.stands_on,
        "base_mm": float(papers.base_mm), "basis": "typical", "note": papers.page,
    }  # fmt: skip
    if like is None:
        return Kit.model_validate({**own, "plan": _plan(papers, 1.0, 1.0), "height_mm": 1.0, "space_unknown": SIDES})
    data = like.model_dump() | own | {"like": like.key, "figures": ()}
    data["plan"] = _plan(papers, like.plan.width_mm, like.plan.depth_mm)
    if papers.round_body and data["carry"]:
        data["carry"] = {**data["carry"], "box_mm": None}
    if papers.alone:
        data |= {"access": (), "sticks_out": ()}
    return Kit.model_validate(data)


def _plan(papers: Papers, wide_mm: float, deep_mm: float) -> Plan:
    return Plan(round_mm=max(wide_mm, deep_mm)) if papers.round_body else Plan(box_mm=(wide_mm, deep_mm))


def _with_figures(kit: Kit, papers: Papers) -> Kit:
    """The kind with every figure of the papers in its place, and with where each was read."""
    wanted = ("round_mm", "height_mm") if papers.round_body else ("width_mm", "depth_mm", "height_mm")
    if kit.like is None and any(name not in papers.figures for name in wanted):
        raise RoomError("Without a kind that it is like, its body needs all its sizes. Write them, or choose a kind.")
    known = {name: one for name, one in papers.figures.items() if may_change(name)}
    changes = {name: Change(value=one.value, basis=one.basis, note=one.note) for name, one in known.items()}
    new = changed(kit, changes)
    data = new.model_dump()
    if kit.carry is not None:
        data["carry"] = _carry(kit.carry, new)
    data["figures"] = [{"figure": name, "basis": one.basis, "note": one.note} for name, one in known.items()]
    data["space_unknown"] = [side for side in kit.space_unknown if f"space_{side}_mm" not in known]
    return Kit.model_validate(data)


def _carry(typical: Carry, new: Kit) -> dict[str, Any]:
    """What has to pass is the new body: a typical size of another body would say nothing of it."""
    assert new.carry is not None
    lifted = {"ways": typical.ways, "kg": new.carry.kg, "lift_mm": typical.lift_mm, "height_mm": new.height_mm}
    if new.plan.round_mm is not None:
        return {**lifted, "round_mm": new.plan.round_mm}
    return {**lifted, "box_mm": (new.plan.width_mm, new.plan.depth_mm)}


def _with_parts(kit: Kit, papers: Papers) -> Kit:
    """The kind with the points and parts of the papers; one of the same name as a typical one takes its place."""
    names, whats = {one.name for one in papers.access}, {one.what for one in papers.sticks_out}
    access = [old for old in kit.model_dump()["access"] if old["name"] not in names]
    sticks = [old for old in kit.model_dump()["sticks_out"] if old["what"] not in whats]
    access += [_access(kit, one) for one in papers.access]
    sticks += [_stick(one) for one in papers.sticks_out]
    data = kit.model_dump() | {"access": access, "sticks_out": sticks}
    data["figures"] = [*data["figures"], *_told_of_parts(papers)]
    return Kit.model_validate(data)


def _access(kit: Kit, one: AccessPoint) -> dict[str, Any]:
    at_mm = on_side(kit.plan, kit.height_mm, one.side, one.across_mm, one.up_mm)
    return {
        "name": one.name, "faces": one.side, "tool": one.tool, "at_mm": at_mm,
        "must_be_seen": one.must_be_seen, "emergency": one.emergency,
        "swing": None if one.swing_mm is None else {"length_mm": one.swing_mm, "turn_deg": SWING_DEG, "axis": "out"},
        "draw_out": None if one.draw_out_mm is None
        else {"length_mm": one.draw_out_mm, "round_mm": DRAW_OUT_ROUND_MM},
    }  # fmt: skip


def _stick(one: Part) -> dict[str, Any]:
    def span(middle: float, size: float | None) -> tuple[float, float] | None:
        return None if size is None else (middle - size / 2, middle + size / 2)

    across, up = span(one.across_mm, one.wide_mm), span(one.up_mm, one.high_mm)
    if one.side in ("above", "below"):
        return {"side": one.side, "mm": one.mm, "what": one.what, "across_mm": across, "along_mm": up}
    low, high = up or (None, None)
    return {"side": one.side, "mm": one.mm, "what": one.what, "across_mm": across, "from_mm": low, "to_mm": high}


def _told_of_parts(papers: Papers) -> list[dict[str, str]]:
    names = [f"level:{one.name}" for one in papers.access]
    names += [f"tool:{one.name}" for one in papers.access if one.swing_mm is not None]
    names += [f"draw_out:{one.name}" for one in papers.access if one.draw_out_mm is not None]
    names += [f"sticks_out:{one.what}" for one in papers.sticks_out]
    return [{"figure": name, "basis": "manual", "note": papers.page} for name in dict.fromkeys(names)]


def _sentence(error: ValidationError) -> str:
    where = ".".join(str(part) for part in error.errors()[0]["loc"])
    if "name" in where or "what" in where or "group" in where:
        return "A name is one line of at most 120 characters, and not empty. Correct it."
    if "kg" in where or "water" in where or "value" in where:
        return "A weight or a content is a figure from 0 to 100,000. Correct it."
    return "A size is a length from 0.1 mm to 100 m. Correct the sizes: they are in millimetres."
