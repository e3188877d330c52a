"""The customer's page: where everything will sit, in plain words."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request, Response
from markupsafe import Markup

from geometry.check import Finding
from geometry.scene import Scene
from geometry.words import listed
from server.agreed import agreed_with
from server.checked import findings_of, scene_of
from server.customer_life import changes, expected
from server.customer_names import everyday_names, the
from server.customer_pictures import Flat, FlatPictures, wall_clear
from server.customer_room import cautions, door_words, keep_clear, stays_yours
from server.customer_words import Plain
from server.drawing.corner_eye import CORNERS
from server.drawing.corner_view import best_corner, drawn, hidden, picture, unnamed
from server.drawing.svg import patterns
from server.links import link_of
from server.solid import FILE
from server.store import Layout, Store
from server.web import LayoutDep, StoreDep, templates

router = APIRouter()

WIDE_PX, NARROW_PX = 640.0, 358.0
PAGES_KEPT = 64


@dataclass(frozen=True)
class CustomerPage:
    """Everything that the page shows of one layout, from one corner."""

    corner: int
    wide: Markup
    narrow: Markup
    hidden: str
    small: str
    flat: list[Flat]
    stays: list[str]
    changes: list[str]
    clear: list[str]
    expected: list[tuple[str, str]]
    put_right: list[str]
    accepted: list[str]
    again: list[str]
    questions: list[str]
    mind: list[str]

    @property
    def sentences(self) -> list[str]:
        """Every sentence about this room, for a test of how easily the page reads."""
        groups = (self.stays, self.changes, self.clear, self.put_right, self.again, self.questions, self.mind)
        told = [sentence for group in groups for sentence in group]
        return [*told, *(sentence for _, sentence in self.expected), *(flat.told for flat in self.flat)]


def customer_page(
    scene: Scene, findings: tuple[Finding, ...], corner: int | None = None, first: Scene | None = None
) -> CustomerPage:
    """What the page says and shows; from the corner that shows most where none is named.

    ``first`` is the room as it was first drawn: what happened to the customer's own things since is told.
    """
    names = everyday_names(scene)
    plain = Plain(scene, names)
    seen_from = best_corner(scene) if corner is None else corner
    on_picture = {**scene.names, **_on_the_picture(scene, names)}
    pictures = [picture(scene, seen_from, width, on_picture) for width in (WIDE_PX, NARROW_PX)]
    unseen = list(dict.fromkeys(the(names[ref]) for seen in pictures for ref in hidden(scene, seen)))
    wide, narrow = (drawn(scene, seen, seen_from) for seen in pictures)
    small = dict.fromkeys(ref for seen in pictures for ref in unnamed(scene, seen))
    return CustomerPage(
        corner=seen_from, wide=wide, narrow=narrow, hidden=listed(unseen),
        small=listed(the(names[ref]) for ref in small if the(names[ref]) not in unseen),
        flat=FlatPictures(scene, names).every(), stays=stays_yours(scene, names),
        changes=[*door_words(scene, plain), *changes(scene, findings, first)],
        clear=[*keep_clear(scene, names), *wall_clear(scene, names)], expected=expected(scene, names),
        put_right=plain.still_to_do(findings), accepted=plain.accepted(findings), again=plain.look_again(findings),
        questions=plain.not_checked(findings), mind=cautions(scene),
    )  # fmt: skip


def _on_the_picture(scene: Scene, names: dict[str, str]) -> dict[str, str]:
    """Names as they stand on the picture."""
    own = {space.id: f"your {space.name[:1].lower()}{space.name[1:]}" for space in scene.room.keep_free}
    return {ref: name[:1].upper() + name[1:] for ref, name in {**names, **own}.items()}


@lru_cache(maxsize=PAGES_KEPT)
def _page(layout: Layout, first: Layout, corner: int | None) -> CustomerPage:
    return customer_page(scene_of(layout), findings_of(layout), corner, scene_of(first))


def customer_context(store: Store, layout: Layout, corner: int | None, here: str, request: Request) -> dict[str, Any]:
    """Everything that the page needs. ``here`` is its own address: all that a link to it may lead to."""
    title, _, place = layout.room.name.partition(", ")
    first = store.layout(layout.room_id, 1)
    return {
        "layout": layout, "title": title, "place": place, "page": _page(layout, first, corner), "corners": CORNERS,
        "patterns": patterns(), "agreed": agreed_with(store, layout), "here": here, "shared": False, "no_name": "",
        "link": link_of(request, store.shares.open_link(layout.room_id)), "solid": _solid(here, layout),
    }  # fmt: skip


def _solid(here: str, layout: Layout) -> str:
    """The address of the same layout to be turned, without the corner that it is first seen from."""
    return f"{here.partition('?')[0]}/{FILE}?layout={layout.number}"


@router.get("/rooms/{room_id}/customer")
def customer(
    request: Request, store: StoreDep, layout: LayoutDep, corner: Annotated[int | None, Query(ge=0, le=3)] = None
) -> Response:
    """The page of a layout; ``?corner=`` looks from another of the four corners."""
    room = f"/rooms/{layout.room_id}"
    context = customer_context(store, layout, corner, f"{room}/customer?layout={layout.number}", request)
    return templates.TemplateResponse(request, "customer.html", context | {"agree_to": f"{room}/agree"})
