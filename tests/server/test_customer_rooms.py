"""The customer's page of every demo room reads at the age of twelve (the grade formula of `test_customer`), and shows
no port, rule or number of the trade."""

import re
from functools import cache

from starlette.testclient import TestClient

from geometry.check import Finding
from geometry.checking import check_scene
from geometry.checks import CHECKS
from server.customer import CustomerPage, customer_page
from server.customer_names import everyday_name, several
from tests.server.drawn import demo, every_demo_room
from tests.server.test_customer import GRADE, LONGEST_SENTENCE, TRADE_WORDS, grade, sentences_in, words_in

CODES = [check.id for check in CHECKS if "-" in check.id and check.id not in ("keep-free",)]
FIRST_WORD_SMALL = re.compile(r"(?:^|[.?!] )[a-z]")


@cache
def findings_of(name: str) -> tuple[Finding, ...]:
    return check_scene(demo(name))


@cache
def page_of(name: str) -> CustomerPage:
    return customer_page(demo(name), findings_of(name), corner=0)


@every_demo_room
def test_the_page_of_each_demo_room_reads_at_the_age_of_twelve(name: str) -> None:
    told = page_of(name).sentences

    assert grade(told) <= GRADE
    assert [s for s in sentences_in(told) if len(words_in(s)) > LONGEST_SENTENCE] == []


@every_demo_room
def test_every_sentence_of_each_demo_room_starts_with_a_capital_and_ends_with_a_stop(name: str) -> None:
    told = [*page_of(name).sentences, *page_of(name).accepted]

    assert [sentence for sentence in told if FIRST_WORD_SMALL.search(sentence)] == []
    assert [sentence for sentence in told if not sentence.endswith((".", "?"))] == []


@every_demo_room
def test_every_piece_of_each_demo_room_is_told_under_the_picture_of_a_wall(name: str) -> None:
    told = " ".join(flat.told for flat in page_of(name).flat[1:]).lower()

    heads = {everyday_name(item) for item in demo(name).placed}
    assert [head for head in heads if head not in told and several(head) not in told] == []


@every_demo_room
def test_the_page_of_each_demo_room_shows_no_port_rule_or_code(client: TestClient, name: str) -> None:
    html = client.get(f"/rooms/{name}/customer?corner=0").text
    main = html[html.index("<header") : html.index('id="agree"')]
    text = re.sub(r"<[^>]+>", " ", main)
    kit = demo(name).placed

    ports = {f"{port.name} {port.size_mm:g}" for item in kit for port in item.kit.port}
    documents = {finding.source.document for finding in findings_of(name) if finding.source and finding.source.document}
    assert TRADE_WORDS.findall(text) == []
    assert [code for code in CODES if code in text] == []
    assert [port for port in ports if port in text.lower()] == []
    assert [document for document in documents if document.lower() in text.lower()] == []
    assert [item.id for item in kit if re.search(rf"\b{item.id}\b", text)] == []
    assert not re.search(r"\b\d+ ?(?:bar|kPa|m³/h|kN)\b", text)
