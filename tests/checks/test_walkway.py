"""The widest person that can walk to each working place, and the headroom on the way."""

from math import hypot
from random import Random
from typing import Any

import pytest
import shapely
from shapely.geometry import Polygon
from shapely.geometry import box as rectangle

from geometry.check import Finding
from geometry.checks.walkway import find
from geometry.gates import place_in_front
from geometry.samples import box_kit, piece, round_kit, sample_scene
from geometry.scene import Scene
from geometry.shapes import Footprint
from tests.checks.found import findings, only, wrong
from tests.geometry.oracles import solid

DOOR = {"id": "d1", "edge": 0, "from_mm": 1500, "clear_mm": 800}
FRONT = [{"side": "front", "mm": 400, "why": "somebody kneels here"}]
PUMP = box_kit("pump", 400, 300, space=FRONT)


def past_a_tank(gap: float, doors: Any = (DOOR,), **tank: Any) -> list[Finding]:
    """A pump in the front corner, and a tank that leaves so much of the way to it along the back wall."""
    kind = box_kit("tank", 600, 1800 - gap)
    kinds, pieces = [PUMP, kind], [piece(PUMP, 300, 300, 180), piece(kind, 1200, (1800 - gap) / 2, **tank)]
    return findings("walkway", kinds, pieces, doors=list(doors))


def test_a_good_walkway_is_no_fault() -> None:
    finding = only(past_a_tank(700))

    assert finding.verdict == "no-fault"
    assert finding.message == "A person 600 mm wide can walk to the pump."


def test_a_piece_that_faces_a_wall_is_to_be_turned_round() -> None:
    """300 deep in the middle, 50 from the back wall at 1,800: its middle at 1,600."""
    finding = only(findings("walkway", [PUMP], [piece(PUMP, 1200, 1600, 180)], doors=[DOOR]))

    assert finding.verdict == "put-right"
    assert finding.message == "The pump faces the back wall with 50 mm in front of it: turn it round."
    assert (finding.title, finding.against) == ("The pump faces the back wall", ("edge:2",))


@pytest.mark.parametrize("hold", ["held", "movable"])
def test_what_stands_in_the_place_in_front_of_a_piece_is_named(hold: str) -> None:
    """The pump in the back left corner faces the front; the tank is 100 in front of it."""
    tank = box_kit("tank", 2400, 1000)
    pieces = [piece(PUMP, 200, 1650), piece(tank, 1200, 900, **({"hold": hold} if hold == "movable" else {}))]

    finding = wrong(findings("walkway", [PUMP, tank], pieces, doors=[DOOR]))[0]

    assert finding.message.startswith("There is nowhere to stand in front of the pump: the tank is over that place.")
    assert ("move it first" in finding.message) == (hold == "movable")


def test_two_pieces_that_face_one_wall_are_each_told() -> None:
    other = box_kit("filter", 400, 300, space=FRONT)
    pieces = [piece(PUMP, 400, 1600, 180), piece(other, 1900, 1600, 180)]

    found = wrong(findings("walkway", [PUMP, other], pieces, doors=[DOOR]))

    assert sorted(f.message.split(" faces ")[0] for f in found) == ["The filter", "The pump"]


def test_a_narrow_way_is_told_with_its_width_and_the_two_things_that_make_it() -> None:
    finding = only(past_a_tank(470))

    assert finding.verdict == "put-right"
    assert (finding.needed, finding.found, finding.short) == pytest.approx((600, 470, 130))
    assert set(finding.against) == {"tank", "edge:2"}
    assert "narrows to 470 mm between the back wall and the tank; 600 mm is needed" in finding.message


@pytest.mark.parametrize(
    ("gap", "verdict", "short"),
    [
        (499, "put-right", 101), (500, "look-again", 100), (599, "look-again", 1), (600, "look-again", 0),
        (609, "look-again", 0), (610, "no-fault", 0),
    ],
)  # fmt: skip
def test_touching_on_both_sides_passes_and_the_survey_tolerance_is_looked_at_again(
    gap: float, verdict: str, short: float
) -> None:
    finding = only(past_a_tank(gap))

    assert finding.verdict == verdict
    assert (finding.short or 0.0) == pytest.approx(short, abs=1e-6)


def test_inside_the_tolerance_the_message_says_measure_again() -> None:
    assert only(past_a_tank(605)).message.endswith("that is inside the survey tolerance: measure again.")


def test_what_narrows_the_way_and_can_be_moved_is_named_as_what_to_move_first() -> None:
    finding = only(past_a_tank(300, hold="movable"))

    assert finding.verdict == "look-again"
    assert finding.topic == "move-first"
    assert finding.against == ("tank",)
    assert finding.message.endswith("The tank can be moved: move it first.")


def test_what_is_left_when_the_movable_is_gone_is_told_too() -> None:
    tank, wall = box_kit("tank", 600, 1500), box_kit("wall", 100, 1250)
    pieces = [
        piece(PUMP, 300, 300, 180), piece(tank, 1400, 750, hold="movable"), piece(wall, 900, 625),
    ]  # fmt: skip

    found = {f.topic: f for f in wrong(findings("walkway", [PUMP, tank, wall], pieces, doors=[DOOR]))}

    assert found["move-first"].found == pytest.approx(300)
    assert found["move-first"].against == ("tank",)
    assert found[""].found == pytest.approx(550)
    assert found[""].verdict == "look-again"


def test_a_way_that_leads_to_several_pieces_is_told_once() -> None:
    tank = box_kit("tank", 600, 1330)
    pieces = [
        piece(PUMP, 220, 150, 180, id="p1"), piece(PUMP, 660, 150, 180, id="p2"), piece(tank, 1200, 665),
    ]  # fmt: skip

    finding = only(wrong(findings("walkway", [PUMP, tank], pieces, doors=[DOOR])))

    assert finding.pieces == ("p1", "p2")
    assert "The way to pump 1 and pump 2 narrows to 470 mm" in finding.message


def test_a_narrow_door_is_named_as_the_door() -> None:
    narrow = {**DOOR, "clear_mm": 480}

    finding = only(past_a_tank(900, doors=(narrow,)))

    assert finding.against == ("d1",)
    assert finding.found == pytest.approx(480)
    assert "narrows to 480 mm in door d1" in finding.message


def low(soffit: float) -> Finding:
    beam = {"name": "beam", "area_mm": [[0, 300], [2400, 300], [2400, 400], [0, 400]], "soffit_mm": soffit}
    kinds, pieces = [PUMP], [piece(PUMP, 1200, 1650)]
    return only(findings("walkway", kinds, pieces, doors=[DOOR], ceiling={"height_mm": 2400, "beams": [beam]}))


@pytest.mark.parametrize(("soffit", "verdict"), [(1899, "look-again"), (1900, "no-fault"), (1450, "look-again")])
def test_headroom_below_what_is_wanted_is_looked_at_again(soffit: float, verdict: str) -> None:
    finding = low(soffit)

    assert finding.verdict == verdict
    if verdict == "look-again":
        assert finding.found == soffit
        assert finding.against == ("beam",)
        assert "of headroom under the beam; 1,900 mm is wanted" in finding.message


def test_under_a_beam_too_low_to_kneel_nobody_gets() -> None:
    finding = low(1200)

    assert finding.verdict == "put-right"
    assert finding.message == "Nobody can get to the pump: the way closes at the beam."


def test_a_low_door_is_told_as_headroom() -> None:
    finding = only(past_a_tank(900, doors=({**DOOR, "head_mm": 1700},)))

    assert finding.topic == "headroom"
    assert finding.found == 1700
    assert "of headroom in door d1; 1,900 mm is wanted" in finding.message


def test_an_unmeasured_ceiling_is_asked_for() -> None:
    found = findings("walkway", [PUMP], [piece(PUMP, 1200, 1650)], doors=[DOOR], ceiling={})

    asked = only([f for f in found if f.verdict == "not-checked"])
    assert asked.question == "How high is the ceiling, at its lowest on the way in?"


def test_a_room_without_a_door_is_asked_where_it_is() -> None:
    finding = only(past_a_tank(700, doors=()))

    assert finding.verdict == "not-checked"
    assert finding.question


def test_nobody_works_from_behind_a_wall() -> None:
    """The pump faces the front wall, 200 away: the floor outside is no place to stand."""
    finding = only(findings("walkway", [PUMP], [piece(PUMP, 700, 350)], doors=[DOOR]))

    assert finding.verdict == "put-right"
    assert finding.found == pytest.approx(200, abs=0.5)


def test_where_nobody_works_nothing_is_said() -> None:
    tank = box_kit("tank")

    assert findings("walkway", [tank], [piece(tank, 1200, 900)], doors=[DOOR]) == []


def test_something_hung_under_a_counter_is_worked_from_beside_it() -> None:
    meter = box_kit("meter", 200, 110, 130, stands_on="wall", base_mm=300, space=FRONT)
    counter = box_kit("counter", 1600, 620, 40, stands_on="wall", base_mm=870)
    pieces = [piece(meter, 55, 1500, 90), piece(counter, 800, 1490)]

    finding = only(wrong(findings("walkway", [meter, counter], pieces, doors=[DOOR])))

    assert finding.verdict == "look-again"
    assert finding.topic == "aside"
    assert "An arm reaches in from beside it" in finding.message


@pytest.mark.parametrize(("opens", "swept"), [("in", True), ("out", False)])
def test_an_inward_leaf_that_sweeps_a_working_place_is_looked_at_again(opens: str, swept: bool) -> None:
    """The leaf reaches 840 from its hinge; the nearest corner of the place is 100 along and 600 away from it."""
    door = {**DOOR, "leaf": {"width_mm": 840, "hinge": "start", "opens": opens}}
    boiler = box_kit("boiler", 600, 400, space=[{"side": "front", "mm": 700, "why": "case"}])

    found = findings("walkway", [boiler], [piece(boiler, 1900, 1500)], doors=[door])

    told = [f for f in found if f.topic == "leaf"]
    assert bool(told) is swept
    if swept:
        assert told[0].verdict == "look-again"
        assert told[0].found == pytest.approx(840 - hypot(100, 600), abs=0.2)
        assert told[0].against == ("d1",)


@pytest.mark.parametrize(("turn", "swept"), [(0, True), (180, False)])
def test_a_leaf_sweeps_only_as_far_as_it_opens(turn: float, swept: bool) -> None:
    """A corner of the body, 700 along and 400 away from the hinge, stops the leaf of 840 at atan(4 / 7) = 30 degrees:
    it sweeps the place on the near side of the body, and does not come to one on the far side."""
    door = {**DOOR, "leaf": {"width_mm": 840, "hinge": "start", "opens": "in"}}
    boiler = box_kit("boiler", 600, 400, space=[{"side": "front", "mm": 700, "why": "case"}])

    found = findings("walkway", [boiler], [piece(boiler, 1900, 600, turn_deg=turn)], doors=[door])

    assert bool([f for f in found if f.topic == "leaf"]) is swept


def test_a_leaf_that_only_touches_a_working_place_does_not_sweep_it() -> None:
    door = {**DOOR, "leaf": {"width_mm": 600, "hinge": "start", "opens": "in"}}
    boiler = box_kit("boiler", 600, 400, space=[{"side": "front", "mm": 700, "why": "case"}])

    found = findings("walkway", [boiler], [piece(boiler, 1900, 1500)], doors=[door])

    assert not [f for f in found if f.topic == "leaf"]


def test_a_leaf_may_sweep_the_room_before_what_nobody_works_on() -> None:
    """The room in front of a washing machine is for whoever loads it: it only should be free."""
    door = {**DOOR, "leaf": {"width_mm": 840, "hinge": "start", "opens": "in"}}
    machine = box_kit("machine", 600, 400, space=[{"side": "front", "mm": 700, "need": "should"}])

    found = findings("walkway", [machine], [piece(machine, 1900, 1500)], doors=[door])

    assert not [f for f in found if f.topic == "leaf"]


# --- Random rooms against buffers -------------------------------------------------------------------------------------


def crowded(seed: int) -> Scene:
    """A pump on the back wall and up to five fixed pieces, floor to ceiling."""
    draw = Random(seed)
    kinds, pieces = [PUMP], [piece(PUMP, draw.randint(250, 2150), 1640)]
    for i in range(draw.randint(2, 5)):
        turn = draw.choice([0, 0, 90, 25])
        kind = round_kit(f"k{i}", draw.randint(250, 600), 2000) if draw.random() < 0.3 else (
            box_kit(f"k{i}", draw.randint(200, 1200), draw.randint(150, 500), 2000)
        )  # fmt: skip
        kinds.append(kind)
        pieces.append(piece(kind, draw.randint(100, 2300), draw.randint(300, 1400), turn))
    door = {"id": "d1", "edge": 0, "from_mm": draw.randint(0, 1600), "clear_mm": draw.randint(550, 800)}
    return sample_scene(kinds, pieces, doors=[door])


def widest_by_buffers(scene: Scene, place: Polygon, most: float) -> float:
    """The widest disc from outside the door to a place, by halving; every solid buffered in 256 segments a quarter."""
    solids = [
        solid(Footprint(s.plan.points, s.plan.radius_mm)) for s in scene.solids if s.to_mm > 100 and s.from_mm < 1900
    ]
    (door,) = scene.room.doors
    middle = door.from_mm + door.clear_mm / 2

    def gets_there(width: float) -> bool:
        taken = shapely.union_all([shape.buffer(width / 2, quad_segs=256) for shape in solids])
        free = rectangle(-3000, -4000, 5400, 4800).difference(taken)
        outside = rectangle(middle - 1, -3000, middle + 1, -2000)
        return any(part.intersects(place) and part.intersects(outside) for part in shapely.get_parts(free))

    least, high = 0.0, most
    if gets_there(most):
        return most
    while high - least > 0.05:
        half = (least + high) / 2
        least, high = (half, high) if gets_there(half) else (least, half)
    return least


@pytest.mark.parametrize("seed", range(50))
def test_the_bottleneck_is_that_of_halved_buffers_to_half_a_millimetre(seed: int) -> None:
    scene = crowded(seed)
    pump = scene.piece("pump")
    assert pump is not None

    finding = only([f for f in find(scene, frozenset({"pump"})) if f.topic == ""])

    expected = widest_by_buffers(scene, place_in_front(scene, pump), 610)
    if finding.verdict == "no-fault":
        assert expected >= 609.5
    else:
        assert finding.found == pytest.approx(expected, abs=0.5)


def test_enough_of_the_random_rooms_are_narrow_and_enough_are_not() -> None:
    verdicts = [f.verdict for seed in range(50) for f in find(crowded(seed), frozenset({"pump"})) if f.topic == ""]

    assert verdicts.count("no-fault") > 8
    assert verdicts.count("put-right") + verdicts.count("look-again") > 15
