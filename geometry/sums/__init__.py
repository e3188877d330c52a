"""Sums that need no room: each with the figures it asks for, its answer, its working and its source."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import hypot, isfinite
from typing import Any, Literal

from geometry.errors import SumError
from geometry.rules import RulePack, rule_pack
from geometry.sums.air import FLUES, TO, compartment_air
from geometry.sums.corner import longest_mm
from geometry.sums.discharge import discharge_size
from geometry.sums.drops import air_gap_mm, condensate_drop_mm
from geometry.sums.vessel import vessel_factor, vessel_litres
from geometry.units import G_M_S2

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


def _answer(
    name: str, inputs: dict[str, Value], result: dict[str, Any], working: list[str], pack: RulePack, key: str
) -> dict[str, Any]:
    return {"sum": name, "inputs": inputs, "result": result, "working": working, "source": pack.source(key).as_json()}


def _read(fields: tuple[Field, ...], given: Mapping[str, Value]) -> dict[str, Value]:
    return {field.name: field.read(given) for field in fields}


def _vessel(given: Mapping[str, Value], rules: str = "england") -> dict[str, Any]:
    """Litres of expansion vessel.

    >>> _vessel({"system_l": 100, "charge_bar": 1.0, "valve_bar": 3})["result"]
    {'litres': 10.9}
    """
    inputs = _read(VESSEL_FIELDS, given)
    system, charge, valve = (float(inputs[f.name]) for f in VESSEL_FIELDS)
    litres, factor = vessel_litres(system, charge, valve), vessel_factor(charge, valve)
    working = [
        f"Charge {charge:g} bar under a valve of {valve:g} bar: {factor:.4g} litres for each litre in the system",
        f"{system:g} l × {factor:.4g} = {litres:g} l: take the next larger vessel",
    ]
    return _answer("vessel", inputs, {"litres": litres}, working, rule_pack(rules), "vessel-table")


def _stand_up(given: Mapping[str, Value], rules: str = "england") -> dict[str, Any]:
    """Ceiling needed to tip something upright.

    >>> _stand_up({"height_mm": 1800, "base_mm": 550})["result"]
    {'needed_mm': 1882.153}
    """
    inputs = _read(STAND_UP_FIELDS, given)
    height, base = (float(inputs[f.name]) for f in STAND_UP_FIELDS)
    needed = round(hypot(height, base), 3)
    working = [
        f"{height:g}² + {base:g}² = {height**2 + base**2:,.0f}",
        f"the square root is {needed:,.1f} mm: the ceiling must be higher",
    ]
    return _answer("stand-up", inputs, {"needed_mm": needed}, working, rule_pack(rules), "plain-geometry")


def _corner(given: Mapping[str, Value], rules: str = "england") -> dict[str, Any]:
    """Longest rectangle round a right-angle corner.

    >>> _corner({"first_mm": 900, "second_mm": 900, "width_mm": 600})["result"]
    {'longest_mm': 1345.584}
    """
    inputs = _read(CORNER_FIELDS, given)
    first, second, width = (float(inputs[f.name]) for f in CORNER_FIELDS)
    longest = round(longest_mm(first, second, width), 3)
    working = [
        f"At an angle t it may be ({first:g} sin t + {second:g} cos t − {width:g}) / (sin t cos t) long",
        f"the least of these over all angles, or straight through without turning: {longest:,.1f} mm",
    ]
    return _answer("corner", inputs, {"longest_mm": longest}, working, rule_pack(rules), "plain-geometry")


def _weight(given: Mapping[str, Value], rules: str = "england") -> dict[str, Any]:
    """Full weight, force and pressure.

    >>> _weight({"dry_kg": 50, "litres": 250, "width_mm": 550, "depth_mm": 550})["result"]
    {'full_kg': 300.0, 'kn': 2.943, 'kn_m2': 9.729}
    """
    inputs = _read(WEIGHT_FIELDS, given)
    dry, litres, width, depth = (float(inputs[f.name]) for f in WEIGHT_FIELDS)
    full = dry + litres
    force = full * G_M_S2 / 1000
    pressure = force / (width * depth / 1e6)
    result = {"full_kg": full, "kn": round(force, 3), "kn_m2": round(pressure, 3)}
    working = [
        f"{dry:g} kg dry + {litres:g} l of water = {full:g} kg",
        f"{full:g} kg × {G_M_S2} = {force:.2f} kN",
        f"{force:.2f} kN on {width:g} × {depth:g} mm = {pressure:.1f} kN/m²: ask an engineer",
    ]
    return _answer("weight", inputs, result, working, rule_pack(rules), "plain-geometry")


def _compartment_air(given: Mapping[str, Value], rules: str = "england") -> dict[str, Any]:
    """Free area of the openings of a compartment.

    >>> _compartment_air({"kw": 24, "flue": "room-sealed", "to": "room"})["result"]
    {'high_cm2': 240.0, 'low_cm2': 240.0}
    """
    inputs, pack = _read(AIR_FIELDS, given), rule_pack(rules)
    kw, flue, to = float(inputs["kw"]), str(inputs["flue"]), str(inputs["to"])
    high, low = compartment_air(kw, flue, to, pack)
    where = "another room" if to == "room" else "outside"
    working = [
        f"High: {kw:g} kW × {high / kw:g} cm² = {high:g} cm² to {where}",
        f"Low: {kw:g} kW × {low / kw:g} cm² = {low:g} cm² to the same place",
    ]
    return _answer("compartment-air", inputs, {"high_cm2": high, "low_cm2": low}, working, pack, "compartment-air")


def _condensate(given: Mapping[str, Value], rules: str = "england") -> dict[str, Any]:
    """Fall of a condensate pipe.

    >>> _condensate({"length_m": 3})["result"]
    {'drop_mm': 135.0}
    """
    inputs, pack = _read(CONDENSATE_FIELDS, given), rule_pack(rules)
    length = float(inputs["length_m"])
    drop = condensate_drop_mm(length, pack)
    working = [f"{length:g} m × {pack.number('condensate-fall'):g} mm for each metre = {drop:g} mm of fall at least"]
    return _answer("condensate", inputs, {"drop_mm": drop}, working, pack, "condensate-fall")


def _air_gap(given: Mapping[str, Value], rules: str = "england") -> dict[str, Any]:
    """Air gap over a cistern or tundish.

    >>> _air_gap({"inlet_bore_mm": 13.6})["result"]
    {'gap_mm': 27.2}
    """
    inputs, pack = _read(AIR_GAP_FIELDS, given), rule_pack(rules)
    bore = float(inputs["inlet_bore_mm"])
    gap = air_gap_mm(bore, pack)
    twice = bore * pack.number("air-gap-bores")
    working = [f"twice {bore:g} mm is {twice:g} mm; never less than {pack.number('air-gap-least'):g} mm: {gap:g} mm"]
    return _answer("air-gap", inputs, {"gap_mm": gap}, working, pack, "air-gap-least")


VESSEL_FIELDS = (
    Field("system_l", "Water in the system", "number", "litres", example="100"),
    Field("charge_bar", "Charge of the vessel", "number", "bar", example="1.0"),
    Field("valve_bar", "Setting of the safety valve", "number", "bar", example="3"),
)
STAND_UP_FIELDS = (
    Field("height_mm", "Height", "number", "mm", example="1800", least=1),
    Field("base_mm", "Smaller side of the base, or diameter", "number", "mm", example="550", least=1),
)
CORNER_FIELDS = (
    Field("first_mm", "Width of the first corridor", "number", "mm", example="900", least=1),
    Field("second_mm", "Width of the second corridor", "number", "mm", example="900", least=1),
    Field("width_mm", "Width of what is carried", "number", "mm", example="600"),
)
WEIGHT_FIELDS = (
    Field("dry_kg", "Weight empty", "number", "kg", example="50"),
    Field("litres", "Water in it", "number", "litres", example="250"),
    Field("width_mm", "Width of its base", "number", "mm", example="550", least=1),
    Field("depth_mm", "Depth of its base", "number", "mm", example="550", least=1),
)
AIR_FIELDS = (
    Field("kw", "Heat input, net", "number", "kW", example="24"),
    Field("flue", "Kind of flue", "choice", choices=FLUES, example=FLUES[0]),
    Field("to", "Where the openings lead", "choice", choices=TO, example=TO[0]),
)
CONDENSATE_FIELDS = (Field("length_m", "Length of the pipe", "number", "metres", example="3"),)
AIR_GAP_FIELDS = (Field("inlet_bore_mm", "Bore of the inlet", "number", "mm", example="13.6"),)

SUMS: dict[str, Sum] = {
    found.name: found
    for found in (
        Sum(
            "discharge", "Discharge pipe of an unvented cylinder",
            "The least copper pipe from the tundish to its end, for its length and its bends.",
            DISCHARGE_FIELDS, _discharge,
        ),
        Sum("vessel", "Expansion vessel of a sealed system", "The least vessel for the water in the system.",
            VESSEL_FIELDS, _vessel),
        Sum("stand-up", "Standing something up", "The ceiling it takes to tip a tall thing upright.",
            STAND_UP_FIELDS, _stand_up),
        Sum("corner", "Round a corner", "The longest thing that goes flat round a right-angle corner.",
            CORNER_FIELDS, _corner),
        Sum("weight", "Weight on the floor", "What it weighs full, and how hard it presses.", WEIGHT_FIELDS, _weight),
        Sum("compartment-air", "Air for a compartment", "The free area of the openings high and low.",
            AIR_FIELDS, _compartment_air),
        Sum("condensate", "Fall of a condensate pipe", "How far it has to fall over its length.",
            CONDENSATE_FIELDS, _condensate),
        Sum("air-gap", "Air gap", "The least gap over a tundish or a cistern.", AIR_GAP_FIELDS, _air_gap),
    )
}  # fmt: skip
