"""The form for a kind of kit of one's own: what was written, blank by blank, and what it means.

Nothing that somebody typed is lost: every blank goes back to the page as it came, with a sentence beside it where it
cannot be used.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any, get_args

from geometry.errors import RoomError
from geometry.kit import Kit, Tool
from geometry.own_kind import AccessPoint, Figure, Papers, Part, seen_on_side
from geometry.saved import SIDES, Side
from geometry.shelf import shelf
from server.asked import note_of, number
from server.own_figures import figure_of, figure_words, plain

SIZES_BOX, SIZES_ROUND = ("width_mm", "depth_mm", "height_mm"), ("round_mm", "height_mm")
WEIGHTS = ("dry_kg", "carry_kg", "water_l")
SPACES = tuple(f"space_{side}_mm" for side in SIDES)
FIGURES = ("width_mm", "depth_mm", "round_mm", "height_mm", *WEIGHTS, *SPACES)
SIDE_CHOICES: tuple[tuple[Side, str], ...] = (
    ("front", "the front"), ("left", "its left side"), ("right", "its right side"), ("behind", "the back"),
    ("above", "the top"), ("below", "underneath"),
)  # fmt: skip
STANDS = (("floor", "on the floor"), ("wall", "on a wall"), ("ceiling", "from the ceiling"))
TOOLS: tuple[Tool, ...] = get_args(Tool)
POINT_BLANKS = ("name", "side", "left", "up", "tool", "swing", "draw", "seen", "now")
PART_BLANKS = ("what", "side", "mm", "left", "up", "wide", "high")
MOST_ROWS = 30
HEAD_BLANKS = (
    "name",
    "group",
    "like",
    "shape",
    "stands_on",
    "base_mm",
    "page",
    "alone",
    "face",
    "hand",
    "base",
    "room",
)
Row = Mapping[str, str]


@dataclass(frozen=True)
class KindForm:
    """The whole form as written: its single blanks, its access points and what sticks out, row by row."""

    head: Mapping[str, str] = field(default_factory=dict)
    points: tuple[Row, ...] = ()
    parts: tuple[Row, ...] = ()

    def get(self, name: str) -> str:
        """What stands in a single blank."""
        return self.head.get(name, "")

    @property
    def like(self) -> Kit | None:
        """The kind of the shelf that it is like."""
        return shelf().get(self.get("like"))

    @property
    def round_body(self) -> bool:
        """Whether its body is a cylinder."""
        return self.get("shape") == "round"

    @property
    def face(self) -> Side:
        """The side that the drawing shows."""
        return next((side for side, _ in SIDE_CHOICES if side == self.get("face")), "front")


def form_of(fields: Mapping[str, str]) -> KindForm:
    """The form out of the fields that a page sent."""
    names = (*HEAD_BLANKS, *FIGURES, *(f"{name}_page" for name in FIGURES))
    head = {name: fields.get(name, "") for name in names}
    return KindForm(head, _rows(fields, "a", POINT_BLANKS), _rows(fields, "s", PART_BLANKS))


def _rows(fields: Mapping[str, str], letter: str, blanks: tuple[str, ...]) -> tuple[Row, ...]:
    ids = [i for i in range(MOST_ROWS) if f"{letter}{i}_side" in fields]
    return tuple({name: fields.get(f"{letter}{i}_{name}", "") for name in blanks} for i in ids)


def worked(form: KindForm, do: str) -> KindForm:
    """The form after a button that adds a row or takes one out."""
    if do == "point" and len(form.points) < MOST_ROWS:
        new = {"side": form.face, "tool": "hand"}
        return _hand(replace(form, points=(*form.points, new)), f"a{len(form.points)}")
    if do == "part" and len(form.parts) < MOST_ROWS:
        return _hand(replace(form, parts=(*form.parts, {"side": form.face})), f"s{len(form.parts)}")
    if do.startswith("drop-a"):
        return _hand(replace(form, points=_without(form.points, do[6:])), "")
    if do.startswith("drop-s"):
        return _hand(replace(form, parts=_without(form.parts, do[6:])), "")
    return form


def _without(rows: tuple[Row, ...], at: str) -> tuple[Row, ...]:
    return tuple(row for i, row in enumerate(rows) if str(i) != at)


def _hand(form: KindForm, hand: str) -> KindForm:
    return replace(form, head={**form.head, "hand": hand})


def form_for(kit: Kit, number_now: int, room: str) -> KindForm:
    """The form of a kind that is on the shelf already, as it would have been written."""
    head = {
        "name": kit.name, "group": kit.group, "like": kit.like or "", "stands_on": kit.stands_on, "room": room,
        "shape": "round" if kit.plan.round_mm is not None else "box", "base_mm": plain(kit.base_mm), "page": kit.note,
        "base": str(number_now), "face": "front",
    }  # fmt: skip
    for told in kit.figures:
        value = figure_of(kit, told.figure) if told.figure in FIGURES else None
        if value is not None:
            head |= {told.figure: plain(value), f"{told.figure}_page": told.note if told.note != kit.note else ""}
    own = {told.figure for told in kit.figures}
    like = shelf().get(kit.like or "")
    names = {one.name for one in kit.access} | {one.what for one in kit.sticks_out}
    if like and not {one.name for one in like.access} <= names:
        head["alone"] = "on"
    points = tuple(_point_row(kit, one) for one in kit.access if f"level:{one.name}" in own)
    parts = tuple(_part_row(kit, one) for one in kit.sticks_out if f"sticks_out:{one.what}" in own)
    return KindForm(head, points, parts)


def _point_row(kit: Kit, one: Any) -> Row:
    across, up = seen_on_side(one.faces, one.at_mm)
    wide, deep = side_size(kit, one.faces)
    return {
        "name": one.name, "side": one.faces, "tool": one.tool, "left": plain(across + wide / 2),
        "up": plain(up + (deep / 2 if one.faces in ("above", "below") else 0)),
        "swing": plain(one.swing.length_mm) if one.swing else "", "seen": "on" if one.must_be_seen else "",
        "draw": plain(one.draw_out.length_mm) if one.draw_out else "", "now": "on" if one.emergency else "",
    }  # fmt: skip


def _part_row(kit: Kit, one: Any) -> Row:
    wide, deep = side_size(kit, one.side)
    flat = one.side in ("above", "below")
    band = one.along_mm if flat else None if one.to_mm is None else (one.from_mm or 0.0, one.to_mm)
    row = {"what": one.what, "side": one.side, "mm": plain(one.mm), "left": "", "up": "", "wide": "", "high": ""}
    if one.across_mm:
        low, high = one.across_mm
        row |= {"left": plain((low + high) / 2 + wide / 2), "wide": plain(high - low)}
    if band:
        middle = (band[0] + band[1]) / 2 + (deep / 2 if flat else 0)
        row |= {"up": plain(middle), "high": plain(band[1] - band[0])}
    return row


def side_size(kit: Kit, side: Side) -> tuple[float, float]:
    """How wide and how high (on the top and underneath: how deep) a side is, in mm.

    >>> from geometry.kit import Plan
    >>> side_size(Kit(key="a", name="A", plan=Plan(box_mm=(600.0, 400.0)), height_mm=900.0), "left")
    (400.0, 900.0)
    """
    wide, deep, high = kit.plan.width_mm, kit.plan.depth_mm, kit.height_mm
    if side in ("above", "below"):
        return wide, deep
    return (wide, high) if side in ("front", "behind") else (deep, high)


@dataclass(frozen=True)
class Read:
    """What a form means, and by the name of its blank what cannot be used."""

    papers: Papers
    faults: Mapping[str, str]


def read(form: KindForm, key: str, body: Kit) -> Read:
    """The papers that a form tells; ``body`` is the kind with the sizes of the form, which its points lie on."""
    faults: dict[str, str] = {}
    page = _page(form.get("page"), "page", faults)
    points = tuple(_point(row, f"a{i}", body, faults) for i, row in enumerate(form.points))
    parts = tuple(_part(row, f"s{i}", body, faults) for i, row in enumerate(form.parts))
    figures = figures_of(form, faults)
    if not form.get("name").strip():
        faults["name"] = "A kind has a name, such as: Boiler, 24 kW, compact."
    stands = form.get("stands_on")
    papers = Papers(
        key, form.get("name").strip()[:120] or "Own kind", form.get("group").strip()[:120] or "own", form.round_body,
        figures, "wall" if stands == "wall" else "ceiling" if stands == "ceiling" else "floor",
        _number(form.get("base_mm"), "base_mm", faults) or 0.0, points, parts, page, form.get("alone") == "on",
    )  # fmt: skip
    return Read(papers, faults)


def figures_of(form: KindForm, faults: dict[str, str]) -> dict[str, Figure]:
    """Every size, weight and space that was written."""
    page = form.get("page").strip()
    shape = SIZES_ROUND if form.round_body else SIZES_BOX
    found = {}
    for name in (*shape, *WEIGHTS, *SPACES):
        value = _number(form.get(name), name, faults, figure_words(name)[0])
        if value is not None and value < 0:
            faults[name] = "A figure is 0 or more."
        elif value is not None:
            found[name] = Figure(value, _page(form.get(f"{name}_page"), f"{name}_page", faults) or page)
    return found


def _page(text: str, name: str, faults: dict[str, str]) -> str:
    try:
        return note_of(text)
    except RoomError as error:
        faults[name] = str(error)
        return ""


def _number(text: str, name: str, faults: dict[str, str], words: str = "") -> float | None:
    if not text.strip():
        return None
    try:
        return number(text, f"“{words}”" if words else "this blank")
    except RoomError as error:
        faults[name] = str(error)
        return None


def _needed(row: Row, name: str, at: str, faults: dict[str, str], words: str) -> float:
    value = _number(row.get(name, ""), f"{at}_{name}", faults)
    if value is None:
        faults.setdefault(f"{at}_{name}", words)
    return value or 0.0


def _place(row: Row, at: str, body: Kit, faults: dict[str, str]) -> tuple[Side, float, float]:
    """The side of a row and its place there, from the middle and up from the base (or from the middle, back)."""
    side: Side = next((side for side in SIDES if side == row.get("side")), "front")
    wide, deep = side_size(body, side)
    flat = side in ("above", "below")
    left = _number(row.get("left", ""), f"{at}_left", faults)
    up = _number(row.get("up", ""), f"{at}_up", faults)
    across = 0.0 if left is None else left - wide / 2
    if abs(across) > wide / 2 or not 0 <= (up or 0.0) <= deep:
        faults[f"{at}_left"] = f"That is not on this side: it is {wide:,.0f} wide and {deep:,.0f} {_way(side)}, in mm."
    return side, across, (up or 0.0) - (deep / 2 if flat and up is not None else 0.0)


def _way(side: Side) -> str:
    return "deep" if side in ("above", "below") else "high"


def _point(row: Row, at: str, body: Kit, faults: dict[str, str]) -> AccessPoint:
    for name, words in (("left", "Write it, or press the place on the drawing."), ("up", "Write it.")):
        _needed(row, name, at, faults, words)
    name = row.get("name", "").strip()[:120]
    if not name:
        faults[f"{at}_name"] = "What is it? Such as: drain cock."
    side, across, up = _place(row, at, body, faults)
    tool: Tool = next((tool for tool in TOOLS if tool == row.get("tool")), "hand")
    swing, draw = (_length(row, blank, at, faults) for blank in ("swing", "draw"))
    seen, now = row.get("seen") == "on", row.get("now") == "on"
    return AccessPoint(name or "access point", side, across, up, tool, swing, draw, seen, now)


def _part(row: Row, at: str, body: Kit, faults: dict[str, str]) -> Part:
    what = row.get("what", "").strip()[:120]
    if not what:
        faults[f"{at}_what"] = "What is it? Such as: overflow."
    side, across, up = _place(row, at, body, faults)
    far = _needed(row, "mm", at, faults, "How far does it stick out?")
    if far <= 0:
        faults.setdefault(f"{at}_mm", "More than 0, in mm.")
    wide, high = (_length(row, blank, at, faults) for blank in ("wide", "high"))
    if high is not None and not row.get("up", "").strip():
        faults.setdefault(f"{at}_up", "Write where its middle is, or press the place on the drawing.")
    return Part(what or "part", side, max(far, 0.1), across, up, wide, high)


def _length(row: Row, name: str, at: str, faults: dict[str, str]) -> float | None:
    value = _number(row.get(name, ""), f"{at}_{name}", faults)
    if value is not None and value <= 0:
        faults[f"{at}_{name}"] = "A length is more than 0."
        return None
    return value
