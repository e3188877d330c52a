"""The measure of the picked finding: from the side of the piece as far as is found, with its figure."""

from math import hypot

from geometry.check import Finding
from geometry.saved import SIDES
from geometry.scene import Placed, Scene
from geometry.units import Point
from server.drawing.seats import Seats
from server.drawing.svg import Grain, line, mm_text, path, text
from server.drawing.unfold import Unfolded

_BAR = 3.5
_LEAST = 7.0


def measure(view: Unfolded, scene: Scene, finding: Finding, found: Seats) -> str:
    """What is found beside the picked piece: on the plan to its sides, on its face above and below."""
    item = scene.piece(finding.pieces[0]) if finding.pieces else None
    side = next((side for side in SIDES if side == finding.side), None)
    if item is None or side is None or finding.unit != "mm" or not finding.found or finding.found <= 0:
        return ""
    if side in ("above", "below"):
        return _upright(view, item, found, finding.found, above=side == "above")
    if not view.shows_plan:
        return ""
    dx, dy, _ = item.direction(side)
    out = max(part.reach((dx, dy)) for part in item.body) - dx * item.piece.at_mm[0] - dy * item.piece.at_mm[1]
    x, y = item.piece.at_mm
    ends = [view.plan.to_px((x + dx * reach, y + dy * reach)) for reach in (out, out + finding.found)]
    return dimension(ends[0], ends[1], mm_text(finding.found), view.grain)


def _upright(view: Unfolded, item: Placed, found: Seats, length_mm: float, above: bool) -> str:
    seat = found.home[item.id]
    face = view.face(seat.edge)
    if face is None:
        return ""
    at = seat.span.from_mm + 0.25 * (seat.span.to_mm - seat.span.from_mm)
    start = item.top_mm if above else item.base_mm
    end = start + length_mm if above else start - length_mm
    return dimension(face.to_px((at, start)), face.to_px((at, end)), mm_text(length_mm), view.grain)


def dimension(start: Point, end: Point, words: str, grain: Grain, red: bool = True, before: bool = False) -> str:
    """A line between two short bars, with its figure level beside it: above a level line, after or before another."""
    (x0, y0), (x1, y1) = start, end
    size = hypot(x1 - x0, y1 - y0)
    if size < _LEAST * grain.line:
        return ""
    ux, uy = (x1 - x0) / size, (y1 - y0) / size
    bar = _BAR * grain.line
    bars = "".join(
        line(((x - uy * bar, y + ux * bar), (x + uy * bar, y - ux * bar)), grain.digits) for x, y in (start, end)
    )
    drawn = path("meas" if red else "dimline", line((start, end), grain.digits) + bars)
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    if abs(ux) > abs(uy):
        at, anchor = (x, y - 0.5 * grain.text), "middle"
    else:
        at, anchor = (x + (-0.5 if before else 0.5) * grain.text, y + 0.35 * grain.text), "end" if before else "start"
    return drawn + text("m halo" if red else "halo", at, words, anchor, grain.digits)
