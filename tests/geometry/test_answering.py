"""Written answers belong to one question: the same check, topic and pieces. They never change a verdict."""

import pytest

from geometry.answering import answer_to, answered, earlier_answer, taken_back
from geometry.check import Finding
from geometry.checking import check_room
from geometry.editing import removed
from geometry.errors import RoomError, UnreadableFile
from geometry.reading import read_room, write_room
from geometry.room import Room
from geometry.samples import box_kit, piece, sample_room
from geometry.swapping import swapped

HUNG = box_kit("hung", 300, 200, 400, stands_on="wall", base_mm=1200)
WIDE = box_kit("wide", 400, 200, 400, stands_on="wall", base_mm=1200)


def room(count: int = 2) -> Room:
    return sample_room([HUNG, WIDE], [piece(HUNG, 400 + 500 * k, 1700, id=f"p{k + 1}") for k in range(count)])


def hidden(of: Room) -> Finding:
    """The question about what is in the wall."""
    (found,) = [f for f in check_room(of).findings if f.check == "look-on-site" and f.topic == "hidden"]
    return found


def answer(of: Room, words: str = "Studs at 400 mm.", by: str = "A. Fitter") -> Room:
    return answered(of, hidden(of), by=by, date="2026-11-25", answer=words)


def test_an_answer_is_found_at_its_question_and_at_no_other() -> None:
    told = answer(room())

    answers = {f.topic: answer_to(told, f) for f in check_room(told).findings if f.verdict == "not-checked"}
    assert [topic for topic, found in answers.items() if found] == ["hidden"]


def test_every_verdict_and_message_stays_as_it_was() -> None:
    assert check_room(answer(room())).findings == check_room(room()).findings


def test_the_order_of_pieces_in_the_file_makes_no_difference() -> None:
    told = answer(room())
    turned = told.model_copy(update={"pieces": told.pieces[::-1]})

    assert answer_to(turned, hidden(turned)) == told.answers[0]


def test_a_new_answer_takes_the_place_of_the_old() -> None:
    told = answer(answer(room()), "Brick.", "B. Mate")

    assert [(one.by, one.answer) for one in told.answers] == [("B. Mate", "Brick.")]


def test_about_more_pieces_it_is_an_earlier_answer_which_a_new_one_replaces() -> None:
    before = answer(room(2))
    more = room(3).model_copy(update={"answers": before.answers})

    assert answer_to(more, hidden(more)) is None
    assert earlier_answer(more, hidden(more)) == before.answers[0]
    assert [one.pieces for one in answer(more).answers] == [("p1", "p2", "p3")]


def test_a_piece_that_is_taken_out_or_swapped_is_no_longer_in_the_answer() -> None:
    told = answer(room())

    assert [one.pieces for one in removed(told, "p1").answers] == [("p2",)]
    assert [one.pieces for one in swapped(told, "p1", "wide").answers] == [("p2",)]
    assert removed(removed(told, "p1"), "p2").answers == ()


def test_an_answer_taken_back_leaves_the_room_as_it_was() -> None:
    assert taken_back(answer(room()), hidden(room())) == room()


def test_what_was_checked_cannot_be_answered() -> None:
    checked = next(f for f in check_room(room()).findings if f.verdict == "no-fault")

    with pytest.raises(RoomError, match="no question left"):
        answered(room(), checked, by="A. Fitter", date="2026-11-25", answer="Yes.")


def test_a_file_with_an_answer_is_read_as_it_was_written() -> None:
    assert read_room(write_room(answer(room()))) == answer(room())


@pytest.mark.parametrize(("changes", "words"), [
    ({"date": "25.11.2026"}, "a day written like"), ({"by": ""}, "empty"), ({"answer": ""}, "empty"),
    ({"verdict": "no-fault"}, "not part of a room file"),
])  # fmt: skip
def test_an_answer_in_a_file_needs_a_name_a_day_and_words(changes: dict[str, str], words: str) -> None:
    whole = {"check": "look-on-site", "topic": "hidden", "by": "A. Fitter", "date": "2026-11-25", "answer": "Studs."}

    with pytest.raises(UnreadableFile, match=words):
        sample_room([], [], answers=[{**whole, **changes}])


def test_a_file_holds_no_more_answers_than_can_be_read_again() -> None:
    one = {"check": "reach", "by": "A. Fitter", "date": "2026-11-25", "answer": "Yes."}
    answers = [{**one, "topic": f"t{k}"} for k in range(400)]
    full = sample_room([HUNG], [piece(HUNG, 400, 1700, id="p1")], answers=answers)

    with pytest.raises(RoomError, match="at most 400 answers"):
        answer(full)
