"""Kit seen from in front, as it stands on its wall face: x from the middle, z from the body's base, in mm."""

from collections.abc import Callable
from functools import lru_cache

from geometry.kit import Access, Kit
from server.drawing import fronts_dry as dry
from server.drawing import fronts_wet as wet
from server.drawing.kinds import kind_of
from server.drawing.pen import Pen
from server.drawing.svg import Grain, Matrix

Front = Callable[[Pen, float, float], None]
"""(pen, half width, height)."""


@lru_cache(maxsize=2048)
def front_view(kit: Kit, matrix: Matrix, grain: Grain, access: bool = True) -> str:
    """The front of a kind of kit, put through a matrix; without its access points where it is turned away."""
    pen = Pen(matrix, grain)
    draw_front(pen, kit, access)
    return pen.svg()


def draw_front(pen: Pen, kit: Kit, access: bool = True) -> None:
    """Body, fine detail, and the access points that are on the front."""
    w, h = kit.plan.width_mm / 2, kit.height_mm
    kind = kind_of(kit)
    _FRONTS.get(kind, dry.cabinet)(pen, w, h)
    if access and kind in _SHOWS_ACCESS:
        for point in kit.access:
            _access(pen, point, w, h)


def _access(pen: Pen, access: Access, w: float, h: float) -> None:
    x, _, z = access.at_mm
    if access.faces != "front" or not (abs(x) < 0.92 * w and 0.02 * h < z < 0.97 * h):
        return
    if access.tool == "boss-spanner":
        pen.circle("out", x, z, 46)
        pen.circle("kd", x, z, 18)
    elif access.tool in ("hand", "lever", "spanner", "hose"):
        pen.circle("kd", x, z, 22)
    elif access.tool in ("screwdriver", "hex-key"):
        pen.circle("kd", x, z, 12)


_SHOWS_ACCESS = frozenset({"cylinder", "lying-cylinder", "drum", "accumulator", "oil-boiler", "cistern"})
_FRONTS: dict[str, Front] = {
    "boiler": wet.boiler,
    "oil-boiler": wet.oil_boiler,
    "cylinder": wet.cylinder,
    "lying-cylinder": wet.lying,
    "tower": wet.tower,
    "vessel": wet.vessel,
    "accumulator": wet.accumulator,
    "tank": wet.tank,
    "cistern": wet.tank,
    "booster": wet.booster,
    "pump": wet.pump,
    "filter": wet.filter,
    "separator": wet.separator,
    "motor-valve": wet.motor_valve,
    "valve": wet.valve,
    "vent": wet.tundish,
    "loop": wet.valve_row,
    "group-valve": wet.valve_row,
    "tundish": wet.tundish,
    "plates": wet.plates,
    "plate-set": wet.plate_set,
    "softener": wet.softener,
    "condensate": dry.cabinet,
    "manifold": wet.bar,
    "floor-manifold": wet.floor_manifold,
    "wiring": dry.wiring,
    "consumer": dry.consumer,
    "meter-board": dry.meter_board,
    "gas-meter": dry.gas_meter,
    "water-meter": wet.water_meter,
    "switch": dry.switch,
    "programmer": dry.programmer,
    "inverter": dry.inverter,
    "washing": dry.washing,
    "sink": dry.sink,
    "worktop": dry.slab,
    "shelves": dry.shelves,
    "airer": dry.airer,
    "tray": dry.slab,
    "air-unit": dry.air_unit,
    "fan": dry.fan,
    "drum": wet.drum,
    "flue": wet.drum,
}
