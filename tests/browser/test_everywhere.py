"""Files dropped on a page, pages left with something unsaved, two fingers, and a slow network: in a real browser."""

import re
from typing import Any

import pytest
from playwright.sync_api import Browser, CDPSession, Page, expect

from geometry.editing import moved
from geometry.reading import write_room
from geometry.samples import sample_room
from tests.browser.hands import AWAY_Y, NEAR_Y, NOTE, Bench, a_room, new_bench
from tests.browser.rules import faults, pocket_page

OTHER = sample_room([], [], name="Shed, Quarry Lane", outline_mm=[[0, 0], [1900, 0], [1900, 900], [0, 900]])
DROP = """(texts) => {
  const data = new DataTransfer();
  texts.forEach((text, i) => data.items.add(new File([text], `room-${i}.json`, { type: "application/json" })));
  const event = (name) => new DragEvent(name, { bubbles: true, cancelable: true, dataTransfer: data });
  for (const name of ["dragover", "drop"]) document.body.dispatchEvent(event(name));
}"""


@pytest.fixture
def bench(page: Page, server_url: str) -> Bench:
    page.set_viewport_size({"width": 1440, "height": 900})
    return new_bench(page, server_url, a_room())


# ---- files


def test_another_room_dropped_on_the_workbench_is_asked_about_and_opens_as_a_new_room(bench: Bench) -> None:
    bench.page.evaluate(DROP, [write_room(OTHER)])
    message = bench.page.locator("#message")
    expect(message).to_contain_text("The file holds another room: “Shed, Quarry Lane”, with 0 pieces.")
    assert faults(bench.page) == []
    bench.layout_is(1)

    message.get_by_role("button", name="Open it as a new room").click()
    expect(bench.page.locator("h1")).to_have_text("Shed")
    assert len(bench.saved()["pieces"]) == 2


def test_a_file_of_the_same_room_may_be_its_next_layout_or_be_left(bench: Bench) -> None:
    file = write_room(moved(a_room(), "boiler", (1600, 1600)))
    bench.page.evaluate(DROP, [file])
    bench.page.get_by_role("button", name="Leave it").click()
    expect(bench.page.locator("#message")).to_be_empty()

    with bench.page.expect_file_chooser() as chosen:
        bench.page.get_by_role("button", name="Open a file").click()
    chosen.value.set_files({"name": "room.json", "mimeType": "application/json", "buffer": file.encode()})
    bench.page.get_by_role("button", name="Save it here as layout 2").click()
    bench.layout_is(2)
    assert bench.piece("boiler")["at_mm"] == [1600, 1600]


@pytest.mark.parametrize(
    ("texts", "sentence"),
    [(["not a room"], "The file is not JSON"), (["{}", "{}"], "2 files at once. Drop one room file at a time.")],
)
def test_other_files_are_refused_beside_the_plan_and_nothing_changes(
    bench: Bench, browser_errors: list[str], texts: list[str], sentence: str
) -> None:
    bench.page.evaluate(DROP, texts)

    expect(bench.page.locator("#message")).to_contain_text(sentence)
    bench.layout_is(1)
    assert [text for text in browser_errors if "422" not in text] == []
    browser_errors.clear()


# ---- leaving


def leaves_with_a_warning(page: Page) -> bool:
    """Whether the browser would ask before it goes."""
    asked: bool = page.evaluate(
        "() => { const event = new Event('beforeunload', { cancelable: true });"
        " window.dispatchEvent(event); return event.defaultPrevented; }"
    )
    return asked


def test_the_workbench_warns_while_a_piece_is_in_hand_and_not_once_it_is_saved(bench: Bench) -> None:
    assert not leaves_with_a_warning(bench.page)
    with bench.held((1000, AWAY_Y)):
        bench.carry(1000, 400)
        assert leaves_with_a_warning(bench.page)
    bench.layout_is(2)

    bench.page.wait_for_function(
        "() => { const event = new Event('beforeunload', { cancelable: true });"
        " window.dispatchEvent(event); return !event.defaultPrevented; }"
    )


def test_the_workbench_warns_while_a_change_got_no_answer_and_while_something_is_written(
    bench: Bench, browser_errors: list[str]
) -> None:
    bench.page.context.set_offline(True)
    with bench.held((1000, AWAY_Y)):
        bench.carry(1000, 400)
    expect(bench.page.locator("#message")).to_contain_text("not saved yet")
    assert leaves_with_a_warning(bench.page)
    bench.page.context.set_offline(False)
    bench.page.get_by_role("button", name="Save it now").click()
    bench.layout_is(2)
    browser_errors.clear()

    bench.page.locator('[data-piece="boiler"]').click()
    bench.page.get_by_text("More", exact=True).click()
    bench.page.get_by_label("What it is called here").fill("Old boiler")
    assert leaves_with_a_warning(bench.page)


@pytest.mark.parametrize(
    ("address", "label"),
    [("/own-kinds/new", "Name"), ("/measure/walls", "Name of the room, and where it is")],
)
def test_a_form_that_was_written_in_warns(page: Page, server_url: str, address: str, label: str) -> None:
    page.goto(server_url + address)
    assert not leaves_with_a_warning(page)

    page.get_by_label(label, exact=True).fill("Boiler")

    assert leaves_with_a_warning(page)


# ---- two fingers


def fingers(tools: CDPSession, kind: str, *at: tuple[float, float]) -> None:
    points = [{"x": x, "y": y, "id": i} for i, (x, y) in enumerate(at)]
    tools.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})


def pinch(bench: Bench, one: tuple[float, float], other: tuple[float, float]) -> None:
    """Two fingers, one after the other, drawn apart by 120 px."""
    tools = bench.page.context.new_cdp_session(bench.page)
    fingers(tools, "touchStart", one)
    fingers(tools, "touchStart", one, other)
    for step in range(1, 13):
        fingers(tools, "touchMove", (one[0], one[1] - step * 5), (other[0], other[1] + step * 5))
    fingers(tools, "touchEnd")


def scale(page: Page) -> float:
    found: float = page.evaluate("() => window.visualViewport.scale")
    return found


def test_two_fingers_on_the_drawing_bring_the_page_nearer_and_move_no_piece(
    browser: Browser, server_url: str, browser_errors: list[str]
) -> None:
    bench = new_bench(pocket_page(browser, browser_errors), server_url, a_room())
    pinch(bench, bench.on_screen(1000, 1600), bench.on_screen(1000, AWAY_Y))

    bench.page.wait_for_function("() => window.visualViewport.scale > 1.2")
    assert bench.piece("boiler")["at_mm"] == [1000, 1600]
    assert bench.piece("shelf-unit")["at_mm"] == [1000, AWAY_Y]
    assert browser_errors == []
    bench.page.context.close()


# ---- a slow network


def slow(page: Page) -> None:
    """200 ms more on every answer."""
    tools = page.context.new_cdp_session(page)
    tools.send("Network.enable")
    never = {"downloadThroughput": -1, "uploadThroughput": -1}
    tools.send("Network.emulateNetworkConditions", {"offline": False, "latency": 200, **never})


PLACES = """(id) => {
  window.places = new Set();
  const seen = () => {
    window.places.add(document.querySelector(`#kit [data-piece="${id}"]`)?.getAttribute("transform"));
    if (window.places) requestAnimationFrame(seen);
  };
  requestAnimationFrame(seen);
}"""


def test_at_200_ms_the_piece_follows_the_hand_and_the_last_place_wins(bench: Bench) -> None:
    slow(bench.page)
    tried: list[dict[str, Any]] = []
    bench.page.on("request", lambda request: tried.append({}) if request.url.endswith("/try") else None)
    bench.page.evaluate(PLACES, "shelf-unit")
    stops = [AWAY_Y + 20 * i for i in range(1, 31)]
    with bench.held((1000, AWAY_Y)):
        for y in stops:
            bench.page.mouse.move(*bench.on_screen(1000, y))
            bench.page.evaluate("() => new Promise(requestAnimationFrame)")
        moves = len(bench.page.evaluate("() => [...window.places]"))
        bench.carry(1000, NEAR_Y)
        expect(bench.page.locator(NOTE)).to_have_count(1)
    bench.layout_is(2)

    assert moves > len(stops) / 2  # most moves of the hand were seen as places of their own, without an answer
    assert len(tried) < len(stops)  # and not each of them was asked about
    assert bench.piece("shelf-unit")["at_mm"] == [1000, NEAR_Y]
    expect(bench.page.locator("#counts .no").first).to_have_text("1")


def test_at_200_ms_two_drags_in_a_row_are_two_layouts_and_the_second_place_stands(bench: Bench) -> None:
    slow(bench.page)
    with bench.held((1000, AWAY_Y)):
        bench.carry(1000, 400)
    with bench.held((1000, 400)):
        bench.carry(1000, 600)
    bench.layout_is(3)

    assert bench.piece("shelf-unit")["at_mm"][1] == pytest.approx(600, abs=15)
    label = bench.page.locator('[data-piece="shelf-unit"]').get_attribute("aria-label") or ""
    assert re.search("Shelving", label)
