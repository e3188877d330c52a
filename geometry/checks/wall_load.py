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
from geometry.words import start, wall_name, within

ID = "wall-load"
CARRIES = ("brick", "block", "concrete", "stone", "masonry")
HOLLOW = ("plasterboard", "stud", "timber stud", "metal stud", "partition")


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each hung piece that is heavy enough to ask."""
    pack = scene.pack
    hung = [p for p in scene.placed if _asks(pack, p) and (only is None or p.id in only)]
    behind = first_met(scene, [side_probe(placed, "behind") for placed in hung])
    for placed, (met, _) in zip(hung, behind, strict=True):
        if met is not None and met.owner.startswith("edge:"):
            yield _judged(scene, pack, placed, int(met.owner[5:]))


def _asks(pack: RulePack, placed: Placed) -> bool:
    mass = placed.kit.full_kg
    return placed.kit.stands_on == "wall" and (mass is None or mass >= pack.number("wall-asks-from"))


def _judged(scene: Scene, pack: RulePack, placed: Placed, edge: int) -> Finding:
    build = next((wall.build for wall in scene.room.walls if wall.edge == edge), "unknown").lower()
    mass, wall = placed.kit.full_kg, wall_name(scene, edge)
    weighs = f"The {within(placed.name)} weighs " + (f"{mass:g} kg full" if mass is not None else "an unknown weight")
    source, ref = pack.source("wall-hollow-carries"), (f"edge:{edge}",)
    if mass is not None and any(word in build for word in CARRIES):
        return Finding(
            ID, "no-fault", f"{weighs}; {wall} is {build}.", (placed.id,), found=mass, unit="kg", source=source
        )
    if mass is not None and any(word in build for word in HOLLOW):
        limit = pack.number("wall-hollow-carries")
        line = mm(placed.top_mm)
        text = f"{weighs}; {wall} is {build}. Ply or noggins are needed at its bracket, about {line} up."
        return Finding(
            ID, "put-right" if mass > limit else "no-fault", text, (placed.id,), ref if mass > limit else (),
            needed=limit, found=mass, short=max(0.0, mass - limit), unit="kg", source=source,
            title=f"{start(wall)} does not carry the {within(placed.name)}" if mass > limit else "",
            where=Where(placed.body[0], placed.base_mm, placed.top_mm),
        )  # fmt: skip
    return Finding(
        ID, "not-checked", f"{weighs}; what {wall} is made of is not known.", (placed.id,), ref, found=mass, unit="kg",
        source=source, question=f"What is {wall} made of where the {within(placed.name)} hangs?",
    )  # fmt: skip


CHECK = Check(
    id=ID,
    title="Every wall carries what hangs on it",
    failing_title="A wall does not carry what hangs on it",
    reason="A full boiler on plasterboard alone comes down, and its gas pipe with it.",
    source=rule_pack("england").source("wall-hollow-carries"),
    find=find,
)
