"""What stands on the floor, how heavy it is full, and how hard it presses: by itself, on its board, in its patch.

A question for an engineer, never a pass. Pressure is full weight over the area that touches the floor: the body's own
plan, or that of the board or plinth under it. Heavy pieces that stand close bear on one patch, the floor between them
counted in. Where the floor's own allowance is given, more than that is put right. All kit together is asked about where
it is more than the floor's allowance, or a dwelling's, over the whole floor. A tank on a platform wants it to reach
beyond its base.

>>> from geometry.samples import piece, round_kit, sample_scene
>>> cylinder = round_kit("cylinder", 550, 1830, dry_kg=54, water_l=250)
>>> [f.message for f in find(sample_scene([cylinder], [piece(cylinder, 1200, 900)])) if f.pieces]
['Cylinder weighs 304 kg full: 2.98 kN, 12.6 kN/m² on its own base.']
"""

from collections.abc import Iterator

import shapely
from shapely.geometry import Polygon

from geometry.check import Check, Finding, Where, judge, mm
from geometry.loads import Load, Patch, loads, patches, pressure_kn_m2
from geometry.rules import RulePack, Source, rule_pack
from geometry.saved import Basis
from geometry.scene import Placed, Scene
from geometry.standing import LEVEL_MM, platform_beyond_mm, under
from geometry.units import DEPTH_TOLERANCE_MM, G_M_S2
from geometry.words import listed, named, start, the

ID = "floor-load"


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each heavy load, each patch and each tank on a platform, and one for all kit together."""
    every = loads(scene)
    least = scene.pack.number("floor-heavy")
    heavy = [load for load in every if load.full_kg is not None and load.full_kg >= least]
    for load in every:
        if _asked(load.ids, only):
            yield from _one(scene, load, load in heavy)
    for patch in patches(heavy, scene.pack.number("floor-patch-gap")):
        if _asked([piece for load in patch.loads for piece in load.ids], only):
            yield _together(scene, patch)
    for placed in scene.placed:
        if placed.kit.has("cistern") and placed.base_mm > LEVEL_MM and _asked((placed.id,), only):
            yield from _platform(scene, placed)
    if only is None and scene.placed:
        yield from _total(scene)


def _asked(ids: tuple[str, ...] | list[str], only: frozenset[str] | None) -> bool:
    return only is None or not only.isdisjoint(ids)


def _one(scene: Scene, load: Load, heavy: bool) -> Iterator[Finding]:
    yield from (_unknown(placed) for placed in load.pieces if placed.kit.full_kg is None)
    if not heavy or load.full_kg is None:
        return
    first, mass = load.pieces[0], load.full_kg
    if not load.plans or not _on_floor(scene, load):
        yield _not_on_floor(scene, load)
        return
    pressure, allow = pressure_kn_m2(mass, load.area_mm2), scene.room.floor.allow_kn_m2
    names = listed(placed.name if k == 0 else the(placed.name) for k, placed in enumerate(load.pieces))
    weigh = "weighs" if len(load.pieces) == 1 else "together weigh"
    text = f"{start(names)} {weigh} {mass:,.0f} kg full: {mass * G_M_S2 / 1000:.2f} kN, {pressure:.1f} kN/m² "
    ask = f"What is under the floor where {the(first.name)} stands, and how much does it carry?"
    yield _judged(
        scene, load.ids, text + _spread(scene, load), pressure, allow, title=start(first.name), basis=_basis(first),
        question=_of_slab(scene, mass) or ask, topic="",
        where=Where(load.plans[0], 0.0, first.base_mm),
    )  # fmt: skip


def _of_slab(scene: Scene, mass_kg: float) -> str:
    """What is asked of a concrete floor on the ground; nothing of any other."""
    floor = scene.room.floor
    if floor.storey != "ground" or floor.build != "concrete":
        return ""
    return f"Ground floor, concrete: is the slab sound and level under {mass_kg:,.0f} kg?"


def _on_floor(scene: Scene, load: Load) -> bool:
    """Whether what it stands on touches the floor; a shelf fixed to a wall does not."""
    hung = {block.id for block in scene.room.fixtures if block.from_mm > LEVEL_MM}
    return hung.isdisjoint(load.bearers)


def _not_on_floor(scene: Scene, load: Load) -> Finding:
    first, on = load.pieces[0], named(scene, load.bearers[-1]) if load.bearers else "what is under it"
    return Finding(
        ID, "not-checked", f"{start(first.name)} weighs {load.full_kg:,.0f} kg full and stands on {on}, off the floor.",
        load.ids, ("floor",), title=f"{start(first.name)} stands off the floor", found=load.full_kg, unit="kg",
        basis=_basis(first), question=f"What carries {on} with {load.full_kg:,.0f} kg on it?",
    )  # fmt: skip


def _spread(scene: Scene, load: Load) -> str:
    if load.own_base:
        return "on its own base"
    spreading = [ref for ref in load.bearers if ref != load.pieces[0].id] or list(load.bearers)
    return f"spread by {listed(named(scene, ref) for ref in spreading)}"


def _together(scene: Scene, patch: Patch) -> Finding:
    pressure = pressure_kn_m2(patch.full_kg, patch.shape.area)
    names = listed(the(load.pieces[0].name) for load in patch.loads)
    gap = mm(scene.pack.number("floor-patch-gap"))
    text = (
        f"{start(names)} stand less than {gap} apart: together {patch.full_kg:,.0f} kg full on "
        f"{patch.shape.area / 1e6:.2f} m² of floor, {pressure:.1f} kN/m²"
    )
    shape = patch.shape if isinstance(patch.shape, Polygon) else patch.shape.convex_hull
    ring = tuple((float(x), float(y)) for x, y in shapely.get_coordinates(shapely.get_exterior_ring(shape))[:-1])
    ids = tuple(piece for load in patch.loads for piece in load.ids)
    return _judged(
        scene, ids, text, pressure, scene.room.floor.allow_kn_m2, title=start(names), topic="patch",
        basis=_basis(patch.loads[0].pieces[0]),
        question=_of_slab(scene, patch.full_kg) or f"Does one part of the floor carry {names} together?",
        where=Where(ring, 0.0, 0.0),
    )  # fmt: skip


def _judged(
    scene: Scene, ids: tuple[str, ...], text: str, pressure: float, allow: float | None, *, title: str, topic: str,
    basis: Basis, question: str, where: Where,
) -> Finding:  # fmt: skip
    """More than the floor's own figure is put right; everything else is a question for an engineer."""
    over = allow is not None and pressure > allow
    rest = f"; the floor is given as {allow:g} kN/m² at most." if allow is not None else "."
    rest += " Spread the weight, or put it to the engineer." if over else ""
    verb = "presses" if topic == "" else "press"
    asked = f"{verb} harder than the floor's figure" if over else "on the floor: ask an engineer"
    return Finding(
        ID, "put-right" if over else "not-checked", text + rest, ids, ("floor",), topic=topic,
        title=f"{title} {asked}", needed=allow, found=pressure, short=pressure - allow if over and allow else None,
        unit="kN/m2", basis=basis, question=question, where=where,
        reason=_why(scene.pack, allow), source=None if allow is None else _given(allow),
    )  # fmt: skip


def _why(pack: RulePack, allow: float | None) -> str:
    """A dwelling's figures are for a floor that has none of its own."""
    if allow is not None:
        return "The floor's figure is for the floor as it was built; only an engineer can say how it is now."
    spread, point = (pack.number(f"floor-dwelling-{kind}") for kind in ("spread", "point"))
    return (
        f"A dwelling's floor is usually designed for {spread:g} kN/m² spread and {point:g} kN on one point. "
        "Only an engineer who knows what is under it can say whether it carries more."
    )


def _given(allow: float) -> Source:
    return Source("This room's own figure", f"the floor carries {allow:g} kN/m² at most", "", "own figure")


def _platform(scene: Scene, placed: Placed) -> Iterator[Finding]:
    needed, tank = scene.pack.number("cistern-platform-beyond"), the(placed.name)
    source = scene.pack.source("cistern-platform-beyond")
    if not under(scene, placed):
        yield Finding(
            ID, "not-checked", f"What {tank} stands on, {mm(placed.base_mm)} up, is not drawn.", (placed.id,),
            topic="platform", source=source,
            question=f"Is there a flat platform under the whole of {tank}, {mm(needed)} larger all round?",
        )  # fmt: skip
        return
    found = platform_beyond_mm(scene, placed)
    verdict = "no-fault" if found is None else judge(found - needed, scene.room.tolerance_mm, "should")
    reach = "to the walls all round" if found is None else f"{mm(found)} beyond it at least"
    yield Finding(
        ID, verdict, f"The platform under {tank} reaches {reach}; {mm(needed)} all round is wanted.", (placed.id,),
        topic="platform", title="" if verdict == "no-fault" else f"The platform under {tank} is small",
        needed=needed, found=found, short=None if found is None else max(0.0, needed - found), source=source,
        basis=placed.kit.basis, where=Where(placed.body[0], placed.base_mm - DEPTH_TOLERANCE_MM, placed.base_mm),
        reason="A full tank on a platform no larger than itself creeps off it, and a plastic one sags over the edge.",
    )  # fmt: skip


def _basis(placed: Placed) -> Basis:
    """That of the weaker of its two figures."""
    changes = placed.piece.changes
    both = [changes[k].basis if k in changes else placed.kit.basis_of(k) for k in ("dry_kg", "water_l")]
    return next((basis for basis in both if basis not in ("manual", "measured")), both[0])


def _unknown(placed: Placed) -> Finding:
    return Finding(
        ID, "not-checked", f"The weight of {the(placed.name)} is not known.", (placed.id,), ("floor",),
        title=f"{start(placed.name)}: weight not known", unit="kg",
        question=f"What does {the(placed.name)} weigh, full?",
    )  # fmt: skip


def _total(scene: Scene) -> Iterator[Finding]:
    """All kit over the whole floor, asked only where it is more than the floor's figure, or else a dwelling's."""
    masses = [placed.kit.full_kg for placed in scene.placed]
    known = sum(mass for mass in masses if mass is not None)
    unknown = masses.count(None)
    pressure = pressure_kn_m2(known, scene.floor.area)
    if pressure <= (scene.room.floor.allow_kn_m2 or scene.pack.number("floor-dwelling-spread")):
        return
    spread = f"{pressure:.1f} kN/m² over the whole floor"
    more = f", and {unknown} more of unknown weight" if unknown else ""
    text = f"All kit weighs {known:,.0f} kg full, {spread}{more}"
    build = scene.room.floor.build
    floor = "" if build == "unknown" else f" The floor is {build}."
    yield Finding(
        ID, "not-checked", f"{text}.{floor}", (), ("floor",), topic="total", found=known, unit="kg", basis="typical",
        title="All kit on the floor: ask an engineer",
        question=_of_slab(scene, known) or f"Has an engineer looked at the floor with {known:,.0f} kg on it?",
    )  # fmt: skip


CHECK = Check(
    id=ID,
    title="The floor's load has been put to an engineer",
    failing_title="The floor is asked to carry more than its figure",
    reason=(
        "A full cylinder presses several times harder on its own base than a dwelling's floor is designed for. "
        "Only an engineer who knows what is under it can say whether it will carry it."
    ),
    source=rule_pack("england").source("floor-dwelling-spread"),
    find=find,
)
