"""The customer's page: plain words that a child of twelve can read, and nothing left out.

How easily it reads is measured by the grade formula of J. P. Kincaid, R. P. Fishburne, R. L. Rogers and B. S. Chissom,
Derivation of new readability formulas for Navy enlisted personnel, Research Branch Report 8-75 (1975):
0.39 x words per sentence + 11.8 x syllables per word - 15.59. Grade 7 is a school year of twelve-year-olds.
"""

import re
from datetime import UTC, datetime
from typing import Any

import pytest
from starlette.testclient import TestClient

from geometry.check import Finding
from geometry.checking import check_scene
from geometry.checks import CHECKS
from geometry.reading import read_room, room_from
from geometry.room import Accepted
from geometry.samples import CUPBOARD, box_kit, piece, sample_room, sample_scene
from geometry.scene import Scene, build
from geometry.shelf import shelf
from server.customer import CustomerPage, customer_page
from server.customer_names import everyday_names
from server.customer_room import cautions, door_words, how_often, keep_clear, stays_yours
from server.customer_words import Plain
from server.drawing.corner_view import picture
from server.examples import example_of
from server.paths import DEMO_ROOMS
from server.store import Store

GRADE = 7.0
LONGEST_SENTENCE = 30
TRADE_WORDS = re.compile(
    r"\b(findings?|tundish|manifolds?|unvented|ffl|soffit|ports?|clearances?|tolerance|spindle|commission\w*"
    r"|compartment|condensate|discharge|expansion|isolat\w+|bonding|service[- ]space|draw-out|tool-swing)\b",
    re.IGNORECASE,
)

CHAPEL: dict[str, Any] = {
    **CUPBOARD,
    "name": "Plant shed",
    "outline_mm": [[0, 0], [3000, 0], [3000, 1700], [0, 1700]],
    "doors": [
        {
            "id": "d1", "edge": 3, "from_mm": 540, "clear_mm": 760, "head_mm": 1980,
            "leaf": {"kind": "hinged", "width_mm": 826, "hinge": "start", "opens": "in"},
        }
    ],
    "pieces": [
        {"id": "e1", "kit": "floor-boiler-oil", "at_mm": [450, 1390]},
        {"id": "e2", "kit": "unvented-cylinder-250", "at_mm": [1150, 1380]},
        {"id": "e3", "kit": "accumulator-300", "at_mm": [1900, 1350]},
        {"id": "e4", "kit": "accumulator-300", "at_mm": [2600, 1350]},
        {"id": "e5", "kit": "washing-machine", "at_mm": [1200, 360], "turn_deg": 180, "hold": "movable"},
        {"id": "e7", "kit": "water-softener-twin", "at_mm": [2530, 240], "turn_deg": 180},
    ],
    "keep_free": [
        {"id": "k1", "name": "Laundry basket", "to_mm": 600,
         "area_mm": [[2700, 0], [3000, 0], [3000, 400], [2700, 400]]},
    ],
}  # fmt: skip


def chapel() -> Scene:
    return build(room_from(CHAPEL))


def page_of(scene: Scene) -> CustomerPage:
    return customer_page(scene, check_scene(scene))


def plain_of(scene: Scene) -> Plain:
    return Plain(scene, everyday_names(scene))


def syllables(word: str) -> int:
    """Groups of vowels, less a silent e; the usual way for a machine. Numbers count one for each digit."""
    word = word.lower().strip("'’")
    if word[:1].isdigit():
        return len(re.findall(r"\d", word))
    word = re.sub(r"(?<=[^aeiouy])(es|ed|e)$", _not_silent, word)
    return max(1, len(re.findall(r"[aeiouy]+", word)) + len(re.findall(r"(?<![ct])ia|io(?!n)|ua|eo|rea$", word)))


def _not_silent(end: re.Match[str]) -> str:
    before = end.string[: end.start()]
    sounded = {
        "e": before.endswith("l") and before[-2:-1] not in "aeiouyl",
        "ed": before.endswith(("t", "d")),
        "es": before.endswith(("s", "x", "z", "c", "g", "ch", "sh")),
    }
    return end[0] if sounded[end[0]] else ""


def words_in(text: str) -> list[str]:
    return re.findall(r"[A-Za-z’']+|[\d.,]*\d", text)


def sentences_in(told: list[str]) -> list[str]:
    return [s for s in re.split(r"(?<=[.?!])\s+", " ".join(told)) if s]


def grade(told: list[str]) -> float:
    """The grade of the formula for a text."""
    text, sentences = " ".join(told), sentences_in(told)
    words = words_in(text)
    return 0.39 * len(words) / len(sentences) + 11.8 * sum(map(syllables, words)) / len(words) - 15.59


@pytest.mark.parametrize(
    ("word", "count"),
    [("boiler", 2), ("cylinder", 3), ("made", 1), ("table", 2), ("looked", 1), ("needed", 2), ("pipes", 1),
     ("gauges", 2), ("electrician", 4), ("machine", 2), ("area", 3), ("the", 1), ("257", 3)],
)  # fmt: skip
def test_syllables_are_counted_as_a_dictionary_divides_them(word: str, count: int) -> None:
    assert syllables(word) == count


def test_the_grade_of_a_hard_sentence_is_high() -> None:
    """So that the formula here cannot pass everything."""
    hard = [
        "Commissioning documentation necessitates comprehensive verification of discharge arrangements notwithstanding."
    ]

    assert grade(hard) > 20


def test_the_page_reads_at_the_age_of_twelve() -> None:
    told = page_of(chapel()).sentences

    assert len(told) > 20
    assert grade(told) <= GRADE
    assert max(len(words_in(s)) for s in sentences_in(told)) <= LONGEST_SENTENCE


def every_finding(scene: Scene) -> list[Finding]:
    """A put-right, a look-again and a not-checked of every check there is, on every side."""
    about = {"pieces": (scene.placed[0].id,), "against": (scene.placed[1].id,)}
    return [
        Finding(check.id, verdict, "", topic=topic, side=side, short=short, needed=100.0, found=50.0, **about)
        for check in CHECKS
        for verdict in ("put-right", "look-again", "not-checked")
        for topic in ("", "move-first", "wall", "doorway", "manuals", "total")
        for side in (None, "front", "left", "behind", "above", "below")
        for short in (0.0, 50.0)
    ]  # type: ignore[arg-type]


def test_whatever_a_check_may_find_is_told_in_words_of_that_age() -> None:
    plain, findings = plain_of(chapel()), every_finding(chapel())

    told = [*plain.still_to_do(findings), *plain.look_again(findings), *plain.not_checked(findings)]

    assert len(told) > 20
    assert grade(told) <= GRADE
    assert [sentence for sentence in told if TRADE_WORDS.search(sentence)] == []


@pytest.mark.parametrize("check", [*(check.id for check in CHECKS), "a-check-of-tomorrow"])
@pytest.mark.parametrize("verdict", ["put-right", "look-again", "not-checked"])
def test_no_finding_is_left_out(check: str, verdict: Any) -> None:
    plain = plain_of(chapel())
    finding = Finding(check, verdict, "", ("e2",), ("e5",), side="front", short=10.0)
    tell = {"put-right": plain.still_to_do, "look-again": plain.look_again, "not-checked": plain.not_checked}[verdict]

    told = tell([finding])

    assert len(told) == 1
    assert "-" not in check or check not in told[0]


@pytest.mark.parametrize("check", [check.id for check in CHECKS])
def test_what_each_check_finds_has_words_of_its_own(check: str) -> None:
    example = example_of(check)
    plain, finding = plain_of(example.scene), [example.finding]

    (told,) = [*plain.still_to_do(finding), *plain.look_again(finding), *plain.not_checked(finding)]

    assert "Something about" not in told
    assert "We look once more at the room" not in told
    assert grade([told]) <= 9  # one sentence alone; the page as a whole is held to the age


def test_heads_count_what_stands_under_them(client: TestClient, store_of_app: Store) -> None:
    """What is accepted in writing has its own head: it is not among what is still to be put right."""
    hall = read_room((DEMO_ROOMS / "village-hall.json").read_bytes())
    layout = store_of_app.create(hall)

    page = client.get(f"/rooms/{layout.room_id}/customer").text
    heads = re.findall(r'<h2><span class="no[^"]*">(\d+)</span> ([^<]+)</h2>\s*(?:<ul[^>]*>(.*?)</ul>)?', page, re.S)

    assert [head for _, head, _ in heads] == [
        "We still have to put right", "Accepted in writing", "Look again", "Not checked",
    ]  # fmt: skip
    assert [int(count) for count, _, _ in heads] == [under.count("<li>") for _, _, under in heads]


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("bicycles", "The bicycles keep their place, 700 by 500 mm."),
        ("boot rack", "The boot rack keeps its place, 700 by 500 mm."),
        ("Coats and shoes", "The coats and shoes keep their place, 700 by 500 mm."),
    ],
)
def test_one_thing_keeps_its_place_and_several_keep_theirs(name: str, said: str) -> None:
    own = {"id": "k1", "name": name, "area_mm": [[0, 0], [700, 0], [700, 500], [0, 500]], "to_mm": 900}

    assert stays_yours(build(sample_room([], [], keep_free=[own])), {})[0] == said


def test_several_things_in_the_way_are_in_the_way() -> None:
    shelves = box_kit("own-shelves", name="Shelves")
    scene = build(
        sample_room([shelves, *[box_kit("tank")]], [piece(shelves, 400, 300), piece(box_kit("tank"), 400, 1600)])
    )
    wrong = Finding("draw-out", "put-right", "", ("tank",), ("own-shelves",), side="front")
    tall = Finding("room-edge", "put-right", "", ("own-shelves",), topic="above")

    told = plain_of(scene).still_to_do([wrong, tall])

    assert told[0].endswith("The shelves are in the way.")
    assert told[1] == "The shelves are too tall for their place."


def test_a_floor_that_nobody_has_judged_is_a_question_for_somebody() -> None:
    told = plain_of(chapel()).still_to_do([Finding("floor-load", "put-right", "", ("e2",), ("floor",))])

    assert told == ["Somebody must say whether the floor can carry the hot water cylinder."]


def test_a_reason_in_writing_is_told_as_a_sentence() -> None:
    accepted = Accepted(check="service-space", by="the owner", reason="the panel comes off", on="2026-11-20")
    finding = Finding("service-space", "put-right", "", ("e2",), ("e5",), side="front", accepted=accepted)

    assert plain_of(chapel()).accepted([finding])[0].endswith("The owner has accepted this: The panel comes off.")


def test_an_alarm_is_called_what_it_warns_of() -> None:
    room = sample_room([], [{"id": "p", "kit": "carbon-monoxide-alarm", "at_mm": [1200, 1777]}])

    assert everyday_names(build(room)) == {"p": "carbon monoxide alarm"}
    assert any("carbon monoxide alarm" in text for text in cautions(chapel()))


def test_a_finding_of_a_check_without_words_of_its_own_still_names_the_thing() -> None:
    told = plain_of(chapel()).still_to_do([Finding("a-check-of-tomorrow", "put-right", "", ("e2",))])

    assert told == ["Something about the hot water cylinder is not right yet."]


@pytest.mark.parametrize(
    ("finding", "said"),
    [
        (Finding("door-swing", "put-right", "", ("d1",), ("e1",)),
         "The door cannot open far enough. The boiler stands in its way."),
        (Finding("door-swing", "put-right", "", ("e5",), ("e1",)),
         "The door of the washing machine cannot open far enough. The boiler stands in its way."),
        (Finding("door-swing", "look-again", "", ("d1", "e5"), topic="two leaves", short=20.0),
         "Two doors can hit each other. Open one at a time."),
        (Finding("door-swing", "look-again", "", ("d1",), ("e5",), topic="move-first"),
         "The washing machine has to move before the door opens all the way."),
    ],
)  # fmt: skip
def test_doors_that_are_stopped_are_told_with_what_stops_them(finding: Finding, said: str) -> None:
    plain = plain_of(chapel())

    assert [*plain.still_to_do([finding]), *plain.look_again([finding])] == [said]


def test_all_sides_on_which_a_piece_is_short_of_room_are_one_sentence() -> None:
    wrong = [
        Finding("service-space", "put-right", "", ("e2",), (ref,), side=side)
        for ref, side in (("e5", "front"), ("e1", "left"))
    ]

    told = plain_of(chapel()).still_to_do(wrong)

    assert told == [
        "There is too little room to work in front of and beside the hot water cylinder."
        " The washing machine and the boiler are in the way."
    ]


def test_what_is_accepted_is_told_with_its_name_and_not_counted_as_still_to_do() -> None:
    accepted = Accepted(check="service-space", by="Jo Field", reason="The panel comes off.", on="2026-11-20")
    finding = Finding("service-space", "put-right", "", ("e2",), ("e5",), side="front", accepted=accepted)
    plain = plain_of(chapel())

    assert plain.still_to_do([finding]) == []
    assert "Jo Field has accepted this: The panel comes off." in plain.accepted([finding])[0]


def test_the_door_that_meets_the_boiler_opens_only_to_62_degrees() -> None:
    """Leaf 826 about (0, 1,160); the boiler's corner at (150, 1,080) is reached after acos(-80/-170) = 61.93 degrees
    of turn: cos = 80/170 with the corner 170 from the hinge, the leaf shut pointing to -y."""
    scene = chapel()

    told = door_words(scene, plain_of(scene))

    assert told[0] == "The door opens into the room only to 62 degrees. The boiler stands in its way."


@pytest.mark.parametrize(
    ("leaf", "said"),
    [({"kind": "none"}, "The door is an open doorway."), ({"kind": "sliding"}, "The door slides open."),
     ({"kind": "hinged", "opens": "out"}, "The door opens out of the room, all the way.")],
)  # fmt: skip
def test_each_kind_of_door_has_its_words(leaf: dict[str, str], said: str) -> None:
    door = {"id": "d1", "edge": 0, "from_mm": 800, "clear_mm": 700, "leaf": leaf}
    scene = build(sample_room([], [], doors=[door]))

    assert door_words(scene, plain_of(scene)) == [said]


def test_a_room_without_doors_says_so() -> None:
    scene = build(sample_room([], []))

    assert door_words(scene, plain_of(scene)) == ["The room has no door yet."]


def test_who_stands_on_the_floor_is_said_with_how_often() -> None:
    told = keep_clear(chapel(), everyday_names(chapel()))

    assert told == [
        "Someone stands here to look after the boiler and the hot water cylinder, about once a year.",
        "Someone stands here to look after pressure tank 1 and pressure tank 2, about twice a year.",
        "Someone stands here to look after the water softener, about once a month.",
        "A bag for an hour is fine. A freezer is not.",
    ]


def test_half_a_visit_a_year_is_said_in_figures() -> None:
    assert how_often(0.5) == "about 0.5 times a year"


def test_what_stays_with_the_customer_is_named_with_its_size() -> None:
    told = stays_yours(chapel(), everyday_names(chapel()))

    assert told[:3] == [
        "The laundry basket keeps its place, 400 by 300 mm.",
        "The washing machine stays.",
        "The washing machine must be able to slide out.",
    ]


def test_the_free_floor_of_an_empty_room_is_the_whole_of_it() -> None:
    """2.4 m by 1.8 m is 4.32 square metres."""
    scene = build(sample_room([], []))

    assert stays_yours(scene, {}) == ["About 4.3 square metres of floor stay free."]


def test_only_cautions_for_kit_that_is_there_are_given() -> None:
    gas = box_kit("boiler", traits=["gas"])
    with_gas = cautions(build(sample_room([gas], [piece(gas, 1200, 900)])))
    without = cautions(build(sample_room([], [])))

    assert any("smell gas" in text for text in with_gas)
    assert not any("gas" in text for text in without)


@pytest.mark.parametrize("key", list(shelf()))
def test_every_kind_on_the_shelf_has_an_everyday_name(key: str) -> None:
    name = everyday_names(build(sample_room([], [{"id": "p", "kit": key, "at_mm": [1200, 900]}])))["p"]

    assert TRADE_WORDS.search(name) is None
    assert not re.search(r"\d|,", name)
    assert len(name.split()) <= 5


def test_the_page_names_layout_and_date_and_says_that_nothing_is_agreed(
    client: TestClient, store_of_app: Store
) -> None:
    layout = store_of_app.create(room_from(CHAPEL))

    html = client.get(f"/rooms/{layout.room_id}/customer").text

    assert f"Layout 1, {layout.saved.astimezone().day} " in html
    assert str(datetime.now(UTC).year) in html
    assert "Nothing here is agreed yet." in html


def test_the_page_uses_no_trade_words_and_no_promise(client: TestClient, store_of_app: Store) -> None:
    layout = store_of_app.create(room_from(CHAPEL))

    text = re.sub(r"<[^>]+>", " ", client.get(f"/rooms/{layout.room_id}/customer").text)

    assert TRADE_WORDS.findall(text) == []
    assert re.findall(r"\b(?:safe|complies|compliant|certified|guaranteed|approved)\b", text, re.IGNORECASE) == []


@pytest.mark.parametrize("corner", range(4))
def test_the_room_can_be_looked_at_from_every_corner(client: TestClient, store_of_app: Store, corner: int) -> None:
    layout = store_of_app.create(room_from(CHAPEL))

    html = client.get(f"/rooms/{layout.room_id}/customer", params={"corner": corner}).text

    here = ("front left", "front right", "back right", "back left")[corner]
    assert f"seen from above its {here} corner" in html
    assert f'<b aria-current="true">{here}</b>' in html


def test_a_corner_that_is_not_there_is_refused_in_words(client: TestClient, store_of_app: Store) -> None:
    layout = store_of_app.create(room_from(CHAPEL))

    answer = client.get(f"/rooms/{layout.room_id}/customer", params={"corner": 4})

    assert answer.status_code == 422
    assert "corner" in answer.text


def test_an_older_layout_keeps_its_page(client: TestClient, store_of_app: Store) -> None:
    first = store_of_app.create(room_from(CHAPEL))
    store_of_app.save(first.room_id, 1, room_from({**CHAPEL, "pieces": []}), "Everything out")

    old = client.get(f"/rooms/{first.room_id}/customer", params={"layout": 1}).text
    new = client.get(f"/rooms/{first.room_id}/customer").text

    assert "hot water cylinder" in old
    assert "hot water cylinder" not in new


def test_names_from_a_room_file_cannot_break_out_of_the_page(client: TestClient, store_of_app: Store) -> None:
    kit = box_kit("chest", name="<script>alert(1)</script>")
    room = sample_room([kit], [piece(kit, 1200, 900)], name="<b>Room</b>")

    html = client.get(f"/rooms/{store_of_app.create(room).room_id}/customer").text

    assert "<script>alert" not in html
    assert "<b>Room" not in html


def test_a_piece_that_nobody_can_see_in_the_picture_is_named_under_it() -> None:
    tank, jug = box_kit("tank", 1200, 900, 1800), box_kit("jug", 200, 200, 200)
    scene = build(sample_room([tank, jug], [piece(tank, 700, 500), piece(jug, 1000, 1650)]))

    seen = customer_page(scene, (), corner=0)

    assert seen.hidden == "the jug"


@pytest.mark.parametrize(
    ("topic", "told"),
    [
        (
            "condensate, room to work",
            "A pipe from the tank runs where somebody has to work. We look for another way for it.",
        ),
        ("condensate, clips", "A pipe from the tank needs something to hold it where there is no wall."),
    ],
)
def test_a_pipe_in_the_way_or_without_a_wall_is_told_in_plain_words(topic: str, told: str) -> None:
    finding = Finding("condensate", "look-again", "", ("tank",), topic=topic)

    said = Plain(sample_scene([], []), {"tank": "tank"}).look_again([finding])

    assert said == [told]


def test_a_small_piece_that_has_no_room_for_a_name_is_named_under_the_picture() -> None:
    jug = box_kit("jug", 100, 100, 100, name="Large jug of cold water")
    jugs = [piece(jug, 150 + 120 * i, 1700 - 120 * k, id=f"j{i}-{k}") for i in range(7) for k in range(7)]
    scene = build(sample_room([jug], jugs))
    names = everyday_names(scene)

    seen = customer_page(scene, (), corner=0)

    told = re.split(", | and ", f"{seen.small}, {seen.hidden}")
    drawn = {ref: name.capitalize() for ref, name in names.items()}
    written = {label.owner for label in picture(scene, 0, 358, {**scene.names, **drawn}).labels}
    assert set(names) - written
    assert [ref for ref in names if ref not in written and names[ref] not in told] == []


@pytest.mark.parametrize(
    ("topic", "told"),
    [
        ("valve-to-tundish", "The drip cup is too far from the safety valve on the hot water cylinder."),
        ("fall", "The hot drain pipe from the hot water cylinder does not slope enough."),
        ("size", "The hot drain pipe from the hot water cylinder is too thin for its length."),
    ],
)
def test_what_is_wrong_with_the_hot_drain_is_said_by_topic(topic: str, told: str) -> None:
    assert plain_of(chapel()).still_to_do([Finding("discharge", "put-right", "", ("e2",), topic=topic)]) == [told]


def test_a_missing_part_is_named() -> None:
    plain = plain_of(chapel())

    assert plain.still_to_do([Finding("kit-list", "put-right", "", topic="tundish")]) == ["No drip cup is drawn."]
    assert plain.look_again([Finding("kit-list", "look-again", "", topic="stop tap")]) == ["No stop tap is drawn."]


def test_floor_and_flue_are_asked_about_as_they_are() -> None:
    total = Finding("floor-load", "not-checked", "", (), ("floor",), topic="total", found=433, unit="kg")
    flue = Finding("flue-terminal", "not-checked", "", ("e1",))

    assert plain_of(chapel()).not_checked([total, flue]) == [
        "What is the floor made of, and can it carry all of this? It weighs 433 kg full.",
        "Is the flue far enough from any window or vent outside?",
    ]
