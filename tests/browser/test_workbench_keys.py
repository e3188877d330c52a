"""Every row of the keyboard table on the help page, pressed in a real browser."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from server.help_keys import HELP_KEYS
from tests.browser.hands import AWAY_Y, NEAR_Y, NOTE, Bench, a_room, new_bench


@pytest.fixture
def bench(page: Page, server_url: str) -> Bench:
    page.set_viewport_size({"width": 1440, "height": 900})
    return new_bench(page, server_url, a_room())


def on_shelving(bench: Bench, *keys: str) -> None:
    bench.page.locator('[data-piece="shelf-unit"]').focus()
    for key in keys:
        bench.page.keyboard.press(key)


def shelving_after(bench: Bench, *keys: str) -> tuple[float, float, float, float]:
    """(x, y, base, turn) of the shelving once the keys are saved."""
    on_shelving(bench, *keys)
    bench.layout_is(2)
    piece = bench.piece("shelf-unit")
    return (*piece["at_mm"], piece.get("base_mm", 0), piece.get("turn_deg", 0))


def tab_goes_on_to_notes_pieces_and_shelf(bench: Bench) -> None:
    seen = []
    for _ in range(25):
        bench.page.keyboard.press("Tab")
        seen.append(
            bench.page.evaluate(
                "() => ['nav', '#findings-list', '#questions', '[data-piece]', '#shelf']"
                ".find((part) => document.activeElement.closest(part)) ?? ''"
            )
        )

    order = [place for i, place in enumerate(seen) if place and place not in seen[:i]]
    assert order[:4] == ["nav", "#questions", "[data-piece]", "#shelf"]


def enter_picks_a_piece_and_puts_kit_on_the_floor(bench: Bench) -> None:
    on_shelving(bench, "Enter")
    expect(bench.page.locator(".card h2")).to_have_text("Shelving")

    bench.page.locator('[data-kit="buffer-50"]').focus()
    bench.page.keyboard.press("Enter")
    bench.layout_is(2)
    expect(bench.page.locator(".card h2")).to_have_text("Buffer")


def arrows_move_five_millimetres(bench: Bench) -> None:
    assert shelving_after(bench, "ArrowRight", "ArrowRight", "ArrowUp") == (1010, AWAY_Y + 5, 0, 180)


def shift_arrows_move_fifty(bench: Bench) -> None:
    assert shelving_after(bench, "Shift+ArrowLeft", "Shift+ArrowUp") == (950, AWAY_Y + 50, 0, 180)


def alt_arrows_move_one(bench: Bench) -> None:
    assert shelving_after(bench, "Alt+ArrowRight", "Alt+ArrowUp") == (1001, AWAY_Y + 1, 0, 180)


def page_up_raises(bench: Bench) -> None:
    assert shelving_after(bench, "PageUp", "Shift+PageUp", "Alt+PageUp")[2] == 56


def page_down_lowers(bench: Bench) -> None:
    assert shelving_after(bench, "Shift+PageUp", "PageDown", "Alt+PageDown")[2] == 44


def r_turns_a_quarter(bench: Bench) -> None:
    assert shelving_after(bench, "r")[3] == 270


def t_turns_fifteen_degrees(bench: Bench) -> None:
    assert shelving_after(bench, "t")[3] == 195


def delete_takes_out(bench: Bench) -> None:
    on_shelving(bench, "Delete")
    bench.layout_is(2)

    assert [piece["id"] for piece in bench.saved()["pieces"]] == ["boiler"]


def escape_puts_back_and_then_lets_go(bench: Bench) -> None:
    on_shelving(bench, "Enter")
    bench.page.wait_for_selector(".card")
    on_shelving(bench, "Shift+ArrowUp", "Escape")
    expect(bench.page.locator("#status")).to_have_text("Shelving is back where it was.")
    bench.page.keyboard.press("Escape")

    expect(bench.page.locator(".card")).to_have_count(0)
    assert bench.piece("shelf-unit")["at_mm"] == [1000, AWAY_Y]


def e_shows_everything_and_then_the_picked_alone(bench: Bench) -> None:
    bench.page.keyboard.press("e")
    expect(bench.page.locator("#everything .space")).not_to_have_count(0)
    bench.page.keyboard.press("e")
    expect(bench.page.locator("#everything .space")).to_have_count(0)


def control_z_undoes(bench: Bench) -> None:
    shelving_after(bench, "Shift+ArrowUp")
    bench.page.keyboard.press("Control+z")
    bench.layout_is(3)

    assert bench.piece("shelf-unit")["at_mm"] == [1000, AWAY_Y]


def control_y_does_it_again(bench: Bench) -> None:
    control_z_undoes(bench)
    bench.page.keyboard.press("Control+y")
    bench.layout_is(4)

    assert bench.piece("shelf-unit")["at_mm"] == [1000, AWAY_Y + 50]


def d_puts_another_one_like_it(bench: Bench) -> None:
    on_shelving(bench, "d")
    bench.layout_is(2)

    assert bench.saved()["pieces"][-1]["kit"] == "shelf-unit"
    expect(bench.page.locator(".card h2")).to_have_text("Shelving 1")


def shift_space_picks_more_and_arrows_move_them_all(bench: Bench) -> None:
    on_shelving(bench, "Enter")
    bench.page.locator('[data-piece="boiler"]').focus()
    bench.page.keyboard.press("Shift+Space")
    expect(bench.page.locator(".card h2")).to_have_text("2 pieces")
    bench.page.keyboard.press("ArrowRight")
    bench.layout_is(2)

    assert [piece["at_mm"] for piece in bench.saved()["pieces"]] == [[1005, 1600], [1005, AWAY_Y]]
    expect(bench.page.locator("#kit .picked[data-piece]")).to_have_count(2)


ROWS: dict[tuple[str, ...], Callable[[Bench], None]] = {
    ("Tab",): tab_goes_on_to_notes_pieces_and_shelf,
    ("Enter",): enter_picks_a_piece_and_puts_kit_on_the_floor,
    ("Arrow",): arrows_move_five_millimetres,
    ("Shift", "Arrow"): shift_arrows_move_fifty,
    ("Alt", "Arrow"): alt_arrows_move_one,
    ("Page Up",): page_up_raises,
    ("Page Down",): page_down_lowers,
    ("R",): r_turns_a_quarter,
    ("T",): t_turns_fifteen_degrees,
    ("D",): d_puts_another_one_like_it,
    ("Shift", "Space"): shift_space_picks_more_and_arrows_move_them_all,
    ("Delete",): delete_takes_out,
    ("Escape",): escape_puts_back_and_then_lets_go,
    ("E",): e_shows_everything_and_then_the_picked_alone,
    ("Ctrl", "Z"): control_z_undoes,
    ("Ctrl", "Y"): control_y_does_it_again,
}


def test_every_row_of_the_keyboard_table_is_pressed_here() -> None:
    assert set(ROWS) == {row.keys for row in HELP_KEYS}


@pytest.mark.parametrize("keys", ROWS, ids=" ".join)
def test_the_key_does_what_the_help_page_says(bench: Bench, keys: tuple[str, ...]) -> None:
    ROWS[keys](bench)


def test_a_note_comes_and_goes_under_the_arrow_keys_and_a_run_of_presses_is_one_step(bench: Bench) -> None:
    up = ["Shift+ArrowUp"] * ((NEAR_Y - AWAY_Y) // 50)
    on_shelving(bench, *up)
    expect(bench.page.locator(NOTE)).to_have_count(1)
    bench.layout_is(2)
    assert bench.piece("shelf-unit")["at_mm"] == [1000, NEAR_Y]

    on_shelving(bench, *["Shift+ArrowDown"] * 5)
    expect(bench.page.locator(NOTE)).to_have_count(0)


def test_the_piece_keeps_the_focus_while_its_moves_are_saved(bench: Bench) -> None:
    shelving_after(bench, "Shift+ArrowUp")

    assert bench.page.evaluate("() => document.activeElement.dataset.piece") == "shelf-unit"


def test_the_status_line_tells_what_opened_and_closed(bench: Bench) -> None:
    shelving_after(bench, *["Shift+ArrowUp"] * ((NEAR_Y - AWAY_Y) // 50))

    expect(bench.page.locator("#status")).to_have_text(
        "New note: Boiler needs 600 mm in front; the shelving leaves 500 mm."
    )
