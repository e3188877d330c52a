"""The customer's page of every demo room reads at the age of twelve (the grade formula of `test_customer`), and shows
no port, rule or number of the trade."""

import re

import pytest
from starlette.testclient import TestClient

from geometry.check import Finding
from geometry.checking import check_scene
from geometry.checks import CHECKS
from server.customer import customer_page
from tests.server.drawn import NAMES, demo
from tests.server.test_customer import GRADE, LONGEST_SENTENCE, TRADE_WORDS, grade, sentences_in, words_in

CODES = [check.id for check in CHECKS if "-" in check.id and check.id not in ("keep-free",)]


def findings_of(name: str) -> tuple[Finding, ...]:
    return check_scene(demo(name))


@pytest.mark.parametrize("name", NAMES)
def test_the_page_of_each_demo_room_reads_at_the_age_of_twelve(name: str) -> None:
    told = customer_page(demo(name), findings_of(name)).sentences

    assert grade(told) <= GRADE
    assert max(len(words_in(sentence)) for sentence in sentences_in(told)) <= LONGEST_SENTENCE


@pytest.mark.parametrize("name", NAMES)
def test_the_page_of_each_demo_room_shows_no_port_rule_or_code(client: TestClient, name: str) -> None:
    html = client.get(f"/rooms/{name}/customer").text
    main = html[html.index("<header") : html.index('id="agree"')]
    text = re.sub(r"<[^>]+>", " ", main)
    kit = demo(name).placed

    documents = {finding.source.document for finding in findings_of(name) if finding.source and finding.source.document}
    assert TRADE_WORDS.findall(text) == []
    assert [code for code in CODES if code in text] == []
    assert [document for document in documents if document.lower() in text.lower()] == []
    assert [item.id for item in kit if re.search(rf"\b{item.id}\b", text)] == []
    assert not re.search(r"\b\d+ ?(?:bar|kPa|m³/h|kN)\b", text)
