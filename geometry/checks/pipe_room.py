"""Room for the tail and the first bend of each pipe, straight out of its port; and for all of a pipe that is drawn.

A rod of the pipe's size leaves the port in the direction it faces; the first elbow needs so much, by size. Ports of
one piece that are stopped by the same thing are told together, with the one that lacks most.

>>> from geometry.samples import piece, round_kit, sample_scene
>>> cold = {"name": "cold", "medium": "cold", "size_mm": 22, "at_mm": [0, 275, 150], "faces": "behind"}
>>> cylinder = round_kit("cylinder", port=[cold])
>>> [f.message for f in find(sample_scene([cylinder], [piece(cylinder, 1200, 1495)]))]
['The cold pipe of the cylinder needs 100 mm for its first bend; the back wall leaves 30 mm.']
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf

from geometry.check import TIGHT, Check, Finding, Verdict, Where, judge, mm, mm_left
from geometry.clearing import Met, Probe, first_met
from geometry.kit import Port
from geometry.pipes.drawn import drawn_findings
from geometry.rules import RulePack, rule_pack
from geometry.scene import Box6, Placed, Scene
from geometry.shapes import Footprint, Sweep, disc
from geometry.words import all_of, listed, obstacle, the, within

ID = "pipe-room"
_THIN_MM = 1.0
_BENDS_INSIDE = ("appliance", "cupboard")
_CALLED = {"in": "inlet", "out": "outlet"}
_NOT_PIPES = ("flue", "cable", "hose", "duct")


@dataclass(frozen=True)
class _Tail:
    """A port with the rod that leaves it (None: nothing is near), what the rod meets first, and what its bend needs."""

    placed: Placed
    port: Port
    probe: Probe | None
    met: Met | None
    needed_mm: float
    verdict: Verdict

    @property
    def short_mm(self) -> float:
        """How much is missing."""
        return max(0.0, self.needed_mm - self.met.found_mm) if self.met else 0.0


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """For each piece one finding about the pipes that have room, and one for each thing that leaves others none."""
    asked = [placed for placed in scene.placed if only is None or placed.id in only]
    wanted = [(placed, port) for placed in asked for port in placed.kit.port if _is_pipe(placed, port)]
    groups: dict[tuple[str, str], list[_Tail]] = {}
    for tail in _tails(scene, wanted):
        by = tail.met.owner if tail.met and tail.verdict != "no-fault" else ""
        groups.setdefault((tail.placed.id, by), []).append(tail)
    for some in groups.values():
        yield _told(scene, some)
    yield from drawn_findings(ID, scene, only)


def _tails(scene: Scene, wanted: list[tuple[Placed, Port]]) -> Iterator[_Tail]:
    """Each port with what its rod meets first: looked for only where something is within the bend and the tolerance."""
    rods = [_rod_box(scene, placed, port) for placed, port in wanted]
    low = min((soffit.lowest_mm for soffit in scene.roof.soffits), default=inf)
    near = [
        box[2] < 0 or box[5] > min(low, scene.roof.flat_mm or inf) or any(s.owner != placed.id for s in solids)
        for (placed, _), box, solids in zip(wanted, rods, scene.near(rods), strict=True)
    ]
    probes = [_probe(placed, port) for (placed, port), close in zip(wanted, near, strict=True) if close]
    met = iter(zip(probes, first_met(scene, probes), strict=True))
    for (placed, port), close in zip(wanted, near, strict=True):
        probe, both = next(met) if close else (None, (None, None))
        yield _tail(scene, placed, port, probe, both)


def _rod_box(scene: Scene, placed: Placed, port: Port) -> Box6:
    """The box round a rod that is as long as the bend needs, and the tolerance."""
    at, out = placed.to_room(port.at_mm), placed.direction(port.faces)
    far, half = _needed(scene, port) + scene.room.tolerance_mm, port.size_mm / 2
    (x, y, z), (a, b, c) = at, (far * out[0], far * out[1], far * out[2])
    p, q, r = half * (1 - abs(out[0])), half * (1 - abs(out[1])), half * (1 - abs(out[2]))
    return (min(x, x + a) - p, min(y, y + b) - q, min(z, z + c) - r,
            max(x, x + a) + p, max(y, y + b) + q, max(z, z + c) + r)  # fmt: skip


def _needed(scene: Scene, port: Port) -> float:
    bends: dict[float, float] = scene.memo.setdefault("bends", {})
    if port.size_mm not in bends:
        bends[port.size_mm] = bend_mm(scene.pack, port.size_mm)
    return bends[port.size_mm]


def _is_pipe(placed: Placed, port: Port) -> bool:
    bends_by_hand = port.medium in _NOT_PIPES or "hose" in port.name
    return not bends_by_hand and not any(placed.kit.has(trait) for trait in _BENDS_INSIDE)


def _probe(placed: Placed, port: Port) -> Probe:
    x, y, z = placed.to_room(port.at_mm)
    out = placed.direction(port.faces)
    half = port.size_mm / 2
    if out[2]:
        return Probe(placed.id, (disc((x, y), half),), z, z, out)
    ends = ((-_THIN_MM, -half), (0.0, -half), (0.0, half), (-_THIN_MM, half))
    rod = tuple((x + out[0] * d - out[1] * s, y + out[1] * d + out[0] * s) for d, s in ends)
    return Probe(placed.id, (Footprint(rod),), z - half, z + half, out)


def _tail(scene: Scene, placed: Placed, port: Port, probe: Probe | None, both: tuple[Met | None, Met | None]) -> _Tail:
    needed = _needed(scene, port)
    met = min((m for m in both if m), key=lambda m: m.found_mm, default=None)
    verdict = judge(met.found_mm - needed, scene.room.tolerance_mm, "should") if met else "no-fault"
    return _Tail(placed, port, probe, met, needed, verdict)


def bend_mm(pack: RulePack, size_mm: float) -> float:
    """Room that a tail and its first elbow take, by the size of the pipe.

    >>> [bend_mm(rule_pack("england"), size) for size in (10, 15, 22, 28, 108)]
    [70.0, 70.0, 100.0, 120.0, 200.0]
    """
    rows = pack.rows("pipe-bend")
    return float(next((row["room_mm"] for row in rows if size_mm <= row["size_mm"]), rows[-1]["room_mm"]))


def _told(scene: Scene, some: list[_Tail]) -> Finding:
    worst = max(some, key=lambda tail: (tail.short_mm, tail.needed_mm, tail.port.name))
    placed, met, verdict = worst.placed, worst.met, worst.verdict
    return Finding(
        ID, verdict, _says(scene, some, worst), (placed.id,), (met.owner,) if met and verdict != "no-fault" else (),
        worst.port.faces if verdict != "no-fault" else None, title=_title(some, worst), needed=worst.needed_mm,
        found=met.found_mm if met else None, short=worst.short_mm if met else None, basis=placed.kit.basis,
        source=scene.pack.source("pipe-bend"),
        where=_where(worst.probe, worst.needed_mm) if worst.probe and verdict != "no-fault" else None,
    )  # fmt: skip


def _title(some: list[_Tail], worst: _Tail) -> str:
    if worst.verdict == "no-fault":
        return ""
    piece, left = the(worst.placed.name), "has no room to bend" if worst.short_mm else "only just has room to bend"
    if len(some) == 1:
        return f"The {_pipe(worst.port)} of {piece} {left}"
    return f"{len(some)} pipes of {piece} {left.replace('has', 'have', 1)}"


def _pipe(port: Port) -> str:
    """What people call the pipe at a port: a name that is a pipe already is left alone."""
    name = _CALLED.get(port.name, within(port.name))
    return name if name.endswith(("pipe", "connection", "outlet", "inlet", "tail")) else f"{name} pipe"


def _says(scene: Scene, some: list[_Tail], worst: _Tail) -> str:
    piece, met = the(worst.placed.name), worst.met
    if worst.verdict == "no-fault":
        whose = f"{all_of(len(some))} pipes" if len(some) > 1 else f"The {_pipe(worst.port)}"
        return f"{whose} of {piece} {'have' if len(some) > 1 else 'has'} room for the first bend."
    assert met is not None
    what = obstacle(scene, met.owner)
    text = f"The {_pipe(worst.port)} of {piece} needs {mm(worst.needed_mm)} for its first bend; "
    text += f"{what} leaves {mm_left(met.found_mm, worst.needed_mm) if worst.short_mm else mm(met.found_mm)}."
    if met.movable:
        text += f" It can be moved: move {what} first."
    rest = [_pipe(tail.port) for tail in some if tail is not worst]
    if rest:
        more = "too little there too" if worst.short_mm else "no more there"
        text += f" The {listed(rest)} {'has' if len(rest) == 1 else 'have'} {more}."
    return text + ("" if worst.short_mm else f" {TIGHT}")


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
