"""Notes and questions in groups, by the piece or by the check they are about: numbers and order stay worst first."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Generic, Protocol, TypeVar

from geometry.check import Finding
from geometry.checks import CHECKS
from geometry.scene import Scene
from geometry.words import named, start

THE_ROOM = "The room"
_TITLES = {check.id: check.failing_title for check in CHECKS}


class About(Protocol):
    """Whatever is about one finding."""

    @property
    def finding(self) -> Finding: ...


T = TypeVar("T", bound=About)


@dataclass(frozen=True)
class Group(Generic[T]):
    """Some of them under one heading; no heading where they are not grouped. ``id`` fits an id of the page."""

    id: str
    title: str
    items: tuple[T, ...]


def grouped(items: Sequence[T], by: str, scene: Scene) -> list[Group[T]]:
    """The items, worst first as they come, under the heading of their piece or check: the worst heading first."""
    if by not in ("piece", "check"):
        return [Group("", "", tuple(items))] if items else []
    found: dict[str, list[T]] = {}
    for item in items:
        found.setdefault(_ref(item.finding, by, scene), []).append(item)
    return [Group(f"{by}-{ref}", _title(ref, by, scene), tuple(held)) for ref, held in found.items()]


def _ref(finding: Finding, by: str, scene: Scene) -> str:
    """The check, or the first piece that the finding names; of none, the room."""
    if by == "check":
        return finding.check
    return next((ref for ref in (*finding.pieces, *finding.against) if scene.piece(ref)), "")


def _title(ref: str, by: str, scene: Scene) -> str:
    if by == "check":
        return _TITLES.get(ref, ref)
    return start(named(scene, ref).removeprefix("the ")) if ref else THE_ROOM
