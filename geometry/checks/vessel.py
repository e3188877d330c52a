"""What the expansion vessels of a sealed system are enough for.

How much water the system holds is not in a room file: the most that the vessels are enough for is worked out, at a
charge of 1 bar under a 3 bar valve, and the question put.

>>> from geometry.samples import piece, round_kit, sample_scene
>>> vessel = round_kit("v18", 280, 410, name="Expansion vessel", water_l=18, traits=["vessel"])
>>> [f.message for f in find(sample_scene([vessel], [piece(vessel, 1200, 900)], system="sealed heating"))]
['The vessels hold 18 litres: enough for about 165 litres of system at 1 bar under a 3 bar valve.']
"""

from collections.abc import Iterator
from math import floor

from geometry.check import Check, Finding
from geometry.rules import rule_pack
from geometry.scene import Scene
from geometry.sums.vessel import vessel_factor

ID = "vessel"
CHARGE_BAR, VALVE_BAR = 1.0, 3.0


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One question for the vessels together."""
    vessels = [placed for placed in scene.placed if placed.kit.has("vessel")]
    if only is not None or not (vessels or "sealed" in scene.room.system.lower()):
        return
    litres = sum(placed.kit.water_l or 0.0 for placed in vessels)
    most = floor(litres / vessel_factor(CHARGE_BAR, VALVE_BAR))
    if vessels:
        text = (
            f"The vessels hold {litres:g} litres: enough for about {most:,} litres of system at {CHARGE_BAR:g} bar "
            f"under a {VALVE_BAR:g} bar valve."
        )
    else:
        text = "No expansion vessel is drawn: the heat source's own may be enough."
    yield Finding(
        ID, "not-checked", text, tuple(p.id for p in vessels), found=litres if vessels else None, unit="l",
        source=scene.pack.source("vessel-table"),
        question="How many litres does the heating system hold, and how large is the heat source's own vessel?",
    )  # fmt: skip


CHECK = Check(
    id=ID,
    title="The expansion vessels are enough for the system",
    failing_title="The expansion vessels are too small",
    reason="Heated water grows. With nowhere to go it lifts the safety valve, week after week.",
    source=rule_pack("england").source("vessel-table"),
    find=find,
)
