from collections.abc import Iterable
from itertools import product
from math import hypot
from pathlib import Path
from typing import Any

import pytest

from geometry.check import Finding, Remedy
from geometry.checking import check_scene
from geometry.reading import read_room, room_from
from geometry.remedies import Sought, a_move_may_cure, applied, look_for, with_remedies
from geometry.remedy_tries import Patience, moves
from geometry.samples import box_kit, piece, round_kit, sample_scene
from geometry.scene import Scene, build, with_piece
from tests.bench.plant_room import plant_room
from tests.geometry.random_rooms import random_room

DEMO_ROOMS = sorted((Path(__file__).parents[2] / "demo_rooms").glob("*.json"))
TANK = box_kit("tank", 600, 400, 800)
PUMP = box_kit("pump", 300, 300, 500)
DRUM = round_kit("drum", 500, 1000)
BOILER = box_kit("boiler", 440, 340, 740, stands_on="wall", base_mm=1150, dry_kg=30)


def put_right(findings: Iterable[Finding]) -> dict[tuple[str, ...], float]:
    """How much each put-right is short, by check, topic, side and what it is about, whatever stands in the way."""
    worst: dict[tuple[str, ...], float] = {}
    for f in findings:
        if f.verdict == "put-right":
            place = (f.check, f.topic, f.side or "", *f.pieces)
            worst[place] = max(worst.get(place, 0.0), f.short or 0.0)
    return worst


def tight(findings: Iterable[Finding]) -> set[tuple[str, ...]]:
    """The places that are to be looked at again and not put right."""
    wrong = put_right(findings)
    places = {(f.check, f.topic, f.side or "", *f.pieces) for f in findings if f.verdict == "look-again"}
    return places - wrong.keys()


def cured(scene: Scene) -> tuple[Remedy, Scene]:
    """The remedy of the first finding, and the room with it made."""
    remedy = look_for(scene, check_scene(scene)[0]).remedy
    assert remedy is not None
    return remedy, applied(scene, remedy)


@pytest.mark.parametrize("seed", range(14))
def test_a_remedy_clears_what_it_claims_and_opens_no_new_put_right(seed: int) -> None:
    scene = build(room_from(random_room(seed, pieces=4)))
    every = check_scene(scene)
    before = put_right(every)
    for finding in [f for f in every if f.verdict == "put-right"][:4]:
        remedy = look_for(scene, finding, every).remedy
        if remedy is None:
            continue
        findings = check_scene(applied(scene, remedy))
        after = put_right(findings)

        assert (finding.check, finding.topic, finding.side or "", *finding.pieces) not in after
        assert after.keys() <= before.keys()
        assert all(short <= before[place] + 0.01 for place, short in after.items())
        assert remedy.tight == len(tight(findings) - tight(every))


def test_most_faults_of_roomy_rooms_have_a_remedy() -> None:
    roomy = {"outline_mm": [[0, 0], [5000, 0], [5000, 4000], [0, 4000]], "doors": [], "windows": []}
    faults = [build(room_from({**random_room(seed, pieces=2), **roomy})) for seed in range(12)]
    found = [look_for(scene, f).remedy for scene in faults for f in check_scene(scene) if f.verdict == "put-right"]

    assert len(found) > 20
    assert sum(remedy is not None for remedy in found) > len(found) / 2


def test_out_of_a_wall_straight_back_in() -> None:
    remedy, there = cured(sample_scene([TANK], [piece(TANK, 260, 900)]))

    assert (remedy.move_mm, remedy.turn_deg, remedy.raise_mm) == ((40, 0), 0, 0)
    assert remedy.text == "Move the tank 40 mm to the right."
    assert put_right(check_scene(there)) == {}


def test_out_of_a_corner_both_ways() -> None:
    remedy, _ = cured(sample_scene([TANK], [piece(TANK, 270, 1620)]))

    assert remedy.move_mm == (30, -20)
    assert remedy.text == "Move the tank 30 mm to the right and 20 mm towards the front."


def test_a_moved_piece_keeps_its_survey_tolerance_where_it_can() -> None:
    scene = sample_scene([TANK, PUMP], [piece(TANK, 600, 900), piece(PUMP, 1000, 900)])
    remedy, there = cured(scene)

    assert hypot(*remedy.move_mm) == 50
    assert put_right(check_scene(there)) == {}


@pytest.mark.parametrize("at", [(1000, 900), (900, 1050), (420, 700), (640, 1180)])
def test_the_move_is_the_smallest_there_is(at: tuple[float, float]) -> None:
    scene = sample_scene([TANK, DRUM], [piece(TANK, 600, 900, pinned=True), piece(DRUM, *at)])
    remedy, _ = cured(scene)
    placed = scene.piece("drum")
    assert placed is not None
    smallest = next(
        hypot(dx, dy)
        for dx, dy in sorted(product(range(-500, 501, 20), repeat=2), key=lambda move: hypot(*move))
        if not put_right(
            check_scene(with_piece(scene, placed.piece.model_copy(update={"at_mm": (at[0] + dx, at[1] + dy)})))
        )
    )

    assert remedy.turn_deg == 0
    assert hypot(*remedy.move_mm) <= smallest + 2


def test_a_pinned_piece_stays_and_the_other_moves() -> None:
    pinned = piece(TANK, 600, 900, pinned=True)
    remedy, _ = cured(sample_scene([TANK, PUMP], [pinned, piece(PUMP, 1000, 900)]))

    assert remedy.piece == "pump"


@pytest.mark.parametrize("path", DEMO_ROOMS, ids=lambda path: path.stem)
def test_every_place_that_is_tried_is_another_place(path: Path) -> None:
    scene = build(read_room(path.read_bytes()))

    tried = [one for f in check_scene(scene) if a_move_may_cure(f) for one in moves(scene, f, Patience(100))]

    assert [one for one in tried if not one.cost] == []


def test_where_all_is_pinned_there_is_no_remedy() -> None:
    scene = sample_scene([TANK], [piece(TANK, 260, 900, pinned=True)])

    assert look_for(scene, check_scene(scene)[0]).remedy is None


def test_where_nothing_fits_there_is_no_remedy() -> None:
    scene = sample_scene([TANK], [piece(TANK, 250, 900)], outline_mm=[[0, 0], [500, 0], [500, 500], [0, 500]])

    assert look_for(scene, check_scene(scene)[0]).remedy is None


def test_kit_on_a_wall_stays_on_its_wall() -> None:
    scene = sample_scene([BOILER, TANK], [piece(BOILER, 180, 1630), piece(TANK, 2000, 1600)])
    remedy, there = cured(scene)

    assert remedy.move_mm == (40, 0)
    assert put_right(check_scene(there)) == {}


def test_kit_on_a_wall_may_be_raised() -> None:
    """1,050 and 200 are 1,250, 100 above its 1,150; 10 more leave nothing inside the survey tolerance."""
    boiler = {**BOILER, "space": [{"side": "below", "mm": 200}]}
    counter = box_kit("counter", 2400, 600, 1050)
    remedy, there = cured(sample_scene([boiler, counter], [piece(boiler, 1200, 1630), piece(counter, 1200, 1500)]))

    assert (remedy.raise_mm, remedy.text) == (110, "Raise the boiler by 110 mm.")
    assert put_right(check_scene(there)) == {}


def test_kit_that_hangs_on_nothing_goes_back_to_its_wall() -> None:
    remedy, there = cured(sample_scene([BOILER], [piece(BOILER, 1200, 1230)]))

    assert (remedy.move_mm, remedy.text) == ((0, 400), "Move the boiler 400 mm towards the back.")
    assert put_right(check_scene(there)) == {}


def test_kit_in_its_wall_comes_out_of_it() -> None:
    remedy, _ = cured(sample_scene([BOILER], [piece(BOILER, 1200, 1650)]))

    assert remedy.move_mm == (0, -20)


def test_floor_kit_in_the_air_comes_down() -> None:
    remedy, _ = cured(sample_scene([TANK], [piece(TANK, 1200, 900, base_mm=60)]))

    assert (remedy.raise_mm, remedy.text) == (-60, "Lower the tank by 60 mm.")


def test_a_turn_is_offered_where_no_move_helps() -> None:
    faced = box_kit("tank", 600, 400, 800, space=[{"side": "front", "mm": 700}])
    scene = sample_scene([faced], [piece(faced, 1200, 250)], outline_mm=[[0, 0], [2400, 0], [2400, 650], [0, 650]])
    remedy, there = cured(scene)

    assert remedy.turn_deg in (90, 270)
    assert remedy.text.startswith("Turn the tank to face ")
    assert put_right(check_scene(there)) == {}


def test_a_piece_in_the_space_of_another_is_cured_by_moving_either() -> None:
    faced = box_kit("boiler", 600, 400, 800, space=[{"side": "front", "mm": 600}])
    scene = sample_scene([faced, PUMP], [piece(faced, 1200, 1500), piece(PUMP, 1200, 800)])
    remedy, there = cured(scene)

    assert hypot(*remedy.move_mm) <= 260
    assert put_right(check_scene(there)) == {}


def test_a_room_that_is_accepted_needs_no_remedy() -> None:
    accepted = [
        {"check": "room-edge", "about": ["tank"], "by": "A. Fitter", "reason": "wall is cut back", "on": "2026-11-25"}
    ]
    scene = sample_scene([TANK], [piece(TANK, 260, 900, accepted=accepted)])

    assert [f.remedy for f in with_remedies(scene, check_scene(scene)) if f.verdict == "put-right"] == [None]


def test_only_put_rights_get_remedies() -> None:
    scene = sample_scene([TANK], [piece(TANK, 260, 900)])
    with_them = with_remedies(scene, check_scene(scene))

    assert [f.remedy is not None for f in with_them] == [f.verdict == "put-right" for f in with_them]


def test_the_same_finding_always_gets_the_same_remedy() -> None:
    data: dict[str, Any] = random_room(5, pieces=3)
    other = {**data, **{key: data[key][::-1] for key in ("pieces", "fixtures", "doors", "kit")}}
    one, two = (
        [f.as_json() for f in with_remedies(s, check_scene(s))] for s in (build(room_from(d)) for d in (data, other))
    )

    assert one == two


def test_a_room_with_hundreds_of_faults_is_given_up_before_every_place_has_been_tried() -> None:
    boiler = box_kit("boiler", 440, 360, 720, stands_on="wall", base_mm=1150)
    scene = sample_scene([boiler], [piece(boiler, 1200, 900, id=f"p{i}") for i in range(20)])
    found = check_scene(scene)
    wrong = sum(f.verdict == "put-right" for f in found)

    cured = with_remedies(scene, found, Patience(20))

    assert len(cured) == len(found)
    assert sum(f.remedy is not None for f in cured) < wrong


@pytest.mark.parametrize("left", [0, 300, 3_000])
def test_where_looking_was_broken_off_the_order_of_the_pieces_changes_nothing(left: int) -> None:
    data: dict[str, Any] = random_room(11, pieces=6)
    other = {**data, **{key: data[key][::-1] for key in ("pieces", "fixtures", "doors", "kit")}}
    one, two = (with_remedies(s, check_scene(s), Patience(left)) for s in (build(room_from(d)) for d in (data, other)))

    assert [(f.key, f.remedy, f.given_up) for f in one] == [(f.key, f.remedy, f.given_up) for f in two]


def test_a_finding_is_given_up_only_where_not_every_place_was_tried() -> None:
    low = [{"area_mm": [[0, 0], [2400, 0], [2400, 1800], [0, 1800]], "soffit_mm": 700}]
    scene = sample_scene([TANK], [piece(TANK, 1200, 900)], ceiling={"height_mm": 2400, "beams": low})
    finding = next(f for f in check_scene(scene) if f.verdict == "put-right" and f.short == 100)

    assert look_for(scene, finding, patience=Patience(0)) == Sought(None, given_up=True)
    assert look_for(scene, finding) == Sought(None, given_up=False)


def test_remedies_of_all_notes_together_are_each_put_right_by_a_full_check() -> None:
    """What was tried for one note serves the next, so each is tried again here with every check, in a new scene."""
    room = plant_room(12)
    crowded = room.model_copy(
        update={"pieces": tuple(p.model_copy(update={"at_mm": (p.at_mm[0] * 0.9, p.at_mm[1])}) for p in room.pieces)}
    )
    scene = build(crowded)
    every = check_scene(scene)
    before = put_right(every)
    offered = [f for f in with_remedies(scene, every) if f.remedy]

    assert len(offered) > 2
    for finding in offered:
        assert finding.remedy
        findings = check_scene(build(applied(scene, finding.remedy).room))
        after = put_right(findings)
        assert (finding.check, finding.topic, finding.side or "", *finding.pieces) not in after
        assert all(short <= before.get(place, -1.0) + 0.01 for place, short in after.items())
        assert finding.remedy.tight == len(tight(findings) - tight(every))


def test_the_more_pieces_the_fewer_places_are_tried() -> None:
    kit = box_kit("tank", 100, 100, 100)
    few, many = (sample_scene([kit], [piece(kit, 1200, 900, id=f"p{i}") for i in range(count)]) for count in (2, 40))

    assert Patience.for_room(few, 4_000).left > Patience.for_room(many, 4_000).left
