"""Findings in the customer's words: short sentences, everyday names, no number of a finding, rule or pipe.

What has no plain sentence of its own is told as something the engineer still looks at; nothing is left out.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from geometry.check import Finding
from geometry.scene import Scene
from geometry.words import listed, start, within
from server.customer_names import the

_BESIDE = {
    "front": "in front of", "left": "beside", "right": "beside", "behind": "behind", "above": "above", "below": "below",
}  # fmt: skip
_EDGE = {
    "wall": "{A} is drawn too deep into the wall.",
    "outside": "{A} is drawn outside the room.",
    "fixture": "{A} runs into {b}.",
    "above": "{A} is too tall for its place.",
    "doorway": "{A} stands in the doorway.",
    "floor": "{A} is drawn too low.",
    "nothing-below": "{A} has nothing to stand on.",
    "no-wall": "{A} has no wall to hang on.",
    "opening": "{A} hangs across an opening in the wall.",
}
_APART = {
    "alarm-ring": "The alarm has to hang in another place.",
    "alarm-ceiling": "The alarm has to hang in another place.",
    "alarm-walls": "The alarm has to hang in another place.",
    "battery": "{A} cannot stay in this room.",
}
_PUT_RIGHT = {
    "body-overlap": "{A} and {b} are drawn in the same place. One of them has to move.",
    "service-space": "There is too little room to work {side} {a}.",
    "draw-out": "A part of {a} cannot come out to be mended.",
    "tool-swing": "There is too little room to turn a tool at {a}.",
    "pipe-room": "There is too little room for the pipes of {a}.",
    "walkway": "The way to {a} is too narrow.",
    "reach": "{A} is hard to reach.",
    "sight": "{A} cannot be seen from where you stand.",
    "height-band": "{A} is too high or too low to use.",
    "emergency-reach": "{A} is too far from the door.",
    "way-out": "{A} cannot leave the room again.",
    "stand-up": "{A} cannot be stood up in here.",
    "fitting-order": "{A} cannot be put in after the rest.",
    "discharge": "The hot drain pipe from {a} needs another size or another way.",
    "condensate": "The waste water pipe from {a} needs another way.",
    "overflow": "The spill pipe from {a} needs another way.",
    "relief": "The hot drain pipe from {a} needs another way.",
    "vessel": "{A} is too small.",
    "floor-load": "{A} is too heavy for the floor.",
    "wall-load": "{A} is too heavy for the wall.",
    "wet-above-electrics": "A water pipe runs above {a}. One of them has to move.",
    "keep-apart": "{A} has to be farther from {b}.",
    "kit-list": "A part is still missing.",
    "compartment-air": "{A} needs more air.",
    "flue-terminal": "The flue of {a} ends too near to something outside.",
}
_IN_THE_WAY = frozenset({"service-space", "draw-out", "tool-swing"})
_QUESTIONS = {
    ("look-on-site", "manuals"): "Do the sizes in the makers' books match? We drew common sizes.",
    ("look-on-site", "hidden"): "Are there pipes or wires hidden in the wall?",
    ("look-on-site", "frost"): "What keeps the pipes from frost?",
    ("look-on-site", "gas"): "Has a gas engineer looked at the gas pipe and the flue?",
    ("look-on-site", "unvented"): "Is your water pressure strong enough?",
    ("look-on-site", "electricity"): "Has an electrician looked at the wires?",
    ("floor-load", "total"): "What carries the floor? All of it weighs {kg} when full.",
    ("floor-load", "patch"): "Can the floor carry {a} and what stands next to it?",
    ("floor-load", "platform"): "Is there a firm base under {a}?",
    ("floor-load", ""): "Can the floor carry {a}? It weighs {kg} when full.",
    ("room-edge", ""): "How high is the ceiling?",
    ("service-space", ""): "How high is the ceiling above {a}?",
    ("draw-out", ""): "How high is the ceiling above {a}?",
    ("door-swing", ""): "Is there room for the door to open on its far side?",
    ("discharge", ""): "Where will the hot drain pipe from {a} go?",
    ("condensate", ""): "Where will the waste water from {a} go?",
    ("overflow", ""): "Where will the spill pipe from {a} go?",
    ("relief", ""): "Where will the hot drain pipe from {a} go?",
    ("vessel", ""): "How much water is in your heating?",
    ("lifting", ""): "How heavy is {a}?",
    ("wall-load", ""): "What is the wall made of where {a} hangs?",
    ("keep-apart", "alarm-ring"): "Where will the alarm go?",
    ("keep-apart", "alarm-ceiling"): "How high is the ceiling?",
    ("keep-apart", "battery"): "Does anyone sleep near {a}?",
    ("keep-apart", "gas-pipe"): "Where will the gas pipe run?",
    ("kit-list", "system"): "What kind of heating is it?",
    ("kit-list", ""): "Is there one more of {a} to come?",
    ("flue-terminal", ""): "Is the flue far enough from the window outside?",
    ("compartment-air", ""): "How much air does {a} need?",
    ("emergency-reach", ""): "Which is your stop tap? Please show us.",
}


@dataclass(frozen=True)
class Plain:
    """Says findings about one scene in plain words. ``names`` are the everyday names of its pieces by id."""

    scene: Scene
    names: Mapping[str, str]

    def still_to_do(self, findings: Iterable[Finding]) -> list[str]:
        """What the engineer still has to put right, each thing said once."""
        wrong = [f for f in findings if f.verdict == "put-right" and f.accepted is None]
        cramped = [f for f in wrong if f.check == "service-space"]
        rest = [f for f in wrong if f.check != "service-space"]
        return _once([*(self._put_right(f) for f in rest), *self._too_little_room(cramped)])

    def look_again(self, findings: Iterable[Finding]) -> list[str]:
        """What is measured once more, or moved before the work."""
        return _once(self._look(f) for f in findings if f.verdict == "look-again")

    def not_checked(self, findings: Iterable[Finding]) -> list[str]:
        """The open questions."""
        return _once(self._question(f) for f in findings if f.verdict == "not-checked")

    def accepted(self, findings: Iterable[Finding]) -> list[str]:
        """What a named person accepted in writing: it stays visible here too."""
        taken = [(f, f.accepted) for f in findings if f.accepted is not None]
        return _once(f"{self._put_right(f)} {said.by} has accepted this: {said.reason}" for f, said in taken)

    def _too_little_room(self, cramped: Sequence[Finding]) -> list[str]:
        """One sentence for each piece that is short of room, with all its sides and all that is in the way."""
        sentences = []
        for ref in dict.fromkeys(f.pieces[0] for f in cramped):
            own = [f for f in cramped if f.pieces[0] == ref]
            sides = listed(dict.fromkeys(_BESIDE.get(f.side or "", "at") for f in own))
            met = list(dict.fromkeys(other for f in own if (other := self.other(f))))
            text = f"There is too little room to work {sides} {the(self.names[ref])}."
            blamed = f" {start(listed(met))} {'is' if len(met) == 1 else 'are'} in the way." if met else ""
            sentences.append(text + blamed)
        return sentences

    def _put_right(self, finding: Finding) -> str:
        pattern = _PUT_RIGHT.get(finding.check, "Something about {a} is not right yet.")
        if finding.check == "room-edge":
            pattern = _EDGE.get(finding.topic, pattern)
        if finding.check == "keep-apart":
            pattern = _APART.get(finding.topic, pattern)
        other = self.other(finding)
        if finding.check == "door-swing":
            met = f" {start(other)} stands in its way." if other else ""
            return f"{start(self._leaf(finding))} cannot open far enough.{met}"
        blamed = other and "{b}" not in pattern and finding.check in _IN_THE_WAY
        return self._fill(pattern, finding) + (f" {start(other)} is in the way." if blamed else "")

    def _look(self, finding: Finding) -> str:
        other = self.other(finding)
        if finding.check == "door-swing" and "two leaves" in finding.topic:
            return "Two doors can hit each other. Open one at a time."
        if finding.check == "door-swing" and "move-first" in finding.topic and other:
            return f"{start(other)} has to move before {self._leaf(finding)} opens all the way."
        if "move-first" in finding.topic and other:
            return f"{start(other)} has to move before someone works on {self._about(finding)}."
        if finding.check == "service-space" and finding.short:
            return self._fill("There is less room {side} {a} than we would like.", finding)
        if finding.unit == "mm" and finding.short == 0:
            return f"The gap is tight at {self._about(finding)}. We measure it once more."
        return f"We look once more at {self._about(finding)}."

    def _question(self, finding: Finding) -> str:
        if finding.topic.startswith("planned-"):
            return "Will the new door be as it is drawn?"
        key = (finding.check, finding.topic)
        pattern = _QUESTIONS.get(key) or _QUESTIONS.get((finding.check, ""))
        if pattern is None or ("{a}" in pattern and not finding.pieces):
            return f"There is still a question about {self._about(finding)}."
        return self._fill(pattern, finding)

    def _fill(self, pattern: str, finding: Finding) -> str:
        about = self._about(finding)
        return pattern.format(
            a=about,
            A=start(about),
            b=self.other(finding) or "the next thing",
            side=_BESIDE.get(finding.side or "", "at"),
            kg=self._weight(finding),
        )

    def _about(self, finding: Finding) -> str:
        """What a finding is about: the first piece that has a name here, or the room."""
        known = [ref for ref in finding.pieces if ref in self.names]
        doors = {door.id for door in self.scene.room.doors}
        if known:
            return the(self.names[known[0]])
        return "the door" if doors & {*finding.pieces} else "the room"

    def _leaf(self, finding: Finding) -> str:
        """The door that a finding is about: of the room, or of a piece."""
        about = self._about(finding)
        return about if about == "the door" else f"the door of {about}"

    def other(self, finding: Finding) -> str:
        """What stands in the way, with its article; empty where nothing is named."""
        pieces = [ref for ref in finding.pieces[1:] if ref in self.names]
        refs = [*finding.against, *pieces]
        return self.called(refs[0]) if refs else ""

    def called(self, ref: str) -> str:
        """Anything that a finding names, with its article."""
        if ref in self.names:
            return the(self.names[ref])
        if ref.startswith("edge:"):
            return "the wall"
        room = self.scene.room
        if ref in {door.id for door in room.doors}:
            return "the door"
        if ref in {window.id for window in room.windows}:
            return "the window"
        return f"the {within(self.scene.names.get(ref, ref)).removeprefix('the ')}"

    def _weight(self, finding: Finding) -> str:
        if finding.unit == "kg" and finding.found is not None:
            return f"{finding.found:,.0f} kg"
        placed = self.scene.piece(finding.pieces[0]) if finding.pieces else None
        mass = placed.kit.full_kg if placed else None
        return "a lot" if mass is None else f"{mass:,.0f} kg"


def _once(sentences: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(sentences))
