"""What the checker writes: shapes of findings on plan and faces, pins with numbers, and for the picked one its measure
and where the smallest move would put things. Drawn apart from room and kit, so that it can be swapped during a drag.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import hypot

from markupsafe import Markup

from geometry.check import Finding
from geometry.saved import SIDES
from geometry.scene import Scene
from geometry.units import Point
from server.drawing.ghosts import ghost
from server.drawing.marks import Mark, face_mark, plan_mark
from server.drawing.measures import measure
from server.drawing.names import face_box, names, plan_box
from server.drawing.seats import Seats, seats
from server.drawing.spaces import face_spaces, plan_spaces
from server.drawing.svg import Box, attribute, line, num, path
from server.drawing.unfold import Unfolded

PIN_PX = 10.0
PIN_HIT_PX = 22.0
PINS_APART_PX = 22.0
_LARGE_PX = 44.0
_SMALL_PX = 30.0


@dataclass(frozen=True)
class Pin:
    """A number at its place, in page units. ``edge`` is the wall whose face it is on, None on the plan."""

    number: int
    x_px: float
    y_px: float
    verdict: str
    key: str
    edge: int | None = None
    accepted: bool = False


@dataclass(frozen=True)
class _Written:
    """A finding with its number, its key and its marks."""

    number: int
    finding: Finding
    key: str
    marks: list[Mark]


@dataclass(frozen=True)
class Marked:
    """The marks of a room's findings, to be used again while a piece is tried elsewhere in the same view."""

    scene: Scene
    marks: dict[str, tuple[Finding, list[Mark]]]

    def of(self, scene: Scene, finding: Finding) -> list[Mark] | None:
        """The marks of a finding that is the same there, about pieces that stand as they stood."""
        was, marks = self.marks.get(key_text(finding), (None, []))
        refs = (*finding.pieces, *finding.against)
        same = was is not None and (was is finding or was == finding)
        return marks if same and all(scene.piece(ref) is self.scene.piece(ref) for ref in refs) else None


def marked(view: Unfolded, scene: Scene, findings: Sequence[Finding]) -> Marked:
    """The marks of findings, for use again."""
    found = seats(scene)
    return Marked(scene, {key_text(f): (f, _marks(view, scene, f, found)) for f in findings})


def key_text(finding: Finding) -> str:
    """What makes it the same finding in two layouts, as one word."""
    return "|".join(finding.key)


def draw_findings(
    view: Unfolded,
    scene: Scene,
    numbered: Sequence[tuple[int, Finding]],
    picked_key: str | None = None,
    keep_clear: Sequence[Box] = (),
    known: Marked | None = None,
) -> Markup:
    """Shapes, the picked finding's space, measure and ghost, and the pins on top.

    Every shape and pin carries ``data-key`` and ``data-number``; the picked one has the class ``on``. Pins leave the
    boxes to ``keep_clear`` of alone where they can. Of ``known`` is taken what is the same here.
    """
    found = seats(scene)
    marks = [known.of(scene, f) if known else None for _, f in numbered]
    written = [
        _Written(number, f, key_text(f), _marks(view, scene, f, found) if same is None else same)
        for (number, f), same in zip(numbered, marks, strict=True)
    ]
    parts = [_shapes(one, one.key == picked_key) for one in written]
    parts += [_picked(view, scene, one.finding, found) for one in written if one.key == picked_key]
    parts += [_pin(view, pin, pin.key == picked_key) for pin in _pins(view, written, keep_clear)]
    return Markup("".join(parts))


def pins(
    view: Unfolded, scene: Scene, numbered: Sequence[tuple[int, Finding]], keep_clear: Sequence[Box] = ()
) -> list[Pin]:
    """Every pin of the drawing: one on the plan and one on a face for each finding that has a place there."""
    found = seats(scene)
    written = [_Written(number, f, key_text(f), _marks(view, scene, f, found)) for number, f in numbered]
    return _pins(view, written, keep_clear)


def pin_box(view: Unfolded, pin: Pin) -> Box:
    """What a pin covers."""
    r = PIN_PX * view.grain.line
    return pin.x_px - r, pin.y_px - r, pin.x_px + r, pin.y_px + r


def _marks(view: Unfolded, scene: Scene, finding: Finding, found: Seats) -> list[Mark]:
    both = (plan_mark(view, scene, finding), face_mark(view, scene, finding, found))
    return [mark for mark in both if mark is not None]


def _shapes(one: _Written, picked: bool) -> str:
    cls = "wrong" if one.finding.verdict == "put-right" else "again"
    inside = "".join(path(f"{cls} run" if mark.open else cls, mark.data) for mark in one.marks)
    if not inside:
        return ""
    words = ["finding", one.finding.verdict, "on" if picked else "", "accepted" if one.finding.accepted else ""]
    head = f'<g class="{" ".join(word for word in words if word)}" data-number="{one.number}" '
    return head + f'data-key="{attribute(one.key)}">{inside}</g>'


def _picked(view: Unfolded, scene: Scene, finding: Finding, found: Seats) -> str:
    """What only the picked finding shows."""
    return (
        _needed(view, scene, finding, found) + ghost(view, scene, finding, found) + measure(view, scene, finding, found)
    )


def _needed(view: Unfolded, scene: Scene, finding: Finding, found: Seats) -> str:
    """The space that the finding is about, dotted."""
    item = scene.piece(finding.pieces[0]) if finding.pieces else None
    side = next((side for side in SIDES if side == finding.side), None)
    if item is None or side is None:
        return ""
    parts = []
    if view.shows_plan:
        x, y = view.plan.to_px(item.piece.at_mm)
        parts.append(_moved(x, y, plan_spaces(view, item, side)))
    seat = found.home[item.id]
    face = view.face(seat.edge)
    if face:
        x, y = face.to_px((seat.at_mm, item.base_mm))
        parts.append(_moved(x, y, face_spaces(view, face, item, seat, side)))
    return "".join(parts)


def _moved(x: float, y: float, inside: str) -> str:
    return f'<g transform="translate({num(x, 3)},{num(y, 3)})">{inside}</g>' if inside else ""


def kept_clear(view: Unfolded, scene: Scene) -> tuple[Box, ...]:
    """What pins had better not lie on: names, and bodies so small that a pin would hide them."""
    found = seats(scene)
    boxes = [name.label.box for name in names(view, scene, found)]
    bodies = [plan_box(view, item) for item in scene.placed] if view.shows_plan else []
    bodies += [box for item in scene.placed if (box := face_box(view, found, item))]
    small = [box for box in bodies if min(box[2] - box[0], box[3] - box[1]) < _SMALL_PX * view.grain.line]
    return (*boxes, *small)


def _pins(view: Unfolded, written: Sequence[_Written], keep_clear: Sequence[Box] = ()) -> list[Pin]:
    placed: list[Pin] = []
    for one in written:
        for mark in one.marks:
            x, y = _pin_place(mark, one.finding, view.grain.line)
            accepted = one.finding.accepted is not None
            pin = Pin(one.number, x, y, one.finding.verdict, one.key, mark.edge, accepted)
            placed.append(_on_page(view, _moved_apart(view, pin, mark.box, placed, keep_clear)))
    return placed


def _on_page(view: Unfolded, pin: Pin) -> Pin:
    """The pin, whole on the page."""
    edge = (PIN_PX + 1) * view.grain.line
    x, y = (max(edge, min(at, most - edge)) for at, most in ((pin.x_px, view.width_px), (pin.y_px, view.height_px)))
    return replace(pin, x_px=x, y_px=y)


def _pin_place(mark: Mark, finding: Finding, unit: float) -> Point:
    """In the middle of a dashed, a large or a long shape; at the upper right corner of a small hatched one."""
    x0, y0, x1, y1 = mark.box
    wide, high, large = x1 - x0, y1 - y0, _LARGE_PX * unit
    if mark.on_line:
        return mark.on_line
    if not mark.data:
        return x1 - PIN_PX * unit, y1 - PIN_PX * unit
    if finding.verdict == "look-again" or min(wide, high) > large or max(wide, high) > 2.5 * large:
        return (x0 + x1) / 2, (y0 + y1) / 2
    return x1 + 0.3 * PIN_PX * unit, y0 - 0.3 * PIN_PX * unit


def _moved_apart(view: Unfolded, pin: Pin, box: Box, placed: list[Pin], keep_clear: Sequence[Box]) -> Pin:
    """A pin that would lie on another one, or on what is to be kept clear, goes along the wall by 22 px, or across it.

    It goes no further than its shape; where nothing is clear it lies on what it should not rather than on a pin.
    """
    unit = view.grain.line
    apart, beside = PINS_APART_PX * unit, 1.2 * PINS_APART_PX * unit
    others = [
        (q.x_px, q.y_px) for q in placed if abs(q.x_px - pin.x_px) < 5 * apart and abs(q.y_px - pin.y_px) < 5 * apart
    ]
    far = 4 * apart
    near = [
        b for b in keep_clear
        if b[0] - far < pin.x_px < b[2] + far and b[1] - far < pin.y_px < b[3] + far
    ]  # fmt: skip

    def is_free(at: Point) -> bool:
        return not any(hypot(at[0] - a, at[1] - b) < 0.95 * apart for a, b in others)

    def is_within(at: Point) -> bool:
        return box[0] - beside <= at[0] <= box[2] + beside and box[1] - beside <= at[1] <= box[3] + beside

    def is_clear(at: Point) -> bool:
        return not any(_covers(at, PIN_PX * unit, one) for one in near)

    here = (pin.x_px, pin.y_px)
    if is_free(here) and is_within(here) and is_clear(here):
        return pin
    free = [at for at in _steps(view, pin, apart, more=bool(near)) if is_free(at)]
    within = [at for at in free if is_within(at)]
    clear = (at for at in within if is_clear(at))
    x, y = next(clear, (within or free or [here])[0])
    return replace(pin, x_px=x, y_px=y)


def _steps(view: Unfolded, pin: Pin, apart: float, more: bool) -> list[Point]:
    face = view.face(pin.edge) if pin.edge is not None else None
    ux, uy = (face.matrix if face else view.plan).vector(1.0, 0.0)
    size = hypot(ux, uy) or 1.0
    ux, uy = ux / size, uy / size
    steps = [(0, 0), (1, 0), (-1, 0), (0, 1), (0, -1), (2, 0), (-2, 0), (3, 0), (-3, 0)]
    if more:
        steps += [(1, 1), (-1, 1), (1, -1), (-1, -1), (0, 2), (0, -2), (2, 1), (-2, 1), (2, -1), (-2, -1)]
    return [
        (pin.x_px + (along * ux + across * uy) * apart, pin.y_px + (along * uy - across * ux) * apart)
        for along, across in steps
    ]


def _covers(at: Point, radius: float, box: Box) -> bool:
    x, y = at
    return box[0] - radius < x < box[2] + radius and box[1] - radius < y < box[3] + radius


def _pin(view: Unfolded, pin: Pin, picked: bool) -> str:
    words = ["pin", "la" if pin.verdict == "look-again" else "", "on" if picked else ""]
    words += ["agreed"] if pin.accepted else []
    d, unit = view.grain.digits, view.grain.line
    x, y, r = num(pin.x_px, d), num(pin.y_px, d), num(PIN_PX * unit, d)
    side = f'width="{num(2 * PIN_HIT_PX, d)}" height="{num(2 * PIN_HIT_PX, d)}"'
    hit = f'<rect class="hit" x="{num(pin.x_px - PIN_HIT_PX, d)}" y="{num(pin.y_px - PIN_HIT_PX, d)}" {side}/>'
    where = f' data-edge="{pin.edge}"' if pin.edge is not None else ""
    return (
        f'<g class="{" ".join(word for word in words if word)}" data-pin="{pin.number}"{where} '
        f'data-key="{attribute(pin.key)}">{hit if unit == 1.0 else ""}<circle cx="{x}" cy="{y}" r="{r}"/>'
        f'<text x="{x}" y="{num(pin.y_px + 4.3 * unit, d)}">{pin.number}</text>{_tick(pin, unit, d)}</g>'
    )


def _tick(pin: Pin, unit: float, digits: int) -> str:
    """The mark of what a person has accepted, over the shoulder of its pin: two strokes of a pen."""
    if not pin.accepted:
        return ""
    points = [(pin.x_px + dx * unit, pin.y_px + dy * unit) for dx, dy in ((4.0, -8.0), (7.5, -4.5), (14.0, -14.0))]
    return path("tick", line(points, digits))
