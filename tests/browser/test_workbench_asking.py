"""Swapping a piece, writing figures and answering questions in a real browser, by mouse and by keyboard alone."""

from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from geometry.room import Room
from geometry.samples import box_kit, piece, sample_room
from tests.browser.hands import SIZES, Bench, new_bench

FRONT = [{"side": "front", "mm": 600}]
SMALL = box_kit("tank-small", 600, 400, 800, dry_kg=40, group="tanks", space=FRONT)
DEEP = box_kit("tank-deep", 600, 700, 900, dry_kg=45, group="tanks", space=FRONT)
SHELVING = box_kit("shelf-unit", 600, 300, 400, name="Shelving", dry_kg=20)
WCAG = {"runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]}


def a_room() -> Room:
    pieces = [piece(SMALL, 1000, 1600, id="p1"), piece(SHELVING, 1000, 500, id="p2")]
    return sample_room([SMALL, DEEP, SHELVING], pieces, system="sealed heating", name="Boot room")


def opened(page: Page, server_url: str, size: str = "desk") -> Bench:
    page.set_viewport_size(dict(zip(("width", "height"), SIZES[size], strict=True)))  # type: ignore[arg-type]
    return new_bench(page, server_url, a_room()).open("?piece=p1")


def faults(page: Page) -> list[Any]:
    found = Axe().run(page, options=WCAG)
    return [(fault["id"], fault["nodes"][0]["html"][:200]) for fault in found.response["violations"]]


@pytest.mark.parametrize("size", ["desk", "phone"])
def test_a_kind_is_swapped_shows_what_changed_and_is_put_back(page: Page, server_url: str, size: str) -> None:
    bench = opened(page, server_url, size)
    page.get_by_text("Swap for another kind").click()
    page.locator(".kinds button", has_text="Tank-deep").click()
    bench.layout_is(2)

    expect(page.locator("#swapped h3")).to_have_text("Tank-deep in place of Tank-small")
    expect(page.locator("#swapped")).to_contain_text("Opened: 1")
    expect(page.locator("#swapped")).to_contain_text("Tank-deep needs 600 mm in front")
    assert bench.piece("p1")["at_mm"] == [1000, 1450]

    page.get_by_role("button", name="Put the old one back").click()
    bench.layout_is(3)
    expect(page.locator("#swapped")).to_have_count(0)
    assert bench.piece("p1") == {"id": "p1", "kit": "tank-small", "at_mm": [1000, 1600]}


def test_a_kind_is_searched_and_swapped_by_keyboard_alone(page: Page, server_url: str) -> None:
    bench = opened(page, server_url)
    page.locator("#swap > summary").focus()
    page.keyboard.press("Enter")
    page.wait_for_selector("#kinds-search")
    for _ in range(4):
        if page.evaluate("() => document.activeElement.id") == "kinds-search":
            break
        page.keyboard.press("Tab")
    page.keyboard.type("buffer 50")
    page.wait_for_selector("#kinds-found [value=buffer-50]", state="attached")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    bench.layout_is(2)

    assert bench.piece("p1")["kit"] == "buffer-50"
    expect(page.locator("#swap-back")).to_be_focused()
    page.keyboard.press("Enter")
    bench.layout_is(3)
    expect(page.locator("#swap > summary")).to_be_focused()


def test_a_question_is_answered_in_place_and_what_cannot_be_loses_nothing(
    page: Page, server_url: str, browser_errors: list[str]
) -> None:
    bench = opened(page, server_url)
    page.get_by_text("How many litres").click()
    page.get_by_label("The system holds, L").fill("plenty")
    page.locator(".ask[open] button", has_text="Write it down").click()
    expect(page.locator("#message")).to_contain_text("“plenty” is not a number")
    expect(page.get_by_label("The system holds, L")).to_have_value("plenty")

    page.get_by_label("The system holds, L").fill("120")
    page.locator(".ask[open] button", has_text="Write it down").click()
    bench.layout_is(2)
    assert bench.saved()["heating"]["system_l"] == 120
    expect(page.locator("#questions > summary")).to_be_focused()
    browser_errors.clear()  # the refused form


def test_an_answer_in_writing_stands_in_the_list(page: Page, server_url: str) -> None:
    bench = opened(page, server_url)
    page.get_by_text("manual been read").click()
    page.get_by_label("What was found, or who said what").fill("Both read on the maker's sheet.")
    page.get_by_label("Name", exact=True).fill("A. Fitter")
    page.get_by_role("button", name="Write the answer down").click()
    bench.layout_is(2)

    expect(page.locator("#questions-list .agreed-by").first).to_contain_text("Answered by A. Fitter on")


@pytest.mark.parametrize("size", SIZES)
def test_kinds_questions_and_what_a_swap_changed_meet_the_rules_for_access(
    page: Page, server_url: str, size: str
) -> None:
    opened(page, server_url, size)
    questions = page.locator("#questions")
    if questions.get_attribute("open") is None:
        questions.locator("> summary").click()
    page.get_by_text("How many litres").click()
    page.wait_for_selector(".ask[open] textarea")
    page.get_by_text("Swap for another kind").click()
    page.wait_for_selector("#kinds-search")
    choosing = faults(page)
    page.locator(".kinds button", has_text="Tank-deep").click()
    page.wait_for_selector("#swapped")

    assert choosing == []
    assert faults(page) == []
