"""Answers that somebody wrote to open questions. They stand beside the question; a verdict changes by figures alone."""

from pydantic import ValidationError

from geometry.check import Finding
from geometry.editing import with_parts, written_wrong
from geometry.errors import RoomError
from geometry.room import Answer, Room

_CALLED = {"by": "the name"}
_REFUSED = {
    "by": "Write the name of the person who answers, in one line of at most 120 characters.",
    "answer": "Write the answer, in at most 4,000 characters.",
}


def answer_to(room: Room, finding: Finding) -> Answer | None:
    """The answer to what is not checked: of the same check and topic, about the same pieces."""
    if finding.verdict != "not-checked":
        return None
    return next((answer for answer in room.answers if _same(answer, finding)), None)


def earlier_answer(room: Room, finding: Finding) -> Answer | None:
    """One that was given when the same was asked about some of these pieces, but not about all of them."""
    if finding.verdict != "not-checked":
        return None
    others = (answer for answer in room.answers if _of_kind(answer, finding) and not _same(answer, finding))
    return next((answer for answer in others if not set(answer.pieces).isdisjoint(finding.pieces)), None)


def answered(room: Room, finding: Finding, *, by: str, date: str, answer: str) -> Room:
    """The room with an answer to a question; it takes the place of an older one to the same question.

    Raises
    ------
    RoomError
        The finding asks nothing, or the name or the answer is empty or too long.
    """
    if finding.verdict != "not-checked":
        raise RoomError("That has been checked meanwhile: there is no question left to answer. Open the room again.")
    try:
        new = Answer(
            check=finding.check, topic=finding.topic, pieces=finding.pieces, by=by.strip(), date=date,
            answer=answer.strip(),
        )  # fmt: skip
    except ValidationError as error:
        fault = error.errors()[0]
        field = str(fault["loc"][0])
        raise RoomError(written_wrong(_CALLED.get(field, field), fault["msg"]) or _REFUSED[field]) from None
    return with_parts(room, answers=(*(old for old in room.answers if not _replaces(old, finding)), new))


def taken_back(room: Room, finding: Finding) -> Room:
    """The room without the answer to a question."""
    return with_parts(room, answers=tuple(old for old in room.answers if not _same(old, finding)))


def _same(answer: Answer, finding: Finding) -> bool:
    return _of_kind(answer, finding) and set(answer.pieces) == set(finding.pieces)


def _of_kind(answer: Answer, finding: Finding) -> bool:
    return (answer.check, answer.topic) == (finding.check, finding.topic)


def _replaces(answer: Answer, finding: Finding) -> bool:
    """An answer about some of these pieces and no other is part of the new one."""
    some = bool(answer.pieces) and set(answer.pieces) < set(finding.pieces)
    return _same(answer, finding) or (_of_kind(answer, finding) and some)
