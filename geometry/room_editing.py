"""Changes to the room itself, by number: ceilings, openings, boxing, ways out for pipes, floor and walls.

A room in, a new room out, the whole of it validated again. ``ref`` names what is changed (an id; of a slope or beam its
name); None adds one. Every function raises RoomError, with a sentence for the person who typed it.
"""

from collections.abc import Iterable, Mapping
from typing import Any

from pydantic import ValidationError

from geometry.editing import free_ref, with_parts
from geometry.errors import RoomError, UnknownThing
from geometry.room import Beam, Block, Ceiling, Door, Floor, KeepFree, NotMeasured, Outlet, Room, Slope, Wall, Window
from geometry.saved import Saved
from geometry.strips import Strip, corners_of
from geometry.walls import wall_of

PARTS: dict[str, tuple[type[Saved], str]] = {
    "doors": (Door, "d"), "windows": (Window, "w"), "fixtures": (Block, "f"), "keep_free": (KeepFree, "k"),
    "outlets": (Outlet, "o"),
}  # fmt: skip
"""Groups of the room file whose things have ids: their model, and the letter of a new id."""
OVERHEAD: dict[str, tuple[type[Saved], str]] = {"slopes": (Slope, "slope"), "beams": (Beam, "beam")}
"""Groups of the ceiling, whose things have names."""
NAMES = {
    "doors": "door", "windows": "window", "fixtures": "fixture", "keep_free": "place to keep free",
    "outlets": "way out", "slopes": "slope", "beams": "beam",
}  # fmt: skip


def with_height(room: Room, height_mm: float | None) -> Room:
    """The room with another ceiling height (mm); None where it was not measured."""
    return with_parts(room, ceiling=_made(Ceiling, {**_plain(room.ceiling), "height_mm": height_mm}))


def with_part(room: Room, group: str, ref: str | None, figures: Mapping[str, Any]) -> tuple[Room, str]:
    """The room with one door, window, fixture, keep-free place or outlet more, or with ``ref`` changed; and its id."""
    model, letter = PARTS[group]
    parts = getattr(room, group)
    old = _find(parts, "id", ref, group) if ref is not None else None
    name = ref if ref is not None else free_ref(room, letter)
    new = _made(model, {**(_plain(old) if old is not None else {}), **figures, "id": name})
    kept = tuple(new if part is old else part for part in parts) if old is not None else (*parts, new)
    return with_parts(room, **{group: kept}), name


def with_overhead(room: Room, group: str, ref: str | None, figures: Mapping[str, Any]) -> tuple[Room, str]:
    """The room with one slope or beam more, or with ``ref`` changed; and its name, made its own where it is taken."""
    model, usual = OVERHEAD[group]
    parts = getattr(room.ceiling, group)
    old = _find(parts, "name", ref, group) if ref is not None else None
    wanted = figures.get("name") or ref or usual
    name = wanted if wanted == ref else _free_name(room, wanted)
    new = _made(model, {**(_plain(old) if old is not None else {}), **figures, "name": name})
    kept = tuple(new if part is old else part for part in parts) if old is not None else (*parts, new)
    ceiling = room.ceiling.model_copy(update={group: kept})
    return with_parts(room, ceiling=ceiling), name


def without(room: Room, group: str, ref: str) -> Room:
    """The room without one of its parts, and without what was said not to be measured of it."""
    forgotten = tuple(item for item in room.not_measured if item.of != ref)
    if group in OVERHEAD:
        old = _find(getattr(room.ceiling, group), "name", ref, group)
        kept = tuple(part for part in getattr(room.ceiling, group) if part is not old)
        return with_parts(room, ceiling=room.ceiling.model_copy(update={group: kept}), not_measured=forgotten)
    old = _find(getattr(room, group), "id", ref, group)
    kept = tuple(part for part in getattr(room, group) if part is not old)
    pipes = tuple(pipe for pipe in room.pipes if group != "outlets" or pipe.to != ref)
    return with_parts(room, **{group: kept}, pipes=pipes, not_measured=forgotten)


def slope_over(room: Room, strip: Strip, near_mm: float, far_mm: float) -> dict[str, Any]:
    """Area and plane of a slope over a strip, its underside so high at the wall's side and so high at the far side.

    >>> from geometry.samples import sample_room
    >>> slope_over(sample_room([], []), Strip(2, 0, 2400, 0, 900), 1500, 2400)["through_mm"]
    ((2400.0, 1800.0, 1500), (0.0, 1800.0, 1500), (0.0, 900.0, 2400))
    """
    a, b, c, d = corners_of(room, strip)
    return {"area_mm": (a, b, c, d), "through_mm": ((*a, near_mm), (*b, near_mm), (*c, far_mm))}


def with_floor(room: Room, figures: Mapping[str, Any]) -> Room:
    """The room with another floor."""
    return with_parts(room, floor=_made(Floor, {**_plain(room.floor), **figures}))


def with_wall(room: Room, edge: int, figures: Mapping[str, Any]) -> Room:
    """The room with what one wall is made of and how thick it is (mm)."""
    new = _made(Wall, {**figures, "edge": wall_of(room, edge).index})
    others = [wall for wall in room.walls if wall.edge != edge]
    return with_parts(room, walls=tuple(sorted((*others, new), key=lambda wall: wall.edge)))


def with_missing(room: Room, of: str, missing: Mapping[str, float | None]) -> Room:
    """The room with what was not measured of one thing, and what is drawn meanwhile (mm); empty: all of it was."""
    others = tuple(item for item in room.not_measured if item.of != of)
    new = tuple(_made(NotMeasured, {"of": of, "what": what, "taken_mm": taken}) for what, taken in missing.items())
    return with_parts(room, not_measured=(*others, *new))


def _free_name(room: Room, wanted: str) -> str:
    taken = {slope.name for slope in room.ceiling.slopes} | {beam.name for beam in room.ceiling.beams}
    if wanted not in taken:
        return wanted
    return next(f"{wanted} {i}" for i in range(2, len(taken) + 3) if f"{wanted} {i}" not in taken)


def _find(parts: Iterable[Any], key: str, ref: str, group: str) -> Any:
    found = next((part for part in parts if getattr(part, key) == ref), None)
    if found is None:
        raise UnknownThing(
            f"This room has no {NAMES[group]} called {ref}. It may have been taken out on another screen: "
            "open the room again."
        )
    return found


def _plain(part: Saved) -> dict[str, Any]:
    return {name: getattr(part, name) for name in type(part).model_fields}


def _made(model: type[Saved], figures: Mapping[str, Any]) -> Any:
    try:
        return model.model_validate(dict(figures))
    except ValidationError as error:
        first = error.errors()[0]
        name = str(first["loc"][0]).removesuffix("_mm").replace("_", " ") if first["loc"] else "a figure"
        raise RoomError(f"That cannot be used for {name}: sizes are more than 0 and under 100,000 mm.") from None
