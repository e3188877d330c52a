"""What a card about the room asks for, made: fields in, the changed room and the name of the step out."""

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from geometry import room_editing as editing
from geometry.alcoves import with_alcove, with_corner
from geometry.check import mm
from geometry.errors import RoomError
from geometry.room import DoorLeaf, Room
from geometry.strips import Strip, corners_of, strip_of
from geometry.typed import is_count
from geometry.walls import wall_of
from geometry.words import within
from server.asked import number
from server.measured import length_from
from server.part_cards import TAKES
from server.walk_openings import OPENS, USUAL_MM, WORDS

Fields = Mapping[str, str]
NO_CEILING_MM = 2400.0
"""How high boxing goes that goes all the way up, where the ceiling was not measured."""


class Deed(NamedTuple):
    """A room after a change, the step in words, and the card that stays open."""

    room: Room
    step: str
    card: str


def changed(room: Room, kind: str, ref: str, fields: Fields) -> Deed:
    """The room after a card was written down; an empty ``ref`` adds one.

    Raises
    ------
    RoomError
        With a sentence for the person who wrote it.
    """
    deed = _DEEDS.get(kind)
    if deed is None:
        raise RoomError("The room has no such part. Open the room again and use the cards on the page.")
    return deed(room, kind, ref, fields)


def taken_out(room: Room, kind: str, ref: str) -> Deed:
    """The room without one part."""
    if kind not in editing.NAMES:
        raise RoomError("That part of the room cannot be taken out. Correct its figures instead.")
    return Deed(editing.without(room, kind, ref), f"Take out {_called(room, kind, ref)}", "")


def _called(room: Room, kind: str, ref: str) -> str:
    if kind in ("fixtures", "keep_free", "outlets"):
        return next((within(part.name) for part in getattr(room, kind) if part.id == ref), ref)
    return within(ref) if kind in editing.OVERHEAD else f"{editing.NAMES[kind]} {ref}"


def _length(fields: Fields, name: str, words: str) -> float | None:
    """A length, None where the blank is empty."""
    text = fields.get(name, "").strip()
    if not text:
        return None
    length = length_from(text)
    if length is None:
        raise RoomError(f"“{text}” is not a length for {words}. Write millimetres, for example 450.")
    return length


def _needed(fields: Fields, name: str, words: str) -> float:
    length = _length(fields, name, words)
    if length is None:
        raise RoomError(f"Write {words} in millimetres, as the tape says.")
    return length


def _edge(fields: Fields) -> int:
    text = fields.get("edge", "")
    if not is_count(text):
        raise RoomError("Choose the wall first.")
    return int(text)


def _strip(fields: Fields) -> Strip | None:
    """The place of a card; None where the card shows none, since its area is no rectangle along a wall."""
    if "depth" not in fields:
        return None
    width, depth = _needed(fields, "width", "its width"), _needed(fields, "depth", "its depth")
    if min(width, depth) <= 0:
        raise RoomError("Its width and depth are more than nothing. Correct them.")
    off = _length(fields, "off", "its distance off the wall") or 0.0
    return Strip(_edge(fields), _needed(fields, "left", "how far it is from the left corner"), width, off, depth)


def _area(room: Room, fields: Fields, old: Any) -> dict[str, Any]:
    """The area of a card, the old one where nothing about it was changed: no corner moves by rounding."""
    strip = _strip(fields)
    if strip is None:
        return {}
    was = strip_of(room, old.area_mm) if old is not None else None
    if was is not None and _alike(was, strip):
        return {}
    return {"area_mm": corners_of(room, strip)}


def _alike(a: Strip, b: Strip) -> bool:
    pairs = ((a.left_mm, b.left_mm), (a.width_mm, b.width_mm), (a.off_mm, b.off_mm), (a.depth_mm, b.depth_mm))
    return a.edge == b.edge and all(abs(x - y) <= 0.06 for x, y in pairs)


def _heights(room: Room, _kind: str, _ref: str, fields: Fields) -> Deed:
    found = [_length(fields, name, "the ceiling") for name in ("height", "height2", "height3")]
    known = [height for height in found if height is not None]
    return Deed(editing.with_height(room, min(known, default=None)), "Change the ceiling height", "heights-room")


def _opening(room: Room, kind: str, ref: str, fields: Fields) -> Deed:
    """A door or a window: what is left empty is drawn as usual and kept as not measured."""
    one = editing.NAMES[kind]
    wall = wall_of(room, _edge(fields))
    widths = [_length(fields, name, "its width") for name in ("wide1", "wide2", "wide3")]
    figures: dict[str, float | None] = {
        "wide": min((width for width in widths if width is not None), default=None),
        "head": _length(fields, "head", "its head"),
        "sill": _length(fields, "sill", "its sill"),
    }
    missing: dict[str, float | None] = {
        WORDS[name]: USUAL_MM[one][name]
        for name, value in figures.items()
        if value is None and (one, name) != ("door", "sill")
    }
    wide, head, sill = (
        USUAL_MM[one][name] if figures[name] is None else figures[name] or 0.0 for name in ("wide", "head", "sill")
    )
    spare = wall.length_mm - wide
    if spare < 0:
        raise RoomError(f"{mm(wide)} is wider than its wall, {mm(wall.length_mm)}. Which one is right?")
    left = _length(fields, "left", "the left corner")
    if left is None:
        left = spare / 2
        missing[WORDS["from"]] = round(left, 1)
    if left > spare + 0.5:
        raise RoomError(f"It would end {mm(left - spare)} past the right corner. Correct its place or its width.")
    from_mm = max(round(spare - left, 3), 0.0)
    made: dict[str, Any] = {"edge": wall.index, "from_mm": from_mm, "head_mm": head, "sill_mm": sill}
    made |= _door(room, ref, fields, wide) if one == "door" else {"width_mm": wide}
    after, name = editing.with_part(room, kind, ref or None, made)
    return Deed(editing.with_missing(after, name, missing), _step(ref, one, name), f"{kind}-{name}")


def _door(room: Room, ref: str, fields: Fields, wide: float) -> dict[str, Any]:
    old = next((door.leaf for door in room.doors if door.id == ref), DoorLeaf())
    told = OPENS.get(fields.get("opens", ""), OPENS["out"])[1]
    hinge = "end" if fields.get("hinge") == "left" else "start"
    leaf = old.model_copy(update={**told, "hinge": hinge})
    return {"clear_mm": wide, "leaf": leaf, "planned": bool(fields.get("planned"))}


def _step(ref: str, one: str, name: str) -> str:
    return f"{'Change' if ref else 'Add'} {one} {name}"


def _slope(room: Room, kind: str, ref: str, fields: Fields) -> Deed:
    figures: dict[str, Any] = {"name": fields.get("name", "").strip() or None}
    strip = _strip(fields)
    if strip is not None:
        near, far = (_needed(fields, name, f"its height at the {side} side") for name, side in _ENDS)
        figures |= editing.slope_over(room, strip, near, far)
    after, name = editing.with_overhead(room, kind, ref or None, figures)
    return Deed(after, f"{'Change' if ref else 'Add'} {within(name)}", f"{kind}-{name}")


_ENDS = (("near", "wall"), ("far", "far"))


def _beam(room: Room, kind: str, ref: str, fields: Fields) -> Deed:
    old = next((beam for beam in room.ceiling.beams if beam.name == ref), None)
    figures: dict[str, Any] = {"name": fields.get("name", "").strip() or None, **_area(room, fields, old)}
    figures["soffit_mm"] = _needed(fields, "soffit", "the height of its underside")
    after, name = editing.with_overhead(room, kind, ref or None, figures)
    return Deed(after, f"{'Change' if ref else 'Add'} {within(name)}", f"{kind}-{name}")


def _solid(room: Room, kind: str, ref: str, fields: Fields) -> Deed:
    old = next((part for part in getattr(room, kind) if part.id == ref), None)
    usual = "boxing" if kind == "fixtures" else "keep free"
    called = fields.get("name", "").strip() or usual
    top = _length(fields, "to", "its top")
    figures = {
        "name": called,
        **_area(room, fields, old),
        "from_mm": _length(fields, "from", "its foot") or 0.0,
        "to_mm": (room.ceiling.height_mm or NO_CEILING_MM) if top is None else top,
    }
    after, name = editing.with_part(room, kind, ref or None, figures)
    return Deed(after, f"{'Change' if ref else 'Add'} {within(called)}", f"{kind}-{name}")


def _outlet(room: Room, kind: str, ref: str, fields: Fields) -> Deed:
    wall = wall_of(room, _edge(fields))
    called = fields.get("name", "").strip() or "way out for pipes"
    missing: dict[str, float | None] = {}
    level, left = _length(fields, "level", "its level"), _length(fields, "left", "the left corner")
    if level is None:
        level = USUAL_MM["outlet"]["level"]
        missing[WORDS["level"]] = level
    if left is None:
        left = wall.length_mm / 2
        missing[WORDS["from"]] = round(left, 1)
    if left > wall.length_mm + 0.5:
        raise RoomError(f"That is {mm(left - wall.length_mm)} past the right corner. Correct its place.")
    x, y = wall.at(wall.length_mm - left, _length(fields, "off", "its distance off the wall") or 0.0)
    bends = fields.get("bends", "").strip() or "0"
    if not is_count(bends):
        raise RoomError(f"“{bends}” is not a number of bends. Write a whole number.")
    figures = {
        "name": called, "at_mm": (round(x, 3) + 0.0, round(y, 3) + 0.0), "level_mm": level,
        "ends": fields.get("ends", "unknown"), "outside_run_mm": _length(fields, "run", "the length outside") or 0.0,
        "outside_bends": int(bends), "takes": _takes(room, ref, fields),
    }  # fmt: skip
    after, name = editing.with_part(room, kind, ref or None, figures)
    return Deed(
        editing.with_missing(after, name, missing), f"{'Change' if ref else 'Add'} {within(called)}", f"{kind}-{name}"
    )


def _takes(room: Room, ref: str, fields: Fields) -> tuple[str, ...]:
    """What was ticked; media that the card does not show stay."""
    old = next((outlet.takes for outlet in room.outlets if outlet.id == ref), ())
    shown = [key for key, _ in TAKES]
    ticked = [key for key in shown if fields.get(f"takes-{key}")]
    kept = [key for key in old if key in ticked or key not in shown]
    return (*kept, *(key for key in ticked if key not in kept))


def _floor(room: Room, _kind: str, _ref: str, fields: Fields) -> Deed:
    allow = fields.get("allow", "").strip()
    figures = {
        "storey": fields.get("storey", "unknown"),
        "build": fields.get("build", "unknown"),
        "allow_kn_m2": number(allow, "what the floor may carry") if allow else None,
    }
    return Deed(editing.with_floor(room, figures), "Describe the floor", "floor-room")


def _wall(room: Room, _kind: str, ref: str, fields: Fields) -> Deed:
    if not is_count(ref):
        raise RoomError("Choose the wall first.")
    wall = wall_of(room, int(ref))
    thick = _length(fields, "thick", "its thickness")
    figures = {
        "build": fields.get("build", "").strip() or "unknown",
        "thick_mm": wall.thick_mm if thick is None else thick,
        "outside": bool(fields.get("outside")),
    }
    return Deed(editing.with_wall(room, wall.index, figures), f"Describe wall {wall.index + 1}", f"wall-{wall.index}")


def _alcove(room: Room, _kind: str, _ref: str, fields: Fields) -> Deed:
    left = _needed(fields, "left", "how far it is from the left corner")
    width, depth = _needed(fields, "width", "its width"), _needed(fields, "depth", "its depth")
    return Deed(with_alcove(room, _edge(fields), left, width, depth), "Add an alcove", "")


def _corner(room: Room, _kind: str, ref: str, fields: Fields) -> Deed:
    if not is_count(ref):
        raise RoomError("Choose the corner first.")
    at = number(fields.get("x", ""), "the place to the right"), number(fields.get("y", ""), "the place away from you")
    return Deed(with_corner(room, int(ref), at), f"Move corner {int(ref) + 1}", f"corner-{ref}")


_DEEDS: dict[str, Callable[[Room, str, str, Fields], Deed]] = {
    "heights": _heights,
    "doors": _opening,
    "windows": _opening,
    "slopes": _slope,
    "beams": _beam,
    "fixtures": _solid,
    "keep_free": _solid,
    "outlets": _outlet,
    "floor": _floor,
    "wall": _wall,
    "alcove": _alcove,
    "corner": _corner,
}
