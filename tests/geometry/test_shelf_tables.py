"""The shelf agrees with the table it was written from.

Figures: typical figures, from memory of common British kit, rounded; no published source. They are held here a second
time, as one table, so that a slip in the shelf's own files is noticed.
"""

import math
import tomllib
from pathlib import Path
from typing import Any

import pytest

SHELF = Path(__file__).resolve().parents[2] / "geometry" / "shelf"
SIDES = ("front", "left", "right", "above", "below")
FACES = {*SIDES, "behind"}
TOOLS = {"eye", "hand", "lever", "screwdriver", "hex-key", "spanner", "boss-spanner", "pump-pliers", "gauge", "hose"}
TURNED_BY = {"lever", "hex-key", "spanner", "boss-spanner", "pump-pliers"}
NEAR_MM = 150
TOUCH_MM = 0.5

# key, size (width x depth x height, or d = diameter x height), hung or standing, underside mm, dry kg, litres,
# kg when full, height needed to stand it up (items 900 mm high or more), clear space front/left/right/above/below mm
TABLE = """
wall-boiler-combination          440x340x740     wall   1150    36     3     39     -  600/50/50/250/200
wall-boiler-system               440x360x720     wall   1150    38     3     41     -  600/50/50/250/200
wall-boiler-heat-only            400x320x600     wall   1250    29     2     31     -  600/50/50/250/150
wall-boiler-large                480x450x850     wall    950    60     5     65     -  600/50/50/300/250
floor-boiler-oil                 600x620x860     floor     0   150    18    168     -  800/50/50/600/0
unvented-cylinder-120            d550x980        floor     0    32   120    152  1124  450/50/50/200/0
unvented-cylinder-150            d550x1190       floor     0    37   150    187  1311  450/50/50/200/0
unvented-cylinder-180            d550x1390       floor     0    42   180    222  1495  450/50/50/200/0
unvented-cylinder-210            d550x1580       floor     0    47   210    257  1673  450/50/50/200/0
unvented-cylinder-250            d550x1830       floor     0    54   250    304  1911  450/50/50/200/0
unvented-cylinder-300            d550x2080       floor     0    62   300    362  2152  450/50/50/200/0
unvented-cylinder-slim-150       d480x1550       floor     0    40   150    190  1623  450/50/50/200/0
heat-pump-cylinder-210           d580x1700       floor     0    62   210    272  1797  450/50/50/250/0
heat-pump-cylinder-300           d580x2150       floor     0    82   300    382  2227  450/50/50/250/0
unvented-cylinder-horizontal-210 1600x600x600    floor     0    55   210    265     -  450/50/450/150/0
vented-cylinder-140              d540x1100       floor     0    24   140    164  1226  300/50/50/750/0
thermal-store-300                d650x1800       floor     0   100   300    400  1914  600/50/50/250/0
thermal-store-210                d600x1500       floor     0    78   210    288  1616  600/50/50/250/0
buffer-50                        d450x750        floor     0    22    50     72     -  300/50/50/150/0
buffer-100                       d520x980        floor     0    36   100    136  1110  300/50/50/150/0
volumiser-30                     d350x600        wall   1200    14    30     44     -  200/50/50/150/150
break-tank-120                   480x480x850     floor   100    18   120    138     -  500/50/100/350/0
break-tank-400                   700x700x1150    floor   100    38   400    438  1347  500/50/120/350/0
cold-water-cistern-230           1040x710x560    floor     0    16   230    246     -  600/50/50/350/0
booster-set-single               500x350x650     floor    50    28     8     36     -  600/50/300/150/0
booster-set-twin                 700x550x900     floor   100    70    24     94  1055  700/50/300/300/0
accumulator-300                  d650x1250       floor     0    60   300    360  1409  500/50/50/250/0
expansion-vessel-8               d200x330        wall   1200     2     8     10     -  150/30/30/150/100
expansion-vessel-12              d280x310        wall   1200     3    12     15     -  150/30/30/150/100
expansion-vessel-18              d280x410        wall   1200     4    18     22     -  150/30/30/150/100
expansion-vessel-25              d300x490        wall   1200     5    25     30     -  150/30/30/150/100
expansion-vessel-35              d380x440        wall   1200     7    35     42     -  150/30/30/150/100
expansion-vessel-50              d400x600        floor     0    10    50     60     -  150/30/30/150/0
magnetic-filter-22               110x130x240     wall    500     2   0.4      2     -  200/50/50/150/150
magnetic-filter-28               150x170x320     wall    500     4   0.9      4     -  250/60/60/200/150
air-and-dirt-separator-28        110x110x230     wall    900   2.5   0.4    2.5     -  150/40/40/100/150
two-port-valve-22                95x75x130       wall   1000   0.9   0.1    0.9     -  150/60/60/80/40
two-port-valve-28                110x80x140      wall   1000   1.2   0.2    1.2     -  150/70/70/80/40
three-port-valve-22              100x80x135      wall   1000   1.1   0.2    1.1     -  150/60/60/80/100
circulating-pump                 130x150x100     wall    900   2.5   0.3    2.5     -  200/60/60/100/100
secondary-return-pump            130x110x100     wall    900     2   0.2      2     -  200/50/50/80/80
automatic-bypass-22              110x60x90       wall   1000   0.5   0.1    0.5     -  100/40/40/60/40
hydraulic-separator              120x120x450     wall    700     7     2      9     -  200/100/100/120/150
plate-exchanger                  120x120x310     wall    800     5     1      6     -  200/150/150/100/100
hot-water-plate-set              400x250x600     wall    900    18     3     21     -  500/50/50/100/150
underfloor-manifold-4            560x140x400     wall    450     8     3     11     -  500/50/150/100/400
underfloor-manifold-8            760x140x400     wall    450    12     4     16     -  500/50/150/100/400
plumbing-manifold                400x80x120      wall    400     2   0.3      2     -  300/30/30/100/100
heat-pump-hydraulic-box          400x360x720     wall   1150    38     4     42     -  600/50/50/200/200
heat-pump-indoor-tower           600x650x1880    floor     0   135   205    340  1974  700/50/50/250/0
ground-source-heat-pump          600x620x1780    floor     0   220   200    420  1879  700/50/50/250/0
heat-interface-unit              550x300x750     wall    600    28     3     31     -  600/50/50/150/250
wiring-centre-10                 240x55x140      wall   1400   0.5     0    0.5     -  600/20/20/20/20
wiring-centre-underfloor-8       350x65x110      wall   1100   0.8     0    0.8     -  600/20/20/20/20
fused-spur                       86x40x86        wall   1200   0.2     0    0.2     -  300/10/10/10/10
wireless-receiver                100x35x140      wall   1400   0.2     0    0.2     -  300/30/30/30/30
programmer                       140x40x95       wall   1450   0.3     0    0.3     -  300/30/30/50/50
consumer-unit-10                 360x115x240     wall   1320     4     0      4     -  700/20/20/100/100
electricity-meter-board          400x200x600     wall   1000     6     0      6     -  700/100/100/100/100
inverter                         450x200x520     wall   1300    25     0     25     -  600/200/200/300/300
battery                          620x240x720     floor     0   105     0    105     -  600/100/100/300/0
water-softener-twin              260x480x510     floor     0    18    10     28     -  400/50/50/300/0
water-softener-single            330x550x680     floor     0    24    20     44     -  400/50/50/350/0
filling-loop                     300x60x120      wall    900   0.6     0    0.6     -  300/30/30/50/50
tundish                          60x60x120       wall   1100   0.2     0    0.2     -  300/30/30/0/300
inlet-valve-group-22             200x110x170     wall   1000   1.8   0.1    1.8     -  150/60/60/80/60
blending-valve-22                130x80x110      wall   1100   0.8   0.1    0.8     -  150/40/40/60/60
air-vent                         50x50x100       wall   2000   0.2     0    0.2     -  100/20/20/60/0
stop-tap                         80x70x130       wall    200   0.5     0    0.5     -  300/60/60/60/30
water-meter                      200x110x130     wall    250   1.2   0.2    1.2     -  400/50/50/150/50
gas-meter                        500x220x600     wall    600     5     0      5     -  500/100/100/100/100
gas-valve                        80x60x70        wall   1000   0.3     0    0.3     -  300/50/50/50/50
condensate-pump                  230x130x180     floor     0     2     1      3     -  300/50/50/150/0
washing-machine                  600x600x850     floor     0    70     0     70     -  1000/5/5/0/0
tumble-dryer                     600x620x850     floor     0    48     0     48     -  1000/20/20/20/0
sink-base-600                    600x560x870     floor     0    32     0     32     -  900/0/0/450/0
worktop                          1000x620x38     wall    872    19     0     19     -  0/0/0/450/0
shelving                         1000x400x900    wall   1200    12     0     12   985  300/0/0/0/0
airer-ceiling                    1800x560x150    ceiling 2200     6     0      6     -  400/0/0/50/400
airer-wall                       600x80x700      wall   1300     4     0      4     -  600/0/0/50/200
ventilation-unit                 600x350x750     wall   1500    34     0     34     -  600/50/50/250/150
extract-fan                      160x130x160     wall   2100   0.8     0    0.8     -  200/20/20/30/20
carbon-monoxide-alarm            120x45x70       wall   2150   0.2     0    0.2     -  300/100/100/80/100
leak-tray                        600x600x60      floor     0     3     0      3     -  0/0/0/0/0
"""
ROWS = [line.split() for line in TABLE.strip().splitlines()]


def read_shelf() -> list[dict[str, Any]]:
    return [kit for path in sorted(SHELF.glob("*.toml")) for kit in tomllib.loads(path.read_text())["kit"]]


KITS = read_shelf()
BY_KEY = {kit["key"]: kit for kit in KITS}


def size_words(kit: dict[str, Any]) -> str:
    plan = kit["plan"]
    base = f"d{plan['round_mm']}" if "round_mm" in plan else "x".join(str(side) for side in plan["box_mm"])
    return f"{base}x{kit['height_mm']}"


def space_words(kit: dict[str, Any]) -> str:
    found = {space["side"]: space["mm"] for space in kit.get("space", [])}
    return "/".join(str(found.get(side, 0)) for side in SIDES)


def smaller_side_mm(kit: dict[str, Any]) -> float:
    plan = kit["plan"]
    return float(plan["round_mm"] if "round_mm" in plan else min(plan["box_mm"]))


def depth_and_gap_mm(kit: dict[str, Any], at_mm: list[float]) -> tuple[float, float]:
    """How deep a point lies inside the body, and how far outside it (one of the two is 0)."""
    x, y, z = at_mm
    plan = kit["plan"]
    if "round_mm" in plan:
        beyond = [math.hypot(x, y) - plan["round_mm"] / 2]
    else:
        beyond = [abs(x) - plan["box_mm"][0] / 2, abs(y) - plan["box_mm"][1] / 2]
    beyond.append(max(-z, z - kit["height_mm"]))
    gap = math.hypot(*(max(0.0, part) for part in beyond))
    return max(0.0, -max(beyond)), gap


def points(kit: dict[str, Any]) -> list[dict[str, Any]]:
    return [*kit.get("access", []), *kit.get("port", [])]


every_kit = pytest.mark.parametrize("kit", KITS, ids=lambda kit: str(kit["key"]))
every_row = pytest.mark.parametrize("row", ROWS, ids=lambda row: str(row[0]))


def test_the_shelf_holds_the_table_and_nothing_else() -> None:
    keys = sorted(kit["key"] for kit in KITS)

    assert len(ROWS) == 84
    assert keys == sorted(row[0] for row in ROWS)


@every_row
def test_a_kind_of_kit_has_the_size_place_and_weight_of_the_table(row: list[str]) -> None:
    kit = BY_KEY[row[0]]

    assert size_words(kit) == row[1]
    assert (kit["stands_on"], kit["base_mm"]) == (row[2], int(row[3]))
    assert (kit["dry_kg"], kit["water_l"]) == (float(row[4]), float(row[5]))


@every_row
def test_the_full_weight_in_the_table_is_dry_weight_and_water(row: list[str]) -> None:
    kit = BY_KEY[row[0]]

    full_kg = kit["dry_kg"] + kit["water_l"]

    assert full_kg == pytest.approx(float(row[6]), abs=1 if full_kg < 5 else 0)


@pytest.mark.parametrize("row", [row for row in ROWS if row[7] != "-"], ids=lambda row: str(row[0]))
def test_the_height_to_stand_a_thing_up_in_the_table_is_its_tipping_diagonal(row: list[str]) -> None:
    kit = BY_KEY[row[0]]

    diagonal_mm = math.hypot(kit["height_mm"], smaller_side_mm(kit))

    assert math.ceil(diagonal_mm) == int(row[7])


@every_row
def test_a_kind_of_kit_asks_for_the_clear_space_of_the_table(row: list[str]) -> None:
    kit = BY_KEY[row[0]]

    assert space_words(kit) == row[8]


@every_kit
def test_each_space_has_one_side_and_a_reason_in_words(kit: dict[str, Any]) -> None:
    spaces = kit.get("space", [])

    assert len({space["side"] for space in spaces}) == len(spaces)
    assert all(space["mm"] > 0 and space["need"] in {"must", "should"} for space in spaces)
    assert all(len(space["why"].split()) >= 4 for space in spaces)


@every_kit
def test_points_lie_on_the_body_or_just_outside_it(kit: dict[str, Any]) -> None:
    measured = {point["name"]: depth_and_gap_mm(kit, point["at_mm"]) for point in points(kit)}

    assert {name: pair for name, pair in measured.items() if pair[0] > TOUCH_MM or pair[1] > NEAR_MM} == {}


@every_kit
def test_points_have_their_own_names_and_face_a_side(kit: dict[str, Any]) -> None:
    for table in ("access", "port"):
        names = [point["name"] for point in kit.get(table, [])]
        assert len(names) == len(set(names))
    assert {point["faces"] for point in points(kit)} <= FACES


@every_kit
def test_a_tool_that_turns_says_how_far_and_others_do_not(kit: dict[str, Any]) -> None:
    access = kit.get("access", [])

    assert {point["tool"] for point in access} <= TOOLS
    assert all(("swing" in point) == (point["tool"] in TURNED_BY) for point in access)


@every_kit
def test_a_draw_out_is_no_longer_than_the_space_asked_for_on_that_side(kit: dict[str, Any]) -> None:
    space_mm = {space["side"]: space["mm"] for space in kit.get("space", [])}

    drawn = [point for point in kit.get("access", []) if "draw_out" in point]

    assert all(point["draw_out"]["length_mm"] <= space_mm.get(point["faces"], math.inf) for point in drawn)


@pytest.mark.parametrize("kit", [kit for kit in KITS if kit["stands_on"] == "wall"], ids=lambda kit: str(kit["key"]))
def test_a_draw_out_upwards_or_downwards_clears_the_wall_behind(kit: dict[str, Any]) -> None:
    plan = kit["plan"]
    back_mm = (plan["round_mm"] if "round_mm" in plan else plan["box_mm"][1]) / 2

    drawn = [point for point in points(kit) if "draw_out" in point and point["faces"] in {"above", "below"}]

    assert all(point["at_mm"][1] + point["draw_out"]["round_mm"] / 2 <= back_mm for point in drawn)


@every_kit
def test_what_sticks_out_lies_within_the_height_of_the_body(kit: dict[str, Any]) -> None:
    for part in kit.get("sticks_out", []):
        if part["side"] in {"above", "below"}:
            assert not {"from_mm", "to_mm"} & part.keys()
        else:
            assert 0 <= part["from_mm"] < part["to_mm"] <= kit["height_mm"]
            assert "along_mm" not in part


@every_kit
def test_every_kind_of_kit_says_how_long_it_lasts_and_how_it_is_carried(kit: dict[str, Any]) -> None:
    assert 5 <= kit["life_years"] <= 30
    assert 0 <= kit["visits_a_year"] <= 12
    assert set(kit["carry"]["ways"]) <= {"upright", "tip", "lie", "parts"}
    assert kit["carry"]["kg"] == kit["dry_kg"]


def test_an_unvented_store_has_one_hot_discharge_port_of_fifteen_mm() -> None:
    stores = [kit for kit in KITS if "unvented-store" in kit["traits"]]

    sizes = {
        kit["key"]: [port["size_mm"] for port in kit["port"] if port["medium"] == "hot-discharge"] for kit in stores
    }

    assert len(sizes) == 12
    assert set(map(tuple, sizes.values())) == {(15,)}


def test_each_file_holds_one_group() -> None:
    groups = {
        path.name: {kit["group"] for kit in tomllib.loads(path.read_text())["kit"]} for path in SHELF.glob("*.toml")
    }

    assert all(len(names) == 1 for names in groups.values())
    assert len(set.union(*groups.values())) == len(groups)
