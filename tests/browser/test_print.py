"""The report and the customer's page in a real browser: on paper to scale, on screens of three widths, for all."""

import json
import re
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from geometry.reading import room_from
from geometry.samples import CUPBOARD
from server.report import render_report
from tests.conftest import ROOT

ROOM = "/rooms/boot-room"
PAGES = [f"{ROOM}/report", f"{ROOM}/customer"]
WIDTHS = {"phone": (390, 844), "tablet": (1024, 768), "desk": (1440, 900)}
WCAG = {"runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]}
PX_MM = 96 / 25.4
"""CSS pixels in a millimetre of paper: CSS Values and Units, section 6.2."""
BETWEEN_MARGINS_PX = round(180 * PX_MM)
"""A4 is 210 mm wide (ISO 216); the margins take 15 mm on each side."""
BOOT_ROOM = json.loads((ROOT / "demo_rooms" / "boot-room.json").read_text(encoding="utf-8"))

SIZE_MM = """(element) => {
  const box = element.getBoundingClientRect();
  return [box.width * 25.4 / 96, box.height * 25.4 / 96];
}"""


def on_paper(page: Page, url: str) -> None:
    """The page laid out as it is between the margins of A4."""
    page.set_viewport_size({"width": BETWEEN_MARGINS_PX, "height": 943})
    page.emulate_media(media="print")
    page.goto(url)
    page.evaluate("() => document.fonts.ready")


def a_report(page: Page, tmp_path: Any, data: dict[str, Any]) -> None:
    file = tmp_path / "report.html"
    file.write_text(render_report(room_from(data)), encoding="utf-8")
    on_paper(page, file.as_uri())


def outline_size(data: dict[str, Any]) -> tuple[float, float]:
    xs, ys = zip(*data["outline_mm"], strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


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


def test_the_check_bar_is_50_mm_on_paper(page: Page, server_url: str) -> None:
    on_paper(page, server_url + PAGES[0])

    (bar,) = page.locator(".to-scale .bar-edge").all()

    assert bar.evaluate(SIZE_MM)[0] == pytest.approx(50, abs=0.02)


def test_the_plan_is_true_to_its_scale(page: Page, server_url: str) -> None:
    on_paper(page, server_url + PAGES[0])
    plan = page.locator(".to-scale").first
    scale = float(plan.get_attribute("data-scale") or 0)

    width, depth = plan.locator(".floor").first.evaluate(SIZE_MM)

    assert page.get_by_role("heading", name=f"Plan, 1:{scale:.0f}").count() == 1
    assert (width * scale, depth * scale) == pytest.approx(outline_size(BOOT_ROOM), abs=0.02 * scale)


def test_each_wall_is_true_to_its_scale(page: Page, server_url: str) -> None:
    """The tape along the foot of a wall runs from corner to corner."""
    on_paper(page, server_url + PAGES[0])
    lengths = {"Front wall": 2600.0, "Right wall": 1900.0, "Back wall": 2600.0, "Left wall": 1900.0}

    measured = {}
    for sheet in page.locator(".to-scale").all()[1:]:
        scale = float(sheet.get_attribute("data-scale") or 0)
        widths = [tape.evaluate(SIZE_MM) for tape in sheet.locator(".tape").all()]
        name = (sheet.get_attribute("aria-label") or "").split(",")[0]
        measured[name] = max(w for w, h in widths if w > h) * scale

    assert measured == pytest.approx(lengths, abs=0.5)


@pytest.mark.parametrize("outline", [(900, 650), (2400, 1800), (6000, 900), (900, 6000), (14000, 9000), (30000, 30000)])
def test_no_room_makes_a_sheet_that_paper_cannot_hold(page: Page, tmp_path: Any, outline: tuple[int, int]) -> None:
    """Where anything is wider than the paper a browser prints the whole document smaller, and no scale is true."""
    x, y = outline
    kit = {"id": "p1", "kit": "wall-boiler-system", "at_mm": [300, y - 180]}
    a_report(page, tmp_path, {**CUPBOARD, "outline_mm": [[0, 0], [x, 0], [x, y], [0, y]], "pieces": [kit]})

    sizes = [sheet.evaluate(SIZE_MM) for sheet in page.locator(".to-scale").all()]

    assert len(sizes) >= 2
    assert all(width <= 180 and height <= 235 for width, height in sizes)
    assert page.evaluate("() => document.documentElement.scrollWidth") <= BETWEEN_MARGINS_PX


def test_rows_are_not_split_and_heads_are_repeated(page: Page, server_url: str) -> None:
    on_paper(page, server_url + PAGES[0])

    heads = page.locator("table.fi thead").evaluate_all("(all) => all.map((e) => getComputedStyle(e).display)")
    rows = page.locator("table.fi tbody tr").evaluate_all("(all) => all.map((e) => getComputedStyle(e).breakInside)")

    assert set(heads) == {"table-header-group"}
    assert set(rows) == {"avoid"}


def test_nothing_on_paper_is_smaller_than_it_may_be(page: Page, server_url: str) -> None:
    """Text at least 8.4 points, figures of a sheet at least 9 (96 px are 72 points)."""
    on_paper(page, server_url + PAGES[0])

    sizes = page.evaluate(SMALLEST_TEXT)

    assert sizes["text"] >= 8.4 - 0.05
    assert sizes["figures"] >= 9.0 - 0.05


SMALLEST_TEXT = """() => {
  const points = (e) => parseFloat(getComputedStyle(e).fontSize) * 72 / 96;
  const told = "main p, main td, main th, main li, main small, main h2, main .kind, .basis";
  const seen = [...document.querySelectorAll(told)];
  const drawn = [...document.querySelectorAll(".to-scale")].flatMap((svg) => {
    const scale = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
    return [...svg.querySelectorAll("text")].map((e) => points(e) * scale);
  });
  return { text: Math.min(...seen.filter((e) => e.offsetParent).map(points)), figures: Math.min(...drawn) };
}"""


def test_the_frame_of_what_is_not_checked_is_as_heavy_as_it_is_said_to_be(page: Page, server_url: str) -> None:
    on_paper(page, server_url + PAGES[0])

    expect(page.locator(".ncb").first).to_have_css("border-width", "2px")
    expect(page.locator("#not-checked")).to_have_css("font-size", f"{14 * 96 / 72:.4f}px".rstrip("0").rstrip("."))


def test_the_pages_have_no_wash_behind_their_text_in_print(page: Page, server_url: str) -> None:
    on_paper(page, server_url + PAGES[0])

    expect(page.locator("body")).to_have_css("background-color", "rgb(255, 255, 255)")


def test_the_customer_can_walk_round_the_room_without_a_script(page: Page, server_url: str) -> None:
    page.goto(server_url + PAGES[1])

    page.get_by_role("link", name="back left").click()

    expect(page.get_by_role("navigation", name="Look from another corner").locator("b")).to_have_text("back left")


def test_on_paper_the_pipe_schedule_fits_between_the_margins_with_a_line_for_each_run(
    page: Page, server_url: str
) -> None:
    on_paper(page, f"{server_url}{ROOM}/report")

    table = page.locator(".pl").first
    assert table.evaluate("(element) => element.scrollWidth <= element.parentElement.clientWidth")
    assert table.evaluate("(element) => getComputedStyle(element.tHead).display") == "table-header-group"
    expect(table.locator("tbody tr")).to_have_count(6)


def test_printed_in_grey_no_two_lines_of_the_pipe_legend_look_the_same(page: Page, tmp_path: Any) -> None:
    a_report(page, tmp_path, BOOT_ROOM)
    page.add_style_tag(content="html { filter: grayscale(1); } .pipe-band { display: none; }")

    lines = page.locator(".pipe-key svg").all()
    pictures = {line.evaluate("(svg) => svg.innerHTML"): line.screenshot() for line in lines}

    assert len(lines) == 6
    assert len(set(pictures.values())) == len(lines)
