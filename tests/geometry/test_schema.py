"""The published JSON Schema of a room file, kept in tests/expected: it changes only when somebody wants it to."""

import json
import re
from pathlib import Path
from typing import Any

import pytest

from geometry.reading import read_room
from geometry.room import Room
from tests.geometry.random_rooms import random_room
from tests.geometry.whole_room import WHOLE

ROOT = Path(__file__).parent.parent.parent
KEPT: dict[str, Any] = json.loads((ROOT / "tests" / "expected" / "room.schema.json").read_text("utf-8"))
DEMO_ROOMS = sorted((ROOT / "demo_rooms").glob("*.json"))
TYPES: dict[str, type | tuple[type, ...]] = {
    "object": dict, "array": list, "string": str, "boolean": bool, "null": type(None), "integer": int,
    "number": (int, float),
}  # fmt: skip
LIMITS = {
    "minimum": lambda value, limit: value >= limit, "maximum": lambda value, limit: value <= limit,
    "exclusiveMinimum": lambda value, limit: value > limit, "exclusiveMaximum": lambda value, limit: value < limit,
    "minLength": lambda value, limit: len(value) >= limit, "maxLength": lambda value, limit: len(value) <= limit,
    "minItems": lambda value, limit: len(value) >= limit, "maxItems": lambda value, limit: len(value) <= limit,
    "pattern": lambda value, pattern: re.search(pattern, value), "enum": lambda value, allowed: value in allowed,
    "const": lambda value, wanted: value == wanted,
}  # fmt: skip


def faults(value: Any, schema: dict[str, Any], at: str = "") -> list[str]:
    """What a reader that knows nothing but the schema finds wrong."""
    if "$ref" in schema:
        return faults(value, KEPT["$defs"][schema["$ref"].removeprefix("#/$defs/")], at)
    if "anyOf" in schema:
        every = [faults(value, one, at) for one in schema["anyOf"]]
        return min(every, key=len)
    kind = schema.get("type")
    if kind and (not isinstance(value, TYPES[kind]) or (isinstance(value, bool) and kind != "boolean")):
        return [f"{at}: not {kind}"]
    found = [f"{at}: {name}" for name, holds in LIMITS.items() if name in schema and not holds(value, schema[name])]
    if kind == "object":
        found += [f"{at}: {key} is missing" for key in schema.get("required", []) if key not in value]
        for key, item in value.items():
            known = schema.get("properties", {}).get(key, schema.get("additionalProperties", True))
            found += [f"{at}: {key} is unknown"] if known is False else faults(item, known, f"{at}/{key}")
    if kind == "array":
        first = schema.get("prefixItems", [])
        rest = schema.get("items", {})
        for i, item in enumerate(value):
            found += faults(item, first[i] if i < len(first) else rest, f"{at}/{i}")
    return found


def test_the_schema_of_the_models_is_the_published_one() -> None:
    """After a wanted change of the format: python -m server schema > tests/expected/room.schema.json"""
    assert {"$schema": KEPT["$schema"], **Room.model_json_schema()} == KEPT


def test_no_part_of_a_room_takes_unknown_keys() -> None:
    objects = {"Room": KEPT, **KEPT["$defs"]}

    assert [
        name for name, part in objects.items() if "properties" in part and part.get("additionalProperties") is not False
    ] == []


def test_a_room_needs_its_format_a_name_and_an_outline() -> None:
    assert set(KEPT["required"]) == {"format", "format_version", "name", "outline_mm"}
    assert set(KEPT["$defs"]["Piece"]["required"]) == {"id", "kit", "at_mm"}
    assert set(KEPT["$defs"]["Kit"]["required"]) == {"key", "name", "plan", "height_mm"}


def test_the_schema_accepts_a_room_with_everything_in_it() -> None:
    assert faults(WHOLE, KEPT) == []
    assert set(WHOLE) == set(KEPT["properties"])


@pytest.mark.parametrize("path", DEMO_ROOMS, ids=lambda path: path.stem)
def test_the_schema_accepts_the_demo_rooms(path: Path) -> None:
    assert faults(json.loads(path.read_text("utf-8")), KEPT) == []


@pytest.mark.parametrize("seed", range(5))
def test_the_schema_accepts_what_is_read(seed: int) -> None:
    room = random_room(seed)

    assert read_room(json.dumps(room))
    assert faults(room, KEPT) == []


@pytest.mark.parametrize(
    ("key", "value", "fault"),
    [
        ("name", 5, "/name: not string"), ("name", "", "/name: minLength"),
        ("outline_mm", [[0, 0]], "/outline_mm: minItems"),
        ("tolerance_mm", -1, "/tolerance_mm: minimum"), ("tolerance_mm", True, "/tolerance_mm: not number"),
        ("rules", "wales", "/rules: enum"), ("format_version", 2, "/format_version: const"),
        ("colour", 1, ": colour is unknown"),
    ],
)  # fmt: skip
def test_the_schema_refuses_what_is_refused(key: str, value: Any, fault: str) -> None:
    assert faults({**WHOLE, key: value}, KEPT) == [fault]
