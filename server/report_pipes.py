"""The pipe schedule of the report, and the same as a file of comma-separated values."""

from dataclasses import dataclass

from fastapi import APIRouter, Response

from geometry.pipes.runs import pipe_runs
from geometry.pipes.set_out import PipePoint, points_to_set_out
from geometry.scene import Scene
from geometry.schedule import Line, Total, schedule
from geometry.words import start
from server.checked import scene_of
from server.drawing.pipe_looks import LegendLine, pipe_legend
from server.store import Layout
from server.web import LayoutDep

router = APIRouter()


@dataclass(frozen=True)
class PipeLine:
    """One run as the report prints it: a figure that is not there is empty."""

    name: str
    medium: str
    size: str
    material: str
    inside: str
    outside: str
    elbows: str
    clips: str
    starts: str
    ends: str
    fall: str
    spare: str
    note: str


@dataclass(frozen=True)
class PipeTotal:
    """What to order of one size of one material."""

    material: str
    size: str
    length: str
    elbows: str
    clips: str
    couplings: str


@dataclass(frozen=True)
class PipesOf:
    """The schedule of a room with what the lines of its drawings mean."""

    lines: tuple[PipeLine, ...]
    totals: tuple[PipeTotal, ...]
    legend: tuple[LegendLine, ...]
    set_out: tuple[tuple[str, tuple[PipePoint, ...]], ...]
    left_out: str
    not_here: str


def pipes_of(scene: Scene) -> PipesOf:
    """The pipe schedule of a room.

    >>> from geometry.samples import sample_scene
    >>> pipes_of(sample_scene([], [])).lines
    ()
    """
    found = schedule(scene)
    lines = tuple(_line(line) for line in found.lines)
    totals = tuple(_total(total) for total in found.totals)
    runs = pipe_runs(scene)
    set_out = tuple((run.name, points) for run in runs if (points := points_to_set_out(scene, run)))
    return PipesOf(lines, totals, pipe_legend(runs), set_out, found.left_out, found.not_here)


def _line(line: Line) -> PipeLine:
    name, medium, *cells, note = line.cells
    size, material, inside, outside, elbows, clips, *heights = cells
    starts, ends, fall, spare = (f"{float(cell):,.0f}" if cell else "" for cell in heights)
    return PipeLine(
        name, medium, size, material, inside, outside, elbows, clips, starts, ends, fall,
        spare, start(note),
    )  # fmt: skip


def _total(total: Total) -> PipeTotal:
    return PipeTotal(*total.cells)


@router.get("/rooms/{room_id}/pipes.csv")
def pipes_csv(layout: LayoutDep) -> Response:
    """The pipe schedule of a layout, to open in a spreadsheet."""
    return _csv(layout, "pipes", schedule(scene_of(layout)).as_csv())


@router.get("/rooms/{room_id}/pipes-to-order.csv")
def pipes_to_order_csv(layout: LayoutDep) -> Response:
    """What to order for the pipes of a layout, to open in a spreadsheet."""
    return _csv(layout, "pipes-to-order", schedule(scene_of(layout)).order_as_csv())


def _csv(layout: Layout, what: str, values: str) -> Response:
    name = f"{layout.room_id}-layout-{layout.number}-{what}.csv"
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(values, media_type="text/csv; charset=utf-8", headers=headers)
