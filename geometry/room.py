"""The room file: one frozen model for each thing in it.

Millimetres; x to the right, y away from the reader, z up from finished floor level. Edge i of the outline runs
from point i to point i + 1, anticlockwise, so that the room is on its left. Rules that span several parts (doors on
their walls, outline simple, ids unique) are in ``geometry.reading``.
"""

from typing import Annotated, Any, Literal

from pydantic import Field, ValidationError, ValidatorFunctionWrapHandler, WrapValidator, field_validator

from geometry.kit import Change, Kit, Medium
from geometry.saved import (
    Area,
    Day,
    Deg,
    Flag,
    Id,
    Line,
    Litres,
    Mm,
    Name,
    Saved,
    SizeMm,
    SpaceMm,
    SpacePoint,
    Text,
    Words,
)

FORMAT = "elbowroom-room"
FORMAT_VERSION = 1

Edge = Annotated[int, Field(strict=True, ge=0, le=199)]
EndPlace = Literal["low-level", "gully", "hopper", "roof", "stack", "internal-stack", "soakaway", "unknown"]
Bar = Annotated[float, Field(strict=True, gt=0, le=20, allow_inf_nan=False)]
Number = Annotated[float, Field(strict=True, ge=-1e6, le=1e6, allow_inf_nan=False)]


def _number_or_range(value: Any, read: ValidatorFunctionWrapHandler) -> Any:
    try:
        return read(value)
    except ValidationError:
        raise ValueError("this should be a number, or two in [ ] for a range") from None


class Slope(Saved):
    """A sloping soffit: a plane through three points, over a plan area."""

    name: Name = "slope"
    area_mm: Area
    through_mm: tuple[SpacePoint, SpacePoint, SpacePoint]


class Beam(Saved):
    """A beam or dropped part of the ceiling: its underside over a plan area."""

    name: Name = "beam"
    area_mm: Area
    soffit_mm: SizeMm


class Ceiling(Saved):
    """The flat ceiling (null: not measured) with its slopes and beams."""

    height_mm: SizeMm | None = None
    slopes: Annotated[tuple[Slope, ...], Field(max_length=20)] = ()
    beams: Annotated[tuple[Beam, ...], Field(max_length=20)] = ()


class Wall(Saved):
    """What one wall is made of, and how thick it is."""

    edge: Edge
    build: Name = "unknown"
    thick_mm: SizeMm = 100.0
    outside: Flag = False


class DoorLeaf(Saved):
    """The leaf of a door. A double leaf's width is that of each leaf."""

    kind: Literal["hinged", "double", "sliding", "bifold", "none"] = "hinged"
    width_mm: SizeMm | None = None
    thick_mm: SizeMm = 35.0
    hinge: Literal["start", "end"] = "start"
    opens: Literal["in", "out"] = "out"
    needed_deg: Annotated[float, Field(strict=True, gt=0, le=180)] = 90.0


class Door(Saved):
    """A doorway in a wall: its clear opening and its leaf."""

    id: Id
    edge: Edge
    from_mm: SpaceMm
    clear_mm: SizeMm
    head_mm: SizeMm = 1981.0
    sill_mm: SpaceMm = 0.0
    leaf: DoorLeaf = DoorLeaf()
    beyond_mm: Area | None = None
    planned: Flag = False


class Window(Saved):
    """A window in a wall."""

    id: Id
    edge: Edge
    from_mm: SpaceMm
    width_mm: SizeMm
    sill_mm: SpaceMm
    head_mm: SizeMm


class Block(Saved):
    """Something solid that belongs to the room: boxing, chimney breast, step."""

    id: Id
    name: Name
    area_mm: Area
    from_mm: Mm = 0.0
    to_mm: Mm


class KeepFree(Saved):
    """Floor or wall that belongs to the customer's own things."""

    id: Id
    name: Name
    area_mm: Area
    from_mm: Mm = 0.0
    to_mm: Mm


class Outlet(Saved):
    """Where a pipe may leave the room, and how it goes on from there; ``outside_bore_mm`` is its bore out there."""

    id: Id
    name: Name
    at_mm: tuple[Mm, Mm]
    level_mm: Mm
    takes: tuple[Medium, ...] = ()
    ends: EndPlace = "unknown"
    outside_run_mm: SpaceMm = 0.0
    outside_bends: Annotated[int, Field(strict=True, ge=0, le=50)] = 0
    outside_bore_mm: SizeMm | None = None
    above_ground_mm: SpaceMm | None = None
    plastic_gutter_mm: SpaceMm | None = None


class Floor(Saved):
    """What the room stands on."""

    storey: Literal["ground", "upper", "loft", "cellar", "unknown"] = "unknown"
    build: Literal["concrete", "timber", "unknown"] = "unknown"
    allow_kn_m2: Annotated[float, Field(strict=True, gt=0, le=1000)] | None = None


class Heating(Saved):
    """What a sealed heating system holds (null: not known), and what its vessels are set to (null: as is usual)."""

    system_l: Litres | None = None
    charge_bar: Bar | None = None
    valve_bar: Bar | None = None
    own_vessel_l: Litres = 0.0


class Vent(Saved):
    """An opening for air: its middle above the floor, its free area, and where it leads."""

    id: Id
    name: Name = "vent"
    level_mm: SpaceMm
    free_cm2: Annotated[float, Field(strict=True, gt=0, le=100_000, allow_inf_nan=False)]
    to: Literal["room", "outside"]


class NotMeasured(Saved):
    """A measure that nobody has taken: of what (an id, "edge:2", "ceiling"), which, and what stands there meanwhile."""

    of: Annotated[Name, Field(max_length=40)]
    what: Annotated[Name, Field(max_length=40)]
    taken_mm: Mm | None = None


class Override(Saved):
    """A figure of the rule pack, by its key, in whose place this room has one of its own; the note says why."""

    key: Id
    value: Annotated[Number | tuple[Number, Number], WrapValidator(_number_or_range)]
    note: Name


class Accepted(Saved):
    """A put-right that a named person accepts in writing. It stays visible in every print."""

    check: Id
    about: tuple[Name, ...] = ()
    by: Name
    reason: Name
    on: Day


class Piece(Saved):
    """One placed item of kit."""

    id: Id
    kit: Id
    name: Name | None = None
    at_mm: tuple[Mm, Mm]
    turn_deg: Deg = 0.0
    base_mm: Mm | None = None
    hold: Literal["fixed", "movable", "with-effort"] = "fixed"
    pinned: Flag = False
    changes: dict[str, Change] = Field(default_factory=dict)
    accepted: tuple[Accepted, ...] = ()


class Answer(Saved):
    """What somebody wrote down to an open question: of which check and topic, about which pieces, by whom and when.

    It changes no verdict: only figures do.
    """

    check: Id
    topic: Line = ""
    pieces: Annotated[tuple[Id, ...], Field(max_length=400)] = ()
    by: Name
    date: Day
    answer: Words


class PipeEnd(Saved):
    """A port of a piece."""

    piece: Id
    port: Name


class Fitting(Saved):
    """Something in a pipe that a hand has to get at."""

    kind: Literal["check-valve", "stop-valve", "strainer", "drain-tap"]
    at_mm: SpacePoint


class Pipe(Saved):
    """A pipe from a port to an outlet, or to a port. Without a route one is found, without a size that too.

    ``via_mm`` is its whole route between the ends; ``pinned_mm`` are the points, in order, that stay when the route is
    found anew. ``to`` is an outlet, or a piece where ``to_port`` names its port. ``size_mm`` is what the pipe is sold
    as; ``bore_mm`` its inside diameter, where that was measured or read.
    """

    id: Id
    medium: Medium
    from_: PipeEnd = Field(alias="from")
    to: Id
    to_port: Name | None = None
    via_mm: Annotated[tuple[SpacePoint, ...], Field(max_length=100)] | None = None
    pinned_mm: Annotated[tuple[SpacePoint, ...], Field(max_length=40)] = ()
    size_mm: SizeMm | None = None
    bore_mm: SizeMm | None = None
    material: Name = "copper"
    fittings: Annotated[tuple[Fitting, ...], Field(max_length=20)] = ()


class Flue(Saved):
    """Where the flue of a piece ends on the outside of a wall: the middle of its terminal along the edge, its level.

    ``round_mm`` is the terminal's own diameter: distances are measured from its rim.
    """

    id: Id
    piece: Id
    edge: Edge
    along_mm: SpaceMm
    level_mm: Mm
    round_mm: SpaceMm = 100.0
    projects_mm: SpaceMm = 150.0
    kind: Literal["fanned-balanced", "natural-balanced", "fanned-open"] = "fanned-balanced"


class Outside(Saved):
    """Something outside a wall that a flue must keep away from: along the wall, its levels, how far from the wall."""

    id: Id
    name: Name
    kind: Literal[
        "opening", "frame", "gutter", "eaves", "balcony", "pipe", "corner", "boundary", "ground", "surface",
        "facing-terminal", "car-port-opening", "terminal",
    ]  # fmt: skip
    edge: Edge
    from_mm: Mm
    to_mm: Mm
    low_mm: Mm
    high_mm: Mm
    away_mm: SpaceMm = 0.0


class Room(Saved):
    """A whole room file."""

    format: Literal["elbowroom-room"]
    format_version: Literal[1]
    name: Name
    notes: Text = ""
    rules: Literal["england", "scotland"] = "england"
    overrides: Annotated[tuple[Override, ...], Field(max_length=100)] = ()
    tolerance_mm: Annotated[float, Field(strict=True, ge=0, le=500)] = 10.0
    system: Line = ""
    heating: Heating = Heating()
    heated: Flag | None = None
    outline_mm: Area
    ceiling: Ceiling = Ceiling()
    walls: tuple[Wall, ...] = ()
    doors: Annotated[tuple[Door, ...], Field(max_length=20)] = ()
    windows: Annotated[tuple[Window, ...], Field(max_length=40)] = ()
    fixtures: Annotated[tuple[Block, ...], Field(max_length=100)] = ()
    keep_free: Annotated[tuple[KeepFree, ...], Field(max_length=100)] = ()
    outlets: Annotated[tuple[Outlet, ...], Field(max_length=40)] = ()
    flues: Annotated[tuple[Flue, ...], Field(max_length=20)] = ()
    outside: Annotated[tuple[Outside, ...], Field(max_length=200)] = ()
    vents: Annotated[tuple[Vent, ...], Field(max_length=40)] = ()
    floor: Floor = Floor()
    not_measured: Annotated[tuple[NotMeasured, ...], Field(max_length=200)] = ()
    kit: Annotated[tuple[Kit, ...], Field(max_length=200)] = ()
    pieces: Annotated[tuple[Piece, ...], Field(max_length=400)] = ()
    pipes: Annotated[tuple[Pipe, ...], Field(max_length=200)] = ()
    answers: Annotated[tuple[Answer, ...], Field(max_length=400)] = ()

    @field_validator("outline_mm", mode="before")
    @classmethod
    def _not_closed_twice(cls, value: Any) -> Any:
        """A last point that repeats the first adds nothing: drop it."""
        if isinstance(value, (list, tuple)) and len(value) > 3 and value[0] == value[-1]:
            return value[:-1]
        return value

    def piece(self, piece_id: str) -> Piece | None:
        """The piece of that id, or None."""
        return next((piece for piece in self.pieces if piece.id == piece_id), None)
