"""Whether the wall behind hung kit can carry it: by what the wall is made of, and how heavy the kit is full.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> boiler = box_kit("boiler", 440, 360, 720, stands_on="wall", base_mm=1150, dry_kg=38, water_l=3)
>>> walls = [{"edge": 2, "build": "plasterboard"}]
>>> [(f.verdict, f.found) for f in find(sample_scene([boiler], [piece(boiler, 1200, 1620)], walls=walls))]
[('put-right', 41.0)]
"""

from collections.abc import Iterator

from geometry.check import Check, Finding, Where, mm
from geometry.clearing import first_met, side_probe
from geometry.rules import RulePack, rule_pack
from geometry.scene import Placed, Scene
from geometry.units import SAME_MM
from geometry.words import named, start, the, wall_name

ID = "wall-load"


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each hung piece that is heavy enough to ask, and has a wall at its back."""
    hung = [p for p in scene.placed if _asks(scene.pack, p) and (only is None or p.id in only)]
    behind = first_met(scene, [side_probe(placed, "behind") for placed in hung], building_only=True)
    for placed, (met, _) in zip(hung, behind, strict=True):
        if met is None or met.found_mm > scene.pack.number("hang-stand-off"):
            continue
        if met.owner.startswith("edge:"):
            yield _judged(scene, placed, int(met.owner[5:]))
        elif any(block.id == met.owner for block in scene.room.fixtures):
            yield _on_fixture(scene, placed, met.owner)


def _asks(pack: RulePack, placed: Placed) -> bool:
    mass = placed.kit.full_kg
    return placed.kit.stands_on == "wall" and (mass is None or mass >= pack.number("wall-asks-from"))


def _judged(scene: Scene, placed: Placed, edge: int) -> Finding:
    pack, mass, wall = scene.pack, placed.kit.full_kg, wall_name(scene, edge)
    build = next((wall.build for wall in scene.room.walls if wall.edge == edge), "unknown").lower()
    name, where = the(placed.name), Where(placed.body[0], placed.base_mm, placed.top_mm)
    if mass is None:
        return Finding(
            ID, "not-checked", f"The weight of {name} on {wall} is not known.", (placed.id,), (f"edge:{edge}",),
            unit="kg", where=where, question=f"What does {name} weigh, full, and what is {wall} made of?",
            source=pack.source("wall-hollow-carries"),
        )  # fmt: skip
    weighs = f"{start(name)} weighs {mass:g} kg full"
    carried = _carried_by(pack, build)
    if carried:
        text = f"{weighs}; {wall} is {build}, which carries it on the fixings its maker gives."
        return Finding(
            ID, "no-fault", text, (placed.id,), found=mass, unit="kg", basis=placed.kit.basis,
            source=pack.source(carried), where=where,
        )  # fmt: skip
    told, ask = f"{weighs}; what {wall} is made of is not known", f"What is {wall} made of where {name} hangs?"
    if _has(pack, "wall-hollow", build):
        if not _has(pack, "wall-solid", build):
            return _on_hollow(scene, placed, mass, f"{weighs}; {wall} is {build}", edge)
        told = f"{weighs}; {wall} is {build}, and board by itself does not carry it"
        ask = f"Do the fixings of {name} reach what is solid behind the board of {wall}?"
    return Finding(
        ID, "not-checked", f"{told}.", (placed.id,), (f"edge:{edge}",), found=mass, unit="kg", basis=placed.kit.basis,
        source=pack.source("wall-hollow-carries"), where=where, question=ask,
    )  # fmt: skip


def _on_fixture(scene: Scene, placed: Placed, owner: str) -> Finding:
    mass, on, name = placed.kit.full_kg, named(scene, owner), the(placed.name)
    weighs = "an unknown weight" if mass is None else f"{mass:g} kg full"
    return Finding(
        ID, "not-checked", f"{start(name)} weighs {weighs} and hangs on {on}.", (placed.id,), (owner,), found=mass,
        unit="kg", basis=placed.kit.basis, source=scene.pack.source("wall-hollow-carries"),
        question=f"What is {on} made of where {name} hangs?",
    )  # fmt: skip


def _carried_by(pack: RulePack, build: str) -> str | None:
    """The figure that says a wall of this build carries kit, or None. Board on studs may still have ply behind it."""
    if _has(pack, "wall-backed", build):
        return "wall-backed"
    return "wall-solid" if _has(pack, "wall-solid", build) and not _has(pack, "wall-hollow", build) else None


def _has(pack: RulePack, key: str, build: str) -> bool:
    return any(word in build for word in pack.words(key))


def _on_hollow(scene: Scene, placed: Placed, mass: float, told: str, edge: int) -> Finding:
    limit, name = scene.pack.number("wall-hollow-carries"), the(placed.name)
    short = max(0.0, mass - limit)
    line = f"Ply or noggins are needed at its bracket, about {mm(placed.top_mm)} up"
    over = short > SAME_MM
    text = f"{told}. {line}." if over else f"{told}, which carries {limit:g} kg on its own fixings."
    return Finding(
        ID, "put-right" if over else "no-fault", text, (placed.id,), (f"edge:{edge}",) if over else (), needed=limit,
        found=mass, short=short, unit="kg", basis=placed.kit.basis, source=scene.pack.source("wall-hollow-carries"),
        title=f"{start(wall_name(scene, edge))} does not carry {name}" if over else "",
        where=Where(placed.body[0], placed.base_mm, placed.top_mm),
    )  # fmt: skip


CHECK = Check(
    id=ID,
    title="Every wall carries what hangs on it",
    failing_title="A wall does not carry what hangs on it",
    reason="Kit that comes off a wall brings its pipes with it.",
    source=rule_pack("england").source("wall-hollow-carries"),
    find=find,
)
