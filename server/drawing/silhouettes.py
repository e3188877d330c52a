"""Kit as solid shapes standing on the shelf: the front view filled, with one or two openings left light."""

from collections.abc import Callable
from functools import lru_cache

from markupsafe import Markup

from geometry.kit import Kit
from server.drawing.fronts import draw_front
from server.drawing.kinds import kind_of
from server.drawing.pen import Pen
from server.drawing.svg import Grain, Matrix

_GRAIN = Grain(finest=0.7, digits=1, text=12.0, dim=11.5, line=1.0)
_STICK_MM = 34.0
Holes = Callable[[Pen, float, float], None]


@lru_cache(maxsize=1024)
def silhouette(kit: Kit, px_per_mm: float) -> Markup:
    """A kind of kit as it stands, its foot in the middle at (0, 0), upwards negative; goes inside a ``.sil`` group."""
    pen = Pen(Matrix(px_per_mm, 0.0, 0.0, -px_per_mm, 0.0, 0.0), _GRAIN)
    _sticks(pen, kit)
    solid = Pen(pen.matrix, _GRAIN)
    draw_front(solid, kit)
    for cls, data in solid.marks:
        if cls in ("k", "out"):
            pen.add("body", data)
    _HOLES.get(kind_of(kit), _none)(pen, kit.plan.width_mm / 2, kit.height_mm)
    return Markup(pen.svg())


def silhouette_size(kit: Kit, px_per_mm: float) -> tuple[float, float]:
    """Width and height of a silhouette in px, with what sticks out to the sides and upwards."""
    left = max((item.mm for item in kit.sticks_out if item.side == "left"), default=0.0)
    right = max((item.mm for item in kit.sticks_out if item.side == "right"), default=0.0)
    up = max((item.mm for item in kit.sticks_out if item.side == "above"), default=0.0)
    return (kit.plan.width_mm + 2 * max(left, right)) * px_per_mm, (kit.height_mm + up) * px_per_mm


def _sticks(pen: Pen, kit: Kit) -> None:
    """What sticks out to the sides and upwards, as stubs."""
    w, h = kit.plan.width_mm / 2, kit.height_mm
    for item in kit.sticks_out:
        low, high = item.from_mm or 0.0, h if item.to_mm is None else item.to_mm
        if item.side == "above":
            left, right = item.across_mm or (-w, w)
            half = min((right - left) / 2, 50.0 if "flue" in item.what else _STICK_MM)
            for x in (
                ((left + right) / 2,) if right - left < 160 or "flue" in item.what else (left + half, right - half)
            ):
                pen.rect("body", x - half, h - 10, x + half, h + item.mm, 8)
        elif item.side == "left":
            pen.rect("body", -w - item.mm, low, -w + 10, high, 6)
        elif item.side == "right":
            pen.rect("body", w - 10, low, w + item.mm, high, 6)


def _none(_pen: Pen, _w: float, _h: float) -> None:
    """A plain shape."""


def _boiler(pen: Pen, w: float, h: float) -> None:
    pen.rect("hole", -0.74 * w, 0.1 * h, 0.74 * w, 0.125 * h)


def _cylinder(pen: Pen, w: float, h: float) -> None:
    if h > 900:
        pen.rect("hole", -0.255 * w, 0.445 * h, 0.255 * w, 0.575 * h, 8)
    pen.circle("hole", 0, 0.228 * h, 46)


def _tower(pen: Pen, w: float, h: float) -> None:
    pen.rect("hole", -w, 0.555 * h, w, 0.565 * h)
    pen.rect("hole", -0.36 * w, 0.66 * h, 0.36 * w, 0.73 * h, 8)


def _band(pen: Pen, w: float, h: float) -> None:
    pen.rect("hole", -w, 0.485 * h, w, 0.515 * h)


def _tank(pen: Pen, w: float, h: float) -> None:
    lid = min(60.0, 0.12 * h)
    pen.rect("hole", -w, h - lid - 16, w, h - lid)


def _booster(pen: Pen, w: float, h: float) -> None:
    pen.circle("hole", -0.42 * w, 0.24 * h, 0.14 * w)
    pen.rect("hole", 0.12 * w, 0.51 * h, 0.8 * w, 0.525 * h)


def _upper_line(pen: Pen, w: float, h: float) -> None:
    pen.rect("hole", -w, 0.745 * h, w, 0.765 * h)


def _washing(pen: Pen, w: float, h: float) -> None:
    pen.circle("hole", 0, 0.47 * h, 180)
    pen.circle("body", 0, 0.47 * h, 140)
    pen.rect("hole", -w + 40, 0.86 * h, -w + 220, 0.875 * h)


def _wiring(pen: Pen, w: float, h: float) -> None:
    pen.rect("hole", -0.82 * w, 0.46 * h, 0.82 * w, 0.54 * h)


def _consumer(pen: Pen, w: float, h: float) -> None:
    pen.rect("hole", -0.84 * w, 0.36 * h, 0.84 * w, 0.64 * h)
    for i in range(1, 8):
        x = -0.84 * w + i * 1.68 * w / 8
        pen.rect("body", x - 6, 0.36 * h, x + 6, 0.64 * h)


def _window(pen: Pen, w: float, h: float) -> None:
    pen.rect("hole", -0.5 * w, 0.66 * h, 0.5 * w, 0.8 * h, 6)


def _sink(pen: Pen, w: float, h: float) -> None:
    pen.rect("hole", -w, h - 56, w, h - 44)
    pen.rect("hole", -6, 60, 6, h - 110)


def _meter(pen: Pen, _w: float, h: float) -> None:
    pen.circle("hole", 0, 0.5 * h, 0.24 * h)


def _plates(pen: Pen, w: float, h: float) -> None:
    for x in (-0.4, 0.0, 0.4):
        pen.rect("hole", x * w - 5, 0.14 * h, x * w + 5, 0.86 * h)


_HOLES: dict[str, Holes] = {
    "boiler": _boiler, "oil-boiler": _upper_line, "cylinder": _cylinder, "lying-cylinder": _none, "tower": _tower,
    "vessel": _band, "accumulator": _band, "drum": _band, "tank": _tank, "cistern": _tank, "booster": _booster,
    "filter": _band, "softener": _upper_line, "washing": _washing, "wiring": _wiring, "consumer": _consumer,
    "meter-board": _window, "gas-meter": _window, "inverter": _window, "programmer": _window, "sink": _sink,
    "water-meter": _meter, "pump": _meter, "fan": _meter, "air-unit": _upper_line, "plates": _plates,
    "plate-set": _window, "cabinet": _upper_line,
}  # fmt: skip
