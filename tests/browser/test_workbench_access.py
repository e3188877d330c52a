"""The workbench against the rules for access that a machine can check, in every state it can be in.

At the width of a phone every state is reached by finger, on a page that is told it is a pocket screen.
"""

from collections.abc import Callable, Iterator

import httpx
import pytest
from playwright.sync_api import Browser, Locator, Page

from geometry.reading import write_room
from geometry.samples import sample_room
from tests.browser.hands import NEAR_Y, NOTE, SIZES, Bench, a_room, new_bench
from tests.browser.rules import faults, pocket_page, touch_page

OTHER = sample_room([], [], name="Shed", outline_mm=[[0, 0], [1900, 0], [1900, 900], [0, 900]])
DROP = """(text) => {
  const data = new DataTransfer();
  data.items.add(new File([text], "room.json", { type: "application/json" }));
  document.body.dispatchEvent(new DragEvent("drop", { bubbles: true, cancelable: true, dataTransfer: data }));
}"""


class Hand:
    """Whatever presses things: a mouse, or a finger."""

    def __init__(self, bench: Bench, size: str) -> None:
        self.bench, self.page, self.size = bench, bench.page, size

    def press(self, what: Locator) -> None:
        what.scroll_into_view_if_needed()
        _ = what.tap() if self.size == "phone" else what.click()

    def text(self, words: str) -> None:
        self.press(self.page.get_by_text(words, exact=True))


def room_of(server_url: str) -> str:
    """The id of a room of its own."""
    sent = httpx.post(f"{server_url}/rooms", files={"file": ("room.json", write_room(a_room(NEAR_Y)).encode())})
    return sent.headers["location"].removeprefix("/rooms/")


def nothing(hand: Hand) -> None:
    """The page as it opens."""


def a_piece(hand: Hand) -> None:
    hand.press(hand.page.locator('[data-piece="boiler"]'))
    hand.page.wait_for_selector(".card")


def the_other_side(hand: Hand) -> None:
    hand.bench.open("?piece=boiler")
    hand.text("More")


def kinds_to_swap_for(hand: Hand) -> None:
    hand.bench.open("?piece=boiler")
    hand.text("Swap for another kind")
    hand.page.locator("#kinds-search").fill("boiler")
    hand.page.wait_for_selector("#kinds-found button")


def a_note(hand: Hand) -> None:
    hand.press(hand.page.locator(f"{NOTE} h3 a"))
    hand.page.wait_for_selector(".note.on button.do")


def a_note_to_accept(hand: Hand) -> None:
    a_note(hand)
    hand.text("Accept, in writing")


def a_question(hand: Hand) -> None:
    if not hand.page.locator("#questions").evaluate("(one) => one.open"):
        hand.press(hand.page.locator("#questions-head"))
    hand.page.wait_for_selector(".ask")
    hand.press(hand.page.locator(".ask > summary").first)
    hand.page.wait_for_selector(".ask form")


def sorted_and_sifted(hand: Hand) -> None:
    hand.text("Sort and sift")
    hand.press(hand.page.get_by_label("look again", exact=True))


def everything_shown(hand: Hand) -> None:
    hand.text("Show and hide")
    hand.press(hand.page.get_by_label("Every space, swing, way out and line of sight"))
    hand.page.wait_for_selector("#everything .space")


def a_size_that_nothing_keeps(hand: Hand) -> None:
    hand.page.get_by_label("Search the shelf").fill("boiler under 20 wide")
    hand.page.wait_for_selector(".shelf-none a")


def an_error(hand: Hand) -> None:
    the_other_side(hand)
    hand.page.get_by_label("Its back, from the back wall").fill("wide")
    hand.press(hand.page.get_by_role("button", name="Put it there"))
    hand.page.wait_for_selector("#message .trouble")


def two_sheets_that_met(hand: Hand) -> None:
    hand.bench.open("?piece=boiler")
    httpx.post(f"{hand.bench.url}/layouts", data={"do": "turn", "layout": 1, "piece": "boiler"})
    hand.press(hand.page.get_by_role("button", name="Turn", exact=True))
    hand.page.wait_for_selector("#message .two-ways")


def a_file_that_was_dropped(hand: Hand) -> None:
    hand.page.evaluate(DROP, write_room(OTHER))
    hand.page.wait_for_selector("#message .two-ways")


STATES: list[Callable[[Hand], None]] = [
    nothing, a_piece, the_other_side, kinds_to_swap_for, a_note, a_note_to_accept, a_question, sorted_and_sifted,
    everything_shown, a_size_that_nothing_keeps, an_error, a_file_that_was_dropped, two_sheets_that_met,
]  # fmt: skip
ON_A_TABLET = (a_piece, a_note_to_accept, a_question, sorted_and_sifted, an_error)
"""On a tablet only the places of things differ from those on a laptop: these states stand for the rest."""
WITH_THE_SHELF = (nothing, a_size_that_nothing_keeps)
"""States in which the shelf is looked at too: in all others it is as it was when the page opened."""


@pytest.fixture(params=SIZES)
def hand(
    request: pytest.FixtureRequest, browser: Browser, server_url: str, browser_errors: list[str]
) -> Iterator[Hand]:
    """A room of its own at one size: under a finger on a phone, else under a mouse."""
    size: str = request.param
    page = pocket_page(browser, browser_errors) if size == "phone" else touch_page(browser, size, browser_errors)
    yield Hand(new_bench(page, server_url, a_room(NEAR_Y)), size)
    page.context.close()


def test_the_workbench_meets_the_rules_for_access_in_every_state(hand: Hand, browser_errors: list[str]) -> None:
    found = {}
    for state in ON_A_TABLET if hand.size == "tablet" else STATES:
        hand.bench.open()
        state(hand)
        broken = faults(hand.page, () if state in WITH_THE_SHELF else ("#shelf",))
        if hand.page.evaluate("() => document.documentElement.scrollWidth > window.innerWidth"):
            broken.append(("wider than the window", ""))
        if broken:
            found[state.__name__] = broken

    assert found == {}
    assert [text for text in browser_errors if "422" not in text and "409" not in text] == []


@pytest.mark.parametrize(
    "path", ["/help", "/measure/walls", "/own-kinds", "/own-kinds/new", "parts", "kinds?piece=boiler"]
)
def test_the_pages_beside_it_meet_them_on_a_pocket_screen(
    browser: Browser, server_url: str, browser_errors: list[str], path: str
) -> None:
    page = pocket_page(browser, browser_errors)
    address = server_url + path if path.startswith("/") else f"{server_url}/rooms/{room_of(server_url)}/{path}"
    page.goto(address)
    for folded in page.locator("main details:not([open]) > summary").all()[:3]:
        folded.tap()

    assert faults(page) == []
    assert page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth")
    assert browser_errors == []
    page.context.close()


def test_at_400_per_cent_the_page_is_that_of_a_phone(page: Page, server_url: str) -> None:
    """WCAG 2.2, 1.4.10 Reflow: 1,280 px at 400 % are 320 CSS px."""
    page.set_viewport_size({"width": 320, "height": 256})
    new_bench(page, server_url, a_room(NEAR_Y))

    assert page.locator(".bench.phone").is_visible()
    assert page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth")
