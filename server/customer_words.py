"""Findings in the customer's words: short sentences, everyday names, no number of a finding, rule or pipe.

What has no plain sentence of its own is told as something the engineer still looks at; nothing is left out.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from geometry.check import Finding
from geometry.scene import Scene
from geometry.words import listed, start, within
from server.customer_names import is_are, plural_name, the
from server.customer_sentences import (
    APART,
    BESIDE,
    BY_TOPIC,
    EDGE,
    LOOK,
    MISSING,
    NO_DOOR,
    PIPE_LOOK,
    PUT_RIGHT,
    QUESTIONS,
    THINGS,
)

_VERBS = (
    ("is", "are"), ("has", "have"), ("needs", "need"), ("stands", "stand"), ("runs", "run"), ("hangs", "hang"),
)  # fmt: skip
_IN_THE_WAY = frozenset({"service-space", "draw-out", "tool-swing"})


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
        return _once(
            f"{self._put_right(f)} {start(said.by)} has accepted this: {_whole_sentence(said.reason)}"
            for f, said in taken
        )

    def _too_little_room(self, cramped: Sequence[Finding]) -> list[str]:
        """One sentence for each piece that is short of room, with all its sides and all that is in the way."""
        sentences = []
        for ref in dict.fromkeys(f.pieces[0] for f in cramped):
            own = [f for f in cramped if f.pieces[0] == ref]
            sides = listed(dict.fromkeys(BESIDE.get(f.side or "", "at") for f in own))
            met = list(dict.fromkeys(other for f in own if (other := self.other(f))))
            text = f"There is too little room to work {sides} {the(self.names[ref])}."
            blamed = f" {start(listed(met))} {is_are(met)} in the way." if met else ""
            sentences.append(text + blamed)
        return sentences

    def _put_right(self, finding: Finding) -> str:
        if finding.check == "kit-list":
            return _missing(finding)
        pattern = PUT_RIGHT.get(finding.check, "Something about {a} is not right yet.")
        if finding.check == "room-edge":
            pattern = EDGE.get(finding.topic, pattern)
        if finding.check == "keep-apart":
            pattern = APART.get(finding.topic, pattern)
        pattern = BY_TOPIC.get((finding.check, finding.topic), pattern)
        other = self.other(finding)
        if finding.check == "door-swing":
            met = f" {start(other)} {'stand' if plural_name(other) else 'stands'} in its way." if other else ""
            return f"{start(self._leaf(finding))} cannot open far enough.{met}"
        blamed = other and "{b}" not in pattern and finding.check in _IN_THE_WAY
        return self._fill(pattern, finding) + (f" {start(other)} {is_are([other])} in the way." if blamed else "")

    def _look(self, finding: Finding) -> str:
        other = self.other(finding)
        moves = f"{start(other)} {'have' if plural_name(other) else 'has'} to move before"
        if finding.check == "door-swing" and "two leaves" in finding.topic:
            return "Two doors can hit each other. Open one at a time."
        if finding.check == "door-swing" and "move-first" in finding.topic and other:
            return f"{moves} {self._leaf(finding)} opens all the way."
        if "move-first" in finding.topic and other:
            return f"{moves} someone works on {self._about(finding)}."
        if finding.check == "service-space" and finding.short:
            return self._fill("There is less room {side} {a} than we would like.", finding)
        pipe = PIPE_LOOK.get(finding.topic.rpartition(", ")[2])
        if pipe and finding.pieces:
            return self._fill(pipe, finding)
        if finding.unit == "mm" and finding.short == 0:
            return f"The gap is tight at {self._about(finding)}. We measure it once more."
        if finding.check == "kit-list":
            return _missing(finding)
        if finding.check in LOOK:
            return self._fill(LOOK[finding.check], finding)
        return f"We look once more at {self._about(finding)}."

    def _question(self, finding: Finding) -> str:
        if finding.topic.startswith("planned-"):
            return "Will the new door be as it is drawn?"
        if not self.scene.room.doors and finding.question.startswith(NO_DOOR.rstrip("?")):
            return NO_DOOR
        key = (finding.check, finding.topic)
        pattern = QUESTIONS.get(key) or QUESTIONS.get((finding.check, ""))
        if pattern is None or ("{a}" in pattern and not finding.pieces):
            return f"There is still a question about {self._about(finding)}."
        return self._fill(pattern, finding)

    def _fill(self, pattern: str, finding: Finding) -> str:
        about = self._about(finding)
        told = pattern.format(
            a=about,
            A=start(about),
            b=self.other(finding) or "the next thing",
            side=BESIDE.get(finding.side or "", "at"),
            kg=self._weight(finding),
        )
        return agreeing_verb(told, start(about)) if plural_name(about) else told

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


def _missing(finding: Finding) -> str:
    """What the system needs and nobody has drawn, by its everyday name."""
    return MISSING.format(thing=THINGS.get(finding.topic, finding.topic))


def _once(sentences: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(sentences))


def agreeing_verb(sentence: str, subject: str) -> str:
    """A sentence whose subject is several things, with its verb made to agree.

    >>> agreeing_verb("The shelves is too tall.", "The shelves"), agreeing_verb("The shelves cannot go.", "The shelves")
    ('The shelves are too tall.', 'The shelves cannot go.')
    """
    for one, several in _VERBS:
        if sentence.startswith(f"{subject} {one} "):
            return f"{subject} {several} {sentence[len(subject) + len(one) + 2 :]}".replace(" its ", " their ", 1)
    return sentence


def _whole_sentence(text: str) -> str:
    """What somebody wrote, as a sentence: a capital first and a stop last."""
    told = start(text.strip())
    return told if told.endswith((".", "!", "?")) else f"{told}."
