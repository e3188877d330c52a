"""Sums that need no room: each with the figures it asks for, its answer, its working and its source."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import isfinite
from typing import Any, Literal

from geometry.errors import SumError
from geometry.rules import rule_pack
from geometry.sums.discharge import discharge_size

Value = str | int | float


@dataclass(frozen=True)
class Field:
    """One figure that a sum asks for: its name in a form and, with hyphens, on the command line; what people read."""

    name: str
    label: str
    kind: Literal["number", "count", "choice"]
    unit: str = ""
    choices: tuple[str, ...] = ()
    example: str = ""
    least: float = 0.0

    def read(self, given: Mapping[str, Value]) -> Value:
        """The figure as given by a form, a command line or a program. Raises SumError that names it."""
        value = given.get(self.name)
        if value is None or (isinstance(value, str) and not value.strip()):
            raise SumError(f"{self.label} is missing: give it, for example {self.example}.")
        if self.kind == "choice":
            return self._choice(str(value).strip())
        number = self._number(value)
        if self.kind == "count" and number != int(number):
            raise SumError(f"{self.label} is a count: {value} is no whole number.")
        return int(number) if self.kind == "count" else number

    def _choice(self, value: str) -> str:
        if value not in self.choices:
            raise SumError(f"{self.label} cannot be {value}. It is one of {', '.join(self.choices)}.")
        return value

    def _number(self, value: Value) -> float:
        try:
            number = float(value)
        except ValueError:
            raise SumError(f"{self.label} is a number{self._unit}: {value!r} is none.") from None
        if not isfinite(number) or not self.least <= number <= 1e6:
            raise SumError(f"{self.label} is {self.least:g} or more{self._unit}, and within reason: {value} is not.")
        return number

    @property
    def _unit(self) -> str:
        return f" in {self.unit}" if self.unit else ""


@dataclass(frozen=True)
class Sum:
    """One sum: what people call it, what it tells them, what it asks for, and how it is done.

    ``run(given, rules="england")`` takes the fields by name and gives {"sum", "inputs", "result", "working", "source"}.
    """

    name: str
    title: str
    says: str
    fields: tuple[Field, ...]
    run: Callable[..., dict[str, Any]]


def _discharge(given: Mapping[str, Value], rules: str = "england") -> dict[str, Any]:
    """Size of a discharge pipe. ``given`` holds outlet, length_m and bends; ``rules`` names the rule pack.

    >>> answer = _discharge({"outlet": "G1/2", "length_m": "5.8", "bends": 4})
    >>> answer["result"]
    {'size_mm': 22, 'equivalent_m': 9.0, 'limit_m': 9}
    """
    inputs = {field.name: field.read(given) for field in DISCHARGE_FIELDS}
    pack = rule_pack(rules)
    found = discharge_size(str(inputs["outlet"]), float(inputs["length_m"]), int(inputs["bends"]), pack)
    return {
        "sum": "discharge",
        "inputs": inputs,
        "result": {"size_mm": found.size_mm, "equivalent_m": found.equivalent_m, "limit_m": found.limit_m},
        "working": list(found.working),
        "source": pack.source("discharge-table").as_json(),
    }


_OUTLETS = tuple(dict.fromkeys(row["outlet"] for row in rule_pack("england").figure("discharge-table").value))
DISCHARGE_FIELDS = (
    Field("outlet", "Outlet of the relief valve", "choice", choices=_OUTLETS, example=_OUTLETS[0]),
    Field("length_m", "Length from the tundish to the end of the pipe", "number", "metres", example="7"),
    Field("bends", "Elbows and bends on the way", "count", example="4"),
)

SUMS: dict[str, Sum] = {
    "discharge": Sum(
        "discharge",
        "Discharge pipe of an unvented cylinder",
        "The least copper pipe from the tundish to its end, for its length and its bends.",
        DISCHARGE_FIELDS,
        _discharge,
    ),
}
