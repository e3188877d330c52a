"""Fronts of the rest: boxes on the wall, household things, air. (pen, half width, height) in mm."""

from server.drawing.fronts_wet import body
from server.drawing.pen import Pen


def cabinet(pen: Pen, w: float, h: float) -> None:
    body(pen, w, h)
    inset = min(26.0, 0.2 * w)
    pen.rect("kd", -w + inset, inset, w - inset, h - inset, 8)
    pen.detail((w - 2.2 * inset, 0.44 * h), (w - 2.2 * inset, 0.58 * h))


def wiring(pen: Pen, w: float, h: float) -> None:
    body(pen, w, h, 10)
    for x in (-w + 22, w - 22):
        for z in (22, h - 22):
            pen.circle("kd", x, z, 6)
    pen.line("kd", (-0.2 * w, 0.68 * h), (0.06 * w, 0.54 * h), (-0.08 * w, 0.48 * h), (0.2 * w, 0.3 * h))


def consumer(pen: Pen, w: float, h: float) -> None:
    body(pen, w, h, 8)
    pen.rect("kd", -0.88 * w, 0.3 * h, 0.88 * w, 0.7 * h, 4)
    for i in range(1, 10):
        x = -0.88 * w + i * 1.76 * w / 10
        pen.detail((x, 0.3 * h), (x, 0.7 * h))


def meter_board(pen: Pen, w: float, h: float) -> None:
    body(pen, w, h, 4)
    pen.rect("kd", -0.6 * w, 0.42 * h, 0.6 * w, 0.9 * h, 10)
    pen.rect("kd", -0.36 * w, 0.7 * h, 0.36 * w, 0.82 * h, 4)
    pen.rect("kd", -0.6 * w, 0.1 * h, 0.1 * w, 0.32 * h, 6)


def gas_meter(pen: Pen, w: float, h: float) -> None:
    body(pen, w, h, 6)
    pen.rect("kd", -0.62 * w, 0.16 * h, 0.4 * w, 0.84 * h, 30)
    pen.rect("kd", -0.36 * w, 0.6 * h, 0.14 * w, 0.7 * h, 4)


def switch(pen: Pen, w: float, h: float) -> None:
    body(pen, w, h, 6)
    pen.rect("kd", -0.4 * w, 0.32 * h, 0.4 * w, 0.68 * h, 3)


def programmer(pen: Pen, w: float, h: float) -> None:
    body(pen, w, h, 8)
    pen.rect("kd", -0.72 * w, 0.4 * h, 0.3 * w, 0.8 * h, 4)
    pen.circle("kd", 0.62 * w, 0.6 * h, 0.14 * w)


def inverter(pen: Pen, w: float, h: float) -> None:
    body(pen, w, h, 18)
    pen.rect("kd", -0.3 * w, 0.7 * h, 0.3 * w, 0.82 * h, 6)
    pen.detail((-w, 0.14 * h), (w, 0.14 * h))


def washing(pen: Pen, w: float, h: float) -> None:
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


def sink(pen: Pen, w: float, h: float) -> None:
    pen.rect("k", -w, 0, w, h - 40, 4)
    pen.rect("k", -w, h - 40, w, h, 4)
    pen.detail((0, 60), (0, h - 60))
    for x in (-30, 30):
        pen.detail((x, 0.62 * h), (x, 0.76 * h))
    pen.detail((-w, 60), (w, 60))


def slab(pen: Pen, w: float, h: float) -> None:
    body(pen, w, h, 2)


def shelves(pen: Pen, w: float, h: float) -> None:
    pen.rect("kg", -w, 0, w, h)
    for z in (0.0, 0.48, 0.96):
        pen.rect("k", -w, z * h, w, z * h + 0.04 * h, 0)


def airer(pen: Pen, w: float, h: float) -> None:
    body(pen, w, h, 4)
    for i in range(1, 5):
        pen.detail((-w, i * h / 5), (w, i * h / 5))


def air_unit(pen: Pen, w: float, h: float) -> None:
    body(pen, w, h, 14)
    pen.detail((-w, 0.8 * h), (w, 0.8 * h))
    pen.detail((-w, 0.24 * h), (w, 0.24 * h))
    pen.rect("kd", -0.2 * w, 0.08 * h, 0.2 * w, 0.16 * h, 4)


def fan(pen: Pen, w: float, h: float) -> None:
    body(pen, w, h, 12)
    pen.circle("kd", 0, h / 2, 0.36 * h)
    for i in range(1, 4):
        pen.detail((-0.3 * h, (0.26 + 0.12 * i) * h), (0.3 * h, (0.26 + 0.12 * i) * h))
