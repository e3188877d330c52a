"""What stands on the floor, how heavy it is full, and how hard it presses.

A question for an engineer, never a pass. Pressure is full weight over the area of the body's own plan; a board
spreads it. Where the floor's own allowance is given, more than that is put right.

>>> from geometry.samples import piece, round_kit, sample_scene
>>> cylinder = round_kit("cylinder", 550, 1830, dry_kg=54, water_l=250)
>>> [f.message for f in find(sample_scene([cylinder], [piece(cylinder, 1200, 900)])) if f.pieces]
['Cylinder weighs 304 kg full: 2.98 kN, 12.6 kN/m² on its own base.']
"""

from collections.abc import Iterator

from geometry.check import Check, Finding, Where
from geometry.rules import Source
from geometry.saved import Basis
from geometry.scene import Placed, Scene, own_body
from geometry.units import G_M_S2
from geometry.words import start, the

ID = "floor-load"
HEAVY_KG = 100.0
"""Lighter pieces are only counted into the room's total (common practice, no source)."""
UNIFORM = Source(
    "UK National Annex to BS EN 1991-1-1", "tables NA.2, NA.3: dwelling 1.5 kN/m² spread, 2.0 kN on a point",
    "2002, read at second hand", "guidance",
)  # fmt: skip


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each heavy piece on the floor, and one for all kit together."""
    for placed in scene.placed:
        mass = placed.kit.full_kg
        if placed.kit.stands_on == "floor" and (only is None or placed.id in only):
            if mass is None:
                yield _unknown(placed)
            elif mass >= HEAVY_KG:
                yield _pressure(scene, placed, mass)
    if only is None and scene.placed:
        yield _total(scene)


def pressure_kn_m2(mass_kg: float, area_mm2: float) -> float:
    """Pressure of a mass on an area.

    >>> round(pressure_kn_m2(304, 237_583), 2)
    12.55
    """
    return mass_kg * G_M_S2 / 1000 / (area_mm2 / 1e6)


def _pressure(scene: Scene, placed: Placed, mass: float) -> Finding:
    pressure = pressure_kn_m2(mass, sum(part.area_mm2 for part in own_body(placed.kit)))
    allow = scene.room.floor.allow_kn_m2
    force = f"{mass * G_M_S2 / 1000:.2f} kN, {pressure:.1f} kN/m² on its own base"
    text = f"{start(placed.name)} weighs {mass:,.0f} kg full: {force}"
    over = allow is not None and pressure > allow
    rest = f"; the floor is given as {allow:g} kN/m²." if allow is not None else "."
    asked = "presses harder than the floor's figure" if over else "on the floor: ask an engineer"
    return Finding(
        ID, "put-right" if over else "not-checked", text + rest, (placed.id,), ("floor",),
        title=f"{start(placed.name)} {asked}", needed=allow, found=pressure,
        short=pressure - allow if over and allow is not None else None, unit="kN/m2",
        basis=_basis(placed), question=f"What carries the floor under {the(placed.name)}, and how much?",
        where=Where(placed.body[0], placed.base_mm, placed.base_mm),
    )  # fmt: skip


def _basis(placed: Placed) -> Basis:
    changes = [placed.piece.changes[k].basis for k in ("dry_kg", "water_l") if k in placed.piece.changes]
    return changes[0] if len(changes) == 2 else placed.kit.basis


def _unknown(placed: Placed) -> Finding:
    return Finding(
        ID, "not-checked", f"The weight of {the(placed.name)} is not known.", (placed.id,), ("floor",),
        title=f"{start(placed.name)}: weight not known", unit="kg",
        question=f"What does {the(placed.name)} weigh, full?",
    )  # fmt: skip


def _total(scene: Scene) -> Finding:
    masses = [placed.kit.full_kg for placed in scene.placed]
    known = sum(mass for mass in masses if mass is not None)
    unknown = masses.count(None)
    text = f"All kit weighs {known:,.0f} kg full" + (f", and {unknown} more of unknown weight." if unknown else ".")
    build = scene.room.floor.build
    floor = "" if build == "unknown" else f" The floor is {build}."
    return Finding(
        ID, "not-checked", text + floor, (), ("floor",), topic="total", title="All kit on the floor: ask an engineer",
        found=known, unit="kg", basis="typical",
        question=f"Has an engineer looked at the floor with {known:,.0f} kg on it?",
    )  # fmt: skip


CHECK = Check(
    id=ID,
    title="The floor's load has been put to an engineer",
    failing_title="The floor is asked to carry more than its figure",
    reason=(
        "A full cylinder presses several times harder on its own base than a dwelling's floor is designed for. "
        "Only an engineer who knows what is under it can say whether it will carry it."
    ),
    source=UNIFORM,
    find=find,
)
