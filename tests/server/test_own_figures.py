"""A room's own figures are in sight in every print: the report, the command line, the page of the pack's figures."""

import html
import json
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from geometry.reading import write_room
from geometry.room import Room
from geometry.rules import rule_pack
from geometry.samples import box_kit, piece, sample_room
from server.main import main
from server.report import render_report

TOLD = "This room's own figures: Lift two: 60 kg instead of 50 kg (four in the crew)."


def room(**more: object) -> Room:
    store = box_kit("store", dry_kg=55)
    return sample_room([store], [piece(store, 1200, 1500)], **more)


OWN = [{"key": "lift-two", "value": 60, "note": "four in the crew"}]


def test_the_report_prints_pack_edition_and_own_figures_and_nothing_of_the_kind_without_them() -> None:
    changed, plain = (html.unescape(render_report(r)) for r in (room(overrides=OWN), room()))

    assert f"England rule pack, {rule_pack('england').edition}" in changed
    assert TOLD in changed
    assert "own figure" not in plain


def test_the_report_lists_the_own_figure_among_its_sources() -> None:
    printed = html.unescape(
        render_report(room(overrides=[{"key": "lift-two", "value": 52, "note": "four in the crew"}]))
    )

    assert "This room's own figure, 52 kg instead of 50 kg (Common practice, no source, two people)" in printed


def test_the_command_prints_them_in_words_and_as_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "own.json"
    path.write_text(write_room(room(overrides=OWN)), encoding="utf-8")

    main(["check", str(path)])
    words = capsys.readouterr().out
    main(["check", str(path), "--json"])
    values = json.loads(capsys.readouterr().out)

    assert TOLD in words.splitlines()
    assert values["rules"]["overrides"][0]["instead_of"] == 50


@pytest.mark.parametrize("shown", [
    "<td>1,000 to 3,000 mm</td>", "<td>600 mm</td>", "<td>15, 22, 28, 35, 42, 54 (mm)</td>",
    '<th scope="col">Carries up to, m</th>', "<td>to 7 kW 300; to 14 kW 600; to 32 kW 1500</td>",
])  # fmt: skip
def test_the_page_of_checks_shows_numbers_ranges_lists_and_every_table_row_by_row(
    client: TestClient, shown: str
) -> None:
    assert shown in client.get("/checks").text
