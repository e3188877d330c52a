"""Sliding shapes against each other, all pairs at once: rectangles square to the room, round bodies, both rounded.

Nearly everything in a room is a core, that is a rectangle square to the room, a line along it or a point, grown by a
radius. The slide of one against another then has a closed form, done for all pairs together. What is turned out of
square is left to `geometry.sliding`, and a test holds the two equal.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Generic, NamedTuple, Protocol, TypeVar

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


class Slider(NamedTuple):
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
        if not self.solids:
            return found
        for axis in (0, 1):
            for sign in (1.0, -1.0):
                rows = [i for i, slider in enumerate(sliders) if (slider.axis, slider.sign) == (axis, sign)]
                if rows:
                    self._met_one_way([sliders[i] for i in rows], axis, sign, [found[i] for i in rows])
        return found

    def _met_one_way(
        self, sliders: Sequence[Slider], axis: int, sign: float, found: Sequence[list[tuple[float, T]]]
    ) -> None:
        near = self._distances(sliders, axis, sign)
        rounded = np.round(near, 6)
        rows = np.arange(len(sliders))
        for columns in self._groups:
            if not len(columns):
                continue
            first = columns[rounded[:, columns].argmin(axis=1)]
            for row, column, far in zip(found, first.tolist(), near[rows, first].tolist(), strict=True):
                if far < np.inf:
                    row.append((far, self.solids[column]))

    @cached_property
    def _groups(self) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
        return np.flatnonzero(self.movable), np.flatnonzero(~self.movable)

    def _distances(self, sliders: Sequence[Slider], axis: int, sign: float) -> Numbers:
        """Distance of each slider (rows) to each solid (columns); infinite where they never meet."""
        slack, side = DEPTH_TOLERANCE_MM, 1 - axis
        mine = np.array([(*s.plan.core, s.plan.radius_mm, s.from_mm, s.to_mm, s.is_body) for s in sliders]).T[
            :, :, None
        ]
        core, radius = self.core.T, mine[4] + self.radius
        across = np.maximum(core[side] - mine[side + 2], mine[side] - core[side + 2])
        widths = mine[side + 2] - mine[side] + 2 * mine[4], core[side + 2] - core[side] + 2 * self.radius
        shared = np.minimum(radius - across, np.minimum(*widths))
        up = np.minimum(mine[6], self.band[:, 1]) - np.maximum(mine[5], self.band[:, 0])
        reach = np.sqrt(np.maximum(0.0, radius**2 - np.maximum(0.0, across) ** 2))
        near = (core[axis] - mine[axis + 2] if sign > 0 else mine[axis] - core[axis + 2]) - reach
        far = (core[axis + 2] - mine[axis + 2] if sign > 0 else mine[axis] - core[axis]) + reach
        behind = np.where(mine[4] > 0, mine[axis + 2] - mine[axis], 0.0)
        meets = (shared > slack) & (up > slack) & (far + behind > slack)
        meets &= np.array([[self.codes.get(s.owner, -1)] for s in sliders]) != self.owners
        found = np.where(meets, np.maximum(0.0, near), np.inf)
        doubt = np.nonzero(meets & (near <= 0) & (mine[7] > 0))
        if len(doubt[0]):
            along = np.maximum(core[axis] - mine[axis + 2], mine[axis] - core[axis + 2])
            inside = _depth(across[doubt], along[doubt], radius[doubt]) > slack
            found[doubt[0][inside], doubt[1][inside]] = np.inf
        return found


def _depth(across: Numbers, along: Numbers, radius: Numbers) -> Numbers:
    """By how much grown cores overlap, along the smallest move that parts them; negative where they are apart."""
    outside = np.hypot(np.maximum(0.0, across), np.maximum(0.0, along))
    return radius - outside - np.minimum(0.0, np.maximum(across, along))
