"""The workbench: the room on the page, a piece being tried, a picked note or piece, and every change saved."""

from collections import OrderedDict
from dataclasses import replace
from threading import Lock
from typing import Annotated, Any
from urllib.parse import urlencode

from fastapi import APIRouter, Form, Request, Response
from fastapi.responses import RedirectResponse

from geometry import editing
from geometry.check import Finding, order
from geometry.checking import check_scene
from geometry.checks import CHECKS, ORDER
from geometry.editing import kind_of
from geometry.errors import RoomError
from geometry.rechecking import recheck
from geometry.room import Room
from geometry.scene import Scene, build, with_piece
from geometry.typed import is_count
from server.asked import Asked, number
from server.bench import Bench, bench_of, facing
from server.brought import knowing, with_own_kind
from server.changes import base_of, changed
from server.checked import findings_of, key_of, scene_of
from server.drawing.everything import draw_everything
from server.look import Look, LookDep, look_of, view_of
from server.pipes_by_hand import picked_after
from server.questions import not_written_down
from server.several import carried_along, ids_of
from server.shelf_board import board
from server.steps import back_words, history
from server.store import Layout, Store
from server.web import FieldsDep, LayoutDep, StoreDep, is_partial, page_or_fragment, store_of, templates

router = APIRouter()


PAGES_KEPT = 512
EARLIER = 204


class Sequence:
    """The latest number that each open page has sent: an older one that comes late is not answered."""

    def __init__(self) -> None:
        self._seen: OrderedDict[str, int] = OrderedDict()
        self._lock = Lock()

    def is_late(self, page: str, number: int) -> bool:
        """Whether this page has already sent a later number; remembers it if not."""
        with self._lock:
            if number < self._seen.get(page, -1):
                return True
            self._seen[page] = number
            self._seen.move_to_end(page)
            if len(self._seen) > PAGES_KEPT:
                self._seen.popitem(last=False)
            return False


_sequence = Sequence()


@router.get("/rooms/{room_id}")
def show(
    request: Request, store: StoreDep, found: LayoutDep, look: LookDep, piece: str = "", note: str = "",
    since: str = "", pipe: str = "", also: str = "",
) -> Response:  # fmt: skip
    """The whole workbench of a layout; ``since`` is the number of the layout before a swap, to tell what it changed."""
    before = _earlier(store, found, since)
    return _whole(request, store, found, look, piece, note, also=also, since=before, pipe=pipe)


def _earlier(store: Store, layout: Layout, number: str) -> Layout | None:
    """An earlier layout of the same room, where its number stands in the address."""
    earlier = is_count(number) and 0 < int(number) < layout.number
    return store.layout(layout.room_id, int(number)) if earlier else None


@router.get("/rooms/{room_id}/note")
def pick_note(
    request: Request, store: StoreDep, found: LayoutDep, look: LookDep, key: str = "", piece: str = "", move: str = "",
    pipe: str = "", also: str = "",
) -> Response:  # fmt: skip
    """A picked finding: its sheet, its place brought forward; with ``move`` the smallest move that cures it too."""
    bench = bench_of(found, look, piece=piece, also=also, note=key, seeks=bool(move))
    if look.mode != "phone":
        return _parts(request, "_picked_note.html", bench)
    response = _whole(request, store, found, facing(bench), piece, key, also=also, seeks=bool(move), pipe=pipe)
    response.headers.update({"HX-Retarget": "#bench", "HX-Reswap": "innerHTML"})
    return response


@router.get("/rooms/{room_id}/card")
def pick_piece(
    request: Request, found: LayoutDep, look: LookDep, pick: str = "", note: str = "", turned: str = "",
    pipe: str = "", also: str = "",
) -> Response:  # fmt: skip
    """A picked piece, or several: its luggage label, ``turned`` over or not, its spaces; a pipe of it, picked."""
    bench = bench_of(found, look, piece=pick, also=also if pick else "", note=note, pipe=pipe)
    bench = replace(bench, turned=bool(turned))
    return _parts(request, "_picked_piece.html", bench)


@router.get("/rooms/{room_id}/everything")
def everything(found: LayoutDep, look: LookDep) -> Response:
    """Every space, swing, way out and line of sight of a layout, as an SVG for the drawing on the page."""
    drawn = draw_everything(view_of(found, look), scene_of(found))
    return Response(f'<svg xmlns="http://www.w3.org/2000/svg">{drawn}</svg>', media_type="image/svg+xml")


class Tried(Asked):
    """A piece under somebody's finger. ``seq`` counts up within one page; ``asked``, ``written``: the questions,
    and the marks and notes, that it shows.
    """

    do: str = "try"
    page: str = ""
    seq: int = 0
    note: str = ""
    picked: str = ""
    also: str = ""
    quarters: str = ""
    wall: str = "plan"
    asked: str = ""
    written: str = ""


@router.post("/rooms/{room_id}/try")
def try_piece(request: Request, room_id: str, tried: Annotated[Tried, Form()]) -> Response:
    """What would be found if the piece were put there. Nothing is saved."""
    if _sequence.is_late(tried.page, tried.seq):
        return Response(status_code=EARLIER)
    layout = store_of(request).layout(room_id, tried.layout)
    look = look_of(request.cookies.get("area", ""), tried.quarters, tried.wall)
    if not (tried.kit or tried.piece):
        return _tried(request, tried, bench_of(layout, look, piece=tried.picked, note=tried.note, seeks=False))
    scene = _tried_scene(with_own_kind(store_of(request), layout.room, tried.kit), layout, tried)
    found = _tried_findings(layout, scene, tried)
    also = tuple(ids_of(tried.also))
    bench = Bench(layout, look, scene, found, tried.picked, tried.note, trying=True, also=also)
    return _tried(request, tried, bench)


def _tried(request: Request, tried: Tried, bench: Bench) -> Response:
    words = said(findings_of(bench.layout), bench.findings)
    written = bench.written
    context = {
        "bench": bench, "said": words,
        "asked_already": tried.asked == bench.asked, "written_already": tried.written == written,
    }  # fmt: skip
    return templates.TemplateResponse(request, "_tried.html", context, headers={"Written": written})


def _tried_scene(known: Room, layout: Layout, tried: Tried) -> Scene:
    at_mm = (number(tried.x, "the place"), number(tried.y, "the place"))
    turn = number(tried.turn, "the turn")
    if tried.kit:
        kit = kind_of(known, tried.kit)
        base_mm = base_of(kit, tried.base_mm)
        return build(editing.added(known, kit.key, at_mm, turn_deg=turn, base_mm=base_mm))
    if tried.pieces:
        return build(carried_along(layout, tried))
    base = number(tried.base_mm, "the base")
    room = editing.moved(layout.room, tried.piece, at_mm, turn_deg=turn, base_mm=base)
    return with_piece(scene_of(layout), editing.piece_of(room, tried.piece))


def _tried_findings(layout: Layout, scene: Scene, tried: Tried) -> tuple[Finding, ...]:
    if tried.kit or tried.pieces:
        slow = {check.id for check in CHECKS if check.slow}
        quick = check_scene(scene, None, [check for check in CHECKS if not check.slow])
        return tuple(order([*quick, *(f for f in findings_of(layout) if f.check in slow)], ORDER))
    return recheck(scene_of(layout), findings_of(layout), scene, tried.piece, slow=False)


def said(before: tuple[Finding, ...], after: tuple[Finding, ...]) -> str:
    """What changed, for a person who cannot see it: notes that opened and how many closed."""
    old, new = (
        {key_of(finding): finding for finding in findings if finding.verdict in ("put-right", "look-again")}
        for findings in (before, after)
    )
    opened = [finding.message for key, finding in new.items() if key not in old]
    closed = sum(key not in new for key in old)
    parts = [f"New note: {message}" for message in opened[:3]]
    if len(opened) > 3:
        parts.append(f"And {len(opened) - 3} more.")
    if closed:
        parts.append(f"{closed} {'note' if closed == 1 else 'notes'} closed.")
    return " ".join(parts)


@router.post("/rooms/{room_id}/layouts")
def change(
    request: Request, store: StoreDep, room_id: str, asked: Annotated[Asked, Form()], figures: FieldsDep
) -> Response:
    """A change, saved as the next layout."""
    base = store.layout(room_id, asked.layout)
    told = ""
    if asked.do in ("undo", "redo"):
        saved, piece = _gone_back(store, base, asked.do), asked.piece
        told = back_words(saved.step)
    else:
        try:
            room, step, piece = changed(knowing(store, base, asked.kit), asked, figures)
        except RoomError as error:
            if asked.do != "answer" or is_partial(request):
                raise
            return not_written_down(request, base, asked, figures.get("answer", ""), str(error))
        saved = base if room == base.room else store.save(room_id, base.number, room, step)
    look = look_of(request.cookies.get("area", ""), figures.get("quarters", ""), figures.get("wall", "plan"))
    note = figures.get("note", "")
    also = figures.get("also", "") if piece and piece == asked.piece else ""
    since = base if asked.do == "swap" and saved is not base else None
    pipe = picked_after(asked.do, saved.room, figures)
    if not is_partial(request):
        told_against = {"since": since.number} if since else {}
        held = ({"pipe": pipe} if pipe else {}) | ({"also": also} if also else {})
        address = urlencode({"piece": piece, "note": note} | told_against | held)
        return RedirectResponse(f"/rooms/{room_id}?{address}", status_code=303)
    words = " ".join(part for part in (told, said(findings_of(base), findings_of(saved))) if part)
    return _whole(request, store, saved, look, piece, note, words, seeks=False, since=since, also=also, pipe=pipe)


def _gone_back(store: Store, base: Layout, do: str) -> Layout:
    lines = [line for line in store.layouts(base.room_id) if line.number <= base.number]
    way = history(lines).undo if do == "undo" else history(lines).redo
    if way is None:
        raise RoomError("There is nothing to undo." if do == "undo" else "There is nothing to do again.")
    return store.save(base.room_id, base.number, store.layout(base.room_id, way.number).room, way.step)


def _whole(
    request: Request,
    store: Store,
    layout: Layout,
    look: Look,
    piece: str,
    note: str,
    words: str = "",
    seeks: bool = True,
    since: Layout | None = None,
    also: str = "",
    pipe: str = "",
) -> Response:
    lines = store.layouts(layout.room_id)
    past = history([line for line in lines if line.number <= layout.number])
    newest = lines[0].number
    bench = bench_of(
        layout,
        look,
        piece=piece,
        also=also,
        note=note,
        history=past,
        latest=newest,
        seeks=seeks,
        since=since,
        pipe=pipe,
    )
    context: dict[str, Any] = {"bench": bench, "said": words}
    if not is_partial(request):
        context["board"] = board(layout.room, look, bench.view.scale_px_mm, store.own.kinds())
    return page_or_fragment(request, page="workbench.html", fragment="_bench.html", context=context)


def _parts(request: Request, name: str, bench: Bench) -> Response:
    return templates.TemplateResponse(request, name, {"bench": bench, "said": ""})
