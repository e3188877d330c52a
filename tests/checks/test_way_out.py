"""Whether each piece can leave the room; the random rooms are in tests/geometry/test_turning.py."""

from typing import Any

import pytest

from geometry.check import Finding
from geometry.samples import box_kit, piece, round_kit
from tests.checks.found import Data, findings, only

DOOR = {"id": "d1", "edge": 0, "from_mm": 900, "clear_mm": 700}


def leaving(kind: Data, *others: tuple[Data, Data], at: Any = (1200, 1400), turn: float = 0, **room: Any) -> Finding:
    """What is said about one piece of a kind, with others about it."""
    kinds = [kind, *(other for other, _ in others)]
    pieces = [piece(kind, *at, turn), *(put for _, put in others)]
    found = findings("way-out", kinds, pieces, **{"doors": [DOOR], **room})
    return only([f for f in found if f.pieces[:1] == (kind["key"],)])


def cylinder(across: float = 550, height: float = 1500, **more: Any) -> Data:
    return round_kit("cylinder", across, height, dry_kg=47, **more)


@pytest.mark.parametrize(
    ("clear", "verdict", "short"),
    [
        (690, "put-right", 10),
        (699, "put-right", 1),
        (700, "look-again", 0),
        (709, "look-again", 0),
        (720, "no-fault", 0),
    ],
)
def test_a_tank_of_700_wants_a_door_of_700(clear: float, verdict: str, short: float) -> None:
    """690 clear: trapped, short 10; 720: out. What passes inside the survey tolerance is measured again."""
    tank = box_kit("tank", 700, 700, 1000, dry_kg=40)

    finding = leaving(tank, doors=[{**DOOR, "clear_mm": clear}])

    assert finding.verdict == verdict
    assert (finding.short or 0.0) == pytest.approx(short, abs=1e-6)


@pytest.mark.parametrize(
    ("leaf", "clear", "out"), [(610, 566, True), (533, 489, False), (762, 718, True)]
)  # source: the oracles' discs through doors
def test_a_cylinder_of_550_through_the_doors_of_the_oracles(leaf: float, clear: float, out: bool) -> None:
    finding = leaving(cylinder(), doors=[{**DOOR, "clear_mm": clear}])

    assert leaf > clear
    assert (finding.verdict != "put-right") is out


def test_trapped_names_the_door_and_says_how_much_is_missing() -> None:
    finding = leaving(cylinder(), doors=[{**DOOR, "clear_mm": 540}])

    assert finding.message == "Cylinder is trapped: it needs 550 mm and 540 mm is there in door d1."
    assert finding.against == ("d1",)
    assert (finding.needed, finding.found, finding.short) == pytest.approx((550, 540, 10))


def test_trapped_between_two_things_names_both() -> None:
    shelf, post = box_kit("shelf", 900, 300, 2000), box_kit("post", 900, 300, 2000)
    others = [(shelf, piece(shelf, 450, 700)), (post, piece(post, 1950 - 100, 700))]

    finding = leaving(cylinder(), *others)

    assert finding.verdict == "put-right"
    assert set(finding.against) == {"shelf", "post"}
    assert finding.message == "Cylinder is trapped: it needs 550 mm and 500 mm is there between the post and the shelf."


def test_a_long_box_that_cannot_be_turned_says_how_long_it_could_be() -> None:
    """A corridor 900 wide round a right angle: 1,580 x 550 is 134 too long for 2 (1.4142 x 900 - 550) = 1,446."""
    chest = box_kit("chest", 550, 1580, 900, dry_kg=60)
    corner = {
        "outline_mm": [[0, 0], [4000, 0], [4000, 900], [900, 900], [900, 4000], [0, 4000]],
        "doors": [{"id": "d1", "edge": 1, "from_mm": 0, "clear_mm": 900}],
    }

    finding = leaving(chest, at=(450, 2800), **corner)

    assert finding.verdict == "put-right"
    assert finding.topic == "turn"
    assert (finding.needed, finding.found) == pytest.approx((1580, 1446), abs=6)
    assert finding.short == pytest.approx(134, abs=6)
    assert "cannot be turned" in finding.message


def test_the_same_chest_on_end_is_only_its_end() -> None:
    upright = box_kit("chest", 550, 550, 1580, dry_kg=60)
    corner = {
        "outline_mm": [[0, 0], [4000, 0], [4000, 900], [900, 900], [900, 4000], [0, 4000]],
        "doors": [{"id": "d1", "edge": 1, "from_mm": 0, "clear_mm": 900}],
    }

    assert leaving(upright, at=(450, 2800), **corner).verdict == "no-fault"


def test_what_stands_in_the_way_and_can_be_moved_is_named_as_what_to_move_first() -> None:
    trolley = box_kit("trolley", 900, 400, 900)
    post = box_kit("post", 1500, 300, 2000)
    others = [(trolley, piece(trolley, 1950, 700, hold="movable")), (post, piece(post, 750, 700))]

    finding = leaving(cylinder(), *others)

    assert finding.verdict == "look-again"
    assert finding.against == ("trolley",)
    assert finding.message.startswith("Cylinder can go out once the trolley is moved: move the trolley first.")


def test_marked_fixed_the_same_thing_traps_it() -> None:
    freezer, post = box_kit("freezer", 900, 400, 900), box_kit("post", 1500, 300, 2000)
    others = [(freezer, piece(freezer, 1950, 700)), (post, piece(post, 750, 700))]

    assert leaving(cylinder(), *others).verdict == "put-right"


def test_what_moves_with_effort_is_said_to() -> None:
    safe, post = box_kit("safe", 900, 400, 900), box_kit("post", 1500, 300, 2000)
    others = [(safe, piece(safe, 1950, 700, hold="with-effort")), (post, piece(post, 750, 700))]

    finding = leaving(cylinder(), *others)

    assert finding.verdict == "look-again"
    assert "The safe moves only with effort." in finding.message


def test_only_what_helps_is_moved() -> None:
    trolley, bin_ = box_kit("trolley", 900, 400, 900), box_kit("bin", 300, 300, 600)
    post = box_kit("post", 1500, 300, 2000)
    others = [
        (bin_, piece(bin_, 200, 1500, hold="movable")), (trolley, piece(trolley, 1950, 700, hold="movable")),
        (post, piece(post, 750, 700)),
    ]  # fmt: skip

    assert leaving(cylinder(), *others).against == ("trolley",)


# --- Heights ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("head", "verdict"), [(1530, "no-fault"), (1529, "look-again"), (1499, "put-right")])
def test_a_door_has_to_be_as_high_as_the_piece_and_its_lift(head: float, verdict: str) -> None:
    """1,500 tall, 30 of lift. Lower than that it may be slid through; lower than itself it is trapped."""
    assert leaving(cylinder(), doors=[{**DOOR, "head_mm": head}]).verdict == verdict


def test_what_may_be_tipped_says_how_far() -> None:
    """2,080 x 550 under 1,981 less 30 of lift: leaned back 39.7 degrees it is 1,951 high."""
    tall = cylinder(height=2080, carry={"ways": ["upright", "tip"], "round_mm": 550})

    finding = leaving(tall, doors=[{**DOOR, "head_mm": 1981}])

    assert finding.verdict == "look-again"
    assert (finding.needed, finding.found, finding.short) == pytest.approx((2110, 1981, 129))
    assert "leaned back 40 degrees" in finding.message
    assert "2,151 mm of height is needed where it is tipped" in finding.message


def test_what_may_not_be_tipped_is_trapped_by_a_low_door() -> None:
    tall = cylinder(height=2080, carry={"ways": ["upright"], "round_mm": 550})

    finding = leaving(tall, doors=[{**DOOR, "head_mm": 1981}])

    assert finding.verdict == "put-right"
    assert finding.short == pytest.approx(129)


def test_what_has_to_be_tipped_is_still_held_by_a_gap_that_is_too_narrow() -> None:
    tall = cylinder(height=2080, carry={"ways": ["upright", "tip"], "round_mm": 550})

    finding = leaving(tall, doors=[{**DOOR, "head_mm": 1981, "clear_mm": 500}])

    assert finding.verdict == "put-right"
    assert finding.short == pytest.approx(50)


@pytest.mark.parametrize(("soffit", "verdict"), [(1530, "no-fault"), (1529, "look-again"), (1400, "put-right")])
def test_a_beam_across_the_way_counts(soffit: float, verdict: str) -> None:
    beam = {"name": "beam", "area_mm": [[0, 500], [2400, 500], [2400, 650], [0, 650]], "soffit_mm": soffit}

    finding = leaving(cylinder(), ceiling={"height_mm": 2400, "beams": [beam]})

    assert finding.verdict == verdict
    if verdict == "put-right":
        assert finding.against == ("beam",)
        assert finding.short == pytest.approx(130, abs=1)


def test_a_sloping_soffit_on_the_way_counts() -> None:
    slope = {
        "name": "soffit", "area_mm": [[0, 0], [2400, 0], [2400, 900], [0, 900]],
        "through_mm": [[0, 0, 1200], [2400, 0, 1200], [0, 900, 2400]],
    }  # fmt: skip

    finding = leaving(cylinder(), ceiling={"height_mm": 2400, "slopes": [slope]})

    assert finding.verdict == "put-right"
    assert finding.against == ("soffit",)
    assert finding.found == pytest.approx(1200, abs=1)


def test_what_hangs_higher_than_the_piece_is_carried_under() -> None:
    shelf = box_kit("shelf", 2400, 300, 400, stands_on="wall", base_mm=1600)

    assert leaving(cylinder(), (shelf, piece(shelf, 1200, 700))).verdict == "no-fault"


def test_a_kerb_no_higher_than_a_step_is_lifted_over() -> None:
    def verdict(height: float) -> str:
        kerb = box_kit("kerb", 2400, 100, height)
        return leaving(cylinder(), (kerb, piece(kerb, 1200, 700))).verdict

    assert verdict(100) == "no-fault"
    assert verdict(120) == "put-right"


def test_over_a_sill_it_is_lifted_and_needs_so_much_more_height() -> None:
    def verdict(head: float) -> str:
        return leaving(cylinder(), doors=[{**DOOR, "sill_mm": 60, "head_mm": head}]).verdict

    assert verdict(1560) == "no-fault"
    assert verdict(1555) != "no-fault"


# --- Hung and stacked -------------------------------------------------------------------------------------------------


def test_hung_pieces_that_one_person_lifts_are_left_out() -> None:
    light = box_kit("boiler", 440, 340, 740, stands_on="wall", base_mm=1150, dry_kg=24.9)

    assert findings("way-out", [light], [piece(light, 1200, 1630)], doors=[DOOR]) == []


def test_a_heavy_hung_piece_is_lifted_off_over_what_stands_below_it_and_let_down() -> None:
    """It hangs with its top at 2,140, higher than the door; a counter stands below it."""
    boiler = box_kit("boiler", 440, 340, 740, stands_on="wall", base_mm=1400, dry_kg=36)
    counter = box_kit("counter", 1600, 600, 900)

    assert leaving(boiler, (counter, piece(counter, 1200, 1500)), at=(1200, 1630)).verdict == "no-fault"


def test_a_dryer_on_a_machine_is_not_held_by_the_machine() -> None:
    dryer, machine = box_kit("dryer", 600, 600, 850, dry_kg=48, base_mm=850), box_kit("machine", 600, 600, 850)

    assert leaving(dryer, (machine, piece(machine, 1200, 1450)), at=(1200, 1450)).verdict == "no-fault"


def test_a_hung_piece_of_unknown_weight_is_asked_about() -> None:
    boiler = box_kit("boiler", 440, 340, 740, stands_on="wall", base_mm=1150)

    finding = leaving(boiler, at=(1200, 1630))

    assert finding.verdict == "not-checked"
    assert "What does the boiler weigh" in finding.question


# --- Starts and ends --------------------------------------------------------------------------------------------------


def test_a_piece_that_touches_its_neighbours_on_three_sides_can_start() -> None:
    machine, unit = box_kit("machine", 600, 600, 850, dry_kg=60), box_kit("unit", 300, 600, 870)
    others = [(unit, piece(unit, 750, 1500, id="u1")), (unit, piece(unit, 1650, 1500, id="u2"))]

    finding = leaving(machine, others[0], at=(1200, 1500))

    assert finding.verdict == "no-fault"
    assert leaving(machine, others[0], (unit | {"key": "unit2"}, piece(unit | {"key": "unit2"}, 1650, 1500)),
                   at=(1200, 1500)).verdict == "no-fault"  # fmt: skip


def test_a_piece_drawn_into_another_is_not_checked_and_asked_about() -> None:
    tank = box_kit("tank", 600, 600, 900)

    both = findings(
        "way-out", [cylinder(), tank], [piece(cylinder(), 1200, 1400), piece(tank, 900, 1400)], doors=[DOOR]
    )

    finding = only(both)
    assert (finding.verdict, finding.pieces) == ("not-checked", ("cylinder", "tank"))
    assert finding.question == "Where do the cylinder and the tank stand, one beside the other?"


def test_a_piece_drawn_into_something_fixed_is_asked_about_by_itself() -> None:
    pier = {"id": "f1", "name": "pier", "area_mm": [[1300, 1300], [1500, 1300], [1500, 1500], [1300, 1500]],
            "to_mm": 2400}  # fmt: skip

    finding = leaving(cylinder(), fixtures=[pier])

    assert finding.pieces == ("cylinder",)
    assert finding.question == "Where does the cylinder stand beside the pier?"


def test_a_narrow_corridor_beyond_the_door_traps_what_cannot_turn_into_it() -> None:
    chest = box_kit("chest", 500, 1400, 900, dry_kg=60)
    corridor = [[-1500, -700], [3900, -700], [3900, -100], [-1500, -100]]

    free = leaving(chest, at=(1250, 1000), doors=[DOOR])
    held = leaving(chest, at=(1250, 1000), doors=[{**DOOR, "beyond_mm": corridor}])

    assert free.verdict == "no-fault"
    assert held.verdict == "put-right"


def test_what_is_as_long_as_the_corridor_is_free_in_it_once_it_is_turned() -> None:
    """The corridor is 800 wide; the box, 1,000 by 500, lies along it at the end."""
    box = box_kit("box", 500, 1000, 900, dry_kg=60)
    corridor = [[-3000, -900], [5400, -900], [5400, -100], [-3000, -100]]

    finding = leaving(box, at=(1250, 1200), doors=[{**DOOR, "clear_mm": 900, "beyond_mm": corridor}])

    assert finding.verdict == "no-fault"


def test_the_size_that_has_to_pass_is_that_of_its_carry() -> None:
    tower = box_kit("tower", 700, 700, 1200, dry_kg=90, carry={"box_mm": [690, 500], "ways": ["upright", "parts"]})

    assert leaving(tower, doors=[{**DOOR, "clear_mm": 600}]).verdict == "no-fault"


def test_without_a_door_it_is_asked_for() -> None:
    found = only(findings("way-out", [cylinder()], [piece(cylinder(), 1200, 1400)]))

    assert found.verdict == "not-checked"
    assert found.question


@pytest.mark.parametrize("out_of_square", [0, 3.43, 30, 300])
def test_a_room_out_of_square_lets_out_what_a_square_one_does(out_of_square: float) -> None:
    """550 through a door of 760, nothing else in the room: walls as a tape finds them are seldom square."""
    outline = [[0, 0], [3600, out_of_square], [3600, 2700], [0, 2700]]
    door = {**DOOR, "from_mm": 700, "clear_mm": 760}

    assert leaving(cylinder(), at=(2800, 2000), outline_mm=outline, doors=[door]).verdict == "no-fault"
