"""Two worked scenarios, geometry checked with an independent script: a cupboard under the stairs and a plant shed.

All data is invented. Expected values are those of the scenarios' own tables, each written beside its test; none is
taken from our output. Sizes, spaces and access points are those of the shelf. The scenarios measure between bodies,
so what sticks out of a kind is left off here where it would come first; one test puts it back.

Not covered yet, for want of the check: reach of the stop tap (1,140 of 700, short 440) and headroom there (868);
the wiring centre under the water joints of the hydraulic box (110 of its height); gangway of 600 past the cylinder
(445) and past the first accumulator (365); ways out of cylinder and accumulators, with the machines in and pulled;
standing the cylinder up (1,911 under 2,062, spare 151); the alarm's distance from the boiler (1,369 of 1,000 to
3,000); the unheated room's note on frost.
"""

from typing import Any

import pytest

from geometry.check import Finding
from geometry.checking import check_room
from geometry.kit import Kit
from geometry.reading import room_from
from geometry.room import Room
from geometry.shelf import find_kit

MM, DEG = 1.0, 0.1

Findings = tuple[Finding, ...]
Data = dict[str, Any]


def kit_data(kit: Kit) -> Data:
    return kit.model_dump(mode="json", exclude_defaults=True, by_alias=True)


def bare(key: str) -> Data:
    """A kind of the shelf without what sticks out of it."""
    return {**kit_data(find_kit(key)), "key": f"{key}-bare", "sticks_out": []}


def piece(piece_id: str, kit: str, x: float, y: float, turn: float = 0, base: float | None = None, **more: Any) -> Data:
    return {"id": piece_id, "kit": kit, "at_mm": [x, y], "turn_deg": turn, "base_mm": base, **more}


def only(findings: Findings, check: str, *pieces: str, **more: Any) -> Finding:
    """The one finding of a check about these pieces; ``more`` are other things that it has to be."""
    met = [
        f
        for f in findings
        if f.check == check and set(f.pieces) == set(pieces) and all(getattr(f, k) == v for k, v in more.items())
    ]
    assert len(met) == 1, [f.message for f in met]
    return met[0]


def measures(finding: Finding) -> tuple[float | None, float | None, float | None]:
    return finding.needed, finding.found, finding.short


def near(*values: float, within: float = MM) -> Any:
    return pytest.approx(values, abs=within)


def put_right(findings: Findings) -> list[str]:
    return [f.message for f in findings if f.verdict == "put-right"]


# --- A cupboard under the stairs: 1,900 x 900, soffit 2,300 - 0.8421 x, door 120 to 800 opening outwards -------------

CABLES_BELOW = "consumer-unit-cables-below"
"""Cables of a consumer unit come from above or from below; under this soffit from below."""

CUPBOARD: Data = {
    "format": "elbowroom-room",
    "format_version": 1,
    "name": "Cupboard under the stairs",
    "outline_mm": [[0, 0], [1900, 0], [1900, 900], [0, 900]],
    "ceiling": {
        "slopes": [
            {
                "name": "soffit",
                "area_mm": [[0, 0], [1900, 0], [1900, 900], [0, 900]],
                "through_mm": [[0, 0, 2300], [1900, 0, 700], [0, 900, 2300]],
            }
        ]
    },
    "doors": [
        {
            "id": "door", "edge": 0, "from_mm": 120, "clear_mm": 680, "head_mm": 1900,
            "leaf": {"kind": "hinged", "width_mm": 720, "hinge": "start", "opens": "out"},
        }
    ],
    "kit": [{**bare("consumer-unit-10"), "key": CABLES_BELOW}],
}  # fmt: skip

AS_DRAWN = [
    piece("D1", "heat-pump-hydraulic-box", 280, 720, base=1150),
    piece("D2", "underfloor-manifold-8", 1000, 830, base=450),
    piece("D3", CABLES_BELOW, 880, 842.5, base=1280),
    piece("D4", "stop-tap", 1700, 700, base=150),
    piece("D5", "wiring-centre-underfloor-8", 275, 867.5, base=980),
    piece("D6", "expansion-vessel-18", 1290, 760, base=900),
]
FIXED = [
    piece("D1", "heat-pump-hydraulic-box", 330, 720, base=930),
    piece("D2", "underfloor-manifold-8", 1000, 830, base=450),
    piece("D3", CABLES_BELOW, 57.5, 240, turn=90, base=1280),
    piece("D4", "stop-tap", 60, 500, turn=90, base=150),
    piece("D5", "wiring-centre-underfloor-8", 765, 867.5, base=1100),
]


def cupboard(pieces: list[Data]) -> Room:
    return room_from({**CUPBOARD, "pieces": pieces})


@pytest.fixture(scope="module")
def drawn() -> Findings:
    return check_room(cupboard(AS_DRAWN)).findings


@pytest.fixture(scope="module")
def fixed() -> Findings:
    return check_room(cupboard(FIXED)).findings


def test_the_consumer_unit_is_through_the_soffit(drawn: Findings) -> None:
    """Top 1,520, soffit at x = 1,060 is 1,407: short 113."""
    finding = only(drawn, "room-edge", "D3", against=("soffit",))

    assert finding.verdict == "put-right"
    assert finding.short == pytest.approx(113, abs=MM)


def test_the_vessel_is_through_the_soffit(drawn: Findings) -> None:
    """Top 1,310, soffit at x = 1,430 is 1,096: short 214."""
    finding = only(drawn, "room-edge", "D6", against=("soffit",))

    assert finding.verdict == "put-right"
    assert finding.short == pytest.approx(214, abs=MM)


def test_the_hydraulic_box_itself_clears_the_soffit(drawn: Findings) -> None:
    """Top 1,870, soffit at x = 480 is 1,896: clear by 26."""
    assert not [f for f in drawn if f.check == "room-edge" and f.pieces == ("D1",) and f.verdict == "put-right"]


def test_the_hydraulic_box_has_too_little_above(drawn: Findings) -> None:
    """Wants 1,870 + 200 = 2,070, soffit 1,896: 26 of 200, short 174."""
    finding = only(drawn, "service-space", "D1", side="above")

    assert finding.verdict == "put-right"
    assert finding.against == ("soffit",)
    assert measures(finding) == near(200, 26, 174)


def test_the_space_before_the_hydraulic_box_is_stopped_by_the_jamb(drawn: Findings) -> None:
    """600 reaches 60 beyond the door's plane; the 40 from x = 80 to 120 is behind the jamb: 540 of 600."""
    finding = only(drawn, "service-space", "D1", side="front")

    assert finding.verdict == "put-right"
    assert finding.against == ("edge:0",)
    assert measures(finding) == near(600, 540, 60)


def test_the_wiring_centre_hangs_in_the_space_below_the_hydraulic_box(drawn: Findings) -> None:
    """The box is worked from below from 950 to 1,150; the wiring centre's top is at 1,090: 60 of 200."""
    finding = only(drawn, "service-space", "D1", side="below")

    assert finding.verdict == "put-right"
    assert finding.against == ("D5",)
    assert measures(finding) == near(200, 60, 140)


def test_the_loops_of_the_manifold_have_room_to_bend(drawn: Findings) -> None:
    """450 of 400: pass, spare 50."""
    finding = only(drawn, "service-space", "D2", side="below")

    assert finding.verdict == "no-fault"
    assert measures(finding) == near(400, 450, 0)


def test_the_manifold_has_room_above_once_the_vessel_is_out() -> None:
    """Soffit at the manifold's end is 1,138, its top 850: 288 of 100. The vessel stands in that space as drawn."""
    without = [p for p in AS_DRAWN if p["id"] not in ("D3", "D6")]

    finding = only(check_room(cupboard(without)).findings, "service-space", "D2", side="above")

    assert finding.verdict == "no-fault"
    assert measures(finding) == near(100, 288, 0)


def test_the_mended_cupboard_has_nothing_to_put_right(fixed: Findings) -> None:
    assert put_right(fixed) == []


def test_the_mended_hydraulic_box_only_just_has_its_space_above(fixed: Findings) -> None:
    """At x = 530 the soffit is 1,854, the top 1,650: 204 of 200, spare 4, inside the survey tolerance."""
    finding = only(fixed, "service-space", "D1", side="above")

    assert finding.verdict == "look-again"
    assert measures(finding) == near(200, 204, 0)


def test_the_mended_consumer_unit_has_its_space_in_front(fixed: Findings) -> None:
    """On the left wall, facing right: 700 free in front."""
    assert only(fixed, "service-space", "D3", side="front").verdict == "no-fault"


def test_the_mended_wiring_centre_is_clear_of_the_soffit_and_of_the_box(fixed: Findings) -> None:
    """298 under the soffit at x = 940; its left side, 590, is 60 from the box and clear of the box's 50."""
    above = only(fixed, "service-space", "D5", side="above")
    beside = only(fixed, "service-space", "D1", side="right")

    assert above.found == pytest.approx(298, abs=MM)
    assert beside.verdict == "no-fault"
    assert beside.found == pytest.approx(60, abs=MM)


# --- A plant shed: 3,000 x 1,700, roof 2,500 to 2,050, door on the left wall opening inwards -------------------------

SHED_KINDS = (
    "floor-boiler-oil", "unvented-cylinder-250", "accumulator-300", "washing-machine", "water-softener-twin",
    "carbon-monoxide-alarm",
)  # fmt: skip


def shed(
    *,
    opens: str = "in",
    bare_kinds: bool = True,
    without: tuple[str, ...] = (),
    machines: str = "movable",
    **more: Data,
) -> Room:
    """The shed; ``more`` are changes to single pieces."""
    end = "-bare" if bare_kinds else ""
    pieces = [
        piece("E1", f"floor-boiler-oil{end}", 450, 1390),
        piece("E2", f"unvented-cylinder-250{end}", 1150, 1380),
        piece("E3", f"accumulator-300{end}", 1900, 1350),
        piece("E4", f"accumulator-300{end}", 2600, 1350),
        piece("E5", f"washing-machine{end}", 1200, 360, turn=180, hold=machines),
        piece("E6", f"washing-machine{end}", 1820, 360, turn=180, hold=machines),
        piece("E7", f"water-softener-twin{end}", 2530, 240, turn=180),
        piece("E8", f"carbon-monoxide-alarm{end}", 2100, 850, base=2115),
    ]
    return room_from(
        {
            "format": "elbowroom-room", "format_version": 1, "name": "Plant shed", "system": "unvented",
            "outline_mm": [[0, 0], [3000, 0], [3000, 1700], [0, 1700]],
            "ceiling": {
                "slopes": [
                    {
                        "name": "roof", "area_mm": [[0, 0], [3000, 0], [3000, 1700], [0, 1700]],
                        "through_mm": [[0, 0, 2500], [3000, 0, 2500], [0, 1700, 2050]],
                    }
                ]
            },
            "doors": [
                {
                    "id": "door", "edge": 3, "from_mm": 540, "clear_mm": 760, "head_mm": 1980,
                    "leaf": {"kind": "hinged", "width_mm": 826, "hinge": "start", "opens": opens},
                    "beyond_mm": [[-2000, -500], [-100, -500], [-100, 2500], [-2000, 2500]],
                }
            ],
            "kit": [bare(key) for key in SHED_KINDS],
            "pieces": [{**p, **more.get(p["id"], {})} for p in pieces if p["id"] not in without],
        }
    )  # fmt: skip


@pytest.fixture(scope="module")
def shed_drawn() -> Findings:
    return check_room(shed()).findings


def test_the_shed_door_is_stopped_by_the_boiler(shed_drawn: Findings) -> None:
    """Leaf 826, hinge at y = 1,160, boiler corner at (150, 1,080): 61.9 degrees, not 90."""
    finding = only(shed_drawn, "door-swing", "door", topic="")

    assert finding.verdict == "put-right"
    assert finding.against == ("E1",)
    assert measures(finding) == near(90, 61.9, 28.1, within=DEG)


def test_the_immersion_heater_is_five_short_of_coming_out(shed_drawn: Findings) -> None:
    """445 of 450 to the first machine, short 5; the machine moves, so look again."""
    drawn_out = only(shed_drawn, "draw-out", "E2", topic="immersion heater, move-first")
    in_front = only(shed_drawn, "service-space", "E2", side="front", topic="move-first")

    assert {drawn_out.verdict, in_front.verdict} == {"look-again"}
    assert drawn_out.against == in_front.against == ("E5",)
    assert measures(drawn_out) == near(450, 445, 5)
    assert measures(in_front) == near(450, 445, 5)


def test_the_first_accumulator_has_too_little_in_front(shed_drawn: Findings) -> None:
    """365 of 500 to the second machine, short 135."""
    finding = only(shed_drawn, "service-space", "E3", side="front", topic="move-first")

    assert finding.verdict == "look-again"
    assert finding.against == ("E6",)
    assert measures(finding) == near(500, 365, 135)


def test_the_machines_have_too_little_room_to_be_loaded(shed_drawn: Findings) -> None:
    """Loading space of 1,000, for comfort: 445 before the first, short 555; 365 before the second, short 635."""
    first = only(shed_drawn, "service-space", "E5", side="front")
    second = only(shed_drawn, "service-space", "E6", side="front")

    assert (first.verdict, first.against) == ("look-again", ("E2",))
    assert measures(first) == near(1000, 445, 555)
    assert (second.verdict, second.against) == ("look-again", ("E3",))
    assert measures(second) == near(1000, 365, 635)


@pytest.mark.parametrize(
    ("piece_id", "pressure", "words"),
    [("E2", 12.6, "304 kg"), ("E3", 10.6, "360 kg")],
)
def test_the_slab_is_asked_about_with_weight_and_pressure(
    shed_drawn: Findings, piece_id: str, pressure: float, words: str
) -> None:
    """Cylinder 304 kg, 12.6 kN/m2; accumulator 360 kg, 10.6 kN/m2: a question, never a pass."""
    finding = only(shed_drawn, "floor-load", piece_id)

    assert finding.verdict == "not-checked"
    assert finding.unit == "kN/m2"
    assert finding.found == pytest.approx(pressure, abs=0.05)
    assert words in finding.message


def test_the_roof_stays_clear_of_everything(shed_drawn: Findings) -> None:
    """Nothing in the shed's table goes through an edge of the room."""
    assert not [f for f in shed_drawn if f.check == "room-edge" and f.verdict == "put-right"]


def gutter_end(plastic_gutter_mm: float) -> Data:
    return {
        "id": "outlet", "name": "outlet over the gutter", "at_mm": [1500, 1700], "level_mm": 300,
        "takes": ["hot-discharge"], "ends": "roof", "outside_run_mm": 1410, "outside_bends": 2,
        "plastic_gutter_mm": plastic_gutter_mm,
    }  # fmt: skip


def discharged(plastic_gutter_mm: float) -> Findings:
    """3 m with 3 bends: 980 down, 610 along to the wall, 1,410 outside; one bend inside, two outside."""
    data = shed().model_dump(mode="json", by_alias=True)
    pipe = {
        "id": "x1", "medium": "hot-discharge", "from": {"piece": "tundish", "port": "outlet"}, "to": "outlet",
        "via_mm": [[1500, 1090, 1300], [1500, 1090, 320], [1500, 1700, 300]], "size_mm": 22,
    }  # fmt: skip
    pieces = [*data["pieces"], piece("tundish", "tundish", 1500, 1090, base=1300)]
    with_pipe = {**data, "pieces": pieces, "outlets": [gutter_end(plastic_gutter_mm)], "pipes": [pipe]}
    return check_room(room_from(with_pipe)).findings


def test_a_discharge_of_three_metres_and_three_bends_goes_into_22_mm() -> None:
    """3 + 3 x 0.8 = 5.4 m, at most 9 in 22."""
    finding = only(discharged(500), "discharge", "E2", "tundish", topic="size")

    assert finding.verdict == "no-fault"
    assert finding.found == pytest.approx(5.4, abs=0.01)
    assert finding.needed == 9


def test_a_discharge_over_a_plastic_gutter_is_pointed_out() -> None:
    """Hot discharge ends 3 m from plastic, or somewhere else."""
    close, far = (only(discharged(gutter), "discharge", "E2", topic="end-place") for gutter in (500, 3100))

    assert close.verdict == "look-again"
    assert measures(close) == near(3000, 500, 2500)
    assert far.verdict == "no-fault"


def test_the_rehung_door_opens_all_the_way() -> None:
    """Rehung to open outwards: 90 degrees."""
    finding = only(check_room(shed(opens="out")).findings, "door-swing", "door", topic="")

    assert finding.verdict == "no-fault"


def test_the_cylinder_is_free_in_front_with_the_first_machine_out() -> None:
    """1,105 from the cylinder to the wall once the machine is gone."""
    finding = only(check_room(shed(without=("E5",))).findings, "service-space", "E2", side="front")

    assert finding.verdict == "no-fault"
    assert finding.found == pytest.approx(1105, abs=MM)


def test_a_fixed_machine_before_the_accumulator_can_be_accepted_in_writing() -> None:
    """With the machine fixed the 365 is to put right; a signature leaves it in sight."""
    signed = {"by": "the owner", "reason": "The machine slides out.", "on": "2026-11-02"}
    room = shed(machines="fixed", E3={"accepted": [{"check": "service-space", "about": ["E3", "E6"], **signed}]})

    finding = only(check_room(room).findings, "service-space", "E3", side="front")

    assert finding.verdict == "put-right"
    assert measures(finding) == near(500, 365, 135)
    assert finding.accepted is not None


def test_moving_the_second_machine_cures_the_accumulator() -> None:
    """Cured by moving E6."""
    moved = shed(without=("E5", "E7"), E6={"at_mm": [1120, 360]})

    findings = [f for f in check_room(moved).findings if f.check == "service-space" and f.pieces == ("E3",)]

    assert {f.verdict for f in findings if f.side == "front"} == {"no-fault"}


def test_what_sticks_out_never_makes_a_shortage_smaller(shed_drawn: Findings) -> None:
    with_all = check_room(shed(bare_kinds=False)).findings

    places = [f for f in shed_drawn if f.verdict in ("put-right", "look-again") and f.short]
    for place in places:
        same = [f for f in with_all if (f.check, f.pieces, f.side) == (place.check, place.pieces, place.side)]
        assert max(f.short or 0.0 for f in same) >= (place.short or 0.0) - 1e-6
