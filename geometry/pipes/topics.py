"""What each part of the discharge check is called, why it matters, and which figure it stands on."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from shapely.geometry import LineString

from geometry.check import Finding, Unit, Verdict, Where, mm
from geometry.pipes.chain import Chain
from geometry.pipes.line import NoRoute, Route
from geometry.pipes.run import Run
from geometry.pipes.support import HANGS, hangs_mm
from geometry.room import Outlet
from geometry.saved import Side
from geometry.scene import Scene
from geometry.shapes import disc
from geometry.sums.discharge import metres
from geometry.units import DEPTH_TOLERANCE_MM, Point
from geometry.words import listed, named, start, within

ID = "discharge"
_OUTLET_MM = 40.0
OUTSIDE = "The part outside is not checked."


@dataclass(frozen=True)
class Topic:
    """One part of the check: its figure in the rule pack, its titles when right, wrong and not known, its reason."""

    figure: str
    right: str
    wrong: str
    reason: str
    unknown: str = ""


_SCALD = "What comes out of a relief valve can be near boiling: it has to reach a place where nobody stands in it."

TOPICS: dict[str, Topic] = {
    "relief-valve": Topic("discharge-valve-to-tundish", "", "", _SCALD, "where its relief valve is"),
    "tundish": Topic(
        "discharge-valve-to-tundish", "", "",
        "The tundish is where a leaking relief valve shows, and where the pipe is open to the air.",
        "where its tundish is",
    ),
    "valve-to-tundish": Topic(
        "discharge-valve-to-tundish", "the tundish is near the relief valve", "the tundish is too far from the valve",
        "Behind a long pipe a relief valve cannot open fully, and a drip is not traced to its valve.",
    ),
    "valve-way": Topic(
        "discharge-valve-to-tundish", "", "the pipe to the tundish goes through something",
        "Without a clear way from its relief valve to the tundish an unvented cylinder cannot go here.",
    ),
    "valve-falls": Topic(
        "discharge-valve-to-tundish", "the pipe to the tundish never rises", "the pipe to the tundish rises",
        "Water that stands in the pipe against the valve corrodes its seat until it no longer opens.",
    ),
    "second-pipe": Topic("discharge-valve-to-tundish", "", "", _SCALD, "which pipe carries its discharge"),
    "valves-joined": Topic(
        "discharge-shared-sizes-larger", "", "", "Two valves can open at once.",
        "how large a pipe is that several relief valves share",
    ),
    "tundish-below": Topic(
        "discharge-valve-to-tundish", "the tundish is below the relief valve", "the tundish is not below the valve",
        "Water that stands in the pipe against the valve corrodes its seat until it no longer opens.",
    ),
    "tundish-seen": Topic(
        "discharge-tundish-seen", "the tundish can be seen", "the tundish is hidden",
        "A drip in the tundish is the only sign that a relief valve has failed; nobody looks behind a machine for it.",
    ),
    "straight-drop": Topic(
        "discharge-straight-drop", "the pipe goes straight down below the tundish",
        "the pipe cannot go straight down far enough below the tundish",
        "Without a straight start the discharge backs up and spills out of the tundish.",
    ),
    "outlet": Topic(
        "discharge-end-above-ground", "", "the outlet is not for hot discharge", _SCALD,
        "where its discharge pipe leaves the room",
    ),
    "route": Topic(
        "discharge-fall", "the discharge pipe has a way out", "the discharge pipe has no clear way out",
        "Without a way for its discharge pipe an unvented cylinder cannot go here at all.",
    ),
    "fall": Topic(
        "discharge-fall", "the discharge pipe falls all the way", "the discharge pipe has too little fall",
        "Water that stands in the pipe holds back the next discharge, and freezes outside.",
    ),
    "stretch": Topic(
        "discharge-fall", "", "a stretch of the discharge pipe has too little fall",
        "Water that stands in the pipe holds back the next discharge, and freezes outside.",
    ),
    "wall": Topic(
        "discharge-end-above-ground", "", "its outlet is not in an outside wall", _SCALD,
        "whether its outlet is in an outside wall",
    ),
    "doorway": Topic("discharge-end-above-ground", "", "its outlet is in a doorway", _SCALD),
    "room-to-work": Topic(
        "discharge-fall", "", "the discharge pipe crosses working room",
        "A pipe across the place where somebody kneels is stepped on, or taken off and not put back.",
    ),
    "turns-back": Topic(
        "discharge-fall", "", "the discharge pipe turns right round",
        "No fitting turns a pipe right round: it takes two elbows, and the room between them.",
    ),
    "clips": Topic(
        "pipe-hangs", "", "the discharge pipe has no wall to follow",
        "A pipe with nothing to be clipped to sags, and water stands in it.",
    ),
    "size": Topic(
        "discharge-table", "the discharge pipe is large enough", "the discharge pipe is too small for its length",
        "A pipe too small for its length and bends throws scalding water out of the tundish.",
        "how large its discharge pipe has to be",
    ),
    "material": Topic(
        "discharge-table", "", "", "Other pipe resists more or less than the copper of the table.",
        "what its discharge pipe carries",
    ),
    "end-place": Topic(
        "discharge-end-above-ground", "the discharge ends in a good place", "where the discharge ends", _SCALD,
        "where its discharge ends",
    ),
    "shared": Topic(
        "discharge-shared-sizes-larger", "the shared discharge pipe is large enough",
        "the shared discharge pipe is too small", "Two stores can discharge at once.",
        "how large the shared discharge pipe is",
    ),
}  # fmt: skip

WITH_TUNDISH = frozenset(TOPICS) - {"relief-valve", "tundish", "outlet", "wall", "doorway", "end-place", "shared"}


def say(
    chain: Chain, topic: str, verdict: Verdict, message: str, against: Sequence[str] = (), *,
    also: Sequence[str] = (), needed: float | None = None, found: float | None = None, margin: float | None = None,
    unit: Unit = "mm", side: Side | None = None, where: Where | None = None, question: str = "", figure: str = "",
) -> Finding:  # fmt: skip
    """One finding on a topic, about the store, its tundish where the topic is one of theirs, and ``also`` others.

    ``margin`` below zero is what is short, in the finding's own unit.
    """
    about = TOPICS[topic]
    theirs = (chain.tundish.id,) if chain.tundish and topic in WITH_TUNDISH else ()
    title = {"no-fault": about.right, "not-checked": about.unknown}.get(verdict, about.wrong)
    return Finding(
        ID, verdict, message, (chain.store.id, *theirs, *also), tuple(dict.fromkeys(against)), side, topic,
        f"{start(chain.store.name)}: {title}", needed, found, None if margin is None else max(0.0, -margin), unit,
        about.reason, chain.store.kit.basis, chain.pack.source(figure or about.figure), where, question,
    )  # fmt: skip


def called(chain: Chain) -> str:
    """How a sentence names the store."""
    return f"the {within(chain.store.name)}"


def the_pipe(chain: Chain) -> str:
    """How a sentence names the pipe below the tundish."""
    return f"the discharge pipe of {called(chain)}"


def out_name(chain: Chain, outlet: Outlet) -> str:
    """How a sentence names an outlet."""
    return named(chain.scene, outlet.id)


def things(scene: Scene, refs: Sequence[str]) -> str:
    """How a sentence names what a pipe meets: pieces, walls, doorways.

    >>> from geometry.samples import sample_scene
    >>> things(sample_scene([], [], doors=[{"id": "d1", "edge": 0, "from_mm": 900, "clear_mm": 600}]), ["d1", "edge:2"])
    'doorway d1 and the back wall'
    """
    doors = {door.id for door in scene.room.doors}
    return listed([f"doorway {ref}" if ref in doors else named(scene, ref) for ref in refs])


def past_doorways(scene: Scene, refs: Sequence[str], size_mm: float) -> str:
    """How a pipe gets past the doorways among what it meets; begins with a space, and is empty where there are none.

    >>> from geometry.samples import sample_scene
    >>> door = {"id": "d1", "edge": 0, "from_mm": 900, "clear_mm": 600, "head_mm": 2000}
    >>> past_doorways(sample_scene([], [], doors=[door]), ["d1", "edge:2"], 22)
    ' A doorway cannot be moved: go over its head, with the middle of the pipe at 2,026 mm or more, or under the floor.'
    """
    heads = [door.head_mm for door in scene.room.doors if door.id in refs]
    if not heads:
        return ""
    over = max(heads) + size_mm / 2 + scene.pack.number("pipe-clip")
    way = f"go over its head, with the middle of the pipe at {mm(over)} or more, or under the floor"
    return f" A doorway cannot be moved: {way}."


def in_the_way(scene: Scene, refs: Sequence[str]) -> str:
    """The same, as a reason why there is no way."""
    shown = [ref for ref in refs if not ref.startswith("edge:")] or list(refs)
    return f"{things(scene, shown)} {'is' if len(shown) == 1 else 'are'} in the way" if shown else "it is walled in"


def no_wall(scene: Scene, unclipped_mm: float) -> str:
    """Why a way that goes so far with nothing to be clipped to is none along walls; empty where it is one.

    >>> from geometry.samples import sample_scene
    >>> no_wall(sample_scene([], []), 2400), no_wall(sample_scene([], []), 1900)
    ('no wall to follow for 2,400 mm', '')
    """
    return f"no wall to follow for {mm(unclipped_mm)}" if hangs_mm(scene, unclipped_mm) else ""


def wants_brackets(scene: Scene, pipe: str, goal: str, unclipped_mm: float) -> str:
    """The sentences about such a way: of a pipe to a goal where it is found, of a pipe as drawn where that is empty."""
    most, gap = mm(scene.pack.number(HANGS)), no_wall(scene, unclipped_mm)
    said = f"{start(pipe)} has no way along walls to {goal}: {gap}" if goal else f"{start(pipe)} as drawn has {gap}"
    return f"{said}; beyond {most} it wants brackets."


def stretch_words(stretch: tuple[float, float]) -> str:
    """What is said of a stretch by its fall needed and found, after the name of its pipe.

    >>> stretch_words((10, 0)), stretch_words((10, -5))
    ('has a stretch that needs 10 mm of fall by itself; 0 mm is there.', 'has a stretch that rises 5 mm.')
    """
    needed, found = stretch
    if found < 0:
        return f"has a stretch that rises {mm(-found)}."
    return f"has a stretch that needs {mm(needed)} of fall by itself; {mm(found)} is there."


def rooms_of(scene: Scene, refs: Sequence[str]) -> str:
    """How a sentence names the working room of pieces."""
    return f"the working room of {listed([named(scene, ref) for ref in refs])}"


def comes_back(pipe: str) -> str:
    """The sentence about a pipe that turns right round at one of its points."""
    return f"{start(pipe)} turns right round at a point and comes back along itself: move that point, or let it go."


def why_not(scene: Scene, route: Route | NoRoute) -> str:
    """Why a way is not one, in words that follow the name of its outlet; empty where it is one."""
    if isinstance(route, Route):
        return ""
    if route.too_high_mm:
        return f"{mm(route.too_high_mm)} too high" if route.pin is None else "a pinned point is too high"
    return in_the_way(scene, route.stops)


def other_outlets(chain: Chain) -> str:
    """Why the discharge does not go to the other outlets that would take it; begins with a space where it says any."""
    told = []
    for run in chain.runs[1:]:
        why = why_not(chain.scene, run.route)
        if isinstance(run.route, Route):
            longer = metres(round(run.length_m - chain.runs[0].length_m, 2))
            bad = chain.ends_badly(run.outlet) and not chain.ends_badly(chain.runs[0].outlet)
            why = "too little fall" if run.short[1] else "too long for the table" if run.too_long else ""
            hangs = no_wall(chain.scene, run.unclipped_mm)
            why = why or ("its end place is in question" if bad else hangs or f"{longer} m longer")
        told.append(f"{out_name(chain, run.outlet)} ({why})")
    return f" Not {listed(told)}." if told else ""


def not_said(outlet: Outlet, medium: str) -> str:
    """What is said of an outlet that is not marked for a medium."""
    return f"is not marked for {medium}" if outlet.takes else "does not say what it is for"


def at_outlet(outlet: Outlet) -> Where:
    """The place of an outlet, to draw."""
    return Where(disc(outlet.at_mm, _OUTLET_MM), outlet.level_mm - _OUTLET_MM, outlet.level_mm + _OUTLET_MM)


def bore(run: Run) -> float:
    """The pipe to draw: its size, or the smallest there is where none carries it."""
    return run.size_mm or 22.0


@lru_cache(maxsize=64)
def pipe_where(route: Route, size_mm: float) -> Where:
    """The place of a pipe: its own width in plan, its heights, and its middle line."""
    plan = [(x, y) for x, y, _ in route.points]
    heights = [z for _, _, z in route.points]
    low, high = min(heights) - size_mm / 2, max(heights) + size_mm / 2
    if route.run_mm <= DEPTH_TOLERANCE_MM:
        return Where(disc(plan[0], size_mm / 2), low, high, route.points)
    strip = LineString(plan).buffer(size_mm / 2, cap_style="flat", join_style="mitre")
    ring: list[Point] = [(float(x), float(y)) for x, y in strip.exterior.coords[:-1]]
    return Where(tuple(ring), low, high, route.points)
