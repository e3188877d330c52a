"""One side of a kind of kit, alone and to scale, on which access points and what sticks out are placed.

Along the foot and up the left edge lie tapes from the left edge and from the base: the two measures of a point. The
top and underneath are seen from the front, their own front edge down.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from markupsafe import Markup

from geometry.kit import Kit, SticksOut
from geometry.own_kind import seen_on_side
from geometry.saved import Side
from server.drawing.fronts import draw_front
from server.drawing.pen import Pen
from server.drawing.svg import SCREEN, Matrix, circle, num, text
from server.drawing.tapes import Tape, draw_tape

_LEFT_PX, _FOOT_PX, _AIR_PX = 74.0, 46.0, 26.0
_TAPE_OFF_PX = 12.0
SPOT_PX, HIT_PX = 11.0, 22.0
FLAT: tuple[Side, ...] = ("above", "below")


@dataclass(frozen=True)
class Spot:
    """A place on the side: mm from its left edge and up from its base (or back from its front), what it is called."""

    row: str
    mark: str
    name: str
    left_mm: float
    up_mm: float
    in_hand: bool = False


@dataclass(frozen=True)
class OwnFace:
    """The drawing: its size in px, what it shows, and where a place in mm stands: ``left_px + mm * scale``, and up."""

    svg: Markup
    width_px: float
    height_px: float
    scale: float
    left_px: float
    foot_px: float
    wide_mm: float
    high_mm: float


def own_face(kit: Kit, side: Side, spots: Sequence[Spot], width_px: float, height_px: float) -> OwnFace:
    """A side of a kind with its places, as large as fits."""
    wide, deep, high = kit.plan.width_mm, kit.plan.depth_mm, kit.height_mm
    across, up = (wide, deep) if side in FLAT else (wide, high) if side in ("front", "behind") else (deep, high)
    scale = min((width_px - _LEFT_PX - _AIR_PX) / across, (height_px - _FOOT_PX - _AIR_PX) / up)
    left = _LEFT_PX + (width_px - _LEFT_PX - _AIR_PX - across * scale) / 2
    foot = _AIR_PX + up * scale
    parts = [_body(kit, side, Matrix(scale, 0.0, 0.0, -scale, left + across * scale / 2, foot), across, up)]
    parts.append(_tapes(left, foot, scale, across, up, spots))
    own = {spot.name for spot in spots}
    parts += [_typical(kit, side, left, foot, scale, own)]
    parts += [_spot(spot, left, foot, scale) for spot in spots]
    return OwnFace(Markup("".join(parts)), width_px, foot + _FOOT_PX, scale, left, foot, across, up)


def _body(kit: Kit, side: Side, matrix: Matrix, across: float, up: float) -> str:
    """The body, and what sticks out of this side towards the viewer."""
    pen = Pen(matrix, SCREEN)
    if side == "front":
        draw_front(pen, kit, access=False)
    elif side in FLAT and kit.plan.round_mm is not None:
        pen.circle("k", 0.0, up / 2, up / 2)
    else:
        pen.rect("k", -across / 2, 0.0, across / 2, up, 14.0)
    for part in kit.sticks_out:
        if part.side == side:
            low, high = _band(part, up)
            from_mm, to_mm = part.across_mm or (-across / 2, across / 2)
            pen.rect("out", from_mm, low, to_mm, high, 6.0)
    return f'<g class="own-body">{pen.svg()}</g>'


def _band(part: SticksOut, up: float) -> tuple[float, float]:
    if part.side in FLAT:
        low, high = part.along_mm or (-up / 2, up / 2)
        return low + up / 2, high + up / 2
    return part.from_mm or 0.0, up if part.to_mm is None else part.to_mm


def _tapes(left: float, foot: float, scale: float, across: float, up: float, spots: Sequence[Spot]) -> str:
    """The two measures of what is in hand, else of the whole side."""
    held = [spot for spot in spots if spot.in_hand]
    level = Tape((left, foot + _TAPE_OFF_PX), scale, across, False, 1, SCREEN)
    upright = Tape((left - _TAPE_OFF_PX, foot), scale, up, True, -1, SCREEN)
    along, above = [0.0, across, *(spot.left_mm for spot in held)], [0.0, up, *(spot.up_mm for spot in held)]
    return draw_tape(level, along) + draw_tape(upright, above)


def _typical(kit: Kit, side: Side, left: float, foot: float, scale: float, own: set[str]) -> str:
    """Access points that the kind has from what it is like, as small rings that cannot be moved."""
    found = []
    for point in kit.access:
        if point.faces == side and point.name not in own:
            across, up = seen_on_side(side, point.at_mm)
            wide = kit.plan.depth_mm if side in ("left", "right") else kit.plan.width_mm
            more = kit.plan.depth_mm / 2 if side in FLAT else 0.0
            x, y = left + (across + wide / 2) * scale, foot - (up + more) * scale
            found.append(f"<g><title>{escape(point.name)}, typical</title>{circle('typical-spot', (x, y), 5.0)}</g>")
    return "".join(found)


def _spot(spot: Spot, left: float, foot: float, scale: float) -> str:
    x, y = left + spot.left_mm * scale, foot - spot.up_mm * scale
    held = " held" if spot.in_hand else ""
    return (
        f'<g class="spot{held}" data-row="{spot.row}" transform="translate({num(x)},{num(y)})">'
        f"<title>{escape(spot.name)}</title>{circle('hit', (0, 0), HIT_PX)}{circle('spot-disc', (0, 0), SPOT_PX)}"
        f"{text('spot-mark', (0, 4.4), spot.mark, 'middle')}</g>"
    )
