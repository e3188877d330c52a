"""Flat pictures for the customer, and the sentences that go with them: what is drawn, named, kept clear and why."""

import re
from typing import Any

import pytest

from geometry.checking import check_scene
from geometry.editing import moved
from geometry.samples import box_kit, piece, sample_room, sample_scene
from geometry.scene import Scene, build
from server.customer import customer_page
from server.customer_life import changes, expected
from server.customer_names import everyday_names
from server.customer_pictures import LEAST_CLEAR_MM, Flat, FlatPictures, wall_clear
from tests.server.drawn import DOOR

BOILER = box_kit(
    "own-boiler", 400, 300, 700, name="Boiler", stands_on="wall", group="boilers", traits=["hot", "noisy"],
    visits_a_year=1, space=[{"side": "above", "mm": 250, "need": "must", "why": "w"},
                            {"side": "left", "mm": LEAST_CLEAR_MM - 1, "need": "must", "why": "w"},
                            {"side": "front", "mm": 600, "need": "must", "why": "w"}],
)  # fmt: skip
SHELF = box_kit("own-shelf", 400, 300, 900, name="Shelf unit", group="household")
WASHER = box_kit("own-washer", 600, 600, 850, name="Washer", group="household", traits=["noisy"])


def hung(**room: Any) -> Scene:
    return sample_scene([BOILER], [piece(BOILER, 600, 1650, id="b", base_mm=1200)], doors=[DOOR], **room)


def pictures_of(scene: Scene) -> dict[str, Flat]:
    return {flat.name: flat for flat in FlatPictures(scene, everyday_names(scene)).every()}


def written(flat: Flat) -> list[str]:
    return re.findall(r"<text[^>]*>([^<]+)</text>", flat.svg)


def test_there_is_a_picture_from_above_and_one_of_each_wall_that_has_something_on_it() -> None:
    found = pictures_of(hung())

    assert list(found) == ["From above", "Front wall", "Back wall"]
    assert found["Back wall"].told.startswith("The boiler.")
    assert found["Front wall"].told == "The door."


def test_the_pictures_say_everyday_names_and_nothing_else() -> None:
    assert {word for flat in pictures_of(hung()).values() for word in written(flat)} == {"Boiler"}


def test_the_wall_above_a_hung_piece_is_dotted_as_far_as_its_space_goes() -> None:
    flat = pictures_of(hung())["Back wall"]

    (ring,) = re.findall(r'class="keep" d="([^"]+)"', flat.svg)
    xs, ys = zip(*[map(float, pair.split(",")) for pair in re.findall(r"[-\d.]+,[-\d.]+", ring)], strict=True)
    assert (max(xs) - min(xs)) / (max(ys) - min(ys)) == pytest.approx(400 / 250, rel=0.01)
    assert "Hang nothing on the dotted wall." in flat.told


def test_what_has_to_stay_clear_on_a_wall_is_told_with_its_reason() -> None:
    (told,) = wall_clear(hung(), {"b": "boiler"})

    assert told == "Keep the wall free above the boiler. Lids and parts come off there."


def test_floor_kit_keeps_no_wall_clear() -> None:
    standing = sample_scene([BOILER], [piece(BOILER, 600, 1650, id="b")])

    assert wall_clear(standing, {"b": "boiler"}) == []


def test_a_long_room_gets_a_wider_picture_so_that_its_kit_can_be_told_apart() -> None:
    long = sample_scene([], [], outline_mm=[[0, 0], [6000, 0], [6000, 2000], [0, 2000]], doors=[DOOR])

    widths = {name: float(re.findall(r'width="([\d.]+)"', flat.svg)[0]) for name, flat in pictures_of(long).items()}

    assert 500 < widths["From above"] <= 640
    assert float(re.findall(r'width="([\d.]+)"', pictures_of(hung())["From above"].svg)[0]) <= 320


def test_a_door_that_opens_outwards_is_whole_on_the_picture_from_above() -> None:
    leaf = {"kind": "hinged", "width_mm": 800, "hinge": "start"}
    out, inwards = ({**DOOR, "leaf": {**leaf, "opens": way}} for way in ("out", "in"))
    tall, short = (
        float(re.findall(r'height="([\d.]+)"', pictures_of(sample_scene([], [], doors=[door]))["From above"].svg)[0])
        for door in (out, inwards)
    )

    assert tall > 1.2 * short


def test_noise_heat_and_access_are_a_sentence_each() -> None:
    told = dict(expected(hung(), {"b": "boiler"}))

    assert told["Noise"] == "The boiler hums at work, so you may hear it next door."
    assert told["Heat"] == "The boiler gets warm, and so does the room."
    assert told["Access"].startswith("Someone comes to look after the kit about once a year")


def test_a_room_without_kit_of_ours_is_not_called_quiet_but_unknown() -> None:
    washer = sample_scene([WASHER], [piece(WASHER, 600, 900)])

    told = dict(expected(washer, everyday_names(washer)))

    assert told["Noise"] == "We know of nothing loud in here."
    assert told["Heat"] == "We know of nothing hot in here."


def test_a_shelf_that_is_lost_and_a_washer_that_moved_are_told() -> None:
    first = sample_room([SHELF, WASHER], [piece(SHELF, 300, 1600, id="s"), piece(WASHER, 1200, 900, id="w")])
    without = first.model_copy(update={"pieces": tuple(p for p in first.pieces if p.id != "s")})
    later = moved(without, "w", (1500, 900))

    told = changes(build(later), (), build(first))

    assert told == ["The shelf unit is no longer there.", "The washer has moved by 30 cm."]


def test_the_floor_that_the_kit_takes_is_told_in_square_metres() -> None:
    tank = box_kit("tank", 1000, 500, 900)

    assert changes(sample_scene([tank], [piece(tank, 700, 900)]), (), None) == [
        "The kit takes about 0.5 square metres of floor."
    ]


def test_a_place_of_the_customers_that_kit_stands_in_is_lost() -> None:
    rack = {"id": "k1", "name": "Boot rack", "area_mm": [[0, 0], [700, 0], [700, 500], [0, 500]], "to_mm": 900}
    tank = box_kit("tank", 600, 600, 900)
    scene = sample_scene([tank], [piece(tank, 400, 300)], keep_free=[rack])

    page = customer_page(scene, check_scene(scene), corner=0)

    assert "The boot rack loses its place, unless something moves." in page.changes
