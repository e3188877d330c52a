"""Undo and redo over layouts that are only ever added to: the names of the steps tell what was done and undone."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from geometry.words import within
from server.store import LayoutLine

UNDO, REDO = "Undo: ", "Redo: "
_EVER = re.compile(r"(Undo|Redo):? ")
"""Steps saved before had no colon."""


@dataclass(frozen=True)
class Way:
    """A layout to go to, and the step that leads there, in words."""

    number: int
    step: str


@dataclass(frozen=True)
class History:
    """What undo and redo would do now; None where there is nothing to undo or to do again."""

    undo: Way | None
    redo: Way | None


def history(lines: Sequence[LayoutLine]) -> History:
    """Undo and redo from the lines of a room's layouts, newest first, as the store gives them."""
    done: list[LayoutLine] = []
    undone: list[LayoutLine] = []
    for line in reversed(lines):
        if _is(line.step, UNDO) and len(done) > 1:
            undone.append(done.pop())
        elif _is(line.step, REDO) and undone:
            done.append(undone.pop())
        else:
            done.append(line)
            undone = []
    undo = Way(done[-2].number, UNDO + within(done[-1].step)) if len(done) > 1 else None
    redo = Way(undone[-1].number, REDO + within(undone[-1].step)) if undone else None
    return History(undo, redo)


def back_words(step: str) -> str:
    """What an undo or a redo has just done, told to the person who pressed it.

    >>> back_words("Undo: accept a note on boiler"), back_words("Redo: turn tank")
    ('Undone: accept a note on boiler. Redo brings it back.', 'Done again: turn tank.')
    """
    done = _EVER.sub("", step, 1)
    return f"Undone: {done}. Redo brings it back." if _is(step, UNDO) else f"Done again: {done}."


def _is(step: str, word: str) -> bool:
    found = _EVER.match(step)
    return found is not None and found[1] == word[:4]
