"""Two hundred gestures at random in a real browser, and a model that knows nothing but numbers: the same room file.

Alt frees the hand from walls and neighbours, so that a model of a few lines can say where everything comes to.
"""

import math
import random
from collections import Counter
from collections.abc import Callable
from copy import deepcopy
from dataclasses import dataclass, field
from typing import Any

from playwright.sync_api import Page

from geometry.room import Room
from geometry.samples import box_kit, piece, sample_room
from tests.browser.hands import Bench, new_bench

SEED, GESTURES, LEAST_OF_EACH = 2, 200, 5
WIDE, DEEP = 3200, 2400
SIZES = {"tank": (400, 300), "chest": (300, 240), "hung": (440, 300)}
TANK, CHEST = box_kit("tank", 400, 300, 600), box_kit("chest", 300, 240, 500)
HUNG = box_kit("hung", 440, 300, 700, name="Wall boiler", stands_on="wall", base_mm=1200, dry_kg=35)
BESIDE_WALLS_MM = 320
LOWEST, HIGHEST = 900, 1600
MOST_PIECES = 6
SCALE = "() => JSON.parse(document.querySelector('.bench').dataset.handles).scale"
PRESSED = """([id, kind]) => {
  const part = document.querySelector(`#kit [data-${kind}="${id}"]`);
  if (!part) return null;
  const { left, top, width, height } = (part.querySelector(".k") ?? part).getBoundingClientRect();
  const [x, y] = [Math.round(left + width / 2), Math.round(top + height / 2)];
  const here = document.elementsFromPoint(x, y);
  const isClear = part.contains(here[0]) && !here.some((one) => one.closest(".pin"));
  return isClear ? [x, y, Number(part.dataset.edge ?? -1)] : null;
}"""
UPWARDS = {0: (0, 1), 1: (1, 0), 2: (0, -1), 3: (-1, 0)}
"""Which way on the screen is up on the front, the right, the back and the left wall, each folded out along its foot."""


@dataclass
class Spot:
    """A piece as the model has it: mm and degrees."""

    kit: str
    x: float
    y: float
    turn: float = 0
    base: float = 0

    @property
    def reach(self) -> float:
        return math.hypot(*SIZES[self.kit]) / 2

    @property
    def box(self) -> tuple[float, float]:
        """Half its extent along x and y while it stands square; round about it else."""
        half = [size / 2 for size in SIZES[self.kit]]
        if self.turn % 90:
            return self.reach, self.reach
        return (half[0], half[1]) if self.turn % 180 == 0 else (half[1], half[0])


Pieces = dict[str, Spot]


@dataclass
class Model:
    """Positions, turns and heights as plain numbers, and what was done and undone."""

    now: Pieces
    done: list[Pieces] = field(default_factory=list)
    undone: list[Pieces] = field(default_factory=list)

    def become(self, after: Pieces) -> None:
        self.done.append(self.now)
        self.now, self.undone = after, []

    def undo(self) -> None:
        self.undone.append(self.now)
        self.now = self.done.pop()

    def redo(self) -> None:
        self.done.append(self.now)
        self.now = self.undone.pop()

    def put(self, name: str, **new: Any) -> Pieces:
        """All pieces with one of them put otherwise."""
        after = deepcopy(self.now)
        for what, value in new.items():
            setattr(after[name], what, value)
        return after


def fits(pieces: Pieces, name: str) -> bool:
    """Whether one piece is in the room and clear of all others, so that every piece can be taken hold of."""
    one = pieces[name]
    (w, d), hangs = one.box, one.kit == "hung"
    if hangs:
        others = [other for key, other in pieces.items() if key != name and other.kit == "hung"]
        inside = w <= one.x <= WIDE - w and LOWEST <= one.base <= HIGHEST
        return inside and all(abs(one.x - other.x) >= w + other.box[0] for other in others)
    edge = BESIDE_WALLS_MM
    inside = w + edge <= one.x <= WIDE - w - edge and d + edge <= one.y <= DEEP - d - edge
    others = [other for key, other in pieces.items() if key != name and other.kit != "hung"]
    return inside and all(
        abs(one.x - other.x) >= w + other.box[0] or abs(one.y - other.y) >= d + other.box[1] for other in others
    )


def whole(value: float) -> int:
    """To the nearest mm, a half upwards."""
    return math.floor(value + 0.5)


class Hands:
    """Somebody who makes gestures on the page; each tells what the model becomes, or None where it was not made."""

    def __init__(self, bench: Bench, model: Model, chance: random.Random) -> None:
        self.bench, self.page, self.model, self.chance = bench, bench.page, model, chance
        self.scale: float = self.page.evaluate(SCALE)

    def any_of(self, *kits: str) -> str:
        return self.chance.choice([name for name, spot in self.model.now.items() if spot.kit in kits])

    def drag_on_plan(self) -> Pieces | None:
        name = self.any_of("tank", "chest", "hung")
        spot = self.model.now[name]
        right = self.chance.randrange(-70, 71)
        down = 0 if spot.kit == "hung" else self.chance.randrange(-45, 46)
        after = self.model.put(name, x=whole(spot.x + right / self.scale), y=whole(spot.y - down / self.scale))
        return self._drag(name, "piece", right, down, after)

    def drag_along_wall(self) -> Pieces | None:
        return self._drag_on_face(self.any_of("tank", "chest", "hung"), along=True)

    def drag_up_or_down(self) -> Pieces | None:
        return self._drag_on_face(self.any_of("hung"), along=False)

    def _drag_on_face(self, name: str, along: bool) -> Pieces | None:
        at = self.page.evaluate(PRESSED, [name, "face-piece"])
        if at is None:
            return None
        spot, (ux, uy), px = self.model.now[name], UPWARDS[at[2]], self.chance.randrange(-60, 61)
        if not along:
            after = self.model.put(name, base=whole(spot.base + px / self.scale))
            return self._drag(name, "face-piece", px * ux, px * uy, after)
        right, down = (px, 0) if ux == 0 else (0, px)
        after = self.model.put(name, x=whole(spot.x + right / self.scale), y=whole(spot.y - down / self.scale))
        return self._drag(name, "face-piece", right, down, after)

    def _drag(self, name: str, kind: str, right: int, down: int, after: Pieces) -> Pieces | None:
        if after == self.model.now or math.hypot(right, down) < 5 or not fits(after, name):
            return None
        at = self.page.evaluate(PRESSED, [name, kind])
        if at is None:
            return None
        mouse, keyboard = self.page.mouse, self.page.keyboard
        keyboard.down("Alt")
        mouse.move(at[0], at[1])
        mouse.down()
        mouse.move(at[0] + right / 2, at[1] + down / 2)
        mouse.move(at[0] + right, at[1] + down)
        mouse.up()
        keyboard.up("Alt")
        return after

    def nudge(self) -> Pieces | None:
        name = self.any_of("tank", "chest", "hung")
        hold, mm = self.chance.choice([("", 5), ("Shift+", 50), ("Alt+", 1)])
        ways = ["ArrowLeft", "ArrowRight"]
        ways += ["PageUp", "PageDown"] if self.model.now[name].kit == "hung" else ["ArrowUp", "ArrowDown"]
        key, times = self.chance.choice(ways), self.chance.randrange(1, 4)
        spot, by = self.model.now[name], mm * times
        puts = {
            "ArrowLeft": {"x": spot.x - by}, "ArrowRight": {"x": spot.x + by}, "ArrowUp": {"y": spot.y + by},
            "ArrowDown": {"y": spot.y - by}, "PageUp": {"base": spot.base + by}, "PageDown": {"base": spot.base - by},
        }  # fmt: skip
        return self._press(name, f"{hold}{key}", times, self.model.put(name, **puts[key]))

    def turn(self) -> Pieces | None:
        name = self.any_of("tank", "chest")
        key, degrees = self.chance.choice([("r", 90), ("Shift+R", -90), ("t", 15), ("Shift+T", -15)])
        after = self.model.put(name, turn=(self.model.now[name].turn + degrees) % 360)
        return self._press(name, key, 1, after)

    def _press(self, name: str, key: str, times: int, after: Pieces) -> Pieces | None:
        """The run of presses is over when the focus goes on to something else."""
        if not fits(after, name):
            return None
        self.page.locator(f'#kit [data-piece="{name}"]').focus()
        for _ in range(times):
            self.page.keyboard.press(key)
        self.page.keyboard.press("Tab")
        return after

    def another(self) -> Pieces | None:
        """Right beside it, on its right, where nothing is."""
        name = self.any_of("tank", "chest")
        spot = self.model.now[name]
        if spot.turn % 90 or len(self.model.now) >= MOST_PIECES:
            return None
        wide, (right, away) = SIZES[spot.kit][0], {0: (1, 0), 90: (0, 1), 180: (-1, 0), 270: (0, -1)}[int(spot.turn)]
        new = f"p{1 + max([int(key[1:]) for key in self.model.now if key[0] == 'p'], default=0)}"
        after = deepcopy(self.model.now) | {new: Spot(spot.kit, spot.x + wide * right, spot.y + wide * away, spot.turn)}
        if not fits(after, new):
            return None
        self.page.locator(f'#kit [data-piece="{name}"]').focus()
        self.page.keyboard.press("d")
        return after

    def take_out(self) -> Pieces | None:
        copies = [name for name in self.model.now if name[0] == "p"]
        if not copies:
            return None
        name = self.chance.choice(copies)
        self.page.locator(f'#kit [data-piece="{name}"]').focus()
        self.page.keyboard.press("Delete")
        return {key: spot for key, spot in deepcopy(self.model.now).items() if key != name}


def a_room() -> Room:
    pieces = [
        piece(TANK, 1000, 1000, id="t"), piece(CHEST, 2200, 1300, id="c"), piece(HUNG, 800, DEEP - 150, id="h"),
        piece(HUNG, 2400, DEEP - 150, id="k"),
    ]  # fmt: skip
    outline = [[0, 0], [WIDE, 0], [WIDE, DEEP], [0, DEEP]]
    return sample_room([TANK, CHEST, HUNG], pieces, outline_mm=outline, name="Boot room, Harbour Row")


def model_of(file: dict[str, Any]) -> Pieces:
    """The pieces of a room file as the model has them."""
    usual = {kit["key"]: kit.get("base_mm", 0) for kit in file["kit"]}
    return {
        one["id"]: Spot(one["kit"], *one["at_mm"], one.get("turn_deg", 0), one.get("base_mm", usual[one["kit"]]))
        for one in file["pieces"]
    }


def rest_of(file: dict[str, Any]) -> dict[str, Any]:
    """Everything but where the pieces are."""
    return {key: value for key, value in file.items() if key != "pieces"}


def test_two_hundred_gestures_give_the_room_file_that_the_model_foretells(page: Page, server_url: str) -> None:
    page.set_viewport_size({"width": 1440, "height": 900})
    bench, chance = new_bench(page, server_url, a_room()), random.Random(SEED)
    first = bench.saved()
    model = Model(model_of(first))
    hands = Hands(bench, model, chance)
    ways: list[Callable[[], Pieces | None]] = [
        hands.drag_on_plan, hands.drag_along_wall, hands.drag_up_or_down, hands.nudge, hands.turn, hands.another,
        hands.take_out,
    ]  # fmt: skip
    made: Counter[str] = Counter()

    while made.total() < GESTURES:
        way = "redo" if model.undone and chance.random() < 0.4 else chance.choice(["undo", "undo", *ways, *ways])
        if callable(way):
            after, told = way(), way.__name__
            if after is None:
                continue
            model.become(after)
        elif model.done if way == "undo" else model.undone:
            told = way
            _ = model.undo() if way == "undo" else model.redo()
            page.keyboard.press("Control+z" if way == "undo" else "Control+y")
        else:
            continue
        made[told] += 1
        bench.layout_is(1 + made.total())
        assert model_of(bench.saved()) == model.now, (made.total(), told)

    assert rest_of(bench.saved()) == rest_of(first)
    assert len(made) == len(ways) + 2
    assert min(made.values()) >= LEAST_OF_EACH, made
