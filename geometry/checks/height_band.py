"""Whether switches, meters and readings are at a height where people can work them.

Asked of the points of a piece that are switched or read; where none is marked, of its first. Points of one piece that
are out of the band on the same side are told together, with the worst of them. The bands are for new dwellings or a
custom: what is out of one is looked at again. Only a room's own figure is put right.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> switch = {"name": "main switch", "at_mm": [0, -60, 300], "faces": "front", "tool": "hand", "emergency": True}
>>> unit = box_kit("unit", 360, 115, 240, name="Consumer unit", stands_on="wall", base_mm=1320, access=[switch],
...                traits=["electrical", "consumer-unit"])
>>> (found,) = find(sample_scene([unit], [piece(unit, 1200, 1742)]))
>>> print(found.message.replace(": ", ":\\n"))
The main switch of the consumer unit is 1,620 mm up, 170 mm too high:
the band for new dwellings is 1,350 to 1,450 mm; elsewhere a custom.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from geometry.check import TIGHT, Check, Finding, Verdict, Where, judge, mm
from geometry.kit import Access
from geometry.rules import Figure, RulePack, rule_pack
from geometry.scene import Placed, Scene
from geometry.shapes import disc
from geometry.units import Point3
from geometry.words import listed, start, the, within

ID = "height-band"
_BY_KEY = (("consumer-unit", "height-consumer-unit"), ("meter-board", "height-meter"))
_MARK_MM = 50.0


@dataclass(frozen=True)
class _Level:
    """A point and how far inside its band it is, up from the lower end or down from the upper."""

    access: Access
    at: Point3
    margin_mm: float
    side: str

    @property
    def limit(self) -> int:
        """Which end of the band is nearer: 0 the lower, 1 the upper."""
        return 1 if self.side == "high" else 0


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """For each piece with a band: one finding where all is well, one for what is too low and one for too high."""
    for placed in scene.placed:
        figure = _band(scene.pack, placed) if only is None or placed.id in only else None
        if figure is not None:
            yield from _judged(scene, placed, figure)


def _band(pack: RulePack, placed: Placed) -> Figure | None:
    for word, key in _BY_KEY:
        if word in placed.kit.key or placed.kit.has(word):
            return pack.figures.get(key)
    return None


def _worked(placed: Placed) -> list[Access]:
    """The points that are switched or read; where none is marked, the first."""
    marked = [a for a in placed.kit.access if a.emergency or a.must_be_seen or "switch" in a.name]
    return marked or list(placed.kit.access[:1])


def _judged(scene: Scene, placed: Placed, figure: Figure) -> Iterator[Finding]:
    low, high = figure.value
    groups: dict[tuple[Verdict, str], list[_Level]] = {}
    for access in _worked(placed):
        at = placed.to_room(access.at_mm)
        level = _Level(access, at, *min((at[2] - low, "low"), (high - at[2], "high")))
        verdict = judge(level.margin_mm, scene.room.tolerance_mm, _need(figure))
        groups.setdefault((verdict, level.side if verdict != "no-fault" else ""), []).append(level)
    for (verdict, _), some in groups.items():
        yield _told(placed, figure, verdict, some)


def _need(figure: Figure) -> Literal["must", "should"]:
    return "must" if figure.source.standing == "own figure" else "should"


def _whose(figure: Figure) -> str:
    """The band, and whom it is for: what is said of new dwellings is no more than a custom elsewhere."""
    low, high = figure.value
    band = f"is {low:,g} to {high:,g} mm"
    new = "new dwellings" in figure.source.clause and figure.source.standing != "own figure"
    return f" for new dwellings {band}; elsewhere a custom" if new else f" {band}"


def _told(placed: Placed, figure: Figure, verdict: Verdict, some: list[_Level]) -> Finding:
    worst = min(some, key=lambda level: (level.margin_mm, level.access.name))
    what, short = f"the {within(worst.access.name)} of {the(placed.name)}", max(0.0, -worst.margin_mm)
    off = f", {mm(short)} too {worst.side}" if short else ""
    text = f"{start(what)} is {mm(worst.at[2])} up{off}: the band{_whose(figure)}."
    rest = [within(level.access.name) for level in some if level is not worst]
    if rest and verdict != "no-fault":
        text += f" So {'is' if len(rest) == 1 else 'are'} its {listed(rest)}."
    x, y, z = worst.at
    return Finding(
        ID, verdict, text + (f" {TIGHT}" if verdict == "look-again" and not short else ""), (placed.id,),
        topic=worst.side if verdict != "no-fault" else "", needed=figure.value[worst.limit], found=z, short=short,
        title="" if verdict == "no-fault" else f"{start(what)} is {'' if short else 'nearly '}too {worst.side}",
        source=figure.source, basis=placed.kit.basis,
        where=Where(disc((x, y), _MARK_MM), z - _MARK_MM, z + _MARK_MM) if verdict != "no-fault" else None,
    )  # fmt: skip


CHECK = Check(
    id=ID,
    title="Switches and meters are at a height people can work",
    failing_title="A switch or meter is too high or too low",
    reason="It is worked in a hurry, in the dark, by whoever is at home.",
    source=rule_pack("england").source("height-consumer-unit"),
    find=find,
)
