"""The pipe schedule: each run with its lengths, elbows, clips, heights and fall, and the totals to order by.

Lengths are along the pipe. Clips are counted stretch by stretch by the spacing table; the part outside counts as one
level stretch. Nothing is added for waste.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from geometry.kit import Medium
from geometry.pipes.line import BEND_DEG, TWO_ELBOWS_MM, Route
from geometry.pipes.media import medium_words, without_a_run
from geometry.pipes.runs import PipeRun, pipe_runs
from geometry.pipes.support import clip_spacing, clips
from geometry.scene import Scene
from geometry.words import listed, start

HEADS = (
    "run", "medium", "size mm", "material", "m inside the room", "m outside", "elbows", "clips",
    "mm above floor at start", "mm above floor at end", "fall mm", "fall to spare mm", "note",
)  # fmt: skip
NO_WAY = "no way found: order nothing yet"
NO_RUN = "no run drawn or found: order nothing yet"
_SAME_SIZE_MM = 1.0
TOTAL_HEADS = ("material", "size mm", "pipe m", "elbows", "clips", "couplings")


@dataclass(frozen=True)
class Line:
    """One run. Heights are above finished floor, of its middle; None: not known, or none needed."""

    name: str
    medium: Medium
    size_mm: float | None
    material: str
    inside_m: float | None
    outside_m: float
    elbows: int | None
    clips: int | None
    from_mm: float | None
    to_mm: float | None
    fall_mm: float | None
    spare_mm: float | None
    note: str
    outside_size_mm: float | None = None
    outside_elbows: int = 0
    outside_clips: int = 0

    @property
    def parts(self) -> tuple[tuple[float, float, int, int], ...]:
        """What it is ordered as: size (mm), length (m), elbows, clips; the part outside by itself where it is wider."""
        assert self.size_mm is not None and self.inside_m is not None
        elbows, held = self.elbows or 0, self.clips or 0
        if self.outside_size_mm is None:
            return ((self.size_mm, self.inside_m + self.outside_m, elbows, held),)
        out = (self.outside_size_mm, self.outside_m, self.outside_elbows, self.outside_clips)
        return ((self.size_mm, self.inside_m, elbows - out[2], held - out[3]), out)

    @property
    def ordered(self) -> bool:
        """Whether it is in the totals: it has a way, and a size that carries it."""
        return self.inside_m is not None and bool(self.size_mm)

    @property
    def cells(self) -> tuple[str, ...]:
        """What a table shows of it, under `HEADS`."""
        return (
            self.name, medium_words(self.medium), _figure(self.size_mm, "g"), self.material,
            _figure(self.inside_m, ".2f"), _figure(self.outside_m, ".2f"), _figure(self.elbows, "d"),
            _figure(self.clips, "d"), _figure(self.from_mm, ".0f"), _figure(self.to_mm, ".0f"),
            _figure(self.fall_mm, ".0f"), _figure(self.spare_mm, ".0f"), self.note,
        )  # fmt: skip


@dataclass(frozen=True)
class Total:
    """What to order of one size of one material, the part outside in it."""

    material: str
    size_mm: float
    length_m: float
    elbows: int
    clips: int
    couplings: int

    @property
    def cells(self) -> tuple[str, ...]:
        """What a table shows of it, under `TOTAL_HEADS`."""
        counts = (f"{self.elbows}", f"{self.clips}", f"{self.couplings}")
        return (self.material, f"{self.size_mm:g}", f"{self.length_m:.2f}", *counts)


@dataclass(frozen=True)
class Schedule:
    """All runs of a room, and the totals by material and size; runs without a way or a size are in no total.

    ``missing`` are the media and ports of the kit that have no run at all.
    """

    lines: tuple[Line, ...]
    totals: tuple[Total, ...]
    missing: tuple[str, ...] = ()

    @property
    def left_out(self) -> str:
        """What the totals leave out, in a sentence; empty where they hold every run."""
        names = [line.name for line in self.lines if not line.ordered]
        return f"Left out: {listed(names)}, with no way or size found." if names else ""

    @property
    def not_here(self) -> str:
        """What the kit asks for and no run is drawn or found for, in a sentence; empty where there is nothing."""
        if not self.missing:
            return ""
        return f"Not in this schedule, as no run is drawn or found: {'; '.join(self.missing)}."

    def as_text(self) -> str:
        """Two tables in columns.

        >>> print(Schedule((), ()).as_text())
        No pipe starts or ends in this room.
        """
        if not self.lines:
            return "\n\n".join(filter(None, ("No pipe starts or ends in this room.", self.not_here)))
        tables = [_table(HEADS, [line.cells for line in self.lines])]
        if self.totals:
            tables.append("To order\n" + _table(TOTAL_HEADS, [total.cells for total in self.totals]))
        return "\n\n".join(filter(None, (*tables, self.left_out, self.not_here)))

    def order_as_csv(self) -> str:
        """What to order in the same form, with what it leaves out in the last line."""
        left = [(self.left_out, *[""] * (len(TOTAL_HEADS) - 1))] if self.left_out else []
        return _csv((TOTAL_HEADS, *(total.cells for total in self.totals), *left))

    def as_csv(self) -> str:
        """The runs as comma-separated values with a line of heads; lines end as RFC 4180 has them."""
        missing = [(f"Not in this schedule: {words}", *[""] * (len(HEADS) - 2), NO_RUN) for words in self.missing]
        return _csv((HEADS, *(line.cells for line in self.lines), *missing))


def schedule(scene: Scene) -> Schedule:
    """The schedule of a room.

    >>> from geometry.samples import box_kit, piece, sample_scene
    >>> drip = {"name": "condensate", "medium": "condensate", "size_mm": 22, "at_mm": [0, 0, 0], "faces": "below"}
    >>> boiler = box_kit("boiler", 440, 360, 720, stands_on="wall", base_mm=1150, port=[drip])
    >>> outlet = {"id": "o1", "name": "gully", "at_mm": [1200, 1800], "level_mm": 900, "takes": ["condensate"]}
    >>> (line,) = schedule(sample_scene([boiler], [piece(boiler, 1200, 1620)], outlets=[outlet])).lines
    >>> line.cells[2:12]
    ('22', 'plastic', '0.42', '0.00', '1', '2', '1150', '900', '250', '242')
    """
    lines = tuple(_line(scene, run) for run in pipe_runs(scene))
    return Schedule(lines, tuple(_totals(lines, scene.pack.number("pipe-length-sold"))), without_a_run(scene))


def _line(scene: Scene, run: PipeRun) -> Line:
    route, outside_m = run.route, run.outside_mm / 1000
    named = (run.name, run.medium, run.size_mm, run.material)
    note = " ".join(filter(None, (run.no_wall and f"{start(run.no_wall)}.", run.others)))
    note = " ".join(filter(None, (_fittings(scene, run), note)))
    note = note if isinstance(route, Route) else f"{NO_WAY} ({run.why_not})"
    if not isinstance(route, Route):
        return Line(*named, None, outside_m, None, None, None, None, None, None, note)
    spacing = clip_spacing(scene.pack, run.size_mm or 0.0, run.material)
    out = spacing if run.outside_size_mm is None else clip_spacing(scene.pack, run.outside_size_mm, run.material)
    held_outside = ceil(run.outside_mm / out.level_mm - 1e-6)
    if run.outside_size_mm is not None:
        note = " ".join(filter(None, (f"Outside it is {run.outside_size_mm:g} mm.", note)))
    count = clips(route.points, spacing) + held_outside
    first, last = route.points[0][2], route.points[-1][2]
    return Line(
        *named, route.length_mm / 1000, outside_m, route.bends + run.outside_bends, count, first, last, run.found_mm,
        run.spare_mm, note if run.size_mm else "no size carries it: order nothing yet",
        run.outside_size_mm, run.outside_bends, held_outside,
    )  # fmt: skip


def _fittings(scene: Scene, run: PipeRun) -> str:
    """The reducer where it is of another size than the port it begins at, and elbows that are not of 90 degrees."""
    said, placed, size = [], scene.piece(run.piece), run.size_mm
    ports = [port for port in placed.kit.port if port.medium == run.medium] if placed else []
    mine = [p for p in ports if p.name == run.port] or [p for p in ports if p.faces == "below"]
    if mine and size and abs(mine[0].size_mm - size) > _SAME_SIZE_MM:
        said.append(f"Reducer {mine[0].size_mm:g} to {size:g} mm at its start.")
    if isinstance(run.route, Route):
        turns = Counter(_standard_deg(turn) for turn in run.route.bends_deg)
        odd = [f"{count} of {turn}°" for turn, count in sorted(turns.items()) if turn != 90]
        said += [f"Of its elbows {listed(odd)}."] if odd else []
        closest = run.route.closest_elbows_mm
        if closest is not None and closest < TWO_ELBOWS_MM:
            said.append(f"Two elbows {max(closest, 1):.0f} mm apart: spring the pipe or move an end.")
    return " ".join(said)


def _standard_deg(turn_deg: float) -> int:
    """What an elbow is sold as: 90 degrees where the rest of the turn is the pipe's fall, else to whole fives."""
    return 90 if abs(turn_deg - 90) < BEND_DEG else 5 * round(turn_deg / 5)


def _totals(lines: Sequence[Line], sold_mm: float) -> list[Total]:
    parts = [((line.material, part[0]), part) for line in lines if line.ordered for part in line.parts]
    found = []
    for key in sorted({key for key, _ in parts}):
        mine = [part for other, part in parts if other == key]
        length, elbows, count = (sum(part[k] for part in mine) for k in (1, 2, 3))
        found.append(Total(*key, length, int(elbows), int(count), int(1000 * length / sold_mm + 1e-6)))
    return found


def _table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    widths = [max(len(row[k]) for row in (heads, *rows)) for k in range(len(heads))]
    numbers = [all(_is_number(row[k]) for row in rows) for k in range(len(heads))]
    lines = []
    for row in (heads, *rows):
        cells = [c.rjust(w) if n else c.ljust(w) for c, w, n in zip(row, widths, numbers, strict=True)]
        lines.append("  ".join(cells).rstrip())
    return "\n".join(lines)


def _is_number(text: str) -> bool:
    return not text or text.lstrip("-").replace(".", "", 1).isdigit()


def _figure(value: float | None, form: str) -> str:
    return "" if value is None else format(value, form)


def _csv(rows: Sequence[Sequence[str]]) -> str:
    return "".join(",".join(map(_quoted, row)) + "\r\n" for row in rows)


def _quoted(cell: str) -> str:
    """A cell of a CSV: in quotes where it has to be; one that a spreadsheet would take for a sum begins with a '.

    >>> _quoted('a "b", c'), _quoted("=1+1"), _quoted("-12")
    ('"a ""b"", c"', "'=1+1", '-12')
    """
    if cell[:1] in ("=", "+", "@", "-") and not _is_number(cell):
        cell = f"'{cell}"
    return '"' + cell.replace('"', '""') + '"' if any(mark in cell for mark in ',"\r\n') else cell
