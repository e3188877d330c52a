"""Chromium, a running server and a clean page, for every test that asks for one.

Set ELBOWROOM_REQUIRE_BROWSER=1 where a missing Chromium has to be a failure. CHROMIUM names another executable.
"""

import os
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings
from playwright.sync_api import Browser, Page, sync_playwright

ROOT = Path(__file__).parent.parent
START_SECONDS = 20

collect_ignore = ["bench"]

settings.register_profile("same each time", derandomize=True, deadline=None)
settings.load_profile("same each time")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Browser tests last: a running playwright holds the event loop of the thread, so nothing else may need one."""
    items.sort(key=lambda item: "browser" in getattr(item, "fixturenames", ()))


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    chromium = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("google-chrome")
    if chromium is None:
        missing = "no Chromium here: install chromium, or name one in CHROMIUM"
        if os.environ.get("ELBOWROOM_REQUIRE_BROWSER") == "1":
            pytest.fail(missing)
        pytest.skip(missing)
    with sync_playwright() as playwright:
        running = playwright.chromium.launch(executable_path=chromium, args=["--disable-dev-shm-usage"])
        yield running
        running.close()


@pytest.fixture
def browser_errors() -> list[str]:
    """What the console and the scripts of `page` complained of; a test that provokes an error asserts it and clears."""
    return []


@pytest.fixture
def page(browser: Browser, browser_errors: list[str]) -> Iterator[Page]:
    context = browser.new_context()
    page = context.new_page()
    page.on("console", lambda message: browser_errors.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: browser_errors.append(str(error)))
    yield page
    context.close()
    assert browser_errors == []


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


def wait_until_it_answers(process: subprocess.Popen[bytes], port: int, log: Path) -> None:
    deadline = time.monotonic() + START_SECONDS
    while time.monotonic() < deadline and process.poll() is None:
        try:
            socket.create_connection(("127.0.0.1", port), timeout=1).close()
            return
        except OSError:
            time.sleep(0.05)
    pytest.fail(f"the server did not start:\n{log.read_text()}")


@pytest.fixture(scope="session")
def server_url(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of one server for the whole run, over a fresh folder of data."""
    data, port = tmp_path_factory.mktemp("data"), free_port()
    log = tmp_path_factory.mktemp("log") / "server.log"
    command = [sys.executable, "-m", "server", "serve", "--host", "127.0.0.1", "--port", str(port), "--data", str(data)]
    with log.open("wb") as output, subprocess.Popen(command, cwd=ROOT, stdout=output, stderr=output) as process:
        try:
            wait_until_it_answers(process, port, log)
            yield f"http://127.0.0.1:{port}"
        finally:
            process.terminate()
            try:
                process.wait(timeout=10)
            except subprocess.TimeoutExpired:
                process.kill()
