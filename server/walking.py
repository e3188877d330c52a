"""Pages for a room whose walls are walked: type lengths and turns as they are measured, see it grow, draw it."""

from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.responses import RedirectResponse

from geometry.check import mm
from geometry.errors import RoomError
from geometry.traverse import begun, corner_letter, wall_letters
from server.drawing.walk_sketch import Gap, Sketch, draw_walk
from server.kit_list import placed_with, ticks
from server.walk_form import BY_ANGLE, TURNS, WalkForm, form_from, with_more
from server.walk_openings import OPENS
from server.walk_room import Survey, survey_of
from server.web import FieldsDep, StoreDep, is_partial, templates

router = APIRouter()

LOOK = "look"


@dataclass(frozen=True)
class Sum:
    """The closing error in words, its two parts, and what follows."""

    words: str
    parts: str
    ok: bool


@router.get("/measure/walls")
def start(request: Request) -> Response:
    """The blanks for four walls and a door."""
    return _page(request, survey_of(WalkForm()))


@router.post("/measure/walls/look")
def look(request: Request, fields: FieldsDep) -> Response:
    """The drawing and the sums as far as they go. Nothing is kept."""
    return templates.TemplateResponse(request, "_walked.html", _context(survey_of(form_from(fields)), LOOK))


@router.post("/measure/walls")
def draw(request: Request, store: StoreDep, fields: FieldsDep) -> Response:
    """The room; or the form again: with one more row where a button asked for it, or with what stands against it."""
    form, do = form_from(fields), fields.get("do", "draw")
    if do == LOOK and is_partial(request):
        return look(request, fields)
    if do != "draw":
        more = with_more(form, do)
        return _page(request, survey_of(more), added=_first_blank(form, more))
    survey = survey_of(form)
    try:
        if survey.faults:
            return _page(request, survey, do, status_code=422)
        room = survey.room()
    except RoomError as error:
        return _page(request, survey, do, str(error), status_code=422)
    room, where = placed_with(room, form.kit)
    layout = store.create(room, "Walls walked")
    return RedirectResponse(where.format(room_id=layout.room_id), status_code=303)


def _first_blank(before: WalkForm, after: WalkForm) -> str:
    """The blank to go on in after a row was added or taken out."""
    walls = f"w{len(after.walls) - 1}_length"
    if len(after.walls) != len(before.walls):
        return walls
    if len(after.diagonals) != len(before.diagonals):
        return f"x{len(after.diagonals) - 1}_length" if after.diagonals else walls
    if len(after.openings) != len(before.openings):
        return f"o{len(after.openings) - 1}_wall" if after.openings else "height3"
    return ""


def _page(
    request: Request, survey: Survey, do: str = LOOK, sentence: str = "", status_code: int = 200, added: str = ""
) -> Response:
    context = {**_context(survey, do), "sentence": sentence, "added": added, **_choices(survey)}
    name = "_walk_form.html" if is_partial(request) else "walk.html"
    return templates.TemplateResponse(request, name, context, status_code)


def _choices(survey: Survey) -> dict[str, Any]:
    count = len(survey.form.walls)
    turns = [(key, words) for key, (words, _) in TURNS.items()]
    chosen = survey.form.kit
    return {
        "turns": [*turns, (BY_ANGLE, "an angle")],
        "by_angle": BY_ANGLE,
        "walls": [(str(i), wall_letters(i, count)) for i in range(count)],
        "corners": [(str(i), corner_letter(i)) for i in range(count)],
        "opens": [(key, words) for key, (words, _) in OPENS.items()],
        "ticks": ticks(chosen),
        "names": _names(survey.form),
    }


def _names(form: WalkForm) -> list[str]:
    """What each door, window and outlet is called: door 1, window 1, door 2."""
    return [
        f"{row.kind} {sum(other.kind == row.kind for other in form.openings[: i + 1])}"
        for i, row in enumerate(form.openings)
    ]


def _context(survey: Survey, do: str) -> dict[str, Any]:
    return {
        "form": survey.form,
        "survey": survey,
        "faults": survey.faults,
        "drawing": draw_walk(_sketch(survey)),
        "sum": _sum(survey),
        "drawn": do != LOOK,
    }


def _sum(survey: Survey) -> Sum | None:
    """The closing error as the page says it; None until the walk comes round."""
    walk = survey.walk
    if walk is None or survey.form.by_diagonal or not walk.turns_close:
        return None
    if not walk.is_checked:
        found = [f"{wall_letters(wall, len(walk.legs))} {mm(length)}" for wall, length in walk.found_mm]
        return Sum("Nothing left to check it by", f"worked out: {', '.join(found)}", True)
    closing = walk.closing
    if closing.length_mm < 0.05:
        return Sum("It closes, 0 mm apart", "", True)
    ways = [(abs(closing.dx_mm), "along the first wall"), (abs(closing.dy_mm), "away from it")]
    parts = " and ".join(f"{size:,.1f} mm {way}" for size, way in ways if size >= 0.05)
    after = "spread over the walls, each by its length" if walk.closes else ""
    return Sum(
        f"{closing.length_mm:,.1f} mm apart where the walk ends", ", ".join(p for p in (parts, after) if p), walk.closes
    )


def _sketch(survey: Survey) -> Sketch:
    legs = survey.read.legs
    walk, corners = survey.walk, survey.corners
    left = sum(leg.turn_deg or 0.0 for leg in legs) > 0
    if corners is None and walk is None:
        return Sketch(begun(legs), False, left, len(legs))
    missing = frozenset(wall for wall, _ in walk.found_mm) if walk else frozenset()
    if corners is None or survey.placed is None:
        assert walk is not None
        return Sketch(walk.path_mm, False, left, len(legs), missing, walk.closing.length_mm)
    _, _, walls = survey.placed
    closed = (*corners, corners[0])
    return Sketch(closed, True, left, len(legs), missing, 0.0, walls, tuple(_gaps(survey)), survey.straights)


def _gaps(survey: Survey) -> list[Gap]:
    assert survey.placed is not None
    parts, (_, _, walls) = survey.openings.parts, survey.placed
    found = [Gap("door", d["edge"], d["from_mm"], d["from_mm"] + d["clear_mm"]) for d in parts["door"]]
    found += [Gap("window", w["edge"], w["from_mm"], w["from_mm"] + w["width_mm"]) for w in parts["window"]]
    for outlet in parts["outlet"]:
        edge = min(walls, key=lambda edge: _off(edge.measure(tuple(outlet["at_mm"])), edge.length_mm))
        along, _ = edge.measure(tuple(outlet["at_mm"]))
        found.append(Gap("outlet", edge.index, along, along))
    return found


def _off(measured: tuple[float, float], length_mm: float) -> float:
    along, off = measured
    return abs(off) + max(0.0, -along, along - length_mm)
