"""What a check is, and what it finds."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from math import floor, isfinite
from typing import Any, Literal

from geometry.ceilings import clipped
from geometry.room import Accepted
from geometry.rules import Source
from geometry.saved import Basis
from geometry.scene import Scene
from geometry.shapes import Footprint, Sweep
from geometry.units import DEPTH_TOLERANCE_MM, SAME_MM, Point, Point3, whole_mm

Verdict = Literal["put-right", "look-again", "no-fault", "not-checked"]
VERDICTS: tuple[Verdict, ...] = ("put-right", "look-again", "no-fault", "not-checked")
WORST_FIRST: tuple[Verdict, ...] = ("put-right", "look-again", "not-checked", "no-fault")
Unit = Literal["mm", "deg", "m", "kg", "kN/m2", "cm2", "l"]


@dataclass(unsafe_hash=True)
class Where:
    """The place of a finding: a plan shape and a height band, and optionally a line of points to draw.

    ``shape`` is a ring of points, one shape, or two whose shared part is meant. The ring is worked out when asked for.
    """

    shape: tuple[Point, ...] | Footprint | Sweep | tuple[Footprint, Footprint]
    from_mm: float
    to_mm: float
    line_mm: tuple[Point3, ...] = ()

    @cached_property
    def area_mm(self) -> tuple[Point, ...]:
        """The plan area as a ring of points, in mm."""
        if isinstance(self.shape, Sweep):
            return area(self.shape.footprint)
        if isinstance(self.shape, Footprint):
            return area(self.shape)
        if self.shape and isinstance(self.shape[0], Footprint):
            one, other = (area(part) for part in self.shape if isinstance(part, Footprint))
            return tuple(clipped(one, other))
        return tuple(point for point in self.shape if not isinstance(point, Footprint))


@dataclass(frozen=True)
class Remedy:
    """The smallest move or turn found that cures a finding and opens no other put-right.

    ``tight`` counts the places that are then to be measured again and were in order, or short, before.
    """

    piece: str
    move_mm: Point
    turn_deg: float
    text: str
    raise_mm: float = 0.0
    tight: int = 0


@dataclass(slots=True, unsafe_hash=True)
class Finding:
    """The result of one check on one thing. Not to be changed once `checking` has given it out.

    ``pieces`` are what it is about, ``against`` what stands in the way, both by id (``edge:0``, ``ceiling``).
    ``topic`` tells the parts of one check apart on the same thing; ``title`` says what is wrong or right.
    ``where`` is the place to draw; a finding without fault has none. ``given_up`` tells that not everything was tried
    for its remedy, and that none was found.
    """

    check: str
    verdict: Verdict
    message: str
    pieces: tuple[str, ...] = ()
    against: tuple[str, ...] = ()
    side: str | None = None
    topic: str = ""
    title: str = ""
    needed: float | None = None
    found: float | None = None
    short: float | None = None
    unit: Unit = "mm"
    reason: str = ""
    basis: Basis | None = None
    source: Source | None = None
    where: Where | None = None
    question: str = ""
    remedy: Remedy | None = None
    given_up: bool = False
    accepted: Accepted | None = None

    @property
    def key(self) -> tuple[str, ...]:
        """What makes it the same finding in two layouts: check, topic, side and what it is about."""
        return (self.check, self.topic, self.side or "", *self.pieces, "/", *self.against)

    @property
    def is_tight(self) -> bool:
        """Whether it is only to be measured again: nothing is missing, and it is inside the survey tolerance."""
        return self.verdict == "look-again" and self.short is not None and abs(self.short) <= SAME_MM

    def as_json(self) -> dict[str, Any]:
        """Plain values in a fixed order, measures rounded to 0.001."""
        return {
            "check": self.check, "verdict": self.verdict, "title": self.title,
            "pieces": list(self.pieces), "against": list(self.against), "side": self.side,
            "needed": tidy(self.needed), "found": tidy(self.found), "short": tidy(self.short), "unit": self.unit,
            "message": self.message, "reason": self.reason, "question": self.question, "basis": self.basis,
            "source": self.source.as_json() if self.source else None,
            "where": _where_json(self.where), "remedy": _remedy_json(self.remedy),
            "accepted": self.accepted.model_dump() if self.accepted else None,
        }  # fmt: skip


@dataclass(frozen=True)
class Check:
    """One check: what it measures, the words people read, and where its figures come from.

    ``title`` is true when it passes, ``failing_title`` when it does not. ``find`` yields findings about the room, or
    only about the pieces in ``only`` when that is given. A ``slow`` check is left out while something is dragged.
    """

    id: str
    title: str
    failing_title: str
    reason: str
    source: Source
    find: Callable[[Scene, frozenset[str] | None], Iterable[Finding]] = field(repr=False)
    slow: bool = False

    @cached_property
    def titles(self) -> dict[Verdict, str]:
        """What people read over a finding that brings no title of its own."""
        unknown = f"Not checked: {self.title[:1].lower()}{self.title[1:]}"
        wrong = self.failing_title
        return {"no-fault": self.title, "not-checked": unknown, "put-right": wrong, "look-again": wrong}


def judge(margin_mm: float, tolerance_mm: float, need: Literal["must", "should"] = "must") -> Verdict:
    """The verdict rule: short is put right, inside the survey tolerance is look again, the rest is no fault.

    >>> judge(-1, 10), judge(0, 10), judge(9.9, 10), judge(10, 10), judge(-1, 10, "should")
    ('put-right', 'look-again', 'look-again', 'no-fault', 'look-again')
    """
    if margin_mm < -SAME_MM:
        return "put-right" if need == "must" else "look-again"
    return "look-again" if margin_mm < tolerance_mm - SAME_MM else "no-fault"


TIGHT = "That is inside the survey tolerance: measure again."
_FITS_TIGHT = ("tight", "just", "close", "nearly")


def order(findings: Iterable[Finding], check_order: tuple[str, ...]) -> list[Finding]:
    """Worst first; within a verdict what is accepted last, then by check, then the largest shortage, then ids."""
    place = {check: i for i, check in enumerate(check_order)}
    return sorted(
        findings,
        key=lambda f: (
            WORST_FIRST.index(f.verdict),
            f.accepted is not None,
            place[f.check],
            -round(f.short, 3) if f.short else 0.0,
            f.pieces,
            f.against,
            f.side or "",
            f.topic,
            f.message,
        ),
    )


def with_title(finding: Finding, check: Check, source: Source) -> Finding:
    """Give a fresh finding its check's title and reason, and a source, where it brings none of its own."""
    if finding.is_tight:
        finding.title = _tight_title(finding.title)
    if not finding.title:
        finding.title = check.titles[finding.verdict]
    if not finding.reason:
        finding.reason = check.reason
    if finding.source is None:
        finding.source = source
    return finding


def _tight_title(title: str) -> str:
    """A title over what is inside the survey tolerance: nothing is missing, so it may not say that something is.

    >>> _tight_title("Cylinder: the tundish is too far from the valve"), _tight_title("")
    ('Cylinder: tight, measure again', 'Tight: measure again')
    >>> _tight_title("Filter: the magnet only just comes out")
    'Filter: the magnet only just comes out'
    """
    if any(word in title for word in _FITS_TIGHT):
        return title
    subject, colon, _ = title.partition(":")
    return f"{subject}: tight, measure again" if colon else "Tight: measure again"


def area(plan: Footprint) -> tuple[Point, ...]:
    """A plan shape as a ring of points for drawing."""
    ring = plan.points if plan.radius_mm == 0 else plan.polygon.exterior.coords[:-1]
    return tuple((float(x), float(y)) for x, y in ring)


def tidy(value: float | None) -> float | int | None:
    """A number as people write it: whole where it is whole, else to a thousandth; None where there is none.

    >>> tidy(450.0), tidy(61.92751306), tidy(float("inf")), tidy(None)
    (450, 61.928, None, None)
    """
    if value is None or not isfinite(value):
        return None
    rounded = round(value, 3)
    return int(rounded) if rounded == int(rounded) else rounded


@lru_cache(maxsize=4096)
def mm(value_mm: float) -> str:
    """A length in words for people, to the whole millimetre, with a comma in thousands.

    >>> mm(1400.4)
    '1,400 mm'
    """
    return f"{whole_mm(value_mm):,} mm"


def mm_left(found_mm: float, needed_mm: float) -> str:
    """A length that falls short of what is needed, in words; to a tenth where whole millimetres would hide it.

    >>> mm_left(365.2, 450), mm_left(449.7, 450), mm_left(0.2, 450)
    ('365 mm', '449.7 mm', 'nothing')
    """
    if found_mm < DEPTH_TOLERANCE_MM:
        return "nothing"
    if whole_mm(found_mm) < whole_mm(needed_mm):
        return mm(found_mm)
    return f"{floor(found_mm * 10 + SAME_MM) / 10:,.1f} mm"


def _where_json(where: Where | None) -> dict[str, Any] | None:
    if where is None:
        return None
    return {
        "area_mm": [[tidy(x), tidy(y)] for x, y in where.area_mm],
        "from_mm": tidy(where.from_mm), "to_mm": tidy(where.to_mm),
        "line_mm": [[tidy(v) for v in p] for p in where.line_mm],
    }  # fmt: skip


def _remedy_json(remedy: Remedy | None) -> dict[str, Any] | None:
    if remedy is None:
        return None
    return {
        "piece": remedy.piece, "move_mm": [tidy(v) for v in remedy.move_mm], "turn_deg": tidy(remedy.turn_deg),
        "raise_mm": tidy(remedy.raise_mm), "text": remedy.text,
    }  # fmt: skip
