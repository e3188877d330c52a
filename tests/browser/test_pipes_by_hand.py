"""A pipe drawn by hand in a real browser: with the mouse, and the same by the keyboard."""

import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from server.help_keys import PIPE_KEYS
from tests.browser.hands import SIZES, Bench, new_bench
from tests.browser.test_workbench_access import faults
from tests.server.test_pipes_by_hand import PIPE, VIA, the_room


@pytest.fixture
def bench(page: Page, server_url: str) -> Bench:
    """The room with its pipe drawn along the front of the room and back: long, and with little fall."""
    page.set_viewport_size({"width": 1440, "height": 900})
    return new_bench(page, server_url, the_room(pipes=[PIPE])).open("?piece=t1&pipe=x1")


def figure(bench: Bench, name: str) -> str:
    return bench.page.locator(f'#pipe-figures [data-figure="{name}"]').inner_text()


def metres(bench: Bench) -> float:
    found = re.match(r"[\d.]+", figure(bench, "length"))
    assert found is not None
    return float(found[0])


def via(bench: Bench) -> Any:
    return bench.saved()["pipes"][0]["via_mm"]


def test_a_pipe_is_drawn_from_the_label_and_its_bend_dragged_while_length_and_fall_follow(
    page: Page, server_url: str
) -> None:
    page.set_viewport_size({"width": 1440, "height": 900})
    bench = new_bench(page, server_url, the_room()).open("?piece=t1")
    page.locator("#pipes-of > summary").click()
    page.get_by_role("button", name="Draw this pipe: D2 of the cylinder").click()
    bench.layout_is(2)
    expect(page.locator(".pipe-held h3")).to_have_text("D2 of the cylinder")
    count = page.locator("[data-bend]:not([data-face])").count()
    assert count == len(via(bench)) > 0
    length, fall = metres(bench), figure(bench, "fall")

    x, y, _ = via(bench)[0]
    with bench.held((x, y)):
        bench.carry(x, y - 2300)
        expect(page.locator('#pipe-figures [data-figure="length"]')).not_to_contain_text(f"{length} m")
        expect(page.locator('#pipe-figures [data-figure="fall"]')).not_to_have_text(fall)
        assert metres(bench) > length
        assert bench.saved()["pipes"][0]["via_mm"][0] == [x, y, via(bench)[0][2]]
    bench.layout_is(3)
    assert via(bench)[0][:2] == pytest.approx([x, y - 2300], abs=10)
    expect(page.locator(".pipe-held h3")).to_have_text("D2 of the cylinder")


def test_a_dragged_bend_is_one_step_and_takes_its_square_stretches_along(bench: Bench) -> None:
    with bench.held((3900, 1000)):
        bench.carry(3900, 600)
    bench.layout_is(2)

    assert [point[1] for point in via(bench)] == [2600, pytest.approx(600, abs=8), pytest.approx(600, abs=8), 2600]
    assert via(bench)[2][0] == 3900
    assert bench.page.locator('[data-history="undo"]').inner_text() == "Undo: move a bend of D2 of the cylinder"


UP_ON_FACE = """(edge) => {
  const { faces } = JSON.parse(document.querySelector(".bench").dataset.handles);
  const [, , c, d] = faces.find((face) => face.edge === edge).matrix;
  return [c * 200, d * 200];
}"""


def test_a_bend_is_dragged_up_on_the_face_of_its_wall_and_the_pipe_falls_too_little(bench: Bench) -> None:
    box = bench.page.locator('[data-bend="3"][data-face="1"] .ring').bounding_box()
    assert box is not None
    up = bench.page.evaluate(UP_ON_FACE, 1)
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2

    bench.page.mouse.move(x, y)
    bench.page.mouse.down()
    bench.page.mouse.move(x + up[0], y + up[1], steps=6)
    expect(bench.page.locator('#pipe-figures [data-figure="fall"]')).to_contain_text("short")
    bench.page.mouse.up()
    bench.layout_is(2)

    assert via(bench)[3] == [3900, 2600, pytest.approx(560, abs=8)]


def test_a_press_on_the_line_puts_a_bend_in_at_its_height_there(bench: Bench) -> None:
    bench.page.mouse.click(*bench.on_screen(2550, 1000))
    bench.layout_is(2)

    x, y, z = via(bench)[2]
    assert (x, y, z) == (pytest.approx(2550, abs=8), 1000, pytest.approx(380, abs=0.2))


def test_escape_in_the_middle_of_a_drag_puts_the_bend_back(bench: Bench) -> None:
    drawn = figure(bench, "length")
    with bench.held((3900, 1000)):
        bench.carry(3900, 600)
        bench.page.keyboard.press("Escape")

    expect(bench.page.locator("#bend-2 + #bend-3")).to_have_count(1)
    expect(bench.page.locator('#pipe-figures [data-figure="length"]')).to_have_text(drawn)
    assert via(bench) == VIA


def test_a_point_is_typed_pinned_and_the_rest_found_without_the_mouse(bench: Bench) -> None:
    page = bench.page
    page.locator("#point-1").focus()
    page.keyboard.press("Enter")
    page.locator("#point-1-y").fill("1,200 mm")
    page.keyboard.press("Enter")
    bench.layout_is(2)
    assert via(bench)[1] == [1200, 1200, 390]

    page.locator("#pin-1").focus()
    page.keyboard.press("Enter")
    bench.layout_is(3)
    expect(page.locator("#bend-1")).to_have_attribute("aria-label", re.compile("pinned"))
    page.get_by_role("button", name="Find the rest").focus()
    page.keyboard.press("Enter")
    bench.layout_is(4)

    assert [1200, 1200, 390] in via(bench)


def test_the_form_that_lay_open_is_of_the_same_point_afterwards_or_of_none(bench: Bench) -> None:
    page = bench.page
    page.locator("#point-2").click()
    page.locator("#point-2-y").fill("900")
    page.locator("#put-2").click()
    bench.layout_is(2)
    expect(page.locator("#point-2-y")).to_have_value("900")
    expect(page.locator("#point-2-y")).to_be_visible()

    page.get_by_role("button", name="Find the rest").click()
    bench.layout_is(3)
    assert [3900, 900, 370] not in via(bench)
    expect(page.locator(".points details[open]")).to_have_count(0)


def test_the_form_of_a_pinned_point_goes_along_with_its_place_when_the_rest_is_found(bench: Bench) -> None:
    page = bench.page
    page.locator("#point-2").click()
    page.locator("#pin-2").click()
    bench.layout_is(2)
    page.get_by_role("button", name="Find the rest").click()
    bench.layout_is(3)
    index = via(bench).index(VIA[2])

    expect(page.locator(".points details[open] > summary")).to_have_attribute("data-point", str(index))


def test_a_pinned_point_stays_under_the_hand_and_under_the_keys_and_says_so(bench: Bench) -> None:
    page = bench.page
    page.locator("#point-2").click()
    page.locator("#pin-2").click()
    bench.layout_is(2)
    with bench.held((3900, 1000)):
        bench.carry(3900, 600)
    expect(page.locator("#status")).to_have_text("Point 3 is pinned: take the pin out first.")
    page.locator("#bend-2").press("ArrowDown")
    page.wait_for_timeout(900)

    assert via(bench) == VIA
    expect(page.locator(".cart .it")).to_contain_text("layout 2")


def on_a_point(bench: Bench, *keys: str) -> list[float]:
    """The third point once the keys are saved."""
    bench.page.locator("#bend-2").focus()
    for key in keys:
        bench.page.keyboard.press(key)
    bench.layout_is(2)
    return list(via(bench)[2])


def tab_goes_on_to_pipes_points_and_deeds(bench: Bench) -> None:
    bench.page.locator("#put-away").focus()
    seen = []
    for _ in range(9):
        bench.page.keyboard.press("Tab")
        seen.append(bench.page.evaluate("() => document.activeElement.id || document.activeElement.textContent"))

    assert seen[:2] == ["Find the rest", "Let the program find it all"]
    assert seen[2:6] == [f"point-{k}" for k in range(4)]


def enter_picks_the_pipe_and_opens_a_point(bench: Bench) -> None:
    bench.page.locator("#let-pipe-go").press("Enter")
    expect(bench.page.locator("#pipes-of > summary")).to_be_focused()
    bench.page.keyboard.press("Enter")
    bench.page.locator(".pipe-list a").first.press("Enter")
    expect(bench.page.locator("#point-0")).to_be_focused()
    bench.page.locator("#bend-2").press("Enter")
    expect(bench.page.locator("#point-2-z")).to_be_visible()


def arrows_move_the_point(bench: Bench) -> None:
    before = metres(bench)
    assert on_a_point(bench, "ArrowDown", "Shift+ArrowDown", "Alt+ArrowDown") == [3900, 944, 370]
    assert metres(bench) == pytest.approx(before + 0.112, abs=0.011)
    assert bench.page.evaluate("() => document.activeElement.id") == "bend-2"


def page_up_raises_the_point(bench: Bench) -> None:
    assert on_a_point(bench, "PageUp", "Shift+PageUp", "Alt+PageUp") == [3900, 1000, 426]
    assert "short" in figure(bench, "fall")


def page_down_lowers_the_point(bench: Bench) -> None:
    assert on_a_point(bench, "PageDown") == [3900, 1000, 365]


def delete_takes_the_point_out(bench: Bench) -> None:
    assert on_a_point(bench, "Delete") == VIA[3]


def escape_puts_the_point_back_and_then_lets_the_pipe_go(bench: Bench) -> None:
    bench.page.locator("#point-2").focus()
    bench.page.keyboard.press("Shift+ArrowDown")
    bench.page.keyboard.press("Escape")
    expect(bench.page.locator("#point-2 [data-at]")).to_have_text("3900, 1000, 370 up")
    bench.page.keyboard.press("Escape")

    expect(bench.page.locator(".pipe-held")).to_have_count(0)
    expect(bench.page.locator('[data-card="t1"]')).to_have_count(1)
    assert via(bench) == VIA


ROWS: dict[tuple[str, ...], Callable[[Bench], None]] = {
    ("Tab",): tab_goes_on_to_pipes_points_and_deeds,
    ("Enter",): enter_picks_the_pipe_and_opens_a_point,
    ("Arrow",): arrows_move_the_point,
    ("Page Up",): page_up_raises_the_point,
    ("Page Down",): page_down_lowers_the_point,
    ("Delete",): delete_takes_the_point_out,
    ("Escape",): escape_puts_the_point_back_and_then_lets_the_pipe_go,
}


def test_every_row_of_the_table_for_pipes_is_pressed_here() -> None:
    assert set(ROWS) == {row.keys for row in PIPE_KEYS}


@pytest.mark.parametrize("keys", ROWS, ids=" ".join)
def test_the_key_does_to_a_pipe_what_the_help_page_says(bench: Bench, keys: tuple[str, ...]) -> None:
    ROWS[keys](bench)


@pytest.mark.parametrize("size", SIZES)
def test_a_picked_pipe_meets_the_rules_for_access_and_is_large_enough_for_a_finger(
    page: Page, server_url: str, size: str
) -> None:
    page.set_viewport_size(dict(zip(("width", "height"), SIZES[size], strict=True)))
    bench = new_bench(page, server_url, the_room(pipes=[PIPE])).open("?piece=t1")
    page.locator("#pipes-of > summary").click()
    assert faults(page) == []
    page.locator(".pipe-list a").first.click()
    page.locator("#point-1").click()
    expect(page.locator("#point-1-z")).to_be_visible()

    assert faults(page) == []
    boxes = [one.bounding_box() for one in page.locator(".pipe-held :is(button, input, summary):visible").all()]
    assert [box for box in boxes if box is None or box["height"] < 44] == []
    assert page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth")
    page.locator("#point-1-z").fill("395")
    page.get_by_role("button", name="Put it there").click()
    bench.layout_is(2)
    assert via(bench)[1] == [1200, 1000, 395]


LONGEST_ON_FACE = """() => {
  const long = (one) => Math.max(one.getBoundingClientRect().width, one.getBoundingClientRect().height);
  const [one] = [...document.querySelectorAll(".pipe-stretch[data-face]")].sort((a, b) => long(b) - long(a));
  const box = one.getBoundingClientRect();
  return [box.x + box.width / 2, box.y + box.height / 2, Number(one.dataset.stretch), Number(one.dataset.face)];
}"""


def test_a_press_on_the_line_of_a_pipe_picks_it_and_a_near_miss_keeps_it(page: Page, server_url: str) -> None:
    page.set_viewport_size({"width": 1440, "height": 900})
    bench = new_bench(page, server_url, the_room(pipes=[PIPE]))
    x, y = bench.on_screen(2550, 1000)
    page.mouse.click(x, y + 4)
    expect(page.locator(".pipe-held h3")).to_have_text("D2 of the cylinder")
    expect(page.locator("#pipe-held")).to_be_focused()

    page.mouse.click(x, y + 40)
    page.wait_for_timeout(300)
    expect(page.locator(".pipe-held")).to_have_count(1)
    assert via(bench) == VIA


def test_a_press_on_a_line_that_is_found_leads_to_it_in_the_list_of_its_piece(page: Page, server_url: str) -> None:
    page.set_viewport_size({"width": 1440, "height": 900})
    bench = new_bench(page, server_url, the_room())
    at = bench.page.locator(".pipe-hit").last.evaluate(
        "(one) => { const p = one.getPointAtLength(one.getTotalLength() / 2).matrixTransform(one.getScreenCTM());"
        " return [p.x, p.y]; }"
    )
    page.mouse.click(*at)

    expect(page.locator(".pipe-list li:focus")).to_have_count(1)
    expect(page.locator(".pipe-list li:focus button")).to_be_visible()


def test_pulling_at_the_line_makes_a_bend_and_moves_it_in_one_step(bench: Bench) -> None:
    drawn = figure(bench, "length")
    with bench.held((2550, 1000)):
        bench.carry(2550, 600)
        expect(bench.page.locator('#pipe-figures [data-figure="length"]')).not_to_have_text(drawn)
    bench.layout_is(2)

    assert via(bench)[2] == [pytest.approx(2550, abs=8), pytest.approx(600, abs=8), pytest.approx(380, abs=0.2)]
    assert [*via(bench)[:2], *via(bench)[3:]] == VIA


def test_escape_while_a_bend_is_pulled_out_leaves_the_line_as_it_was(bench: Bench) -> None:
    drawn = figure(bench, "length")
    with bench.held((2550, 1000)):
        bench.carry(2550, 600)
        expect(bench.page.locator('#pipe-figures [data-figure="length"]')).not_to_have_text(drawn)
        bench.page.keyboard.press("Escape")
    expect(bench.page.locator('#pipe-figures [data-figure="length"]')).to_have_text(drawn)

    assert via(bench) == VIA


def test_a_bend_is_pulled_out_of_the_line_on_the_face_of_a_wall(bench: Bench) -> None:
    x, y, index, face = bench.page.evaluate(LONGEST_ON_FACE)
    up = bench.page.evaluate(UP_ON_FACE, face)
    bench.page.mouse.move(x, y)
    bench.page.mouse.down()
    bench.page.mouse.move(x + up[0], y + up[1], steps=6)
    bench.page.mouse.up()
    bench.layout_is(2)

    assert len(via(bench)) == len(VIA) + 1
    assert [*via(bench)[:index], *via(bench)[index + 1 :]] == VIA


def test_points_that_lie_on_each_other_are_each_reached_by_pressing_again(page: Page, server_url: str) -> None:
    page.set_viewport_size({"width": 1440, "height": 900})
    drop = [[2400, 1000, 900], [2400, 1000, 380], [3900, 1000, 370]]
    bench = new_bench(page, server_url, the_room(pipes=[{**PIPE, "via_mm": drop}])).open("?piece=t1&pipe=x1")
    opened = []
    for _ in range(2):
        page.mouse.click(*bench.on_screen(2400, 1000))
        opened.append(page.locator(".points details[open] > summary").get_attribute("data-point"))

    assert sorted(str(one) for one in opened) == ["0", "1"]


def test_what_is_said_of_a_moved_point_reads_as_a_sentence_and_covers_neither_plan_nor_label(bench: Bench) -> None:
    page = bench.page
    page.locator("#point-2").press("ArrowUp")
    status = page.locator("#status")
    expect(status).to_contain_text("Size: 28 mm copper; Length: ")

    assert re.search(r"Length: [\d.]+ m, \d elbows; Counts as: [\d.]+ m with elbows", status.inner_text())
    said = status.bounding_box()
    assert said is not None
    for part in (".stage", "#pipe-held", ".hand"):
        box = page.locator(part).bounding_box()
        assert box is not None
        assert said["x"] >= box["x"] + box["width"] or said["y"] >= box["y"] + box["height"]


@pytest.mark.parametrize("size", ["desk", "tablet"])
def test_the_form_of_a_point_lies_whole_within_the_label(page: Page, server_url: str, size: str) -> None:
    page.set_viewport_size(dict(zip(("width", "height"), SIZES[size], strict=True)))
    new_bench(page, server_url, the_room(pipes=[PIPE])).open("?piece=t1&pipe=x1")
    page.locator("#point-2").click()
    card, pin = page.locator(".card").bounding_box(), page.locator("#pin-2").bounding_box()

    assert card is not None and pin is not None
    assert pin["y"] + pin["height"] <= card["y"] + card["height"]


def test_on_a_phone_the_drawing_and_the_figures_are_in_sight_once_a_pipe_is_picked(page: Page, server_url: str) -> None:
    page.set_viewport_size({"width": 390, "height": 844})
    new_bench(page, server_url, the_room(pipes=[PIPE])).open("?piece=t1")
    page.locator("#pipes-of > summary").click()
    page.locator(".pipe-list a").first.click()
    expect(page.locator("#pipe-held")).to_be_visible()
    stage, figures = page.locator(".stage").bounding_box(), page.locator("#pipe-figures").bounding_box()
    strip = page.locator(".strip").bounding_box()

    assert stage is not None and figures is not None and strip is not None
    assert -1 <= stage["y"] < 300
    assert figures["y"] > 400 and figures["y"] + figures["height"] <= strip["y"] + 1
    page.locator("#point-1").press("ArrowUp")
    expect(page.locator("#status")).not_to_be_empty()
    said = page.locator("#status").bounding_box()
    assert said is not None and said["y"] + said["height"] <= figures["y"]
