"""A saved layout, placed and checked. Layouts never change, so each is done once and kept for a while."""

from collections.abc import Iterable
from functools import lru_cache

from geometry.check import Finding, Remedy
from geometry.checking import check_scene
from geometry.remedies import Sought, look_for
from geometry.scene import Scene, build
from server.drawing import key_text as key_of
from server.store import Layout

LAYOUTS_KEPT = 32
REMEDIES_KEPT = 256

__all__ = ["find", "findings_of", "key_of", "remedy_of", "scene_of", "sought_of"]


def scene_of(layout: Layout) -> Scene:
    """The room of a layout as placed solids."""
    return _scene(layout)


def findings_of(layout: Layout) -> tuple[Finding, ...]:
    """All findings of a layout, worst first."""
    return _findings(layout)


def remedy_of(layout: Layout, finding: Finding) -> Remedy | None:
    """The smallest move that cures one finding of a layout, or None."""
    return sought_of(layout, finding).remedy


def sought_of(layout: Layout, finding: Finding) -> Sought:
    """The same, and whether looking for it was given up."""
    return _sought(layout, key_of(finding))


def find(findings: Iterable[Finding], key: str) -> Finding | None:
    """The finding of that key."""
    return next((finding for finding in findings if key_of(finding) == key), None)


@lru_cache(maxsize=LAYOUTS_KEPT)
def _scene(layout: Layout) -> Scene:
    return build(layout.room)


@lru_cache(maxsize=LAYOUTS_KEPT)
def _findings(layout: Layout) -> tuple[Finding, ...]:
    return check_scene(_scene(layout))


@lru_cache(maxsize=REMEDIES_KEPT)
def _sought(layout: Layout, key: str) -> Sought:
    finding = find(_findings(layout), key)
    return look_for(_scene(layout), finding, _findings(layout)) if finding else Sought()
