from pathlib import Path

import pytest
from playwright.sync_api import Page

from server.drawing import draw_findings, draw_kit, draw_room, key_plan, patterns, thumbnail, thumbnail_scale, unfolded
from server.paths import STATIC
from tests.server.drawn import FIVE, by_class, demo, every_demo_room, one_tank, points, room_of, tree
from tests.server.test_drawing_findings import numbered


@every_demo_room
def test_a_thumbnail_lies_within_its_size_and_shows_every_piece_twice(name: str) -> None:
    scene = demo(name)
    root = tree(thumbnail(scene, 306, 272))

    shown = [p for e in root.iter("path") if "Z" in e.get("d", "") for p in points(e.get("d", ""))]

    assert all(0 <= x <= 306 and 0 <= y <= 272 for x, y in shown)
    bodies = sum(len(item.body) for item in scene.placed)
    assert len(by_class(root, "thumb-kit")) == bodies + len(scene.placed)


def test_thumbnails_of_a_list_can_share_one_scale() -> None:
    rooms = [room_of(FIVE), room_of([[0, 0], [6000, 0], [6000, 4000], [0, 4000]])]

    shared = thumbnail_scale(rooms, 306, 272)

    assert shared == unfolded(rooms[1], 306, 272, least_px_mm=0.0).scale_px_mm
    assert str(thumbnail(rooms[0], 306, 272, shared)).startswith('<g transform="matrix(')
    assert thumbnail(rooms[1], 306, 272, shared) == thumbnail(rooms[1], 306, 272)


@pytest.mark.parametrize("edge", [None, 0, 1, 2, 3])
def test_the_key_plan_makes_the_shown_wall_heavy(edge: int | None) -> None:
    scene = one_tank()
    root = tree(key_plan(unfolded(scene, 800, 700), scene, edge))

    assert len(by_class(root, "key-heavy")) == (0 if edge is None else 1)
    assert len(by_class(root, "key-wall")) == (4 if edge is None else 3)


def styles(*names: str) -> str:
    return "".join((Path(STATIC) / name).read_text() for name in names)


@pytest.mark.parametrize("size", [(826, 754), (722, 650)])
def test_in_a_browser_all_text_stands_level_and_is_large_enough(page: Page, size: tuple[int, int]) -> None:
    scene = demo("boot-room")
    view = unfolded(scene, *size)
    drawing = draw_room(view, scene) + draw_kit(view, scene) + draw_findings(view, scene, numbered(scene))
    page.set_content(
        f"<style>{styles('look.css', 'drawing.css')}</style>"
        f'<svg width="{view.width_px}" height="{view.height_px}"><defs>{patterns()}</defs>{drawing}</svg>'
    )

    shown = page.evaluate(
        """() => [...document.querySelectorAll("svg text")].map((text) => {
            const m = text.getScreenCTM();
            return [parseFloat(getComputedStyle(text).fontSize) * m.a, m.b, m.c, m.d];
        })"""
    )

    assert len(shown) > 20
    assert all(size_px >= 11.5 and (b, c, d) == (0, 0, 1) for size_px, b, c, d in shown)


def test_in_a_browser_put_right_is_filled_with_the_hatch_of_the_page(page: Page) -> None:
    scene = demo("boot-room")
    view = unfolded(scene, 826, 754)
    page.set_content(
        f"<style>{styles('look.css', 'drawing.css')}</style>"
        f"<svg><defs>{patterns()}</defs>{draw_findings(view, scene, numbered(scene))}</svg>"
    )

    fills = page.evaluate("() => [...document.querySelectorAll('.wrong:not(.run)')].map(e => getComputedStyle(e).fill)")

    assert fills
    assert all("#hatch" in fill for fill in fills)
