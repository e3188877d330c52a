"""A piece dragged along its wall, on the plan and on the face of the wall: the same end is the same room file."""

import json

import httpx
import pytest
from playwright.sync_api import Page

from geometry.room import Room
from geometry.samples import box_kit, piece, sample_room
from tests.browser.hands import Bench, new_bench

HUNG = box_kit("hung", 440, 300, 700, name="Wall boiler", stands_on="wall", base_mm=1200, dry_kg=35)
TANK = box_kit("tank", 600, 400, 900)
VESSEL = box_kit("vessel", 300, 500, 700)
KINDS = {"left": TANK, "right": VESSEL, "front": TANK, "hung": HUNG}
WALLS = {"front": 0, "right": 1, "hung": 2, "left": 3}
WIDE, DEEP = 3000, 2400
BACKS = {"left": (200, 1300, 90), "right": (2750, 1300, 270), "front": (1500, 200, 180), "hung": (1500, 2250, 0)}
"""Each piece with its back to its wall: (x, y, turn), half a depth off it."""
SIDES = {"left": (300, 1300, 0), "right": (2850, 1300, 0), "front": (1500, 300, 90), "hung": BACKS["hung"]}
"""Each with its side to it, half a width off it; what hangs keeps its back to it."""
TO_THE_CORNER = {
    "backs": {"left": (200, 2100), "right": (2750, 2250), "front": (2700, 200), "hung": (2780, 2250)},
    "sides": {"left": (300, 2200), "right": (2850, 2150), "front": (2800, 300), "hung": (2780, 2250)},
}
"""Where each comes to rest when it is pushed along its wall, away from the left or from the front: half its size short
of the corner at 3,000 or 2,400."""
ODD_BASE_MM = 1203
STEP_PX, BEYOND_PX = 17, 3
UPRIGHT = ("left", "right")
"""Walls that run up the screen."""
SCALE = "() => JSON.parse(document.querySelector('.bench').dataset.handles).scale"


def a_room(how: str) -> Room:
    """One piece against each wall; what hangs is at a height that is no whole step."""
    places = BACKS if how == "backs" else SIDES
    pieces = [piece(KINDS[name], *at, id=name) for name, at in places.items()]
    pieces[-1]["base_mm"] = ODD_BASE_MM
    outline = [[0, 0], [WIDE, 0], [WIDE, DEEP], [0, DEEP]]
    return sample_room([TANK, VESSEL, HUNG], pieces, outline_mm=outline, name="Boot room, Harbour Row")


def file_of(bench: Bench) -> bytes:
    return httpx.get(f"{bench.url}/file").content


def drag(bench: Bench, start: tuple[float, float], along_px: float, name: str, turning: bool) -> None:
    """From a place on the screen along the wall of a piece: to the right, or up; R is pressed on the way."""
    x, y = (round(value) for value in start)
    bench.page.mouse.move(x, y)
    bench.page.mouse.down()
    for share in (0.5, 1.0):
        by = along_px * share
        bench.page.mouse.move(*((x, y - by) if name in UPRIGHT else (x + by, y)))
        if turning and share < 1:
            bench.page.keyboard.press("r")
    bench.page.mouse.up()


def on_the_wall(bench: Bench, name: str) -> tuple[float, float]:
    """The middle of a piece as its wall shows it."""
    box = bench.page.locator(f'[data-face-piece="{name}"][data-edge="{WALLS[name]}"] .k').first.bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


@pytest.fixture
def bench(page: Page, server_url: str, how: str) -> Bench:
    page.set_viewport_size({"width": 1440, "height": 900})
    return new_bench(page, server_url, a_room(how))


@pytest.mark.parametrize("turning", [False, True], ids=["as it stands", "turned on the way"])
@pytest.mark.parametrize("how", ["backs", "sides"])
def test_a_drag_on_the_plan_and_one_on_the_wall_to_the_same_end_give_the_same_room_file_byte_for_byte(
    bench: Bench, how: str, turning: bool
) -> None:
    was, scale = file_of(bench), bench.page.evaluate(SCALE)
    ends_as = how if not turning else "sides" if how == "backs" else "backs"
    for name in KINDS:
        if turning and name == "hung":
            continue  # what hangs keeps its back to the wall
        start, corner = bench.piece(name)["at_mm"], TO_THE_CORNER[ends_as][name]
        axis = 1 if name in UPRIGHT else 0
        to_corner_px = (corner[axis] - start[axis]) * scale
        for along_px in (STEP_PX, to_corner_px + BEYOND_PX):
            files = [
                dragged(bench, at, along_px, name, turning)
                for at in (bench.on_screen(*start), on_the_wall(bench, name))
            ]
            at_mm = {piece["id"]: tuple(piece["at_mm"]) for piece in json.loads(files[0])["pieces"]}

            assert files[0] == files[1], (name, along_px)
            assert files[0] != was
            assert along_px < 50 or at_mm[name] == corner


def dragged(bench: Bench, start: tuple[float, float], along_px: float, name: str, turning: bool) -> bytes:
    """The room file after a drag, which is undone again."""
    was, layout = file_of(bench), int(bench.page.locator("#view [name=layout]").input_value())
    drag(bench, start, along_px, name, turning)
    bench.layout_is(layout + 1)
    after = file_of(bench)
    bench.page.keyboard.press("Control+z")
    bench.layout_is(layout + 2)
    assert file_of(bench) == was
    return after
