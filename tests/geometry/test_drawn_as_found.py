"""A run that is found and then drawn stays what it is, in every demo room; and heights named for outlets are enough."""

from pathlib import Path

import pytest

from geometry import pipe_editing as hand
from geometry.checks import CHECKS
from geometry.pipes.chain import chains
from geometry.pipes.line import NoRoute, Route
from geometry.pipes.runs import PipeRun, pipe_runs
from geometry.reading import read_room
from geometry.room import Room
from geometry.scene import Scene, build

DEMO_ROOMS = sorted((Path(__file__).parents[2] / "demo_rooms").glob("*.json"))
OF_PIPES = {"discharge", "condensate", "overflow", "relief", "pipe-room"}


def end_of_pipe(scene: Scene, run: PipeRun) -> tuple[str, str] | None:
    """The piece and port that a pipe of the room file begins at to be this run; None for D1."""
    placed = scene.piece(run.piece)
    assert placed is not None
    if run.medium == "hot-discharge":
        chain = next(chain for chain in chains(scene) if run.piece in chain.pieces)
        return None if run.name.startswith("D1") else (chain.store.id, chain.valves[0].name)
    return placed.id, run.port


def drawn(scene: Scene, run: PipeRun) -> Room | None:
    """The room with a found run drawn where it was found; None where nobody draws it."""
    begins = end_of_pipe(scene, run)
    if begins is None or run.drawn or not isinstance(run.route, Route):
        return None
    if run.pipe:
        return hand.rest_found(scene, run.pipe)
    end = scene.piece(run.to)
    to_port = next((port.name for port in end.kit.port if port.medium == run.medium), None) if end else None
    room = hand.pipe_added(scene.room, run.medium, *begins, run.to, to_port=to_port, material=run.material)
    return hand.rest_found(build(room), room.pipes[-1].id)


def said(room: Room) -> set[tuple[object, ...]]:
    scene = build(room)
    return {
        (f.check, f.topic, f.verdict, *(None if v is None else round(v, 1) for v in (f.needed, f.found, f.short)))
        for check in CHECKS if check.id in OF_PIPES for f in check.find(scene, None)
    }  # fmt: skip


@pytest.mark.parametrize("path", DEMO_ROOMS, ids=lambda path: path.stem)
def test_drawing_a_run_that_is_found_changes_no_figure_and_no_verdict(path: Path) -> None:
    scene = build(read_room(path.read_text()))
    before = said(scene.room)

    for run in pipe_runs(scene):
        room = drawn(scene, run)
        if room is not None:
            mine = next(one for one in pipe_runs(build(room)) if one.key == run.key)
            assert isinstance(run.route, Route) and isinstance(mine.route, Route)
            assert mine.drawn
            for a, b in zip(mine.route.points, run.route.points, strict=True):
                assert a == pytest.approx(b, abs=0.001)
            assert (mine.route.bends, mine.size_mm, mine.goes_through) == (run.route.bends, run.size_mm, ())
            assert (mine.needed_mm, mine.spare_mm) == (pytest.approx(run.needed_mm, abs=0.01),
                                                       pytest.approx(run.spare_mm, abs=0.01))  # fmt: skip
            assert said(room) == before, run.name


@pytest.mark.parametrize("path", DEMO_ROOMS, ids=lambda path: path.stem)
def test_set_to_the_height_that_is_named_an_outlet_leaves_no_fall_short(path: Path) -> None:
    room = read_room(path.read_text())
    free = room.model_copy(update={"pipes": tuple(p.model_copy(update={"via_mm": None}) for p in room.pipes)})
    high = free.model_copy(update={"outlets": tuple(o.model_copy(update={"level_mm": 2200.0}) for o in free.outlets)})

    for run in pipe_runs(build(high)):
        if isinstance(run.route, NoRoute) and run.route.too_high_mm:
            top = 2200.0 - run.route.too_high_mm
            ends = tuple(o.model_copy(update={"level_mm": top}) if o.id == run.to else o for o in high.outlets)
            (there,) = [r for r in pipe_runs(build(high.model_copy(update={"outlets": ends}))) if r.key == run.key]

            assert top == int(top)
            assert there.spare_mm is None or there.spare_mm >= -1e-6, (run.name, top)
