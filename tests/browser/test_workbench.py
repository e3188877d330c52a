"""The workbench in a real browser: by mouse, by finger, by keyboard and by typing, each to the same end."""

import re
from typing import Any

import httpx
import pytest
from playwright.sync_api import Browser, Page, expect

from server.paths import DEMO_ROOMS
from tests.browser.hands import AWAY_Y, NEAR_Y, NOTE, SIZES, Bench, Finger, a_room, new_bench
from tests.browser.rules import touch_page

DEMOS = sorted(path.stem for path in DEMO_ROOMS.glob("*.json"))


@pytest.fixture
def bench(page: Page, server_url: str) -> Bench:
    page.set_viewport_size({"width": 1440, "height": 900})
    return new_bench(page, server_url, a_room())


@pytest.fixture
def crowded(page: Page, server_url: str) -> Bench:
    page.set_viewport_size({"width": 1440, "height": 900})
    return new_bench(page, server_url, a_room(NEAR_Y))


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("demo", DEMOS)
def test_every_demo_room_opens_at_every_width_and_is_no_wider_than_the_window(
    page: Page, server_url: str, demo: str, size: str
) -> None:
    width, height = SIZES[size]
    page.set_viewport_size({"width": width, "height": height})

    Bench(page, server_url, demo).open()

    assert page.locator("#drawing").bounding_box() is not None
    assert page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth")


def test_a_note_comes_and_goes_while_a_piece_is_dragged_and_the_drop_is_the_next_layout(bench: Bench) -> None:
    with bench.held((1000, AWAY_Y)):
        bench.carry(1000, NEAR_Y)
        expect(bench.page.locator(NOTE)).to_have_count(1)
        bench.layout_is(1)
        bench.carry(1000, 400)
        expect(bench.page.locator(NOTE)).to_have_count(0)
        bench.carry(1000, NEAR_Y)
    bench.layout_is(2)

    expect(bench.page.locator(NOTE)).to_have_count(1)
    assert bench.piece("shelf-unit")["at_mm"] == [1000, NEAR_Y]
    expect(bench.page.get_by_role("button", name="Undo: move shelving")).to_be_visible()


def test_the_counts_and_the_marks_on_the_drawing_follow_the_drag(bench: Bench) -> None:
    bad = bench.page.locator(".tally .no").first
    expect(bad).to_have_text("0")

    with bench.held((1000, AWAY_Y)):
        bench.carry(1000, NEAR_Y)

        expect(bad).to_have_text("1")
        expect(bench.page.locator("#marks .wrong").first).to_be_visible()
        assert bench.page.evaluate(
            "() => document.querySelector('#marks .wrong').namespaceURI === 'http://www.w3.org/2000/svg'"
        )


def test_near_a_wall_a_piece_turns_its_back_to_it_and_touches_it_and_its_measures_are_shown(bench: Bench) -> None:
    with bench.held((1000, AWAY_Y)):
        bench.carry(2220, 900)
        expect(bench.page.locator("#tape text").first).to_be_visible()
    bench.layout_is(2)

    shelving = bench.piece("shelf-unit")
    assert (shelving["at_mm"][0], shelving["turn_deg"]) == (2250, 270)  # 300 deep, wall at 2,400, faces -x


def test_alt_frees_a_piece_from_walls_and_neighbours(bench: Bench) -> None:
    with bench.held((1000, AWAY_Y)):
        bench.page.keyboard.down("Alt")
        bench.carry(2220, 900)
    bench.page.keyboard.up("Alt")
    bench.layout_is(2)

    shelving = bench.piece("shelf-unit")
    assert shelving["turn_deg"] == 180
    assert abs(shelving["at_mm"][0] - 2220) <= 10  # a pixel is about 9 mm here


def test_escape_in_the_middle_of_a_drag_puts_the_piece_back(bench: Bench) -> None:
    with bench.held((1000, AWAY_Y)):
        bench.carry(1000, NEAR_Y)
        expect(bench.page.locator(NOTE)).to_have_count(1)
        bench.page.keyboard.press("Escape")
        expect(bench.page.locator(NOTE)).to_have_count(0)

    assert len(httpx.get(f"{bench.url}/layouts").text.split("layout 2")) == 1


def test_a_finger_drags_a_piece_into_a_conflict_and_out_again(
    browser: Browser, server_url: str, browser_errors: list[str]
) -> None:
    bench = new_bench(touch_page(browser, "tablet", browser_errors), server_url, a_room())
    finger = Finger(bench)

    finger.drag((1000, AWAY_Y), (1000, NEAR_Y))
    expect(bench.page.locator(NOTE)).to_have_count(1)
    finger.drag((1000, NEAR_Y), (1000, 400))
    expect(bench.page.locator(NOTE)).to_have_count(0)
    finger.lift()
    bench.layout_is(2)

    assert bench.piece("shelf-unit")["at_mm"][1] == pytest.approx(400, abs=15)
    assert browser_errors == []
    bench.page.context.close()


def test_a_phone_moves_one_piece_by_finger_on_the_plan_and_by_its_buttons_on_a_wall(
    browser: Browser, server_url: str, browser_errors: list[str]
) -> None:
    bench = new_bench(touch_page(browser, "phone", browser_errors), server_url, a_room())
    finger = Finger(bench)
    finger.drag((1000, AWAY_Y), (1000, NEAR_Y))
    finger.lift()
    bench.layout_is(2)
    expect(bench.page.locator(NOTE)).to_have_count(1)

    bench.page.get_by_role("link", name="Front wall").tap()
    bench.page.get_by_role("heading", name="Front wall").wait_for()
    bench.page.locator('[data-face-piece="shelf-unit"]').tap()
    bench.page.get_by_role("button", name="5 mm up").tap()
    bench.layout_is(3)

    assert bench.piece("shelf-unit")["base_mm"] == 5
    assert browser_errors == []
    bench.page.context.close()


def test_a_finger_beside_the_pieces_scrolls_the_page_and_a_finger_on_one_does_not(
    browser: Browser, server_url: str, browser_errors: list[str]
) -> None:
    bench = new_bench(touch_page(browser, "phone", browser_errors), server_url, a_room())
    finger = Finger(bench)

    finger.drag((1000, AWAY_Y), (1000, NEAR_Y))
    finger.lift()
    assert bench.page.evaluate("() => window.scrollY") == 0

    finger.drag((2100, 300), (2100, 1500))
    finger.lift()
    bench.page.wait_for_function("() => window.scrollY > 40")
    bench.page.context.close()


def test_no_target_on_the_workbench_is_smaller_than_a_fingertip(bench: Bench) -> None:
    bench.page.locator('[data-piece="boiler"]').click()
    bench.page.wait_for_selector(".card")
    small = bench.page.evaluate(
        """() => [...document.querySelectorAll("main :is(a, button, summary, input:not([type=hidden]), .hit)")]
        .filter((one) => one.checkVisibility() && !one.closest("p, [hidden]"))
        .map((one) => [one.outerHTML.slice(0, 80), one.getBoundingClientRect()])
        .filter(([, box]) => box.width < 43.9 || box.height < 43.9).map(([html]) => html)"""
    )

    titles = [html for html in small if not re.search(r'id="note-|type="checkbox"', html)]
    assert titles == []  # the whole note is the target of its title, the whole line that of its box


def test_exact_millimetres_are_typed_on_the_other_side_of_the_label(bench: Bench) -> None:
    bench.page.locator('[data-piece="boiler"]').click()
    bench.page.get_by_text("More", exact=True).click()
    bench.page.get_by_label("Its side, from the left corner of the back wall").fill("1,200")
    bench.page.get_by_label("Its back, from the back wall").fill("30")
    bench.page.get_by_role("button", name="Put it there").click()
    bench.layout_is(2)

    assert bench.piece("boiler")["at_mm"] == [1500, 1570]  # its middle: 1,200 + 600/2, 1,800 - 30 - 400/2


def test_a_figure_that_is_none_is_refused_beside_the_plan_and_the_plan_stays(
    bench: Bench, browser_errors: list[str]
) -> None:
    bench.page.locator('[data-piece="boiler"]').click()
    bench.page.get_by_text("More", exact=True).click()
    bench.page.get_by_label("Its back, from the back wall").fill("wide")
    bench.page.get_by_role("button", name="Put it there").click()

    expect(bench.page.locator("#message")).to_contain_text("“wide” is not a number for the wall")
    expect(bench.page.locator('[data-piece="boiler"]')).to_be_visible()
    assert [text for text in browser_errors if "422" not in text] == []
    browser_errors.clear()


def test_the_red_button_makes_the_smallest_move_and_the_note_closes(crowded: Bench) -> None:
    crowded.page.locator(f"{NOTE} h3 a").click()
    expect(crowded.page.locator(".note.on .sumline")).to_contain_text("100 mm")
    crowded.page.locator(".note.on button.do").first.click()
    crowded.layout_is(2)

    expect(crowded.page.locator(NOTE)).to_have_count(0)


def test_picking_a_pin_opens_its_note_with_an_inset_and_its_leader(crowded: Bench) -> None:
    crowded.page.locator("#marks .pin").first.click()

    expect(crowded.page.locator(".note.on")).to_have_count(1)
    expect(crowded.page.locator(".inset-box")).to_be_visible()
    expect(crowded.page.locator("#marks .pin.on").first).to_be_visible()
    expect(crowded.page.locator("#leaders path")).not_to_have_count(0)
    assert crowded.page.evaluate(
        """() => {
          const [inset, ...others] = [".inset-box", ".cart", ".hand", ".margin", "[data-plan]"]
            .map((name) => document.querySelector(name).getBoundingClientRect());
          return others.every((one) => inset.right <= one.left || one.right <= inset.left
            || inset.bottom <= one.top || one.bottom <= inset.top);
        }"""
    )


def test_a_note_is_accepted_in_writing_and_stays(crowded: Bench) -> None:
    crowded.page.locator(f"{NOTE} h3 a").click()
    crowded.page.get_by_text("Accept, in writing").click()
    crowded.page.get_by_label("Name of the person who accepts").fill("A. Fitter")
    crowded.page.get_by_label("Reason").fill("the shelving lifts off")
    crowded.page.get_by_role("button", name="Write it down").click()
    crowded.layout_is(2)

    expect(crowded.page.locator(NOTE)).to_contain_text("Accepted by A. Fitter on ")


def test_the_picked_note_stays_open_while_a_piece_is_dragged(crowded: Bench) -> None:
    crowded.page.locator(f"{NOTE} h3 a").click()
    crowded.page.wait_for_selector(".note.on")

    with crowded.held((1000, NEAR_Y)):
        crowded.carry(1000, 800)
        expect(crowded.page.locator(".note.on .sumline")).to_contain_text("150 mm")


def test_kit_is_dragged_up_from_the_shelf_to_its_place(bench: Bench) -> None:
    box = bench.page.locator('[data-kit="shelf-unit"]').bounding_box()
    assert box is not None
    bench.page.mouse.move(box["x"] + box["width"] / 2, box["y"] + 40)
    bench.page.mouse.down()
    bench.carry(1900, 800)
    expect(bench.page.locator("#lifted")).to_be_visible()
    bench.page.mouse.up()
    bench.layout_is(2)

    new = bench.piece("p1")
    assert new["kit"] == "shelf-unit"
    assert new["at_mm"] == pytest.approx([1900, 800], abs=60)


def test_kit_that_is_not_dropped_on_the_room_stays_on_the_shelf(bench: Bench) -> None:
    box = bench.page.locator('[data-kit="shelf-unit"]').bounding_box()
    assert box is not None
    bench.page.mouse.move(box["x"] + box["width"] / 2, box["y"] + 40)
    bench.page.mouse.down()
    bench.page.mouse.move(box["x"] + 200, box["y"] + 40, steps=5)
    bench.page.mouse.up()

    expect(bench.page.locator("#status")).to_have_text("It is back on the shelf.")
    assert len(bench.saved()["pieces"]) == 2


def test_the_shelf_is_searched_and_says_what_was_probably_meant(bench: Bench) -> None:
    search = bench.page.get_by_label("Search the shelf")
    search.fill("cylinder 210")
    expect(bench.page.locator('[data-kit="unvented-cylinder-210"]')).to_be_visible()
    expect(bench.page.locator('[data-kit="washing-machine"]')).to_be_hidden()

    search.fill("cilinder")
    bench.page.get_by_role("button", name="Did you mean cylinder?").click()
    expect(bench.page.locator('[data-kit="unvented-cylinder-210"]')).to_be_visible()


def test_take_out_and_undo_are_words_on_the_page(bench: Bench) -> None:
    bench.page.locator('[data-piece="shelf-unit"]').click()
    bench.page.get_by_role("button", name="Take out").click()
    bench.layout_is(2)
    assert [piece["id"] for piece in bench.saved()["pieces"]] == ["boiler"]

    bench.page.get_by_role("button", name="Undo: take out shelving").click()
    bench.layout_is(3)
    assert len(bench.saved()["pieces"]) == 2


def test_a_stale_save_shows_both_sheets_and_overwrites_nothing(
    bench: Bench, browser: Browser, browser_errors: list[str]
) -> None:
    answer = httpx.post(f"{bench.url}/layouts", data={"do": "turn", "layout": 1, "piece": "boiler"})
    assert answer.status_code == 303

    with bench.held((1000, AWAY_Y)):
        bench.carry(1000, NEAR_Y)
    message = bench.page.locator("#message")
    expect(message).to_contain_text("Two people, one room")
    assert bench.piece("boiler")["turn_deg"] == 90
    assert bench.piece("shelf-unit")["at_mm"] == [1000, AWAY_Y]

    message.get_by_role("button", name="Save mine as layout 3").click()
    bench.layout_is(3)
    assert bench.piece("shelf-unit")["at_mm"] == [1000, NEAR_Y]
    assert "layout 2" in httpx.get(f"{bench.url}/layouts").text
    assert [text for text in browser_errors if "409" not in text] == []
    browser_errors.clear()


def test_when_the_server_does_not_answer_the_page_says_so_and_keeps_the_change(
    bench: Bench, browser_errors: list[str]
) -> None:
    bench.page.context.set_offline(True)
    with bench.held((1000, AWAY_Y)):
        bench.carry(1000, NEAR_Y)
    expect(bench.page.locator("#message")).to_contain_text("not saved yet")

    bench.page.context.set_offline(False)
    bench.page.get_by_role("button", name="Save it now").click()
    bench.layout_is(2)
    assert bench.piece("shelf-unit")["at_mm"] == [1000, NEAR_Y]
    browser_errors.clear()


def test_turning_the_page_and_coming_nearer_leave_a_piece_draggable(bench: Bench) -> None:
    bench.page.get_by_role("link", name="Turn the page").click()
    expect(bench.page.locator('input[name="quarters"]').first).to_have_value("1")
    bench.page.get_by_role("button", name="Nearer").click()
    expect(bench.page.get_by_role("button", name="The whole room")).to_be_visible()

    with bench.held((1000, 1600)):
        bench.carry(1000, 1200)
    bench.layout_is(2)

    assert bench.piece("boiler")["at_mm"][1] == pytest.approx(1200, abs=15)
    expect(bench.page.get_by_role("button", name="The whole room")).to_be_visible()


def test_the_page_is_drawn_anew_when_the_window_changes(bench: Bench) -> None:
    bench.page.set_viewport_size({"width": 1024, "height": 768})

    expect(bench.page.locator(".bench.medium")).to_be_visible()


def test_two_quick_changes_are_two_layouts_and_none_is_refused(bench: Bench) -> None:
    with bench.held((1000, AWAY_Y)):
        bench.carry(1000, 400)
    with bench.held((1000, 1600)):
        bench.carry(1600, 1600)
    bench.layout_is(3)

    assert bench.piece("shelf-unit")["at_mm"][1] == pytest.approx(400, abs=15)
    assert bench.piece("boiler")["at_mm"][0] == pytest.approx(1600, abs=15)


def test_what_is_hidden_stays_hidden_after_a_change(bench: Bench) -> None:
    bench.page.get_by_text("Show and hide").click()
    bench.page.get_by_label("Names").uncheck()
    bench.page.keyboard.press("Tab")
    with bench.held((1000, AWAY_Y)):
        bench.carry(1000, 400)
    bench.layout_is(2)

    expect(bench.page.locator("#kit .with text").first).to_be_hidden()


def test_without_script_the_page_is_read_and_changed_by_its_forms(
    browser: Browser, server_url: str, crowded: Bench
) -> None:
    context = browser.new_context(java_script_enabled=False, viewport={"width": 1440, "height": 900})
    page = context.new_page()
    page.goto(crowded.url)
    expect(page.locator(NOTE)).to_contain_text("Short by 100 mm.")

    page.locator(f"{NOTE} h3 a").click()
    page.locator(".note.on button.do").first.click()
    expect(page.get_by_text("layout 2", exact=True)).to_be_visible()
    expect(page.locator(NOTE)).to_have_count(0)

    page.get_by_role("link", name="Shelving").click()
    page.get_by_role("button", name="Take out").click()
    expect(page.get_by_text("layout 3", exact=True)).to_be_visible()
    assert [piece["id"] for piece in crowded.saved()["pieces"]] == ["boiler"]
    context.close()


def test_leaders_end_at_pins_and_never_run_through_a_note(page: Page, server_url: str) -> None:
    page.set_viewport_size({"width": 1440, "height": 900})
    Bench(page, server_url, "boot-room").open()

    crossed: list[Any] = page.evaluate(
        """() => {
          const boxes = [...document.querySelectorAll(".note, .card, .inset-box")];
          const rects = boxes.map((one) => one.getBoundingClientRect());
          const inside = ({ x, y }, box) => x > box.left && x < box.right && y > box.top && y < box.bottom;
          return [...document.querySelectorAll("#leaders path")].flatMap((path) => {
            const length = path.getTotalLength();
            return Array.from({ length: Math.floor(length / 4) }, (_, i) => path.getPointAtLength(4 * i))
              .map((at) => at.matrixTransform(path.getScreenCTM()))
              .filter((at) => rects.some((box) => inside(at, box)));
          }).map((at) => [at.x, at.y]);
        }"""
    )

    assert page.locator("#leaders path").count() > 0
    assert crossed == []
