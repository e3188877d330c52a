"""The room part by part in a real browser: a card keeps what was typed, the drawing follows, axe agrees."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.hands import SIZES, a_room, new_bench
from tests.browser.rules import faults


@pytest.mark.parametrize("size", SIZES)
def test_boxing_is_added_from_the_workbench_by_number_and_undone_there(
    page: Page, server_url: str, size: str, browser_errors: list[str]
) -> None:
    width, height = SIZES[size]
    page.set_viewport_size({"width": width, "height": height})
    bench = new_bench(page, server_url, a_room())
    page.get_by_role("link", name="The room", exact=True).click()
    page.get_by_text("Add one", exact=True).click()
    card = page.locator(".part-card[open]")
    for label, text in (("What it is", "boxing"), ("Left corner to it", "0"), ("Width", "250"), ("Depth", "wide")):
        card.get_by_label(label).fill(text)
    card.get_by_role("button", name="Add it").click()

    expect(card.get_by_role("alert")).to_contain_text("“wide” is not a length for its depth")
    expect(card.get_by_label("What it is")).to_have_value("boxing")
    assert faults(page) == []
    assert page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth")

    card.get_by_label("Depth").fill("180")
    page.keyboard.press("Enter")
    expect(page.get_by_role("status")).to_have_text("Add boxing")
    assert [fixture["name"] for fixture in bench.saved()["fixtures"]] == ["boxing"]
    assert faults(page) == []

    page.get_by_role("link", name="Back to the workbench").click()
    page.wait_for_selector("#workbench[data-ready]")
    page.get_by_role("button", name="Undo: add boxing").click()
    bench.layout_is(3)
    assert "fixtures" not in bench.saved()
    assert [text for text in browser_errors if "422" not in text] == []
    browser_errors.clear()
