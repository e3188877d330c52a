"""The board along the foot of the workbench: every kind of kit as a silhouette, all to one scale."""

from dataclasses import dataclass
from functools import lru_cache

from markupsafe import Markup

from geometry.kit import Kit
from geometry.room import Room
from geometry.shelf import shelf
from geometry.words import start
from server.drawing import silhouette, silhouette_size
from server.handles import kind_handles
from server.look import Look
from server.web import mm

NAMES_PX = 48
ABOVE_PX = 10
LEAST_WIDTH_PX = 62.0
OWN = "this room's own"


@dataclass(frozen=True)
class ShelfItem:
    """One kind on the board. ``window`` is the view box: the foot of the silhouette stands on its lower edge."""

    key: str
    name: str
    short: str
    rest: str
    told: str
    group: str
    first_of_group: bool
    width_px: float
    height_px: float
    window: str
    silhouette: Markup
    handles: str


@dataclass(frozen=True)
class Board:
    """Everything on the board, its scale in words, and the items in the order in which a person browses."""

    scale_words: str
    items: tuple[ShelfItem, ...]


def board(room: Room, look: Look, page_px_mm: float) -> Board:
    """The board for a room: its own kinds first, then the shelf's, at half the page's scale where the tallest fits."""
    return _board((*room.kit, *shelf().values()), frozenset(kit.key for kit in room.kit), look.shelf_px, page_px_mm)


@lru_cache(maxsize=16)
def _board(kinds: tuple[Kit, ...], own: frozenset[str], high_px: int, page_px_mm: float) -> Board:
    room_px = high_px - NAMES_PX - ABOVE_PX
    tallest_mm = max(silhouette_size(kit, 1.0)[1] for kit in kinds)
    half = page_px_mm / 2
    scale = min(half, room_px / tallest_mm)
    groups = [OWN if kit.key in own else kit.group for kit in kinds]
    items = [
        _item(kit, scale, group, i == 0 or groups[i - 1] != group)
        for i, (kit, group) in enumerate(zip(kinds, groups, strict=True))
    ]
    return Board("Half the page's scale." if scale == half else "All to one scale.", tuple(items))


def _item(kit: Kit, scale: float, group: str, first: bool) -> ShelfItem:
    wide, high = silhouette_size(kit, scale)
    wide, high = round(max(wide + 2, LEAST_WIDTH_PX), 1), round(high + 1, 1)
    short, _, rest = kit.name.partition(", ")
    size = f"{mm(kit.plan.width_mm)} wide, {mm(kit.plan.depth_mm)} deep, {mm(kit.height_mm)} high"
    return ShelfItem(
        key=kit.key, name=kit.name, short=short, rest=start(rest) if rest else "", told=f"{kit.name}, {size}",
        group=group, first_of_group=first, width_px=wide, height_px=high,
        window=f"{-wide / 2:.1f} {-high:.1f} {wide} {high}", silhouette=silhouette(kit, scale),
        handles=kind_handles(kit),
    )  # fmt: skip
