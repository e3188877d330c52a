"""Where pieces come to rest under the hand, and the free lengths beside them: in a real browser."""

import pytest
from playwright.sync_api import Browser, Page, expect

from geometry.samples import box_kit, piece, sample_room
from tests.browser.hands import Bench, Finger, new_bench
from tests.browser.rules import touch_page
from tests.browser.test_workbench_hands import BACK_WALL, HUNG, ON_FACE, over_face

TANK = box_kit("tank", 400, 300, 900, name="Tank")
BASE = box_kit("base", 600, 300, 500, name="Base unit")
# between 500 and 1,900 a tank of 400 leaves 1,000: 500 on each side of it, its middle at 1,200
ROW = sample_room(
    [TANK],
    [piece(TANK, 300, 1650, id="first"), piece(TANK, 800, 900, id="moved"), piece(TANK, 2100, 1650, id="last")],
    name="Row room",
)
# the room is 2,400 wide and 2,400 high; the boiler reaches from 780 to 1,220
WALL = sample_room([HUNG, BASE], [piece(HUNG, 1000, 1650), piece(BASE, 1000, 1650)], name="Wall room")


@pytest.fixture
def row(page: Page, server_url: str) -> Bench:
    page.set_viewport_size({"width": 1440, "height": 900})
    return new_bench(page, server_url, ROW)


@pytest.fixture
def wall(page: Page, server_url: str) -> Bench:
    page.set_viewport_size({"width": 1440, "height": 900})
    return new_bench(page, server_url, WALL)


def measures(bench: Bench) -> list[str]:
    return bench.page.locator("#tape text").all_text_contents()


def test_the_mouse_lets_a_piece_stand_with_equal_gaps_and_alt_frees_it(row: Bench) -> None:
    with row.held((800, 900)):
        row.carry(1185, 1640)
        expect(row.page.locator("#tape .equal")).to_have_text("equal gaps 500 mm")
        assert measures(row).count("500") == 2
        expect(row.page.locator("#status")).to_contain_text("equal gaps 500 mm")

        row.page.keyboard.down("Alt")
        row.carry(1184, 1641)
        expect(row.page.locator("#tape .equal")).to_have_count(0)
        row.page.keyboard.up("Alt")
        row.carry(1185, 1640)
    row.layout_is(2)

    assert row.piece("moved")["at_mm"] == [1200, 1650]


def test_a_finger_lets_a_piece_stand_with_equal_gaps(
    browser: Browser, server_url: str, browser_errors: list[str]
) -> None:
    row = new_bench(touch_page(browser, "phone", browser_errors), server_url, ROW)
    finger = Finger(row)

    finger.drag((800, 900), (1185, 1640))
    expect(row.page.locator("#tape .equal")).to_have_text("equal gaps 500 mm")
    finger.lift()
    row.layout_is(2)

    assert row.piece("moved")["at_mm"] == [1200, 1650]
    row.page.context.close()


def test_on_a_wall_face_the_free_lengths_run_to_corners_to_what_stands_below_and_to_the_ceiling(
    wall: Bench,
) -> None:
    wall.page.mouse.move(*wall.page.evaluate(ON_FACE, [BACK_WALL, 1000, 1500]))
    wall.page.mouse.down()
    over_face(wall, BACK_WALL, 1000, 1300)

    # the base has come down from 1,200 to 1,000: 500 above the base unit; its top is 700 below the ceiling
    expect(wall.page.locator("#tape").get_by_text("500", exact=True)).to_have_count(1)
    assert {"780", "1,180", "500", "700"} <= set(measures(wall))
    wall.page.mouse.up()
    expect(wall.page.locator("#tape text")).to_have_count(0)


def test_keys_on_a_piece_at_a_wall_show_its_free_lengths_on_the_face(wall: Bench) -> None:
    wall.page.locator('[data-piece="hung"]').focus()
    wall.page.keyboard.press("Shift+PageDown")

    # 1,200 - 50 - 500, and 2,400 - 1,150 - 700
    expect(wall.page.locator("#tape").get_by_text("650", exact=True)).to_have_count(1)
    assert {"650", "550"} <= set(measures(wall))


def test_several_pieces_are_caught_by_the_one_that_stands_nearest_the_wall(row: Bench) -> None:
    row.page.mouse.click(*row.on_screen(800, 900))
    row.page.keyboard.down("Shift")
    row.page.mouse.click(*row.on_screen(2100, 1650))
    row.page.keyboard.up("Shift")
    row.page.wait_for_selector(".card.several")

    with row.held((800, 900)):
        row.carry(885, 880)  # the other one would stand 15 mm from the right wall and 20 mm from the back wall
    row.layout_is(2)

    assert row.piece("last")["at_mm"] == [2200, 1650]
    assert row.piece("moved")["at_mm"] == [900, 900]


def test_on_a_wall_face_a_piece_is_caught_with_equal_gaps_between_the_corner_and_its_neighbour(row: Bench) -> None:
    row.page.mouse.move(*row.page.evaluate(ON_FACE, [BACK_WALL, 300, 400]))
    row.page.mouse.down()
    over_face(row, BACK_WALL, 935, 400)

    # the neighbour begins at 1,900: less 400 it is 1,500, 750 on each side; told on the plan and on the face
    expect(row.page.locator("#tape .equal")).to_have_text(["equal gaps 750 mm"] * 2)
    row.page.mouse.up()
    row.layout_is(2)
    assert row.piece("first")["at_mm"] == [950, 1650]
