"""A walked room worked out: where the walk ends, what to do about it, and the room once nothing stands against it."""

from dataclasses import dataclass
from functools import cached_property
from typing import Any

from geometry.editing import LONGEST_NAME
from geometry.errors import RoomError
from geometry.reading import room_from
from geometry.retaking import Straight, advice, braced, straights
from geometry.room import FORMAT, FORMAT_VERSION, Room
from geometry.traverse import Walk, as_outline, edge_of, walked
from geometry.units import Point
from geometry.walls import Edge, edges
from server.walk_form import Read, WalkForm, read_walk
from server.walk_openings import Openings, openings_of

WALL_THICK_MM = 100.0
ASK_FIRST = "Write the first wall, corner to corner: it is drawn as you type."


@dataclass(frozen=True)
class Survey:
    """One form worked out. Whatever is missing or wrong is said in ``told`` and, blank by blank, in ``faults``."""

    form: WalkForm
    read: Read

    @cached_property
    def _walk(self) -> tuple[Walk | None, str]:
        if sum(leg.length_mm is not None for leg in self.read.legs) == 0:
            return None, ASK_FIRST
        try:
            return walked(self.read.legs, self.read.tolerance_mm), ""
        except RoomError as error:
            return None, str(error)

    @property
    def walk(self) -> Walk | None:
        """The walk, where enough is written."""
        return self._walk[0]

    @cached_property
    def straights(self) -> tuple[Straight, ...]:
        """Every diagonal beside what walls and turns make it."""
        return straights(self.walk, self.read.diagonals) if self.walk else ()

    @cached_property
    def braced(self) -> tuple[tuple[Point, ...] | None, str]:
        """The corners by the first diagonal, where that is asked for; or why not."""
        if not self.form.by_diagonal:
            return None, ""
        if not self.read.diagonals:
            return None, "To draw by a diagonal, write one down: straight across, from corner to corner."
        try:
            return braced(self.read.legs, self.read.diagonals[0]), ""
        except RoomError as error:
            return None, str(error)

    @cached_property
    def told(self) -> str:
        """What to do before the room can be drawn; empty where nothing stands against it."""
        walk, trouble = self._walk
        if self.form.by_diagonal:
            return self.braced[1]
        if walk is None:
            return trouble
        return advice(walk, self.read.diagonals)

    @property
    def corners(self) -> tuple[Point, ...] | None:
        """The corners in the order of walking, closed, where they can be drawn."""
        if self.braced[0] is not None:
            return self.braced[0]
        return self.walk.outline_mm if self.walk and self.walk.closes and not self.form.by_diagonal else None

    @cached_property
    def placed(self) -> tuple[tuple[Point, ...], bool, tuple[Edge, ...]] | None:
        """The outline of the room file, whether it was walked clockwise, and its walls."""
        if self.corners is None:
            return None
        outline, clockwise = as_outline(self.corners)
        bare = {"format": FORMAT, "format_version": FORMAT_VERSION, "name": "x", "outline_mm": outline}
        try:
            return outline, clockwise, edges(room_from(bare))
        except RoomError:
            return None

    @cached_property
    def openings(self) -> Openings:
        """Doors, windows and outlets on their walls."""
        if self.placed is None:
            return Openings()
        _, clockwise, walls = self.placed
        return openings_of(self.form.openings, walls, clockwise)

    @property
    def faults(self) -> dict[str, str]:
        """A sentence for each blank that cannot be used, by its name."""
        return {**self.read.faults, **self.openings.faults}

    def room(self) -> Room:
        """The room. RoomError where it cannot be drawn."""
        if self.corners is None or self.told:
            raise RoomError(self.told or ASK_FIRST)
        outline, clockwise = as_outline(self.corners)
        parts, read = self.openings.parts, self.read
        data: dict[str, Any] = {
            "format": FORMAT,
            "format_version": FORMAT_VERSION,
            "name": self.form.name.strip()[:LONGEST_NAME] or "New room",
            "tolerance_mm": read.tolerance_mm,
            "outline_mm": [list(point) for point in outline],
            "ceiling": {"height_mm": min(read.heights_mm, default=None)},
            "doors": parts["door"],
            "windows": parts["window"],
            "outlets": parts["outlet"],
            "not_measured": [*self._walls_not_measured(clockwise), *self.openings.not_measured],
        }
        return room_from(data)

    def _walls_not_measured(self, clockwise: bool) -> list[dict[str, Any]]:
        found = self.walk.found_mm if self.walk and not self.form.by_diagonal else ()
        count = len(self.read.legs)
        return [
            {"of": f"edge:{edge_of(wall, count, clockwise)}", "what": "length", "taken_mm": round(length, 1)}
            for wall, length in found
        ]


def survey_of(form: WalkForm) -> Survey:
    """The form worked out."""
    return Survey(form, read_walk(form))
