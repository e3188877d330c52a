"""The workbench as its templates need it: the drawing, the notes, the label, the counts, and what may be undone."""

from collections import Counter
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from zlib import crc32

from markupsafe import Markup

from geometry.check import VERDICTS, Finding, Remedy
from geometry.pipe_editing import pipe_of, runs_of
from geometry.pipes.runs import pipe_runs
from geometry.remedies import Sought, a_move_may_cure
from geometry.scene import Scene
from server.checked import find, findings_of, key_of, scene_of, sought_of
from server.cures import Press, cure_words, press_for
from server.drawing import Unfolded, draw_findings, draw_kit, draw_room, inset, inset_caption, key_plan, patterns, pins
from server.drawing.findings import Marked, kept_clear, marked, pin_box
from server.drawing.fixed import outlet_links
from server.drawing.marks import wall_of
from server.drawing.pipe_hand import pipe_hits, pipe_line, pipe_rings
from server.drawing.pipe_looks import LegendLine, pipe_legend
from server.drawing.seats import seats
from server.drawing.svg import Box, bounds, overlap
from server.drawing.unfold import outer_ring
from server.handles import handles
from server.in_words import Told, room_in_words
from server.label import Label, Row, SeveralLabel, label_of, rows_of, several_of
from server.look import VIEWS_KEPT, Look, shown_wall, view_of
from server.note_groups import Group, grouped
from server.notes import Note, notes_of, numbered
from server.pipe_cards import PipeCard, PipesOf, card_of, of_piece, pipes_of
from server.questions import Question, questions_of
from server.several import ids_of
from server.steps import History
from server.store import Layout
from server.swaps import SwapTold, swap_told
from server.walk import Walk, walk

INSET_PX = {"wide": (226, 200), "medium": (208, 168), "phone": (320, 200)}
TITLE_PX, COMMANDS_PX = (210.0, 212.0), (150.0, 200.0)
NOTHING_DONE = History(None, None)


@dataclass(frozen=True)
class Bench:
    """One layout under one look. ``scene`` and ``findings`` are the layout's own, or those of a piece being tried."""

    layout: Layout
    look: Look
    scene: Scene
    findings: tuple[Finding, ...]
    piece: str = ""
    note: str = ""
    history: History = NOTHING_DONE
    latest: int | None = None
    trying: bool = False
    seeks: bool = True
    since: Layout | None = None
    turned: bool = False
    pipe: str = ""
    also: tuple[str, ...] = ()

    @property
    def title(self) -> str:
        """The room's name before its first comma."""
        return self.scene.room.name.partition(", ")[0]

    @property
    def place(self) -> str:
        """The room's name after its first comma."""
        return self.scene.room.name.partition(", ")[2]

    @property
    def shows(self) -> str:
        """What the drawing shows, for people who cannot see it."""
        return self.walk.here if self.look.mode == "phone" else "unfolded"

    @property
    def counts(self) -> dict[str, int]:
        """Findings of each verdict, always all four."""
        counted = Counter(finding.verdict for finding in self.findings)
        return {verdict: counted[verdict] for verdict in VERDICTS}

    @property
    def picked(self) -> Finding | None:
        """The finding whose note is picked, while it is one that asks for something."""
        finding = find(self.findings, self.note) if self.note else None
        return finding if finding and finding.verdict in ("put-right", "look-again") else None

    @cached_property
    def remedy(self) -> Remedy | None:
        """The smallest move for the picked note. Never looked for while a piece is being tried."""
        return self._sought.remedy

    @cached_property
    def _sought(self) -> Sought:
        picked = self.picked
        return sought_of(self.layout, picked) if self.seeks and picked and self._may_be_cured else Sought()

    @property
    def _may_be_cured(self) -> bool:
        picked = self.picked
        if picked is None or picked.verdict != "put-right" or picked.accepted or self.trying:
            return False
        return a_move_may_cure(picked)

    @property
    def cure(self) -> str:
        """What to do about the picked note where no move is offered, in words; empty where nothing is to be done."""
        picked = self.picked
        if picked is None or picked.accepted or self.trying:
            return ""
        sought = replace(picked, given_up=self._sought.given_up)
        return cure_words(sought) if picked.verdict == "put-right" or self.press else ""

    @cached_property
    def press(self) -> Press | None:
        """The button for a cure that is no move."""
        return press_for(self.scene, self.picked) if self.picked and not self.trying else None

    @property
    def will_seek(self) -> bool:
        """Whether the page should ask for the smallest move once the sheet lies open: looking for it takes a moment."""
        return self._may_be_cured and not self.seeks

    @cached_property
    def notes(self) -> list[Note]:
        """Every numbered note, worst first."""
        return notes_of(self.findings, self.note, self.remedy)

    @cached_property
    def questions(self) -> list[Question]:
        """What was not checked."""
        return questions_of(self.findings, self.layout.room)

    @property
    def asked(self) -> str:
        """The list of questions in short: a page that shows the same one need not get it again."""
        return f"{crc32(repr(self.questions).encode()):x}" if self.questions else ""

    @property
    def written(self) -> str:
        """The marks and the notes in short: a page that shows the same ones need not get them again."""
        return f"{crc32(f'{self.trying}{self.note}{self.notes}{self.counts}{self.marks}'.encode()):x}"

    def note_groups(self, by: str) -> list[Group[Note]]:
        """The notes as somebody wants them set out: "" (worst first), "piece" or "check"."""
        return grouped(self.notes, by, self.scene)

    def question_groups(self, by: str) -> list[Group[Question]]:
        """The questions, the same."""
        return grouped(self.questions, by, self.scene)

    @property
    def in_words(self) -> Told:
        """The room for a person who cannot see the drawing."""
        return room_in_words(self.scene, self.counts)

    @cached_property
    def label(self) -> Label | None:
        """The label of the picked piece."""
        return label_of(self.scene, self.piece) if self.piece else None

    @cached_property
    def several(self) -> SeveralLabel | None:
        """The label of all that is picked, where that is more than one piece."""
        return several_of(self.scene, (self.piece, *self.also)) if self.piece and self.also else None

    @cached_property
    def swap(self) -> SwapTold | None:
        """What the swap of the picked piece has changed, right after it."""
        return swap_told(self.since, self.layout, self.piece) if self.since and self.piece else None

    @property
    def rows(self) -> list[Row]:
        """The lines of the label alone, which follow a piece while it is being tried."""
        placed = self.scene.piece(self.piece)
        return rows_of(self.scene, placed, self.findings) if placed else []

    @cached_property
    def pipes(self) -> PipesOf | None:
        """The pipes of the picked piece. Never listed while a piece is being tried."""
        return pipes_of(self.scene, self.piece) if self.piece and not self.trying else None

    @cached_property
    def held(self) -> PipeCard | None:
        """The picked pipe of the picked piece."""
        return card_of(self.scene, self.pipe) if self.pipe else None

    @property
    def held_drawn(self) -> tuple[Markup, Markup]:
        """The picked pipe over the plan: its line, and what a hand takes hold of."""
        if self.held is None:
            return Markup(), Markup()
        pipe = pipe_of(self.layout.room, self.pipe)
        runs = runs_of(self.scene, self.pipe)
        return pipe_line(self.view, self.scene, runs), pipe_rings(self.view, self.scene, pipe, self.held.name)

    @property
    def pipe_hits(self) -> Markup:
        """What a hand hits to pick a pipe on the drawing."""
        return pipe_hits(self.view, self.scene)

    @property
    def outlet_links(self) -> Markup:
        """A link to its form round each outlet of the drawing."""
        return outlet_links(self.view, self.scene, f"/rooms/{self.layout.room_id}")

    @cached_property
    def view(self) -> Unfolded:
        """The drawing's layout: that of the saved layout, also while a piece is being tried."""
        return view_of(self.layout, self.look)

    @property
    def crowded(self) -> bool:
        """On a tablet: whether the corners of the drawing are too small for the title and the commands."""
        if self.look.mode != "medium":
            return False
        boxes = [face.box for face in self.view.faces]
        boxes.append(bounds([self.view.plan.to_px(point) for point in outer_ring(self.scene.edges)]))
        title, commands = (
            (0.0, 0.0, *TITLE_PX),
            (0.0, self.view.height_px - COMMANDS_PX[1], COMMANDS_PX[0], self.view.height_px),
        )
        return any(overlap(box, corner) > 0 for box in boxes for corner in (title, commands))

    @property
    def paper(self) -> Markup:
        """The room itself."""
        return draw_room(self.view, self.scene)

    @property
    def kit(self) -> Markup:
        """Every piece."""
        return draw_kit(self.view, self.scene, self.piece or None, _pinned(self.layout, self.look))

    @cached_property
    def numbered(self) -> list[tuple[int, Finding]]:
        """What asks for something, with its number; the picked one knows its remedy."""
        return [
            (number, replace(finding, remedy=self.remedy) if self.remedy and key_of(finding) == self.note else finding)
            for number, finding in numbered(self.findings)
        ]

    @cached_property
    def marks(self) -> Markup:
        """What the checker writes on the drawing."""
        clear, known = _kept_clear(self.layout, self.look), _marked(self.layout, self.look)
        return draw_findings(self.view, self.scene, self.numbered, self.note if self.picked else None, clear, known)

    @property
    def patterns(self) -> Markup:
        """The hatches, for the definitions of the drawing."""
        return patterns()

    @property
    def pipe_legend(self) -> tuple[LegendLine, ...]:
        """What the lines of the pipes mean; nothing where the room has none."""
        return pipe_legend(pipe_runs(self.scene))

    @property
    def inset(self) -> tuple[str, Markup] | None:
        """The place of the picked note, stood upright and larger, with what it shows in words."""
        picked = next(((n, f) for n, f in self.numbered if self.note and key_of(f) == self.note), None)
        if picked is None or self.trying:
            return None
        number, finding = picked
        drawn = inset(self.scene, finding, *self.inset_px)
        return (f"Note {number}, {inset_caption(self.scene, finding)}", drawn) if drawn else None

    @property
    def inset_px(self) -> tuple[int, int]:
        """Width and height of the inset."""
        return INSET_PX[self.look.mode]

    @property
    def walk(self) -> Walk:
        """On a phone: the wall that is shown, and its neighbours."""
        return walk(self.scene, self.look)

    @property
    def key_plan(self) -> Markup:
        """On a phone: the small plan with the shown wall heavy, 62 by 50 px."""
        return key_plan(self.view, self.scene, shown_wall(self.scene, self.look))

    @property
    def handles(self) -> str:
        """What the browser needs to move pieces."""
        return handles(self.scene, self.view)


@lru_cache(maxsize=VIEWS_KEPT)
def _kept_clear(layout: Layout, look: Look) -> tuple[Box, ...]:
    """What pins leave alone: where names stand in the saved layout, also while a piece is being tried."""
    return kept_clear(view_of(layout, look), scene_of(layout))


@lru_cache(maxsize=VIEWS_KEPT)
def _pinned(layout: Layout, look: Look) -> tuple[Box, ...]:
    """What the pins of the saved layout cover."""
    view, scene = view_of(layout, look), scene_of(layout)
    noted = numbered(findings_of(layout))
    return tuple(pin_box(view, pin) for pin in pins(view, scene, noted, _kept_clear(layout, look)))


@lru_cache(maxsize=VIEWS_KEPT)
def _marked(layout: Layout, look: Look) -> Marked:
    """The marks of the saved layout, most of which stay as they are while a piece is being tried."""
    noted = [finding for _, finding in numbered(findings_of(layout))]
    return marked(view_of(layout, look), scene_of(layout), noted)


def bench_of(
    layout: Layout,
    look: Look,
    *,
    piece: str = "",
    also: str = "",
    note: str = "",
    history: History = NOTHING_DONE,
    latest: int | None = None,
    seeks: bool = True,
    since: Layout | None = None,
    pipe: str = "",
) -> Bench:
    """The workbench of a saved layout; ``since`` is the layout that a swap of the picked piece is told against.

    ``also`` holds the ids of what is picked beside ``piece``, parted by spaces; those that are gone are left out.
    """
    scene, found = scene_of(layout), findings_of(layout)
    more = [piece_id for piece_id in ids_of(also, piece) if scene.piece(piece_id)] if also else []
    first, others = (more[0], tuple(more[1:])) if more else (piece, ())
    held = pipe if of_piece(scene, pipe, first) else ""
    return Bench(
        layout, look, scene, found, first, note, history, latest, seeks=seeks, since=since, also=others, pipe=held
    )


def facing(bench: Bench) -> Look:
    """On a phone: the look that shows the picked note, on the wall that is shown already if it has it."""
    picked = [pin for pin in pins(bench.view, bench.scene, bench.numbered) if pin.key == bench.note]
    if picked or bench.picked is None:
        return bench.look
    edge = wall_of(bench.scene, bench.picked, seats(bench.scene))
    return replace(bench.look, wall="plan" if edge is None else str(edge))
