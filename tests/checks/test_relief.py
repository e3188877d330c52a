"""The relief pipe of a sealed system: as large as its valve, falling, ending where it is seen and scalds nobody."""

from typing import Any

import pytest

from geometry.check import Finding
from tests.checks.drain_room import RUN_M, START_MM, about, drained, hung, outlet, pipe

SEEN = outlet("relief", 900, ends="low-level")


def blown(level_mm: float = 900, **more: Any) -> list[Finding]:
    return drained("relief", level_mm, kit=hung("relief", 15), **more)


@pytest.mark.parametrize(("mm_m", "verdict"), [(4, "put-right"), (5, "no-fault")])
def test_it_falls_all_the_way(mm_m: float, verdict: str) -> None:
    assert about(blown(START_MM - mm_m * RUN_M), "fall").verdict == verdict


@pytest.mark.parametrize(("size", "verdict", "short"), [(12, "put-right", 3), (15, "no-fault", 0), (22, "no-fault", 0)])
def test_it_is_not_thinner_than_the_outlet_of_its_valve(size: float, verdict: str, short: float) -> None:
    finding = about(blown(pipes=[pipe("relief", size_mm=size)]), "size")

    assert (finding.verdict, finding.short) == (verdict, short)


def test_a_pipe_of_no_given_size_is_taken_for_that_of_the_valve() -> None:
    assert [f.topic for f in blown() if "size" in f.topic] == []


@pytest.mark.parametrize(("ends", "verdict"), [
    ("low-level", "no-fault"), ("gully", "no-fault"), ("roof", "look-again"), ("stack", "look-again"),
    ("unknown", "not-checked"),
])  # fmt: skip
def test_it_ends_where_a_leak_is_seen(ends: str, verdict: str) -> None:
    assert about(blown(end=outlet("relief", 900, ends=ends)), "end place").verdict == verdict


@pytest.mark.parametrize(("head", "verdict"), [(899, "look-again"), (900, "look-again"), (901, "no-fault")])
def test_it_does_not_end_over_a_window(head: float, verdict: str) -> None:
    window = {"id": "w1", "edge": 1, "from_mm": 1400, "width_mm": 300, "sill_mm": 500, "head_mm": head}

    finding = about(blown(end=SEEN, windows=[window]), "end place")

    assert finding.verdict == verdict
    assert finding.source is not None
    assert "not over a window" in finding.source.clause


def test_a_window_of_another_storey_under_its_end_is_named() -> None:
    below = {"id": "n1", "name": "bedroom window", "kind": "opening", "edge": 1, "from_mm": 1400, "to_mm": 1700,
             "low_mm": -1500, "high_mm": -300}  # fmt: skip

    finding = about(blown(end=SEEN, outside=[below]), "end place")

    assert "ends at the gully, over the bedroom window: what comes out can be near boiling." in finding.message


def test_a_window_beside_its_end_is_not_under_it() -> None:
    window = {"id": "w1", "edge": 1, "from_mm": 1000, "width_mm": 300, "sill_mm": 500, "head_mm": 800}

    assert about(blown(end=SEEN, windows=[window]), "end place").verdict == "no-fault"


def test_a_relief_pipe_and_a_condensate_pipe_at_one_end_are_each_to_be_seen() -> None:
    kit = hung("relief", 15)
    kit["port"].append({"name": "drip", "medium": "condensate", "size_mm": 22, "at_mm": [0, 0, 0], "faces": "below"})
    end = outlet("relief", 900, takes=["relief", "condensate"])
    pipes = [pipe("relief"), pipe("condensate", id="x2") | {"from": {"piece": "boiler", "port": "drip"}}]

    together = about(drained("relief", kit=kit, end=end, pipes=pipes), "with condensate")
    alone = drained("relief", kit=kit, end=end, pipes=pipes[:1])

    assert together.verdict == "look-again"
    assert [f for f in alone if "condensate" in f.topic] == []
