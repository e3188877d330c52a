"""The arc that a spanner, key or lever can turn through about its nut.

The handle turns square to its axis: in plan where the axis is upright, in an upright plane where it is level. Kit,
what sticks out, fixtures, walls, floor and ceiling take arcs away, and so does the piece's own body. What is left in
one stretch is what is found. Where two nuts sit side by side, one is turned while the other spanner rests where it is
least in the way.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> nut = {"name": "22 mm nut", "at_mm": [0, 0, 80], "faces": "above", "tool": "spanner",
...        "swing": {"length_mm": 250, "turn_deg": 60, "axis": "out"}}
>>> valve = box_kit("valve", 60, 60, 60, name="Zone valve", access=[nut])
>>> tank, pump = box_kit("tank", 600, 600), box_kit("pump", 200, 600)
>>> scene = sample_scene([valve, tank, pump], [piece(valve, 660, 1600), piece(tank, 300, 1500), piece(pump, 800, 1500)])
>>> [f.message for f in find(scene)]
['The 22 mm nut of the zone valve can turn 17 degrees; the tank and the pump stop the spanner (needed 60).']
"""

from collections.abc import Iterable, Iterator, Sequence

import shapely

from geometry.arcs import FULL_TURN, Gap, deg_text
from geometry.check import TIGHT, Check, Finding, Verdict, Where, judge
from geometry.kit import Tool
from geometry.rules import Source
from geometry.saved import Basis
from geometry.scene import Scene
from geometry.shapes import disc
from geometry.tools import (
    Blocker,
    Freedom,
    Turn,
    Turned,
    TwoSpanners,
    neighbours,
    tolerance_deg,
    turned,
    turns,
    under_ceiling_at,
    with_other_resting,
)
from geometry.units import Point3
from geometry.words import listed, obstacle, start, the

ID = "tool-swing"
TOOL_WORDS: dict[Tool, str] = {
    "eye": "eye", "hand": "hand", "lever": "lever", "screwdriver": "screwdriver", "hex-key": "hex key",
    "spanner": "spanner", "boss-spanner": "boss spanner", "pump-pliers": "pump pliers", "gauge": "gauge",
    "hose": "hose coupling",
}  # fmt: skip
_STEP_RAD = FULL_TURN / 72


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One finding for each swing, a second where something movable takes it, and one for each two neighbours."""
    every = list(turns(scene))
    wanted = [i for i, turn in enumerate(every) if only is None or turn.placed.id in only]
    pairs = [
        (a, b)
        for a, b in neighbours(every)
        if only is None or not only.isdisjoint({every[a].placed.id, every[b].placed.id})
    ]
    needed = sorted({*wanted, *(i for pair in pairs for i in pair)})
    there = dict(zip(needed, turned(scene, [every[i] for i in needed]), strict=True))
    for i in wanted:
        yield from _judged(scene, there[i])
    yield from _two_spanners(scene, [(there[a], there[b]) for a, b in pairs])


def _judged(scene: Scene, there: Turned) -> Iterator[Finding]:
    turn, needed = there.turn, there.turn.swing.turn_deg
    allowance = tolerance_deg(turn, scene.room.tolerance_mm)
    fixed = there.free(without_movable=True)
    now = there.free() if any(blocker.movable for blocker in there.blockers) else fixed
    verdict = judge(fixed.deg - needed, allowance) if fixed.blockers else "no-fault"
    if verdict != "put-right" and _hangs_on_the_ceiling(scene, there, min(fixed.deg, needed + allowance)):
        yield _ceiling_unknown(turn)
        return
    taken = now.deg < min(fixed.deg, needed - 1e-6)
    if verdict != "no-fault" or not taken:
        yield _finding(scene, turn, fixed, verdict)
    if taken:
        yield _move_first(scene, turn, fixed, now)


def _hangs_on_the_ceiling(scene: Scene, there: Turned, enough_deg: float) -> bool:
    """Whether a ceiling that is not measured may be too low: it is at least as high as the tallest thing under it."""
    if scene.roof.flat_mm is not None:
        return False
    x0, y0, _, x1, y1, _ = there.turn.plane.bounds(there.turn.bar.reach_mm)
    if scene.roof.known_over(shapely.box(x0 - 1, y0 - 1, x1 + 1, y1 + 1)):
        return False
    openings = [*(door.head_mm for door in scene.room.doors), *(window.head_mm for window in scene.room.windows)]
    lowest = max([0.0, *openings, *(placed.top_mm for placed in scene.placed)])
    return under_ceiling_at(there, lowest).deg < enough_deg


def _finding(scene: Scene, turn: Turn, free: Freedom, verdict: Verdict) -> Finding:
    needed, found = turn.swing.turn_deg, free.deg
    text = f"{start(_nut(turn))} {_can_turn(found)}"
    if verdict == "no-fault":
        text += f" (needed {deg_text(needed)})."
    else:
        text += f"; {_stopped(scene, turn, free.stops)} (needed {deg_text(needed)})."
        text += f" {TIGHT}" if found >= needed else ""
    return Finding(
        ID, verdict, text, (turn.placed.id,),
        _against(turn, free.stops) if verdict != "no-fault" else (), turn.access.faces, topic=turn.access.name,
        title=_title(turn, verdict), needed=needed, found=found, short=max(0.0, needed - found), unit="deg",
        basis=_basis(turn),
        where=None if verdict == "no-fault" else _where(turn, free, verdict),
    )  # fmt: skip


def _move_first(scene: Scene, turn: Turn, fixed: Freedom, now: Freedom) -> Finding:
    needed, found = turn.swing.turn_deg, now.deg
    loose = [b for b in now.blockers if b.movable and fixed.largest and b.takes_from(fixed.largest)]
    names = listed(dict.fromkeys(obstacle(scene, blocker.owner) for blocker in loose))
    word = "They" if len({blocker.owner for blocker in loose}) > 1 else "It"
    return Finding(
        ID, "look-again",
        f"{start(_nut(turn))} {_can_turn(found)}; {_stopped(scene, turn, loose)} (needed {deg_text(needed)}). "
        f"{word} can be moved: move {names} first.",
        (turn.placed.id,), _against(turn, loose), turn.access.faces, topic=f"{turn.access.name}, move-first",
        title=f"{start(turn.placed.name)}: move something before {_access(turn)} is turned",
        needed=needed, found=found, short=needed - found, unit="deg", basis=_basis(turn),
        where=_where(turn, now, "look-again"),
    )  # fmt: skip


def _ceiling_unknown(turn: Turn) -> Finding:
    return Finding(
        ID, "not-checked",
        f"{start(_nut(turn))} has to turn {deg_text(turn.swing.turn_deg)} degrees; the ceiling is not measured.",
        (turn.placed.id,), ("ceiling",), turn.access.faces, topic=turn.access.name, needed=turn.swing.turn_deg,
        unit="deg", basis=_basis(turn),
        question=f"How high is the ceiling over {the(turn.placed.name)}?",
    )  # fmt: skip


def _two_spanners(scene: Scene, pairs: Iterable[tuple[Turned, Turned]]) -> Iterator[Finding]:
    """The worst pair of nuts of each two pieces."""
    worst: dict[tuple[str, ...], TwoSpanners] = {}
    for a, b in pairs:
        for one, other in ((a, b), (b, a)):
            found = _with_rest(scene, one, other)
            key = tuple(sorted({a.turn.placed.id, b.turn.placed.id}))
            if found and (key not in worst or found.margin_deg < worst[key].margin_deg - 1e-9):
                worst[key] = found
    for key in sorted(worst):
        yield _pair_finding(scene, key, worst[key])


def _with_rest(scene: Scene, one: Turned, other: Turned) -> TwoSpanners | None:
    """None where one of the two cannot be turned on its own: that is said already."""
    if any(t.free(without_movable=True).deg < t.turn.swing.turn_deg for t in (one, other)):
        return None
    enough = one.turn.swing.turn_deg + tolerance_deg(one.turn, scene.room.tolerance_mm)
    return with_other_resting(one, other, enough)


def _pair_finding(scene: Scene, key: tuple[str, ...], pair: TwoSpanners) -> Finding:
    turn, needed, found = pair.turn, pair.turn.swing.turn_deg, pair.free.deg
    verdict = judge(pair.margin_deg, tolerance_deg(turn, scene.room.tolerance_mm))
    text = f"With a {_tool(pair.holds)} on {_nut(pair.holds)}, {_nut(turn)} {_can_turn(found)}"
    text += f" (needed {deg_text(needed)})." + (f" {TIGHT}" if verdict == "look-again" else "")
    fits = {"put-right": "no room for two spanners", "look-again": "two spanners only just fit"}
    return Finding(
        ID, verdict, text, key, (), None, topic="two-spanners",
        title=f"{start(turn.placed.name)}: {fits[verdict]}" if verdict in fits else "Two spanners fit side by side",
        needed=needed, found=found, short=max(0.0, needed - found), unit="deg", basis=_basis(turn),
        reason="A joint between neighbours is undone with two spanners: one holds while the other turns.",
        where=_where(turn, pair.free, verdict),
    )  # fmt: skip


def _basis(turn: Turn) -> Basis:
    figure = f"tool:{turn.access.name}"
    change = turn.placed.piece.changes.get(figure)
    return change.basis if change else turn.placed.kit.basis_of(figure)


def _nut(turn: Turn) -> str:
    return f"{_access(turn)} of {the(turn.placed.name)}"


def _access(turn: Turn) -> str:
    return the(turn.access.name.partition(",")[0])


def _tool(turn: Turn) -> str:
    return TOOL_WORDS[turn.access.tool]


def _can_turn(found: float) -> str:
    if found >= 360:
        return "can turn all the way round"
    return f"can turn {deg_text(found)} degrees" if found >= 0.1 else "cannot turn at all"


def _stopped(scene: Scene, turn: Turn, stops: Sequence[Blocker]) -> str:
    names = list(dict.fromkeys(_name(scene, turn, blocker) for blocker in stops))
    return f"{listed(names)} {'stops' if len(names) == 1 else 'stop'} the {_tool(turn)}"


def _name(scene: Scene, turn: Turn, blocker: Blocker) -> str:
    if blocker.owner != turn.placed.id:
        return obstacle(scene, blocker.owner)
    part = blocker.what.removeprefix(turn.placed.name).removeprefix("'s ")
    return f"its own {part or 'body'}"


def _against(turn: Turn, stops: Iterable[Blocker]) -> tuple[str, ...]:
    return tuple(sorted({blocker.owner for blocker in stops} - {turn.placed.id}))


def _title(turn: Turn, verdict: Verdict) -> str:
    far = {"put-right": "cannot be turned far enough", "look-again": "only just turns far enough"}
    return f"{start(turn.placed.name)}: {_access(turn)} {far[verdict]}" if verdict in far else ""


def _where(turn: Turn, free: Freedom, verdict: Verdict) -> Where:
    """Where the handle turns, in plan or as a strip; and the free arc as a line in the room, where that matters."""
    plane, far, half = turn.plane, turn.bar.length_mm, max(turn.bar.trail_mm, 1.0)
    x, y, z = plane.at
    line = () if verdict == "no-fault" else _free_line(turn, free.largest)
    if plane.along is None:
        return Where(disc((x, y), far), z - half, z + half, line)
    ux, uy = plane.along
    corners = [(far, half), (-far, half), (-far, -half), (far, -half)]
    strip = tuple((x + s * ux - t * uy, y + s * uy + t * ux) for s, t in corners)
    return Where(strip, z - far, z + far, line)


def _free_line(turn: Turn, gap: Gap | None) -> tuple[Point3, ...]:
    """From the nut along the free arc and back."""
    if gap is None:
        return ()
    steps = max(1, round((gap.stop - gap.start) / _STEP_RAD))
    size = (gap.stop - gap.start) / steps
    arc = (turn.plane.room(gap.start + size * i, turn.bar.length_mm) for i in range(steps + 1))
    return (turn.plane.at, *arc, turn.plane.at)


CHECK = Check(
    id=ID,
    title="Every tool has room to turn",
    failing_title="A tool has no room to turn",
    reason="A nut is undone stroke by stroke: 60 degrees a stroke on a hexagon, 30 with a ring or with offset jaws.",
    source=Source(
        "J. Rose, Modern Machine-Shop Practice, for the stroke; handle lengths and widths from memory of common tools",
        "Figs 445 to 448", "", "common practice",
    ),
    find=find,
)  # fmt: skip
