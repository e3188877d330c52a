"""The report: everything that was found and everything that was not checked, the same for the same room."""

import re
from datetime import UTC, datetime
from functools import cache
from html import unescape
from typing import Any

import pytest
from starlette.testclient import TestClient

from geometry.check import Finding
from geometry.checking import check_scene
from geometry.checks import CHECKS
from geometry.reading import room_from
from geometry.room import Room
from geometry.rules import Source
from geometry.samples import CUPBOARD, box_kit, piece, sample_room
from geometry.scene import build
from server.cautions import CAUTIONS
from server.report import render_report, report_of
from server.report_lines import NOTHING, check_lines, kit_lines, lines, questions, sources
from server.report_style import page_css, quoted
from server.store import Store
from server.wording import GIVEN_UP

SAVED = datetime(2026, 11, 25, 9, 42, tzinfo=UTC)

TIGHT: dict[str, Any] = {
    **CUPBOARD,
    "name": "Boot room, 3 Quarry Lane",
    "pieces": [
        {
            "id": "p1", "kit": "unvented-cylinder-210", "name": "Cylinder", "at_mm": [300, 700],
            "changes": {"height_mm": {"value": 1570, "basis": "measured", "note": "tape, 12 November"}},
            "accepted": [
                {"check": "service-space", "by": "Jo Field", "reason": "The machine rolls out.", "on": "2026-11-20"}
            ],
        },
        {"id": "p2", "kit": "washing-machine", "at_mm": [350, 315], "turn_deg": 90},
        {"id": "p3", "kit": "wall-boiler-system", "at_mm": [1500, 1600]},
    ],
}  # fmt: skip


def tight() -> Room:
    return room_from(TIGHT)


@cache
def tight_html() -> str:
    """The tight room's report as layout 4."""
    return render_report(tight(), 4, SAVED)


def text_of(html: str) -> str:
    """What people read, in one line."""
    body = re.sub(r"<(style|svg)\b.*?</\1>", " ", html, flags=re.DOTALL)
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", body)))


def test_every_finding_stands_in_the_report_with_its_number() -> None:
    scene = build(tight())
    found = [f for f in check_scene(scene) if f.verdict in ("put-right", "look-again")]

    text = text_of(tight_html())

    assert len(found) > 3
    for number, finding in enumerate(found, 1):
        assert re.search(rf"\b{number} {re.escape(finding.message)}", text)


def test_findings_stand_in_the_order_of_the_check_worst_first() -> None:
    findings = check_scene(build(tight()))

    verdicts = [line.finding.verdict for line in lines(findings)]

    assert verdicts == sorted(verdicts, key=["put-right", "look-again"].index)


def test_every_question_stands_in_the_report_at_the_start_and_at_the_end() -> None:
    asked = {f.question or f.message for f in check_scene(build(tight())) if f.verdict == "not-checked"}

    text = text_of(tight_html())

    assert len(asked) > 3
    assert [question for question in asked if text.count(question) < 2] == []


def test_an_accepted_put_right_keeps_its_number_and_gains_name_reason_and_date() -> None:
    report = report_of(build(tight()), check_scene(build(tight())))

    accepted = [line for line in report.lines if line.finding.accepted]

    text = text_of(tight_html())
    assert accepted
    assert [(a.number, a.by, a.reason, a.on) for a in report.accepted] == [
        (line.number, "Jo Field", "The machine rolls out.", "20 November 2026") for line in accepted
    ]
    assert "Accepted by Jo Field, 20 November 2026: The machine rolls out." in text


def test_the_counts_are_all_four_and_add_up_to_the_findings() -> None:
    findings = check_scene(build(tight()))

    counts = report_of(build(tight()), findings).counts

    assert set(counts) == {"put-right", "look-again", "not-checked", "no-fault"}
    assert sum(counts.values()) == len(findings)


def test_the_kit_list_gives_sizes_and_weights_dry_and_full_with_where_they_come_from() -> None:
    """Shelf: cylinder 550 round, 47 kg dry, 210 L, so 257 kg full; its height was measured as 1,570."""
    (cylinder, *_) = kit_lines(build(tight()).placed)

    assert (cylinder.name, cylinder.size, cylinder.dry, cylinder.full) == ("Cylinder", "Ø550 × 1,570", "47", "257")
    assert cylinder.basis == "typical"
    assert cylinder.changes == ("height 1,570 measured (tape, 12 November)",)


def test_a_weight_that_is_not_known_is_no_figure() -> None:
    tank = box_kit("tank")

    (line,) = kit_lines(build(sample_room([tank], [piece(tank, 300, 1600)])).placed)

    assert (line.dry, line.full) == (NOTHING, NOTHING)


def test_every_check_has_a_line_that_counts_what_it_looked_at() -> None:
    findings = check_scene(build(tight()))

    told = check_lines(findings)

    assert [line.check for line in told] == list(CHECKS)
    assert sum(sum(line.counts.values()) for line in told) == len(findings)


def test_a_check_that_met_nothing_says_so() -> None:
    assert {line.told for line in check_lines([])} == {"Nothing of the kind in this room"}


@pytest.mark.parametrize(
    ("finding", "needed", "found", "short"),
    [
        (Finding("draw-out", "put-right", "", needed=1450, found=365, short=1085), "1,450", "365", "1,085"),
        (Finding("body-overlap", "put-right", "", needed=0, found=-30.4, short=30.4), NOTHING, NOTHING, "30"),
        (Finding("service-space", "look-again", "", needed=150, found=155, short=0), "150", "155", "spare 5"),
        (
            Finding("discharge", "put-right", "", needed=9, found=10.6, short=1.6, unit="m"),
            "at most 9 m",
            "10.6 m",
            "1.6 m too much",
        ),
        (
            Finding("door-swing", "put-right", "", needed=90, found=61.93, short=28.07, unit="deg"),
            "90°",
            "61°",
            "29°",
        ),
        (
            Finding("reach", "put-right", "", needed=600, found=2010, short=1410),
            "at most 600",
            "2,010",
            "1,410 too much",
        ),
        (Finding("kit-list", "put-right", ""), NOTHING, NOTHING, NOTHING),
        (Finding("draw-out", "put-right", "", needed=100, found=float("inf")), "100", NOTHING, NOTHING),
    ],
)
def test_measures_are_written_as_people_write_them(finding: Finding, needed: str, found: str, short: str) -> None:
    (line,) = lines([finding])

    assert (line.needed, line.found, line.short) == (needed, found, short)


@pytest.mark.parametrize(
    ("finding", "told"),
    [
        (Finding("kit-list", "put-right", "", topic="tundish"), "Put one in."),
        (Finding("kit-list", "look-again", "", topic="stop tap"), "Put one in."),
        (Finding("wall-load", "put-right", "", ("a",), short=16.0), "Put ply or noggins behind it."),
        (Finding("reach", "put-right", "", ("a",), short=16.0), "No single move of kit was found to cure it."),
        (Finding("reach", "put-right", "", ("a",), short=16.0, given_up=True), GIVEN_UP),
        (Finding("reach", "look-again", "", ("a",), short=0.0), "Measure again on site."),
        (Finding("keep-apart", "look-again", "", ("a",), short=16.0), "Look at it on site."),
        (Finding("sight", "look-again", "", ("a",)), "Look at it on site."),
    ],
)
def test_what_to_do_fits_what_is_wrong(finding: Finding, told: str) -> None:
    (line,) = lines([finding])

    assert line.move == told


def test_each_source_is_named_once_with_its_letter() -> None:
    a, b = Source("First book", "1", "2010", "guidance"), Source("Second book", standing="from memory")
    found = [Finding("draw-out", "put-right", "", source=source) for source in (a, b, a)]

    letters, told = sources(found), [line.source for line in lines(found)]

    assert letters == [("A", "First book, 1, 2010 (guidance)"), ("B", "Second book (from memory)")]
    assert told == ["Source A, guidance.", "Source B, from memory.", "Source A, guidance."]


def test_two_findings_that_ask_the_same_ask_it_once() -> None:
    asked = [Finding("draw-out", "not-checked", "known", question="How high?") for _ in range(2)]

    assert [(q.question, q.known) for q in questions(asked)] == [("How high?", "known")]


def test_the_same_room_gives_the_same_report_byte_for_byte() -> None:
    assert render_report(tight(), 4, SAVED) == render_report(tight(), 4, SAVED)


def test_the_order_of_pieces_in_the_file_changes_nothing() -> None:
    other = room_from({**TIGHT, "pieces": TIGHT["pieces"][::-1]})

    assert render_report(tight()) == render_report(other)


def test_a_file_without_a_layout_has_no_date_and_no_number() -> None:
    text = text_of(render_report(tight()))

    assert re.findall(r"\b20\d\d-\d\d-\d\d\b|\b\d{1,2} [A-Z][a-z]+ 20\d\d, \d+\.\d\d", text) == []
    assert "20 November 2026" in text  # the day on which somebody accepted
    assert "Layout" not in text


def test_layout_and_date_stand_at_the_head_when_they_are_given() -> None:
    assert "Boot room, 3 Quarry Lane. Layout 4, 25 November 2026, " in text_of(tight_html())


def test_the_rule_pack_and_the_tolerance_are_named() -> None:
    text = text_of(tight_html())

    assert "England rule pack" in text
    assert "Survey tolerance 10 mm." in text
    assert "Figures of the 2010 text, read in reprints: check the edition in force." in text


def test_every_caution_is_printed() -> None:
    text = text_of(tight_html())

    assert [caution.about for caution in CAUTIONS if caution.text not in text] == []


def test_a_report_that_stands_alone_asks_for_no_other_file() -> None:
    html = tight_html()

    assert re.findall(r"<(?:script|link|img)\b(?![^>]*data:)", html) == []
    assert {target[:5] for target in re.findall(r"url\(\"?([^)\"]*)", html)} <= {"data:", "#hatc", "#keep"}
    assert set(re.findall(r'"(https?://[^"]*)"', html)) <= {"http://www.w3.org/2000/svg"}  # a name, not an address
    assert html.count("data:font/woff2;base64,") >= 9


def test_no_style_attribute_and_no_grid_in_the_report() -> None:
    html = tight_html()

    body = html[html.index("<body") :]
    assert "style=" not in body
    print_css = html[html.index("@page") :]
    assert not re.search(r"display:\s*(inline-)?grid", print_css)


def test_nothing_is_promised() -> None:
    text = text_of(tight_html()).replace("Approved Document", "")

    assert re.findall(r"\b(?:safe|complies|compliant|certified|guaranteed|approved)\b", text, re.IGNORECASE) == []
    assert "“No fault found” means no fault found in these checks" in text


def test_an_empty_room_still_has_its_report() -> None:
    text = text_of(render_report(sample_room([], [])))

    assert "No kit stands in this room yet." in text
    assert "No fault found in these checks: nothing to put right" in text


def test_names_from_a_room_file_cannot_break_out_of_the_report() -> None:
    kit = box_kit("chest", name="<script>alert(1)</script>")
    room = sample_room([kit], [piece(kit, 260, 1600)], name='Loft"; } </style><script>alert(2)</script>')

    html = render_report(room)

    assert "<script" not in html
    assert html.count("</style>") == 1


@pytest.mark.parametrize(
    "name", ['a "quoted" name', "back\\slash", "two\nlines", "</style>", "{ } ; @import url(x)", "café ½ Ø"]
)
def test_a_name_in_the_running_head_stays_one_css_string(name: str) -> None:
    """Undone by the rules of CSS Syntax, section 4.3.7: a backslash, hex digits and one space are one letter."""
    string = quoted(name)

    inside = string[1:-1]
    assert (string[0], string[-1]) == ('"', '"')
    assert not set(inside) & set('"\n<{}@')
    assert re.sub(r"\\([0-9a-f]+) ", lambda found: chr(int(found[1], 16)), inside) == name


def test_the_page_of_a_layout_has_its_own_running_head(client: TestClient, store_of_app: Store) -> None:
    layout = store_of_app.create(tight())

    page = client.get(f"/rooms/{layout.room_id}/report")
    style = client.get(f"/rooms/{layout.room_id}/report.css")

    assert page.status_code == 200
    assert f'href="/rooms/{layout.room_id}/report.css?layout=1"' in page.text
    assert style.headers["content-type"].startswith("text/css")
    assert "Boot room, 3 Quarry Lane. Layout 1, " in style.text
    assert 'counter(page) " of " counter(pages)' in style.text


def test_an_older_layout_keeps_its_report(client: TestClient, store_of_app: Store) -> None:
    first = store_of_app.create(tight())
    store_of_app.save(first.room_id, 1, room_from({**TIGHT, "pieces": []}), "Everything out")

    old = client.get(f"/rooms/{first.room_id}/report", params={"layout": 1}).text
    new = client.get(f"/rooms/{first.room_id}/report").text

    assert "Layout 1, " in text_of(old)
    assert "Cylinder" in text_of(old)
    assert "Cylinder" not in text_of(new)


def test_the_report_of_a_room_that_is_not_there_says_so(client: TestClient) -> None:
    assert client.get("/rooms/nowhere/report").status_code == 404


def test_the_head_of_printed_pages_holds_room_and_page_of_pages() -> None:
    css = page_css("Loft. Layout 2.", "What it means.")

    assert 'content: "Loft. Layout 2. " "Page " counter(page) " of " counter(pages)' in css
    assert 'content: "What it means."' in css
