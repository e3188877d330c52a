"""A piece seen from inside the room: its front where its back is to the wall, else a plain box, and what sticks out."""

from geometry.kit import SticksOut
from geometry.scene import Placed
from server.drawing.fronts import front_view
from server.drawing.pen import Pen
from server.drawing.seats import Seat, span_on
from server.drawing.unfold import Face, Unfolded

SQUARE = 0.94
"""Cosine of the turn, about 20 degrees, up to which a piece still shows its front on a wall face."""

_PLINTH_MM = 300.0
_BROAD = 0.08
_LOOSE = ("cable", "hose")


def elevation(view: Unfolded, face: Face, item: Placed, seat: Seat) -> str:
    """A piece on a face, about its own middle and base."""
    matrix = face.matrix.linear
    behind, before = Pen(matrix, view.grain), Pen(matrix, view.grain)
    if item.kit.stands_on == "floor" and 0 < item.base_mm <= _PLINTH_MM:
        half = (seat.span.to_mm - seat.span.from_mm) / 2
        middle = (seat.span.to_mm + seat.span.from_mm) / 2 - seat.at_mm
        behind.rect("wash2", middle - 0.88 * half, -item.base_mm, middle + 0.88 * half, 0.0)
    for what, stick in zip(item.kit.sticks_out, item.sticks, strict=True):
        span = span_on(face.wall, (stick.plan,))
        box = (
            span.from_mm - seat.at_mm,
            stick.from_mm - item.base_mm,
            span.to_mm - seat.at_mm,
            stick.to_mm - item.base_mm,
        )
        _stick(what, box, item, seat, behind, before)
    if seat.facing >= SQUARE:
        return behind.svg() + front_view(item.kit, matrix, view.grain) + before.svg()
    if item.kit.plan.round_mm is not None:
        return behind.svg() + front_view(item.kit, matrix, view.grain, access=False) + before.svg()
    behind.rect("k", seat.span.from_mm - seat.at_mm, 0.0, seat.span.to_mm - seat.at_mm, item.kit.height_mm, 14)
    return behind.svg() + before.svg()


def _stick(
    what: SticksOut, box: tuple[float, float, float, float], item: Placed, seat: Seat, behind: Pen, before: Pen
) -> None:
    """Beside, above and below: drawn before the body. On the side towards the viewer: after it."""
    left, low, right, high = box
    within = (
        left > seat.span.from_mm - seat.at_mm - 0.5 and right < seat.span.to_mm - seat.at_mm + 0.5
        and low > -0.5 and high < item.kit.height_mm + 0.5
    )  # fmt: skip
    if within:
        if what.side == "front" and seat.facing >= SQUARE:
            _on_front(before, item, box)
        return
    if what.side in ("above", "below") and seat.facing >= SQUARE and _tubes(what, box, item, behind):
        return
    behind.rect("kg" if what.what.startswith(_LOOSE) else "out", left, low, right, high, 6)


def _on_front(pen: Pen, item: Placed, box: tuple[float, float, float, float]) -> None:
    """A cap is drawn, a broad part only in outline: what is behind it says more."""
    left, low, right, high = box
    share = (right - left) * (high - low) / (item.kit.plan.width_mm * item.kit.height_mm)
    if share < _BROAD:
        pen.rect("out", left, low, right, high, 0.35 * min(right - left, high - low))
    elif not item.kit.leaf:
        pen.rect("kg", left, low, right, high, 8)


def _tubes(what: SticksOut, box: tuple[float, float, float, float], item: Placed, pen: Pen) -> bool:
    """Tails and flue as the pipes they are, where the kind says where its ports are."""
    left, low, right, high = box
    if "flue" in what.what:
        r = min((right - left) / 2, 50.0)
        middle = (left + right) / 2
        pen.rect("out", middle - r, low, middle + r, high - r)
        pen.circle("out", middle, high - r, r)
        return True
    ports = [
        p for p in item.kit.port if p.faces == what.side and left - 1 <= p.at_mm[0] <= right + 1 and p.medium != "flue"
    ]
    for port in ports:
        half = max(port.size_mm, 18.0) / 2
        pen.rect(
            "kg" if port.medium in ("cable", "hose") else "out", port.at_mm[0] - half, low, port.at_mm[0] + half, high
        )
    return bool(ports)
