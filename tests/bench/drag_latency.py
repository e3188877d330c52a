"""From the pointer's move to the notes on the page: a real drag in a real Chromium over a real server on loopback."""

import os
import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from math import cos, sin
from pathlib import Path
from time import sleep

from playwright.sync_api import Page, sync_playwright

from server.app import create_app
from server.settings import Settings, sqlite_url
from tests.bench.plant_room import plant_room
from tests.conftest import ROOT, free_port, wait_until_it_answers

MOVES, MOVE_SECONDS = 300, 1 / 60

Figures = tuple[str, float, str, float | None]

LISTEN = """() => {
  window.spent = [];
  window.strict = [];
  window.long = [];
  const moved = {};
  let last = [0, 0];
  document.addEventListener("pointermove", (event) => { last = [performance.now(), event.timeStamp]; }, true);
  const trying = document.getElementById("trying");
  trying.addEventListener("kit:moved", () => { moved[trying.querySelector("[name=seq]").value] = last; });
  trying.addEventListener("htmx:after:swap", (event) => {
    const seq = new URLSearchParams(event.detail.ctx.request.body).get("seq");
    window.spent.push(performance.now() - moved[seq][0]);
    window.strict.push(performance.now() - moved[seq][1]);
  });
  new PerformanceObserver((list) => window.long.push(...list.getEntries().map((one) => one.duration)))
    .observe({ type: "longtask" });
}"""


@dataclass(frozen=True)
class Drag:
    """What is dragged: a room, and the beginning of the name of one of its pieces."""

    words: str
    room_id: str
    piece: str
    target_ms: float


DRAGS = (
    Drag("the largest demo room", "village-hall", "Softener", 50.0),
    Drag("a room of 40 pieces", "forty", "Buffer", 33.0),
)


def drag_latency() -> list[Figures]:
    """Median and 95th percentile; nothing where no Chromium is found.

    Counted from when the page hears of the move, which the browser tells once a frame, to when the notes are swapped.
    """
    chromium = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("google-chrome")
    if chromium is None:
        print("no Chromium here: the drag is not measured", file=sys.stderr)
        return []
    with tempfile.TemporaryDirectory() as data:
        store = create_app(Settings(sqlite_url(Path(data)))).state.store
        store.create(plant_room(40), "For timing", room_id="forty")
        store.close()
        port, log = free_port(), Path(data) / "server.log"
        command = [sys.executable, "-m", "server", "serve", "--port", str(port), "--data", data]
        with log.open("wb") as output, subprocess.Popen(command, cwd=ROOT, stdout=output, stderr=output) as process:
            try:
                wait_until_it_answers(process, port, log)
                return [one for drag in DRAGS for one in _figures(drag, chromium, f"http://127.0.0.1:{port}")]
            finally:
                process.terminate()


def _figures(drag: Drag, chromium: str, address: str) -> list[Figures]:
    spent, strict, long = _dragged(chromium, f"{address}/rooms/{drag.room_id}", drag.piece)
    what = f"drag in {drag.words}, move to notes swapped"
    return [
        (what, spent[len(spent) // 2], "ms p50", None),
        (what + ", p95", spent[int(0.95 * len(spent))], "ms p95", drag.target_ms),
        (what + ", from the hand's own clock, p95", strict[int(0.95 * len(strict))], "ms p95", None),
        (f"longest task while dragging in {drag.words}", max(long, default=0.0), "ms", 50.0),
    ]


def _dragged(chromium: str, url: str, piece: str) -> tuple[list[float], list[float], list[float]]:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=["--disable-dev-shm-usage"])
        page = browser.new_page(viewport={"width": 1440, "height": 900})
        page.goto(url)
        page.wait_for_selector("#workbench[data-ready]")
        page.evaluate(LISTEN)
        _drag(page, piece)
        spent, strict, long = page.evaluate("() => [window.spent, window.strict, window.long]")
        browser.close()
    return sorted(spent), sorted(strict), long


def _drag(page: Page, piece: str) -> None:
    box = page.locator(f'[data-piece][aria-label^="{piece}"]').first.bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    for i in range(MOVES):
        page.mouse.move(x + 60 * sin(i / 14), y - 40 + 40 * cos(i / 19))
        sleep(MOVE_SECONDS)
    page.mouse.up()


if __name__ == "__main__":
    for name, value, unit, _ in drag_latency():
        print(f"{name:<60}{value:8.1f} {unit}")
