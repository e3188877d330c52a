"""The report as a PDF, read back from its vectors and words: true to scale, nothing lost, nothing fetched."""

import re
import subprocess
import sys
from functools import cache

import pytest

from geometry.checking import check_scene
from geometry.scene import Scene, build
from geometry.setting_out import setting_out
from server.agreed import NOBODY
from server.drawing.seats import seats
from server.drawing.svg import mm_text
from server.drawing.unfold import one_wall
from server.pdf import engine_css, font_of, has_engine, pdf_of
from server.report import Report, alone, report_of
from server.report_parts import EVERY_SECTION, SECTIONS
from tests.bench.plant_room import plant_room
from tests.server.drawn import NAMES, demo, every_demo_room
from tests.server.on_paper import Sheet, sheets

pytestmark = pytest.mark.skipif(not has_engine(), reason="the engine that makes PDFs is not made for this machine")
WITHIN = 0.001
OURS = {"Brygada1918", "YsabeauOffice", "CairoFont"}
"""The last is a name that the engine gives to a part of a font of ours; a font of the machine keeps its own."""


FORTY = "forty pieces"
every_room = pytest.mark.parametrize("name", [*NAMES, FORTY])


@cache
def room_of(name: str) -> Scene:
    return build(plant_room(40)) if name == FORTY else demo(name)


@cache
def report(name: str) -> Report:
    return report_of(room_of(name), check_scene(room_of(name)))


def printed(what: Report, shown: frozenset[str] = EVERY_SECTION) -> list[Sheet]:
    return sheets(pdf_of(alone(what, shown, NOBODY, None, engine_css())))


@cache
def made(name: str) -> list[Sheet]:
    return printed(report(name))


def words_of(pages: list[Sheet]) -> str:
    return " ".join(page.text for page in pages)


def out_by(page: Sheet, wide: float, high: float) -> float:
    """The share by which the best fitting thing on a page is out."""
    return min(max(abs(w / wide - 1), abs(h / high - 1)) for _, _, w, h in page.drawn)


@every_room
def test_the_plan_and_every_wall_are_true_to_their_scale_on_paper(name: str) -> None:
    scene, what = room_of(name), report(name)
    xs, ys = zip(*scene.room.outline_mm, strict=True)

    plan = next(page for page in made(name) if f"Plan, 1:{what.plan.scale}" in page.text)
    walls = [next(p for p in made(name) if f"{w.name}, setting-out, 1:{w.scale}" in p.text) for w in what.walls]

    assert out_by(plan, (max(xs) - min(xs)) / what.plan.scale, (max(ys) - min(ys)) / what.plan.scale) < WITHIN
    for wall, page in zip(what.walls, walls, strict=True):
        high = one_wall(scene, wall.edge, 100.0, 100.0).faces[0].height_mm
        assert high == scene.room.ceiling.height_mm
        assert out_by(page, scene.edges[wall.edge].length_mm / wall.scale, high / wall.scale) < WITHIN


@every_room
def test_the_check_bar_is_50_mm_long(name: str) -> None:
    page = next(page for page in made(name) if "Check bar" in page.text)

    bars = [wide for _, _, wide, high in page.drawn if abs(wide - 50) < 1 and abs(high - 2) < 0.1]

    assert [round(wide, 2) for wide in bars] == [50.0]


def closed(*words: str) -> str:
    """Words without their spaces and hyphens: where a line ends there is no telling what stood there."""
    return re.sub(r"[\s\u2010-]+", "", "".join(words))


def rows_by_head(what: Report) -> dict[str, list[str]]:
    """What each row of each table says first, by words in the head of its table."""
    marks = [row for wall in what.walls for row in wall.setting.rows]
    return {
        "finding, and why": [closed(one.finding.message, one.finding.reason) for one in what.lines],
        "width × depth × height": [closed(one.name, one.kind, one.size, one.base) for one in what.kit],
        "m inside": [closed(one.name, one.medium, ",", one.material) for one in what.pipes.lines],
        "bracket line": [closed(r.name, r.left, r.middle, r.right, r.under, r.top, r.bracket) for r in marks],
        "visits a year": [closed(one.name, one.a_year, one.visits, one.replaced) for one in what.parts.calendar],
        "to record when it is set to work": [closed(one.name, one.kind, one.lines[0]) for one in what.parts.records],
    }


@every_room
def test_the_head_of_a_table_stands_on_each_page_that_has_a_row_of_it(name: str) -> None:
    pages = {number: closed(page.text) for number, page in enumerate(made(name), 1)}

    for head, rows in rows_by_head(report(name)).items():
        on = {number for number, text in pages.items() for row in rows if row in text}
        assert [row for row in rows if not any(row in text for text in pages.values())] == []
        assert [number for number in sorted(on) if closed(head) not in pages[number]] == []


def test_tables_that_run_over_pages_are_among_those_rooms() -> None:
    over = set()
    for name in (*NAMES, FORTY):
        texts = [closed(page.text) for page in made(name)]
        over |= {head for head in rows_by_head(report(name)) if sum(closed(head) in text for text in texts) > 1}

    assert over >= {"finding, and why", "width × depth × height", "visits a year", "to record when it is set to work"}


@every_room
def test_what_is_to_order_stands_on_the_page_of_its_heading(name: str) -> None:
    texts = [closed(page.text) for page in made(name) if closed("To order") in closed(page.text)]

    assert len(texts) == (1 if report(name).pipes.totals else 0)
    for total in report(name).pipes.totals:
        assert closed(total.material.capitalize(), total.size, total.length, total.elbows, total.clips) in texts[0]


@every_demo_room
def test_a_wall_is_drawn_at_1_to_25_or_larger_where_a_sheet_holds_that(name: str) -> None:
    """A sheet is 180 mm wide, and the tapes at the sides of a drawing take 32 mm at the most."""
    for wall in report(name).walls:
        if demo(name).edges[wall.edge].length_mm / 25 + 32 <= 180 and len(wall.setting.rows) <= 12:
            assert wall.scale <= 25


@every_demo_room
def test_pages_are_filled(name: str) -> None:
    filled = [page.filled for page in made(name)]

    assert sum(filled) / len(filled) > 0.8
    assert min(filled[:-1]) > 1 / 5
    assert sum(share < 2 / 5 for share in filled[:-1]) <= 1


@every_demo_room
def test_a_wall_with_few_things_on_it_stands_on_one_sheet_with_its_table_and_its_questions(name: str) -> None:
    short = [wall for wall in report(name).walls if len(wall.setting.rows) <= 8]

    sheet = {w.name: next(p for p in made(name) if f"{w.name}, setting-out, 1:{w.scale}" in p.text) for w in short}

    assert short
    assert [name for name, page in sheet.items() if "Not checked on this wall" not in page.text] == []


@every_room
def test_every_page_carries_its_number_and_the_room(name: str) -> None:
    pages, room = made(name), room_of(name).room.name

    assert [i for i, page in enumerate(pages, 1) if f"{room}. Page {i} of {len(pages)}" not in page.text] == []


@every_room
def test_no_glyph_is_missing_and_only_our_fonts_are_used(name: str) -> None:
    fonts = {font.split("+")[-1].split("-")[0] for page in made(name) for font in page.fonts}

    assert fonts <= OURS
    assert sum(page.unread for page in made(name)) == 0


@every_room
def test_every_figure_of_findings_and_setting_out_is_in_the_text(name: str) -> None:
    text, scene = words_of(made(name)), room_of(name)
    figures = {figure for line in report(name).lines for figure in (line.needed, line.found)}
    for edge in scene.edges:
        own = [item.id for item, _ in seats(scene).on(scene, edge.index)]
        marks = setting_out(scene, edge.index, own).bodies if own else ()
        figures |= {mm_text(v) for m in marks for v in (m.left_mm, m.middle_mm, m.right_mm, m.under_mm, m.top_mm)}

    assert [figure for figure in figures if figure not in text] == []


def test_a_report_of_forty_pieces_without_what_may_be_left_out_has_fewer_than_twelve_pages() -> None:
    assert 3 < len(printed(report(FORTY), frozenset())) < 12


@pytest.mark.parametrize("key", list(SECTIONS))
def test_a_part_that_is_left_out_is_not_printed(key: str) -> None:
    heads = {"walls": "setting-out, 1:", "kit": "width × depth × height", "card": "Shut off here"}
    heads |= {"builder": "Builder's work, before", "records": "to record when it is set"}
    head = heads.get(key, SECTIONS[key])

    assert head in words_of(made("boot-room"))
    assert head not in words_of(printed(report("boot-room"), EVERY_SECTION - {key}))


def test_a_process_that_made_many_pdfs_ends_as_it_should() -> None:
    many = "for _ in range(4): render_pdf(sample_room([], []))"
    ways = "from geometry.samples import sample_room; from server.report import render_pdf"

    ended = subprocess.run([sys.executable, "-c", f"{ways}\n{many}"], capture_output=True, check=False)

    assert ended.returncode == 0, ended.stderr


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
