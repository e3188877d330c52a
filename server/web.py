"""What every page shares: the templates with their filters, whole page or fragment, and the store."""

from datetime import UTC, datetime
from typing import Annotated, Any

from fastapi import Depends, Request, Response
from fastapi.templating import Jinja2Templates
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from geometry.units import whole_mm
from server.name_store import quoted
from server.paths import TEMPLATES
from server.store import Layout, Store
from server.wording import amount, day_words, source_line


def mm(value_mm: float) -> str:
    """A length as people write it on paper, without its unit.

    >>> mm(1400.4), mm(-85)
    ('1,400', '−85')
    """
    return f"{whole_mm(value_mm):,}".replace("-", "−")


def when(moment: datetime) -> str:
    """Date and time as people write them, by the clock of this machine.

    >>> when(datetime(2026, 11, 25, 9, 42).astimezone())
    '25 November 2026, 9.42'
    """
    local = moment.astimezone()
    return f"{local.day} {local:%B %Y}, {local.hour}.{local:%M}"


def lately(moment: datetime, now: datetime | None = None) -> str:
    """A moment as people speak of it in a list, by the clock of this machine.

    >>> from datetime import timedelta
    >>> noon = datetime(2026, 11, 25, 12, 0).astimezone()
    >>> lately(noon, noon), lately(noon, noon + timedelta(days=1)), lately(noon, noon + timedelta(days=9))
    ('today, 12.00', 'yesterday', '25 November')
    >>> lately(noon, noon + timedelta(days=300))
    '25 November 2026'
    """
    local, here = moment.astimezone(), (now or datetime.now(UTC)).astimezone()
    days = (here.date() - local.date()).days
    if days == 0:
        return f"today, {local.hour}.{local:%M}"
    if days == 1:
        return "yesterday"
    return f"{local.day} {local:%B}" + (f" {local.year}" if local.year != here.year else "")


def plural(count: int, one: str, many: str | None = None) -> str:
    """A count with its word.

    >>> plural(1, "piece"), plural(1400, "piece"), plural(2, "leaf", "leaves")
    ('1 piece', '1,400 pieces', '2 leaves')
    """
    return f"{count:,} {one if count == 1 else many or one + 's'}"


templates = Jinja2Templates(
    env=Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
)
templates.env.filters |= {
    "mm": mm,
    "when": when,
    "day": day_words,
    "lately": lately,
    "plural": plural,
    "quoted": quoted,
    "amount": amount,
    "source": source_line,
}


def page_or_fragment(
    request: Request, *, page: str, fragment: str, context: dict[str, Any], status_code: int = 200
) -> Response:
    """The whole page, or for a part of a page that htmx asked for, the fragment alone."""
    name = fragment if is_partial(request) else page
    return templates.TemplateResponse(request, name, context, status_code, headers={"Vary": "HX-Request-Type"})


def is_partial(request: Request) -> bool:
    """Whether htmx asks for a part of a page."""
    return request.headers.get("HX-Request-Type") == "partial"


def store_of(request: Request) -> Store:
    """The store of the running app."""
    store: Store = request.app.state.store
    return store


StoreDep = Annotated[Store, Depends(store_of)]


def layout_of(store: StoreDep, room_id: str, layout: int | None = None) -> Layout:
    """The latest layout of the room in the address, or the one that ``?layout=`` names."""
    return store.latest(room_id) if layout is None else store.layout(room_id, layout)


LayoutDep = Annotated[Layout, Depends(layout_of)]


async def fields_of(request: Request) -> dict[str, str]:
    """Every field of a form as it was sent; of fields that share a name the last."""
    return {name: value for name, value in (await request.form()).items() if isinstance(value, str)}


FieldsDep = Annotated[dict[str, str], Depends(fields_of)]
