"""The plain pages in a real browser: at three widths, by keyboard and pointer, with and without script."""

import json
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from geometry.reading import write_room
from tests.server.conftest import room_called

PATHS = [
    "/", "/measure", "/measure/walls", "/help", "/checks", "/sums", "/sums/discharge",
    "/sums/discharge?outlet=G1/2&length_m=7.4&bends=4",
    "/rooms/boot-room/layouts",
]  # fmt: skip
WIDTHS = {"phone": (390, 844), "tablet": (1024, 768), "desk": (1440, 900)}
WCAG = {"runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]}

DROP = """async (text) => {
  const carried = new DataTransfer();
  carried.items.add(new File([text], "room.json", { type: "application/json" }));
  for (const kind of ["dragover", "drop"])
    document.body.dispatchEvent(new DragEvent(kind, { dataTransfer: carried, bubbles: true, cancelable: true }));
}"""


@pytest.fixture
def room_file(tmp_path: Path) -> Path:
    path = tmp_path / "room.json"
    path.write_text(write_room(room_called("Boot room, Harbour Row")), encoding="utf-8")
    return path


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("path", PATHS)
def test_no_page_is_wider_than_its_window(page: Page, server_url: str, path: str, width: str) -> None:
    page.set_viewport_size({"width": WIDTHS[width][0], "height": WIDTHS[width][1]})

    page.goto(server_url + path)

    assert page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth")


@pytest.mark.parametrize("width", ["phone", "desk"])
@pytest.mark.parametrize("path", PATHS)
def test_every_page_meets_the_rules_for_access(page: Page, server_url: str, path: str, width: str) -> None:
    page.set_viewport_size({"width": WIDTHS[width][0], "height": WIDTHS[width][1]})
    page.goto(server_url + path)

    found = Axe().run(page, options=WCAG)

    assert [(fault["id"], fault["nodes"][0]["html"]) for fault in found.response["violations"]] == []


def test_numbers_on_the_customers_page_are_printed_without_backgrounds(page: Page, server_url: str) -> None:
    """Printers leave backgrounds out: white figures on a red disc would be white on white."""
    page.goto(server_url + "/rooms/village-hall/customer")
    page.emulate_media(media="print")

    colours = page.locator(".cust h2 .no").evaluate_all(
        "marks => marks.map(mark => [getComputedStyle(mark).color, getComputedStyle(mark).backgroundColor])"
    )

    assert len(colours) > 2
    assert all(back == "rgb(255, 255, 255)" and front != back for front, back in colours)


def test_the_page_of_a_room_stays_turned_when_it_is_opened_again(page: Page, server_url: str) -> None:
    page.goto(server_url + "/rooms/boot-room")
    page.locator("#workbench[data-ready]").wait_for()
    page.get_by_role("link", name="Turn the page").click()
    quarters = page.locator('input[name="quarters"]').first
    expect(quarters).to_have_value("1")

    page.goto(server_url + "/rooms/boot-room")
    page.locator("#workbench[data-ready]").wait_for()
    expect(quarters).to_have_value("1")

    page.goto(server_url + "/rooms/village-hall")
    expect(quarters).to_have_value("0")


def test_an_error_page_meets_the_rules_for_access(page: Page, server_url: str, browser_errors: list[str]) -> None:
    page.goto(server_url + "/nowhere")

    found = Axe().run(page, options=WCAG)

    assert found.response["violations"] == []
    assert len(browser_errors) == 1
    browser_errors.clear()  # the 404 itself


def test_a_room_file_dropped_on_the_page_is_opened(page: Page, server_url: str, room_file: Path) -> None:
    page.goto(server_url)

    with page.expect_response(lambda response: response.request.method == "POST") as answer:
        page.evaluate(DROP, room_file.read_text())

    assert answer.value.status == 303
    assert "/rooms/boot-room-harbour-row-" in answer.value.headers["location"]


def test_a_room_file_is_opened_and_comes_back_without_script(
    browser: Browser, server_url: str, room_file: Path
) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(server_url)
    page.get_by_label("Open a room file").set_input_files(room_file)

    page.get_by_role("button", name="Open it").click()
    room_id = page.url.rsplit("/", 1)[1]
    back = context.request.get(f"{server_url}/rooms/{room_id}/file").json()
    context.close()

    assert back == json.loads(room_file.read_text())


def test_a_file_that_is_far_too_large_still_gets_its_page(
    page: Page, server_url: str, tmp_path: Path, browser_errors: list[str]
) -> None:
    large = tmp_path / "holiday.mp4"
    large.write_bytes(b"\0" * 30_000_000)
    page.goto(server_url)
    page.get_by_label("Open a room file").set_input_files(large)

    page.get_by_role("button", name="Open it").click()

    expect(page.get_by_role("heading", level=1)).to_have_text("Too large")
    browser_errors.clear()  # the 413 itself


def test_a_room_is_measured_by_keyboard_alone(page: Page, server_url: str) -> None:
    page.goto(server_url)
    page.get_by_role("link", name="Measure a room").press("Enter")
    page.get_by_label("Name of the room").focus()
    for written in ("Boot room, Harbour Row", "2400", "1800", "2400", "700", "1981"):
        page.keyboard.type(written)
        page.keyboard.press("Tab")
    page.keyboard.press("Tab")  # the place of the door may stay empty
    page.keyboard.type("into the room, hung on the left")
    page.keyboard.press("Tab")

    page.keyboard.press("Enter")

    page.wait_for_url("**/rooms/boot-room-harbour-row-*")


def test_a_slip_on_the_tape_keeps_everything_else(page: Page, server_url: str, browser_errors: list[str]) -> None:
    page.goto(f"{server_url}/measure")
    page.get_by_role("textbox", name="Wall with the door").fill("wide")
    page.get_by_role("textbox", name="Away from the door").fill("1800")

    page.get_by_role("button", name="Draw the room").click()

    expect(page.get_by_role("textbox", name="Wall with the door")).to_have_accessible_description(
        "Write a length in millimetres, for example 2400."
    )
    expect(page.get_by_role("textbox", name="Away from the door")).to_have_value("1800")
    browser_errors.clear()  # the 422 itself
