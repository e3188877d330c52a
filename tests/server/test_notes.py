"""The sheet of a picked note: what it measures, in a fitter's words, and what its button leads to."""

from dataclasses import replace

from geometry.check import Finding, Remedy
from server.notes import Measure, Opened, notes_of

SHORT = Finding("service-space", "put-right", "Boiler needs 600 mm.", ("boiler",), needed=600, found=500, short=100)
MOVE = Remedy("boiler", (100.0, 0.0), 0.0, "Move the boiler 100 mm to the right.")


def opened(finding: Finding, remedy: Remedy | None = None) -> Opened:
    (note,) = notes_of([finding], "|".join(finding.key), remedy)
    assert note.opened is not None
    return note.opened


def test_what_is_short_is_in_red_only_where_it_has_to_be_put_right() -> None:
    assert opened(SHORT).measures[-1] == Measure("short", "100 mm", missing=True)
    assert opened(replace(SHORT, verdict="look-again")).measures[-1] == Measure("short", "100 mm", missing=False)


def test_what_is_tight_has_something_to_spare_and_nothing_short() -> None:
    tight = replace(SHORT, verdict="look-again", found=605, short=0)

    assert opened(tight).measures == (Measure("needed", "600"), Measure("found", "605"), Measure("to spare", "5 mm"))


def test_a_limit_is_told_as_at_most() -> None:
    off_the_wall = replace(SHORT, check="room-edge", needed=60, found=215, short=155)

    assert [m.word for m in opened(off_the_wall).measures] == ["at most", "found", "too much"]


def test_of_what_goes_into_something_only_how_far_is_told() -> None:
    inside = replace(SHORT, check="room-edge", needed=0, found=-40, short=40)

    assert opened(inside).measures == (Measure("short", "40 mm", missing=True),)


def test_the_button_says_what_checking_the_room_with_the_move_made_has_found() -> None:
    assert opened(SHORT, MOVE).follows == "This note then closes and no other opens."
    assert opened(SHORT, replace(MOVE, tight=1)).follows == "Then 1 tight place stays to measure again."
    assert opened(SHORT, replace(MOVE, tight=2)).follows == "Then 2 tight places stay to measure again."
