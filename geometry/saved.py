"""What every part of a room file has in common: frozen, no unknown keys, finite numbers in range."""

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

FARTHEST_MM = 100_000.0
"""No measure of a room is larger: a coordinate beyond it is a slip of the keyboard."""


class Saved(BaseModel):
    """Base of all file models."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


Mm = Annotated[float, Field(strict=True, ge=-FARTHEST_MM, le=FARTHEST_MM, allow_inf_nan=False)]
SizeMm = Annotated[float, Field(strict=True, gt=0, le=FARTHEST_MM, allow_inf_nan=False)]
SpaceMm = Annotated[float, Field(strict=True, ge=0, le=FARTHEST_MM, allow_inf_nan=False)]
Deg = Annotated[float, Field(strict=True, ge=-3600, le=3600, allow_inf_nan=False)]
Kg = Annotated[float, Field(strict=True, ge=0, le=100_000, allow_inf_nan=False)]
Litres = Annotated[float, Field(strict=True, ge=0, le=100_000, allow_inf_nan=False)]
Id = Annotated[str, Field(strict=True, min_length=1, max_length=40, pattern=r"^[A-Za-z0-9][A-Za-z0-9_.-]*$")]
Name = Annotated[str, Field(strict=True, min_length=1, max_length=120)]
Text = Annotated[str, Field(strict=True, max_length=4000)]
PlanPoint = tuple[Mm, Mm]
SpacePoint = tuple[Mm, Mm, Mm]
Area = Annotated[tuple[PlanPoint, ...], Field(min_length=3, max_length=200)]

Side = Literal["front", "left", "right", "behind", "above", "below"]
PlanSide = Literal["front", "left", "right", "behind"]
Basis = Literal["typical", "manual", "measured", "memory"]
SIDES: tuple[Side, ...] = ("front", "left", "right", "behind", "above", "below")
