"""What is printed of an agreement: who agreed to which layout, and what has changed since, for trade and customer."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache

from geometry.comparing import Comparison, compared
from geometry.moved_since import Difference, moved_since
from geometry.words import listed, start
from server.checked import findings_of, scene_of
from server.customer_names import everyday_names, the
from server.name_store import quoted
from server.store import Layout, Store
from server.wording import day_words

PAIRS_KEPT = 64


@dataclass(frozen=True)
class Agreed:
    """The agreement that counts for a layout: its own, else the newest to an earlier one. ``changed`` is empty then."""

    told: list[str]
    since: str = ""
    changed: tuple[str, ...] = ()
    changed_plainly: tuple[str, ...] = ()

    @property
    def holds(self) -> bool:
        """Whether somebody agreed to this very layout."""
        return bool(self.told) and not self.since


NOBODY = Agreed([])


def agreed_with(store: Store, layout: Layout) -> Agreed:
    """Who agreed to this layout, or to the newest one before it and what has changed since."""
    every = [one for one in store.shares.agreements(layout.room_id) if one.number <= layout.number]
    if not every:
        return NOBODY
    newest = [one for one in every if one.number == every[0].number]
    before = store.layout(layout.room_id, newest[0].number)
    called = f"layout {before.number}{quoted(before.name)}"
    told = [f"{one.name} agreed to {called} on {_day(one.agreed)}." for one in newest]
    if before.number == layout.number:
        return Agreed(told)
    names = listed(one.name for one in newest)
    trade, plain = _changes(before, layout)
    return Agreed(told, f"Changed since {names} agreed to {called}:", trade, plain)


def _day(moment: datetime) -> str:
    return day_words(f"{moment.astimezone():%Y-%m-%d}")


@lru_cache(maxsize=PAIRS_KEPT)
def _changes(before: Layout, after: Layout) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What is not as it was, in the words of the trade and in the customer's."""
    differences = moved_since(scene_of(before), scene_of(after))
    found = compared(findings_of(before), findings_of(after))
    names = everyday_names(scene_of(before)) | everyday_names(scene_of(after))
    trade = (*(one.told for one in differences), *_findings(found))
    plain = tuple(dict.fromkeys(plainly(one, names) for one in differences))
    return trade or ("Nothing that stands in it.",), plain or ("Nothing that you can see.",)


def _findings(found: Comparison) -> list[str]:
    counts = (("new", len(found.new)), ("gone", len(found.gone)), ("changed", len(found.changed)))
    parts = [f"{count} {name}" for name, count in counts if count]
    return [f"Findings: {listed(parts)}."] if parts else []


def plainly(difference: Difference, names: Mapping[str, str]) -> str:
    """A difference in the customer's words.

    >>> plainly(Difference("gone", "p1", ""), {"p1": "boiler"})
    'The boiler is no longer there.'
    """
    if difference.kind == "room":
        return "The room is measured or planned in another way."
    name = start(the(names[difference.ref]))
    if difference.kind != "changed":
        return f"{name} is {'new' if difference.kind == 'new' else 'no longer there'}."
    if difference.move_mm is None:
        return f"{name} is not the same as before."
    x, y, z = difference.move_mm
    if max(abs(x), abs(y)) < abs(z):
        return f"{name} hangs {'higher' if z > 0 else 'lower'} than before."
    return f"{name} has moved by {round(max(abs(x), abs(y)) / 10) or 1} cm."
