"""Notes sorted and sifted, and everything shown at once, in a real browser: by mouse, by key and by finger."""

import re

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.hands import AWAY_Y, NEAR_Y, NOTE, Bench, a_room, new_bench
from tests.browser.rules import faults, touch_page


@pytest.fixture
def bench(page: Page, server_url: str) -> Bench:
    page.set_viewport_size({"width": 1440, "height": 900})
    return new_bench(page, server_url, a_room(NEAR_Y))


def sifting(bench: Bench) -> None:
    bench.page.get_by_text("Sort and sift").click()


def numbers(bench: Bench) -> list[str]:
    shown: list[str] = bench.page.eval_on_selector_all(
        ".note", "all => all.filter((one) => one.checkVisibility()).map((one) => one.dataset.number)"
    )
    return shown


def test_notes_stand_by_piece_or_by_check_with_their_numbers_and_that_is_kept(bench: Bench) -> None:
    before = numbers(bench)
    sifting(bench)
    bench.page.get_by_label("Notes stand").select_option("by piece")
    expect(bench.page.locator(".note-group h3").first).to_have_text("Boiler")
    assert sorted(numbers(bench)) == sorted(before)
    assert faults(bench.page) == []

    bench.open()
    sifting(bench)
    expect(bench.page.get_by_label("Notes stand")).to_have_value("piece")
    bench.page.get_by_label("Notes stand").select_option("by check")
    expect(bench.page.locator(".note-group h3").first).to_have_text("Not enough room to work")


def test_a_verdict_or_words_leave_the_rest_unseen_in_list_and_drawing_and_the_count_follows(bench: Bench) -> None:
    sifting(bench)
    bench.page.get_by_label("put right", exact=True).uncheck()
    expect(bench.page.locator(NOTE)).to_be_hidden()
    expect(bench.page.locator('#marks .pin[data-number="1"]').first).to_be_hidden()
    expect(bench.page.locator("#sift-count")).to_have_text(re.compile(r"^, \d+ of \d+ shown$"))

    bench.page.get_by_label("put right", exact=True).check()
    bench.page.get_by_label("With the words").fill("shelving leaves")
    expect(bench.page.locator(NOTE)).to_be_visible()
    assert numbers(bench) == ["1"]
    bench.page.get_by_label("With the words").fill("")
    expect(bench.page.locator("#sift-count")).to_be_empty()


def test_what_is_sifted_stays_so_while_a_piece_is_dragged_and_after_it_is_saved(bench: Bench) -> None:
    sifting(bench)
    bench.page.get_by_label("With the words").fill("nothing like it")
    expect(bench.page.locator(NOTE)).to_be_hidden()
    with bench.held((1000, NEAR_Y)):
        bench.carry(1000, AWAY_Y)
        expect(bench.page.locator(NOTE)).to_have_count(0)
        bench.carry(1000, NEAR_Y + 50)
        expect(bench.page.locator(NOTE)).to_have_count(1)
        expect(bench.page.locator(NOTE)).to_be_hidden()
    bench.layout_is(2)

    expect(bench.page.get_by_label("With the words")).to_have_value("nothing like it")
    expect(bench.page.locator(NOTE)).to_be_hidden()


def test_everything_follows_a_change_and_goes_again(bench: Bench) -> None:
    spaces = bench.page.locator("#everything .space")
    bench.page.keyboard.press("e")
    expect(spaces).not_to_have_count(0)
    before = bench.page.locator("#everything").inner_html()
    with bench.held((1000, NEAR_Y)):
        bench.carry(1000, AWAY_Y)
    with bench.held((1000, 1600)):
        bench.carry(1400, 1600)
    bench.layout_is(3)
    expect(spaces).not_to_have_count(0)
    bench.page.wait_for_function("(was) => document.getElementById('everything').innerHTML !== was", arg=before)

    bench.page.keyboard.press("e")
    expect(spaces).to_have_count(0)


def test_a_letter_that_is_written_shows_nothing(bench: Bench) -> None:
    bench.page.get_by_label("Search the shelf").press("e")

    expect(bench.page.locator("#everything path")).to_have_count(0)


def test_a_finger_sorts_sifts_and_shows_everything_on_a_phone(
    browser: Browser, server_url: str, browser_errors: list[str]
) -> None:
    bench = new_bench(touch_page(browser, "phone", browser_errors), server_url, a_room(NEAR_Y))
    bench.page.get_by_text("Show and hide").tap()
    bench.page.get_by_label("Every space, swing, way out and line of sight").tap()
    expect(bench.page.locator("#everything .space")).not_to_have_count(0)

    bench.page.get_by_text("Sort and sift").tap()
    bench.page.get_by_label("put right", exact=True).tap()
    expect(bench.page.locator(NOTE)).to_be_hidden()
    assert faults(bench.page) == []
    assert browser_errors == []
    bench.page.context.close()
