"""Every check has an example room in which it finds something, checked and drawn like any other."""

import html
import re

import pytest
from starlette.testclient import TestClient

from geometry.checks import CHECKS
from server.check_limits import LIMITS
from server.examples import ROOMS, example_of, picture_of
from server.shown_checks import shown_checks
from server.shown_figures import shown_packs
from server.wording import triple

every_check = pytest.mark.parametrize("check", [check.id for check in CHECKS])
NO_ONE_CAN_DRAW_IT = "look-on-site"


def test_every_check_has_its_example_and_its_limits_and_nothing_else_has() -> None:
    assert set(ROOMS) == {check.id for check in CHECKS}
    assert set(LIMITS) == {check.id for check in CHECKS}


@every_check
def test_the_example_of_a_check_shows_what_that_check_finds(check: str) -> None:
    finding = example_of(check).finding

    assert finding.check == check
    expected = {"not-checked"} if check == NO_ONE_CAN_DRAW_IT else {"put-right", "look-again"}
    assert finding.verdict in expected
    assert finding.message


@every_check
def test_the_drawing_of_an_example_holds_what_is_found(check: str) -> None:
    finding, picture = example_of(check).finding, picture_of(check)
    needed, found, short = triple(finding)
    written = " ".join(html.unescape(text) for text in re.findall(r"<text[^>]*>([^<]*)</text>", picture))

    assert picture.count("<path") > 3
    if finding.found is not None:
        assert f"{found if needed else short:,f}".removesuffix(".0") in written
    if needed:
        assert f"{needed:,f}".removesuffix(".0") in written


@every_check
def test_what_has_a_place_is_marked_in_its_drawing(check: str) -> None:
    finding = example_of(check).finding

    marked = re.search(r'class="(?:wrong|again)(?: run)?"', picture_of(check)) is not None

    assert marked or finding.where is None


def test_overlap_of_the_example_is_the_depth_worked_out_by_hand() -> None:
    """Cylinder 550 round about x = 400 ends at 675; a machine 600 wide about x = 925 starts at 625: 50 mm."""
    assert example_of("body-overlap").finding.short == pytest.approx(50)


def test_the_page_shows_the_example_of_every_check(client: TestClient) -> None:
    page = html.unescape(client.get("/checks").text)

    assert page.count('<g class="inset">') == len(CHECKS)
    assert all(shown.message in page for shown in shown_checks())
    assert all(text in page for text in LIMITS.values())


def test_no_source_of_a_check_is_told_twice_over(client: TestClient) -> None:
    sources = re.findall(r'<p class="src">(.*?)</p>', client.get("/checks").text)

    assert len(sources) == len(CHECKS)
    assert all("Standing: " in source for source in sources)


def test_every_table_of_a_rule_pack_is_written_out() -> None:
    """Approved Document G (2010), table 3.1: G1/2, 22 mm from the tundish carries up to 9 m, each bend 0.8 m."""
    figures = {figure.name: figure for figure in shown_packs()[0].figures}
    discharge = figures["Discharge table"].table

    assert discharge is not None
    assert discharge[0] == (
        "Valve outlet", "To the tundish, mm", "From the tundish, mm", "Carries up to, m", "Each bend, m",
    )  # fmt: skip
    assert discharge[1][0] == ("G1/2", "15", "22", "9", "0.8")
    assert not any("a table" in figure.value for figure in figures.values())
    assert all(figure.value or figure.table for figure in figures.values())


def test_figures_read_as_people_say_them() -> None:
    figures = {figure.name: figure.value for figure in shown_packs()[0].figures}

    assert figures["Discharge shared sizes larger"] == "1 size"
    assert figures["Discharge stack"].startswith("The stack is shown to stand the heat of the discharge; ")
    assert figures["Condensate fall"] == "45 mm per metre"


def test_no_limit_promises_anything() -> None:
    told = " ".join(LIMITS.values()).lower()

    assert re.findall(r"\b(?:safe|complies|compliant|certified|guaranteed|approved)\b", told) == []
