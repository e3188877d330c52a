"""The room's parts as cards with blanks: what there is, by number, and one empty card of each kind to add by."""

from dataclasses import dataclass, field, replace
from functools import cached_property

from geometry.room import Beam, Block, Door, KeepFree, Outlet, Room, Slope, Window
from geometry.scene import Scene
from geometry.strips import Strip, strip_of, strips_of
from geometry.units import Point, whole_mm
from geometry.walls import Edge
from geometry.words import start, wall_name
from server.walk_openings import OPENS, WORDS

Options = tuple[tuple[str, str], ...]
ENDS: Options = (
    ("unknown", "not known yet"), ("low-level", "low down outside"), ("gully", "into a gully"), ("hopper", "a hopper"),
    ("roof", "on to a roof"), ("stack", "a soil stack outside"), ("internal-stack", "a soil stack inside"),
    ("soakaway", "a soakaway"),
)  # fmt: skip
STOREYS: Options = (
    ("unknown", "not known"), ("ground", "ground floor"), ("upper", "upper floor"), ("loft", "loft"),
    ("cellar", "cellar"),
)  # fmt: skip
FLOORS: Options = (("unknown", "not known"), ("concrete", "concrete"), ("timber", "timber"))
TAKES: Options = (
    ("hot-discharge", "hot discharge"), ("condensate", "condensate"), ("overflow", "overflow"), ("waste", "waste"),
    ("drain", "drain"), ("flue", "flue"),
)  # fmt: skip
SIDES: Options = (("left", "on the left"), ("right", "on the right"))
NOT_MEASURED = "not measured"


@dataclass(frozen=True)
class Blank:
    """One blank of a card. ``kind`` is mm, text, choice or tick; ``drawn`` is what stands there while not measured."""

    name: str
    label: str
    value: str = ""
    kind: str = "mm"
    options: Options = ()
    drawn: str = ""


@dataclass(frozen=True)
class Card:
    """One part of the room, or an empty card to add one (``ref`` empty)."""

    kind: str
    ref: str
    title: str
    summary: str
    blanks: tuple[Blank, ...]
    verb: str = "Write it down"
    may_go: bool = False

    @property
    def key(self) -> str:
        """What the card is called in the page."""
        return f"{self.kind}-{self.ref}" if self.ref else f"{self.kind}-new"


@dataclass(frozen=True)
class Group:
    """Cards of one kind under a head."""

    head: str
    hint: str
    cards: tuple[Card, ...]


def plain(value_mm: float | None) -> str:
    """A figure as it stands in a blank: whole where it is whole.

    >>> plain(2400.0), plain(12.26), plain(None)
    ('2400', '12.3', '')
    """
    if value_mm is None:
        return ""
    return f"{value_mm:.0f}" if abs(value_mm - round(value_mm)) < 0.05 else f"{value_mm:.1f}"


def groups_of(scene: Scene) -> tuple[Group, ...]:
    """Every group, in the order in which a room is described."""
    return _Cards(scene.room, scene).groups


@dataclass(frozen=True)
class _Cards:
    room: Room
    scene: Scene = field(repr=False)

    @cached_property
    def walls(self) -> Options:
        """The walls to choose from."""
        count = len(self.scene.edges)
        names = [wall_name(self.scene, i).removeprefix("the ") for i in range(count)]
        lengths = [whole_mm(edge.length_mm) for edge in self.scene.edges]
        return tuple((str(i), f"{names[i]}, {lengths[i]:,}") for i in range(count))

    @property
    def groups(self) -> tuple[Group, ...]:
        ceiling, room = self.room.ceiling, self.room
        return (
            Group("Heights", "", (self._heights(),)),
            Group(
                "Doors", "As seen from inside, facing the wall.", (*map(self._door, room.doors), self._door(None))
            ),
            Group("Windows", "", (*map(self._window, room.windows), self._window(None))),
            Group(
                "Sloping soffits", "A strip along a wall, low on one side.",
                (*map(self._slope, ceiling.slopes), self._slope(None)),
            ),
            Group("Beams", "", (*map(self._beam, ceiling.beams), self._beam(None))),
            Group(
                "Chimney breasts, boxing, steps", "Whatever is solid and stays.",
                (*map(self._fixture, room.fixtures), self._fixture(None)),
            ),
            Group("Alcoves", "An alcove becomes walls of its own.", (self._alcove(),)),
            Group("Keep free", "For the customer's own.", (*map(self._keep, room.keep_free), self._keep(None))),
            Group("Ways out for pipes", "", (*map(self._outlet, room.outlets), self._outlet(None))),
            Group("Floor", "", (self._floor(),)),
            Group("Walls", "What each is made of.", tuple(self._wall(edge) for edge in self.scene.edges)),
            Group("Corners", "In plan: to the right, and away from you.", tuple(map(self._corner, range(self.count)))),
        )  # fmt: skip

    @property
    def count(self) -> int:
        return len(self.room.outline_mm)

    def _missing(self, card: Card) -> Card:
        """A card with the blanks empty that were not measured, and what is drawn meanwhile beside them."""
        taken = {item.what: item.taken_mm for item in self.room.not_measured if item.of == card.ref}
        words = {"wide1": WORDS["wide"], "left": WORDS["from"], **{name: WORDS[name] for name in ("head", "sill")}}
        words["level"] = WORDS["level"]
        blanks = tuple(
            replace(one, value="", drawn=plain(taken[words[one.name]])) if words.get(one.name) in taken else one
            for one in card.blanks
        )
        return replace(card, blanks=blanks)

    def _place(self, area: tuple[Point, ...] | None) -> tuple[Blank, ...]:
        """Blanks of a strip; none where the area is no rectangle along a wall, which then stays as it is."""
        strip = strip_of(self.room, area) if area is not None else None
        return () if area is not None and strip is None else self._strip(strip)

    def _strip(self, strip: Strip | None) -> tuple[Blank, ...]:
        values = (strip.edge, strip.left_mm, strip.width_mm, strip.off_mm, strip.depth_mm) if strip else None
        edge, *figures = values or (0, None, None, 0.0, None)
        names = (("left", "Left corner to it"), ("width", "Width"), ("off", "Off the wall"), ("depth", "Depth"))
        chosen = Blank("edge", "Against", str(edge), "choice", self.walls)
        return (chosen, *(Blank(n, words, plain(v)) for (n, words), v in zip(names, figures, strict=True)))

    def _heights(self) -> Card:
        height = self.room.ceiling.height_mm
        blanks = (
            Blank("height", "Floor to ceiling", plain(height)),
            Blank("height2", "again, elsewhere"),
            Blank("height3", "and again"),
        )
        return Card("heights", "room", "Floor to ceiling", _or_not(height), blanks)

    def _span(self, edge: Edge, from_mm: float, width_mm: float) -> tuple[Blank, Blank]:
        left = edge.length_mm - from_mm - width_mm
        return Blank("edge", "In", str(edge.index), "choice", self.walls), Blank(
            "left", "Left corner to it", plain(left)
        )

    def _door(self, door: Door | None) -> Card:
        if door is None:
            chosen = Blank("edge", "In", "0", "choice", self.walls)
            where: tuple[Blank, ...] = (chosen, Blank("left", "Left corner to it"))
        else:
            where = self._span(self.scene.edges[door.edge], door.from_mm, door.clear_mm)
        leaf = door.leaf if door else None
        opens = next((key for key, (_, told) in OPENS.items() if leaf and _is(leaf.kind, leaf.opens, told)), "out")
        hinge = "right" if leaf is None or leaf.hinge == "start" else "left"
        blanks = (
            *where,
            Blank("wide1", "Clear width", plain(door.clear_mm if door else None)),
            Blank("wide2", "halfway up"),
            Blank("wide3", "at the head"),
            Blank("head", "Floor to its head", plain(door.head_mm if door else None)),
            Blank("sill", "Step, if any", plain(door.sill_mm or None) if door else ""),
            Blank("opens", "It opens", opens, "choice", tuple((key, words) for key, (words, _) in OPENS.items())),
            Blank("hinge", "Hung", hinge, "choice", SIDES),
            Blank("planned", "Still to come", "on" if door and door.planned else "", "tick"),
        )
        if door is None:
            return Card("doors", "", "Add a door", "", blanks, "Add the door")
        told = f"{whole_mm(door.clear_mm):,} wide, {whole_mm(door.head_mm):,} high"
        told += ", still to come" if door.planned else ""
        return self._missing(Card("doors", door.id, f"Door {door.id}", told, blanks, may_go=True))

    def _window(self, window: Window | None) -> Card:
        if window is None:
            chosen = Blank("edge", "In", "0", "choice", self.walls)
            where: tuple[Blank, ...] = (chosen, Blank("left", "Left corner to it"))
        else:
            where = self._span(self.scene.edges[window.edge], window.from_mm, window.width_mm)
        figures = (window.width_mm, window.sill_mm, window.head_mm) if window else (None, None, None)
        names = (("wide1", "Width"), ("sill", "Floor to its sill"), ("head", "Floor to its head"))
        blanks = (*where, *(Blank(n, words, plain(v)) for (n, words), v in zip(names, figures, strict=True)))
        if window is None:
            return Card("windows", "", "Add a window", "", blanks, "Add the window")
        told = f"{whole_mm(window.width_mm):,} wide, sill {whole_mm(window.sill_mm):,}"
        return self._missing(Card("windows", window.id, f"Window {window.id}", told, blanks, may_go=True))

    def _slope(self, slope: Slope | None) -> Card:
        strip, near, far = self._slope_ends(slope) if slope else (None, None, None)
        ends: tuple[Blank, ...] = ()
        if slope is None or strip is not None:
            ends = (
                *self._strip(strip),
                Blank("near", "Height at the wall side", plain(near)),
                Blank("far", "Height at the far side", plain(far)),
            )
        name = Blank("name", "What it is called", slope.name if slope else "", "text")
        if slope is None:
            return Card("slopes", "", "Add a slope", "", (name, *ends), "Add the slope")
        told = f"from {plain(near)} up to {plain(far)}" if strip else "by its own points"
        return Card("slopes", slope.name, start(slope.name), told, (name, *ends), may_go=True)

    def _slope_ends(self, slope: Slope) -> tuple[Strip | None, float | None, float | None]:
        """The strip on which it rises square to a wall, the low side at the wall where it can be; and both heights."""
        found = []
        for strip in strips_of(self.room, slope.area_mm):
            heights = _rise(self.scene.edges[strip.edge], slope, strip)
            if heights is not None:
                found.append((strip, *heights))
        return min(found, key=lambda one: one[1] > one[2], default=(None, None, None))

    def _beam(self, beam: Beam | None) -> Card:
        blanks = (
            Blank("name", "What it is called", beam.name if beam else "", "text"),
            *self._place(beam.area_mm if beam else None),
            Blank("soffit", "Floor to its underside", plain(beam.soffit_mm if beam else None)),
        )
        if beam is None:
            return Card("beams", "", "Add a beam", "", blanks, "Add the beam")
        told = f"underside at {whole_mm(beam.soffit_mm):,}"
        return Card("beams", beam.name, start(beam.name), told, blanks, may_go=True)

    def _solid(self, thing: Block | KeepFree | None) -> tuple[Blank, ...]:
        return (
            Blank("name", "What it is", thing.name if thing else "", "text"),
            *self._place(thing.area_mm if thing else None),
            Blank("from", "Its foot, above the floor", plain(thing.from_mm if thing else 0.0)),
            Blank("to", "Its top", plain(thing.to_mm if thing else None)),
        )

    def _fixture(self, block: Block | None) -> Card:
        if block is None:
            return Card("fixtures", "", "Add one", "", self._solid(None), "Add it")
        told = f"{whole_mm(block.from_mm):,} to {whole_mm(block.to_mm):,} above the floor"
        return Card("fixtures", block.id, start(block.name), told, self._solid(block), may_go=True)

    def _keep(self, keep: KeepFree | None) -> Card:
        if keep is None:
            return Card("keep_free", "", "Add a place to keep free", "", self._solid(None), "Add it")
        told = f"up to {whole_mm(keep.to_mm):,}"
        return Card("keep_free", keep.id, start(keep.name), told, self._solid(keep), may_go=True)

    def _alcove(self) -> Card:
        blanks = tuple(one for one in self._place(None) if one.name != "off")
        return Card("alcove", "", "Add an alcove", "", blanks, "Add the alcove")

    def _outlet(self, outlet: Outlet | None) -> Card:
        edge, along, off = _nearest(self.scene.edges, outlet.at_mm) if outlet else (self.scene.edges[0], None, 0.0)
        left = edge.length_mm - along if along is not None else None
        blanks = (
            Blank("name", "What it is", outlet.name if outlet else "", "text"),
            Blank("edge", "In", str(edge.index), "choice", self.walls),
            Blank("left", "Left corner to it", plain(left)),
            Blank("off", "Off the wall", plain(off)),
            Blank("level", "Floor to its middle", plain(outlet.level_mm if outlet else None)),
            Blank("ends", "Where it ends", outlet.ends if outlet else "unknown", "choice", ENDS),
            Blank("run", "Length outside", plain(outlet.outside_run_mm if outlet else 0.0)),
            Blank("bends", "Bends outside", str(outlet.outside_bends) if outlet else "0"),
            *(
                Blank(f"takes-{key}", f"takes {words}", "on" if outlet and key in outlet.takes else "", "tick")
                for key, words in TAKES
            ),
        )
        if outlet is None:
            return Card("outlets", "", "Add a way out", "", blanks, "Add it")
        told = f"{whole_mm(outlet.level_mm):,} above the floor"
        return self._missing(Card("outlets", outlet.id, start(outlet.name), told, blanks, may_go=True))

    def _floor(self) -> Card:
        floor = self.room.floor
        blanks = (
            Blank("storey", "Storey", floor.storey, "choice", STOREYS),
            Blank("build", "Made of", floor.build, "choice", FLOORS),
            Blank("allow", "May carry, kN/m²", f"{floor.allow_kn_m2:g}" if floor.allow_kn_m2 else ""),
        )
        return Card("floor", "room", "Floor", f"{dict(STOREYS)[floor.storey]}, {dict(FLOORS)[floor.build]}", blanks)

    def _wall(self, edge: Edge) -> Card:
        wall = next((wall for wall in self.room.walls if wall.edge == edge.index), None)
        build = wall.build if wall and wall.build != "unknown" else ""
        blanks = (
            Blank("build", "Made of", build, "text"),
            Blank("thick", "Thickness", plain(edge.thick_mm) if wall else "", drawn=plain(edge.thick_mm)),
            Blank("outside", "An outside wall", "on" if wall and wall.outside else "", "tick"),
        )
        told = build or "not known"
        return Card("wall", str(edge.index), start(dict(self.walls)[str(edge.index)]), told, blanks)

    def _corner(self, index: int) -> Card:
        x, y = self.room.outline_mm[index]
        blanks = (Blank("x", "To the right", plain(x)), Blank("y", "Away from you", plain(y)))
        return Card("corner", str(index), f"Corner {index + 1}", f"{plain(x)}, {plain(y)}", blanks, "Put it there")


def _rise(edge: Edge, slope: Slope, strip: Strip) -> tuple[float, float] | None:
    """The heights of a slope at the near and far side of a strip; None where they change along the wall."""
    (_, o0, z0), (_, o1, z1), (_, o2, z2) = ((*edge.measure((x, y)), z) for x, y, z in slope.through_mm)
    for (oa, za), (ob, zb), (oc, zc) in (((o0, z0), (o1, z1), (o2, z2)), ((o0, z0), (o2, z2), (o1, z1))):
        if abs(ob - oa) > 1.0:
            rise = (zb - za) / (ob - oa)
            if abs(za + rise * (oc - oa) - zc) > 0.5:
                return None
            return za + rise * (strip.off_mm - oa), za + rise * (strip.off_mm + strip.depth_mm - oa)
    return None


def _or_not(value_mm: float | None) -> str:
    return NOT_MEASURED if value_mm is None else f"{whole_mm(value_mm):,}"


def _is(kind: str, opens: str, told: dict[str, str]) -> bool:
    return told["kind"] == kind and (kind in ("sliding", "bifold", "none") or told.get("opens") == opens)


def _nearest(edges: tuple[Edge, ...], at: Point) -> tuple[Edge, float, float]:
    """The wall that a point is nearest to, how far along it and how far off it."""

    def gap(edge: Edge) -> float:
        along, off = edge.measure(at)
        return abs(off) + max(0.0, -along, along - edge.length_mm)

    edge = min(edges, key=gap)
    along, off = edge.measure(at)
    return edge, along, off
