"""A first room from a few numbers off the tape: a rectangle with one door in the near wall.

Whoever measures stands in the doorway and looks in, as the plan is drawn: left is left.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from geometry.reading import room_from
from geometry.room import FORMAT, FORMAT_VERSION, Room
from geometry.typed import has_decimal_comma, typed_number


@dataclass(frozen=True)
class Blank:
    """One blank of the form: a length in mm between two limits, and its letter in the drawing beside it."""

    letter: str
    name: str
    label: str
    hint: str
    least_mm: float
    most_mm: float
    may_be_empty: bool = False


BLANKS: tuple[Blank, ...] = (
    Blank("a", "width_mm", "Wall with the door", "corner to corner, along the floor", 300, 30_000),
    Blank("b", "depth_mm", "Away from the door", "from that wall to the one across", 300, 30_000),
    Blank("c", "height_mm", "Floor to ceiling", "finished floor, at its lowest", 500, 10_000),
    Blank("d", "door_width_mm", "Door, clear width", "between the stops, door open", 100, 5_000),
    Blank("e", "door_height_mm", "Door, clear height", "floor to the head", 100, 5_000),
    Blank("f", "door_from_mm", "Left corner to the door", "as you look in; empty: in the middle", 0, 30_000, True),
)

OPENS: dict[str, tuple[str, dict[str, str]]] = {
    "out": ("out of the room", {"kind": "hinged", "opens": "out"}),
    "in-left": ("into the room, hung on the left", {"kind": "hinged", "opens": "in", "hinge": "start"}),
    "in-right": ("into the room, hung on the right", {"kind": "hinged", "opens": "in", "hinge": "end"}),
    "sliding": ("it slides", {"kind": "sliding"}),
    "none": ("it is an open doorway", {"kind": "none"}),
}
"""How the door opens, as somebody in the doorway who looks in says it, and the leaf that it is in the room file."""

ASK_OPENS = "Say which way the door opens: a door that opens into the room takes floor from it."


def read_blanks(given: Mapping[str, str]) -> tuple[dict[str, float], dict[str, str]]:
    """Lengths by the name of their blank, and for each blank that cannot be used a sentence.

    >>> read_blanks({"width_mm": "2,400 mm", "depth_mm": "wide"})[0]
    {'width_mm': 2400.0}
    """
    lengths: dict[str, float] = {}
    faults: dict[str, str] = {}
    for blank in BLANKS:
        text = given.get(blank.name, "").strip()
        if not text and blank.may_be_empty:
            continue
        length_mm = length_from(text)
        if length_mm is None:
            faults[blank.name] = _no_length(text)
        elif not blank.least_mm <= length_mm <= blank.most_mm:
            faults[blank.name] = _unlikely(blank, length_mm, bare=text.replace(".", "").isdecimal())
        else:
            lengths[blank.name] = length_mm
    if given.get("opens", "") not in OPENS:
        faults["opens"] = ASK_OPENS
    return lengths, faults or _faults_together(lengths)


def _no_length(text: str) -> str:
    if has_decimal_comma(text):
        return "The comma could be read in two ways. Write 1.5 with a point."
    return "Write a length in millimetres, for example 2400." if text else "Write what the tape says."


def _unlikely(blank: Blank, length_mm: float, bare: bool) -> str:
    """Why a length cannot be, and what was meant where it makes sense in metres or in centimetres."""
    meant = [length_mm * times for times in (1000, 10) if bare and blank.least_mm <= length_mm * times <= blank.most_mm]
    if meant:
        return f"{length_mm:,g} mm is not likely here. Did you mean {meant[0]:,.0f} mm?"
    return f"{length_mm:,g} mm is not likely here: between {blank.least_mm:,.0f} and {blank.most_mm:,.0f} is."


def _faults_together(lengths: Mapping[str, float]) -> dict[str, str]:
    """What single lengths cannot tell: a door wider than its wall, past its corner, or higher than the ceiling."""
    wall_mm, door_mm, left_mm = lengths["width_mm"], lengths["door_width_mm"], lengths.get("door_from_mm", 0.0)
    if door_mm > wall_mm:
        return {"door_width_mm": f"{door_mm:,.0f} mm is wider than its wall, {wall_mm:,.0f} mm. Which one is right?"}
    if left_mm + door_mm > wall_mm:
        return {"door_from_mm": f"The door would end {left_mm + door_mm - wall_mm:,.0f} mm past the other corner."}
    head_mm, ceiling_mm = lengths["door_height_mm"], lengths["height_mm"]
    if head_mm > ceiling_mm:
        return {"door_height_mm": f"{head_mm:,.0f} mm is above the ceiling, {ceiling_mm:,.0f} mm. Which one is right?"}
    return {}


def length_from(text: str) -> float | None:
    """A length in mm as people write it, or None.

    >>> length_from("2,400"), length_from("2400 mm"), length_from("2.4 m"), length_from("2,4 m")
    (2400.0, 2400.0, 2400.0, None)
    """
    found = re.fullmatch(r"([\d,.]+)\s*(mm|cm|m|)", text.strip().lower(), re.ASCII)
    value = typed_number(found[1]) if found else None
    if not found or value is None:
        return None
    return round(value * {"mm": 1, "cm": 10, "m": 1000, "": 1}[found[2]], 3)


def measured_room(name: str, lengths: Mapping[str, float], opens: str = "out") -> Room:
    """The room: its door in the wall nearest the reader. Raises RoomError where it cannot be."""
    width, depth, clear = lengths["width_mm"], lengths["depth_mm"], lengths["door_width_mm"]
    return room_from(
        {
            "format": FORMAT,
            "format_version": FORMAT_VERSION,
            "name": name,
            "outline_mm": [[0, 0], [width, 0], [width, depth], [0, depth]],
            "ceiling": {"height_mm": lengths["height_mm"]},
            "doors": [
                {
                    "id": "d1",
                    "edge": 0,
                    "from_mm": lengths.get("door_from_mm", (width - clear) / 2),
                    "clear_mm": clear,
                    "head_mm": lengths["door_height_mm"],
                    "leaf": OPENS[opens][1],
                }
            ],
        }
    )
