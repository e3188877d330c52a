"""The room turned in a real browser: drawn, turned by mouse, finger and key, and the pictures where it cannot be."""

from collections.abc import Iterator
from io import BytesIO

import httpx
import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.hands import SIZES
from tests.browser.rules import faults, pocket_page

ROOM = "/rooms/boot-room/customer"
INK = (29, 43, 56)
TURN, BACK = "Turn the room", "Back to the pictures"
STAYS = "The room cannot be turned here, so the pictures stay; opening this page again may help."
NO_WEBGL = """() => {
  const given = HTMLCanvasElement.prototype.getContext;
  HTMLCanvasElement.prototype.getContext = function (kind, ...more) {
    return kind.startsWith("webgl") ? null : given.call(this, kind, ...more);
  };
}"""


def turned(page: Page, address: str) -> Locator:
    """The canvas of a customer's page, once the room is drawn on it."""
    page.goto(address)
    page.get_by_role("button", name=TURN).click()
    canvas = page.locator("canvas[data-drawn]")
    canvas.wait_for()
    page.wait_for_timeout(200)
    return canvas


def pixels(canvas: Locator) -> np.ndarray:
    return np.asarray(Image.open(BytesIO(canvas.screenshot())).convert("RGB")).astype(int)


def changed(before: np.ndarray, after: np.ndarray) -> float:
    """Share of the pixels that are another colour."""
    return float((np.abs(before - after).max(axis=2) > 12).mean())


def drawn(canvas: Locator) -> int:
    return int(canvas.get_attribute("data-drawn") or 0)


@pytest.fixture
def link(server_url: str) -> Iterator[str]:
    httpx.post(f"{server_url}/rooms/boot-room/share")
    yield httpx.get(server_url + ROOM).text.split('class="link"><a href="')[1].split('"')[0]
    httpx.post(f"{server_url}/rooms/boot-room/share/withdraw")


def test_nothing_is_fetched_before_the_button_is_pressed(page: Page, server_url: str) -> None:
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))

    page.goto(server_url + ROOM)
    page.wait_for_load_state("networkidle")
    before = [url for url in asked if "three" in url or ".glb" in url]
    page.get_by_role("button", name=TURN).click()
    page.locator("canvas[data-drawn]").wait_for()

    assert before == []
    assert sum("three" in url for url in asked) == sum(".glb" in url for url in asked) == 1


def test_the_room_is_drawn_in_ink_on_paper_and_turns_under_mouse_and_keys(page: Page, server_url: str) -> None:
    canvas = turned(page, server_url + ROOM)
    first = pixels(canvas)

    box = canvas.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 200, box["y"] + 200)
    page.mouse.down()
    page.mouse.move(box["x"] + 330, box["y"] + 200, steps=5)
    page.mouse.up()
    page.wait_for_timeout(200)
    dragged = pixels(canvas)
    canvas.press("ArrowLeft")
    page.wait_for_timeout(200)
    keyed = pixels(canvas)
    canvas.press("+")
    page.wait_for_timeout(200)

    assert (np.abs(first - INK).max(axis=2) < 10).mean() > 0.01
    assert len(np.unique(first.reshape(-1, 3), axis=0)) > 8
    assert changed(first, dragged) > 0.05
    assert changed(dragged, keyed) > 0.05
    assert changed(keyed, pixels(canvas)) > 0.05


def test_the_canvas_has_a_name_says_how_it_is_turned_and_where_it_is_seen_from(page: Page, server_url: str) -> None:
    canvas = turned(page, f"{server_url}{ROOM}?corner=0")

    expect(canvas).to_have_accessible_name("The room, to be turned")
    expect(canvas).to_have_accessible_description(
        "Drag to turn it. Pinch or scroll to come nearer. "
        "With the keys: arrows turn it, + comes nearer, −\u00a0goes back."
    )
    expect(canvas).to_be_focused()
    expect(page.locator("#turn [role=status]")).to_have_text("Seen from the front left.")
    for _ in range(12):
        canvas.press("ArrowLeft")
    expect(page.locator("#turn [role=status]")).to_have_text("Seen from the front right.")


def test_nothing_is_drawn_while_nothing_changes(page: Page, server_url: str) -> None:
    canvas = turned(page, server_url + ROOM)
    before = drawn(canvas)

    page.wait_for_timeout(500)

    assert drawn(canvas) == before


def test_the_wheel_scrolls_the_page_again_once_the_room_is_left(page: Page, server_url: str) -> None:
    canvas = turned(page, server_url + ROOM)
    page.get_by_role("button", name=BACK).focus()
    before = drawn(canvas)

    canvas.hover()
    page.mouse.wheel(0, 300)
    page.wait_for_function("() => window.scrollY > 0")

    assert drawn(canvas) == before


def test_the_pictures_come_back(page: Page, server_url: str) -> None:
    canvas = turned(page, server_url + ROOM)
    picture = page.locator("svg.corner:visible")
    expect(picture).to_have_count(0)

    page.get_by_role("button", name=BACK).click()

    expect(canvas).to_be_hidden()
    expect(picture).to_have_count(1)
    page.get_by_role("button", name=TURN).click()
    expect(canvas).to_be_visible()


def test_a_print_shows_the_pictures_also_while_the_room_is_turned(page: Page, server_url: str) -> None:
    canvas = turned(page, server_url + ROOM)

    page.emulate_media(media="print")

    expect(canvas).to_be_hidden()
    expect(page.locator("svg.corner:visible")).to_have_count(1)
    expect(page.get_by_role("button", name=BACK)).to_be_hidden()


def test_without_webgl_the_pictures_stay_and_one_sentence_says_so(page: Page, server_url: str) -> None:
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.add_init_script(f"({NO_WEBGL})()")
    page.goto(server_url + ROOM)

    page.get_by_role("button", name=TURN).click()

    expect(page.locator("#turn [role=status]")).to_have_text(STAYS)
    expect(page.locator("svg.corner:visible")).to_have_count(1)
    expect(page.locator("canvas")).to_be_hidden()
    assert not [url for url in asked if "three" in url or ".glb" in url]


def test_where_the_room_does_not_come_the_pictures_stay(page: Page, server_url: str, browser_errors: list[str]) -> None:
    page.route("**/room.glb*", lambda route: route.abort())
    page.goto(server_url + ROOM)

    page.get_by_role("button", name=TURN).click()

    expect(page.locator("#turn [role=status]")).to_have_text(STAYS)
    expect(page.locator("svg.corner:visible")).to_have_count(1)
    assert all("ERR_FAILED" in error for error in browser_errors)
    browser_errors.clear()


@pytest.mark.parametrize("size", SIZES)
def test_the_turned_room_meets_the_rules_for_access_and_fits_its_window(page: Page, server_url: str, size: str) -> None:
    page.set_viewport_size({"width": SIZES[size][0], "height": SIZES[size][1]})
    turned(page, server_url + ROOM)

    assert faults(page) == []
    assert page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth")


def test_a_finger_turns_the_room_behind_a_share_link(browser: Browser, link: str, browser_errors: list[str]) -> None:
    page = pocket_page(browser, browser_errors)
    canvas = turned(page, link)
    canvas.scroll_into_view_if_needed()
    before, box = pixels(canvas), canvas.bounding_box()
    assert box is not None
    tools, y = page.context.new_cdp_session(page), box["y"] + 150
    tools.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": box["x"] + 90, "y": y}]})
    for x in range(100, 220, 20):
        tools.send("Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [{"x": box["x"] + x, "y": y}]})
    tools.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    page.wait_for_timeout(300)

    after = pixels(canvas)
    errors = list(browser_errors)
    page.context.close()

    assert changed(before, after) > 0.05
    assert errors == []
