"""A piece swapped for another kind: the kinds to choose from, and afterwards only what changed."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from geometry.check import Finding
from geometry.comparing import compared
from geometry.editing import kind_of
from geometry.kit import Kit
from geometry.room import Room
from geometry.scene import Placed
from geometry.shelf import shelf
from geometry.swapping import alike, dropped, swapped
from geometry.words import listed, within
from server.asked import Asked, Changed, called, placed_of
from server.checked import findings_of, key_of
from server.own_figures import figure_words
from server.store import Layout
from server.web import LayoutDep, StoreDep, mm, page_or_fragment, plural, templates
from server.wording import VERDICT_MARKS, amount

router = APIRouter()

MOST_FOUND = 24
OPEN = ("put-right", "look-again", "not-checked")


@dataclass(frozen=True)
class KindLine:
    """One kind to choose: its size, and how that differs from the piece's own."""

    key: str
    name: str
    group: str
    size: str
    differs: str


@dataclass(frozen=True)
class Choice:
    """The kinds that do the same work, and those that a search found."""

    piece: str
    name: str
    kind: str
    near: list[KindLine]
    typed: str
    found: list[KindLine]
    more: int


@dataclass(frozen=True)
class Line:
    """One finding that opened, closed or changed."""

    mark: str
    key: str
    message: str
    was: str = ""


@dataclass(frozen=True)
class SwapTold:
    """Only what a swap changed."""

    old: str
    new: str
    lost: str
    opened: list[Line]
    closed: list[Line]
    changed: list[Line]
    same: int
    measures: int
    since: int


def swap(layout: Layout, asked: Asked, _: dict[str, str]) -> Changed:
    """The piece as another kind in the same place."""
    was, new = placed_of(layout, asked.piece), kind_of(layout.room, asked.kit)
    return Changed(swapped(layout.room, was.id, new.key), f"Swap {called(was)} for {within(new.name)}", was.id)


@router.get("/rooms/{room_id}/kinds")
def kinds(request: Request, store: StoreDep, layout: LayoutDep, piece: str = "", typed: str = "") -> Response:
    """The kinds that a piece may be swapped for."""
    context = {"choice": choice(layout.room, placed_of(layout, piece), typed, store.own.kinds()), "layout": layout}
    return page_or_fragment(request, page="kinds.html", fragment="_kinds.html", context=context)


@router.get("/rooms/{room_id}/kinds/found")
def found_kinds(request: Request, store: StoreDep, layout: LayoutDep, piece: str = "", typed: str = "") -> Response:
    """What a search among all kinds finds."""
    context = {"choice": choice(layout.room, placed_of(layout, piece), typed, store.own.kinds()), "layout": layout}
    return templates.TemplateResponse(request, "_kinds_found.html", context)


def choice(room: Room, placed: Placed, typed: str, yours: Sequence[Kit] = ()) -> Choice:
    """The kinds of the same work, nearest first, and those of all others that have every word that was typed."""
    here = {kit.key for kit in room.kit}
    own = kind_of(room, placed.piece.kit)
    every = (*room.kit, *(kit for kit in yours if kit.key not in here), *shelf().values())
    found = [kit for kit in every if kit.key != own.key and typed.strip() and matches(kit, typed)]
    return Choice(
        piece=placed.id, name=placed.name, kind=own.name,
        near=[_line(kit, placed.kit) for kit in alike(own, every)], typed=typed,
        found=[_line(kit, placed.kit) for kit in found[:MOST_FOUND]], more=max(0, len(found) - MOST_FOUND),
    )  # fmt: skip


def matches(kit: Kit, typed: str) -> bool:
    """Whether every word that was typed begins, or stands in, some word of the kind's name or group.

    >>> cylinder = shelf()["unvented-cylinder-210"]
    >>> matches(cylinder, "210 cyl"), matches(cylinder, "boiler")
    (True, False)
    """
    own = _words(f"{kit.name} {kit.group}")
    return all(any(one.startswith(word) or (len(word) > 3 and word in one) for one in own) for word in _words(typed))


def _words(text: str) -> list[str]:
    return re.findall(r"[a-z0-9]+", text.lower())


def _line(kit: Kit, was: Kit) -> KindLine:
    return KindLine(kit.key, kit.name, kit.group, _size(kit), _differs(kit, was))


def _size(kit: Kit) -> str:
    plan = kit.plan
    across = f"Ø {mm(plan.round_mm)}" if plan.round_mm else f"{mm(plan.width_mm)} × {mm(plan.depth_mm)}"
    return f"{across} × {mm(kit.height_mm)}"


def _differs(kit: Kit, was: Kit) -> str:
    """How it differs from what stands there, in words.

    >>> tank = shelf()["break-tank-120"]
    >>> _differs(tank, tank), _differs(tank.model_copy(update={"height_mm": tank.height_mm + 270}), tank)
    ('the same size', '270 higher')
    """
    pairs = (
        (kit.plan.width_mm - was.plan.width_mm, "wider", "narrower"),
        (kit.plan.depth_mm - was.plan.depth_mm, "deeper", "less deep"),
        (kit.height_mm - was.height_mm, "higher", "lower"),
    )
    told = [f"{mm(abs(by))} {more if by > 0 else less}" for by, more, less in pairs if abs(by) >= 0.5]
    return ", ".join(told) or "the same size"


def swap_told(before: Layout, after: Layout, piece_id: str) -> SwapTold | None:
    """What differs between a layout and an earlier one in which the piece was of another kind; None if it was not."""
    old, new = before.room.piece(piece_id), after.room.piece(piece_id)
    if old is None or new is None or old.kit == new.kit:
        return None
    difference = compared(findings_of(before), findings_of(after))
    pairs = [(change.before, change.after) for change in difference.changed]
    here = [f for f in findings_of(after) if f.verdict in OPEN]
    opened = [f for f in difference.new if f.verdict in OPEN]
    opened += [now for was, now in pairs if now.verdict in OPEN and was.verdict not in OPEN]
    closed = [f for f in difference.gone if f.verdict in OPEN]
    closed += [was for was, now in pairs if was.verdict in OPEN and now.verdict not in OPEN]
    changed = [(was, now) for was, now in pairs if was.verdict in OPEN and now.verdict in OPEN]
    return SwapTold(
        old=kind_of(before.room, old.kit).name, new=kind_of(after.room, new.kit).name,
        lost=_lost(before, after, piece_id), opened=_lines(opened), closed=_lines(closed),
        changed=[_changed(was, now) for was, now in changed], same=len(here) - len(opened) - len(changed),
        measures=sum(was.verdict == now.verdict == "no-fault" for was, now in pairs), since=before.number,
    )  # fmt: skip


def _lines(findings: Sequence[Finding]) -> list[Line]:
    return [Line(VERDICT_MARKS[f.verdict], key_of(f), f.question or f.message) for f in findings]


def _changed(was: Finding, now: Finding) -> Line:
    figures = "" if was.found is None or now.found is None else f"before: {amount(was.found, was.unit)}"
    return Line(VERDICT_MARKS[now.verdict], key_of(now), now.message, figures or f"before: {was.message}")


def _lost(before: Layout, after: Layout, piece_id: str) -> str:
    """What went with the old kind, in one sentence; empty where nothing did."""
    gone = dropped(before.room, after.room, piece_id)
    parts = []
    if gone.figures:
        names = listed(within(figure_words(name)[0]) for name in gone.figures)
        parts.append(f"{plural(len(gone.figures), 'figure')} of its own ({names})")
    for count, one in ((gone.accepted, "acceptance"), (gone.pipes, "pipe"), (gone.flues, "flue")):
        if count > 0:
            parts.append(plural(count, one))
    if gone.answers:
        parts.append(plural(gone.answers, "answer") + " about it")
    return f"Gone with the old one: {listed(parts)}." if parts else ""
