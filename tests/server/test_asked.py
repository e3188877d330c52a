import pytest

from geometry.editing import room_named
from geometry.errors import RoomError, SumError
from geometry.samples import sample_scene
from geometry.sums import SUMS
from server.asked import note_of, number
from server.look import look_of
from server.measured import length_from


@pytest.mark.parametrize(
    ("text", "read"),
    [("450", 450), ("1,400", 1400), ("12,500 mm", 12500), ("−5", -5), ("1.5", 1.5), (".5", 0.5), ("90°", 90)],
)
def test_a_figure_is_read_as_people_write_it(text: str, read: float) -> None:
    assert number(text, "the base") == read


@pytest.mark.parametrize("text", ["1,5", "0,9", "2,40", "1,4000"])
def test_what_may_be_a_decimal_comma_is_never_read_as_thousands(text: str) -> None:
    with pytest.raises(RoomError, match="with a point"):
        number(text, "the floor")


@pytest.mark.parametrize("text", ["12mm3", "5°3", "1_000", "1e309", "nan", "", "-", "½", "٣"])
def test_what_is_no_figure_is_refused(text: str) -> None:
    with pytest.raises(RoomError, match="is not a number for the base"):
        number(text, "the base")


@pytest.mark.parametrize(
    ("text", "length_mm"),
    [
        ("2,400", 2400),
        ("2400 mm", 2400),
        ("2.4 m", 2400),
        ("240 cm", 2400),
        ("2,4 m", None),
        ("0,9 m", None),
        ("", None),
    ],
)
def test_a_length_off_the_tape_has_no_decimal_comma(text: str, length_mm: float | None) -> None:
    assert length_from(text) == length_mm


def test_a_note_that_cannot_be_printed_is_refused() -> None:
    with pytest.raises(RoomError, match="cannot be printed"):
        note_of("p. 9\x07")


@pytest.mark.parametrize("text", ["1,5", "1_000"])
def test_a_sum_reads_figures_as_the_workbench_does(text: str) -> None:
    field = next(field for field in SUMS["vessel"].fields if field.kind == "number")

    with pytest.raises(SumError):
        field.read({field.name: text})


def test_a_room_has_no_name_that_cannot_be_printed() -> None:
    with pytest.raises(RoomError, match="A room has a name"):
        room_named(sample_scene([], []).room, "Boot\x00room")


def test_a_look_of_five_thousand_digits_is_the_usual_one() -> None:
    long = "9" * 5000

    assert look_of(f"{long}x{long}", long, long, long, turned=long).quarters == 0
