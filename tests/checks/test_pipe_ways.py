"""Rooms in which a pipe has no way, each built for one cause; and what a way that is found keeps out of or follows."""

from typing import Any

import pytest

from geometry.checks import discharge, pipe_room
from geometry.pipes.line import NoRoute, Route
from geometry.pipes.runs import pipe_runs
from geometry.room import Room
from geometry.samples import piece, sample_scene
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
    "outlet too high": ({"outlets": [outlet(level_mm=720)]}, "The gully is 120 mm too high for the discharge pipe"),
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

    assert "the hopper (120 mm too high)" in message
    assert "the far gully (" in message and "m longer)" in message


def test_of_two_condensate_outlets_the_other_is_explained() -> None:
    kind = hung("condensate")
    ends = [drain_outlet("condensate", 1000), drain_outlet("condensate", 1300, id="o2", name="stack")]

    (fall,) = [
        f for f in check("condensate", [kind], [piece(kind, 1200, 1620, id="boiler")], outlets=ends)
        if f.topic == "condensate, fall"
    ]  # fmt: skip

    assert fall.message.endswith("Not the stack (150 mm too high).")


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


def test_a_bypass_with_a_check_valve_is_asked_for_until_one_is_drawn() -> None:
    data = pumped()
    before = [f.question for f in said_of(data).values() if "bypass" in f.question]
    data["pipes"][0]["fittings"] = [{"kind": "check-valve", "at_mm": [900, 700, 60]}]

    assert len(before) == 1
    assert not [f for f in said_of(data).values() if "bypass" in f.question]


def test_a_tundish_is_suggested_where_it_is_right() -> None:
    data = room(outlets=[outlet(at_mm=[1400, 3000])])
    data["pieces"] = [data["pieces"][0]]
    data["pieces"][0]["at_mm"] = [600, 2700]

    place = tundish_place(build(Room.model_validate(data)), "s1")

    assert place is not None and place.wrong == ()
    assert place.d1_mm is not None and place.d1_mm <= 600 - 10
    assert place.base_mm + 120 < 1300


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
