"""What was not checked, as questions: each with its answer in writing, and the form that takes what would settle it."""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import cached_property

from fastapi import APIRouter, Request, Response

from geometry.answering import answer_to, earlier_answer
from geometry.check import Finding
from geometry.errors import UnknownThing
from geometry.room import Room
from server.asked import Asked
from server.checked import find, findings_of, key_of, scene_of
from server.question_forms import BlankForm, forms_for
from server.store import Layout
from server.web import LayoutDep, page_or_fragment, templates
from server.wording import answer_words

router = APIRouter()


@dataclass(frozen=True)
class Question:
    """One open question of the list."""

    finding: Finding = field(repr=False)
    key: str
    text: str
    answered: str
    earlier: str

    @cached_property
    def anchor(self) -> str:
        """An id for the page: the same question has the same one in two layouts."""
        return "ask-" + "".join(c if c.isalnum() else f"-{ord(c):x}-" for c in self.key)


@dataclass(frozen=True)
class OpenQuestion:
    """A question with what is known already, and what can be told."""

    question: Question
    known: str
    forms: list[BlankForm]
    by: str
    answer: str


def questions_of(findings: Iterable[Finding], room: Room) -> list[Question]:
    """What was not checked, as questions, each once."""
    found: dict[str, Question] = {}
    for finding in findings:
        if finding.verdict == "not-checked":
            found.setdefault(finding.question or finding.message, _question(finding, room))
    return list(found.values())


def _question(finding: Finding, room: Room) -> Question:
    answer, earlier = answer_to(room, finding), earlier_answer(room, finding)
    return Question(
        finding, key_of(finding), finding.question or finding.message, answer_words(answer),
        "" if answer or earlier is None else f"When other kit stood there: {answer_words(earlier)}",
    )  # fmt: skip


@router.get("/rooms/{room_id}/question")
def question(request: Request, layout: LayoutDep, key: str = "", piece: str = "") -> Response:
    """What a question knows already, and the forms that take its answer."""
    context = {"open": open_question(layout, key), "layout": layout, "picked": piece, "refused": ""}
    return page_or_fragment(request, page="question.html", fragment="_question.html", context=context)


def not_written_down(request: Request, layout: Layout, asked: Asked, answer: str, why: str) -> Response:
    """The page of a question again, with an answer that was refused as it was typed, and why."""
    typed = replace(open_question(layout, asked.key), by=asked.by, answer=answer)
    context = {"open": typed, "layout": layout, "picked": asked.piece, "refused": why}
    return templates.TemplateResponse(request, "question.html", context, status_code=422)


def open_question(layout: Layout, key: str) -> OpenQuestion:
    """One question of a layout, opened."""
    finding = find(findings_of(layout), key)
    if finding is None or finding.verdict != "not-checked":
        raise UnknownThing("That question is not asked in this layout. Open the room again to see it as it is now.")
    asked, answer = _question(finding, layout.room), answer_to(layout.room, finding)
    return OpenQuestion(
        asked, "" if finding.message == asked.text else finding.message,
        forms_for(scene_of(layout), finding), answer.by if answer else "", answer.answer if answer else "",
    )  # fmt: skip
