"""Each sum written out: the figures read, the pack asked, every line shown."""

from math import ceil, degrees, floor, pi
from typing import Any

from geometry.errors import SumError
from geometry.rules import RulePack
from geometry.sums.air import air_rates, compartment_air
from geometry.sums.corner import longest_mm, turning
from geometry.sums.discharge import DischargeSum, Tried, discharge_size, rows
from geometry.sums.drops import air_gap_mm, condensate_drop_mm
from geometry.sums.form import Part, Step, Worked
from geometry.sums.plain import plain
from geometry.sums.stand import diagonal_mm
from geometry.sums.vessel import TABLE, in_table, printed_litres, vessel_factor, vessel_litres
from geometry.units import G_M_S2

GEOMETRY = "plain-geometry"
Given = dict[str, Any]


def discharge(given: Given, pack: RulePack) -> Worked:
    """The least copper pipe above and below a tundish, for a valve outlet, a length and a count of bends."""
    length_m = given["length_m"]
    found = discharge_size(given["outlet"], length_m, given["bends"], pack)
    first_mm = rows(given["outlet"], pack)[0]["d1_mm"]
    drop, fall = pack.number("discharge-straight-drop"), _fall_mm(length_m, pack)
    tries = tuple(_tried(tried, length_m, given["bends"]) for tried in found.tried)
    parts = (_above(given["outlet"], first_mm, pack), *tries, _below(length_m, pack))
    sized = f"{first_mm} mm from the valve to the tundish, then {found.size_mm} mm copper"
    told = f"Use {sized}: {plain(drop)} mm straight down, then a fall of {plain(fall)} mm to its end."
    answer = found.working[-1] if found.size_mm is None else told
    lines = (
        f"valve to tundish: {first_mm} mm at least, {plain(pack.number('discharge-valve-to-tundish'))} mm long at most",
        *(found.working[:-1] if found.size_mm is None else found.working),
        f"below the tundish: {plain(drop)} mm straight down, then a fall of {plain(fall)} mm",
        answer,
    )
    also = ("discharge-valve-to-tundish", "discharge-straight-drop", "discharge-fall")
    return Worked(_sized(found), parts, answer, "discharge-table", lines, also)


def _above(outlet: str, first_mm: int, pack: RulePack) -> Part:
    """The pipe from the valve to the tundish, as the table calls it D1."""
    steps = (
        Step(f"outlet of the valve {outlet}, pipe to the tundish (D1), at least", f"{first_mm}", "mm"),
        Step("length of that pipe, at most", plain(pack.number("discharge-valve-to-tundish")), "mm"),
    )
    return Part("Valve to tundish", steps)


def _fall_mm(length_m: float, pack: RulePack) -> int:
    """How far the pipe falls after its straight drop, in whole mm, rounded up.

    >>> from geometry.rules import rule_pack
    >>> _fall_mm(7, rule_pack("england")), _fall_mm(0.2, rule_pack("england"))
    (34, 0)
    """
    run_mm = max(0.0, length_m * 1000 - pack.number("discharge-straight-drop"))
    return ceil(round(run_mm / pack.number("discharge-fall"), 6))


def _below(length_m: float, pack: RulePack) -> Part:
    """How the pipe from the tundish, D2, sets off and falls."""
    drop, each, fall = pack.number("discharge-straight-drop"), pack.number("discharge-fall"), _fall_mm(length_m, pack)
    run = max(0.0, length_m * 1000 - drop)
    steps = (
        Step("straight down from the tundish before any bend, at least", plain(drop), "mm"),
        Step(f"fall of 1 in {plain(each)} after that: {plain(run)} ÷ {plain(each)}", f"{fall:,}", "mm"),
        Step("the end lies below the tundish by at least", plain(drop + fall), "mm", "total"),
    )
    return Part("Straight drop and fall (D2)", steps)


def _sized(found: DischargeSum) -> dict[str, Any]:
    return {"size_mm": found.size_mm, "equivalent_m": found.equivalent_m, "limit_m": found.limit_m}


def _tried(tried: Tried, length_m: float, bends: int) -> Part:
    over_m = tried.equivalent_m - tried.limit_m
    end = Step("spare", f"{-over_m:,.2f}", "m", "spare")
    if not tried.carries:
        end = Step("too long by", f"{over_m:,.2f}", "m", "short")
    steps = (
        Step(f"{bends} bends × {tried.elbow_m:.1f}", f"{bends * tried.elbow_m:,.2f}"),
        Step("straight pipe", f"{length_m:,.2f}"),
        Step("counted length", f"{tried.equivalent_m:,.2f}", "m", "total"),
        Step(f"{tried.size_mm} mm may carry up to", f"{tried.limit_m:,.2f}", "m"),
        end,
    )
    return Part(f"Try {tried.size_mm} mm from the tundish (D2)", steps)


def vessel(given: Given, pack: RulePack) -> Worked:
    """Litres of expansion vessel for the water in a sealed system."""
    system, charge, valve = given["system_l"], given["charge_bar"], given["valve_bar"]
    litres, factor = vessel_litres(system, charge, valve, pack), vessel_factor(charge, valve, pack)
    lesser = pack.number("vessel-below-88")
    place = "factor of the table" if in_table(charge, valve, pack) else "formula behind the table"
    done = "as the table prints it" if printed_litres(system, charge, valve, pack) is not None else "the product"
    steps = (
        Step("water in the system", plain(system), "litres"),
        Step(f"charge {plain(charge)} bar under a {plain(valve)} bar valve, {place}", f"× {factor:.4g}"),
        Step(f"vessel, {done}", f"{litres:,.1f}", "litres", "total"),
        Step(f"where the flow stays under 88 °C, {plain(lesser)} of it does", f"{litres * lesser:,.1f}", "litres"),
    )
    answer = f"Take the next vessel of {litres:,.1f} litres or more."
    return Worked({"litres": litres}, (Part("The vessel", steps),), answer, TABLE)


def stand_up(given: Given, _: RulePack) -> Worked:
    """Ceiling needed to tip something upright."""
    height, base = given["height_mm"], given["base_mm"]
    needed = round(diagonal_mm(height, base), 3)
    steps = (
        Step(f"height {plain(height)} × {plain(height)}", f"{height**2:,.0f}"),
        Step(f"base {plain(base)} × {plain(base)}", f"{base**2:,.0f}"),
        Step("together", f"{height**2 + base**2:,.0f}", "mm²", "total"),
        Step("square root of that, rounded up", f"{ceil(needed):,}", "mm"),
    )
    answer = f"The ceiling must be {ceil(needed):,} mm or more, clear of beams and lamps, to tip it up."
    return Worked({"needed_mm": needed}, (Part("From corner to corner", steps),), answer, GEOMETRY)


def corner(given: Given, _: RulePack) -> Worked:
    """Longest rectangle round a right-angle corner."""
    first, second, width = given["first_mm"], given["second_mm"], given["width_mm"]
    longest = round(longest_mm(first, second, width), 3)
    turned, angle = turning(first, second, width)
    straight = max(first, second)
    formula = f"({plain(first)} sin t + {plain(second)} cos t − {plain(width)}) ÷ (sin t cos t)"
    steps = (
        Step(f"turning, at an angle t: {formula}, least at t = {degrees(angle):.0f}°", f"{floor(turned):,}", "mm"),
        Step("sliding through without a turn: as long as the wider corridor", f"{floor(straight):,}", "mm"),
        Step("the longer of the two, rounded down", f"{floor(longest):,}", "mm", "total"),
    )
    answer = f"Flat on the floor it may be {floor(longest):,} mm long; upright only its base counts."
    return Worked({"longest_mm": longest}, (Part("Round the corner", steps),), answer, GEOMETRY)


def weight(given: Given, pack: RulePack) -> Worked:
    """Full weight, force and pressure."""
    dry, litres, full = given["dry_kg"], given["litres"], given["dry_kg"] + given["litres"]
    base, area = _base(given)
    force = full * G_M_S2 / 1000
    pressure = force / area
    steps = (
        Step("empty", plain(dry), "kg"),
        Step(f"{plain(litres)} litres of water, 1 kg each", plain(litres), "kg"),
        Step("full", plain(full), "kg", "total"),
        Step(f"{plain(full)} × {G_M_S2} ÷ 1,000", f"{force:,.3f}", "kN"),
        Step(base, f"{area:,.4f}", "m²"),
        Step(f"{force:,.3f} ÷ {area:,.4f}", f"{pressure:,.1f}", "kN/m²", "total"),
        Step(
            "a dwelling's floor is usually designed for",
            plain(pack.number("floor-dwelling-spread")),
            "kN/m² spread",
        ),
    )
    result = {"full_kg": full, "kn": round(force, 3), "kn_m2": round(pressure, 3)}
    answer = f"It presses with {pressure:,.1f} kN/m² on its own base: ask a structural engineer what carries it."
    return Worked(result, (Part("On its base", steps),), answer, "floor-dwelling-spread")


def _base(given: Given) -> tuple[str, float]:
    """The base in words, and its area in m²: square by width and depth, or round by its diameter."""
    width, depth, across = (given.get(name) for name in ("width_mm", "depth_mm", "round_mm"))
    if across is not None:
        if width is not None or depth is not None:
            raise SumError("A base is square or round: give its width and depth, or its diameter, not both.")
        return f"base Ø{plain(across)} mm, π ÷ 4 × {plain(across)}²", pi / 4 * across**2 / 1e6
    if width is None or depth is None:
        raise SumError("The base is missing: give its width and depth, or, where it is round, its diameter.")
    return f"base {plain(width)} × {plain(depth)} mm", width * depth / 1e6


def air(given: Given, pack: RulePack) -> Worked:
    """Free area of the openings of a compartment."""
    kw, flue, to = given["kw"], given["flue"], given["to"]
    high, low = compartment_air(kw, flue, to, pack)
    rates = air_rates(flue, to, pack)
    where = "another room" if to == "room" else "outside"
    steps = (
        Step("heat input, net", plain(kw), "kW"),
        Step(f"high: {plain(kw)} × {plain(rates[0])} cm²", plain(high), "cm²", "total"),
        Step(f"low: {plain(kw)} × {plain(rates[1])} cm²", plain(low), "cm²", "total"),
    )
    answer = (
        f"{plain(high)} cm² high and {plain(low)} cm² low, both to {where}, unless its maker asks for something else."
    )
    return Worked({"high_cm2": high, "low_cm2": low}, (Part("The openings", steps),), answer, "compartment-air")


def condensate(given: Given, pack: RulePack) -> Worked:
    """Fall of a condensate pipe."""
    length = given["length_m"]
    drop, each = condensate_drop_mm(length, pack), pack.number("condensate-fall")
    steps = (
        Step("length of the pipe", plain(length), "m"),
        Step("fall for each metre, at least", plain(each), "mm"),
        Step(f"{plain(length)} × {plain(each)}", plain(drop), "mm", "total"),
    )
    answer = f"Its end is {plain(drop)} mm or more below its start, with no rise on the way."
    return Worked({"drop_mm": drop}, (Part("The fall", steps),), answer, "condensate-fall")


def air_gap(given: Given, pack: RulePack) -> Worked:
    """Air gap over a cistern or tundish."""
    bore = given["inlet_bore_mm"]
    gap, times, least = air_gap_mm(bore, pack), pack.number("air-gap-bores"), pack.number("air-gap-least")
    steps = (
        Step("bore of the inlet", plain(bore), "mm"),
        Step(f"{plain(times)} × {plain(bore)}", plain(round(bore * times, 6)), "mm"),
        Step("never less than", plain(least), "mm"),
        Step("the larger of the two", plain(gap), "mm", "total"),
    )
    answer = f"Leave {plain(gap)} mm or more between the inlet and the highest the water can stand."
    return Worked({"gap_mm": gap}, (Part("The gap", steps),), answer, "air-gap-least")
