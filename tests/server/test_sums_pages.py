"""The page of every sum: its form, its working line by line, its source, and the command that does the same."""

import html
import json
import re
from collections.abc import Callable
from typing import Any

import pytest
from starlette.testclient import TestClient

from geometry.rules import rule_pack
from geometry.sums import SUMS
from server.main import main

EXAMPLES: dict[str, dict[str, str]] = {
    name: {field.name: field.example for field in chosen.fields if field.name != "round_mm"}
    for name, chosen in SUMS.items()
}
every_sum = pytest.mark.parametrize("name", list(SUMS))


def written(page: str) -> list[tuple[str, str, str]]:
    """Every line of the written sum: words, value, unit."""
    rows = re.findall(r'<tr class="\w+"><th scope="row">([^<]*)</th><td>([^<]*)</td><td>([^<]*)</td></tr>', page)
    return [(html.unescape(a), html.unescape(b), html.unescape(c)) for a, b, c in rows]


def answer(page: str) -> str:
    (told,) = re.findall(r'<p class="answer" role="status">([^<]*)</p>', page)
    return html.unescape(told)


Command = Callable[..., tuple[int, str, str]]


@pytest.fixture
def command(capsys: pytest.CaptureFixture[str]) -> Command:
    """The sum command: exit status, standard output and standard error."""

    def run(*arguments: str) -> tuple[int, str, str]:
        status = main(["sum", *arguments])
        return (status, *capsys.readouterr())

    return run


def options(given: dict[str, Any]) -> list[str]:
    return [part for name, value in given.items() for part in (f"--{name.replace('_', '-')}", str(value))]


@every_sum
def test_an_empty_sum_shows_a_blank_for_every_figure_and_no_working(client: TestClient, name: str) -> None:
    page = client.get(f"/sums/{name}").text

    assert set(re.findall(r'(?:input|select) name="(\w+)"', page)) == {*(f.name for f in SUMS[name].fields), "rules"}
    assert "Nothing worked out yet" in page
    assert written(page) == []


@every_sum
def test_the_page_writes_out_every_line_of_the_sum_and_its_answer(client: TestClient, name: str) -> None:
    worked = SUMS[name].work(EXAMPLES[name])

    page = client.get(f"/sums/{name}", params=EXAMPLES[name]).text

    assert written(page) == [(step.words, step.value, step.unit) for part in worked.parts for step in part.steps]
    assert len(written(page)) >= 3
    assert answer(page) == worked.answer


@every_sum
def test_the_page_says_where_the_figure_of_the_sum_comes_from(client: TestClient, name: str) -> None:
    figure = rule_pack("england").figure(SUMS[name].work(EXAMPLES[name]).figure)

    page = html.unescape(client.get(f"/sums/{name}", params=EXAMPLES[name]).text)

    assert figure.source.document in page
    assert f"({figure.source.standing})" in page


@every_sum
def test_the_page_says_what_the_sum_does_not_say(client: TestClient, name: str) -> None:
    page = html.unescape(client.get(f"/sums/{name}", params=EXAMPLES[name]).text)

    assert "What it does not say" in page
    assert SUMS[name].silent in page


def test_the_discharge_page_names_the_clause_of_drop_fall_and_distance(client: TestClient) -> None:
    """Approved Document G (2010): 3.54 for the 600 mm, 3.56 for the straight drop and the fall."""
    page = client.get("/sums/discharge", params=EXAMPLES["discharge"]).text

    assert all(name in page for name in ("Discharge valve to tundish.", "Discharge straight drop.", "Discharge fall."))
    assert all(clause in page for clause in ("3.54", "3.56"))


@pytest.mark.parametrize(("length_m", "fall"), [("0.2", "0"), ("0.3", "0"), ("0.31", "1"), ("4.3", "20")])
def test_the_fall_starts_below_the_straight_drop(client: TestClient, length_m: str, fall: str) -> None:
    """1 in 200 of what is left after 300 mm: 0, 0, 10 / 200 rounded up, 4,000 / 200."""
    page = client.get("/sums/discharge", params={"outlet": "G1/2", "length_m": length_m, "bends": "1"}).text

    assert f"then a fall of {fall} mm" in answer(page)


@every_sum
def test_a_figure_left_out_is_asked_for_by_name(client: TestClient, name: str) -> None:
    first, *_ = SUMS[name].fields
    given = {**EXAMPLES[name], first.name: "" if len(EXAMPLES[name]) > 1 else "x"}

    asked = client.get(f"/sums/{name}", params=given)

    assert asked.status_code == 422
    assert first.label in html.unescape(asked.text)


@every_sum
def test_the_command_answers_as_the_page_does_with_options_named_after_the_figures(command: Command, name: str) -> None:
    status, told, _ = command(name, *options(EXAMPLES[name]), "--json")

    assert status == 0
    assert json.loads(told) == SUMS[name].run(EXAMPLES[name])


@pytest.mark.parametrize(("line", "result"), [
    # Approved Document G 2010, worked example: 7 m and 4 bends need 28 mm, 11.0 m of 18 m
    ("discharge --outlet G1/2 --length-m 7 --bends 4", {"size_mm": 28, "equivalent_m": 11.0, "limit_m": 18}),
    # BS 5449 table as reprinted by makers: 100 litres, 3 bar, 1 bar: 10.9 litres
    ("vessel --system-l 100 --charge-bar 1.0 --valve-bar 3", {"litres": 10.9}),
    # square root of 1800² + 550²
    ("stand-up --height-mm 1800 --base-mm 550", {"needed_mm": 1882.153}),
    # 2 (√2 · 900 − 600)
    ("corner --first-mm 900 --second-mm 900 --width-mm 600", {"longest_mm": 1345.584}),
    # 300 kg × 9.81 on 0.3025 m²
    (
        "weight --dry-kg 50 --litres 250 --width-mm 550 --depth-mm 550",
        {"full_kg": 300.0, "kn": 2.943, "kn_m2": 9.729},
    ),
    # 265 kg × 9.81 on π / 4 × 0.55² m²
    ("weight --dry-kg 55 --litres 210 --round-mm 550", {"full_kg": 265.0, "kn": 2.6, "kn_m2": 10.942}),
    # training example: room-sealed, 24 kW to a room, 240 cm² high and low
    ("compartment-air --kw 24 --flue room-sealed --to room", {"high_cm2": 240.0, "low_cm2": 240.0}),
    # 45 mm for each metre
    ("condensate --length-m 3", {"drop_mm": 135.0}),
    # twice 13.6 mm
    ("air-gap --inlet-bore-mm 13.6", {"gap_mm": 27.2}),
])  # fmt: skip
def test_each_sum_is_asked_for_on_the_command_line_by_these_options(
    command: Command, line: str, result: dict[str, Any]
) -> None:
    status, told, _ = command(*line.split(), "--json")

    assert status == 0
    assert json.loads(told)["result"] == result


def test_without_json_the_command_prints_the_lines_the_answer_and_the_source(command: Command) -> None:
    _, told, _ = command("condensate", "--length-m", "2.4")

    assert told.splitlines() == [
        "Fall of a condensate pipe",
        "length of the pipe: 2.4 m",
        "fall for each metre, at least: 45 mm",
        "2.4 × 45: 108 mm",
        "Its end is 108 mm or more below its start, with no rise on the way.",
        "[Heating industry guidance on condensate pipes, as printed in makers' manuals (guidance)]",
    ]


def test_a_sum_that_cannot_be_done_ends_in_2_with_a_sentence(command: Command) -> None:
    status, told, complaint = command("vessel", "--system-l", "100", "--charge-bar", "2.9", "--valve-bar", "3")

    assert (status, told) == (2, "")
    assert complaint == "elbowroom: A charge of 2.9 bar leaves nothing under a 3 bar valve. Lower the charge.\n"


def test_under_the_scottish_pack_the_page_says_that_the_figure_is_england_s(client: TestClient) -> None:
    page = client.get("/sums/compartment-air", params={**EXAMPLES["compartment-air"], "rules": "scotland"}).text

    assert "England&#39;s figure." in page
