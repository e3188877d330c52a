"""The report as a PDF, read back from its vectors and words: true to scale, nothing lost, nothing fetched.

A point is 1/72 inch, an inch 25.4 mm (ISO 32000, user space).
"""

import io
import re
from functools import cache
from typing import Any

import pdfplumber
import pytest

from geometry.checking import check_scene
from geometry.scene import build
from geometry.setting_out import setting_out
from server.agreed import NOBODY
from server.drawing.seats import seats
from server.drawing.svg import mm_text
from server.pdf import engine_css, font_of, has_engine, pdf_of
from server.report import Report, alone, report_of
from server.report_parts import EVERY_SECTION, SECTIONS
from tests.bench.plant_room import plant_room
from tests.server.drawn import NAMES, demo

pytestmark = pytest.mark.skipif(not has_engine(), reason="the engine that makes PDFs is not made for this machine")
MM = 25.4 / 72
WITHIN = 0.001
OURS = {"Brygada1918", "YsabeauOffice", "CairoFont"}
"""The last is a name that the engine gives to a part of a font of ours; a font of the machine keeps its own."""


@cache
def report(name: str) -> Report:
    scene = demo(name)
    return report_of(scene, check_scene(scene))


@cache
def made(name: str, shown: frozenset[str] = EVERY_SECTION) -> bytes:
    return pdf_of(alone(report(name), shown, NOBODY, None, engine_css()))


def words_of(pdf: bytes) -> str:
    with pdfplumber.open(io.BytesIO(pdf)) as book:
        return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in book.pages))


def shapes(page: Any) -> list[tuple[float, float]]:
    """Width and height in mm of everything drawn on a page."""
    every = [*page.rects, *page.curves, *page.lines]
    return [((one["x1"] - one["x0"]) * MM, (one["bottom"] - one["top"]) * MM) for one in every]


def nearest(found: list[tuple[float, float]], wide: float, high: float) -> float:
    """The largest share by which the best fitting shape is out."""
    return min(max(abs(w / wide - 1), abs(h / high - 1)) for w, h in found)


@pytest.mark.parametrize("name", ["boot-room", "loft-room", "village-hall"])
def test_the_plan_and_every_wall_are_true_to_their_scale_on_paper(name: str) -> None:
    scene = demo(name)
    xs, ys = zip(*scene.room.outline_mm, strict=True)
    with pdfplumber.open(io.BytesIO(made(name))) as book:
        pages = {(page.extract_text() or "").split("\n")[1]: shapes(page) for page in book.pages}
    plan = report(name).plan

    wide, high = (max(xs) - min(xs)) / plan.scale, (max(ys) - min(ys)) / plan.scale
    assert nearest(pages[f"Plan, 1:{plan.scale}"], wide, high) < WITHIN
    told = [edge for edge in scene.edges if seats(scene).on(scene, edge.index)]
    assert len(report(name).walls) == len(told)
    for edge, wall in zip(told, report(name).walls, strict=True):
        found = pages[f"{wall.name}, setting-out, 1:{wall.scale}"]
        assert min(abs(w * wall.scale / edge.length_mm - 1) for w, _ in found if w) < WITHIN


def test_the_check_bar_is_50_mm_long() -> None:
    with pdfplumber.open(io.BytesIO(made("boot-room"))) as book:
        plan = next(page for page in book.pages if "Check bar" in (page.extract_text() or ""))
        bars = [(w, h) for w, h in shapes(plan) if abs(w - 50) < 1 and abs(h - 2) < 0.1]

    assert bars
    assert all(w == pytest.approx(50.0, abs=0.02) for w, _ in bars)


def test_the_heads_of_a_table_are_repeated_on_each_page_it_runs_over() -> None:
    with pdfplumber.open(io.BytesIO(made("village-hall", frozenset({"records"})))) as book:
        pages = [page.extract_text() or "" for page in book.pages]
    records = [text for text in pages if "to record when it is set to work" in text]

    assert len(records) >= 2


def test_every_page_carries_its_number_and_the_room() -> None:
    with pdfplumber.open(io.BytesIO(made("boot-room"))) as book:
        heads = [(page.extract_text() or "").split("\n")[0] for page in book.pages]

    count = len(heads)
    assert [f"Boot room, 3 Quarry Lane. Page {i} of {count}" in head for i, head in enumerate(heads, 1)] == [
        True
    ] * count


@pytest.mark.parametrize("name", NAMES)
def test_no_glyph_is_missing_and_only_our_fonts_are_used(name: str) -> None:
    with pdfplumber.open(io.BytesIO(made(name))) as book:
        letters = [letter for page in book.pages for letter in page.chars]

    assert {letter["fontname"].split("+")[-1].split("-")[0] for letter in letters} <= OURS
    assert not any("�" in letter["text"] or "(cid:" in letter["text"] for letter in letters)


@pytest.mark.parametrize("name", NAMES)
def test_every_figure_of_findings_and_setting_out_is_in_the_text(name: str) -> None:
    text = words_of(made(name))
    scene = demo(name)
    figures = {figure for line in report(name).lines for figure in (line.needed, line.found)}
    for edge in scene.edges:
        own = [item.id for item, _ in seats(scene).on(scene, edge.index)]
        marks = setting_out(scene, edge.index, own).bodies if own else ()
        figures |= {mm_text(v) for m in marks for v in (m.left_mm, m.middle_mm, m.right_mm, m.under_mm, m.top_mm)}

    assert [figure for figure in figures if figure not in text] == []


def test_a_report_of_forty_pieces_without_what_may_be_left_out_has_fewer_than_twelve_pages() -> None:
    scene = build(plant_room(40))

    book = pdf_of(alone(report_of(scene, check_scene(scene)), frozenset(), NOBODY, None, engine_css()))

    with pdfplumber.open(io.BytesIO(book)) as pages:
        assert 3 < len(pages.pages) < 12


@pytest.mark.parametrize("key", list(SECTIONS))
def test_a_part_that_is_left_out_is_not_printed(key: str) -> None:
    heads = {"walls": "setting-out, 1:", "kit": "width × depth × height", "card": "Shut off here"}
    heads |= {"builder": "Builder's work, before", "records": "to record when it is set"}
    head = heads.get(key, SECTIONS[key])

    assert head in words_of(made("boot-room"))
    assert head not in words_of(made("boot-room", EVERY_SECTION - {key}))


@pytest.mark.parametrize(
    "url",
    ["file:///etc/passwd", "http://127.0.0.1/x", "http://fonts.invalid/fonts/../look.css", "data:text/css,x",
     "http://fonts.invalid/fonts/a.woff2.txt", ""],
)  # fmt: skip
def test_the_engine_is_given_nothing_but_our_fonts(url: str) -> None:
    with pytest.raises(ValueError, match="not part of it"):
        font_of(url)


def test_what_a_report_asks_for_is_not_fetched(caplog: pytest.LogCaptureFixture) -> None:
    book = pdf_of('<p>Words <img src="file:///etc/hostname"> <img src="http://127.0.0.1:9/x.png"></p>')

    assert book.startswith(b"%PDF")
    assert len(caplog.messages) == 2
