"""Kit seen from in front, as it stands on its wall face: x from the middle, z from the body's base, in mm."""

from collections.abc import Callable
from functools import lru_cache

from geometry.kit import Access, Kit
from server.drawing.kinds import kind_of
from server.drawing.pen import Pen
from server.drawing.svg import Grain, Matrix

Front = Callable[[Pen, float, float], None]
"""(pen, half width, height)."""


@lru_cache(maxsize=2048)
def front_view(kit: Kit, matrix: Matrix, grain: Grain) -> str:
    """The front of a kind of kit, put through a matrix."""
    pen = Pen(matrix, grain)
    draw_front(pen, kit)
    return pen.svg()


def draw_front(pen: Pen, kit: Kit) -> None:
    """Body, fine detail, and the access points that are on the front."""
    w, h = kit.plan.width_mm / 2, kit.height_mm
    kind = kind_of(kit)
    _FRONTS.get(kind, _cabinet)(pen, w, h)
    if kind in _SHOWS_ACCESS:
        for access in kit.access:
            _access(pen, access, w, h)


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


def _body(pen: Pen, w: float, h: float, round_mm: float = 14.0) -> None:
    pen.rect("k", -w, 0, w, h, round_mm)


def _cabinet(pen: Pen, w: float, h: float) -> None:
    _body(pen, w, h)
    inset = min(26.0, 0.2 * w)
    pen.rect("kd", -w + inset, inset, w - inset, h - inset, 8)
    pen.detail((w - 2.2 * inset, 0.44 * h), (w - 2.2 * inset, 0.58 * h))


def _drum(pen: Pen, w: float, h: float) -> None:
    _body(pen, w, h, min(0.3 * w, 0.2 * h))
    pen.detail((-w, 0.5 * h), (w, 0.5 * h))


def _boiler(pen: Pen, w: float, h: float) -> None:
    _body(pen, w, h, 16)
    foot = 0.165 * h
    pen.detail((-w, foot), (w, foot))
    pen.rect("kd", -0.32 * w, 0.32 * foot, 0.32 * w, 0.7 * foot, 8)
    for x in (-w + 26, w - 26):
        pen.detail((x, foot + 30), (x, h - 30))


def _oil_boiler(pen: Pen, w: float, h: float) -> None:
    _body(pen, w, h, 10)
    pen.detail((-w, 0.78 * h), (w, 0.78 * h))
    pen.rect("kd", -0.6 * w, 0.84 * h, 0.1 * w, 0.93 * h, 6)
    pen.circle("kd", 0.6 * w, 0.885 * h, 24)
    for x in (-w + 26, w - 26):
        pen.detail((x, 40), (x, 0.74 * h))
    pen.detail((-0.3 * w, 0.08 * h), (0.3 * w, 0.08 * h))


def _domed(pen: Pen, w: float, h: float, dome: float) -> None:
    s = h - dome
    pen.curve(
        "k", (-w, 0), (-w, 0), (-w, s), (-w, s), (-w, s + 0.78 * dome), (-0.47 * w, h), (0, h),
        (0.47 * w, h), (w, s + 0.78 * dome), (w, s), (w, s), (w, 0), (w, 0), closed=True,
    )  # fmt: skip


def _cylinder(pen: Pen, w: float, h: float) -> None:
    dome = min(90.0, 0.12 * h)
    _domed(pen, w, h, dome)
    top = h - dome
    for z in (min(40.0, 0.05 * h), top):
        pen.detail((-w, z), (w, z))
    for x in (0.88, 0.8):
        for sign in (-1, 1):
            pen.detail((sign * x * w, min(40.0, 0.05 * h)), (sign * x * w, top))
    if h > 900:
        pen.rect("kd", -0.255 * w, 0.445 * h, 0.255 * w, 0.575 * h, 6)


def _lying(pen: Pen, w: float, h: float) -> None:
    pen.rect("k", -w, 0.06 * h, w, h, 0.28 * h)
    for x in (-w + 0.28 * h, w - 0.28 * h):
        pen.detail((x, 0.06 * h), (x, h))
    for x in (-0.55 * w, 0.55 * w):
        pen.rect("k", x - 60, 0, x + 60, 0.14 * h, 4)


def _tower(pen: Pen, w: float, h: float) -> None:
    _body(pen, w, h, 12)
    pen.detail((-w, 0.56 * h), (w, 0.56 * h))
    pen.detail((-w, 0.04 * h), (w, 0.04 * h))
    pen.rect("kd", -0.36 * w, 0.66 * h, 0.36 * w, 0.74 * h, 8)
    for x in (-w + 28, w - 28):
        pen.detail((x, 0.08 * h), (x, 0.52 * h))


def _vessel(pen: Pen, w: float, h: float) -> None:
    _body(pen, w, h, 0.84 * min(w, h / 2))
    for z in (0.48 * h, 0.52 * h):
        pen.detail((-w, z), (w, z))
    pen.rect("kd", -0.12 * w, h - 0.09 * h, 0.12 * w, h - 0.02 * h, 3)


def _accumulator(pen: Pen, w: float, h: float) -> None:
    pen.rect("k", -0.8 * w, 0, 0.8 * w, 0.12 * h, 6)
    pen.rect("k", -w, 0.06 * h, w, h, 0.62 * w)
    pen.detail((-w, 0.5 * h), (w, 0.5 * h))


def _tank(pen: Pen, w: float, h: float) -> None:
    lid = min(60.0, 0.12 * h)
    pen.rect("k", -w, 0, w, h - lid, 10)
    for x in (-0.6, 0.6):
        pen.detail((x * w, 0.05 * h), (x * w, h - lid - 0.05 * h))
    pen.circle("kd", 0, 0.11 * h, 30)
    pen.rect("kd", -0.25 * w, 0.71 * h, 0.25 * w, 0.82 * h, 6)
    pen.rect("k", -w, h - lid, w, h, 8)


def _booster(pen: Pen, w: float, h: float) -> None:
    pen.rect("k", -w, 0, w, 0.08 * h, 4)
    a, b = -0.76 * w, -0.08 * w
    mid = (a + b) / 2
    pen.rect("k", a, 0.08 * h, b, 0.45 * h, 14)
    pen.circle("kd", mid, 0.24 * h, 0.26 * w)
    pen.circle("kd", mid, 0.24 * h, 0.1 * w)
    pen.rect("k", a + 10, 0.45 * h, b - 10, 0.74 * h, 10)
    for i in range(1, 6):
        x = a + 10 + i * (b - a - 20) / 6
        pen.detail((x, 0.48 * h), (x, 0.71 * h))
    pen.rect("kd", a, 0.78 * h, b + 10, h, 8)
    for x0, x1 in ((-w, a), (0.8 * w, w)):
        pen.rect("out", x0, 0.15 * h, x1, 0.25 * h)
    pen.rect("k", 0.12 * w, 0.08 * h, 0.8 * w, h, 0.32 * w)
    pen.detail((0.12 * w, 0.52 * h), (0.8 * w, 0.52 * h))


def _pump(pen: Pen, w: float, h: float) -> None:
    pen.rect("k", -w, 0.3 * h, w, 0.7 * h, 6)
    pen.circle("k", 0, 0.5 * h, min(0.8 * w, 0.5 * h))
    pen.circle("kd", 0, 0.5 * h, 0.5 * min(0.8 * w, 0.5 * h))


def _filter(pen: Pen, w: float, h: float) -> None:
    pen.rect("k", -w, 0.54 * h, w, 0.89 * h, 10)
    pen.rect("k", -0.82 * w, 0.08 * h, 0.82 * w, 0.54 * h, 12)
    pen.rect("out", -0.36 * w, 0.89 * h, 0.36 * w, h, 6)
    pen.rect("out", -0.2 * w, 0, 0.2 * w, 0.08 * h, 0)


def _separator(pen: Pen, w: float, h: float) -> None:
    _body(pen, w, h, 0.6 * w)
    pen.detail((-w, 0.82 * h), (w, 0.82 * h))
    pen.detail((-w, 0.18 * h), (w, 0.18 * h))


def _motor_valve(pen: Pen, w: float, h: float) -> None:
    pen.rect("k", -w, 0, w, 0.46 * h, 14)
    pen.rect("k", -0.87 * w, 0.46 * h, 0.87 * w, h, 8)


def _valve(pen: Pen, w: float, h: float) -> None:
    pen.line("k", (-w, 0.12 * h), (-w, 0.62 * h), (w, 0.12 * h), (w, 0.62 * h), closed=True)
    pen.rect("k", -0.14 * w, 0.36 * h, 0.14 * w, 0.8 * h, 0)
    pen.rect("k", -0.6 * w, 0.8 * h, 0.6 * w, h, 4)


def _valve_row(pen: Pen, w: float, h: float) -> None:
    pen.rect("k", -w, 0.32 * h, w, 0.66 * h, 8)
    for x in (-0.5, 0.5):
        pen.rect("k", x * w - 0.16 * w, 0.5 * h, x * w + 0.16 * w, h, 6)
    pen.rect("k", -0.14 * w, 0, 0.14 * w, 0.4 * h, 4)


def _tundish(pen: Pen, w: float, h: float) -> None:
    pen.rect("out", -0.28 * w, 0.72 * h, 0.28 * w, h, 2)
    pen.line("k", (-w, 0.62 * h), (w, 0.62 * h), (0.46 * w, 0.2 * h), (0.46 * w, 0), (-0.46 * w, 0), (-0.46 * w, 0.2 * h), closed=True)


def _plates(pen: Pen, w: float, h: float) -> None:
    _body(pen, w, h, 8)
    for i in range(1, 7):
        x = -w + i * 2 * w / 7
        pen.detail((x, 0.12 * h), (x, 0.88 * h))


def _plate_set(pen: Pen, w: float, h: float) -> None:
    _body(pen, w, h, 12)
    pen.rect("kd", -0.8 * w, 0.34 * h, -0.3 * w, 0.88 * h, 6)
    pen.circle("kd", 0.3 * w, 0.36 * h, 0.26 * w)
    pen.circle("kd", 0.3 * w, 0.36 * h, 0.12 * w)
    pen.rect("kd", 0.02 * w, 0.72 * h, 0.72 * w, 0.88 * h, 6)


def _softener(pen: Pen, w: float, h: float) -> None:
    _body(pen, w, h, 24)
    pen.detail((-w, 0.75 * h), (w, 0.75 * h))
    pen.rect("kd", -0.5 * w, 0.83 * h, 0.5 * w, 0.92 * h, 6)


def _manifold(pen: Pen, w: float, h: float) -> None:
    count = max(int(2 * w / 80), 2)
    for z in (0.66, 0.26):
        pen.rect("k", -w, (z - 0.06) * h, w, (z + 0.06) * h, 6)
    for i in range(count):
        x = -w + (i + 0.5) * 2 * w / count
        pen.detail((x, 0), (x, 0.2 * h))
        pen.rect("out", x - 18, 0.72 * h, x + 18, h, 6)
        pen.detail((x, 0.32 * h), (x, 0.6 * h))


def _floor_manifold(pen: Pen, w: float, h: float) -> None:
    _manifold(pen, w, h)
    pen.rect("k", 0.52 * w, 0.14 * h, w, 0.8 * h, 30)
    pen.circle("kd", 0.76 * w, 0.46 * h, 0.16 * w)


def _bar(pen: Pen, w: float, h: float) -> None:
    pen.rect("k", -w, 0.3 * h, w, 0.7 * h, 6)
    for x in (-0.6, -0.2, 0.2, 0.6):
        pen.detail((x * w, 0), (x * w, 0.3 * h))
        pen.detail((x * w, 0.7 * h), (x * w, h))


def _wiring(pen: Pen, w: float, h: float) -> None:
    _body(pen, w, h, 10)
    for x in (-w + 22, w - 22):
        for z in (22, h - 22):
            pen.circle("kd", x, z, 6)
    pen.line("kd", (-0.2 * w, 0.68 * h), (0.06 * w, 0.54 * h), (-0.08 * w, 0.48 * h), (0.2 * w, 0.3 * h))


def _consumer(pen: Pen, w: float, h: float) -> None:
    _body(pen, w, h, 8)
    pen.rect("kd", -0.88 * w, 0.3 * h, 0.88 * w, 0.7 * h, 4)
    for i in range(1, 10):
        x = -0.88 * w + i * 1.76 * w / 10
        pen.detail((x, 0.3 * h), (x, 0.7 * h))


def _meter_board(pen: Pen, w: float, h: float) -> None:
    _body(pen, w, h, 4)
    pen.rect("kd", -0.6 * w, 0.42 * h, 0.6 * w, 0.9 * h, 10)
    pen.rect("kd", -0.36 * w, 0.7 * h, 0.36 * w, 0.82 * h, 4)
    pen.rect("kd", -0.6 * w, 0.1 * h, 0.1 * w, 0.32 * h, 6)


def _gas_meter(pen: Pen, w: float, h: float) -> None:
    _body(pen, w, h, 6)
    pen.rect("kd", -0.62 * w, 0.16 * h, 0.4 * w, 0.84 * h, 30)
    pen.rect("kd", -0.36 * w, 0.6 * h, 0.14 * w, 0.7 * h, 4)


def _water_meter(pen: Pen, w: float, h: float) -> None:
    pen.rect("k", -w, 0.36 * h, w, 0.64 * h, 4)
    pen.circle("k", 0, 0.5 * h, min(0.5 * h, w))
    pen.circle("kd", 0, 0.5 * h, 0.6 * min(0.5 * h, w))


def _switch(pen: Pen, w: float, h: float) -> None:
    _body(pen, w, h, 6)
    pen.rect("kd", -0.4 * w, 0.32 * h, 0.4 * w, 0.68 * h, 3)


def _programmer(pen: Pen, w: float, h: float) -> None:
    _body(pen, w, h, 8)
    pen.rect("kd", -0.72 * w, 0.4 * h, 0.3 * w, 0.8 * h, 4)
    pen.circle("kd", 0.62 * w, 0.6 * h, 0.14 * w)


def _inverter(pen: Pen, w: float, h: float) -> None:
    _body(pen, w, h, 18)
    pen.rect("kd", -0.3 * w, 0.7 * h, 0.3 * w, 0.82 * h, 6)
    pen.detail((-w, 0.14 * h), (w, 0.14 * h))


def _washing(pen: Pen, w: float, h: float) -> None:
    for x in (-w + 50, w - 110):
        pen.rect("out", x, 0, x + 60, 24, 0)
    pen.rect("k", -w, 20, w, h, 14)
    for r in (190, 150):
        pen.circle("kd", 0, 0.47 * h, r)
    pen.detail((-w, 0.847 * h), (w, 0.847 * h))
    pen.rect("kd", -w + 36, 0.877 * h, -w + 206, 0.962 * h, 6)
    pen.circle("kd", w - 90, 0.92 * h, 30)
    z = 0.424 * h
    pen.curve("kd", (-95, z), (-45, z - 46), (-50, z - 46), (0, z), (50, z + 46), (45, z + 46), (95, z))


def _sink(pen: Pen, w: float, h: float) -> None:
    pen.rect("k", -w, 0, w, h - 40, 4)
    pen.rect("k", -w, h - 40, w, h, 4)
    pen.detail((0, 60), (0, h - 60))
    for x in (-30, 30):
        pen.detail((x, 0.62 * h), (x, 0.76 * h))
    pen.detail((-w, 60), (w, 60))


def _slab(pen: Pen, w: float, h: float) -> None:
    _body(pen, w, h, 2)


def _shelves(pen: Pen, w: float, h: float) -> None:
    pen.rect("kg", -w, 0, w, h)
    for z in (0.0, 0.48, 0.96):
        pen.rect("k", -w, z * h, w, z * h + 0.04 * h, 0)


def _airer(pen: Pen, w: float, h: float) -> None:
    _body(pen, w, h, 4)
    for i in range(1, 5):
        pen.detail((-w, i * h / 5), (w, i * h / 5))


def _air_unit(pen: Pen, w: float, h: float) -> None:
    _body(pen, w, h, 14)
    pen.detail((-w, 0.8 * h), (w, 0.8 * h))
    pen.detail((-w, 0.24 * h), (w, 0.24 * h))
    pen.rect("kd", -0.2 * w, 0.08 * h, 0.2 * w, 0.16 * h, 4)


def _fan(pen: Pen, w: float, h: float) -> None:
    _body(pen, w, h, 12)
    pen.circle("kd", 0, h / 2, 0.36 * h)
    for i in range(1, 4):
        pen.detail((-0.3 * h, (0.26 + 0.12 * i) * h), (0.3 * h, (0.26 + 0.12 * i) * h))


_SHOWS_ACCESS = frozenset({"cylinder", "lying-cylinder", "drum", "accumulator", "oil-boiler", "cistern"})
_FRONTS: dict[str, Front] = {
    "boiler": _boiler, "oil-boiler": _oil_boiler, "cylinder": _cylinder, "lying-cylinder": _lying, "tower": _tower,
    "vessel": _vessel, "accumulator": _accumulator, "tank": _tank, "cistern": _tank, "booster": _booster,
    "pump": _pump, "filter": _filter, "separator": _separator, "motor-valve": _motor_valve, "valve": _valve,
    "vent": _tundish, "loop": _valve_row, "group-valve": _valve_row, "tundish": _tundish, "plates": _plates,
    "plate-set": _plate_set, "softener": _softener, "condensate": _cabinet, "manifold": _bar,
    "floor-manifold": _floor_manifold, "wiring": _wiring, "consumer": _consumer, "meter-board": _meter_board,
    "gas-meter": _gas_meter, "water-meter": _water_meter, "switch": _switch, "programmer": _programmer,
    "inverter": _inverter, "washing": _washing, "sink": _sink, "worktop": _slab, "shelves": _shelves,
    "airer": _airer, "tray": _slab, "air-unit": _air_unit, "fan": _fan, "drum": _drum, "flue": _drum,
}  # fmt: skip
