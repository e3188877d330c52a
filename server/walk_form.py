"""The form for a room whose walls are walked: what was written, row by row, and what it means.

Nothing that somebody typed is lost: every blank goes back to the page as it came, with a sentence beside it where it
cannot be used.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from geometry.traverse import MOST_WALLS, Diagonal, Leg, corner_letter
from geometry.typed import is_count
from server.measured import length_from

Kind = Literal["door", "window", "outlet"]
KINDS: tuple[Kind, ...] = ("door", "window", "outlet")
MOST_OPENINGS, MOST_DIAGONALS = 20, 20
TURNS: dict[str, tuple[str, float]] = {
    "left": ("left", 90.0),
    "right": ("right", -90.0),
    "left-45": ("left 45°", 45.0),
    "right-45": ("right 45°", -45.0),
}
"""How the wall goes on at its end: the words of the choice, and the turn (degrees, left positive)."""
BY_ANGLE = "angle"
"""The choice for a corner whose angle was measured, inside the room."""
DOOR_BLANKS = ("wide1", "wide2", "wide3", "head", "sill", "from")
WINDOW_BLANKS = ("wide1", "head", "sill", "from")
OUTLET_BLANKS = ("level", "from")
BLANKS_OF: dict[str, tuple[str, ...]] = {"door": DOOR_BLANKS, "window": WINDOW_BLANKS, "outlet": OUTLET_BLANKS}


@dataclass(frozen=True)
class WallRow:
    """One wall as written: its length, how it goes on, and the angle where that was measured."""

    length: str = ""
    turn: str = "left"
    angle: str = ""


@dataclass(frozen=True)
class DiagonalRow:
    """One diagonal as written: from corner to corner, by their numbers."""

    start: str = "0"
    end: str = "2"
    length: str = ""


@dataclass(frozen=True)
class OpeningRow:
    """A door, window or outlet as written; ``blanks`` by name, of which each kind uses its own."""

    kind: Kind
    wall: str = "0"
    corner: str = "first"
    blanks: Mapping[str, str] = field(default_factory=dict)

    def get(self, name: str) -> str:
        """What stands in a blank."""
        return self.blanks.get(name, "")


@dataclass(frozen=True)
class WalkForm:
    """The whole form as written."""

    name: str = ""
    heights: tuple[str, str, str] = ("", "", "")
    tolerance: str = "10"
    by_diagonal: bool = False
    walls: tuple[WallRow, ...] = (WallRow(),) * 4
    diagonals: tuple[DiagonalRow, ...] = ()
    openings: tuple[OpeningRow, ...] = (OpeningRow("door"),)
    kit: tuple[str, ...] = ()


@dataclass
class Read:
    """What the form means: walls as legs (a length None where none is written), and what cannot be used."""

    legs: list[Leg]
    diagonals: list[Diagonal]
    heights_mm: list[float]
    tolerance_mm: float
    faults: dict[str, str]


def form_from(fields: Mapping[str, str]) -> WalkForm:
    """The form out of the fields of a request."""
    walls = tuple(
        WallRow(*(fields.get(f"w{i}_{name}", "") for name in ("length", "turn", "angle")))
        for i in _numbers(fields, "w", "_length", MOST_WALLS)
    )
    diagonals = tuple(
        DiagonalRow(*(fields.get(f"x{i}_{name}", "") for name in ("start", "end", "length")))
        for i in _numbers(fields, "x", "_length", MOST_DIAGONALS)
    )
    openings = tuple(_opening(fields, f"o{i}_") for i in _numbers(fields, "o", "_kind", MOST_OPENINGS))
    return WalkForm(
        name=fields.get("name", ""),
        heights=(fields.get("height1", ""), fields.get("height2", ""), fields.get("height3", "")),
        tolerance=fields.get("tolerance", "10"),
        by_diagonal="by_diagonal" in fields,
        walls=walls or (WallRow(),) * 4,
        diagonals=diagonals,
        openings=openings,
        kit=tuple(name.removeprefix("kit-") for name in fields if name.startswith("kit-")),
    )


def _numbers(fields: Mapping[str, str], letter: str, end: str, most: int) -> list[int]:
    return [i for i in range(most) if f"{letter}{i}{end}" in fields]


def _opening(fields: Mapping[str, str], prefix: str) -> OpeningRow:
    kind: Kind = next((kind for kind in KINDS if kind == fields.get(prefix + "kind")), "door")
    blanks = {name.removeprefix(prefix): text for name, text in fields.items() if name.startswith(prefix)}
    return OpeningRow(kind, fields.get(prefix + "wall", "0"), fields.get(prefix + "corner", "first"), blanks)


def with_more(form: WalkForm, do: str) -> WalkForm:
    """The form with what a button asks for: one more row of a kind, or one less.

    >>> len(with_more(WalkForm(), "wall").walls), len(with_more(WalkForm(), "drop-o0").openings)
    (5, 0)
    """
    if do == "wall" and len(form.walls) < MOST_WALLS:
        return replace(form, walls=(*form.walls, WallRow()))
    if do == "diagonal" and len(form.diagonals) < MOST_DIAGONALS:
        pairs = [("0", "2"), ("1", "3")] if len(form.walls) > 3 else [("0", "2")]
        used = [(row.start, row.end) for row in form.diagonals]
        start, end = next((pair for pair in pairs if pair not in used), ("0", "2"))
        return replace(form, diagonals=(*form.diagonals, DiagonalRow(start, end)))
    if do in KINDS and len(form.openings) < MOST_OPENINGS:
        kind = next(kind for kind in KINDS if kind == do)
        return replace(form, openings=(*form.openings, OpeningRow(kind)))
    letter, number = do[5:6], do[6:]
    if do.startswith("drop-") and is_count(number):
        return _without(form, letter, int(number))
    return form


def _without(form: WalkForm, letter: str, index: int) -> WalkForm:
    if letter == "w" and len(form.walls) > 3:
        return replace(form, walls=form.walls[:index] + form.walls[index + 1 :])
    if letter == "x":
        return replace(form, diagonals=form.diagonals[:index] + form.diagonals[index + 1 :])
    if letter == "o":
        return replace(form, openings=form.openings[:index] + form.openings[index + 1 :])
    return form


def read_walk(form: WalkForm) -> Read:
    """Legs, diagonals and heights; and for every blank that cannot be used a sentence."""
    faults: dict[str, str] = {}
    walls_mm = [_length(f"w{i}_length", row.length, faults) for i, row in enumerate(form.walls)]
    turns = _turns(form, faults)
    legs = [Leg(length, turn) for length, turn in zip(walls_mm, turns, strict=True)]
    diagonals = []
    for i, row in enumerate(form.diagonals):
        length = _length(f"x{i}_length", row.length, faults)
        ends = _corner(row.start, len(legs)), _corner(row.end, len(legs))
        if length is None:
            continue
        if ends[0] == ends[1]:
            faults[f"x{i}_length"] = "A diagonal runs from one corner to another. Choose two."
        else:
            diagonals.append(Diagonal(ends[0], ends[1], length))
    heights = [_length(f"height{i + 1}", text, faults) for i, text in enumerate(form.heights)]
    tolerance = _length("tolerance", form.tolerance, faults, least_mm=0.0, most_mm=500.0)
    known = [height for height in heights if height is not None]
    return Read(legs, diagonals, known, 10.0 if tolerance is None else tolerance, faults)


def _turns(form: WalkForm, faults: dict[str, str]) -> list[float]:
    """Turns of all walls; a measured angle turns to the side to which the others turn in all."""
    named = [TURNS[row.turn][1] for row in form.walls if row.turn in TURNS]
    side = -1.0 if sum(named) < 0 else 1.0
    turns = []
    for i, row in enumerate(form.walls):
        if row.turn != BY_ANGLE:
            turns.append(TURNS.get(row.turn, TURNS["left"])[1])
            continue
        inside = _angle(row.angle)
        if inside is None:
            letter = corner_letter((i + 1) % len(form.walls))
            faults[f"w{i}_angle"] = f"Write the angle at {letter} inside the room, in degrees, for example 135."
        turns.append(side * (180.0 - (90.0 if inside is None else inside)))
    return turns


def _angle(text: str) -> float | None:
    try:
        value = float(text.replace("°", "").replace(",", ".").strip())
    except ValueError:
        return None
    return value if 1 <= value <= 359 and value != 180 else None


def _corner(text: str, count: int) -> int:
    return int(text) % count if is_count(text) else 0


def _length(
    name: str, text: str, faults: dict[str, str], least_mm: float = 10.0, most_mm: float = 60_000.0
) -> float | None:
    """A length, None where none is written or it cannot be used."""
    if not text.strip():
        return None
    length = length_from(text)
    if length is None:
        faults[name] = "Write a length in millimetres, for example 2400, or leave it empty if it was not measured."
    elif not least_mm <= length <= most_mm:
        meant = length * 1000
        hint = f" Did you mean {meant:,.0f} mm?" if least_mm <= meant <= most_mm and length < least_mm else ""
        faults[name] = f"{length:,g} mm is not likely here.{hint or f' Between {least_mm:,g} and {most_mm:,g} is.'}"
        length = None
    return length
