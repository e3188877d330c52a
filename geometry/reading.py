"""Read and write room files: one clear sentence for everything that is wrong, nothing half loaded."""

import json
from typing import Any, NoReturn

from pydantic import ValidationError

from geometry.errors import LONGEST_SHOWN, UnreadableFile, shown
from geometry.room import FORMAT, Room
from geometry.sound import check_sound
from geometry.upgrade import upgraded

SHELF_FORMAT = "elbowroom-shelf"
LARGEST_BYTES = 2_000_000
"""A room of 400 pieces, each with changes, is under 300 kB."""
LONGEST_NUMBER = 400
"""Digits of a whole number: more than any measure in any unit can have."""


def read_room(text: str | bytes) -> Room:
    """A room file as a checked Room.

    Raises
    ------
    RoomError
        With one sentence that says what is wrong, where in the file, and what to do.
    """
    return room_from(parsed(text))


def room_from(data: Any) -> Room:
    """Plain values, as JSON gives them, as a checked Room."""
    if not isinstance(data, dict):
        raise UnreadableFile("The file is JSON, but not a room: a room file is one object in { }.")
    if data.get("format") == SHELF_FORMAT:
        raise UnreadableFile(
            "This file holds kinds of kit, not a room. Read it in on the page of your own kinds; the shelf leads there."
        )
    if data.get("format") != FORMAT:
        raise UnreadableFile(f'This is not an Elbowroom room: its "format" should be "{FORMAT}".')
    try:
        room = Room.model_validate(upgraded(data))
    except ValidationError as error:
        raise UnreadableFile(sentence_of(error, data)) from None
    check_sound(room)
    return room


def write_room(room: Room) -> str:
    """The room as JSON text, always the same for the same room: defaults left out, whole numbers whole."""
    data = room.model_dump(mode="json", by_alias=True, exclude_defaults=True)
    first = {"format": room.format, "format_version": room.format_version, "name": room.name}
    return written({**first, **data})


def written(values: dict[str, Any]) -> str:
    """Plain values as the text of a file of ours."""
    return json.dumps(_whole(values), ensure_ascii=False, indent=1) + "\n"


def _whole(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _whole(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_whole(item) for item in value]
    if isinstance(value, float) and value.is_integer():
        return int(value)
    return value


def parsed(text: str | bytes) -> Any:
    """The plain values of a file of ours, whatever it is; UnreadableFile with a sentence where it is not JSON."""
    if len(text) > LARGEST_BYTES:
        size = len(text) / 1e6
        raise UnreadableFile(f"The file is {size:.1f} MB; a room file is under 2 MB. Is it the right file?")
    try:
        if isinstance(text, bytes):
            text = text.decode("utf-8")
        text = text.removeprefix("\ufeff")
        if not text.strip():
            raise UnreadableFile("The file is empty. Is it the right file?")
        return json.loads(text, parse_constant=_not_a_number, parse_int=_whole_number, object_pairs_hook=_no_twice)
    except UnicodeDecodeError:
        raise UnreadableFile("The file is not text in UTF-8. Is it the right file?") from None
    except json.JSONDecodeError as error:
        raise UnreadableFile(
            f"The file is not JSON: line {error.lineno}, column {error.colno}: {error.msg.lower().removesuffix(' at')}."
        ) from None
    except RecursionError:
        raise UnreadableFile("The file is nested too deeply to be a room. Is it the right file?") from None


def _not_a_number(word: str) -> NoReturn:
    raise UnreadableFile(
        f"The file holds {word} where a number should stand. Write the number, or null if not measured."
    )


def _whole_number(digits: str) -> int:
    if len(digits) > LONGEST_NUMBER:
        raise UnreadableFile(f"The file holds a number of {len(digits)} digits: {digits[:20]}… Correct it.")
    return int(digits)


def _no_twice(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        keys = [key for key, _ in pairs]
        twice = next(key for key in keys if keys.count(key) > 1)
        raise UnreadableFile(f"The key {shown(twice)} stands twice in one object of the file. Take one of them out.")
    return found


def sentence_of(error: ValidationError, data: dict[str, Any]) -> str:
    """The first fault in words, with its place, and how many more there are."""
    faults = error.errors(include_url=False)
    first = faults[0]
    more = f" (and {len(faults) - 1} more)" if len(faults) > 1 else ""
    return f"{_place(first['loc'], data)}: {_wrong(first)}{more}."


def _place(loc: tuple[int | str, ...], data: Any) -> str:
    """Where in the file, by ids where there are ids.

    >>> _place(("pieces", 1, "turn_deg"), {"pieces": [{"id": "p1"}, {"id": "p2"}]})
    'pieces, "p2", turn_deg'
    """
    words: list[str] = []
    here = data
    for step in loc:
        here = _inside(here, step)
        if isinstance(step, int):
            known = (
                next((here[k] for k in ("id", "key", "name") if isinstance(here.get(k), str)), None)
                if isinstance(here, dict)
                else None
            )
            words.append(shown(known) if known else f"number {step + 1}")
        else:
            words.append(step if step.isidentifier() and step.isascii() and len(step) <= LONGEST_SHOWN else shown(step))
    return ", ".join(words) or "the file"


def _inside(here: Any, step: int | str) -> Any:
    try:
        return here[step]
    except (KeyError, IndexError, TypeError):
        return None


def _wrong(fault: Any) -> str:
    kind, ctx = fault["type"], fault.get("ctx", {})
    given = fault["input"]
    instead = "" if isinstance(given, (dict, list, tuple)) else f", not {shown(given)}"
    fixed = {
        "extra_forbidden": "this key is not part of a room file; take it out or correct its spelling",
        "missing": "this is missing, and a room cannot do without it",
        "finite_number": "this number is too large",
        "float_type": f"this should be a number{instead}",
        "int_type": f"this should be a whole number{instead}",
        "string_type": f"this should be text{instead}",
        "string_unicode": "this holds a broken character; type it again",
        "bool_type": f"this should be true or false{instead}",
        "tuple_type": "this should be a list in [ ]",
        "model_type": "this should be an object in { }",
        "dict_type": "this should be an object in { }",
    }
    limits = {
        "greater_than": "this should be more than {gt:,g}",
        "greater_than_equal": "this should be {ge:,g} or more",
        "less_than": "this should be less than {lt:,g}",
        "less_than_equal": "this should be {le:,g} or less",
        "too_short": "this has {actual_length} entries and needs at least {min_length}",
        "too_long": "this has more than {max_length} entries",
        "literal_error": "this should be one of {expected}",
        "string_too_long": "this is longer than {max_length} characters",
        "string_too_short": "this is empty",
        "string_pattern_mismatch": "this may hold only letters, digits, dots, dashes and underscores",
    }
    if fault["loc"][-1:] in (("on",), ("date",)) and kind == "string_pattern_mismatch":
        return f"this should be a day written like 2026-11-25{instead}"
    if kind in fixed:
        return fixed[kind]
    if kind in limits:
        text = limits[kind].format(**ctx)
        return text + (instead if kind.startswith(("greater", "less", "literal")) else "")
    return str(fault["msg"]).removeprefix("Value error, ")
