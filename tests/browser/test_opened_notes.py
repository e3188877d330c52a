"""A note that is opened from the drawing lies where it can be read."""

from pathlib import Path

import pytest
from playwright.sync_api import Page

from geometry.reading import read_room
from tests.browser.hands import SIZES, Bench, new_bench

BOOT_ROOM = Path(__file__).parents[2] / "demo_rooms" / "boot-room.json"
TOP_IN_MARGIN = """() => {
  const margin = document.getElementById("margin").getBoundingClientRect();
  return document.querySelector(".note.on").getBoundingClientRect().top - margin.top;
}"""


@pytest.fixture
def bench(page: Page, server_url: str) -> Bench:
    page.set_viewport_size(dict(zip(("width", "height"), SIZES["desk"], strict=True)))
    return new_bench(page, server_url, read_room(BOOT_ROOM.read_bytes()))


def test_a_note_opened_from_the_plan_is_in_sight_though_the_margin_was_scrolled_to_its_questions(bench: Bench) -> None:
    page = bench.page
    page.evaluate("() => document.getElementById('margin').scrollTo(0, 1e6)")
    page.locator("#marks .pin").first.click()
    page.wait_for_selector(".note.on")
    height = page.evaluate("() => document.getElementById('margin').clientHeight")

    assert 0 <= page.evaluate(TOP_IN_MARGIN) < height - 100


def test_what_is_scrolled_to_afterwards_stays_while_the_note_is_open(bench: Bench) -> None:
    page = bench.page
    page.locator("#marks .pin").first.click()
    page.wait_for_selector(".note.on")
    page.evaluate("() => document.getElementById('margin').scrollTo(0, 1e6)")
    before = page.evaluate("() => document.getElementById('margin').scrollTop")
    page.locator("#kit [data-piece]").first.focus()
    page.keyboard.press("Enter")
    page.wait_for_selector(".card h2")

    assert before > 0
    assert page.evaluate("() => document.getElementById('margin').scrollTop") == before
