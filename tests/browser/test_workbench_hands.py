"""What a hand on the workbench takes hold of, and what then listens to it: in a real browser."""

import pytest
from playwright.sync_api import Page, expect

from geometry.samples import box_kit, piece, sample_room
from tests.browser.hands import AWAY_Y, NOTE, ON_FACE, Bench, a_room, new_bench

HUNG = box_kit("hung", 440, 300, 700, name="Wall boiler", stands_on="wall", base_mm=1200, dry_kg=35)
BACK_WALL, LEFT_WALL = 2, 3


@pytest.fixture
def bench(page: Page, server_url: str) -> Bench:
    page.set_viewport_size({"width": 1440, "height": 900})
    return new_bench(page, server_url, a_room())


@pytest.fixture
def hung(page: Page, server_url: str) -> Bench:
    """A boiler on the back wall, its middle at x = 1,000."""
    page.set_viewport_size({"width": 1440, "height": 900})
    return new_bench(page, server_url, sample_room([HUNG], [piece(HUNG, 1000, 1650)], name="Hung room"))


def lift(bench: Bench, kind: str) -> None:
    box = bench.page.locator(f'[data-kit="{kind}"]').bounding_box()
    assert box is not None
    bench.page.mouse.move(box["x"] + box["width"] / 2, box["y"] + 40)
    bench.page.mouse.down()


def over_face(bench: Bench, edge: int, left_mm: float, up_mm: float) -> None:
    bench.page.mouse.move(*bench.page.evaluate(ON_FACE, [edge, left_mm, up_mm]), steps=6)


def test_a_boiler_dropped_on_a_wall_hangs_there_at_its_usual_height_or_at_the_height_of_the_hand(hung: Bench) -> None:
    lift(hung, "hung")
    over_face(hung, LEFT_WALL, 800, 1560)  # its middle is 1,550 up where it usually hangs
    expect(hung.page.locator("#lifted")).to_be_visible()
    hung.page.mouse.up()
    hung.layout_is(2)
    new = hung.piece("p1")
    assert (new["at_mm"][0], new["turn_deg"], new.get("base_mm")) == (150, 90, None)  # 300 deep, back on the left wall
    assert new["at_mm"][1] == pytest.approx(800, abs=10)  # from the left corner, which is the front one here

    lift(hung, "hung")
    over_face(hung, LEFT_WALL, 1400, 900)
    hung.page.mouse.up()
    hung.layout_is(3)
    assert hung.piece("p2")["base_mm"] == pytest.approx(550, abs=10)
    expect(hung.page.locator("#lifted")).to_have_count(0)


def test_kit_carried_over_the_room_and_back_to_the_shelf_leaves_no_note_behind(bench: Bench) -> None:
    before = bench.page.locator(".tally").inner_text()
    lift(bench, "shelf-unit")
    bench.carry(1000, 1200)
    expect(bench.page.locator(NOTE)).to_have_count(1)
    box = bench.page.locator("#shelf").bounding_box()
    assert box is not None
    bench.page.mouse.move(box["x"] + 400, box["y"] + 60, steps=4)
    bench.page.mouse.up()

    expect(bench.page.locator(NOTE)).to_have_count(0)
    expect(bench.page.locator("#lifted")).to_have_count(0)
    assert bench.page.locator(".tally").inner_text() == before


def test_a_dragged_piece_is_the_picked_one_and_take_out_takes_it(bench: Bench) -> None:
    bench.page.locator('[data-piece="boiler"]').click()
    expect(bench.page.locator(".card h2")).to_have_text("Boiler")
    with bench.held((1000, AWAY_Y)):
        bench.carry(1000, 500)
        expect(bench.page.locator(".card h2")).to_have_text("Shelving")
        expect(bench.page.locator("#card-rows")).to_contain_text("600 × 300 × 400")
    bench.layout_is(2)

    bench.page.get_by_role("button", name="Take out").click()
    bench.layout_is(3)
    assert [one["id"] for one in bench.saved()["pieces"]] == ["boiler"]


def test_a_piece_is_dragged_along_its_wall_and_up_and_down_on_the_face(hung: Bench) -> None:
    hung.page.mouse.move(*hung.page.evaluate(ON_FACE, [BACK_WALL, 1000, 1500]))
    hung.page.mouse.down()
    over_face(hung, BACK_WALL, 1400, 1300)
    hung.page.mouse.up()
    hung.layout_is(2)

    boiler = hung.piece("hung")
    assert boiler["at_mm"] == pytest.approx([1400, 1650], abs=10)
    assert boiler["base_mm"] == pytest.approx(1000, abs=10)


def test_keys_act_on_the_piece_that_the_mouse_picked_but_not_while_somebody_writes(bench: Bench) -> None:
    bench.page.locator('[data-piece="shelf-unit"]').click()
    bench.page.wait_for_selector(".card")
    bench.page.keyboard.press("PageUp")
    bench.page.keyboard.press("ArrowRight")
    bench.layout_is(2)
    shelving = bench.piece("shelf-unit")
    assert (shelving["at_mm"], shelving["base_mm"]) == ([1005, AWAY_Y], 5)

    bench.page.get_by_text("More", exact=True).click()
    bench.page.get_by_label("Its back, from the front wall").focus()
    bench.page.keyboard.press("Backspace")
    bench.page.keyboard.press("r")
    assert len(bench.saved()["pieces"]) == 2
    assert bench.piece("shelf-unit")["turn_deg"] == 180


@pytest.mark.parametrize("elsewhere", ['[data-kit="buffer-50"]', "#put-away", '.nav a[href="/sums"]'])
def test_keys_leave_the_picked_piece_alone_while_something_else_has_the_focus(bench: Bench, elsewhere: str) -> None:
    bench.page.locator('[data-piece="shelf-unit"]').click()
    bench.page.wait_for_selector(".card")
    bench.page.locator(elsewhere).focus()
    for key in ("ArrowRight", "r", "Delete"):
        bench.page.keyboard.press(key)
    bench.page.locator('[data-verb="turn"]').focus()
    bench.page.keyboard.press("ArrowUp")
    bench.layout_is(2)

    shelving = bench.piece("shelf-unit")
    assert (shelving["at_mm"], shelving["turn_deg"]) == ([1000, AWAY_Y + 5], 180)


def test_a_click_on_a_piece_takes_the_keys_there_from_wherever_they_were(bench: Bench) -> None:
    bench.page.locator('[data-kit="buffer-50"]').focus()
    bench.page.locator('[data-piece="shelf-unit"]').click()
    bench.page.keyboard.press("ArrowRight")
    bench.layout_is(2)

    assert bench.piece("shelf-unit")["at_mm"] == [1005, AWAY_Y]


def test_escape_shuts_what_is_open_first_and_then_lets_the_piece_go(bench: Bench) -> None:
    bench.page.locator('[data-piece="shelf-unit"]').click()
    bench.page.get_by_text("More", exact=True).click()
    bench.page.keyboard.press("Escape")
    expect(bench.page.locator("#more")).not_to_have_attribute("open", "")
    expect(bench.page.locator(".card")).to_have_count(1)

    bench.page.get_by_text("Show and hide").click()
    bench.page.keyboard.press("Escape")
    expect(bench.page.get_by_label("Names")).to_be_hidden()
    bench.page.keyboard.press("Escape")
    expect(bench.page.locator(".card")).to_have_count(0)


def test_an_undo_says_what_it_undid(bench: Bench) -> None:
    bench.page.locator('[data-piece="boiler"]').click()
    bench.page.keyboard.press("r")
    bench.layout_is(2)
    bench.page.keyboard.press("Control+z")
    bench.layout_is(3)

    expect(bench.page.locator("#status")).to_contain_text("Undone: turn boiler. Redo brings it back.")


def test_what_hangs_keeps_its_back_to_a_wall_when_it_is_turned(hung: Bench) -> None:
    hung.page.locator('[data-piece="hung"]').click()
    hung.page.keyboard.press("r")
    hung.layout_is(2)

    boiler = hung.piece("hung")
    assert (boiler["at_mm"][0], boiler["turn_deg"]) == (150, 90)  # now on the left wall, 300 deep


def test_the_heights_beside_a_wall_are_whole_on_a_phone(page: Page, server_url: str) -> None:
    page.set_viewport_size({"width": 390, "height": 844})
    bench = new_bench(page, server_url, sample_room([HUNG], [piece(HUNG, 1000, 1650)], name="Hung room"))
    bench.open("?wall=2")

    lefts = page.eval_on_selector_all(".tape-up text", "all => all.map((one) => one.getBoundingClientRect().left)")
    assert len(lefts) >= 3
    assert min(lefts) >= 0


def test_the_label_grows_where_it_stands_when_it_is_turned_over(bench: Bench) -> None:
    bench.page.locator('[data-piece="shelf-unit"]').click()
    bench.page.wait_for_selector(".card")
    before = bench.page.locator(".card").bounding_box()
    bench.page.get_by_text("More", exact=True).click()
    expect(bench.page.get_by_label("Turn, degrees")).to_be_visible()
    after = bench.page.locator(".card").bounding_box()

    assert before is not None and after is not None
    assert after["x"] <= before["x"] + 1 <= after["x"] + after["width"]
    assert after["y"] <= before["y"] + 1 <= after["y"] + after["height"]


def test_an_accepted_note_is_an_outline_with_a_tick_on_the_plan(page: Page, server_url: str) -> None:
    page.set_viewport_size({"width": 1440, "height": 900})
    bench = new_bench(page, server_url, a_room(750))
    page.locator(f"{NOTE} h3 a").click()
    page.get_by_text("Accept, in writing").click()
    page.get_by_label("Name of the person who accepts").fill("A. Fitter")
    page.get_by_label("Reason").fill("the shelving lifts off")
    page.get_by_role("button", name="Write it down").click()
    bench.layout_is(2)

    expect(page.locator("#marks .pin.agreed .tick").first).to_be_visible()
    expect(page.locator("#marks .accepted .wrong").first).to_have_css("fill", "none")
    expect(page.locator(NOTE)).to_have_count(1)


def test_picked_pieces_are_dragged_together_and_undone_as_one_step_after_a_reload(bench: Bench) -> None:
    before = [piece["at_mm"] for piece in bench.saved()["pieces"]]
    bench.page.mouse.click(*bench.on_screen(1000, 1600))
    bench.page.keyboard.down("Shift")
    bench.page.mouse.click(*bench.on_screen(*bench.piece("shelf-unit")["at_mm"]))
    bench.page.keyboard.up("Shift")
    bench.page.wait_for_selector(".card.several")

    with bench.held((1000, 1600)):
        bench.carry(1200, 1590)  # the back of the boiler stays at its wall
    bench.layout_is(2)
    moved = [piece["at_mm"] for piece in bench.saved()["pieces"]]
    assert [(b[0] - a[0], b[1] - a[1]) for a, b in zip(before, moved, strict=True)] == [(200, 0), (200, 0)]

    bench.open()
    bench.page.keyboard.press("Control+z")
    bench.layout_is(3)
    assert [piece["at_mm"] for piece in bench.saved()["pieces"]] == before
