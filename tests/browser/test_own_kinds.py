"""Own kinds of kit in a real browser: sizes typed into the search, points placed by mouse, finger and key."""

import re

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.hands import SIZES, Bench, a_room, new_bench
from tests.browser.rules import faults, touch_page

SPOT = """([left, up]) => {
  const svg = document.getElementById("own-drawing");
  const { scale, left: x0, foot } = svg.dataset;
  const at = new DOMPoint(Number(x0) + left * scale, foot - up * scale).matrixTransform(svg.getScreenCTM());
  return [at.x, at.y];
}"""


@pytest.fixture
def bench(page: Page, server_url: str) -> Bench:
    page.set_viewport_size({"width": 1440, "height": 900})
    return new_bench(page, server_url, a_room())


def begin(bench: Bench, name: str) -> None:
    """The form opened from the shelf, with the sizes of a box in it and one access point to place."""
    bench.page.get_by_role("link", name="Your own from its manual").click()
    for label, text in (("Name", name), ("Manual and page", "manual p. 9"), ("Width, mm", "500"), ("Depth, mm", "400")):
        bench.page.get_by_label(label, exact=True).fill(text)
    bench.page.get_by_label("Height, mm", exact=True).fill("900")
    bench.page.get_by_role("button", name="An access point", exact=True).click()
    bench.page.locator("#a0_name").fill("drain cock")
    bench.page.locator("#own-drawing").wait_for()


def place(bench: Bench) -> tuple[float, float]:
    return float(bench.page.locator("#a0_left").input_value()), float(bench.page.locator("#a0_up").input_value())


def test_a_search_with_a_size_shows_what_keeps_it_and_says_what_was_understood(bench: Bench) -> None:
    search = bench.page.get_by_label("Search the shelf")
    search.fill("cylinder no wider than 550")

    expect(bench.page.locator("#shelf-sizes")).to_have_text(re.compile(r"^\d+ on the shelf, at most 550 mm wide\.$"))
    expect(bench.page.locator('[data-kit="unvented-cylinder-210"]')).to_be_visible()
    shown = bench.page.eval_on_selector_all(
        ".shelf-item:not([hidden])", "all => all.map((one) => JSON.parse(one.dataset.sizes).wide)"
    )
    assert len(shown) > 0 and max(shown) <= 550

    search.fill("boiler under 10 wide")
    expect(bench.page.get_by_role("link", name="Make one of your own from its manual")).to_be_visible()
    search.fill("")
    expect(bench.page.locator("#shelf-sizes")).to_be_empty()


def test_a_point_is_placed_by_a_press_and_moved_by_keys_and_the_kind_stands_on_the_shelf_of_the_room(
    bench: Bench,
) -> None:
    begin(bench, "Our tank")
    bench.page.mouse.click(*bench.page.evaluate(SPOT, [120, 300]))
    expect(bench.page.locator('#own-drawing .spot.held[data-row="a0"]')).to_be_visible()
    assert place(bench) == pytest.approx((120, 300), abs=6)

    before = place(bench)
    bench.page.locator("#own-face").focus()
    for key in ("ArrowRight", "Shift+ArrowUp", "Alt+ArrowLeft"):
        bench.page.keyboard.press(key)
    assert place(bench) == (before[0] + 5 - 1, before[1] + 50)

    bench.page.get_by_role("button", name="Keep it, and put it into this room").click()
    bench.page.wait_for_selector("#workbench[data-ready]")
    kit = bench.saved()["kit"][-1]
    assert (kit["name"], kit["access"][0]["name"]) == ("Our tank", "drain cock")
    assert kit["access"][0]["at_mm"] == [before[0] + 4 - 250, -200, before[1] + 50]

    bench.page.locator(f'[data-kit="{kit["key"]}"]').focus()
    bench.page.keyboard.press("Enter")
    bench.layout_is(3)
    assert bench.piece("p1")["kit"] == kit["key"]


def test_a_finger_places_a_point_on_a_phone(browser: Browser, server_url: str, browser_errors: list[str]) -> None:
    page = touch_page(browser, "phone", browser_errors)
    bench = new_bench(page, server_url, a_room())
    begin(bench, "Pocket tank")
    page.get_by_role("link", name="To the drawing, to place it").tap()
    page.touchscreen.tap(*page.evaluate(SPOT, [400, 800]))

    expect(page.locator("#own-drawing .spot.held")).to_be_visible()
    assert place(bench) == pytest.approx((400, 800), abs=10)
    assert page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth")
    assert browser_errors == []
    page.context.close()


@pytest.mark.parametrize("size", SIZES)
def test_the_form_and_the_list_meet_the_rules_for_access(
    page: Page, server_url: str, size: str, browser_errors: list[str]
) -> None:
    width, height = SIZES[size]
    page.set_viewport_size({"width": width, "height": height})
    bench = new_bench(page, server_url, a_room())
    begin(bench, f"Tank of a {size}")
    page.get_by_role("button", name="Something that sticks out", exact=True).click()
    page.locator("#s0_what").wait_for()
    assert faults(page) == []

    page.get_by_role("button", name="Keep it, and put it into this room").click()
    expect(page.locator(".trouble[role=alert]")).to_contain_text("to look at again")
    assert faults(page) == []
    assert page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth")

    page.goto(f"{server_url}/own-kinds?room={bench.url.rpartition('/')[2]}")
    assert faults(page) == []
    assert [text for text in browser_errors if "422" not in text] == []
    browser_errors.clear()
