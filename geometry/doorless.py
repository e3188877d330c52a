"""What checks of ways say of a room without a door: nothing was checked, and where is it?"""

from collections.abc import Iterable

from geometry.check import Finding


def without_a_door(check: str, what: str, asked: Iterable[str] | None) -> Finding:
    """Nothing was checked about ``what``; ``asked`` are the pieces it is about, None for the whole room.

    >>> without_a_door("walkway", "on the way to the kit", None).message
    'The room has no door: nothing was checked on the way to the kit.'
    """
    return Finding(
        check, "not-checked", f"The room has no door: nothing was checked {what}.", tuple(dict.fromkeys(asked or ())),
        question="Where is the door, how wide is it clear, and how high?",
    )  # fmt: skip
