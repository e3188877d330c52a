"""Rooms in which a pipe has no way, each built for one cause; and what a way that is found keeps out of or follows."""

from math import cos, radians, sin
from typing import Any

import pytest

from geometry.checks import discharge, pipe_room
from geometry.editing import kind_of
from geometry.pipes.line import NoRoute, Route
from geometry.pipes.runs import pipe_runs
from geometry.pipes.spaces import crossed
from geometry.room import Room
from geometry.samples import box_kit, piece, sample_scene
from geometry.scene import build
from geometry.tundish_place import tundish_place
from server.cures import cure_words
from tests.checks.discharge_room import Data, findings, found, kit_box, kit_store, outlet, room
from tests.checks.drain_room import hung
from tests.checks.drain_room import outlet as drain_outlet
from tests.checks.found import findings as check

PIPE = {"id": "q1", "medium": "hot-discharge", "from": {"piece": "s1", "port": "relief"}, "to": "o1"}
BAR = {"kit": [kit_box("bar", 300, 3000, 2400, name="Work bench")],
       "pieces": [{"id": "m1", "kit": "bar", "at_mm": [2500, 1500]}]}  # fmt: skip
BEAM = {
    "ceiling": {
        "height_mm": 2400,
        "beams": [
            {"name": "boxed beam", "area_mm": [[2000, 0], [2200, 0], [2200, 3000], [2000, 3000]], "soffit_mm": 100}
        ],
    }
}
SOFFIT = {"ceiling": {"height_mm": 2400, "slopes": [
    {"name": "stair soffit", "area_mm": [[2000, 0], [4000, 0], [4000, 3000], [2000, 3000]],
     "through_mm": [[2000, 0, 160], [4000, 0, 20], [2000, 3000, 160]]}]}}  # fmt: skip
PIER = {"fixtures": [{"id": "f1", "name": "dwarf wall", "to_mm": 2400,
                      "area_mm": [[2000, 0], [2100, 0], [2100, 3000], [2000, 3000]]}]}  # fmt: skip
BOXED = {
    "kit": [kit_box("panel", 400, 20, 2400), kit_box("side", 20, 400, 2400)],
    "pieces": [
        {"id": "b1", "kit": "panel", "at_mm": [1200, 2390]},
        {"id": "b2", "kit": "side", "at_mm": [990, 2600]},
        {"id": "b3", "kit": "side", "at_mm": [1410, 2600]},
        {"id": "b4", "kit": "panel", "at_mm": [1200, 2810]},
    ],
}

TEN: dict[str, tuple[Data, str]] = {
    "outlet too high": ({"outlets": [outlet(level_mm=720)]}, "The gully is 134 mm too high for the discharge pipe"),
    "doorway of the outlet": ({"doors": [{"id": "d1", "edge": 1, "from_mm": 2300, "clear_mm": 600}]},
                              "doorway d1 is in the way"),
    "doorway across a narrow room": (
        {"outline_mm": [[0, 2200], [4000, 2200], [4000, 3000], [0, 3000]],
         "doors": [{"id": "d1", "edge": 2, "from_mm": 1500, "clear_mm": 800,
                    "leaf": {"kind": "hinged", "width_mm": 826, "opens": "in"}}],
         **{key: [dict(BAR[key][0], **more)] for key, more in (
             ("kit", {"plan": {"box_mm": [800, 200]}}), ("pieces", {"at_mm": [2100, 2300]}))}},
        "doorway d1"),
    "a body from wall to wall": (BAR, "the work bench is in the way"),
    "a beam that comes down": (BEAM, "the boxed beam is in the way"),
    "a soffit that comes down": (SOFFIT, "the stair soffit is in the way"),
    "a dwarf wall": (PIER, "the dwarf wall is in the way"),
    "a machine on the floor outlet": (
        {"outlets": [outlet(at_mm=[3000, 1500], level_mm=0)], "kit": [kit_box("machine", 600, 600, 850)],
         "pieces": [{"id": "m1", "kit": "machine", "at_mm": [3000, 1500]}]}, "the machine is in the way"),
    "a tundish boxed in": (BOXED, "in the way"),
    "no wall to follow": ({"overrides": [], "outlets": [outlet(at_mm=[3900, 0], level_mm=120)],
                           "outline_mm": [[-3000, -3000], [7000, -3000], [7000, 3000], [-3000, 3000]]},
                          "has no way along walls to the gully: no wall to follow for"),
}  # fmt: skip


@pytest.mark.parametrize("cause", TEN)
def test_a_room_without_a_way_names_what_stops_the_pipe(cause: str) -> None:
    more, said = TEN[cause]
    data = room() | {key: value for key, value in more.items() if key not in ("kit", "pieces")}
    data |= {key: [*data[key], *more[key]] for key in ("kit", "pieces") if key in more}
    if data["outline_mm"][0] == [0, 2200]:
        data["pieces"][0]["at_mm"] = [600, 2600]

    finding = found(data, "clips" if cause == "no wall to follow" else "route")

    assert finding.verdict == ("look-again" if cause == "no wall to follow" else "put-right")
    assert said in finding.message


def line_of(data: Data) -> tuple[tuple[float, float, float], ...]:
    run = next(run for run in pipe_runs(build(Room.model_validate(data))) if run.name.startswith("D2"))
    assert isinstance(run.route, Route)
    return run.route.points


WORKED_ON = kit_box("worked-on", 400, 400, 600) | {"space": [{"side": "front", "mm": 500, "need": "must"}]}


def beside_the_way(**space: Any) -> Data:
    """A piece behind the straight way, whose space in front of it the way would cross."""
    kind = WORKED_ON | {"space": [WORKED_ON["space"][0] | space]}
    return room(kit=[kind], pieces=[{"id": "w1", "kit": "worked-on", "at_mm": [2500, 2788]}])


def test_a_pipe_keeps_out_of_the_room_somebody_needs_to_work() -> None:
    inside = [p for p in line_of(beside_the_way()) if 2300 < p[0] < 2700]

    assert "room-to-work" not in {f.topic for f in discharge.find(build(Room.model_validate(beside_the_way())))}
    assert all(y <= 2088 - 11 + 0.5 or z >= 600 + 11 - 0.5 for _, y, z in inside)


def test_a_space_that_should_only_be_there_is_crossed() -> None:
    assert min(y for _, y, _ in line_of(beside_the_way())) < 2088
    assert min(y for _, y, _ in line_of(beside_the_way(need="should"))) > 2088


def test_a_pipe_that_cannot_keep_out_of_working_room_is_looked_at_again() -> None:
    data = beside_the_way(mm=2500)
    data["pieces"][-1]["base_mm"] = 100
    data["kit"][-1]["height_mm"] = 2000
    data["kit"][-1]["plan"] = {"box_mm": [400, 300]}

    finding = found(data | {"pipes": [PIPE | {"via_mm": [[1200, 2600, 200], [1200, 2000, 190], [3900, 2000, 170]]}]},
                    "room-to-work")  # fmt: skip

    assert finding.verdict == "look-again"
    assert "the working room of the worked-on" in finding.message


@pytest.mark.parametrize(("front_y", "crosses"), [(700, True), (301, True), (300, False), (250, False)])
def test_a_pipe_from_the_side_of_a_piece_is_told_where_it_comes_round_through_the_room_before_it(
    front_y: float, crosses: bool
) -> None:
    tank = box_kit("tank", 480, 480, 850, space=[{"side": "front", "mm": 500, "need": "must", "why": "valve"}])
    scene = sample_scene([tank], [piece(tank, 1200, 1040, id="ta")])  # its body ends at y 800, its front space at 300
    points = [(1440, 1200, 700), (1600, 1200, 700), (1600, front_y, 690), (900, front_y, 680), (900, 0, 670)]

    assert crossed(scene, points, 11) == (("ta",) if crosses else ())


def test_a_pipe_that_leaves_the_side_of_a_piece_is_not_in_the_room_before_it() -> None:
    tank = box_kit("tank", 480, 480, 850, space=[{"side": "front", "mm": 500, "need": "must", "why": "valve"}])
    scene = sample_scene([tank], [piece(tank, 1200, 1040, id="ta")])

    assert crossed(scene, [(1440, 1200, 700), (2400, 1200, 690)], 11) == ()


def test_along_a_wall_working_room_leaves_a_strip_for_pipes() -> None:
    data = room(tundish={"at_mm": [1200, 2970]}, outlets=[outlet(at_mm=[4000, 2974])],
                kit=[kit_box("unit", 300, 300, 600) | {"space": [{"side": "right", "mm": 900, "need": "must"}]}],
                pieces=[{"id": "u1", "kit": "unit", "at_mm": [2000, 2700]}])  # fmt: skip

    assert min(y for _, y, _ in line_of(data)) >= 3000 - 90


def test_a_way_that_has_no_wall_to_follow_is_not_told_as_a_way() -> None:
    more, _ = TEN["no wall to follow"]

    said = {f.topic for f in findings(room() | more)}

    assert "clips" in said and "route" not in said


def test_an_outlet_along_walls_is_taken_before_a_nearer_one_that_has_no_wall_to_follow() -> None:
    more, _ = TEN["no wall to follow"]
    along = outlet(id="o2", name="far gully", at_mm=[-3000, 2600])
    data = room() | more | {"outlets": [*more["outlets"], along]}
    data["pieces"][1]["at_mm"] = [1200, 2970]

    finding = found(data, "route")

    assert finding.against == ("o2",)
    assert "the gully (no wall to follow for" in finding.message


def test_a_pipe_that_would_hang_too_far_follows_the_wall() -> None:
    hanging, along = line_of(room()), line_of(room() | {"overrides": []})

    assert {round(y) for _, y, _ in hanging} == {2600}
    assert max(y for _, y, _ in along) == pytest.approx(3000 - 11 - 15)


def test_the_outlets_that_are_not_taken_are_explained() -> None:
    high, far = outlet(id="o2", name="hopper", at_mm=[1400, 3000], level_mm=720), outlet(id="o3", at_mm=[0, 100])

    message = found(room(outlets=[outlet(), high, far | {"name": "far gully"}]), "route").message

    assert "the hopper (123 mm too high)" in message
    assert "the far gully (" in message and "m longer)" in message


def test_of_two_condensate_outlets_the_other_is_explained() -> None:
    kind = hung("condensate")
    ends = [drain_outlet("condensate", 1000), drain_outlet("condensate", 1300, id="o2", name="stack")]

    (fall,) = [
        f for f in check("condensate", [kind], [piece(kind, 1200, 1620, id="boiler")], outlets=ends)
        if f.topic == "condensate, fall"
    ]  # fmt: skip

    assert fall.message.endswith("Not the stack (200 mm too high).")


def test_several_relief_valves_on_one_tundish_are_asked_for_a_larger_pipe() -> None:
    store = kit_store()
    store["port"].append(store["port"][0] | {"name": "pressure relief", "at_mm": [275, 0, 1450]})

    finding = found(room(store_kit=store), "valves-joined")

    assert (finding.verdict, finding.needed) == ("not-checked", 22)


def test_a_pipe_is_found_through_its_pinned_point() -> None:
    pinned = [2500, 700, 400]

    line = line_of(room(pipes=[PIPE | {"pinned_mm": [pinned]}]))

    assert tuple(pinned) in line
    assert line[0][:2] == (1200, 2600) and line[-1] == (4000, 2600, 150)


def test_a_pinned_point_that_is_too_high_is_named() -> None:
    message = found(room(pipes=[PIPE | {"pinned_mm": [[2500, 700, 700]]}]), "route").message

    assert message.startswith("The point pinned at 700 mm is 100 mm too high")


def test_a_drain_that_leaves_sideways_goes_round_its_own_piece() -> None:
    port = {"name": "condensate", "medium": "condensate", "size_mm": 22, "at_mm": [-220, 0, 100], "faces": "left"}
    data = hung("condensate") | {"port": [port]}

    scene = sample_scene([data], [piece(data, 1200, 1620, id="boiler")], outlets=[drain_outlet("condensate", 900)])

    (run,) = pipe_runs(scene)

    assert isinstance(run.route, Route)
    points = run.route.points
    assert points[1][0] < 1200 - 220 - 10
    assert all(not (980 < x < 1420 and 1440 < y < 1800 and z > 1150) for x, y, z in points[1:])


@pytest.mark.parametrize("quarters", [0, 1, 2, 3])
def test_turning_the_room_by_quarters_changes_neither_length_nor_elbows_above_the_tundish(quarters: int) -> None:
    def turned(x: float, y: float) -> list[float]:
        for _ in range(quarters):
            x, y = -y, x
        return [x, y]

    # a box askew between valve and tundish, which the pipe goes round at either height alike
    data = room(kit=[kit_box("box", 300, 400, 1400)], pieces=[{"id": "b1", "kit": "box", "at_mm": [2550, 500]}],
                outline_mm=[turned(*corner) for corner in ([0, 0], [4000, 0], [4000, 3000], [0, 3000])])  # fmt: skip
    data["pieces"][0]["at_mm"], data["pieces"][1]["at_mm"] = [600, 530], [3900, 500]
    for one, own_deg in zip(data["pieces"], (0, 0, 30), strict=True):
        one |= {"at_mm": turned(*one["at_mm"]), "turn_deg": (own_deg + 90 * quarters) % 360}

    d1 = pipe_runs(build(Room.model_validate(data | {"outlets": []})))[0]

    assert isinstance(d1.route, Route)
    # the box reaches 200 x cos 30 + 150 x sin 30 aside of its middle; the pipe 7.5 more; valve 30 from its middle line
    aside = 200 * cos(radians(30)) + 150 * sin(radians(30)) + 7.5
    assert d1.route.length_mm == pytest.approx(3900 - 875 + 280 + (aside - 30) + aside)
    assert d1.route.bends == 4


def pumped(**more: Any) -> Data:
    """A break tank and a pump, a cold feed from one to the other, and the pumped supply out of the room."""
    tank = kit_box("break-tank-x", 480, 480, 850, name="Tank") | {
        "traits": ["cistern"],
        "port": [
            {"name": "outlet", "medium": "cold", "size_mm": 28, "at_mm": [0, -240, 60], "faces": "front"},
            {"name": "fill", "medium": "cold", "size_mm": 22, "at_mm": [240, 0, 770], "faces": "right"},
        ],
    }
    pump = kit_box("pump", 500, 300, 400, name="Pump") | {
        "traits": ["pump"],
        "port": [
            {"name": "suction", "medium": "cold", "size_mm": 28, "at_mm": [-250, 0, 130], "faces": "left"},
            {"name": "delivery", "medium": "boosted-cold", "size_mm": 28, "at_mm": [250, 0, 130], "faces": "right"},
        ],
    }
    pipes = [
        {"id": "x1", "medium": "cold", "from": {"piece": "ta", "port": "outlet"}, "to": "pu", "to_port": "suction"},
        {"id": "x2", "medium": "boosted-cold", "from": {"piece": "pu", "port": "delivery"}, "to": "o9"},
    ]
    data = room(kit=[tank, pump], pieces=[{"id": "ta", "kit": "break-tank-x", "at_mm": [600, 1000]},
                                          {"id": "pu", "kit": "pump", "at_mm": [1700, 850]}], pipes=pipes)  # fmt: skip
    data["outlets"].append({"id": "o9", "name": "riser", "at_mm": [4000, 850], "level_mm": 1200, "takes": ["cold"]})
    return data | more


def said_of(data: Data) -> dict[str, Any]:
    return {f.topic: f for f in pipe_room.find(build(Room.model_validate(data))) if f.topic}


def test_cold_pipes_are_checked_for_room_and_a_rise_is_no_fault() -> None:
    said = said_of(pumped())

    assert (said["x1, way"].verdict, said["x2, way"].verdict) == ("no-fault", "no-fault")
    assert said["x2, size"].needed == 28


def test_a_cold_pipe_drawn_through_a_tank_is_put_right() -> None:
    data = pumped()
    data["pipes"][1]["via_mm"] = [[2000, 850, 130], [2000, 2600, 130], [300, 2600, 130], [300, 2600, 1200]]

    assert said_of(data)["x2, goes through something"].verdict == "put-right"


def test_a_cold_pipe_drawn_across_a_doorway_has_a_title_a_reason_a_source_and_advice_of_its_own() -> None:
    data = pumped()
    data["doors"] = [{"id": "d1", "edge": 0, "from_mm": 2600, "clear_mm": 700, "head_mm": 2000}]
    data["pipes"][1]["via_mm"] = [[2400, 850, 130], [2400, 100, 130], [3500, 100, 130], [3500, 850, 1200]]

    finding = next(f for topic, f in said_of(data).items() if topic == "x2, crosses a doorway")

    assert (finding.verdict, finding.against) == ("put-right", ("d1",))
    assert finding.title.endswith(": crosses a doorway")
    assert finding.reason == "A pipe across a doorway is tripped over, or stops the door."
    assert finding.source is not None
    assert "doorway" in finding.source.clause
    assert "go over its head" in finding.message
    assert cure_words(finding).startswith("Move the bend out of the doorway, or take the pipe over the door head.")


INSIDE = {"edge": 1, "build": "studs"}
OUTER = {"edge": 0, "outside": True}


@pytest.mark.parametrize(("walls", "verdict"), [
    ([INSIDE | {"outside": True}], None), ([], "not-checked"), ([OUTER], "not-checked"), ([INSIDE], "not-checked"),
    ([INSIDE, OUTER], "put-right"),
])  # fmt: skip
def test_what_has_to_end_outside_is_asked_whether_its_wall_is_an_outside_wall(
    walls: list[Data], verdict: str | None
) -> None:
    of_tank, hung_tank = outlet(), hung("overflow")
    end = drain_outlet("overflow", 900, ends="low-level")

    said = {f.topic: f.verdict for f in findings(room(outlets=[of_tank], walls=walls))}
    drained = {f.topic: f for f in check("overflow", [hung_tank], [piece(hung_tank, 1200, 1620, id="boiler")],
                                         outlets=[end], walls=walls)}  # fmt: skip

    assert said.get("wall") == verdict
    assert (drained["overflow, wall"].verdict if "overflow, wall" in drained else None) == verdict
    if verdict == "not-checked":
        assert drained["overflow, wall"].question == "Is the right wall an outside wall?"


def test_condensate_to_a_stack_inside_is_not_asked_about_its_wall() -> None:
    kind, end = hung("condensate"), drain_outlet("condensate", 900, ends="internal-stack")

    found = check("condensate", [kind], [piece(kind, 1200, 1620, id="boiler")], outlets=[end])

    assert not any(f.topic.endswith("wall") for f in found)


@pytest.mark.parametrize(("from_mm", "there"), [(2300, True), (2600, False), (2100, True), (2000, False)])
def test_an_outlet_in_a_doorway_is_put_right_and_one_at_its_edge_is_not(from_mm: float, there: bool) -> None:
    data = room(doors=[{"id": "d1", "edge": 1, "from_mm": from_mm, "clear_mm": 600}])  # the outlet is at 2,600

    said = [f for f in findings(data) if f.topic == "doorway"]

    assert [(f.verdict, f.message) for f in said] == [("put-right", "The gully is in doorway d1.")] * there


@pytest.mark.parametrize(("takes", "verdict"), [
    (["cold"], None), (["gas", "boosted-cold"], None), (["gas"], "put-right"), ([], "not-checked"),
])  # fmt: skip
def test_a_pipe_goes_to_an_outlet_that_is_for_what_it_carries(takes: list[str], verdict: str | None) -> None:
    data = pumped()
    data["outlets"][-1]["takes"] = takes

    finding = said_of(data).get("x2, outlet")

    assert (finding.verdict if finding else None) == verdict
    if verdict == "put-right":
        assert finding.message == (
            "The boosted cold pipe of the pump goes to the riser, which is not marked for boosted cold."
        )


def hot_from_the_top(via: list[list[float]] | None) -> Data:
    """A tank with a hot port on top, 850 mm up, and an outlet for it at 1,200 mm in the right wall."""
    port = {"name": "hot", "medium": "hot", "size_mm": 22, "at_mm": [0, 0, 850], "faces": "above"}
    data = room(kit=[kit_box("warm", 480, 480, 850, name="Tank") | {"port": [port]}],
                pieces=[{"id": "ta", "kit": "warm", "at_mm": [2000, 1000]}])  # fmt: skip
    end = {"id": "o9", "name": "hot riser", "at_mm": [4000, 1000], "level_mm": 1200, "takes": ["hot"]}
    pipe = {"id": "x1", "medium": "hot", "from": {"piece": "ta", "port": "hot"}, "to": "o9", "via_mm": via}
    return data | {"outlets": [end], "pipes": [pipe]}


@pytest.mark.parametrize(("first", "through"), [
    ([2000, 1000, 1200], False), ([2000, 1000, 400], True), ([2240, 1000, 850], False), ([2100, 1000, 840], True),
])  # fmt: skip
def test_a_drawn_pipe_leaves_its_own_piece_the_way_its_port_faces(first: list[float], through: bool) -> None:
    said = said_of(hot_from_the_top([first, [3900, 1000, 1200]]))

    verdicts = {topic: finding.verdict for topic, finding in said.items()}
    assert verdicts == ({"x1, goes through something": "put-right"} if through else {"x1, way": "no-fault"})


@pytest.mark.parametrize("level", [100, 850, 1200])
def test_a_pipe_found_from_a_port_on_top_goes_up_first_and_never_through_its_own_piece(level: float) -> None:
    data = hot_from_the_top(None)
    data["outlets"][0]["level_mm"] = level

    (run,) = [run for run in pipe_runs(build(Room.model_validate(data))) if run.pipe == "x1"]

    assert isinstance(run.route, Route)
    assert run.route.points[1] == (2000, 1000, 861)
    data["pipes"][0]["via_mm"] = [list(point) for point in run.route.points[1:-1]]
    assert said_of(data)["x1, way"].verdict == "no-fault"


def test_a_cold_pipe_that_turns_right_round_is_looked_at_again() -> None:
    data = pumped()
    data["pipes"][1]["via_mm"] = [[3000, 850, 130], [2500, 850, 130], [2500, 850, 1200]]

    finding = said_of(data)["x2, turns back"]

    assert finding.verdict == "look-again"
    assert finding.message.startswith("The boosted cold pipe of the pump turns right round at a point")


def test_a_bypass_with_a_check_valve_is_asked_for_until_one_is_drawn() -> None:
    data = pumped()
    before = [f.question for f in said_of(data).values() if "bypass" in f.question]
    data["pipes"][0]["fittings"] = [{"kind": "check-valve", "at_mm": [900, 700, 60]}]

    assert len(before) == 1
    assert not [f for f in said_of(data).values() if "bypass" in f.question]


@pytest.mark.parametrize(("pipe", "at", "asked"), [
    (0, [900, 646, 60], 0), (0, [900, 645, 60], 1), (1, [3000, 850, 130], 0), (1, [90000, 90000, 0], 1),
])  # fmt: skip
def test_only_a_check_valve_in_a_pipe_of_the_pump_answers_for_the_bypass(
    pipe: int, at: list[float], asked: int
) -> None:
    data = pumped()  # the cold feed runs along y = 746, the tank's front less the pipe's half: 760 - 14
    data["pipes"][pipe]["fittings"] = [{"kind": "check-valve", "at_mm": at}]

    said = said_of(data)

    assert len([f for f in said.values() if "bypass" in f.question]) == asked
    assert len([f for f in said.values() if f.topic.endswith("fitting 1")]) == asked


def test_a_check_valve_in_a_cold_pipe_of_another_piece_is_no_bypass() -> None:
    data = pumped()
    fill = {"id": "x3", "medium": "cold", "from": {"piece": "ta", "port": "fill"}, "to": "o9", "via_mm": []}
    fill["fittings"] = [{"kind": "check-valve", "at_mm": [840, 1000, 770]}]
    data["pipes"].append(fill)

    assert [f for f in said_of(data).values() if "bypass" in f.question]


def test_a_tundish_is_suggested_where_it_is_right() -> None:
    data = room(outlets=[outlet(at_mm=[1400, 3000])])
    data["pieces"] = [data["pieces"][0]]
    data["pieces"][0]["at_mm"] = [600, 2700]

    place = tundish_place(build(Room.model_validate(data)), "s1")

    assert place is not None and place.wrong == ()
    assert place.d1_mm is not None and place.d1_mm <= 600 - 10
    assert place.base_mm + 120 < 1300


@pytest.mark.parametrize(("past_mm", "stays"), [(-1, True), (0, True), (2, False), (60, False)])
def test_no_tundish_is_suggested_in_working_room_while_there_is_another_place(past_mm: float, stays: bool) -> None:
    data = room(outlets=[outlet(at_mm=[1400, 3000])])
    data["pieces"] = [data["pieces"][0] | {"at_mm": [600, 2700]}]
    free = tundish_place(build(Room.model_validate(data)), "s1")
    assert free is not None
    front = free.at_mm[1] - kind_of(Room.model_validate(data), "tundish").plan.depth_mm / 2
    space = {"side": "behind", "mm": front - 600 + past_mm, "need": "must", "why": "work"}
    data["kit"].append(kit_box("pump", 200, 200, 1500) | {"space": [space]})
    data["pieces"].append({"id": "w1", "kit": "pump", "at_mm": [free.at_mm[0], 500]})

    place = tundish_place(build(Room.model_validate(data)), "s1")

    assert place is not None and place.wrong == ()
    assert (place.at_mm == free.at_mm) == stays
    assert stays or abs(place.at_mm[0] - free.at_mm[0]) > 100 or place.at_mm[1] != free.at_mm[1]


def test_no_tundish_is_suggested_over_electrics() -> None:
    data = room()
    data["pieces"] = [data["pieces"][0]]
    data["pieces"][0]["at_mm"] = [600, 2700]
    free = tundish_place(build(Room.model_validate(data)), "s1")
    assert free is not None
    board = kit_box("board", 300, 80, 200) | {"traits": ["electrical"], "stands_on": "wall"}
    data["kit"].append(board)
    data["pieces"].append({"id": "e1", "kit": "board", "at_mm": [*free.at_mm], "base_mm": 300})

    other = tundish_place(build(Room.model_validate(data)), "s1")

    assert other is None or abs(other.at_mm[0] - free.at_mm[0]) >= 150 or other.at_mm[1] != free.at_mm[1]


def test_a_discharge_is_told_as_two_runs() -> None:
    runs = pipe_runs(build(Room.model_validate(room())))

    assert [run.name for run in runs] == ["D1 of the cylinder", "D2 of the cylinder"]
    assert not isinstance(runs[0].route, NoRoute) and runs[0].to == "t1"


@pytest.mark.parametrize(("high_mm", "along_mm"), [(200, 2800), (575, 2800), (576, 2800 + 2 * 2029)])
def test_a_pipe_goes_over_a_low_plinth_and_round_one_that_is_too_high(high_mm: float, along_mm: float) -> None:
    """Straight on it is 2,800 mm. The plinth ends 2,000 mm aside; the middle of the pipe keeps 11 and 18 mm from it.

    The pipe leaves its drop at 600 mm, falls 13.9 mm and is 11 mm thick below its middle: 575 mm is free under it.
    """
    plinth = {"id": "f1", "name": "plinth", "area_mm": [[2500, 600], [2700, 600], [2700, 3000], [2500, 3000]],
              "from_mm": 0, "to_mm": high_mm}  # fmt: skip
    scene = build(Room.model_validate(room(fixtures=[plinth])))

    (run,) = [run for run in pipe_runs(scene) if run.name.startswith("D2")]

    assert isinstance(run.route, Route)
    assert run.route.run_mm == pytest.approx(along_mm)
