"""What each medium is called on every page, and which ports of the kit have no run of their own yet."""

from geometry.kit import Medium, Port
from geometry.pipes.pressed import NOT_PIPES
from geometry.pipes.runs import PipeRun, pipe_runs
from geometry.scene import Placed, Scene
from geometry.words import listed, the

MEDIUM_WORDS: dict[Medium, str] = {
    "hot-discharge": "discharge", "relief": "relief", "condensate": "condensate", "overflow": "overflow", "gas": "gas",
    "cold": "cold water", "boosted-cold": "boosted cold water", "hot": "hot water", "flow": "heating flow",
    "return": "heating return", "waste": "waste", "drain": "drain", "oil": "oil",
}  # fmt: skip


def medium_words(medium: Medium) -> str:
    """What people call a medium.

    >>> medium_words("hot-discharge")
    'discharge'
    """
    return MEDIUM_WORDS.get(medium, "other")


def without_a_run(scene: Scene) -> tuple[str, ...]:
    """One part of a sentence for each medium with ports that no run begins or ends at.

    >>> from geometry.samples import box_kit, piece, sample_scene
    >>> tank = box_kit("tank", port=[{"name": "fill", "medium": "cold", "size_mm": 22, "at_mm": [0, 0, 0]}])
    >>> without_a_run(sample_scene([tank], [piece(tank, 600, 900)]))
    ('cold water: the tank (fill)',)
    """
    joined = {(pipe.to, pipe.to_port) for pipe in scene.room.pipes if pipe.to_port is not None}
    runs = pipe_runs(scene)
    ends: dict[Medium, list[str]] = {}
    for placed in scene.placed:
        bare: dict[Medium, list[str]] = {}
        for port in placed.kit.port:
            hose = port.medium in NOT_PIPES or "hose" in port.name
            if not hose and (placed.id, port.name) not in joined and not any(_joins(r, placed, port) for r in runs):
                bare.setdefault(port.medium, []).append(port.name)
        for medium, names in bare.items():
            ends.setdefault(medium, []).append(f"{the(placed.name)} ({listed(names)})")
    ordered = [*(medium for medium in MEDIUM_WORDS if medium in ends), *sorted(set(ends) - set(MEDIUM_WORDS))]
    return tuple(f"{medium_words(medium)}: {listed(ends[medium])}" for medium in ordered)


def _joins(run: PipeRun, placed: Placed, port: Port) -> bool:
    """Whether a run begins at a port, or ends there; the two sides of a tundish have no names of their own."""
    if run.medium != port.medium:
        return False
    if run.piece == placed.id:
        return run.port == port.name or (run.medium == "hot-discharge" and run.port == "outlet")
    return run.to == placed.id and run.medium in ("hot-discharge", "condensate")
