"""Whether switches, meters and readings are at a height where people can work them.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> switch = {"name": "main switch", "at_mm": [0, -60, 300], "faces": "front", "tool": "hand", "emergency": True}
>>> unit = box_kit("unit", 360, 115, 240, name="Consumer unit", stands_on="wall", base_mm=1320, access=[switch],
...                traits=["electrical", "consumer-unit"])
>>> [(f.verdict, f.found, f.short) for f in find(sample_scene([unit], [piece(unit, 1200, 1742)]))]
[('put-right', 1620.0, 170.0)]
"""

from collections.abc import Iterator

from geometry.check import Check, Finding, Verdict, Where, mm
from geometry.kit import Access
from geometry.rules import Figure, RulePack, rule_pack
from geometry.scene import Placed, Scene
from geometry.shapes import disc
from geometry.words import start, within

ID = "height-band"
_BY_KEY = (
    ("consumer-unit", "height-consumer-unit"),
    ("meter-board", "height-meter"),
    ("gas-meter", "height-gas-meter"),
)


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each point that has a band in the rule pack."""
    pack = scene.pack
    for placed in scene.placed:
        figure = _band(pack, placed)
        if figure is not None and (only is None or placed.id in only):
            for access in _worked(placed):
                yield _judged(placed, access, figure)


def _band(pack: RulePack, placed: Placed) -> Figure | None:
    for word, key in _BY_KEY:
        if word in placed.kit.key or placed.kit.has(word):
            return pack.figures.get(key)
    return None


def _worked(placed: Placed) -> list[Access]:
    """The points that are switched or read; where none is marked, the first."""
    marked = [a for a in placed.kit.access if a.emergency or a.must_be_seen or "switch" in a.name]
    return marked or list(placed.kit.access[:1])


def _judged(placed: Placed, access: Access, figure: Figure) -> Finding:
    low, high = figure.value
    x, y, z = placed.to_room(access.at_mm)
    what = f"the {within(access.name)} of the {within(placed.name)}"
    short = max(low - z, z - high, 0.0)
    must = figure.source.standing in ("law", "guidance")
    verdict: Verdict = "no-fault" if short <= 1e-6 else "put-right" if must else "look-again"
    wrong = f"{start(what)} is too {'high' if z > high else 'low'}"
    return Finding(
        ID, verdict, f"{start(what)} is {mm(z)} up; the band is {low:,} to {high:,} mm.", (placed.id,),
        topic=access.name, title="" if verdict == "no-fault" else wrong,
        needed=high if z > high else low, found=z, short=short, source=figure.source, basis=placed.kit.basis,
        where=Where(disc((x, y), 50), z - 50, z + 50),
    )  # fmt: skip


CHECK = Check(
    id=ID,
    title="Switches and meters are at a height people can work",
    failing_title="A switch or meter is too high or too low",
    reason="It is worked in a hurry, in the dark, by whoever is at home.",
    source=rule_pack("england").source("height-consumer-unit"),
    find=find,
)
