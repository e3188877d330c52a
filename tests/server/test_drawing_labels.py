"""What is written on a drawing lies clear of other words and of the dark walls of the plan."""

import re
from itertools import combinations
from pathlib import Path

import pytest

from geometry.reading import read_room
from geometry.scene import Scene, build
from server.drawing import draw_kit, unfolded
from server.drawing.labels import text_width
from server.drawing.pipe_labels import pipe_labels
from server.drawing.room_labels import kit_boxes, room_labels, text_boxes, wall_boxes
from server.drawing.seats import seats
from server.drawing.svg import Box, overlap
from server.drawing.unfold import Unfolded

DEMO_ROOMS = sorted((Path(__file__).parents[2] / "demo_rooms").glob("*.json"))
SIZES_PX = [(780.0, 720.0), (700.0, 640.0)]
TEXT = re.compile(r'<text class="([^"]*)" x="([-\d.]+)" y="([-\d.]+)"[^>]*>([^<]*)</text>')


def drawn(path: Path, size: tuple[float, float]) -> tuple[Unfolded, Scene]:
    scene = build(read_room(path.read_bytes()))
    return unfolded(scene, *size), scene


def boxes_of(svg: str, size: float) -> dict[str, Box]:
    """The words of a drawing and the boxes that they fill: capitals are about 0.7 of the size high."""
    found = {}
    for _, x, y, words in TEXT.findall(svg):
        half = text_width(words, size) / 2
        found[f"{words} at {x}, {y}"] = (float(x) - half, float(y) - 0.7 * size, float(x) + half, float(y))
    return found


@pytest.mark.parametrize("size", SIZES_PX)
@pytest.mark.parametrize("path", DEMO_ROOMS, ids=lambda path: path.stem)
def test_names_of_outlets_do_not_lie_on_each_other(path: Path, size: tuple[float, float]) -> None:
    view, scene = drawn(path, size)
    names = {outlet.name for outlet in scene.room.outlets}

    written = boxes_of(room_labels(view, scene), view.grain.dim)
    outlets = {words: box for words, box in written.items() if words.split(" at ")[0] in names}
    assert [(a, b) for a, b in combinations(outlets, 2) if overlap(outlets[a], outlets[b]) > 0] == []


def test_sizes_of_pipes_keep_clear_of_the_pins() -> None:
    view, scene = drawn(DEMO_ROOMS[0], SIZES_PX[0])
    sizes = [box for words, box in boxes_of(str(draw_kit(view, scene)), view.grain.dim).items() if " D2 " in words]
    x0, y0, x1, y1 = sizes[0]
    pin = (x0 - 2, y0 - 2, x1 + 2, y1 + 2)

    again = boxes_of(str(draw_kit(view, scene, None, [pin])), view.grain.dim)
    assert [words for words, box in again.items() if " D2 " in words and overlap(box, pin) > 0] == []


@pytest.mark.parametrize("size", SIZES_PX)
@pytest.mark.parametrize("path", DEMO_ROOMS, ids=lambda path: path.stem)
def test_sizes_of_pipes_lie_clear_of_each_other_and_are_not_half_in_a_wall(
    path: Path, size: tuple[float, float]
) -> None:
    view, scene = drawn(path, size)

    labels = pipe_labels(view, scene, view.faces, text_boxes(view, scene), kit_boxes(view, scene, seats(scene)))
    written = boxes_of("".join(label.svg(view.grain) for label in labels), view.grain.dim)
    assert [(a, b) for a, b in combinations(written, 2) if overlap(written[a], written[b]) > 0] == []
    shares = {
        words: sum(overlap(box, wall) for wall in wall_boxes(view, scene)) / ((box[2] - box[0]) * (box[3] - box[1]))
        for words, box in written.items()
    }
    assert {words: share for words, share in shares.items() if share > 0.1} == {}
