import re
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from geometry.checking import check_scene
from geometry.samples import box_kit, piece, sample_room, sample_scene
from geometry.scene import build
from geometry.shelf import shelf
from server.drawing import choose_scale, plan_sheet, wall_marks, wall_sheet
from server.drawing.labels import text_width
from server.drawing.sheet_marks import along_marks, height_marks
from server.drawing.svg import PRINT, mm_text, overlap
from server.drawing.tapes import Tape, distinct, has_room, spread
from server.report_sheets import walls_of
from tests.server.drawn import DOOR, L_SHAPE, by_class, demo, every_demo_room, one_tank, points, room_of, texts, tree

A4_WIDE_MM, A4_HIGH_MM = 180.0, 267.0
"""A4 upright less margins of 15 mm: ISO 216 gives 210 by 297 mm."""


def size_of(sheet: str) -> tuple[float, float, ElementTree.Element]:
    root = tree(sheet)[0]
    return float(root.get("width", "").removesuffix("mm")), float(root.get("height", "").removesuffix("mm")), root


def extent(element: ElementTree.Element) -> tuple[float, float]:
    corners = points(element.get("d", ""))
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    return max(xs) - min(xs), max(ys) - min(ys)


@pytest.mark.parametrize("scale", [10, 20, 25, 50])
def test_one_unit_of_a_sheet_is_one_millimetre_of_paper(scale: int) -> None:
    for sheet in (plan_sheet(one_tank(), (), scale), wall_sheet(one_tank(), 2, scale)):
        wide, high, root = size_of(sheet)

        assert [float(v) for v in root.get("viewBox", "").split()] == [0, 0, wide, high]
        assert root.get("data-scale") == str(scale)


@pytest.mark.parametrize("scale", [10, 20, 25, 50])
def test_a_body_measured_on_the_sheet_with_a_scale_rule_has_its_true_size(scale: int) -> None:
    crate = box_kit("crate", 600, 400, 800)
    scene = sample_scene([crate], [piece(crate, 900, 1600)])

    plan, wall = tree(plan_sheet(scene, (), scale)), tree(wall_sheet(scene, 2, scale))

    assert extent(by_class(plan, "k")[0]) == pytest.approx((600 / scale, 400 / scale), abs=0.002)
    assert extent(by_class(wall, "k")[0]) == pytest.approx((600 / scale, 800 / scale), abs=0.002)


def test_the_room_measured_on_the_sheet_has_its_true_size() -> None:
    plan, wall = tree(plan_sheet(one_tank(), (), 20)), tree(wall_sheet(one_tank(), 2, 20))

    assert extent(by_class(plan, "floor")[0]) == pytest.approx((120, 90), abs=0.002)
    assert extent(by_class(wall, "face")[0]) == pytest.approx((120, 120), abs=0.002)


@pytest.mark.parametrize("scale", [10, 20, 50])
def test_the_check_bar_is_exactly_50_mm(scale: int) -> None:
    root = tree(plan_sheet(one_tank(), (), scale))

    (bar,) = [e for e in root.iter() if e.get("data-check-bar")]

    assert re.search(r"h(\S+?)v", bar.get("d", ""))[1] == "50"  # type: ignore[index]
    words = [e.text or "" for e in root.iter("text")]
    assert f"50 mm on paper, {mm_text(50 * scale)} in the room" in words


def test_figures_of_the_tapes_are_as_far_from_the_ring_as_they_say() -> None:
    """Pointers on the lower tape of a wall, read back with a rule, are the left edge, middle and right of the tank."""
    wall = tree(wall_sheet(one_tank(900, 1600), 2, 20))
    rings = [(float(e.get("cx", "")), float(e.get("cy", ""))) for e in by_class(wall, "zero0")]
    lower = max(rings, key=lambda ring: ring[1])
    pointers = [points(part + "Z")[0] for e in by_class(wall, "mk1") for part in e.get("d", "").split("Z") if part]

    along = [(x - lower[0]) * 20 for x, y in pointers if y > lower[1] - 3 and x > lower[0]]

    assert sorted(along) == pytest.approx([600, 900, 1200, 2400], abs=0.1)
    assert {mm_text(v) for v in along} <= {e.text for e in by_class(wall, "dd")}


def test_a_wall_is_measured_from_its_left_corner_as_seen_from_inside() -> None:
    facing_front = one_tank(900, 200, 180)

    assert sorted(along_marks(facing_front, 0)) == [0, 1200, 1500, 1800, 2400]


def test_heights_are_measured_from_finished_floor() -> None:
    left, right = height_marks(one_tank(1900, 1600), 2)

    assert (left, right) == ([], [0, 800])


def test_doorways_and_windows_are_marked_on_the_tape_of_their_wall() -> None:
    window = {"id": "w1", "edge": 0, "from_mm": 200, "width_mm": 500, "sill_mm": 1000, "head_mm": 2000}
    scene = one_tank(doors=[DOOR], windows=[window])

    along, (left, right) = along_marks(scene, 0), height_marks(scene, 0)

    assert {640, 1400, 1700, 2200} <= set(along)  # 2,400 less 1,760, 1,000, 700 and 200
    assert {0, 1981} <= set(left) and {1000, 2000} <= set(right)


@pytest.mark.parametrize(
    ("wide", "deep", "scale"),
    [
        (900, 600, 10),
        (1200, 900, 10),
        (1300, 900, 20),
        (2600, 1900, 20),
        (3200, 2400, 25),
        (6000, 4500, 50),
        (9000, 6000, 100),
    ],
)
def test_the_scale_is_the_largest_usual_one_that_fits(wide: float, deep: float, scale: int) -> None:
    assert choose_scale(room_of([[0, 0], [wide, 0], [wide, deep], [0, deep]])) == scale


def test_walls_two_metres_high_do_not_go_on_a_sheet_at_1_to_10() -> None:
    cupboard = room_of([[0, 0], [900, 0], [900, 600], [0, 600]])

    assert (choose_scale(cupboard), choose_scale(cupboard, 0)) == (10, 20)


@every_demo_room
def test_every_sheet_of_every_demo_room_fits_a4(name: str) -> None:
    scene = demo(name)
    found = list(enumerate((f for f in check_scene(scene) if f.verdict in ("put-right", "look-again")), 1))

    for sheet in (plan_sheet(scene, found), *(wall_sheet(scene, edge.index, None, found) for edge in scene.edges)):
        wide, high, root = size_of(sheet)
        assert wide <= A4_WIDE_MM and high <= A4_HIGH_MM
        assert all(step.startswith("translate(") for _, above in texts(root) for step in above)


@every_demo_room
def test_no_figure_of_a_level_tape_touches_another(name: str) -> None:
    scene = demo(name)

    for edge in scene.edges:
        tape = Tape((0.0, 0.0), 1 / 20, edge.length_mm, False, 1, PRINT)
        figures = spread(tape, sorted({round(v) for v in along_marks(scene, edge.index)}))
        for row in {figure.row for figure in figures}:
            line = [figure for figure in figures if figure.row == row]
            for one, two in pairwise(line):
                half = (text_width(mm_text(one.mark_mm), 3.3) + text_width(mm_text(two.mark_mm), 3.3)) / 2
                assert (two.stands_mm - one.stands_mm) / 20 >= half


@every_demo_room
def test_no_figure_of_a_sheet_is_cut_off_at_its_edge(name: str) -> None:
    scene = demo(name)

    for sheet in (plan_sheet(scene), *(wall_sheet(scene, edge.index) for edge in scene.edges)):
        wide, high, root = size_of(sheet)
        for figure in by_class(root, "dd"):
            x, half = float(figure.get("x", "")), text_width(figure.text or "", 3.3) / 2
            left = {"middle": x - half, "end": x - 2 * half}.get(figure.get("text-anchor", "start"), x)
            assert left >= -0.2 and left + 2 * half <= wide + 0.2, figure.text
            assert 2.0 <= float(figure.get("y", "")) <= high


SIZES_MM = {"dd": 3.3, "pd": PRINT.dim, "dim": PRINT.dim, "halo": PRINT.text}


def words_on(root: ElementTree.Element) -> list[tuple[str, tuple[float, float, float, float]]]:
    """The words written on a wall, each with the box of its small letters."""
    found = []
    for element in (e for e in by_class(root, "halo") if e.get("text-anchor") == "middle"):
        size = SIZES_MM[element.get("class", "").split()[0]]
        x, y, half = float(element.get("x", "")), float(element.get("y", "")), text_width(element.text or "", size) / 2
        found.append((element.text or "", (x - half, y - size / 2, x + half, y)))
    return found


@every_demo_room
def test_no_word_of_a_wall_lies_on_another_or_on_the_ring_of_a_cross(name: str) -> None:
    scene = demo(name)

    for edge in scene.edges:
        _, _, root = size_of(wall_sheet(scene, edge.index))
        words = words_on(root)
        rings = [[float(e.get(key, "")) for key in ("cx", "cy", "r")] for e in by_class(root, "cross") if e.get("r")]
        boxes = words + [("ring", (x - 0.8 * r, y - 0.8 * r, x + 0.8 * r, y + 0.8 * r)) for x, y, r in rings]
        for i, (word, one) in enumerate(words):
            for other, two in boxes[i + 1 :]:
                shared = overlap(one, two)
                area = min((b[2] - b[0]) * (b[3] - b[1]) for b in (one, two))
                assert shared <= 0.2 * area, f"{edge.index}: {word} on {other}"


@every_demo_room
def test_the_line_of_one_figure_runs_through_no_other_figure(name: str) -> None:
    scene = demo(name)

    for edge in scene.edges:
        tape = Tape((0.0, 0.0), 1 / 25, edge.length_mm, False, 1, PRINT)
        figures = spread(tape, distinct(along_marks(scene, edge.index, 1)))
        if not has_room(tape, [figure.mark_mm for figure in figures]):
            continue
        first = [figure for figure in figures if figure.row == 0]
        for figure in (figure for figure in figures if figure.row):
            for other in first:
                half = text_width(mm_text(other.mark_mm), 3.3) / 2
                assert abs(figure.stands_mm - other.stands_mm) / 25 >= half - 0.01


def test_a_tape_too_short_for_its_figures_leaves_the_small_things_to_the_table() -> None:
    """Forty small valves along one wall at 1:50: corners stay, the crosses and their table tell the rest."""
    valve = box_kit("valve", 60, 60, 60, stands_on="wall", base_mm=1000)
    valves = [piece(valve, 100 + 55 * i, 1770, id=f"v{i}") for i in range(40)]
    scene = build(sample_room([valve], valves))

    told = {e.text for e in by_class(tree(wall_sheet(scene, 2, 50)), "dd")}

    assert "2,400" in told
    assert len([figure for figure in told if figure and figure[0].isdigit()]) < 12
    assert len(wall_marks(scene, 2)) == 40


def test_marks_of_a_wall_are_lettered_from_the_left_at_the_places_of_ports_and_middles() -> None:
    """Boiler at 700 from the left corner: figures from its own entry on the shelf, added by hand."""
    kit = shelf()["wall-boiler-system"]
    boiler = piece({"key": kit.key}, 700, 1800 - kit.plan.depth_mm / 2, base_mm=1150)
    scene = sample_scene([], [boiler])

    marks = wall_marks(scene, 2)

    flue = next(port for port in kit.port if port.medium == "flue")
    found = {mark.name.split(", ")[-1]: (mark.from_left_mm, mark.from_floor_mm) for mark in marks}
    assert [mark.letter for mark in marks] == list("ABCDEFGH")[: len(marks)]
    assert [mark.from_left_mm for mark in marks] == sorted(mark.from_left_mm for mark in marks)
    assert found["middle of the body"] == (700, 1150 + kit.height_mm / 2)
    assert found[flue.name] == (700 + flue.at_mm[0], 1150 + flue.at_mm[2])
    letters = {e.text for e in by_class(tree(wall_sheet(scene, 2)), "dd")}
    assert {mark.letter for mark in marks} <= letters


def test_the_end_of_a_flue_and_an_outlet_are_set_out_on_the_wall_they_go_through() -> None:
    """The right wall is 1,800 mm long, its left corner seen from inside is at the back: 1,200 along is 600 from it."""
    boiler = box_kit("boiler", 440, 360, 720, stands_on="wall", base_mm=1150)
    flue = {"id": "t1", "piece": "boiler", "edge": 1, "along_mm": 1200, "level_mm": 2050}
    outlet = {"id": "o1", "name": "gully", "at_mm": [2400, 900], "level_mm": 150, "takes": ["hot-discharge"]}
    room = sample_room([boiler], [piece(boiler, 900, 1620)], flues=[flue], outlets=[outlet])
    scene, findings = build(room), check_scene(build(room))

    marks = {mark.name: (mark.from_left_mm, mark.from_floor_mm) for mark in wall_marks(scene, 1)}

    assert marks == {"Boiler, flue terminal outside": (600, 2050), "gully, through the wall": (900, 150)}
    assert [sheet.name for sheet in walls_of(scene, findings, [])] == ["Right wall", "Back wall"]


@pytest.mark.parametrize(("thick", "signs"), [(100, 0), (120, 0), (300, 1)])
def test_a_wall_that_is_drawn_thinner_than_it_is_says_so_by_a_zigzag(thick: float, signs: int) -> None:
    scene = build(sample_room([], [], walls=[{"edge": 1, "thick_mm": thick}]))

    assert len(by_class(tree(plan_sheet(scene)), "cut-wall")) == signs


def test_walls_thicker_than_120_mm_are_cut_short_on_the_plan_sheet() -> None:
    walls = [{"edge": i, "thick_mm": 500} for i in range(4)]

    assert choose_scale(one_tank(walls=walls)) == choose_scale(one_tank(walls=[{**w, "thick_mm": 120} for w in walls]))
    signs = re.compile(r'<path class="cut-wall"[^>]*>(?:</path>)?')
    thin = plan_sheet(one_tank(walls=[{**w, "thick_mm": 120} for w in walls]))
    assert signs.sub("", plan_sheet(one_tank(walls=walls))) == thin


def test_there_is_no_grid_on_a_sheet_smaller_than_1_to_50() -> None:
    at_50, at_100 = (tree(plan_sheet(one_tank(), (), scale)) for scale in (50, 100))

    assert by_class(at_50, "grid")
    assert by_class(at_100, "grid") == by_class(at_100, "grid5") == []


def test_the_plan_of_a_room_with_inward_corners_marks_each_corner() -> None:
    plan = tree(plan_sheet(room_of(L_SHAPE, doors=[DOOR]), (), 20))

    assert {"0", "1,300", "1,400", "2,600", "1,000", "1,760"} <= {e.text for e in by_class(plan, "dd")}


def test_names_on_a_sheet_are_escaped() -> None:
    bad = box_kit("tank", name="<i>Tank & Co</i>")

    sheet = plan_sheet(sample_scene([bad], [piece(bad, 900, 1600)]))

    assert "<i>" not in sheet
    assert "<i>Tank & Co</i>" in {e.text for e in tree(sheet).iter("text")}
