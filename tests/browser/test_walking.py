"""Walking the walls in a real browser: the drawing grows, Enter and Tab are enough, a phone has room, axe agrees."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from tests.browser.hands import SIZES
from tests.browser.rules import small_targets

WCAG = {"runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]}
L_SHAPE = ["3600", "1100", "2105", "1588", "1500", "2705"]


def faults(page: Page) -> list[tuple[str, str]]:
    found = Axe().run(page, options=WCAG)
    return [(fault["id"], fault["nodes"][0]["html"][:200]) for fault in found.response["violations"]]


def walk_an_l(page: Page, server_url: str, last: str = L_SHAPE[-1]) -> None:
    page.goto(f"{server_url}/measure/walls")
    for i, length in enumerate([*L_SHAPE[:-1], last]):
        if i > 3:
            page.get_by_role("button", name="Another wall").click()
            expect(page.locator(f"#w{i}_length")).to_be_focused()
        page.locator(f"#w{i}_length").fill(length)
        if i == 2:
            page.locator("#w2_turn").select_option("right")


def test_the_drawing_grows_with_every_wall(page: Page, server_url: str) -> None:
    page.goto(f"{server_url}/measure/walls")
    for count, length in enumerate(("2400", "1800"), 1):
        page.locator(f"#w{count - 1}_length").press_sequentially(length)
        expect(page.locator(".walk-drawing .walked")).to_have_count(count)

        expect(page.locator(f"#w{count - 1}_length")).to_be_focused()


def test_no_target_is_smaller_than_a_fingertip_on_a_phone(page: Page, server_url: str) -> None:
    page.set_viewport_size({"width": 390, "height": 844})
    walk_an_l(page, server_url)

    assert small_targets(page) == []


def test_an_l_that_misses_says_which_wall_and_one_mended_is_drawn(page: Page, server_url: str) -> None:
    walk_an_l(page, server_url)
    expect(page.locator(".walk-told")).to_contain_text("wall FA (2,705 mm written; 2,688 mm would close it)")

    page.locator("#w5_length").fill("2690")
    expect(page.locator(".walk-told")).to_have_count(0)
    page.get_by_role("button", name="Draw the room").click()
    page.wait_for_selector("#workbench[data-ready]")

    assert page.locator(".note[data-finding]").count() == 0


def test_enter_looks_at_it_and_leaves_the_page_where_it_is(page: Page, server_url: str) -> None:
    page.goto(f"{server_url}/measure/walls")
    page.locator("#w0_length").fill("2400")
    page.keyboard.press("Enter")

    expect(page.locator(".walk-drawing .walked")).to_have_count(1)
    expect(page.locator("#w0_length")).to_have_value("2400")
    assert page.url.endswith("/measure/walls")


def test_without_script_rows_are_added_and_the_room_is_drawn(page: Page, server_url: str) -> None:
    context = page.context.browser.new_context(java_script_enabled=False)  # type: ignore[union-attr]
    plain = context.new_page()
    plain.goto(f"{server_url}/measure/walls")
    plain.locator("#w0_length").fill("2400")
    plain.locator("#w1_length").fill("1800")
    plain.get_by_role("button", name="A window").click()
    plain.get_by_role("button", name="Draw the room").click()

    assert "/rooms/" in plain.url
    context.close()


@pytest.mark.parametrize("size", SIZES)
def test_the_pages_meet_the_rules_for_access_at_every_size(
    page: Page, server_url: str, size: str, browser_errors: list[str]
) -> None:
    page.set_viewport_size(dict(zip(("width", "height"), SIZES[size], strict=True)))  # type: ignore[arg-type]
    walk_an_l(page, server_url)
    expect(page.locator(".walk-told")).to_be_visible()
    walking = faults(page)
    page.get_by_role("button", name="Draw the room").click()
    page.wait_for_selector(".trouble")
    refused = faults(page)
    page.goto(f"{server_url}/measure")
    measuring = faults(page)

    assert (walking, refused, measuring) == ([], [], [])
    assert page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth")
    browser_errors[:] = [text for text in browser_errors if "422" not in text]


@pytest.mark.parametrize("size", SIZES)
def test_the_page_that_says_whether_it_fits_meets_them_too(page: Page, server_url: str, size: str) -> None:
    page.set_viewport_size(dict(zip(("width", "height"), SIZES[size], strict=True)))  # type: ignore[arg-type]
    page.goto(f"{server_url}/measure/walls")
    page.locator("#w0_length").fill("1150")
    page.locator("#w1_length").fill("700")
    page.get_by_text("System boiler").click()
    page.get_by_text("Cylinder, 150 L").click()
    page.get_by_role("button", name="Draw the room").click()
    page.wait_for_selector(".fit-lines")

    assert faults(page) == []
    assert page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth")
