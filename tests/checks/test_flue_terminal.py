"""Where a flue ends: each lettered distance on both sides, plane against true distance, what counts as near."""

from typing import Any

import pytest

from geometry.check import Finding
from geometry.samples import box_kit, piece
from tests.checks.found import findings, only

BOILER = box_kit("boiler", 440, 340, 740, traits=["gas", "hot"])
FLUE = {"id": "t1", "piece": "boiler", "edge": 2, "along_mm": 1200, "level_mm": 1500, "round_mm": 100}


def ended(
    outside: list[dict[str, Any]] | None = None, flue: dict[str, Any] | None = None, **room: Any
) -> list[Finding]:
    """What the flue in the back wall, 100 mm round, its middle 1,200 along and 1,500 up, meets."""
    kind = room.pop("boiler", BOILER)
    flues = [FLUE | (flue or {}), *room.pop("flues", [])]
    return findings("flue-terminal", [kind], [piece(kind, 1200, 1600, id="boiler")], flues=flues,
                    outside=outside or [], **{"tolerance_mm": 0, **room})  # fmt: skip


def thing(kind: str, place: str, gap: float, **more: Any) -> dict[str, Any]:
    """Something 400 long, so far from the rim of the terminal: above, below or beside it, or straight out."""
    band = {
        "above": (1000, 1400, 1550 + gap, 2500 + gap), "below": (1000, 1400, 0, 1450 - gap),
        "beside": (1250 + gap, 1650 + gap, 1000, 2000), "out": (1000, 1400, 1300, 1700),
    }[place]  # fmt: skip
    keys = ("from_mm", "to_mm", "low_mm", "high_mm")
    away = {"away_mm": gap + 150} if place == "out" else {}
    named = {"id": "n1", "name": f"the {kind}", "kind": kind, "edge": 2}
    return named | dict(zip(keys, band, strict=True)) | away | more


# Approved Document J, location of outlets, letters A to N: fanned balanced, natural balanced (largest), fanned open
TABLE = [
    ("A", "opening", "above", 300, 2000, 300), ("B", "opening", "below", 300, 600, 300),
    ("C", "opening", "beside", 300, 600, 300), ("D", "gutter", "above", 75, 300, 75),
    ("D", "pipe", "above", 75, 300, 75),
    ("E", "eaves", "above", 200, 300, 200), ("F", "balcony", "above", 200, 600, 200),
    ("G", "pipe", "beside", 150, 300, 150), ("H", "corner", "beside", 300, 600, 200),
    ("H", "boundary", "beside", 300, 600, 200), ("I", "ground", "below", 300, 300, 300),
    ("J", "surface", "out", 600, 600, 600), ("K", "facing-terminal", "out", 1200, 600, 1200),
    ("L", "car-port-opening", "beside", 1200, 1200, 1200), ("M", "terminal", "above", 1500, 1500, 1500),
    ("N", "terminal", "beside", 300, 300, 300), ("note 1", "frame", "beside", 150, 300, 150),
]  # fmt: skip
KINDS = ("fanned-balanced", "natural-balanced", "fanned-open")


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize(("letter", "what", "place", "fanned", "natural", "open_"), TABLE, ids=lambda v: str(v))
def test_every_lettered_distance_is_kept_to_the_millimetre(
    letter: str, what: str, place: str, fanned: float, natural: float, open_: float, kind: str
) -> None:
    needed = dict(zip(KINDS, (fanned, natural, open_), strict=True))[kind]

    def judged(gap: float) -> Finding:
        (found,) = [f for f in ended([thing(what, place, gap)], {"kind": kind}) if f.against == ("n1",)]
        return found

    kept, less = judged(needed), judged(needed - 1)

    assert (kept.topic, kept.verdict, kept.found) == (f"t1, {letter}", "no-fault", pytest.approx(needed))
    assert (less.verdict, less.short) == ("put-right", pytest.approx(1))


@pytest.mark.parametrize(
    ("kw", "needed"), [(7, 300), (7.1, 600), (14, 600), (14.1, 1500), (32, 1500), (32.1, 2000), (None, 2000)]
)
def test_natural_draught_below_an_opening_goes_by_the_heat_input(kw: float | None, needed: float) -> None:
    kind = BOILER | ({"input_kw": kw} if kw else {})

    finding = only(ended([thing("opening", "above", 100)], {"kind": "natural-balanced"}, boiler=kind))

    assert finding.needed == needed


@pytest.mark.parametrize(("projects", "verdict"), [(49, "put-right"), (50, "no-fault")])
def test_an_open_flue_stands_50_mm_off_its_own_wall(projects: float, verdict: str) -> None:
    """Letter O."""
    found = ended([thing("gutter", "above", 500)], {"kind": "fanned-open", "projects_mm": projects})

    (own,) = [f for f in found if f.topic == "t1, O"]
    assert (own.verdict, own.needed, own.against) == (verdict, 50, ("edge:2",))


def test_in_the_plane_200_fails_though_the_true_distance_is_300_29() -> None:
    """200 across and 224 of projection: sqrt(200² + 224²) = 300.29; break-even at 223.607."""
    far, near = (only(ended([thing("opening", "beside", 200)], {"projects_mm": p})) for p in (224, 223))

    assert (far.verdict, far.found, far.short) == ("put-right", 200, 100)
    assert "Only with what it projects is it 300 mm away; the distance along the wall counts." in far.message
    assert "projects" not in near.message


def test_across_and_up_together_are_measured_corner_to_corner() -> None:
    """Opening from 1,200 + 180 + on and 240 up from the middle: 300 from it, 250 from the rim."""
    corner = thing("opening", "above", 0) | {"from_mm": 1380, "to_mm": 1800, "low_mm": 1740, "high_mm": 2300}

    assert only(ended([corner])).found == pytest.approx(250)


@pytest.mark.parametrize(("across", "up", "verdict"), [
    (300, 0, "no-fault"), (299, 0, "put-right"), (299, 1499, "put-right"),
    (299, 1500, "no-fault"), (0, 1500, "no-fault"),
])  # fmt: skip
def test_two_terminals_are_clear_of_each_other_beside_or_above(across: float, up: float, verdict: str) -> None:
    other = {"id": "t2", "piece": "boiler", "edge": 2, "along_mm": 1300 + across, "level_mm": 1600 + up}
    flue = {"along_mm": 1200, "level_mm": 1500 if up else 1600}

    found = [f for f in ended([], flue, flues=[other]) if f.against == ("t2",)]

    assert [f.verdict for f in found] == [verdict]


def test_the_room_s_own_windows_and_doors_in_that_wall_are_openings() -> None:
    window = {"id": "w1", "edge": 2, "from_mm": 1449, "width_mm": 500, "sill_mm": 1000, "head_mm": 2000}
    other_wall = window | {"id": "w2", "edge": 0, "from_mm": 0}
    door = {"id": "d1", "edge": 2, "from_mm": 100, "clear_mm": 700}

    found = ended([], windows=[window, other_wall], doors=[door])

    assert {f.against: f.found for f in found if f.against} == {("w1",): 199, ("d1",): 350}


def test_the_room_s_own_window_does_not_tell_what_else_is_outside() -> None:
    window = {"id": "w1", "edge": 2, "from_mm": 900, "width_mm": 600, "sill_mm": 400, "head_mm": 900}

    asked = [f for f in ended([], windows=[window]) if f.verdict == "not-checked"]

    assert "What is outside near the flue of the boiler" in only(asked).question


def test_a_flue_at_a_wall_that_is_not_an_outside_wall_is_looked_at_again() -> None:
    walls = [{"edge": 0, "outside": True}, {"edge": 2, "thick_mm": 100}]
    clear = [thing("opening", "above", 900)]

    again = [f for f in ended(clear, walls=walls) if f.verdict == "look-again"]

    assert only(again).message == "The flue of the boiler ends at the back wall, which is not drawn as an outside wall."
    for known in ([], [{"edge": 2, "outside": True}]):
        assert all(f.verdict == "no-fault" for f in ended(clear, walls=known))


def test_a_flue_on_kit_that_burns_nothing_is_asked_about() -> None:
    tank = box_kit("boiler", 440, 340, 740)

    asked = only(ended([], boiler=tank))

    assert asked.verdict == "not-checked"
    assert asked.question == "What does the boiler burn, or whose flue is it that is drawn from the boiler?"


def test_something_outside_another_wall_is_not_near() -> None:
    found = ended([thing("opening", "beside", 10, edge=1)])

    assert only(found).verdict == "not-checked"


def test_what_faces_the_wall_a_little_aside_is_measured_to_its_edge() -> None:
    """Straight out 300, its edge 400 aside of the rim: 500 of 600."""
    wall = thing("surface", "out", 300) | {"from_mm": 1650, "to_mm": 2300}

    assert only(ended([wall])).found == pytest.approx(500)


def test_inside_the_survey_tolerance_it_is_measured_again() -> None:
    assert only(ended([thing("opening", "beside", 305)], tolerance_mm=10)).verdict == "look-again"


def test_a_flue_that_is_not_drawn_and_one_with_nothing_drawn_near_it_are_asked_about() -> None:
    none = findings("flue-terminal", [BOILER], [piece(BOILER, 1200, 1600)])

    assert only(none).question.startswith("Where does the flue of the boiler end")
    assert only(ended()).question.startswith("What is outside near the flue of the boiler")


def test_the_distances_are_for_gas_and_an_oil_boiler_is_asked_about() -> None:
    oil = box_kit("oil", traits=["oil", "hot"])

    finding = only(findings("flue-terminal", [oil], [piece(oil, 1200, 1600)]))

    assert finding.verdict == "not-checked"
    assert "are for gas" in finding.message


def test_the_letter_stands_in_the_source() -> None:
    finding = only(ended([thing("gutter", "above", 74)]))

    assert finding.source is not None
    assert finding.source.clause.endswith(": D")


@pytest.mark.parametrize(("along", "asked"), [(1420, False), (1421, True), (979, True), (1700, True)])
def test_a_boiler_that_stands_to_one_side_of_its_flue_is_asked_about(along: float, asked: bool) -> None:
    """The boiler, 440 wide, has its middle at 1,200: from 1,420 on the flue ends beside its body."""
    moved = [f for f in ended(flue={"along_mm": along}) if f.topic == "t1, moved"]

    assert [f.verdict for f in moved] == ["not-checked"] * asked
    if asked:
        gap = abs(along - 1200)
        assert moved[0].question == f"The boiler is {gap} mm from its flue, measured sideways: is the flue still there?"
