from dataclasses import replace
from math import hypot

import pytest

from geometry.check import Finding, Remedy, Where
from geometry.checking import check_scene
from geometry.remedies import applied
from geometry.room import Accepted
from geometry.samples import box_kit, piece, sample_scene
from geometry.scene import Scene
from geometry.shapes import box
from server.drawing import draw_findings, inset, inset_caption, key_text, pins, unfolded
from tests.server.drawn import by_class, demo, every_demo_room, points, texts, tree

PAGE = (1200.0, 900.0)
Numbered = list[tuple[int, Finding]]


def numbered(scene: Scene) -> Numbered:
    found = (f for f in check_scene(scene) if f.verdict in ("put-right", "look-again"))
    return list(enumerate(found, 1))


def two_tanks(gap: float = 300) -> Scene:
    """A tank that needs 500 mm in front, and a crate so far before it."""
    tank = box_kit("tank", space=[{"side": "front", "mm": 500}])
    crate = box_kit("crate", 600, 400, 500)
    return sample_scene([tank, crate], [piece(tank, 1200, 1600), piece(crate, 1200, 1400 - gap - 200, 180)])


def short_in_front(scene: Scene) -> Finding:
    return next(f for f in check_scene(scene) if f.side == "front" and f.pieces == ("tank",))


def drawn(scene: Scene, found: Numbered, picked: str | None = None) -> str:
    return str(draw_findings(unfolded(scene, *PAGE), scene, found, picked))


def test_put_right_is_hatched_and_look_again_is_dashed() -> None:
    finding = short_in_front(two_tanks())
    other = replace(finding, verdict="look-again")

    wrong, again = (tree(drawn(two_tanks(), [(1, f)])) for f in (finding, other))

    assert by_class(wrong, "wrong") and not by_class(wrong, "again")
    assert by_class(again, "again") and not by_class(again, "wrong")
    assert by_class(again, "la") and not by_class(wrong, "la")


def test_the_hatch_covers_what_is_missing_and_nothing_else() -> None:
    """300 of 500 mm are there: the hatch is 600 mm wide and 200 mm deep, from 300 to 500 mm before the tank."""
    scene = two_tanks(300)
    view = unfolded(scene, *PAGE)
    shape = by_class(tree(draw_findings(view, scene, [(1, short_in_front(scene))])), "wrong")[0]

    corners = points(shape.get("d", ""))

    left, top = view.plan.to_px((900, 1100))
    right, bottom = view.plan.to_px((1500, 900))
    assert min(x for x, _ in corners) == pytest.approx(left, abs=0.1)
    assert max(x for x, _ in corners) == pytest.approx(right, abs=0.1)
    assert min(y for _, y in corners) == pytest.approx(top, abs=0.1)
    assert max(y for _, y in corners) == pytest.approx(bottom, abs=0.1)


@every_demo_room
def test_every_numbered_finding_with_a_place_has_its_pin_on_the_plan_and_on_one_face(name: str) -> None:
    scene = demo(name)
    view, found = unfolded(scene, *PAGE), numbered(scene)
    placed = [(number, f) for number, f in found if f.where and (f.where.area_mm or f.where.line_mm)]

    made = pins(view, scene, found)

    for number, finding in placed:
        own = [pin for pin in made if pin.number == number]
        assert len([pin for pin in own if pin.edge is None]) == 1
        assert len([pin for pin in own if pin.edge is not None]) <= 1
        assert {pin.key for pin in own} == {key_text(finding)}
    root = tree(draw_findings(view, scene, found))
    shown = [(e.get("data-pin"), "".join(e.itertext())) for e in by_class(root, "pin")]
    assert shown == [(str(pin.number), str(pin.number)) for pin in made]


@every_demo_room
def test_pins_lie_on_the_page(name: str) -> None:
    scene = demo(name)
    view = unfolded(scene, *PAGE)

    made = pins(view, scene, numbered(scene))

    assert all(0 <= pin.x_px <= view.width_px and 0 <= pin.y_px <= view.height_px for pin in made)


def test_pins_of_one_place_are_moved_apart_along_the_wall() -> None:
    scene = two_tanks()
    finding = short_in_front(scene)
    twins = [(1, finding), (2, replace(finding, topic="other")), (3, replace(finding, topic="third"))]

    on_plan = [pin for pin in pins(unfolded(scene, *PAGE), scene, twins) if pin.edge is None]

    one, two, three = ((pin.x_px, pin.y_px) for pin in on_plan)
    assert hypot(two[0] - one[0], two[1] - one[1]) == pytest.approx(22)
    assert hypot(three[0] - one[0], three[1] - one[1]) == pytest.approx(22)
    assert two[1] == three[1] == one[1]


def test_what_is_far_from_a_wall_has_only_a_pin_on_its_face() -> None:
    scene = two_tanks()
    view = unfolded(scene, *PAGE)
    near, far = (replace(short_in_front(scene), side=None, against=(), where=Where(box(900, y, 1500, y + 200), 0, 800))
                 for y in (1150, 850))  # fmt: skip

    shapes = [len(by_class(tree(draw_findings(view, scene, [(1, f)])), "wrong")) for f in (near, far)]

    assert shapes == [2, 1]
    assert [pin.edge for pin in pins(view, scene, [(1, far)])] == [None, 2]


def test_the_pin_of_a_finding_without_a_place_is_left_out() -> None:
    scene = two_tanks()
    bare = replace(short_in_front(scene), where=None, pieces=())

    assert pins(unfolded(scene, *PAGE), scene, [(1, bare)]) == []


def test_only_the_picked_finding_shows_its_measure_and_where_the_move_goes() -> None:
    scene = two_tanks()
    cure = Remedy("crate", (0.0, -210.0), 0.0, "Move the crate 210 mm towards the front.")
    finding = replace(short_in_front(scene), remedy=cure)

    quiet = tree(drawn(scene, [(1, finding)]))
    loud = tree(drawn(scene, [(1, finding)], key_text(finding)))

    assert by_class(quiet, "ghost") == by_class(quiet, "meas") == by_class(quiet, "space") == []
    assert by_class(loud, "ghost") and by_class(loud, "space")
    assert {e.text for e in by_class(loud, "m")} == {"300", "210"}
    assert [e.get("data-number") for e in by_class(loud, "on") if e.get("data-number")] == ["1"]


@pytest.mark.parametrize(
    "cure",
    [
        Remedy("crate", (0.0, -210.0), 0.0, "down"),
        Remedy("crate", (350.0, 120.0), 0.0, "aside"),
        Remedy("crate", (0.0, 0.0), 90.0, "turned"),
    ],
)
def test_the_ghost_stands_where_the_move_would_put_the_piece(cure: Remedy) -> None:
    scene = two_tanks()
    view = unfolded(scene, *PAGE)
    finding = replace(short_in_front(scene), remedy=cure)
    ghost = by_class(tree(draw_findings(view, scene, [(1, finding)], key_text(finding))), "ghost")[0]
    after = applied(scene, cure).piece("crate")
    assert after is not None

    shown = points(ghost.get("d", ""))

    true = [view.plan.to_px(p) for p in after.body[0].points]
    for pick in (min, max):
        assert pick(x for x, _ in shown) == pytest.approx(pick(x for x, _ in true), abs=0.1)
        assert pick(y for _, y in shown) == pytest.approx(pick(y for _, y in true), abs=0.1)


def test_an_accepted_put_right_keeps_its_hatch_and_its_number() -> None:
    scene = two_tanks()
    accepted = Accepted(check="service-space", by="A. Reader", reason="the crate is never full", on="2026-11-25")
    finding = replace(short_in_front(scene), accepted=accepted)

    root = tree(drawn(scene, [(4, finding)]))

    (group,) = by_class(root, "accepted")
    assert by_class(group, "wrong")
    assert [e.get("data-pin") for e in by_class(root, "pin") if e.get("data-edge") is None] == ["4"]


def test_a_line_is_drawn_on_the_plan_and_along_its_wall_with_the_pin_on_it() -> None:
    scene = two_tanks()
    view = unfolded(scene, *PAGE)
    line = ((700.0, 1790.0, 1100.0), (700.0, 1790.0, 200.0), (100.0, 1790.0, 197.0))
    pipe = replace(short_in_front(scene), side=None, where=Where(box(0, 0, 1, 1), 0, 1, line_mm=line), against=())

    runs = by_class(tree(draw_findings(view, scene, [(1, pipe)])), "run")
    on_face = next(pin for pin in pins(view, scene, [(1, pipe)]) if pin.edge == 2)

    face = view.face(2)
    assert face is not None
    expected = [face.to_px((u, z)) for u, z in ((700, 1100), (700, 200), (100, 197))]
    assert [v for p in points(runs[1].get("d", "")) for v in p] == pytest.approx(
        [v for p in expected for v in p], abs=0.06
    )
    assert (on_face.x_px, on_face.y_px) == pytest.approx(face.to_px((700, 650)), abs=0.1)


@every_demo_room
def test_findings_are_drawn_without_turned_text_and_the_same_twice(name: str) -> None:
    scene = demo(name)
    found = numbered(scene)
    pick = key_text(found[0][1]) if found else None

    one, two = drawn(scene, found, pick), drawn(scene, found, pick)

    assert one == two
    assert all(step.startswith("translate(") for _, above in texts(tree(one)) for step in above)


def test_the_inset_shows_the_space_the_measures_and_the_move_larger() -> None:
    scene = two_tanks()
    cure = Remedy("crate", (0.0, -210.0), 0.0, "Move the crate 210 mm towards the front.")
    finding = replace(short_in_front(scene), remedy=cure)
    root = tree(inset(scene, finding, 236, 214))

    (crate,) = (e for e in by_class(root, "ghost"))

    wide = max(x for x, _ in points(crate.get("d", ""))) - min(x for x, _ in points(crate.get("d", "")))
    assert wide / 600 > unfolded(scene, *PAGE).scale_px_mm
    assert {e.text for e in root.iter("text")} == {"500", "300", "210"}
    assert by_class(root, "wrong") and by_class(root, "space") and by_class(root, "frame")
    assert not any(e.get("data-piece") or e.get("data-face-piece") or e.get("data-pin") for e in root.iter())


def test_what_happens_above_a_piece_is_shown_on_its_wall_and_the_rest_on_the_plan() -> None:
    scene = two_tanks()
    finding = short_in_front(scene)

    above = replace(finding, side="above", where=Where(box(900, 1400, 1500, 1800), 800, 1300))

    assert inset_caption(scene, above) == "back wall stood up"
    assert inset_caption(scene, finding) == "on the plan"


def test_an_outlet_that_lies_too_high_says_so_in_its_inset() -> None:
    scene = two_tanks()
    rises = replace(
        short_in_front(scene), side=None, against=(), topic="overflow, fall", needed=0.0, found=-20.0, short=20.0
    )

    said = [element.text for element, _ in texts(tree(inset(scene, rises, 236, 214)))]

    assert "20 mm too high" in said


def test_a_finding_without_a_place_has_no_inset() -> None:
    scene = two_tanks()

    assert inset(scene, replace(short_in_front(scene), where=None, pieces=(), against=()), 236, 214) == ""


@every_demo_room
def test_every_finding_of_every_demo_room_has_an_inset_that_can_be_read(name: str) -> None:
    scene = demo(name)

    for _, finding in numbered(scene):
        root = tree(inset(scene, finding, 236, 214))
        if finding.where is None and not finding.pieces:
            assert not by_class(root, "frame"), finding.message
            continue
        assert by_class(root, "frame"), finding.message
        assert by_class(root, "wrong") or by_class(root, "again"), finding.message
