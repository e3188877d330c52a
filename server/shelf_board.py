"""The board along the foot of the workbench: every kind of kit as a silhouette, all to one scale."""

import json
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
YOURS = "your own shelf"


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
    sizes: str


@dataclass(frozen=True)
class Board:
    """Everything on the board, its scale in words, and the items in the order in which a person browses."""

    scale_words: str
    items: tuple[ShelfItem, ...]


def board(room: Room, look: Look, page_px_mm: float, yours: tuple[Kit, ...] = ()) -> Board:
    """The board for a room: its own kinds first, ``yours`` next, then the shelf's, at half the page's scale where the
    tallest fits."""
    own = frozenset(kit.key for kit in room.kit)
    others = tuple(kit for kit in yours if kit.key not in own)
    groups = {**{kit.key: YOURS for kit in others}, **{key: OWN for key in own}}
    return _board((*room.kit, *others, *shelf().values()), tuple(groups.items()), look.shelf_px, page_px_mm)


@lru_cache(maxsize=16)
def _board(kinds: tuple[Kit, ...], own: tuple[tuple[str, str], ...], high_px: int, page_px_mm: float) -> Board:
    room_px = high_px - NAMES_PX - ABOVE_PX
    tallest_mm = max(silhouette_size(kit, 1.0)[1] for kit in kinds)
    half = page_px_mm / 2
    scale = min(half, room_px / tallest_mm)
    named = dict(own)
    groups = [named.get(kit.key, kit.group) for kit in kinds]
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
        handles=kind_handles(kit), sizes=_sizes(kit),
    )  # fmt: skip


def _sizes(kit: Kit) -> str:
    """What a search by size goes by: mm, kg and litres; null where it has none or nobody knows."""
    plan = kit.plan
    sizes = {
        "wide": plan.width_mm, "deep": plan.depth_mm, "high": kit.height_mm, "round": plan.round_mm,
        "kg": kit.dry_kg, "litres": kit.water_l,
    }  # fmt: skip
    return json.dumps(sizes, separators=(",", ":"))
