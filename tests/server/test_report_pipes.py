"""Pipes in the report, as a file to download, and on the drawings: the figures of the schedule, and nothing else."""

import csv
import io
import math
import re
from functools import cache
from itertools import pairwise

import pytest
from starlette.testclient import TestClient

from geometry.checking import check_scene
from geometry.kit import Medium
from geometry.pipes.line import NoRoute, Route
from geometry.pipes.runs import pipe_runs
from geometry.samples import sample_room, sample_scene
from geometry.schedule import HEADS, schedule
from server.agreed import NOBODY
from server.drawing import draw_kit, plan_sheet, unfolded, wall_sheet
from server.drawing.pipe_looks import LOOKS, pipe_legend, short_size
from server.report import alone, render_report, report_of
from server.report_pipes import pipes_of
from tests.server.drawn import demo

DEMOS = ("boot-room", "loft-room", "utility-room", "village-hall")


@cache
def printed(name: str) -> str:
    return alone(report_of(demo(name), check_scene(demo(name))), frozenset({"pipes"}), NOBODY, None)


def rows_of(html: str, table: str) -> list[list[str]]:
    """The cells of a table of the report, as people read them; a dash is nothing."""
    body = html.split(f'class="fi pl{table}"', 1)[1].split("<tbody>", 1)[1].split("</tbody>", 1)[0]
    rows = [re.findall(r"<td[^>]*>(.*?)</td>", row, flags=re.DOTALL) for row in body.split("</tr>")[:-1]]
    return [[re.sub(r"<[^>]+>", "", cell).strip().replace("–", "").replace(",", "") for cell in row] for row in rows]


@pytest.mark.parametrize("name", DEMOS)
def test_the_report_prints_every_run_with_the_figures_of_the_schedule(name: str) -> None:
    scene = demo(name)

    rows = rows_of(printed(name), "")

    expected = [line.cells for line in schedule(scene).lines]
    assert [row[1:] for row in rows] == [[cells[2], *cells[4:12]] for cells in expected]
    assert all(
        row[0].startswith(cells[0].replace(",", "")) and cells[3] in row[0]
        for row, cells in zip(rows, expected, strict=True)
    )


@pytest.mark.parametrize("name", DEMOS)
def test_the_report_prints_what_to_order_of_each_size(name: str) -> None:
    scene = demo(name)

    rows = rows_of(printed(name), " totals")

    expected = [total.cells for total in schedule(scene).totals]
    assert [(row[0].lower(), *row[1:]) for row in rows] == expected


def test_a_run_without_a_way_says_why_in_the_report() -> None:
    (line,) = [line for line in pipes_of(demo("boot-room")).lines if line.name == "Overflow pipe of the break tank"]

    assert (line.note, line.inside, line.elbows) == ("No way found: order nothing yet (20 mm too high)", "", "")


def test_the_report_says_as_loud_what_is_left_out_and_what_has_no_run() -> None:
    html = printed("boot-room")

    assert "<p><b>Left out: Overflow pipe of the break tank, with no way or size found.</b></p>" in html
    assert "<p><b>Not in this schedule, as no run is drawn or found: " in html


@pytest.mark.parametrize("name", DEMOS)
def test_each_run_with_a_way_has_its_points_to_set_out_and_the_straights_between(name: str) -> None:
    runs = [run for run in pipe_runs(demo(name)) if isinstance(run.route, Route)]

    told = dict(pipes_of(demo(name)).set_out)

    assert [len(told[run.name]) for run in runs] == [len(points(run.route)) for run in runs]
    assert [sum(p.straight_mm or 0 for p in told[run.name]) for run in runs] == [
        pytest.approx(sum(math.dist(a, b) for a, b in pairwise(points(run.route)))) for run in runs
    ]
    assert printed(name).count("<caption>") >= len(runs)


def test_a_room_without_pipes_says_so_in_its_report() -> None:
    html = render_report(sample_room([], []))

    assert "No pipe starts or ends in this room yet." in html
    assert 'class="fi pl' not in html


@pytest.mark.parametrize("name", DEMOS)
def test_the_download_parses_back_into_the_schedule(client: TestClient, name: str) -> None:
    response = client.get(f"/rooms/{name}/pipes.csv")

    heads, *rows = csv.reader(io.StringIO(response.text, newline=""))
    assert response.headers["content-type"] == "text/csv; charset=utf-8"
    assert response.headers["content-disposition"] == f'attachment; filename="{name}-layout-1-pipes.csv"'
    assert tuple(heads) == HEADS
    found = schedule(demo(name))
    assert [tuple(row) for row in rows[: len(found.lines)]] == [line.cells for line in found.lines]
    assert [row[0] for row in rows[len(found.lines) :]] == [f"Not in this schedule: {one}" for one in found.missing]


def test_the_report_and_the_workbench_lead_to_the_download(client: TestClient) -> None:
    pages = [client.get(f"/rooms/boot-room{more}").text for more in ("", "/report")]

    assert ['href="/rooms/boot-room/pipes.csv?layout=1"' in page for page in pages] == [True, True]


def test_what_to_order_has_a_download_of_its_own(client: TestClient) -> None:
    response = client.get("/rooms/boot-room/pipes-to-order.csv")

    assert response.text == schedule(demo("boot-room")).order_as_csv()
    assert 'href="/rooms/boot-room/pipes-to-order.csv?layout=1"' in client.get("/rooms/boot-room/report").text


def test_no_room_no_download(client: TestClient) -> None:
    response = client.get("/rooms/no-such-room/pipes.csv")

    assert response.status_code == 404


@pytest.mark.parametrize("name", DEMOS)
def test_every_run_is_on_the_workbench_and_on_the_plan_to_scale(name: str) -> None:
    scene = demo(name)
    keys = {run.key for run in pipe_runs(scene)}

    drawn = [str(draw_kit(unfolded(scene, 826, 754), scene)), str(plan_sheet(scene))]

    assert set(re.findall(r'data-run="([^"]+)"', drawn[0])) == keys
    level = {run.key for run in pipe_runs(scene) if len({point[:2] for point in points(run.route)}) > 1}
    assert set(re.findall(r'data-run="([^"]+)"', drawn[1])) >= level


def points(route: Route | NoRoute) -> list[tuple[float, float, float]]:
    return list(route.points) if isinstance(route, Route) else []


def test_a_run_without_a_way_is_dashed_and_the_others_are_not() -> None:
    drawn = str(draw_kit(unfolded(demo("boot-room"), 826, 754), demo("boot-room")))

    groups = re.findall(r'<g data-run="([^"]+)" data-medium="[^"]+">(.*?)</g>', drawn)
    dashed = {key for key, inside in groups if 'class="pipe none"' in inside}
    assert dashed == {run.key for run in pipe_runs(demo("boot-room")) if isinstance(run.route, NoRoute)} != set()


def test_the_wedge_points_down_the_fall() -> None:
    """The hall's discharge drops in the corner by its left wall, and down the wall is down the page there."""
    sheet = str(wall_sheet(demo("village-hall"), 3))

    (inside,) = re.findall(r'data-medium="hot-discharge">(.*?)</g>', sheet)
    (first, tip, last) = corners(inside.partition('class="fall" d="')[2].partition('"')[0])
    assert first[1] == last[1] < tip[1]
    assert first[0] != last[0]


def corners(data: str) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+),(-?[\d.]+)", data)]


def test_no_two_media_look_the_same_without_colour() -> None:
    """Waste and drain are one thing to a fitter, and one line here."""
    patterns = [look.over for medium, look in LOOKS.items() if medium != "drain"]

    assert len(set(patterns)) == len(patterns)


def test_the_legend_names_each_medium_of_the_room_once() -> None:
    words = [line.words for line in pipe_legend(pipe_runs(demo("boot-room")))]

    assert words == ["discharge", "relief", "condensate", "overflow", "gas", "no way: to what stops it"]


@pytest.mark.parametrize(("medium", "label"), [("hot-discharge", "22 D2"), ("condensate", "21.5 C")])
def test_a_run_is_labelled_with_its_size_and_its_letter(medium: Medium, label: str) -> None:
    runs = [run for run in pipe_runs(demo("boot-room")) if run.medium == medium]

    assert label in [short_size(run) for run in runs]


def test_an_empty_room_has_an_empty_schedule() -> None:
    assert pipes_of(sample_scene([], [])).lines == ()
