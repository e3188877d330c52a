"""What is wrong with a room file is said in one sentence: where, and what to do. Nothing is ever half loaded."""

import json
import re
from copy import deepcopy
from math import inf, nan
from typing import Any

import pytest

from geometry.errors import RoomError, UnknownKit, UnreadableFile
from geometry.reading import read_room, room_from, write_room
from geometry.samples import CUPBOARD, box_kit, piece
from geometry.upgrade import upgraded
from tests.geometry.random_rooms import random_room
from tests.geometry.whole_room import KIND, WHOLE

DROP = object()
TANK = box_kit("tank")


def spoiled(path: str, value: Any) -> str:
    """The whole room with one value changed, dropped, or put in beside the others (``pieces.+``)."""
    data = deepcopy(WHOLE)
    *steps, last = [int(step) if step.isdigit() else step for step in path.split(".")]
    here: Any = data
    for step in steps:
        here = here[step]
    if last == "+":
        here.append(value)
    elif value is DROP:
        del here[last]
    else:
        here[last] = value
    return json.dumps(data)


def refusal(text: str | bytes) -> str:
    with pytest.raises(RoomError) as caught:
        read_room(text)
    said = str(caught.value)
    assert len(said) < 420 and said.isprintable() and said.endswith((".", "?")), said
    return said


DOOR, PIECE, SLOPE = WHOLE["doors"][0], WHOLE["pieces"][1], WHOLE["ceiling"]["slopes"][0]
WINDOW, PIPE, BLOCK = WHOLE["windows"][0], WHOLE["pipes"][0], WHOLE["fixtures"][0]
CHANGE = {"value": 900, "basis": "manual"}
BOWTIE = [[0, 0], [10, 10], [10, 0], [0, 10]]
SPIKE = [[0, 0], [2400, 0], [3000, 0], [2400, 0], [2400, 1800]]
IN_LINE = [[0, 0, 2300], [1900, 0, 700], [950, 0, 9]]

ANSWER = {"check": "look-on-site", "by": "A. Fitter", "date": "2026-11-25", "answer": "None."}
SPOILED: list[tuple[str, Any, str]] = [
    # the outline
    ("outline_mm", BOWTIE, r"outline crosses itself near \(5, 5\)\. List its corners in order"),
    ("outline_mm", WHOLE["outline_mm"][::-1], r"outline runs clockwise\. List its corners anticlockwise"),
    ("outline_mm", SPIKE, r"runs out and back over itself at corner 3, \(3,000, 0\)\. Take that corner out"),
    ("outline_mm", [[0, 0], [2400, 0], [2400, 0], [2400, 1800]], r"has corner 2 twice, at \(2,400, 0\)\. Take one out"),
    ("outline_mm", [[0, 0], [2400, 0]], r"outline_mm: .*2 entries and needs at least 3"),
    ("outline_mm", [[0, 0], [10, 0], [5, 0.5]], r"outline has no area\. Give at least three corners"),
    ("outline_mm", "abc", r"outline_mm: this should be a list in \[ \]"),
    ("outline_mm", [[0, 0]] * 3 + [[i, i] for i in range(300)], r"outline_mm: this has more than 200 entries"),
    ("outline_mm.0.0", True, r"outline_mm, number 1, number 1: this should be a number, not true"),
    ("outline_mm.0.0", "0", r'this should be a number, not "0"'),
    ("outline_mm.1", [2400], r"outline_mm, number 2, number 2: this is missing"),
    ("outline_mm.1", [2400, 0, 0], r"outline_mm, number 2: this has more than 2 entries"),
    ("outline_mm.1.0", 10_000_000, r"outline_mm, number 2, number 1: this should be 100,000 or less, not 10000000"),
    # sizes
    ("kit.0.height_mm", 0, r'kit, "own-cylinder", height_mm: this should be 0\.1 or more, not 0'),
    ("kit.0.plan.round_mm", -550, r"plan, round_mm: this should be 0\.1 or more, not -550"),
    ("kit.0.height_mm", 5e-324, r"this should be 0\.1 or more, not 5e-324"),
    ("doors.0.clear_mm", 0, r'doors, "d1", clear_mm: this should be 0\.1 or more'),
    ("doors.0.from_mm", -1, r'doors, "d1", from_mm: this should be 0 or more, not -1'),
    ("ceiling.height_mm", 0, r"ceiling, height_mm: this should be 0\.1 or more"),
    ("tolerance_mm", -1, r"tolerance_mm: this should be 0 or more"),
    ("tolerance_mm", 10**200, r"tolerance_mm: this should be 500 or less, not 1000\d+…|this number is too large"),
    # kinds and keys
    ("pieces.0.kit", "wall-boiler-combi", r'Piece "p1": There is no kind of kit called .*Near it: wall-boiler-'),
    ("pieces.0.kit", "nothing", r'Piece "p1": .*Correct the name, or add the kind'),
    ("colour", "red", r"colour: this key is not part of a room file; take it out or correct its spelling"),
    ("pieces.0.colour", "red", r'pieces, "p1", colour: this key is not part'),
    ("<script>alert(1)</script>", 1, r'"<script>alert\(1\)</script>": this key is not part'),
    ("k" * 9000, 1, r"^\"kkk+…\": this key is not part"),
    ("outline_mm", DROP, r"outline_mm: this is missing, and a room cannot do without it"),
    ("pieces.0.at_mm", DROP, r'pieces, "p1", at_mm: this is missing'),
    ("kit.0.plan", {}, r'kit, "own-cylinder", plan: a plan is one of round_mm, box_mm or outline_mm'),
    ("kit.0.plan.box_mm", [600, 600], r"a plan is one of .* this one gives 2"),
    ("kit.0.key", "tundish", r'Kit "tundish" is on the shelf already\. Give the file\'s own kind another key'),
    ("kit.+", KIND, r'Kit "own-cylinder" is described twice in the file\. Keep one'),
    ("kit.2.plan.outline_mm", BOWTIE, r'The plan of kit "own-corner" crosses itself'),
    ("kit.0.space.0.side", "top", r'space, number 1, side: this should be one of \'front\', .*not "top"'),
    ("kit.0.space.0.to_mm", 0, r'Kit "own-cylinder": the space front goes from 0 up to 0, .*Correct its heights'),
    ("kit.0.space.0.from_mm", 5000, r"goes from 5,000 up to 1,200"),
    ("kit.0.sticks_out.0.to_mm", 200, r"the cap goes from 300 up to 200, which is not above it"),
    ("kit.0.sticks_out.0.across_mm", [60, -60], r"the cap goes from 60 to -60\. Write the smaller figure first"),
    ("kit.1.leaf.0.to_mm", 300, r'Kit "own-machine": the door goes from 300 up to 300'),
    # doors, windows, walls
    ("doors.0.from_mm", 2000, r'Door "d1" runs from 2,000 to 2,620 mm along edge 0, which is only 2,400 mm'),
    ("doors.0.edge", 4, r'Door "d1" is on edge 4; the outline has edges 0 to 3\. Give it the edge it is in'),
    ("doors.0.edge", 0.0, r'doors, "d1", edge: this should be a whole number, not 0\.0'),
    ("doors.0.edge", "0", r'edge: this should be a whole number, not "0"'),
    ("doors.0.sill_mm", 1950, r'Door "d1": its head \(1950\) is not above its sill'),
    ("doors.+", {**DOOR, "id": "d2", "from_mm": 800}, r'Doors "d1" and "d2" share 110 mm of edge 0\. Move one of them'),
    ("doors.0.leaf.kind", "hatch", r'doors, "d1", leaf, kind: this should be one of .*not "hatch"'),
    ("doors.0.beyond_mm", BOWTIE, r'The floor beyond door "d1" crosses itself'),
    ("windows.0.sill_mm", 2100, r'Window "w1": its head \(2000\) is not above its sill \(2100\)'),
    ("windows.0.from_mm", 1300, r'Window "w1" runs from 1,300 to 1,900 mm along edge 1, which is only 1,800 mm long'),
    ("walls.0.edge", 7, r"Walls: edge 7 does not exist; the outline has edges 0 to 3"),
    ("walls.+", WHOLE["walls"][0], r"Walls: edge 0 is described twice\. Keep one"),
    # the ceiling
    ("ceiling.slopes.0.through_mm", IN_LINE, r'"soffit": its three points lie in one line .*Measure a third'),
    ("ceiling.slopes.0.area_mm", [[0, 0], [9, 0], [18, 0]], r'Slope "soffit" runs out and back over itself'),
    ("ceiling.slopes.0.name", "edge:0", r'called "edge:0", which names another thing\. Give it a name of its own'),
    ("ceiling.beams.0.name", "p1", r'called "p1", which names another thing'),
    ("ceiling.beams.0.name", "ceiling", r'called "ceiling", which names another thing'),
    ("ceiling", [], r"ceiling: this should be an object in \{ \}"),
    # ids
    ("pieces.+", PIECE, r'The id "p2" is used twice, by two pieces\. Give each thing its own'),
    ("windows.0.id", "p1", r'The id "p1" is used twice, by a piece and a window'),
    ("outlets.0.id", "f1", r'The id "f1" is used twice, by a fixture and an outlet'),
    ("pieces.1.id", "floor", r'The id "floor" stands for the floor itself\. Give the piece another'),
    ("pieces.1.id", "a b", r'pieces, "a b", id: this may hold only letters, digits, dots, dashes and underscores'),
    ("pieces.1.id", "<b>", r'pieces, "<b>", id: this may hold only letters'),
    ("pieces.1.id", "", r"pieces, number 2, id: this is empty"),
    ("pieces.1.id", "p" * 41, r"id: this is longer than 40 characters"),
    ("pieces.1.id", 2, r"pieces, number 2, id: this should be text, not 2"),
    ("pieces.1.id", "\ud800", r'pieces, "\\ud800", id: this holds a broken character; type it again'),
    # names
    ("name", "a\ud800b", r"name: this holds a broken character; type it again"),
    ("name", "a\0b", r"name: this holds a character that cannot be printed; type it again without it"),
    ("name", "two\nlines", r"name: this runs over several lines; write it in one"),
    ("name", "x" * 121, r"name: this is longer than 120 characters"),
    ("name", "", r"name: this is empty"),
    ("name", "  ", r"name: this is blank; give it words or take it out"),
    ("name", 5, r"name: this should be text, not 5"),
    ("notes", "bell\a", r"notes: this holds a character that cannot be printed"),
    # pieces
    ("pieces.0.at_mm", [60_000, 500], r'stands at \(60,000, 500\), 58 m outside the room\. Lengths are in millimetres'),
    ("pieces.0.at_mm", [10_000_000, 500], r'pieces, "p1", at_mm, number 1: this should be 100,000 or less'),
    ("pieces.0.changes.colour", CHANGE, r'Piece "p1": "colour" is not a figure that a piece may change\. Take it out'),
    ("pieces.0.changes.\ud800", CHANGE, r'Piece "p1": "\\ud800" is not a figure'),
    ("pieces.0.changes.width_mm", CHANGE, r'Piece "p1": Cylinder, 210 L has no width_mm of its own .*not a box'),
    ("pieces.1.changes", {"round_mm": CHANGE}, r'Piece "p2": Machine is not round, so round_mm cannot change'),
    ("pieces.0.changes.height_mm.value", 0, r'Piece "p1": height_mm should be more than 0, 0\.1 mm at least'),
    ("pieces.1.changes", {"height_mm": {**CHANGE, "value": 400}}, r'its own figures: the hose goes from 500 up to 400'),
    ("pieces.0.changes.height_mm.value", 100_000, r'Piece "p1": Cylinder, 210 L cannot be made to its own figures'),
    ("pieces.0.changes.height_mm.basis", "guess", r'changes, height_mm, basis: this should be one of .*not "guess"'),
    ("pieces.0.changes", [], r'pieces, "p1", changes: this should be an object in \{ \}'),
    ("pieces.0.accepted.0.on", "soon", r'number 1, on: this should be a day written like 2026-11-25, not "soon"'),
    ("pieces.0.accepted.0.on", "9999-99-99", r'number 1, on: there is no day 9999-99-99; write one like 2026-11-25'),
    ("pieces.0.accepted.0.on", "2026-02-29", r'number 1, on: there is no day 2026-02-29; write one like 2026-11-25'),
    ("answers", [ANSWER | {"date": "2026-13-01"}], r'number 1, date: there is no day 2026-13-01; write one like 2026-'),
    ("pieces.0.name", "Tank \u202egnp", r'pieces, "p1", name: .*mark that turns the direction of writing; type it'),
    ("name", "Cupboard\u200f", r"name: this holds an unseen mark that turns the direction of writing"),
    ("answers", [ANSWER | {"answer": "Yes\u2066"}], r"answer: this holds an unseen mark that turns the direction"),
    ("pieces.0.turn_deg", 9999, r'pieces, "p1", turn_deg: this should be 3,600 or less'),
    ("pieces.0.pinned", "yes", r'pieces, "p1", pinned: this should be true or false, not "yes"'),
    ("doors.0.planned", 1, r'doors, "d1", planned: this should be true or false, not 1'),
    ("pieces", {}, r"pieces: this should be a list in \[ \]"),
    ("pieces", [{**PIECE, "id": f"p{i}"} for i in range(401)], r"pieces: this has more than 400 entries"),
    # bands and areas
    ("fixtures.0.to_mm", 0, r'"f1": its top \(0\) is not above its bottom \(0\)'),
    ("keep_free.0.from_mm", 950, r'"k1": its top \(900\) is not above its bottom \(950\)'),
    ("fixtures.0.area_mm", BOWTIE, r'Fixture "f1" crosses itself .*List its corners in order'),
    ("keep_free.0.area_mm.1", [0, 0], r'Keep-free area "k1" has corner 1 twice'),
    # pipes
    ("pipes.0.to", "o9", r'Pipe "pipe1" ends at outlet "o9", which is not in the room'),
    ("pipes.0.from.piece", "p9", r'Pipe "pipe1" starts at piece "p9", which is not in the room'),
    ("pipes.0.from.port", "flow", r'Pipe "pipe1" starts at port "flow", but p1 has these: relief\. Name one'),
    ("pipes.0.via_mm", [[1, 1, 1], [1, 1, 1]], r'Pipe "pipe1": its route has no length'),
    ("pipes.0.medium", "cold", r'"pipe1" carries cold, but port "relief" of p1 is for hot discharge\. Correct one'),
    ("pipes.+", {**PIPE, "id": "x2"}, r'Pipes "pipe1" and "x2" both start at port "relief" of p1\. Take one of them'),
    ("pipes.0", {**PIPE, "to": "p1", "to_port": "relief"}, r'"pipe1" ends at port "relief" of p1, where it starts'),
    ("outlets.0.at_mm", [7400, 900], r'"o1" is 5,000 mm outside the room\. .*give the length .* as its run outside'),
    # format
    ("format", "other", r'not an Elbowroom room: its "format" should be "elbowroom-room"'),
    ("format", DROP, r'its "format" should be "elbowroom-room"'),
    ("format_version", 0, r"format version 0, which never existed\. The first is 1"),
    ("format_version", 2, r"format version 2 and this Elbowroom reads up to 1\. Update Elbowroom"),
    ("format_version", "1", r'"format_version" should be a whole number such as 1, not "1"'),
    ("format_version", True, r'"format_version" should be a whole number such as 1, not true'),
    ("format_version", DROP, r'does not say its "format_version"'),
    ("rules", "wales", r'rules: this should be one of \'england\' or \'scotland\', not "wales"'),
]  # fmt: skip


@pytest.mark.parametrize(
    ("path", "value", "said"), SPOILED, ids=[f"{i}-{row[0][:20]}" for i, row in enumerate(SPOILED)]
)
def test_a_spoiled_file_is_refused_with_where_and_what_to_do(path: str, value: Any, said: str) -> None:
    assert re.search(said, refusal(spoiled(path, value)))


GOOD = json.dumps(CUPBOARD)
NOT_ROOMS: dict[str, tuple[str | bytes, str]] = {
    "empty": ("", "The file is empty. Is it the right file?"),
    "blank": (b" \n\t ", "The file is empty."),
    "a list": ("[]", "a room file is one object in { }"),
    "a number": ("5", "a room file is one object in { }"),
    "null": ("null", "a room file is one object in { }"),
    "cut short": (GOOD[:-9], "The file is not JSON: line 1, column"),
    "a picture": (b"\x89PNG\r\n\x1a\n\x00", "not text in UTF-8. Is it the right file?"),
    "UTF-16": (GOOD.encode("utf-16"), "not text in UTF-8"),
    "over 2 MB": (GOOD + " " * 10_000_000, "The file is 10.0 MB; a room file is under 2 MB. Is it the right file?"),
    "deep lists": ("[" * 200_000, "nested too deeply to be a room. Is it the right file?"),
    "deep objects": ('{"a":' * 200_000, "nested too deeply"),
    "deep but closed": (f'{GOOD[:-1]}, "name": {"[" * 800}{"]" * 800}}}', '"name" stands twice'),
    "a comma too many": ('{"a": 1,}', "line 1, column 9: expecting property name"),
    "words after it": (GOOD + "x", "not JSON: line 1"),
    "a key twice": ('{"format": "elbowroom-room", "name": "a", "name": "b"}', 'The key "name" stands twice'),
    "NaN": (GOOD[:-1] + ', "tolerance_mm": NaN}', "holds NaN where a number should stand. Write the number, or null"),
    "Infinity": (GOOD[:-1] + ', "tolerance_mm": -Infinity}', "holds -Infinity where a number should stand"),
    "1e999": (GOOD[:-1] + ', "tolerance_mm": 1e999}', "tolerance_mm: this number is too large"),
    "5000 digits": (GOOD[:-1] + ', "tolerance_mm": 1' + "0" * 5000 + "}", "holds a number of 5001 digits: 1000"),
    "raw control": ('{"name": "a\x01"}', "invalid control character"),
}


@pytest.mark.parametrize("text, said", NOT_ROOMS.values(), ids=NOT_ROOMS)
def test_what_is_no_room_file_is_refused_in_one_sentence(text: str | bytes, said: str) -> None:
    assert said in refusal(text)


@pytest.mark.parametrize("value", [nan, inf, -inf])
def test_plain_values_that_are_not_finite_are_refused(value: float) -> None:
    with pytest.raises(UnreadableFile):
        room_from({**CUPBOARD, "tolerance_mm": value})


def test_a_kind_that_is_nowhere_is_its_own_error() -> None:
    with pytest.raises(UnknownKit):
        room_from({**CUPBOARD, "pieces": [{"id": "p1", "kit": "nothing", "at_mm": [0, 0]}]})


def test_more_faults_than_one_are_counted() -> None:
    said = refusal(json.dumps({**CUPBOARD, "name": 5, "rules": 5, "tolerance_mm": "x"}))

    assert said.endswith("(and 2 more).")


def test_the_whole_format_is_read() -> None:
    room = read_room(json.dumps(WHOLE))

    assert [piece.id for piece in room.pieces] == ["p1", "p2", "p3", "p4"]
    assert room.pipes[0].from_.port == "relief"


def test_a_byte_order_mark_is_no_fault() -> None:
    assert read_room(b"\xef\xbb\xbf" + GOOD.encode()) == read_room("\ufeff" + GOOD) == read_room(GOOD)


def test_a_last_corner_that_repeats_the_first_adds_nothing() -> None:
    closed = [*CUPBOARD["outline_mm"], CUPBOARD["outline_mm"][0]]

    assert room_from({**CUPBOARD, "outline_mm": closed}) == room_from(CUPBOARD)


def test_a_room_needs_four_things_only() -> None:
    room = room_from({key: CUPBOARD[key] for key in ("format", "format_version", "name", "outline_mm")})

    assert room.ceiling.height_mm is None
    assert (room.tolerance_mm, room.rules, room.pieces) == (10, "england", ())


ROOMS = {"whole": WHOLE, "smallest": CUPBOARD, **{f"random {i}": random_room(i) for i in range(8)}}


@pytest.mark.parametrize("data", ROOMS.values(), ids=ROOMS)
def test_what_is_written_reads_as_the_same_room_and_writes_the_same_again(data: dict[str, Any]) -> None:
    room = room_from(data)
    written = write_room(room)

    assert read_room(written) == room
    assert write_room(read_room(written)) == written


def test_a_written_room_is_short_and_readable() -> None:
    written = write_room(
        room_from({**CUPBOARD, "name": "Büro <1>", "kit": [TANK], "pieces": [piece(TANK, 300, 1600.5)]})
    )

    assert written.startswith('{\n "format": "elbowroom-room",\n "format_version": 1,\n "name": "Büro <1>",\n')
    assert written.endswith("}\n")
    assert '"tolerance_mm"' not in written
    assert json.loads(written)["pieces"][0]["at_mm"] == [300, 1600.5]


def test_an_older_room_is_brought_up_one_version_at_a_time() -> None:
    steps = {1: lambda d: {**d, "b": d["a"] + 1}, 2: lambda d: {**d, "c": d["b"] + 1}}

    assert upgraded({"format_version": 1, "a": 1}, steps, newest=3) == {"format_version": 3, "a": 1, "b": 2, "c": 3}
    assert upgraded({"format_version": 2, "b": 5}, steps, newest=3) == {"format_version": 3, "b": 5, "c": 6}


def test_a_room_of_today_is_not_changed() -> None:
    data = {"format_version": 3, "a": 1}

    assert upgraded(data, {1: lambda d: {}, 2: lambda d: {}}, newest=3) == data


def test_a_version_without_a_step_is_refused() -> None:
    with pytest.raises(UnreadableFile, match="version 1, which never existed"):
        upgraded({"format_version": 1}, {2: lambda d: d}, newest=3)


@pytest.mark.parametrize(("beyond", "thick", "read"), [(300, None, True), (301, None, False), (550, 350, True),
                                                       (551, 350, False)])  # fmt: skip
def test_an_outlet_may_lie_as_far_outside_as_its_wall_is_thick_and_200_mm_more(
    beyond: float, thick: float | None, read: bool
) -> None:
    walls = [{"edge": 1, "thick_mm": thick}] if thick else []
    gully = {"id": "o1", "name": "gully", "at_mm": [2400 + beyond, 900], "level_mm": 150}
    text = json.dumps({**CUPBOARD, "walls": walls, "outlets": [gully]})

    if read:
        assert read_room(text).outlets[0].at_mm[0] == 2400 + beyond
    else:
        assert "outside the room" in refusal(text)


def test_a_boosted_cold_pipe_may_begin_at_a_port_for_cold() -> None:
    tap = {"name": "outlet", "medium": "cold", "size_mm": 22, "at_mm": [300, 0, 60], "faces": "right"}
    tank = box_kit("tank", port=[tap])
    pipe = {"id": "x1", "medium": "boosted-cold", "from": {"piece": "tank", "port": "outlet"}, "to": "o1"}
    riser = {"id": "o1", "name": "riser", "at_mm": [2400, 900], "level_mm": 60}

    room = room_from(
        {**CUPBOARD, "kit": [tank], "pieces": [piece(tank, 600, 900)], "outlets": [riser], "pipes": [pipe]}
    )

    assert room.pipes[0].medium == "boosted-cold"
