"""Room for the tail and the first bend of each pipe, straight out of its port.

A rod of the pipe's size leaves the port in the direction it faces; the first elbow needs so much, by size.

>>> from geometry.samples import piece, round_kit, sample_scene
>>> cold = {"name": "cold", "medium": "cold", "size_mm": 22, "at_mm": [0, 275, 150], "faces": "behind"}
>>> cylinder = round_kit("cylinder", port=[cold])
>>> [(f.needed, f.found, f.short) for f in find(sample_scene([cylinder], [piece(cylinder, 1200, 1495)]))]
[(100.0, 30.0, 70.0)]
"""

from collections.abc import Iterator

from geometry.check import TIGHT, Check, Finding, Where, judge, mm
from geometry.clearing import Met, Probe, first_met
from geometry.kit import Port
from geometry.rules import RulePack, rule_pack
from geometry.scene import Placed, Scene
from geometry.shapes import Footprint, Sweep, disc
from geometry.words import named, start, within

ID = "pipe-room"
_NOT_PIPES = ("flue", "cable", "hose", "duct")


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each port of a stiff pipe."""
    pack = scene.pack
    wanted = [
        (placed, port)
        for placed in scene.placed
        if only is None or placed.id in only
        for port in placed.kit.port
        if port.medium not in _NOT_PIPES and not placed.kit.has("appliance")
    ]
    probes = [_probe(placed, port) for placed, port in wanted]
    for (placed, port), probe, (fixed, _) in zip(wanted, probes, first_met(scene, probes), strict=True):
        yield _judged(scene, pack, placed, port, probe, fixed)


def _probe(placed: Placed, port: Port) -> Probe:
    x, y, z = placed.to_room(port.at_mm)
    out = placed.direction(port.faces)
    half = port.size_mm / 2
    if out[2]:
        return Probe(placed.id, (disc((x, y), half),), z, z, out)
    ends = ((x - out[1] * half, y + out[0] * half), (x + out[1] * half, y - out[0] * half))
    return Probe(placed.id, (Footprint(ends),), z - half, z + half, out)


def bend_mm(pack: RulePack, size_mm: float) -> float:
    """Room that a tail and its first elbow take, by the size of the pipe."""
    figures = pack.figure("pipe-bend").value
    return float(next((row["room_mm"] for row in figures if size_mm <= row["size_mm"]), figures[-1]["room_mm"]))


def _judged(scene: Scene, pack: RulePack, placed: Placed, port: Port, probe: Probe, met: Met | None) -> Finding:
    needed = bend_mm(pack, port.size_mm)
    verdict = judge(met.found_mm - needed, scene.room.tolerance_mm, "should") if met else "no-fault"
    what = f"the {within(port.name)} pipe of the {within(placed.name)}"
    text = f"{start(what)} needs {mm(needed)} for its first bend"
    if met is None:
        text += "; nothing stands in the way."
    elif verdict == "no-fault":
        text += f"; {mm(met.found_mm)} is there."
    else:
        text += f"; {named(scene, met.owner)} leaves {mm(met.found_mm)}." + (
            f" {TIGHT}" if met.found_mm >= needed else ""
        )
    return Finding(
        ID, verdict, text, (placed.id,), (met.owner,) if met and verdict != "no-fault" else (), port.faces,
        topic=port.name, title="" if verdict == "no-fault" else f"{start(what)} has no room to bend", needed=needed,
        found=met.found_mm if met else None, short=max(0.0, needed - met.found_mm) if met else None,
        basis=placed.kit.basis, source=pack.source("pipe-bend"), where=_where(probe, needed),
    )  # fmt: skip


def _where(probe: Probe, length: float) -> Where:
    up = probe.direction[2]
    if up:
        ends = (probe.from_mm, probe.from_mm + up * length)
        return Where(probe.parts[0], min(ends), max(ends))
    return Where(Sweep(probe.parts[0], probe.direction, length), probe.from_mm, probe.to_mm)


CHECK = Check(
    id=ID,
    title="Every pipe has room for its first bend",
    failing_title="A pipe has no room to bend",
    reason="A tail against a wall cannot be made, or is made with a bend that nobody can undo.",
    source=rule_pack("england").source("pipe-bend"),
    find=find,
)
