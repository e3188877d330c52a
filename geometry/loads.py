"""What presses on the floor: pieces that stand together, what they stand on, and the patches they share.

Hung kit presses on its wall. What stands on a board, a plinth or another piece presses through it: the load is that
of all of them together, on the plan of whatever touches the floor.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from typing import TypeVar

import shapely
from shapely.geometry.base import BaseGeometry

from geometry.scene import Placed, Scene, Solid
from geometry.shapes import Footprint, separation
from geometry.standing import LEVEL_MM, under
from geometry.units import G_M_S2, SAME_MM

T = TypeVar("T")


@dataclass(frozen=True)
class Load:
    """Pieces that press on the floor as one: heaviest first, the plans that touch the floor, and whose those are."""

    pieces: tuple[Placed, ...]
    plans: tuple[Footprint, ...]
    bearers: tuple[str, ...]

    @cached_property
    def full_kg(self) -> float | None:
        """Mass of all of it that is known, full; None where nothing is."""
        masses = [mass for placed in self.pieces if (mass := placed.kit.full_kg) is not None]
        return sum(masses) if masses else None

    @property
    def area_mm2(self) -> float:
        """Area that touches the floor."""
        return sum(plan.area_mm2 for plan in self.plans)

    @property
    def ids(self) -> tuple[str, ...]:
        """Ids of its pieces, heaviest first."""
        return tuple(placed.id for placed in self.pieces)

    @property
    def own_base(self) -> bool:
        """Whether it stands on the bases of its own pieces, and on nothing that spreads it."""
        return set(self.bearers) <= {self.pieces[0].id}


@dataclass(frozen=True)
class Patch:
    """Loads that bear on one patch of floor, each nearer to the next than a gap, and the floor between them."""

    loads: tuple[Load, ...]
    shape: BaseGeometry

    @property
    def full_kg(self) -> float:
        """Mass of all of it."""
        return sum(load.full_kg or 0.0 for load in self.loads)


def pressure_kn_m2(mass_kg: float, area_mm2: float) -> float:
    """Pressure of a mass on an area.

    >>> round(pressure_kn_m2(304, 237_583), 2)
    12.55
    """
    return mass_kg * G_M_S2 / 1000 / (area_mm2 / 1e6)


def loads(scene: Scene) -> tuple[Load, ...]:
    """Every load on the floor, in the order of the ids of its pieces."""
    standing = [placed for placed in scene.placed if placed.kit.stands_on == "floor"]
    carriers = {placed.id: _carriers(scene, placed) for placed in standing}
    groups = _joined([{placed_id, *(solid.owner for solid in found)} for placed_id, found in carriers.items()])
    return tuple(_load(group, standing, carriers) for group in groups)


def _carriers(scene: Scene, placed: Placed) -> list[Solid]:
    if placed.base_mm <= LEVEL_MM:
        return []
    return [solid for solid in under(scene, placed) if solid.part in ("body", "fixture")]


def _load(group: set[str], standing: Iterable[Placed], carriers: dict[str, list[Solid]]) -> Load:
    mine = sorted((p for p in standing if p.id in group), key=lambda p: (-(p.kit.full_kg or 0.0), p.id))
    plans = [(placed.id, part) for placed in mine if not carriers[placed.id] for part in placed.body]
    fixtures = {(s.owner, s.plan) for p in mine for s in carriers[p.id] if s.part == "fixture"}
    every = [*plans, *sorted(fixtures, key=lambda pair: (pair[0], pair[1].points))]
    return Load(tuple(mine), tuple(plan for _, plan in every), tuple(dict.fromkeys(owner for owner, _ in every)))


def patches(heavy: Iterable[Load], gap_mm: float) -> Iterator[Patch]:
    """Loads that stand nearer to each other than a gap, with the floor under and between every two of them."""
    every = list(heavy)
    near = [(a, b) for a, b in combinations(range(len(every)), 2) if _nearer(every[a], every[b], gap_mm - SAME_MM)]
    for group in _joined([set(pair) for pair in near]):
        shapes = [_between(every[a], every[b]) for a, b in near if a in group]
        yield Patch(tuple(every[k] for k in sorted(group)), shapely.union_all(shapes))


def _nearer(one: Load, other: Load, gap_mm: float) -> bool:
    """Whether two loads stand nearer to each other than a gap: asked of their bounds first."""
    return any(
        _bounds_within(a, b, gap_mm) and separation(a, b).gap_mm < gap_mm for a in one.plans for b in other.plans
    )


def _bounds_within(a: Footprint, b: Footprint, gap_mm: float) -> bool:
    (a0, b0, a1, b1), (x0, y0, x1, y1) = a.bounds, b.bounds
    return x0 - a1 < gap_mm and a0 - x1 < gap_mm and y0 - b1 < gap_mm and b0 - y1 < gap_mm


def _between(one: Load, other: Load) -> BaseGeometry:
    return shapely.union_all([plan.polygon for plan in (*one.plans, *other.plans)]).convex_hull


def _joined(sets: Iterable[set[T]]) -> list[set[T]]:
    """Sets that share a member, put together; in the order in which they begin."""
    found: list[set[T]] = []
    for one in sets:
        meets = [other for other in found if other & one]
        whole = set(one).union(*meets)
        place = found.index(meets[0]) if meets else len(found)
        found = [other for other in found if not other & one]
        found.insert(min(place, len(found)), whole)
    return found
