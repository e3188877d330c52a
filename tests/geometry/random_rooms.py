"""Whole rooms by chance, always the same for the same number, as plain values of a room file."""

from collections.abc import Callable, Iterable
from copy import deepcopy
from math import atan2, degrees, hypot
from random import Random
from typing import Any

from geometry.samples import CUPBOARD, box_kit, round_kit
from geometry.shelf import shelf

Data = dict[str, Any]
Place = tuple[float, float]

ROD = {"name": "rod", "at_mm": [0, -200, 300], "draw_out": {"length_mm": 500, "round_mm": 40}}
UP = {"name": "anode", "at_mm": [0, 0, 900], "faces": "above", "draw_out": {"length_mm": 600, "round_mm": 30}}
OWN: tuple[Data, ...] = (
    box_kit("own-box", 500, 400, 900, dry_kg=60, access=[ROD, UP], space=[{"side": "front", "mm": 600}]),
    round_kit("own-round", 550, 1500, dry_kg=50, water_l=200, space=[{"side": "front", "mm": 450, "need": "should"},
              {"side": "above", "mm": 300}], sticks_out=[{"side": "left", "mm": 90, "what": "overflow"}]),
    {"key": "own-corner", "name": "Corner unit", "height_mm": 700, "dry_kg": 150,
     "plan": {"outline_mm": [[0, 0], [600, 0], [600, 300], [300, 300], [300, 600], [0, 600]]},
     "space": [{"side": "left", "mm": 100}, {"side": "behind", "mm": 20, "need": "should"}]},
    box_kit("own-hung", 440, 340, 740, stands_on="wall", base_mm=1150, space=[{"side": "front", "mm": 600},
            {"side": "below", "mm": 200}, {"side": "right", "mm": 50}],
            sticks_out=[{"side": "below", "mm": 80, "across_mm": [-100, 100], "what": "tails"}]),
)  # fmt: skip
SHELF = (
    "wall-boiler-combination", "unvented-cylinder-210", "washing-machine", "leak-tray", "expansion-vessel-18",
    "tundish", "worktop", "consumer-unit-10", "heat-pump-indoor-tower", "stop-tap", "airer-ceiling",
)  # fmt: skip


def random_room(seed: int, pieces: int | None = None) -> Data:
    """A room of 3 to 12 pieces: slopes, beams, fixtures, doors, an L, kit turned by 15 degrees, much of it wrong."""
    draw = Random(seed)
    room = deepcopy(CUPBOARD) | {"kit": [deepcopy(kind) for kind in OWN], "name": f"Room {seed}"}
    outline = _outline(draw)
    room["outline_mm"] = outline
    room["ceiling"] = _ceiling(draw, outline)
    room["walls"] = [{"edge": i, "thick_mm": draw.choice([75, 100, 215, 300])} for i in draw.sample(range(4), 2)]
    room["doors"] = _doors(draw, outline)
    room["windows"] = _windows(draw, outline)
    room["fixtures"] = [_block(draw, outline, f"f{i}", "boxing") for i in range(draw.randint(0, 2))]
    room["keep_free"] = [_block(draw, outline, f"k{i}", "basket") for i in range(draw.randint(0, 1))]
    count = draw.randint(3, 12) if pieces is None else pieces
    room["pieces"] = [_piece(draw, outline, f"p{i}") for i in range(count)]
    if draw.random() < 0.3:
        room["floor"] = {"storey": "upper", "build": "timber", "allow_kn_m2": draw.choice([1.5, 5, 20])}
    return room


def _outline(draw: Random) -> list[list[float]]:
    w, d = draw.randint(1200, 4000), draw.randint(1000, 3000)
    if draw.random() < 0.5:
        return [[0, 0], [w, 0], [w, d], [0, d]]
    nw, nd = draw.randint(300, w - 600), draw.randint(300, d - 400)
    return [[0, 0], [w, 0], [w, d - nd], [w - nw, d - nd], [w - nw, d], [0, d]]


def _ceiling(draw: Random, outline: list[list[float]]) -> Data:
    w, d = outline[1][0], outline[-1][1]
    high = draw.randint(2000, 2600)
    ceiling: Data = {"height_mm": draw.choice([high, high, high, None])}
    if draw.random() < 0.5:
        x = draw.randint(400, int(w))
        low = draw.randint(600, 1900)
        through = [[0, 0, low], [x, 0, high], [0, d, low + draw.randint(0, 300)]]
        area = [[0, 0], [x, 0], [x, d], [0, d]]
        ceiling["slopes"] = [{"name": "soffit", "area_mm": area, "through_mm": through}]
    if draw.random() < 0.4:
        x = draw.randint(100, int(w) - 300)
        ceiling["beams"] = [{"area_mm": [[x, 0], [x + 150, 0], [x + 150, d], [x, d]], "soffit_mm": high - 300}]
    return ceiling


def _doors(draw: Random, outline: list[list[float]]) -> list[Data]:
    doors = []
    for i, edge in enumerate(draw.sample(range(len(outline)), 2)[: draw.randint(1, 2)]):
        length = _length(outline, edge)
        clear = draw.randint(150, min(900, int(length) - 20))
        door: Data = {"id": f"d{i}", "edge": edge, "from_mm": draw.randint(0, int(length) - clear), "clear_mm": clear,
                      "head_mm": draw.randint(1700, 1981)}  # fmt: skip
        if edge == 0 and draw.random() < 0.5:
            door["beyond_mm"] = [[-1000, -1300], [5000, -1300], [5000, -300], [-1000, -300]]
        doors.append(door)
    return doors


def _windows(draw: Random, outline: list[list[float]]) -> list[Data]:
    edge = draw.randrange(len(outline))
    wide = min(600, int(_length(outline, edge)) - 10)
    return [{"id": "w1", "edge": edge, "from_mm": 5, "width_mm": wide, "sill_mm": 1000, "head_mm": 2000}] * (
        draw.random() < 0.5
    )


def _block(draw: Random, outline: list[list[float]], name: str, what: str) -> Data:
    x, y = draw.randint(0, int(outline[1][0]) - 200), draw.randint(0, int(outline[-1][1]) - 200)
    w, d = draw.randint(80, 400), draw.randint(80, 400)
    low = draw.choice([0, 0, 700])
    return {"id": name, "name": what, "area_mm": [[x, y], [x + w, y], [x + w, y + d], [x, y + d]],
            "from_mm": low, "to_mm": low + draw.randint(100, 2000)}  # fmt: skip


def _piece(draw: Random, outline: list[list[float]], name: str) -> Data:
    kind = draw.choice([*(kind["key"] for kind in OWN), *SHELF])
    found: Data = {"id": name, "kit": kind, "hold": draw.choice(["fixed"] * 3 + ["movable"])}
    own = next((kit for kit in OWN if kit["key"] == kind), None)
    hung = own.get("stands_on") == "wall" if own else shelf()[kind].stands_on == "wall"
    depth = own["plan"]["box_mm"][1] if own and hung else shelf()[kind].plan.depth_mm if hung else 0
    if hung and draw.random() < 0.8:
        edge = draw.randrange(len(outline))
        (x0, y0), (x1, y1) = outline[edge], outline[(edge + 1) % len(outline)]
        length = _length(outline, edge)
        ux, uy = (x1 - x0) / length, (y1 - y0) / length
        along, off = draw.randint(0, int(length)), depth / 2 + draw.choice([0, 0, 30, 80])
        found["at_mm"] = [x0 + ux * along - uy * off, y0 + uy * along + ux * off]
        found["turn_deg"] = round(degrees(atan2(-uy, -ux))) % 360
    else:
        found["at_mm"] = [draw.randint(0, int(outline[1][0])), draw.randint(0, int(outline[-1][1]))]
        found["turn_deg"] = draw.choice([0, 90, 180, 270, 0, 90, 180, 270, 15, 105])
    if draw.random() < 0.1:
        found["base_mm"] = draw.randint(0, 1200)
    return found


def _length(outline: list[list[float]], edge: int) -> float:
    (x0, y0), (x1, y1) = outline[edge], outline[(edge + 1) % len(outline)]
    return hypot(x1 - x0, y1 - y0)


def changed_places(room: Data, change: Callable[[Place], Place], turn_deg: float = 0) -> Data:
    """The same room with every plan point changed, and every piece turned with it."""
    again = deepcopy(room)

    def ring(points: Iterable[list[float]]) -> list[list[float]]:
        return [[*change((point[0], point[1])), *point[2:]] for point in points]

    again["outline_mm"] = ring(again["outline_mm"])
    for slope in again["ceiling"].get("slopes", []):
        slope["through_mm"] = ring(slope["through_mm"])
    parts = [*again["ceiling"].get("slopes", []), *again["ceiling"].get("beams", []), *again["fixtures"]]
    for part in [*parts, *again["keep_free"]]:
        part["area_mm"] = ring(part["area_mm"])
    for door in again["doors"]:
        if "beyond_mm" in door:
            door["beyond_mm"] = ring(door["beyond_mm"])
    for piece in again["pieces"]:
        piece["at_mm"] = list(change((piece["at_mm"][0], piece["at_mm"][1])))
        piece["turn_deg"] = (piece["turn_deg"] + turn_deg) % 360
    return again
