"""The report as a PDF, read back from its vectors and words: true to scale, nothing lost, nothing fetched."""

import subprocess
import sys
from functools import cache

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
from tests.server.drawn import demo, every_demo_room
from tests.server.on_paper import Sheet, sheets

pytestmark = pytest.mark.skipif(not has_engine(), reason="the engine that makes PDFs is not made for this machine")
WITHIN = 0.001
OURS = {"Brygada1918", "YsabeauOffice", "CairoFont"}
"""The last is a name that the engine gives to a part of a font of ours; a font of the machine keeps its own."""


@cache
def report(name: str) -> Report:
    return report_of(demo(name), check_scene(demo(name)))


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


@every_demo_room
def test_the_plan_and_every_wall_are_true_to_their_scale_on_paper(name: str) -> None:
    room, what = demo(name).room, report(name)
    xs, ys = zip(*room.outline_mm, strict=True)
    level = room.ceiling.height_mm if not room.ceiling.slopes else None

    plan = next(page for page in made(name) if f"Plan, 1:{what.plan.scale}" in page.text)
    walls = [next(p for p in made(name) if f"{w.name}, setting-out, 1:{w.scale}" in p.text) for w in what.walls]

    assert out_by(plan, (max(xs) - min(xs)) / what.plan.scale, (max(ys) - min(ys)) / what.plan.scale) < WITHIN
    for wall, page in zip(what.walls, walls, strict=True):
        long = demo(name).edges[wall.edge].length_mm / wall.scale
        faces = [high * wall.scale for _, _, wide, high in page.drawn if abs(wide / long - 1) < WITHIN and high > 20]
        assert faces
        assert level is None or any(abs(high / level - 1) < WITHIN for high in faces)


@every_demo_room
def test_the_check_bar_is_50_mm_long(name: str) -> None:
    page = next(page for page in made(name) if "Check bar" in page.text)

    bars = [wide for _, _, wide, high in page.drawn if abs(wide - 50) < 1 and abs(high - 2) < 0.1]

    assert [round(wide, 1) for wide in bars] == [50.0]


def test_the_heads_of_a_table_are_repeated_on_each_page_it_runs_over() -> None:
    pages = printed(report("village-hall"), frozenset({"records"}))

    assert sum("to record when it is set to work" in page.text for page in pages) >= 2


@every_demo_room
def test_pages_are_filled(name: str) -> None:
    filled = [page.filled for page in made(name)]

    assert sum(filled) / len(filled) > 0.7
    assert sum(share < 1 / 4 for share in filled[:-1]) <= 1


@every_demo_room
def test_a_wall_with_few_things_on_it_stands_on_one_sheet_with_its_table_and_its_questions(name: str) -> None:
    short = [wall for wall in report(name).walls if len(wall.setting.rows) <= 8]

    sheet = {w.name: next(p for p in made(name) if f"{w.name}, setting-out, 1:{w.scale}" in p.text) for w in short}

    assert short
    assert [name for name, page in sheet.items() if "Not checked on this wall" not in page.text] == []


@every_demo_room
def test_every_page_carries_its_number_and_the_room(name: str) -> None:
    pages, room = made(name), demo(name).room.name

    assert [i for i, page in enumerate(pages, 1) if f"{room}. Page {i} of {len(pages)}" not in page.text] == []


@every_demo_room
def test_no_glyph_is_missing_and_only_our_fonts_are_used(name: str) -> None:
    fonts = {font.split("+")[-1].split("-")[0] for page in made(name) for font in page.fonts}

    assert fonts <= OURS
    assert sum(page.unread for page in made(name)) == 0


@every_demo_room
def test_every_figure_of_findings_and_setting_out_is_in_the_text(name: str) -> None:
    text, scene = words_of(made(name)), demo(name)
    figures = {figure for line in report(name).lines for figure in (line.needed, line.found)}
    for edge in scene.edges:
        own = [item.id for item, _ in seats(scene).on(scene, edge.index)]
        marks = setting_out(scene, edge.index, own).bodies if own else ()
        figures |= {mm_text(v) for m in marks for v in (m.left_mm, m.middle_mm, m.right_mm, m.under_mm, m.top_mm)}

    assert [figure for figure in figures if figure not in text] == []


def test_a_report_of_forty_pieces_without_what_may_be_left_out_has_fewer_than_twelve_pages() -> None:
    scene = build(plant_room(40))

    assert 3 < len(printed(report_of(scene, check_scene(scene)), frozenset())) < 12


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
