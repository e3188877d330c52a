"""Sums that need no room: each with the figures it asks for, its answer, its working and its source.

>>> SUMS["stand-up"].run({"height_mm": 1800, "base_mm": 550})["result"]
{'needed_mm': 1882.153}
>>> SUMS["weight"].run({"dry_kg": 50, "litres": 250, "width_mm": 550, "depth_mm": 550})["result"]
{'full_kg': 300.0, 'kn': 2.943, 'kn_m2': 9.729}
>>> SUMS["air-gap"].run({"inlet_bore_mm": "13.6"})["working"][-1]
'Leave 27.2 mm or more between the inlet and the highest the water can stand.'
"""

from geometry.rules import rule_pack
from geometry.sums import worked
from geometry.sums.air import FLUES, TO
from geometry.sums.form import Field, Sum, Value

__all__ = ["SUMS", "Field", "Sum", "Value"]

_OUTLETS = tuple(dict.fromkeys(row["outlet"] for row in rule_pack("england").rows("discharge-table")))
_LEAST = 0.1

SUMS: dict[str, Sum] = {
    found.name: found
    for found in (
        Sum(
            "discharge", "Discharge pipe of an unvented cylinder",
            "The least copper pipe from the tundish to its end, for its length and its bends.",
            (
                Field("outlet", "Outlet of the relief valve", "choice", choices=_OUTLETS, example=_OUTLETS[0]),
                Field("length_m", "Length from the tundish to the end of the pipe", "number", "metres", example="7"),
                Field("bends", "Elbows and bends on the way", "count", example="4"),
            ),
            worked.discharge,
            "Whether the end of the pipe is in a good place, whether it can be seen, and what a plastic or a "
            "shared pipe needs. Length is all of it, the straight drop and the part outside included; every elbow "
            "and every made bend counts.",
        ),
        Sum(
            "vessel", "Expansion vessel of a sealed system", "The least vessel for the water in the system.",
            (
                Field("system_l", "Water in the system", "number", "litres", example="100", least=_LEAST),
                Field("charge_bar", "Charge of the vessel", "number", "bar", example="1.0"),
                Field("valve_bar", "Setting of the safety valve", "number", "bar", example="3", least=_LEAST),
            ),
            worked.vessel,
            "How much water is in the system: measure it, or add up boiler, pipes and radiators. It says nothing "
            "of the hot water's own vessel, nor of antifreeze, which grows more.",
        ),
        Sum(
            "stand-up", "Standing something up", "The ceiling it takes to tip a tall thing upright.",
            (
                Field("height_mm", "Height", "number", "mm", example="1800", least=1),
                Field("base_mm", "Smaller side of the base, or diameter", "number", "mm", example="550", least=1),
            ),
            worked.stand_up,
            "Whether it comes through the door, how it is held while it tips, and what hangs from the ceiling. "
            "What carries it in needs a little more: leave room for hands.",
        ),
        Sum(
            "corner", "Round a corner", "The longest thing that goes flat round a right-angle corner.",
            (
                Field("first_mm", "Width of the first corridor", "number", "mm", example="900", least=1),
                Field("second_mm", "Width of the second corridor", "number", "mm", example="900", least=1),
                Field("width_mm", "Smaller side of what is carried", "number", "mm", example="600"),
            ),
            worked.corner,
            "Whether it may be tilted or stood up, and what a handrail, a door or a skirting takes. Measure the "
            "corridors at their narrowest.",
        ),
        Sum(
            "weight", "Weight on the floor", "What it weighs full, and how hard it presses.",
            (
                Field("dry_kg", "Weight empty", "number", "kg", example="50"),
                Field("litres", "Water in it", "number", "litres", example="250"),
                Field("width_mm", "Square base: its width", "number", "mm", example="550", least=1, may_be_left=True),
                Field("depth_mm", "Square base: its depth", "number", "mm", example="550", least=1, may_be_left=True),
                Field("round_mm", "Round base: its diameter", "number", "mm", example="550", least=1, may_be_left=True),
            ),
            worked.weight,
            "What the floor can carry: that is for a structural engineer. What stands beside it presses on the "
            "same joists.",
        ),
        Sum(
            "compartment-air", "Air for a compartment", "The free area of the openings high and low.",
            (
                Field("kw", "Heat input, net", "number", "kW", example="24", least=_LEAST),
                Field("flue", "Kind of flue", "choice", choices=FLUES, example=FLUES[0]),
                Field("to", "Where the openings lead", "choice", choices=TO, example=TO[0]),
            ),
            worked.air,
            "What the maker asks for, which counts for more. Grilles have a free area that is less than their "
            "size: read it on the grille.",
        ),
        Sum(
            "condensate", "Fall of a condensate pipe", "How far it has to fall over its length.",
            (Field("length_m", "Length of the pipe", "number", "metres", example="3", least=0.001),),
            worked.condensate,
            "How wide the pipe has to be, whether it may freeze, and where it may end. A pipe outside is short, "
            "wide and lagged.",
        ),
        Sum(
            "air-gap", "Air gap", "The least gap over a tundish or a cistern.",
            (Field("inlet_bore_mm", "Bore of the inlet", "number", "mm", example="13.6", least=_LEAST),),
            worked.air_gap,
            "Which kind of air gap the water regulations ask for here. Where the overflow decides how high the "
            "water stands, measure from there.",
        ),
    )
}  # fmt: skip
