"""Figures in words: what a person reads as needed, found and short adds up wherever it is read."""

import pytest

from geometry.check import Finding
from geometry.checking import Result
from geometry.rules import pack_of
from geometry.samples import box_kit, piece, sample_room
from server.notes import notes_of
from server.printed import result_as_text
from server.report_lines import lines
from server.wording import GIVEN_UP, short_by

ODD = Finding("service-space", "put-right", "", ("p1",), side="front", needed=450.4, found=365.6, short=84.8)
TURNED = Finding("door-swing", "put-right", "", ("d1",), needed=90.0, found=80.5377, short=9.4623, unit="deg")
PRESSED = Finding("floor-load", "put-right", "", ("p1",), needed=1.5, found=10.64278, short=9.14278, unit="kN/m2")


@pytest.mark.parametrize(
    ("finding", "needed", "found", "short", "words"),
    [
        (ODD, "450", "366", "84 mm", ("needed", "short", "Short by 84 mm.")),
        (TURNED, "90°", "80°", "10°", ("needed", "short", "Short by 10°.")),
        (PRESSED, "1.5 kN/m²", "10.6 kN/m²", "9.1 kN/m²", ("at most", "too much", "9.1 kN/m² too much.")),
    ],
)
def test_note_report_and_command_line_say_the_same_three_figures(
    finding: Finding, needed: str, found: str, short: str, words: tuple[str, str, str]
) -> None:
    key = notes_of([finding], "", None)[0].key
    (note,) = notes_of([finding], key, None)
    (line,) = lines([finding])

    assert note.opened is not None
    shown = [(measure.word, measure.value) for measure in note.opened.measures]
    assert shown == [(words[0], needed), ("found", found), (words[1], short)]
    over = words[0] == "at most"
    in_column = f"{short} too much" if over else short.removesuffix(" mm")
    assert (line.needed, line.found, line.short) == (f"at most {needed}" if over else needed, found, in_column)
    assert short_by(finding) == short
    assert note.short == words[2]


def test_the_command_tells_where_not_every_move_was_tried() -> None:
    room = sample_room([box_kit("tank")], [piece(box_kit("tank"), 260, 900)])
    found = (Finding("reach", "put-right", "It is out of reach.", ("tank",), short=16.0, given_up=True),)

    told = result_as_text(Result(room, pack_of(room), found))

    assert GIVEN_UP in told
