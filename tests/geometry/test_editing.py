import pytest

from geometry import editing
from geometry.check import Remedy
from geometry.errors import RoomError, UnknownKit, UnknownThing
from geometry.kit import Change, Kit, Plan, Port
from geometry.reading import read_room, write_room
from geometry.room import Accepted, Outlet, Piece, Pipe, PipeEnd, Room

DRAIN = Port(name="drain", medium="drain", size_mm=15.0, at_mm=(0.0, -200.0, 0.0))
TANK = Kit(key="own-tank", name="Tank", plan=Plan(box_mm=(500.0, 400.0)), height_mm=900.0, base_mm=100.0, port=(DRAIN,))
ACCEPTED = Accepted(check="service-space", about=("p1", "p2"), by="A. Fitter", reason="lid lifts off", on="2026-11-25")


def a_room() -> Room:
    return Room(
        format="elbowroom-room",
        format_version=1,
        name="Test room",
        outline_mm=((0.0, 0.0), (3000.0, 0.0), (3000.0, 2000.0), (0.0, 2000.0)),
        kit=(TANK,),
        pieces=(
            Piece(id="p1", kit="own-tank", at_mm=(600.0, 1400.0)),
            Piece(id="p2", kit="own-tank", at_mm=(1600.0, 1400.0), turn_deg=270.0),
        ),
    )


def test_a_moved_piece_stands_at_the_new_place_and_nothing_else_changes() -> None:
    room = editing.moved(a_room(), "p1", (700, 1300))

    assert room.pieces[0].at_mm == (700, 1300)
    assert room.pieces[1] == a_room().pieces[1]


def test_a_move_may_turn_and_raise_in_the_same_step() -> None:
    piece = editing.moved(a_room(), "p1", (700, 1300), turn_deg=450, base_mm=50).pieces[0]

    assert (piece.turn_deg, piece.base_mm) == (90, 50)


def test_four_quarter_turns_are_no_turn() -> None:
    room = a_room()
    for _ in range(4):
        room = editing.turned(room, "p2", room.pieces[1].turn_deg + 90)

    assert room == a_room()


def test_a_move_and_its_opposite_give_the_room_back() -> None:
    there = editing.moved(a_room(), "p1", (700, 1300))

    assert editing.moved(there, "p1", (600, 1400)) == a_room()


@pytest.mark.parametrize("at_mm", [(1e6, 0), (0, float("nan")), (50_000, 0)])
def test_a_place_that_cannot_be_is_refused_in_words(at_mm: tuple[float, float]) -> None:
    with pytest.raises(RoomError, match="millimetres"):
        editing.moved(a_room(), "p1", at_mm)


def test_a_size_of_nothing_is_refused_in_words() -> None:
    with pytest.raises(RoomError, match="height_mm should be more than 0"):
        editing.changed(a_room(), "p1", "height_mm", Change(value=0.0, basis="manual"))


def test_a_name_too_long_to_print_is_refused_in_words() -> None:
    with pytest.raises(RoomError, match="at most 120"):
        editing.renamed(a_room(), "p1", "x" * 121)


def test_moving_a_piece_that_is_gone_says_what_there_is_and_what_to_do() -> None:
    with pytest.raises(UnknownThing, match=r"no piece called p9. It has: p1, p2.*open the room again"):
        editing.moved(a_room(), "p9", (0, 0))


def test_a_raised_piece_has_the_new_base() -> None:
    assert editing.raised(a_room(), "p1", 250).pieces[0].base_mm == 250


def test_an_empty_name_gives_back_the_name_of_the_kind() -> None:
    named = editing.renamed(a_room(), "p1", "  Cold tank ")

    assert named.pieces[0].name == "Cold tank"
    assert editing.renamed(named, "p1", " ").pieces[0].name is None


def test_a_figure_is_changed_with_its_basis_and_given_back() -> None:
    change = Change(value=850.0, basis="measured")
    room = editing.changed(a_room(), "p1", "height_mm", change)

    assert room.pieces[0].changes == {"height_mm": change}
    assert editing.changed(room, "p1", "height_mm", None) == a_room()


def test_a_figure_that_no_piece_has_is_refused() -> None:
    with pytest.raises(RoomError, match="no figure called colour"):
        editing.changed(a_room(), "p1", "colour", Change(value=1.0, basis="manual"))


def test_an_added_piece_is_the_last_and_has_an_id_above_all_others() -> None:
    room = editing.added(editing.removed(a_room(), "p1"), "own-tank", (900, 900), turn_deg=-90)

    assert room.pieces[-1] == Piece(id="p3", kit="own-tank", at_mm=(900.0, 900.0), turn_deg=270.0)


def test_adding_a_kind_that_is_nowhere_is_refused() -> None:
    with pytest.raises(UnknownKit, match="no-such-kit"):
        editing.added(a_room(), "no-such-kit", (0, 0))


def test_a_full_room_takes_no_more() -> None:
    full = a_room().model_copy(
        update={"pieces": tuple(Piece(id=f"p{i}", kit="own-tank", at_mm=(0.0, 0.0)) for i in range(400))}
    )

    with pytest.raises(RoomError, match="at most 400"):
        editing.added(full, "own-tank", (0, 0))


def test_a_removed_piece_takes_its_pipes_with_it() -> None:
    pipe = Pipe.model_validate({"id": "d1", "medium": "drain", "from": PipeEnd(piece="p1", port="drain"), "to": "o1"})
    room = a_room().model_copy(
        update={"pipes": (pipe,), "outlets": (Outlet(id="o1", name="gully", at_mm=(0.0, 0.0), level_mm=0.0),)}
    )

    without = editing.removed(room, "p1")

    assert [piece.id for piece in without.pieces] == ["p2"]
    assert without.pipes == ()
    assert editing.removed(room, "p2").pipes == (pipe,)


def test_what_is_accepted_stays_with_the_piece_until_it_is_taken_back() -> None:
    room = editing.accepted(a_room(), "p1", ACCEPTED)

    assert room.pieces[0].accepted == (ACCEPTED,)
    assert editing.withdrawn(room, "p1", ACCEPTED) == a_room()


def test_accepting_the_same_thing_again_replaces_the_older_writing() -> None:
    later = ACCEPTED.model_copy(update={"by": "B. Owner"})
    room = editing.accepted(editing.accepted(a_room(), "p1", ACCEPTED), "p1", later)

    assert room.pieces[0].accepted == (later,)


def test_a_remedy_moves_turns_and_raises_from_where_the_piece_is() -> None:
    room = editing.cured(a_room(), Remedy(piece="p2", move_mm=(0, -95), turn_deg=90, text="", raise_mm=40))

    piece = room.pieces[1]
    assert (piece.at_mm, piece.turn_deg, piece.base_mm) == ((1600, 1305), 0, 140)


def test_a_piece_is_pinned_and_let_go() -> None:
    held = editing.pinned(a_room(), "p1", True)

    assert held.pieces[0].pinned
    assert editing.pinned(held, "p1", False) == a_room()


def test_every_change_can_be_written_and_read_again() -> None:
    room = editing.added(editing.accepted(a_room(), "p1", ACCEPTED), "own-tank", (2500, 600))

    assert read_room(write_room(room)) == room
