"""The command line, as people and other programs run it."""

import json
import os
import re
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from geometry.checking import check_room
from geometry.reading import write_room
from geometry.room import Accepted, Room
from geometry.samples import box_kit, piece, sample_room
from server.main import with_command

ROOT = Path(__file__).parent.parent.parent
SCHEMA = ROOT / "tests" / "expected" / "room.schema.json"
TANK = box_kit("tank", space=[{"side": "front", "mm": 600, "need": "must", "why": "a person kneels there"}])
CHEST = box_kit("chest")


def run(*arguments: str, **environment: str) -> tuple[int, str, str]:
    """Exit status, standard output and standard error of one command."""
    command = [sys.executable, "-m", "server", *arguments]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, env={**os.environ, **environment}, timeout=60)
    return done.returncode, done.stdout.decode("utf-8"), done.stderr.decode("utf-8")


def written(folder: Path, room: Room) -> str:
    path = folder / f"{room.name}.json"
    path.write_text(write_room(room), encoding="utf-8")
    return str(path)


@pytest.fixture
def tight(tmp_path: Path) -> str:
    """A tank that needs 600 mm in front, with a chest 225 mm before it."""
    return written(tmp_path, sample_room([TANK, CHEST], [piece(TANK, 300, 1600), piece(CHEST, 300, 975)], name="Tight"))


@pytest.fixture
def roomy(tmp_path: Path) -> str:
    return written(tmp_path, sample_room([TANK], [piece(TANK, 300, 1600)], name="Roomy"))


def test_a_room_with_something_to_put_right_ends_in_1(tight: str) -> None:
    status, told, _ = run("check", tight)

    assert status == 1
    assert "  1  PUT RIGHT: Tank needs 600 mm in front; the chest leaves 225 mm. 375 mm short. Do: " in told


def test_a_room_with_nothing_to_put_right_ends_in_0_and_does_not_boast(roomy: str) -> None:
    status, told, _ = run("check", roomy)

    assert status == 0
    assert "PUT RIGHT" not in told
    assert "It does not mean that there is none." in told


def test_the_second_line_counts_all_four_verdicts_worst_first(tight: str) -> None:
    _, told, _ = run("check", tight)

    assert re.fullmatch(
        r"\d+ put right, \d+ look again, \d+ not checked, \d+ no fault found\.", told.splitlines()[1]
    )  # fmt: skip


def test_what_was_not_checked_is_as_loud_as_what_is_wrong(tight: str) -> None:
    _, told, _ = run("check", tight)
    questions = [line for line in told.splitlines() if line.startswith("  ?  NOT CHECKED: ")]

    assert len(questions) > 0
    assert all("?" in line[5:] for line in questions)


def test_every_line_of_a_finding_names_its_source_and_standing(tight: str) -> None:
    _, told, _ = run("check", tight)
    findings = [line for line in told.splitlines() if re.match(r" +(\d+|\?)  ", line)]

    assert all(re.search(r"\[.+ \((law|guidance|typical|common practice|from memory)\)\]$", line) for line in findings)


def test_the_cautions_end_the_text(tight: str) -> None:
    _, told, _ = run("check", tight)

    assert told.splitlines()[-1].startswith("Cautions: ")


def test_an_accepted_put_right_stays_a_put_right_and_says_who_accepts_it(tmp_path: Path) -> None:
    accepted = {
        "check": "service-space",
        "about": ["tank"],
        "by": "A. Plumber",
        "reason": "chest on wheels",
        "on": "2026-11-25",
    }
    room = sample_room(
        [TANK, CHEST], [piece(TANK, 300, 1600, accepted=[accepted]), piece(CHEST, 300, 975)], name="Accepted"
    )

    status, told, _ = run("check", written(tmp_path, room))

    assert status == 1
    assert "PUT RIGHT (accepted by A. Plumber on 25 November 2026: chest on wheels): Tank needs 600 mm" in told
    assert Accepted(**accepted) in [finding.accepted for finding in check_room(room).findings]


def test_json_for_one_file_is_one_object_with_remedies(tight: str) -> None:
    status, told, _ = run("check", "--json", tight)
    result = json.loads(told)

    assert status == 1
    assert list(result) == ["room", "rules", "tolerance_mm", "counts", "findings"]
    assert list(result["counts"]) == ["put-right", "look-again", "no-fault", "not-checked"]
    first = result["findings"][0]
    assert (first["check"], first["verdict"], first["needed"], first["found"], first["short"], first["unit"]) == (
        "service-space", "put-right", 600, 225, 375, "mm",
    )  # fmt: skip
    assert set(first) >= {"pieces", "against", "side", "message", "reason", "basis", "source", "where", "accepted"}
    assert first["remedy"]["text"]


def test_json_for_several_files_is_a_list_in_their_order(tight: str, roomy: str) -> None:
    status, told, _ = run("check", "--json", roomy, tight)

    assert status == 1
    assert [result["room"] for result in json.loads(told)] == ["Roomy", "Tight"]


def test_the_output_is_the_same_bytes_whatever_the_order_of_pieces_and_the_machine(tmp_path: Path) -> None:
    pieces = [piece(TANK, 300, 1600), piece(CHEST, 300, 975), piece(TANK, 1800, 1600, id="other")]
    one = written(tmp_path, sample_room([TANK, CHEST], pieces, name="One"))
    other = written(tmp_path, sample_room([CHEST, TANK], pieces[::-1], name="Other"))

    outputs = {
        run("check", "--json", one, PYTHONHASHSEED="1")[1],
        run("check", "--json", other, PYTHONHASHSEED="2", LC_ALL="C", PYTHONUTF8="0")[1].replace("Other", "One"),
    }

    assert len(outputs) == 1


def test_a_file_that_cannot_be_used_ends_in_2_and_the_others_are_still_checked(tmp_path: Path, tight: str) -> None:
    broken = tmp_path / "broken.json"
    broken.write_text('{"format": "elbowroom-room"')

    status, told, complaint = run("check", str(broken), tight, str(tmp_path / "nothing.json"))

    assert status == 2
    assert told.startswith("Tight\n")
    assert re.search(r"broken\.json: The file is not JSON: line 1, column \d+", complaint)
    assert "nothing.json: The file cannot be opened: no such file or directory." in complaint
    assert "Traceback" not in complaint


def test_json_keeps_the_place_of_a_file_that_cannot_be_used(tmp_path: Path, tight: str) -> None:
    status, told, _ = run("check", "--json", str(tmp_path / "nothing.json"), tight)
    missing, result = json.loads(told)

    assert status == 2
    assert missing == {
        "file": str(tmp_path / "nothing.json"),
        "error": "The file cannot be opened: no such file or directory.",
    }
    assert result["room"] == "Tight"


def test_the_schema_is_the_published_one() -> None:
    """After a wanted change of the format: python -m server schema > tests/expected/room.schema.json"""
    status, told, _ = run("schema")

    assert status == 0
    assert told == SCHEMA.read_text(encoding="utf-8")


def test_the_schema_lists_every_key_of_a_room_file_by_the_name_in_the_file() -> None:
    schema = json.loads(SCHEMA.read_text(encoding="utf-8"))

    assert schema["required"] == ["format", "format_version", "name", "outline_mm"]
    assert schema["additionalProperties"] is False
    assert "from" in schema["$defs"]["Pipe"]["properties"]


def test_a_discharge_sum_shows_its_working_and_source() -> None:
    """Sizes and lengths: Approved Document G (2010), table 3.1: G1/2 valve, 22 mm to 9 m, 28 mm to 18 m."""
    status, told, _ = run("sum", "discharge", "--outlet", "G1/2", "--length-m", "7", "--bends", "4")

    assert status == 0
    assert "22 mm: 7.0 m + 4 × 0.8 m = 10.2 m, more than 9 m" in told
    assert "28 mm carries it" in told
    assert "table 3.1" in told


def test_a_sum_as_json_gives_inputs_result_working_and_source() -> None:
    status, told, _ = run("sum", "discharge", "--outlet", "G1/2", "--length-m", "7", "--bends", "4", "--json")
    report = json.loads(told)

    assert status == 0
    assert list(report) == ["sum", "inputs", "result", "working", "source"]
    assert report["result"]["size_mm"] == 28


@pytest.mark.parametrize(
    ("figures", "told"),
    [
        (["--outlet", "G2", "--length-m", "7", "--bends", "4"], "cannot be G2. It is one of G1/2, G3/4, G1."),
        (["--outlet", "G1/2", "--length-m", "long", "--bends", "4"], "'long' is none."),
        (["--outlet", "G1/2", "--length-m", "7", "--bends", "1.5"], "1.5 is no whole number."),
        (["--outlet", "G1/2", "--length-m", "7"], "is missing: give it, for example 4."),
    ],
)
def test_a_sum_that_cannot_be_done_ends_in_2_and_a_sentence(figures: list[str], told: str) -> None:
    status, _, complaint = run("sum", "discharge", *figures)

    assert status == 2
    assert told in complaint
    assert "Traceback" not in complaint


def test_a_report_is_one_file_that_needs_no_other(tmp_path: Path, tight: str) -> None:
    out = tmp_path / "report.html"

    status, _, _ = run("report", tight, "-o", str(out))

    html = out.read_text(encoding="utf-8")
    assert status == 0
    assert "Tight" in html
    assert re.findall(r'(?:src|href)="(?!data:|#)[^"]*"|url\((?!["\']?(?:data:|#))', html) == []


def test_a_report_that_cannot_be_written_is_told_in_words(tmp_path: Path, tight: str) -> None:
    status, _, complaint = run("report", tight, "-o", str(tmp_path / "no" / "folder" / "report.html"))

    assert status == 2
    assert "cannot be written: no such file or directory." in complaint


def test_a_database_that_cannot_be_reached_ends_in_2_and_a_sentence() -> None:
    status, _, complaint = run("serve", "--database", "postgresql://nobody@127.0.0.1:1/nothing")

    assert status == 2
    assert "elbowroom: The rooms cannot be opened: " in complaint
    assert "Traceback" not in complaint


@pytest.mark.parametrize("command", [["frob"], ["check"], ["serve", "--data", "x", "--database", "sqlite://"]])
def test_a_command_that_makes_no_sense_shows_how_it_is_used(command: list[str]) -> None:
    status, _, complaint = run(*command)

    assert status == 2
    assert complaint.startswith("usage: elbowroom")


@pytest.mark.parametrize(
    ("given", "meant"),
    [
        ([], ["serve"]),
        (["--data", "rooms"], ["serve", "--data", "rooms"]),
        (["--port", "8100"], ["serve", "--port", "8100"]),
        (["serve", "--port", "8100"], ["serve", "--port", "8100"]),
        (["check", "room.json"], ["check", "room.json"]),
        (["--help"], ["--help"]),
    ],
)
def test_options_without_a_command_open_the_app(given: list[str], meant: list[str]) -> None:
    assert with_command(given) == meant


def test_bare_options_reach_the_app_and_its_complaints() -> None:
    """The address is that of a machine's own unused port 1: the answer shows that the app was asked to open."""
    status, _, complaint = run("--database", "postgresql://nobody@127.0.0.1:1/nothing")

    assert status == 2
    assert "elbowroom: The rooms cannot be opened: " in complaint


def test_the_app_opens_at_the_port_and_with_the_folder_of_bare_options(tmp_path: Path) -> None:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [sys.executable, "-m", "server", "--port", str(port), "--data", str(tmp_path)]

    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as app:
        assert app.stdout is not None
        told = app.stdout.readline()
        app.terminate()

    assert told.startswith(f"Elbowroom is open at http://127.0.0.1:{port} ")
    assert list(tmp_path.iterdir()) != []


def test_the_installed_command_does_the_same() -> None:
    installed = Path(sys.executable).with_name("elbowroom")

    done = subprocess.run([str(installed), "schema"], cwd=ROOT, capture_output=True, timeout=60)

    assert done.stdout.decode() == run("schema")[1]


@pytest.mark.parametrize("address", [("--port", "99999"), ("--port=-1",), ("--host", "no such host")])
def test_an_address_that_cannot_be_listened_on_is_told_before_anything_is_open(
    tmp_path: Path, address: tuple[str, ...]
) -> None:
    status, told, complaint = run("serve", "--data", str(tmp_path), *address)

    assert (status, told) == (2, "")
    assert complaint.startswith("elbowroom: ")
    assert "Traceback" not in complaint


def test_a_port_that_is_in_use_is_told(tmp_path: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        status, told, complaint = run("serve", "--data", str(tmp_path), "--port", str(taken.getsockname()[1]))

    assert (status, told) == (2, "")
    assert "cannot be used: address already in use" in complaint


def test_a_file_whose_name_is_no_text_is_told_in_a_sentence() -> None:
    status, _, complaint = run("check", os.fsdecode(b"\xff.json"))

    assert status == 2
    assert "The file cannot be opened: no such file or directory." in complaint
