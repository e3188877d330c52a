"""Fronts of what holds water: boilers, stores, tanks, pumps, valves, manifolds. (pen, half width, height) in mm."""

from server.drawing.pen import Pen


def body(pen: Pen, w: float, h: float, round_mm: float = 14.0) -> None:
    pen.rect("k", -w, 0, w, h, round_mm)


def drum(pen: Pen, w: float, h: float) -> None:
    body(pen, w, h, min(0.3 * w, 0.2 * h))
    pen.detail((-w, 0.5 * h), (w, 0.5 * h))


def boiler(pen: Pen, w: float, h: float) -> None:
    body(pen, w, h, 16)
    foot = 0.165 * h
    pen.detail((-w, foot), (w, foot))
    pen.rect("kd", -0.32 * w, 0.32 * foot, 0.32 * w, 0.7 * foot, 8)
    for x in (-w + 26, w - 26):
        pen.detail((x, foot + 30), (x, h - 30))


def oil_boiler(pen: Pen, w: float, h: float) -> None:
    body(pen, w, h, 10)
    pen.detail((-w, 0.78 * h), (w, 0.78 * h))
    pen.rect("kd", -0.6 * w, 0.84 * h, 0.1 * w, 0.93 * h, 6)
    pen.circle("kd", 0.6 * w, 0.885 * h, 24)
    for x in (-w + 26, w - 26):
        pen.detail((x, 40), (x, 0.74 * h))
    pen.detail((-0.3 * w, 0.08 * h), (0.3 * w, 0.08 * h))


def domed(pen: Pen, w: float, h: float, dome: float) -> None:
    s = h - dome
    pen.curve(
        "k", (-w, 0), (-w, 0), (-w, s), (-w, s), (-w, s + 0.78 * dome), (-0.47 * w, h), (0, h),
        (0.47 * w, h), (w, s + 0.78 * dome), (w, s), (w, s), (w, 0), (w, 0), closed=True,
    )  # fmt: skip


def cylinder(pen: Pen, w: float, h: float) -> None:
    dome = min(90.0, 0.12 * h)
    domed(pen, w, h, dome)
    top = h - dome
    for z in (min(40.0, 0.05 * h), top):
        pen.detail((-w, z), (w, z))
    for x in (0.88, 0.8):
        for sign in (-1, 1):
            pen.detail((sign * x * w, min(40.0, 0.05 * h)), (sign * x * w, top))
    if h > 900:
        pen.rect("kd", -0.255 * w, 0.445 * h, 0.255 * w, 0.575 * h, 6)


def lying(pen: Pen, w: float, h: float) -> None:
    pen.rect("k", -w, 0.06 * h, w, h, 0.28 * h)
    for x in (-w + 0.28 * h, w - 0.28 * h):
        pen.detail((x, 0.06 * h), (x, h))
    for x in (-0.55 * w, 0.55 * w):
        pen.rect("k", x - 60, 0, x + 60, 0.14 * h, 4)


def tower(pen: Pen, w: float, h: float) -> None:
    body(pen, w, h, 12)
    pen.detail((-w, 0.56 * h), (w, 0.56 * h))
    pen.detail((-w, 0.04 * h), (w, 0.04 * h))
    pen.rect("kd", -0.36 * w, 0.66 * h, 0.36 * w, 0.74 * h, 8)
    for x in (-w + 28, w - 28):
        pen.detail((x, 0.08 * h), (x, 0.52 * h))


def vessel(pen: Pen, w: float, h: float) -> None:
    body(pen, w, h, 0.84 * min(w, h / 2))
    for z in (0.48 * h, 0.52 * h):
        pen.detail((-w, z), (w, z))
    pen.rect("kd", -0.12 * w, h - 0.09 * h, 0.12 * w, h - 0.02 * h, 3)


def accumulator(pen: Pen, w: float, h: float) -> None:
    pen.rect("k", -0.8 * w, 0, 0.8 * w, 0.12 * h, 6)
    pen.rect("k", -w, 0.06 * h, w, h, 0.62 * w)
    pen.detail((-w, 0.5 * h), (w, 0.5 * h))


def tank(pen: Pen, w: float, h: float) -> None:
    lid = min(60.0, 0.12 * h)
    pen.rect("k", -w, 0, w, h - lid, 10)
    for x in (-0.6, 0.6):
        pen.detail((x * w, 0.05 * h), (x * w, h - lid - 0.05 * h))
    pen.circle("kd", 0, 0.11 * h, 30)
    pen.rect("kd", -0.25 * w, 0.71 * h, 0.25 * w, 0.82 * h, 6)
    pen.rect("k", -w, h - lid, w, h, 8)


def booster(pen: Pen, w: float, h: float) -> None:
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


def pump(pen: Pen, w: float, h: float) -> None:
    pen.rect("k", -w, 0.3 * h, w, 0.7 * h, 6)
    pen.circle("k", 0, 0.5 * h, min(0.8 * w, 0.5 * h))
    pen.circle("kd", 0, 0.5 * h, 0.5 * min(0.8 * w, 0.5 * h))


def filter(pen: Pen, w: float, h: float) -> None:
    pen.rect("k", -w, 0.54 * h, w, 0.89 * h, 10)
    pen.rect("k", -0.82 * w, 0.08 * h, 0.82 * w, 0.54 * h, 12)
    pen.rect("out", -0.36 * w, 0.89 * h, 0.36 * w, h, 6)
    pen.rect("out", -0.2 * w, 0, 0.2 * w, 0.08 * h, 0)


def separator(pen: Pen, w: float, h: float) -> None:
    body(pen, w, h, 0.6 * w)
    pen.detail((-w, 0.82 * h), (w, 0.82 * h))
    pen.detail((-w, 0.18 * h), (w, 0.18 * h))


def motor_valve(pen: Pen, w: float, h: float) -> None:
    pen.rect("k", -w, 0, w, 0.46 * h, 14)
    pen.rect("k", -0.87 * w, 0.46 * h, 0.87 * w, h, 8)


def valve(pen: Pen, w: float, h: float) -> None:
    pen.line("k", (-w, 0.12 * h), (-w, 0.62 * h), (w, 0.12 * h), (w, 0.62 * h), closed=True)
    pen.rect("k", -0.14 * w, 0.36 * h, 0.14 * w, 0.8 * h, 0)
    pen.rect("k", -0.6 * w, 0.8 * h, 0.6 * w, h, 4)


def valve_row(pen: Pen, w: float, h: float) -> None:
    pen.rect("k", -w, 0.32 * h, w, 0.66 * h, 8)
    for x in (-0.5, 0.5):
        pen.rect("k", x * w - 0.16 * w, 0.5 * h, x * w + 0.16 * w, h, 6)
    pen.rect("k", -0.14 * w, 0, 0.14 * w, 0.4 * h, 4)


def tundish(pen: Pen, w: float, h: float) -> None:
    pen.rect("out", -0.28 * w, 0.72 * h, 0.28 * w, h, 2)
    pen.line(
        "k",
        (-w, 0.62 * h),
        (w, 0.62 * h),
        (0.46 * w, 0.2 * h),
        (0.46 * w, 0),
        (-0.46 * w, 0),
        (-0.46 * w, 0.2 * h),
        closed=True,
    )


def plates(pen: Pen, w: float, h: float) -> None:
    body(pen, w, h, 8)
    for i in range(1, 7):
        x = -w + i * 2 * w / 7
        pen.detail((x, 0.12 * h), (x, 0.88 * h))


def plate_set(pen: Pen, w: float, h: float) -> None:
    body(pen, w, h, 12)
    pen.rect("kd", -0.8 * w, 0.34 * h, -0.3 * w, 0.88 * h, 6)
    pen.circle("kd", 0.3 * w, 0.36 * h, 0.26 * w)
    pen.circle("kd", 0.3 * w, 0.36 * h, 0.12 * w)
    pen.rect("kd", 0.02 * w, 0.72 * h, 0.72 * w, 0.88 * h, 6)


def softener(pen: Pen, w: float, h: float) -> None:
    body(pen, w, h, 24)
    pen.detail((-w, 0.75 * h), (w, 0.75 * h))
    pen.rect("kd", -0.5 * w, 0.83 * h, 0.5 * w, 0.92 * h, 6)


def manifold(pen: Pen, w: float, h: float) -> None:
    count = max(int(2 * w / 80), 2)
    for z in (0.66, 0.26):
        pen.rect("k", -w, (z - 0.06) * h, w, (z + 0.06) * h, 6)
    for i in range(count):
        x = -w + (i + 0.5) * 2 * w / count
        pen.detail((x, 0), (x, 0.2 * h))
        pen.rect("out", x - 18, 0.72 * h, x + 18, h, 6)
        pen.detail((x, 0.32 * h), (x, 0.6 * h))


def floor_manifold(pen: Pen, w: float, h: float) -> None:
    manifold(pen, w, h)
    pen.rect("k", 0.52 * w, 0.14 * h, w, 0.8 * h, 30)
    pen.circle("kd", 0.76 * w, 0.46 * h, 0.16 * w)


def bar(pen: Pen, w: float, h: float) -> None:
    pen.rect("k", -w, 0.3 * h, w, 0.7 * h, 6)
    for x in (-0.6, -0.2, 0.2, 0.6):
        pen.detail((x * w, 0), (x * w, 0.3 * h))
        pen.detail((x * w, 0.7 * h), (x * w, h))


def water_meter(pen: Pen, w: float, h: float) -> None:
    pen.rect("k", -w, 0.36 * h, w, 0.64 * h, 4)
    pen.circle("k", 0, 0.5 * h, min(0.5 * h, w))
    pen.circle("kd", 0, 0.5 * h, 0.6 * min(0.5 * h, w))
