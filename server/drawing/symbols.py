"""Kit seen from above: a true body, and fine detail that shows its front. Drawn in the piece's own frame."""

from collections.abc import Callable
from functools import lru_cache

from geometry.kit import Kit
from server.drawing.kinds import kind_of
from server.drawing.pen import Pen
from server.drawing.svg import Grain, Matrix

Detail = Callable[[Pen, float, float], None]
"""(pen, half width, half depth)."""


@lru_cache(maxsize=2048)
def plan_symbol(kit: Kit, matrix: Matrix, grain: Grain) -> str:
    """The body and its detail, put through a matrix."""
    pen = Pen(matrix, grain)
    draw_body(pen, kit)
    _DETAILS.get(kind_of(kit), _box_front)(pen, kit.plan.width_mm / 2, kit.plan.depth_mm / 2)
    return pen.svg()


def draw_body(pen: Pen, kit: Kit, cls: str = "k") -> None:
    """The outline of the body from above."""
    w, d = kit.plan.width_mm / 2, kit.plan.depth_mm / 2
    if kit.plan.round_mm is not None:
        pen.circle(cls, 0, 0, w)
    elif kit.plan.outline_mm is not None:
        xs = [x for x, _ in kit.plan.outline_mm]
        ys = [y for _, y in kit.plan.outline_mm]
        cx, cy = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
        pen.line(cls, *((x - cx, y - cy) for x, y in kit.plan.outline_mm), closed=True)
    else:
        pen.rect(cls, -w, -d, w, d, min(16.0, 0.08 * min(w, d) * 2))


def _front_line(pen: Pen, w: float, d: float, share: float = 0.1) -> None:
    y = -d + min(max(2 * d * share, 22.0), 60.0)
    pen.detail((-w, y), (w, y))


def _box_front(pen: Pen, w: float, d: float) -> None:
    _front_line(pen, w, d)


def _boiler(pen: Pen, w: float, d: float) -> None:
    _front_line(pen, w, d)
    pen.circle("kd", 0, 0.2 * d, 62)
    pen.circle("kd", 0, 0.2 * d, 42)


def _oil_boiler(pen: Pen, w: float, d: float) -> None:
    _front_line(pen, w, d)
    pen.rect("kd", -0.55 * w, -0.75 * d, 0.55 * w, -0.1 * d, 20)
    pen.circle("kd", 0, 0.55 * d, 60)


def _cylinder(pen: Pen, w: float, _: float) -> None:
    pen.circle("kd", 0, 0, 0.82 * w)
    for x in (-0.22, 0.22):
        pen.circle("kd", x * w, 0, 0.07 * w)
    pen.detail((0, -w), (0, -0.82 * w))


def _lying(pen: Pen, w: float, d: float) -> None:
    for x in (-w + 0.16 * 2 * d, w - 0.16 * 2 * d):
        pen.detail((x, -d), (x, d))
    pen.detail((-w + 0.32 * d, 0), (w - 0.32 * d, 0))


def _tower(pen: Pen, w: float, d: float) -> None:
    _front_line(pen, w, d, 0.06)
    pen.circle("kd", 0, 0, 0.62 * min(w, d))
    for i in range(4):
        pen.circle("kd", (-0.6 + 0.26 * i) * w, 0.7 * d, 0.07 * w)


def _vessel(pen: Pen, w: float, _: float) -> None:
    pen.circle("kd", 0, 0, 0.93 * w)
    pen.circle("kd", 0, 0, 0.15 * w)


def _accumulator(pen: Pen, w: float, _: float) -> None:
    pen.circle("kd", 0, 0, 0.9 * w)
    pen.circle("kd", 0, 0, 0.2 * w)


def _tank(pen: Pen, w: float, d: float) -> None:
    rim = 0.07 * 2 * min(w, d)
    pen.rect("kd", -w + rim, -d + rim, w - rim, d - rim, 14)
    pen.circle("kd", -0.45 * w, -0.45 * d, 0.16 * min(w, d))


def _booster(pen: Pen, w: float, d: float) -> None:
    pen.detail((-w, d - 0.1 * 2 * d), (w, d - 0.1 * 2 * d))
    r = min(0.42 * d, 0.28 * w)
    pen.circle("kd", -0.5 * w, -0.1 * d, r)
    pen.circle("kd", -0.5 * w, -0.1 * d, 0.36 * r)
    pen.circle("kd", 0.48 * w, 0, 0.8 * min(w * 0.42, d * 0.8))


def _pump(pen: Pen, w: float, d: float) -> None:
    r = 0.62 * min(w, d)
    pen.circle("kd", 0, -0.1 * d, r)
    pen.line("kd", (-0.5 * r, -0.1 * d + 0.62 * r), (-0.5 * r, -0.1 * d - 0.62 * r), (0.82 * r, -0.1 * d), closed=True)


def _filter(pen: Pen, w: float, d: float) -> None:
    pen.circle("kd", 0, 0, 0.66 * min(w, d))
    pen.detail((0, -d), (0, -0.66 * min(w, d)))


def _valve(pen: Pen, w: float, d: float) -> None:
    h = 0.5 * min(w, d)
    pen.line("kd", (-w, -h), (-w, h), (w, -h), (w, h), closed=True)


def _motor_valve(pen: Pen, w: float, d: float) -> None:
    pen.rect("kd", -0.7 * w, -0.8 * d, 0.7 * w, 0.3 * d, 6)


def _tundish(pen: Pen, w: float, _: float) -> None:
    pen.circle("kd", 0, 0, 0.62 * w)
    pen.circle("kd", 0, 0, 0.3 * w)


def _softener(pen: Pen, w: float, d: float) -> None:
    pen.rect("kd", -0.86 * w, -0.9 * d, 0.86 * w, 0.2 * d, 20)
    pen.detail((-0.25 * w, -0.8 * d), (0.25 * w, -0.8 * d))
    pen.detail((-w, 0.36 * d), (w, 0.36 * d))


def _plates(pen: Pen, w: float, d: float) -> None:
    for i in range(1, 6):
        y = -d + i * d / 3
        pen.detail((-w, y), (w, y))


def _manifold(pen: Pen, w: float, d: float) -> None:
    count = max(int(2 * w / 80), 2)
    for i in range(count):
        pen.circle("kd", -w + (i + 0.5) * 2 * w / count, 0.15 * d, 0.34 * d)
    pen.detail((-w, 0.7 * d), (w, 0.7 * d))


def _washing(pen: Pen, w: float, d: float) -> None:
    pen.detail((-w, -d + 40), (w, -d + 40))
    pen.detail((-w, d - 30), (w, d - 30))
    pen.circle("kd", -w + 70, d - 75, 22)


def _sink(pen: Pen, w: float, d: float) -> None:
    pen.rect("kd", -0.78 * w, -0.76 * d, 0.78 * w, 0.56 * d, 60)
    pen.circle("kd", 0, 0.1 * d, 45)
    pen.circle("kd", 0, 0.8 * d, 24)
    pen.detail((0, 0.8 * d - 24), (0, 0.3 * d))


def _slats(pen: Pen, w: float, d: float) -> None:
    for i in range(1, 4):
        pen.detail((-w, -d + i * d / 2), (w, -d + i * d / 2))


def _air_unit(pen: Pen, w: float, d: float) -> None:
    _front_line(pen, w, d)
    for x in (-0.55, 0.55):
        for y in (-0.3, 0.45):
            pen.circle("kd", x * w, y * d, 0.26 * min(w, d))


def _fan(pen: Pen, w: float, d: float) -> None:
    pen.circle("kd", 0, 0, 0.75 * min(w, d))
    for x, y in ((0.5, 0.5), (-0.5, 0.5)):
        pen.detail((-x * w, -y * d), (x * w, y * d))


def _tray(pen: Pen, w: float, d: float) -> None:
    pen.rect("kd", -w + 30, -d + 30, w - 30, d - 30, 20)


def _gas_meter(pen: Pen, w: float, d: float) -> None:
    _front_line(pen, w, d)
    pen.rect("kd", -0.6 * w, -0.6 * d, 0.3 * w, 0.7 * d, 12)


def _drum(pen: Pen, w: float, _: float) -> None:
    pen.circle("kd", 0, 0, 0.86 * w)
    pen.detail((0, -w), (0, -0.7 * w))


def _plain(_pen: Pen, _w: float, _d: float) -> None:
    """Nothing: a worktop or a bare box says enough by its outline."""


_DETAILS: dict[str, Detail] = {
    "boiler": _boiler, "oil-boiler": _oil_boiler, "cylinder": _cylinder, "lying-cylinder": _lying, "tower": _tower,
    "vessel": _vessel, "accumulator": _accumulator, "tank": _tank, "cistern": _tank, "booster": _booster,
    "pump": _pump, "filter": _filter, "valve": _valve, "loop": _valve, "group-valve": _valve,
    "motor-valve": _motor_valve, "tundish": _tundish, "softener": _softener, "plates": _plates,
    "manifold": _manifold, "floor-manifold": _manifold, "washing": _washing, "sink": _sink, "shelves": _slats,
    "airer": _slats, "air-unit": _air_unit, "fan": _fan, "tray": _tray, "gas-meter": _gas_meter, "drum": _drum,
    "worktop": _plain, "flue": _tundish, "separator": _filter, "vent": _tundish,
}  # fmt: skip
