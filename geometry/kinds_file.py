"""Own kinds of kit as a file: the same as the own kinds of a room file, under a head of its own."""

from collections.abc import Iterable
from typing import Annotated, Literal

from pydantic import Field, ValidationError

from geometry.errors import UnreadableFile
from geometry.kit import Kit
from geometry.reading import SHELF_FORMAT, parsed, sentence_of, written
from geometry.room import FORMAT
from geometry.saved import Saved
from geometry.sound import kinds_fault

MOST_KINDS = 200


class KindsFile(Saved):
    """The whole file."""

    format: Literal["elbowroom-shelf"]
    format_version: Literal[1]
    kit: Annotated[tuple[Kit, ...], Field(min_length=1, max_length=MOST_KINDS)]


def write_kinds(kinds: Iterable[Kit]) -> str:
    """Kinds as the text of a file, always the same for the same kinds: defaults left out, whole numbers whole."""
    kept = [kit.model_dump(mode="json", exclude_defaults=True) for kit in kinds]
    return written({"format": SHELF_FORMAT, "format_version": 1, "kit": kept})


def read_kinds(text: str | bytes) -> tuple[Kit, ...]:
    """The kinds of a file of kinds, or the own kinds of a room file.

    Raises
    ------
    RoomError
        With one sentence that says what is wrong, where in the file, and what to do.

    >>> from geometry.samples import box_kit
    >>> tank = Kit.model_validate(box_kit("tank"))
    >>> read_kinds(write_kinds([tank])) == (tank,)
    True
    """
    data = parsed(text)
    if not isinstance(data, dict) or data.get("format") not in (SHELF_FORMAT, FORMAT):
        raise UnreadableFile(
            f'This file holds no kinds of kit: its "format" should be "{SHELF_FORMAT}". Is it the right file?'
        )
    if data["format"] == FORMAT:
        if not data.get("kit"):
            raise UnreadableFile(
                "This is a room file without own kinds of kit. Choose one that has some, or a file of kinds."
            )
        data = {"format": SHELF_FORMAT, "format_version": 1, "kit": data["kit"]}
    try:
        kinds = KindsFile.model_validate(data).kit
    except ValidationError as error:
        raise UnreadableFile(sentence_of(error, data)) from None
    fault = kinds_fault(kinds)
    if fault:
        raise UnreadableFile(fault)
    return kinds
