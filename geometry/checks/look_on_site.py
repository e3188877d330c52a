"""What no drawing can settle: questions that somebody must answer on site.

>>> from geometry.samples import box_kit, piece, sample_scene
>>> boiler = box_kit("boiler", traits=["gas"], stands_on="wall", base_mm=1150, dry_kg=36)
>>> [f.topic for f in find(sample_scene([boiler], [piece(boiler, 1200, 1600)]))]
['manuals', 'hidden', 'gas']
"""

from collections.abc import Callable, Iterator

from geometry.check import Check, Finding, mm
from geometry.rules import Source
from geometry.scene import Placed, Scene
from geometry.words import listed, named, within

ID = "look-on-site"

Asked = tuple[str, str, Callable[[Placed], bool]]

_BY_KIT: tuple[Asked, ...] = (
    ("manuals", "Has the maker's manual been read for kit with typical sizes: {names}?", lambda p: _typical(p)),
    ("hidden", "Are there pipes, cables or studs in the wall where kit is fixed?", lambda p: p.kit.stands_on == "wall"),
    ("gas", "Has a registered gas engineer looked at flue, gas pipe and air for: {names}?", lambda p: p.kit.has("gas")),
    ("unvented", "Are the water pressure and flow enough, and who is qualified to fit: {names}?",
     lambda p: p.kit.has("unvented-store")),
    ("electricity", "Has an electrician looked at circuits, bonding and isolation for: {names}?",
     lambda p: p.kit.has("electrical")),
)  # fmt: skip


def find(scene: Scene, only: frozenset[str] | None = None) -> Iterator[Finding]:
    """One question for each topic that some piece raises, then those that the room itself raises."""
    if only is not None:
        return
    for topic, question, raised in _BY_KIT:
        about = [placed for placed in scene.placed if raised(placed)]
        if about:
            names = listed(sorted({within(placed.name) for placed in about}))
            yield _ask(topic, question.format(names=names), tuple(placed.id for placed in about))
    if scene.room.heated is False:
        wet = [placed for placed in scene.placed if placed.kit.has("wet")]
        names = listed(sorted({within(placed.name) for placed in wet})) or "the pipes"
        question = f"The room is not heated: what keeps these from freezing, lagging or trace heating: {names}?"
        yield _ask("frost", question, tuple(placed.id for placed in wet))
    for door in scene.room.doors:
        if door.planned:
            yield _ask(f"planned-{door.id}", f"Door {door.id} is still to come: will it be as drawn?", (), (door.id,))
    yield from _to_measure(scene)


def _to_measure(scene: Scene) -> Iterator[Finding]:
    """What was taken as usual, or worked out, because nobody could measure it."""
    walls = {edge.ref for edge in scene.edges}
    openings = {door.id: f"door {door.id}" for door in scene.room.doors}
    openings |= {window.id: f"window {window.id}" for window in scene.room.windows}
    for item in scene.room.not_measured:
        if item.of.startswith("edge:") and item.of not in walls:
            continue
        taken = f", drawn as {mm(item.taken_mm)} meanwhile" if item.taken_mm is not None else ""
        question = f"What does the tape say: {item.what} of {openings.get(item.of) or named(scene, item.of)}{taken}?"
        yield _ask(f"measure-{item.of}-{item.what}", question, (), (item.of,))


def _ask(topic: str, question: str, pieces: tuple[str, ...], against: tuple[str, ...] = ()) -> Finding:
    return Finding(
        ID, "not-checked", question, pieces, against, topic=topic, title="To be looked at on site", question=question
    )


def _typical(placed: Placed) -> bool:
    return placed.kit.basis in ("typical", "memory") and not (placed.piece.changes or placed.kit.figures)


CHECK = Check(
    id=ID,
    title="What no drawing can settle has been looked at on site",
    failing_title="Something must be looked at on site",
    reason="Walls, floors, pipes in walls, water pressure, gas and circuits cannot be judged from a drawing.",
    source=Source("Common practice, no source", "survey questions", "", "common practice"),
    find=find,
)
