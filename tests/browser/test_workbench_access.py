"""The workbench against the rules for access that a machine can check: WCAG 2.2, A and AA, by axe-core."""

from collections.abc import Callable

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests.browser.hands import NEAR_Y, NOTE, SIZES, Bench, a_room, new_bench

WCAG = {"runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]}


def faults(page: Page) -> list[tuple[str, str]]:
    found = Axe().run(page, options=WCAG)
    return [(fault["id"], fault["nodes"][0]["html"][:200]) for fault in found.response["violations"]]


def pick_the_boiler(bench: Bench) -> None:
    bench.open("?piece=boiler").page.wait_for_selector(".card")


def nothing(bench: Bench) -> None:
    """The page as it opens."""


def a_piece(bench: Bench) -> None:
    pick_the_boiler(bench)


def the_other_side(bench: Bench) -> None:
    pick_the_boiler(bench)
    bench.page.get_by_text("More", exact=True).click()


def a_note(bench: Bench) -> None:
    bench.page.locator(f"{NOTE} h3 a").click()
    bench.page.get_by_text("Accept, in writing").click()


def an_error(bench: Bench) -> None:
    the_other_side(bench)
    bench.page.get_by_label("Its back, from the back wall").fill("wide")
    bench.page.get_by_role("button", name="Put it there").click()
    bench.page.wait_for_selector("#message .trouble")


STATES: list[Callable[[Bench], None]] = [nothing, a_piece, the_other_side, a_note, an_error]


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("state", STATES, ids=lambda state: state.__name__)
def test_the_workbench_meets_the_rules_for_access(
    page: Page, server_url: str, browser_errors: list[str], size: str, state: Callable[[Bench], None]
) -> None:
    width, height = SIZES[size]
    page.set_viewport_size({"width": width, "height": height})
    bench = new_bench(page, server_url, a_room(NEAR_Y))
    state(bench)

    assert faults(page) == []
    assert [text for text in browser_errors if "422" not in text] == []
    browser_errors.clear()


def test_at_400_per_cent_the_page_is_that_of_a_phone(page: Page, server_url: str) -> None:
    """WCAG 2.2, 1.4.10 Reflow: 1,280 px at 400 % are 320 CSS px."""
    page.set_viewport_size({"width": 320, "height": 256})
    new_bench(page, server_url, a_room(NEAR_Y))

    assert page.locator(".bench.phone").is_visible()
    assert page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth")
