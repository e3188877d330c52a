"""One room for pipes that drain by fall: a boiler or a tank with one port, one outlet in the right wall.

The port is at (1300, 1620, 1150), under a hung boiler; the outlet at (2400, 1620), straight along the back: a run of
1,100 mm. Tolerance 0, so that a boundary falls on one side or the other.
"""

from typing import Any

from geometry.check import Finding
from geometry.samples import box_kit, piece
from tests.checks.found import findings

Data = dict[str, Any]
RUN_M = 1.1
START_MM = 1150.0


def hung(medium: str, size_mm: float = 22, name: str | None = None, **more: Any) -> Data:
    """A hung box of 440 by 360 by 720 mm with one port below."""
    port = {"name": name or medium, "medium": medium, "size_mm": size_mm, "at_mm": [100, 0, 0], "faces": "below"}
    return box_kit("boiler", 440, 360, 720, stands_on="wall", base_mm=START_MM, port=[port], **more)


def outlet(medium: str, level_mm: float, **more: Any) -> Data:
    """An outlet in the right wall, straight along from the port."""
    return {"id": "o1", "name": "gully", "at_mm": [2400, 1620], "level_mm": level_mm, "takes": [medium]} | more


def pipe(medium: str, **more: Any) -> Data:
    """The pipe between the two; drawn straight with ``via_mm=[]``."""
    ends = {"from": {"piece": "boiler", "port": medium}, "to": "o1"}
    return {"id": "x1", "medium": medium, "material": "plastic", **ends} | more


def drained(medium: str, level_mm: float = 900, *, kit: Data | None = None, end: Data | None = None,
            pipes: list[Data] | None = None, **room: Any) -> list[Finding]:  # fmt: skip
    """Everything that the check of this medium finds."""
    kind = kit or hung(medium)
    return findings(
        medium, [kind], [piece(kind, 1200, 1620, id="boiler")], outlets=[end or outlet(medium, level_mm)],
        pipes=pipes or [], tolerance_mm=0, **room,
    )  # fmt: skip


def about(found: list[Finding], topic: str) -> Finding:
    """The one finding whose topic ends so."""
    (finding,) = [finding for finding in found if finding.topic.endswith(f", {topic}")]
    return finding
