"""The share link: it opens one page and nothing else, can be withdrawn, and keeps who agreed to which layout."""

import re
from collections.abc import Iterator
from html import unescape

import pytest
from starlette.testclient import TestClient

from geometry.editing import moved
from geometry.samples import box_kit, piece, sample_room
from server.quick_code import QUIET, square_code
from server.share_store import UnknownShare, WithdrawnShare
from server.store import Layout, Store

TANK = box_kit("tank", visits_a_year=1)
ROOM = sample_room([TANK], [piece(TANK, 300, 1600)], name="Boot room, Harbour Row")
ADDRESS = re.compile(r"""(?:href|src|action|hx-\w+|data-solid)=["']([^"']+)["']""")


@pytest.fixture
def store(database_url: str) -> Iterator[Store]:
    store = Store(database_url)
    yield store
    store.close()


@pytest.fixture
def layout(store_of_app: Store) -> Layout:
    return store_of_app.create(ROOM)


@pytest.fixture
def link(store_of_app: Store, layout: Layout) -> str:
    return f"/s/{store_of_app.shares.make(layout.room_id).token}"


def said(html: str) -> str:
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", html)))


def test_a_link_is_kept_until_it_is_withdrawn(store: Store) -> None:
    room_id = store.create(ROOM).room_id

    first = store.shares.make(room_id)

    assert store.shares.make(room_id) == first == store.shares.opened(first.token)
    store.shares.withdraw(room_id)
    with pytest.raises(WithdrawnShare):
        store.shares.opened(first.token)
    assert store.shares.open_link(room_id) is None
    assert store.shares.make(room_id).token != first.token


def test_a_word_that_was_never_a_link_opens_nothing(store: Store) -> None:
    with pytest.raises(UnknownShare):
        store.shares.opened("x" * 500)


def test_links_are_longer_than_anybody_guesses_and_never_alike(store: Store) -> None:
    """24 bytes of chance are 192 bits; 32 letters of 6 bits carry them."""
    tokens = {store.shares.make(store.create(ROOM).room_id).token for _ in range(20)}

    assert len(tokens) == 20
    assert all(re.fullmatch(r"[\w-]{32}", token) for token in tokens)


def test_an_agreement_stays_with_its_layout_and_counts_once_for_a_name(store: Store) -> None:
    room_id = store.create(ROOM).room_id
    store.save(room_id, 1, moved(ROOM, "tank", (900, 1600)), "Tank moved")

    for number, name in ((1, "Jo Field"), (1, "Jo Field"), (1, "Al Field"), (2, "Jo Field")):
        store.shares.agree(room_id, number, name)

    assert [(one.number, one.name) for one in store.shares.agreements(room_id)] == [
        (2, "Jo Field"), (1, "Jo Field"), (1, "Al Field")]  # fmt: skip


def test_links_and_agreements_are_still_there_when_the_store_is_opened_again(database_url: str) -> None:
    first = Store(database_url)
    room_id = first.create(ROOM).room_id
    token = first.shares.make(room_id).token
    first.shares.agree(room_id, 1, "Jo Field")
    first.close()

    again = Store(database_url)

    assert again.shares.opened(token).room_id == room_id
    assert [one.name for one in again.shares.agreements(room_id)] == ["Jo Field"]
    again.close()


def test_the_link_opens_the_page_of_the_latest_layout(
    client: TestClient, store_of_app: Store, layout: Layout, link: str
) -> None:
    store_of_app.save(layout.room_id, 1, moved(ROOM, "tank", (900, 1600)), "Tank moved")

    answer = client.get(link)

    assert answer.status_code == 200
    assert "Layout 2," in answer.text
    assert answer.headers["x-robots-tag"] == "noindex, nofollow"


@pytest.mark.parametrize("withdrawn", [False, True])
def test_no_page_behind_the_link_leads_anywhere_else(
    client: TestClient, store_of_app: Store, layout: Layout, link: str, withdrawn: bool
) -> None:
    if withdrawn:
        store_of_app.shares.withdraw(layout.room_id)
    asked = [client.get(link), client.get(f"{link}?corner=2"), client.get(f"{link}?corner=nine"),
             client.get(f"{link}/file"), client.put(link), client.get("/s/nothing"), client.post(f"{link}/agree"),
             client.post(f"{link}/agree", data={"layout": "nine", "name": "x"})]  # fmt: skip

    addresses = {address for answer in asked for address in ADDRESS.findall(answer.text)}

    own = [link + rest for rest in ("", "?corner=0", "?corner=1", "?corner=2", "?corner=3", "/agree")]
    own += [f"{link}/room.glb?layout=1&amp;corner={corner}" for corner in range(4)]
    assert {a for a in addresses if not a.startswith(("/static/", "#", "data:,"))} <= set(own)
    assert all(layout.room_id not in answer.text for answer in asked)
    assert all(answer.status_code < 500 for answer in asked)


def test_the_word_of_a_link_opens_no_other_page_of_the_app(client: TestClient, link: str) -> None:
    token = link.removeprefix("/s/")
    rooms = [f"/rooms/{token}{rest}" for rest in ("", "/file", "/report", "/customer", "/layouts")]

    assert {client.get(path).status_code for path in rooms} == {404}
    assert client.post(f"/rooms/{token}/share").status_code == 404


def test_a_withdrawn_link_says_so_kindly(client: TestClient, layout: Layout, link: str) -> None:
    client.post(f"/rooms/{layout.room_id}/share/withdraw")

    answer = client.get(link)

    assert answer.status_code == 410
    assert "The link has been withdrawn" in answer.text
    assert "Please ask them for it." in answer.text


def test_a_link_with_a_slip_in_it_says_what_to_do(client: TestClient, link: str) -> None:
    answer = client.get(link[:-1])

    assert answer.status_code == 404
    assert "Open it once more from the message it came in" in said(answer.text)


def test_the_customer_agrees_by_name_and_the_date_is_kept(
    client: TestClient, store_of_app: Store, layout: Layout, link: str
) -> None:
    answer = client.post(f"{link}/agree", data={"layout": "1", "name": "  Jo   Field "})

    (kept,) = store_of_app.shares.agreements(layout.room_id)
    assert (answer.status_code, kept.number, kept.name) == (303, 1, "Jo Field")
    day = kept.agreed.astimezone()
    assert f"Jo Field agreed to layout 1 on {day.day} {day:%B %Y}." in said(client.get(link).text)


@pytest.mark.parametrize("name", ["", "   ", "...", "42", "\u202eevil", "Jo\x00Field", "Jo\x07"])
def test_nobody_agrees_without_a_name(
    client: TestClient, store_of_app: Store, layout: Layout, link: str, name: str
) -> None:
    answers = [client.post(f"{link}/agree", data={"layout": "1", "name": name}),
               client.post(f"/rooms/{layout.room_id}/agree", data={"layout": "1", "name": name})]  # fmt: skip

    assert [answer.status_code for answer in answers] == [422, 422]
    assert all("Please write your name first." in answer.text for answer in answers)
    assert store_of_app.shares.agreements(layout.room_id) == []


@pytest.mark.parametrize("number", ["2", "0", "-1", "nine", "", "99999999999"])
def test_nobody_agrees_to_a_layout_that_is_not_there(
    client: TestClient, store_of_app: Store, layout: Layout, link: str, number: str
) -> None:
    client.post(f"{link}/agree", data={"layout": number, "name": "Jo Field"})

    assert store_of_app.shares.agreements(layout.room_id) == []


def test_the_customer_agrees_to_what_was_on_the_page_also_when_a_newer_layout_was_saved_meanwhile(
    client: TestClient, store_of_app: Store, layout: Layout, link: str
) -> None:
    store_of_app.save(layout.room_id, 1, moved(ROOM, "tank", (900, 1600)), "Tank moved")

    client.post(f"{link}/agree", data={"layout": "1", "name": "Jo Field"})

    text = said(client.get(link).text)
    assert "Jo Field agreed to layout 1 on" in text
    assert "Changed since you agreed: The tank has moved by 60 cm." in text
    assert "I agree to layout 2" in text


def test_an_agreement_shows_on_every_print_of_its_layout(
    client: TestClient, store_of_app: Store, layout: Layout, link: str
) -> None:
    store_of_app.shares.agree(layout.room_id, 1, "Jo Field")

    pages = [client.get(path).text for path in (link, f"/rooms/{layout.room_id}/customer")]

    assert all("Jo Field agreed to layout 1 on" in said(page) for page in pages)


def test_a_name_cannot_break_out_of_the_page(
    client: TestClient, store_of_app: Store, layout: Layout, link: str
) -> None:
    client.post(f"{link}/agree", data={"layout": "1", "name": "<script>alert(1)</script>"})

    assert "<script>alert" not in client.get(link).text


def test_the_page_of_the_app_makes_and_withdraws_the_link(client: TestClient, layout: Layout) -> None:
    page = f"/rooms/{layout.room_id}/customer"

    client.post(f"/rooms/{layout.room_id}/share")
    shared = client.get(page).text
    client.post(f"/rooms/{layout.room_id}/share/withdraw")

    assert "http://127.0.0.1/s/" in shared
    assert 'class="square-code"' in shared
    assert "This address opens on this machine alone." in said(shared)
    assert "/s/" not in client.get(page).text.replace("/static/", "")


def test_a_room_that_is_not_there_cannot_be_shared(client: TestClient) -> None:
    assert client.post("/rooms/nowhere/share").status_code == 404


def test_the_square_code_has_its_three_finders_and_a_quiet_zone() -> None:
    """ISO/IEC 18004: finders of 7 modules in three corners, four light modules all round."""
    drawn = square_code("http://192.0.2.7:8000/s/" + "a" * 32)
    side = int(re.findall(r'viewBox="0 0 (\d+)', drawn)[0])
    dark = {(int(x), int(y)) for x, y in re.findall(r"M(\d+),(\d+)h1", drawn)}

    row = "".join("1" if (QUIET + i, QUIET) in dark else "0" for i in range(7))
    assert row == "1111111"
    for corner in ((QUIET, QUIET), (side - QUIET - 7, QUIET), (QUIET, side - QUIET - 7)):
        ring = [(corner[0] + i, corner[1] + j) for i in range(7) for j in range(7)
                if max(abs(i - 3), abs(j - 3)) != 2]  # fmt: skip
        assert set(ring) <= dark
    assert min(min(p) for p in dark) == QUIET
    assert max(max(p) for p in dark) == side - QUIET - 1
