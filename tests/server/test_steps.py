from datetime import UTC, datetime

from server.steps import History, Way, history
from server.store import LayoutLine


def after(*steps: str) -> History:
    saved = datetime(2026, 11, 25, tzinfo=UTC)
    return history([LayoutLine(number, saved, step) for number, step in enumerate(steps, 1)][::-1])


def test_a_room_just_opened_has_nothing_to_undo() -> None:
    assert after("Room opened") == History(None, None)


def test_undo_goes_to_the_layout_before_the_latest_change_and_names_it() -> None:
    assert after("Room opened", "Move boiler").undo == Way(1, "Undo: move boiler")


def test_after_an_undo_the_change_before_is_next_and_the_undone_one_can_be_done_again() -> None:
    found = after("Room opened", "Move boiler", "Turn tank", "Undo: turn tank")

    assert found == History(Way(1, "Undo: move boiler"), Way(3, "Redo: turn tank"))


def test_two_undos_and_a_redo_stand_between_the_two_changes() -> None:
    found = after(
        "Room opened", "Move boiler", "Turn tank", "Undo: turn tank", "Undo: move boiler", "Redo: move boiler"
    )

    assert found == History(Way(1, "Undo: move boiler"), Way(3, "Redo: turn tank"))


def test_a_new_change_forgets_what_was_undone() -> None:
    found = after("Room opened", "Move boiler", "Undo: move boiler", "Turn tank")

    assert found == History(Way(1, "Undo: turn tank"), None)


def test_going_back_to_an_old_layout_is_a_change_like_any_other() -> None:
    assert after("Room opened", "Move boiler", "Back to layout 1").undo == Way(2, "Undo: back to layout 1")


def test_steps_saved_without_a_colon_are_still_undone_and_redone() -> None:
    found = after("Room opened", "Move boiler", "Turn tank", "Undo turn tank")

    assert found == History(Way(1, "Undo: move boiler"), Way(3, "Redo: turn tank"))
