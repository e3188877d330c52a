"""What the browser tests of the workbench share: rooms of their own, and hands that reach for places in millimetres."""

import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import httpx
from playwright.sync_api import Page

from geometry.reading import write_room
from geometry.room import Room
from geometry.samples import box_kit, piece, sample_room

BOILER = box_kit(
    "boiler", 600, 400, 800, dry_kg=40, space=[{"side": "front", "mm": 600, "why": "the case comes off forwards"}]
)
SHELVING = box_kit("shelf-unit", 600, 300, 400, name="Shelving")
NOTE = '.note[data-finding="service-space"][data-verdict="put-right"]'
AWAY_Y, NEAR_Y = 200, 750
SIZES = {"desk": (1440, 900), "tablet": (1024, 768), "phone": (390, 844)}

ON_SCREEN = """([x, y]) => {
  const [a, b, c, d, e, f] = JSON.parse(document.querySelector(".bench").dataset.handles).plan;
  const at = new DOMPoint(a * x + c * y + e, b * x + d * y + f);
  const seen = at.matrixTransform(document.getElementById("drawing").getScreenCTM());
  return [seen.x, seen.y];
}"""


def a_room(shelving_y: float = AWAY_Y) -> Room:
    """A boiler at the back that needs 600 mm in front, and shelving at (1000, shelving_y): 750 leaves 500 mm."""
    pieces = [piece(BOILER, 1000, 1600), piece(SHELVING, 1000, shelving_y, 180)]
    return sample_room([BOILER, SHELVING], pieces, name="Boot room, Harbour Row")


class Bench:
    """One room on a page."""

    def __init__(self, page: Page, server_url: str, room_id: str) -> None:
        self.page = page
        self.url = f"{server_url}/rooms/{room_id}"

    def open(self, query: str = "") -> "Bench":
        self.page.goto(self.url + query)
        self.page.wait_for_selector("#workbench[data-ready]")
        return self

    def saved(self) -> dict[str, Any]:
        """The newest layout as the server has it."""
        data: dict[str, Any] = httpx.get(f"{self.url}/file").json()
        return data

    def piece(self, piece_id: str) -> dict[str, Any]:
        found = {piece["id"]: piece for piece in self.saved()["pieces"]}
        return dict(found[piece_id])

    def layout_is(self, number: int) -> None:
        """Waits until the page shows that layout."""
        self.page.get_by_text(f"layout {number}", exact=True).wait_for()

    def on_screen(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        x, y = self.page.evaluate(ON_SCREEN, [x_mm, y_mm])
        return x, y

    @contextmanager
    def held(self, piece_at: tuple[float, float]) -> Iterator[None]:
        """Takes hold of what stands there with the mouse, and lets go at the end."""
        self.page.mouse.move(*self.on_screen(*piece_at))
        self.page.mouse.down()
        yield
        self.page.mouse.up()

    def carry(self, x_mm: float, y_mm: float) -> None:
        self.page.mouse.move(*self.on_screen(x_mm, y_mm), steps=6)


class Finger:
    """One finger on the glass, through the protocol of the browser's own tools."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self.tools = bench.page.context.new_cdp_session(bench.page)

    def at(self, kind: str, x_mm: float, y_mm: float) -> None:
        x, y = self.bench.on_screen(x_mm, y_mm)
        self.tools.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": x, "y": y}]})

    def drag(self, start: tuple[float, float], *stops: tuple[float, float]) -> None:
        self.at("touchStart", *start)
        here = start
        for stop in stops:
            for step in range(1, 7):
                share = step / 6
                self.at("touchMove", here[0] + (stop[0] - here[0]) * share, here[1] + (stop[1] - here[1]) * share)
            here = stop

    def lift(self) -> None:
        """Off the glass after a moment's rest, by the finger's own clock: a finger that flies off scrolls on."""
        rested = time.time() + 0.5
        self.tools.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": [], "timestamp": rested})


def new_bench(page: Page, server_url: str, room: Room) -> Bench:
    """A room of one's own, open on the page and ready."""
    sent = httpx.post(f"{server_url}/rooms", files={"file": ("room.json", write_room(room).encode())})
    return Bench(page, server_url, sent.headers["location"].removeprefix("/rooms/")).open()
