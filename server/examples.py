"""A small room for every check in which it finds something: checked and drawn like any other room.

The rooms are invented; sizes are those of the shelf. A piece is its kind, where it stands, and what differs.
"""

from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from markupsafe import Markup

from geometry.check import Finding
from geometry.checking import check_scene
from geometry.reading import room_from
from geometry.samples import CUPBOARD, box_kit, round_kit
from geometry.scene import Scene, build
from server.drawing.inset import inset, inset_caption

Given = dict[str, Any]
ASKING = ("put-right", "look-again", "not-checked")
PICTURE_PX = (300.0, 232.0)


@dataclass(frozen=True)
class Example:
    """A room that was checked, and what one check found in it."""

    scene: Scene
    finding: Finding


def _piece(kit: str, name: str, x: float, y: float, turn: float = 0, **more: Any) -> Given:
    return {"id": name.lower().replace(" ", "-"), "kit": kit, "name": name, "at_mm": [x, y], "turn_deg": turn, **more}


def _box(x0: float, y0: float, x1: float, y1: float) -> list[list[float]]:
    return [[x0, y0], [x1, y0], [x1, y1], [x0, y1]]


def _door(from_mm: float = 1500, clear_mm: float = 760, **leaf: Any) -> Given:
    hung = {"kind": "hinged", "opens": "out", **leaf}
    return {"id": "d1", "edge": 0, "from_mm": from_mm, "clear_mm": clear_mm, "leaf": hung}


def _room(*pieces: Given, door: Given | None = None, **more: Any) -> Given:
    return {"doors": [door or _door()], "pieces": list(pieces), **more}


def _changed(**figures: float) -> Given:
    return {"changes": {name: {"value": value, "basis": "measured"} for name, value in figures.items()}}


def _outlet(x: float, y: float, level_mm: float, medium: str, **more: Any) -> Given:
    return {
        "id": "o1",
        "name": "gully",
        "at_mm": [x, y],
        "level_mm": level_mm,
        "takes": [medium],
        "ends": "gully",
    } | more


def _pipe(medium: str, piece: str, port: str, *via: tuple[float, float, float], **more: Any) -> Given:
    start = {"piece": piece, "port": port}
    return {"id": "pipe", "medium": medium, "from": start, "to": "o1", "via_mm": [list(p) for p in via], **more}


def _slope(low_mm: float, wide_mm: float) -> Given:
    """A sloping ceiling over the left of the room, up to 2,400 mm."""
    rise = [[0, 0, low_mm], [0, 1800, low_mm], [wide_mm, 0, 2400]]
    return {"name": "slope", "area_mm": _box(0, 0, wide_mm, 1800), "through_mm": rise}


_CYLINDER = _piece("unvented-cylinder-210", "Cylinder", 400, 1500)
_BOILER = _piece("wall-boiler-combination", "Boiler", 700, 1630)

ROOMS: dict[str, Given] = {
    "body-overlap": _room(_CYLINDER, _piece("washing-machine", "Washing machine", 925, 1500)),
    "room-edge": _room(
        _piece("unvented-cylinder-300", "Cylinder", 700, 1500),
        ceiling={"height_mm": 2400, "slopes": [_slope(1900, 1500)]},
    ),
    "service-space": _room(_CYLINDER, _piece("washing-machine", "Washing machine", 400, 560, 180)),
    "draw-out": _room(_piece("floor-boiler-oil", "Boiler", 450, 1490), _piece("buffer-50", "Buffer", 450, 520, 180)),
    "tool-swing": _room(
        _piece("worktop", "Worktop", 700, 1490, base_mm=890),
        _piece("two-port-valve-22", "Zone valve", 700, 1762, base_mm=978),
        _piece("shelving", "Shelf unit", 700, 1600, base_mm=1168),
    ),
    "pipe-room": _room(_BOILER, _piece("worktop", "Worktop", 700, 1490, base_mm=1040)),
    "door-swing": _room(
        _piece("floor-boiler-oil", "Boiler", 420, 480, 90),
        _piece("unvented-cylinder-210", "Cylinder", 400, 1500),
        door=_door(700, 760, opens="in", width_mm=800),
    ),
    "walkway": _room(
        _piece("heat-interface-unit", "Heat unit", 500, 1650),
        _piece("shelving", "Shelf unit", 1250, 1100, 90, base_mm=0, **_changed(height_mm=1900, width_mm=1400)),
        door=_door(1580, 760),
    ),
    "reach": _room(
        _piece("stop-tap", "Stop tap", 600, 1765),
        _piece("tumble-dryer", "Dryer", 500, 1370),
        _piece("washing-machine", "Washing machine", 1110, 1370),
    ),
    "sight": _room(
        _piece("tundish", "Tundish", 700, 1770, base_mm=400),
        _piece("shelving", "Shelf unit", 1000, 1300, base_mm=0, **_changed(width_mm=2000)),
    ),
    "height-band": _room(_piece("consumer-unit-10", "Consumer unit", 700, 1742.5, base_mm=1620)),
    "emergency-reach": _room(
        _piece("stop-tap", "Stop tap", 300, 1765),
        ceiling={"height_mm": 2400, "slopes": [_slope(600, 1500)]},
    ),
    "keep-free": _room(
        _piece("water-softener-single", "Softener", 640, 1500),
        keep_free=[{"id": "k1", "name": "boot rack", "area_mm": _box(0, 1300, 600, 1800), "to_mm": 900}],
    ),
    "way-out": _room(_piece("thermal-store-300", "Store", 600, 1400), door=_door(1500, 620)),
    "stand-up": _room(
        _piece("unvented-cylinder-300", "Cylinder", 500, 1450),
        ceiling={"height_mm": 2120},
    ),
    "fitting-order": _room(
        _piece("tank", "Tank", 275, 330),
        _piece("cabinet", "Cabinet", 890, 305),
        outline_mm=_box(0, 0, 1190, 610),
        door=_door(285, 620),
        kit=[round_kit("tank", 550, 1500), box_kit("cabinet", 600, 600, 850)],
    ),
    "discharge": _room(
        _CYLINDER,
        _piece("tundish", "Tundish", 1300, 1770, base_mm=1000),
        outlets=[_outlet(2400, 900, 150, "hot-discharge", outside_run_mm=400, outside_bends=1)],
    ),
    "condensate": _room(
        _BOILER,
        outlets=[_outlet(2400, 1600, 980, "condensate")],
        pipes=[_pipe("condensate", "boiler", "condensate", (760, 1600, 1030), (2300, 1600, 1010), size_mm=22)],
    ),
    "overflow": _room(
        _piece("cold-water-cistern-230", "Cistern", 700, 1400),
        outlets=[_outlet(2400, 1550, 440, "overflow", name="warning outlet", ends="low-level")],
    ),
    "relief": _room(
        _BOILER,
        outlets=[_outlet(2400, 1600, 980, "relief")],
        pipes=[_pipe("relief", "boiler", "relief", (900, 1600, 1030), (2300, 1600, 1030), size_mm=10)],
    ),
    "vessel": _room(
        _piece("expansion-vessel-12", "Vessel", 700, 1640), heating={"system_l": 165}, system="sealed heating"
    ),
    "floor-load": _room(
        _piece("accumulator-300", "Accumulator", 500, 1400),
        floor={"storey": "upper", "build": "timber", "allow_kn_m2": 1.5},
    ),
    "lifting": _room(_piece("ground-source-heat-pump", "Heat pump", 700, 1480)),
    "wall-load": _room(_piece("wall-boiler-large", "Boiler", 700, 1575), walls=[{"edge": 2, "build": "plasterboard"}]),
    "wet-above-electrics": _room(
        _piece("circulating-pump", "Pump", 700, 1725, base_mm=1650),
        _piece("wiring-centre-10", "Wiring centre", 780, 1772.5, base_mm=1200),
    ),
    "keep-apart": _room(
        _piece("gas-meter", "Gas meter", 500, 1690),
        _piece("consumer-unit-10", "Consumer unit", 1030, 1742.5, base_mm=900),
    ),
    "compartment-air": _room(
        _piece("wall-boiler-combination", "Boiler", 700, 1630, **_changed(input_kw=24)),
        vents=[
            {"id": "v1", "level_mm": 2200, "free_cm2": 240, "to": "room"},
            {"id": "v2", "level_mm": 150, "free_cm2": 200, "to": "room"},
        ],
    ),
    "flue-terminal": _room(
        _BOILER,
        flues=[{"id": "t1", "piece": "boiler", "edge": 2, "along_mm": 1700, "level_mm": 2100}],
        windows=[{"id": "w1", "edge": 2, "from_mm": 700, "width_mm": 760, "sill_mm": 1100, "head_mm": 2000}],
    ),
    "kit-list": _room(_CYLINDER, system="unvented"),
    "look-on-site": _room(_BOILER, heated=False),
}


def _asks(finding: Finding, check: str) -> bool:
    return finding.check == check and finding.verdict in ASKING


@cache
def example_of(check: str) -> Example:
    """The room of a check, and the worst that the check finds there, one with figures before one without."""
    scene = build(room_from({**CUPBOARD, "name": "Example", **ROOMS[check]}))
    asked = [finding for finding in check_scene(scene) if _asks(finding, check)]
    worst = min(asked, key=lambda f: (ASKING.index(f.verdict), f.found is None or not f.short))
    return Example(scene, worst)


@cache
def picture_of(check: str) -> Markup:
    """The example drawn as the picked place of a finding is drawn on the workbench: all kit where it names none."""
    example = example_of(check)
    finding = example.finding
    shown = finding if finding.pieces else replace(finding, pieces=tuple(item.id for item in example.scene.placed))
    return inset(example.scene, shown, *PICTURE_PX)


@cache
def caption_of(check: str) -> str:
    """What the picture of a check shows: "back wall stood up", or "on the plan"."""
    example = example_of(check)
    return inset_caption(example.scene, example.finding)
