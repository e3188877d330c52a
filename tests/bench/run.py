"""Timings: prints a table and writes bench.json. Compare the ratios; milliseconds differ from machine to machine.

Run as ``make bench``. The drag in a real browser is measured too where Chromium is found.
"""

import gc
import json
import sys
from collections.abc import Callable
from dataclasses import replace
from math import log
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from geometry.check import Check  # noqa: E402
from geometry.checking import check_scene  # noqa: E402
from geometry.checks import CHECKS  # noqa: E402
from geometry.pipes.chain import chains  # noqa: E402
from geometry.pipes.runs import pipe_runs  # noqa: E402
from geometry.reading import read_room  # noqa: E402
from geometry.remedies import with_remedies  # noqa: E402
from geometry.room import Room  # noqa: E402
from geometry.route_lines import grid_of  # noqa: E402
from geometry.routes import find_route  # noqa: E402
from geometry.scene import Scene, build, with_piece  # noqa: E402
from server.report import render_report  # noqa: E402
from tests.bench.drag_latency import drag_latency  # noqa: E402
from tests.bench.plant_room import plant_room  # noqa: E402

Row = dict[str, Any]


def p50_ms(run: Callable[[], object], times: int = 41) -> float:
    """Median wall time of a call, in milliseconds."""
    spent = []
    for _ in range(times):
        began = perf_counter()
        run()
        spent.append((perf_counter() - began) * 1000)
    return median(spent)


LONG = {"way-out", "fitting-order", "discharge", "condensate", "overflow", "relief"}
"""Checks that carry rectangles out or look for pipes: they have targets of their own."""


def checks_ms(room: Room, checks: list[Check], times: int = 15) -> float:
    """Median wall time of some checks, each time in a new scene that is not counted; without gc, as timeit does it."""
    spent = []
    gc.collect()
    gc.disable()
    for _ in range(times):
        scene = build(room)
        began = perf_counter()
        check_scene(scene, None, checks)
        spent.append((perf_counter() - began) * 1000)
    gc.enable()
    return median(spent)


def row(name: str, value: float, unit: str, target: float | None = None) -> Row:
    """One line of the table; ``holds`` is null where there is no target."""
    return {
        "value": round(value, 3), "unit": unit, "target": target, "holds": None if target is None else value <= target,
        "name": name,
    }  # fmt: skip


def remedy_ms(room: Room, times: int = 5) -> float:
    """Median wall time of the remedies of a room for each put-right, each time in a new scene that is checked first."""
    spent = []
    for _ in range(times):
        scene = build(room)
        found = check_scene(scene)
        began = perf_counter()
        with_remedies(scene, found)
        spent.append((perf_counter() - began) * 1000 / max(1, sum(f.verdict == "put-right" for f in found)))
    return median(spent)


def geometry_rows() -> list[Row]:
    """The checker alone, without a browser. A scene keeps what its checks share, so each run has a new one."""
    rooms = {n: plant_room(n) for n in (10, 20, 40, 80)}
    quick = {n: checks_ms(room, [check for check in CHECKS if not check.slow]) for n, room in rooms.items()}
    rows = [
        row("checks during a drag, 40 pieces", quick[40], "ms p50", 10.0),
        row(
            "full check of 40 pieces without ways out and pipes",
            checks_ms(rooms[40], [check for check in CHECKS if check.id not in LONG]), "ms p50", 20.0,
        ),
        row(
            "ways out of 40 pieces, a piece",
            checks_ms(rooms[40], [check for check in CHECKS if check.id == "way-out"], 3) / 40, "ms p50", 50.0,
        ),
    ]  # fmt: skip
    rows += [row(f"  {check.id}", checks_ms(rooms[40], [check], 3), "ms p50") for check in CHECKS]
    big = build(rooms[40])
    rows.append(
        row("growth of the checks during a drag, 10 to 80 pieces", log(quick[80] / quick[10]) / log(8), "exponent", 1.3)
    )
    placing = p50_ms(lambda: build(big.room))
    rows.append(row("placing 40 pieces / checks during a drag", placing / quick[40], "ratio", 0.5))
    again = p50_ms(lambda: with_piece(big, big.room.pieces[0]))
    rows.append(row("placing one piece anew / placing 40", again / placing, "ratio", 1.0))
    rows.append(row("remedy of one put-right / checks during a drag", remedy_ms(rooms[40]) / quick[40], "ratio", 30.0))
    report = p50_ms(lambda: render_report(rooms[40]), 5)
    rows.append(row("report of 40 pieces, every remedy looked for", report, "ms p50", 1000.0))
    return rows


def pipe_rows() -> list[Row]:
    """Pipes alone: one of a room of 40 pieces found anew, and every run of the demo room with most pieces."""
    big = build(plant_room(40))
    route = p50_ms(lambda: _discharge_anew(big))
    rooms = [build(read_room(path.read_bytes())) for path in (ROOT / "demo_rooms").glob("*.json")]
    largest = max(rooms, key=lambda scene: len(scene.placed))
    return [
        row("route in 40-piece room", route, "ms p50", 5.0),
        row("all pipes of the largest demo room", p50_ms(lambda: _anew(largest)), "ms p50", 50.0),
        row("route / full check of 40 pieces", route / p50_ms(lambda: check_scene(build(big.room)), 5), "ratio", 0.05),
    ]


def _discharge_anew(scene: Scene) -> None:
    """The pipe from the first tundish to its end, its way and its size, with nothing remembered."""
    find_route.cache_clear()
    grid_of.cache_clear()
    again = replace(scene)
    assert chains(again)[0].run is not None


def _anew(scene: Scene) -> None:
    """Every run, with nothing remembered: the scene is taken anew, as after a drag."""
    find_route.cache_clear()
    grid_of.cache_clear()
    pipe_runs(replace(scene))


def main() -> int:
    rows = geometry_rows() + pipe_rows() + [row(*figures) for figures in drag_latency()]
    for line in rows:
        holds = {True: "holds", False: "MISSED", None: ""}[line["holds"]]
        target = "" if line["target"] is None else f"<= {line['target']:g}"
        print(f"{line['name']:<78}{line['value']:>10.3f} {line['unit']:<9}{target:>9}  {holds}")
    (ROOT / "bench.json").write_text(json.dumps({line.pop("name").strip(): line for line in rows}, indent=1) + "\n")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
