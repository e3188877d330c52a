"""Several pieces picked: by a frame, by a finger that rests, by the words that stay pressed; in a real browser."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from geometry.room import Room
from geometry.samples import box_kit, piece, sample_room
from tests.browser.hands import ON_FACE, SIZES, Bench, Finger, new_bench
from tests.browser.rules import pocket_page, touch_page

TANK = box_kit("tank", 300, 300, 600)
PUMP = box_kit("pump", 200, 200, 300)
HUNG = box_kit("hung", 440, 300, 700, name="Wall boiler", stands_on="wall", base_mm=1200, dry_kg=35)
BACK_WALL = 2


def a_room() -> Room:
    """2,400 by 1,800 mm: a tank and a pump in its front half, another tank on the right, a boiler on the back wall."""
    pieces = [piece(TANK, 400, 500), piece(PUMP, 900, 600), piece(TANK, 2000, 600, id="far"), piece(HUNG, 700, 1650)]
    return sample_room([TANK, PUMP, HUNG], pieces, name="Boot room, Harbour Row")


@pytest.fixture
def bench(page: Page, server_url: str) -> Bench:
    page.set_viewport_size({"width": 1440, "height": 900})
    return new_bench(page, server_url, a_room())


@pytest.fixture
def touched(browser: Browser, server_url: str, browser_errors: list[str]) -> Iterator[Bench]:
    bench = new_bench(touch_page(browser, "tablet", browser_errors), server_url, a_room())
    yield bench
    bench.page.context.close()
    assert browser_errors == []


def frame(bench: Bench, start: tuple[float, float], end: tuple[float, float]) -> None:
    """Draws a frame with the mouse, in room mm."""
    bench.page.mouse.move(*bench.on_screen(*start))
    bench.page.mouse.down()
    bench.carry(*end)
    bench.page.mouse.up()


def picked_is(bench: Bench, *ids: str) -> None:
    """Waits until exactly these are marked, and in this order told to the server."""
    for one in ids:
        expect(bench.page.locator(f'#kit [data-piece="{one}"].picked')).to_have_count(1)
    expect(bench.page.locator("#kit [data-piece].picked")).to_have_count(len(ids))
    blanks = [bench.page.locator(f"#view [name={name}]").input_value() for name in ("piece", "also")]
    assert " ".join(blanks).split() == list(ids)


def test_a_frame_picks_what_lies_wholly_inside_it_and_nothing_else(bench: Bench) -> None:
    frame(bench, (200, 200), (1050, 800))  # the tank ends at 650, the pump at 700, the far tank begins at 1,850
    picked_is(bench, "tank", "pump")
    expect(bench.page.locator(".card h2")).to_have_text("2 pieces")
    expect(bench.page.locator("#status")).to_contain_text("2 picked: Tank 2, Pump.")
    expect(bench.page.locator(".frame")).to_have_count(0)

    frame(bench, (1200, 850), (450, 300))  # cuts the tank in two
    picked_is(bench, "pump")
    bench.layout_is(1)


def test_the_piece_nearest_to_where_the_frame_began_is_the_one_that_the_others_are_lined_up_with(bench: Bench) -> None:
    frame(bench, (1200, 850), (200, 200))

    picked_is(bench, "pump", "tank")
    expect(bench.page.locator("#line-up-head")).to_have_text("Line up with Pump")


def test_with_shift_a_frame_adds_and_an_empty_one_takes_nothing_away(bench: Bench) -> None:
    frame(bench, (200, 200), (1050, 800))
    picked_is(bench, "tank", "pump")
    bench.page.keyboard.down("Shift")
    frame(bench, (1750, 300), (2300, 900))
    picked_is(bench, "tank", "pump", "far")
    frame(bench, (1200, 200), (1500, 900))
    picked_is(bench, "tank", "pump", "far")
    bench.page.mouse.click(*bench.on_screen(1400, 500))
    bench.page.keyboard.up("Shift")
    picked_is(bench, "tank", "pump", "far")

    frame(bench, (1200, 200), (1500, 900))
    picked_is(bench)
    expect(bench.page.locator(".card")).to_have_count(0)


def test_a_frame_on_a_wall_picks_what_hangs_there(bench: Bench) -> None:
    bench.page.mouse.move(*bench.page.evaluate(ON_FACE, [BACK_WALL, 300, 2100]))
    bench.page.mouse.down()
    bench.page.mouse.move(*bench.page.evaluate(ON_FACE, [BACK_WALL, 1100, 1000]), steps=6)
    expect(bench.page.locator(".frame")).to_be_visible()
    bench.page.mouse.up()

    picked_is(bench, "hung")


def test_escape_rubs_a_frame_out_and_picks_nothing(bench: Bench) -> None:
    bench.page.mouse.move(*bench.on_screen(200, 200))
    bench.page.mouse.down()
    bench.carry(1050, 800)
    bench.page.keyboard.press("Escape")
    expect(bench.page.locator(".frame")).to_have_count(0)
    bench.page.mouse.up()

    picked_is(bench)


def test_near_paper_is_moved_by_the_mouse_and_framed_with_shift(bench: Bench) -> None:
    bench.page.get_by_role("button", name="Nearer").click()
    drawing = bench.page.locator("#drawing")
    before = drawing.get_attribute("viewBox")
    frame(bench, (1200, 900), (1400, 1000))
    moved = drawing.get_attribute("viewBox")
    assert moved != before
    bench.page.keyboard.down("Shift")
    frame(bench, (1600, 1000), (700, 400))
    bench.page.keyboard.up("Shift")

    picked_is(bench, "pump")
    assert drawing.get_attribute("viewBox") == moved


def test_pick_more_stays_pressed_while_a_finger_picks_several(touched: Bench) -> None:
    touched.page.locator('[data-piece="tank"]').tap()
    more = touched.page.get_by_role("button", name="Pick more")
    more.tap()
    for one, count in (("pump", 2), ("far", 3)):
        touched.page.locator(f'[data-piece="{one}"]').tap()
        expect(touched.page.locator(".card h2")).to_have_text(f"{count} pieces")
        expect(more).to_have_attribute("aria-pressed", "true")
    touched.page.locator('[data-piece="pump"]').tap()
    expect(touched.page.locator(".card h2")).to_have_text("2 pieces")
    touched.page.touchscreen.tap(*touched.on_screen(1400, 500))  # beside all of them
    picked_is(touched, "tank", "far")

    more.tap()
    expect(more).to_have_attribute("aria-pressed", "false")
    touched.page.locator('[data-piece="pump"]').tap()
    picked_is(touched, "pump")


def test_pick_more_is_not_pressed_any_longer_once_all_is_let_go(touched: Bench) -> None:
    touched.page.locator('[data-piece="tank"]').tap()
    touched.page.get_by_role("button", name="Pick more").tap()
    touched.page.get_by_role("link", name="Close: put the label away").tap()
    expect(touched.page.locator(".card")).to_have_count(0)
    for one in ("pump", "far"):
        touched.page.locator(f'[data-piece="{one}"]').tap()
        picked_is(touched, one)

    expect(touched.page.get_by_role("button", name="Pick more")).to_have_attribute("aria-pressed", "false")


def test_pick_more_stays_pressed_over_a_change(touched: Bench) -> None:
    touched.page.locator('[data-piece="tank"]').tap()
    touched.page.get_by_role("button", name="Pick more").tap()
    touched.page.locator('[data-piece="far"]').tap()
    touched.page.get_by_role("button", name="Fronts").tap()
    touched.layout_is(2)
    expect(touched.page.get_by_role("button", name="Pick more")).to_have_attribute("aria-pressed", "true")
    touched.page.locator('[data-piece="pump"]').tap()

    picked_is(touched, "tank", "far", "pump")


def rest_on(bench: Bench, x_mm: float, y_mm: float) -> Finger:
    finger = Finger(bench)
    finger.at("touchStart", x_mm, y_mm)
    return finger


def test_a_finger_that_rests_on_a_piece_picks_it_beside_the_others_and_moves_nothing(touched: Bench) -> None:
    touched.page.locator('[data-piece="tank"]').tap()
    expect(touched.page.locator(".card h2")).to_have_text("Tank 2")
    finger = rest_on(touched, 900, 600)
    expect(touched.page.locator(".card h2")).to_have_text("2 pieces")
    for x_mm in (950, 1100, 1300):
        finger.at("touchMove", x_mm, 900)
    finger.lift()
    picked_is(touched, "tank", "pump")
    touched.layout_is(1)

    touched.page.locator('[data-piece="far"]').tap()
    picked_is(touched, "far")


def test_a_finger_that_rests_on_a_picked_piece_still_drags_them_all(touched: Bench) -> None:
    touched.page.locator('[data-piece="tank"]').tap()
    rest_on(touched, 900, 600).lift()
    touched.page.locator('[data-piece="tank"]').tap()
    finger = rest_on(touched, 900, 600)
    expect(touched.page.locator(".card h2")).to_have_text("2 pieces")
    finger.lift()
    finger = rest_on(touched, 900, 600)
    touched.page.wait_for_timeout(700)
    for share in range(1, 7):
        finger.at("touchMove", 900 + share * 50, 600 + share * 50)
    finger.lift()
    touched.layout_is(2)

    was = {one.id: one.at_mm for one in a_room().pieces}
    moves = {one: [now - then for now, then in zip(touched.piece(one)["at_mm"], was[one], strict=True)] for one in was}
    assert moves["tank"] == pytest.approx(moves["pump"])
    assert moves["pump"] == pytest.approx([300, 300], abs=15)
    assert moves["far"] == moves["hung"] == [0, 0]


def test_a_finger_on_empty_paper_scrolls_a_phones_page_and_draws_no_frame(
    browser: Browser, server_url: str, browser_errors: list[str]
) -> None:
    bench = new_bench(pocket_page(browser, browser_errors), server_url, a_room())
    finger = Finger(bench)
    start = bench.on_screen(1400, 300)
    finger.at("touchStart", 1400, 300)
    for step in range(1, 11):
        at = {"x": start[0], "y": start[1] - step * 20}
        finger.tools.send("Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [at]})
    expect(bench.page.locator(".frame")).to_have_count(0)
    finger.lift()

    bench.page.wait_for_function("() => window.scrollY > 50")
    picked_is(bench)
    bench.page.context.close()
    assert browser_errors == []


def test_the_frame_is_drawn_on_every_size_of_page_with_a_plan(page: Page, server_url: str) -> None:
    for width, height in SIZES.values():
        page.set_viewport_size({"width": width, "height": height})
        bench = new_bench(page, server_url, a_room())
        frame(bench, (200, 200), (1050, 800))
        picked_is(bench, "tank", "pump")
