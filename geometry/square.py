"""Sliding shapes against each other, all pairs at once: rectangles square to the room, round bodies, both rounded.

Nearly everything in a room is a core, that is a rectangle square to the room, a line along it or a point, grown by a
radius. The slide of one against another then has a closed form, done for all pairs together. What is turned out of
square is left to `geometry.sliding`, and a test holds the two equal.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Generic, Protocol, TypeVar

import numpy as np
from numpy.typing import NDArray

from geometry.shapes import Footprint
from geometry.units import DEPTH_TOLERANCE_MM

Numbers = NDArray[np.float64]
Flags = NDArray[np.bool_]


class Thing(Protocol):
    """What is asked of a solid here."""

    @property
    def owner(self) -> str:
        """Whose it is."""

    @property
    def plan(self) -> Footprint:
        """Its plan shape."""

    @property
    def from_mm(self) -> float:
        """The bottom of its height band."""

    @property
    def to_mm(self) -> float:
        """The top of its height band."""

    @property
    def movable(self) -> bool:
        """Whether it can be moved away."""


T = TypeVar("T", bound=Thing)


@dataclass(frozen=True)
class Slider:
    """A shape that slides along an axis of the room (0 or 1): its plan, band, sign, owner, whether it is a body."""

    plan: Footprint
    from_mm: float
    to_mm: float
    axis: int
    sign: float
    owner: str
    is_body: bool


@dataclass(frozen=True)
class Squares(Generic[T]):
    """The solids of a scene that stand square to the room, as arrays; ``others`` are the places of the rest."""

    solids: tuple[T, ...]
    others: NDArray[np.intp]

    @cached_property
    def core(self) -> Numbers:
        """Cores: min x, min y, max x, max y (n x 4)."""
        return np.array([solid.plan.core for solid in self.solids]).reshape(-1, 4)

    @cached_property
    def radius(self) -> Numbers:
        """By how much each core is grown."""
        return np.array([solid.plan.radius_mm for solid in self.solids])

    @cached_property
    def band(self) -> Numbers:
        """Height bands (n x 2)."""
        return np.array([(solid.from_mm, solid.to_mm) for solid in self.solids]).reshape(-1, 2)

    @cached_property
    def codes(self) -> dict[str, int]:
        """A number for each owner: numbers compare faster than names."""
        return {owner: i for i, owner in enumerate(dict.fromkeys(solid.owner for solid in self.solids))}

    @cached_property
    def owners(self) -> NDArray[np.intp]:
        """Whose each is."""
        return np.array([self.codes[solid.owner] for solid in self.solids], dtype=np.intp)

    @cached_property
    def movable(self) -> Flags:
        """Which can be moved away."""
        return np.array([solid.movable for solid in self.solids], dtype=np.bool_)

    def met(self, sliders: Sequence[Slider]) -> list[list[tuple[float, T]]]:
        """For each slider the nearest fixed and the nearest movable thing it meets: how far, and which."""
        found: list[list[tuple[float, T]]] = [[] for _ in sliders]
        if not sliders or not self.solids:
            return found
        near = self._distances(sliders)
        rows = np.arange(len(sliders))
        for group in (self.movable, ~self.movable):
            held = np.where(group[None, :], near, np.inf)
            first = np.round(held, 6).argmin(axis=1)
            for row, (column, far) in enumerate(zip(first.tolist(), held[rows, first].tolist(), strict=True)):
                if far < np.inf:
                    found[row].append((far, self.solids[column]))
        return found

    def _distances(self, sliders: Sequence[Slider]) -> Numbers:
        """Distance of each slider (rows) to each solid (columns); infinite where they never meet."""
        slack = DEPTH_TOLERANCE_MM
        a, a_radius = np.array([s.plan.core for s in sliders]), np.array([[s.plan.radius_mm] for s in sliders])
        axis, sign = np.array([s.axis for s in sliders]), np.array([[s.sign] for s in sliders])
        rows, radius = np.arange(len(sliders)), a_radius + self.radius
        # gaps between cores on x and on y, negative where they overlap, and how much height they share
        apart = np.maximum(self.core[None, :, :2] - a[:, None, 2:], a[:, None, :2] - self.core[None, :, 2:])
        up = np.minimum([[s.to_mm] for s in sliders], self.band[:, 1]) - np.maximum(
            [[s.from_mm] for s in sliders], self.band[:, 0]
        )
        across = apart[rows, :, 1 - axis]
        shared = np.minimum(radius - across, 2 * np.minimum(self._half(1 - axis), _half(a, a_radius, 1 - axis)))
        reach = np.sqrt(np.maximum(0.0, radius**2 - np.maximum(0.0, across) ** 2))
        lead = np.where(sign > 0, a[rows, axis + 2][:, None], -a[rows, axis][:, None])
        low, high = self.core.T[axis], self.core.T[axis + 2]
        near = np.where(sign > 0, low, -high) - lead - reach
        far = np.where(sign > 0, high, -low) - lead + reach
        behind = np.where(a_radius > 0, a[rows, axis + 2][:, None] - a[rows, axis][:, None], 0.0)
        own = np.array([[self.codes.get(s.owner, -1)] for s in sliders]) == self.owners
        body = np.array([[s.is_body] for s in sliders])
        meets = (shared > slack) & (up > slack) & (far + behind > slack) & ~own
        return np.where(meets & ~(body & (_depth(apart, radius) > slack)), np.maximum(0.0, near), np.inf)

    def _half(self, axes: NDArray[np.intp]) -> Numbers:
        widths = (self.core[:, 2:] - self.core[:, :2]) / 2 + self.radius[:, None]
        return widths.T[axes]


def _half(core: Numbers, radius: Numbers, axes: NDArray[np.intp]) -> Numbers:
    rows = np.arange(len(core))
    return (core[rows, axes + 2] - core[rows, axes])[:, None] / 2 + radius


def _depth(apart: Numbers, radius: Numbers) -> Numbers:
    """By how much grown cores overlap, along the smallest move that parts them; negative where they are apart."""
    outside = np.hypot(np.maximum(0.0, apart[:, :, 0]), np.maximum(0.0, apart[:, :, 1]))
    inside = np.minimum(0.0, np.maximum(apart[:, :, 0], apart[:, :, 1]))
    return radius - outside - inside
