"""What every part of a room file has in common: frozen, no unknown keys, finite numbers in range."""

import re
from datetime import date
from typing import Annotated, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

SMALLEST_MM = 0.1
"""No size is smaller: no tape reads it."""
FARTHEST_MM = 100_000.0
"""No measure of a room is larger: a coordinate beyond it is a slip of the keyboard."""

_UNPRINTABLE = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]")
_TURNING = re.compile(r"[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]")
"""Marks that turn the direction of writing: unseen, they change the order of the sentence round a name."""
_NEW_LINE = re.compile(r"[\t\n\r\u2028\u2029]")


def _printable(text: str) -> str:
    if _UNPRINTABLE.search(text):
        raise ValueError("this holds a character that cannot be printed; type it again without it")
    if _TURNING.search(text):
        raise ValueError("this holds an unseen mark that turns the direction of writing; type it again without it")
    return text


def _day(text: str) -> str:
    try:
        date.fromisoformat(text)
    except ValueError:
        raise ValueError(f"there is no day {text}; write one like 2026-11-25") from None
    return text


def _one_line(text: str) -> str:
    if _NEW_LINE.search(text):
        raise ValueError("this runs over several lines; write it in one")
    if text and not text.strip():
        raise ValueError("this is blank; give it words or take it out")
    return _printable(text)


class Saved(BaseModel):
    """Base of all file models."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


Mm = Annotated[float, Field(strict=True, ge=-FARTHEST_MM, le=FARTHEST_MM, allow_inf_nan=False)]
SizeMm = Annotated[float, Field(strict=True, ge=SMALLEST_MM, le=FARTHEST_MM, allow_inf_nan=False)]
SpaceMm = Annotated[float, Field(strict=True, ge=0, le=FARTHEST_MM, allow_inf_nan=False)]
Deg = Annotated[float, Field(strict=True, ge=-3600, le=3600, allow_inf_nan=False)]
Kg = Annotated[float, Field(strict=True, ge=0, le=100_000, allow_inf_nan=False)]
Litres = Annotated[float, Field(strict=True, ge=0, le=100_000, allow_inf_nan=False)]
Id = Annotated[str, Field(strict=True, min_length=1, max_length=40, pattern=r"^[A-Za-z0-9][A-Za-z0-9_.-]*$")]
Line = Annotated[str, Field(strict=True, max_length=120), AfterValidator(_one_line)]
Name = Annotated[str, Field(strict=True, min_length=1, max_length=120), AfterValidator(_one_line)]
Text = Annotated[str, Field(strict=True, max_length=4000), AfterValidator(_printable)]
Words = Annotated[str, Field(strict=True, min_length=1, max_length=4000), AfterValidator(_printable)]
Day = Annotated[str, Field(strict=True, pattern=r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$"), AfterValidator(_day)]
Flag = Annotated[bool, Field(strict=True)]
PlanPoint = tuple[Mm, Mm]
SpacePoint = tuple[Mm, Mm, Mm]
Area = Annotated[tuple[PlanPoint, ...], Field(min_length=3, max_length=200)]

Side = Literal["front", "left", "right", "behind", "above", "below"]
PlanSide = Literal["front", "left", "right", "behind"]
Basis = Literal["typical", "manual", "measured", "memory"]
SIDES: tuple[Side, ...] = ("front", "left", "right", "behind", "above", "below")
