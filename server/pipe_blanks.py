"""The pipes that begin at a piece and the outlets they end at, as blanks on the back of its label."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import get_args

from geometry.check import tidy
from geometry.kit import Medium
from geometry.pipes.chain import Chain
from geometry.pipes.joined import takes
from geometry.room import EndPlace, Outlet
from geometry.scene import Placed, Scene
from geometry.words import start

BY_FALL: tuple[Medium, ...] = ("condensate", "overflow", "relief")
ENDS: tuple[str, ...] = get_args(EndPlace)
ENDS_WORDS = {
    "low-level": "low down outside", "gully": "in a gully", "hopper": "in a hopper", "roof": "on a roof",
    "stack": "in a soil stack outside", "internal-stack": "in a soil stack inside", "soakaway": "in a soakaway",
    "unknown": "not known",
}  # fmt: skip


@dataclass(frozen=True)
class PipeBlank:
    """One pipe: where it begins, the outlet it goes to, and what it is; empty figures are found by the checks."""

    id: str
    name: str
    piece: str
    port: str
    medium: str
    to: str
    size_mm: str
    bore_mm: str
    material: str
    outlets: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class OutletBlank:
    """One outlet: how high it is, how it ends, and what lies outside."""

    id: str
    name: str
    level_mm: str
    ends: str
    outside_run_mm: str
    outside_bends: str
    outside_bore_mm: str


def pipe_blanks(scene: Scene, placed: Placed) -> Iterator[PipeBlank]:
    """Each pipe of a piece that runs by fall, while the room has an outlet for it to go to."""
    if not scene.room.outlets:
        return
    for piece, port, medium in _begins(scene, placed):
        given = next((p for p in scene.room.pipes if (p.from_.piece, p.from_.port) == (piece, port)), None)
        fits = [outlet for outlet in scene.room.outlets if takes(outlet, medium)]
        to = given.to if given else fits[0].id if fits else ""
        yield PipeBlank(
            f"{piece}-{len(port)}-{medium}", _name(medium, port), piece, port, medium, to,
            _plain(given.size_mm if given else None), _plain(given.bore_mm if given else None),
            given.material if given else "copper" if medium == "hot-discharge" else "plastic",
            tuple((o.id, start(o.name)) for o in scene.room.outlets if o.id == to or takes(o, medium) is not False),
        )  # fmt: skip


def outlet_blanks(scene: Scene, placed: Placed) -> Iterator[OutletBlank]:
    """Each outlet that a pipe of the piece goes to; of a pipe that is not drawn yet each that it may go to."""
    goes = {(pipe.from_.piece, pipe.from_.port): pipe.to for pipe in scene.room.pipes}
    begins = list(_begins(scene, placed))
    named = {goes[piece, port] for piece, port, _ in begins if (piece, port) in goes}
    open_media = {medium for piece, port, medium in begins if (piece, port) not in goes}
    for outlet in scene.room.outlets:
        if outlet.id in named or open_media & set(outlet.takes):
            yield _outlet(outlet)


def _outlet(outlet: Outlet) -> OutletBlank:
    return OutletBlank(
        outlet.id, start(outlet.name), _plain(outlet.level_mm), outlet.ends, _plain(outlet.outside_run_mm),
        str(outlet.outside_bends), _plain(outlet.outside_bore_mm),
    )  # fmt: skip


def _begins(scene: Scene, placed: Placed) -> Iterator[tuple[str, str, Medium]]:
    """Piece, port and medium of each pipe; a store and its tundish share the discharge."""
    for store in scene.placed:
        chain = Chain(scene, scene.pack, store)
        if store.kit.has("unvented-store") and chain.valves and placed.id in chain.pieces:
            start_of = chain.pipe.from_ if chain.pipe else None
            piece, port = (start_of.piece, start_of.port) if start_of else (store.id, chain.valves[0].name)
            yield piece, port, "hot-discharge"
    for port_of in placed.kit.port:
        if port_of.medium in BY_FALL:
            yield placed.id, port_of.name, port_of.medium


def _name(medium: str, port: str) -> str:
    return "Discharge pipe" if medium == "hot-discharge" else f"{start(port)} pipe"


def _plain(value: float | None) -> str:
    return "" if value is None else f"{tidy(value)}"
