"""What cures a finding that no move can: in the words of the trade, with a button where the workbench can make it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from geometry.check import Finding, tidy
from geometry.editing import kind_of
from geometry.kit import Kit
from geometry.pipes.chain import Chain, chains
from geometry.remedies import a_move_may_cure
from geometry.scene import Placed, Scene
from geometry.shelf import shelf
from geometry.tundish_place import KIND
from server.pipe_blanks import pipe_blanks

NO_MOVE_FOUND = "No single move or turn was found that cures this without opening another note."
NOT_ALL_TRIED = "So much is wrong here that not every move was tried. Put other notes right first, then look again."
WORDS: Mapping[tuple[str, str], str] = {
    ("kit-list", ""): "Put one in.",
    ("discharge", "size"): "Shorten the pipe, take out bends, or have it designed.",
    ("discharge", "shared"): "Make the shared pipe one size larger, or give each store an outlet of its own.",
    ("discharge", "end-place"): "Take the discharge to another end, where nobody is scalded and nothing melts.",
    ("discharge", "outlet"): "Take the pipe to an outlet that is for hot discharge.",
    ("discharge", "route"): "Take the pipe another way or to another outlet, or move kit that is in its way.",
    ("discharge", ""): "Take the pipe another way, or move what is in its way.",
    ("pipe-room", "crosses a doorway"): "Move the bend out of the doorway, or take the pipe over the door head.",
    ("pipe-room", "goes through something"): "Move the bend, so that the pipe goes round.",
    ("pipe-room", "no way"): "Move kit that is in its way, or an end of the pipe.",
    ("pipe-room", "room to work"): "Move the bend, so that the pipe keeps to a wall.",
    ("pipe-room", "clips"): "Move the bend, so that the pipe follows a wall, or bracket it.",
    ("condensate", ""): "Change its pipe or outlet.",
    ("overflow", ""): "Change its pipe or outlet.",
    ("relief", ""): "Change its pipe or outlet.",
    ("wall-load", ""): "Put ply or noggins behind it.",
    ("vessel", ""): "Put in a larger vessel, or one more.",
    ("floor-load", ""): "Spread the load, or have somebody who answers for the floor look at it.",
    ("lifting", ""): "Bring a lifting aid, or have it come in parts.",
    ("compartment-air", ""): "Make the openings larger.",
    ("keep-apart", "battery"): "Put it in another place.",
    ("keep-apart", ""): "Move one of the two.",
    ("flue-terminal", ""): "Move the boiler, or take its flue to a place that is clear of it.",
    ("emergency-reach", ""): "Bring it nearer to where people walk.",
    ("keep-free", ""): "Move it, or agree another place with the customer.",
    ("way-out", ""): "Take it apart, widen the way, or move what stands in it.",
    ("stand-up", ""): "Choose a lower one, or bring it in upright.",
    ("fitting-order", ""): "Make one of them come apart, or arrange them otherwise.",
    ("door-swing", ""): "Hang the leaf otherwise, or choose a narrower one.",
}
"""By check and topic; an empty topic is every other one of the check."""


@dataclass(frozen=True)
class Press:
    """A button: its words, and the fields of the form that it sends."""

    text: str
    fields: Mapping[str, str] = field(default_factory=dict)


ANOTHER_WAY = "Arrange it otherwise, or choose another kind."
SAID_ALREADY = frozenset({"fitting-order", "floor-load", "overflow", "reach", "sight", "vessel", "wall-load"})
"""Checks whose own sentence says what to do."""


def cure_words(finding: Finding) -> str:
    """What to do about a finding, in words; where a move could cure it also that none was found, or not all were tried.

    A finding says itself whether looking for its move was given up.
    """
    words = _from_table(finding)
    if a_move_may_cure(finding):
        return f"{words} {NOT_ALL_TRIED if finding.given_up else NO_MOVE_FOUND}".strip()
    return words or ANOTHER_WAY


def _from_table(finding: Finding) -> str:
    """By the topic, or, where that begins with the pipe or port it is about, by the rest of it."""
    topics = (finding.topic, finding.topic.rpartition(", ")[2], "")
    return next((words for topic in topics if (words := WORDS.get((finding.check, topic)))), "")


def has_words(finding: Finding) -> bool:
    """Whether the table has words of its own for a finding."""
    return bool(_from_table(finding))


def what_to_do(finding: Finding) -> str:
    """What to do about something to put right, where neither its own sentence nor a move says it; else nothing.

    Whether looking for a move was given up is told apart from it.
    """
    if finding.verdict != "put-right" or finding.accepted or finding.remedy or finding.check in SAID_ALREADY:
        return ""
    movable = a_move_may_cure(finding)
    do = _from_table(finding) or ("" if movable else ANOTHER_WAY)
    parts = (f"Do: {do}" if do else "", NO_MOVE_FOUND if movable and not finding.given_up else "")
    return " ".join(filter(None, parts))


def press_for(scene: Scene, finding: Finding) -> Press | None:
    """The button that makes the cure, where the workbench can."""
    makers = {"kit-list": _put_in, "discharge": _larger_pipe, "vessel": _larger_vessel}
    make = makers.get(finding.check)
    return make(scene, finding) if make and finding.verdict in ("put-right", "look-again") else None


def _put_in(scene: Scene, finding: Finding) -> Press | None:
    """The smallest kind on the shelf that is what is missing; a tundish where one is suggested for its store."""
    if finding.pieces:
        return None
    if finding.topic == KIND:
        store = next((chain.store for chain in chains(scene) if chain.valves and chain.tundish is None), None)
        if store is not None:
            return Press("Put one in where it is suggested", {"do": "tundish", "piece": store.id})
    wanted = [word for need in scene.pack.rows("kit-list") if need["thing"] == finding.topic for word in need["is"]]
    kinds = [kit for kit in shelf().values() if any(kit.has(word) or word in kit.key for word in wanted)]
    return _add(min(kinds, key=lambda kit: (kit.water_l or 0.0, kit.key))) if kinds else None


def _add(kit: Kit) -> Press:
    return Press(f"Put one in from the shelf: {kit.name}", {"do": "add", "kit": kit.key})


def _larger_pipe(scene: Scene, finding: Finding) -> Press | None:
    """The drawn pipe in the size that carries the discharge."""
    store = scene.piece(finding.pieces[0])
    run = Chain(scene, scene.pack, store).run if store and finding.topic == "size" else None
    if store is None or run is None or run.pipe is None or run.needs is None or run.needs.size_mm is None:
        return None
    blank = next((one for one in pipe_blanks(scene, store) if one.medium == "hot-discharge"), None)
    if blank is None:
        return None
    size = tidy(run.needs.size_mm)
    fields = {
        "do": "pipe", "piece": store.id, "from": blank.piece, "port": blank.port, "medium": blank.medium,
        "to": blank.to, "size_mm": f"{size}", "material": blank.material,
    }  # fmt: skip
    return Press(f"Make it {size} mm", fields)


def _larger_vessel(scene: Scene, finding: Finding) -> Press | None:
    """The smallest larger one in the place of the largest that is drawn; one more where none is large enough."""
    if finding.needed is None or finding.found is None:
        return None
    vessels = [placed for ref in finding.pieces if (placed := scene.piece(ref))]
    short, kinds = finding.needed - finding.found, list(_vessels())
    if not vessels:
        enough = [kit for kit in kinds if (kit.water_l or 0.0) >= short]
        return _add(enough[0]) if enough else None
    largest = max(vessels, key=lambda placed: placed.kit.water_l or 0.0)
    enough = [kit for kit in kinds if (kit.water_l or 0.0) >= (largest.kit.water_l or 0.0) + short]
    return _swap(scene, largest, enough[0]) if enough else None


def _vessels() -> Iterator[Kit]:
    yield from sorted((kit for kit in shelf().values() if kit.has("vessel")), key=lambda kit: kit.water_l or 0.0)


def _swap(scene: Scene, placed: Placed, kit: Kit) -> Press | None:
    if kind_of(scene.room, placed.piece.kit).key == kit.key:
        return None
    litres = tidy(kit.water_l or 0.0)
    return Press(f"Change it for one of {litres} L", {"do": "swap", "piece": placed.id, "kit": kit.key})
