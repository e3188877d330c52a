"""What a sum asks for, and how it is written out: line by line, as a tradesman would write it down."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import isfinite
from typing import Any, Literal

from geometry.errors import SumError
from geometry.rules import RulePack, rule_pack
from geometry.typed import has_decimal_comma, typed_number

Value = str | int | float


@dataclass(frozen=True)
class Field:
    """One figure that a sum asks for: its name in a form and, with hyphens, on the command line; what people read.

    One that may be left out takes the place of others, or they its: the sum says which.
    """

    name: str
    label: str
    kind: Literal["number", "count", "choice"]
    unit: str = ""
    choices: tuple[str, ...] = ()
    example: str = ""
    least: float = 0.0
    may_be_left: bool = False

    def is_left(self, given: Mapping[str, Value]) -> bool:
        """Whether a figure that may be left out is not given."""
        return self.may_be_left and not str(given.get(self.name, "")).strip()

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
        if isinstance(value, str) and has_decimal_comma(value):
            raise SumError(f"{self.label}: {value!r} could be read in two ways. Write 1.5 with a point.")
        number = typed_number(value) if isinstance(value, str) else float(value)
        if number is None:
            raise SumError(f"{self.label} is a number{self._unit}: {value!r} is none.")
        if not isfinite(number) or not self.least <= number <= 1e6:
            raise SumError(f"{self.label} is {self.least:g} or more{self._unit}, and within reason: {value} is not.")
        return number

    @property
    def _unit(self) -> str:
        return f" in {self.unit}" if self.unit else ""


@dataclass(frozen=True)
class Step:
    """One line of a written sum: what it is, its value and its unit. A total has a line above it."""

    words: str
    value: str
    unit: str = ""
    kind: Literal["plain", "total", "short", "spare"] = "plain"

    @property
    def line(self) -> str:
        """The same in one line of text.

        >>> Step("250 litres of water", "250", "kg").line
        '250 litres of water: 250 kg'
        """
        return f"{self.words}: {self.value} {self.unit}".rstrip()


@dataclass(frozen=True)
class Part:
    """Some lines of a written sum under their heading."""

    heading: str
    steps: tuple[Step, ...]


@dataclass(frozen=True)
class Worked:
    """A sum that is done: its results by name, how it was written out, its answer, and the figure it stands on.

    ``told`` is the working as plain lines where that is shorter than the steps; ``also`` are further figures.
    """

    result: dict[str, Any]
    parts: tuple[Part, ...]
    answer: str
    figure: str
    told: tuple[str, ...] = ()
    also: tuple[str, ...] = ()

    @property
    def working(self) -> list[str]:
        """The working as plain lines, the answer last."""
        return list(self.told) or [*(step.line for part in self.parts for step in part.steps), self.answer]


@dataclass(frozen=True)
class Sum:
    """One sum: what people call it, what it tells them and what not, what it asks for, and how it is done."""

    name: str
    title: str
    says: str
    fields: tuple[Field, ...]
    how: Callable[[dict[str, Any], RulePack], Worked]
    silent: str

    def read(self, given: Mapping[str, Value]) -> dict[str, Value]:
        """The figures given, each as what it should be. Raises SumError that names the first that is not."""
        return {field.name: field.read(given) for field in self.fields if not field.is_left(given)}

    def work(self, given: Mapping[str, Value], rules: str = "england") -> Worked:
        """The sum done, to be written out on a page."""
        return self.how(self.read(given), rule_pack(rules))

    def run(self, given: Mapping[str, Value], rules: str = "england") -> dict[str, Any]:
        """The sum done, as plain values: {"sum", "inputs", "result", "working", "source"}."""
        worked = self.work(given, rules)
        return {
            "sum": self.name, "inputs": self.read(given), "result": worked.result, "working": worked.working,
            "source": rule_pack(rules).source(worked.figure).as_json(),
        }  # fmt: skip
