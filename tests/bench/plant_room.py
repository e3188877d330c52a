"""A plant room of any number of pieces, for timings: kit with its back to two long walls, invented throughout."""

from typing import Any

from geometry.kit import Kit
from geometry.reading import room_from
from geometry.room import Room
from geometry.shelf import find_kit

KINDS = (
    "unvented-cylinder-300", "wall-boiler-system", "accumulator-300", "expansion-vessel-18", "break-tank-400",
    "magnetic-filter-28", "buffer-100", "wiring-centre-10", "thermal-store-300", "two-port-valve-22",
    "water-softener-twin", "underfloor-manifold-8", "booster-set-twin", "circulating-pump", "floor-boiler-oil",
    "consumer-unit-10", "tundish", "inlet-valve-group-22", "washing-machine", "filling-loop",
)  # fmt: skip
DEEP_MM = 3600
SPARE_MM = 220


def _behind_mm(kit: Kit) -> float:
    return max((item.mm for item in kit.sticks_out if item.side == "behind"), default=0.0)


def plant_room(pieces: int) -> Room:
    """A room long enough for that many pieces in two rows that face each other, with a soffit and a door."""
    ends = [300.0, 300.0]
    placed: list[dict[str, Any]] = []
    for i in range(pieces):
        row, kit = i % 2, find_kit(KINDS[(i // 2 + i % 2 * 7) % len(KINDS)])
        x = ends[row] + kit.plan.width_mm / 2
        off = kit.plan.depth_mm / 2 + _behind_mm(kit)
        placed.append(
            {"id": f"p{i:03}", "kit": kit.key, "at_mm": [x, DEEP_MM - off if row else off], "turn_deg": 180 - 180 * row}
        )
        ends[row] += kit.plan.width_mm + SPARE_MM
    length = max(ends) + 300
    return room_from(
        {
            "format": "elbowroom-room", "format_version": 1, "name": f"Plant room of {pieces}",
            "outline_mm": [[0, 0], [length, 0], [length, DEEP_MM], [0, DEEP_MM]],
            "ceiling": {
                "height_mm": 2700,
                "slopes": [{"name": "soffit", "area_mm": [[0, 2600], [length, 2600], [length, DEEP_MM], [0, DEEP_MM]],
                            "through_mm": [[0, 2600, 2700], [length, 2600, 2700], [0, DEEP_MM, 2400]]}],
            },
            "doors": [{"id": "d1", "edge": 3, "from_mm": 1300, "clear_mm": 900,
                       "leaf": {"kind": "hinged", "width_mm": 926, "hinge": "start", "opens": "in"}}],
            "outlets": [{"id": "o1", "name": "gully", "at_mm": [length, 1800], "level_mm": 100,
                         "takes": ["hot-discharge"], "ends": "gully"}],
            "pieces": placed,
        }
    )  # fmt: skip
