"""Parts of the report that may be left out, who agreed, the code of the link, and the PDF as the app gives it."""

import re
from html import unescape
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from geometry.editing import moved
from geometry.reading import write_room
from geometry.samples import box_kit, piece, sample_room
from server.commissioning import records
from server.main import SECTION_KEYS, main
from server.pdf import has_engine
from server.report_parts import SECTIONS
from server.store import Layout, Store
from tests.server.drawn import demo

TANK = box_kit("tank", visits_a_year=1, life_years=12, dry_kg=20)
ROOM = sample_room([TANK], [piece(TANK, 300, 1600)], name="Boot room, Harbour Row")
needs_engine = pytest.mark.skipif(not has_engine(), reason="the engine that makes PDFs is not made for this machine")


@pytest.fixture
def layout(store_of_app: Store) -> Layout:
    return store_of_app.create(ROOM)


def said(html: str) -> str:
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", html)))


def ids(html: str) -> set[str]:
    return set(re.findall(r'<h2 id="([a-z-]+)', html))


def test_the_boxes_on_the_page_name_every_part_and_leave_out_what_is_not_ticked(
    client: TestClient, layout: Layout
) -> None:
    path = f"/rooms/{layout.room_id}/report"

    whole, some, none = (client.get(path + more).text for more in ("", "?part=none&part=order", "?part=none"))

    assert set(re.findall(r'type="checkbox" name="part" value="(\w+)" checked', whole)) == set(SECTIONS)
    assert {"order", "calendar", "card", "builder", "records", "pipes"} <= ids(whole)
    assert "order" in ids(some) and not {"calendar", "card", "kit"} & ids(some)
    assert not {"order", "calendar", "card", "kit", "checked"} & ids(none)
    assert {"findings", "not-checked", "plan", "mind"} <= ids(none)


def test_the_link_to_the_pdf_keeps_what_is_left_out(client: TestClient, layout: Layout) -> None:
    html = client.get(f"/rooms/{layout.room_id}/report?part=none&part=kit").text

    if has_engine():
        assert f"/rooms/{layout.room_id}/report.pdf?layout=1&amp;part=none&amp;part=kit" in html
    else:
        assert "print this page and choose" in html


@needs_engine
def test_the_app_gives_the_report_as_a_pdf(client: TestClient, layout: Layout) -> None:
    answer = client.get(f"/rooms/{layout.room_id}/report.pdf?part=none")

    assert answer.headers["content-type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")
    assert f"{layout.room_id}-layout-1.pdf" in answer.headers["content-disposition"]


@needs_engine
def test_the_command_writes_a_pdf_and_leaves_out_what_it_is_told_to(tmp_path: Path) -> None:
    file, whole, short = tmp_path / "room.json", tmp_path / "whole.pdf", tmp_path / "short.pdf"
    leave_out = [word for key in SECTION_KEYS for word in ("--without", key)]
    file.write_text(write_room(ROOM), encoding="utf-8")

    done = [main(["report", str(file), "-o", str(whole)]), main(["report", str(file), "-o", str(short), *leave_out])]

    assert done == [0, 0]
    assert whole.read_bytes().startswith(b"%PDF")
    assert len(short.read_bytes()) < len(whole.read_bytes())


def test_the_command_and_the_page_know_the_same_parts() -> None:
    assert tuple(SECTIONS) == SECTION_KEYS


def test_the_front_says_who_agreed_and_what_has_changed_since(
    client: TestClient, store_of_app: Store, layout: Layout
) -> None:
    path = f"/rooms/{layout.room_id}/report"
    before = said(client.get(path).text)
    store_of_app.shares.agree(layout.room_id, 1, "Jo Field")
    agreed = said(client.get(path).text)
    store_of_app.save(layout.room_id, 1, moved(ROOM, "tank", (900, 1600)), "Tank moved")
    later = said(client.get(path).text)

    assert "Nobody has agreed to this layout yet." in before
    assert "Jo Field agreed to layout 1 on" in agreed and "Changed since" not in agreed
    assert "Changed since Jo Field agreed to layout 1: Tank has moved 600 mm to the right." in later


def test_the_front_carries_the_code_of_an_open_link_only(
    client: TestClient, store_of_app: Store, layout: Layout
) -> None:
    path = f"/rooms/{layout.room_id}/report"
    without = client.get(path).text
    share = store_of_app.shares.make(layout.room_id)

    with_link = client.get(path).text

    assert 'class="square-code"' not in without
    assert 'class="square-code"' in with_link
    assert f"http://127.0.0.1/s/{share.token}" in with_link


def test_the_commissioning_sheet_has_every_piece_but_the_customers_own() -> None:
    scene = demo("boot-room")

    sheet = records(scene.placed)

    own = [item for item in scene.placed if item.kit.group == "household"]
    assert len(sheet) == len(scene.placed) - len(own)
    assert all(record.lines for record in sheet)
    boiler = next(record for record in sheet if record.name == "Boiler")
    assert boiler.lines[0].startswith("By a registered gas engineer")
