import re
from math import hypot

import pytest

from geometry.kit import Kit
from geometry.samples import box_kit, piece, round_kit, sample_scene
from geometry.shelf import shelf
from server.drawing import draw_kit, draw_room, key_text, one_wall, silhouette, silhouette_size, unfolded
from server.drawing.fronts import front_view
from server.drawing.kinds import kind_of
from server.drawing.labels import text_width
from server.drawing.seats import seats
from server.drawing.svg import SCREEN, Matrix
from server.drawing.symbols import plan_symbol
from tests.server.drawn import (
    DOOR,
    by_class,
    demo,
    every_demo_room,
    mapped,
    moved,
    one_tank,
    points,
    tank_and_drum,
    texts,
    tree,
)

PAGE = (1200.0, 900.0)
MILLIMETRES = Matrix(1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
every_kind = pytest.mark.parametrize("kit", shelf().values(), ids=lambda kit: kit.key)


@every_demo_room
def test_every_piece_is_once_on_the_plan_and_once_on_a_face(name: str) -> None:
    scene = demo(name)
    root = tree(draw_kit(unfolded(scene, *PAGE), scene))

    on_plan = sorted(e.get("data-piece", "") for e in root.iter() if e.get("data-piece"))
    on_faces = sorted(e.get("data-face-piece", "") for e in root.iter() if e.get("data-face-piece"))

    assert on_plan == on_faces == sorted(item.id for item in scene.placed)


@every_demo_room
def test_a_client_can_work_out_where_each_piece_stands_from_the_matrices(name: str) -> None:
    scene = demo(name)
    view = unfolded(scene, *PAGE)
    room, kit = tree(draw_room(view, scene)), tree(draw_kit(view, scene))
    plan = next(e.get("data-matrix", "") for e in room.iter() if e.get("data-plan") is not None)
    faces = {e.get("data-face"): e for e in room.iter() if e.get("data-face")}

    for group in (e for e in kit.iter() if e.get("data-piece")):
        at = mapped(plan, float(group.get("data-x", "")), float(group.get("data-y", "")))
        assert moved(group) == pytest.approx(at, abs=0.02)
    for group in (e for e in kit.iter() if e.get("data-face-piece")):
        face = faces[group.get("data-edge")]
        item = scene.piece(group.get("data-face-piece", ""))
        assert item is not None
        sx, sy = (float(v) for v in face.get("data-start", "").split())
        ux, uy = (float(v) for v in face.get("data-along", "").split())
        x, y = item.piece.at_mm
        along = float(face.get("data-length", "")) - ((x - sx) * ux + (y - sy) * uy)
        assert float(group.get("data-along", "")) == pytest.approx(along, abs=0.02)
        assert moved(group) == pytest.approx(mapped(face.get("data-matrix", ""), along, item.base_mm), abs=0.02)


@every_demo_room
def test_what_goes_with_a_piece_stands_where_the_piece_stands(name: str) -> None:
    scene = demo(name)
    root = tree(draw_kit(unfolded(scene, *PAGE), scene, picked=scene.placed[0].id))
    plan = {e.get("data-piece"): moved(e) for e in root.iter() if e.get("data-piece")}

    with_them = [e for e in root.iter() if e.get("data-with")]

    assert with_them
    assert all(moved(e) == plan[e.get("data-with")] for e in with_them)


@every_demo_room
def test_nothing_to_take_hold_of_is_smaller_than_a_fingertip(name: str) -> None:
    scene = demo(name)
    root = tree(draw_kit(unfolded(scene, 560, 640), scene))

    groups = [e for e in root.iter() if e.get("data-piece") or e.get("data-face-piece")]

    for group in groups:
        (hit,) = by_class(group, "hit")
        assert float(hit.get("width", "")) >= 44 and float(hit.get("height", "")) >= 44


@every_demo_room
@pytest.mark.parametrize("quarters", [0, 1])
def test_text_is_never_turned_nor_scaled(name: str, quarters: int) -> None:
    scene = demo(name)
    view = unfolded(scene, *PAGE, quarters=quarters)
    written = list(texts(tree(draw_room(view, scene) + draw_kit(view, scene))))

    above = {step for _, transforms in written for step in transforms}

    assert len(written) > len(scene.placed)
    assert all(re.fullmatch(r"translate\(-?[\d.]+,-?[\d.]+\)", step) for step in above)


def test_a_body_is_drawn_in_its_true_size_and_place() -> None:
    scene = one_tank(900, 1600)
    view = unfolded(scene, *PAGE)
    root = tree(draw_kit(view, scene))
    plan = next(e for e in root.iter() if e.get("data-piece") == "tank")
    face = next(e for e in root.iter() if e.get("data-face-piece") == "tank")

    s = view.scale_px_mm
    for group, (wide, high) in ((plan, (600, 400)), (face, (600, 800))):
        outline = [p for e in by_class(group, "k") for p in points(e.get("d", ""))]
        xs, ys = [x for x, _ in outline], [y for _, y in outline]
        assert (max(xs) - min(xs), max(ys) - min(ys)) == pytest.approx((wide * s, high * s), abs=0.11)
    assert moved(plan) == pytest.approx(view.plan.to_px((900, 1600)), abs=0.01)


def test_a_round_body_is_drawn_as_a_true_circle() -> None:
    scene = tank_and_drum()
    view = unfolded(scene, *PAGE)
    root = tree(draw_kit(view, scene))
    drum = next(e for e in root.iter() if e.get("data-piece") == "drum")

    radii = re.findall(r"A([\d.]+),([\d.]+)", by_class(drum, "k")[0].get("d", ""))

    assert radii == [(f"{250 * view.scale_px_mm:.1f}".rstrip("0").rstrip("."),) * 2] * 2


def test_a_piece_belongs_to_the_wall_behind_its_back_and_shows_in_outline_on_walls_within_700_mm() -> None:
    far, near = one_tank(1200, 1600), one_tank(990, 1600)

    assert {edge: [i.id for i, _ in found] for edge, found in seats(far).near.items()} == {}
    assert {edge: [i.id for i, _ in found] for edge, found in seats(near).near.items()} == {3: ["tank"]}
    assert seats(near).home["tank"].edge == 2


def test_a_piece_turned_to_the_right_wall_belongs_to_the_left_one() -> None:
    assert seats(one_tank(210, 900, 90)).home["tank"].edge == 3


def test_the_higher_of_two_pieces_lies_on_top_on_the_plan() -> None:
    low, high = box_kit("a-high-box"), box_kit("z-low-box")
    scene = sample_scene([low, high], [piece(low, 300, 1600, base_mm=900), piece(high, 300, 1600)])

    drawn = [e.get("data-piece") for e in tree(draw_kit(unfolded(scene, *PAGE), scene)).iter() if e.get("data-piece")]

    assert drawn == ["z-low-box", "a-high-box"]


def test_only_the_picked_piece_shows_its_spaces_and_is_marked_on_plan_and_face() -> None:
    front = {"space": [{"side": "front", "mm": 600}, {"side": "above", "mm": 300}]}
    tank, drum = box_kit("tank", **front), round_kit("drum", 500, 900, **front)
    scene = sample_scene([tank, drum], [piece(tank, 300, 1600), piece(drum, 1500, 1500)])
    view = unfolded(scene, *PAGE)

    nothing, picked = tree(draw_kit(view, scene)), tree(draw_kit(view, scene, picked="drum"))

    assert by_class(nothing, "space") == by_class(nothing, "picked") == []
    assert len(by_class(picked, "space")) == 2
    assert [(e.get("data-piece") or e.get("data-face-piece")) for e in by_class(picked, "picked")] == ["drum", "drum"]


def test_a_door_that_opens_outwards_is_drawn_over_its_face_only_while_it_is_picked() -> None:
    scene = one_tank(doors=[DOOR])
    view = unfolded(scene, *PAGE)

    assert by_class(tree(draw_kit(view, scene)), "over") == []
    assert len(by_class(tree(draw_kit(view, scene, picked="d1")), "over")) == 1
    assert by_class(tree(draw_room(view, scene)), "swing") == []


def test_a_door_is_drawn_no_wider_than_it_opens() -> None:
    """A tank 200 mm inside stops the tip of the leaf: the sine of the angle is 200 / 762, worked out by hand."""
    leaf = {"kind": "hinged", "width_mm": 762, "hinge": "start", "opens": "in", "thick_mm": 35}
    scene = one_tank(1600, 400, doors=[DOOR | {"leaf": leaf}])
    view = unfolded(scene, *PAGE)
    leaf_d = by_class(tree(draw_room(view, scene)), "leaf")[0].get("d", "")

    (x0, y0), (x1, y1) = points(leaf_d)[:2]

    assert hypot(x1 - x0, y1 - y0) == pytest.approx(762 * view.scale_px_mm, abs=0.15)
    assert y0 - y1 == pytest.approx(200 * view.scale_px_mm, abs=0.15)


def test_names_are_escaped_everywhere() -> None:
    bad = """<b>"Tank" & 'Sons'</b>"""
    tank = box_kit("tank", name=bad)
    kept = {"id": "k", "name": bad, "area_mm": [[900, 100], [2300, 100], [2300, 900], [900, 900]], "to_mm": 900}
    scene = sample_scene([tank], [piece(tank, 300, 1600)], keep_free=[kept])
    view = unfolded(scene, *PAGE)

    root = tree(draw_room(view, scene) + draw_kit(view, scene))

    labels = [e.get("aria-label", "") for e in root.iter() if e.get("data-piece")]
    assert labels[0].startswith(bad)
    assert bad in {e.text for e in root.iter("text")}
    assert not list(root.iter("b"))


def test_the_order_of_pieces_in_the_file_changes_nothing() -> None:
    tank, drum = box_kit("tank"), round_kit("drum", 500, 900)
    pieces = [piece(tank, 300, 1600), piece(drum, 1500, 1500), piece(tank, 2000, 300, 180, id="second")]
    one, other = sample_scene([tank, drum], pieces), sample_scene([drum, tank], pieces[::-1])
    view = unfolded(one, *PAGE)

    assert draw_room(view, one) + draw_kit(view, one) == draw_room(view, other) + draw_kit(view, other)
    assert unfolded(other, *PAGE) == view


def test_a_piece_tells_where_it_is() -> None:
    scene = one_tank(540, 1600)
    root = tree(draw_kit(unfolded(scene, *PAGE), scene))

    (label,) = [e.get("aria-label") for e in root.iter() if e.get("data-piece")]

    assert label == "Tank, 240 mm from the left wall, against the back wall, on the floor"


def test_a_wall_shown_alone_has_a_tape_with_the_heights_of_its_kit() -> None:
    scene = one_tank()
    root = tree(draw_kit(one_wall(scene, 2, 390, 420), scene))

    (tape,) = by_class(root, "tape-up")

    assert [e.text for e in tape.iter("text")] == ["0", "800", "2,400"]


def test_a_client_with_no_pieces_gets_no_groups() -> None:
    scene = sample_scene([], [])

    assert draw_kit(unfolded(scene, *PAGE), scene) == ""


@every_kind
def test_every_kind_on_the_shelf_is_drawn_inside_its_own_body(kit: Kit) -> None:
    above = tree(plan_symbol(kit, MILLIMETRES, SCREEN))
    front = tree(front_view(kit, MILLIMETRES, SCREEN))
    w, d, h = kit.plan.width_mm / 2, kit.plan.depth_mm / 2, kit.height_mm

    for x, y in (p for e in above.iter("path") for p in points(e.get("d", ""))):
        assert abs(x) <= w + 0.1 and abs(y) <= d + 0.1
    for x, z in (p for e in front.iter("path") for p in points(e.get("d", ""))):
        assert abs(x) <= w + 0.1 and -0.1 <= z <= h + 0.1


@every_kind
def test_every_kind_on_the_shelf_has_a_silhouette_that_fits_the_size_it_tells(kit: Kit) -> None:
    wide, high = silhouette_size(kit, 0.05)
    root = tree(silhouette(kit, 0.05))

    shapes = [p for e in by_class(root, "body") for p in points(e.get("d", ""))]

    assert shapes
    assert all(abs(x) <= wide / 2 + 0.6 and -high - 0.6 <= y <= 0.6 for x, y in shapes)


def test_kinds_that_look_alike_in_the_trade_are_drawn_alike() -> None:
    kinds = {key: kind_of(kit) for key, kit in shelf().items()}

    assert kinds["wall-boiler-combination"] == kinds["wall-boiler-heat-only"] == "boiler"
    assert kinds["water-softener-single"] == "softener"
    assert kinds["gas-meter"] == "gas-meter"
    assert kinds["booster-set-twin"] == "booster"


def test_the_width_of_a_figure_is_taken_from_the_font() -> None:
    """Ysabeau Office 500: every digit is 517 of 1,000 units wide, the comma 278 (read in the font file)."""
    assert text_width("2,600", 1000) == 4 * 517 + 278


def test_the_key_of_a_finding_is_one_word() -> None:
    from geometry.checking import check_scene

    finding = check_scene(one_tank())[0]

    assert key_text(finding) == "|".join(finding.key)
