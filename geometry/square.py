"""The same as sliding one shape after another, for rectangles square to the room, all at once.

Most kit, and every wall of a square room, is such a rectangle: its slide against another is three comparisons and a
subtraction, done for all pairs together. What is not is left to `geometry.sliding`, and a test holds the two equal.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Generic, Protocol, TypeVar

import numpy as np
from numpy.typing import NDArray

from geometry.units import DEPTH_TOLERANCE_MM, SAME_MM


@dataclass(frozen=True)
class Slider:
    """A rectangle that slides along one axis: its bounds, axis (0 or 1), sign, owner, and whether it is a body."""

    box: tuple[float, float, float, float, float, float]
    axis: int
    sign: float
    owner: str
    is_body: bool


class Square(Protocol):
    """What is asked of a solid here."""

    @property
    def owner(self) -> str:
        """Whose it is."""

    @property
    def movable(self) -> bool:
        """Whether it can be moved away."""


Thing = TypeVar("Thing", bound=Square)


@dataclass(frozen=True)
class Squares(Generic[Thing]):
    """The rectangles among a scene's solids: ``index`` and ``others`` are their places and those of the rest."""

    index: NDArray[np.intp]
    others: NDArray[np.intp]
    boxes: NDArray[np.float64]
    solids: tuple[Thing, ...]

    @cached_property
    def codes(self) -> dict[str, int]:
        """A number for each owner: numbers compare faster than names."""
        return {owner: i for i, owner in enumerate(dict.fromkeys(solid.owner for solid in self.solids))}

    @cached_property
    def owners(self) -> NDArray[np.intp]:
        """Whose each is."""
        return np.array([self.codes[solid.owner] for solid in self.solids], dtype=np.intp)

    @cached_property
    def movable(self) -> NDArray[np.bool_]:
        """Which can be moved away."""
        return np.array([solid.movable for solid in self.solids], dtype=np.bool_)

    def met(self, sliders: Sequence[Slider]) -> list[list[tuple[float, Thing]]]:
        """For each slider the nearest fixed and the nearest movable rectangles: how far, and which."""
        if not sliders or not len(self.index):
            return [[] for _ in sliders]
        near = self._distances(sliders)
        found = []
        for row in near:
            best = []
            for group in (self.movable, ~self.movable):
                held = np.where(group, row, np.inf)
                least = held.min()
                if np.isfinite(least):
                    same = np.flatnonzero(held <= least + SAME_MM)
                    best += [(float(row[i]), self.solids[i]) for i in same]
            found.append(best)
        return found

    def _distances(self, sliders: Sequence[Slider]) -> NDArray[np.float64]:
        """Distance of each slider (rows) to each rectangle (columns); infinite where they never meet."""
        p = np.array([slider.box for slider in sliders])
        axis = np.array([slider.axis for slider in sliders])
        sign = np.array([slider.sign for slider in sliders])
        rows = np.arange(len(sliders))
        low, high = self.boxes[:, :3].T, self.boxes[:, 3:].T
        shared = np.minimum(p[:, 3:, None], high[None]) - np.maximum(p[:, :3, None], low[None])
        across, along, up = shared[rows, 1 - axis], shared[rows, axis], shared[:, 2]
        slack = DEPTH_TOLERANCE_MM
        lead = np.where(sign > 0, p[rows, axis + 3], -p[rows, axis])[:, None]
        first = np.where((sign > 0)[:, None], low[axis], -high[axis])
        last = np.where((sign > 0)[:, None], high[axis], -low[axis])
        body = np.array([slider.is_body for slider in sliders])[:, None]
        own = np.array([self.codes.get(slider.owner, -1) for slider in sliders])[:, None] == self.owners[None, :]
        meets = (across > slack) & (up > slack) & (last - lead > slack) & ~own & ~(body & (along > slack))
        return np.where(meets, np.maximum(0.0, first - lead), np.inf)
