"""From a note about a pipe, or from the drawing, to the form of its outlet."""

from playwright.sync_api import Page, expect

from geometry.reading import read_room
from tests.browser.hands import new_bench
from tests.browser.test_opened_notes import BOOT_ROOM
from tests.server.test_pipes_by_hand import PIPE, the_room

IN_CARD = """(id) => {
  const card = document.querySelector(".card").getBoundingClientRect();
  const part = document.getElementById(id).getBoundingClientRect();
  return card.top <= part.top && part.bottom <= card.bottom;
}"""


def test_change_its_pipe_or_outlet_leads_to_the_pipe_on_the_label_with_its_outlets_height(
    page: Page, server_url: str
) -> None:
    page.set_viewport_size({"width": 1440, "height": 900})
    bench = new_bench(page, server_url, read_room(BOOT_ROOM.read_bytes()))
    page.locator('.note[data-finding="discharge"] h3 a').first.click()
    page.locator("#note-pipe").click()

    expect(page.locator("#pipe-part")).to_be_focused()
    assert page.evaluate(IN_CARD, "pipe-part")
    level = page.locator('.card [name="level_mm"]').first
    expect(level).to_be_visible()
    level.fill("120")
    page.get_by_role("button", name="Write the outlet down").first.click()
    bench.layout_is(2)
    assert 120 in [outlet["level_mm"] for outlet in bench.saved()["outlets"]]


def test_an_outlet_on_the_drawing_opens_its_form_with_the_mouse_and_with_the_keyboard(
    page: Page, server_url: str
) -> None:
    page.set_viewport_size({"width": 1440, "height": 900})
    bench = new_bench(page, server_url, the_room(pipes=[PIPE]))
    x, y = bench.saved()["outlets"][0]["at_mm"]
    page.mouse.click(*bench.on_screen(x, y))
    page.wait_for_url("**/parts?card=outlets-o1*")
    expect(page.locator("#card-outlets-o1")).to_have_attribute("open", "")

    bench.open()
    page.locator("#outlets .outlet-link").first.focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/parts?card=outlets-o1*")
