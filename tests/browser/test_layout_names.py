"""A layout gets a name in the list of layouts, with a finger on a pocket screen, and every page tells it."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, expect

from tests.browser.hands import Bench, a_room, new_bench
from tests.browser.rules import faults, pocket_page, small_targets

NAME = "Cylinder in the corner, vessel on the back wall, second idea"
"""As long as a name may be: 60 letters."""


@pytest.fixture
def bench(browser: Browser, server_url: str, browser_errors: list[str]) -> Iterator[Bench]:
    bench = new_bench(pocket_page(browser, browser_errors), server_url, a_room())
    yield bench
    bench.page.context.close()


def name_it(bench: Bench, name: str) -> None:
    """From the workbench, by the number of the layout, to its blank in the list."""
    bench.page.get_by_role("link", name="layout 1").tap()
    bench.page.locator("#layout-1 summary").tap()
    bench.page.get_by_label("Its name, which the customer reads too").fill(name)
    assert faults(bench.page) == []
    assert small_targets(bench.page) == []
    bench.page.get_by_role("button", name="Call it so").tap()


def test_a_layout_is_named_and_the_name_taken_away_again(bench: Bench, browser_errors: list[str]) -> None:
    name_it(bench, NAME)
    expect(bench.page.locator("#layout-1 .layout-name")).to_have_text(f"“{NAME}”")
    bench.page.get_by_role("link", name="Back to the drawing").tap()
    expect(bench.page.locator(".called")).to_have_text(f"“{NAME}”")
    bench.layout_is(1)
    assert bench.page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth")

    bench.page.get_by_role("link", name="layout 1").tap()
    bench.page.locator("#layout-1 summary").tap()
    bench.page.get_by_role("button", name="Take its name away").tap()
    expect(bench.page.locator(".layout-name")).to_have_count(0)
    assert browser_errors == []


def test_a_name_goes_with_its_layout_and_not_with_the_next_one(bench: Bench) -> None:
    name_it(bench, "As measured")
    expect(bench.page.locator(".layout-name")).to_have_count(1)
    bench.open("?piece=boiler")
    bench.page.get_by_role("button", name="Turn", exact=True).tap()
    bench.layout_is(2)
    expect(bench.page.locator(".called")).to_have_count(0)

    bench.page.get_by_role("link", name="layout 2").tap()
    expect(bench.page.locator("#layout-1 .layout-name")).to_have_text("“As measured”")
    bench.page.get_by_role("link", name="Compare layout 1 “As measured” with layout 2").tap()
    expect(bench.page.get_by_role("heading", name="Layout 1 “As measured”")).to_be_visible()


def test_a_name_that_cannot_be_used_is_refused_in_words(bench: Bench, browser_errors: list[str]) -> None:
    name_it(bench, "up\u202eside")

    expect(bench.page.get_by_text("A layout has a name of at most 60 characters that can be printed.")).to_be_visible()
    assert [text for text in browser_errors if "422" not in text] == []
