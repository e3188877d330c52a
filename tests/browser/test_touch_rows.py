"""Every row of the keyboard table done again with a finger, where there is a way by touch."""

from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Browser, expect

from server.help_keys import HELP_KEYS
from tests.browser.hands import AWAY_Y, Bench, Finger, a_room, new_bench
from tests.browser.rules import touch_page


@pytest.fixture
def bench(browser: Browser, server_url: str, browser_errors: list[str]) -> Iterator[Bench]:
    bench = new_bench(touch_page(browser, "tablet", browser_errors), server_url, a_room())
    yield bench
    bench.page.context.close()


def pick(bench: Bench) -> None:
    bench.page.locator('[data-piece="shelf-unit"]').tap()
    expect(bench.page.locator(".card h2")).to_have_text("Shelving")


def a_tap_picks_and_a_tap_on_the_shelf_puts_kit_on_the_floor(bench: Bench) -> None:
    pick(bench)
    bench.page.locator('[data-kit="wall-boiler-combination"]').tap()
    bench.layout_is(2)

    assert bench.piece("p1")["kit"] == "wall-boiler-combination"


def a_finger_drags_the_piece(bench: Bench) -> None:
    finger = Finger(bench)
    finger.drag((1000, AWAY_Y), (1000, 500))
    finger.lift()
    bench.layout_is(2)

    assert bench.piece("shelf-unit")["at_mm"][1] == pytest.approx(500, abs=15)


def a_millimetre_is_written_on_the_label(bench: Bench) -> None:
    pick(bench)
    bench.page.get_by_text("More", exact=True).tap()
    bench.page.get_by_label("Its back, from the front wall").fill("51")
    bench.page.get_by_role("button", name="Put it there").tap()
    bench.layout_is(2)

    assert bench.piece("shelf-unit")["at_mm"] == [1000, AWAY_Y + 1]


def buttons_on_a_phones_wall_raise_and_lower(bench: Bench) -> None:
    bench.page.set_viewport_size({"width": 390, "height": 844})
    bench.page.wait_for_selector(".bench.phone")
    bench.page.get_by_role("link", name="Front wall").tap()
    bench.page.get_by_role("heading", name="Front wall").wait_for()
    bench.page.locator('[data-face-piece="shelf-unit"]').tap()
    bench.page.get_by_role("button", name="5 mm up").tap()
    bench.layout_is(2)
    bench.page.get_by_role("button", name="5 mm up").tap()
    bench.layout_is(3)
    bench.page.get_by_role("button", name="5 mm down").tap()
    bench.layout_is(4)

    assert bench.piece("shelf-unit")["base_mm"] == 5


def the_word_turn_turns(bench: Bench) -> None:
    pick(bench)
    bench.page.get_by_role("button", name="Turn", exact=True).tap()
    bench.layout_is(2)

    assert bench.piece("shelf-unit")["turn_deg"] == 270


def any_angle_is_typed_on_the_label(bench: Bench) -> None:
    pick(bench)
    bench.page.get_by_text("More", exact=True).tap()
    bench.page.locator(".card input[name=turn]").fill("195")
    bench.page.get_by_role("button", name="Put it there").tap()
    bench.layout_is(2)

    assert bench.piece("shelf-unit")["turn_deg"] == 195


def the_words_another_one_like_it_put_one_more(bench: Bench) -> None:
    pick(bench)
    bench.page.get_by_role("button", name="Another one like it").tap()
    bench.layout_is(2)

    assert [piece["kit"] for piece in bench.saved()["pieces"]].count(bench.piece("shelf-unit")["kit"]) == 2


def the_words_pick_more_pick_one_more(bench: Bench) -> None:
    pick(bench)
    bench.page.get_by_role("button", name="Pick more").tap()
    bench.page.locator('[data-piece="boiler"]').tap()

    expect(bench.page.locator(".card h2")).to_have_text("2 pieces")


def the_words_take_out_take_out(bench: Bench) -> None:
    pick(bench)
    bench.page.get_by_role("button", name="Take out").tap()
    bench.layout_is(2)

    assert [piece["id"] for piece in bench.saved()["pieces"]] == ["boiler"]


def the_hole_of_the_label_lets_go(bench: Bench) -> None:
    pick(bench)
    bench.page.get_by_role("link", name="Close: put the label away").tap()

    expect(bench.page.locator(".card")).to_have_count(0)


def a_box_shows_everything_and_then_the_picked_alone(bench: Bench) -> None:
    bench.page.get_by_text("Show and hide").tap()
    box = bench.page.get_by_label("Every space, swing, way out and line of sight")
    box.tap()
    expect(bench.page.locator("#everything .space")).not_to_have_count(0)
    box.tap()
    expect(bench.page.locator("#everything .space")).to_have_count(0)


def the_word_undo_undoes(bench: Bench) -> None:
    a_finger_drags_the_piece(bench)
    bench.page.get_by_role("button", name="Undo: move shelving").tap()
    bench.layout_is(3)

    assert bench.piece("shelf-unit")["at_mm"] == [1000, AWAY_Y]


def the_word_redo_does_it_again(bench: Bench) -> None:
    the_word_undo_undoes(bench)
    bench.page.get_by_role("button", name="Redo: move shelving").tap()
    bench.layout_is(4)

    assert bench.piece("shelf-unit")["at_mm"][1] == pytest.approx(500, abs=15)


ROWS: dict[tuple[str, ...], Callable[[Bench], None] | None] = {
    ("Tab",): None,  # a finger goes where it wants to
    ("Enter",): a_tap_picks_and_a_tap_on_the_shelf_puts_kit_on_the_floor,
    ("Arrow",): a_finger_drags_the_piece,
    ("Shift", "Arrow"): a_finger_drags_the_piece,
    ("Alt", "Arrow"): a_millimetre_is_written_on_the_label,
    ("Page Up",): buttons_on_a_phones_wall_raise_and_lower,
    ("Page Down",): buttons_on_a_phones_wall_raise_and_lower,
    ("R",): the_word_turn_turns,
    ("T",): any_angle_is_typed_on_the_label,
    ("D",): the_words_another_one_like_it_put_one_more,
    ("Shift", "Space"): the_words_pick_more_pick_one_more,
    ("Delete",): the_words_take_out_take_out,
    ("Escape",): the_hole_of_the_label_lets_go,
    ("E",): a_box_shows_everything_and_then_the_picked_alone,
    ("Ctrl", "Z"): the_word_undo_undoes,
    ("Ctrl", "Y"): the_word_redo_does_it_again,
}
WAYS = list(dict.fromkeys(way for way in ROWS.values() if way is not None))


def test_every_row_of_the_keyboard_table_has_its_way_by_touch_or_is_told_to_have_none() -> None:
    assert set(ROWS) == {row.keys for row in HELP_KEYS}


@pytest.mark.parametrize("way", WAYS, ids=lambda way: way.__name__)
def test_a_finger_does_what_the_key_does(bench: Bench, browser_errors: list[str], way: Callable[[Bench], None]) -> None:
    way(bench)

    assert browser_errors == []
