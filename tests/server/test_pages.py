import re

import pytest
from starlette.testclient import TestClient

from geometry.checks import CHECKS
from geometry.sums import SUMS
from server.cautions import CAUTIONS
from server.help_keys import HELP_KEYS, PIPE_KEYS

PAGES = ["/", "/measure", "/help", "/checks", "/sums", "/sums/discharge", "/nowhere"]
SUM = {"outlet": "G1/2", "length_m": "7.4", "bends": "4"}


@pytest.mark.parametrize("path", PAGES)
def test_every_page_has_one_heading_a_title_a_language_and_a_way_past_its_head(client: TestClient, path: str) -> None:
    page = client.get(path).text

    assert page.count("<h1>") == 1
    assert re.search(r"<title>[^<]*Elbowroom[^<]*</title>", page)
    assert '<html lang="en-GB">' in page
    assert 'class="skip"' in page


@pytest.mark.parametrize("path", PAGES)
def test_no_page_carries_a_style_a_script_or_a_handler_of_its_own(client: TestClient, path: str) -> None:
    page = client.get(path).text

    assert re.findall(r"<style|style=|<script(?![^>]*src=)|\son\w+=|hx-on|javascript:", page) == []


@pytest.mark.parametrize("path", PAGES)
def test_every_link_of_a_page_leads_somewhere(client: TestClient, path: str) -> None:
    page = client.get(path).text
    links = set(re.findall(r'(?:href|src|action)="(/[^"]*)"', page))

    assert {link: client.get(link).status_code for link in links if not link.startswith("/rooms")} == {
        link: 200 for link in links if not link.startswith("/rooms")
    }


def test_help_shows_every_key_every_verdict_and_every_caution(client: TestClient) -> None:
    page = client.get("/help").text

    assert all(key.does in page for key in (*HELP_KEYS, *PIPE_KEYS))
    assert all(words in page for words in ("put right", "look again", "not checked", "no fault found"))
    assert all(f"<dt>{caution.about}</dt>" in page for caution in CAUTIONS)


def test_the_usual_cautions_are_all_there() -> None:
    told = " ".join(f"{caution.about} {caution.text}" for caution in CAUTIONS).lower()

    assert all(word in told for word in ("gas", "unvented", "electric", "scald", "weigh", "structur", "legionella"))


def test_the_checks_page_shows_each_check_with_reason_source_and_standing(client: TestClient) -> None:
    page = client.get("/checks").text
    shown = re.findall(r'<li id="([\w-]+)">', page)

    assert shown == [check.id for check in CHECKS]
    assert page.count('<p class="src">') == len(CHECKS)


def test_the_checks_page_shows_where_each_figure_comes_from(client: TestClient) -> None:
    page = client.get("/checks").text

    assert "Figures for England" in page
    assert "Discharge valve to tundish" in page
    assert "Approved Document G" in page


def test_the_sums_page_leads_to_every_sum(client: TestClient) -> None:
    page = client.get("/sums").text

    assert all(f'href="/sums/{name}"' in page for name in SUMS)


def test_a_sum_is_written_out_line_by_line(client: TestClient) -> None:
    """Table 3.1 of Approved Document G (2010): G1/2, 15 mm to the tundish; from it 22 mm to 9 m, 0.8 m a bend; 28 mm
    to 18 m, 1.0 m a bend. Clauses 3.54 and 3.56: at most 600 mm to the tundish; 300 mm straight down below it, then
    1 in 200: 7,100 / 200 = 35.5, so 36 mm.
    """
    page = client.get("/sums/discharge", params=SUM).text
    lines = re.findall(r'<th scope="row">([^<]*)</th><td>([^<]*)</td>', page)

    assert lines == [
        ("outlet of the valve G1/2, pipe to the tundish (D1), at least", "15"),
        ("length of that pipe, at most", "600"),
        ("4 bends × 0.8", "3.20"),
        ("straight pipe", "7.40"),
        ("counted length", "10.60"),
        ("22 mm may carry up to", "9.00"),
        ("too long by", "1.60"),
        ("4 bends × 1.0", "4.00"),
        ("straight pipe", "7.40"),
        ("counted length", "11.40"),
        ("28 mm may carry up to", "18.00"),
        ("spare", "6.60"),
        ("straight down from the tundish before any bend, at least", "300"),
        ("fall of 1 in 200 after that: 7,100 ÷ 200", "36"),
        ("the end lies below the tundish by at least", "336"),
    ]
    assert (
        "Use 15 mm from the valve to the tundish, then 28 mm copper: 300 mm straight down, then a fall of 36 mm" in page
    )
    assert "table 3.1" in page


def test_a_sum_outside_its_table_gives_no_size(client: TestClient) -> None:
    page = client.get("/sums/discharge", params={**SUM, "length_m": "99"}).text

    assert "No size in the table carries it" in page
    assert "Use " not in page


@pytest.mark.parametrize(
    ("slip", "told"),
    [
        ({"length_m": "long"}, "Length from the tundish to the end of the pipe is a number in metres"),
        ({"length_m": "-1"}, "-1 is not"),
        ({"length_m": "inf"}, "is a number in metres: "),
        ({"bends": "1.5"}, "1.5 is no whole number"),
        ({"bends": ""}, "is missing"),
        ({"outlet": "G9"}, "cannot be G9"),
        ({"rules": "../england"}, "There is no rule pack called ../england."),
    ],
)
def test_a_figure_that_cannot_be_gets_a_sentence_and_keeps_the_rest(
    client: TestClient, slip: dict[str, str], told: str
) -> None:
    answer = client.get("/sums/discharge", params={**SUM, **slip})

    assert answer.status_code == 422
    assert told in answer.text
    assert 'value="4"' in answer.text or "bends" in slip


def test_an_unknown_sum_names_those_there_are(client: TestClient) -> None:
    answer = client.get("/sums/nothing")

    assert answer.status_code == 404
    assert "The sums are: discharge" in answer.text


def test_the_checks_say_which_text_was_read_in_reprints(client: TestClient) -> None:
    page = client.get("/checks").text

    assert page.count("Figures of the 2010 text, read in reprints: check the edition in force.") == 1
