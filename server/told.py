"""What is told of the building on the workbench, and answers in writing: a layout and a form in, the room out."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any, cast

from geometry import answering, telling
from geometry.check import Finding
from geometry.editing import changed as with_figure
from geometry.errors import RoomError, UnknownThing
from geometry.kit import Change, Medium
from geometry.room import Room
from geometry.saved import Basis
from server.asked import Asked, Changed, Deed, basis_of, called, note_of, number, number_or_none, placed_of, whole
from server.checked import find, findings_of
from server.store import Layout

Fields = dict[str, str]


def _floor(layout: Layout, asked: Asked, fields: Fields) -> Changed:
    known: dict[str, Any] = {name: fields[name] for name in ("storey", "build") if fields.get(name)}
    known["allow_kn_m2"] = number_or_none(fields, "allow_kn_m2", "what the floor carries")
    return _told(telling.floor_told(layout.room, **known), "What carries the floor", asked)


def _wall(layout: Layout, asked: Asked, fields: Fields) -> Changed:
    build = fields.get("other", "").strip() or fields.get("build", "")
    room = telling.wall_told(layout.room, whole(asked.edge, "the wall"), build)
    return _told(room, "Build of a wall", asked)


def _heating(layout: Layout, asked: Asked, fields: Fields) -> Changed:
    words = {
        "system_l": "the litres of the system", "own_vessel_l": "the heat source's own vessel",
        "charge_bar": "the charge of the vessel", "valve_bar": "the safety valve",
    }  # fmt: skip
    known = {name: number_or_none(fields, name, what) for name, what in words.items() if name in fields}
    if known.get("system_l") is None:
        raise RoomError("Write how many litres the heating system holds: boiler, pipes, radiators and all.")
    known["own_vessel_l"] = known.get("own_vessel_l") or 0.0
    return _told(telling.heating_told(layout.room, **known), "Litres of the heating", asked)


def _system(layout: Layout, asked: Asked, fields: Fields) -> Changed:
    return _told(telling.system_told(layout.room, fields.get("system", "")), "Type of system", asked)


def _ceiling(layout: Layout, asked: Asked, fields: Fields) -> Changed:
    height = number(fields.get("height_mm", ""), "the height of the ceiling")
    return _told(telling.ceiling_told(layout.room, height), "Ceiling height", asked)


def _vents(layout: Layout, asked: Asked, fields: Fields) -> Changed:
    """The openings, and with them the heat input of an appliance where that was asked for too."""
    room = layout.room
    if any(fields.get(name, "").strip() for name in ("high_cm2", "low_cm2")) or "input_kw" not in fields:
        to = fields.get("to", "room")
        room = telling.vents_told(room, to, _opening(fields, "high"), _opening(fields, "low"))
    power = number_or_none(fields, "input_kw", "the heat input")
    if power is not None:
        note, basis = note_of(fields.get("input_kw_note", "")), basis_of(fields.get("input_kw_basis", ""), "typical")
        room = with_figure(room, placed_of(layout, fields.get("of", "")).id, "input_kw", _figure(power, basis, note))
    if room == layout.room:
        raise RoomError("Write the free area of an opening, the heat input, or both.")
    return _told(room, "Openings for air", asked)


def _figure(value: float, basis: Basis, note: str) -> Change:
    if not 0 < value <= 10_000:
        raise RoomError("A heat input is a figure in kW, more than 0 and at most 10,000.")
    return Change(value=value, basis=basis, note=note)


def _opening(fields: Mapping[str, str], which: str) -> tuple[float, float] | None:
    words = "the opening high up" if which == "high" else "the opening low down"
    free = number_or_none(fields, f"{which}_cm2", f"the free area of {words}")
    if free is None:
        return None
    return number(fields.get(f"{which}_mm", ""), f"the level of {words}"), free


def _outlet(layout: Layout, asked: Asked, fields: Fields) -> Changed:
    """An outlet that is there is marked for what was asked, or a new one is put into a wall."""
    medium = cast(Medium, fields.get("medium", ""))
    if fields.get("outlet"):
        room = telling.outlet_takes(layout.room, fields["outlet"], medium)
        return _told(room, "Outlet of a pipe", asked)
    room = telling.outlet_added(
        layout.room, medium, edge=whole(asked.edge, "the wall"), left_mm=number(asked.left_mm, "the left corner"),
        level_mm=number(fields.get("level_mm", ""), "the level of the outlet"), name=fields.get("called", "outlet"),
        ends=fields.get("ends", "unknown"), outside_run_mm=number_or_none(fields, "outside_run_mm", "outside") or 0.0,
    )  # fmt: skip
    return _told(room, "New outlet", asked)


def _ends(layout: Layout, asked: Asked, fields: Fields) -> Changed:
    known: dict[str, Any] = {"ends": fields.get("ends", "unknown")}
    if "outside_run_mm" in fields:
        known["outside_run_mm"] = number_or_none(fields, "outside_run_mm", "the length outside") or 0.0
    if "outside_bends" in fields:
        known["outside_bends"] = whole(fields["outside_bends"] or "0", "the bends outside")
    if fields.get("level_mm", "").strip():
        known["level_mm"] = number(fields["level_mm"], "the level of the outlet")
    for name, words in (("outside_bore_mm", "the pipe outside"), ("above_ground_mm", "the height above ground")):
        if name in fields:
            known[name] = number_or_none(fields, name, words)
    room = telling.outlet_told(layout.room, fields.get("outlet", ""), **known)
    if "level_mm" in known:
        room = telling.level_measured(room, fields["outlet"])
    return _told(room, "End of an outlet", asked)


def _pipe(layout: Layout, asked: Asked, fields: Fields) -> Changed:
    placed = placed_of(layout, fields.get("from", ""))
    room = telling.pipe_told(
        layout.room, placed.id, fields.get("port", ""), cast(Medium, fields.get("medium", "")), fields.get("to", ""),
        size_mm=number_or_none(fields, "size_mm", "the size of the pipe"),
        bore_mm=number_or_none(fields, "bore_mm", "the inside of the pipe"),
        material=fields.get("material", "").strip() or "copper",
    )  # fmt: skip
    return _told(room, f"Change a pipe of {called(placed)}", asked)


def _flue(layout: Layout, asked: Asked, fields: Fields) -> Changed:
    room = telling.flue_added(
        layout.room, placed_of(layout, fields.get("of", "")).id, edge=whole(asked.edge, "the wall"),
        left_mm=number(asked.left_mm, "the left corner"), level_mm=number(fields.get("level_mm", ""), "its level"),
    )  # fmt: skip
    return _told(room, "Flue outlet", asked)


def _door(layout: Layout, asked: Asked, fields: Fields) -> Changed:
    room = telling.door_slides(layout.room, fields.get("door", ""), fields.get("opens", ""))
    return _told(room, "Sliding door", asked)


def _answer(layout: Layout, asked: Asked, fields: Fields) -> Changed:
    """An answer in writing, under its name and today's date. The question stays open until a figure settles it."""
    day = datetime.now().astimezone().date().isoformat()
    finding = _asked_about(layout, asked)
    room = answering.answered(layout.room, finding, by=asked.by, date=day, answer=fields.get("answer", ""))
    return _told(room, "Answer to a question", asked)


def _unanswer(layout: Layout, asked: Asked, _: Fields) -> Changed:
    room = answering.taken_back(layout.room, _asked_about(layout, asked))
    return _told(room, "Take back an answer", asked)


def _asked_about(layout: Layout, asked: Asked) -> Finding:
    finding = find(findings_of(layout), asked.key)
    if finding is None:
        raise UnknownThing("That question is not asked in this layout. Open the room again.")
    return finding


def _told(room: Room, step: str, asked: Asked) -> Changed:
    return Changed(room, step, asked.piece)


TOLD: dict[str, Deed] = {
    "floor": _floor,
    "wall": _wall,
    "heating": _heating,
    "system": _system,
    "ceiling": _ceiling,
    "vents": _vents,
    "outlet": _outlet,
    "ends": _ends,
    "pipe": _pipe,
    "flue": _flue,
    "door": _door,
    "answer": _answer,
    "unanswer": _unanswer,
}
"""What each form of a question does, by its name."""
