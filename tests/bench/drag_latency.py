"""From the pointer's move to the notes on the page: a real drag in a real Chromium over a real server on loopback."""

import os
import shutil
import subprocess
import sys
import tempfile
from math import cos, sin
from pathlib import Path
from time import sleep

from playwright.sync_api import Page, sync_playwright

from tests.conftest import ROOT, free_port, wait_until_it_answers

LARGEST_ROOM, PIECE = "village-hall", "Softener"
MOVES, MOVE_SECONDS = 300, 1 / 60
TARGET_MS = 50.0

Figures = tuple[str, float, str, float | None]

LISTEN = """() => {
  window.spent = [];
  const moved = {};
  let last = 0;
  document.addEventListener("pointermove", (event) => { last = event.timeStamp; }, true);
  const trying = document.getElementById("trying");
  trying.addEventListener("kit:moved", () => { moved[trying.querySelector("[name=seq]").value] = last; });
  trying.addEventListener("htmx:after:swap", (event) => {
    const seq = new URLSearchParams(event.detail.ctx.request.body).get("seq");
    window.spent.push(performance.now() - moved[seq]);
  });
}"""


def drag_latency() -> list[Figures]:
    """Median and 95th percentile; nothing where no Chromium is found."""
    chromium = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("google-chrome")
    if chromium is None:
        print("no Chromium here: the drag is not measured", file=sys.stderr)
        return []
    with tempfile.TemporaryDirectory() as data:
        port, log = free_port(), Path(data) / "server.log"
        command = [sys.executable, "-m", "server", "serve", "--port", str(port), "--data", data]
        with log.open("wb") as output, subprocess.Popen(command, cwd=ROOT, stdout=output, stderr=output) as process:
            try:
                wait_until_it_answers(process, port, log)
                spent = sorted(_dragged(chromium, f"http://127.0.0.1:{port}/rooms/{LARGEST_ROOM}"))
            finally:
                process.terminate()
    what = "drag in the largest demo room, move to notes swapped"
    return [
        (what, spent[len(spent) // 2], "ms p50", None),
        (what + ", p95", spent[int(0.95 * len(spent))], "ms p95", TARGET_MS),
    ]


def _dragged(chromium: str, url: str) -> list[float]:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=["--disable-dev-shm-usage"])
        page = browser.new_page(viewport={"width": 1440, "height": 900})
        page.goto(url)
        page.wait_for_selector("#workbench[data-ready]")
        page.evaluate(LISTEN)
        _drag(page)
        spent: list[float] = page.evaluate("() => window.spent")
        browser.close()
    return spent


def _drag(page: Page) -> None:
    box = page.locator(f'[data-piece][aria-label^="{PIECE}"]').bounding_box()
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
