"""Open questions: what the room file can answer is written in place, the rest is answered in writing by a name."""

import re
from html import unescape
from typing import Any

import pytest
from starlette.testclient import TestClient

from geometry.check import Finding
from geometry.reading import read_room, write_room
from geometry.room import Floor, Outlet, Room, Vent, Wall
from geometry.samples import box_kit, piece, round_kit, sample_room
from server.checked import findings_of, key_of
from server.main import main
from server.report import render_report
from server.store import Layout, Store
from server.wording import day_words

HTMX = {"HX-Request": "true", "HX-Request-Type": "partial"}
RELIEF = {"name": "relief", "medium": "relief", "size_mm": 15, "at_mm": [100, 0, 0], "faces": "below"}
OVER = {"name": "overflow", "medium": "overflow", "size_mm": 22, "at_mm": [100, -200, 700], "faces": "front"}
BOILER = box_kit("boiler", 440, 360, 720, stands_on="wall", base_mm=1150, dry_kg=38, traits=["gas", "hot", "wet"],
                 input_kw=24, flue="room-sealed", port=[RELIEF])  # fmt: skip
TANK = box_kit("tank", 500, 400, 800, dry_kg=15, water_l=300, traits=["cistern", "wet"], port=[OVER])
VESSEL = round_kit("vessel", 280, 410, water_l=18, dry_kg=5, traits=["vessel", "wet"])
DOOR = {"id": "d1", "edge": 0, "from_mm": 900, "clear_mm": 700, "leaf": {"kind": "sliding", "opens": "out"}}


def room() -> Room:
    """A boiler on the back wall, a tank and a vessel: nothing is known of floor, wall, air, flue or system."""
    pieces = [piece(BOILER, 1200, 1620), piece(TANK, 400, 300), piece(VESSEL, 2100, 300)]
    return sample_room([BOILER, TANK, VESSEL], pieces, doors=[DOOR], system="sealed heating", name="Boot room")


@pytest.fixture
def layout(store_of_app: Store) -> Layout:
    return store_of_app.create(room())


def question(layout: Layout, words: str) -> Finding:
    """The one open question with those words in it."""
    (found,) = [f for f in findings_of(layout) if f.verdict == "not-checked" and words in f.question]
    return found


def opened(client: TestClient, layout: Layout, words: str) -> str:
    """A question as it opens in the list."""
    key = key_of(question(layout, words))
    return client.get(f"/rooms/{layout.room_id}/question", params={"key": key}, headers=HTMX).text


def told(client: TestClient, layout: Layout, do: str, **fields: Any) -> Any:
    form = {"do": do, "layout": layout.number, **fields}
    return client.post(f"/rooms/{layout.room_id}/layouts", data=form, headers=HTMX)


def about(store: Store, layout: Layout, check: str, topic: str = "") -> set[str]:
    """Verdicts of a check in the newest layout, of the topics that end so."""
    latest = store.latest(layout.room_id)
    return {f.verdict for f in findings_of(latest) if f.check == check and f.topic.endswith(topic)}


def test_every_question_of_the_list_opens_on_its_blanks(client: TestClient, layout: Layout) -> None:
    page = client.get(f"/rooms/{layout.room_id}").text

    asked = {f.question for f in findings_of(layout) if f.verdict == "not-checked"}
    assert len(asked) > 8
    addresses = [unescape(a) for a in re.findall(r'<details class="ask" id="[^"]+" hx-get="([^"]+)"', page)]
    assert len(addresses) == len(asked)
    for address in addresses:
        answer = client.get(address, headers=HTMX)
        assert answer.status_code == 200
        assert 'name="answer"' in answer.text


def test_without_script_a_question_is_a_page_of_its_own(client: TestClient, layout: Layout) -> None:
    key = key_of(question(layout, "litres does the heating"))
    page = client.get(f"/rooms/{layout.room_id}/question", params={"key": key}).text

    assert "<h1>Not checked</h1>" in page
    assert 'name="system_l"' in page


@pytest.mark.parametrize(("words", "blank"), [
    ("under the floor where the tank stands", "allow_kn_m2"), ("litres does the heating", "system_l"),
    ("float valve", "water_level_mm"), ("maker of the boiler ask for", "high_cm2"),
    ("relief pipe of the boiler go", "level_mm"), ("flue of the boiler end", "left_mm"),
    ("carbon monoxide alarm", "kit"), ("manual been read", "page"),
    ("made of where the boiler hangs", "build"), ("does door d1 slide", "opens"),
])  # fmt: skip
def test_a_question_that_the_room_file_can_answer_has_its_blank_in_place(
    client: TestClient, layout: Layout, words: str, blank: str
) -> None:
    assert f'name="{blank}"' in opened(client, layout, words)


def test_what_the_floor_carries_is_judged_when_it_is_too_little_and_stays_a_question_when_it_is_enough(
    client: TestClient, layout: Layout, store_of_app: Store
) -> None:
    assert told(client, layout, "floor", storey="upper", build="timber", allow_kn_m2="1.5").status_code == 200
    latest = store_of_app.latest(layout.room_id)
    assert latest.step == "What carries the floor"
    assert latest.room.floor == Floor(storey="upper", build="timber", allow_kn_m2=1.5)
    assert "put-right" in about(store_of_app, layout, "floor-load")

    told(client, latest, "floor", allow_kn_m2="900")
    assert about(store_of_app, layout, "floor-load") == {"not-checked"}


@pytest.mark.parametrize(("build", "verdict"), [
    ("brick", "no-fault"), ("timber studs and plasterboard", "put-right"), ("unknown", "not-checked"),
    ("plasterboard with ply behind it", "no-fault"),
])  # fmt: skip
def test_what_the_wall_is_made_of_settles_what_it_carries(
    client: TestClient, layout: Layout, store_of_app: Store, build: str, verdict: str
) -> None:
    told(client, layout, "wall", edge="2", build=build)

    assert about(store_of_app, layout, "wall-load") == {verdict}


def test_what_needs_drawing_says_how(client: TestClient, store_of_app: Store) -> None:
    layout = store_of_app.create(room().model_copy(update={"doors": ()}))
    asked = [f for f in findings_of(layout) if f.question.startswith("Where is the door")]
    assert asked

    for finding in asked:
        form = client.get(f"/rooms/{layout.room_id}/question", params={"key": key_of(finding)}, headers=HTMX).text
        assert "Doors are measured with the room, or written into the room file." in form


def test_a_wall_in_somebodys_own_words_is_shown_as_it_was_written(client: TestClient, store_of_app: Store) -> None:
    walls = (Wall(edge=2, build="cob, 600 mm"),)
    layout = store_of_app.create(room().model_copy(update={"walls": walls}))

    asked = opened(client, layout, "made of where the boiler hangs")
    assert re.search(r'<option value="cob, 600 mm" selected>', asked)


def test_the_litres_of_the_heating_settle_its_vessel(client: TestClient, layout: Layout, store_of_app: Store) -> None:
    told(client, layout, "heating", system_l="120", own_vessel_l="", charge_bar="", valve_bar="")
    assert about(store_of_app, layout, "vessel") == {"no-fault"}

    told(client, store_of_app.latest(layout.room_id), "heating", system_l="400", own_vessel_l="0")
    assert about(store_of_app, layout, "vessel") == {"put-right"}


@pytest.mark.parametrize(("level", "verdict"), [("600", "no-fault"), ("680", "put-right")])
def test_the_level_of_the_float_valve_settles_the_water_below_the_overflow(
    client: TestClient, layout: Layout, store_of_app: Store, level: str, verdict: str
) -> None:
    told(client, layout, "figures", piece="tank", water_level_mm=level, water_level_mm_basis="measured",
         water_level_mm_note="with a rule")  # fmt: skip

    assert about(store_of_app, layout, "overflow", ", water level") == {verdict}
    change = store_of_app.latest(layout.room_id).room.pieces[1].changes["water_level_mm"]
    assert (change.basis, change.note) == ("measured", "with a rule")


def test_openings_for_air_settle_how_much_there_is(client: TestClient, layout: Layout, store_of_app: Store) -> None:
    told(client, layout, "vents", of="boiler", to="room", high_cm2="240", high_mm="2250", low_cm2="100", low_mm="150")

    assert about(store_of_app, layout, "compartment-air", "high") == {"no-fault"}
    assert about(store_of_app, layout, "compartment-air", "low") == {"look-again"}
    assert store_of_app.latest(layout.room_id).room.vents == (
        Vent(id="v1", name="opening high up", level_mm=2250, free_cm2=240, to="room"),
        Vent(id="v2", name="opening low down", level_mm=150, free_cm2=100, to="room"),
    )


def test_an_outlet_is_put_into_a_wall_from_its_left_corner(
    client: TestClient, layout: Layout, store_of_app: Store
) -> None:
    told(client, layout, "outlet", medium="relief", called="hole by the gully", edge="1", left_mm="600",
         level_mm="1,000", ends="low-level", outside_run_mm="300")  # fmt: skip

    assert store_of_app.latest(layout.room_id).room.outlets == (
        Outlet(id="o1", name="hole by the gully", at_mm=(2400, 1200), level_mm=1000, takes=("relief",),
               ends="low-level", outside_run_mm=300),
    )  # fmt: skip
    assert "not-checked" not in about(store_of_app, layout, "relief", ", outlet")


def test_an_outlet_that_is_there_takes_one_more(client: TestClient, layout: Layout, store_of_app: Store) -> None:
    new = {"called": "gully", "edge": "1", "left_mm": "600", "level_mm": "100", "ends": "gully"}
    told(client, layout, "outlet", medium="overflow", **new)
    latest = store_of_app.latest(layout.room_id)

    assert "Gully" in opened(client, latest, "relief pipe of the boiler go")
    told(client, latest, "outlet", medium="relief", outlet="o1")
    assert store_of_app.latest(layout.room_id).room.outlets[0].takes == ("overflow", "relief")


def test_the_end_of_a_flue_is_drawn_from_the_left_corner_of_its_wall(
    client: TestClient, layout: Layout, store_of_app: Store
) -> None:
    told(client, layout, "flue", of="boiler", edge="2", left_mm="1000", level_mm="2100")

    (flue,) = store_of_app.latest(layout.room_id).room.flues
    assert (flue.piece, flue.edge, flue.along_mm, flue.level_mm) == ("boiler", 2, 1400, 2100)


def test_a_sliding_door_slides_where_it_is_said_to(client: TestClient, layout: Layout, store_of_app: Store) -> None:
    told(client, layout, "door", door="d1", opens="in")

    assert store_of_app.latest(layout.room_id).room.doors[0].leaf.opens == "in"
    assert store_of_app.latest(layout.room_id).room.doors[0].leaf.kind == "sliding"


def test_a_manual_that_was_read_is_kept_with_its_page_on_every_figure(
    client: TestClient, layout: Layout, store_of_app: Store
) -> None:
    told(client, layout, "manual", piece="boiler", page="manual p. 9")
    latest = store_of_app.latest(layout.room_id)
    changes = latest.room.pieces[0].changes

    assert {"width_mm", "depth_mm", "height_mm", "dry_kg"} <= set(changes)
    assert {(change.basis, change.note) for change in changes.values()} == {("manual", "manual p. 9")}
    assert "boiler" not in question(latest, "manual been read").pieces


def test_the_alarm_that_is_asked_for_is_put_on_a_wall(client: TestClient, layout: Layout, store_of_app: Store) -> None:
    told(client, layout, "add", kit="carbon-monoxide-alarm")

    assert store_of_app.latest(layout.room_id).room.pieces[-1].kit == "carbon-monoxide-alarm"


def test_a_system_and_a_ceiling_are_told_in_place(client: TestClient, layout: Layout, store_of_app: Store) -> None:
    told(client, layout, "system", system="system boiler, unvented")
    told(client, store_of_app.latest(layout.room_id), "ceiling", height_mm="2,350 mm")
    latest = store_of_app.latest(layout.room_id).room

    assert (latest.system, latest.ceiling.height_mm) == ("system boiler, unvented", 2350)


@pytest.mark.parametrize(("do", "fields", "words"), [
    ("floor", {"allow_kn_m2": "strong"}, "not a number for what the floor carries"),
    ("floor", {"allow_kn_m2": "-3"}, "kN/m²"), ("floor", {"storey": "moon"}, "cannot be that"),
    ("wall", {"edge": "9", "build": "brick"}, "no wall 10"), ("wall", {"edge": "2", "build": " "}, "made of"),
    ("wall", {"edge": "2", "build": "b" * 200}, "at most 120"), ("wall", {"edge": "1.5", "build": "x"}, "whole number"),
    ("heating", {"system_l": ""}, "how many litres"), ("heating", {"system_l": "lots"}, "not a number"),
    ("heating", {"system_l": "100", "charge_bar": "99"}, "bar"),
    ("vents", {"high_cm2": "", "low_cm2": ""}, "free area"), ("vents", {"high_cm2": "100", "high_mm": ""}, "level"),
    ("vents", {"input_kw": "0", "of": "boiler"}, "kW"),
    ("outlet", {"medium": "relief", "edge": "1", "left_mm": "9999", "level_mm": "0", "called": "x"}, "1,800 mm long"),
    ("outlet", {"medium": "relief", "edge": "1", "left_mm": "9", "level_mm": "0", "called": " "}, "name"),
    ("outlet", {"medium": "relief", "outlet": "o9"}, "no outlet called o9"),
    ("outlet", {"medium": "lemonade", "edge": "1", "left_mm": "9", "level_mm": "0", "called": "x"}, "cannot be that"),
    ("flue", {"of": "boiler", "edge": "0", "left_mm": "-5", "level_mm": "2000"}, "left corner"),
    ("flue", {"of": "p9", "edge": "0", "left_mm": "5", "level_mm": "2000"}, "no piece called p9"),
    ("door", {"door": "d9", "opens": "in"}, "no door called d9"), ("door", {"door": "d1", "opens": "up"}, "cannot be"),
    ("manual", {"piece": "boiler", "page": ""}, "page"), ("system", {"system": ""}, "what the system is"),
    ("ceiling", {"height_mm": "0"}, "ceiling"),
    ("figures", {"piece": "tank", "water_level_mm": "high"}, "Water stands"),
    ("answer", {"key": "no|such", "by": "A", "answer": "x"}, "not asked"),
])  # fmt: skip
def test_bad_input_gets_a_sentence_and_saves_nothing(
    client: TestClient, layout: Layout, store_of_app: Store, do: str, fields: dict[str, str], words: str
) -> None:
    answer = told(client, layout, do, **fields)

    assert answer.status_code == 422
    assert answer.headers["HX-Retarget"] == "#message"
    assert words in unescape(answer.text)
    assert store_of_app.latest(layout.room_id).number == 1


def test_a_stale_answer_overwrites_nothing(client: TestClient, layout: Layout, store_of_app: Store) -> None:
    told(client, layout, "floor", build="concrete")

    assert told(client, layout, "heating", system_l="120").status_code == 409
    assert store_of_app.latest(layout.room_id).room.heating.system_l is None


PIPES = "pipes, cables or studs"
FOUND = "No pipes found with the detector; studs at 400."


def answer(client: TestClient, layout: Layout, **fields: str) -> Any:
    key = key_of(question(layout, PIPES))
    return told(client, layout, "answer", **{"key": key, "by": "A. Fitter", "answer": FOUND, **fields})


def test_a_written_answer_stands_by_its_question_with_name_and_day_and_stays_not_checked(
    client: TestClient, layout: Layout, store_of_app: Store
) -> None:
    page = unescape(answer(client, layout).text)
    latest = store_of_app.latest(layout.room_id)
    (kept,) = latest.room.answers

    assert (kept.check, kept.topic, kept.pieces, kept.by) == ("look-on-site", "hidden", ("boiler",), "A. Fitter")
    assert re.fullmatch(r"\d{4}-\d\d-\d\d", kept.date)
    assert f"Answered by A. Fitter on {day_words(kept.date)}: {FOUND}" in page
    assert question(latest, PIPES).verdict == "not-checked"
    assert [f.verdict for f in findings_of(latest)] == [f.verdict for f in findings_of(layout)]
    assert read_room(write_room(latest.room)) == latest.room


def test_the_report_and_the_command_say_who_answered(
    client: TestClient, layout: Layout, store_of_app: Store, tmp_path: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    answer(client, layout)
    latest = store_of_app.latest(layout.room_id)
    said = f"Answered by A. Fitter on {day_words(latest.room.answers[0].date)}: {FOUND}"
    path = tmp_path / "room.json"
    path.write_text(write_room(latest.room), encoding="utf-8")
    main(["check", str(path)])

    assert unescape(render_report(latest.room)).count(said) >= 2  # among the questions, and again at the end
    assert said in capsys.readouterr().out


def test_a_second_answer_takes_the_place_of_the_first_and_can_be_taken_back(
    client: TestClient, layout: Layout, store_of_app: Store
) -> None:
    answer(client, layout)
    answer(client, store_of_app.latest(layout.room_id), by="B. Mate", answer="One pipe, 300 mm up.")
    latest = store_of_app.latest(layout.room_id)
    assert [(kept.by, kept.answer) for kept in latest.room.answers] == [("B. Mate", "One pipe, 300 mm up.")]

    told(client, latest, "unanswer", key=key_of(question(latest, PIPES)))
    assert store_of_app.latest(layout.room_id).room == layout.room


def test_when_other_kit_is_asked_about_the_answer_is_told_as_an_earlier_one(
    client: TestClient, layout: Layout, store_of_app: Store
) -> None:
    answer(client, layout)
    page = told(client, store_of_app.latest(layout.room_id), "add", kit="expansion-vessel-18").text

    assert "When other kit stood there: Answered by A. Fitter" in page
    told(client, store_of_app.latest(layout.room_id), "remove", piece="boiler")
    assert store_of_app.latest(layout.room_id).room.answers == ()


@pytest.mark.parametrize(("fields", "words"), [
    ({"by": " "}, "name of the person"), ({"by": "n" * 121}, "name of the person"),
    ({"answer": " "}, "Write the answer"), ({"answer": "a" * 4001}, "4,000"),
])  # fmt: skip
def test_an_answer_needs_a_name_and_words(
    client: TestClient, layout: Layout, store_of_app: Store, fields: dict[str, str], words: str
) -> None:
    refused = answer(client, layout, **fields)

    assert refused.status_code == 422
    assert words in refused.text
    assert store_of_app.latest(layout.room_id).number == 1


def test_without_script_a_refused_answer_comes_back_as_it_was_typed(
    client: TestClient, layout: Layout, store_of_app: Store
) -> None:
    key, long = key_of(question(layout, PIPES)), FOUND + "x" * 4000
    form = {"do": "answer", "layout": 1, "key": key, "by": "A. Fitter", "answer": long}

    page = client.post(f"/rooms/{layout.room_id}/layouts", data=form)

    assert page.status_code == 422
    assert "Write the answer, in at most 4,000 characters." in page.text
    assert f">{long}</textarea>" in page.text
    assert 'value="A. Fitter"' in page.text
    assert "Take the answer back" not in page.text
    assert store_of_app.latest(layout.room_id).number == 1


def test_an_answer_is_never_markup(client: TestClient, layout: Layout) -> None:
    page = answer(client, layout, by="<script>x</script>", answer="<img src=x>").text

    assert re.findall(r"<script>x|<img src=x", page) == []
