"""The report and the customer's page in a real browser: on paper to scale, on screens of three widths, for everybody."""

import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

ROOM = "/rooms/boot-room"
PAGES = [f"{ROOM}/report", f"{ROOM}/customer"]
WIDTHS = {"phone": (390, 844), "tablet": (1024, 768), "desk": (1440, 900)}
WCAG = {"runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]}
PX_MM = 96 / 25.4
"""CSS pixels in a millimetre of paper: CSS Values and Units, section 6.2."""


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("path", PAGES)
def test_the_page_meets_the_rules_for_access(page: Page, server_url: str, path: str, width: str) -> None:
    page.set_viewport_size({"width": WIDTHS[width][0], "height": WIDTHS[width][1]})
    page.goto(server_url + path)

    found = Axe().run(page, options=WCAG)

    assert [(fault["id"], fault["nodes"][0]["html"]) for fault in found.response["violations"]] == []


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("path", PAGES)
def test_the_page_is_no_wider_than_its_window(page: Page, server_url: str, path: str, width: str) -> None:
    page.set_viewport_size({"width": WIDTHS[width][0], "height": WIDTHS[width][1]})

    page.goto(server_url + path)

    assert page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth")


@pytest.mark.parametrize("path", PAGES)
def test_the_page_prints_on_a4(page: Page, server_url: str, path: str) -> None:
    """A4 is 210 x 297 mm (ISO 216), 595.28 x 841.89 points."""
    page.goto(server_url + path)

    paper = page.pdf(prefer_css_page_size=True)

    boxes = re.findall(rb"/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)\s*\]", paper)
    assert boxes
    assert all(abs(float(w) - 595.28) < 1 and abs(float(h) - 841.89) < 1 for w, h in boxes)
