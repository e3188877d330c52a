"""The back of the label: every figure of a piece can be written, with where it comes from and its page."""

import re
from html import unescape
from typing import Any

import pytest
from starlette.testclient import TestClient

from geometry.kit import Change, Kit, changed
from geometry.room import Outlet, Pipe, Room
from geometry.samples import box_kit, piece, round_kit, sample_room
from geometry.scene import build
from server.checked import findings_of, key_of
from server.report import render_report
from server.store import Layout, Store

HTMX = {"HX-Request": "true", "HX-Request-Type": "partial"}
RELIEF = {"name": "relief", "medium": "hot-discharge", "size_mm": 15, "at_mm": [0, -275, 1300], "faces": "front"}
ROD = {"name": "immersion heater", "at_mm": [0, -275, 360], "faces": "front", "tool": "boss-spanner",
       "swing": {"length_mm": 350, "turn_deg": 30}, "draw_out": {"length_mm": 450, "round_mm": 60}}  # fmt: skip
CAP = {"side": "front", "mm": 110, "from_mm": 300, "to_mm": 420, "across_mm": [-60, 60], "what": "immersion cap"}
STORE = round_kit("cylinder", 550, 1580, dry_kg=47, water_l=210, traits=["unvented-store", "store", "wet"],
                  port=[RELIEF], access=[ROD], sticks_out=[CAP], space=[{"side": "front", "mm": 450}])  # fmt: skip
TUNDISH = {"id": "tundish", "kit": "tundish", "at_mm": [1000, 1770], "base_mm": 1000}
GULLY = {"id": "o1", "name": "gully outside", "at_mm": [2400, 1500], "level_mm": 100, "takes": ["hot-discharge"],
         "ends": "gully"}  # fmt: skip
SPUR = box_kit("spur", 100, 50, 100, stands_on="wall", base_mm=300)


def room(**more: Any) -> Room:
    pieces = [piece(STORE, 600, 1500, **more), TUNDISH, piece(SPUR, 1500, 1775)]
    return sample_room([STORE, SPUR], pieces, outlets=[GULLY])


@pytest.fixture
def layout(store_of_app: Store) -> Layout:
    return store_of_app.create(room())


def label(client: TestClient, layout: Layout, pick: str = "cylinder") -> str:
    answer = client.get(f"/rooms/{layout.room_id}/card", params={"pick": pick}, headers=HTMX)
    return unescape(answer.text)


def sent(client: TestClient, layout: Layout, do: str = "figures", **fields: Any) -> Any:
    form = {"do": do, "layout": layout.number, "piece": "cylinder", **fields}
    return client.post(f"/rooms/{layout.room_id}/layouts", data=form, headers=HTMX)


def own(store: Store, layout: Layout) -> dict[str, Change]:
    return dict(store.latest(layout.room_id).room.pieces[0].changes)


FIGURES = [
    "round_mm", "height_mm", "dry_kg", "carry_kg", "water_l", "space_front_mm", "space_left_mm", "space_above_mm",
    "port:relief", "draw_out:immersion heater", "tool:immersion heater", "level:immersion heater",
    "sticks_out:immersion cap",
]  # fmt: skip


@pytest.mark.parametrize("figure", FIGURES)
def test_every_figure_can_be_written_with_its_basis_and_page_and_given_back(
    client: TestClient, layout: Layout, store_of_app: Store, figure: str
) -> None:
    assert f'name="{figure}"' in label(client, layout)

    sent(client, layout, **{figure: "123", f"{figure}_basis": "measured", "page": "manual p. 9"})
    assert own(store_of_app, layout) == {figure: Change(value=123, basis="measured", note="manual p. 9")}

    written = label(client, store_of_app.latest(layout.room_id))
    assert re.search(rf'name="{figure}" inputmode="decimal" value="123"', written)
    assert re.search(rf'name="{figure}_note" maxlength="120" value="manual p. 9"', written)
    assert "Figures: 1 measured (manual p. 9), rest typical" in written

    sent(client, store_of_app.latest(layout.room_id), **{figure: " "})
    assert own(store_of_app, layout) == {}


def test_a_figure_of_a_part_is_used_by_the_kind() -> None:
    kind = Kit.model_validate(STORE)
    figures = {"port:relief": 22, "draw_out:immersion heater": 600, "level:immersion heater": 500, "tool:none": 1}
    new = changed(kind, {name: Change(value=value, basis="manual") for name, value in figures.items()})

    assert (new.port[0].size_mm, new.access[0].at_mm) == (22, (0, -275, 500))
    assert new.access[0].draw_out is not None
    assert (new.access[0].draw_out.length_mm, new.access[0].draw_out.round_mm) == (600, 60)
    assert new.access[0].swing == kind.access[0].swing


def test_a_longer_rod_needs_more_room(client: TestClient, layout: Layout, store_of_app: Store) -> None:
    sent(client, layout, **{"draw_out:immersion heater": "1500"})

    verdicts = {f.verdict for f in findings_of(store_of_app.latest(layout.room_id)) if f.check == "draw-out"}
    assert "put-right" in verdicts


def test_one_page_goes_to_what_is_changed_and_to_nothing_else(
    client: TestClient, layout: Layout, store_of_app: Store
) -> None:
    sent(client, layout, height_mm="1570", height_mm_basis="manual", page="p. 9")
    latest = store_of_app.latest(layout.room_id)
    sent(client, latest, height_mm="1570", height_mm_basis="manual", height_mm_note="p. 9", round_mm="550",
         round_mm_basis="typical", dry_kg="50", dry_kg_basis="measured", page="bathroom scales")  # fmt: skip

    assert own(store_of_app, layout) == {
        "height_mm": Change(value=1570, basis="manual", note="p. 9"),
        "dry_kg": Change(value=50, basis="measured", note="bathroom scales"),
    }


def test_the_same_figure_read_from_the_manual_is_kept_as_read(
    client: TestClient, layout: Layout, store_of_app: Store
) -> None:
    sent(client, layout, height_mm="1580", height_mm_basis="manual", page="p. 4")

    assert own(store_of_app, layout) == {"height_mm": Change(value=1580, basis="manual", note="p. 4")}


def test_the_report_prints_the_page_of_a_parts_figure(client: TestClient, layout: Layout, store_of_app: Store) -> None:
    sent(client, layout, **{"port:relief": "22", "port:relief_basis": "manual", "page": "p. 12"})

    assert "relief pipe 22 from manual (p. 12)" in unescape(render_report(store_of_app.latest(layout.room_id).room))


@pytest.mark.parametrize(("fields", "words"), [
    ({"height_mm": "tall"}, "“tall” is not a number for “Height”"), ({"port:relief": "-3"}, "0 to 100,000"),
    ({"height_mm": "0"}, "more than 0"), ({"page": "p. 9"}, "A page is kept with a figure"),
    ({"height_mm": "1570", "page": "n" * 121}, "120 characters"), ({"port:relief": "0"}, "cannot be made"),
])  # fmt: skip
def test_a_figure_that_cannot_be_gets_a_sentence_and_saves_nothing(
    client: TestClient, layout: Layout, store_of_app: Store, fields: dict[str, str], words: str
) -> None:
    answer = sent(client, layout, **fields)

    assert answer.status_code == 422
    assert answer.headers["HX-Retarget"] == "#message"
    assert words in unescape(answer.text)
    assert store_of_app.latest(layout.room_id).number == 1


def test_a_stale_figure_overwrites_nothing(client: TestClient, layout: Layout, store_of_app: Store) -> None:
    sent(client, layout, height_mm="1500")

    assert sent(client, layout, height_mm="1600").status_code == 409
    assert own(store_of_app, layout)["height_mm"].value == 1500


@pytest.mark.parametrize("pick", ["cylinder", "tundish"])
def test_the_discharge_pipe_and_its_outlet_stand_on_the_label_of_store_and_tundish(
    client: TestClient, layout: Layout, pick: str
) -> None:
    back = label(client, layout, pick)

    assert "Discharge pipe" in back
    assert 'name="size_mm"' in back
    assert "Gully outside" in back
    assert "Discharge pipe" not in label(client, layout, "spur")


def test_the_size_of_a_discharge_pipe_is_written_and_judged(
    client: TestClient, layout: Layout, store_of_app: Store
) -> None:
    pipe = {"from": "cylinder", "port": "relief", "medium": "hot-discharge", "to": "o1", "material": "copper"}
    sent(client, layout, "pipe", size_mm="28", **pipe)
    latest = store_of_app.latest(layout.room_id)

    assert [(p.size_mm, p.to, p.via_mm) for p in latest.room.pipes] == [(28, "o1", None)]
    assert any(f.message.startswith("28 mm carries") for f in findings_of(latest) if f.topic == "size")
    sent(client, latest, "pipe", size_mm="", bore_mm="", **pipe)
    assert store_of_app.latest(layout.room_id).room.pipes[0].size_mm is None


def test_the_note_of_a_pipe_leads_to_the_back_of_the_label(client: TestClient, store_of_app: Store) -> None:
    far = {**GULLY, "outside_run_mm": 20_000}
    layout = store_of_app.create(room().model_copy(update={"outlets": (Outlet.model_validate(far),)}))
    (finding,) = [f for f in findings_of(layout) if f.check == "discharge" and f.verdict == "put-right"]
    note = client.get(f"/rooms/{layout.room_id}/note", params={"key": key_of(finding)}, headers=HTMX).text
    address = re.search(r'id="note-pipe" [^>]*hx-get="([^"]+)"', note)
    assert address is not None

    assert '<details class="back" id="more" open' in client.get(unescape(address[1]), headers=HTMX).text


def test_a_drawn_pipe_keeps_its_way_when_its_size_changes(client: TestClient, store_of_app: Store) -> None:
    drawn = {"id": "x7", "medium": "hot-discharge", "from": {"piece": "cylinder", "port": "relief"}, "to": "o1",
             "via_mm": [[600, 1000, 900]], "size_mm": 22}  # fmt: skip
    layout = store_of_app.create(room().model_copy(update={"pipes": (Pipe.model_validate(drawn),)}))
    sent(client, layout, "pipe", size_mm="28", to="o1", port="relief", medium="hot-discharge", **{"from": "cylinder"})

    (pipe,) = store_of_app.latest(layout.room_id).room.pipes
    assert (pipe.id, pipe.size_mm, pipe.via_mm) == ("x7", 28, ((600, 1000, 900),))


def test_how_an_outlet_ends_is_changed_there_too(client: TestClient, layout: Layout, store_of_app: Store) -> None:
    sent(client, layout, "ends", outlet="o1", ends="hopper", outside_run_mm="750", outside_bends="2", level_mm="1,050")

    outlet = store_of_app.latest(layout.room_id).room.outlets[0]
    assert outlet.level_mm == 1050
    assert (outlet.ends, outlet.outside_run_mm, outlet.outside_bends) == ("hopper", 750, 2)
    assert outlet.takes == ("hot-discharge",)


@pytest.mark.parametrize(("do", "fields", "words"), [
    ("pipe", {"size_mm": "fat"}, "not a number for the size of the pipe"), ("pipe", {"size_mm": "0"}, "size of a pipe"),
    ("pipe", {"to": "o9"}, "no outlet called o9"), ("pipe", {"port": "nothing"}, "nothing"),
    ("ends", {"outlet": "o1", "ends": "moon"}, "cannot be that"),
    ("ends", {"outlet": "o1", "ends": "gully", "outside_bends": "2.5"}, "whole number"),
])  # fmt: skip
def test_a_pipe_or_outlet_that_cannot_be_gets_a_sentence(
    client: TestClient, layout: Layout, store_of_app: Store, do: str, fields: dict[str, str], words: str
) -> None:
    pipe = {"from": "cylinder", "port": "relief", "medium": "hot-discharge", "to": "o1", "size_mm": "28"}
    answer = sent(client, layout, do, **({**pipe, **fields} if do == "pipe" else fields))

    assert answer.status_code == 422
    assert words in unescape(answer.text)
    assert store_of_app.latest(layout.room_id).number == 1


def test_a_room_without_any_change_is_built_as_before() -> None:
    assert build(room()).placed[0].kit == Kit.model_validate(STORE)


def test_after_a_pipe_goes_elsewhere_the_form_below_it_is_of_the_new_outlet(
    client: TestClient, store_of_app: Store
) -> None:
    other = {"id": "o2", "name": "hopper head", "at_mm": [1000, 0], "level_mm": 700, "takes": ["hot-discharge"],
             "ends": "hopper"}  # fmt: skip
    plain = room()
    outlets = (*plain.outlets, type(plain.outlets[0]).model_validate(other))
    layout = store_of_app.create(plain.model_copy(update={"outlets": outlets}))
    sent(client, layout, "pipe", to="o2", port="relief", medium="hot-discharge", **{"from": "cylinder"})

    page = client.get(f"/rooms/{layout.room_id}?piece=cylinder").text
    assert re.findall(r'id="end-(o\d)-level" name="level_mm" inputmode="decimal" value="(\d+)"', page) == [
        ("o2", "700")
    ]
    assert f"/rooms/{layout.room_id}/parts?card=outlets-o2#card-outlets-o2" in page
