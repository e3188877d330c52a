"""For each question that the room file can answer: the blanks in which to write what is asked, or how to draw it."""

from collections.abc import Callable
from dataclasses import dataclass, field

from geometry.check import Finding, tidy
from geometry.kit import Medium
from geometry.room import Outlet
from geometry.scene import Scene
from geometry.words import start, wall_name
from server.asked import BASES
from server.own_figures import SIDE_NAMES
from server.pipe_blanks import ENDS, ENDS_WORDS

Choices = tuple[tuple[str, str], ...]

WALL_BUILDS: Choices = tuple(
    (build, build)
    for build in (
        "brick", "block", "stone", "concrete", "timber studs and plasterboard", "metal studs and plasterboard",
        "plasterboard with ply behind it", "plasterboard on dabs, brick behind", "unknown",
    )
)  # fmt: skip
STOREYS: Choices = tuple((name, name) for name in ("unknown", "ground", "upper", "loft", "cellar"))
FLOOR_BUILDS: Choices = tuple((name, name) for name in ("unknown", "concrete", "timber"))
BASIS_CHOICES: Choices = tuple((basis, "from memory" if basis == "memory" else basis) for basis in BASES)
LEVEL_LOW_MM, BELOW_CEILING_MM = 150.0, 150.0


@dataclass(frozen=True)
class Blank:
    """One blank: a figure, a line of words, or a choice."""

    name: str
    label: str
    value: str = ""
    choices: Choices = ()
    required: bool = False
    words: bool = False
    wide: bool = False


@dataclass(frozen=True)
class BlankForm:
    """One form of a question: what it does, its blanks, and the words about it."""

    do: str
    title: str
    button: str
    blanks: tuple[Blank, ...] = ()
    hidden: Choices = ()
    says: str = ""
    link: tuple[str, str] = ("", "")


@dataclass(frozen=True)
class _Rule:
    """Which questions a form belongs to: those of a check, and of a topic that ends so."""

    check: str
    topic: str
    forms: Callable[[Scene, Finding], list[BlankForm]] = field(repr=False)


def forms_for(scene: Scene, finding: Finding) -> list[BlankForm]:
    """What can be told to settle a question; nothing where only somebody's written answer can."""
    asks = finding.question
    if asks.startswith("Where is the door"):
        return _drawn("Doors are measured with the room, or written into the room file.")(scene, finding)
    if "high is the ceiling" in asks:
        return _ceiling(scene, finding)
    if " weigh" in asks and finding.pieces and finding.found is None:
        return _weight(scene, finding)
    rules = (rule for rule in _RULES if rule.check in (finding.check, "") and finding.topic.endswith(rule.topic))
    return next((made for rule in rules if (made := rule.forms(scene, finding))), [])


def _figure_blanks(name: str, label: str, value: str = "") -> tuple[Blank, ...]:
    """A figure with where it comes from and its page."""
    return (
        Blank(name, label, value, required=True),
        Blank(f"{name}_basis", "Where from", "measured", BASIS_CHOICES),
        Blank(f"{name}_note", "Page or note", words=True, wide=True),
    )


def _ceiling(scene: Scene, _: Finding) -> list[BlankForm]:
    says = "Slopes and beams are drawn in the room file: an area and its heights."
    blank = Blank("height_mm", "Finished floor to ceiling, mm", required=True, wide=True)
    return [BlankForm("ceiling", "How high is it?", "Write the height", (blank,), says=says)]


def _weight(scene: Scene, finding: Finding) -> list[BlankForm]:
    piece = finding.pieces[0]
    blanks = (*_figure_blanks("dry_kg", "Empty, kg"), Blank("water_l", "Water in it, L", wide=True))
    weight = BlankForm("figures", "Its weight", "Write the weight", blanks, (("piece", piece),))
    return [weight, *(_wall(scene, finding) if finding.check == "wall-load" else [])]


def _spaces(scene: Scene, finding: Finding) -> list[BlankForm]:
    """The room that a kind of one's own needs on the sides of which its maker's papers told nothing."""
    placed = scene.piece(finding.pieces[0])
    known = {space.side for space in placed.kit.space} if placed else set()
    sides = [side for side in placed.kit.space_unknown if side not in known] if placed else []
    blanks = [Blank(f"space_{side}_mm", f"{SIDE_NAMES[side]}, mm") for side in sides]
    hidden = [("piece", finding.pieces[0]), *((f"space_{side}_mm_basis", "manual") for side in sides)]
    says = "0 where none is needed. A side left empty stays a question."
    page = Blank("page", "Manual and page", words=True, wide=True)
    return [BlankForm("figures", "Space to work", "Write it down", (*blanks, page), tuple(hidden), says)]


def _floor(scene: Scene, finding: Finding) -> list[BlankForm]:
    floor = scene.room.floor
    carries = "" if floor.allow_kn_m2 is None else f"{tidy(floor.allow_kn_m2)}"
    blanks = (
        Blank("storey", "Which floor is it", floor.storey, STOREYS),
        Blank("build", "What is it made of", floor.build, FLOOR_BUILDS),
        Blank("allow_kn_m2", "What it carries, kN/m²", carries, wide=True),
    )
    says = "With a figure, more than it is put right. Less than it stays a question: only an engineer answers that."
    return [BlankForm("floor", "The floor", "Write it down", blanks, says=says)]


def _wall(scene: Scene, finding: Finding) -> list[BlankForm]:
    edge = next((ref.removeprefix("edge:") for ref in finding.against if ref.startswith("edge:")), None)
    if edge is None:
        return []
    build = next((wall.build for wall in scene.room.walls if str(wall.edge) == edge), "unknown")
    builds = WALL_BUILDS if (build, build) in WALL_BUILDS else ((build, build), *WALL_BUILDS)
    blanks = (
        Blank("build", f"{start(wall_name(scene, int(edge)))} is", build, builds, wide=True),
        Blank("other", "Or in your own words", words=True, wide=True),
    )
    return [BlankForm("wall", "The wall", "Write it down", blanks, (("edge", edge),))]


def _heating(scene: Scene, finding: Finding) -> list[BlankForm]:
    heating = scene.room.heating
    known = {
        name: "" if value is None else f"{tidy(value)}"
        for name, value in (
            ("system_l", heating.system_l), ("own_vessel_l", heating.own_vessel_l or None),
            ("charge_bar", heating.charge_bar), ("valve_bar", heating.valve_bar),
        )
    }  # fmt: skip
    blanks = (
        Blank("system_l", "The system holds, L", known["system_l"], required=True),
        Blank("own_vessel_l", "Heat source's own vessel, L", known["own_vessel_l"]),
        Blank("charge_bar", "Charge, bar", known["charge_bar"]),
        Blank("valve_bar", "Safety valve, bar", known["valve_bar"]),
    )
    says = "Boiler, pipes and radiators together. Bar left empty are taken as is usual: 1 and 3."
    return [BlankForm("heating", "The heating", "Write it down", blanks, says=says)]


def _vents(scene: Scene, finding: Finding) -> list[BlankForm]:
    height, placed = scene.room.ceiling.height_mm, scene.piece(finding.pieces[0])
    high = "" if height is None else f"{tidy(max(0.0, height - BELOW_CEILING_MM))}"
    blanks = [
        Blank("to", "They lead to", "room", (("room", "another room"), ("outside", "the outside")), wide=True),
        Blank("high_cm2", "High up: free area, cm²"), Blank("high_mm", "its level, mm", high),
        Blank("low_cm2", "Low down: free area, cm²"), Blank("low_mm", "its level, mm", f"{tidy(LEVEL_LOW_MM)}"),
    ]  # fmt: skip
    if placed is not None and placed.kit.input_kw is None:
        blanks += [
            Blank("input_kw", "Heat input, kW"),
            Blank("input_kw_basis", "Where from", "manual", BASIS_CHOICES),
            Blank("input_kw_note", "Page or note", words=True, wide=True),
        ]
    return [BlankForm("vents", "Openings for air", "Write them down", tuple(blanks), (("of", finding.pieces[0]),))]


def _water_level(scene: Scene, finding: Finding) -> list[BlankForm]:
    says = "Where the float valve shuts, measured from the foot of the tank."
    blanks = _figure_blanks("water_level_mm", "Water stands, above its base, mm")
    return [
        BlankForm("figures", "The float valve", "Write the level", blanks, (("piece", finding.pieces[0]),), says=says)
    ]


def _outlet(scene: Scene, finding: Finding) -> list[BlankForm]:
    medium = _medium(scene, finding)
    if medium is None:
        return []
    there = [outlet for outlet in scene.room.outlets if medium not in outlet.takes]
    walls: Choices = tuple((str(i), start(wall_name(scene, i))) for i in range(len(scene.edges)))
    new = (
        Blank("called", "What it is", words=True, required=True, wide=True),
        Blank("edge", "In", choices=walls), Blank("left_mm", "From its left corner, mm", required=True),
        Blank("level_mm", "Level above floor, mm", required=True),
        Blank("ends", "It ends", "unknown", tuple((end, ENDS_WORDS[end]) for end in ENDS)),
        Blank("outside_run_mm", "Length outside, mm"),
    )  # fmt: skip
    forms = [BlankForm("outlet", "A new outlet", "Put it in the wall", new, (("medium", medium),))]
    if there:
        outlets: Choices = tuple((outlet.id, start(outlet.name)) for outlet in there)
        blank = Blank("outlet", "It goes to", choices=outlets, wide=True)
        forms.insert(0, BlankForm("outlet", "One that is there", "It takes this too", (blank,), (("medium", medium),)))
    return forms


def _medium(scene: Scene, finding: Finding) -> Medium | None:
    """What the pipe carries: the medium of its port."""
    if finding.check == "discharge":
        return "hot-discharge"
    placed, port = scene.piece(finding.pieces[0]), finding.topic.rpartition(", ")[0]
    return next((one.medium for one in placed.kit.port if one.name == port), None) if placed else None


def _ends(scene: Scene, finding: Finding) -> list[BlankForm]:
    """Where an outlet ends: of the one that the finding names, or of each that takes this."""
    medium = _medium(scene, finding)
    named = [outlet for outlet in scene.room.outlets if outlet.id in finding.against]
    some = named or [outlet for outlet in scene.room.outlets if medium in outlet.takes]
    return [_ends_form(outlet, finding.check == "discharge") for outlet in some]


def _ends_form(outlet: Outlet, ground: bool) -> BlankForm:
    above = "" if outlet.above_ground_mm is None else f"{tidy(outlet.above_ground_mm)}"
    blanks = (
        Blank("ends", "It ends", outlet.ends, tuple((end, ENDS_WORDS[end]) for end in ENDS), wide=True),
        Blank("outside_run_mm", "Length outside, mm", f"{tidy(outlet.outside_run_mm)}"),
        *((Blank("above_ground_mm", "Above the ground, mm", above),) if ground else ()),
    )
    return BlankForm("ends", start(outlet.name), "Write it down", blanks, (("outlet", outlet.id),))


def _pipe(scene: Scene, finding: Finding) -> list[BlankForm]:
    says = "Its size, its inside and its material are written on the back of the label, under More."
    return [BlankForm("", "The pipe", "", says=says, link=(finding.pieces[0], "To its label"))]


def _flue(scene: Scene, finding: Finding) -> list[BlankForm]:
    if finding.topic:
        says = "Openings, gutters, pipes and corners near it are drawn in the room file, as things outside a wall."
        return [BlankForm("", "What is near it", "", says=says)]
    walls: Choices = tuple((str(i), start(wall_name(scene, i))) for i in range(len(scene.edges)))
    blanks = (
        Blank("edge", "It goes out through", choices=walls, wide=True),
        Blank("left_mm", "From its left corner, mm", required=True),
        Blank("level_mm", "Level above floor, mm", required=True),
    )
    says = "The middle of its terminal, left and right as seen from inside. Through the roof: write it as an answer."
    return [BlankForm("flue", "Where it ends", "Write it down", blanks, (("of", finding.pieces[0]),), says=says)]


def _alarm(scene: Scene, finding: Finding) -> list[BlankForm]:
    says = "It goes to a free stretch of wall; move it where it will hang."
    return [BlankForm("add", "An alarm", "Put one on the wall", hidden=(("kit", "carbon-monoxide-alarm"),), says=says)]


def _tundish(scene: Scene, finding: Finding) -> list[BlankForm]:
    return [BlankForm("add", "A tundish", "Put one on the wall", hidden=(("kit", "tundish"),))]


def _system(scene: Scene, finding: Finding) -> list[BlankForm]:
    says = "In words, such as: system boiler, unvented, sealed heating; or heat pump; or combination boiler."
    blank = Blank("system", "The system is", scene.room.system, required=True, words=True, wide=True)
    return [BlankForm("system", "The system", "Write it down", (blank,), says=says)]


def _manual(scene: Scene, finding: Finding) -> list[BlankForm]:
    pieces: Choices = tuple((ref, start(scene.names[ref])) for ref in finding.pieces)
    blanks = (
        Blank("piece", "Read for", choices=pieces, wide=True),
        Blank("page", "Which manual, which page", words=True, required=True, wide=True),
    )
    says = "This says that its sizes, weights and spaces are as shown here. Where the manual differs, write the figure "
    return [
        BlankForm("manual", "The manual has been read", "Its figures are as shown", blanks,
                  says=f"{says}on the back of its label.", link=(finding.pieces[0], "To the label")),
    ]  # fmt: skip


def _door(scene: Scene, finding: Finding) -> list[BlankForm]:
    door = next((door for door in scene.room.doors if door.id in finding.pieces), None)
    if door is None or door.leaf.kind != "sliding":
        return []
    sides: Choices = (("in", "along the inside of the wall"), ("out", "along the outside of the wall"))
    says = "Into the wall, or along a side that is not drawn: write it as an answer."
    blank = Blank("opens", "It slides", door.leaf.opens, sides, wide=True)
    return [BlankForm("door", "The door", "Write it down", (blank,), (("door", door.id),), says=says)]


def _drawn(says: str) -> Callable[[Scene, Finding], list[BlankForm]]:
    return lambda scene, finding: [BlankForm("", "How to draw it", "", says=says)]


_RULES = (
    _Rule("service-space", "not-told", _spaces),
    _Rule("floor-load", "platform", _drawn("A platform is a piece, or a fixture of the room file, under the tank.")),
    _Rule("floor-load", "", _floor),
    _Rule("wall-load", "", _wall),
    _Rule("vessel", "", _heating),
    _Rule("compartment-air", "", _vents),
    _Rule("overflow", ", water level", _water_level),
    *(_Rule(check, ", outlet", _outlet) for check in ("condensate", "overflow", "relief")),
    *(_Rule(check, ", end place", _ends) for check in ("condensate", "overflow", "relief")),
    *(_Rule(check, size, _pipe) for check in ("condensate", "overflow", "relief") for size in (", size", "outside")),
    _Rule("discharge", "tundish", _tundish),
    _Rule("discharge", "outlet", _outlet),
    _Rule("discharge", "end-place", _ends),
    *(_Rule("discharge", topic, _pipe) for topic in ("size", "material", "shared")),
    _Rule("flue-terminal", "", _flue),
    _Rule("keep-apart", "alarm-ring", _alarm),
    _Rule(
        "keep-apart", "gas-pipe", _drawn("A gas pipe is drawn in the room file, from a port by points to an outlet.")
    ),
    _Rule("kit-list", "system", _system),
    _Rule("look-on-site", "manuals", _manual),
    _Rule("door-swing", "", _door),
)
