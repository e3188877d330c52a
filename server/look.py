"""How somebody holds the page: how large it is, which way it is turned, and on a phone which wall is shown."""

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Annotated, Literal

from fastapi import Cookie, Depends

from geometry.scene import Scene
from geometry.typed import is_count
from server.checked import scene_of
from server.drawing import Unfolded, one_wall, unfolded
from server.drawing.svg import SCREEN
from server.drawing.unfold import met_in_order
from server.store import Layout

USUAL = (1440, 900)
"""The size the page is drawn for until the browser has said its own."""

VIEWS_KEPT = 64
PLAN = "plan"
Mode = Literal["wide", "medium", "phone"]

LEFT_PX, RIGHT_PX, RIGHT_MEDIUM_PX = 272, 342, 302
SHELF_PX, SHELF_MEDIUM_PX = 146, 118
LEAST_HEIGHT_PX = 480
PHONE_GRAIN = replace(SCREEN, text=14.0, dim=13.0)
PHONE_TAPE_PX = 70.0
"""Left of a wall on a phone: the tape and its figures, up to 10,000 mm, in the larger words of a phone."""
PHONE_UNDER_PX, WIDE_FROM_PX = 700, 1200


@dataclass(frozen=True)
class Look:
    """Size of the page in px, quarter turns clockwise, and the wall that a phone shows ("plan", or its number)."""

    width_px: int
    height_px: int
    quarters: int
    wall: str

    @property
    def mode(self) -> Mode:
        """Which of the three arrangements of the page fits."""
        if self.width_px < PHONE_UNDER_PX:
            return "phone"
        return "wide" if self.width_px >= WIDE_FROM_PX else "medium"

    @property
    def shelf_px(self) -> int:
        """Height of the shelf along the foot."""
        return SHELF_PX if self.mode == "wide" else SHELF_MEDIUM_PX

    @property
    def stage_px(self) -> tuple[int, int]:
        """Width and height left for the drawing."""
        if self.mode == "phone":
            return self.width_px, min(max(round(self.height_px * 0.5), 300), 520)
        wide = self.mode == "wide"
        width = self.width_px - (LEFT_PX + RIGHT_PX if wide else RIGHT_MEDIUM_PX)
        return width, max(self.height_px - self.shelf_px, LEAST_HEIGHT_PX)


def look_of(
    area: Annotated[str, Cookie()] = "", quarters: str = "", wall: str = PLAN, turn: str = "", go: str = "",
    turned: Annotated[str, Cookie()] = "",
) -> Look:  # fmt: skip
    """The look from the browser's cookies and the address; whatever cannot be is the usual.

    ``turn`` adds to the quarters and ``go`` takes the place of the wall: links say them beside what the page sends.
    ``turned`` is how the page of this room was left.

    >>> look_of("1024x768", "1")
    Look(width_px=1024, height_px=768, quarters=1, wall='plan')
    >>> look_of("", turned="3").quarters, look_of("", "0", turned="3").quarters
    (3, 0)
    >>> look_of("tall", "north") == look_of("", "")
    True
    """
    width, _, height = area.partition("x")
    size = (int(width), int(height)) if _is_whole(width) and _is_whole(height) else USUAL
    return Look(
        min(max(size[0], 320), 5000),
        min(max(size[1], 400), 3500),
        (_whole(quarters or turned) + _whole(turn)) % 4,
        go or wall,
    )


def _whole(text: str) -> int:
    return int(text) if _is_whole(text) else 0


def _is_whole(text: str) -> bool:
    return is_count(text) and len(text) <= 6


LookDep = Annotated[Look, Depends(look_of)]


def shown_wall(scene: Scene, look: Look) -> int | None:
    """The wall that a phone shows; None for the plan."""
    number = int(look.wall) if _is_whole(look.wall) else -1
    return number if 0 <= number < len(scene.edges) else None


def walls_in_order(scene: Scene) -> list[str]:
    """What a phone walks through: the plan, then the walls as a person meets them."""
    return [PLAN, *(str(edge) for edge in met_in_order(scene))]


def view_of(layout: Layout, look: Look) -> Unfolded:
    """The drawing of a layout under a look."""
    return _view(layout, look)


@lru_cache(maxsize=VIEWS_KEPT)
def _view(layout: Layout, look: Look) -> Unfolded:
    scene, (width, height) = scene_of(layout), look.stage_px
    if look.mode == "phone":
        return _phone_view(scene, shown_wall(scene, look), width, height)
    return unfolded(scene, width, height, look.quarters)


def _phone_view(scene: Scene, edge: int | None, width: int, most_px: int) -> Unfolded:
    """One wall, or the plan, across the whole width, no higher than it has to be for that, with larger words."""
    scale = one_wall(scene, edge, width, most_px, PHONE_TAPE_PX).scale_px_mm
    too_low, enough = 0, most_px
    while enough - too_low > 1:
        middle = (too_low + enough) // 2
        fits = one_wall(scene, edge, width, middle, PHONE_TAPE_PX).scale_px_mm >= scale - 1e-9
        too_low, enough = (too_low, middle) if fits else (middle, enough)
    return replace(one_wall(scene, edge, width, enough, PHONE_TAPE_PX), grain=PHONE_GRAIN)
