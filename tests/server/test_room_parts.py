"""The room part by part: cards that add, change and take out by number, each a named layout. The sample room: 2,400 by
1,800 by 2,400 high, one door in the front wall."""

import re
from html import unescape
from typing import Any

import pytest
from starlette.testclient import TestClient

from geometry.room import Room
from geometry.samples import box_kit, piece, sample_room
from server.store import Store

BACK, FRONT = "2", "0"
TANK = box_kit("tank")
DOOR = {"id": "d1", "edge": 0, "from_mm": 100, "clear_mm": 700, "head_mm": 1981}


class Cards:
    """One room and its page of cards."""

    def __init__(self, client: TestClient, store: Store) -> None:
        self.client, self.store = client, store
        self.room_id = store.create(sample_room([TANK], [piece(TANK, 1200, 900)], doors=[DOOR])).room_id

    @property
    def room(self) -> Room:
        return self.store.latest(self.room_id).room

    def write(self, kind: str, ref: str = "", do: str = "save", **fields: str) -> Any:
        number = str(self.store.latest(self.room_id).number)
        data = {"kind": kind, "ref": ref, "do": do, "layout": number, **fields}
        return self.client.post(f"/rooms/{self.room_id}/parts", data=data)

    def page(self) -> str:
        return unescape(self.client.get(f"/rooms/{self.room_id}/parts").text)

    def steps(self) -> list[str]:
        return [line.step for line in self.store.layouts(self.room_id)]


@pytest.fixture
def cards(client: TestClient, store_of_app: Store) -> Cards:
    return Cards(client, store_of_app)


STRIP = {"edge": BACK, "left": "100", "width": "600", "off": "0", "depth": "300"}
ADDED = [
    ("doors", {"edge": BACK, "left": "100", "wide1": "720", "head": "1990", "opens": "in"}, "Add door d2"),
    ("windows", {"edge": BACK, "left": "100", "wide1": "600", "sill": "900", "head": "2000"}, "Add window w1"),
    ("slopes", {**STRIP, "width": "2300", "near": "1500", "far": "2400", "name": "soffit"}, "Add soffit"),
    ("beams", {**STRIP, "soffit": "2100", "name": "Steel"}, "Add steel"),
    ("fixtures", {**STRIP, "name": "Chimney breast", "from": "", "to": ""}, "Add chimney breast"),
    ("keep_free", {**STRIP, "name": "basket", "from": "0", "to": "900"}, "Add basket"),
    ("outlets", {"edge": BACK, "left": "500", "level": "150", "name": "gully", "takes-waste": "on"}, "Add gully"),
    ("alcove", {"edge": BACK, "left": "100", "width": "600", "depth": "350"}, "Add an alcove"),
    ("heights", {"height": "2390", "height2": "2385", "height3": ""}, "Change the ceiling height"),
    ("floor", {"storey": "upper", "build": "timber", "allow": "1.5"}, "Describe the floor"),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "fields", "step"), ADDED, ids=[kind for kind, _, _ in ADDED])
def test_a_card_written_down_is_the_next_layout_under_its_own_name(
    cards: Cards, kind: str, fields: dict[str, str], step: str
) -> None:
    before = cards.room

    answer = cards.write(kind, **fields)

    assert answer.status_code == 303, answer.text
    assert cards.steps()[0] == step
    assert cards.room != before


@pytest.mark.parametrize(("kind", "fields", "step"), ADDED[:7], ids=[kind for kind, _, _ in ADDED[:7]])
def test_what_was_added_is_taken_out_again_and_the_room_is_as_before(
    cards: Cards, kind: str, fields: dict[str, str], step: str
) -> None:
    before = cards.store.latest(cards.room_id).body
    cards.write(kind, **fields)
    refs = re.findall(rf'name="kind" value="{kind}"><input type="hidden" name="ref" value="([^"]+)"', cards.page())

    cards.write(kind, refs[-1], do="take-out")

    assert cards.store.latest(cards.room_id).body == before
    assert cards.steps()[0] == step.replace("Add", "Take out")


def test_undo_on_the_workbench_takes_a_card_back(cards: Cards, client: TestClient) -> None:
    before = cards.store.latest(cards.room_id).body
    cards.write("heights", height="2300")

    client.post(f"/rooms/{cards.room_id}/layouts", data={"do": "undo", "layout": "2"})

    assert cards.store.latest(cards.room_id).body == before
    assert cards.steps()[0] == "Undo: change the ceiling height"


def test_of_three_widths_the_least_is_used_and_left_is_from_inside(cards: Cards) -> None:
    """Facing the back wall its left corner is the plan's left; its line runs from right to left: 2400 - 100 - 715."""
    cards.write("doors", edge=BACK, left="100", wide1="720", wide2="715", wide3="722", head="1990", hinge="left")

    door = cards.room.doors[-1]
    assert (door.edge, door.from_mm, door.clear_mm) == (2, 1585, 715)
    assert door.leaf.hinge == "end"


def test_an_empty_figure_is_not_measured_until_it_is_written(cards: Cards) -> None:
    cards.write("windows", edge=BACK, left="100", wide1="600", sill="", head="2000")
    asked = [(item.of, item.what, item.taken_mm) for item in cards.room.not_measured]
    page = cards.page()
    cards.write("windows", "w1", edge=BACK, left="100", wide1="600", sill="950", head="2000")

    assert asked == [("w1", "sill", 1000)]
    assert 'placeholder="drawn as 1000"' in page
    assert cards.room.not_measured == ()
    assert cards.room.windows[0].sill_mm == 950


def test_a_height_left_empty_is_not_measured(cards: Cards) -> None:
    cards.write("heights", height="")

    assert cards.room.ceiling.height_mm is None
    assert "not measured" in cards.page()


def test_a_card_sent_back_as_it_was_changes_nothing(cards: Cards) -> None:
    cards.write("fixtures", name="boxing", edge=BACK, left="0", width="250", off="0", depth="180", to="2400")
    before = cards.store.latest(cards.room_id)
    cards.write("fixtures", "f1", name="boxing", edge=BACK, left="0", width="250", off="0", depth="180", to="2400")

    assert cards.store.latest(cards.room_id) == before


def test_an_area_that_is_no_strip_keeps_its_corners_when_its_height_changes(
    client: TestClient, store_of_app: Store
) -> None:
    corner = [[0, 1500], [300, 1800], [0, 1800]]
    cards = Cards(client, store_of_app)
    room = sample_room([], [], fixtures=[{"id": "f1", "name": "boxing", "area_mm": corner, "to_mm": 2400}])
    cards.room_id = store_of_app.create(room).room_id

    cards.write("fixtures", "f1", name="boxing", **{"from": "0", "to": "2000"})

    (fixture,) = cards.room.fixtures
    assert (fixture.to_mm, [list(point) for point in fixture.area_mm]) == (2000, corner)


@pytest.mark.parametrize(
    ("kind", "ref", "fields", "told"),
    [
        ("doors", "d1", {"edge": FRONT, "left": "wide", "wide1": "700"}, "“wide” is not a length for the left corner"),
        ("doors", "d1", {"edge": FRONT, "left": "2000", "wide1": "700"}, "It would end 300 mm past the right corner"),
        ("windows", "", {"edge": FRONT, "wide1": "2500"}, "2,500 mm is wider than its wall, 2,400 mm"),
        ("beams", "", {**STRIP, "soffit": ""}, "Write the height of its underside in millimetres"),
        ("fixtures", "", {**STRIP, "to": "100", "from": "200"}, "its top (100) is not above its bottom (200)"),
        ("fixtures", "", {**STRIP, "width": ""}, "Write its width in millimetres"),
        ("alcove", "", {"edge": FRONT, "left": "1500", "width": "600", "depth": "300"}, "lie across the edge"),
        ("outlets", "", {"edge": FRONT, "bends": "some"}, "is not a number of bends"),
        ("corner", "2", {"x": "-900", "y": "500"}, "crosses itself"),
        ("nothing", "", {}, "The room has no such part"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_told_in_its_card_and_what_was_typed_is_kept(
    cards: Cards, kind: str, ref: str, fields: dict[str, str], told: str
) -> None:
    answer = cards.write(kind, ref, **fields)

    page = unescape(answer.text)
    assert answer.status_code == 422
    assert cards.steps() == ["Room opened"]
    if kind != "nothing":
        assert told in page
        for name, text in fields.items():
            if name != "edge" and text:
                assert f'name="{name}" value="{text}"' in page


def test_a_card_from_an_older_layout_overwrites_nothing(cards: Cards, client: TestClient) -> None:
    cards.write("heights", height="2300")

    data = {"kind": "heights", "ref": "room", "layout": "1", "height": "2200"}
    answer = client.post(f"/rooms/{cards.room_id}/parts", data=data)

    assert answer.status_code == 409
    assert cards.room.ceiling.height_mm == 2300


def test_walls_and_corners_are_changed_by_number(cards: Cards) -> None:
    cards.write("wall", "1", build="brick", thick="215", outside="on")
    cards.write("corner", "2", x="2450", y="1790")

    (wall,) = cards.room.walls
    assert (wall.edge, wall.build, wall.thick_mm, wall.outside) == (1, "brick", 215, True)
    assert cards.room.outline_mm[2] == (2450, 1790)


def test_the_workbench_leads_to_the_room(cards: Cards, client: TestClient) -> None:
    assert f'href="/rooms/{cards.room_id}/parts"' in client.get(f"/rooms/{cards.room_id}").text


def test_a_slope_is_shown_by_the_wall_it_is_low_at(client: TestClient, store_of_app: Store) -> None:
    """Low over the right wall, 1,750, and 2,400 at 650 mm from it: its strip touches the front and back walls too."""
    area = [[1750, 0], [2400, 0], [2400, 1800], [1750, 1800]]
    slope = {"name": "soffit", "area_mm": area, "through_mm": [[2400, 0, 1750], [2400, 1800, 1750], [1750, 0, 2400]]}
    cards = Cards(client, store_of_app)
    room = sample_room([], [], ceiling={"height_mm": 2400, "slopes": [slope]})
    cards.room_id = store_of_app.create(room).room_id

    page = cards.page()
    cards.write("slopes", "soffit", name="soffit", edge="1", left="0", width="1800", off="0", depth="650", near="1700",
                far="2400")  # fmt: skip

    assert "from 1750 up to 2400" in page
    assert {z for _, _, z in cards.room.ceiling.slopes[0].through_mm} == {1700, 2400}
