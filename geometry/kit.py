"""A kind of kit: its body, what sticks out, the spaces it needs, its access points, ports and carry.

Own frame: origin at the middle of the body's plan box, front facing -y, +x to the right of a person
who stands in front of it, z up from the body's base.
"""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from geometry.parts import change_parts, is_part_figure
from geometry.saved import (
    SIDES,
    Area,
    Basis,
    Flag,
    Id,
    Kg,
    Litres,
    Mm,
    Name,
    PlanSide,
    Saved,
    Side,
    SizeMm,
    SpaceMm,
    SpacePoint,
    Text,
)

Tool = Literal[
    "eye", "hand", "lever", "screwdriver", "hex-key", "spanner", "boss-spanner", "pump-pliers", "gauge", "hose"
]
Medium = Literal[
    "flow", "return", "cold", "boosted-cold", "hot", "gas", "condensate", "overflow", "hot-discharge", "relief",
    "cable", "hose", "duct", "oil", "drain", "waste", "flue",
]  # fmt: skip
Kilowatts = Annotated[float, Field(strict=True, gt=0, le=10_000, allow_inf_nan=False)]


class Plan(Saved):
    """The body seen from above: round, a box (width, depth) or an outline. Exactly one of the three."""

    round_mm: SizeMm | None = None
    box_mm: tuple[SizeMm, SizeMm] | None = None
    outline_mm: Area | None = None

    @model_validator(mode="after")
    def _one_shape(self) -> Self:
        given = [name for name in ("round_mm", "box_mm", "outline_mm") if getattr(self, name) is not None]
        if len(given) != 1:
            raise ValueError(f"a plan is one of round_mm, box_mm or outline_mm, and this one gives {len(given)}")
        return self

    @property
    def width_mm(self) -> float:
        """Size from left to right."""
        return self._size(0)

    @property
    def depth_mm(self) -> float:
        """Size from front to back."""
        return self._size(1)

    def _size(self, axis: int) -> float:
        if self.round_mm is not None:
            return self.round_mm
        if self.box_mm is not None:
            return self.box_mm[axis]
        values = [point[axis] for point in self.outline_mm or ()]
        return max(values) - min(values)


class Space(Saved):
    """Free room needed on one side, and why."""

    side: Side
    mm: SpaceMm
    need: Literal["must", "should"] = "must"
    why: Text = ""
    from_mm: Mm | None = None
    to_mm: Mm | None = None


class SticksOut(Saved):
    """What projects beyond the body on one side. Heights are above the body's base."""

    side: Side
    mm: SizeMm
    from_mm: Mm | None = None
    to_mm: Mm | None = None
    across_mm: tuple[Mm, Mm] | None = None
    along_mm: tuple[Mm, Mm] | None = None
    what: Name


class Swing(Saved):
    """The turn a tool needs: handle length, angle, and the axis it turns about."""

    length_mm: SizeMm
    turn_deg: Annotated[float, Field(strict=True, gt=0, le=360)]
    axis: Literal["out", "up", "across"] = "out"


class DrawOut(Saved):
    """Free length straight out for a rod, magnet, cartridge or head of the given diameter."""

    length_mm: SizeMm
    round_mm: SizeMm


class Access(Saved):
    """A point that a hand, tool or eye must get to."""

    name: Name
    at_mm: SpacePoint
    faces: Side = "front"
    tool: Tool = "hand"
    swing: Swing | None = None
    draw_out: DrawOut | None = None
    must_be_seen: Flag = False
    emergency: Flag = False


class Port(Saved):
    """Where a pipe, cable or duct joins."""

    name: Name
    medium: Medium
    size_mm: SizeMm
    at_mm: SpacePoint
    faces: Side = "front"


class Carry(Saved):
    """How it may be carried, the size that has to pass, and the heaviest lift."""

    ways: Annotated[tuple[Literal["upright", "tip", "lie", "parts"], ...], Field(min_length=1)] = ("upright",)
    round_mm: SizeMm | None = None
    box_mm: tuple[SizeMm, SizeMm] | None = None
    height_mm: SizeMm | None = None
    kg: Kg | None = None
    lift_mm: SpaceMm | None = None


class Leaf(Saved):
    """A door of the piece itself, on its front: washing machine, sink unit."""

    width_mm: SizeMm
    thick_mm: SizeMm = 20.0
    hinge: Literal["left", "right"] = "left"
    from_mm: Mm = 0.0
    to_mm: Mm | None = None
    needed_deg: Annotated[float, Field(strict=True, gt=0, le=180)] = 90.0


class Told(Saved):
    """Where one figure of a kind comes from, when that is not where the others come from."""

    figure: Name
    basis: Basis
    note: Text = ""


class Kit(Saved):
    """One kind of kit, on the shelf or in a room file.

    ``water_level_mm`` is how high above its base the float valve of a cistern lets the water stand. ``like`` is the
    kind of the shelf that gave an own kind its typical figures; ``figures`` are those that were read for it, and
    ``space_unknown`` the sides on which nobody knows the room it needs.
    """

    key: Id
    name: Name
    group: Name = "own"
    plan: Plan
    height_mm: SizeMm
    stands_on: Literal["floor", "wall", "ceiling"] = "floor"
    base_mm: Mm = 0.0
    dry_kg: Kg | None = None
    water_l: Litres | None = None
    water_level_mm: SpaceMm | None = None
    input_kw: Kilowatts | None = None
    flue: Literal["room-sealed", "open"] | None = None
    traits: tuple[Id, ...] = ()
    basis: Basis = "typical"
    life_years: Annotated[float, Field(strict=True, gt=0, le=200)] | None = None
    visits_a_year: Annotated[float, Field(strict=True, ge=0, le=400)] | None = None
    note: Text = ""
    space: tuple[Space, ...] = ()
    sticks_out: tuple[SticksOut, ...] = ()
    access: tuple[Access, ...] = ()
    port: tuple[Port, ...] = ()
    leaf: tuple[Leaf, ...] = ()
    carry: Carry | None = None
    like: Id | None = None
    figures: Annotated[tuple[Told, ...], Field(max_length=200)] = ()
    space_unknown: Annotated[tuple[Side, ...], Field(max_length=6)] = ()

    def basis_of(self, figure: str) -> Basis:
        """Where one of its figures comes from, by the name under which a piece may change it.

        >>> cold = Kit(key="a", name="A", plan=Plan(round_mm=400.0), height_mm=900.0,
        ...            figures=(Told(figure="height_mm", basis="manual", note="p. 9"),))
        >>> cold.basis_of("height_mm"), cold.basis_of("round_mm")
        ('manual', 'typical')
        """
        told = self.told(figure)
        return told.basis if told else self.basis

    def told(self, figure: str) -> Told | None:
        """What is known of where a figure comes from, or None where it is as the whole kind."""
        return next((told for told in self.figures if told.figure == figure), None)

    @property
    def full_kg(self) -> float | None:
        """Dry mass plus a kilogram for each litre (cold water at 4 degrees, rounded up by less than 0.1 %)."""
        return None if self.dry_kg is None else self.dry_kg + (self.water_l or 0.0)

    def has(self, trait: str) -> bool:
        """Whether the kind carries a trait such as ``gas`` or ``unvented-store``."""
        return trait in self.traits


CHANGEABLE = (
    "width_mm", "depth_mm", "round_mm", "height_mm", "dry_kg", "carry_kg", "water_l", "water_level_mm", "input_kw",
)  # fmt: skip
"""Figures of a kind that a piece may change, besides ``space_<side>_mm`` and those of its parts."""


class Change(Saved):
    """One figure of one piece, changed from the kind's, with where the new figure comes from."""

    value: Annotated[float, Field(strict=True, ge=0, le=100_000, allow_inf_nan=False)]
    basis: Basis
    note: Text = ""


def may_change(name: str) -> bool:
    """Whether a piece may change the figure of this name.

    >>> may_change("height_mm"), may_change("space_front_mm"), may_change("colour")
    (True, True, False)
    """
    return name in CHANGEABLE or name in {f"space_{side}_mm" for side in SIDES} or is_part_figure(name)


def changed(kit: Kit, changes: dict[str, Change]) -> Kit:
    """The kind with a piece's own figures in place of the shelf's.

    A changed size moves everything fixed to that face with it: what sticks out follows the body by itself,
    access points and ports on the sides and the top keep their distance from the face they are on.
    """
    if not changes:
        return kit
    data = kit.model_dump()
    old = kit.plan
    _change_plan(data, changes)
    for name in ("height_mm", "dry_kg", "water_l", "water_level_mm", "input_kw"):
        if name in changes:
            data[name] = changes[name].value
    whole = kit.carry is not None and kit.carry.kg == kit.dry_kg
    lifted = changes.get("carry_kg") or (changes.get("dry_kg") if whole else None)
    if lifted:
        data["carry"] = {**(data["carry"] or {}), "kg": lifted.value}
    new = Plan.model_validate(data["plan"])
    grow = (
        new.width_mm - old.width_mm,
        new.depth_mm - old.depth_mm,
        data["height_mm"] - kit.height_mm,
    )
    for item in (*data["access"], *data["port"]):
        item["at_mm"] = _with_its_face(item["at_mm"], item["faces"], grow)
    _change_spaces(data, changes)
    change_parts(data, {name: change.value for name, change in changes.items() if is_part_figure(name)})
    return Kit.model_validate(data)


def _change_plan(data: dict[str, object], changes: dict[str, Change]) -> None:
    plan = data["plan"]
    assert isinstance(plan, dict)
    if plan["round_mm"] is not None and "round_mm" in changes:
        plan["round_mm"] = changes["round_mm"].value
    if plan["box_mm"] is not None:
        width, depth = plan["box_mm"]
        plan["box_mm"] = (
            changes["width_mm"].value if "width_mm" in changes else width,
            changes["depth_mm"].value if "depth_mm" in changes else depth,
        )


def _with_its_face(
    at_mm: tuple[float, float, float], faces: Side, grow: tuple[float, float, float]
) -> tuple[float, float, float]:
    x, y, z = at_mm
    shift: dict[Side, tuple[float, float, float]] = {
        "front": (0, -grow[1] / 2, 0),
        "behind": (0, grow[1] / 2, 0),
        "left": (-grow[0] / 2, 0, 0),
        "right": (grow[0] / 2, 0, 0),
        "above": (0, 0, grow[2]),
        "below": (0, 0, 0),
    }
    dx, dy, dz = shift[faces]
    return (x + dx, y + dy, z + dz)


def _change_spaces(data: dict[str, object], changes: dict[str, Change]) -> None:
    spaces = data["space"]
    assert isinstance(spaces, (list, tuple))
    spaces = list(spaces)
    for side in SIDES:
        change = changes.get(f"space_{side}_mm")
        if change is None:
            continue
        for space in spaces:
            if space["side"] == side:
                space["mm"] = change.value
                break
        else:
            spaces.append({"side": side, "mm": change.value, "need": "must", "why": change.note})
    data["space"] = spaces


PLAN_SIDES: tuple[PlanSide, ...] = ("front", "left", "right", "behind")
