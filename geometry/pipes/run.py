"""The measured pipe from under a tundish to an outlet."""

from dataclasses import dataclass

from geometry.clearing import Met
from geometry.pipes.fall import Fall
from geometry.pipes.line import NoRoute, Route
from geometry.room import Outlet, Pipe
from geometry.sums.discharge import DischargeSum, Tried


@dataclass(frozen=True)
class Run:
    """The pipe from under a tundish to one outlet: its line, and the size that its length and bends need.

    ``drawn`` tells a line of the room file from one that was found; ``goes_through`` is what a drawn line meets.
    ``crosses`` are the pieces whose working room it goes through, ``unclipped_mm`` is the longest way without a clip.
    ``needs`` is None where the table has no such valve outlet; ``given`` is the size in the room file put to the test.
    """

    outlet: Outlet
    pipe: Pipe | None
    route: Route | NoRoute
    drop: Met
    fall: Fall | None = None
    goes_through: tuple[str, ...] = ()
    crosses: tuple[str, ...] = ()
    unclipped_mm: float = 0.0
    length_m: float = 0.0
    bends: int = 0
    needs: DischargeSum | None = None
    given: Tried | None = None

    @property
    def drawn(self) -> bool:
        """Whether its line is in the room file."""
        return self.pipe is not None and self.pipe.via_mm is not None

    @property
    def given_mm(self) -> float | None:
        """The size in the room file."""
        return self.pipe.size_mm if self.pipe else None

    @property
    def size_mm(self) -> float | None:
        """The size in the room file, else the one its length and bends need."""
        return self.given_mm or (self.needs.size_mm if self.needs else None)

    @property
    def material(self) -> str:
        """What it is made of: as in the room file, else the copper of the table."""
        return self.pipe.material if self.pipe else "copper"

    @property
    def copper(self) -> bool:
        """Whether the table for copper pipe speaks of it."""
        return self.material.strip().lower() == "copper"

    @property
    def too_long(self) -> bool:
        """Whether no size, or not the size given, carries it."""
        if self.given:
            return not self.given.carries
        return self.needs is not None and self.needs.size_mm is None

    @property
    def short(self) -> tuple[bool, float, bool]:
        """How far from right its line is: (no clear way, fall missing in mm, too long)."""
        if isinstance(self.route, NoRoute):
            return (True, self.route.too_high_mm, True)
        return (bool(self.goes_through), self.fall.short_mm if self.fall else 0.0, self.too_long)
