"""Bring an older room file up to today's format, one version at a time.

A step takes the plain values of version n and returns those of version n + 1. It may assume that the file was valid
in its own version; the models decide whether the result is valid now.
"""

from collections.abc import Callable, Mapping
from typing import Any

from geometry.errors import UnreadableFile, shown
from geometry.room import FORMAT_VERSION

Step = Callable[[dict[str, Any]], dict[str, Any]]

STEPS: Mapping[int, Step] = {}
"""Version n: the step to n + 1. Version 1 is the first that was ever written."""


def upgraded(data: dict[str, Any], steps: Mapping[int, Step] = STEPS, newest: int = FORMAT_VERSION) -> dict[str, Any]:
    """The same room in the newest format.

    Raises
    ------
    UnreadableFile
        The version is missing, not a number, from the future, or has no step.
    """
    version = data.get("format_version")
    if version is None:
        raise UnreadableFile('The file does not say its "format_version". An Elbowroom room has "format_version": 1.')
    if not isinstance(version, int) or isinstance(version, bool):
        raise UnreadableFile(f'The file\'s "format_version" should be a whole number such as 1, not {shown(version)}.')
    if version > newest:
        raise UnreadableFile(
            f"The file is of format version {shown(version)} and this Elbowroom reads up to {newest}. Update Elbowroom."
        )
    while version < newest:
        if version not in steps:
            raise UnreadableFile(f"The file says format version {shown(version)}, which never existed. The first is 1.")
        data = {**steps[version](data), "format_version": version + 1}
        version += 1
    return data
