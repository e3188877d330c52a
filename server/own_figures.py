"""Every figure of a piece that can be written on the back of its label, with where it comes from and its page."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from pydantic import ValidationError

from geometry import editing
from geometry.check import tidy
from geometry.editing import kind_of
from geometry.errors import RoomError
from geometry.kit import CHANGEABLE, Change, Kit
from geometry.parts import part_figures, part_words
from geometry.room import Piece, Room
from geometry.saved import SIDES
from geometry.scene import Placed
from geometry.words import start
from server.asked import Asked, Changed, basis_of, called, note_of, number, placed_of
from server.store import Layout

SIDE_NAMES = {
    "front": "In front", "left": "On its left", "right": "On its right", "behind": "Behind",
    "above": "Above", "below": "Below",
}  # fmt: skip
FIGURE_NAMES = {
    "width_mm": ("Width", "mm"), "depth_mm": ("Depth", "mm"), "round_mm": ("Diameter", "mm"),
    "height_mm": ("Height", "mm"), "dry_kg": ("Empty", "kg"), "carry_kg": ("Heaviest part", "kg"),
    "water_l": ("Water", "L"), "water_level_mm": ("Water stands, above its base", "mm"),
    "input_kw": ("Heat input", "kW"),
}  # fmt: skip
SIZES = ("width_mm", "depth_mm", "round_mm", "height_mm")


@dataclass(frozen=True)
class FigureBlank:
    """One figure: what it is now, in which unit, where it comes from and on which page."""

    field: str
    name: str
    unit: str
    value: str
    basis: str
    note: str
    changed: bool


@dataclass(frozen=True)
class FigureGroup:
    """Figures that stand together under a heading; a ``folded`` group is opened first."""

    id: str
    title: str
    figures: tuple[FigureBlank, ...]
    folded: bool

    @property
    def changed(self) -> int:
        """How many of them are the piece's own."""
        return sum(figure.changed for figure in self.figures)


def figure_of(kit: Kit, name: str) -> float | None:
    """The kind's own figure of a name that a piece may change, or None where it has none.

    >>> from geometry.kit import Plan
    >>> tank = Kit(key="tank", name="Tank", plan=Plan(box_mm=(500.0, 400.0)), height_mm=900.0)
    >>> figure_of(tank, "width_mm"), figure_of(tank, "round_mm"), figure_of(tank, "space_front_mm")
    (500.0, None, None)
    """
    if ":" in name:
        return part_figures(kit.model_dump()).get(name)
    if name.startswith("space_"):
        side = name.removeprefix("space_").removesuffix("_mm")
        return next((space.mm for space in kit.space if space.side == side), None)
    if name in ("width_mm", "depth_mm"):
        return getattr(kit.plan, name) if kit.plan.box_mm else None
    if name == "carry_kg":
        return kit.carry.kg if kit.carry else None
    return kit.plan.round_mm if name == "round_mm" else getattr(kit, name)


def figure_groups(room: Room, placed: Placed) -> list[FigureGroup]:
    """Every figure of a piece, in groups."""
    own = kind_of(room, placed.piece.kit)
    weights = [name for name in CHANGEABLE if name not in SIZES and _wanted(placed.kit, name)]
    parts = list(part_figures(placed.kit.model_dump()))
    ports = [name for name in parts if name.startswith("port:")]
    groups = [
        ("sizes", "Sizes", [name for name in SIZES if figure_of(placed.kit, name) is not None], False),
        ("weights", "Weight and water", weights, False),
        ("spaces", "Space to work", [f"space_{side}_mm" for side in SIDES], False),
        ("pipes", "Pipe sizes", ports, True),
        ("access", "Access, and what sticks out", [name for name in parts if name not in ports], True),
    ]
    return [
        FigureGroup(group, title, tuple(_blank(placed, own, name) for name in names), folded)
        for group, title, names, folded in groups
        if names
    ]


def _wanted(kit: Kit, name: str) -> bool:
    """Whether a figure is one that such a kind has, or should have."""
    if name == "input_kw":
        return kit.input_kw is not None or (kit.has("gas") and kit.has("hot"))
    if name == "water_level_mm":
        return kit.water_level_mm is not None or kit.has("cistern")
    return True


def _blank(placed: Placed, own: Kit, name: str) -> FigureBlank:
    change, value = placed.piece.changes.get(name), figure_of(placed.kit, name)
    words, unit = figure_words(name)
    told = own.told(name)
    return FigureBlank(
        name, words, unit, "" if value is None else plain(value), change.basis if change else own.basis_of(name),
        change.note if change else told.note if told else "", change is not None,
    )  # fmt: skip


def figure_words(name: str) -> tuple[str, str]:
    """A figure as people call it, and its unit.

    >>> figure_words("dry_kg"), figure_words("space_left_mm"), figure_words("port:relief")
    (('Empty', 'kg'), ('On its left', 'mm'), ('Relief pipe', 'mm'))
    """
    if ":" in name:
        return start(part_words(name)), "mm"
    return FIGURE_NAMES.get(name) or (SIDE_NAMES[name.split("_")[1]], "mm")


def basis_words(piece: Piece, own: Kit) -> str:
    """Where the figures of a piece come from, in a few words.

    >>> from geometry.samples import box_kit, piece, sample_room
    >>> tank = box_kit("tank")
    >>> basis_words(sample_room([tank], [piece(tank, 300, 300)]).pieces[0], Kit.model_validate(tank))
    'typical'
    """
    told = {"manual": "from the manual", "memory": "from memory"}
    rest = told.get(own.basis, own.basis)
    known = {one.figure: (one.basis, one.note) for one in own.figures}
    known |= {name: (change.basis, change.note) for name, change in piece.changes.items()}
    if not known:
        return rest
    counts: dict[str, list[str]] = {}
    for basis, note in known.values():
        counts.setdefault(told.get(basis, basis), []).append(note)
    parts = []
    for words, notes in counts.items():
        pages = "; ".join(dict.fromkeys(note for note in notes if note))
        parts.append(f"{len(notes)} {words}" + (f" ({pages})" if pages else ""))
    return f"{', '.join(parts)}, rest {rest}"


def write_figures(layout: Layout, asked: Asked, fields: dict[str, str]) -> Changed:
    """Every figure of the form that differs from what it was. An empty one gives back the kind's own."""
    was = placed_of(layout, asked.piece)
    own, page = kind_of(layout.room, was.piece.kit), note_of(fields.get("page", ""))
    room = layout.room
    for name in _sent(was, fields):
        room = editing.changed(room, was.id, name, _change(was, own, name, fields, page))
    if page and room == layout.room:
        raise RoomError(
            "A page is kept with a figure: change the figure, or choose where it comes from, and write the page again."
        )
    return Changed(room, f"Change figures of {called(was)}", was.id)


def _sent(was: Placed, fields: Mapping[str, str]) -> Iterator[str]:
    parts = part_figures(was.kit.model_dump())
    return (name for name in (*CHANGEABLE, *(f"space_{side}_mm" for side in SIDES), *parts) if name in fields)


def _change(was: Placed, own: Kit, name: str, fields: Mapping[str, str], page: str) -> Change | None:
    text = fields[name]
    if not text.strip():
        return None
    value, old = number(text, within_form(name)), was.piece.changes.get(name)
    shown = old.basis if old else own.basis_of(name)
    basis = basis_of(fields.get(f"{name}_basis", ""), own.basis_of(name))
    same = (value, basis) == (old.value if old else figure_of(own, name), shown)
    kept = note_of(fields.get(f"{name}_note", old.note if old else ""))
    if same and old is None:
        return None
    try:
        return Change(value=value, basis=basis, note=kept if same else page or kept)
    except ValidationError:
        raise RoomError(f"{text} cannot be: a figure is a number from 0 to 100,000.") from None


def within_form(name: str) -> str:
    """A figure as a message about its blank calls it.

    >>> within_form("height_mm"), within_form("port:relief")
    ('“Height”', '“Relief pipe”')
    """
    return f"“{figure_words(name)[0]}”"


def from_manual(layout: Layout, asked: Asked, fields: dict[str, str]) -> Changed:
    """Every size, weight and space of a piece as it is shown, read from the manual on a page."""
    was, page = placed_of(layout, asked.piece), note_of(fields.get("page", ""))
    if not page:
        raise RoomError("Write which manual and page the figures were read from, such as: manual p. 9.")
    room, own = layout.room, kind_of(layout.room, was.piece.kit)
    for name in (*CHANGEABLE, *(f"space_{side}_mm" for side in SIDES)):
        value, old = figure_of(was.kit, name), was.piece.changes.get(name)
        basis = old.basis if old else own.basis_of(name)
        if value is not None and basis in ("typical", "memory"):
            room = editing.changed(room, was.id, name, Change(value=value, basis="manual", note=page))
    return Changed(room, f"Read the manual of {called(was)}", fields.get("picked", ""))


def plain(value: float) -> str:
    """A figure as it stands in a blank.

    >>> plain(1400.0), plain(272.5), plain(-0.0)
    ('1400', '272.5', '0')
    """
    return f"{tidy(value + 0.0)}"
