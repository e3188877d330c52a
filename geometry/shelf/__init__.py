"""The shelf: generic kinds of kit, one TOML file a group, read once."""

import tomllib
from functools import cache
from importlib import resources

from geometry.errors import UnknownKit
from geometry.kit import Kit

GROUP_FILES = (
    "boilers", "heat-pumps", "hot-water", "stores", "vessels", "valves", "manifolds", "cold-water", "electrical",
    "household", "air",
)  # fmt: skip


@cache
def shelf() -> dict[str, Kit]:
    """Every kind of kit on the shelf, by key, in the order in which a person browses."""
    found: dict[str, Kit] = {}
    for name in GROUP_FILES:
        text = (resources.files(__package__) / f"{name}.toml").read_text(encoding="utf-8")
        for entry in tomllib.loads(text)["kit"]:
            kit = Kit.model_validate(entry)
            found[kit.key] = kit
    return found


def find_kit(key: str) -> Kit:
    """The kind of kit of that key.

    Raises
    ------
    UnknownKit
        It is not on the shelf; the message names the nearest keys.
    """
    try:
        return shelf()[key]
    except KeyError:
        near = [other for other in shelf() if other.split("-")[0] == key.split("-")[0]][:4]
        hint = f" Near it: {', '.join(near)}." if near else ""
        raise UnknownKit(
            f"There is no kind of kit called {key!r} on the shelf or in the room file.{hint} "
            "Correct the name, or add the kind to the file's own kit."
        ) from None
